/* The contour share: how much of what a print drawn as seen would miss goes away when it
 * follows the metal. */
#ifndef EVIDENCE_CONTOUR_SHARE_H
#define EVIDENCE_CONTOUR_SHARE_H

#include "evidence/placement.h"

G_BEGIN_DECLS

/* Told apart more rarely than this, the pairs cannot tell: one answer in five would be wrong.
 */
#define TAPUL_TOLD_APART_LEAST 0.8

/* 1 - M / V: V the mean square misfit of the best scaled fit as seen, M that of the better of
 * rolled and developed, all of them rows of the hypotheses (over the metal, the hand free, the
 * pressing point given). Its interval is BCa over `draws` resamples of the pairs, with the
 * choice of the metal's rule made anew in each (Efron 1987), found on the scale of log(M / V).
 * told_apart: tapul_told_apart with the error of the better fit, no less than the picking
 * error. Where a row is lacking all figures are NAN, and can_tell is FALSE. */
TapulContourShare tapul_contour_share(const TapulPairSet *pairs, const GPtrArray *hypotheses,
                                      int draws, guint64 seed);

G_END_DECLS

#endif
