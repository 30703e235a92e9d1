/* Tangles: rings that cross so often that their faces cannot be told one by one. Serves the
 * regions. */
#ifndef TAPUL_INK_TANGLE_H
#define TAPUL_INK_TANGLE_H

#include <tapul/path.h>

G_BEGIN_DECLS

/* What telling the rings' faces would cost at most, in steps of about 3 ns; INFINITY if it is
 * more than enough steps. */
double tapul_rings_work(const GPtrArray *rings, double enough);

/* How often edges of closed rings cross, up to enough: INFINITY beyond it. Where even counting
 * would take long, what was counted until then. */
double tapul_rings_crossings(const GPtrArray *rings, double enough);

/* Area covered by rings under their fill rule, mm2, from a drawing of their box in up to 1024 x
 * 1024 dots with soft edges: within 0.5 % where the ink fills a tenth of its box or more. */
double tapul_rings_coverage_mm2(const GPtrArray *rings, gboolean even_odd);

G_END_DECLS

#endif
