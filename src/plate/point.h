/* A point on a plate, read in any of the three ways people give one. */
#ifndef TAPUL_PLATE_POINT_H
#define TAPUL_PLATE_POINT_H

#include "base/document.h"
#include "base/table.h"

#include <tapul/plate.h>

G_BEGIN_DECLS

/* From {across_mm, up_mm}, {x_mm, y_mm} or {xyz_mm: [x, y, z]}; faults are added to the
 * document. With plate NULL only the form is checked. */
gboolean tapul_point_read(TapulDocument *document, const TapulNode *node,
                          const TapulPlate *plate, TapulSpot *spot);

/* From a table's columns plate_across_mm, plate_up_mm, or plate_x_mm, plate_y_mm with or
 * without plate_z_mm; faults are added to the table. */
gboolean tapul_point_read_row(TapulTable *table, int row, const TapulPlate *plate,
                              TapulSpot *spot);

G_END_DECLS

#endif
