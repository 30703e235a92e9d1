/* The whole plate's page: places pointed to where the plate is seen from the front, at the
 * scale that is said; every call named; texts clear on every paper. */
#include "comparisons_for_tests.h"
#include "sheet/comparison_plate_parts.h"

#define TRUE_SCALE 0.001 /* of a length on the page: the share by which it may be off */

#define PRINT_SVG                                                                              \
    "<svg xmlns='http://www.w3.org/2000/svg' width='60mm' height='40mm' viewBox='0 0 60 40'>"  \
    "<g id='small-star'><path d='M5 5h8v8h-8z'/></g>"                                          \
    "<g id='wide-wave'><path d='M20 20h35v12h-35z'/></g></svg>"
#define LAID "layings: [{ print: sheet, rule: rolled, anchor: { across_mm: 0, up_mm: 150 } }]\n"

static TestCase *with_calls(const char *calls) {
    g_autofree char *yaml = g_strconcat(LAID, "sheet:\n  calls:\n", calls, NULL);
    return test_case_new(PRINT_SVG, yaml);
}

static void add_leader(const TapulItem *item, const PagePlace *place, gpointer data) {
    if (item->kind != TAPUL_ITEM_PATH || !stands_in(place->groups, "leaders") ||
        item->as.drawn.path->points->len != 2 ||
        !tapul_same_colour(item->as.drawn.pen.stroke, TAPUL_BLACK))
        return;
    TapulVec2 at = g_array_index(item->as.drawn.path->points, TapulVec2, 0);
    g_array_append_val((GArray *)data, at);
}

/* Where the leaders end on the figure, in the order of the calls. */
static GArray *places_of(const TapulPage *page) {
    GArray *places = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    walk_page(page, add_leader, places);
    return places;
}

/* On a cylinder of radius 100 mm a point s mm across the front is seen 100 sin(s / 100) mm from
 * its middle. */
START_TEST(leaders_end_where_the_places_are_seen) {
    g_autoptr(TestCase) made =
        with_calls("    - { at: { across_mm: 0, up_mm: 20 }, text: a }\n"
                   "    - { at: { across_mm: 100, up_mm: 220 }, text: b }\n"
                   "    - { at: { across_mm: -50, up_mm: 70 }, text: c }\n");
    const double seen_mm[][2] = {
        {0, 20}, {TEST_RADIUS_MM * sin(1), 220}, {-TEST_RADIUS_MM * sin(0.5), 70}};
    g_autoptr(GPtrArray) pages = test_case_pages(made, _i, TAPUL_LAYOUT_PLATE);
    ck_assert_uint_eq(pages->len, 1);
    double scale = scale_said(pages->pdata[0]);
    g_autoptr(GArray) places = places_of(pages->pdata[0]);
    ck_assert_uint_eq(places->len, 3);
    TapulVec2 first = g_array_index(places, TapulVec2, 0);
    for (guint i = 1; i < 3; i++) {
        TapulVec2 way = tapul_vec2_sub(g_array_index(places, TapulVec2, i), first);
        double across_mm = scale * (seen_mm[i][0] - seen_mm[0][0]);
        double up_mm = scale * (seen_mm[i][1] - seen_mm[0][1]);
        ck_assert_double_eq_tol(way.x, across_mm, TRUE_SCALE * fabs(across_mm));
        ck_assert_double_eq_tol(way.y, up_mm, TRUE_SCALE * fabs(up_mm));
    }
    /* And the figure stands there. */
    TapulBox figure = box_of_group(pages->pdata[0], "plate", ANY_COLOUR);
    ck_assert_double_eq_tol(first.x, (figure.min.x + figure.max.x) / 2, 0.1);
}
END_TEST

static guint count_texts(const TapulPage *page, const char *text) {
    g_autoptr(GArray) texts = texts_of_page(page);
    guint count = 0;
    for (guint i = 0; i < texts->len; i++)
        count += strcmp(g_array_index(texts, PageText, i).text, text) == 0;
    return count;
}

/* So many that not every paper has stands for them all, and the list does not fit beside the
 * plate. Each number is on the figure once, and in the list once. */
START_TEST(no_call_is_lost_where_there_are_many) {
    const int n = 60;
    g_autoptr(GString) calls = g_string_new(NULL);
    for (int i = 0; i < n; i++)
        g_string_append_printf(calls,
                               "    - { at: { across_mm: %d, up_mm: %d }, text: \"Place %d of "
                               "those that the case names, at a length that fills a line\" }\n",
                               -100 + (i * 37) % 200, 10 + (i * 61) % 280, i);
    g_autoptr(TestCase) made = with_calls(calls->str);
    for (int format = 0; format < COMPARISON_FORMATS; format++) {
        g_autoptr(GPtrArray) pages = test_case_pages(made, format, TAPUL_LAYOUT_PLATE);
        for (int number = 1; number <= n; number++) {
            g_autofree char *text = g_strdup_printf("%d", number);
            guint count = 0;
            for (guint i = 0; i < pages->len; i++)
                count += count_texts(pages->pdata[i], text);
            /* The figures' own numbers and those of scale bars are such texts too. */
            ck_assert_msg(count >= 2, "%d is said %u times in format %d", number, count,
                          format);
        }
    }
    check_pages_on_every_paper(made, TAPUL_LAYOUT_PLATE, "many calls");
}
END_TEST

/* A line up the back of a tube cannot be seen from the front. */
START_TEST(hidden_places_are_listed_without_leaders) {
    g_autoptr(TestCase) made = test_case_of_demonstration("cannon");
    const TapulVec2 at_mm[] = {{0, 120}, {160, 200}};
    g_ptr_array_set_size(made->question->sheet.calls, 0);
    for (guint i = 0; i < G_N_ELEMENTS(at_mm); i++) {
        TapulCaseCall *call = g_new0(TapulCaseCall, 1);
        call->developed_mm = at_mm[i];
        call->text = g_strdup(i == 0 ? "In front" : "Behind");
        g_ptr_array_add(made->question->sheet.calls, call);
    }
    g_autoptr(GPtrArray) pages = test_case_pages(made, A4_LANDSCAPE, TAPUL_LAYOUT_PLATE);
    g_autoptr(GArray) places = places_of(pages->pdata[0]);
    ck_assert_uint_eq(places->len, 1);
    ck_assert_uint_eq(count_texts(pages->pdata[0], "In front"), 1);
    ck_assert_uint_eq(count_texts(pages->pdata[0], "Behind (hidden from the front)"), 1);
    check_page_is_clear(pages->pdata[0], 5, "a hidden call");
}
END_TEST

/* One print: its motifs, the case's names for them. The larger first or not, both are called.
 */
START_TEST(motifs_of_the_one_print_are_called) {
    g_autoptr(TestCase) made =
        test_case_new(PRINT_SVG, LAID "sheet: { motifs: { wide-wave: The wave } }\n");
    g_autoptr(GPtrArray) pages = test_case_pages(made, A4_LANDSCAPE, TAPUL_LAYOUT_PLATE);
    ck_assert_uint_eq(count_texts(pages->pdata[0], "Small star"), 1);
    ck_assert_uint_eq(count_texts(pages->pdata[0], "The wave"), 1);
    check_pages_on_every_paper(made, TAPUL_LAYOUT_PLATE, "motifs");
}
END_TEST

/* Two layings: a call for each, on ink of it. */
START_TEST(layings_are_called) {
    g_autoptr(TestCase) made = test_case_new(
        PRINT_SVG, "layings:\n  - { print: sheet, rule: rolled, anchor: { across_mm: -50, "
                   "up_mm: 80 } }\n  - { print: sheet, rule: viewed, anchor: { x_mm: 40, y_mm: "
                   "220 }, reversed: true }\n");
    g_autoptr(GPtrArray) pages = test_case_pages(made, A4_LANDSCAPE, TAPUL_LAYOUT_PLATE);
    g_autoptr(GArray) places = places_of(pages->pdata[0]);
    ck_assert_uint_eq(places->len, 2);
    TapulVec2 a = g_array_index(places, TapulVec2, 0), b = g_array_index(places, TapulVec2, 1);
    /* The sheet is 60 x 40 mm: its ink is no further than that from the anchor. */
    double scale = scale_said(pages->pdata[0]);
    ck_assert_double_eq_tol(b.x - a.x, scale * (40 + TEST_RADIUS_MM * sin(0.5)), scale * 60);
    ck_assert_double_eq_tol(b.y - a.y, scale * 140, scale * 40);
    check_pages_on_every_paper(made, TAPUL_LAYOUT_PLATE, "two layings");
}
END_TEST

/* What is not found is not pointed to on the plate as found: without motifs weighed the prints
 * are shown as laid. */
START_TEST(shows_what_it_points_to) {
    g_autoptr(TestCase) etched = test_case_new(PRINT_SVG, LAID);
    ck_assert_int_eq(tapul_plate_shown(&etched->comparison), TAPUL_SHOWN_ETCHED);
    g_autoptr(TestCase) found = test_case_of_demonstration("backplate");
    ck_assert_int_eq(tapul_plate_shown(&found->comparison), TAPUL_SHOWN_LAID);
    TapulCaseCall *call = g_new0(TapulCaseCall, 1);
    call->text = g_strdup("A place");
    g_ptr_array_add(found->question->sheet.calls, call);
    ck_assert_int_eq(tapul_plate_shown(&found->comparison), TAPUL_SHOWN_FOUND);
}
END_TEST

START_TEST(nothing_to_show_makes_no_page) {
    g_autoptr(TestCase) made = test_case_new(PRINT_SVG, "");
    g_autoptr(GPtrArray) pages = test_case_pages(made, A4_LANDSCAPE, TAPUL_LAYOUT_PLATE);
    ck_assert_ptr_null(pages);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("comparison_plate");
    TCase *tcase = tcase_create("comparison_plate");
    tcase_set_timeout(tcase, 120);
    tcase_add_loop_test(tcase, leaders_end_where_the_places_are_seen, 0, COMPARISON_FORMATS);
    tcase_add_test(tcase, no_call_is_lost_where_there_are_many);
    tcase_add_test(tcase, hidden_places_are_listed_without_leaders);
    tcase_add_test(tcase, motifs_of_the_one_print_are_called);
    tcase_add_test(tcase, layings_are_called);
    tcase_add_test(tcase, shows_what_it_points_to);
    tcase_add_test(tcase, nothing_to_show_makes_no_page);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
