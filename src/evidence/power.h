/* How well pairs like these can tell a design drawn as seen from one laid over the metal. */
#ifndef EVIDENCE_POWER_H
#define EVIDENCE_POWER_H

#include "evidence/placement.h"

G_BEGIN_DECLS

/* Parametric bootstrap: pairs are drawn about where each of two placements puts the print's
 * points, `draws` times each, with a normal error of sd_mm along and across the metal, and the
 * geometry is told by the AICc of the scaled fits. Returns the share told rightly, the mean of
 * both: 0.5 is a coin. 0 where a placement leaves fewer than four points on the plate. */
double tapul_told_apart(const TapulPairSet *pairs, const TapulHypothesis *viewed,
                        const TapulHypothesis *metal, double sd_mm, int draws, guint64 seed);

G_END_DECLS

#endif
