#include "years.h"

#include "cap.h"
#include "chance.h"

enum {
    SEED_WEAR = 701,
    SEED_DENT = 721,
    SEED_PATINA = 731,
    SEED_RUST = 741,
    SEED_SCRATCH = 755
};

#define REACH_MM          71.0 /* just beyond the edge */
#define SLOW_PX_PER_MM    9.0
#define SCRATCH_PX_PER_MM 22.0
#define N_SCRATCHES       260

static double bump(double x, double y, double sd_x_mm, double sd_y_mm) {
    return exp(-0.5 * (pow(x / sd_x_mm, 2) + pow(y / sd_y_mm, 2)));
}

static double wear_at(double x, double y) {
    double cloud = 0.55 * noise_layers(SEED_WEAR, x / 19, y / 19, 2) +
                   0.40 * noise_layers(SEED_WEAR + 7, x / 4.5, y / 4.5, 4);
    /* Where hands took it, where it lay against something, and on its height. */
    double rubbed = 1.05 * bump(x - 27, y + 25, 8, 11) + 0.90 * bump(x + 38, y - 14, 10, 7) +
                    0.22 * bump(x + 3, y + 6, 11, 9);
    return ease(0.10, 1.15, cloud + rubbed);
}

static double rust_at(double x, double y) {
    double cloud = noise_layers(SEED_RUST, x / 9, y / 9, 3);
    double fine = noise_layers(SEED_RUST + 5, x / 1.1, y / 1.1, 4);
    double edge = 0.20 * ease(52, 68, hypot(x, y));
    return ease(0.36, 0.66, 0.62 * cloud + 0.45 * fine + edge);
}

static double patina_at(double x, double y) {
    return 0.5 + 0.5 * noise_layers(SEED_PATINA, x / 16, y / 16, 4);
}

static double stain_at(double x, double y) {
    return ease(0.15, 0.6, noise_layers(SEED_PATINA + 20, x / 7, y / 7, 4));
}

static double dent_x_at(double x, double y) {
    return 0.022 * noise_layers(SEED_DENT, x / 11, y / 11, 2);
}

static double dent_y_at(double x, double y) {
    return 0.022 * noise_layers(SEED_DENT + 9, x / 11, y / 11, 2);
}

static Raster *slow_new(double (*at)(double x_mm, double y_mm)) {
    Raster *raster =
        raster_new((Vec2){-REACH_MM, -REACH_MM}, 2 * REACH_MM, 2 * REACH_MM, SLOW_PX_PER_MM);
#pragma omp parallel for
    for (int row = 0; row < raster->height_px; row++)
        for (int column = 0; column < raster->width_px; column++)
            raster->value[(gsize)row * (gsize)raster->width_px + (gsize)column] =
                (float)at((column + 0.5) / SLOW_PX_PER_MM - REACH_MM,
                          (raster->height_px - row - 0.5) / SLOW_PX_PER_MM - REACH_MM);
    return raster;
}

static void draw_scratches(cairo_t *cr, gconstpointer data) {
    (void)data;
    GRand *draw = g_rand_new_with_seed(SEED_SCRATCH);
    cairo_set_line_cap(cr, CAIRO_LINE_CAP_ROUND);
    for (int i = 0; i < N_SCRATCHES; i++) {
        double x = g_rand_double_range(draw, -66, 66), y = g_rand_double_range(draw, -66, 66);
        double heading = g_rand_double_range(draw, 0, 2 * G_PI);
        double share = g_rand_double(draw);
        double length_mm = 1.2 + 24 * share * share * share;
        double bent = heading + g_rand_double_range(draw, -0.25, 0.25);
        cairo_move_to(cr, x, y);
        cairo_curve_to(cr, x + length_mm / 3 * cos(heading), y + length_mm / 3 * sin(heading),
                       x + length_mm * 2 / 3 * cos(bent), y + length_mm * 2 / 3 * sin(bent),
                       x + length_mm * cos(bent), y + length_mm * sin(bent));
        cairo_set_line_width(cr, g_rand_double_range(draw, 0.02, 0.08));
        cairo_set_source_rgba(cr, 0, 0, 0, g_rand_double_range(draw, 0.15, 0.85));
        cairo_stroke(cr);
    }
    g_rand_free(draw);
}

Years years_pass(void) {
    Years years = {slow_new(wear_at),
                   slow_new(rust_at),
                   slow_new(patina_at),
                   slow_new(stain_at),
                   slow_new(dent_x_at),
                   slow_new(dent_y_at),
                   raster_new((Vec2){-REACH_MM, -REACH_MM}, 2 * REACH_MM, 2 * REACH_MM,
                              SCRATCH_PX_PER_MM)};
    raster_draw(years.scratches, draw_scratches, NULL);
    return years;
}

void years_clear(Years *years) {
    Raster *rasters[] = {years->wear,   years->rust,   years->patina,   years->stain,
                         years->dent_x, years->dent_y, years->scratches};
    for (guint i = 0; i < G_N_ELEMENTS(rasters); i++)
        raster_free(rasters[i]);
    *years = (Years){0};
}
