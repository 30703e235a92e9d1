/* The coarse search: for each turn, scale and hand the ink's samples become offsets in the
 * distance maps, and each shift is a sum of look-ups. */
#include "evidence/coarse.h"

typedef struct {
    int x_px, y_px;
    const guint16 *squared_px2; /* the map of its direction, from pixel (0, 0) */
} Offset;

typedef struct {
    const TapulThinned *ink;
    const TapulInkMap *plate;
    const TapulCoarseGrid *grid;
    float *value; /* of each squared distance in pixels, up to the reach */
    int n_turns, n_scales, n_hands;
} Coarse;

static int steps_between(double low, double high, double step) {
    return high > low ? (int)ceil((high - low) / step) : 0;
}

/* The move of a turn, scale and hand, unshifted. */
static TapulMove move_of(const Coarse *coarse, int i) {
    const TapulCoarseGrid *grid = coarse->grid;
    TapulMove move = tapul_move_none(coarse->ink->centre_mm);
    int turn = i % coarse->n_turns, scale = i / coarse->n_turns % coarse->n_scales;
    int hand = i / coarse->n_turns / coarse->n_scales;
    if (coarse->n_turns > 1)
        move.turn_rad = grid->most_turn_rad * (2.0 * turn / (coarse->n_turns - 1) - 1);
    double share = coarse->n_scales > 1 ? (double)scale / (coarse->n_scales - 1) : 0.5;
    move.scale = exp(log(grid->scale_low) + share * log(grid->scale_high / grid->scale_low));
    move.reversed = hand == 1 || !grid->direct;
    return move;
}

static Offset *offsets_of(const Coarse *coarse, const TapulMove *move) {
    const TapulInkMap *plate = coarse->plate;
    Offset *offset = g_new(Offset, (gsize)MAX(coarse->ink->n, 1));
    for (int i = 0; i < coarse->ink->n; i++) {
        TapulVec2 at =
            tapul_vec2_sub(tapul_move_point(move, coarse->ink->at_mm[i]), plate->origin_mm);
        int bin = tapul_ink_bin(tapul_move_angle(move, coarse->ink->angle_rad[i]));
        offset[i].x_px = (int)lround(at.x / TAPUL_INK_PIXEL_MM);
        offset[i].y_px = (int)lround(at.y / TAPUL_INK_PIXEL_MM);
        offset[i].squared_px2 = plate->squared_px2[bin] + plate->stride + 1;
    }
    return offset;
}

/* The sum of the match at a shift. What lies on the rim of the maps is far from all ink. */
static float match_at(const Coarse *coarse, const Offset *offset, int x_px, int y_px) {
    const TapulInkMap *plate = coarse->plate;
    int rim = TAPUL_INK_REACH_PX;
    guint width = (guint)MAX(plate->width_px - 2 * rim, 0);
    guint height = (guint)MAX(plate->height_px - 2 * rim, 0);
    float sum = 0;
    for (int i = 0; i < coarse->ink->n; i++) {
        int x = offset[i].x_px + x_px, y = offset[i].y_px + y_px;
        if ((guint)(x - rim) < width && (guint)(y - rim) < height)
            sum += coarse->value[offset[i].squared_px2[(gssize)y * plate->stride + x]];
    }
    return sum;
}

static TapulCoarsePlace best_shift(const Coarse *coarse, int i) {
    const TapulCoarseGrid *grid = coarse->grid;
    TapulCoarsePlace best = {move_of(coarse, i), -1};
    g_autofree Offset *offset = offsets_of(coarse, &best.move);
    TapulVec2 middle = tapul_vec2_mix(grid->shift_mm.min, grid->shift_mm.max, 0.5);
    int n_x = (int)((grid->shift_mm.max.x - middle.x) / grid->shift_step_mm);
    int n_y = (int)((grid->shift_mm.max.y - middle.y) / grid->shift_step_mm);
    float most = -1;
    for (int y = -n_y; y <= n_y; y++)
        for (int x = -n_x; x <= n_x; x++) {
            TapulVec2 shift = {middle.x + x * grid->shift_step_mm,
                               middle.y + y * grid->shift_step_mm};
            float match = match_at(coarse, offset, (int)lround(shift.x / TAPUL_INK_PIXEL_MM),
                                   (int)lround(shift.y / TAPUL_INK_PIXEL_MM));
            if (match > most) {
                most = match;
                best.move.shift_mm = shift;
            }
        }
    best.match = coarse->ink->n > 0 ? (double)most / coarse->ink->n : 0;
    return best;
}

static int by_match(gconstpointer a, gconstpointer b) {
    const TapulCoarsePlace *left = a, *right = b;
    return (left->match < right->match) - (left->match > right->match);
}

void tapul_coarse_sort(GArray *places) {
    g_array_sort(places, by_match);
}

GArray *tapul_coarse_search(const TapulThinned *ink, const TapulInkMap *plate,
                            const TapulCoarseGrid *grid, int n_best) {
    Coarse coarse = {.ink = ink, .plate = plate, .grid = grid};
    coarse.n_turns =
        1 + steps_between(-grid->most_turn_rad, grid->most_turn_rad, grid->turn_step_rad);
    coarse.n_scales =
        1 + steps_between(log(grid->scale_low), log(grid->scale_high), log1p(grid->scale_step));
    coarse.n_hands = !!grid->direct + !!grid->reversed;
    int squares = TAPUL_INK_REACH_PX * TAPUL_INK_REACH_PX + 1;
    g_autofree float *value = coarse.value = g_new(float, (gsize)squares);
    for (int i = 0; i < squares; i++)
        value[i] = (float)fmax(0, 1 - sqrt(i) * TAPUL_INK_PIXEL_MM / grid->reach_mm);
    int n = coarse.n_turns * coarse.n_scales * coarse.n_hands;
    GArray *places = g_array_sized_new(FALSE, FALSE, sizeof(TapulCoarsePlace), (guint)n);
    g_array_set_size(places, (guint)n);
#pragma omp parallel for schedule(dynamic)
    for (int i = 0; i < n; i++)
        g_array_index(places, TapulCoarsePlace, i) = best_shift(&coarse, i);
    tapul_coarse_sort(places);
    g_array_set_size(places, (guint)MIN(n, n_best));
    return places;
}
