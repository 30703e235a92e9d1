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
    void (*progress)(double fraction, gpointer data); /* may be NULL */
    gpointer progress_data;
} TapulLiftOptions;

/* Rolled, from nowhere yet: the anchor is the caller's to set. */
TapulLiftOptions tapul_lift_options_defaults(void);

/* What is lifted: the sheet as seen from its face, true to size, direct. Frame: origin at the lower left of its
 * likely plate mark. */
typedef struct {
    TapulLayingRule rule;
    TapulLaying *laying;        /* which lays this sheet again: scale 1, print_anchor in this sheet's frame */
    TapulInk *ink;              /* NULL without a tracing */
    TapulVec2 anchor_mm;        /* what of the sheet lies on the anchor */
    double width_mm, height_mm; /* the likely plate mark: the design and a margin */
    double margin_mm;           /* of it: how much was added around the design */
    double stretch_min, stretch_max; /* principal stretches sheet -> metal met along the ink, or where
                                        the photographs show the metal */
    double lost_mm;             /* of the tracing, in the development: what the rule cannot bring back; of areas
                                   half their outline */
    int width_px, height_px;    /* of the picture, 0 without a photograph */
    double pixel_mm;
    guint8 *rgba;               /* [height][width][4] */
} TapulLifted;

/* Lifts a tracing (developed frame) and, or, a rectified photograph; one may be NULL. Laying what was lifted by
 * the same rule gives the design again, within tolerance_mm and the laying's own. The likely plate mark is the design
 * and a margin of 3 % of its larger side, at least 2 mm (common practice, no source); without a tracing the design is
 * what the photographs show, to 1 mm. Errors of TAPUL_LAYING_ERROR: OFF_PLATE where nothing is left. */
TapulLifted *tapul_lift(const TapulGround *ground, const TapulInk *found, const TapulRectified *rectified,
                        const TapulLiftOptions *options, GError **error);
void tapul_lifted_free(TapulLifted *lifted);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulLifted, tapul_lifted_free)

/* The same sheet as a mirror shows it: its ink with x -> width - x. NULL without ink. */
TapulInk *tapul_lifted_reversed(const TapulLifted *lifted);

/* A plate's field by its id; NULL with an error of TAPUL_LAYING_ERROR that names those there are. */
const TapulField *tapul_lift_field(const TapulPlate *plate, const char *id, GError **error);

/* What an outline seen from the front, [n] points in mm, marks off on the metal the viewer sees; developed frame.
 * NULL with an error of TAPUL_LAYING_ERROR where it marks off none. */
TapulPath *tapul_lift_region(const TapulGround *ground, const TapulVec2 *outline_mm, int n, GError **error);

/* The design as points of the development (GArray of TapulVec2): along its ink, and without ink over what the
 * photographs show well; only those within the region, unless that is NULL. Some 2 mm apart or more, at most
 * 2,000 or so. */
GArray *tapul_lift_points(const TapulInk *found, const TapulRectified *rectified, const TapulPath *region);

/* The plate's spot in the middle of the points' box, or where that is off the plate, at the point nearest to it.
 * FALSE without points. */
gboolean tapul_lift_middle(const TapulGround *ground, const GArray *points, TapulSpot *spot);

/* --- Where the answer depends on the rule --- */

typedef struct {
    TapulVec2 a, b; /* where two rules put one point of the design, in the first sheet's frame */
} TapulLiftApart;

typedef struct {
    /* [n] each sheet turned and shifted so that the design's points lie nearest to the first sheet's: a point p of
     * sheet i lies at turn(p) + shift in the first sheet's frame. */
    double *turn_rad;
    TapulVec2 *shift_mm;
    double max_mm;              /* the furthest that two sheets put one point apart */
    TapulVec2 at_developed_mm;  /* that point */
    TapulVec2 at_mm;            /* the same on the first sheet, or on the first that has it */
    GArray *apart;              /* of TapulLiftApart: the points put more than 1 mm apart */
} TapulLiftComparison;

/* Compares n >= 1 sheets lifted from one design, given as points of the development. */
TapulLiftComparison *tapul_lift_compare(const TapulGround *ground, const GArray *points, int n,
                                        TapulLifted *const *lifted);
void tapul_lift_comparison_free(TapulLiftComparison *comparison);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulLiftComparison, tapul_lift_comparison_free)

G_END_DECLS

#endif
