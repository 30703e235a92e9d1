/* Between lines and areas: strokes have one width and run straight over joints, so wedges
 * between lines, blots and sharp corners stay open. What is left of them becomes areas, so that
 * nothing of the ink is lost. */
#include "ink/lines_rest.h"

/* A stroke's edge may miss the ink's by the width's own tolerance and half a pixel's rounding.
 */
#define EDGE_PX 0.5
/* The pen is set down again after this share of its radius; between, its edge is a twentieth of
 * it further in. */
#define STEP_RADII 0.6

static void cover_disc(TapulMap *map, TapulVec2 at_px, double radius_px) {
    int top = MAX((int)ceil(at_px.y - radius_px - 0.5), 0);
    int bottom = MIN((int)floor(at_px.y + radius_px - 0.5), map->height_px - 1);
    for (int y = top; y <= bottom; y++) {
        double dy = y + 0.5 - at_px.y, half_px = sqrt(fmax(radius_px * radius_px - dy * dy, 0));
        int left = MAX((int)ceil(at_px.x - half_px - 0.5), 0);
        int right = MIN((int)floor(at_px.x + half_px - 0.5), map->width_px - 1);
        guint8 *row = map->at + tapul_map_place(map, 0, y);
        for (int x = left; x <= right; x++)
            row[x] |= TAPUL_MAP_COVERED;
    }
}

void tapul_rest_cover(TapulMap *map, const TapulPath *path, double width_px, double map_px) {
    double radius_px = width_px / 2 / map_px + EDGE_PX;
    TapulPathWalk walk = tapul_path_walk(path);
    TapulPathPiece piece;
    while (tapul_path_walk_next(&walk, &piece)) {
        /* The controls' polygon is longer than the curve: the steps are short enough. */
        double length_px = tapul_vec2_distance(piece.p[0], piece.p[1]) +
                           tapul_vec2_distance(piece.p[1], piece.p[2]) +
                           tapul_vec2_distance(piece.p[2], piece.p[3]);
        int n = (int)ceil(length_px / (STEP_RADII * radius_px * map_px)) + 1;
        for (int i = 0; i <= n; i++)
            cover_disc(map,
                       tapul_vec2_scale(tapul_cubic_point(piece.p, (double)i / n), 1 / map_px),
                       radius_px);
    }
}

static gboolean is_rest(guint8 bits) {
    return (bits & (TAPUL_MAP_INK | TAPUL_MAP_COVERED | TAPUL_MAP_AREA)) == TAPUL_MAP_INK;
}

/* TRUE where all pixels within reach, each way, are left over. */
static gboolean is_thick(const TapulMap *map, int x_px, int y_px, int reach) {
    if (x_px < reach || y_px < reach || x_px >= map->width_px - reach ||
        y_px >= map->height_px - reach)
        return FALSE;
    for (int y = y_px - reach; y <= y_px + reach; y++)
        for (int x = x_px - reach; x <= x_px + reach; x++)
            if (!is_rest(map->at[tapul_map_place(map, x, y)]))
                return FALSE;
    return TRUE;
}

/* Ink within twice the reach goes with a thick place: its own rim, and an overlap that leaves
 * no seam. */
static void mark_around(TapulMap *map, int x_px, int y_px, int reach) {
    for (int y = MAX(y_px - 2 * reach, 0); y <= MIN(y_px + 2 * reach, map->height_px - 1); y++)
        for (int x = MAX(x_px - 2 * reach, 0); x <= MIN(x_px + 2 * reach, map->width_px - 1);
             x++) {
            guint8 *at = &map->at[tapul_map_place(map, x, y)];
            if (*at & TAPUL_MAP_INK)
                *at |= TAPUL_MAP_MARKED;
        }
}

void tapul_rest_mark_areas(TapulMap *map, double map_px) {
    int reach = (int)lround(1 / map_px);
    for (int y = 0; y < map->height_px; y++)
        for (int x = 0; x < map->width_px; x++)
            if (is_rest(map->at[tapul_map_place(map, x, y)]) && is_thick(map, x, y, reach))
                mark_around(map, x, y, reach);
    gsize size = (gsize)map->stride * ((gsize)map->height_px + 2);
    for (gsize i = 0; i < size; i++)
        if (map->at[i] & TAPUL_MAP_MARKED)
            map->at[i] = (guint8)((map->at[i] & ~TAPUL_MAP_MARKED) | TAPUL_MAP_AREA);
}
