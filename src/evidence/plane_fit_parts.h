/* What the fits of the four freedoms share. */
#ifndef EVIDENCE_PLANE_FIT_PARTS_H
#define EVIDENCE_PLANE_FIT_PARTS_H

#include "evidence/sitting.h"

G_BEGIN_DECLS

/* Pairs chosen from a sitting. */
typedef struct {
    const TapulSitting *sitting;
    int m;
    const int *from, *to; /* [m], or NULL: 0..m-1 */
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

/* The shift that takes the print points' mean to `aside` of the found points' mean. */
static inline void tapul_fit_set_shift(const TapulFitPairs *pairs, TapulVec2 aside,
                                       TapulPlaneFit *fit) {
    TapulVec2 mean = pairs->print_mean_mm;
    TapulVec2 to = tapul_vec2_add(pairs->plane_mean_mm, aside);
    fit->shift = tapul_vec2(to.x - fit->by_x.x * mean.x - fit->by_y.x * mean.y,
                            to.y - fit->by_x.y * mean.x - fit->by_y.y * mean.y);
}

/* Similarity, and the same at scale 1. */
gboolean tapul_fit_similarity(const TapulFitPairs *pairs, gboolean traced, gboolean reversed,
                              TapulPlaneFit *fit);
/* Affine, of either hand; not for points on one line. */
gboolean tapul_fit_affine(const TapulFitPairs *pairs, TapulPlaneFit *fit);
/* Spline of the hand of *fit, with a smoothing, or NAN: the one that AICc likes best, for a
 * pick error of 0 none. Without a spline where nothing need bend. The parameters are those of
 * the smoothing found; with one given they are not counted. */
gboolean tapul_fit_spline(const TapulFitPairs *pairs, double pick_sd_mm, double smoothing_mm2,
                          TapulPlaneFit *fit);

/* Fits other pairs in the way of a fit: its freedom, its hand and its smoothing. */
gboolean tapul_plane_refit(const TapulSitting *sitting, const TapulPlaneFit *as, int m,
                           const int *from, const int *to, TapulPlaneFit *fit);

G_END_DECLS

#endif
