/* Figures of comparison pages, measured on rendered pages and against closed forms: on a
 * cylinder the development keeps all lengths. */
#include "figures_for_tests.h"
#include "sheet/view.h"

/* --- Prints --- */

START_TEST(plate_mark_measures_true_on_the_page) {
    static const double scales[] = {2, 1, 1 / 2.0, 1 / 3.0};
    g_autoptr(TestCase) made = sheet_case();
    g_autoptr(TapulFigure) figure = tapul_figure_print(&made->comparison, 0, FALSE);
    TapulVec2 at = {13.3, 21.7}, least = tapul_figure_box_mm(figure).min;
    for (guint i = 0; i < G_N_ELEMENTS(scales); i++) {
        g_auto(Rendered) page = render(figure, at, scales[i]);
        /* Along the blank between plate mark and frame. */
        double y_mm = at.y + scales[i] * (1.5 - least.y);
        g_autoptr(GArray) runs =
            dark_runs(&page, y_mm, at.x - 1, at.x + scales[i] * size_of(figure).x + 1, 0.25);
        ck_assert_uint_eq(runs->len, 2);
        TapulVec2 left = g_array_index(runs, TapulVec2, 0),
                  right = g_array_index(runs, TapulVec2, 1);
        double wide_mm = (right.x + right.y - left.x - left.y) / 2;
        ck_assert_double_eq_tol(wide_mm, 80 * scales[i], 0.001 * 80 * scales[i]);
        ck_assert_double_eq_tol((left.x + left.y) / 2, at.x - scales[i] * least.x, 0.03);
        ck_assert_double_lt(left.y - left.x, 0.3); /* a fine line, no box */
    }
}
END_TEST

START_TEST(a_print_cut_at_its_plate_mark_shows_no_line_there) {
    g_autoptr(TestCase) made = sheet_case();
    g_autoptr(TapulFigure) figure = tapul_figure_print(&made->comparison, 0, FALSE);
    tapul_figure_crop(figure, (TapulBox){{0, 0}, {80, 60}});
    g_auto(Rendered) page = render(figure, tapul_vec2(20, 20), 1);
    g_autoptr(GArray) runs = dark_runs(&page, 21.5, 15, 110, 0.25);
    ck_assert_uint_eq(runs->len, 0);
}
END_TEST

/* Rendered so that the middle of the figure's width lies between two pixels. */
static Rendered render_about(const TapulFigure *figure, int middle_px, double scale) {
    double px_mm = 25.4 / RENDER_DPI;
    return render(figure, tapul_vec2(middle_px * px_mm - scale * size_of(figure).x / 2, 30),
                  scale);
}

/* The mean over the figure, which reaches so far to both sides and from 30 mm up. */
static double mirror_difference(const Rendered *direct, const Rendered *reversed, int middle_px,
                                TapulVec2 size_mm) {
    double sum = 0;
    int n = 0, reach_px = (int)(size_mm.x / 2 * direct->per_mm);
    int lowest = direct->height_px - (int)(30 * direct->per_mm);
    for (int y = lowest - (int)(size_mm.y * direct->per_mm); y < lowest; y++)
        for (int x = middle_px - reach_px; x < middle_px; x++, n++)
            sum += fabs(darkness(direct, x, y) - darkness(reversed, 2 * middle_px - 1 - x, y));
    return sum / n;
}

START_TEST(reversed_print_is_the_direct_one_in_a_mirror) {
    g_autoptr(TestCase) made = sheet_case();
    g_autoptr(TapulFigure) direct = tapul_figure_print(&made->comparison, 0, FALSE);
    g_autoptr(TapulFigure) reversed = tapul_figure_print(&made->comparison, 0, TRUE);
    g_auto(Rendered) one = render_about(direct, 1000, 1.5);
    g_auto(Rendered) other = render_about(reversed, 1000, 1.5);
    TapulVec2 size = tapul_vec2_scale(size_of(direct), 1.5);
    /* Half a level in the mean is what smoothing of edges leaves. */
    ck_assert_double_lt(mirror_difference(&one, &other, 1000, size), 0.5 / 255);
    ck_assert_double_gt(mirror_difference(&one, &one, 1000, size), 3.0 / 255);
    /* A part is taken in the mirrored frame. */
    tapul_figure_crop(reversed, (TapulBox){{40, 0}, {80, 60}});
    g_auto(Rendered) part = render(reversed, tapul_vec2(20, 30), 1);
    ck_assert_double_gt(mean_darkness(&part, (TapulBox){{35, 40}, {45, 80}}), 0.08 + 0.02);
}
END_TEST

START_TEST(hatching_keeps_its_tone_when_it_is_small) {
    g_autoptr(GString) svg = g_string_new(
        "<svg xmlns='http://www.w3.org/2000/svg' width='80mm' height='60mm' viewBox='0 0 80 "
        "60' fill='none' stroke='black' stroke-width='0.1'><g id='hatching'>");
    for (double y = 10; y < 50; y += 0.4)
        g_string_append_printf(svg, "<path d='M10 %.1fH70'/>", y);
    g_string_append(svg, "</g></svg>");
    g_autoptr(TestCase) made = test_case_new(
        svg->str, "layings: [{ print: sheet, rule: developed, anchor: { across_mm: 0, up_mm: "
                  "150 } }]\n");
    g_autoptr(TapulFigure) figure = tapul_figure_print(&made->comparison, 0, FALSE);
    TapulVec2 least = tapul_figure_box_mm(figure).min;
    double tone[3], scale[3] = {1, 1 / 4.0, 1 / 8.0};
    for (int i = 0; i < 3; i++) {
        g_auto(Rendered) page = render(figure, tapul_vec2(20, 20), scale[i]);
        TapulVec2 from = {20 + scale[i] * (15 - least.x), 20 + scale[i] * (15 - least.y)};
        tone[i] = mean_darkness(
            &page, (TapulBox){from, {from.x + scale[i] * 50, from.y + scale[i] * 30}});
    }
    /* A quarter is ink. Drawn 0.03 mm wide, lines 0.1 mm apart would be a third, lines 0.05 mm
     * apart two thirds. */
    ck_assert_double_eq_tol(tone[1], tone[0], 0.06);
    ck_assert_double_gt(tone[2], tone[0] - 0.02);
    ck_assert_double_lt(tone[2], tone[0] + 0.20);
}
END_TEST

/* --- Developments --- */

static void check_nothing_beyond(const Rendered *page, TapulBox box_mm) {
    for (int y = 0; y < page->height_px; y++)
        for (int x = 0; x < page->width_px; x++) {
            double x_mm = (x + 0.5) / page->per_mm,
                   y_mm = (page->height_px - y - 0.5) / page->per_mm;
            double px_mm = 1 / page->per_mm;
            if (x_mm < box_mm.min.x - px_mm || x_mm > box_mm.max.x + px_mm ||
                y_mm < box_mm.min.y - px_mm || y_mm > box_mm.max.y + px_mm)
                ck_assert_double_eq(darkness(page, x, y), 0);
        }
}

START_TEST(a_part_of_the_development_stays_within_its_box) {
    g_autoptr(TestCase) made = sheet_case();
    /* Across the print, and across the plate's edge: half the sweep of 170 degrees is 148.4. */
    static const TapulBox boxes[] = {{{-12, 140}, {5, 158}}, {{120, 100}, {170, 130}}};
    for (guint i = 0; i < G_N_ELEMENTS(boxes); i++)
        for (int shown = TAPUL_SHOWN_BARE; shown <= TAPUL_SHOWN_ETCHED; shown++) {
            g_autoptr(TapulFigure) figure =
                tapul_figure_development(&made->comparison, boxes[i], (TapulShown)shown, -1);
            g_auto(Rendered) page = render(figure, tapul_vec2(40, 50), 2);
            TapulVec2 size = tapul_vec2_scale(size_of(figure), 2);
            check_nothing_beyond(&page, (TapulBox){{40, 50}, {40 + size.x, 50 + size.y}});
        }
    /* Beyond the metal is the page. */
    g_autoptr(TapulFigure) edge =
        tapul_figure_development(&made->comparison, boxes[1], TAPUL_SHOWN_ETCHED, -1);
    g_auto(Rendered) page = render(edge, tapul_vec2(40, 50), 1);
    ck_assert_double_gt(mean_darkness(&page, (TapulBox){{41, 51}, {67, 79}}), 0.8);
    ck_assert_double_eq(mean_darkness(&page, (TapulBox){{70, 51}, {89, 79}}), 0);
}
END_TEST

START_TEST(a_whole_plate_stays_within_its_box) {
    g_autoptr(TestCase) made = sheet_case();
    for (int shown = TAPUL_SHOWN_BARE; shown <= TAPUL_SHOWN_ETCHED; shown++) {
        g_autoptr(TapulFigure) flat = tapul_figure_development(
            &made->comparison, tapul_box_empty(), (TapulShown)shown, -1);
        g_autoptr(TapulFigure) seen =
            tapul_figure_view(&made->comparison, 0.6, 0.2, (TapulShown)shown, -1);
        const TapulFigure *figures[] = {flat, seen};
        for (int i = 0; i < 2; i++) {
            g_auto(Rendered) page = render(figures[i], tapul_vec2(40, 50), 0.25);
            TapulVec2 size = tapul_vec2_scale(size_of(figures[i]), 0.25);
            check_nothing_beyond(&page, (TapulBox){{40, 50}, {40 + size.x, 50 + size.y}});
        }
    }
}
END_TEST

START_TEST(laid_ink_lies_where_the_laying_puts_it) {
    g_autoptr(TestCase) made = sheet_case();
    TapulBox box = {{-30, 125}, {30, 175}};
    g_autoptr(TapulFigure) figure =
        tapul_figure_development(&made->comparison, box, TAPUL_SHOWN_FOUND, 0);
    g_auto(Rendered) page = render(figure, tapul_vec2(40, 50), 2);
    /* Level through the reeds' and the heron's upright lines, between the frame's sides. */
    double y_mm = 50 + 2 * (put(0, 25).y - box.min.y);
    g_autoptr(GArray) runs = dark_runs(&page, y_mm, 40, 160, 0.5);
    static const double lines_mm[] = {77, 64, 60, 20, 3}; /* of the print, mirrored */
    ck_assert_uint_eq(runs->len, G_N_ELEMENTS(lines_mm));
    for (guint i = 0; i < runs->len; i++) {
        TapulVec2 run = g_array_index(runs, TapulVec2, i);
        ck_assert_double_eq_tol((run.x + run.y) / 2,
                                40 + 2 * (put(lines_mm[i], 0).x - box.min.x), 0.05);
    }
}
END_TEST

START_TEST(etched_figures_are_dark_with_a_bright_design) {
    g_autoptr(TestCase) made = sheet_case();
    TapulBox box = {{-15, 140}, {-5, 155}}; /* about the reeds */
    g_autoptr(TapulFigure) etched =
        tapul_figure_development(&made->comparison, box, TAPUL_SHOWN_ETCHED, -1);
    g_autoptr(TapulFigure) bright =
        tapul_figure_development(&made->comparison, box, TAPUL_SHOWN_FOUND, -1);
    g_autoptr(TapulFigure) seen =
        tapul_figure_view(&made->comparison, 0, 0, TAPUL_SHOWN_ETCHED, -1);
    g_auto(Rendered) dark_page = render(etched, tapul_vec2(40, 50), 2);
    g_auto(Rendered) bright_page = render(bright, tapul_vec2(40, 50), 2);
    g_auto(Rendered) seen_page = render(seen, tapul_vec2(40, 50), 0.4);
    TapulBox drawn = {{40, 50}, {60, 80}};
    ck_assert_double_gt(mean_darkness(&dark_page, drawn), 0.75);
    ck_assert_double_lt(mean_darkness(&bright_page, drawn), 0.15);
    TapulVec2 middle = {40 + 0.4 * size_of(seen).x / 2, 50 + 0.4 * size_of(seen).y / 4};
    ck_assert_double_gt(mean_darkness(&seen_page, (TapulBox){{middle.x - 15, middle.y - 10},
                                                             {middle.x + 15, middle.y + 10}}),
                        0.65);
    double brightest = 1;
    for (int x = (int)(40 * dark_page.per_mm); x < (int)(60 * dark_page.per_mm); x++)
        brightest =
            fmin(brightest,
                 darkness(&dark_page, x, dark_page.height_px - (int)(65 * dark_page.per_mm)));
    ck_assert_double_lt(brightest, 0.2);
}
END_TEST

/* Of one part of a colour, WCAG 2. */
static double linear(double level) {
    return level <= 0.04045 ? level / 12.92 : pow((level + 0.055) / 1.055, 2.4);
}

static double luminance(double red, double green, double blue) {
    return 0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue);
}

START_TEST(both_inks_tell_from_the_metal_that_they_lie_on_as_seen) {
    g_autoptr(TestCase) made = sheet_case();
    g_autoptr(TapulView) view = tapul_view_new(&made->question->ground, 0, 0);
    tapul_view_shade(view, 1, TAPUL_METAL_PALE);
    const TapulRaster *shade = view->shade;
    /* Where the metal faces the eye by 50 degrees or less. */
    double reach_mm = TEST_RADIUS_MM * sin(50 * G_PI / 180), darkest = 1;
    for (double x_mm = -reach_mm; x_mm <= reach_mm; x_mm++) {
        int column = (int)((x_mm - shade->box_mm.min.x) / shade->pixel_mm);
        const guint8 *pixel =
            shade->rgba + 4 * ((shade->height_px / 2) * shade->width_px + column);
        darkest =
            fmin(darkest, luminance(pixel[0] / 255.0, pixel[1] / 255.0, pixel[2] / 255.0));
    }
    TapulColour print = TAPUL_PRINT_INK, plate = TAPUL_PLATE_INK;
    /* 3 : 1 is what WCAG 2 asks of graphics. */
    ck_assert_double_ge(
        (darkest + 0.05) / (luminance(print.red, print.green, print.blue) + 0.05), 3);
    ck_assert_double_ge(
        (darkest + 0.05) / (luminance(plate.red, plate.green, plate.blue) + 0.05), 3);
}
END_TEST

/* --- Points --- */

START_TEST(points_of_the_plate_are_where_figures_show_them) {
    g_autoptr(TestCase) made = sheet_case();
    const TapulGround *ground = &made->question->ground;
    g_autoptr(TapulFigure) view =
        tapul_figure_view(&made->comparison, 0.6, 0.2, TAPUL_SHOWN_LAID, -1);
    g_autoptr(TapulFigure) flat = tapul_figure_development(
        &made->comparison, (TapulBox){{-50, 100}, {50, 200}}, TAPUL_SHOWN_LAID, -1);
    g_autoptr(TapulFigure) print = tapul_figure_print(&made->comparison, 0, FALSE);
    g_autoptr(TapulView) fine = tapul_view_new(ground, 0.6, 0.2);
    tapul_view_shade(fine, 0.5, TAPUL_METAL_BRIGHT);
    int seen_by_both = 0, differ = 0, n = 0;
    for (double x = -160; x <= 160; x += 8)
        for (double y = 5; y < 300; y += 15, n++) {
            TapulVec2 at = {x, y}, own, fine_own;
            gboolean seen = tapul_figure_of_plate(view, at, &own);
            gboolean fine_seen = tapul_view_point(fine, at, &fine_own);
            differ += seen != fine_seen;
            if (seen && fine_seen) {
                ck_assert_double_eq_tol(tapul_vec2_distance(own, fine_own), 0, 1e-9);
                seen_by_both++;
            }
            gboolean shown = tapul_figure_of_plate(flat, at, &own);
            ck_assert_int_eq(shown, fabs(x) <= 50 && y >= 100 && y <= 200);
            ck_assert(own.x == x && own.y == y);
            ck_assert(!tapul_figure_of_plate(print, at, &own));
        }
    ck_assert_int_gt(seen_by_both, n / 3);
    ck_assert_int_lt(differ, n / 100); /* at the contour, by the pixels' size */
}
END_TEST

/* --- The demonstration --- */

static const char *const demonstration[] = {"backplate", "breastplate",    "cannon",  "cuff",
                                            "gorget",    "over-the-metal", "teaching"};

/* Every kind of figure, whole and far off the plate. */
static void draw_all(const TestCase *made, TapulPage *page) {
    const TapulComparison *comparison = &made->comparison;
    for (int shown = TAPUL_SHOWN_BARE; shown <= TAPUL_SHOWN_ETCHED; shown++) {
        g_autoptr(TapulFigure) flat =
            tapul_figure_development(comparison, tapul_box_empty(), (TapulShown)shown, -1);
        g_autoptr(TapulFigure) beyond = tapul_figure_development(
            comparison, (TapulBox){{5000, 5000}, {5010, 5010}}, (TapulShown)shown, 0);
        g_autoptr(TapulFigure) seen =
            tapul_figure_view(comparison, 0.6, 0.2, (TapulShown)shown, 0);
        tapul_figure_draw(flat, page, tapul_vec2(10, 10), 0.1, "flat", "Laid flat");
        tapul_figure_draw(beyond, page, tapul_vec2(10, 10), 1, "beyond", "Beyond");
        tapul_figure_draw(seen, page, tapul_vec2(10, 10), 0.1, "seen", "As seen");
        tapul_figure_crop(flat, tapul_box_empty());
        tapul_figure_draw(flat, page, tapul_vec2(10, 10), 0.1, "nothing", "Nothing");
    }
    for (guint i = 0; i < made->question->prints->len; i++) {
        g_autoptr(TapulFigure) print = tapul_figure_print(comparison, (int)i, i % 2 == 0);
        tapul_figure_draw(print, page, tapul_vec2(10, 10), 0.1, "print", "A print");
    }
}

START_TEST(every_case_of_the_demonstration_can_be_shown) {
    g_autoptr(TestCase) made = test_case_of_demonstration(demonstration[_i]);
    g_autoptr(TapulPage) page = tapul_page_new(210, 297, "A test", "Figures");
    draw_all(made, page);
}
END_TEST

/* A page of four small figures is sent about by mail: 3 MB. */
#define MOST_BYTES 3000000

START_TEST(four_small_figures_make_a_small_file) {
    g_autoptr(TestCase) made = test_case_of_demonstration("breastplate");
    const TapulComparison *comparison = &made->comparison;
    const TapulPrint *print = made->question->prints->pdata[0];
    ck_assert_uint_gt(print->ink->marks->len, 6500);
    TapulBox box = tapul_laid_box_mm(comparison, 0);
    g_autoptr(TapulFigure) engraved = tapul_figure_print(comparison, 0, FALSE);
    g_autoptr(TapulFigure) laid =
        tapul_figure_development(comparison, box, TAPUL_SHOWN_LAID, 0);
    g_autoptr(TapulFigure) etched =
        tapul_figure_development(comparison, box, TAPUL_SHOWN_ETCHED, 0);
    g_autoptr(TapulFigure) seen = tapul_figure_view(comparison, 0, 0, TAPUL_SHOWN_ETCHED, 0);
    g_autoptr(TapulPage) page = tapul_page_new(210, 297, "A test", "Figures");
    tapul_figure_draw(engraved, page, tapul_vec2(10, 10), 0.25, "print", NULL);
    tapul_figure_draw(laid, page, tapul_vec2(60, 10), 0.25, "laid", NULL);
    tapul_figure_draw(etched, page, tapul_vec2(110, 10), 0.25, "etched", NULL);
    tapul_figure_draw(seen, page, tapul_vec2(10, 80), 0.25, "seen", NULL);
    g_autofree char *folder = new_folder();
    g_autofree char *path = g_build_filename(folder, "page.pdf", NULL);
    ck_assert(tapul_page_write_pdf(&page, 1, path, NULL));
    GStatBuf status;
    ck_assert_int_eq(g_stat(path, &status), 0);
    ck_assert_int_lt(status.st_size, MOST_BYTES);
    remove_folder(folder);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("figure");
    TCase *tests = tcase_create("figure");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, plate_mark_measures_true_on_the_page);
    tcase_add_test(tests, a_print_cut_at_its_plate_mark_shows_no_line_there);
    tcase_add_test(tests, reversed_print_is_the_direct_one_in_a_mirror);
    tcase_add_test(tests, hatching_keeps_its_tone_when_it_is_small);
    tcase_add_test(tests, a_part_of_the_development_stays_within_its_box);
    tcase_add_test(tests, a_whole_plate_stays_within_its_box);
    tcase_add_test(tests, laid_ink_lies_where_the_laying_puts_it);
    tcase_add_test(tests, etched_figures_are_dark_with_a_bright_design);
    tcase_add_test(tests, both_inks_tell_from_the_metal_that_they_lie_on_as_seen);
    tcase_add_test(tests, points_of_the_plate_are_where_figures_show_them);
    tcase_add_loop_test(tests, every_case_of_the_demonstration_can_be_shown, 0,
                        (int)G_N_ELEMENTS(demonstration));
    tcase_add_test(tests, four_small_figures_make_a_small_file);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
