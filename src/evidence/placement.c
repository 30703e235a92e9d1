/* A print as placed by a hypothesis: its fit in the plane of a geometry, then to the metal. */
#include "evidence/placement.h"

struct TapulPlacement {
    TapulPlane plane;
    TapulPlaneFit fit;
};

TapulPlacement *tapul_placement_new_take(const TapulPlane *plane, TapulPlaneFit *fit) {
    TapulPlacement *placement = g_new0(TapulPlacement, 1);
    placement->plane = *plane;
    placement->fit = *fit;
    fit->spline = NULL;
    return placement;
}

void tapul_placement_free(TapulPlacement *placement) {
    if (!placement)
        return;
    tapul_plane_fit_clear(&placement->fit);
    g_free(placement);
}

const TapulPlaneFit *tapul_placement_fit(const TapulPlacement *placement) {
    return &placement->fit;
}

const TapulPlane *tapul_placement_plane(const TapulPlacement *placement) {
    return &placement->plane;
}

gboolean tapul_placement_spot(const TapulPlacement *placement, TapulVec2 print_mm,
                              TapulSpot *spot) {
    return tapul_plane_spot(&placement->plane, tapul_plane_fit_point(&placement->fit, print_mm),
                            spot);
}

gboolean tapul_placement_developed(const TapulPlacement *placement, TapulVec2 print_mm,
                                   TapulVec2 *developed_mm) {
    TapulSpot spot;
    if (!tapul_placement_spot(placement, print_mm, &spot))
        return FALSE;
    *developed_mm = tapul_development_point_mm(placement->plane.ground.development, spot);
    return TRUE;
}
