/* Ink laid on plates: shapes, widths, dashes, and the account of what became of every
 * millimetre. */
#include <check.h>
#include <omp.h>
#include <stdlib.h>
#include <tapul/laying.h>

#include "curves_for_tests.h"
#include "grounds_for_tests.h"

#define TOLERANCE_MM 0.02
/* One width stands for a stroke's: within half of the 10 % at which it would be cut, and what
 * is between. */
#define WIDTH_SHARE 0.06

static TapulLaying *laid_on(const TestGround *made, TapulLayingRule rule) {
    TapulLayingOptions options = {.rule = rule, .anchor = made->middle, .scale = 1};
    g_autoptr(GError) error = NULL;
    TapulLaying *laying = tapul_laying_new(&made->ground, &options, &error);
    ck_assert_msg(laying != NULL, "%s", error ? error->message : "no error given");
    return laying;
}

static TapulLaidInk *lay(const TapulLaying *laying, const TapulInk *ink) {
    TapulLayInkOptions options = tapul_lay_ink_options_defaults();
    g_autoptr(GError) error = NULL;
    TapulLaidInk *laid = tapul_lay_ink(laying, ink, &options, &error);
    ck_assert_msg(laid != NULL, "%s", error ? error->message : "no error given");
    return laid;
}

static const TapulMark *mark_of(const TapulLaidInk *laid, guint i) {
    ck_assert_uint_lt(i, laid->marks->len);
    return g_ptr_array_index(laid->marks, i);
}

static gboolean developed_map(TapulVec2 from, TapulVec2 *to, gpointer data) {
    return tapul_laying_developed(data, from, to);
}

/* Lays random strokes one by one, and holds each against dense samples of the rule and its own
 * account. */
static void check_strokes(const TestGround *made, TapulLayingRule rule, double half_side_mm,
                          guint32 seed) {
    g_autoptr(TapulLaying) laying = laid_on(made, rule);
    g_autoptr(GRand) random = g_rand_new_with_seed(seed);
    for (int i = 0; i < 30; i++) {
        TapulInk *ink = test_ink_new();
        TapulMark *mark =
            test_ink_take(ink, TAPUL_MARK_STROKE, random_path(random, half_side_mm, 3));
        g_autoptr(TapulLaidInk) laid = lay(laying, ink);
        g_autoptr(TapulPath) whole = tapul_path_new();
        for (guint k = 0; k < laid->marks->len; k++) {
            const TapulPath *part = mark_of(laid, k)->path;
            g_array_append_vals(whole->verbs, part->verbs->data, part->verbs->len);
            g_array_append_vals(whole->points, part->points->data, part->points->len);
        }
        ck_assert_double_le(worst_distance(mark->path, developed_map, laying, whole),
                            TOLERANCE_MM);
        double kept_mm = laid->ink_length_mm - laid->beyond_edge_mm;
        ck_assert_double_le(laid->laid_length_mm, kept_mm * laid->stretch_max + 1e-6);
        ck_assert_double_ge(laid->laid_length_mm, kept_mm * laid->stretch_min - 1e-6);
        test_ink_free(ink);
    }
}

START_TEST(laid_strokes_lie_where_the_rule_puts_them) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    for (int rule = TAPUL_LAYING_ROLLED; rule <= TAPUL_LAYING_VIEWED; rule++)
        check_strokes(made, (TapulLayingRule)rule, 60, 40);
}
END_TEST

/* The demonstration's breastplate has a ridge that bulges, and the anchor lies on it. */
START_TEST(ridged_plate_is_laid_as_well) {
    g_autoptr(TestGround) made = test_ground_from_file("shapes/peascod-breastplate.yaml", 240);
    ck_assert(tapul_plate_has_ridge(made->plate));
    for (int rule = TAPUL_LAYING_ROLLED; rule <= TAPUL_LAYING_VIEWED; rule++)
        check_strokes(made, (TapulLayingRule)rule, 60, 42);
}
END_TEST

/* A circle of 100 mm radius about the anchor of a rolled print: over the metal it is 2 pi R
 * sin(r / R) long. */
START_TEST(circle_about_the_anchor_shrinks_as_its_closed_form) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    g_autoptr(TapulLaying) laying = laid_on(made, TAPUL_LAYING_ROLLED);
    const double r = 100;
    TapulPath *circle = tapul_path_new();
    tapul_path_move(circle, tapul_vec2(r, 0));
    const int arcs = 24;
    double handle = 4.0 / 3 * tan(G_PI / (2 * arcs)) * r;
    for (int i = 0; i < arcs; i++) {
        TapulVec2 from = tapul_vec2_turn(tapul_vec2(r, handle), 2 * G_PI * i / arcs);
        TapulVec2 to = tapul_vec2_turn(tapul_vec2(r, -handle), 2 * G_PI * (i + 1) / arcs);
        tapul_path_curve(circle, from, to,
                         tapul_vec2_turn(tapul_vec2(r, 0), 2 * G_PI * (i + 1) / arcs));
    }
    tapul_path_close(circle);
    TapulInk *ink = test_ink_new();
    test_ink_take(ink, TAPUL_MARK_STROKE, circle);
    g_autoptr(TapulLaidInk) laid = lay(laying, ink);
    double expected = 2 * G_PI * 150 * sin(r / 150);
    ck_assert_double_eq_tol(laid->ink_length_mm, 2 * G_PI * r, 1e-3);
    ck_assert_double_eq_tol(laid->laid_length_mm, expected, 1e-3 * expected);
    ck_assert_double_eq_tol(laid->stretch_max, 1, 2e-3);
    ck_assert_double_eq_tol(laid->stretch_min, sin(r / 150) / (r / 150), 2e-3);
    ck_assert_double_eq(laid->folded_mm, 0);
    ck_assert_double_eq(laid->beyond_edge_mm, 0);
    test_ink_free(ink);
}
END_TEST

/* Viewed on a cylinder, across the front is stretched by 1 / cos: upright lines are widened,
 * level ones are cut in pieces whose widths stay, and whose dashes lengthen. */
START_TEST(widths_follow_the_stretch_across) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    g_autoptr(TapulLaying) laying = laid_on(made, TAPUL_LAYING_VIEWED);
    for (int i = 0; i < 8; i++) {
        double x = 10.0 * i + 3;
        TapulInk *ink = test_ink_new();
        test_ink_take(ink, TAPUL_MARK_STROKE, test_line(x, -60, x, 60));
        g_autoptr(TapulLaidInk) laid = lay(laying, ink);
        double expected_mm = 0.4 / sqrt(1 - x * x / 10000);
        for (guint k = 0; k < laid->marks->len; k++)
            ck_assert_double_eq_tol(mark_of(laid, k)->width_mm, expected_mm,
                                    WIDTH_SHARE * expected_mm);
        ck_assert_double_eq_tol(laid->laid_length_mm, 120, 0.2);
        test_ink_free(ink);
    }
}
END_TEST

START_TEST(slanting_stroke_is_cut_where_its_width_changes) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    g_autoptr(TapulLaying) laying = laid_on(made, TAPUL_LAYING_VIEWED);
    TapulInk *ink = test_ink_new();
    test_ink_take(ink, TAPUL_MARK_STROKE, test_line(0, -90, 80, 90));
    g_autoptr(TapulLaidInk) laid = lay(laying, ink);
    ck_assert_uint_gt(laid->marks->len, 2);
    double length_mm = 0;
    for (guint k = 0; k < laid->marks->len; k++) {
        const TapulMark *mark = mark_of(laid, k);
        if (k > 0)
            ck_assert_double_gt(mark->width_mm, mark_of(laid, k - 1)->width_mm);
        length_mm += tapul_path_length(mark->path);
    }
    /* The parts follow on each other: their lengths sum to the stroke's. */
    ck_assert_double_eq_tol(length_mm, laid->laid_length_mm, 0.01 * length_mm);
    test_ink_free(ink);
}
END_TEST

START_TEST(dashes_follow_the_stretch_along) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    g_autoptr(TapulLaying) laying = laid_on(made, TAPUL_LAYING_VIEWED);
    TapulInk *ink = test_ink_new();
    TapulMark *mark = test_ink_take(ink, TAPUL_MARK_STROKE, test_line(0, 10, 75, 10));
    mark->dash_mm = g_array_new(FALSE, FALSE, sizeof(double));
    const double dashes[] = {3, 1};
    g_array_append_vals(mark->dash_mm, dashes, 2);
    mark->dash_offset_mm = 0.5;
    g_autoptr(TapulLaidInk) laid = lay(laying, ink);
    ck_assert_uint_gt(laid->marks->len, 2);
    double factor = 0, before_mm = 0;
    for (guint k = 0; k < laid->marks->len; k++) {
        const TapulMark *part = mark_of(laid, k);
        ck_assert_double_eq_tol(part->width_mm, 0.4, WIDTH_SHARE * 0.4);
        double here = g_array_index(part->dash_mm, double, 0) / 3;
        ck_assert_double_gt(here, factor);
        factor = here;
        ck_assert_double_eq_tol(g_array_index(part->dash_mm, double, 1), here, 1e-9);
        /* The pattern goes on where the part before left it, counted in the source. */
        ck_assert_double_eq_tol(part->dash_offset_mm / here - 0.5, before_mm, 0.5);
        TapulBox box = tapul_path_box(part->path);
        before_mm = 100 * sin(box.max.x / 100);
    }
    ck_assert_double_eq_tol(laid->laid_length_mm, 100 * asin(0.75), 0.2);
    test_ink_free(ink);
}
END_TEST

/* Upright, then level, where across is stretched by a half: two widths, and the corner still
 * has its join. */
START_TEST(corner_between_two_widths_is_drawn_by_one_of_them) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    g_autoptr(TapulLaying) laying = laid_on(made, TAPUL_LAYING_VIEWED);
    TapulInk *ink = test_ink_new();
    TapulPath *corner = test_line(75, -20, 75, 0);
    tapul_path_line(corner, tapul_vec2(72, 0));
    test_ink_take(ink, TAPUL_MARK_STROKE, corner);
    g_autoptr(TapulLaidInk) laid = lay(laying, ink);
    ck_assert_uint_eq(laid->marks->len, 2);
    const TapulMark *upright = mark_of(laid, 0), *level = mark_of(laid, 1);
    ck_assert_double_gt(upright->width_mm, 1.3 * level->width_mm);
    /* The level stroke starts one width below the corner, goes up to it, and on. */
    TapulVec2 end =
        g_array_index(upright->path->points, TapulVec2, upright->path->points->len - 1);
    TapulVec2 start = g_array_index(level->path->points, TapulVec2, 0);
    ck_assert_double_eq_tol(end.y - start.y, level->width_mm, 0.02);
    ck_assert_double_eq_tol(end.x, start.x, 0.05);
    int moves = 0;
    for (guint i = 0; i < level->path->verbs->len; i++)
        moves += g_array_index(level->path->verbs, guint8, i) == TAPUL_VERB_MOVE;
    ck_assert_int_eq(moves, 1);
    test_ink_free(ink);
}
END_TEST

START_TEST(nothing_is_dropped_in_silence) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    for (int rule = TAPUL_LAYING_ROLLED; rule <= TAPUL_LAYING_VIEWED; rule++) {
        g_autoptr(TapulLaying) laying = laid_on(made, (TapulLayingRule)rule);
        TapulInk *ink = test_ink_new();
        /* The upper edge is 150 above the anchor for every rule. */
        test_ink_take(ink, TAPUL_MARK_STROKE, test_line(20, 100, 20, 200));
        test_ink_take(ink, TAPUL_MARK_STROKE, test_line(-20, 250, 20, 250));
        TapulMark *cover = test_ink_take(ink, TAPUL_MARK_STROKE, test_line(0, 0, 0, 300));
        cover->paper = TRUE;
        g_autoptr(TapulLaidInk) laid = lay(laying, ink);
        ck_assert_double_eq_tol(laid->ink_length_mm, 140, 1e-9);
        ck_assert_double_eq_tol(laid->beyond_edge_mm, 90, 2 * TOLERANCE_MM);
        ck_assert_double_eq_tol(laid->laid_length_mm, 50, 0.1);
        double drawn_mm = 0;
        gboolean covers = FALSE;
        for (guint k = 0; k < laid->marks->len; k++) {
            covers |= mark_of(laid, k)->paper;
            drawn_mm += mark_of(laid, k)->paper ? 0 : tapul_path_length(mark_of(laid, k)->path);
        }
        ck_assert(covers);
        ck_assert_double_eq_tol(drawn_mm, 50, 0.5);
        test_ink_free(ink);
    }
}
END_TEST

START_TEST(areas_beyond_the_edge_are_counted) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    g_autoptr(TapulLaying) laying = laid_on(made, TAPUL_LAYING_ROLLED);
    TapulInk *ink = test_ink_new();
    const double bottoms[] = {0, 130, 400};
    for (int i = 0; i < 3; i++) {
        TapulPath *square = test_line(-20, bottoms[i], 20, bottoms[i]);
        tapul_path_line(square, tapul_vec2(20, bottoms[i] + 40));
        tapul_path_line(square, tapul_vec2(-20, bottoms[i] + 40));
        tapul_path_close(square);
        test_ink_take(ink, TAPUL_MARK_FILL, square)->motif = i;
    }
    g_autoptr(TapulLaidInk) laid = lay(laying, ink);
    ck_assert_int_eq(laid->beyond_edge_fills, 2);
    ck_assert_uint_eq(laid->marks->len, 2);
    ck_assert_int_eq(mark_of(laid, 1)->motif, 1);
    ck_assert_double_eq_tol(tapul_path_area(mark_of(laid, 0)->path), 1600, 16);
    ck_assert_double_eq_tol(tapul_path_area(mark_of(laid, 1)->path), 800, 8);
    ck_assert_double_eq(laid->ink_length_mm, 0);
    test_ink_free(ink);
}
END_TEST

START_TEST(swapped_pins_fold_and_it_is_counted) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    const TapulVec2 print[] = {{-40, -40}, {40, -40}, {-40, 40}, {40, 40}, {-8, 0}, {8, 0}};
    TapulVec2 developed[] = {{-40, -40}, {40, -40}, {-40, 40}, {40, 40}, {8, 0}, {-8, 0}};
    TapulLayingOptions options = {.rule = TAPUL_LAYING_PINNED,
                                  .n_pins = 6,
                                  .pin_print_mm = print,
                                  .pin_developed_mm = developed};
    g_autoptr(TapulLaying) swapped = tapul_laying_new(&made->ground, &options, NULL);
    TapulInk *ink = test_ink_new();
    test_ink_take(ink, TAPUL_MARK_STROKE, test_line(-40, 1, 40, 1));
    g_autoptr(TapulLaidInk) folded = lay(swapped, ink);
    ck_assert_double_gt(folded->folded_mm, 10);
    ck_assert_double_lt(folded->folded_mm, 60);
    options.pin_developed_mm = print;
    g_autoptr(TapulLaying) straight = tapul_laying_new(&made->ground, &options, NULL);
    g_autoptr(TapulLaidInk) flat = lay(straight, ink);
    ck_assert_double_eq(flat->folded_mm, 0);
    test_ink_free(ink);
}
END_TEST

START_TEST(print_that_misses_the_plate_is_an_error) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    g_autoptr(TapulLaying) laying = laid_on(made, TAPUL_LAYING_ROLLED);
    TapulInk *ink = test_ink_new();
    test_ink_take(ink, TAPUL_MARK_STROKE, test_line(500, 500, 600, 500));
    TapulLayInkOptions options = tapul_lay_ink_options_defaults();
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(tapul_lay_ink(laying, ink, &options, &error));
    ck_assert(g_error_matches(error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_OFF_PLATE));
    test_ink_free(ink);
}
END_TEST

static void note_progress(double fraction, gpointer data) {
    double *last = data;
    *last = fmax(*last, fraction);
}

START_TEST(result_is_the_same_on_any_number_of_threads) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    g_autoptr(TapulLaying) laying = laid_on(made, TAPUL_LAYING_ROLLED);
    g_autoptr(GRand) random = g_rand_new_with_seed(41);
    TapulInk *ink = test_ink_new();
    for (int i = 0; i < 60; i++)
        test_ink_take(ink, TAPUL_MARK_STROKE, random_path(random, 140, 4))->motif = i;
    double progress = 0;
    TapulLayInkOptions options = tapul_lay_ink_options_defaults();
    options.progress = note_progress;
    options.progress_data = &progress;
    TapulLaidInk *laid[3];
    for (int i = 0; i < 3; i++) {
        omp_set_num_threads(i + 1);
        laid[i] = tapul_lay_ink(laying, ink, &options, NULL);
    }
    ck_assert_double_eq(progress, 1);
    ck_assert_double_gt(laid[0]->beyond_edge_mm, 0);
    for (int i = 1; i < 3; i++) {
        ck_assert_uint_eq(laid[0]->marks->len, laid[i]->marks->len);
        ck_assert_double_eq(laid[0]->laid_length_mm, laid[i]->laid_length_mm);
        ck_assert_double_eq(laid[0]->beyond_edge_mm, laid[i]->beyond_edge_mm);
        for (guint k = 0; k < laid[0]->marks->len; k++) {
            const TapulMark *a = mark_of(laid[0], k), *b = mark_of(laid[i], k);
            ck_assert_int_eq(a->motif, b->motif);
            ck_assert_uint_eq(a->path->points->len, b->path->points->len);
            ck_assert_mem_eq(a->path->points->data, b->path->points->data,
                             a->path->points->len * sizeof(TapulVec2));
        }
    }
    for (int i = 0; i < 3; i++)
        tapul_laid_ink_free(laid[i]);
    test_ink_free(ink);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("laying_ink");
    TCase *facts = tcase_create("facts");
    tcase_set_timeout(facts, 120);
    tcase_add_test(facts, laid_strokes_lie_where_the_rule_puts_them);
    tcase_add_test(facts, ridged_plate_is_laid_as_well);
    tcase_add_test(facts, circle_about_the_anchor_shrinks_as_its_closed_form);
    tcase_add_test(facts, widths_follow_the_stretch_across);
    tcase_add_test(facts, slanting_stroke_is_cut_where_its_width_changes);
    tcase_add_test(facts, dashes_follow_the_stretch_along);
    tcase_add_test(facts, corner_between_two_widths_is_drawn_by_one_of_them);
    tcase_add_test(facts, nothing_is_dropped_in_silence);
    tcase_add_test(facts, areas_beyond_the_edge_are_counted);
    tcase_add_test(facts, swapped_pins_fold_and_it_is_counted);
    tcase_add_test(facts, print_that_misses_the_plate_is_an_error);
    tcase_add_test(facts, result_is_the_same_on_any_number_of_threads);
    suite_add_tcase(suite, facts);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
