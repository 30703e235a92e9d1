/* The verdict says what the figures support, never more; and pairs of which none can be given
 * are told in clear words. */
#include "evidence/pair_faults.h"
#include "evidence/verdict.h"
#include "evidence/verdict_words.h"
#include "evidence_for_tests.h"

#include <stdlib.h>
#include <string.h>

/* --- Evidence by hand --- */

#define PAIRS 12

typedef struct {
    TapulPrintEvidence found;
    TapulHypothesis rows[3];
    double residual_mm[PAIRS];
    int pair[PAIRS];
} Figures;

/* Rolled, scaled and direct at 0.9, against viewed and the other hand; p as given. */
static void fill(Figures *figures, double p) {
    *figures =
        (Figures){.rows = {{.geometry = TAPUL_LAYING_ROLLED, .freedom = TAPUL_FREEDOM_SCALED},
                           {.geometry = TAPUL_LAYING_VIEWED, .freedom = TAPUL_FREEDOM_SCALED},
                           {.geometry = TAPUL_LAYING_ROLLED,
                            .freedom = TAPUL_FREEDOM_SCALED,
                            .reversed = TRUE}}};
    TapulPrintEvidence *found = &figures->found;
    TapulChance chance = {"relabelled pairs", 10000, 1, p};
    int first = 0;
    found->n_pairs = PAIRS;
    found->pair = figures->pair;
    found->hypotheses = g_ptr_array_new();
    found->equal = g_array_new(FALSE, FALSE, sizeof(int));
    found->chance = g_array_new(FALSE, FALSE, sizeof(TapulChance));
    found->match = g_array_new(FALSE, FALSE, sizeof(TapulMatchPoint));
    found->motifs = g_array_new(FALSE, FALSE, sizeof(TapulMotifFinding));
    found->suspect = -1;
    found->bootstraps = 2000;
    found->scale = 0.9;
    found->scale_ci95 = (TapulInterval){0.887, 0.912};
    found->contour_share =
        (TapulContourShare){TRUE, 0.83, {0.6, 0.93}, 0.95, TAPUL_LAYING_ROLLED, 0.97};
    g_array_append_val(found->equal, first);
    g_array_append_val(found->chance, chance);
    for (int i = 0; i < PAIRS; i++) {
        figures->pair[i] = i;
        figures->residual_mm[i] = 0.1 * (i + 1);
    }
    for (guint i = 0; i < G_N_ELEMENTS(figures->rows); i++) {
        TapulHypothesis *row = &figures->rows[i];
        row->parameters = 4;
        row->rms_mm = 0.62;
        row->loo_mm = 0.75;
        row->aicc = 40 + 20.0 * i;
        row->weight = i == 0 ? 1 : 0;
        row->scale = 0.9;
        row->residual_mm = figures->residual_mm;
        g_ptr_array_add(found->hypotheses, row);
    }
}

static void clear(Figures *figures) {
    g_ptr_array_unref(figures->found.hypotheses);
    g_array_unref(figures->found.equal);
    g_array_unref(figures->found.chance);
    g_array_unref(figures->found.match);
    g_array_unref(figures->found.motifs);
}

static void check_says(const char *verdict, const char *words) {
    ck_assert_msg(strstr(verdict, words) != NULL, "'%s' is not in: %s", words, verdict);
}

static void check_silent(const char *verdict, const char *words) {
    ck_assert_msg(strstr(verdict, words) == NULL, "'%s' is in: %s", words, verdict);
}

/* What every verdict keeps to: one paragraph, no more words than can be read at one sitting,
 * and none that claims certainty. */
static void check_modest(const char *verdict) {
    static const char *const claims[] = {"prove",     "certain",       "definite",
                                         "undoubted", "without doubt", "must have",
                                         "nan",       "inf ",          "  "};
    for (guint i = 0; i < G_N_ELEMENTS(claims); i++)
        check_silent(verdict, claims[i]);
    ck_assert_ptr_null(strchr(verdict, '\n'));
    ck_assert(g_str_has_suffix(verdict, "."));
    g_auto(GStrv) words = g_strsplit(verdict, " ", -1);
    ck_assert_uint_le(g_strv_length(words), 400);
}

/* --- Verdicts --- */

START_TEST(clear_figures_are_supported_with_their_limits) {
    g_autoptr(TestQuestion) made = test_question_new(PAIRS);
    Figures figures;
    fill(&figures, 0.0001);
    figures.found.ratios[0] = (TapulRatio){"1/1", 1, FALSE};
    ck_assert_int_eq(tapul_standing(&made->question, &figures.found), TAPUL_STANDING_CLEAR);
    g_autofree char *verdict = tapul_verdict_new(&made->question, &figures.found, NULL);
    check_modest(verdict);
    check_says(verdict, "12 pairs of the print cartouche were weighed on");
    check_says(verdict, "the print direct, pressed on over the metal");
    check_says(verdict, "0.62 mm from where they were found");
    /* 0.5 sqrt(2 - 4 / 12) */
    check_says(verdict, "picking alone would leave 0.65 mm.");
    check_says(verdict, "p = 0.0001");
    check_says(verdict, "The scale is 0.900 (95 % interval 0.887 to 0.912): 1:1 does not lie "
                        "inside");
    check_says(verdict, "takes away 0.83 of the misfit as seen (contour share 0.83, 95 % "
                        "interval 0.60 to 0.93)");
    check_says(verdict, "a common third source");
    check_says(verdict, "symmetry about the medial line");
    check_says(verdict, "The verdict could be changed by a tracing of the design");
    check_silent(verdict, "No verdict");
    clear(&figures);
}
END_TEST

START_TEST(no_better_than_chance_gives_no_verdict) {
    g_autoptr(TestQuestion) made = test_question_new(PAIRS);
    Figures figures;
    fill(&figures, 0.31);
    ck_assert_int_eq(tapul_standing(&made->question, &figures.found), TAPUL_STANDING_CHANCE);
    g_autofree char *verdict = tapul_verdict_new(&made->question, &figures.found, NULL);
    check_modest(verdict);
    ck_assert(g_str_has_prefix(verdict, "No verdict for this print: "));
    check_says(verdict, "does not show that it was not the source");
    check_says(verdict, "p = 0.31, so chance alone would do as well");
    check_silent(verdict, "support");
    clear(&figures);
}
END_TEST

START_TEST(lines_at_chance_take_the_support_away) {
    g_autoptr(TestQuestion) made = test_question_new(PAIRS);
    Figures figures;
    fill(&figures, 0.0001);
    TapulMatchPoint point = {1, 0.2, 0.15, {0.1, 0.25}, {0.1, 0.3}};
    g_array_append_val(figures.found.match, point);
    ck_assert_int_eq(tapul_standing(&made->question, &figures.found), TAPUL_STANDING_DIVIDED);
    g_autofree char *verdict = tapul_verdict_new(&made->question, &figures.found, NULL);
    check_modest(verdict);
    check_says(verdict, "20 % of the print's line is found on the plate (random places: 10 to "
                        "25 %)");
    check_says(verdict, "The pairs agree and the lines do not");
    clear(&figures);
}
END_TEST

START_TEST(misfit_beyond_picking_lowers_the_support_and_names_the_pair) {
    g_autoptr(TestQuestion) made = test_question_new(PAIRS);
    Figures figures;
    fill(&figures, 0.0001);
    figures.rows[0].rms_mm = 1.5 * 0.65;
    ck_assert_int_eq(tapul_standing(&made->question, &figures.found), TAPUL_STANDING_SLIGHT);
    g_autofree char *verdict = tapul_verdict_new(&made->question, &figures.found, NULL);
    check_modest(verdict);
    check_says(verdict, "farthest off is 'point 12' (1.20 mm)");
    check_says(verdict, "lend some support");
    made->question.pick_sd_mm = 0;
    ck_assert_int_eq(tapul_standing(&made->question, &figures.found), TAPUL_STANDING_CLEAR);
    clear(&figures);
}
END_TEST

START_TEST(what_cannot_be_told_is_said) {
    g_autoptr(TestQuestion) made = test_question_new(PAIRS);
    Figures figures;
    int viewed = 1;
    fill(&figures, 0.0001);
    figures.found.contour_share =
        (TapulContourShare){FALSE, NAN, {NAN, NAN}, NAN, TAPUL_LAYING_ROLLED, 0.58};
    figures.rows[1].aicc = 41;
    figures.rows[2].weight = 0.2;
    g_array_append_val(figures.found.equal, viewed);
    g_autofree char *verdict = tapul_verdict_new(&made->question, &figures.found, NULL);
    check_modest(verdict);
    check_says(verdict, "These pairs do not tell rolled from viewed.");
    check_says(verdict, "The other hand is not ruled out (weight 0.20).");
    check_says(verdict, "cannot be told at these pairs: the two would be told apart rightly in "
                        "58 of 100 such cases");
    check_says(verdict, "more pairs, far apart and where the metal swells most");
    clear(&figures);
}
END_TEST

START_TEST(wide_interval_and_negative_share_are_put_in_words) {
    g_autoptr(TestQuestion) made = test_question_new(PAIRS);
    Figures figures;
    fill(&figures, 0.0001);
    figures.found.scale_ci95 = (TapulInterval){0.6, 1.6};
    for (int i = 0; i < 4; i++)
        figures.found.ratios[i] = (TapulRatio){"1/1", 1, TRUE};
    figures.found.contour_share =
        (TapulContourShare){TRUE, -2.9, {-6.6, -0.7}, NAN, TAPUL_LAYING_DEVELOPED, 1};
    g_autofree char *verdict = tapul_verdict_new(&made->question, &figures.found, NULL);
    check_modest(verdict);
    check_says(verdict, "0.600 to 1.600), too wide to tell a tracing from another size.");
    check_says(verdict, "Following the metal (developed) adds 2.90 of the misfit as seen");
    check_says(verdict, "as an eye in front of the plate would place it.");
    clear(&figures);
}
END_TEST

START_TEST(suspect_pair_leaves_the_verdict_open) {
    g_autoptr(TestQuestion) made = test_question_new(PAIRS);
    Figures figures;
    fill(&figures, 0.0001);
    figures.found.suspect = 4;
    figures.found.suspect_why = (char *)"without which viewed would be preferred";
    g_autofree char *verdict = tapul_verdict_new(&made->question, &figures.found, NULL);
    check_modest(verdict);
    check_says(verdict, "'point 5'");
    check_says(verdict, "without which viewed would be preferred");
    check_says(verdict, "that pair picked afresh");
    clear(&figures);
}
END_TEST

START_TEST(nothing_to_tell_from_chance_gives_no_verdict) {
    g_autoptr(TestQuestion) made = test_question_new(PAIRS);
    Figures figures;
    fill(&figures, 0.0001);
    figures.rows[0].aicc = INFINITY;
    ck_assert_int_eq(tapul_standing(&made->question, &figures.found), TAPUL_STANDING_NONE);
    g_autofree char *verdict = tapul_verdict_new(&made->question, &figures.found, NULL);
    ck_assert(g_str_has_prefix(verdict, "No verdict: the pairs are too few"));
    clear(&figures);
}
END_TEST

START_TEST(ratio_and_motifs_are_told_in_words) {
    g_autoptr(TestQuestion) made = test_question_new(PAIRS);
    g_autoptr(GArray) added = g_array_new(FALSE, FALSE, sizeof(TapulAdded));
    TapulAdded line = {{{0, 0}, {10, 10}}, 42};
    Figures figures;
    fill(&figures, 0.0001);
    set_test_match(&figures.found);
    set_test_motifs(&figures.found);
    g_array_append_val(added, line);
    figures.found.likelihood_ratio =
        (TapulLikelihoodRatio){TRUE, 31, 51, 50, 0.004, 0.7, "moderate support"};
    g_autofree char *verdict = tapul_verdict_new(&made->question, &figures.found, added);
    check_modest(verdict);
    check_says(verdict, "Of its 2 motifs 1 is moved, 1 is left out.");
    check_says(verdict, "42 mm of the plate's line no print of the case explains.");
    check_says(verdict, "against a pool of 50 unrelated prints, the likelihood ratio is 31: "
                        "moderate support for this print (it cannot leave 0.02 to 51 with such "
                        "a pool).");
    ck_assert_int_eq(tapul_standing(&made->question, &figures.found), TAPUL_STANDING_CLEAR);
    clear(&figures);
}
END_TEST

/* A ratio has words for either proposition: they must not be read the wrong way. */
START_TEST(ratio_against_lowers_the_support) {
    g_autoptr(TestQuestion) made = test_question_new(PAIRS);
    Figures figures;
    fill(&figures, 0.0001);
    figures.found.likelihood_ratio =
        (TapulLikelihoodRatio){TRUE, 0.25, 51, 50, 0.004, 0.2, "weak support"};
    ck_assert_int_eq(tapul_standing(&made->question, &figures.found), TAPUL_STANDING_SLIGHT);
    g_autofree char *against = tapul_verdict_new(&made->question, &figures.found, NULL);
    check_modest(against);
    check_says(against, "is 0.25: weak support for an unrelated print");
    figures.found.likelihood_ratio.value = 0.05;
    ck_assert_int_eq(tapul_standing(&made->question, &figures.found), TAPUL_STANDING_DIVIDED);
    figures.found.likelihood_ratio.value = 1.2;
    ck_assert_str_eq(tapul_ratio_supports(&figures.found.likelihood_ratio), "neither");
    ck_assert_int_eq(tapul_standing(&made->question, &figures.found), TAPUL_STANDING_CLEAR);
    clear(&figures);
}
END_TEST

/* --- Pairs that cannot be weighed --- */

static void check_fault(const TestQuestion *made, const char *expected) {
    int n = (int)made->question.pairs->len;
    g_autofree int *pair = g_new(int, (gsize)n + 1);
    for (int i = 0; i < n; i++)
        pair[i] = i;
    g_autofree char *fault = tapul_pair_faults(&made->question, 0, n, pair);
    if (!expected) {
        ck_assert_msg(!fault, "%s", fault);
        return;
    }
    ck_assert_msg(fault && strstr(fault, expected), "'%s' is not in: %s", expected,
                  fault ? fault : "nothing");
    ck_assert(g_str_has_prefix(fault, "print 'cartouche': "));
}

START_TEST(pairs_that_cannot_be_weighed_are_told) {
    g_autoptr(TestQuestion) few = test_question_new(3);
    check_fault(few, "3 pairs where at least 4, not on one line, are needed");
    g_autoptr(TestQuestion) good = test_question_new(4);
    check_fault(good, NULL);
    g_autoptr(TestQuestion) twice = test_question_new(6);
    add_test_pair(twice, "again", tapul_vec2(5, 5), tapul_vec2(10, 60));
    check_fault(twice, "the pairs 'point 1' and 'again' have the same print point, 5.00, 5.00 "
                       "mm; leave one out");
    g_autoptr(TestQuestion) one_place = test_question_new(6);
    const TapulPair *first = one_place->question.pairs->pdata[0];
    add_test_pair(one_place, "", tapul_vec2(77, 1), first->developed_mm);
    check_fault(one_place, "the pairs 'point 1' and number 7 have the same plate point");
    g_autoptr(TestQuestion) same = test_question_new(6);
    const TapulPair *third = same->question.pairs->pdata[2];
    add_test_pair(same, "twin", third->print_mm, third->developed_mm);
    check_fault(same, "have the same print and plate points");
}
END_TEST

START_TEST(pairs_on_a_line_are_told) {
    g_autoptr(TestQuestion) print = test_question_new(0);
    g_autoptr(TestQuestion) plate = test_question_new(0);
    for (int i = 0; i < 8; i++) {
        double off = i % 2 ? 0.45 : -0.45; /* 0.43 about the line, by numpy's eigvalsh */
        TapulVec2 on_line = {10.0 * i, 2.0 * i + off}, anywhere = {8.0 * i, (i * 29) % 50};
        g_autofree char *name = g_strdup_printf("p%d", i);
        add_test_pair(print, name, on_line, test_place(anywhere));
        add_test_pair(plate, name, anywhere, test_place(on_line));
    }
    check_fault(print, "its 8 pairs lie on one line on the print, to 0.43 mm where more than "
                       "0.50 mm is needed");
    check_fault(plate, "on one line on the plate, to 0.39 mm");
    print->question.pick_sd_mm = 0.1;
    check_fault(print, NULL);
}
END_TEST

static Suite *suite(void) {
    Suite *suite = suite_create("verdict");
    TCase *verdicts = tcase_create("verdicts");
    tcase_set_timeout(verdicts, 60);
    tcase_add_test(verdicts, clear_figures_are_supported_with_their_limits);
    tcase_add_test(verdicts, no_better_than_chance_gives_no_verdict);
    tcase_add_test(verdicts, lines_at_chance_take_the_support_away);
    tcase_add_test(verdicts, misfit_beyond_picking_lowers_the_support_and_names_the_pair);
    tcase_add_test(verdicts, what_cannot_be_told_is_said);
    tcase_add_test(verdicts, wide_interval_and_negative_share_are_put_in_words);
    tcase_add_test(verdicts, suspect_pair_leaves_the_verdict_open);
    tcase_add_test(verdicts, nothing_to_tell_from_chance_gives_no_verdict);
    tcase_add_test(verdicts, ratio_and_motifs_are_told_in_words);
    tcase_add_test(verdicts, ratio_against_lowers_the_support);
    tcase_add_test(verdicts, pairs_that_cannot_be_weighed_are_told);
    tcase_add_test(verdicts, pairs_on_a_line_are_told);
    suite_add_tcase(suite, verdicts);
    return suite;
}

int main(void) {
    SRunner *runner = srunner_create(suite());
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
