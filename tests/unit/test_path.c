/* Paths: what pens draw, and their length, area and box against closed forms. */
#include <check.h>
#include <stdlib.h>
#include <tapul/path.h>

static TapulPath *curve(double x0, double y0, double x1, double y1, double x2, double y2,
                        double x3, double y3) {
    TapulPath *path = tapul_path_new();
    tapul_path_move(path, tapul_vec2(x0, y0));
    tapul_path_curve(path, tapul_vec2(x1, y1), tapul_vec2(x2, y2), tapul_vec2(x3, y3));
    return path;
}

static void add_square(TapulPath *path, double from, double to, gboolean clockwise) {
    tapul_path_move(path, tapul_vec2(from, from));
    tapul_path_line(path, clockwise ? tapul_vec2(from, to) : tapul_vec2(to, from));
    tapul_path_line(path, tapul_vec2(to, to));
    tapul_path_line(path, clockwise ? tapul_vec2(to, from) : tapul_vec2(from, to));
    tapul_path_close(path);
}

START_TEST(empty_path_has_nothing) {
    g_autoptr(TapulPath) path = tapul_path_new();
    ck_assert(tapul_path_is_empty(path));
    tapul_path_close(path);
    tapul_path_move(path, tapul_vec2(3, 4));
    ck_assert(tapul_path_is_empty(path));
    ck_assert(tapul_box_is_empty(tapul_path_box(path)));
    ck_assert_double_eq(tapul_path_length(path), 0);
    ck_assert_double_eq(tapul_path_area(path), 0);
}
END_TEST

START_TEST(walk_gives_each_piece_once) {
    g_autoptr(TapulPath) path = tapul_path_new();
    tapul_path_move(path, tapul_vec2(0, 0));
    tapul_path_line(path, tapul_vec2(3, 0));
    tapul_path_curve(path, tapul_vec2(4, 0), tapul_vec2(5, 1), tapul_vec2(5, 2));
    tapul_path_close(path);
    tapul_path_line(path, tapul_vec2(0, 9));
    tapul_path_move(path, tapul_vec2(7, 7));
    tapul_path_move(path, tapul_vec2(8, 8));
    tapul_path_line(path, tapul_vec2(9, 8));
    const TapulVerb verbs[] = {TAPUL_VERB_LINE, TAPUL_VERB_CURVE, TAPUL_VERB_CLOSE,
                               TAPUL_VERB_LINE, TAPUL_VERB_LINE};
    const gboolean starts[] = {TRUE, FALSE, FALSE, TRUE, TRUE};
    const TapulVec2 ends[] = {{3, 0}, {5, 2}, {0, 0}, {0, 9}, {9, 8}};
    TapulPathWalk walk = tapul_path_walk(path);
    TapulPathPiece piece;
    for (guint i = 0; i < G_N_ELEMENTS(verbs); i++) {
        ck_assert(tapul_path_walk_next(&walk, &piece));
        ck_assert_int_eq(piece.verb, verbs[i]);
        ck_assert_int_eq(piece.starts_subpath, starts[i]);
        ck_assert_double_eq(piece.p[3].x, ends[i].x);
        ck_assert_double_eq(piece.p[3].y, ends[i].y);
    }
    ck_assert_double_eq(piece.p[0].x, 8);
    ck_assert(!tapul_path_walk_next(&walk, &piece));
}
END_TEST

START_TEST(line_is_given_as_a_cubic_of_even_speed) {
    g_autoptr(TapulPath) path = tapul_path_new();
    tapul_path_move(path, tapul_vec2(1, 2));
    tapul_path_line(path, tapul_vec2(7, -1));
    TapulPathWalk walk = tapul_path_walk(path);
    TapulPathPiece piece;
    ck_assert(tapul_path_walk_next(&walk, &piece));
    TapulVec2 quarter = tapul_cubic_point(piece.p, 0.25);
    TapulVec2 speed = tapul_cubic_derivative(piece.p, 0.9);
    ck_assert_double_eq_tol(quarter.x, 2.5, 1e-14);
    ck_assert_double_eq_tol(quarter.y, 1.25, 1e-14);
    ck_assert_double_eq_tol(speed.x, 6, 1e-13);
    ck_assert_double_eq_tol(speed.y, -3, 1e-13);
}
END_TEST

START_TEST(copy_is_apart_from_its_source) {
    g_autoptr(TapulPath) path = curve(0, 0, 0, 1, 1, 1, 1, 0);
    g_autoptr(TapulPath) copy = tapul_path_copy(path);
    tapul_path_line(path, tapul_vec2(100, 0));
    ck_assert_uint_eq(copy->verbs->len, 2);
    ck_assert_uint_eq(copy->points->len, 4);
}
END_TEST

START_TEST(drawing_on_an_empty_path_starts_it) {
    g_autoptr(TapulPath) path = tapul_path_new();
    tapul_path_line(path, tapul_vec2(1, 1));
    tapul_path_line(path, tapul_vec2(1, 4));
    ck_assert_double_eq(tapul_path_length(path), 3);
}
END_TEST

/* The parabola y = x^2 from 0 to 1: length (2 sqrt 5 + arsinh 2) / 4 (any calculus textbook).
 */
START_TEST(parabola_has_its_closed_form_length) {
    g_autoptr(TapulPath) path = curve(0, 0, 1.0 / 3, 0, 2.0 / 3, 1.0 / 3, 1, 1);
    double length = (2 * sqrt(5) + asinh(2)) / 4;
    ck_assert_double_eq_tol(tapul_path_length(path), length, 1e-6 * length);
}
END_TEST

/* The semicubical parabola (t^2, t^3), |t| <= 1, has a cusp in its middle: length 2 (13 sqrt 13
 * - 8) / 27 (Neile 1657; the first algebraic curve to be rectified). */
START_TEST(cusp_has_its_closed_form_length) {
    g_autoptr(TapulPath) path = curve(1, -1, -1.0 / 3, 1, -1.0 / 3, -1, 1, 1);
    double length = 2 * (13 * sqrt(13) - 8) / 27;
    ck_assert_double_eq_tol(tapul_path_length(path), length, 1e-6 * length);
}
END_TEST

START_TEST(curve_that_runs_back_counts_both_ways) {
    /* x(t) = 3 t (1 - t): out to 3/4 and back. */
    g_autoptr(TapulPath) path = curve(0, 0, 1, 0, 1, 0, 0, 0);
    ck_assert_double_eq_tol(tapul_path_length(path), 1.5, 1.5e-6);
}
END_TEST

START_TEST(length_counts_the_closing_line) {
    g_autoptr(TapulPath) path = tapul_path_new();
    add_square(path, 0, 10, FALSE);
    ck_assert_double_eq_tol(tapul_path_length(path), 40, 1e-12);
}
END_TEST

/* The segment between a parabola's arc and its chord is 4/3 of the inscribed triangle
 * (Archimedes, Quadrature of the Parabola): 1/6 for y = x^2 from 0 to 1. */
START_TEST(parabola_has_its_closed_form_area) {
    g_autoptr(TapulPath) open = curve(0, 0, 1.0 / 3, 0, 2.0 / 3, 1.0 / 3, 1, 1);
    ck_assert_double_eq_tol(tapul_path_area(open), 1.0 / 6, 1e-15);
    tapul_path_close(open);
    ck_assert_double_eq_tol(tapul_path_area(open), 1.0 / 6, 1e-15);
}
END_TEST

START_TEST(area_is_signed_and_far_from_the_origin_as_good) {
    g_autoptr(TapulPath) path = tapul_path_new();
    add_square(path, 100000, 100010, FALSE);
    ck_assert_double_eq_tol(tapul_path_area(path), 100, 1e-9);
    add_square(path, 100003, 100005, TRUE);
    ck_assert_double_eq_tol(tapul_path_area(path), 96, 1e-9);
}
END_TEST

START_TEST(box_is_that_of_the_curve_not_its_controls) {
    g_autoptr(TapulPath) path = curve(0, 0, 0, 1, 1, 1, 1, 0);
    TapulBox box = tapul_path_box(path);
    ck_assert_double_eq_tol(box.min.x, 0, 1e-15);
    ck_assert_double_eq_tol(box.max.x, 1, 1e-15);
    ck_assert_double_eq_tol(box.min.y, 0, 1e-15);
    ck_assert_double_eq_tol(box.max.y, 0.75, 1e-15);
}
END_TEST

START_TEST(box_holds_both_turns_of_an_s) {
    g_autoptr(TapulPath) path = curve(0, 0, 1, 3, 2, -3, 3, 0);
    TapulBox box = tapul_path_box(path);
    /* y = 9 t (1-t) (1-2t): extremes at (3 -+ sqrt 3) / 6, of sqrt(3) / 2. */
    ck_assert_double_eq_tol(box.max.y, sqrt(3) / 2, 1e-14);
    ck_assert_double_eq_tol(box.min.y, -sqrt(3) / 2, 1e-14);
}
END_TEST

START_TEST(not_a_number_ends) {
    g_autoptr(TapulPath) path = curve(0, 0, NAN, 1, 1, 1, 1, 0);
    ck_assert(isnan(tapul_path_length(path)));
    tapul_path_box(path);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("path");
    TCase *facts = tcase_create("facts");
    tcase_add_test(facts, empty_path_has_nothing);
    tcase_add_test(facts, walk_gives_each_piece_once);
    tcase_add_test(facts, line_is_given_as_a_cubic_of_even_speed);
    tcase_add_test(facts, copy_is_apart_from_its_source);
    tcase_add_test(facts, drawing_on_an_empty_path_starts_it);
    tcase_add_test(facts, parabola_has_its_closed_form_length);
    tcase_add_test(facts, cusp_has_its_closed_form_length);
    tcase_add_test(facts, curve_that_runs_back_counts_both_ways);
    tcase_add_test(facts, length_counts_the_closing_line);
    tcase_add_test(facts, parabola_has_its_closed_form_area);
    tcase_add_test(facts, area_is_signed_and_far_from_the_origin_as_good);
    tcase_add_test(facts, box_is_that_of_the_curve_not_its_controls);
    tcase_add_test(facts, box_holds_both_turns_of_an_s);
    tcase_add_test(facts, not_a_number_ends);
    suite_add_tcase(suite, facts);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
