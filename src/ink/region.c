/* Areas: what a path covers under its fill rule. A ring that does not cross itself is a polygon
 * as it stands; others are cut at their crossings into faces, and each face is asked for its
 * winding number. Stands between the trace's paths and the clips and areas of ink. */
#include "ink/region.h"

#include "ink/tangle.h"

/* No curve of a print needs more pieces at 0.002 mm; a wild control point must not take all
 * memory. */
#define FLATTEN_PIECES_MAX 2000
/* Steps of tapul_rings_work for one reading: about a second. */
#define WORK_MAX 3e8

static void flatten_curve(GArray *ring, const TapulVec2 p[4]) {
    /* Wang's bound on the chord error of a cubic (G. Wang 1984, from memory): n^2 = 6/8 |second
     * difference| / tol. */
    double first = hypot(p[0].x - 2 * p[1].x + p[2].x, p[0].y - 2 * p[1].y + p[2].y);
    double second = hypot(p[1].x - 2 * p[2].x + p[3].x, p[1].y - 2 * p[2].y + p[3].y);
    double pieces = ceil(sqrt(0.75 * fmax(first, second) / TAPUL_FLATTEN_TOLERANCE_MM));
    int n = (int)CLAMP(pieces, 1, FLATTEN_PIECES_MAX);
    for (int i = 1; i <= n; i++) {
        TapulVec2 point = i == n ? p[3] : tapul_cubic_point(p, (double)i / n);
        g_array_append_val(ring, point);
    }
}

static void free_ring(gpointer ring) {
    g_array_unref(ring);
}

GPtrArray *tapul_rings_new(const TapulPath *path) {
    GPtrArray *rings = g_ptr_array_new_with_free_func(free_ring);
    GArray *ring = NULL;
    TapulPathWalk walk = tapul_path_walk(path);
    TapulPathPiece piece;
    while (tapul_path_walk_next(&walk, &piece)) {
        if (piece.starts_subpath || !ring) {
            ring = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
            g_ptr_array_add(rings, ring);
            g_array_append_val(ring, piece.p[0]);
        }
        if (piece.verb == TAPUL_VERB_CURVE)
            flatten_curve(ring, piece.p);
        else
            g_array_append_val(ring, piece.p[3]);
    }
    for (guint i = 0; i < rings->len; i++) {
        GArray *each = g_ptr_array_index(rings, i);
        const TapulVec2 *points = (const TapulVec2 *)(void *)each->data;
        while (each->len > 1 && tapul_vec2_distance(points[0], points[each->len - 1]) == 0)
            g_array_set_size(each, each->len - 1);
    }
    return rings;
}

/* Crossings of a ray to the right: +1 upward, -1 downward (Sunday's winding number, from
 * memory). */
static int ring_winding(const GArray *ring, TapulVec2 point) {
    int winding = 0;
    const TapulVec2 *points = (const TapulVec2 *)(const void *)ring->data;
    for (guint i = 0; i < ring->len; i++) {
        TapulVec2 a = points[i], b = points[(i + 1) % ring->len];
        if ((a.y <= point.y) == (b.y <= point.y))
            continue;
        double side = tapul_vec2_cross(tapul_vec2_sub(b, a), tapul_vec2_sub(point, a));
        if (a.y <= point.y && side > 0)
            winding++;
        else if (a.y > point.y && side < 0)
            winding--;
    }
    return winding;
}

gboolean tapul_rings_contain(const GPtrArray *rings, gboolean even_odd, TapulVec2 point) {
    int winding = 0;
    for (guint i = 0; i < rings->len; i++)
        winding += ring_winding(g_ptr_array_index(rings, i), point);
    return even_odd ? winding % 2 != 0 : winding != 0;
}

static void keep_quiet(const char *message, void *unused) {
    (void)message;
    (void)unused;
}

TapulRegions tapul_regions_begin(void) {
    TapulRegions regions = {.geos = GEOS_init_r(), .work_left = WORK_MAX};
    GEOSContext_setErrorMessageHandler_r(regions.geos, keep_quiet, NULL);
    GEOSContext_setNoticeMessageHandler_r(regions.geos, keep_quiet, NULL);
    return regions;
}

void tapul_regions_end(TapulRegions *regions) {
    GEOS_finish_r(regions->geos);
}

static GEOSCoordSequence *ring_sequence(GEOSContextHandle_t geos, const GArray *ring) {
    GEOSCoordSequence *sequence = GEOSCoordSeq_create_r(geos, ring->len + 1, 2);
    if (!sequence)
        return NULL;
    for (guint i = 0; i <= ring->len; i++) {
        TapulVec2 p = g_array_index(ring, TapulVec2, i % ring->len);
        GEOSCoordSeq_setXY_r(geos, sequence, i, p.x, p.y);
    }
    return sequence;
}

/* All rings as one noded set of lines. */
static GEOSGeometry *noded_lines(GEOSContextHandle_t geos, const GPtrArray *rings) {
    g_autoptr(GPtrArray) lines = g_ptr_array_new();
    for (guint i = 0; i < rings->len; i++) {
        const GArray *ring = g_ptr_array_index(rings, i);
        if (ring->len < 3)
            continue;
        GEOSCoordSequence *sequence = ring_sequence(geos, ring);
        GEOSGeometry *line = sequence ? GEOSGeom_createLineString_r(geos, sequence) : NULL;
        if (line)
            g_ptr_array_add(lines, line);
    }
    GEOSGeometry *all = GEOSGeom_createCollection_r(geos, GEOS_MULTILINESTRING,
                                                    (GEOSGeometry **)lines->pdata, lines->len);
    GEOSGeometry *noded = all ? GEOSUnaryUnion_r(geos, all) : NULL;
    GEOSGeom_destroy_r(geos, all);
    return noded;
}

static gboolean face_is_covered(GEOSContextHandle_t geos, const GEOSGeometry *face,
                                const GPtrArray *rings, gboolean even_odd) {
    GEOSGeometry *inside = GEOSPointOnSurface_r(geos, face);
    TapulVec2 point = {0, 0};
    gboolean known = inside && GEOSGeomGetX_r(geos, inside, &point.x) == 1 &&
                     GEOSGeomGetY_r(geos, inside, &point.y) == 1;
    GEOSGeom_destroy_r(geos, inside);
    return known && tapul_rings_contain(rings, even_odd, point);
}

static GEOSGeometry *faces_region(GEOSContextHandle_t geos, const GPtrArray *rings,
                                  gboolean even_odd) {
    GEOSGeometry *noded = noded_lines(geos, rings);
    const GEOSGeometry *const sets[1] = {noded};
    GEOSGeometry *faces = noded ? GEOSPolygonize_r(geos, sets, 1) : NULL;
    GEOSGeom_destroy_r(geos, noded);
    if (!faces)
        return NULL;
    g_autoptr(GPtrArray) kept = g_ptr_array_new();
    int n = GEOSGetNumGeometries_r(geos, faces);
    for (int i = 0; i < n; i++) {
        const GEOSGeometry *face = GEOSGetGeometryN_r(geos, faces, i);
        if (face_is_covered(geos, face, rings, even_odd))
            g_ptr_array_add(kept, GEOSGeom_clone_r(geos, face));
    }
    GEOSGeom_destroy_r(geos, faces);
    GEOSGeometry *all = GEOSGeom_createCollection_r(geos, GEOS_MULTIPOLYGON,
                                                    (GEOSGeometry **)kept->pdata, kept->len);
    GEOSGeometry *region = all ? GEOSUnaryUnion_r(geos, all) : NULL;
    GEOSGeom_destroy_r(geos, all);
    return region;
}

static GEOSGeometry *ring_polygon(GEOSContextHandle_t geos, const GArray *ring) {
    GEOSCoordSequence *sequence = ring_sequence(geos, ring);
    GEOSGeometry *shell = sequence ? GEOSGeom_createLinearRing_r(geos, sequence) : NULL;
    return shell ? GEOSGeom_createPolygon_r(geos, shell, NULL, 0) : NULL;
}

GEOSGeometry *tapul_rings_region(TapulRegions *regions, const GPtrArray *rings,
                                 gboolean even_odd) {
    GEOSContextHandle_t geos = regions->geos;
    if (rings->len == 1 && ((GArray *)g_ptr_array_index(rings, 0))->len >= 3) {
        GEOSGeometry *polygon = ring_polygon(geos, g_ptr_array_index(rings, 0));
        if (polygon && GEOSisValid_r(geos, polygon) == 1)
            return polygon;
        GEOSGeom_destroy_r(geos, polygon);
    }
    double work = tapul_rings_work(rings, regions->work_left);
    if (work > regions->work_left)
        return NULL;
    regions->work_left -= work;
    return faces_region(geos, rings, even_odd);
}

static void add_ring(GEOSContextHandle_t geos, TapulPath *path, const GEOSGeometry *ring) {
    const GEOSCoordSequence *sequence = GEOSGeom_getCoordSeq_r(geos, ring);
    unsigned int n = 0;
    if (!sequence || GEOSCoordSeq_getSize_r(geos, sequence, &n) != 1)
        return;
    for (unsigned int i = 0; i + 1 < n; i++) {
        TapulVec2 p;
        GEOSCoordSeq_getXY_r(geos, sequence, i, &p.x, &p.y);
        if (i == 0)
            tapul_path_move(path, p);
        else
            tapul_path_line(path, p);
    }
    tapul_path_close(path);
}

TapulPath *tapul_region_path(const TapulRegions *regions, const GEOSGeometry *region) {
    GEOSContextHandle_t geos = regions->geos;
    TapulPath *path = tapul_path_new();
    int n = GEOSGetNumGeometries_r(geos, region);
    for (int i = 0; i < n; i++) {
        const GEOSGeometry *part = GEOSGetGeometryN_r(geos, region, i);
        if (GEOSGeomTypeId_r(geos, part) != GEOS_POLYGON || GEOSisEmpty_r(geos, part) != 0)
            continue;
        add_ring(geos, path, GEOSGetExteriorRing_r(geos, part));
        int holes = GEOSGetNumInteriorRings_r(geos, part);
        for (int k = 0; k < holes; k++)
            add_ring(geos, path, GEOSGetInteriorRingN_r(geos, part, k));
    }
    return path;
}

double tapul_filled_area_mm2(TapulRegions *regions, const TapulPath *path, gboolean even_odd,
                             gboolean *estimated) {
    GEOSContextHandle_t geos = regions->geos;
    g_autoptr(GPtrArray) rings = tapul_rings_new(path);
    double area = 0;
    GEOSGeometry *region = tapul_rings_region(regions, rings, even_odd);
    *estimated = !region;
    if (!region)
        return tapul_rings_coverage_mm2(rings, even_odd);
    /* One sound ring: the curves' own area, without the flattening. */
    if (rings->len == 1 && GEOSGeomTypeId_r(geos, region) == GEOS_POLYGON &&
        GEOSGetNumCoordinates_r(geos, region) == (int)((GArray *)rings->pdata[0])->len + 1)
        area = fabs(tapul_path_area(path));
    else
        GEOSArea_r(geos, region, &area);
    GEOSGeom_destroy_r(geos, region);
    return area;
}
