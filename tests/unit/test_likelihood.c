/* Likelihood ratios: their words, what a pool can say and what it cannot, and how often they
 * mislead. */
#include "evidence/likelihood.h"

#include <check.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <stdlib.h>

/* ENFSI guideline for evaluative reporting, 2015 [V2 by spot values; band edges M]. */
START_TEST(ratios_have_the_words_of_their_bands) {
    const struct {
        double ratio;
        const char *words;
    } spots[] = {{1, "no support"},
                 {1.9, "no support"},
                 {2, "weak support"},
                 {9, "weak support"},
                 {50, "moderate support"},
                 {500, "moderately strong support"},
                 {5000, "strong support"},
                 {5e5, "very strong support"},
                 {5e6, "extremely strong support"}};
    for (guint i = 0; i < G_N_ELEMENTS(spots); i++) {
        ck_assert_str_eq(tapul_likelihood_words(spots[i].ratio), spots[i].words);
        ck_assert_str_eq(tapul_likelihood_words(1 / spots[i].ratio), spots[i].words);
    }
}
END_TEST

/* Scores whose log odds are normal: different sources about -middle, same about middle, with a
 * standard deviation of 1. */
static double normal_score(gsl_rng *random, double middle) {
    return 1 / (1 + exp(-middle - gsl_ran_gaussian(random, 1)));
}

#define MOST_OF_POOL 400
typedef struct {
    double same[MOST_OF_POOL], different[MOST_OF_POOL];
} Scores;

static void draw_scores(gsl_rng *random, int pool, double middle, Scores *scores) {
    for (int i = 0; i < pool; i++) {
        scores->same[i] = normal_score(random, middle);
        scores->different[i] = normal_score(random, -middle);
    }
}

static gsl_rng *random_numbers;
static void set_up(void) {
    random_numbers = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(random_numbers, 17);
}
static void tear_down(void) {
    gsl_rng_free(random_numbers);
}

START_TEST(a_pool_limits_its_ratio) {
    Scores scores;
    draw_scores(random_numbers, 30, 4, &scores);
    TapulLikelihoodRatio found =
        tapul_likelihood_ratio(0.999, 30, scores.same, scores.different);
    ck_assert(found.has);
    ck_assert_int_eq(found.pool, 30);
    ck_assert_double_eq(found.limit, 31);
    ck_assert_double_eq(found.value, 31);
    ck_assert_double_eq(found.misleading_share, 0);
    ck_assert_str_eq(found.words, "moderate support");
    found = tapul_likelihood_ratio(0.001, 30, scores.same, scores.different);
    ck_assert_double_eq_tol(found.value, 1.0 / 31, 1e-12);
}
END_TEST

/* The closed form: normals of the same spread and middles 2 apart have the ratio exp(2 x). The
 * kernels widen a spread of 1 to sqrt(1 + h^2), h = 0.9 * 400^-0.2 = 0.27: 7 %; four standard
 * errors of 400 scores about them. */
START_TEST(many_scores_give_the_ratio_of_their_densities) {
    Scores scores;
    draw_scores(random_numbers, MOST_OF_POOL, 1, &scores);
    for (double x = -0.9; x < 1; x += 0.3) {
        double score = 1 / (1 + exp(-x));
        TapulLikelihoodRatio found =
            tapul_likelihood_ratio(score, MOST_OF_POOL, scores.same, scores.different);
        ck_assert_double_eq_tol(log(found.value), 2 * x, 0.35);
    }
}
END_TEST

START_TEST(scores_of_one_kind_say_nothing) {
    Scores scores;
    draw_scores(random_numbers, MOST_OF_POOL, 0, &scores);
    for (double score = 0.05; score < 1; score += 0.1) {
        TapulLikelihoodRatio found =
            tapul_likelihood_ratio(score, MOST_OF_POOL, scores.same, scores.different);
        ck_assert_str_eq(found.words, "no support");
    }
}
END_TEST

START_TEST(a_better_score_is_never_weaker_beyond_the_middles) {
    Scores scores;
    draw_scores(random_numbers, 20, 2, &scores);
    double last = 0;
    for (double score = 0.9; score <= 1; score += 0.01) {
        double value = tapul_likelihood_ratio(score, 20, scores.same, scores.different).value;
        ck_assert_double_ge(value, last * (1 - 1e-12));
        last = value;
    }
}
END_TEST

/* Prints that all score alike, at the very end, still make a ratio; so few are held to 10. */
START_TEST(scores_all_alike_are_borne) {
    double same[12], different[12];
    for (int i = 0; i < 12; i++) {
        same[i] = 1;
        different[i] = 0;
    }
    TapulLikelihoodRatio found = tapul_likelihood_ratio(0.5, 12, same, different);
    ck_assert(isfinite(found.value));
    ck_assert_double_eq(tapul_likelihood_ratio(1, 12, same, different).value, 10);
    ck_assert_double_eq_tol(tapul_likelihood_ratio(0, 12, same, different).value, 0.1, 1e-12);
}
END_TEST

/* One of the pool that scores as its own tracing would: when it is left out, the others call it
 * the source, and no ratio above 10 is given any more. */
START_TEST(a_pool_that_misleads_itself_is_held_to_ten) {
    Scores scores;
    draw_scores(random_numbers, 30, 4, &scores);
    scores.different[7] = scores.same[3];
    TapulLikelihoodRatio found =
        tapul_likelihood_ratio(0.98, 30, scores.same, scores.different);
    ck_assert_double_eq_tol(found.misleading_share, 1.0 / 60, 1e-12);
    ck_assert_double_le(found.value, 10);
    ck_assert_double_eq(found.limit, 10);
}
END_TEST

enum { MISLEADING_TRIALS = 1500 };

/* Of every hundred ratios at most one is above 10 and points the wrong way, however far the
 * kinds lie apart. */
START_TEST(ratios_mislead_in_one_of_a_hundred_at_most) {
    const int pools[] = {10, 20, 30};
    const double middles[] = {0.25, 0.5, 1, 1.5, 2, 3};
    for (guint p = 0; p < G_N_ELEMENTS(pools); p++)
        for (guint m = 0; m < G_N_ELEMENTS(middles); m++) {
            int wrong = 0;
            for (int i = 0; i < MISLEADING_TRIALS; i++) {
                Scores scores;
                draw_scores(random_numbers, pools[p], middles[m], &scores);
                double same = normal_score(random_numbers, middles[m]);
                double other = normal_score(random_numbers, -middles[m]);
                double for_it =
                    tapul_likelihood_ratio(same, pools[p], scores.same, scores.different).value;
                double against =
                    tapul_likelihood_ratio(other, pools[p], scores.same, scores.different)
                        .value;
                wrong += (for_it < 0.1) + (against > 10);
            }
            ck_assert_int_le(100 * wrong, 2 * MISLEADING_TRIALS);
        }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("likelihood");
    TCase *cases = tcase_create("likelihood");
    tcase_set_timeout(cases, 300);
    tcase_add_checked_fixture(cases, set_up, tear_down);
    tcase_add_test(cases, ratios_have_the_words_of_their_bands);
    tcase_add_test(cases, a_pool_limits_its_ratio);
    tcase_add_test(cases, many_scores_give_the_ratio_of_their_densities);
    tcase_add_test(cases, scores_of_one_kind_say_nothing);
    tcase_add_test(cases, a_better_score_is_never_weaker_beyond_the_middles);
    tcase_add_test(cases, scores_all_alike_are_borne);
    tcase_add_test(cases, a_pool_that_misleads_itself_is_held_to_ten);
    tcase_add_test(cases, ratios_mislead_in_one_of_a_hundred_at_most);
    suite_add_tcase(suite, cases);
    SRunner *runner = srunner_create(suite);
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
