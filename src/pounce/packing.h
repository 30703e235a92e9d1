/* Boxes packed on a strip of tiles. Internal to pounce/. */
#ifndef TAPUL_POUNCE_PACKING_H
#define TAPUL_POUNCE_PACKING_H

#include <tapul/vec.h>

G_BEGIN_DECLS

/* Tiles side by side, each showing tile_mm, the next one beginning step_mm after the last
 * (tile_mm less the overlap). */
typedef struct {
    TapulVec2 tile_mm, step_mm;
    int columns; /* rows are as many as are needed */
} TapulTileGrid;

/* A box to be packed: its size, and where it has come to: its upper left corner, y down. */
typedef struct {
    TapulVec2 size_mm; /* as it lies on its own paper */
    gboolean turned;   /* by a quarter */
    TapulVec2 at_mm;
} TapulPackedBox;

/* The width that so many columns show together, or the height of rows. */
double tapul_tiles_span_mm(double tile_mm, double step_mm, int tiles);
/* How many are needed for a length. */
int tapul_tiles_for_mm(double tile_mm, double step_mm, double length_mm);

/* Packs boxes gap_mm apart, largest first; may_turn: by a quarter where that is better. FALSE
 * if one is wider than the strip. The result does not depend on the boxes' order, but for boxes
 * of one size. */
gboolean tapul_boxes_pack(const TapulTileGrid *grid, TapulPackedBox *box, int n, double gap_mm,
                          gboolean may_turn);

G_END_DECLS

#endif
