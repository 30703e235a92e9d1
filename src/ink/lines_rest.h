/* Between lines and areas: ink that neither the strokes nor the areas cover yet. */
#ifndef TAPUL_INK_LINES_REST_H
#define TAPUL_INK_LINES_REST_H

#include "ink/lines_map.h"

#include <tapul/path.h>

G_BEGIN_DECLS

/* Marks TAPUL_MAP_COVERED where a round pen width_px wide runs along a path, both in px of the
 * picture, of which a pixel of the map is map_px. */
void tapul_rest_cover(TapulMap *map, const TapulPath *path, double width_px, double map_px);

/* Marks TAPUL_MAP_AREA on ink that is neither covered nor of an area, where it is thick enough
 * to be seen. */
void tapul_rest_mark_areas(TapulMap *map, double map_px);

G_END_DECLS

#endif
