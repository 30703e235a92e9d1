/* What the files of the way back share: the map back, the design within its region. */
#ifndef LAYING_LIFT_PARTS_H
#define LAYING_LIFT_PARTS_H

#include <tapul/lift.h>

G_BEGIN_DECLS

/* The ink of a design as lifted, in the laying's print frame. */
typedef struct {
    GPtrArray *marks; /* of TapulMark* */
    double lost_mm;
    double stretch_min, stretch_max;
} TapulLiftedMarks;

/* The marks of a design within a region (NULL: all), as copies; adds to *lost_mm what is too
 * tangled to be cut. */
GPtrArray *tapul_lift_design(const TapulInk *found, const TapulPath *region, double *lost_mm);

/* Carries marks (developed frame) back through a laying. */
TapulLiftedMarks tapul_lift_marks(const TapulGround *ground, const TapulLaying *laying,
                                  const GPtrArray *marks, const TapulLiftOptions *options);

/* Development -> print frame of a laying; FALSE where the rule brings nothing back. */
gboolean tapul_lift_point(const TapulGround *ground, const TapulLaying *laying,
                          TapulVec2 developed_mm, TapulVec2 *print_mm);

/* The rim of what a rectified photograph shows within a region, as points at most 1 mm apart
 * and from the rim itself: GArray of TapulVec2, developed frame. */
GArray *tapul_lift_rim(const TapulRectified *rectified, const TapulPath *region);

/* Fills the picture of a lifted sheet, whose size and laying are known. */
void tapul_lift_picture(TapulLifted *lifted, const TapulRectified *rectified,
                        const TapulLiftOptions *options);

/* The rigid motion of least squares that takes from[n] to to[n], a turn and then a shift;
 * points whose x is NAN on either side are left out. */
void tapul_fit_rigid(const TapulVec2 *from, const TapulVec2 *to, int n, double *turn_rad,
                     TapulVec2 *shift_mm);

/* Whether a place is seen well in the photographs, its pixel's alpha not 0. */
static inline gboolean tapul_rectified_shows(const TapulRectified *rectified, int x, int y) {
    return rectified->rgba[4 * ((gsize)y * (gsize)rectified->width_px + (gsize)x) + 3] > 0;
}

/* A pixel's centre. */
static inline TapulVec2 tapul_rectified_place(const TapulRectified *rectified, int x, int y) {
    return tapul_vec2(rectified->box_mm.min.x + (x + 0.5) * rectified->pixel_mm,
                      rectified->box_mm.max.y - (y + 0.5) * rectified->pixel_mm);
}

G_END_DECLS

#endif
