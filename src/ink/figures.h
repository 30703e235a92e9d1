/* The figures of ink: counts, lengths, areas, motifs. Serves reading and naming. */
#ifndef TAPUL_INK_FIGURES_H
#define TAPUL_INK_FIGURES_H

#include <tapul/ink.h>

G_BEGIN_DECLS

/* Drops fills that cover nothing and strokes that show nothing, and counts what is left:
 * strokes, fills, length, area. */
void tapul_ink_measure(TapulInk *ink);
/* Makes the list of motifs anew from the marks, whose motif is a place in names (or -1); names
 * may repeat. Motifs come in the order of their first mark, and those without ink fall away. */
void tapul_ink_list_motifs(TapulInk *ink, const GPtrArray *names);

G_END_DECLS

#endif
