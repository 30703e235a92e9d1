/* Step 2 from grey to lines: what is smaller across than a speck is the paper's or the
 * scanner's grain. A pinhole in a line would part its centre line in two, so the same size
 * holds for holes. */
#include "ink/lines_specks.h"

#include "ink/lines_pieces.h"

#include <string.h>

static int flip_small(TapulMap *map, double speck_px, gboolean ink) {
    g_autoptr(TapulPieces) pieces = tapul_pieces_new(map, TAPUL_MAP_INK, ink, ink);
    guint8 becomes = ink ? 0 : TAPUL_MAP_INK;
#pragma omp parallel for schedule(dynamic, 64)
    for (int y = 0; y < map->height_px; y++)
        for (int i = pieces->row_start[y]; i < pieces->row_start[y + 1]; i++) {
            const TapulRun *run = &pieces->run[i];
            const TapulPiece *piece = &pieces->piece[run->piece];
            if (piece->right_px - piece->left_px < speck_px &&
                piece->bottom_px - piece->top_px < speck_px)
                memset(map->at + tapul_map_place(map, run->from_px, y), becomes,
                       (gsize)(run->to_px - run->from_px));
        }
    int n = 0;
    for (int i = 0; i < pieces->n_pieces; i++) {
        const TapulPiece *piece = &pieces->piece[i];
        n += piece->right_px - piece->left_px < speck_px &&
             piece->bottom_px - piece->top_px < speck_px;
    }
    return n;
}

int tapul_specks_remove(TapulMap *map, double speck_px) {
    int n = flip_small(map, speck_px, TRUE);
    flip_small(map, speck_px, FALSE);
    return n;
}
