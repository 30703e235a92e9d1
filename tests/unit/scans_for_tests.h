/* A scan drawn for the tests, of which all is known: a print of a framed chart of lines, its
 * plate mark, its skew, the paper's tone and stains, and noise of a fixed seed. Independent of
 * the code under test: the picture is made from the scanner's side, pixel by pixel. */
#ifndef SCANS_FOR_TESTS_H
#define SCANS_FOR_TESTS_H

#include "base/picture.h"

#include <cairo.h>
#include <check.h>
#include <tapul/ink.h>

/* The print, mm. */
#define MARK_WIDTH    60.0
#define MARK_HEIGHT   46.0
#define MARGIN        14.0
#define FRAME_INSET   5.0
#define CHART_LEFT    15.0
#define CHART_BOTTOM  12.0
#define CHART_LINES   14
#define CHART_SPACING 0.8
#define CHART_WIDTH   0.25
#define CHART_LENGTH  24.0
#define STAINS        6

typedef struct {
    double dpi, skew_deg;
    double dent;     /* share of the light taken by the dent, 0: none */
    double film;     /* by the film of ink within */
    double stains;   /* by the darkest stain, of the blue */
    double noise;    /* grey levels, one standard deviation */
    double gradient; /* of the paper's tone, from side to side */
    guint32 seed;
} ScanPlan;

static inline ScanPlan plain_plan(void) {
    return (ScanPlan){300, 1.3, 0.06, 0, 0.4, 2.5, 0.12, 1536};
}

/* Where a print point lies in the picture: the truth. */
static inline TapulVec2 true_px(const ScanPlan *plan, TapulVec2 mm) {
    double scale = plan->dpi / 25.4, turn = plan->skew_deg * G_PI / 180;
    TapulVec2 from_middle =
        tapul_vec2_turn(tapul_vec2(mm.x - MARK_WIDTH / 2, mm.y - MARK_HEIGHT / 2), turn);
    return tapul_vec2((from_middle.x + MARK_WIDTH / 2 + MARGIN) * scale,
                      (MARK_HEIGHT / 2 + MARGIN - from_middle.y) * scale);
}

static inline void rule(cairo_t *cairo, const ScanPlan *plan, TapulVec2 from, TapulVec2 to,
                        double width_mm) {
    TapulVec2 a = true_px(plan, from), b = true_px(plan, to);
    cairo_set_line_width(cairo, width_mm * plan->dpi / 25.4);
    cairo_move_to(cairo, a.x, a.y);
    cairo_line_to(cairo, b.x, b.y);
    cairo_stroke(cairo);
}

static inline void rule_box(cairo_t *cairo, const ScanPlan *plan, double inset,
                            double width_mm) {
    const double l = inset, r = MARK_WIDTH - inset, b = inset, t = MARK_HEIGHT - inset;
    const TapulVec2 at[5] = {{l, b}, {r, b}, {r, t}, {l, t}, {l, b}};
    cairo_set_line_cap(cairo, CAIRO_LINE_CAP_ROUND);
    for (int i = 0; i < 4; i++)
        rule(cairo, plan, at[i], at[i + 1], width_mm);
}

static inline cairo_surface_t *coverage(const ScanPlan *plan, int width, int height,
                                        gboolean of_ink) {
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_A8, width, height);
    cairo_t *cairo = cairo_create(surface);
    rule_box(cairo, plan, of_ink ? FRAME_INSET : 0, of_ink ? 0.35 : 0.3);
    cairo_set_line_cap(cairo, CAIRO_LINE_CAP_BUTT);
    for (int i = 0; of_ink && i < CHART_LINES; i++) {
        double y = CHART_BOTTOM + i * CHART_SPACING;
        rule(cairo, plan, tapul_vec2(CHART_LEFT, y), tapul_vec2(CHART_LEFT + CHART_LENGTH, y),
             CHART_WIDTH);
    }
    cairo_destroy(cairo);
    cairo_surface_flush(surface);
    return surface;
}

static inline double covered(cairo_surface_t *surface, int x, int y) {
    return cairo_image_surface_get_data(
               surface)[y * cairo_image_surface_get_stride(surface) + x] /
           255.0;
}

static inline gboolean is_within_mark(const ScanPlan *plan, double x, double y) {
    double scale = plan->dpi / 25.4, turn = plan->skew_deg * G_PI / 180;
    TapulVec2 mm = tapul_vec2_turn(
        tapul_vec2(x / scale - MARGIN - MARK_WIDTH / 2, MARGIN + MARK_HEIGHT / 2 - y / scale),
        -turn);
    return fabs(mm.x) < MARK_WIDTH / 2 && fabs(mm.y) < MARK_HEIGHT / 2;
}

/* Sum of twelve uniform numbers: as good as normal. */
static inline double noise(GRand *random) {
    double sum = -6;
    for (int i = 0; i < 12; i++)
        sum += g_rand_double(random);
    return sum;
}

/* Light left by the stains, of the blue. The first lies on the chart, the others on paper. */
static inline double stained(const ScanPlan *plan, double x, double y) {
    static const TapulVec2 at[STAINS] = {{20, 15}, {50, 40}, {47, 12},
                                         {12, 38}, {-7, 20}, {66, 30}};
    double light = 1;
    for (int i = 0; i < STAINS; i++) {
        TapulVec2 px = true_px(plan, at[i]);
        double d = hypot(x - px.x, y - px.y) / (plan->dpi / 25.4) / (0.7 + 0.1 * i);
        light *= 1 - plan->stains * exp(-d * d / 2);
    }
    return light;
}

static inline TapulPixels *draw_scan(const ScanPlan *plan) {
    static const double paper[3] = {232, 222, 204}, ink[3] = {46, 42, 40},
                        brown[3] = {0.4, 0.7, 1};
    int width = (int)((MARK_WIDTH + 2 * MARGIN) * plan->dpi / 25.4);
    int height = (int)((MARK_HEIGHT + 2 * MARGIN) * plan->dpi / 25.4);
    TapulPixels *pixels = tapul_pixels_new(width, height, 3);
    cairo_surface_t *inked = coverage(plan, width, height, TRUE),
                    *dented = coverage(plan, width, height, FALSE);
    g_autoptr(GRand) random = g_rand_new_with_seed(plan->seed);
    for (int y = 0; y < height; y++)
        for (int x = 0; x < width; x++) {
            double stain = 1 - stained(plan, x + 0.5, y + 0.5), dark = covered(inked, x, y);
            double light = (1 - plan->gradient * x / width) *
                           (1 - plan->dent * covered(dented, x, y)) *
                           (1 - plan->film * is_within_mark(plan, x + 0.5, y + 0.5));
            for (int k = 0; k < 3; k++) {
                double bare = paper[k] * light * (1 - brown[k] * stain);
                double value = bare + dark * (ink[k] - bare) + plan->noise * noise(random);
                pixels->data[(y * width + x) * 3 + k] = (guint8)CLAMP(lround(value), 0, 255);
            }
        }
    cairo_surface_destroy(inked);
    cairo_surface_destroy(dented);
    return pixels;
}

/* A path for a file that does not yet stand there; the caller unlinks it. */
static inline char *scan_path(const char *name) {
    g_autofree char *unique = g_strdup_printf("tapul-%u-%s", g_random_int(), name);
    return g_build_filename(g_get_tmp_dir(), unique, NULL);
}

/* The pixels as an image of libvips, which borrows them. */
static inline VipsImage *vips_of(const TapulPixels *pixels) {
    gsize size = (gsize)pixels->width_px * (gsize)pixels->height_px * (gsize)pixels->bands;
    g_autoptr(TapulVipsImage) bare = NULL;
    VipsImage *image = NULL;
    tapul_picture_start_vips();
    bare = vips_image_new_from_memory(pixels->data, size, pixels->width_px, pixels->height_px,
                                      pixels->bands, VIPS_FORMAT_UCHAR);
    ck_assert_int_eq(
        vips_copy(bare, &image, "interpretation",
                  pixels->bands == 1 ? VIPS_INTERPRETATION_B_W : VIPS_INTERPRETATION_sRGB,
                  NULL),
        0);
    return image;
}

static inline TapulInkOptions mark_options(void) {
    TapulInkOptions options = tapul_ink_options_defaults();
    options.plate_mark_width_mm = MARK_WIDTH;
    options.plate_mark_height_mm = MARK_HEIGHT;
    return options;
}

#endif
