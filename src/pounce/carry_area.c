/* Areas carried to a paper. One that no edge of a chart comes near keeps its curves; any other
 * is cut up along the chart's triangles, each part carried by its own triangle, and put
 * together again: so a dart opens within it, and an allowance continues it. */
#include "pounce/carry.h"

/* Parts are put together on a lattice this fine, so that no rounding leaves a gap between two
 * triangles. */
#define LATTICE_MM 1e-6
/* Where a corner of one lies beside an edge of another, rounding still leaves a slit of some
 * 1e-6 mm, which a resist would widen by all of its undercut: slits up to twice this are
 * closed. Corners stay corners up to MITRE_LIMIT. */
#define SLIT_MM     1e-4
#define MITRE_LIMIT 10.0

typedef struct {
    TapulRegions *regions;
    GEOSGeometry *region; /* what the mark covers in base */
    const GEOSPreparedGeometry *prepared;
    TapulBox box;
    GPtrArray *parts; /* of GEOSGeometry*, on paper */
    gboolean failed;
} Cutting;

static GEOSGeometry *triangle_polygon(GEOSContextHandle_t geos, const TapulVec2 corner[3]) {
    GEOSCoordSequence *sequence = GEOSCoordSeq_create_r(geos, 4, 2);
    for (unsigned int k = 0; k < 4; k++)
        GEOSCoordSeq_setXY_r(geos, sequence, k, corner[k % 3].x, corner[k % 3].y);
    return GEOSGeom_createPolygon_r(geos, GEOSGeom_createLinearRing_r(geos, sequence), NULL, 0);
}

/* --- One triangle --- */

typedef struct {
    TapulVec2 base[3], paper[3];
} Affine;

static int carry_coordinate(double *x, double *y, void *data) {
    const Affine *affine = data;
    TapulVec2 e1 = tapul_vec2_sub(affine->base[1], affine->base[0]);
    TapulVec2 e2 = tapul_vec2_sub(affine->base[2], affine->base[0]);
    TapulVec2 to = tapul_vec2_sub(tapul_vec2(*x, *y), affine->base[0]);
    double twice = tapul_vec2_cross(e1, e2);
    double u = tapul_vec2_cross(to, e2) / twice, v = tapul_vec2_cross(e1, to) / twice;
    TapulVec2 at = tapul_vec2_add(
        affine->paper[0],
        tapul_vec2_add(
            tapul_vec2_scale(tapul_vec2_sub(affine->paper[1], affine->paper[0]), u),
            tapul_vec2_scale(tapul_vec2_sub(affine->paper[2], affine->paper[0]), v)));
    *x = at.x;
    *y = at.y;
    return 1;
}

static void keep_polygons(Cutting *cutting, const GEOSGeometry *cut, Affine *affine) {
    GEOSContextHandle_t geos = cutting->regions->geos;
    int n = GEOSGetNumGeometries_r(geos, cut);
    for (int i = 0; i < n; i++) {
        const GEOSGeometry *part = GEOSGetGeometryN_r(geos, cut, i);
        if (GEOSGeomTypeId_r(geos, part) != GEOS_POLYGON || GEOSisEmpty_r(geos, part) != 0)
            continue;
        GEOSGeometry *carried = GEOSGeom_transformXY_r(geos, part, carry_coordinate, affine);
        if (carried)
            g_ptr_array_add(cutting->parts, carried);
        else
            cutting->failed = TRUE;
    }
}

static void cut_triangle(Cutting *cutting, const TapulChart *chart, int t) {
    GEOSContextHandle_t geos = cutting->regions->geos;
    Affine affine;
    TapulBox box = tapul_box_empty();
    for (int k = 0; k < 3; k++) {
        affine.base[k] = chart->base.flat_mm[chart->shape.corner[t][k]];
        affine.paper[k] = chart->paper_mm[chart->shape.corner[t][k]];
        tapul_box_add(&box, affine.base[k]);
    }
    if (!tapul_boxes_overlap(box, cutting->box))
        return;
    GEOSGeometry *triangle = triangle_polygon(geos, affine.base);
    if (GEOSPreparedContains_r(geos, cutting->prepared, triangle) == 1) {
        keep_polygons(cutting, triangle, &affine);
    } else if (GEOSPreparedIntersects_r(geos, cutting->prepared, triangle) == 1) {
        GEOSGeometry *cut = GEOSIntersection_r(geos, cutting->region, triangle);
        if (cut)
            keep_polygons(cutting, cut, &affine);
        else
            cutting->failed = TRUE;
        GEOSGeom_destroy_r(geos, cut);
    }
    GEOSGeom_destroy_r(geos, triangle);
}

/* --- One mark --- */

static void add_mark_take(const TapulMark *mark, TapulPath *path, gboolean even_odd,
                          GPtrArray *marks) {
    TapulMark *carried = tapul_mark_copy(mark);
    tapul_path_free(carried->path);
    carried->path = path;
    carried->even_odd = even_odd;
    g_ptr_array_add(marks, carried);
}

/* Grown by so much and shrunk again. NULL if GEOS gives up. */
static GEOSGeometry *without_slits(GEOSContextHandle_t geos, const GEOSGeometry *area) {
    GEOSGeometry *grown = GEOSBufferWithStyle_r(geos, area, SLIT_MM, 1, GEOSBUF_CAP_FLAT,
                                                GEOSBUF_JOIN_MITRE, MITRE_LIMIT);
    GEOSGeometry *closed =
        grown ? GEOSBufferWithStyle_r(geos, grown, -SLIT_MM, 1, GEOSBUF_CAP_FLAT,
                                      GEOSBUF_JOIN_MITRE, MITRE_LIMIT)
              : NULL;
    GEOSGeom_destroy_r(geos, grown);
    return closed;
}

/* The parts as one area of the paper. */
static void put_together(Cutting *cutting, const TapulMark *mark, GPtrArray *marks) {
    GEOSContextHandle_t geos = cutting->regions->geos;
    if (cutting->parts->len == 0)
        return;
    GEOSGeometry *all = GEOSGeom_createCollection_r(geos, GEOS_GEOMETRYCOLLECTION,
                                                    (GEOSGeometry **)cutting->parts->pdata,
                                                    cutting->parts->len);
    g_ptr_array_set_size(cutting->parts, 0);
    GEOSGeometry *together = all ? GEOSUnaryUnionPrec_r(geos, all, LATTICE_MM) : NULL;
    GEOSGeometry *one = together ? without_slits(geos, together) : NULL;
    cutting->failed = cutting->failed || !one;
    if (one) {
        TapulPath *path = tapul_region_path(cutting->regions, one);
        if (tapul_path_is_empty(path))
            tapul_path_free(path);
        else
            add_mark_take(mark, path, TRUE, marks);
    }
    GEOSGeom_destroy_r(geos, one);
    GEOSGeom_destroy_r(geos, together);
    GEOSGeom_destroy_r(geos, all);
}

static void cut_area(Cutting *cutting, const GPtrArray *charts, const TapulMark *mark,
                     GPtrArray *marks) {
    GEOSContextHandle_t geos = cutting->regions->geos;
    g_autoptr(GPtrArray) rings = tapul_rings_new(mark->path);
    cutting->region = tapul_rings_region(cutting->regions, rings, mark->even_odd);
    cutting->prepared = cutting->region ? GEOSPrepare_r(geos, cutting->region) : NULL;
    if (!cutting->prepared) {
        GEOSGeom_destroy_r(geos, cutting->region);
        cutting->failed = TRUE;
        return;
    }
    for (guint c = 0; c < charts->len; c++) {
        const TapulChart *chart = g_ptr_array_index(charts, c);
        for (int t = 0; t < chart->shape.n_triangles; t++)
            cut_triangle(cutting, chart, t);
    }
    put_together(cutting, mark, marks);
    GEOSPreparedGeom_destroy_r(geos, cutting->prepared);
    GEOSGeom_destroy_r(geos, cutting->region);
}

/* An area of which the chart shows all or nothing. */
static void carry_whole(const TapulChart *chart, const TapulMark *mark, GPtrArray *marks) {
    TapulWarpMap map = tapul_chart_map(chart, TAPUL_CARRY_TOLERANCE_MM);
    TapulVec2 paper_mm;
    double lost_mm = 0;
    if (!tapul_chart_paper(chart, g_array_index(mark->path->points, TapulVec2, 0), &paper_mm))
        return;
    g_autoptr(GArray) pieces = tapul_warp_pieces(mark->path, &map, &lost_mm);
    if (pieces->len > 0)
        add_mark_take(mark, tapul_warp_path(pieces, TRUE), mark->even_odd, marks);
}

gboolean tapul_carry_area(const GPtrArray *charts, const TapulMark *mark, GPtrArray *marks) {
    TapulBox box = tapul_path_box(mark->path);
    if (tapul_path_is_empty(mark->path))
        return TRUE;
    g_autoptr(GPtrArray) cut_by = g_ptr_array_new();
    for (guint c = 0; c < charts->len; c++) {
        TapulChart *chart = g_ptr_array_index(charts, c);
        g_autoptr(GArray) near = tapul_chart_edges_near(chart, box);
        if (near->len > 0)
            g_ptr_array_add(cut_by, chart);
        else
            carry_whole(chart, mark, marks);
    }
    if (cut_by->len == 0)
        return TRUE;
    TapulRegions regions = tapul_regions_begin();
    Cutting cutting = {.regions = &regions, .box = box, .parts = g_ptr_array_new()};
    cut_area(&cutting, cut_by, mark, marks);
    g_ptr_array_unref(cutting.parts);
    tapul_regions_end(&regions);
    return !cutting.failed;
}
