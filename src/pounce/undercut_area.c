/* Undercut by the edge alone, so that no area has to be grown back for its figure. */
#include "pounce/undercut_area.h"

typedef struct {
    const TapulMetalScale *scale;
    GEOSContextHandle_t geos;
    double undercut_mm;
    TapulBox box;
    const GEOSGeometry *paper; /* NULL: the box is full of it */
} Strip;

static gboolean is_on_paper(const Strip *strip, TapulVec2 at) {
    if (!strip->paper)
        return TRUE;
    GEOSGeometry *point = GEOSGeom_createPointFromXY_r(strip->geos, at.x, at.y);
    char on = GEOSIntersects_r(strip->geos, strip->paper, point);
    GEOSGeom_destroy_r(strip->geos, point);
    return on == 1;
}

/* Of neighbouring boxes one has what lies on the edge between them. */
static gboolean is_within(TapulBox box, TapulVec2 at) {
    return at.x >= box.min.x && at.x < box.max.x && at.y >= box.min.y && at.y < box.max.y;
}

/* Narrows a stretch of a line, from + t by, to where it lies between two values. */
static void narrow(double from, double by, double low, double high, double t[2]) {
    if (by == 0) {
        if (from < low || from >= high)
            t[1] = t[0];
        return;
    }
    double a = (low - from) / by, b = (high - from) / by;
    t[0] = fmax(t[0], fmin(a, b));
    t[1] = fmin(t[1], fmax(a, b));
}

/* How much of a line is on the paper. */
static double length_on_paper(const Strip *strip, TapulVec2 a, TapulVec2 b) {
    if (!strip->paper)
        return tapul_vec2_distance(a, b);
    GEOSContextHandle_t geos = strip->geos;
    GEOSCoordSequence *sequence = GEOSCoordSeq_create_r(geos, 2, 2);
    GEOSCoordSeq_setXY_r(geos, sequence, 0, a.x, a.y);
    GEOSCoordSeq_setXY_r(geos, sequence, 1, b.x, b.y);
    GEOSGeometry *line = GEOSGeom_createLineString_r(geos, sequence);
    GEOSGeometry *on = GEOSIntersection_r(geos, line, strip->paper);
    double length_mm = 0;
    if (on)
        GEOSLength_r(geos, on, &length_mm);
    GEOSGeom_destroy_r(geos, on);
    GEOSGeom_destroy_r(geos, line);
    return length_mm;
}

/* The strip beside a straight edge. */
static double beside(const Strip *strip, TapulVec2 a, TapulVec2 b) {
    double t[2] = {0, 1};
    TapulVec2 by = tapul_vec2_sub(b, a);
    narrow(a.x, by.x, strip->box.min.x, strip->box.max.x, t);
    narrow(a.y, by.y, strip->box.min.y, strip->box.max.y, t);
    if (t[1] <= t[0])
        return 0;
    TapulVec2 from = tapul_vec2_mix(a, b, t[0]), to = tapul_vec2_mix(a, b, t[1]);
    return strip->undercut_mm * length_on_paper(strip, from, to) *
           tapul_metal_scale_at(strip->scale, tapul_vec2_mix(from, to, 0.5));
}

/* At a corner between two edges that have the bare metal on their left: a sector where they
 * turn left; where they turn right their strips overlap. */
static double at_corner(const Strip *strip, TapulVec2 before, TapulVec2 at, TapulVec2 after) {
    if (!is_within(strip->box, at) || !is_on_paper(strip, at))
        return 0;
    TapulVec2 in = tapul_vec2_sub(at, before), out = tapul_vec2_sub(after, at);
    double turn_rad = atan2(tapul_vec2_cross(in, out), tapul_vec2_dot(in, out));
    double share = turn_rad > 0 ? turn_rad / 2 : tan(turn_rad / 2);
    return strip->undercut_mm * strip->undercut_mm * share *
           tapul_metal_scale_at(strip->scale, at);
}

static double round_ring(const Strip *strip, const GEOSGeometry *ring, gboolean bare_within) {
    const GEOSCoordSequence *sequence = GEOSGeom_getCoordSeq_r(strip->geos, ring);
    unsigned int n = 0;
    char turns_left = 0;
    double sum_mm2 = 0;
    GEOSCoordSeq_getSize_r(strip->geos, sequence, &n);
    GEOSCoordSeq_isCCW_r(strip->geos, sequence, &turns_left);
    if (n < 4)
        return 0;
    g_autofree TapulVec2 *p = g_new(TapulVec2, n);
    gboolean turned = (turns_left == 1) != bare_within;
    for (unsigned int i = 0; i < n; i++)
        GEOSCoordSeq_getXY_r(strip->geos, sequence, turned ? n - 1 - i : i, &p[i].x, &p[i].y);
    for (unsigned int i = 0; i + 1 < n; i++) {
        sum_mm2 += beside(strip, p[i], p[i + 1]);
        sum_mm2 += at_corner(strip, p[i == 0 ? n - 2 : i - 1], p[i], p[i + 1]);
    }
    return sum_mm2;
}

double tapul_undercut_area_mm2(const TapulMetalScale *scale, GEOSContextHandle_t geos,
                               const TapulUndercutEdge *edge, TapulBox box,
                               const GEOSGeometry *paper) {
    Strip strip = {scale, geos, edge->undercut_mm, box, paper};
    double sum_mm2 = 0;
    int n = GEOSGetNumGeometries_r(geos, edge->shape);
    for (int i = 0; i < n; i++) {
        const GEOSGeometry *polygon = GEOSGetGeometryN_r(geos, edge->shape, i);
        if (GEOSisEmpty_r(geos, polygon) != 0)
            continue;
        sum_mm2 += round_ring(&strip, GEOSGetExteriorRing_r(geos, polygon), edge->bare);
        int holes = GEOSGetNumInteriorRings_r(geos, polygon);
        for (int k = 0; k < holes; k++)
            sum_mm2 +=
                round_ring(&strip, GEOSGetInteriorRingN_r(geos, polygon, k), !edge->bare);
    }
    return sum_mm2;
}
