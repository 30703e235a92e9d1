/* Boxes packed on a strip of tiles, so that few tiles are needed. A skyline, the rim of what is
 * packed so far, is kept, and each box is set down on it where it takes the fewest new tiles,
 * then ends highest, then lies furthest left (Burke, Kendall & Whitwell, A New Placement
 * Heuristic for the Orthogonal Stock-Cutting Problem, Operations Research 52, 2004, for the
 * skyline; Baker, Coffman & Rivest, Orthogonal Packings in Two Dimensions, SIAM J. Comput. 9,
 * 1980, for largest first). */
#include "pounce/packing.h"

/* Lengths that differ by less are one: no cutter comes near it. */
#define SAME_MM 1e-6

/* A level part of the rim, from its x to the next one's. */
typedef struct {
    double x, y;
} Step;

typedef struct {
    const TapulTileGrid *grid;
    double width_mm, gap_mm;
    GArray *rim;       /* of Step */
    GHashTable *taken; /* of column + columns * row, in pointers: tiles that show something */
} Strip;

/* A place for a box, and how good it is. */
typedef struct {
    gboolean turned;
    TapulVec2 at, size;
    int new_tiles;
} Place;

double tapul_tiles_span_mm(double tile_mm, double step_mm, int tiles) {
    return tile_mm + (tiles - 1) * step_mm;
}

int tapul_tiles_for_mm(double tile_mm, double step_mm, double length_mm) {
    return MAX(1, 1 + (int)ceil((length_mm - tile_mm - SAME_MM) / step_mm));
}

/* --- The rim --- */

/* How far down the rim reaches between two places. */
static double rim_below(const Strip *strip, double from, double to) {
    double y = 0;
    for (guint i = 0; i < strip->rim->len; i++) {
        const Step *step = &g_array_index(strip->rim, Step, i);
        double end = i + 1 < strip->rim->len ? step[1].x : INFINITY;
        if (step->x < to - SAME_MM && end > from + SAME_MM)
            y = fmax(y, step->y);
    }
    return y;
}

static double rim_at(const Strip *strip, double x) {
    double y = 0;
    for (guint i = 0; i < strip->rim->len && g_array_index(strip->rim, Step, i).x <= x; i++)
        y = g_array_index(strip->rim, Step, i).y;
    return y;
}

static void raise_rim(Strip *strip, double from, double to, double y) {
    GArray *rim = g_array_new(FALSE, FALSE, sizeof(Step));
    Step start = {from, y}, after = {to, rim_at(strip, to)};
    guint i = 0;
    for (; i < strip->rim->len && g_array_index(strip->rim, Step, i).x < from; i++)
        g_array_append_val(rim, g_array_index(strip->rim, Step, i));
    g_array_append_val(rim, start);
    g_array_append_val(rim, after);
    for (; i < strip->rim->len; i++)
        if (g_array_index(strip->rim, Step, i).x > to)
            g_array_append_val(rim, g_array_index(strip->rim, Step, i));
    g_array_unref(strip->rim);
    strip->rim = rim;
}

/* --- Tiles --- */

/* The first tile of so many that shows a place and what follows, and the last that a length
 * then needs. */
static void tiles_of(double tile_mm, double step_mm, int tiles, double from, double to,
                     int *first, int *last) {
    *first = MIN((int)floor((from + SAME_MM) / step_mm), tiles - 1);
    *last = *first + tapul_tiles_for_mm(tile_mm, step_mm, to - *first * step_mm) - 1;
}

/* Tiles that a box at a place needs and that nothing else has needed so far; takes them if told
 * to. */
static int new_tiles(const Strip *strip, TapulVec2 at, TapulVec2 size, gboolean take) {
    const TapulTileGrid *grid = strip->grid;
    int left, right, top, bottom, count = 0;
    tiles_of(grid->tile_mm.x, grid->step_mm.x, grid->columns, at.x, at.x + size.x, &left,
             &right);
    tiles_of(grid->tile_mm.y, grid->step_mm.y, G_MAXINT, at.y, at.y + size.y, &top, &bottom);
    for (int row = top; row <= bottom; row++)
        for (int column = left; column <= right; column++) {
            gpointer tile = GINT_TO_POINTER(column + grid->columns * row + 1);
            count += !g_hash_table_contains(strip->taken, tile);
            if (take)
                g_hash_table_add(strip->taken, tile);
        }
    return count;
}

/* --- Setting down --- */

static gboolean is_better(const Place *place, const Place *best) {
    if (place->new_tiles != best->new_tiles)
        return place->new_tiles < best->new_tiles;
    double end = place->at.y + place->size.y, best_end = best->at.y + best->size.y;
    if (fabs(end - best_end) > SAME_MM)
        return end < best_end;
    return place->at.x < best->at.x - SAME_MM;
}

static void consider(const Strip *strip, TapulVec2 at, TapulVec2 size, gboolean turned,
                     Place *best) {
    if (at.x + size.x > strip->width_mm + SAME_MM)
        return;
    Place place = {turned, at, size, new_tiles(strip, at, size, FALSE)};
    if (is_better(&place, best))
        *best = place;
}

static double next_tile(double at, double step_mm) {
    return ceil((at - SAME_MM) / step_mm) * step_mm;
}

/* From a place along the strip: right on the rim, or further down where the next row of tiles
 * begins. */
static void consider_from(const Strip *strip, double x, TapulVec2 size, gboolean turned,
                          Place *best) {
    double y = rim_below(strip, x, x + size.x + strip->gap_mm);
    consider(strip, tapul_vec2(x, y), size, turned, best);
    consider(strip, tapul_vec2(x, next_tile(y, strip->grid->step_mm.y)), size, turned, best);
}

/* At each step of the rim, and where the next column of tiles begins. */
static void consider_all(const Strip *strip, TapulVec2 size, gboolean turned, Place *best) {
    for (guint i = 0; i < strip->rim->len; i++) {
        double x = g_array_index(strip->rim, Step, i).x;
        consider_from(strip, x, size, turned, best);
        consider_from(strip, next_tile(x, strip->grid->step_mm.x), size, turned, best);
    }
}

static gboolean set_down(Strip *strip, TapulPackedBox *box, gboolean may_turn) {
    Place best = {.new_tiles = G_MAXINT};
    TapulVec2 size = box->size_mm;
    consider_all(strip, size, FALSE, &best);
    if (may_turn)
        consider_all(strip, tapul_vec2(size.y, size.x), TRUE, &best);
    if (best.new_tiles == G_MAXINT)
        return FALSE;
    box->turned = best.turned;
    box->at_mm = best.at;
    new_tiles(strip, best.at, best.size, TRUE);
    /* What stands below or to the right keeps the gap. */
    raise_rim(strip, best.at.x, best.at.x + best.size.x + strip->gap_mm,
              best.at.y + best.size.y + strip->gap_mm);
    return TRUE;
}

/* The longer side tells, then the shorter. */
static int by_size(gconstpointer a, gconstpointer b, gpointer boxes) {
    TapulVec2 p = ((const TapulPackedBox *)boxes)[*(const int *)a].size_mm;
    TapulVec2 q = ((const TapulPackedBox *)boxes)[*(const int *)b].size_mm;
    double longer = fmax(p.x, p.y) - fmax(q.x, q.y), shorter = fmin(p.x, p.y) - fmin(q.x, q.y);
    if (longer != 0)
        return longer > 0 ? -1 : 1;
    if (shorter != 0)
        return shorter > 0 ? -1 : 1;
    return *(const int *)a - *(const int *)b;
}

gboolean tapul_boxes_pack(const TapulTileGrid *grid, TapulPackedBox *box, int n, double gap_mm,
                          gboolean may_turn) {
    Step level = {0, 0};
    Strip strip = {.grid = grid,
                   .width_mm =
                       tapul_tiles_span_mm(grid->tile_mm.x, grid->step_mm.x, grid->columns),
                   .gap_mm = gap_mm,
                   .rim = g_array_new(FALSE, FALSE, sizeof(Step)),
                   .taken = g_hash_table_new(NULL, NULL)};
    g_array_append_val(strip.rim, level);
    g_autoptr(GArray) order = g_array_new(FALSE, FALSE, sizeof(int));
    for (int i = 0; i < n; i++)
        g_array_append_val(order, i);
    g_array_sort_with_data(order, by_size, box);
    gboolean all = TRUE;
    for (int i = 0; i < n && all; i++)
        all = set_down(&strip, &box[g_array_index(order, int, i)], may_turn);
    g_array_unref(strip.rim);
    g_hash_table_unref(strip.taken);
    return all;
}
