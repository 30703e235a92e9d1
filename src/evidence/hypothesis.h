/* One print's pairs against every hypothesis: the grid of fits, their figures and their order.
 */
#ifndef EVIDENCE_HYPOTHESIS_H
#define EVIDENCE_HYPOTHESIS_H

#include "evidence/placement.h"

G_BEGIN_DECLS

/* AICc differences up to this leave two hypotheses untold (Burnham & Anderson 2002, 2.6). */
#define TAPUL_AICC_UNTOLD 2.0

/* Every geometry, freedom and hand, the rolled ones with the pressing point given and
 * estimated, as a GPtrArray of TapulHypothesis* in tapul_hypotheses_sort's order. Left out are
 * those that the pairs do not determine (a stretched or bent print has the one hand that its
 * pairs have; a pressing point given may lie off the plate), and bent where nothing need bend,
 * as it is then stretched. Empty where the print points, or the found ones, are all one. */
GPtrArray *tapul_hypotheses_new(const TapulPairSet *pairs);

/* The weights, and the order: by AICc, but before all the preferred one: among those that AICc
 * cannot tell from the least the one of fewest parameters, and of several such the one of least
 * AICc. Without that rule some one case in ten prefers a freer hypothesis to the truth, for
 * what one more parameter gains by chance. */
void tapul_hypotheses_sort(GPtrArray *hypotheses);

/* Which, in that order, AICc cannot tell from the least. GArray of int, the first one's first.
 */
GArray *tapul_hypotheses_equal(const GPtrArray *hypotheses);

/* One of them, its figures without weight: the fit of a sitting in a plane (its spline is taken
 * over). extra_parameters: of the plane itself. */
TapulHypothesis *tapul_hypothesis_new_take(const TapulPairSet *pairs, const TapulPlane *plane,
                                           const TapulSitting *sitting, TapulPlaneFit *fit,
                                           int extra_parameters);
void tapul_hypothesis_free(TapulHypothesis *hypothesis);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulHypothesis, tapul_hypothesis_free)

G_END_DECLS

#endif
