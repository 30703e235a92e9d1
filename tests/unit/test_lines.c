/* From grey to lines: drawn charts whose spacing, widths and lengths are known, crossings,
 * areas, and how much of the ink the marks cover. */
#include "charts_for_tests.h"

#include <omp.h>

/* What is promised: spacing to a tenth of a pixel, widths to half a pixel, lengths to one in a
 * hundred. Measured when this was written: 0.02 px, 0.2 px, 0.5 %. A single gap is told less
 * well than their mean: 0.11 px between the finest lines, 1.2 px wide, where they lie along the
 * pixels' rows. */
#define SPACING_PX      0.1
#define GAP_PX          0.15
#define WIDTH_PX        0.5
#define LENGTH_RELATIVE 0.01

#define BLOCK_LINES     6
#define BLOCK_LENGTH_MM 9.0

/* Blocks of a chart: lines of one width at one spacing, side by side. */
static const struct {
    double width_mm, spacing_mm;
} blocks[] = {{0.1, 0.3}, {0.1, 2}, {0.18, 0.6}, {0.25, 0.5},
              {0.35, 1},  {0.5, 1}, {0.7, 2},    {1, 2}};

#define N_BLOCKS ((int)G_N_ELEMENTS(blocks))

static TapulVec2 block_middle_mm(int block) {
    return tapul_vec2(-16.5 + 11.0 * (block % 4), block < 4 ? 6.713 : -6.287);
}

static TapulVec2 chart_middle_mm(void) {
    return tapul_vec2(25.0137, 25.0071);
}

static double line_offset_mm(int block, int line) {
    return (line - (BLOCK_LINES - 1) / 2.0) * blocks[block].spacing_mm;
}

/* All blocks, turned about the middle of a page 50 mm square. */
static Chart blocks_chart(double dpi, double turn_rad) {
    Chart chart = chart_new(50, 50, dpi);
    for (int block = 0; block < N_BLOCKS; block++)
        for (int line = 0; line < BLOCK_LINES; line++) {
            TapulVec2 at = block_middle_mm(block);
            at.y += line_offset_mm(block, line);
            TapulVec2 half = {BLOCK_LENGTH_MM / 2, 0};
            TapulVec2 from = tapul_vec2_turn(tapul_vec2_sub(at, half), turn_rad);
            TapulVec2 to = tapul_vec2_turn(tapul_vec2_add(at, half), turn_rad);
            chart_line(&chart, tapul_vec2_add(from, chart_middle_mm()),
                       tapul_vec2_add(to, chart_middle_mm()), blocks[block].width_mm);
        }
    chart_finish(&chart, 15);
    return chart;
}

/* The mean place of a path, weighted by length, turned back to the chart's own frame. */
static TapulVec2 mean_mm(const TapulPath *path, double turn_rad) {
    TapulVec2 sum = {0, 0};
    double length = 0;
    TapulPathWalk walk = tapul_path_walk(path);
    TapulPathPiece piece;
    while (tapul_path_walk_next(&walk, &piece))
        for (int i = 0; i < 50; i++) {
            TapulVec2 from = tapul_cubic_point(piece.p, i / 50.0),
                      to = tapul_cubic_point(piece.p, (i + 1) / 50.0);
            double step = tapul_vec2_distance(from, to);
            sum = tapul_vec2_add(sum, tapul_vec2_scale(tapul_vec2_mix(from, to, 0.5), step));
            length += step;
        }
    TapulVec2 mean = tapul_vec2_scale(sum, 1 / length);
    return tapul_vec2_turn(tapul_vec2_sub(mean, chart_middle_mm()), -turn_rad);
}

/* The block and line that a mark is; FALSE: none. */
static gboolean find_line(TapulVec2 at_mm, int *block, int *line) {
    for (*block = 0; *block < N_BLOCKS; (*block)++)
        for (*line = 0; *line < BLOCK_LINES; (*line)++) {
            TapulVec2 away = tapul_vec2_sub(at_mm, block_middle_mm(*block));
            if (fabs(away.x) < 1 &&
                fabs(away.y - line_offset_mm(*block, *line)) < blocks[*block].spacing_mm / 3)
                return TRUE;
        }
    return FALSE;
}

static void check_chart(double dpi, double turn_deg) {
    double turn_rad = turn_deg * G_PI / 180, px_per_mm = dpi / 25.4;
    Chart chart = blocks_chart(dpi, turn_rad);
    TapulInk *ink = chart_ink(&chart, FALSE);
    double place_mm[N_BLOCKS][BLOCK_LINES];
    gboolean seen[N_BLOCKS][BLOCK_LINES] = {{FALSE}};
    ck_assert_int_eq(ink->marks->len, N_BLOCKS * BLOCK_LINES);
    for (guint i = 0; i < ink->marks->len; i++) {
        const TapulMark *mark = g_ptr_array_index(ink->marks, i);
        int block, line;
        TapulVec2 at_mm = mean_mm(mark->path, turn_rad);
        ck_assert_int_eq(mark->kind, TAPUL_MARK_STROKE);
        ck_assert_msg(find_line(at_mm, &block, &line), "%g dpi, %g degrees: a line at %g, %g",
                      dpi, turn_deg, at_mm.x, at_mm.y);
        ck_assert(!seen[block][line]);
        seen[block][line] = TRUE;
        place_mm[block][line] = at_mm.y;
        ck_assert_double_eq_tol(mark->width_mm, blocks[block].width_mm, WIDTH_PX / px_per_mm);
        ck_assert_double_eq_tol(tapul_path_length(mark->path), BLOCK_LENGTH_MM,
                                LENGTH_RELATIVE * BLOCK_LENGTH_MM);
    }
    for (int block = 0; block < N_BLOCKS; block++) {
        const double *at_mm = place_mm[block], spacing_mm = blocks[block].spacing_mm;
        ck_assert_double_eq_tol((at_mm[BLOCK_LINES - 1] - at_mm[0]) / (BLOCK_LINES - 1),
                                spacing_mm, SPACING_PX / px_per_mm);
        for (int line = 1; line < BLOCK_LINES; line++)
            ck_assert_double_eq_tol(at_mm[line] - at_mm[line - 1], spacing_mm,
                                    GAP_PX / px_per_mm);
    }
    free_chart_ink(ink);
    chart_clear(&chart);
}

START_TEST(chart_lines_have_their_spacing_width_and_length) {
    static const double dpi[] = {300, 600}, turn_deg[] = {0, 3, 30, 45};
    check_chart(dpi[_i / 4], turn_deg[_i % 4]);
}
END_TEST

/* Two families of lines over a round field, crossing at an angle. */
#define HATCH_LINES      5
#define HATCH_LENGTH_MM  18.0
#define HATCH_SPACING_MM 0.9
#define HATCH_WIDTH_MM   0.2

static Chart hatched_chart(double crossing_rad, double dpi) {
    Chart chart = chart_new(24, 24, dpi);
    for (int family = 0; family < 2; family++)
        for (int i = 0; i < HATCH_LINES; i++) {
            double aside = (i - (HATCH_LINES - 1) / 2.0) * HATCH_SPACING_MM;
            double turn_rad = 0.21 + family * crossing_rad;
            TapulVec2 middle = {12.03, 12.01};
            TapulVec2 from = tapul_vec2_turn(tapul_vec2(-HATCH_LENGTH_MM / 2, aside), turn_rad);
            TapulVec2 to = tapul_vec2_turn(tapul_vec2(HATCH_LENGTH_MM / 2, aside), turn_rad);
            chart_line(&chart, tapul_vec2_add(middle, from), tapul_vec2_add(middle, to),
                       HATCH_WIDTH_MM);
        }
    chart_finish(&chart, 4);
    return chart;
}

START_TEST(cross_hatching_is_two_families_of_whole_lines) {
    static const double crossing_deg[] = {90, 60, 45, 30};
    double crossing_rad = crossing_deg[_i % 4] * G_PI / 180;
    Chart chart = hatched_chart(crossing_rad, _i < 4 ? 600 : 400);
    TapulInk *ink = chart_ink(&chart, FALSE);
    int of_family[2] = {0, 0};
    ck_assert_int_eq(ink->marks->len, 2 * HATCH_LINES);
    for (guint i = 0; i < ink->marks->len; i++) {
        const TapulMark *mark = g_ptr_array_index(ink->marks, i);
        ck_assert_int_eq(mark->kind, TAPUL_MARK_STROKE);
        ck_assert_double_eq_tol(tapul_path_length(mark->path), HATCH_LENGTH_MM,
                                0.02 * HATCH_LENGTH_MM);
        ck_assert_double_eq_tol(mark->width_mm, HATCH_WIDTH_MM, WIDTH_PX * 25.4 / chart.dpi);
        const TapulVec2 *p = (const TapulVec2 *)(const void *)mark->path->points->data;
        TapulVec2 along = tapul_vec2_sub(p[mark->path->points->len - 1], p[0]);
        double turn_rad = fmod(atan2(along.y, along.x) - 0.21 + 2 * G_PI + 0.1, G_PI) - 0.1;
        of_family[fabs(turn_rad) < 0.05 ? 0 : 1]++;
        ck_assert(fabs(turn_rad) < 0.01 || fabs(turn_rad - crossing_rad) < 0.01);
    }
    ck_assert_int_eq(of_family[0], HATCH_LINES);
    free_chart_ink(ink);
    chart_clear(&chart);
}
END_TEST

/* What the marks cover, by cairo, and the scan's ink: shared over joint pixels. Ink is what is
 * darker than halfway between paper and ink, where an even blur leaves an edge; a threshold
 * near either would widen or narrow all lines. */
static double coverage(const Chart *chart, const TapulInk *ink) {
    Chart again = chart_new(chart->width_mm, chart->height_mm, chart->dpi);
    for (guint i = 0; i < ink->marks->len; i++)
        chart_mark(&again, g_ptr_array_index(ink->marks, i));
    cairo_surface_flush(again.surface);
    const guint8 *data = cairo_image_surface_get_data(again.surface);
    int stride = cairo_image_surface_get_stride(again.surface);
    double both = 0, either = 0;
    for (int y = 0; y < chart->height_px; y++)
        for (int x = 0; x < chart->width_px; x++) {
            gboolean a = chart->grey[y * chart->width_px + x] < (PAPER_GREY + INK_GREY) / 2;
            gboolean b = data[y * stride + x] >= 128;
            both += a && b;
            either += a || b;
        }
    chart_clear(&again);
    return both / either;
}

/* Waving lines 0.45 mm apart that swell from 0.12 to 0.28 mm, crossed in part: as a burin cuts
 * them. */
static Chart engraved_chart(void) {
    Chart chart = chart_new(30, 30, 600);
    for (int family = 0; family < 2; family++)
        for (double y = 2; y < 28; y += 0.45) {
            double from = family ? 12 : 2, to = family ? 20 : 28, step = 0.1;
            for (double x = from; x < to; x += step) {
                double turn_rad = family * G_PI / 3;
                TapulVec2 a = {x - 15, y - 15 + 0.6 * sin(x / 2.5)},
                          b = {x + step - 15, y - 15 + 0.6 * sin((x + step) / 2.5)};
                a = tapul_vec2_turn(a, turn_rad);
                b = tapul_vec2_turn(b, turn_rad);
                chart_line(&chart, tapul_vec2(a.x + 15, a.y + 15),
                           tapul_vec2(b.x + 15, b.y + 15), 0.2 + 0.08 * sin(x / 4 + y));
            }
        }
    chart_finish(&chart, 8);
    return chart;
}

START_TEST(lines_and_areas_cover_engraved_hatching) {
    Chart chart = engraved_chart();
    TapulInk *ink = chart_ink(&chart, FALSE);
    double share = coverage(&chart, ink);
    ck_assert_msg(share >= 0.9, "intersection over union %.3f", share);
    free_chart_ink(ink);
    chart_clear(&chart);
}
END_TEST

/* A line that swells from 0.15 to 0.9 mm and back over 40 mm. */
START_TEST(swelling_line_is_split_and_keeps_its_widths) {
    Chart chart = chart_new(50, 10, 600);
    for (double x = 5; x < 45; x += 0.05)
        chart_line(&chart, tapul_vec2(x, 5), tapul_vec2(x + 0.05, 5),
                   0.15 + 0.75 * sin(G_PI * (x - 5) / 40));
    chart_finish(&chart, 2);
    TapulInk *ink = chart_ink(&chart, FALSE);
    double length_mm = 0;
    ck_assert_uint_ge(ink->marks->len, 8);
    for (guint i = 0; i < ink->marks->len; i++) {
        const TapulMark *mark = g_ptr_array_index(ink->marks, i);
        TapulBox box = tapul_path_box(mark->path);
        double low_mm = 0.15 + 0.75 * sin(G_PI * (box.min.x - 5) / 40);
        double high_mm = 0.15 + 0.75 * sin(G_PI * (box.max.x - 5) / 40);
        if (box.min.x < 25 && box.max.x > 25)
            low_mm = fmin(low_mm, high_mm), high_mm = 0.9;
        ck_assert_int_eq(mark->kind, TAPUL_MARK_STROKE);
        ck_assert_double_ge(mark->width_mm, fmin(low_mm, high_mm) - 0.5 * 25.4 / 600);
        ck_assert_double_le(mark->width_mm, fmax(low_mm, high_mm) + 0.5 * 25.4 / 600);
        length_mm += tapul_path_length(mark->path);
    }
    ck_assert_double_eq_tol(length_mm, 40, 0.4);
    free_chart_ink(ink);
    chart_clear(&chart);
}
END_TEST

static double fill_area_mm2(const TapulInk *ink) {
    double sum = 0;
    for (guint i = 0; i < ink->marks->len; i++) {
        const TapulMark *mark = g_ptr_array_index(ink->marks, i);
        ck_assert_int_eq(mark->kind, TAPUL_MARK_FILL);
        ck_assert(mark->even_odd);
        sum += fabs(tapul_path_area(mark->path));
    }
    return sum;
}

START_TEST(wide_ink_is_an_area_with_its_holes) {
    Chart chart = chart_new(30, 20, 600);
    cairo_set_line_width(chart.cairo, 3);
    cairo_arc(chart.cairo, 10, 10, 5, 0, 2 * G_PI);
    cairo_stroke(chart.cairo);
    cairo_rectangle(chart.cairo, 19, 5, 8, 10);
    cairo_fill(chart.cairo);
    cairo_arc(chart.cairo, 10, 10, 0.4, 0, 2 * G_PI);
    cairo_fill(chart.cairo);
    chart_finish(&chart, 1);
    for (int areas_only = 0; areas_only < 2; areas_only++) {
        TapulInk *ink = chart_ink(&chart, areas_only);
        ck_assert_uint_eq(ink->marks->len, 3);
        /* potrace turns a hole against its outline, so their signed areas subtract. The
         * threshold may lie anywhere in an edge's blur: half a pixel all around, over 2 pi 10 +
         * 36 + 0.8 pi mm of edge. */
        double area_mm2 = G_PI * (6.5 * 6.5 - 3.5 * 3.5) + 80 + G_PI * 0.16;
        ck_assert_double_eq_tol(fill_area_mm2(ink), area_mm2, 0.5 * 25.4 / 600 * 101);
        free_chart_ink(ink);
    }
    chart_clear(&chart);
}
END_TEST

START_TEST(areas_only_gives_no_strokes_and_the_lines_area) {
    Chart chart = chart_new(30, 10, 600);
    for (int i = 0; i < 5; i++)
        chart_line(&chart, tapul_vec2(5, 3 + i), tapul_vec2(25, 3 + i), 0.4);
    chart_finish(&chart, 1);
    TapulInk *ink = chart_ink(&chart, TRUE);
    ck_assert_uint_eq(ink->marks->len, 5);
    ck_assert_double_eq_tol(fill_area_mm2(ink), 5 * (20 * 0.4 + G_PI * 0.04),
                            5 * 41 * 0.5 * 25.4 / 600);
    free_chart_ink(ink);
    chart_clear(&chart);
}
END_TEST

START_TEST(ring_is_one_closed_stroke) {
    Chart chart = chart_new(20, 20, 600);
    cairo_set_line_width(chart.cairo, 0.3);
    cairo_arc(chart.cairo, 10, 10, 5, 0, 2 * G_PI);
    cairo_stroke(chart.cairo);
    chart_finish(&chart, 1);
    TapulInk *ink = chart_ink(&chart, FALSE);
    ck_assert_uint_eq(ink->marks->len, 1);
    const TapulMark *mark = g_ptr_array_index(ink->marks, 0);
    ck_assert_double_eq_tol(tapul_path_length(mark->path), 10 * G_PI, 0.01 * 10 * G_PI);
    ck_assert_double_eq_tol(mark->width_mm, 0.3, WIDTH_PX * 25.4 / 600);
    ck_assert_uint_eq(g_array_index(mark->path->verbs, guint8, mark->path->verbs->len - 1),
                      TAPUL_VERB_CLOSE);
    free_chart_ink(ink);
    chart_clear(&chart);
}
END_TEST

/* A second print on the same scan: its marks lie beyond this one's plate mark. */
START_TEST(marks_beyond_the_plate_mark_are_left_out) {
    Chart chart = chart_new(30, 20, 600);
    chart_line(&chart, tapul_vec2(3, 5), tapul_vec2(13, 5), 0.3);
    chart_line(&chart, tapul_vec2(18, 5), tapul_vec2(28, 5), 0.3);
    chart_line(&chart, tapul_vec2(3, 15), tapul_vec2(13, 15), 0.3);
    chart_finish(&chart, 1);
    chart.width_mm = 15;
    TapulInk *ink = chart_ink(&chart, FALSE);
    ck_assert_uint_eq(ink->marks->len, 2);
    free_chart_ink(ink);
    chart_clear(&chart);
}
END_TEST

START_TEST(blank_paper_has_no_ink) {
    Chart chart = chart_new(20, 20, 600);
    chart_finish(&chart, 1);
    TapulInk *ink = chart_ink(&chart, FALSE);
    ck_assert_uint_eq(ink->marks->len, 0);
    free_chart_ink(ink);
    chart_clear(&chart);
}
END_TEST

START_TEST(pictures_of_a_few_pixels_are_borne) {
    for (int side = 1; side <= 5; side++)
        for (int grey = 0; grey < 256; grey += 255) {
            guint8 pixels[25];
            memset(pixels, grey, sizeof pixels);
            pixels[0] = 128;
            TapulGreyImage image = {side, side, pixels, {0, side}, {20, 0}, {0, -20}};
            TapulLinesOptions options = tapul_lines_options_defaults();
            TapulInk ink = {.width_mm = side / 20.0, .height_mm = side / 20.0};
            ink.marks = g_ptr_array_new_with_free_func(free_chart_mark);
            ck_assert(tapul_lines_from_grey(&image, &options, &ink, NULL));
            g_ptr_array_unref(ink.marks);
        }
}
END_TEST

/* Blots of all sizes, joints and rings as no drawing has them. */
static Chart blotted_chart(void) {
    Chart chart = chart_new(12, 12, 600);
    g_autoptr(GRand) random = g_rand_new_with_seed(77);
    for (int i = 0; i < 700; i++) {
        TapulVec2 at = {g_rand_double_range(random, -1, 13),
                        g_rand_double_range(random, -1, 13)};
        TapulVec2 by = {g_rand_double_range(random, -1, 1), g_rand_double_range(random, -1, 1)};
        if (i % 5 == 0) {
            cairo_set_line_width(chart.cairo, 0.1);
            cairo_arc(chart.cairo, at.x, at.y, 0.12 + 0.2 * fabs(by.x), 0, 2 * G_PI);
            cairo_stroke(chart.cairo);
        } else
            chart_line(&chart, at, tapul_vec2_add(at, by),
                       0.06 + 0.2 * fabs(by.y) * fabs(by.y));
    }
    chart_finish(&chart, 5);
    return chart;
}

START_TEST(marks_of_blots_stay_within_the_picture_and_are_the_same_again) {
    Chart chart = blotted_chart();
    TapulInk *first = chart_ink(&chart, FALSE), *again = chart_ink(&chart, FALSE);
    ck_assert_uint_gt(first->marks->len, 100);
    ck_assert_uint_eq(first->marks->len, again->marks->len);
    for (guint i = 0; i < first->marks->len; i++) {
        const TapulMark *a = g_ptr_array_index(first->marks, i),
                        *b = g_ptr_array_index(again->marks, i);
        TapulBox box = tapul_path_box(a->path);
        ck_assert(box.min.x > -0.5 && box.min.y > -0.5 && box.max.x < 12.5 && box.max.y < 12.5);
        ck_assert_uint_eq(a->path->points->len, b->path->points->len);
        ck_assert_mem_eq(a->path->points->data, b->path->points->data,
                         a->path->points->len * sizeof(TapulVec2));
    }
    free_chart_ink(first);
    free_chart_ink(again);
    chart_clear(&chart);
}
END_TEST

START_TEST(specks_are_counted_in_the_scan) {
    Chart chart = chart_new(20, 20, 600);
    chart_line(&chart, tapul_vec2(5, 5), tapul_vec2(15, 5), 0.3);
    chart_finish(&chart, 1);
    chart.grey[100 * chart.width_px + 100] = chart.grey[140 * chart.width_px + 300] = 0;
    TapulInk *ink = chart_ink(&chart, FALSE);
    ck_assert_int_eq(ink->scan->specks, 2);
    ck_assert_uint_eq(ink->marks->len, 1);
    free_chart_ink(ink);
    chart_clear(&chart);
}
END_TEST

START_TEST(marks_do_not_depend_on_threads) {
    Chart chart = hatched_chart(G_PI / 3, 600);
    TapulInk *first = NULL;
    int had = omp_get_max_threads();
    for (int threads = 1; threads <= 4; threads++) {
        omp_set_num_threads(threads);
        TapulInk *ink = chart_ink(&chart, FALSE);
        if (first) {
            ck_assert_uint_eq(ink->marks->len, first->marks->len);
            for (guint i = 0; i < ink->marks->len; i++) {
                const TapulMark *a = g_ptr_array_index(first->marks, i),
                                *b = g_ptr_array_index(ink->marks, i);
                ck_assert(a->width_mm == b->width_mm &&
                          a->path->points->len == b->path->points->len);
                ck_assert_mem_eq(a->path->points->data, b->path->points->data,
                                 a->path->points->len * sizeof(TapulVec2));
            }
            free_chart_ink(ink);
        } else
            first = ink;
    }
    omp_set_num_threads(had);
    free_chart_ink(first);
    chart_clear(&chart);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("lines");
    TCase *cases = tcase_create("lines");
    tcase_set_timeout(cases, 300);
    tcase_add_loop_test(cases, chart_lines_have_their_spacing_width_and_length, 0, 8);
    tcase_add_loop_test(cases, cross_hatching_is_two_families_of_whole_lines, 0, 8);
    tcase_add_test(cases, lines_and_areas_cover_engraved_hatching);
    tcase_add_test(cases, swelling_line_is_split_and_keeps_its_widths);
    tcase_add_test(cases, wide_ink_is_an_area_with_its_holes);
    tcase_add_test(cases, areas_only_gives_no_strokes_and_the_lines_area);
    tcase_add_test(cases, ring_is_one_closed_stroke);
    tcase_add_test(cases, marks_beyond_the_plate_mark_are_left_out);
    tcase_add_test(cases, blank_paper_has_no_ink);
    tcase_add_test(cases, pictures_of_a_few_pixels_are_borne);
    tcase_add_test(cases, marks_of_blots_stay_within_the_picture_and_are_the_same_again);
    tcase_add_test(cases, specks_are_counted_in_the_scan);
    tcase_add_test(cases, marks_do_not_depend_on_threads);
    suite_add_tcase(suite, cases);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
