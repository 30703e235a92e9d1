/* Intervals of scale and turn: whether they hold the truth as often as they say, their formula
 * by hand, and what they do with pairs that hardly determine a fit. */
#include "evidence/bootstrap.h"

#include <check.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <stdio.h>
#include <stdlib.h>

enum { ROOM = 64 };

typedef struct {
    TapulSitting sitting;
    TapulVec2 print_mm[ROOM], plane_mm[ROOM];
    TapulPlaneMetric metric[ROOM];
} Points;

#define TRUE_SCALE    0.75
#define TRUE_TURN_RAD 3.13 /* half a circle, so that replicates pass +-pi */

/* Pairs picked with an error of sd_mm from a print laid at a known scale and turn. */
static const TapulSitting *laid_pairs(Points *points, gsl_rng *random, int n, double sd_mm,
                                      gboolean reversed) {
    for (int k = 0; k < n; k++) {
        TapulVec2 p = {90 * gsl_rng_uniform(random), 130 * gsl_rng_uniform(random)};
        TapulVec2 placed =
            tapul_vec2_turn(tapul_vec2(reversed ? -p.x : p.x, p.y), TRUE_TURN_RAD);
        points->print_mm[k] = p;
        points->plane_mm[k] =
            tapul_vec2(40 + TRUE_SCALE * placed.x + gsl_ran_gaussian(random, sd_mm),
                       260 + TRUE_SCALE * placed.y + gsl_ran_gaussian(random, sd_mm));
        points->metric[k] = (TapulPlaneMetric){1, 0, 1};
    }
    points->sitting = (TapulSitting){.geometry = TAPUL_LAYING_DEVELOPED,
                                     .n = n,
                                     .print_mm = points->print_mm,
                                     .plane_mm = points->plane_mm,
                                     .metric = points->metric};
    return &points->sitting;
}

static gboolean holds(TapulInterval interval, double value) {
    return interval.low <= value && value <= interval.high;
}

static void check_coverage(int n, double sd_mm) {
    const int simulations = 400, draws = 1000;
    int scale_held = 0, turn_held = 0;
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(random, (unsigned long)n);
    for (int i = 0; i < simulations; i++) {
        Points points;
        TapulScaleIntervals made;
        laid_pairs(&points, random, n, sd_mm, i % 2);
        ck_assert(tapul_bootstrap_scale(&points.sitting, i % 2, draws, (guint64)i, &made));
        scale_held += holds(made.scale_ci95, TRUE_SCALE);
        turn_held += holds(made.turn_ci95_rad, TRUE_TURN_RAD) ||
                     holds(made.turn_ci95_rad, TRUE_TURN_RAD - 2 * G_PI);
    }
    gsl_rng_free(random);
    double scale_share = 100.0 * scale_held / simulations;
    double turn_share = 100.0 * turn_held / simulations;
    printf("%d pairs: 95 %% intervals hold the scale in %.1f %%, the turn in %.1f %% of %d\n",
           n, scale_share, turn_share, simulations);
    ck_assert_double_ge(scale_share, 90);
    ck_assert_double_le(scale_share, 99);
    ck_assert_double_ge(turn_share, 90);
    ck_assert_double_le(turn_share, 99);
}

START_TEST(intervals_hold_the_truth_as_often_as_they_say) {
    const int pairs[] = {6, 8, 12, 20, 40};
    check_coverage(pairs[_i], 0.5);
}
END_TEST

/* Replicates that are the quantiles of a normal distribution: an end is then the quantile asked
 * for, which Efron & Tibshirani 1993, eq. 14.10 and 14.15, give by hand. */
static TapulInterval of_normal(double estimate, int n, const double *left_out) {
    enum { DRAWS = 20001 };
    g_autofree double *replicate = g_new(double, DRAWS);
    for (int i = 0; i < DRAWS; i++)
        replicate[i] = gsl_cdf_ugaussian_Pinv((i + 0.5) / DRAWS);
    return tapul_bootstrap_bca(DRAWS, replicate, estimate, n, left_out, 4);
}

START_TEST(plain_replicates_give_the_quantiles_of_student) {
    const double left_out[] = {-2, -1, 0, 1, 2, -3, 3, 0.5, -0.5, 0};
    TapulInterval interval = of_normal(0, 10, left_out);
    /* t(0.975, 16) = 2.119905 (any table), times sqrt(20 / 16). */
    ck_assert_double_eq_tol(interval.high, 2.119905 * sqrt(20.0 / 16), 2e-3);
    ck_assert_double_eq_tol(interval.low, -2.119905 * sqrt(20.0 / 16), 2e-3);
}
END_TEST

START_TEST(bias_and_skewness_move_the_ends) {
    /* Mean 0; the squares sum to 24, the cubes of mean - value to -24. */
    const double left_out[] = {2, -1, -1, 2, -1, -1, 2, -1, -1, 2, -1, -1};
    double acceleration = -24 / (6 * pow(24, 1.5)), bias = 0.3;
    double quantile = 2.085963 * sqrt(24.0 / 20); /* t(0.975, 20), 24 components less 4 */
    TapulInterval interval = of_normal(bias, 12, left_out);
    double high = bias + quantile, low = bias - quantile;
    ck_assert_double_eq_tol(interval.high, bias + high / (1 - acceleration * high), 0.01);
    ck_assert_double_eq_tol(interval.low, bias + low / (1 - acceleration * low), 0.01);
}
END_TEST

START_TEST(one_seed_gives_one_interval) {
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    Points points;
    TapulScaleIntervals first, again, other;
    laid_pairs(&points, random, 12, 0.5, FALSE);
    ck_assert(tapul_bootstrap_scale(&points.sitting, FALSE, 2000, 7, &first));
    ck_assert(tapul_bootstrap_scale(&points.sitting, FALSE, 2000, 7, &again));
    ck_assert(tapul_bootstrap_scale(&points.sitting, FALSE, 2000, 8, &other));
    ck_assert_double_eq(first.scale_ci95.low, again.scale_ci95.low);
    ck_assert_double_eq(first.turn_ci95_rad.high, again.turn_ci95_rad.high);
    ck_assert_double_ne(first.scale_ci95.low, other.scale_ci95.low);
    gsl_rng_free(random);
}
END_TEST

/* Four pairs drawn four times: one draw in 64 is one pair alone. */
START_TEST(draws_that_determine_nothing_are_drawn_again_and_counted) {
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    Points points;
    TapulScaleIntervals made;
    laid_pairs(&points, random, 4, 0.5, FALSE);
    ck_assert(tapul_bootstrap_scale(&points.sitting, FALSE, 6400, 1, &made));
    ck_assert_int_ge(made.redrawn, 60);
    ck_assert_int_le(made.redrawn, 150);
    ck_assert(isfinite(made.scale_ci95.low) && isfinite(made.scale_ci95.high));
    gsl_rng_free(random);
}
END_TEST

START_TEST(pairs_that_determine_nothing_have_no_interval) {
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    Points points;
    TapulScaleIntervals made;
    laid_pairs(&points, random, 6, 0.5, FALSE);
    for (int k = 1; k < 6; k++)
        points.print_mm[k] = points.print_mm[0];
    ck_assert(!tapul_bootstrap_scale(&points.sitting, FALSE, 200, 1, &made));
    laid_pairs(&points, random, 3, 0.5, FALSE);
    ck_assert(!tapul_bootstrap_scale(&points.sitting, FALSE, 200, 1, &made));
    gsl_rng_free(random);
}
END_TEST

START_TEST(ratios_within_the_interval_are_named) {
    TapulRatio ratios[7];
    tapul_ratios_fill(ratios, (TapulInterval){0.66, 0.76});
    for (int i = 0; i < 7; i++)
        ck_assert_int_eq(ratios[i].inside, g_str_equal(ratios[i].ratio, "2/3") ||
                                               g_str_equal(ratios[i].ratio, "3/4"));
    tapul_ratios_fill(ratios, (TapulInterval){0.99, 1.01});
    for (int i = 0; i < 7; i++)
        ck_assert_int_eq(ratios[i].inside, g_str_equal(ratios[i].ratio, "1/1"));
}
END_TEST

int main(void) {
    Suite *suite = suite_create("bootstrap");
    TCase *tests = tcase_create("bootstrap");
    tcase_set_timeout(tests, 120);
    tcase_add_loop_test(tests, intervals_hold_the_truth_as_often_as_they_say, 0, 5);
    tcase_add_test(tests, plain_replicates_give_the_quantiles_of_student);
    tcase_add_test(tests, bias_and_skewness_move_the_ends);
    tcase_add_test(tests, one_seed_gives_one_interval);
    tcase_add_test(tests, draws_that_determine_nothing_are_drawn_again_and_counted);
    tcase_add_test(tests, pairs_that_determine_nothing_have_no_interval);
    tcase_add_test(tests, ratios_within_the_interval_are_named);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
