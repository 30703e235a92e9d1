/* What was worked out cell by cell put together again. Internal to pounce/. */
#ifndef TAPUL_POUNCE_JOIN_H
#define TAPUL_POUNCE_JOIN_H

#include "pounce/shapes.h"

G_BEGIN_DECLS

/* An area within a cell, up to the cell's edges. */
typedef struct {
    const GEOSGeometry *shape;
    TapulBox cell;
} TapulCellShape;

/* The whole of the cells' areas (of TapulCellShape) as polygons, and apart from them the holes
 * in them that touch no cell's edge, as polygons too; both owned by the bag. FALSE if GEOS
 * gives up. */
gboolean tapul_cells_join(TapulShapes *shapes, const GArray *parts, GEOSGeometry **areas,
                          GEOSGeometry **holes);
/* The same as closed rings, even-odd; NULL if GEOS gives up. */
TapulPath *tapul_cells_outline(TapulShapes *shapes, const GArray *parts);

G_END_DECLS

#endif
