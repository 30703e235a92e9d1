/* What was worked out cell by cell put together again. Only what touches a cell's edge can go
 * on beyond it: that alone is united, the rest is taken as it is. */
#include "pounce/join.h"

/* What is nearer to a cell's edge than this touches it. */
#define TOUCHING_MM 1e-6

/* All of GEOSGeometry* of the bag. */
typedef struct {
    TapulShapes *shapes;
    GPtrArray *meeting; /* polygons that touch an edge */
    GPtrArray *apart;   /* polygons that touch none */
    GPtrArray *holes;   /* in those that touch an edge: holes that touch none */
} Sorted;

static gboolean touches(TapulShapes *shapes, const GEOSGeometry *shape, TapulBox cell) {
    TapulBox box = tapul_shape_extent(shapes, shape);
    return box.min.x < cell.min.x + TOUCHING_MM || box.min.y < cell.min.y + TOUCHING_MM ||
           box.max.x > cell.max.x - TOUCHING_MM || box.max.y > cell.max.y - TOUCHING_MM;
}

/* A polygon of rings, which are copied; holes may be NULL. */
static GEOSGeometry *polygon_of(TapulShapes *shapes, const GEOSGeometry *outer,
                                const GPtrArray *holes) {
    GEOSContextHandle_t geos = shapes->regions.geos;
    g_autoptr(GPtrArray) copies = g_ptr_array_new();
    for (guint i = 0; holes && i < holes->len; i++)
        g_ptr_array_add(copies, GEOSGeom_clone_r(geos, g_ptr_array_index(holes, i)));
    return tapul_shape_take(
        shapes, GEOSGeom_createPolygon_r(geos, GEOSGeom_clone_r(geos, outer),
                                         (GEOSGeometry **)copies->pdata, copies->len));
}

/* A polygon that touches an edge: its holes that touch none are set apart. */
static void sort_meeting(Sorted *sorted, const GEOSGeometry *polygon, TapulBox cell) {
    GEOSContextHandle_t geos = sorted->shapes->regions.geos;
    g_autoptr(GPtrArray) holes = g_ptr_array_new();
    int n = GEOSGetNumInteriorRings_r(geos, polygon);
    for (int i = 0; i < n; i++) {
        const GEOSGeometry *hole = GEOSGetInteriorRingN_r(geos, polygon, i);
        if (touches(sorted->shapes, hole, cell))
            g_ptr_array_add(holes, (gpointer)hole);
        else
            g_ptr_array_add(sorted->holes, polygon_of(sorted->shapes, hole, NULL));
    }
    g_ptr_array_add(sorted->meeting,
                    polygon_of(sorted->shapes, GEOSGetExteriorRing_r(geos, polygon), holes));
}

static Sorted sort_parts(TapulShapes *shapes, const GArray *parts) {
    GEOSContextHandle_t geos = shapes->regions.geos;
    Sorted sorted = {shapes, g_ptr_array_new(), g_ptr_array_new(), g_ptr_array_new()};
    for (guint i = 0; i < parts->len; i++) {
        const TapulCellShape *part = &g_array_index(parts, TapulCellShape, i);
        int n = GEOSGetNumGeometries_r(geos, part->shape);
        for (int k = 0; k < n; k++) {
            const GEOSGeometry *polygon = GEOSGetGeometryN_r(geos, part->shape, k);
            if (GEOSisEmpty_r(geos, polygon) == 1)
                continue;
            if (!touches(shapes, polygon, part->cell))
                g_ptr_array_add(sorted.apart, tapul_shape_copy(shapes, polygon));
            else
                sort_meeting(&sorted, polygon, part->cell);
        }
    }
    return sorted;
}

gboolean tapul_cells_join(TapulShapes *shapes, const GArray *parts, GEOSGeometry **areas,
                          GEOSGeometry **holes) {
    GEOSContextHandle_t geos = shapes->regions.geos;
    Sorted sorted = sort_parts(shapes, parts);
    GEOSGeometry *met = tapul_shape_union(shapes, sorted.meeting);
    int n = met ? GEOSGetNumGeometries_r(geos, met) : 0;
    for (int i = 0; i < n; i++)
        g_ptr_array_add(sorted.apart,
                        tapul_shape_copy(shapes, GEOSGetGeometryN_r(geos, met, i)));
    *areas = tapul_shape_group(shapes, sorted.apart);
    *holes = tapul_shape_group(shapes, sorted.holes);
    g_ptr_array_unref(sorted.meeting);
    g_ptr_array_unref(sorted.apart);
    g_ptr_array_unref(sorted.holes);
    return met && *areas && *holes;
}

TapulPath *tapul_cells_outline(TapulShapes *shapes, const GArray *parts) {
    GEOSGeometry *areas, *holes;
    if (!tapul_cells_join(shapes, parts, &areas, &holes))
        return NULL;
    TapulPath *path = tapul_region_path(&shapes->regions, areas);
    g_autoptr(TapulPath) inner = tapul_region_path(&shapes->regions, holes);
    g_array_append_vals(path->verbs, inner->verbs->data, inner->verbs->len);
    g_array_append_vals(path->points, inner->points->data, inner->points->len);
    return path;
}
