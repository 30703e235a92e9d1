/* The line beside a line at a geodesic offset: from its points geodesics are traced square to
 * it; by Gauss's lemma (do Carmo, Differential Geometry of Curves and Surfaces, 4-6) they are
 * square to the offset line as well, which gives its tangents. */
#include "laying/facet.h"
#include "laying/run_base.h"

/* In a corner that turns away by more than this the offset line is an arc about the corner;
 * polygons of a smooth edge turn less. */
#define CORNER_RAD 0.15
/* ... with a knot at least this often. */
#define ARC_STEP_RAD 0.1
/* Weights this near 0 put a spot on a triangle's side. */
#define WEIGHT_ON_SIDE 1e-9
/* Normals that differ more than this at a spot make a crease there. */
#define CREASE_RAD 1e-3
/* A line whose ends are this near in space is closed over the plate's seam. */
#define SEAM_MM 1e-3
/* The last bit to the seam is looked for no further than this. */
#define SEAM_REACH_MM 30.0

typedef struct {
    const TapulMesh *mesh;
    const GArray *bases;
    gboolean closed;
    double offset_mm;
    GArray *knots;
} Offset;

static gboolean corner_in(const TapulMesh *mesh, TapulSpot spot, int triangle) {
    for (int k = 0; k < 3; k++) {
        const int *corner = mesh->corner[triangle];
        int vertex = mesh->corner[spot.triangle][k];
        if (spot.weight[k] > WEIGHT_ON_SIDE && corner[0] != vertex && corner[1] != vertex &&
            corner[2] != vertex)
            return FALSE;
    }
    return TRUE;
}

/* The same point as another triangle counts it. */
static TapulSpot spot_in(const TapulMesh *mesh, TapulSpot spot, int triangle) {
    TapulSpot same = {triangle, {0, 0, 0}};
    for (int j = 0; j < 3; j++)
        for (int k = 0; k < 3; k++)
            if (mesh->corner[triangle][j] == mesh->corner[spot.triangle][k] &&
                spot.weight[k] > WEIGHT_ON_SIDE)
                same.weight[j] = spot.weight[k];
    return same;
}

/* On a ridge there is no one tangent plane; the lines' knots stay off it. */
static gboolean on_crease(const TapulMesh *mesh, TapulSpot spot) {
    TapulVec3 normal = tapul_mesh_smooth_normal(mesh, spot);
    if (spot.weight[0] > WEIGHT_ON_SIDE && spot.weight[1] > WEIGHT_ON_SIDE &&
        spot.weight[2] > WEIGHT_ON_SIDE)
        return FALSE;
    for (int t = 0; t < mesh->n_triangles; t++)
        if (corner_in(mesh, spot, t) &&
            tapul_vec3_distance(tapul_mesh_smooth_normal(mesh, spot_in(mesh, spot, t)),
                                normal) > CREASE_RAD)
            return TRUE;
    return FALSE;
}

/* Of the triangles that meet in a spot, the one that a direction leads into. */
static TapulSpot into_direction(const TapulMesh *mesh, TapulSpot spot, TapulVec3 direction) {
    TapulSpot best = spot;
    double best_rate = -INFINITY;
    for (int t = 0; t < mesh->n_triangles; t++) {
        if (!corner_in(mesh, spot, t))
            continue;
        TapulSpot here = spot_in(mesh, spot, t);
        double rate[3], least = INFINITY;
        tapul_facet_spot_rates(mesh, here, direction, rate);
        for (int k = 0; k < 3; k++)
            if (here.weight[k] <= WEIGHT_ON_SIDE)
                least = fmin(least, rate[k]);
        if (least <= best_rate)
            continue;
        best_rate = least;
        best = here;
    }
    return best;
}

static void add_knot(Offset *offset, const TapulRunBase *base, TapulVec3 normal,
                     TapulVec3 along) {
    TapulRunKnot knot = {base->spot, along, base->off_edge};
    if (offset->offset_mm != 0) {
        double side = offset->offset_mm > 0 ? 1 : -1;
        TapulVec3 direction = tapul_vec3_scale(tapul_vec3_cross(normal, along), side);
        TapulGeodesicEnd end,
            start = {into_direction(offset->mesh, base->spot, direction), direction};
        if (!tapul_geodesic_trace(offset->mesh, start, fabs(offset->offset_mm), &end))
            return;
        TapulVec3 left = tapul_vec3_scale(end.direction, side);
        knot.spot = end.spot;
        knot.along = tapul_vec3_cross(left, tapul_mesh_smooth_normal(offset->mesh, end.spot));
    }
    if (!on_crease(offset->mesh, knot.spot))
        g_array_append_val(offset->knots, knot);
}

static TapulVec3 base_mm(const Offset *offset, int i) {
    int n = (int)offset->bases->len;
    const TapulRunBase *base = &g_array_index(offset->bases, TapulRunBase, ((i % n) + n) % n);
    return tapul_mesh_smooth_position_mm(offset->mesh, base->spot);
}

/* The neighbour of point i on one side; of an end that meets the other end over the seam, the
 * one beyond; of a free end none. */
static gboolean neighbour_mm(const Offset *offset, int i, int side, TapulVec3 *neighbour) {
    int n = (int)offset->bases->len, other = i + side;
    if (!offset->closed && (other < 0 || other >= n)) {
        if (n < 4 || tapul_vec3_distance(base_mm(offset, 0), base_mm(offset, n - 1)) > SEAM_MM)
            return FALSE;
        other = side < 0 ? n - 2 : 1;
    }
    *neighbour = base_mm(offset, other);
    return TRUE;
}

static TapulVec3 tangent_part(TapulVec3 vector, TapulVec3 normal) {
    return tapul_vec3_sub(vector, tapul_vec3_scale(normal, tapul_vec3_dot(vector, normal)));
}

static TapulVec3 turned_about(TapulVec3 tangent, TapulVec3 normal, double angle_rad) {
    return tapul_vec3_add(tapul_vec3_scale(tangent, cos(angle_rad)),
                          tapul_vec3_scale(tapul_vec3_cross(normal, tangent), sin(angle_rad)));
}

static void add_knots_of(Offset *offset, int i) {
    const TapulRunBase *base = &g_array_index(offset->bases, TapulRunBase, i);
    if (on_crease(offset->mesh, base->spot))
        return;
    TapulVec3 at = base_mm(offset, i), before, after;
    TapulVec3 normal = tapul_mesh_smooth_normal(offset->mesh, base->spot);
    gboolean has_before = neighbour_mm(offset, i, -1, &before);
    gboolean has_after = neighbour_mm(offset, i, 1, &after);
    TapulVec3 in = tangent_part(tapul_vec3_sub(at, has_before ? before : at), normal);
    TapulVec3 out = tangent_part(tapul_vec3_sub(has_after ? after : at, at), normal);
    if (!has_before)
        in = out;
    if (!has_after)
        out = in;
    double in_mm = tapul_vec3_length(in), out_mm = tapul_vec3_length(out);
    if (!(in_mm > 0) || !(out_mm > 0))
        return;
    in = tapul_vec3_unit(in);
    double turn_rad =
        atan2(tapul_vec3_dot(normal, tapul_vec3_cross(in, out)), tapul_vec3_dot(in, out));
    if (fabs(turn_rad) > CORNER_RAD && turn_rad * offset->offset_mm < 0) {
        int steps = (int)ceil(fabs(turn_rad) / ARC_STEP_RAD);
        for (int k = 0; k <= steps; k++)
            add_knot(offset, base, normal, turned_about(in, normal, turn_rad * k / steps));
        return;
    }
    /* The tangent of the circle through the three points. */
    double share = in_mm / (in_mm + out_mm);
    add_knot(offset, base, normal, turned_about(in, normal, turn_rad * share));
}

/* Goes on from an end knot to the edge of the metal: the seam, along which no geodesic may have
 * led into it. side -1 goes back from the start. */
static void reach_seam(Offset *offset, int side) {
    GArray *knots = offset->knots;
    TapulRunKnot last = g_array_index(knots, TapulRunKnot, side < 0 ? 0 : knots->len - 1);
    TapulGeodesicEnd end, from = {last.spot, tapul_vec3_scale(last.along, side)};
    if (tapul_geodesic_trace(offset->mesh, from, SEAM_REACH_MM, &end))
        return;
    TapulRunKnot knot = {end.spot, tapul_vec3_scale(end.direction, side), last.off_edge};
    if (side < 0)
        g_array_prepend_val(knots, knot);
    else
        g_array_append_val(knots, knot);
}

TapulRunLine *tapul_run_line_beside(const TapulMesh *mesh, const GArray *bases, gboolean closed,
                                    double offset_mm) {
    g_autoptr(GArray) knots = g_array_new(FALSE, FALSE, sizeof(TapulRunKnot));
    Offset offset = {mesh, bases, closed, offset_mm, knots};
    for (int i = 0; i < (int)bases->len; i++)
        add_knots_of(&offset, i);
    if (knots->len < 2)
        return NULL;
    int last = (int)bases->len - 1;
    if (!closed && tapul_vec3_distance(base_mm(&offset, 0), base_mm(&offset, last)) < SEAM_MM) {
        reach_seam(&offset, -1);
        reach_seam(&offset, 1);
    }
    return tapul_run_line_new(mesh, knots, closed);
}
