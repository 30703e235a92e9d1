/* Laid strokes as a pen can draw them: each with one width, its dashes to match. */
#ifndef LAYING_STROKE_RUNS_H
#define LAYING_STROKE_RUNS_H

#include "laying/warp.h"

G_BEGIN_DECLS

/* The pieces given to tapul_stroke_runs may change this much along themselves: half of what a
 * run may, so that two fit in it. */
#define TAPUL_STROKE_PIECE_CHANGE 1.05

/* Adds to marks the strokes (TapulMark*) that draw the laid pieces of a stroke, as few as an
 * even width asks. */
void tapul_stroke_runs(const TapulMark *mark, const GArray *pieces, GPtrArray *marks);

G_END_DECLS

#endif
