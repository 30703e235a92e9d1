/* Step 8 from grey to lines: cubic curves through a line's measured middles. */
#ifndef TAPUL_INK_LINES_FIT_H
#define TAPUL_INK_LINES_FIT_H

#include <tapul/path.h>

G_BEGIN_DECLS

/* A path from at[0] to at[n - 1], n >= 2, no measured point further from it than tolerance, in
 * the points' unit; curves join smoothly, those of a ring (at[n - 1] is at[0] again) at its
 * start too. */
TapulPath *tapul_lines_fit(const TapulVec2 *at, int n, gboolean closed, double tolerance);

G_END_DECLS

#endif
