/* A sitting: one print's pairs in the plane of one geometry, ready to be fitted. Internal to
 * evidence/.
 *
 * In a geometry's plane the metal about a found point is measured by a metric: |d| over the
 * metal of a small step d is sqrt(d' G d). Fits minimise sum (q - found)' G (q - found),
 * re-taken at the predicted places where the exact residual over the metal is wanted. */
#ifndef TAPUL_EVIDENCE_SITTING_H
#define TAPUL_EVIDENCE_SITTING_H

#include "laying/spline.h"

#include <tapul/evidence.h>

G_BEGIN_DECLS

typedef struct {
    double xx, xy, yy;
} TapulPlaneMetric;

typedef struct {
    TapulLayingRule geometry;
    TapulSpot anchor; /* rolled: the pressing point on the plate, about which the chart is */
    int n;
    TapulVec2 *print_mm; /* [n] */
    TapulVec2 *plane_mm; /* [n] where the pair was found, in the geometry's plane; viewed: front
                            x, y; developed: the development; rolled: the chart about anchor */
    TapulPlaneMetric *metric; /* [n] there */
    TapulVec2 pressing_mm;    /* rolled: the print point that lies at the chart's origin */
} TapulSitting;

/* A placement of the print in a plane: affine, or a spline. */
typedef struct {
    TapulFreedom freedom;
    gboolean reversed;
    TapulVec2 by_x, by_y,
        shift; /* q = shift + x by_x + y by_y; of a spline the similarity nearest to it */
    TapulSpline *spline;  /* bent only; over print points */
    double smoothing_mm2; /* bent */
    double parameters;
    double rss_mm2; /* by the metrics */
} TapulPlaneFit;

/* Fits take an index list so that bootstraps, deletions and relabellings need no copies: pair k
 * of the fit is print_mm[from[k]] against plane_mm[to[k]]; from = to = NULL means 0..m-1. FALSE
 * where the points do not determine the placement (fewer distinct ones than it needs, or on one
 * line). Closed form but for traced (one angle, Newton from the similarity's) under unequal
 * metrics. */
gboolean tapul_plane_fit(const TapulSitting *sitting, TapulFreedom freedom, gboolean reversed,
                         int m, const int *from, const int *to, double pick_sd_mm,
                         TapulPlaneFit *fit);
void tapul_plane_fit_clear(TapulPlaneFit *fit);
TapulVec2 tapul_plane_fit_point(const TapulPlaneFit *fit, TapulVec2 print_mm);

G_END_DECLS

#endif
