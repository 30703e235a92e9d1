/* What the fits of the four freedoms share. */
#ifndef EVIDENCE_PLANE_FIT_PARTS_H
#define EVIDENCE_PLANE_FIT_PARTS_H

#include "evidence/sitting.h"

G_BEGIN_DECLS

/* Pairs chosen from a sitting. */
typedef struct {
    const TapulSitting *sitting;
    int m;
    const int *from, *to;                /* [m], or NULL: 0..m-1 */
    TapulVec2 print_mean_mm, plane_mean_mm;
} TapulFitPairs;

static inline TapulVec2 tapul_fit_print(const TapulFitPairs *pairs, int k) {
    return pairs->sitting->print_mm[pairs->from ? pairs->from[k] : k];
}
static inline TapulVec2 tapul_fit_plane(const TapulFitPairs *pairs, int k) {
    return pairs->sitting->plane_mm[pairs->to ? pairs->to[k] : k];
}
static inline TapulPlaneMetric tapul_fit_metric(const TapulFitPairs *pairs, int k) {
    return pairs->sitting->metric[pairs->to ? pairs->to[k] : k];
}

/* a' G b */
static inline double tapul_metric_product(TapulPlaneMetric g, TapulVec2 a, TapulVec2 b) {
    return a.x * (g.xx * b.x + g.xy * b.y) + a.y * (g.xy * b.x + g.yy * b.y);
}

/* Similarity, and the same at scale 1. */
gboolean tapul_fit_similarity(const TapulFitPairs *pairs, gboolean traced, gboolean reversed,
                              TapulPlaneFit *fit);
/* Affine, of either hand; not for points on one line. */
gboolean tapul_fit_affine(const TapulFitPairs *pairs, TapulPlaneFit *fit);
/* Spline of the hand of *fit; without one where nothing need bend. Its parameters are those of its
 * affine part unless with_degrees. */
gboolean tapul_fit_spline(const TapulFitPairs *pairs, double pick_sd_mm, gboolean with_degrees,
                          TapulPlaneFit *fit);

/* As tapul_plane_fit, but the parameters of a spline are not counted: quicker, for pairs left
 * out. */
gboolean tapul_plane_fit_uncounted(const TapulSitting *sitting, TapulFreedom freedom,
                                   gboolean reversed, int m, const int *from, const int *to,
                                   double pick_sd_mm, TapulPlaneFit *fit);

G_END_DECLS

#endif
