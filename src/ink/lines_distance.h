/* Step 3 from grey to lines: how far each pixel of ink is from paper. */
#ifndef TAPUL_INK_LINES_DISTANCE_H
#define TAPUL_INK_LINES_DISTANCE_H

#include "ink/lines_map.h"

G_BEGIN_DECLS

/* Distances of more than this are not told apart: such ink is no line. Its square fills 16
 * bits. */
#define TAPUL_DISTANCE_MOST_PX 255

/* Squared distances, exact, between the centres of each ink pixel and of the nearest paper
 * pixel, the ground beyond the picture being paper: owned array, of the map's size and places,
 * 0 on paper. */
guint16 *tapul_distance_squared_px2(const TapulMap *map);

/* The ink's half width where its middle is this far from paper: the edge lies between two
 * pixels. */
static inline double tapul_distance_radius_px(guint16 squared_px2) {
    return squared_px2 > 0 ? sqrt(squared_px2) - 0.5 : 0;
}

G_END_DECLS

#endif
