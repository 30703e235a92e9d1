/* How far over the metal it is from where a hypothesis puts a point to where it was found. */
#include "evidence/residual.h"
#include "laying/rule.h"

/* Beyond this the geodesic itself is measured, up to where a hypothesis has failed anyhow and a
 * geodesic may be long to find. */
#define ARC_REACH_MM      5.0
#define GEODESIC_REACH_MM 50.0

double tapul_metal_arc_mm(const TapulMesh *mesh, TapulSpot from, TapulSpot to,
                          double along_mm[2]) {
    TapulVec3 normal = tapul_mesh_smooth_normal(mesh, from);
    TapulVec3 chord = tapul_vec3_sub(tapul_mesh_smooth_position_mm(mesh, to),
                                     tapul_mesh_smooth_position_mm(mesh, from));
    double length_mm = tapul_vec3_length(chord);
    TapulVec3 turned = tapul_vec3_sub(tapul_mesh_smooth_normal(mesh, to), normal);
    double half_sine =
        fmin(fabs(tapul_vec3_dot(turned, tapul_vec3_unit(chord))) / 2, 1); /* of the turn */
    double arc_mm = half_sine > 0 ? length_mm * asin(half_sine) / half_sine : length_mm;
    if (!along_mm)
        return arc_mm;
    /* Any axes do: the one farthest from the normal is made square to it. */
    TapulVec3 axis = fabs(normal.x) < 0.6 ? tapul_vec3(1, 0, 0) : tapul_vec3(0, 1, 0);
    TapulVec3 first = tapul_vec3_unit(tapul_vec3_cross(axis, normal));
    double a = tapul_vec3_dot(chord, first);
    double b = tapul_vec3_dot(chord, tapul_vec3_cross(normal, first));
    double flat_mm = hypot(a, b), longer = flat_mm > 0 ? arc_mm / flat_mm : 0;
    along_mm[0] = a * longer;
    along_mm[1] = b * longer;
    return arc_mm;
}

double tapul_metal_distance_mm(const TapulMesh *mesh, TapulSpot from, TapulSpot to) {
    double arc_mm = tapul_metal_arc_mm(mesh, from, to, NULL);
    if (arc_mm <= ARC_REACH_MM || arc_mm > GEODESIC_REACH_MM)
        return arc_mm;
    TapulGeodesicChart chart = tapul_geodesic_chart(mesh, from);
    TapulVec3 chord = tapul_vec3_sub(tapul_mesh_smooth_position_mm(mesh, to),
                                     tapul_mesh_smooth_position_mm(mesh, from));
    TapulVec2 guess = {tapul_vec3_dot(chord, chart.x_axis),
                       tapul_vec3_dot(chord, chart.y_axis)};
    double flat_mm = tapul_vec2_length(guess);
    TapulVec2 point;
    if (!(flat_mm > 0) ||
        !tapul_geodesic_inverse(&chart, to, tapul_vec2_scale(guess, arc_mm / flat_mm), &point))
        return arc_mm;
    return tapul_vec2_length(point);
}

double tapul_pair_residual_mm(const TapulPairSet *pairs, const TapulPlane *plane,
                              const TapulSitting *sitting, int k, TapulVec2 put_mm,
                              gboolean *off, TapulVec2 *developed_mm) {
    const TapulDevelopment *development = plane->ground.development;
    TapulSpot put, found = pairs->spot[k];
    *off = !tapul_plane_spot(plane, put_mm, &put);
    if (!*off) {
        *developed_mm = tapul_development_point_mm(development, put);
        return tapul_metal_distance_mm(development->mesh, found, put);
    }
    TapulVec3 by_x, by_y;
    TapulVec2 apart = tapul_vec2_sub(put_mm, sitting->plane_mm[k]);
    tapul_plane_derivatives(plane, found, sitting->plane_mm[k], &by_x, &by_y);
    TapulVec3 step =
        tapul_vec3_add(tapul_vec3_scale(by_x, apart.x), tapul_vec3_scale(by_y, apart.y));
    *developed_mm = tapul_vec2_add(tapul_development_point_mm(development, found),
                                   tapul_laying_develop_vector(development, found, step));
    return tapul_vec3_length(step);
}
