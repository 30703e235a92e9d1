/* The pairs of one print, the sittings made of them, and prints placed by a fit. */
#ifndef EVIDENCE_PLACEMENT_H
#define EVIDENCE_PLACEMENT_H

#include "evidence/plane.h"

G_BEGIN_DECLS

/* One print's pairs on a plate. All borrowed. */
typedef struct {
    const TapulGround *ground;
    int n;
    const TapulVec2 *print_mm; /* [n] */
    const TapulSpot *spot;     /* [n] where each was found */
    TapulVec2 pressing_mm;     /* the middle of the print's plate mark */
    double pick_sd_mm;         /* 0 and up */
} TapulPairSet;

/* The pairs in the plane of a geometry; anchor: the pressing point of rolled, else not read. */
TapulSitting *tapul_sitting_new(const TapulPairSet *pairs, TapulLayingRule geometry,
                                TapulSpot anchor);
/* The same in a plane at hand. */
TapulSitting *tapul_sitting_in(const TapulPairSet *pairs, const TapulPlane *plane);
void tapul_sitting_free(TapulSitting *sitting);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulSitting, tapul_sitting_free)

/* A print as a fit places it in a plane. The fit's spline is taken over and *fit left without
 * it; what the ground points to is borrowed. */
TapulPlacement *tapul_placement_new_take(const TapulPlane *plane, TapulPlaneFit *fit);
void tapul_placement_free(TapulPlacement *placement);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulPlacement, tapul_placement_free)

const TapulPlaneFit *tapul_placement_fit(const TapulPlacement *placement);
const TapulPlane *tapul_placement_plane(const TapulPlacement *placement);

G_END_DECLS

#endif
