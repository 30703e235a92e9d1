/* What cannot be developed is refused, with the place told; what only looks like it is not. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "develop/overlap.h"
#include "developments_for_tests.h"
#include "shapes_for_tests.h"

static const TapulDevelopmentRule all_rules[] = {
    TAPUL_DEVELOP_CONFORMAL, TAPUL_DEVELOP_LEAST_STRETCH, TAPUL_DEVELOP_EVENED};

static void check_refusal(const TapulMesh *mesh, TapulDevelopmentRule rule, int code,
                          const char *word) {
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulDevelopment) development = try_development(mesh, rule, &error);
    ck_assert_ptr_null(development);
    ck_assert(g_error_matches(error, TAPUL_DEVELOP_ERROR, code));
    ck_assert_msg(strstr(error->message, word) != NULL, "'%s' lacks '%s'", error->message,
                  word);
    ck_assert_ptr_null(strchr(error->message, '\n'));
}

/* A ramp of 400 degrees, nearly flat, would lie on itself. */
START_TEST(overlapping_plates_are_refused) {
    g_autoptr(TapulMesh) mesh = shape_frustum(100, 50, 1, 400 * G_PI / 180, 200, 10);
    for (guint r = 0; r < G_N_ELEMENTS(all_rules); r++)
        check_refusal(mesh, all_rules[r], TAPUL_DEVELOP_ERROR_OVERLAP, "a cut");
}
END_TEST

/* A flat ring cut open, whose two sides lie on each other. */
START_TEST(sides_of_a_cut_may_touch) {
    g_autoptr(TapulMesh) mesh = shape_frustum(100, 20, 0, 2 * G_PI, 200, 10);
    for (guint r = 0; r < G_N_ELEMENTS(all_rules); r++) {
        g_autoptr(TapulDevelopment) development = good_development(mesh, all_rules[r]);
        ck_assert_double_lt(worst_edge_error_mm(development), 1e-9);
    }
}
END_TEST

/* A tube of four sides, and the same closed to a box. */
START_TEST(plates_that_are_no_disc_are_refused) {
    const TapulVec3 corner_mm[] = {{0, 0, 0}, {1, 0, 0}, {1, 1, 0}, {0, 1, 0},
                                   {0, 0, 1}, {1, 0, 1}, {1, 1, 1}, {0, 1, 1}};
    const int face[][3] = {{0, 1, 5}, {0, 5, 4}, {1, 2, 6}, {1, 6, 5}, {2, 3, 7}, {2, 7, 6},
                           {3, 0, 4}, {3, 4, 7}, {4, 5, 6}, {4, 6, 7}, {0, 2, 1}, {0, 3, 2}};
    const int n_faces[] = {8, 12};
    const char *const words[] = {"tube", "closed"};
    for (guint i = 0; i < G_N_ELEMENTS(n_faces); i++) {
        g_autoptr(GError) error = NULL;
        g_autoptr(TapulMesh) mesh = tapul_mesh_new(8, corner_mm, n_faces[i], face, &error);
        ck_assert_msg(mesh != NULL, "%s", error ? error->message : "");
        check_refusal(mesh, TAPUL_DEVELOP_LEAST_STRETCH, TAPUL_DEVELOP_ERROR_TOPOLOGY,
                      words[i]);
    }
}
END_TEST

static int overlaps_of(int n, const TapulVec2 *point_mm, int *vertex) {
    g_autofree int *loop = g_new(int, n);
    g_autofree double *angle_rad = g_new0(double, n);
    for (int i = 0; i < n; i++)
        loop[i] = i;
    return tapul_count_overlaps(n, loop, point_mm, angle_rad, vertex);
}

START_TEST(crossings_of_an_edge_are_counted) {
    int vertex;
    const TapulVec2 square[] = {{0, 0}, {10, 0}, {10, 10}, {0, 10}};
    ck_assert_int_eq(overlaps_of(4, square, &vertex), 0);
    ck_assert_int_eq(vertex, -1);
    const TapulVec2 eight[] = {{0, 0}, {10, 10}, {10, 0}, {0, 10}};
    ck_assert_int_eq(overlaps_of(4, eight, &vertex), 1);
    ck_assert_int_ge(vertex, 0);
    /* Arms that run through each other's ends by 1 mm: two crossings. */
    const TapulVec2 arms[] = {{0, 0},  {20, 0}, {20, 9}, {8, 9}, {8, 6},  {17, 6},
                              {17, 3}, {3, 3},  {3, 7},  {9, 7}, {9, 11}, {0, 11}};
    ck_assert_int_eq(overlaps_of(12, arms, &vertex), 2);
    /* The same with the arms apart. */
    TapulVec2 apart[12];
    for (int i = 0; i < 12; i++)
        apart[i] = i == 9 || i == 10 ? tapul_vec2(arms[i].x - 2, arms[i].y) : arms[i];
    ck_assert_int_eq(overlaps_of(12, apart, &vertex), 0);
}
END_TEST

/* Scans that others made: discs that close upon themselves far more than any plate. Each rule
 * gives a one-to-one map or says why not. odedstein/meshes, GitHub, CC BY 4.0. */
START_TEST(scans_develop_or_say_why_not) {
    static const char *const files[] = {"ode_hand_lowres.obj", "ode_mountain.obj",
                                        "ode_demosthenes-low-res.obj"};
    g_autofree char *path = g_build_filename(g_getenv("TAPUL_SOURCE_ROOT"), "..", "shared",
                                             "data", "meshes", files[_i], NULL);
    if (!g_file_test(path, G_FILE_TEST_EXISTS)) {
        printf("SKIP: %s is not there\n", path);
        return;
    }
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulMesh) mesh = tapul_mesh_read(path, 1, &error);
    ck_assert_msg(mesh != NULL, "%s", error ? error->message : "");
    for (int rule = TAPUL_DEVELOP_CONFORMAL; rule <= TAPUL_DEVELOP_LEAST_STRETCH; rule++) {
        g_autoptr(GError) why = NULL;
        g_autoptr(TapulDevelopment) development =
            try_development(mesh, (TapulDevelopmentRule)rule, &why);
        ck_assert(development || why);
        if (!development)
            continue;
        ck_assert_int_eq(development->flipped, 0);
        ck_assert_int_eq(development->overlaps, 0);
        ck_assert_double_gt(development->stretch.min, 0);
    }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("develop_refusals");
    TCase *all = tcase_create("develop_refusals");
    tcase_set_timeout(all, 120);
    tcase_add_test(all, overlapping_plates_are_refused);
    tcase_add_test(all, sides_of_a_cut_may_touch);
    tcase_add_test(all, plates_that_are_no_disc_are_refused);
    tcase_add_test(all, crossings_of_an_edge_are_counted);
    tcase_add_loop_test(all, scans_develop_or_say_why_not, 0, 3);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
