/* A likelihood ratio from scores: those of pairs of known common source, and of prints known to
 * be unrelated. */
#ifndef EVIDENCE_LIKELIHOOD_H
#define EVIDENCE_LIKELIHOOD_H

#include <tapul/evidence.h>

G_BEGIN_DECLS

/* The words for fewer prints than this are that there is no ratio. */
#define TAPUL_FEWEST_OF_POOL 10

/* score: of the case, 0 to 1. same[pool], different[pool]: print i of the pool with its own
 * worn tracing, and with the design in question. Densities by normal kernels on the log odds of
 * the scores, their width by Silverman (1986, eq. 3.31). Beyond the middle of either kind the
 * ratio stays what it is there: kernels say nothing about tails. It is kept within pool + 1 and
 * its reciprocal, as the rarest of so many says no more (the rule of Phipson & Smyth); and
 * within 10 of a pool of fewer than 20, or where more than 1 of 100 ratios, each taken of a
 * print of the pool left out, point the wrong way by more (misleading_share). */
TapulLikelihoodRatio tapul_likelihood_ratio(double score, int pool, const double *same,
                                            const double *different);

G_END_DECLS

#endif
