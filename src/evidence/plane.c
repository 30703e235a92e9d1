/* The planes of the three geometries: the front view, the development, and the geodesic polar
 * chart about a pressing point. */
#include "evidence/plane.h"
#include "laying/rule.h"

/* Metal that turns away from the viewer, or is seen at less than three degrees, is measured as
 * if seen at three: a step of the view is at most 20 of the metal, and no fit hangs on one
 * pair. */
#define GRAZING_COSINE 0.05
/* A spot's place in a chart is found to this, a hundredth of what is picked best. */
#define CHART_GOAL_MM    1e-4
#define CHART_MOST_STEPS 20

TapulPlane tapul_plane(const TapulGround *ground, TapulLayingRule geometry, TapulSpot anchor) {
    TapulPlane plane = {.ground = *ground, .geometry = geometry};
    g_assert(geometry <= TAPUL_LAYING_VIEWED);
    if (geometry == TAPUL_LAYING_ROLLED)
        plane.chart = tapul_geodesic_chart(ground->development->mesh, anchor);
    return plane;
}

gboolean tapul_plane_spot(const TapulPlane *plane, TapulVec2 plane_mm, TapulSpot *spot) {
    TapulGeodesicEnd end;
    if (!isfinite(plane_mm.x) || !isfinite(plane_mm.y))
        return FALSE;
    switch (plane->geometry) {
    case TAPUL_LAYING_VIEWED:
        return tapul_plate_spot_from_front(plane->ground.plate, plane_mm.x, plane_mm.y, spot,
                                           NULL);
    case TAPUL_LAYING_DEVELOPED:
        return tapul_development_finder_spot(plane->ground.finder, plane_mm, spot);
    default:
        if (!tapul_geodesic_forward(&plane->chart, plane_mm, &end))
            return FALSE;
        *spot = end.spot;
        return TRUE;
    }
}

/* Newton's method from a guess, each step halved until it leads nearer. tapul_geodesic_inverse
 * would try anew from around the guess where this fails, a hundred times as long, and for a
 * point that no geodesic comes to in vain: here that must not stop a fit among many. */
static TapulVec2 search_chart(const TapulGeodesicChart *chart, TapulSpot spot,
                              TapulVec2 guess) {
    TapulVec3 target = tapul_mesh_smooth_position_mm(chart->mesh, spot), by_x, by_y;
    TapulVec2 best = guess, point = guess, step = {0, 0};
    double best_gap_mm = INFINITY;
    for (int i = 0; i < CHART_MOST_STEPS && best_gap_mm > CHART_GOAL_MM; i++) {
        TapulGeodesicEnd end;
        TapulVec3 gap = {INFINITY, 0, 0};
        if (tapul_geodesic_differential(chart, point, &end, &by_x, &by_y))
            gap = tapul_vec3_sub(target, tapul_mesh_smooth_position_mm(chart->mesh, end.spot));
        if (tapul_vec3_length(gap) < best_gap_mm) {
            best = point;
            best_gap_mm = tapul_vec3_length(gap);
            step = tapul_geodesic_newton_step(by_x, by_y, gap);
        } else {
            /* A guess beyond the edge is drawn in towards the anchor. */
            step =
                isinf(best_gap_mm) ? tapul_vec2_scale(best, -0.1) : tapul_vec2_scale(step, 0.5);
            best = isinf(best_gap_mm) ? point : best;
        }
        point = tapul_vec2_add(best, step);
    }
    return isinf(best_gap_mm) ? guess : best;
}

/* Near the anchor the development, turned so that up is up there, is the chart but for the
 * curvature. */
static TapulVec2 chart_point(const TapulPlane *plane, TapulSpot spot) {
    const TapulDevelopment *development = plane->ground.development;
    TapulSpot anchor = plane->chart.anchor;
    TapulVec2 up = tapul_laying_develop_vector(development, anchor, plane->chart.y_axis);
    TapulVec2 apart = tapul_vec2_sub(tapul_development_point_mm(development, spot),
                                     tapul_development_point_mm(development, anchor));
    return search_chart(&plane->chart, spot, tapul_vec2_turn(apart, atan2(up.x, up.y)));
}

TapulVec2 tapul_plane_point(const TapulPlane *plane, TapulSpot spot) {
    const TapulDevelopment *development = plane->ground.development;
    if (plane->geometry == TAPUL_LAYING_ROLLED)
        return chart_point(plane, spot);
    if (plane->geometry == TAPUL_LAYING_DEVELOPED)
        return tapul_development_point_mm(development, spot);
    TapulVec3 at = tapul_mesh_smooth_position_mm(development->mesh, spot);
    return tapul_vec2(at.x, at.y);
}

/* On the metal a step to the right or up is a step in its tangent plane with the same shadow.
 */
static void derivatives_of_view(const TapulMesh *mesh, TapulSpot spot, TapulVec3 *by_x,
                                TapulVec3 *by_y) {
    TapulVec3 normal = tapul_mesh_smooth_normal(mesh, spot);
    double facing = fmax(normal.z, GRAZING_COSINE);
    *by_x = tapul_vec3(1, 0, -normal.x / facing);
    *by_y = tapul_vec3(0, 1, -normal.y / facing);
}

/* The triangle's own, flat to metal. */
static void derivatives_of_development(const TapulDevelopment *development, TapulSpot spot,
                                       TapulVec3 *by_x, TapulVec3 *by_y) {
    const TapulMesh *mesh = development->mesh;
    const int *corner = mesh->corner[spot.triangle];
    TapulVec3 p = mesh->position_mm[corner[0]];
    TapulVec2 f = development->flat_mm[corner[0]];
    TapulVec3 along_1 = tapul_vec3_sub(mesh->position_mm[corner[1]], p);
    TapulVec3 along_2 = tapul_vec3_sub(mesh->position_mm[corner[2]], p);
    TapulVec2 flat_1 = tapul_vec2_sub(development->flat_mm[corner[1]], f);
    TapulVec2 flat_2 = tapul_vec2_sub(development->flat_mm[corner[2]], f);
    double area = tapul_vec2_cross(flat_1, flat_2);
    *by_x = tapul_vec3_sub(tapul_vec3_scale(along_1, flat_2.y / area),
                           tapul_vec3_scale(along_2, flat_1.y / area));
    *by_y = tapul_vec3_sub(tapul_vec3_scale(along_2, flat_1.x / area),
                           tapul_vec3_scale(along_1, flat_2.x / area));
}

void tapul_plane_derivatives(const TapulPlane *plane, TapulSpot spot, TapulVec2 plane_mm,
                             TapulVec3 *by_x, TapulVec3 *by_y) {
    const TapulMesh *mesh = plane->ground.development->mesh;
    TapulGeodesicEnd end;
    if (plane->geometry == TAPUL_LAYING_VIEWED)
        derivatives_of_view(mesh, spot, by_x, by_y);
    else if (plane->geometry == TAPUL_LAYING_DEVELOPED)
        derivatives_of_development(plane->ground.development, spot, by_x, by_y);
    else if (!tapul_geodesic_differential(&plane->chart, plane_mm, &end, by_x, by_y)) {
        /* At the very edge: as at the anchor, where a step is as long as on the metal. */
        *by_x = plane->chart.x_axis;
        *by_y = plane->chart.y_axis;
    }
}
