/* Step 9 from grey to lines: outlines of areas. */
#ifndef TAPUL_INK_LINES_AREAS_H
#define TAPUL_INK_LINES_AREAS_H

#include "ink/lines_map.h"

#include <tapul/path.h>

G_BEGIN_DECLS

/* Outlines of all pixels that have bit: GPtrArray of TapulPath, owned, one for each piece with
 * its holes (even-odd), in px, y down, in the order of the pieces' first pixels. NULL: out of
 * memory. */
GPtrArray *tapul_areas_outline(const TapulMap *map, guint8 bit);

G_END_DECLS

#endif
