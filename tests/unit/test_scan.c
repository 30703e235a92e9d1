/* Scans to ink: a drawn scan of which all is known comes back: plate mark, skew, lines,
 * whatever the paper and the file are like. */
#include "scans_for_tests.h"

#include <glib/gstdio.h>
#include <stdlib.h>
#include <string.h>

/* Of the plate mark's corners, px at 300 to the inch, and of the skew: what is asked. */
#define CORNER_PX 1.0
#define SKEW_DEG  0.05
/* Of spacing and width: half a pixel at 300 to the inch. */
#define HALF_PIXEL_MM (0.5 * 25.4 / 300)

static TapulInk *read_scan(const TapulPixels *pixels, const TapulInkOptions *options) {
    g_autofree char *path = scan_path("scan.png");
    g_autoptr(GError) error = NULL;
    ck_assert_msg(tapul_pixels_write_png(pixels, 300, path, &error), "%s",
                  error ? error->message : "");
    TapulInk *ink = tapul_ink_read(path, options, &error);
    g_unlink(path);
    ck_assert_msg(ink != NULL, "%s", error ? error->message : "");
    return ink;
}

static void check_frame(const TapulInk *ink, const ScanPlan *plan) {
    const TapulVec2 corners[] = {
        {0, 0}, {MARK_WIDTH, 0}, {MARK_WIDTH, MARK_HEIGHT}, {0, MARK_HEIGHT}};
    ck_assert_str_eq(ink->scan->mark_from, "found");
    for (guint i = 0; i < G_N_ELEMENTS(corners); i++) {
        double off_px = tapul_vec2_distance(tapul_scan_pixel(ink->scan, corners[i]),
                                            true_px(plan, corners[i]));
        ck_assert_msg(off_px < CORNER_PX * plan->dpi / 300, "corner %u is %.2f px off", i,
                      off_px);
    }
    ck_assert_double_eq_tol(ink->scan->skew_rad * 180 / G_PI, plan->skew_deg, SKEW_DEG);
}

static int compare(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The chart's lines, and nothing else there. */
static void check_chart(const TapulInk *ink) {
    double middle[CHART_LINES];
    int n = 0;
    for (guint i = 0; i < ink->marks->len; i++) {
        const TapulMark *mark = g_ptr_array_index(ink->marks, i);
        TapulBox box = tapul_path_box(mark->path);
        if (box.min.x < FRAME_INSET + 1 || box.max.x > MARK_WIDTH - FRAME_INSET - 1)
            continue;
        if (box.min.y < FRAME_INSET + 1 || box.max.y > MARK_HEIGHT - FRAME_INSET - 1)
            continue;
        ck_assert_msg(mark->kind == TAPUL_MARK_STROKE && n < CHART_LINES,
                      "ink at %.2f, %.2f mm", box.min.x, box.min.y);
        ck_assert_double_eq_tol(mark->width_mm, CHART_WIDTH, HALF_PIXEL_MM);
        ck_assert_double_eq_tol(tapul_path_length(mark->path), CHART_LENGTH,
                                0.01 * CHART_LENGTH);
        middle[n++] = (box.min.y + box.max.y) / 2;
    }
    ck_assert_int_eq(n, CHART_LINES);
    qsort(middle, CHART_LINES, sizeof *middle, compare);
    for (int i = 0; i < CHART_LINES; i++)
        ck_assert_double_eq_tol(middle[i], CHART_BOTTOM + i * CHART_SPACING, 2 * HALF_PIXEL_MM);
    for (int i = 1; i < CHART_LINES; i++)
        ck_assert_double_eq_tol(middle[i] - middle[i - 1], CHART_SPACING, HALF_PIXEL_MM);
}

/* --- The drawn scan --- */

static const ScanPlan plans[] = {
    {300, 1.3, 0.06, 0, 0.4, 2.5, 0.12, 1},  /* a dark dent, stains, a fading lamp */
    {300, -2.4, 0, 0.03, 0.4, 2.5, 0.12, 2}, /* only a film of ink */
    {300, 0, 0.05, 0.02, 0, 0, 0, 3},        /* as drawn: no noise, not turned */
    {600, 3.5, 0.08, 0, 0.3, 4, 0.2, 4},     /* finer, more askew */
};

START_TEST(a_drawn_scan_comes_back) {
    const ScanPlan *plan = &plans[_i];
    g_autoptr(TapulPixels) pixels = draw_scan(plan);
    const TapulInkOptions options = mark_options();
    g_autoptr(TapulInk) ink = read_scan(pixels, &options);
    check_frame(ink, plan);
    check_chart(ink);
    ck_assert_double_eq_tol(ink->scan->dpi, plan->dpi, 0.005 * plan->dpi);
}
END_TEST

START_TEST(stains_are_counted_and_leave_no_ink) {
    ScanPlan plan = plain_plan();
    g_autoptr(TapulPixels) stained_pixels = draw_scan(&plan);
    plan.stains = 0;
    g_autoptr(TapulPixels) clean_pixels = draw_scan(&plan);
    const TapulInkOptions options = mark_options();
    g_autoptr(TapulInk) with = read_scan(stained_pixels, &options),
                        without = read_scan(clean_pixels, &options);
    ck_assert_int_eq(with->scan->foxing_spots, STAINS);
    ck_assert_int_eq(without->scan->foxing_spots, 0);
    ck_assert_int_eq(with->strokes, without->strokes);
    ck_assert_int_eq(with->fills, without->fills);
    /* One of them lies on the chart: its lines neither go nor thicken. */
    ck_assert_double_eq_tol(with->ink_area_mm2, without->ink_area_mm2,
                            0.01 * without->ink_area_mm2);
}
END_TEST

START_TEST(a_scan_without_a_plate_mark_is_taken_whole_and_says_so) {
    ScanPlan plan = plain_plan();
    plan.dent = plan.film = 0;
    g_autoptr(TapulPixels) pixels = draw_scan(&plan);
    g_autoptr(TapulInk) ink = read_scan(pixels, NULL);
    ck_assert_str_eq(ink->scan->mark_from, "the whole picture");
    ck_assert_str_eq(ink->scan->scale_from, "the file's resolution");
    /* The lines of the print still tell how it lies. */
    ck_assert_double_eq_tol(ink->scan->skew_rad * 180 / G_PI, plan.skew_deg, SKEW_DEG);
    ck_assert_double_gt(ink->width_mm, MARK_WIDTH + 2 * MARGIN - 0.1);
}
END_TEST

/* --- Scale --- */

START_TEST(every_way_to_the_scale_gives_the_same) {
    const ScanPlan plan = plain_plan();
    g_autoptr(TapulPixels) pixels = draw_scan(&plan);
    TapulInkOptions by_dpi = tapul_ink_options_defaults(), by_ruler = by_dpi;
    by_dpi.scan.dpi = plan.dpi;
    by_ruler.scan.ruler_from_px = true_px(&plan, tapul_vec2(0, 0));
    by_ruler.scan.ruler_to_px = true_px(&plan, tapul_vec2(30, 40));
    by_ruler.scan.ruler_mm = 50;
    const TapulInkOptions *ways[] = {&by_dpi, &by_ruler, NULL};
    const char *const named[] = {"dpi", "ruler", "the file's resolution"};
    for (guint i = 0; i < G_N_ELEMENTS(ways); i++) {
        g_autoptr(TapulInk) ink = read_scan(pixels, ways[i]);
        ck_assert_str_eq(ink->scan->scale_from, named[i]);
        ck_assert_double_eq_tol(ink->width_mm, MARK_WIDTH, 2 * HALF_PIXEL_MM);
        ck_assert_double_eq_tol(ink->height_mm, MARK_HEIGHT, 2 * HALF_PIXEL_MM);
        check_chart(ink);
    }
}
END_TEST

START_TEST(a_crop_is_the_plate_mark) {
    ScanPlan plan = plain_plan();
    plan.skew_deg = 0;
    g_autoptr(TapulPixels) pixels = draw_scan(&plan);
    TapulInkOptions options = mark_options();
    options.scan.crop_px.min = true_px(&plan, tapul_vec2(0, MARK_HEIGHT));
    options.scan.crop_px.max = true_px(&plan, tapul_vec2(MARK_WIDTH, 0));
    g_autoptr(TapulInk) ink = read_scan(pixels, &options);
    ck_assert_str_eq(ink->scan->mark_from, "crop_px");
    ck_assert_double_eq_tol(ink->scan->skew_rad, 0, 1e-12);
    check_chart(ink);
}
END_TEST

/* --- Areas, and the written SVG --- */

START_TEST(areas_only_gives_no_strokes) {
    const ScanPlan plan = plain_plan();
    g_autoptr(TapulPixels) pixels = draw_scan(&plan);
    TapulInkOptions options = mark_options();
    options.scan.areas_only = TRUE;
    g_autoptr(TapulInk) ink = read_scan(pixels, &options);
    const double frame_mm2 = 2 * 0.35 * (MARK_WIDTH + MARK_HEIGHT - 4 * FRAME_INSET);
    const double chart_mm2 = CHART_LINES * CHART_LENGTH * CHART_WIDTH;
    ck_assert_int_eq(ink->strokes, 0);
    ck_assert_int_eq(ink->fills, CHART_LINES + 1);
    /* The threshold lies nearer to the paper than to the ink: half a pixel on every edge. */
    ck_assert_double_eq_tol(ink->ink_area_mm2, frame_mm2 + chart_mm2,
                            2 * HALF_PIXEL_MM * (frame_mm2 / 0.35 + chart_mm2 / CHART_WIDTH));
}
END_TEST

START_TEST(written_ink_is_read_back) {
    const ScanPlan plan = plain_plan();
    g_autoptr(TapulPixels) pixels = draw_scan(&plan);
    const TapulInkOptions options = mark_options();
    g_autoptr(TapulInk) ink = read_scan(pixels, &options);
    g_autofree char *path = scan_path("ink.svg");
    g_autoptr(GError) error = NULL;
    ck_assert(tapul_ink_write_svg(ink, path, &error));
    g_autoptr(TapulInk) again = tapul_ink_read(path, NULL, &error);
    g_unlink(path);
    ck_assert_msg(again != NULL, "%s", error ? error->message : "");
    ck_assert_ptr_null(again->scan);
    ck_assert_double_eq_tol(again->width_mm, MARK_WIDTH, 1e-3);
    ck_assert_int_eq(again->strokes, ink->strokes);
    ck_assert_double_eq_tol(again->ink_length_mm, ink->ink_length_mm,
                            0.001 * ink->ink_length_mm);
    const TapulMotif *lines = g_ptr_array_index(again->motifs, 0);
    ck_assert_str_eq(lines->id, "lines");
}
END_TEST

int main(void) {
    Suite *suite = suite_create("scan");
    TCase *tests = tcase_create("scan");
    tcase_set_timeout(tests, 300);
    tcase_add_loop_test(tests, a_drawn_scan_comes_back, 0, (int)G_N_ELEMENTS(plans));
    tcase_add_test(tests, stains_are_counted_and_leave_no_ink);
    tcase_add_test(tests, a_scan_without_a_plate_mark_is_taken_whole_and_says_so);
    tcase_add_test(tests, every_way_to_the_scale_gives_the_same);
    tcase_add_test(tests, a_crop_is_the_plate_mark);
    tcase_add_test(tests, areas_only_gives_no_strokes);
    tcase_add_test(tests, written_ink_is_read_back);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
