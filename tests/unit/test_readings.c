/* A slip of the pen among a plate's readings shows, and honest readings do not look like one.
 */
#include "plates_for_tests.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Readings of a ball of radius 120 each 12 degrees and each 20 mm up; one of them may be off by
 * slip_mm in z. */
static TapulPlate *ball(int slip_station, int slip_reading, double slip_mm) {
    g_autoptr(GString) surface = g_string_new("{ kind: stations, stations: [");
    for (int k = 0; k <= 5; k++) {
        double y = 20 * k, r = sqrt(120.0 * 120.0 - y * y);
        g_string_append_printf(surface, "%s{ y_mm: %g, section_mm: [", k > 0 ? ", " : "", y);
        for (int i = 0; i <= 7; i++) {
            double angle = 12 * i * G_PI / 180;
            double z = r * cos(angle) + (k == slip_station && i == slip_reading ? slip_mm : 0);
            g_string_append_printf(surface, "%s[%.3f, %.3f]", i > 0 ? ", " : "", r * sin(angle),
                                   z);
        }
        g_string_append(surface, "] }");
    }
    g_string_append(surface, "] }");
    return good_plate(surface->str, "");
}

START_TEST(honest_readings_are_no_slips) {
    g_autoptr(TapulPlate) plate = ball(-1, -1, 0);
    g_autoptr(GArray) readings = tapul_plate_check_readings(plate);
    ck_assert_uint_ge(readings->len, 6 * 6);
    for (guint i = 0; i < readings->len; i++) {
        const TapulReading *reading = &g_array_index(readings, TapulReading, i);
        ck_assert_double_lt(reading->off_mm, 0.3);
        ck_assert(!reading->likely_slip);
    }
}
END_TEST

START_TEST(a_slip_of_five_millimetres_is_the_only_one_named) {
    g_autoptr(TapulPlate) plate = ball(2, 4, 5);
    g_autoptr(GArray) readings = tapul_plate_check_readings(plate);
    double worst = 0;
    int n_slips = 0;
    for (guint i = 0; i < readings->len; i++) {
        const TapulReading *reading = &g_array_index(readings, TapulReading, i);
        worst = fmax(worst, reading->off_mm);
        if (!reading->likely_slip)
            continue;
        n_slips++;
        ck_assert_double_eq_tol(reading->y_mm, 40, 1e-9);
        ck_assert_double_eq_tol(reading->x_mm, sqrt(120.0 * 120 - 1600) * sin(48 * G_PI / 180),
                                1e-3);
    }
    ck_assert_int_eq(n_slips, 1);
    /* 5 mm in z, where the surface leans 42 degrees from the viewer: about 3.7 mm from the
     * metal. */
    ck_assert_double_eq_tol(worst, 5 * cos(42 * G_PI / 180), 0.5);
}
END_TEST

START_TEST(the_shelf_has_no_slips) {
    g_autofree char *folder = g_build_filename(g_getenv("TAPUL_SOURCE_ROOT"), "shapes", NULL);
    g_autoptr(GDir) directory = g_dir_open(folder, 0, NULL);
    int n = 0;
    for (const char *name; (name = g_dir_read_name(directory));) {
        if (!g_str_has_suffix(name, ".yaml"))
            continue;
        g_autofree char *path = g_build_filename(folder, name, NULL);
        g_autoptr(TapulPlate) plate = tapul_plate_load(path, NULL, NULL);
        ck_assert_ptr_nonnull(plate);
        g_autoptr(GArray) readings = tapul_plate_check_readings(plate);
        for (guint i = 0; i < readings->len; i++) {
            const TapulReading *reading = &g_array_index(readings, TapulReading, i);
            ck_assert_msg(!reading->likely_slip, "%s: y %g x %g is %.2f mm off", name,
                          reading->y_mm, reading->x_mm, reading->off_mm);
        }
        n++;
    }
    ck_assert_int_ge(n, 3);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("readings");
    TCase *tests = tcase_create("readings");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, honest_readings_are_no_slips);
    tcase_add_test(tests, a_slip_of_five_millimetres_is_the_only_one_named);
    tcase_add_test(tests, the_shelf_has_no_slips);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
