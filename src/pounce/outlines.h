/* What a mark covers. Internal to pounce/. */
#ifndef TAPUL_POUNCE_OUTLINES_H
#define TAPUL_POUNCE_OUTLINES_H

#include "pounce/shapes.h"

#include <tapul/ink.h>

G_BEGIN_DECLS

/* Adds to parts (of GEOSGeometry*, owned by the bag) small areas that together are what the
 * mark covers: a stroke with its caps, joins and dashes, a fill by its rule. longer_mm: open
 * ends of undashed strokes are drawn on by so much. FALSE if GEOS gives up or a fill is
 * tangled. */
gboolean tapul_mark_parts(TapulShapes *shapes, const TapulMark *mark, double longer_mm,
                          GPtrArray *parts);

G_END_DECLS

#endif
