/* The camera's fit against OpenCV's on the same points. */
#include "camera_for_tests.h"

#include <gio/gio.h>

/* Asks tests/unit/pose_by_opencv.py; FALSE with a visible line where there is none. */
static gboolean ask_opencv(const char *question, char **answer) {
    g_autoptr(GError) error = NULL;
    g_autofree char *script =
        g_build_filename(g_getenv("TAPUL_SOURCE_ROOT"), "tests/unit/pose_by_opencv.py", NULL);
    const char *const command[] = {"/usr/bin/python3", script, NULL};
    g_autoptr(GSubprocess) process = g_subprocess_newv(
        command, G_SUBPROCESS_FLAGS_STDIN_PIPE | G_SUBPROCESS_FLAGS_STDOUT_PIPE, &error);
    if (!process ||
        !g_subprocess_communicate_utf8(process, question, NULL, answer, NULL, &error) ||
        g_subprocess_get_exit_status(process) == 77) {
        puts("SKIP: opencv_finds_the_same_misfit: python3-opencv is not installed");
        return FALSE;
    }
    ck_assert_int_eq(g_subprocess_get_exit_status(process), 0);
    return TRUE;
}

#define COMPARED 60

/* cv2.calibrateCamera (focal fitted, with or without k1) and cv2.solvePnP (focal known): same
 * points, same least squares, so the same rms to 1 %. */
START_TEST(opencv_finds_the_same_misfit) {
    g_autoptr(GRand) random = g_rand_new_with_seed(20);
    g_autoptr(GString) question = g_string_new(NULL);
    g_autofree char *answer = NULL;
    double rms_px[COMPARED], apart = 0;
    for (int trial = 0; trial < COMPARED; trial++) {
        int n = 8 + trial % 9;
        gboolean known = trial % 3 == 0;
        Pinhole pinhole = random_pinhole(random, 700, 5000, trial % 3 == 1 ? -0.3 : 0);
        TapulSight sights[MOST_SIGHTS];
        random_sights(random, &pinhole, SWELL, n, 0.5, sights);
        TapulCameraOptions options = tapul_camera_options_defaults();
        options.focal_px = known ? pinhole.focal_px : 0;
        TapulCameraFit fit = good_fit(sights, n, &options);
        rms_px[trial] = fit.rms_px;
        g_string_append_printf(question, "%d %d %d %d %.17g %.17g\n", n, SENSOR_WIDTH_PX,
                               SENSOR_HEIGHT_PX, fit.has_k1, options.focal_px,
                               fit.camera.focal_px);
        for (int i = 0; i < n; i++)
            g_string_append_printf(question, "%.17g %.17g %.17g %.17g %.17g\n",
                                   sights[i].xyz_mm.x, sights[i].xyz_mm.y, sights[i].xyz_mm.z,
                                   sights[i].px.x, sights[i].px.y);
    }
    if (!ask_opencv(question->str, &answer))
        return;
    g_auto(GStrv) lines = g_strsplit(g_strstrip(answer), "\n", -1);
    ck_assert_uint_eq(g_strv_length(lines), COMPARED);
    for (int trial = 0; trial < COMPARED; trial++) {
        double theirs_px = g_ascii_strtod(lines[trial], NULL);
        ck_assert_double_eq_tol(rms_px[trial], theirs_px, 0.01 * theirs_px);
        apart = fmax(apart, fabs(rms_px[trial] / theirs_px - 1));
    }
    printf("OpenCV on the same %d sets of points: rms within %.2g of its own\n", COMPARED,
           apart);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("camera_opencv");
    TCase *facts = tcase_create("facts");
    tcase_set_timeout(facts, 120);
    tcase_add_test(facts, opencv_finds_the_same_misfit);
    suite_add_tcase(suite, facts);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
