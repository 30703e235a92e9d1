/* Chain and laid lines, felt and fibres, a slow change of tone, foxing, an old tide of water,
 * worn edges. */
#include "paper.h"

#include "chance.h"

enum {
    SEED_FORM = 101,
    SEED_FELT,
    SEED_LAID,
    SEED_EDGE,
    SEED_FOX,
    SEED_STAIN,
    SEED_TONE,
    SEED_SPECK
};

#define FIBRE_PX_PER_MM 23.622 /* 600 dpi */
#define LAID_PITCH_MM   1.12
#define CHAIN_PITCH_MM  25.6
#define N_FOXINGS       64

typedef struct {
    Vec2 at_mm;
    double radius_mm, strength;
} Foxing;

struct Paper {
    double width_mm, height_mm;
    Raster *fibres; /* dark ones */
    Raster *shives; /* few, darker, thicker: bits of stem */
    Foxing foxings[N_FOXINGS];
};

typedef struct {
    const Paper *paper;
    guint32 seed;
    int count;
    double length_mm, least_width_mm, most_width_mm, strength;
} FibreDrawing;

static void draw_fibres(cairo_t *cr, gconstpointer data) {
    const FibreDrawing *drawing = data;
    GRand *draw = g_rand_new_with_seed(drawing->seed);
    cairo_set_line_cap(cr, CAIRO_LINE_CAP_ROUND);
    for (int i = 0; i < drawing->count; i++) {
        double x = g_rand_double_range(draw, 0, drawing->paper->width_mm);
        double y = g_rand_double_range(draw, 0, drawing->paper->height_mm);
        /* Most fibres lie along the stroke of the mould. */
        double heading = g_rand_double_range(draw, -1, 1);
        heading = G_PI * heading * heading * heading;
        double length_mm = drawing->length_mm * g_rand_double_range(draw, 0.3, 1.4);
        cairo_move_to(cr, x, y);
        double bend = g_rand_double_range(draw, -1.4, 1.4);
        cairo_curve_to(cr, x + length_mm / 3 * cos(heading), y + length_mm / 3 * sin(heading),
                       x + length_mm * 2 / 3 * cos(heading + bend / 2),
                       y + length_mm * 2 / 3 * sin(heading + bend / 2),
                       x + length_mm * cos(heading + bend),
                       y + length_mm * sin(heading + bend));
        cairo_set_line_width(
            cr, g_rand_double_range(draw, drawing->least_width_mm, drawing->most_width_mm));
        cairo_set_source_rgba(cr, 0, 0, 0, drawing->strength * g_rand_double(draw));
        cairo_stroke(cr);
    }
    g_rand_free(draw);
}

static Raster *fibres_new(const FibreDrawing *drawing) {
    Raster *raster = raster_new((Vec2){0, 0}, drawing->paper->width_mm,
                                drawing->paper->height_mm, FIBRE_PX_PER_MM);
    raster_draw(raster, draw_fibres, drawing);
    return raster;
}

static void place_foxings(Paper *paper) {
    GRand *draw = g_rand_new_with_seed(SEED_FOX);
    for (int i = 0; i < N_FOXINGS; i++) {
        Foxing *foxing = &paper->foxings[i];
        /* It gathers where the damp stood: to one side. */
        double across = sqrt(g_rand_double(draw));
        foxing->at_mm = (Vec2){paper->width_mm * mix(0.02, 0.99, across),
                               paper->height_mm * g_rand_double(draw)};
        double size = g_rand_double(draw);
        foxing->radius_mm = 0.14 + 1.35 * size * size * size * size;
        foxing->strength = g_rand_double_range(draw, 0.16, 0.55);
    }
    g_rand_free(draw);
}

Paper *paper_new(double width_mm, double height_mm) {
    Paper *paper = g_new0(Paper, 1);
    paper->width_mm = width_mm;
    paper->height_mm = height_mm;
    FibreDrawing fine = {paper, 7, (int)(9 * width_mm * height_mm), 1.1, 0.015, 0.05, 0.30};
    FibreDrawing coarse = {paper, 11, (int)(0.012 * width_mm * height_mm), 1.3, 0.03,
                           0.09,  0.7};
    paper->fibres = fibres_new(&fine);
    paper->shives = fibres_new(&coarse);
    place_foxings(paper);
    return paper;
}

void paper_free(Paper *paper) {
    if (!paper)
        return;
    raster_free(paper->fibres);
    raster_free(paper->shives);
    g_free(paper);
}

/* How far within a corner that wear has rounded, by the distances from its two edges. */
static double corner_inside_mm(double one_mm, double other_mm, double round_mm) {
    double one = fmax(round_mm - one_mm, 0), other = fmax(round_mm - other_mm, 0);
    return one > 0 && other > 0 ? round_mm - hypot(one, other) : fmin(one_mm, other_mm);
}

/* A short tear that came in from the right: how far from its open lips. */
static double tear_mm(const Paper *paper, Vec2 at_mm, double right_mm) {
    const double long_mm = 3.1, open_mm = 0.10;
    double line_mm = at_mm.y - 0.31 * paper->height_mm - 0.3 * right_mm -
                     0.35 * noise_layers(SEED_EDGE, right_mm / 1.2, 40, 3);
    return hypot(line_mm, fmax(right_mm - long_mm, 0)) -
           open_mm * clamp01(1 - right_mm / long_mm);
}

/* A sheet's edge: cut by hand, handled, its corners gone round. */
double paper_inside_mm(const Paper *paper, Vec2 at_mm) {
    double left =
        at_mm.x + 0.010 * (at_mm.y - 40) - 0.38 * noise_layers(SEED_EDGE, at_mm.y / 9, 0.5, 5);
    double right = paper->width_mm - at_mm.x - 0.006 * at_mm.y -
                   0.18 * noise_layers(SEED_EDGE, at_mm.y / 13, 7.5, 5);
    double below = at_mm.y - 0.22 * noise_layers(SEED_EDGE, at_mm.x / 11, 13.5, 5);
    double above = paper->height_mm - at_mm.y - 0.004 * at_mm.x -
                   0.24 * noise_layers(SEED_EDGE, at_mm.x / 10, 21.5, 5);
    double frayed_mm = 0.45 * noise_layers(SEED_EDGE + 40, at_mm.x / 0.9, at_mm.y / 0.9, 3);
    double upper = fmin(corner_inside_mm(right, above, 2.5 + frayed_mm),
                        corner_inside_mm(left, above, 0.7 + frayed_mm));
    double lower = fmin(corner_inside_mm(right, below, 0.8 + frayed_mm),
                        corner_inside_mm(left, below, 1.4 + frayed_mm));
    return fmin(fmin(upper, lower), tear_mm(paper, at_mm, right));
}

/* Where a corner was once turned down: broken fibres along a line, lighter on its far side. */
static double crease_at(const Paper *paper, Vec2 at_mm) {
    double from_mm = 0.74 * (paper->width_mm - at_mm.x) + 0.67 * (paper->height_mm - at_mm.y) -
                     8.2 - 0.12 * noise_layers(SEED_EDGE + 60, at_mm.x / 2, at_mm.y / 2, 3);
    double broken = 0.6 + 0.4 * noise_layers(SEED_EDGE + 65, at_mm.x / 0.4, at_mm.y / 0.4, 2);
    return broken *
           (0.07 * exp(-pow((from_mm + 0.22) / 0.16, 2)) - 0.11 * exp(-pow(from_mm / 0.10, 2)));
}

static double foxing_at(const Paper *paper, Vec2 at_mm) {
    double sum = 0;
    for (int i = 0; i < N_FOXINGS; i++) {
        const Foxing *foxing = &paper->foxings[i];
        double x = at_mm.x - foxing->at_mm.x, y = at_mm.y - foxing->at_mm.y;
        double reach = 2.6 * foxing->radius_mm;
        if (fabs(x) > reach || fabs(y) > reach)
            continue;
        double wide = sqrt(x * x + y * y) / foxing->radius_mm;
        wide *= 1 + 0.45 * noise_layers(SEED_FOX + (guint64)i, at_mm.x / foxing->radius_mm,
                                        at_mm.y / foxing->radius_mm, 4);
        double halo = exp(-1.3 * wide * wide), kernel = exp(-9 * wide * wide);
        sum += foxing->strength * (0.6 * halo + 0.5 * kernel);
    }
    return fmin(sum, 0.75);
}

/* The tide that water left: a little darker within, with a brown line where it dried. */
static double tide_at(const Paper *paper, Vec2 at_mm) {
    double x = at_mm.x - 0.12 * paper->width_mm, y = at_mm.y + 0.04 * paper->height_mm;
    double wide_mm = sqrt(x * x + 1.4 * y * y) - 26 -
                     5 * noise_layers(SEED_STAIN, at_mm.x / 17, at_mm.y / 17, 3) -
                     0.35 * noise_layers(SEED_STAIN + 9, at_mm.x / 1.3, at_mm.y / 1.3, 3);
    double line = exp(-pow(wide_mm / (wide_mm < 0 ? 1.6 : 0.28), 2));
    double fade = 0.6 + 0.4 * noise(SEED_STAIN + 5, at_mm.x / 14, at_mm.y / 14);
    return 0.25 * ease(1, -6, wide_mm) + 0.55 * fade * line;
}

/* The mould's wires: close laid lines, and chain lines with their shadow of thinner pulp. */
static double wires_at(Vec2 at_mm) {
    double wander = 0.10 * noise(SEED_LAID, at_mm.x / 23, at_mm.y / 9);
    double laid = sin(2 * G_PI * (at_mm.y / LAID_PITCH_MM + wander));
    laid *= 0.45 + 0.55 * noise_layers(SEED_LAID + 1, at_mm.x / 7, at_mm.y / 3, 2);
    double bow_mm = 0.25 * noise(SEED_LAID + 2, at_mm.x / 20, at_mm.y / 30);
    double from_mm = remainder(at_mm.x - 14.2 + bow_mm, CHAIN_PITCH_MM);
    double chain = exp(-pow(from_mm / 0.28, 2)) - 0.45 * exp(-pow(from_mm / 1.8, 2));
    return 0.019 * laid + 0.026 * chain;
}

Tint paper_tint(const Paper *paper, Vec2 at_mm, double pressed) {
    double formation = noise_layers(SEED_FORM, at_mm.x / 3.2, at_mm.y / 2.4, 4);
    double felt = noise_layers(SEED_FELT, at_mm.x / 0.21, at_mm.y / 0.17, 2);
    double light = 1 + crease_at(paper, at_mm) + 0.024 * formation +
                   (0.028 - 0.013 * pressed) * felt + wires_at(at_mm) * (1 - 0.3 * pressed) -
                   0.19 * raster_at(paper->fibres, at_mm.x, at_mm.y) -
                   0.45 * raster_at(paper->shives, at_mm.x, at_mm.y);
    Tint tint = tint_by((Tint){0.735, 0.665, 0.520}, light, light, light);
    /* Toned by light and handling: browner towards the edges and to the right. */
    double edge_mm = fmax(paper_inside_mm(paper, at_mm), 0);
    double brown = 0.16 * at_mm.x / paper->width_mm + 0.7 * exp(-edge_mm / 0.9) +
                   0.42 * exp(-edge_mm / 6) +
                   0.24 * noise_layers(SEED_TONE, at_mm.x / 31, at_mm.y / 27, 3) +
                   1.3 * tide_at(paper, at_mm);
    tint = tint_by(tint, 1 - 0.09 * brown, 1 - 0.16 * brown, 1 - 0.28 * brown);
    double fox = foxing_at(paper, at_mm);
    tint = tint_by(tint, 1 - 0.50 * fox, 1 - 0.78 * fox, 1 - 1.0 * fox);
    /* Dust and fly specks. */
    double speck = ease(0.90, 0.97, noise(SEED_SPECK, at_mm.x / 0.25, at_mm.y / 0.25)) *
                   ease(0.80, 0.9, noise(SEED_SPECK + 1, at_mm.x / 2.5, at_mm.y / 2.5));
    return tint_by(tint, 1 - 0.5 * speck, 1 - 0.55 * speck, 1 - 0.6 * speck);
}

double paper_tooth(Vec2 at_mm) {
    return 0.6 * noise_layers(SEED_FELT, at_mm.x / 0.21, at_mm.y / 0.17, 2) +
           0.4 * noise_layers(SEED_FELT + 50, at_mm.x / 0.5, at_mm.y / 0.3, 2);
}
