/* The viewed rule: the print is projected along the viewing direction, as an eye far in front
 * of the plate would place it. Each print point goes to the metal nearest to the viewer. */
#include "laying/rule.h"

/* A spot is seen if the first metal met on its sight line is no further off than this: a few
 * times what bulged and flat triangles differ by. */
#define SEEN_WITHIN_MM 0.2

static TapulVec2 front_mm(const TapulLaying *laying, TapulSpot spot) {
    TapulVec3 at = tapul_mesh_smooth_position_mm(laying->ground.development->mesh, spot);
    return tapul_vec2(at.x, at.y);
}

static gboolean viewed_prepare(TapulLaying *laying, GError **error) {
    (void)error;
    laying->anchor_front_mm = front_mm(laying, laying->options.anchor);
    return TRUE;
}

static gboolean viewed_forward(const TapulLaying *laying, TapulVec2 plane_mm,
                               TapulLaidPoint *point) {
    TapulVec2 at = tapul_vec2_add(laying->anchor_front_mm, plane_mm);
    if (!isfinite(at.x) || !isfinite(at.y) ||
        !tapul_plate_spot_from_front(laying->ground.plate, at.x, at.y, &point->spot, NULL))
        return FALSE;
    point->developed_mm = tapul_development_point_mm(laying->ground.development, point->spot);
    return TRUE;
}

static gboolean viewed_inverse(const TapulLaying *laying, TapulSpot spot, TapulVec2 *plane_mm) {
    const TapulMesh *mesh = laying->ground.development->mesh;
    TapulVec2 at = front_mm(laying, spot);
    TapulSpot seen;
    if (!tapul_plate_spot_from_front(laying->ground.plate, at.x, at.y, &seen, NULL))
        return FALSE;
    /* Hidden behind nearer metal: no print point was projected here. */
    double hidden_mm = tapul_mesh_smooth_position_mm(mesh, seen).z -
                       tapul_mesh_smooth_position_mm(mesh, spot).z;
    if (hidden_mm > SEEN_WITHIN_MM)
        return FALSE;
    *plane_mm = tapul_vec2_sub(at, laying->anchor_front_mm);
    return TRUE;
}

const TapulLayingMethods tapul_laying_viewed = {
    .name = "viewed",
    .places = TRUE,
    .prepare = viewed_prepare,
    .forward = viewed_forward,
    .differential = tapul_laying_differences,
    .inverse = viewed_inverse,
};
