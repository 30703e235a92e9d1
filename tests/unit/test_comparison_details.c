/* Details: every motif once, both crops of a pair true to the scale that is said, what is said
 * of them true, and texts clear of each other on every paper. */
#include "comparisons_for_tests.h"
#include "sheet/comparison_details.h"

#define TRUE_SCALE 0.001 /* of a length on the page: the share by which it may be off */

/* --- Prints --- */

/* Squares on a sheet of 240 x 150 mm, 8 x 5 of them, from 4 to 20 mm; far enough apart that no
 * crop shows two. */
static char *squares_svg(void) {
    GString *svg = g_string_new("<svg xmlns='http://www.w3.org/2000/svg' width='240mm' "
                                "height='150mm' viewBox='0 0 240 150'>");
    for (int i = 0; i < 40; i++) {
        double side = 4 + 16 * i / 39.0;
        g_string_append_printf(svg,
                               "<g id='m%02d'><rect x='%d' y='%d' width='%g' height='%g'/></g>",
                               i, 4 + 30 * (i % 8), 4 + 30 * (i / 8), side, side);
    }
    return g_string_free(g_string_append(svg, "</svg>"), FALSE);
}

/* A square of 20 mm in the middle of 60 x 60 mm. */
#define SQUARE_MM 20.0
#define SQUARE_SVG                                                                             \
    "<svg xmlns='http://www.w3.org/2000/svg' width='60mm' height='60mm' viewBox='0 0 60 60'>"  \
    "<g id='square'><rect x='20' y='20' width='20' height='20'/></g></svg>"

/* The same of outlines, and a small one inside of it. */
#define TWO_SQUARES_SVG                                                                        \
    "<svg xmlns='http://www.w3.org/2000/svg' width='60mm' height='60mm' viewBox='0 0 60 60'>"  \
    "<g fill='none' stroke='black' stroke-width='0.4'><g id='outer'><path d='M20 "             \
    "20h20v20h-20z"                                                                            \
    "M21 21h18v18h-18zM22 22h16v16h-16z'/></g><g id='inner'><path d='M25 25h8v8h-8z'/></g>"    \
    "</g></svg>"

#define LAID_FLAT                                                                              \
    "layings: [{ print: sheet, rule: developed, anchor: { x_mm: 0, y_mm: 150 } }]\n"

/* A tenth larger, which is said and shown; the same as a sheet on a flat plate is not. */
#define LARGER 1.1
#define LAID_LARGER                                                                            \
    "layings: [{ print: sheet, rule: developed, scale: 1.1, "                                  \
    "anchor: { x_mm: 0, y_mm: 150 } }]\n"

/* All squares weighed and kept, so that as many are shown as there are. */
static void find_all(GPtrArray *motifs, const TapulMotifFinding *kept) {
    for (guint i = 0; i < motifs->len; i++)
        ((TapulShownMotif *)motifs->pdata[i])->finding = kept;
}

/* --- Groups --- */

/* The ids of the squares' crops from print or plate; fails where one is there twice. */
static GHashTable *crops_of(const TapulPage *page, const char *from) {
    GHashTable *crops = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    g_autofree char *pattern = g_strdup_printf("^sheet-(m[0-9]+)-%s$", from);
    g_autoptr(GRegex) regex = g_regex_new(pattern, G_REGEX_OPTIMIZE, 0, NULL);
    for (guint i = 0; i < page->items->len; i++) {
        const TapulItem *item = &g_array_index(page->items, TapulItem, i);
        g_autoptr(GMatchInfo) match = NULL;
        if (item->kind == TAPUL_ITEM_BEGIN_GROUP &&
            g_regex_match(regex, item->as.group.id, 0, &match))
            ck_assert_msg(g_hash_table_add(crops, g_match_info_fetch(match, 1)), "%s twice",
                          item->as.group.id);
    }
    return crops;
}

static int number_before(const char *text, const char *words) {
    const char *at = strstr(text, words);
    if (!at)
        return 0;
    while (at > text && (g_ascii_isdigit(at[-1]) || at[-1] == ' '))
        at--;
    return atoi(at);
}

/* --- Which are shown --- */

START_TEST(every_motif_is_shown_once_up_to_the_limit) {
    g_autofree char *svg = squares_svg();
    g_autoptr(TestCase) made = test_case_new(svg, LAID_LARGER);
    g_autoptr(GArray) findings = g_array_new(FALSE, TRUE, sizeof(TapulMotifFinding));
    for (int i = 0; i < 40; i++) {
        TapulMotifFinding kept = {.motif = i,
                                  .fate = TAPUL_MOTIF_KEPT,
                                  .resized = 1,
                                  .box_mm =
                                      tapul_box_about(tapul_vec2(0, 150), tapul_vec2(9, 9))};
        g_array_append_val(findings, kept);
    }
    TapulPrintEvidence of_print = {.print = 0, .motifs = findings};
    g_autoptr(GPtrArray) prints_found = g_ptr_array_new();
    TapulEvidence evidence = {.prints = prints_found};
    g_ptr_array_add(prints_found, &of_print);
    made->comparison.evidence = &evidence;
    g_autoptr(GPtrArray) pages = test_case_pages(made, _i, TAPUL_LAYOUT_DETAILS);
    int most = tapul_details_most(comparison_formats[_i].paper), shown = 0, left_out = 0;
    g_autoptr(GHashTable) all = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    ck_assert_uint_le(pages->len, 3);
    for (guint i = 0; i < pages->len; i++) {
        g_autoptr(GHashTable) prints = crops_of(pages->pdata[i], "print");
        g_autoptr(GHashTable) plates = crops_of(pages->pdata[i], "plate");
        g_autofree char *said = words_said_by_page(pages->pdata[i]);
        GHashTableIter iter;
        gpointer id;
        ck_assert_uint_le(g_hash_table_size(prints), (guint)most);
        ck_assert_uint_eq(g_hash_table_size(prints), g_hash_table_size(plates));
        g_hash_table_iter_init(&iter, prints);
        while (g_hash_table_iter_next(&iter, &id, NULL))
            ck_assert_msg(g_hash_table_contains(plates, id) &&
                              g_hash_table_add(all, g_strdup(id)),
                          "%s is without its plate or on two pages", (char *)id);
        left_out += number_before(said, "further motifs are not shown");
    }
    shown = (int)g_hash_table_size(all);
    ck_assert_int_eq(shown, MIN(40, 3 * most));
    ck_assert_int_eq(shown + left_out, 40);
}
END_TEST

/* The inner square is in the crop of the outer one. */
START_TEST(what_another_crop_shows_is_shown_again_only_where_it_was_changed) {
    g_autoptr(TestCase) made = test_case_new(TWO_SQUARES_SVG, LAID_LARGER);
    g_autoptr(GPtrArray) motifs = tapul_shown_motifs(&made->comparison, -1);
    int left_out;
    g_autoptr(GPtrArray) details =
        tapul_details_choose(&made->comparison, motifs, 12, &left_out);
    ck_assert_uint_eq(motifs->len, 2);
    ck_assert_uint_eq(details->len, 1);
    ck_assert_int_eq(left_out, 1);
    TapulMotifFinding moved = {.fate = TAPUL_MOTIF_MOVED, .moved_mm = {0, 8}, .resized = 1};
    find_all(motifs, &moved);
    g_autoptr(GPtrArray) both = tapul_details_choose(&made->comparison, motifs, 12, &left_out);
    ck_assert_uint_eq(both->len, 2);
    ck_assert_int_eq(left_out, 0);
}
END_TEST

START_TEST(a_print_laid_twice_has_its_motifs_once) {
    g_autofree char *svg = squares_svg();
    g_autoptr(TestCase) made = test_case_new(
        svg, "layings:\n"
             "  - { print: sheet, rule: developed, anchor: { x_mm: -20, y_mm: 150 } }\n"
             "  - { print: sheet, rule: developed, anchor: { x_mm: 20, y_mm: 150 } }\n");
    g_autoptr(GPtrArray) motifs = tapul_shown_motifs(&made->comparison, -1);
    TapulMotifFinding kept = {.fate = TAPUL_MOTIF_KEPT, .resized = 1};
    int left_out;
    find_all(motifs, &kept);
    g_autoptr(GPtrArray) details =
        tapul_details_choose(&made->comparison, motifs, 100, &left_out);
    ck_assert_uint_eq(motifs->len, 80);
    ck_assert_uint_eq(details->len, 40);
    ck_assert_int_eq(left_out, 0);
}
END_TEST

START_TEST(of_a_print_that_is_only_laid_a_few_are_shown_and_they_are_changed) {
    g_autofree char *svg = squares_svg();
    g_autoptr(TestCase) made = test_case_new(svg, LAID_LARGER);
    g_autoptr(GPtrArray) motifs = tapul_shown_motifs(&made->comparison, -1);
    int left_out;
    g_autoptr(GPtrArray) details =
        tapul_details_choose(&made->comparison, motifs, 100, &left_out);
    ck_assert_uint_eq(details->len, TAPUL_DETAILS_MOST_LAID);
    ck_assert_int_eq(left_out, 40 - TAPUL_DETAILS_MOST_LAID);
    ck_assert(!tapul_details_tell_all(&made->comparison, motifs, details));
    g_autoptr(TestCase) same = test_case_new(svg, LAID_FLAT);
    ck_assert_ptr_null(test_case_pages(same, A4_LANDSCAPE, TAPUL_LAYOUT_DETAILS));
}
END_TEST

START_TEST(a_print_without_motifs_has_no_page) {
    g_autoptr(TestCase) made = test_case_new("<svg xmlns='http://www.w3.org/2000/svg' "
                                             "width='60mm' height='60mm' viewBox='0 0 60 60'>"
                                             "<path d='M20 20H40V40H20Z'/></svg>",
                                             LAID_FLAT);
    ck_assert_ptr_null(test_case_pages(made, A4_LANDSCAPE, TAPUL_LAYOUT_DETAILS));
}
END_TEST

/* --- Scale --- */

/* Width of the square of one crop, by the pixels: of a level line a quarter up it, clear of the
 * plate's lines; the group says only where to look. */
static double square_width_mm(const TapulPage *page, const Rendered *rendered,
                              const char *group) {
    TapulBox box = box_of_group(page, group, ANY_COLOUR);
    double y = box.min.y + 0.25 * (box.max.y - box.min.y), air = 0.05 * (box.max.x - box.min.x);
    g_autoptr(GArray) runs =
        dark_runs(rendered, y, box.min.x - air, box.max.x + air, MIDDLE_DARKNESS);
    ck_assert_uint_eq(runs->len, 1);
    TapulVec2 run = g_array_index(runs, TapulVec2, 0);
    return run.y - run.x;
}

START_TEST(both_crops_are_as_large_in_pixels_as_the_scale_says) {
    g_autoptr(TestCase) made = test_case_new(SQUARE_SVG, LAID_LARGER);
    g_autoptr(GPtrArray) pages = test_case_pages(made, _i, TAPUL_LAYOUT_DETAILS);
    ck_assert_uint_eq(pages->len, 1);
    const TapulPage *page = pages->pdata[0];
    double expected = scale_said(page) * SQUARE_MM;
    g_auto(Rendered) rendered = render_page(page);
    double print = square_width_mm(page, &rendered, "sheet-square-print-sheet-square");
    double plate = square_width_mm(page, &rendered, "sheet-square-plate-sheet-square");
    ck_assert_double_eq_tol(print, expected, TRUE_SCALE * expected);
    ck_assert_double_eq_tol(plate, LARGER * expected, TRUE_SCALE * LARGER * expected);
}
END_TEST

/* --- What is said --- */

/* Seen from the front, a sheet at x = r sin a is as wide on a cylinder's metal as 1 / cos
 * a: 1.25 at 0.6 r. */
START_TEST(a_print_drawn_as_seen_is_said_to_be_wider_by_the_slant_of_the_metal) {
    g_autoptr(TestCase) made = test_case_new(
        SQUARE_SVG,
        "layings: [{ print: sheet, rule: viewed, anchor: { x_mm: 60, y_mm: 150 } }]\n");
    g_autoptr(GPtrArray) pages = test_case_pages(made, A4_LANDSCAPE, TAPUL_LAYOUT_DETAILS);
    g_autofree char *said = words_said_by_page(pages->pdata[0]);
    ck_assert_msg(strstr(said, "25\u00a0% wider than in the print."), "%s", said);
    ck_assert_ptr_null(strstr(said, "taller"));
    ck_assert_ptr_null(strstr(said, "lower"));
}
END_TEST

START_TEST(a_print_laid_at_a_scale_of_its_own_is_compared_with_that) {
    g_autoptr(TestCase) made =
        test_case_new(SQUARE_SVG, "layings: [{ print: sheet, rule: viewed, scale: 2, "
                                  "reversed: true, anchor: { x_mm: 60, y_mm: 150 } }]\n");
    g_autoptr(GPtrArray) pages = test_case_pages(made, A4_LANDSCAPE, TAPUL_LAYOUT_DETAILS);
    g_autofree char *said = words_said_by_page(pages->pdata[0]);
    ck_assert_msg(strstr(said, "Laid at 200\u00a0%"), "%s", said);
    ck_assert_msg(strstr(said, ", reversed, enlarged to"), "%s", said);
}
END_TEST

START_TEST(factors_lie_between_the_principal_stretches) {
    g_autoptr(TestCase) made = test_case_of_demonstration("breastplate");
    for (guint i = 0; i < made->laid->len; i++) {
        const TapulCaseLaid *laid = made->laid->pdata[i];
        const TapulCaseLaying *asked = made->question->layings->pdata[i];
        const TapulPrint *print = made->question->prints->pdata[asked->print];
        TapulVec2 at = {0.3 * print->ink->width_mm, 0.55 * print->ink->height_mm}, factors;
        double s1, s2;
        gboolean folded;
        ck_assert(tapul_laying_stretch(laid->map, at, &s1, &s2, &folded));
        ck_assert(tapul_details_factors(&made->comparison, (int)i,
                                        tapul_box_about(at, tapul_vec2(0.2, 0.2)), &factors));
        /* Half a per cent: the stretch is that of a triangle, the factor that of the metal's
         * smooth surface. */
        ck_assert_double_ge(fmin(factors.x, factors.y), s2 - 0.005);
        ck_assert_double_le(fmax(factors.x, factors.y), s1 + 0.005);
    }
}
END_TEST

START_TEST(motifs_left_out_have_their_place_on_the_plate_shown) {
    g_autoptr(TestCase) made = test_case_new(SQUARE_SVG, LAID_FLAT);
    GArray *findings = g_array_new(FALSE, TRUE, sizeof(TapulMotifFinding));
    TapulMotifFinding left_out = {
        .motif = 0, .fate = TAPUL_MOTIF_LEFT_OUT, .resized = 1, .box_mm = tapul_box_empty()};
    TapulPrintEvidence of_print = {.print = 0, .motifs = findings};
    g_autoptr(GPtrArray) prints = g_ptr_array_new();
    TapulEvidence evidence = {.prints = prints};
    g_array_append_val(findings, left_out);
    g_ptr_array_add(prints, &of_print);
    made->comparison.evidence = &evidence;
    g_autoptr(GPtrArray) motifs = tapul_shown_motifs(&made->comparison, -1);
    int more;
    g_autoptr(GPtrArray) details = tapul_details_choose(&made->comparison, motifs, 12, &more);
    const TapulDetail *detail = details->pdata[0];
    ck_assert_str_eq(detail->label, "Square");
    ck_assert_str_eq(detail->text, "Left out.");
    /* On a cylinder's front the development's x is the print's, counted from its middle. */
    ck_assert_double_eq_tol((detail->plate_mm.min.x + detail->plate_mm.max.x) / 2, 0, 0.05);
    ck_assert_double_eq_tol(detail->plate_mm.max.x - detail->plate_mm.min.x,
                            detail->print_mm.max.x - detail->print_mm.min.x, 0.05);
    g_array_unref(findings);
}
END_TEST

/* --- Words --- */

START_TEST(texts_are_clear_on_every_paper) {
    g_autofree char *svg = squares_svg();
    g_autoptr(TestCase) made = test_case_new(
        svg, LAID_LARGER
        "sheet:\n  language: he\n"
        "  captions: { details: \"Where the tracing has gaps the plate was worn, and what was\n"
        "    not traced cannot be told from what was never there; see the catalogue entry.\" "
        "}\n"
        "  motifs:\n    m39: \"The third leaf from below on the left of the heron's back\"\n"
        "    m38: \"\u05d4\u05e9\u05dc\u05d3\u05d2 \u05d4\u05de\u05e6\u05d5\u05d9\u05e8\"\n"
        "  words:\n    details: \"\u05e4\u05e8\u05d8\u05d9\u05dd\"\n"
        "    as large as in the print: \"\u05db\u05d2\u05d5\u05d3\u05dc "
        "\u05d4\u05d4\u05d3\u05e4\u05e1\"\n");
    check_pages_on_every_paper(made, TAPUL_LAYOUT_DETAILS, "squares");
    g_autoptr(GPtrArray) pages = test_case_pages(made, A4_LANDSCAPE, TAPUL_LAYOUT_DETAILS);
    ck_assert(
        g_str_has_prefix(tapul_page_title(pages->pdata[0]), "\u05e4\u05e8\u05d8\u05d9\u05dd"));
    g_autofree char *said = words_said_by_page(pages->pdata[0]);
    ck_assert_ptr_null(strstr(said, "As large as in the print"));
}
END_TEST

START_TEST(texts_are_clear_in_the_demonstration) {
    static const char *const names[] = {"breastplate", "backplate"};
    g_autoptr(TestCase) made = test_case_of_demonstration(names[_i]);
    check_pages_on_every_paper(made, TAPUL_LAYOUT_DETAILS, names[_i]);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("comparison_details");
    TCase *tests = tcase_create("details");
    tcase_set_timeout(tests, 240);
    tcase_add_loop_test(tests, every_motif_is_shown_once_up_to_the_limit, 0,
                        COMPARISON_FORMATS);
    tcase_add_test(tests, what_another_crop_shows_is_shown_again_only_where_it_was_changed);
    tcase_add_test(tests, a_print_laid_twice_has_its_motifs_once);
    tcase_add_test(tests, of_a_print_that_is_only_laid_a_few_are_shown_and_they_are_changed);
    tcase_add_test(tests, a_print_without_motifs_has_no_page);
    tcase_add_loop_test(tests, both_crops_are_as_large_in_pixels_as_the_scale_says, 0,
                        COMPARISON_FORMATS);
    tcase_add_test(tests, a_print_drawn_as_seen_is_said_to_be_wider_by_the_slant_of_the_metal);
    tcase_add_test(tests, a_print_laid_at_a_scale_of_its_own_is_compared_with_that);
    tcase_add_test(tests, factors_lie_between_the_principal_stretches);
    tcase_add_test(tests, motifs_left_out_have_their_place_on_the_plate_shown);
    tcase_add_test(tests, texts_are_clear_on_every_paper);
    tcase_add_loop_test(tests, texts_are_clear_in_the_demonstration, 0, 2);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
