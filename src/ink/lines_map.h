/* The page as the steps from grey to lines see it: a byte a pixel, with a border of paper one
 * pixel wide around it, so that a pixel's neighbours are there without asking. Serves sauvola,
 * lines_specks, lines_distance, skeleton, lines_graph and lines_areas. */
#ifndef TAPUL_INK_LINES_MAP_H
#define TAPUL_INK_LINES_MAP_H

#include <tapul/vec.h>

G_BEGIN_DECLS

/* What a pixel's byte says. */
enum {
    TAPUL_MAP_INK = 1,      /* darker than the threshold */
    TAPUL_MAP_SKELETON = 2, /* left by thinning */
    TAPUL_MAP_AREA = 4,     /* ink that becomes an area, not a line */
    TAPUL_MAP_MARKED = 8,   /* a step's own mark, clear before and after it */
    TAPUL_MAP_NODE = 16,    /* an end or a joint of the skeleton */
    TAPUL_MAP_COVERED = 32  /* under a stroke */
};

/* Pixel (x, y) is at[(y + 1) * stride + x + 1]; its place in at is what other steps call a
 * pixel's place. */
typedef struct {
    int width_px, height_px, stride; /* stride = width_px + 2 */
    guint8 *at;                      /* [(height_px + 2) * stride] */
} TapulMap;

static inline TapulMap tapul_map_new(int width_px, int height_px) {
    int stride = width_px + 2;
    return (TapulMap){width_px, height_px, stride,
                      g_new0(guint8, (gsize)stride * ((gsize)height_px + 2))};
}
static inline int tapul_map_place(const TapulMap *map, int x_px, int y_px) {
    return (y_px + 1) * map->stride + x_px + 1;
}
/* The pixel's centre. */
static inline TapulVec2 tapul_map_centre_px(const TapulMap *map, int place) {
    return tapul_vec2(place % map->stride - 0.5, place / map->stride - 0.5);
}
/* The eight neighbours, counter-clockwise from the right (y down): east, north-east, ...
 * south-east. */
static inline void tapul_map_neighbours(const TapulMap *map, int step[8]) {
    int s = map->stride;
    int around[8] = {1, 1 - s, -s, -s - 1, -1, s - 1, s, s + 1};
    for (int i = 0; i < 8; i++)
        step[i] = around[i];
}

G_END_DECLS

#endif
