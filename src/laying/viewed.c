/* The viewed rule: the print is projected along the viewing direction, as an eye far in front
 * of the plate would place it. Each print point goes to the metal nearest to the viewer. */
#include "laying/rule.h"

/* A spot is seen if the first metal met on its sight line is no further off than this: a few
 * times what bulged and flat triangles differ by. */
#define SEEN_WITHIN_MM 0.2

/* An anchor that is seen is found again this near; at the outline of the plate less exactly. */
#define SEEN_ANCHOR_MM 2.0

/* Metal seen at less than half a degree has no stretch to speak of: over 100. */
#define GRAZING_COSINE 0.01

static TapulVec2 front_mm(const TapulLaying *laying, TapulSpot spot) {
    TapulVec3 at = tapul_mesh_smooth_position_mm(laying->ground.development->mesh, spot);
    return tapul_vec2(at.x, at.y);
}

static gboolean viewed_prepare(TapulLaying *laying, GError **error) {
    const TapulMesh *mesh = laying->ground.development->mesh;
    TapulVec2 front = front_mm(laying, laying->options.anchor);
    TapulVec3 anchor = tapul_mesh_smooth_position_mm(mesh, laying->options.anchor);
    TapulSpot seen;
    laying->anchor_front_mm = front;
    if (tapul_plate_spot_from_front(laying->ground.plate, front.x, front.y, &seen, NULL) &&
        tapul_vec3_distance(tapul_mesh_smooth_position_mm(mesh, seen), anchor) <=
            SEEN_ANCHOR_MM)
        return TRUE;
    g_set_error(error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_OFF_PLATE,
                "the anchor, at x %.1f, y %.1f, z %.1f mm, cannot be seen from the front: a "
                "viewed laying starts from "
                "metal that can",
                anchor.x, anchor.y, anchor.z);
    return FALSE;
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

/* On the metal a step to the right or up is a step in its tangent plane with the same shadow.
 */
static gboolean viewed_differential(const TapulLaying *laying, TapulVec2 plane_mm,
                                    TapulLaidJet *jet) {
    const TapulDevelopment *development = laying->ground.development;
    if (!viewed_forward(laying, plane_mm, &jet->at))
        return FALSE;
    TapulVec3 normal = tapul_mesh_smooth_normal(development->mesh, jet->at.spot);
    if (normal.z < GRAZING_COSINE)
        return FALSE;
    jet->metal_by_x = tapul_vec3(1, 0, -normal.x / normal.z);
    jet->metal_by_y = tapul_vec3(0, 1, -normal.y / normal.z);
    jet->developed_by_x =
        tapul_laying_develop_vector(development, jet->at.spot, jet->metal_by_x);
    jet->developed_by_y =
        tapul_laying_develop_vector(development, jet->at.spot, jet->metal_by_y);
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
    .differential = viewed_differential,
    .inverse = viewed_inverse,
};
