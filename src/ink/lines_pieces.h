/* Connected pieces of the page's map, as runs of pixels. Serves lines_specks and lines_areas.
 */
#ifndef TAPUL_INK_LINES_PIECES_H
#define TAPUL_INK_LINES_PIECES_H

#include "ink/lines_map.h"

G_BEGIN_DECLS

typedef struct {
    int from_px, to_px; /* x, the end not in it */
    int piece;          /* index into piece */
} TapulRun;

typedef struct {
    int left_px, top_px, right_px, bottom_px; /* right and bottom not in it */
} TapulPiece;

typedef struct {
    int height_px;
    int *row_start; /* [height_px + 1], the first run of each row */
    TapulRun *run;  /* [row_start[height_px]] */
    int n_pieces;
    TapulPiece *piece; /* in the order of their first pixels */
} TapulPieces;

/* Pieces of the pixels that have bit (or, where wanted is FALSE, lack it); neighbours touch by
 * their sides, and by their corners where diagonal is set. */
TapulPieces *tapul_pieces_new(const TapulMap *map, guint8 bit, gboolean wanted,
                              gboolean diagonal);
void tapul_pieces_free(TapulPieces *pieces);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulPieces, tapul_pieces_free)

G_END_DECLS

#endif
