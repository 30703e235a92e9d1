/* Lift, the way back: a design found on a plate, taken to the flat sheet it would have come from. */
#ifndef TAPUL_LIFT_H
#define TAPUL_LIFT_H

#include <tapul/laying.h>
#include <tapul/photo.h>

G_BEGIN_DECLS

typedef struct {
    TapulLayingRule rule;       /* rolled, developed or viewed */
    TapulSpot anchor;           /* the point the sheet was laid from */
    double turn_rad;            /* how the sheet lay there */
    const TapulPath *region;    /* developed frame: only what lies within is lifted; NULL: all */
    double tolerance_mm;        /* 0.01 */
} TapulLiftOptions;

/* What is lifted: the sheet as seen from its face, true to size, direct. Frame: origin at the lower left of its
 * likely plate mark. */
typedef struct {
    TapulLaying *laying;        /* which lays this sheet again: scale 1, print_anchor in this sheet's frame */
    TapulInk *ink;              /* NULL without a tracing */
    double width_mm, height_mm; /* the likely plate mark: the design and a margin */
    double margin_mm;           /* of it: how much was added around the design */
    double stretch_min, stretch_max; /* principal stretches sheet -> metal met along the ink */
    double lost_mm;             /* of the tracing: what the rule cannot bring back */
    int width_px, height_px;    /* of the picture, 0 without a photograph */
    double pixel_mm;
    guint8 *rgba;               /* [height][width][4] */
} TapulLifted;

/* Lifts a tracing (developed frame) and, or, a rectified photograph; either may be NULL. Laying what was lifted by
 * the same rule gives the design again within tolerance_mm. Errors of TAPUL_LAYING_ERROR. */
TapulLifted *tapul_lift(const TapulGround *ground, const TapulInk *found, const TapulRectified *rectified,
                        const TapulLiftOptions *options, GError **error);
void tapul_lifted_free(TapulLifted *lifted);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulLifted, tapul_lifted_free)

G_END_DECLS

#endif
