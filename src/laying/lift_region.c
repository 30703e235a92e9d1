/* A region of the plate as it is drawn from the front, carried to the development: what of a
 * found design is lifted. What the viewer sees of the metal is one area of the front view; the
 * region's part of it is carried over as its outline. */
#include <tapul/lift.h>

#include "ink/region.h"

/* The region keeps this far within what is seen: on its very rim a line of sight may miss the
 * metal. Far under any line's width. */
#define RIM_MM 0.01
/* The outline is carried to the development this finely. */
#define OUTLINE_TOLERANCE_MM 0.02
/* Triangles seen as less than this are edge on and show nothing. */
#define LEAST_SEEN_MM2 1e-9

const TapulField *tapul_lift_field(const TapulPlate *plate, const char *id, GError **error) {
    g_autoptr(GString) names = g_string_new(NULL);
    for (int i = 0; i < tapul_plate_n_fields(plate); i++) {
        const TapulField *field = tapul_plate_field(plate, i);
        if (g_str_equal(field->id, id))
            return field;
        g_string_append_printf(names, "%s%s", i > 0 ? ", " : "", field->id);
    }
    g_set_error(error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_VALUE,
                "'%s' is none of the plate's fields: %s", id,
                names->len > 0 ? names->str : "it has none");
    return NULL;
}

static TapulVec2 seen_corner(const TapulMesh *mesh, int t, int k) {
    TapulVec3 at = mesh->position_mm[mesh->corner[t][k]];
    return tapul_vec2(at.x, at.y);
}

/* A triangle as seen from the front; NULL where it is seen from behind or edge on. */
static GEOSGeometry *seen_triangle(GEOSContextHandle_t geos, const TapulMesh *mesh, int t) {
    TapulVec2 a = seen_corner(mesh, t, 0);
    double twice = tapul_vec2_cross(tapul_vec2_sub(seen_corner(mesh, t, 1), a),
                                    tapul_vec2_sub(seen_corner(mesh, t, 2), a));
    if (twice < 2 * LEAST_SEEN_MM2)
        return NULL;
    GEOSCoordSequence *sequence = GEOSCoordSeq_create_r(geos, 4, 2);
    for (int k = 0; k < 4; k++) {
        TapulVec2 corner = seen_corner(mesh, t, k % 3);
        GEOSCoordSeq_setXY_r(geos, sequence, (unsigned int)k, corner.x, corner.y);
    }
    return GEOSGeom_createPolygon_r(geos, GEOSGeom_createLinearRing_r(geos, sequence), NULL, 0);
}

/* All metal seen near a box, as one area; the caller destroys it. */
static GEOSGeometry *seen_metal(GEOSContextHandle_t geos, const TapulMesh *mesh,
                                TapulBox near) {
    g_autoptr(GPtrArray) seen = g_ptr_array_new();
    for (int t = 0; t < mesh->n_triangles; t++) {
        TapulBox box = tapul_box_empty();
        for (int k = 0; k < 3; k++)
            tapul_box_add(&box, seen_corner(mesh, t, k));
        if (box.max.x < near.min.x || box.min.x > near.max.x || box.max.y < near.min.y ||
            box.min.y > near.max.y)
            continue;
        GEOSGeometry *triangle = seen_triangle(geos, mesh, t);
        if (triangle)
            g_ptr_array_add(seen, triangle);
    }
    GEOSGeometry *all = GEOSGeom_createCollection_r(geos, GEOS_MULTIPOLYGON,
                                                    (GEOSGeometry **)seen->pdata, seen->len);
    GEOSGeometry *one = GEOSUnaryUnion_r(geos, all);
    GEOSGeom_destroy_r(geos, all);
    return one;
}

/* The part of the outline's area where metal is seen; empty where there is none. */
static TapulPath *seen_part(const TapulMesh *mesh, const TapulPath *outline) {
    TapulRegions regions = tapul_regions_begin();
    GEOSContextHandle_t geos = regions.geos;
    g_autoptr(GPtrArray) rings = tapul_rings_new(outline);
    GEOSGeometry *drawn = tapul_rings_region(&regions, rings, FALSE);
    GEOSGeometry *metal = seen_metal(geos, mesh, tapul_path_box(outline));
    GEOSGeometry *within = metal ? GEOSBuffer_r(geos, metal, -RIM_MM, 1) : NULL;
    GEOSGeometry *both = drawn && within ? GEOSIntersection_r(geos, drawn, within) : NULL;
    TapulPath *part = both ? tapul_region_path(&regions, both) : tapul_path_new();
    GEOSGeometry *const made[] = {drawn, metal, within, both};
    for (guint i = 0; i < G_N_ELEMENTS(made); i++)
        if (made[i])
            GEOSGeom_destroy_r(geos, made[i]);
    tapul_regions_end(&regions);
    return part;
}

static gboolean front_to_developed(TapulVec2 front_mm, TapulVec2 *developed_mm, gpointer data) {
    const TapulGround *ground = data;
    TapulSpot spot;
    if (!tapul_plate_spot_from_front(ground->plate, front_mm.x, front_mm.y, &spot, NULL))
        return FALSE;
    *developed_mm = tapul_development_point_mm(ground->development, spot);
    return TRUE;
}

/* An outline that lies on the metal all around is the region's own; else the part of it where
 * metal is seen is worked out, which takes longer. */
static TapulPath *carry_outline(const TapulGround *ground, const TapulPath *outline) {
    double lost_mm = 0;
    g_autoptr(TapulPath) whole = tapul_path_warp(outline, front_to_developed, (gpointer)ground,
                                                 OUTLINE_TOLERANCE_MM, TRUE, &lost_mm);
    if (lost_mm == 0)
        return g_steal_pointer(&whole);
    g_autoptr(TapulPath) part = seen_part(tapul_plate_mesh(ground->plate), outline);
    return tapul_path_warp(part, front_to_developed, (gpointer)ground, OUTLINE_TOLERANCE_MM,
                           TRUE, NULL);
}

TapulPath *tapul_lift_region(const TapulGround *ground, const TapulVec2 *outline_mm, int n,
                             GError **error) {
    g_assert(n >= 3);
    g_autoptr(TapulPath) outline = tapul_path_new();
    tapul_path_move(outline, outline_mm[0]);
    for (int i = 1; i < n; i++)
        tapul_path_line(outline, outline_mm[i]);
    tapul_path_close(outline);
    g_autoptr(TapulPath) region = carry_outline(ground, outline);
    if (!tapul_path_is_empty(region))
        return g_steal_pointer(&region);
    TapulBox box = tapul_path_box(outline);
    g_set_error(
        error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_OFF_PLATE,
        "the region, x %g to %g and y %g to %g mm as seen from the front, holds no metal",
        box.min.x, box.max.x, box.min.y, box.max.y);
    return NULL;
}
