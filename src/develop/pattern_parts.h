/* What the files of a pattern share. Internal to develop/. */
#ifndef TAPUL_DEVELOP_PATTERN_PARTS_H
#define TAPUL_DEVELOP_PATTERN_PARTS_H

#include <tapul/pattern.h>

#include "plate/imprint.h"

G_BEGIN_DECLS

/* The mesh taken apart along cuts: pieces that have no development yet, and seams. Error: CUT.
 */
TapulPattern *tapul_pattern_take_apart(const TapulMesh *mesh, const TapulCutLine *cut,
                                       int n_cuts, GError **error);
/* Lays each piece flat by itself; those that cannot be are left without a development. Error:
 * PIECE, of the first of them. */
gboolean tapul_pattern_lay_apart(TapulPattern *pattern, GError **error);
/* Holds both papers at each seam to one length, and turns all upright. Error: PIECE. */
gboolean tapul_pattern_join(TapulPattern *pattern, GError **error);

/* Whether a piece's paper would lie over itself, seen from its conformal map alone, which is
 * quickly had; *vertex is then one where it does. */
gboolean tapul_piece_overlaps(const TapulPiece *piece, int *vertex);
/* The largest of max(s1, 1/s2) - 1. */
double tapul_development_strain(const TapulDevelopment *development);

/* The seams along the imprint's chains; piece i comes from part i. A GPtrArray of TapulSeam*,
 * owned. */
GPtrArray *tapul_pattern_seams(const TapulImprint *imprint, const GPtrArray *parts);

G_END_DECLS

#endif
