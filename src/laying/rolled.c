/* The rolled rule: the sheet is pressed on from its anchor outward, so that every distance and
 * direction from the anchor is true over the metal (the geodesic polar map; on a sphere, the
 * azimuthal equidistant projection: Snyder 1987, 191). */
#include "laying/rule.h"

static gboolean rolled_prepare(TapulLaying *laying, GError **error) {
    (void)error;
    laying->chart =
        tapul_geodesic_chart(laying->ground.development->mesh, laying->options.anchor);
    laying->anchor_developed_mm =
        tapul_development_point_mm(laying->ground.development, laying->options.anchor);
    return TRUE;
}

static gboolean rolled_forward(const TapulLaying *laying, TapulVec2 plane_mm,
                               TapulLaidPoint *point) {
    TapulGeodesicEnd end;
    if (!tapul_geodesic_forward(&laying->chart, plane_mm, &end))
        return FALSE;
    point->spot = end.spot;
    point->developed_mm = tapul_development_point_mm(laying->ground.development, end.spot);
    return TRUE;
}

static gboolean rolled_differential(const TapulLaying *laying, TapulVec2 plane_mm,
                                    TapulLaidJet *jet) {
    const TapulDevelopment *development = laying->ground.development;
    TapulGeodesicEnd end;
    if (!tapul_geodesic_differential(&laying->chart, plane_mm, &end, &jet->metal_by_x,
                                     &jet->metal_by_y))
        return FALSE;
    jet->at.spot = end.spot;
    jet->at.developed_mm = tapul_development_point_mm(development, end.spot);
    jet->developed_by_x = tapul_laying_develop_vector(development, end.spot, jet->metal_by_x);
    jet->developed_by_y = tapul_laying_develop_vector(development, end.spot, jet->metal_by_y);
    return TRUE;
}

/* Near the anchor the development, turned so that up is up there, is the polar map but for the
 * curvature. */
static gboolean rolled_inverse(const TapulLaying *laying, TapulSpot spot, TapulVec2 *plane_mm) {
    const TapulDevelopment *development = laying->ground.development;
    TapulVec2 up =
        tapul_laying_develop_vector(development, laying->options.anchor, laying->chart.y_axis);
    TapulVec2 apart = tapul_vec2_sub(tapul_development_point_mm(development, spot),
                                     laying->anchor_developed_mm);
    TapulVec2 guess = tapul_vec2_turn(apart, atan2(up.x, up.y));
    return tapul_geodesic_inverse(&laying->chart, spot, guess, plane_mm);
}

const TapulLayingMethods tapul_laying_rolled = {
    .name = "rolled",
    .places = TRUE,
    .prepare = rolled_prepare,
    .forward = rolled_forward,
    .differential = rolled_differential,
    .inverse = rolled_inverse,
};
