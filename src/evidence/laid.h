/* A print's ink where a placement puts it. */
#ifndef EVIDENCE_LAID_H
#define EVIDENCE_LAID_H

#include <tapul/evidence.h>

G_BEGIN_DECLS

/* The marks of the ink in the developed frame, within tolerance_mm, cut where the placement
 * leaves the plate, their widths by its scale: to be looked at, not to be measured. GPtrArray
 * of TapulMark*, a mark for each of the ink's. Does not depend on the number of threads. */
GPtrArray *tapul_placement_lay(const TapulPlacement *placement, const TapulInk *ink,
                               double scale, double tolerance_mm);

G_END_DECLS

#endif
