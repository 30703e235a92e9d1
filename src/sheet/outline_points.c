/* Chooses the points of a plate's edge to be measured: the few from which the outline can be
 * drawn again.
 *
 * The measuring sheet numbers and lists them. Lines are thinned by Douglas & Peucker's method
 * (1973), as GEOS has it.
 */
#include "sheet/outline_points.h"

#include <geos_c.h>

#define MOST_HALF  14
#define MOST_WHOLE 24
/* The first tolerance, near what a person reads off a set square; it grows by this factor until
 * few enough points are left. */
#define TOLERANCE_MM 1.0
#define GROWTH       1.2
/* Halves whose edges differ by more are measured both. */
#define ALIKE_MM 3.0
/* A corner turns by this much within its arms, which are long against a rounded tip. */
#define CORNER_RAD (35 * G_PI / 180)
#define ARM_SHARE  0.03 /* of the plate's size */

static TapulVec2 edge_point(const GArray *edge, guint i) {
    return g_array_index(edge, TapulVec2, i % edge->len);
}

/* The longest loop of the mesh's boundary as seen from the front, counter-clockwise. */
static GArray *edge_from_front(const TapulPlate *plate) {
    const TapulMesh *mesh = tapul_plate_mesh(plate);
    g_autoptr(GPtrArray) loops = tapul_mesh_boundary_loops(mesh);
    const GArray *loop = loops->pdata[0];
    GArray *edge = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    for (guint i = 0; i < loop->len; i++) {
        TapulVec3 p = mesh->position_mm[g_array_index(loop, int, i)];
        TapulVec2 seen = {p.x, p.y};
        g_array_append_val(edge, seen);
    }
    return edge;
}

static guint nearest_on_edge(const GArray *edge, TapulVec2 wanted) {
    guint best = 0;
    for (guint i = 1; i < edge->len; i++)
        if (tapul_vec2_distance(edge_point(edge, i), wanted) <
            tapul_vec2_distance(edge_point(edge, best), wanted))
            best = i;
    return best;
}

/* Edges and their mirror images: every point of one within ALIKE_MM of the other's line. */
static gboolean halves_alike(const GArray *edge) {
    for (guint i = 0; i < edge->len; i++) {
        TapulVec2 p = edge_point(edge, i);
        double nearest = INFINITY;
        p.x = -p.x;
        for (guint j = 0; j < edge->len && nearest > ALIKE_MM; j++) {
            TapulVec2 a = edge_point(edge, j),
                      along = tapul_vec2_sub(edge_point(edge, j + 1), a);
            double length2 = fmax(tapul_vec2_dot(along, along), 1e-300);
            double t = CLAMP(tapul_vec2_dot(tapul_vec2_sub(p, a), along) / length2, 0.0, 1.0);
            nearest = fmin(
                nearest, tapul_vec2_distance(p, tapul_vec2_add(a, tapul_vec2_scale(along, t))));
        }
        if (nearest > ALIKE_MM)
            return FALSE;
    }
    return TRUE;
}

/* --- Thinning --- */

static GArray *points_of_line(GEOSContextHandle_t geos, const GEOSGeometry *line) {
    const GEOSCoordSequence *sequence = GEOSGeom_getCoordSeq_r(geos, line);
    GArray *points = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    unsigned int n = 0;
    GEOSCoordSeq_getSize_r(geos, sequence, &n);
    for (unsigned int i = 0; i < n; i++) {
        TapulVec2 p;
        GEOSCoordSeq_getXY_r(geos, sequence, i, &p.x, &p.y);
        g_array_append_val(points, p);
    }
    return points;
}

/* The line through edge[first .. first + n), thinned to at most so many points. */
static GArray *thinned(const GArray *edge, guint first, guint n, guint most) {
    GEOSContextHandle_t geos = GEOS_init_r();
    GEOSCoordSequence *sequence = GEOSCoordSeq_create_r(geos, n, 2);
    for (guint i = 0; i < n; i++) {
        TapulVec2 p = edge_point(edge, first + i);
        GEOSCoordSeq_setXY_r(geos, sequence, i, p.x, p.y);
    }
    GEOSGeometry *line = GEOSGeom_createLineString_r(geos, sequence);
    GArray *points = NULL;
    for (double tolerance_mm = TOLERANCE_MM; !points || points->len > most;
         tolerance_mm *= GROWTH) {
        GEOSGeometry *thin = GEOSSimplify_r(geos, line, tolerance_mm);
        g_clear_pointer(&points, g_array_unref);
        points = points_of_line(geos, thin);
        GEOSGeom_destroy_r(geos, thin);
    }
    GEOSGeom_destroy_r(geos, line);
    GEOS_finish_r(geos);
    return points;
}

/* --- What each point is --- */

/* From edge[i] back or on along the edge, to a point at least arm_mm off. */
static TapulVec2 arm(const GArray *edge, guint i, int step, double arm_mm) {
    TapulVec2 from = edge_point(edge, i), to = from;
    guint stride = step > 0 ? 1 : edge->len - 1;
    for (guint k = 1; k < edge->len && tapul_vec2_distance(from, to) < arm_mm; k++)
        to = edge_point(edge, i + k * stride);
    return tapul_vec2_sub(to, from);
}

static TapulOutlinePoint describe(const GArray *edge, TapulVec2 at, double arm_mm) {
    guint i = nearest_on_edge(edge, at);
    TapulVec2 before = tapul_vec2_scale(arm(edge, i, -1, arm_mm), -1);
    TapulVec2 after = arm(edge, i, 1, arm_mm);
    TapulVec2 along = tapul_vec2_add(tapul_vec2_scale(before, 1 / tapul_vec2_length(before)),
                                     tapul_vec2_scale(after, 1 / tapul_vec2_length(after)));
    double turn = fabs(atan2(tapul_vec2_cross(before, after), tapul_vec2_dot(before, after)));
    double length = fmax(tapul_vec2_length(along), 1e-12);
    return (TapulOutlinePoint){
        .kind = turn > CORNER_RAD ? TAPUL_OUTLINE_CORNER : TAPUL_OUTLINE_CURVE,
        .at_mm = at,
        .outward = tapul_vec2_scale(tapul_vec2(along.y, -along.x), 1 / length),
        .upright = fabs(along.y) > fabs(along.x)};
}

/* The ends of the medial line on the edge; FALSE where there is none. */
static gboolean medial_ends(const TapulPlate *plate, const GArray *edge, guint *lower,
                            guint *upper) {
    const GArray *line = tapul_plate_medial_line(plate);
    if (!line)
        return FALSE;
    const TapulMesh *mesh = tapul_plate_mesh(plate);
    TapulVec3 a = tapul_mesh_flat_position_mm(mesh, g_array_index(line, TapulSpot, 0));
    TapulVec3 b =
        tapul_mesh_flat_position_mm(mesh, g_array_index(line, TapulSpot, line->len - 1));
    *lower = nearest_on_edge(edge, tapul_vec2(a.x, a.y));
    *upper = nearest_on_edge(edge, tapul_vec2(b.x, b.y));
    return *lower != *upper;
}

GArray *tapul_outline_points(const TapulPlate *plate, gboolean *half) {
    g_autoptr(GArray) edge = edge_from_front(plate);
    guint lower = 0, upper = 0;
    gboolean medial = medial_ends(plate, edge, &lower, &upper);
    TapulVec3 low, high;
    tapul_plate_extent_mm(plate, &low, &high);
    double arm_mm = ARM_SHARE * fmax(high.x - low.x, high.y - low.y);
    *half = medial && halves_alike(edge);
    guint n = *half ? (upper + edge->len - lower) % edge->len + 1 : edge->len + 1;
    g_autoptr(GArray) thin = thinned(edge, lower, n, *half ? MOST_HALF : MOST_WHOLE + 1);
    if (!*half)
        g_array_set_size(thin, thin->len - 1);
    GArray *points = g_array_new(FALSE, FALSE, sizeof(TapulOutlinePoint));
    for (guint i = 0; i < thin->len; i++) {
        TapulOutlinePoint point = describe(edge, g_array_index(thin, TapulVec2, i), arm_mm);
        if (medial && i == 0)
            point.kind = TAPUL_OUTLINE_LOWER;
        else if (*half && i == thin->len - 1)
            point.kind = TAPUL_OUTLINE_UPPER;
        g_array_append_val(points, point);
    }
    return points;
}
