/* How far scale and turn are known: bootstrap over pairs. */
#ifndef EVIDENCE_BOOTSTRAP_H
#define EVIDENCE_BOOTSTRAP_H

#include "evidence/sitting.h"

G_BEGIN_DECLS

typedef struct {
    TapulInterval scale_ci95, turn_ci95_rad; /* the turn's ends may pass +-pi, low < high */
    int redrawn;                             /* resamples that determined nothing */
} TapulScaleIntervals;

/* 95 % intervals of the scaled fit in a sitting, bias-corrected and accelerated (Efron 1987;
 * Efron & Tibshirani 1993, 14.3) over `draws` resamples of the pairs. FALSE where the pairs do
 * not determine the fit. The result does not depend on the number of threads. */
gboolean tapul_bootstrap_scale(const TapulSitting *sitting, gboolean reversed, int draws,
                               guint64 seed, TapulScaleIntervals *intervals);

/* A BCa interval from the replicates (which are sorted), the estimate, and the n estimates with
 * one datum left out each; widen multiplies the normal quantile asked for. */
TapulInterval tapul_bootstrap_bca(int draws, double *replicate, double estimate, int n,
                                  const double *left_out, double widen);

/* The seven ratios of squaring-up, and which lie in an interval. */
void tapul_ratios_fill(TapulRatio ratios[7], TapulInterval scale);

G_END_DECLS

#endif
