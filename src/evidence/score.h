/* How good a fit is, with what it cost in parameters: AICc, its weights, and the share of a
 * chance. */
#ifndef EVIDENCE_SCORE_H
#define EVIDENCE_SCORE_H

#include <glib.h>

G_BEGIN_DECLS

/* AICc of n residual components with the sum of squares rss, normal with variance
 * max(rss / n, floor_variance); k counts the parameters and the variance (Burnham & Anderson
 * 2002, 7.6): n ln(2 pi v) + rss / v + 2k + 2k(k + 1) / (n - k - 1). INFINITY where n - k - 1
 * is not positive. */
double tapul_score_aicc(int n, double rss, double floor_variance, double k);

/* weight[i] = exp(-d / 2) over the sum, d = aicc[i] less the least. INFINITY weighs 0; all of
 * them INFINITY: all 0. */
void tapul_score_weights(int n, const double *aicc, double *weight);

G_END_DECLS

#endif
