/* Coarse search: truncated match over a grid of similarities, to find where a refinement should
 * begin. Serves the motifs and the search without pairs. */
#ifndef EVIDENCE_COARSE_H
#define EVIDENCE_COARSE_H

#include "evidence/refine.h"

G_BEGIN_DECLS

/* Turns and scales lie evenly, the ends among them; shifts within a box, from its middle. */
typedef struct {
    TapulBox shift_mm;
    double shift_step_mm; /* at least a pixel's width */
    double most_turn_rad, turn_step_rad;
    double scale_low, scale_high, scale_step; /* step: a share */
    gboolean direct, reversed;
    double reach_mm; /* of the match; at most TAPUL_INK_REACH_MM */
} TapulCoarseGrid;

typedef struct {
    TapulMove move;
    double match;
} TapulCoarsePlace;

/* The best shift for each turn, scale and hand, and of these the n_best best, best first:
 * GArray of TapulCoarsePlace. The result does not depend on the number of threads. */
GArray *tapul_coarse_search(const TapulThinned *ink, const TapulInkMap *plate,
                            const TapulCoarseGrid *grid, int n_best);
/* Best first; equals stay in their order. */
void tapul_coarse_sort(GArray *places);

G_END_DECLS

#endif
