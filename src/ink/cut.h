/* Cutting a path at the edge of a region: curves are split at their crossings and stay curves.
 * Serves the clips. */
#ifndef TAPUL_INK_CUT_H
#define TAPUL_INK_CUT_H

#include <tapul/path.h>

G_BEGIN_DECLS

/* Adds to meetings (of double) the parameters in (0, 1) where the curve meets the edge from a
 * to b. */
void tapul_cut_meetings(GArray *meetings, const TapulVec2 p[4], gboolean is_line, TapulVec2 a,
                        TapulVec2 b);

/* One unbroken piece of a subpath. */
typedef struct {
    TapulPath *path;
    double start_mm; /* along its subpath, when asked for; else 0 */
} TapulRun;

/* The parts of a path inside flat rings (see region.h), an array of TapulRun that frees them.
 * measured: start_mm is wanted, and a closed subpath is not joined over its start. */
GPtrArray *tapul_cut_path(const TapulPath *path, const GPtrArray *rings, gboolean even_odd,
                          gboolean measured);

G_END_DECLS

#endif
