/* Which tiles of a grid are needed. The sheet falls into zones: those that one tile shows, and
 * those where two or four overlap. Zones that show something want a tile: those of one tile get
 * it; then tile after tile is taken that serves the most of the others (greedy set cover:
 * Chvatal, Mathematics of Operations Research 4, 1979). */
#include "pounce/tiles_needed.h"

#include "ink/region.h"

/* Zones shrink by this to each side before they are looked at, so that what but touches them
 * does not count; no printer or knife comes near it. */
#define TOUCH_MM 1e-4

struct TapulTilesNeeded {
    int n;
    TapulRegions regions;
    GPtrArray *area;     /* [n] of GEOSGeometry*: of each shape in its own frame */
    GPtrArray *prepared; /* [n] of const GEOSPreparedGeometry* */
    TapulBox *box;       /* [n] */
};

typedef struct {
    const TapulSheetGrid *grid;
    int across, down; /* zones */
    gboolean *wants;  /* [across * down] shows something, and no tile is taken that shows it */
    gboolean *taken;  /* [columns * rows] */
} Zones;

TapulBox tapul_sheet_grid_tile_mm(const TapulSheetGrid *grid, int column, int row) {
    double left = column * grid->step_mm.x;
    double bottom = (grid->rows - 1 - row) * grid->step_mm.y;
    return (TapulBox){{left, bottom}, {left + grid->tile_mm.x, bottom + grid->tile_mm.y}};
}

TapulTilesNeeded *tapul_tiles_needed_new(const TapulPlacedShape *shape, int n) {
    TapulTilesNeeded *needed = g_new0(TapulTilesNeeded, 1);
    needed->n = n;
    needed->regions = tapul_regions_begin();
    needed->area = g_ptr_array_new();
    needed->prepared = g_ptr_array_new();
    needed->box = g_new(TapulBox, n);
    for (int i = 0; i < n; i++) {
        g_autoptr(GPtrArray) rings = tapul_rings_new(shape[i].path);
        GEOSGeometry *area = tapul_rings_region(&needed->regions, rings, FALSE);
        g_ptr_array_add(needed->area, area);
        g_ptr_array_add(needed->prepared,
                        area ? (gpointer)GEOSPrepare_r(needed->regions.geos, area) : NULL);
        needed->box[i] = tapul_path_box(shape[i].path);
    }
    return needed;
}

void tapul_tiles_needed_free(TapulTilesNeeded *needed) {
    if (!needed)
        return;
    for (int i = 0; i < needed->n; i++) {
        GEOSPreparedGeom_destroy_r(needed->regions.geos,
                                   g_ptr_array_index(needed->prepared, i));
        GEOSGeom_destroy_r(needed->regions.geos, g_ptr_array_index(needed->area, i));
    }
    g_ptr_array_unref(needed->area);
    g_ptr_array_unref(needed->prepared);
    tapul_regions_end(&needed->regions);
    g_free(needed->box);
    g_free(needed);
}

/* --- Shapes in zones --- */

/* A place of the sheet in a shape's own frame. */
static TapulVec2 back(const TapulPlacedShape *shape, TapulVec2 p) {
    p = tapul_vec2_sub(p, shape->offset_mm);
    if (shape->turned)
        p = tapul_vec2(p.y, -p.x);
    return shape->mirrored ? tapul_vec2(-p.x, p.y) : p;
}

static gboolean meets(const TapulTilesNeeded *needed, int i, const TapulPlacedShape *shape,
                      TapulBox zone) {
    GEOSContextHandle_t geos = needed->regions.geos;
    TapulBox own = tapul_box_empty();
    tapul_box_add(&own, back(shape, zone.min));
    tapul_box_add(&own, back(shape, zone.max));
    if (!tapul_boxes_overlap(own, needed->box[i]))
        return FALSE;
    /* What GEOS could not make an area of counts with all of its box. */
    if (!g_ptr_array_index(needed->prepared, i))
        return TRUE;
    GEOSGeometry *rectangle =
        GEOSGeom_createRectangle_r(geos, own.min.x, own.min.y, own.max.x, own.max.y);
    gboolean met =
        GEOSPreparedIntersects_r(geos, g_ptr_array_index(needed->prepared, i), rectangle) == 1;
    GEOSGeom_destroy_r(geos, rectangle);
    return met;
}

/* --- Zones --- */

/* Even zones are where a tile overlaps the one before, odd ones its own; the first and the last
 * are even, and one tile's as well. */
static void zone_span(double tile_mm, double step_mm, int zone, double *from, double *to) {
    double overlap_mm = tile_mm - step_mm, start_mm = zone / 2 * step_mm;
    *from = start_mm + (zone % 2 ? overlap_mm : 0) + TOUCH_MM;
    *to = start_mm + (zone % 2 ? step_mm : overlap_mm) - TOUCH_MM;
}

/* The tiles along one way that show a zone: one, or two. */
static void tiles_at_zone(int tiles, int zone, int *first, int *last) {
    *last = MIN(zone / 2, tiles - 1);
    *first = zone % 2 ? *last : MAX(zone / 2 - 1, 0);
}

static TapulBox zone_box(const TapulSheetGrid *grid, int i, int j) {
    double height_mm = grid->tile_mm.y + (grid->rows - 1) * grid->step_mm.y, top, bottom;
    TapulBox box;
    zone_span(grid->tile_mm.x, grid->step_mm.x, i, &box.min.x, &box.max.x);
    zone_span(grid->tile_mm.y, grid->step_mm.y, j, &top, &bottom);
    box.min.y = height_mm - bottom;
    box.max.y = height_mm - top;
    return box;
}

static void look(const TapulTilesNeeded *needed, const TapulPlacedShape *shape, Zones *zones) {
    for (int j = 0; j < zones->down; j++)
        for (int i = 0; i < zones->across; i++) {
            TapulBox box = zone_box(zones->grid, i, j);
            for (int s = 0; s < needed->n && !tapul_box_is_empty(box); s++)
                zones->wants[j * zones->across + i] |= meets(needed, s, &shape[s], box);
        }
}

/* The zones of a tile that want one; served from now on if told so. */
static int serve(Zones *zones, int column, int row, gboolean take) {
    int count = 0;
    for (int j = 2 * row; j <= 2 * row + 2; j++)
        for (int i = 2 * column; i <= 2 * column + 2; i++) {
            gboolean *wants = &zones->wants[j * zones->across + i];
            count += *wants;
            *wants = *wants && !take;
        }
    if (take)
        zones->taken[row * zones->grid->columns + column] = TRUE;
    return count;
}

/* Of the tiles that show a zone the one that serves most. */
static void take_best(Zones *zones, int i, int j) {
    int left, right, top, bottom, most = -1, best_column = 0, best_row = 0;
    tiles_at_zone(zones->grid->columns, i, &left, &right);
    tiles_at_zone(zones->grid->rows, j, &top, &bottom);
    for (int row = top; row <= bottom; row++)
        for (int column = left; column <= right; column++) {
            int served = serve(zones, column, row, FALSE);
            if (served <= most)
                continue;
            most = served;
            best_column = column;
            best_row = row;
        }
    serve(zones, best_column, best_row, TRUE);
}

static gboolean is_of_one_tile(const Zones *zones, int i, int j) {
    int left, right, top, bottom;
    tiles_at_zone(zones->grid->columns, i, &left, &right);
    tiles_at_zone(zones->grid->rows, j, &top, &bottom);
    return left == right && top == bottom;
}

GArray *tapul_tiles_needed(const TapulTilesNeeded *needed, const TapulSheetGrid *grid,
                           const TapulPlacedShape *shape) {
    Zones zones = {grid, 2 * grid->columns + 1, 2 * grid->rows + 1, NULL, NULL};
    zones.wants = g_new0(gboolean, zones.across * zones.down);
    zones.taken = g_new0(gboolean, grid->columns * grid->rows);
    look(needed, shape, &zones);
    for (int pass = 0; pass < 2; pass++)
        for (int j = 0; j < zones.down; j++)
            for (int i = 0; i < zones.across; i++)
                if (zones.wants[j * zones.across + i] &&
                    (pass == 1 || is_of_one_tile(&zones, i, j)))
                    take_best(&zones, i, j);
    GArray *used = g_array_new(FALSE, FALSE, sizeof(int));
    for (int tile = 0; tile < grid->columns * grid->rows; tile++)
        if (zones.taken[tile])
            g_array_append_val(used, tile);
    g_free(zones.wants);
    g_free(zones.taken);
    return used;
}
