/* Chance: relabelled pairs, whole and within the halves of a symmetric print. */
#include "evidence/classes.h"
#include "evidence/permute.h"
#include "pairs_for_tests.h"

#include <gsl/gsl_sort.h>
#include <stdlib.h>

static TestGround *ground;
static gsl_rng *random_numbers;

static void set_up(void) {
    ground = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    random_numbers = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(random_numbers, 11);
}

static void tear_down(void) {
    gsl_rng_free(random_numbers);
    test_ground_free(ground);
}

static const TestPairsKind laid = {12, FALSE, FALSE, 80, 1.2, 0.3, 0.5};

/* Every point of the plate found anywhere: names mean nothing. */
static void scatter_spots(TestPairs *pairs) {
    for (int k = 0; k < pairs->set.n; k++)
        pairs->spot[k] =
            spot_of_step(ground, &laid, form_point_of_disc(90, random_numbers), random_numbers);
}

/* Phipson & Smyth, SAGMB 9(1) 2010, 39 [V]: b 0 of m 999 gives 0.001. */
START_TEST(true_pairs_are_beyond_every_relabelling) {
    g_auto(TestPairs) pairs = test_pairs_new(ground, &laid, random_numbers);
    TapulChance chance = tapul_chance_of_relabelling(&pairs.set, 999, 5);
    ck_assert_str_eq(chance.test, "relabelled pairs");
    ck_assert_int_eq(chance.draws, 999);
    ck_assert_uint_eq(chance.seed, 5);
    ck_assert_double_eq_tol(chance.p, 0.001, 1e-12);
}
END_TEST

/* Of four pairs there are 24 labellings, and as found is one of them: no p can be far below
 * 1/24, however many are drawn. */
START_TEST(few_pairs_cannot_be_rare) {
    TestPairsKind few = laid;
    few.n = 4;
    g_auto(TestPairs) pairs = test_pairs_new(ground, &few, random_numbers);
    TapulChance chance = tapul_chance_of_relabelling(&pairs.set, 9999, 1);
    /* Four standard deviations of the draws' share. */
    ck_assert_double_ge(chance.p, 1.0 / 24 - 4 * sqrt(1.0 / 24 / 9999));
}
END_TEST

START_TEST(a_seed_gives_one_p) {
    g_auto(TestPairs) pairs = test_pairs_new(ground, &laid, random_numbers);
    scatter_spots(&pairs);
    double p = tapul_chance_of_relabelling(&pairs.set, 500, 3).p;
    ck_assert_double_eq(p, tapul_chance_of_relabelling(&pairs.set, 500, 3).p);
    ck_assert_double_ne(p, tapul_chance_of_relabelling(&pairs.set, 500, 4).p);
}
END_TEST

/* Points of a print symmetric about x = 100: couples left and right, well off the line, and two
 * on it. */
static void make_symmetric(TestPairs *pairs) {
    for (int k = 0; k + 1 < pairs->set.n; k += 2) {
        double off_mm = 5 + fabs(pairs->print_mm[k].x - PAIRS_MIDDLE_MM);
        pairs->print_mm[k].x = PAIRS_MIDDLE_MM - off_mm;
        pairs->print_mm[k + 1] = tapul_vec2(PAIRS_MIDDLE_MM + off_mm, pairs->print_mm[k].y);
    }
    pairs->print_mm[0].x = pairs->print_mm[1].x = PAIRS_MIDDLE_MM;
    pairs->print_mm[1].y += 17;
}

/* The largest distance between the distribution of n values and the even one of 0 to 1. */
static double kolmogorov_smirnov(int n, double *value) {
    double largest = 0;
    gsl_sort(value, 1, (size_t)n);
    for (int i = 0; i < n; i++)
        largest = fmax(largest, fmax(value[i] - (double)i / n, (i + 1.0) / n - value[i]));
    return largest;
}

enum { NULL_RUNS = 500, NULL_DRAWS = 39 };
/* Not rejected at 0.01: 1.628 / sqrt(n), the asymptotic limit (Smirnov 1948) [M]. */
#define KS_LIMIT (1.628 / sqrt(NULL_RUNS))

/* A p of m draws has m + 1 values; spread evenly over its step it is continuous. */
static double null_statistic(gboolean symmetric) {
    double p[NULL_RUNS];
    TestPairsKind kind = laid;
    /* Six couples and two on the line: 1440 labellings, enough for 40 even steps of p. */
    kind.n = symmetric ? 14 : 8;
    for (int i = 0; i < NULL_RUNS; i++) {
        g_auto(TestPairs) pairs = test_pairs_new(ground, &kind, random_numbers);
        scatter_spots(&pairs);
        if (symmetric)
            make_symmetric(&pairs);
        TapulChance chance =
            tapul_chance_of_relabelling(&pairs.set, NULL_DRAWS, 1000 + (guint64)i);
        ck_assert_str_eq(chance.test, symmetric ? "relabelled pairs within mirror classes"
                                                : "relabelled pairs");
        p[i] = chance.p - gsl_rng_uniform(random_numbers) / (NULL_DRAWS + 1);
    }
    return kolmogorov_smirnov(NULL_RUNS, p);
}

START_TEST(p_is_even_where_names_mean_nothing) {
    double statistic = null_statistic(FALSE);
    ck_assert_msg(statistic < KS_LIMIT, "%g is over %g", statistic, KS_LIMIT);
}
END_TEST

START_TEST(p_is_even_within_mirror_classes) {
    double statistic = null_statistic(TRUE);
    ck_assert_msg(statistic < KS_LIMIT, "%g is over %g", statistic, KS_LIMIT);
}
END_TEST

START_TEST(a_symmetric_print_has_mirror_classes) {
    const TapulVec2 point[] = {{30, 10}, {70, 10.4}, {22, 50},   {78.6, 50},
                               {50, 80}, {50.5, 5},  {10.2, 90}, {64, 33}};
    const TapulMirrorClass expected[] = {
        TAPUL_MIRROR_LEFT, TAPUL_MIRROR_RIGHT, TAPUL_MIRROR_LEFT, TAPUL_MIRROR_RIGHT,
        TAPUL_MIRROR_AXIS, TAPUL_MIRROR_AXIS,  TAPUL_MIRROR_LEFT, TAPUL_MIRROR_RIGHT};
    const int expected_partner[] = {1, 0, 3, 2, -1, -1, -1, -1};
    TapulMirrorClass mirror_class[8];
    int partner[8];
    double axis_x_mm;
    ck_assert(tapul_mirror_classes(8, point, 0.5, &axis_x_mm, mirror_class, partner));
    ck_assert_double_eq_tol(axis_x_mm, 50, 0.5);
    for (int k = 0; k < 8; k++) {
        ck_assert_int_eq(mirror_class[k], expected[k]);
        ck_assert_int_eq(partner[k], expected_partner[k]);
    }
}
END_TEST

/* A trophy each side: where only the halves are right, relabelling between the halves would
 * find evidence that is none. */
START_TEST(halves_alone_are_no_evidence) {
    const int runs = 40;
    int rare = 0;
    TestPairsKind kind = laid;
    kind.n = 10;
    for (int i = 0; i < runs; i++) {
        g_auto(TestPairs) pairs = test_pairs_new(ground, &kind, random_numbers);
        make_symmetric(&pairs);
        for (int k = 0; k < kind.n; k++) {
            double off = pairs.print_mm[k].x - PAIRS_MIDDLE_MM;
            TapulVec2 in_half = {((off > 0) - (off < 0)) *
                                     (30 + 40 * gsl_rng_uniform(random_numbers)),
                                 -40 + 80 * gsl_rng_uniform(random_numbers)};
            pairs.spot[k] = spot_of_step(ground, &kind, in_half, random_numbers);
        }
        TapulChance chance = tapul_chance_of_relabelling(&pairs.set, 199, 1);
        ck_assert_str_eq(chance.test, "relabelled pairs within mirror classes");
        rare += chance.p <= 0.05;
    }
    /* One in twenty is expected; seven of 40 or more would come once in 300 (binomial). */
    ck_assert_int_lt(rare, 7);
}
END_TEST

START_TEST(points_without_symmetry_have_none) {
    int symmetric = 0;
    for (int i = 0; i < 300; i++) {
        TapulVec2 point[12];
        TapulMirrorClass mirror_class[12];
        int partner[12];
        double axis_x_mm;
        for (int k = 0; k < 12; k++)
            point[k] = form_point_of_disc(60, random_numbers);
        symmetric += tapul_mirror_classes(12, point, 0.5, &axis_x_mm, mirror_class, partner);
    }
    ck_assert_int_eq(symmetric, 0);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("chance");
    TCase *cases = tcase_create("chance");
    tcase_set_timeout(cases, 300);
    tcase_add_unchecked_fixture(cases, set_up, tear_down);
    tcase_add_test(cases, true_pairs_are_beyond_every_relabelling);
    tcase_add_test(cases, few_pairs_cannot_be_rare);
    tcase_add_test(cases, a_seed_gives_one_p);
    tcase_add_test(cases, p_is_even_where_names_mean_nothing);
    tcase_add_test(cases, p_is_even_within_mirror_classes);
    tcase_add_test(cases, a_symmetric_print_has_mirror_classes);
    tcase_add_test(cases, halves_alone_are_no_evidence);
    tcase_add_test(cases, points_without_symmetry_have_none);
    suite_add_tcase(suite, cases);
    SRunner *runner = srunner_create(suite);
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
