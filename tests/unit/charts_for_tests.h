/* Charts as tests draw them: known lines through cairo, a scanner's softness, its grain, and
 * the way from there to ink. */
#ifndef CHARTS_FOR_TESTS_H
#define CHARTS_FOR_TESTS_H

#include "ink/lines.h"

#include <cairo.h>
#include <check.h>
#include <stdlib.h>
#include <string.h>

/* Black that is no black, paper a little grey, noise of one deviation. */
#define PAPER_GREY 235
#define INK_GREY   40
#define NOISE_GREY 4.0
/* One deviation of the blur, px: a good scanner's (common practice, no source). */
#define BLUR_PX       0.7
#define BLUR_REACH_PX 3

typedef struct {
    double width_mm, height_mm, dpi;
    cairo_surface_t *surface;
    cairo_t *cairo; /* draws ink in mm, x right, y up, round caps */
    guint8 *grey;   /* after chart_finish */
    int width_px, height_px;
} Chart;

static inline Chart chart_new(double width_mm, double height_mm, double dpi) {
    double px_per_mm = dpi / 25.4;
    Chart chart = {.width_mm = width_mm, .height_mm = height_mm, .dpi = dpi};
    chart.width_px = (int)ceil(width_mm * px_per_mm);
    chart.height_px = (int)ceil(height_mm * px_per_mm);
    chart.surface =
        cairo_image_surface_create(CAIRO_FORMAT_A8, chart.width_px, chart.height_px);
    chart.cairo = cairo_create(chart.surface);
    cairo_set_antialias(chart.cairo, CAIRO_ANTIALIAS_BEST);
    cairo_translate(chart.cairo, 0, height_mm * px_per_mm);
    cairo_scale(chart.cairo, px_per_mm, -px_per_mm);
    cairo_set_line_cap(chart.cairo, CAIRO_LINE_CAP_ROUND);
    cairo_set_line_join(chart.cairo, CAIRO_LINE_JOIN_ROUND);
    cairo_set_fill_rule(chart.cairo, CAIRO_FILL_RULE_EVEN_ODD);
    return chart;
}

static inline void chart_line(Chart *chart, TapulVec2 from_mm, TapulVec2 to_mm,
                              double width_mm) {
    cairo_set_line_width(chart->cairo, width_mm);
    cairo_move_to(chart->cairo, from_mm.x, from_mm.y);
    cairo_line_to(chart->cairo, to_mm.x, to_mm.y);
    cairo_stroke(chart->cairo);
}

/* Draws a mark of ink. */
static inline void chart_mark(Chart *chart, const TapulMark *mark) {
    TapulPathWalk walk = tapul_path_walk(mark->path);
    TapulPathPiece piece;
    while (tapul_path_walk_next(&walk, &piece)) {
        const TapulVec2 *p = piece.p;
        if (piece.starts_subpath)
            cairo_move_to(chart->cairo, p[0].x, p[0].y);
        cairo_curve_to(chart->cairo, p[1].x, p[1].y, p[2].x, p[2].y, p[3].x, p[3].y);
    }
    cairo_set_line_width(chart->cairo, mark->width_mm);
    if (mark->kind == TAPUL_MARK_FILL)
        cairo_fill(chart->cairo);
    else
        cairo_stroke(chart->cairo);
}

/* Blurs n values that lie step apart; held is room for as many. */
static inline void chart_blur(double *value, int n, int step, double *held) {
    double kernel[2 * BLUR_REACH_PX + 1], sum = 0;
    for (int k = -BLUR_REACH_PX; k <= BLUR_REACH_PX; k++)
        sum += kernel[k + BLUR_REACH_PX] = exp(-k * k / (2 * BLUR_PX * BLUR_PX));
    for (int i = 0; i < n; i++) {
        held[i] = 0;
        for (int k = -BLUR_REACH_PX; k <= BLUR_REACH_PX; k++)
            held[i] += kernel[k + BLUR_REACH_PX] / sum * value[CLAMP(i + k, 0, n - 1) * step];
    }
    for (int i = 0; i < n; i++)
        value[i * step] = held[i];
}

/* Turns what was drawn to grey. */
static inline void chart_finish(Chart *chart, guint32 seed) {
    int w = chart->width_px, h = chart->height_px;
    cairo_surface_flush(chart->surface);
    const guint8 *data = cairo_image_surface_get_data(chart->surface);
    int stride = cairo_image_surface_get_stride(chart->surface);
    double *value = g_new(double, w *h), *held = g_new(double, MAX(w, h));
    for (int y = 0; y < h; y++)
        for (int x = 0; x < w; x++)
            value[y * w + x] =
                PAPER_GREY + (INK_GREY - PAPER_GREY) * data[y * stride + x] / 255.0;
    for (int y = 0; y < h; y++)
        chart_blur(value + y * w, w, 1, held);
    for (int x = 0; x < w; x++)
        chart_blur(value + x, h, w, held);
    g_autoptr(GRand) random = g_rand_new_with_seed(seed);
    chart->grey = g_new(guint8, w * h);
    for (int i = 0; i < w * h; i++) {
        /* Twelve evens make a normal deviate of one deviation. */
        double noise = -6;
        for (int k = 0; k < 12; k++)
            noise += g_rand_double(random);
        chart->grey[i] = (guint8)CLAMP(lround(value[i] + NOISE_GREY * noise), 0, 255);
    }
    g_free(value);
    g_free(held);
}

static inline void chart_clear(Chart *chart) {
    cairo_destroy(chart->cairo);
    cairo_surface_destroy(chart->surface);
    g_free(chart->grey);
}

static inline void free_chart_mark(gpointer mark) {
    tapul_mark_free(mark);
}

/* The chart's lines, as tapul_ink_read would ask for them. */
static inline TapulInk *chart_ink(const Chart *chart, gboolean areas_only) {
    double px_per_mm = chart->dpi / 25.4;
    TapulGreyImage image = {chart->width_px, chart->height_px,
                            chart->grey,     {0, chart->height_mm * px_per_mm},
                            {px_per_mm, 0},  {0, -px_per_mm}};
    TapulLinesOptions options = tapul_lines_options_defaults();
    options.window_px = 2 * (int)(1.5 * px_per_mm) + 1;
    options.speck_px = 0.1 * px_per_mm;
    options.areas_only = areas_only;
    TapulInk *ink = g_new0(TapulInk, 1);
    ink->width_mm = chart->width_mm;
    ink->height_mm = chart->height_mm;
    ink->marks = g_ptr_array_new_with_free_func(free_chart_mark);
    ink->scan = g_new0(TapulScan, 1);
    g_autoptr(GError) error = NULL;
    ck_assert_msg(tapul_lines_from_grey(&image, &options, ink, &error), "%s",
                  error ? error->message : "");
    return ink;
}

static inline void free_chart_ink(TapulInk *ink) {
    g_ptr_array_unref(ink->marks);
    g_free(ink->scan);
    g_free(ink);
}

#endif
