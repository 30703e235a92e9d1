/* Curves through maps of the plane: laid curves against dense samples of the map itself. */
#include <check.h>
#include <stdlib.h>
#include <tapul/laying.h>

#include "curves_for_tests.h"

/* How far a laid curve may be from the map: the asked tolerance. */
#define TOLERANCE_MM 0.02

static gboolean affine_map(TapulVec2 from, TapulVec2 *to, gpointer data) {
    (void)data;
    *to = tapul_vec2(3 + 1.2 * from.x - 0.4 * from.y, -7 + 0.3 * from.x + 0.9 * from.y);
    return TRUE;
}

/* Rings of radius 150 laid to a fan: x is an angle's arc. */
static gboolean fan_map(TapulVec2 from, TapulVec2 *to, gpointer data) {
    (void)data;
    double r = 150 - from.y, angle = from.x / 150;
    *to = tapul_vec2(r * sin(angle), 150 - r * cos(angle));
    return TRUE;
}

static gboolean wave_map(TapulVec2 from, TapulVec2 *to, gpointer data) {
    (void)data;
    *to = tapul_vec2(from.x + 2 * sin(from.y / 10), from.y + 2 * cos(from.x / 8));
    return TRUE;
}

/* Defined within a circle of radius 30 about the origin only. */
static gboolean disc_map(TapulVec2 from, TapulVec2 *to, gpointer data) {
    *to = from;
    (void)data;
    return tapul_vec2_length(from) <= 30;
}

/* A step: to the right of x = 5 everything lies 10 higher. */
static gboolean step_map(TapulVec2 from, TapulVec2 *to, gpointer data) {
    (void)data;
    *to = tapul_vec2(from.x, from.y + (from.x > 5 ? 10 : 0));
    return TRUE;
}

static gboolean nowhere_map(TapulVec2 from, TapulVec2 *to, gpointer data) {
    (void)data;
    *to = from;
    return FALSE;
}

static TapulPath *line(double x0, double y0, double x1, double y1) {
    TapulPath *path = tapul_path_new();
    tapul_path_move(path, tapul_vec2(x0, y0));
    tapul_path_line(path, tapul_vec2(x1, y1));
    return path;
}

START_TEST(affine_map_keeps_lines_and_curves_as_they_are) {
    g_autoptr(TapulPath) path = tapul_path_new();
    tapul_path_move(path, tapul_vec2(0, 0));
    tapul_path_line(path, tapul_vec2(40, 10));
    tapul_path_curve(path, tapul_vec2(50, 10), tapul_vec2(60, 30), tapul_vec2(20, 40));
    tapul_path_close(path);
    g_autoptr(TapulPath) laid =
        tapul_path_warp(path, affine_map, NULL, TOLERANCE_MM, FALSE, NULL);
    const guint8 verbs[] = {TAPUL_VERB_MOVE, TAPUL_VERB_LINE, TAPUL_VERB_CURVE, TAPUL_VERB_LINE,
                            TAPUL_VERB_CLOSE};
    ck_assert_uint_eq(laid->verbs->len, G_N_ELEMENTS(verbs));
    ck_assert_mem_eq(laid->verbs->data, verbs, sizeof verbs);
    TapulVec2 control;
    affine_map(tapul_vec2(50, 10), &control, NULL);
    TapulVec2 found = g_array_index(laid->points, TapulVec2, 2);
    ck_assert_double_eq_tol(found.x, control.x, 1e-9);
    ck_assert_double_eq_tol(found.y, control.y, 1e-9);
}
END_TEST

START_TEST(laid_curves_stay_within_tolerance_of_the_map) {
    const TapulPlaneMap maps[] = {fan_map, wave_map};
    g_autoptr(GRand) random = g_rand_new_with_seed(20);
    for (int i = 0; i < 60; i++) {
        g_autoptr(TapulPath) path = random_path(random, 60, 4);
        for (guint k = 0; k < G_N_ELEMENTS(maps); k++) {
            double lost_mm = 0;
            g_autoptr(TapulPath) laid =
                tapul_path_warp(path, maps[k], NULL, TOLERANCE_MM, FALSE, &lost_mm);
            ck_assert_double_eq(lost_mm, 0);
            ck_assert_double_le(worst_distance(path, maps[k], NULL, laid), TOLERANCE_MM);
        }
    }
}
END_TEST

START_TEST(fewer_pieces_do_for_a_coarser_tolerance) {
    g_autoptr(GRand) random = g_rand_new_with_seed(21);
    g_autoptr(TapulPath) path = random_path(random, 60, 8);
    g_autoptr(TapulPath) fine = tapul_path_warp(path, wave_map, NULL, 0.001, FALSE, NULL);
    g_autoptr(TapulPath) coarse = tapul_path_warp(path, wave_map, NULL, 0.5, FALSE, NULL);
    ck_assert_uint_lt(coarse->verbs->len, fine->verbs->len);
    ck_assert_double_le(worst_distance(path, wave_map, NULL, fine), 0.001);
    ck_assert_double_le(worst_distance(path, wave_map, NULL, coarse), 0.5);
}
END_TEST

START_TEST(line_is_cut_at_the_edge_to_tolerance) {
    g_autoptr(TapulPath) path = line(-50, 18, 50, 18);
    double lost_mm = 1;
    g_autoptr(TapulPath) laid =
        tapul_path_warp(path, disc_map, NULL, TOLERANCE_MM, FALSE, &lost_mm);
    TapulBox box = tapul_path_box(laid);
    /* The chord at height 18 of a circle of 30: half of it 24. */
    ck_assert_double_eq_tol(box.min.x, -24, TOLERANCE_MM);
    ck_assert_double_eq_tol(box.max.x, 24, TOLERANCE_MM);
    ck_assert_double_le(box.max.x, 24);
    ck_assert_double_eq_tol(lost_mm - 1 + tapul_path_length(laid), 100, 1e-6);
}
END_TEST

START_TEST(lost_and_kept_lengths_sum_to_the_whole) {
    g_autoptr(GRand) random = g_rand_new_with_seed(22);
    int cut = 0;
    for (int i = 0; i < 200; i++) {
        g_autoptr(TapulPath) path = random_path(random, 35, 5);
        double lost_mm = 0;
        g_autoptr(TapulPath) laid =
            tapul_path_warp(path, disc_map, NULL, TOLERANCE_MM, FALSE, &lost_mm);
        double whole_mm = tapul_path_length(path);
        ck_assert_double_eq_tol(lost_mm + tapul_path_length(laid), whole_mm, 1e-5 * whole_mm);
        cut += lost_mm > 0 && lost_mm < whole_mm;
    }
    ck_assert_int_gt(cut, 50);
}
END_TEST

START_TEST(areas_stay_closed_over_the_edge) {
    g_autoptr(TapulPath) path = tapul_path_new();
    tapul_path_move(path, tapul_vec2(-10, -10));
    tapul_path_line(path, tapul_vec2(60, -10));
    tapul_path_line(path, tapul_vec2(60, 10));
    tapul_path_line(path, tapul_vec2(-10, 10));
    tapul_path_close(path);
    double lost_mm = 0;
    g_autoptr(TapulPath) laid =
        tapul_path_warp(path, disc_map, NULL, TOLERANCE_MM, TRUE, &lost_mm);
    double reach = sqrt(30 * 30 - 10 * 10);
    ck_assert_double_eq_tol(tapul_path_area(laid), 20 * (10 + reach), 20 * TOLERANCE_MM);
    ck_assert_double_eq_tol(lost_mm, 2 * (60 - reach) + 20, 2 * TOLERANCE_MM);
    int moves = 0;
    for (guint i = 0; i < laid->verbs->len; i++)
        moves += g_array_index(laid->verbs, guint8, i) == TAPUL_VERB_MOVE;
    ck_assert_int_eq(moves, 1);
}
END_TEST

START_TEST(path_wholly_outside_is_lost_and_counted) {
    g_autoptr(TapulPath) path = line(40, 0, 80, 0);
    double lost_mm = 0;
    g_autoptr(TapulPath) laid =
        tapul_path_warp(path, disc_map, NULL, TOLERANCE_MM, FALSE, &lost_mm);
    ck_assert(tapul_path_is_empty(laid));
    ck_assert_double_eq_tol(lost_mm, 40, 1e-9);
    g_autoptr(TapulPath) none =
        tapul_path_warp(path, nowhere_map, NULL, TOLERANCE_MM, TRUE, &lost_mm);
    ck_assert(tapul_path_is_empty(none));
    ck_assert_double_eq_tol(lost_mm, 80, 1e-9);
}
END_TEST

START_TEST(line_between_two_points_outside_is_found_inside) {
    g_autoptr(TapulPath) path = line(-60, -29.9, 61, -29.9);
    double lost_mm = 0;
    g_autoptr(TapulPath) laid =
        tapul_path_warp(path, disc_map, NULL, TOLERANCE_MM, FALSE, &lost_mm);
    ck_assert_double_eq_tol(tapul_path_length(laid), 2 * sqrt(30 * 30 - 29.9 * 29.9),
                            2 * TOLERANCE_MM);
}
END_TEST

START_TEST(jump_of_the_map_cuts_the_curve) {
    g_autoptr(TapulPath) path = line(0, 0, 10, 0);
    double lost_mm = 0;
    g_autoptr(TapulPath) laid =
        tapul_path_warp(path, step_map, NULL, TOLERANCE_MM, FALSE, &lost_mm);
    ck_assert_double_eq_tol(tapul_path_length(laid), 10, TOLERANCE_MM);
    ck_assert_double_le(lost_mm, TOLERANCE_MM);
}
END_TEST

START_TEST(closed_path_stays_closed_and_a_dot_a_dot) {
    g_autoptr(TapulPath) path = tapul_path_new();
    tapul_path_move(path, tapul_vec2(0, 0));
    tapul_path_curve(path, tapul_vec2(10, 0), tapul_vec2(10, 20), tapul_vec2(0, 20));
    tapul_path_curve(path, tapul_vec2(-10, 20), tapul_vec2(-10, 0), tapul_vec2(0, 0));
    tapul_path_close(path);
    tapul_path_move(path, tapul_vec2(30, 30));
    tapul_path_line(path, tapul_vec2(30, 30));
    g_autoptr(TapulPath) laid = tapul_path_warp(path, fan_map, NULL, TOLERANCE_MM, FALSE, NULL);
    int closes = 0, moves = 0;
    for (guint i = 0; i < laid->verbs->len; i++) {
        closes += g_array_index(laid->verbs, guint8, i) == TAPUL_VERB_CLOSE;
        moves += g_array_index(laid->verbs, guint8, i) == TAPUL_VERB_MOVE;
    }
    ck_assert_int_eq(closes, 1);
    ck_assert_int_eq(moves, 2);
    TapulVec2 dot, found = g_array_index(laid->points, TapulVec2, laid->points->len - 1);
    fan_map(tapul_vec2(30, 30), &dot, NULL);
    ck_assert_double_le(tapul_vec2_distance(dot, found), 1e-9);
}
END_TEST

START_TEST(coordinates_that_are_no_numbers_end) {
    g_autoptr(TapulPath) path = tapul_path_new();
    tapul_path_move(path, tapul_vec2(0, 0));
    tapul_path_curve(path, tapul_vec2(NAN, 0), tapul_vec2(10, INFINITY), tapul_vec2(0, 20));
    tapul_path_line(path, tapul_vec2(1e300, 5));
    tapul_path_line(path, tapul_vec2(-5, 5));
    tapul_path_line(path, tapul_vec2(INFINITY, 5));
    g_autoptr(TapulPath) laid =
        tapul_path_warp(path, disc_map, NULL, TOLERANCE_MM, FALSE, NULL);
    g_autoptr(TapulPath) area = tapul_path_warp(path, wave_map, NULL, TOLERANCE_MM, TRUE, NULL);
    ck_assert_ptr_nonnull(laid);
    ck_assert_ptr_nonnull(area);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("warp");
    TCase *facts = tcase_create("facts");
    tcase_set_timeout(facts, 60);
    tcase_add_test(facts, affine_map_keeps_lines_and_curves_as_they_are);
    tcase_add_test(facts, laid_curves_stay_within_tolerance_of_the_map);
    tcase_add_test(facts, fewer_pieces_do_for_a_coarser_tolerance);
    tcase_add_test(facts, line_is_cut_at_the_edge_to_tolerance);
    tcase_add_test(facts, lost_and_kept_lengths_sum_to_the_whole);
    tcase_add_test(facts, areas_stay_closed_over_the_edge);
    tcase_add_test(facts, path_wholly_outside_is_lost_and_counted);
    tcase_add_test(facts, line_between_two_points_outside_is_found_inside);
    tcase_add_test(facts, jump_of_the_map_cuts_the_curve);
    tcase_add_test(facts, closed_path_stays_closed_and_a_dot_a_dot);
    tcase_add_test(facts, coordinates_that_are_no_numbers_end);
    suite_add_tcase(suite, facts);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
