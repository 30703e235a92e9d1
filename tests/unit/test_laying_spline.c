/* Thin-plate splines against Bookstein's examples, and smoothing against noise of known size.
 */
#include "laying/spline.h"

#include <check.h>
#include <stdlib.h>

static double squared(double value) {
    return value * value;
}

/* Figures of the references are given to six decimals. */
#define SIX_DECIMALS 1.5e-6

/* Bookstein, IEEE PAMI 11(6) 1989, square to kite; recomputed with the R package fields. */
START_TEST(square_bends_to_a_kite) {
    const TapulVec2 square[] = {{0, 1}, {-1, 0}, {0, -1}, {1, 0}};
    const TapulVec2 kite[] = {{0, 0.75}, {-1, 0.25}, {0, -1.25}, {1, 0.25}};
    g_autoptr(TapulSpline) spline = tapul_spline_new(4, square, kite, 0);
    const double signs[] = {-1, 1, -1, 1};
    for (int i = 0; i < 4; i++) {
        ck_assert_double_eq_tol(spline->weight[i].x, 0, 1e-12);
        ck_assert_double_eq_tol(spline->weight[i].y, signs[i] / (16 * log(2)), 1e-12);
    }
    ck_assert_double_eq_tol(spline->by_x.x, 1, 1e-12);
    ck_assert_double_eq_tol(spline->by_x.y, 0, 1e-12);
    ck_assert_double_eq_tol(spline->by_y.x, 0, 1e-12);
    ck_assert_double_eq_tol(spline->by_y.y, 1, 1e-12);
    TapulVec2 energy = tapul_spline_energy(spline);
    ck_assert_double_eq_tol(energy.x, 0, 1e-12);
    ck_assert_double_eq_tol(energy.y, 0.090168, SIX_DECIMALS);
    TapulVec2 inside = tapul_spline_point(spline, tapul_vec2(0.5, 0));
    TapulVec2 outside = tapul_spline_point(spline, tapul_vec2(1.5, 0.5));
    ck_assert_double_eq_tol(inside.x, 0.5, SIX_DECIMALS);
    ck_assert_double_eq_tol(inside.y, 0.082969, SIX_DECIMALS);
    ck_assert_double_eq_tol(outside.x, 1.5, SIX_DECIMALS);
    ck_assert_double_eq_tol(outside.y, 0.748961, SIX_DECIMALS);
}
END_TEST

/* The five landmarks of the same paper; weights and points recomputed with the R package
 * fields. */
static const TapulVec2 five_from[] = {{3.6929, 10.3819},
                                      {6.5827, 8.8386},
                                      {6.7756, 12.0866},
                                      {4.8189, 11.2047},
                                      {5.6969, 10.0748}};
static const TapulVec2 five_to[] = {
    {3.9724, 6.5354}, {6.6969, 4.1181}, {6.5394, 7.2362}, {5.4016, 6.4528}, {5.7756, 5.1142}};

START_TEST(five_landmarks_give_the_published_spline) {
    const TapulVec2 weights[] = {{-0.038030, 0.042447},
                                 {0.023188, 0.015917},
                                 {-0.024755, 0.028813},
                                 {0.079782, -0.045426},
                                 {-0.040185, -0.041751}};
    g_autoptr(TapulSpline) spline = tapul_spline_new(5, five_from, five_to, 0);
    for (int i = 0; i < 5; i++) {
        ck_assert_double_eq_tol(spline->weight[i].x, weights[i].x, SIX_DECIMALS);
        ck_assert_double_eq_tol(spline->weight[i].y, weights[i].y, SIX_DECIMALS);
    }
    ck_assert_double_eq_tol(spline->constant.x, 1.354996, SIX_DECIMALS);
    ck_assert_double_eq_tol(spline->by_x.x, 0.874726, SIX_DECIMALS);
    ck_assert_double_eq_tol(spline->by_y.x, -0.028860, SIX_DECIMALS);
    ck_assert_double_eq_tol(spline->constant.y, -2.945963, SIX_DECIMALS);
    ck_assert_double_eq_tol(spline->by_x.y, -0.295561, SIX_DECIMALS);
    ck_assert_double_eq_tol(spline->by_y.y, 0.921633, SIX_DECIMALS);
    TapulVec2 energy = tapul_spline_energy(spline);
    ck_assert_double_eq_tol(energy.x, 0.041192, SIX_DECIMALS);
    ck_assert_double_eq_tol(energy.y, 0.044807, SIX_DECIMALS);
    const TapulVec2 from[] = {{5, 10}, {5.5, 11}, {4, 9}, {6.6, 10.5}};
    const TapulVec2 to[] = {
        {5.203213, 5.347881}, {5.812960, 6.034328}, {4.150809, 5.176904}, {6.524159, 5.444773}};
    for (int i = 0; i < 4; i++) {
        TapulVec2 found = tapul_spline_point(spline, from[i]);
        ck_assert_double_eq_tol(found.x, to[i].x, SIX_DECIMALS);
        ck_assert_double_eq_tol(found.y, to[i].y, SIX_DECIMALS);
    }
}
END_TEST

START_TEST(derivatives_are_those_of_the_points) {
    g_autoptr(TapulSpline) spline = tapul_spline_new(5, five_from, five_to, 0.1);
    TapulVec2 at = {5.1, 10.3}, by_x, by_y;
    const double step = 1e-5;
    tapul_spline_differential(spline, at, &by_x, &by_y);
    TapulVec2 right = tapul_spline_point(spline, tapul_vec2(at.x + step, at.y));
    TapulVec2 left = tapul_spline_point(spline, tapul_vec2(at.x - step, at.y));
    TapulVec2 above = tapul_spline_point(spline, tapul_vec2(at.x, at.y + step));
    TapulVec2 below = tapul_spline_point(spline, tapul_vec2(at.x, at.y - step));
    ck_assert_double_eq_tol(by_x.x, (right.x - left.x) / (2 * step), 1e-8);
    ck_assert_double_eq_tol(by_x.y, (right.y - left.y) / (2 * step), 1e-8);
    ck_assert_double_eq_tol(by_y.x, (above.x - below.x) / (2 * step), 1e-8);
    ck_assert_double_eq_tol(by_y.y, (above.y - below.y) / (2 * step), 1e-8);
}
END_TEST

START_TEST(affine_pairs_bend_nothing) {
    TapulVec2 affine[5];
    for (int i = 0; i < 5; i++)
        affine[i] =
            tapul_vec2(3 + 2 * five_from[i].x - five_from[i].y, 1 + 0.5 * five_from[i].x);
    const double smoothings[] = {0, 1, INFINITY};
    for (int k = 0; k < 3; k++) {
        g_autoptr(TapulSpline) spline = tapul_spline_new(5, five_from, affine, smoothings[k]);
        TapulVec2 far = tapul_spline_point(spline, tapul_vec2(100, -50));
        ck_assert_double_eq_tol(far.x, 253, 1e-9);
        ck_assert_double_eq_tol(far.y, 51, 1e-9);
    }
    ck_assert(isinf(tapul_spline_smoothing(5, five_from, affine, 0.1)));
}
END_TEST

START_TEST(coinciding_points_need_smoothing) {
    const TapulVec2 from[] = {{0, 0}, {10, 0}, {0, 10}, {10, 10}, {10, 10}};
    const TapulVec2 to[] = {{0, 0}, {10, 0}, {0, 10}, {10, 12}, {11, 12}};
    ck_assert_ptr_null(tapul_spline_new(5, from, to, 0));
    double smoothing = tapul_spline_smoothing(5, from, to, 0.5);
    ck_assert_double_gt(smoothing, 0);
    g_autoptr(TapulSpline) spline = tapul_spline_new(5, from, to, smoothing);
    ck_assert_ptr_nonnull(spline);
    TapulVec2 between = tapul_spline_point(spline, from[4]);
    ck_assert_double_gt(between.x, 9.9);
    ck_assert_double_lt(between.x, 11.1);
}
END_TEST

/* A bent grid with normal noise: the misfit that is left must be the noise that is in it. 81
 * points leave a spread of some 10 % (one standard deviation) on an estimate of the noise; the
 * mean of 20 trials 2 %. */
START_TEST(smoothing_leaves_the_picking_error) {
    enum { SIDE = 9, N = SIDE * SIDE, TRIALS = 20 };
    const double sd_mm = 0.5;
    g_autoptr(GRand) random = g_rand_new_with_seed(11);
    double misfit = 0, astray = 0;
    for (int trial = 0; trial < TRIALS; trial++) {
        TapulVec2 from[N], bent[N], to[N];
        for (int i = 0; i < N; i++) {
            from[i] = tapul_vec2(10.0 * (i % SIDE), 10.0 * (double)(i / SIDE));
            bent[i] = tapul_vec2(from[i].x + 4 * sin(from[i].y / 25),
                                 from[i].y + 3 * cos(from[i].x / 30));
            double r = sd_mm * sqrt(-2 * log(1 - g_rand_double(random)));
            double angle_rad = 2 * G_PI * g_rand_double(random);
            to[i] = tapul_vec2_add(bent[i], tapul_vec2_turn(tapul_vec2(r, 0), angle_rad));
        }
        double smoothing = tapul_spline_smoothing(N, from, to, sd_mm);
        g_autoptr(TapulSpline) spline = tapul_spline_new(N, from, to, smoothing);
        for (int i = 0; i < N; i++) {
            TapulVec2 laid = tapul_spline_point(spline, from[i]);
            misfit += squared(tapul_vec2_distance(laid, to[i])) / (2 * N * TRIALS);
            astray += squared(tapul_vec2_distance(laid, bent[i])) / (2 * N * TRIALS);
        }
    }
    /* Some of the noise is followed: the misfit is below it, but nearer to it than to nothing.
     */
    ck_assert_double_lt(sqrt(misfit), sd_mm);
    ck_assert_double_gt(sqrt(misfit), 0.7 * sd_mm);
    /* And the bend itself is found to better than a single pick. */
    ck_assert_double_lt(sqrt(astray), 0.6 * sd_mm);
}
END_TEST

START_TEST(more_error_smooths_more) {
    double last = 0;
    for (int i = 0; i < 6; i++) {
        double smoothing = tapul_spline_smoothing(5, five_from, five_to, 0.01 * pow(2, i));
        ck_assert_double_ge(smoothing, last);
        last = smoothing;
    }
    ck_assert_double_eq(tapul_spline_smoothing(5, five_from, five_to, 0), 0);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("laying_spline");
    TCase *facts = tcase_create("facts");
    tcase_add_test(facts, square_bends_to_a_kite);
    tcase_add_test(facts, five_landmarks_give_the_published_spline);
    tcase_add_test(facts, derivatives_are_those_of_the_points);
    tcase_add_test(facts, affine_pairs_bend_nothing);
    tcase_add_test(facts, coinciding_points_need_smoothing);
    tcase_add_test(facts, smoothing_leaves_the_picking_error);
    tcase_add_test(facts, more_error_smooths_more);
    suite_add_tcase(suite, facts);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
