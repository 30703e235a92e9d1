/* What a photograph shows of one place of the plate: whether it is seen, how steeply, how
 * finely.
 *
 * Every node of a rectified picture's grid asks it (look_grid.c). What stands before the place
 * is found by a ray back to the eye: beside the finder's search it costs little, and it needs
 * no bias that depends on a depth picture's resolution.
 */
#include "photo/visible.h"

/* A ray starts this far off the metal, and twice as far as the smooth surface is from its facet
 * there: in a hollow the facets stand before the smooth surface by up to the chord error, 0.05.
 */
#define LIFT_MM 0.1

/* The step of differences along the surface: much less than a picture shows, much more than
 * rounding. */
#define STEP_MM 0.05

static gboolean is_covered(const TapulEye *eye, TapulSpot spot, TapulVec3 at_mm,
                           TapulVec3 normal) {
    TapulVec3 flat_mm = tapul_mesh_flat_position_mm(tapul_plate_mesh(eye->plate), spot);
    double lift_mm = LIFT_MM + 2 * tapul_vec3_distance(at_mm, flat_mm), t;
    TapulVec3 start = tapul_vec3_add(at_mm, tapul_vec3_scale(normal, lift_mm));
    TapulVec3 way = tapul_vec3_sub(eye->camera->eye_mm, start);
    TapulSpot met;
    return tapul_mesh_tree_first_hit(tapul_plate_tree(eye->plate), start, tapul_vec3_unit(way),
                                     &met, &t) &&
           t < tapul_vec3_length(way);
}

/* How far the picture moves for a millimetre along a direction. */
static gboolean slope_px(const TapulCamera *camera, TapulVec3 at_mm, TapulVec3 along,
                         TapulVec2 *slope) {
    TapulVec3 step = tapul_vec3_scale(along, STEP_MM);
    TapulVec2 before, after;
    if (!tapul_camera_pixel(camera, tapul_vec3_sub(at_mm, step), &before) ||
        !tapul_camera_pixel(camera, tapul_vec3_add(at_mm, step), &after))
        return FALSE;
    *slope = tapul_vec2_scale(tapul_vec2_sub(after, before), 0.5 / STEP_MM);
    return TRUE;
}

/* The smaller singular value of the map from the tangent plane to the picture. */
static double worse_px_per_mm(const TapulCamera *camera, TapulVec3 at_mm, TapulVec3 normal) {
    TapulVec3 any = fabs(normal.y) < 0.7 ? tapul_vec3(0, 1, 0) : tapul_vec3(1, 0, 0);
    TapulVec3 across = tapul_vec3_unit(tapul_vec3_cross(any, normal));
    TapulVec3 up = tapul_vec3_cross(normal, across);
    TapulVec2 a, b;
    if (!slope_px(camera, at_mm, across, &a) || !slope_px(camera, at_mm, up, &b))
        return 0;
    double aa = tapul_vec2_dot(a, a), bb = tapul_vec2_dot(b, b), ab = tapul_vec2_dot(a, b);
    double larger = sqrt((aa + bb + hypot(aa - bb, 2 * ab)) / 2);
    return larger > 0 ? fabs(tapul_vec2_cross(a, b)) / larger : 0;
}

static gboolean in_picture(const TapulCamera *camera, TapulVec3 at_mm) {
    TapulVec2 px;
    return tapul_camera_pixel(camera, at_mm, &px) && px.x >= 0 && px.y >= 0 &&
           px.x <= camera->width_px && px.y <= camera->height_px;
}

TapulLook tapul_look(const TapulEye *eye, TapulVec2 developed_mm) {
    const TapulMesh *mesh = tapul_plate_mesh(eye->plate);
    TapulSpot spot;
    if (!tapul_development_finder_spot(eye->finder, developed_mm, &spot))
        return (TapulLook){.seen = TAPUL_SEEN_OFF};
    TapulVec3 at_mm = tapul_mesh_smooth_position_mm(mesh, spot);
    TapulVec3 normal = tapul_mesh_smooth_normal(mesh, spot);
    TapulVec3 sight = tapul_vec3_unit(tapul_vec3_sub(eye->camera->eye_mm, at_mm));
    double cosine = tapul_vec3_dot(sight, normal);
    TapulLook look = {.seen = TAPUL_SEEN_HIDDEN,
                      .cosine = (float)cosine,
                      .px_per_mm = (float)worse_px_per_mm(eye->camera, at_mm, normal),
                      .normal = {(float)normal.x, (float)normal.y, (float)normal.z}};
    if (cosine > 0 && in_picture(eye->camera, at_mm) && !is_covered(eye, spot, at_mm, normal))
        look.seen = cosine >= eye->least_cosine ? TAPUL_SEEN_WELL : TAPUL_SEEN_GRAZING;
    return look;
}
