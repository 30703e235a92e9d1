/* Polygons and lines that people write: what is wrong with them, told by GEOS. */
#include "plate/plate_private.h"

#include <geos_c.h>

/* The points as a sequence, the first again at the end if closed. */
static GEOSCoordSequence *sequence_of(GEOSContextHandle_t geos, const GArray *points,
                                      gboolean closed) {
    guint n = points->len + (closed ? 1 : 0);
    GEOSCoordSequence *sequence = GEOSCoordSeq_create_r(geos, n, 2);
    for (guint i = 0; i < n; i++) {
        TapulVec2 p = g_array_index(points, TapulVec2, i % points->len);
        GEOSCoordSeq_setXY_r(geos, sequence, i, p.x, p.y);
    }
    return sequence;
}

char *tapul_plate_polygon_fault(const GArray *polygon_mm) {
    GEOSContextHandle_t geos = GEOS_init_r();
    GEOSGeometry *ring = GEOSGeom_createLinearRing_r(geos, sequence_of(geos, polygon_mm, TRUE));
    GEOSGeometry *polygon = ring ? GEOSGeom_createPolygon_r(geos, ring, NULL, 0) : NULL;
    char *fault = NULL;
    double area = 0;

    if (!polygon) {
        fault = g_strdup("the points make no polygon");
    } else if (GEOSisValid_r(geos, polygon) != 1) {
        char *reason = GEOSisValidReason_r(geos, polygon);
        fault = g_strdup_printf("the polygon crosses itself or has no area (%s)", reason);
        GEOSFree_r(geos, reason);
    } else if (GEOSArea_r(geos, polygon, &area) && area < 1) {
        fault = g_strdup_printf("the polygon's area is %g mm2, at least 1 mm2 is needed", area);
    }
    if (polygon)
        GEOSGeom_destroy_r(geos, polygon);
    GEOS_finish_r(geos);
    return fault;
}

char *tapul_plate_line_fault(const GArray *line_mm) {
    GEOSContextHandle_t geos = GEOS_init_r();
    GEOSGeometry *line = GEOSGeom_createLineString_r(geos, sequence_of(geos, line_mm, FALSE));
    gboolean crosses = line && GEOSisSimple_r(geos, line) == 0;
    if (line)
        GEOSGeom_destroy_r(geos, line);
    GEOS_finish_r(geos);
    return crosses ? g_strdup("the line through the points crosses itself") : NULL;
}
