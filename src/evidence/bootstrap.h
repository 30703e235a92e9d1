/* How far scale and turn are known: bootstrap over pairs. */
#ifndef EVIDENCE_BOOTSTRAP_H
#define EVIDENCE_BOOTSTRAP_H

#include "evidence/sitting.h"

G_BEGIN_DECLS

typedef struct {
    TapulInterval scale_ci95;
    TapulInterval turn_ci95_rad; /* low < high, about the turn: an end may pass +-pi */
    int redrawn;                 /* resamples that determined no fit */
} TapulScaleIntervals;

/* 95 % intervals of the scaled fit of a sitting's pairs, bias-corrected and accelerated (Efron
 * 1987; Efron & Tibshirani 1993, 14.3), over `draws` resamples of the pairs, at least 100.
 * FALSE where the pairs do not determine the fit. */
gboolean tapul_bootstrap_scale(const TapulSitting *sitting, gboolean reversed, int draws,
                               guint64 seed, TapulScaleIntervals *intervals);

/* The 95 % interval of that kind from replicates (which are put in order), the estimate, and
 * the n estimates with one datum left out each. `parameters` were fitted to n pairs: the ends
 * are moved out as far as Student's t and the degrees of freedom spent ask (Hesterberg, The
 * American Statistician 69(4) 2015, 371-386, 'expanded percentile'). */
TapulInterval tapul_bootstrap_bca(int draws, double *replicate, double estimate, int n,
                                  const double *left_out, double parameters);

/* The seven ratios of squaring-up, and which lie in an interval. */
void tapul_ratios_fill(TapulRatio ratios[7], TapulInterval scale);

G_END_DECLS

#endif
