/* The steps by which the maker's papers are made, in order. Internal to pounce/. */
#ifndef TAPUL_POUNCE_PARTS_H
#define TAPUL_POUNCE_PARTS_H

#include <tapul/pounce.h>

G_BEGIN_DECLS

/* 1. The paper's edges: outline, cut, score. Of the two papers at a seam the one on the left of
 * the cut has the allowance (of a dart: its left side); a piece's own allowances never overlap
 * its own paper. */
gboolean tapul_pounce_outline(const TapulPattern *pattern, TapulPouncePiece *piece,
                              double allowance_mm, GError **error);

/* 2. The laid design on a piece: from the case's development over the metal to the paper, cut
 * exactly at its edge; in the allowances what the neighbour shows there, joined on without a
 * step. Strokes end with their middle line there: whoever draws or outlines them clips to cut,
 * or to outline. Fills ink and ink_laying. The result does not depend on the number of threads.
 * Error: GEOMETRY. */
gboolean tapul_pounce_ink(const TapulCase *question, const GPtrArray *laid,
                          const TapulPattern *pattern, TapulPouncePiece *piece,
                          double allowance_mm, GError **error);

/* 3. What shows that the papers lie right: notches, crosses, tape lengths. */
void tapul_pounce_marks(const TapulCase *question, const TapulPattern *pattern,
                        GPtrArray *pieces, double allowance_mm);

/* 4. The resist, of all pieces; progress may be NULL. NULL with error; needs outlines and ink.
 */
TapulResist *tapul_pounce_resist(const TapulCase *question, const GPtrArray *laid,
                                 const TapulPattern *pattern, const GPtrArray *pieces,
                                 const TapulPounceProgress *progress, GError **error);
void tapul_resist_free(TapulResist *resist);

/* 5. Pieces packed, and the tiles. */
TapulTiling *tapul_pounce_tiling(const TapulCasePounce *asked, const GPtrArray *pieces,
                                 GError **error);
void tapul_tiling_free(TapulTiling *tiling);

G_END_DECLS

#endif
