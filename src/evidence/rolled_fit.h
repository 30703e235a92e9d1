/* Rolled fits: the print pressed on at a point of the plate that the pairs must tell. */
#ifndef EVIDENCE_ROLLED_FIT_H
#define EVIDENCE_ROLLED_FIT_H

#include "evidence/placement.h"

G_BEGIN_DECLS

/* A fit in a chart, with the sitting there. */
typedef struct {
    TapulPlane plane;
    TapulSitting *sitting;
    TapulPlaneFit fit;
} TapulRolledFit;

/* The scaled fit whose pressing point lies at its chart's origin, from several first guesses;
 * the best by the chart's metrics. FALSE where none brings the pressing point onto the plate.
 */
gboolean tapul_rolled_start(const TapulPairSet *pairs, gboolean reversed,
                            TapulRolledFit *start);

/* From there the fit of least squares over the metal itself (Levenberg-Marquardt): of the
 * linear part, of where the pressing point lies on the plate and, pressing_free, of which print
 * point it is. traced, scaled or stretched. FALSE where the pairs do not determine it. */
gboolean tapul_rolled_fit(const TapulPairSet *pairs, const TapulRolledFit *start,
                          TapulFreedom freedom, gboolean reversed, gboolean pressing_free,
                          TapulRolledFit *best);

void tapul_rolled_fit_clear(TapulRolledFit *rolled);

G_END_DECLS

#endif
