/* The threshold of scans against figures worked by hand and against the plain sums over each
 * window. */
#include "ink/sauvola.h"

#include <check.h>
#include <stdlib.h>

/* J. Sauvola, M. Pietikainen, Pattern Recognition 33, 2000, 225-236; the figures recomputed on
 * their own for this example. */
static const guint8 example[5][5] = {{200, 200, 200, 200, 200},
                                     {200, 60, 60, 200, 200},
                                     {200, 60, 120, 180, 200},
                                     {200, 200, 180, 200, 200},
                                     {200, 200, 200, 200, 200}};

static double example_threshold(int margin, double k) {
    gint64 sum = 0, squares = 0;
    int n = 0;
    for (int y = margin; y < 5 - margin; y++)
        for (int x = margin; x < 5 - margin; x++, n++) {
            sum += example[y][x];
            squares += example[y][x] * example[y][x];
        }
    return tapul_sauvola_threshold(sum, squares, n, k, 128);
}

START_TEST(five_by_five_example_has_its_thresholds) {
    ck_assert_double_eq_tol(example_threshold(0, 0.5), 121.688429, 1e-6);
    ck_assert_double_eq_tol(example_threshold(0, 0.2), 155.715372, 1e-6);
    ck_assert_double_eq_tol(example_threshold(1, 0.5), 103.414614, 1e-6);
}
END_TEST

START_TEST(one_grey_has_no_deviation) {
    ck_assert_double_eq_tol(tapul_sauvola_threshold(900, 90000, 9, 0.2, 128), 80, 1e-12);
}
END_TEST

/* The threshold of one pixel by the sums over its window, cut at the borders. */
static double plain_threshold(const guint8 *grey, int width, int height, int x, int y,
                              const TapulSauvola *rule) {
    int half = rule->window_px / 2, n = 0;
    gint64 sum = 0, squares = 0;
    for (int v = MAX(y - half, 0); v <= MIN(y + half, height - 1); v++)
        for (int u = MAX(x - half, 0); u <= MIN(x + half, width - 1); u++, n++) {
            sum += grey[v * width + u];
            squares += grey[v * width + u] * grey[v * width + u];
        }
    double m = (double)sum / n, s = sqrt(fmax((double)squares / n - m * m, 0));
    return m * (1 + rule->k * (s / rule->r - 1));
}

static void check_against_plain(int width, int height, const TapulSauvola *rule) {
    guint8 *grey = g_new(guint8, (gsize)(width * height));
    g_autoptr(GRand) random = g_rand_new_with_seed(7);
    for (int i = 0; i < width * height; i++)
        grey[i] = (guint8)g_rand_int_range(random, 0, 256);
    TapulMap map = tapul_map_new(width, height);
    tapul_sauvola_ink(grey, rule, &map);
    for (int y = 0; y < height; y++)
        for (int x = 0; x < width; x++) {
            double limit =
                fmax(plain_threshold(grey, width, height, x, y, rule), rule->dark_grey);
            ck_assert_msg((map.at[tapul_map_place(&map, x, y)] == TAPUL_MAP_INK) ==
                              (grey[y * width + x] <= limit),
                          "%d x %d, window %d: pixel %d, %d", width, height, rule->window_px, x,
                          y);
        }
    for (int x = 0; x < map.stride; x++)
        ck_assert(map.at[x] == 0 && map.at[(height + 1) * map.stride + x] == 0);
    g_free(map.at);
    g_free(grey);
}

START_TEST(every_pixel_agrees_with_the_sums_over_its_window) {
    /* Windows smaller and larger than the picture; heights of more than one strip of rows. */
    check_against_plain(41, 37, &(TapulSauvola){0.2, 128, 7, -1});
    check_against_plain(41, 37, &(TapulSauvola){0.5, 128, 101, -1});
    check_against_plain(13, 600, &(TapulSauvola){0.2, 128, 31, -1});
    check_against_plain(1, 1, &(TapulSauvola){0.2, 128, 3, -1});
    check_against_plain(41, 37, &(TapulSauvola){0.9, 128, 7, 90});
}
END_TEST

/* A large black area: a window full of ink has no paper to compare with. */
START_TEST(large_areas_are_not_hollow_above_the_floor) {
    enum { SIDE = 60 };
    guint8 grey[SIDE * SIDE];
    for (int i = 0; i < SIDE * SIDE; i++)
        grey[i] = i % SIDE < SIDE / 2 ? 40 : 240;
    for (int floored = 0; floored < 2; floored++) {
        TapulMap map = tapul_map_new(SIDE, SIDE);
        tapul_sauvola_ink(grey, &(TapulSauvola){0.2, 128, 15, floored ? 90 : -1}, &map);
        ck_assert_int_eq(map.at[tapul_map_place(&map, 5, 30)], floored ? TAPUL_MAP_INK : 0);
        ck_assert_int_eq(map.at[tapul_map_place(&map, SIDE / 2 - 1, 30)], TAPUL_MAP_INK);
        ck_assert_int_eq(map.at[tapul_map_place(&map, SIDE / 2, 30)], 0);
        g_free(map.at);
    }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("sauvola");
    TCase *cases = tcase_create("threshold");
    tcase_add_test(cases, five_by_five_example_has_its_thresholds);
    tcase_add_test(cases, one_grey_has_no_deviation);
    tcase_add_test(cases, every_pixel_agrees_with_the_sums_over_its_window);
    tcase_add_test(cases, large_areas_are_not_hollow_above_the_floor);
    suite_add_tcase(suite, cases);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
