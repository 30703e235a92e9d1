/* Which tiles of a grid are needed to show all of some shapes. Internal to pounce/. */
#ifndef TAPUL_POUNCE_TILES_NEEDED_H
#define TAPUL_POUNCE_TILES_NEEDED_H

#include <tapul/path.h>

G_BEGIN_DECLS

/* A grid on a sheet: rows counted from the top, mm, y up. */
typedef struct {
    TapulVec2 tile_mm, step_mm;
    int columns, rows;
} TapulSheetGrid;

/* A shape and where it lies: mirrored (x turned over), then turned by a quarter, then moved. */
typedef struct {
    const TapulPath *path; /* closed */
    gboolean mirrored, turned;
    TapulVec2 offset_mm;
} TapulPlacedShape;

TapulBox tapul_sheet_grid_tile_mm(const TapulSheetGrid *grid, int column, int row);

/* Looks at many arrangements of the same shapes. */
typedef struct TapulTilesNeeded TapulTilesNeeded;
TapulTilesNeeded *tapul_tiles_needed_new(const TapulPlacedShape *shape, int n);
void tapul_tiles_needed_free(TapulTilesNeeded *needed);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulTilesNeeded, tapul_tiles_needed_free)
/* A GArray of int, column + columns * row in reading order: tiles that together show all of the
 * shapes as they lie now. What lies where tiles overlap needs one of them only. */
GArray *tapul_tiles_needed(const TapulTilesNeeded *needed, const TapulSheetGrid *grid,
                           const TapulPlacedShape *shape);

G_END_DECLS

#endif
