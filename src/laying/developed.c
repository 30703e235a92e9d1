/* The developed rule: the print is put down rigidly on the plate laid flat, and carried back
 * with it. */
#include "laying/rule.h"

static gboolean developed_prepare(TapulLaying *laying, GError **error) {
    (void)error;
    laying->anchor_developed_mm =
        tapul_development_point_mm(laying->ground.development, laying->options.anchor);
    return TRUE;
}

static gboolean developed_forward(const TapulLaying *laying, TapulVec2 plane_mm,
                                  TapulLaidPoint *point) {
    point->developed_mm = tapul_vec2_add(laying->anchor_developed_mm, plane_mm);
    return tapul_development_finder_spot(laying->ground.finder, point->developed_mm,
                                         &point->spot);
}

static gboolean developed_inverse(const TapulLaying *laying, TapulSpot spot,
                                  TapulVec2 *plane_mm) {
    *plane_mm = tapul_vec2_sub(tapul_development_point_mm(laying->ground.development, spot),
                               laying->anchor_developed_mm);
    return TRUE;
}

const TapulLayingMethods tapul_laying_developed_rule = {
    .name = "developed",
    .places = TRUE,
    .prepare = developed_prepare,
    .forward = developed_forward,
    .differential = tapul_laying_differences,
    .inverse = developed_inverse,
};
