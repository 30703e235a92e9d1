/* Step 6 from grey to lines: which edges go on into which where lines cross, and the chains
 * they make. */
#ifndef TAPUL_INK_LINES_CROSS_H
#define TAPUL_INK_LINES_CROSS_H

#include "ink/lines_graph.h"

G_BEGIN_DECLS

/* Chain i runs along the half edges half[start[i]] to half[start[i + 1] - 1], each left by its
 * node. */
typedef struct {
    GArray *start;  /* of int, one more than there are chains */
    GArray *half;   /* of int */
    GArray *closed; /* of gboolean: a ring */
} TapulLineChains;

/* Joins edges over crossings and joints by least turn. The short bridges of slanting crossings
 * go from the graph. */
TapulLineChains tapul_line_chains(TapulLineGraph *graph);
void tapul_line_chains_clear(TapulLineChains *chains);

/* How many pixels of a half edge, from its node, lie where lines run together: their middle is
 * neither line's. */
int tapul_line_clouded(const TapulLineGraph *graph, int half);

G_END_DECLS

#endif
