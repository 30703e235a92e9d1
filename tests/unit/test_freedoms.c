/* Scores and the rule of preference: published figures of both, the right freedom and hand in
 * simulations, and noise, which must not be laid to the freest. */
#include "evidence/hypothesis.h"
#include "evidence/score.h"

#include <check.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <stdio.h>
#include <stdlib.h>

enum { ROOM = 32 };

/* Hald's cement data (MASS::cement, n 13): AICc less its constant part, and weights. */
START_TEST(halds_models_have_their_aicc_and_weights) {
    const struct {
        double k, rss, aicc, weight;
    } hald[] = {{4, 57.9045, 32.4200, .5657}, {5, 47.9727, 35.5453, .1186},
                {5, 48.1106, 35.5826, .1164}, {4, 74.7621, 35.7417, .1075},
                {5, 50.8361, 36.2990, .0813}, {5, 73.8146, 41.1473, .0072},
                {6, 47.8636, 42.9443, .0029}};
    double aicc[7], weight[7], constant = 13 * (log(2 * G_PI) + 1);
    for (int i = 0; i < 7; i++) {
        aicc[i] = tapul_score_aicc(13, hald[i].rss, 0, hald[i].k);
        ck_assert_double_eq_tol(aicc[i] - constant, hald[i].aicc, 1e-4);
    }
    tapul_score_weights(7, aicc, weight);
    /* The eight models that are not listed here have a weight of 0.0004 together. */
    for (int i = 0; i < 7; i++)
        ck_assert_double_eq_tol(weight[i] * (1 - 0.0004), hald[i].weight, 1e-4);
}
END_TEST

START_TEST(scores_count_what_picking_explains_only_once) {
    /* Below the floor, less misfit is worth its own share and no more. */
    ck_assert_double_eq_tol(tapul_score_aicc(24, 3, 0.25, 5) - tapul_score_aicc(24, 1, 0.25, 5),
                            2 / 0.25, 1e-9);
    ck_assert(isinf(tapul_score_aicc(10, 1, 0.25, 9)));
    ck_assert(isfinite(tapul_score_aicc(10, 0, 0.25, 8.9)));
    const double none[] = {INFINITY, INFINITY};
    double weight[2];
    tapul_score_weights(2, none, weight);
    ck_assert_double_eq(weight[0] + weight[1], 0);
}
END_TEST

/* A print of 90 x 130 mm, its points about its middle, placed. */
static TapulVec2 print_point(gsl_rng *random) {
    return tapul_vec2(90 * gsl_rng_uniform(random), 130 * gsl_rng_uniform(random));
}

#define PRESSING_MM ((TapulVec2){45, 65})

static TapulVec2 placed(TapulVec2 p, double scale, double turn_rad, gboolean reversed) {
    TapulVec2 v = tapul_vec2_sub(p, PRESSING_MM);
    v.x = reversed ? -v.x : v.x;
    return tapul_vec2_turn(tapul_vec2_scale(v, scale), turn_rad);
}

static TapulVec2 picked(gsl_rng *random, TapulVec2 q, double sd_mm) {
    return tapul_vec2(q.x + gsl_ran_gaussian(random, sd_mm),
                      q.y + gsl_ran_gaussian(random, sd_mm));
}

static const TapulHypothesis *row(const GPtrArray *rows, guint i) {
    return g_ptr_array_index(rows, i);
}

typedef struct {
    TapulSitting sitting;
    TapulVec2 print_mm[ROOM], plane_mm[ROOM];
    TapulPlaneMetric metric[ROOM];
} Points;

#define PICK_SD_MM 0.5
#define BEND_MM    12

/* The freedom that would be preferred, by the rule of the table, among fits of one sitting. */
static TapulFreedom preferred_freedom(const TapulSitting *sitting, gboolean *reversed) {
    g_autoptr(GPtrArray) rows = g_ptr_array_new_with_free_func(g_free);
    for (int hand = 0; hand < 2; hand++)
        for (int freedom = 0; freedom <= TAPUL_FREEDOM_BENT; freedom++) {
            TapulPlaneFit fit;
            if (!tapul_plane_fit(sitting, (TapulFreedom)freedom, hand, sitting->n, NULL, NULL,
                                 PICK_SD_MM, &fit))
                continue;
            TapulHypothesis *one = g_new0(TapulHypothesis, 1);
            one->freedom = fit.freedom;
            one->reversed = hand;
            one->parameters = fit.parameters;
            one->aicc = tapul_score_aicc(2 * sitting->n, fit.rss_mm2, PICK_SD_MM * PICK_SD_MM,
                                         fit.parameters + 1);
            g_ptr_array_add(rows, one);
            tapul_plane_fit_clear(&fit);
        }
    tapul_hypotheses_sort(rows);
    *reversed = row(rows, 0)->reversed;
    return row(rows, 0)->freedom;
}

/* Where a print of a given freedom puts a point: stretched by 8 %, bent by 12 mm at its sides.
 */
static TapulVec2 laid(TapulVec2 p, TapulFreedom freedom, gboolean reversed) {
    TapulVec2 q = placed(p, freedom == TAPUL_FREEDOM_TRACED ? 1 : 0.93, 0.2, reversed);
    if (freedom >= TAPUL_FREEDOM_STRETCHED)
        q.x *= 1.08;
    if (freedom == TAPUL_FREEDOM_BENT)
        q.y += BEND_MM * (p.x / 45 - 1) * (p.x / 45 - 1);
    return q;
}

static void points_new(Points *points, int n) {
    for (int k = 0; k < n; k++)
        points->metric[k] = (TapulPlaneMetric){1, 0, 1};
    points->sitting = (TapulSitting){.geometry = TAPUL_LAYING_DEVELOPED,
                                     .n = n,
                                     .print_mm = points->print_mm,
                                     .plane_mm = points->plane_mm,
                                     .metric = points->metric};
}

START_TEST(the_right_freedom_and_hand_are_preferred) {
    /* Of a bend 12 pairs tell little: the spline takes some 12 of their 24 coordinates. */
    static const struct {
        int n;
        TapulFreedom truth;
    } cases[] = {{12, TAPUL_FREEDOM_TRACED},    {12, TAPUL_FREEDOM_SCALED},
                 {12, TAPUL_FREEDOM_STRETCHED}, {20, TAPUL_FREEDOM_TRACED},
                 {20, TAPUL_FREEDOM_SCALED},    {20, TAPUL_FREEDOM_STRETCHED},
                 {20, TAPUL_FREEDOM_BENT}};
    const int simulations = 500;
    TapulFreedom truth = cases[_i].truth;
    int n = cases[_i].n, right = 0, right_hand = 0;
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(random, (unsigned long)_i + 1);
    Points points;
    points_new(&points, n);
    for (int i = 0; i < simulations; i++) {
        gboolean reversed;
        for (int k = 0; k < n; k++) {
            points.print_mm[k] = print_point(random);
            points.plane_mm[k] =
                picked(random, laid(points.print_mm[k], truth, i % 2), PICK_SD_MM);
        }
        right += preferred_freedom(&points.sitting, &reversed) == truth;
        right_hand += reversed == i % 2;
    }
    gsl_rng_free(random);
    printf("%d pairs, %s: freedom right in %d, hand in %d of %d\n", n,
           tapul_freedom_name(truth), right, right_hand, simulations);
    ck_assert_int_ge(right * 100, 95 * simulations);
    ck_assert_int_ge(right_hand * 100, 95 * simulations);
}
END_TEST

/* Points that have nothing to do with each other: what is freest fits best, and is not paid
 * for it. */
START_TEST(noise_is_not_laid_to_the_freest) {
    const int simulations = 500, sizes[] = {8, 12, 20};
    int n = sizes[_i], chosen[4] = {0};
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    Points points;
    points_new(&points, n);
    for (int i = 0; i < simulations; i++) {
        gboolean reversed;
        for (int k = 0; k < n; k++) {
            points.print_mm[k] = print_point(random);
            points.plane_mm[k] = print_point(random);
        }
        chosen[preferred_freedom(&points.sitting, &reversed)]++;
    }
    gsl_rng_free(random);
    printf("noise, %d pairs: traced %d, scaled %d, stretched %d, bent %d of %d\n", n, chosen[0],
           chosen[1], chosen[2], chosen[3], simulations);
    ck_assert_int_le(chosen[TAPUL_FREEDOM_BENT] * 100, simulations);
    ck_assert_int_le(chosen[TAPUL_FREEDOM_STRETCHED] * 100, 5 * simulations);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("freedoms");
    TCase *tests = tcase_create("freedoms");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, halds_models_have_their_aicc_and_weights);
    tcase_add_test(tests, scores_count_what_picking_explains_only_once);
    tcase_add_loop_test(tests, the_right_freedom_and_hand_are_preferred, 0, 7);
    tcase_add_loop_test(tests, noise_is_not_laid_to_the_freest, 0, 3);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
