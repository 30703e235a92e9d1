/* The evidence sheet: its words keep apart whatever the case holds; arrows, curves and scale
 * bar are true; and the files beside it say the same. */
#include "base/table.h"
#include "evidence/annotation.h"
#include "evidence/residual_table.h"
#include "evidence_for_tests.h"
#include "sheet/page_items.h"
#include "words_for_tests.h"

#include <stdlib.h>
#include <tapul/sheets.h>

#define MARGIN_MM 15.0

static TapulEvidence *weigh(const TestQuestion *made) {
    TapulWeighOptions options = tapul_weigh_options_defaults();
    g_autoptr(GError) error = NULL;
    options.permutations = 99;
    options.bootstraps = 200;
    TapulEvidence *evidence = tapul_weigh(&made->question, &options, &error);
    ck_assert_msg(evidence != NULL, "%s", error ? error->message : "no evidence");
    return evidence;
}

static TapulPrintEvidence *first(const TapulEvidence *evidence) {
    return evidence->prints->pdata[0];
}

/* --- Reading a page --- */

/* The paths drawn in the group of that id; as in the page's own frame. */
static GPtrArray *paths_in_group(const TapulPage *page, const char *id) {
    GPtrArray *paths = g_ptr_array_new();
    int inside = 0;
    for (guint i = 0; i < page->items->len; i++) {
        const TapulItem *item = &g_array_index(page->items, TapulItem, i);
        if (item->kind == TAPUL_ITEM_BEGIN_GROUP)
            inside += inside > 0 || strcmp(item->as.group.id, id) == 0;
        else if (item->kind == TAPUL_ITEM_END_GROUP)
            inside -= inside > 0;
        else if (inside && item->kind == TAPUL_ITEM_PATH)
            g_ptr_array_add(paths, item->as.drawn.path);
    }
    ck_assert_msg(paths->len > 0, "nothing is drawn in group %s", id);
    return paths;
}

static TapulAffine place_of(const TapulPage *page, const char *id) {
    for (guint i = 0; i < page->items->len; i++) {
        const TapulItem *item = &g_array_index(page->items, TapulItem, i);
        if (item->kind == TAPUL_ITEM_BEGIN_GROUP && strcmp(item->as.group.id, id) == 0)
            return item->as.group.transform;
    }
    ck_abort_msg("no group %s", id);
    return (TapulAffine){0};
}

static TapulVec2 point_of(const TapulPath *path, guint i) {
    return g_array_index(path->points, TapulVec2, i);
}

/* --- Words --- */

static void check_pages(const TestQuestion *made, const TapulEvidence *evidence) {
    TapulEvidenceSheet sheet = {&made->question, evidence, 0};
    g_autoptr(TapulPage) page = tapul_sheet_evidence(&sheet);
    g_autoptr(TapulPage) figures = tapul_sheet_evidence_figures(&sheet);
    ck_assert_double_eq(tapul_page_width_mm(page), 210);
    ck_assert_double_eq(tapul_page_height_mm(page), 297);
    check_words_of_page(page, MARGIN_MM);
    check_words_of_page(figures, MARGIN_MM);
}

START_TEST(words_keep_apart) {
    g_autoptr(TestQuestion) made = test_question_new(12);
    g_autoptr(TapulEvidence) evidence = weigh(made);
    check_pages(made, evidence);
    add_test_tracing(made);
    set_test_match(first(evidence));
    set_test_motifs(first(evidence));
    check_pages(made, evidence);
}
END_TEST

/* The fullest case that a person would make by hand, with names that no column holds. */
START_TEST(words_keep_apart_in_full_cases) {
    static const char long_name[] = "the third leaf from below on the left of the heron's back";
    g_autoptr(TestQuestion) made = test_question_new(40);
    for (guint i = 0; i < 40; i += 3) {
        TapulPair *pair = made->question.pairs->pdata[i];
        g_free(pair->name);
        pair->name = g_strdup(long_name);
    }
    made->question.title =
        (char *)"Grotesques of the upper band with a cartouche, two herons, "
                "reeds and a trophy of fishing tackle, on a cylinder that was "
                "taken for a cannon of the vambrace in the older lists";
    add_test_tracing(made);
    g_autoptr(TapulEvidence) evidence = weigh(made);
    TapulPrintEvidence *found = first(evidence);
    set_test_match(found);
    set_test_motifs(found);
    for (int i = 0; i < 60; i++) {
        TapulMotifFinding again = g_array_index(found->motifs, TapulMotifFinding, i % 2);
        g_array_append_val(found->motifs, again);
    }
    found->suspect = 3;
    found->likelihood_ratio =
        (TapulLikelihoodRatio){TRUE, 31, 51, 50, 0.004, 0.7, "moderately strong support"};
    g_autofree char *verdict = g_steal_pointer(&found->verdict);
    found->verdict = g_strconcat(verdict, " ", verdict, " ", verdict, " ", verdict, NULL);
    check_pages(made, evidence);
    TapulEvidenceSheet sheet = {&made->question, evidence, 0};
    g_autoptr(TapulPage) page = tapul_sheet_evidence(&sheet);
    g_autofree char *svg = page_as_svg(page);
    ck_assert_ptr_nonnull(strstr(svg, "more are in residuals.csv"));
    ck_assert_ptr_nonnull(strstr(svg, ">? the third leaf"));
}
END_TEST

/* Four pairs give no leave-one-out figures and hardly a hypothesis. */
START_TEST(fewest_pairs_are_drawn) {
    g_autoptr(TestQuestion) made = test_question_new(4);
    g_autoptr(TapulEvidence) evidence = weigh(made);
    check_pages(made, evidence);
    g_autofree char *table = tapul_residual_table(&made->question, evidence);
    ck_assert_ptr_null(strstr(table, "nan"));
}
END_TEST

/* --- Drawing --- */

START_TEST(arrows_are_residuals_drawn_so_many_times_as_long) {
    g_autoptr(TestQuestion) made = test_question_new(12);
    g_autoptr(TapulEvidence) evidence = weigh(made);
    const TapulHypothesis *best = first(evidence)->hypotheses->pdata[0];
    TapulEvidenceSheet sheet = {&made->question, evidence, 0};
    g_autoptr(TapulPage) page = tapul_sheet_evidence(&sheet);
    TapulAffine place = place_of(page, "development");
    g_autoptr(GPtrArray) paths = paths_in_group(page, "residuals");
    ck_assert_uint_eq(paths->len, 4 * 12);
    double times = 0;
    for (guint k = 0; k < 12; k++) {
        const TapulPair *pair = made->question.pairs->pdata[k];
        TapulVec2 put = best->put_developed_mm[k];
        TapulVec2 from = point_of(paths->pdata[4 * k], 0);
        TapulVec2 tip = point_of(paths->pdata[4 * k + 1], 0);
        ck_assert_double_eq_tol(from.x, place.xx * put.x + place.dx, 1e-9);
        ck_assert_double_eq_tol(from.y, place.yy * put.y + place.dy, 1e-9);
        double residual_mm = tapul_vec2_distance(put, pair->developed_mm);
        /* The development of a cylinder is true: the same over the metal, but for the chart's
         * numerical error. */
        ck_assert_double_eq_tol(residual_mm, best->residual_mm[k], 2e-3);
        double here = tapul_vec2_distance(from, tip) / (place.xx * residual_mm);
        times = k == 0 ? here : times;
        ck_assert_double_eq_tol(here, times, 1e-6);
        ck_assert_double_le(tapul_vec2_distance(from, tip), 13 + 1e-9);
    }
    g_autofree char *words = g_strdup_printf("drawn %g times as long", round(times));
    g_autofree char *svg = page_as_svg(page);
    ck_assert_double_eq_tol(times, round(times), 1e-6);
    ck_assert_msg(strstr(svg, words) != NULL, "'%s' is not said", words);
}
END_TEST

START_TEST(overlay_and_bar_are_at_the_stated_scale) {
    g_autoptr(TestQuestion) made = test_question_new(12);
    g_autoptr(TapulEvidence) evidence = weigh(made);
    TapulEvidenceSheet sheet = {&made->question, evidence, 0};
    g_autoptr(TapulPage) page = tapul_sheet_evidence(&sheet);
    TapulAffine place = place_of(page, "development");
    ck_assert_double_eq(place.xx, 2);
    ck_assert_double_eq(place.yy, 2);
    ck_assert(page_has_word(page, "The plate laid flat about the pairs, 2\u00a0:\u00a01"));
    ck_assert(page_has_word(page, "20\u00a0mm"));
    /* Five parts of 4 mm at 2 : 1. */
    g_autoptr(GPtrArray) bar = paths_in_group(page, "scale-bar");
    TapulBox left = tapul_path_box(bar->pdata[0]), right = tapul_path_box(bar->pdata[4]);
    ck_assert_double_eq_tol(right.max.x - left.min.x, 40, 1e-9);
}
END_TEST

START_TEST(curves_stand_at_their_figures) {
    g_autoptr(TestQuestion) made = test_question_new(8);
    add_test_tracing(made);
    g_autoptr(TapulEvidence) evidence = weigh(made);
    set_test_match(first(evidence));
    TapulEvidenceSheet sheet = {&made->question, evidence, 0};
    g_autoptr(TapulPage) page = tapul_sheet_evidence_figures(&sheet);
    g_autoptr(GPtrArray) paths = paths_in_group(page, "print-curve");
    /* Band, its edges, grid, six ticks of 0 to 5 mm, axes, curve, dots. */
    ck_assert_uint_eq(paths->len, 12);
    const TapulPath *axes = paths->pdata[9], *curve = paths->pdata[10];
    TapulVec2 top = point_of(axes, 0), origin = point_of(axes, 1), right = point_of(axes, 2);
    for (guint i = 0; i < first(evidence)->match->len; i++) {
        const TapulMatchPoint *point =
            &g_array_index(first(evidence)->match, TapulMatchPoint, i);
        TapulVec2 at = point_of(curve, i);
        ck_assert_double_eq_tol((at.x - origin.x) / (right.x - origin.x) * 5,
                                point->tolerance_mm, 1e-9);
        ck_assert_double_eq_tol((at.y - origin.y) / (top.y - origin.y), point->print_share,
                                1e-9);
    }
}
END_TEST

/* --- Files beside it --- */

START_TEST(residual_table_holds_every_pair_under_every_hypothesis) {
    g_autoptr(TestQuestion) made = test_question_new(9);
    TapulPair *renamed = made->question.pairs->pdata[4];
    g_free(renamed->name);
    renamed->name = g_strdup("eye, \"left\"");
    g_autoptr(TapulEvidence) evidence = weigh(made);
    g_autofree char *text = tapul_residual_table(&made->question, evidence);
    g_autoptr(TapulTable) table = tapul_table_parse("residuals.csv", text, strlen(text), NULL);
    ck_assert_ptr_nonnull(table);
    const GPtrArray *rows = first(evidence)->hypotheses;
    ck_assert_int_eq(tapul_table_n_rows(table), 9 * (int)rows->len);
    int rank = tapul_table_column(table, "rank"), name = tapul_table_column(table, "name");
    int residual = tapul_table_column(table, "residual_mm");
    for (int row = 0; row < tapul_table_n_rows(table); row++) {
        const TapulHypothesis *hypothesis = rows->pdata[row / 9];
        double number, residual_mm;
        ck_assert(tapul_table_number(table, row, rank, 1, 100, &number));
        ck_assert(tapul_table_number(table, row, residual, 0, 1000, &residual_mm));
        ck_assert_double_eq(number, row / 9 + 1);
        ck_assert_double_eq_tol(residual_mm, hypothesis->residual_mm[row % 9], 6e-5);
    }
    ck_assert_str_eq(tapul_table_text(table, 4, name), "eye, \"left\"");
}
END_TEST

static JsonObject *only_item(JsonNode *page) {
    JsonArray *items = json_object_get_array_member(json_node_get_object(page), "items");
    ck_assert_uint_eq(json_array_get_length(items), 1);
    return json_array_get_object_element(items, 0);
}

static const char *selector_of(JsonObject *item) {
    JsonObject *selector = json_object_get_object_member(
        json_object_get_object_member(item, "target"), "selector");
    ck_assert_str_eq(json_object_get_string_member(selector, "type"), "SvgSelector");
    return json_object_get_string_member(selector, "value");
}

/* What the recommendation asks of every page, annotation, body and target: Web Annotation Data
 * Model, W3C 2017, 3.1, 3.2.4, 4.2.7, 5.2 (from memory). */
START_TEST(motifs_are_annotated_where_the_print_has_them) {
    g_autoptr(TestQuestion) made = test_question_new(8);
    g_autoptr(TapulEvidence) evidence = weigh(made);
    set_test_motifs(first(evidence));
    g_autoptr(JsonNode) page = tapul_annotations_new(&made->question, first(evidence), NULL);
    JsonObject *top = json_node_get_object(page);
    ck_assert_str_eq(json_object_get_string_member(top, "@context"),
                     "http://www.w3.org/ns/anno.jsonld");
    ck_assert_str_eq(json_object_get_string_member(top, "type"), "AnnotationPage");
    JsonObject *item = only_item(page);
    ck_assert_str_eq(json_object_get_string_member(item, "id"), "#motif-heron");
    ck_assert_str_eq(json_object_get_string_member(item, "type"), "Annotation");
    JsonObject *target = json_object_get_object_member(item, "target");
    ck_assert_str_eq(json_object_get_string_member(target, "source"),
                     "prints/reed%20cartouche.svg");
    JsonObject *body = json_object_get_object_member(item, "body");
    ck_assert_str_eq(json_object_get_string_member(body, "type"), "TextualBody");
    ck_assert_ptr_nonnull(strstr(json_object_get_string_member(body, "value"),
                                 "heron: moved. 91 % of its line is found within 1 mm"));
    /* The box 10, 10 to 30, 50 mm of a print 60 mm high, y down. */
    ck_assert_str_eq(selector_of(item),
                     "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 80.00 60.00\">"
                     "<polygon points=\"10.00,50.00 30.00,50.00 30.00,10.00 10.00,10.00\"/>"
                     "</svg>");
}
END_TEST

/* At 10 pixels a mm, turned by a right angle: x of the print runs up the picture. */
START_TEST(motifs_of_a_scan_are_annotated_in_its_pixels) {
    g_autoptr(TestQuestion) made = test_question_new(8);
    g_autoptr(TapulEvidence) evidence = weigh(made);
    TapulScan scan = {.width_px = 700,
                      .height_px = 900,
                      .origin_px = {650, 850},
                      .px_by_x = {0, -10},
                      .px_by_y = {-10, 0}};
    set_test_motifs(first(evidence));
    test_ink_of(made)->scan = &scan;
    g_autoptr(JsonNode) page = tapul_annotations_new(&made->question, first(evidence),
                                                     "https://example.org/iiif/print/full.jpg");
    test_ink_of(made)->scan = NULL;
    JsonObject *item = only_item(page);
    ck_assert_str_eq(
        json_object_get_string_member(json_object_get_object_member(item, "target"), "source"),
        "https://example.org/iiif/print/full.jpg");
    ck_assert_str_eq(selector_of(item),
                     "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 700.00 900.00\">"
                     "<polygon points=\"550.00,750.00 550.00,550.00 150.00,550.00 "
                     "150.00,750.00\"/></svg>");
}
END_TEST

static Suite *suite(void) {
    Suite *suite = suite_create("evidence_sheet");
    TCase *sheets = tcase_create("sheets");
    tcase_set_timeout(sheets, 300);
    tcase_add_test(sheets, words_keep_apart);
    tcase_add_test(sheets, words_keep_apart_in_full_cases);
    tcase_add_test(sheets, fewest_pairs_are_drawn);
    tcase_add_test(sheets, arrows_are_residuals_drawn_so_many_times_as_long);
    tcase_add_test(sheets, overlay_and_bar_are_at_the_stated_scale);
    tcase_add_test(sheets, curves_stand_at_their_figures);
    tcase_add_test(sheets, residual_table_holds_every_pair_under_every_hypothesis);
    tcase_add_test(sheets, motifs_are_annotated_where_the_print_has_them);
    tcase_add_test(sheets, motifs_of_a_scan_are_annotated_in_its_pixels);
    suite_add_tcase(suite, sheets);
    return suite;
}

int main(void) {
    SRunner *runner = srunner_create(suite());
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
