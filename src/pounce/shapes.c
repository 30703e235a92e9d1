/* Areas on paper: the few operations of GEOS by which the resist is made, each on one bag that
 * owns what they give. */
#include "pounce/shapes.h"

#include "base/groups.h"

#include <stdlib.h>

/* Arcs have at most this many chords a quarter: a line 1 m wide at TAPUL_SHAPE_ARC_MM. */
#define MOST_CHORDS 500
/* A quarter of a circle by so many chords lies 2 % of its radius within it at most. */
#define COARSE_CHORDS 4
/* Edges are simplified by at most so much: a twenty-fifth of a tenth of a millimetre. */
#define SIMPLE_MM 0.004

TapulShapes *tapul_shapes_new(void) {
    TapulShapes *shapes = g_new0(TapulShapes, 1);
    shapes->regions = tapul_regions_begin();
    shapes->made = g_ptr_array_new();
    return shapes;
}

void tapul_shapes_free(TapulShapes *shapes) {
    if (!shapes)
        return;
    for (guint i = 0; i < shapes->made->len; i++)
        GEOSGeom_destroy_r(shapes->regions.geos, g_ptr_array_index(shapes->made, i));
    g_ptr_array_unref(shapes->made);
    tapul_regions_end(&shapes->regions);
    g_free(shapes);
}

GEOSGeometry *tapul_shape_take(TapulShapes *shapes, GEOSGeometry *shape) {
    if (shape)
        g_ptr_array_add(shapes->made, shape);
    return shape;
}

static gboolean is_areas(TapulShapes *shapes, const GEOSGeometry *shape) {
    int type = GEOSGeomTypeId_r(shapes->regions.geos, shape);
    return type == GEOS_POLYGON || type == GEOS_MULTIPOLYGON;
}

/* Takes the polygons. */
static GEOSGeometry *polygons_together(TapulShapes *shapes, const GPtrArray *polygons) {
    return tapul_shape_take(
        shapes, GEOSGeom_createCollection_r(shapes->regions.geos, GEOS_MULTIPOLYGON,
                                            (GEOSGeometry **)polygons->pdata, polygons->len));
}

/* Keeps what an operation gave, without the lines and points in it. */
static GEOSGeometry *keep_areas(TapulShapes *shapes, GEOSGeometry *shape) {
    GEOSContextHandle_t geos = shapes->regions.geos;
    if (!tapul_shape_take(shapes, shape) || is_areas(shapes, shape))
        return shape;
    g_autoptr(GPtrArray) areas = g_ptr_array_new();
    int n = GEOSGetNumGeometries_r(geos, shape);
    for (int i = 0; i < n; i++) {
        const GEOSGeometry *part = GEOSGetGeometryN_r(geos, shape, i);
        if (GEOSGeomTypeId_r(geos, part) == GEOS_POLYGON)
            g_ptr_array_add(areas, GEOSGeom_clone_r(geos, part));
    }
    return polygons_together(shapes, areas);
}

GEOSGeometry *tapul_shape_copy(TapulShapes *shapes, const GEOSGeometry *shape) {
    return shape ? tapul_shape_take(shapes, GEOSGeom_clone_r(shapes->regions.geos, shape))
                 : NULL;
}

/* --- Made --- */

static GEOSCoordSequence *sequence_of(GEOSContextHandle_t geos, const TapulVec2 *point_mm,
                                      guint n, gboolean closed) {
    guint all = closed ? n + 1 : n;
    GEOSCoordSequence *sequence = GEOSCoordSeq_create_r(geos, all, 2);
    for (guint i = 0; sequence && i < all; i++)
        GEOSCoordSeq_setXY_r(geos, sequence, i, point_mm[i % n].x, point_mm[i % n].y);
    return sequence;
}

GEOSGeometry *tapul_shape_ring(TapulShapes *shapes, const TapulVec2 *point_mm, guint n) {
    GEOSContextHandle_t geos = shapes->regions.geos;
    GEOSCoordSequence *sequence = sequence_of(geos, point_mm, n, TRUE);
    GEOSGeometry *ring = sequence ? GEOSGeom_createLinearRing_r(geos, sequence) : NULL;
    return ring ? tapul_shape_take(shapes, GEOSGeom_createPolygon_r(geos, ring, NULL, 0))
                : NULL;
}

GEOSGeometry *tapul_shape_box(TapulShapes *shapes, TapulBox box) {
    const TapulVec2 corner[4] = {
        box.min, {box.max.x, box.min.y}, box.max, {box.min.x, box.max.y}};
    return tapul_shape_ring(shapes, corner, 4);
}

GEOSGeometry *tapul_shape_of_path(TapulShapes *shapes, const TapulPath *path,
                                  gboolean even_odd) {
    g_autoptr(GPtrArray) rings = tapul_rings_new(path);
    return keep_areas(shapes, tapul_rings_region(&shapes->regions, rings, even_odd));
}

/* Chords for a quarter of a circle: one of angle a lies r (1 - cos(a / 2)) within it. */
static int chords(double radius_mm) {
    double half = acos(1 - fmin(1, TAPUL_SHAPE_ARC_MM / radius_mm));
    return (int)CLAMP(ceil(G_PI_4 / half), 2, MOST_CHORDS);
}

GEOSGeometry *tapul_shape_band(TapulShapes *shapes, const TapulVec2 *point_mm, guint n,
                               TapulBand band) {
    static const int caps[] = {[TAPUL_CAP_BUTT] = GEOSBUF_CAP_FLAT,
                               [TAPUL_CAP_ROUND] = GEOSBUF_CAP_ROUND,
                               [TAPUL_CAP_SQUARE] = GEOSBUF_CAP_SQUARE};
    GEOSContextHandle_t geos = shapes->regions.geos;
    GEOSCoordSequence *sequence = sequence_of(geos, point_mm, n, FALSE);
    GEOSGeometry *line =
        sequence ? tapul_shape_take(shapes, GEOSGeom_createLineString_r(geos, sequence)) : NULL;
    if (line && n > 2)
        line = tapul_shape_take(shapes, GEOSSimplify_r(geos, line, SIMPLE_MM));
    double half_mm = band.width_mm / 2;
    return line ? keep_areas(shapes,
                             GEOSBufferWithStyle_r(
                                 geos, line, half_mm, chords(half_mm), caps[band.cap],
                                 band.round_joins ? GEOSBUF_JOIN_ROUND : GEOSBUF_JOIN_BEVEL, 1))
                : NULL;
}

GEOSGeometry *tapul_shape_disc(TapulShapes *shapes, TapulVec2 middle_mm, double radius_mm) {
    GEOSContextHandle_t geos = shapes->regions.geos;
    GEOSGeometry *point =
        tapul_shape_take(shapes, GEOSGeom_createPointFromXY_r(geos, middle_mm.x, middle_mm.y));
    return point ? keep_areas(shapes, GEOSBuffer_r(geos, point, radius_mm, chords(radius_mm)))
                 : NULL;
}

/* --- Put together, taken apart --- */

GEOSGeometry *tapul_shape_group(TapulShapes *shapes, const GPtrArray *parts) {
    GEOSContextHandle_t geos = shapes->regions.geos;
    g_autoptr(GPtrArray) copies = g_ptr_array_new();
    gboolean known = TRUE;
    for (guint i = 0; i < parts->len; i++) {
        const GEOSGeometry *part = g_ptr_array_index(parts, i);
        GEOSGeometry *copy = part ? GEOSGeom_clone_r(geos, part) : NULL;
        if (copy)
            g_ptr_array_add(copies, copy);
        known &= copy != NULL;
    }
    GEOSGeometry *all = tapul_shape_take(
        shapes, GEOSGeom_createCollection_r(geos, GEOS_GEOMETRYCOLLECTION,
                                            (GEOSGeometry **)copies->pdata, copies->len));
    return known ? all : NULL;
}

/* A part by where it begins. */
typedef struct {
    TapulBox box;
    GEOSGeometry *shape; /* borrowed */
} Part;

static int by_left(gconstpointer a, gconstpointer b) {
    const Part *x = a, *y = b;
    return (x->box.min.x > y->box.min.x) - (x->box.min.x < y->box.min.x);
}

/* Finds which parts hang together, part by part from the left. */
static void gather(TapulShapes *shapes, const Part *part, int n, int *groups) {
    GEOSContextHandle_t geos = shapes->regions.geos;
    for (int i = 0; i < n; i++) {
        const GEOSPreparedGeometry *ready = NULL;
        for (int k = i + 1; k < n && part[k].box.min.x <= part[i].box.max.x; k++) {
            if (tapul_group_of(groups, i) == tapul_group_of(groups, k) ||
                part[k].box.min.y > part[i].box.max.y || part[i].box.min.y > part[k].box.max.y)
                continue;
            if (!ready)
                ready = GEOSPrepare_r(geos, part[i].shape);
            if (GEOSPreparedIntersects_r(geos, ready, part[k].shape) != 0)
                tapul_groups_join(groups, i, k);
        }
        if (ready)
            GEOSPreparedGeom_destroy_r(geos, ready);
    }
}

/* Adds the polygons of a shape, which stays as it is. */
static void add_polygons(TapulShapes *shapes, const GEOSGeometry *shape, GPtrArray *polygons) {
    GEOSContextHandle_t geos = shapes->regions.geos;
    int n = GEOSGetNumGeometries_r(geos, shape);
    for (int i = 0; i < n; i++) {
        const GEOSGeometry *polygon = GEOSGetGeometryN_r(geos, shape, i);
        if (GEOSisEmpty_r(geos, polygon) == 0)
            g_ptr_array_add(polygons, GEOSGeom_clone_r(geos, polygon));
    }
}

/* GEOS takes long over many parts, though most meet only few others: it is given what hangs
 * together, group by group. */
static GEOSGeometry *unite_groups(TapulShapes *shapes, const Part *part, int n, int *groups) {
    g_autoptr(GPtrArray) polygons = g_ptr_array_new();
    g_autofree GPtrArray **group = g_new0(GPtrArray *, n);
    gboolean known = TRUE;
    for (int i = 0; i < n; i++) {
        int first = tapul_group_of(groups, i);
        if (!group[first])
            group[first] = g_ptr_array_new();
        g_ptr_array_add(group[first], part[i].shape);
    }
    for (int i = 0; i < n; i++) {
        if (!group[i])
            continue;
        GEOSGeometry *all =
            group[i]->len == 1 ? part[i].shape : tapul_shape_group(shapes, group[i]);
        if (all && group[i]->len > 1)
            all = keep_areas(shapes, GEOSUnaryUnion_r(shapes->regions.geos, all));
        if (all)
            add_polygons(shapes, all, polygons);
        known &= all != NULL;
        g_ptr_array_unref(group[i]);
    }
    GEOSGeometry *united = polygons_together(shapes, polygons);
    return known ? united : NULL;
}

GEOSGeometry *tapul_shape_union(TapulShapes *shapes, const GPtrArray *parts) {
    int n = (int)parts->len;
    g_autofree Part *part = g_new(Part, n);
    for (int i = 0; i < n; i++) {
        part[i].shape = g_ptr_array_index(parts, (guint)i);
        if (!part[i].shape)
            return NULL;
        part[i].box = tapul_shape_extent(shapes, part[i].shape);
    }
    if (n > 1)
        qsort(part, (gsize)n, sizeof *part, by_left);
    g_autofree int *groups = tapul_groups_new(n);
    gather(shapes, part, n, groups);
    return unite_groups(shapes, part, n, groups);
}

GEOSGeometry *tapul_shape_simplify(TapulShapes *shapes, const GEOSGeometry *shape) {
    return shape ? keep_areas(shapes, GEOSTopologyPreserveSimplify_r(shapes->regions.geos,
                                                                     shape, SIMPLE_MM))
                 : NULL;
}

GEOSGeometry *tapul_shape_minus(TapulShapes *shapes, const GEOSGeometry *from,
                                const GEOSGeometry *what) {
    return from && what ? keep_areas(shapes, GEOSDifference_r(shapes->regions.geos, from, what))
                        : NULL;
}

GEOSGeometry *tapul_shape_both(TapulShapes *shapes, const GEOSGeometry *a,
                               const GEOSGeometry *b) {
    return a && b ? keep_areas(shapes, GEOSIntersection_r(shapes->regions.geos, a, b)) : NULL;
}

/* The quick way gives up where it leaves a ring of two points. */
GEOSGeometry *tapul_shape_clip(TapulShapes *shapes, const GEOSGeometry *shape, TapulBox box) {
    GEOSGeometry *clipped =
        shape ? keep_areas(shapes, GEOSClipByRect_r(shapes->regions.geos, shape, box.min.x,
                                                    box.min.y, box.max.x, box.max.y))
              : NULL;
    return clipped ? clipped : tapul_shape_both(shapes, shape, tapul_shape_box(shapes, box));
}

/* What is shrunk cannot meet, so each polygon is done by itself, which is quicker. */
static GEOSGeometry *shrink(TapulShapes *shapes, const GEOSGeometry *shape, double by_mm) {
    GEOSContextHandle_t geos = shapes->regions.geos;
    g_autoptr(GPtrArray) left = g_ptr_array_new();
    int n = GEOSGetNumGeometries_r(geos, shape), known = TRUE;
    for (int i = 0; i < n; i++) {
        GEOSGeometry *part =
            tapul_shape_take(shapes, GEOSBuffer_r(geos, GEOSGetGeometryN_r(geos, shape, i),
                                                  -by_mm, chords(by_mm)));
        known &= part != NULL;
        if (part)
            add_polygons(shapes, part, left);
    }
    GEOSGeometry *all = polygons_together(shapes, left);
    return known ? all : NULL;
}

GEOSGeometry *tapul_shape_grow(TapulShapes *shapes, const GEOSGeometry *shape, double by_mm) {
    if (!shape || by_mm == 0)
        return tapul_shape_copy(shapes, shape);
    if (by_mm < 0)
        return shrink(shapes, shape, -by_mm);
    return keep_areas(shapes, GEOSBuffer_r(shapes->regions.geos, shape, by_mm, chords(by_mm)));
}

/* Each polygon by itself, then together: grown so far that all overlap, GEOS would take long to
 * find their edges' crossings. */
static GEOSGeometry *grow_far(TapulShapes *shapes, const GEOSGeometry *shape, double by_mm) {
    GEOSContextHandle_t geos = shapes->regions.geos;
    g_autoptr(GPtrArray) grown = g_ptr_array_new();
    int n = GEOSGetNumGeometries_r(geos, shape);
    for (int i = 0; i < n; i++)
        g_ptr_array_add(
            grown, keep_areas(shapes, GEOSBuffer_r(geos, GEOSGetGeometryN_r(geos, shape, i),
                                                   by_mm, COARSE_CHORDS)));
    return tapul_shape_union(shapes, grown);
}

GEOSGeometry *tapul_shape_close(TapulShapes *shapes, const GEOSGeometry *shape, double gap_mm) {
    GEOSContextHandle_t geos = shapes->regions.geos;
    if (!shape)
        return NULL;
    /* GEOS gives up where a ring is simplified away: the shape as it is takes only longer. */
    const GEOSGeometry *coarse = tapul_shape_take(
        shapes, GEOSTopologyPreserveSimplify_r(geos, shape, TAPUL_SHAPE_COARSE_MM));
    GEOSGeometry *grown = grow_far(shapes, coarse ? coarse : shape, gap_mm / 2);
    GEOSGeometry *closed =
        grown ? keep_areas(shapes, GEOSBuffer_r(geos, grown, -gap_mm / 2, COARSE_CHORDS))
              : NULL;
    g_autoptr(GPtrArray) both = g_ptr_array_new();
    g_ptr_array_add(both, (gpointer)shape);
    g_ptr_array_add(both, closed);
    return tapul_shape_union(shapes, both);
}

/* --- Measured --- */

double tapul_shape_area_mm2(TapulShapes *shapes, const GEOSGeometry *shape) {
    double area_mm2 = 0;
    if (shape)
        GEOSArea_r(shapes->regions.geos, shape, &area_mm2);
    return area_mm2;
}

TapulBox tapul_shape_extent(TapulShapes *shapes, const GEOSGeometry *shape) {
    TapulBox box = tapul_box_empty();
    if (shape && GEOSisEmpty_r(shapes->regions.geos, shape) == 0) {
        GEOSGeom_getXMin_r(shapes->regions.geos, shape, &box.min.x);
        GEOSGeom_getYMin_r(shapes->regions.geos, shape, &box.min.y);
        GEOSGeom_getXMax_r(shapes->regions.geos, shape, &box.max.x);
        GEOSGeom_getYMax_r(shapes->regions.geos, shape, &box.max.y);
    }
    return box;
}
