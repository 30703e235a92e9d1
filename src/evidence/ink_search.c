/* The search for a print on a plate's ink without pairs: on a grid of similarities of the flat
 * development, then refined, and scored both ways. */
#include "evidence/coarse.h"
#include "evidence/ink_match.h"

/* Samples that the grid, the refinement and the score of the plate's ink look at. */
#define GRID_SAMPLES   120
#define REFINE_SAMPLES 600
#define PLATE_SAMPLES  3000
/* The grid's steps: each moves ink 30 mm from the print's middle by at most 2 mm, the half of a
 * step less than the half of the reach. */
#define GRID_STEP_MM    2.0
#define GRID_TURN_RAD   (3 * G_PI / 180)
#define GRID_SCALE_STEP 0.06
#define GRID_REACH_MM   3.0
/* So many of its places are refined. */
#define REFINED 24

TapulMatchSearch tapul_match_search_defaults(void) {
    return (TapulMatchSearch){0.5, 2, 15 * G_PI / 180, TRUE, TRUE};
}

typedef struct {
    const TapulInkMap *plate, *print; /* print: in its own frame */
    const TapulThinned *few, *some;   /* of the print */
    const TapulThinned *plate_ink;
} Sought;

static double score_at(const Sought *sought, const TapulThinned *ink, const TapulMove *place,
                       double reach_mm) {
    return sqrt(tapul_match_mean(ink, place, sought->plate, reach_mm) *
                tapul_match_back(sought->plate_ink, place, sought->print, reach_mm));
}

/* The grid's places by their score both ways, the best of them. */
static GArray *grid_places(const Sought *sought, const TapulMatchSearch *search) {
    TapulBox box = sought->plate->box_mm;
    TapulVec2 centre = sought->few->centre_mm;
    TapulCoarseGrid grid = {
        .shift_mm = {tapul_vec2_sub(box.min, centre), tapul_vec2_sub(box.max, centre)},
        .shift_step_mm = GRID_STEP_MM,
        .most_turn_rad = search->most_turn_rad,
        .turn_step_rad = GRID_TURN_RAD,
        .scale_low = search->scale_low,
        .scale_high = search->scale_high,
        .scale_step = GRID_SCALE_STEP,
        .direct = search->direct,
        .reversed = search->reversed,
        .reach_mm = GRID_REACH_MM};
    GArray *places = tapul_coarse_search(sought->few, sought->plate, &grid, G_MAXINT);
#pragma omp parallel for schedule(dynamic, 8)
    for (guint i = 0; i < places->len; i++) {
        TapulCoarsePlace *place = &g_array_index(places, TapulCoarsePlace, i);
        place->match = score_at(sought, sought->few, &place->move, GRID_REACH_MM);
    }
    tapul_coarse_sort(places);
    g_array_set_size(places, MIN(places->len, REFINED));
    return places;
}

static double refined_best(const Sought *sought, GArray *places, TapulMove *best) {
    TapulMoveBounds bounds = {GRID_STEP_MM, GRID_TURN_RAD, GRID_SCALE_STEP};
#pragma omp parallel for schedule(dynamic)
    for (guint i = 0; i < places->len; i++) {
        TapulCoarsePlace *place = &g_array_index(places, TapulCoarsePlace, i);
        tapul_match_refine(sought->some, sought->plate, bounds, &place->move);
        place->match = score_at(sought, sought->some, &place->move, TAPUL_MATCH_REACH_MM);
    }
    tapul_coarse_sort(places);
    *best = g_array_index(places, TapulCoarsePlace, 0).move;
    return g_array_index(places, TapulCoarsePlace, 0).match;
}

double tapul_ink_match_search_place(const TapulInk *print, const TapulInkMap *plate,
                                    const TapulMatchSearch *search, TapulMove *place) {
    g_assert(search->scale_low > 0 && search->scale_low <= search->scale_high);
    g_assert(search->direct || search->reversed);
    g_autoptr(TapulInkMap) map = tapul_ink_map_new(print);
    g_autoptr(TapulThinned) few =
        tapul_thinned_new(map->samples, TAPUL_ALL_MOTIFS, GRID_SAMPLES);
    g_autoptr(TapulThinned) some =
        tapul_thinned_new(map->samples, TAPUL_ALL_MOTIFS, REFINE_SAMPLES);
    g_autoptr(TapulThinned) plate_ink =
        tapul_thinned_new(plate->samples, TAPUL_ALL_MOTIFS, PLATE_SAMPLES);
    some->centre_mm = few->centre_mm;
    TapulMove best = tapul_move_none(few->centre_mm);
    double score = 0;
    if (few->n > 0 && plate_ink->n > 0) {
        Sought sought = {plate, map, few, some, plate_ink};
        g_autoptr(GArray) places = grid_places(&sought, search);
        score = refined_best(&sought, places, &best);
    }
    if (place)
        *place = best;
    return score;
}

double tapul_ink_match_search(const TapulInk *print, const TapulInkMap *plate,
                              const TapulMatchSearch *search) {
    return tapul_ink_match_search_place(print, plate, search, NULL);
}
