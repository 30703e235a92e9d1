/* Slips in a list of pairs, made on purpose: the pair is named, and honest lists are left
 * alone.
 */
#include "evidence/suspect.h"
#include "pairs_for_tests.h"

#include <stdlib.h>
#include <string.h>

static TestGround *ground;
static gsl_rng *random_numbers;
static const char *const names[] = {"beak",   "eye",  "wing",  "foot",  "reed", "mask",
                                    "scroll", "knot", "shell", "plume", "tail", "helm"};

static void set_up(void) {
    ground = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    random_numbers = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(random_numbers, 13);
}

static void tear_down(void) {
    gsl_rng_free(random_numbers);
    test_ground_free(ground);
}

static const TestPairsKind laid = {12, FALSE, FALSE, 80, 0.9, -0.4, 0.5};

static int suspect_of(const TestPairs *pairs, char **why) {
    /* Without hypotheses rolled is about the middle: a table of them takes a hundred times as
     * long, and is tested elsewhere. */
    g_autoptr(GPtrArray) none = g_ptr_array_new();
    return tapul_suspect(&pairs->set, names, none, why);
}

static void exchange(TestPairs *pairs, int a, int b) {
    TapulSpot kept = pairs->spot[a];
    pairs->spot[a] = pairs->spot[b];
    pairs->spot[b] = kept;
}

/* As many lists, of both kinds and hands, as would show a level of 0.001 missed by tenfold. */
START_TEST(honest_pairs_are_not_called_swapped) {
    for (int i = 0; i < 60; i++) {
        TestPairsKind kind = laid;
        kind.as_seen = i % 2;
        kind.reversed = i % 3 == 0;
        kind.n = 5 + i % 8;
        g_auto(TestPairs) pairs = test_pairs_new(ground, &kind, random_numbers);
        g_autofree char *why = NULL;
        suspect_of(&pairs, &why);
        ck_assert_msg(!why || !strstr(why, "swapped"), "%s", why);
    }
}
END_TEST

/* Two names exchanged at random; those nearer to each other than errors of picking reach are no
 * slip that could be seen. */
START_TEST(swapped_pairs_are_named) {
    for (int i = 0; i < 30; i++) {
        TestPairsKind kind = laid;
        kind.as_seen = i % 2;
        kind.reversed = i % 3 == 0;
        g_auto(TestPairs) pairs = test_pairs_new(ground, &kind, random_numbers);
        g_autofree char *why = NULL;
        int a = i % kind.n, b = (i * 5 + 3) % kind.n;
        if (a == b || tapul_vec2_distance(pairs.print_mm[a], pairs.print_mm[b]) < 15)
            continue;
        exchange(&pairs, a, b);
        int suspect = suspect_of(&pairs, &why);
        ck_assert_msg(suspect == MIN(a, b), "%d, not %d and %d: %s", suspect, a, b,
                      why ? why : "nothing");
        ck_assert_msg(strstr(why, names[a]) && strstr(why, names[b]), "%s", why);
    }
}
END_TEST

START_TEST(words_say_what_is_wrong) {
    g_auto(TestPairs) pairs = test_pairs_new(ground, &laid, random_numbers);
    g_autofree char *why = NULL;
    exchange(&pairs, 0, 10);
    ck_assert_int_eq(suspect_of(&pairs, &why), 0);
    ck_assert_msg(g_str_has_prefix(why, "the pairs 'beak' and 'tail' look swapped: with their "
                                        "plate points exchanged the misfit falls from "),
                  "%s", why);
}
END_TEST

/* Pairs near an upright line tell their hand only by the little that they are off it; one far
 * to the side, found on the wrong side, turns it. */
START_TEST(a_pair_that_turns_the_verdict_is_named) {
    TestPairsKind kind = laid;
    kind.n = 7;
    for (int rogue = 0; rogue < kind.n; rogue++) {
        g_auto(TestPairs) pairs = test_pairs_new(ground, &kind, random_numbers);
        g_autofree char *honest = NULL, *why = NULL;
        for (int k = 0; k < kind.n; k++) {
            TapulVec2 step = {k == rogue ? 60 : k % 2 ? 4 : -4, -66 + 20 * k};
            pairs.print_mm[k] =
                tapul_vec2_add(step, tapul_vec2(PAIRS_MIDDLE_MM, PAIRS_MIDDLE_MM));
            pairs.spot[k] = spot_of_step(ground, &kind, step, random_numbers);
        }
        ck_assert_msg(suspect_of(&pairs, &honest) == -1, "%s", honest);
        ck_assert_ptr_null(honest);
        pairs.spot[rogue] =
            spot_of_step(ground, &kind, tapul_vec2(-60, -66 + 20 * rogue), random_numbers);
        ck_assert_int_eq(suspect_of(&pairs, &why), rogue);
        g_autofree char *expected =
            g_strdup_printf("the verdict hangs on the pair '%s': without it the others speak "
                            "for direct, with it all "
                            "speak for reversed",
                            names[rogue]);
        ck_assert_str_eq(why, expected);
    }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("suspect");
    TCase *cases = tcase_create("suspect");
    tcase_set_timeout(cases, 300);
    tcase_add_unchecked_fixture(cases, set_up, tear_down);
    tcase_add_test(cases, honest_pairs_are_not_called_swapped);
    tcase_add_test(cases, swapped_pairs_are_named);
    tcase_add_test(cases, words_say_what_is_wrong);
    tcase_add_test(cases, a_pair_that_turns_the_verdict_is_named);
    suite_add_tcase(suite, cases);
    SRunner *runner = srunner_create(suite);
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
