/* Figures of scans and photographs: pixels are shown where the case asks for them, and lie
 * where the lines do. */
#include "figures_for_tests.h"

static int pictures_drawn(const TapulFigure *figure) {
    g_autoptr(TapulPage) page = tapul_page_new(210, 297, "A test", "A figure");
    int n = 0;
    tapul_figure_draw(figure, page, tapul_vec2(20, 20), 0.5, "figure", NULL);
    for (guint i = 0; i < page->items->len; i++)
        n += g_array_index(page->items, TapulItem, i).kind == TAPUL_ITEM_PICTURE;
    return n;
}

/* Of the darkness of two pages in a box, 1 mm squares. */
static double correlation(const Rendered *a, const Rendered *b, TapulBox box) {
    double sa = 0, sb = 0, saa = 0, sbb = 0, sab = 0, n = 0;
    for (double x = box.min.x; x + 1 <= box.max.x; x++)
        for (double y = box.min.y; y + 1 <= box.max.y; y++, n++) {
            TapulBox square = {{x, y}, {x + 1, y + 1}};
            double da = mean_darkness(a, square), db = mean_darkness(b, square);
            sa += da, sb += db, saa += da * da, sbb += db * db, sab += da * db;
        }
    return (n * sab - sa * sb) / sqrt((n * saa - sa * sa) * (n * sbb - sb * sb));
}

START_TEST(a_scan_is_shown_as_the_case_asks) {
    g_autofree char *path = source_file("demo-prints/scan-and-photo/case.yaml");
    g_autoptr(GError) error = NULL;
    TapulCaseOptions options = tapul_case_options_defaults();
    TapulCaseLayOptions lay_options = tapul_case_lay_options_defaults();
    g_autoptr(TapulCase) question = tapul_case_load(path, &options, &error);
    ck_assert_msg(question != NULL, "%s", error ? error->message : "");
    TapulCaseLaying *laying = question->layings->pdata[0];
    TapulComparison comparison = {.question = question};
    g_autoptr(TapulFigure) print = tapul_figure_print(&comparison, 0, TRUE);
    TapulVec2 size = size_of(print);
    ck_assert_int_eq(pictures_drawn(print), 0);
    g_auto(Rendered) lines = render(print, tapul_vec2(20, 20), 1);
    laying->show = TAPUL_SHOW_PICTURE;
    ck_assert_int_eq(pictures_drawn(print), 1);
    g_auto(Rendered) pixels = render(print, tapul_vec2(20, 20), 1);
    /* Lines and pixels of one print lie on each other. */
    ck_assert_double_gt(
        correlation(&lines, &pixels, (TapulBox){{25, 25}, {15 + size.x, 15 + size.y}}), 0.9);

    lay_options.pictures = TRUE;
    lay_options.tolerance_mm = 0.1;
    comparison.laid = tapul_case_lay(question, &lay_options, &error);
    ck_assert_msg(comparison.laid != NULL, "%s", error ? error->message : "");
    TapulBox box = tapul_laid_box_mm(&comparison, 0);
    for (int shown = TAPUL_SHOWN_BARE; shown <= TAPUL_SHOWN_ETCHED; shown++) {
        g_autoptr(TapulFigure) flat =
            tapul_figure_development(&comparison, box, (TapulShown)shown, 0);
        ck_assert_int_eq(pictures_drawn(flat), shown == TAPUL_SHOWN_LAID);
    }
    g_ptr_array_unref((GPtrArray *)comparison.laid);
}
END_TEST

/* Half of it seen, half at a slant. */
static TapulRectified test_photograph(void) {
    TapulRectified seen = {
        .box_mm = {{-30, 120}, {30, 180}}, .pixel_mm = 0.5, .width_px = 120, .height_px = 120};
    seen.rgba = g_malloc0(120 * 120 * 4);
    seen.seen = g_malloc0(120 * 120);
    for (int i = 0; i < 120 * 120; i++) {
        gboolean left = i % 120 < 60;
        memset(seen.rgba + 4 * i, 100, 3);
        seen.rgba[4 * i + 3] = left ? 255 : 0;
        seen.seen[i] = left ? TAPUL_SEEN_WELL : TAPUL_SEEN_GRAZING;
    }
    return seen;
}

START_TEST(what_is_found_is_the_photograph_where_there_is_one) {
    g_autoptr(TestCase) made = sheet_case();
    TapulRectified seen = test_photograph();
    TapulBox box = {{-10, 140}, {10, 160}};
    g_autoptr(TapulFigure) figure =
        tapul_figure_development(&made->comparison, box, TAPUL_SHOWN_FOUND, -1);
    ck_assert_int_eq(pictures_drawn(figure), 0);
    made->comparison.rectified = &seen;
    ck_assert_int_eq(pictures_drawn(figure), 1);
    g_auto(Rendered) page = render(figure, tapul_vec2(40, 50), 1);
    ck_assert_double_eq_tol(mean_darkness(&page, (TapulBox){{41, 51}, {49, 69}}),
                            1 - 100 / 255.0, 0.01);
    /* Hatched metal, neither the photograph nor bare. */
    double hatched = mean_darkness(&page, (TapulBox){{51, 51}, {59, 69}});
    ck_assert_double_gt(hatched, 0.07);
    ck_assert_double_lt(hatched, 0.2);
    g_free(seen.rgba);
    g_free(seen.seen);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("figure_pixels");
    TCase *tests = tcase_create("figure_pixels");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, a_scan_is_shown_as_the_case_asks);
    tcase_add_test(tests, what_is_found_is_the_photograph_where_there_is_one);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
