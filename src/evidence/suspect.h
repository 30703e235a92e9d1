/* Pairs that look wrong: two whose names are swapped, or one on which the verdict hangs. */
#ifndef EVIDENCE_SUSPECT_H
#define EVIDENCE_SUSPECT_H

#include "evidence/placement.h"

G_BEGIN_DECLS

/* The pair that looks most wrong, or -1; *why says so in words (owned; NULL for -1).
 *
 * Two swapped names: every two pairs' plate points are exchanged, and the best scaled fit of
 * all geometries and hands is taken before and after. The sums of squares, none counted below
 * what picking explains, are compared as variances (F) at a level of 0.001 shared among the
 * exchanges (Bonferroni). The surest exchange is named.
 *
 * Else a pair without which another geometry or hand would be preferred: both before and after
 * by an AICc that is clearly less, of the traced, scaled and stretched fits.
 *
 * names[n]: the pairs'. hypotheses: of these pairs; its rolled chart is kept, and where it has
 * none rolled is about the middle of the found points. */
int tapul_suspect(const TapulPairSet *pairs, const char *const *names,
                  const GPtrArray *hypotheses, char **why);

G_END_DECLS

#endif
