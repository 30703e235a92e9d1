/* Geodesics of the smooth surface behind a mesh, and the polar map they make about an anchor:
 * what a sheet pressed on from its anchor outward does.
 *
 * Straightest geodesics of the polyhedron (Polthier & Schmies 1998) jump at every vertex by its
 * angle defect times the distance still to go. Here the direction is carried along the
 * interpolated corner normals instead (do Carmo, Differential Geometry of Curves and Surfaces,
 * 4-4: dt/ds = -(t . dN/ds) N), by midpoint steps from edge to edge of the triangles. */
#include "laying/geodesic.h"
#include "laying/facet.h"

/* A step turns the normal by no more than this; the midpoint rule then errs by about its cube
 * over 24. */
#define STEP_TURN_RAD 0.02
/* Normals that differ more than this across an edge make a crease; rounding is far below, any
 * ridge far above. */
#define CREASE_RAD 1e-6
/* Weights this near an edge or corner are on it: 1e-9 mm on a plate. */
#define WEIGHT_ON_EDGE 1e-11
/* Steps without headway before the point is moved off its corner; more than triangles meet in
 * any corner. */
#define STUCK_STEPS 200
/* How far towards the triangle's middle it is then moved, as a share: 1e-5 mm on a plate. */
#define STUCK_NUDGE 1e-6
/* Step of the difference across the geodesic: a hundred times the jumps at corners, a hundredth
 * of a triangle. */
#define DIFFERENCE_STEP_MM 0.1
/* Geodesics part faster than this only where the metal is hollow both ways, or over a tear. */
#define TORN_STRETCH 1.5
/* Faster than this they part nowhere on a plate that a smith could raise: sinh(x) / x at three
 * times its hollow radius from the anchor is 3.3. */
#define SHRED_STRETCH 4.0
/* Points nearer to the anchor than this are on it. */
#define AT_ANCHOR_MM 1e-9

typedef struct {
    const TapulMesh *mesh;
    TapulFacet facet;
    int triangle;
    int entry;            /* the edge (by its opposite corner) just crossed; -1: none */
    gboolean over_crease; /* the normal changed there */
    gboolean held;        /* this step, from leaving by that edge again */
    double weight[3];
    TapulVec3 normal, direction;
} Walker;

/* Carries a tangent vector at `from` to the plane of `to` by the least rotation between the
 * normals. */
static TapulVec3 carry(TapulVec3 tangent, TapulVec3 from, TapulVec3 to) {
    TapulVec3 both = tapul_vec3_add(from, to);
    double share = tapul_vec3_dot(tangent, to) / (1 + tapul_vec3_dot(from, to));
    return tapul_vec3_sub(tangent, tapul_vec3_scale(both, share));
}

static TapulVec3 across_normal(TapulVec3 vector, TapulVec3 normal) {
    return tapul_vec3_sub(vector, tapul_vec3_scale(normal, tapul_vec3_dot(vector, normal)));
}

static void walker_set(Walker *walker, TapulGeodesicEnd from) {
    walker->triangle = from.spot.triangle;
    walker->entry = -1;
    for (int k = 0; k < 3; k++)
        walker->weight[k] = from.spot.weight[k] < WEIGHT_ON_EDGE ? 0 : from.spot.weight[k];
    tapul_facet_set(&walker->facet, walker->mesh, walker->triangle);
    walker->normal = tapul_facet_normal(&walker->facet, walker->weight);
    walker->direction = from.direction;
}

/* Rates along a direction, kept from leaving by the edge just entered by: where two patches
 * each see a direction along their edge point into the other, it runs on along the edge. */
static void inward_rates(Walker *walker, const double weight[3], TapulVec3 normal,
                         TapulVec3 direction, double rate[3]) {
    tapul_facet_rates(&walker->facet, weight, normal, direction, rate);
    int k = walker->entry;
    if (k < 0 || walker->weight[k] > 0 || rate[k] >= 0)
        return;
    rate[(k + 1) % 3] += rate[k] / 2;
    rate[(k + 2) % 3] += rate[k] / 2;
    rate[k] = 0;
    walker->held = TRUE;
}

/* The unit tangent, perpendicular to a normal, of an edge in the sense of its next corners. */
static TapulVec3 edge_direction(const Walker *walker, int edge, TapulVec3 normal) {
    double rate[3] = {0, 0, 0};
    rate[(edge + 1) % 3] = -1;
    rate[(edge + 2) % 3] = 1;
    TapulVec3 along = tapul_facet_tangent(&walker->facet, walker->weight, rate);
    return tapul_vec3_unit(across_normal(along, normal));
}

/* A ridge that bulges bends into both its sides: a geodesic nearly along it would cross and
 * cross again in ever shorter steps. It is caught, and runs up the ridge. */
static void keep_to_crease(Walker *walker) {
    TapulVec3 along = edge_direction(walker, walker->entry, walker->normal);
    double sense = tapul_vec3_dot(along, walker->direction) < 0 ? -1 : 1;
    walker->direction = tapul_vec3_scale(along, sense);
}

/* The way to the edge first met at these rates, and which. */
static double way_to_edge(const double weight[3], const double rate[3], int *edge) {
    double way = INFINITY;
    for (int k = 0; k < 3; k++) {
        if (!(rate[k] < 0) || -weight[k] / rate[k] >= way)
            continue;
        way = -weight[k] / rate[k];
        *edge = k;
    }
    return way;
}

static double turn_per_mm(const TapulFacet *facet, const double rate[3]) {
    TapulVec3 sum = {0, 0, 0};
    for (int k = 0; k < 3; k++)
        sum = tapul_vec3_add(sum, tapul_vec3_scale(facet->normal[k], rate[k]));
    return tapul_vec3_length(sum);
}

/* One midpoint step, at most left_mm long; *edge is the edge it ends on, -1 inside the
 * triangle. Returns the step's length. */
static double walker_step(Walker *walker, double left_mm, int *edge) {
    double rate[3], middle[3];
    walker->held = FALSE;
    inward_rates(walker, walker->weight, walker->normal, walker->direction, rate);
    double longest = fmin(left_mm, STEP_TURN_RAD / turn_per_mm(&walker->facet, rate));
    int first_edge = -1;
    double half = fmin(longest, way_to_edge(walker->weight, rate, &first_edge)) / 2;
    for (int k = 0; k < 3; k++)
        middle[k] = walker->weight[k] + half * rate[k];
    TapulVec3 normal = tapul_facet_normal(&walker->facet, middle);
    inward_rates(walker, middle, normal, carry(walker->direction, walker->normal, normal),
                 rate);

    *edge = -1;
    double step = way_to_edge(walker->weight, rate, edge);
    if (step >= longest) {
        step = longest;
        *edge = -1;
    }
    for (int k = 0; k < 3; k++) {
        walker->weight[k] += step * rate[k];
        if (walker->weight[k] < WEIGHT_ON_EDGE || k == *edge)
            walker->weight[k] = 0;
    }
    normal = tapul_facet_normal(&walker->facet, walker->weight);
    walker->direction = carry(walker->direction, walker->normal, normal);
    walker->normal = normal;
    if (walker->held && walker->over_crease)
        keep_to_crease(walker);
    return step;
}

/* Over a crease the direction keeps its angle to the edge, as if the faces lay hinged flat. */
static TapulVec3 over_hinge(TapulVec3 direction, TapulVec3 before, TapulVec3 edge_before,
                            TapulVec3 after, TapulVec3 edge_after) {
    double along = tapul_vec3_dot(direction, edge_before);
    double across = tapul_vec3_dot(direction, tapul_vec3_cross(before, edge_before));
    TapulVec3 side = tapul_vec3_cross(after, edge_after);
    return tapul_vec3_unit(
        tapul_vec3_add(tapul_vec3_scale(edge_after, along), tapul_vec3_scale(side, across)));
}

/* The weights of the point in the next triangle over an edge; *entry is the edge as that
 * triangle counts. */
static void weights_across(const Walker *walker, int next, double weight[3], int *entry) {
    const TapulMesh *mesh = walker->mesh;
    double sum = 0;
    for (int j = 0; j < 3; j++) {
        int k = 0;
        while (k < 3 && mesh->corner[walker->triangle][k] != mesh->corner[next][j])
            k++;
        if (k == 3)
            *entry = j;
        weight[j] = k == 3 ? 0 : walker->weight[k];
        sum += weight[j];
    }
    for (int j = 0; j < 3; j++)
        weight[j] /= sum;
}

/* Over an edge into the next triangle. FALSE at the edge of the plate. */
static gboolean walker_cross(Walker *walker, int edge) {
    int next = walker->mesh->across[walker->triangle][edge];
    if (next < 0)
        return FALSE;
    double weight[3];
    weights_across(walker, next, weight, &walker->entry);
    TapulFacet facet;
    tapul_facet_set(&facet, walker->mesh, next);
    TapulVec3 before = walker->normal, after = tapul_facet_normal(&facet, weight);
    walker->over_crease = tapul_vec3_distance(before, after) > CREASE_RAD;
    if (walker->over_crease) {
        walker->direction =
            over_hinge(walker->direction, before, edge_direction(walker, edge, before), after,
                       edge_direction(walker, edge, after));
    }
    walker->triangle = next;
    walker->facet = facet;
    walker->normal = after;
    memcpy(walker->weight, weight, sizeof weight);
    return TRUE;
}

static void walker_nudge(Walker *walker) {
    for (int k = 0; k < 3; k++)
        walker->weight[k] += STUCK_NUDGE * (1.0 / 3 - walker->weight[k]);
    walker->entry = -1;
}

static TapulGeodesicEnd walker_end(const Walker *walker) {
    const double *weight = walker->weight;
    return (TapulGeodesicEnd){{walker->triangle, {weight[0], weight[1], weight[2]}},
                              walker->direction};
}

gboolean tapul_geodesic_trace(const TapulMesh *mesh, TapulGeodesicEnd from, double length_mm,
                              TapulGeodesicEnd *end) {
    Walker walker = {.mesh = mesh};
    walker_set(&walker, from);
    double left_mm = length_mm;
    int stuck = 0;
    /* A geodesic that winds for ever in a corner of bad triangles is given up as leaving the
     * plate. */
    int steps_allowed = 1000 + 4 * mesh->n_triangles;
    while (left_mm > 0 && steps_allowed-- > 0) {
        int edge;
        double step = walker_step(&walker, left_mm, &edge);
        if (!isfinite(step))
            break;
        left_mm -= step;
        if (edge < 0) {
            walker.entry = -1;
            continue;
        }
        if (left_mm > 0 && !walker_cross(&walker, edge))
            break;
        stuck = step > 0 ? 0 : stuck + 1;
        if (stuck > STUCK_STEPS) {
            walker_nudge(&walker);
            stuck = 0;
        }
    }
    *end = walker_end(&walker);
    return left_mm <= 0;
}

/* Adds the normal of a corner unless it is there already: each smooth sheet at a crease counts
 * once, however many triangles it has. */
static int add_distinct(TapulVec3 *normals, int n, int room, TapulVec3 normal) {
    const double same = 1e-6; /* radians, near enough */
    for (int i = 0; i < n; i++)
        if (tapul_vec3_distance(normals[i], normal) < same)
            return n;
    if (n == room)
        return n;
    normals[n] = normal;
    return n + 1;
}

static TapulVec3 spot_normal_in(const TapulMesh *mesh, TapulSpot spot, int triangle) {
    TapulVec3 sum = {0, 0, 0};
    for (int j = 0; j < 3; j++)
        for (int k = 0; k < 3; k++)
            if (mesh->corner[triangle][j] == mesh->corner[spot.triangle][k])
                sum = tapul_vec3_add(
                    sum, tapul_vec3_scale(mesh->normal[triangle][j], fmax(spot.weight[k], 0)));
    return tapul_vec3_unit(sum);
}

/* Whether the triangle holds all corners that the spot rests on. */
static gboolean triangle_has_spot(const TapulMesh *mesh, TapulSpot spot, int triangle) {
    for (int k = 0; k < 3; k++) {
        const int *corner = mesh->corner[triangle];
        int vertex = mesh->corner[spot.triangle][k];
        if (spot.weight[k] > WEIGHT_ON_EDGE && corner[0] != vertex && corner[1] != vertex &&
            corner[2] != vertex)
            return FALSE;
    }
    return TRUE;
}

/* The normal at the spot; on a crease the mean of the sheets that meet there, so that up is up
 * the ridge. */
static TapulVec3 mean_normal(const TapulMesh *mesh, TapulSpot spot) {
    enum { ROOM = 16 };
    TapulVec3 normals[ROOM];
    int n = 0;
    for (int triangle = 0; triangle < mesh->n_triangles; triangle++)
        if (triangle_has_spot(mesh, spot, triangle))
            n = add_distinct(normals, n, ROOM, spot_normal_in(mesh, spot, triangle));
    TapulVec3 sum = {0, 0, 0};
    for (int i = 0; i < n; i++)
        sum = tapul_vec3_add(sum, normals[i]);
    return tapul_vec3_unit(sum);
}

/* A direction square to the mean normal at a spot, as the spot's own triangle has it. */
static TapulVec3 into_triangle(const TapulMesh *mesh, TapulSpot spot, TapulVec3 mean,
                               TapulVec3 direction) {
    Walker walker = {.mesh = mesh};
    walker_set(&walker, (TapulGeodesicEnd){spot, direction});
    int edge = -1, edges = 0;
    for (int k = 0; k < 3; k++)
        if (walker.weight[k] == 0) {
            edge = k;
            edges++;
        }
    /* Within an edge the angle to it is kept, as in crossing it. */
    if (edges == 1)
        return over_hinge(direction, mean, edge_direction(&walker, edge, mean), walker.normal,
                          edge_direction(&walker, edge, walker.normal));
    return tapul_vec3_unit(carry(direction, mean, walker.normal));
}

TapulGeodesicChart tapul_geodesic_chart(const TapulMesh *mesh, TapulSpot anchor) {
    const double upright =
        1e-6; /* radians: a normal this near the plate's y has no up of its own */
    TapulVec3 mean = mean_normal(mesh, anchor);
    TapulVec3 up = across_normal(tapul_vec3(0, 1, 0), mean);
    if (tapul_vec3_length(up) < upright)
        up = across_normal(tapul_vec3(0, 0, -1), mean);
    TapulVec3 y_axis = into_triangle(mesh, anchor, mean, tapul_vec3_unit(up));
    TapulVec3 normal = tapul_mesh_smooth_normal(mesh, anchor);
    return (TapulGeodesicChart){mesh, anchor, tapul_vec3_cross(y_axis, normal), y_axis};
}

static TapulVec3 in_space(const TapulGeodesicChart *chart, TapulVec2 point) {
    return tapul_vec3_add(tapul_vec3_scale(chart->x_axis, point.x),
                          tapul_vec3_scale(chart->y_axis, point.y));
}

gboolean tapul_geodesic_forward(const TapulGeodesicChart *chart, TapulVec2 point_mm,
                                TapulGeodesicEnd *end) {
    double length_mm = tapul_vec2_length(point_mm);
    TapulGeodesicEnd from = {chart->anchor, chart->x_axis};
    if (!(length_mm > AT_ANCHOR_MM)) {
        *end = from;
        return length_mm <= AT_ANCHOR_MM;
    }
    from.direction = in_space(chart, tapul_vec2_scale(point_mm, 1 / length_mm));
    return tapul_geodesic_trace(chart->mesh, from, length_mm, end);
}

/* The derivative across the geodesic, by a difference to one side. */
static gboolean difference(const TapulGeodesicChart *chart, TapulVec2 point_mm,
                           TapulVec2 step_mm, TapulVec3 here, TapulVec3 *by_step) {
    TapulGeodesicEnd other;
    if (!tapul_geodesic_forward(chart, tapul_vec2_add(point_mm, step_mm), &other))
        return FALSE;
    TapulVec3 there = tapul_mesh_smooth_position_mm(chart->mesh, other.spot);
    *by_step = tapul_vec3_scale(tapul_vec3_sub(there, here), 1 / tapul_vec2_length(step_mm));
    return TRUE;
}

/* To the left; but at the plate's edge, or where a ridge tears the map open on that side, to
 * the right. */
static gboolean derivative_across(const TapulGeodesicChart *chart, TapulVec2 point_mm,
                                  TapulVec2 across, TapulVec3 here, TapulVec3 *by_across) {
    TapulVec2 step_mm = tapul_vec2_scale(across, DIFFERENCE_STEP_MM);
    TapulVec3 right;
    gboolean has_left = difference(chart, point_mm, step_mm, here, by_across);
    if (has_left && tapul_vec3_length(*by_across) < TORN_STRETCH)
        return TRUE;
    if (!difference(chart, point_mm, tapul_vec2_scale(step_mm, -1), here, &right))
        return has_left;
    if (!has_left || tapul_vec3_length(right) < tapul_vec3_length(*by_across))
        *by_across = tapul_vec3_scale(right, -1);
    /* Torn on both sides: the shred between keeps its own measure. */
    if (tapul_vec3_length(*by_across) > SHRED_STRETCH)
        *by_across = tapul_vec3_unit(*by_across);
    return TRUE;
}

gboolean tapul_geodesic_differential(const TapulGeodesicChart *chart, TapulVec2 point_mm,
                                     TapulGeodesicEnd *end, TapulVec3 *by_x, TapulVec3 *by_y) {
    if (!tapul_geodesic_forward(chart, point_mm, end))
        return FALSE;
    double length_mm = tapul_vec2_length(point_mm);
    *by_x = chart->x_axis;
    *by_y = chart->y_axis;
    if (length_mm <= AT_ANCHOR_MM)
        return TRUE;
    /* Outwards the derivative is the direction itself (Gauss's lemma); across it is taken by a
     * difference. */
    TapulVec2 outward = tapul_vec2_scale(point_mm, 1 / length_mm);
    TapulVec2 across = {-outward.y, outward.x};
    TapulVec3 here = tapul_mesh_smooth_position_mm(chart->mesh, end->spot), by_across;
    if (!derivative_across(chart, point_mm, across, here, &by_across))
        return FALSE;
    *by_x = tapul_vec3_add(tapul_vec3_scale(end->direction, outward.x),
                           tapul_vec3_scale(by_across, across.x));
    *by_y = tapul_vec3_add(tapul_vec3_scale(end->direction, outward.y),
                           tapul_vec3_scale(by_across, across.y));
    return TRUE;
}
