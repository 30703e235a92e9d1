/* The search for a motif in the ink that nothing else explains: coarsely over a grid of
 * similarities, then refined, and judged by the ink that tells. */
#include "evidence/motif_search.h"
#include "evidence/coarse.h"

/* How far a motif is looked for: an engraver's rearrangement within a composition (by eye, no
 * source). */
#define SEARCH_SHIFT_MM  25.0
#define SEARCH_TURN_RAD  (30 * G_PI / 180)
#define SEARCH_SCALE_LOW 0.7
#define SEARCH_SCALE     1.4
/* The grid: a step of turn or scale moves the motif's ink, in the mean, as far as a step of
 * shift, and no further than half the match's reach; but steps are not longer than these. */
#define GRID_SAMPLES       80
#define GRID_REACH_MM      4.0
#define GRID_STEP_MM       2.0
#define GRID_MOST_TURN_RAD (10 * G_PI / 180)
#define GRID_MOST_SCALE    0.15
/* The grid about a motif's own place. */
#define NEAR_MM      3.0
#define NEAR_STEP_MM 1.5
#define NEAR_BEST    4
/* So many of the grid's places are refined. */
#define GRID_BEST 12
/* Halfway between absent and as well kept as the others. */
#define HALF 0.5

TapulSoughtPlace tapul_sought_at(const TapulSought *sought, const TapulMove *move,
                                 const TapulInkMap *taken, const TapulInkMap *rest) {
    const TapulThinned *ink = sought->ink;
    double sum = 0, weight = 0;
    for (int i = 0; i < ink->n; i++) {
        TapulVec2 at_mm = tapul_move_point(move, ink->at_mm[i]);
        int bin = tapul_ink_bin(tapul_move_angle(move, ink->angle_rad[i]));
        double away_mm = tapul_ink_map_distance_mm(rest, at_mm, bin);
        double match = fmax(0, 1 - away_mm / TAPUL_MATCH_REACH_MM);
        gboolean free = tapul_ink_map_distance_mm(taken, at_mm, bin) > TAPUL_MATCH_REACH_MM;
        double tells = free ? 1 : match;
        sum += tells * match;
        weight += tells;
    }
    TapulSoughtPlace place = {*move, weight > 0 ? sum / weight : 0, 0, 0};
    place.tells = ink->n > 0 ? weight / ink->n : 0;
    place.gain = place.tells * (place.match - HALF * sought->kept);
    return place;
}

static TapulCoarseGrid grid_for(double radius_mm, double shift_mm, double shift_step_mm) {
    double step = GRID_STEP_MM / fmax(radius_mm, GRID_STEP_MM);
    return (TapulCoarseGrid){.shift_mm = {{-shift_mm, -shift_mm}, {shift_mm, shift_mm}},
                             .shift_step_mm = shift_step_mm,
                             .most_turn_rad = SEARCH_TURN_RAD,
                             .turn_step_rad = fmin(step, GRID_MOST_TURN_RAD),
                             .scale_low = SEARCH_SCALE_LOW,
                             .scale_high = SEARCH_SCALE,
                             .scale_step = fmin(step, GRID_MOST_SCALE),
                             .direct = TRUE,
                             .reversed = TRUE,
                             .reach_mm = GRID_REACH_MM};
}

/* The grid's best places, in the hands it has. */
static GArray *search_grid(const TapulSought *sought, const TapulInkMap *plate,
                           const TapulCoarseGrid *grid) {
    g_autoptr(TapulThinned) few =
        tapul_thinned_new(sought->samples, sought->motif, GRID_SAMPLES);
    few->centre_mm = sought->ink->centre_mm;
    return tapul_coarse_search(few, plate, grid, GRID_BEST);
}

static gboolean is_within(const TapulMove *move) {
    return fabs(move->shift_mm.x) <= SEARCH_SHIFT_MM &&
           fabs(move->shift_mm.y) <= SEARCH_SHIFT_MM &&
           fabs(move->turn_rad) <= SEARCH_TURN_RAD && move->scale >= SEARCH_SCALE_LOW &&
           move->scale <= SEARCH_SCALE;
}

TapulSoughtPlace tapul_sought_best(const TapulSought *sought, const TapulInkMap *taken,
                                   const TapulInkMap *rest) {
    TapulCoarseGrid grid = grid_for(sought->ink->radius_mm, SEARCH_SHIFT_MM, GRID_STEP_MM);
    TapulMoveBounds bounds = {grid.shift_step_mm, grid.turn_step_rad, grid.scale_step};
    g_autoptr(GArray) grid_places = search_grid(sought, rest, &grid);
    TapulSoughtPlace place[GRID_BEST];
    int n = (int)grid_places->len;
#pragma omp parallel for schedule(dynamic)
    for (int i = 0; i < n; i++) {
        TapulMove move = g_array_index(grid_places, TapulCoarsePlace, i).move;
        tapul_match_refine(sought->ink, rest, bounds, &move);
        place[i] = tapul_sought_at(sought, &move, taken, rest);
    }
    TapulSoughtPlace best = {tapul_move_none(sought->ink->centre_mm), 0, 0, -INFINITY};
    for (int i = 0; i < n; i++)
        if (is_within(&place[i].move) && place[i].gain > best.gain)
            best = place[i];
    return best;
}

double tapul_sought_near(const TapulSought *sought, const TapulInkMap *plate) {
    TapulCoarseGrid grid = grid_for(sought->ink->radius_mm, NEAR_MM, NEAR_STEP_MM);
    TapulMoveBounds bounds = {grid.shift_step_mm, grid.turn_step_rad, grid.scale_step};
    double best = 0;
    /* Each hand has places of its own refined: the wrong one may look better on the grid. */
    for (int hand = 0; hand < 2; hand++) {
        grid.direct = hand == 0;
        grid.reversed = hand == 1;
        g_autoptr(GArray) places = search_grid(sought, plate, &grid);
        for (guint i = 0; i < MIN(places->len, NEAR_BEST); i++) {
            TapulMove move = g_array_index(places, TapulCoarsePlace, i).move;
            best = fmax(best, tapul_match_refine(sought->ink, plate, bounds, &move));
        }
    }
    return best;
}
