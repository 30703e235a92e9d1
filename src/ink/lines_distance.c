/* Step 3 from grey to lines: the exact Euclidean distance transform of P. Felzenszwalb, D.
 * Huttenlocher, Distance transforms of sampled functions, Theory of Computing 8, 2012:
 * distances down the columns, then the lower envelope of parabolas along each row. Paper pixels
 * cut the envelope, so each run of ink has its own. */
#include "ink/lines_distance.h"

/* Columns that one thread works at a time: some cache lines, so that rows are read in whole
 * ones. */
#define BLOCK_COLUMNS 256

static void columns_down_and_up(const TapulMap *map, int from, int to, guint16 *distance) {
    gsize stride = (gsize)map->stride;
    for (int y = 1; y <= map->height_px; y++) {
        gsize row = (gsize)y * stride;
        for (gsize i = row + (gsize)from; i < row + (gsize)to; i++) {
            int above = distance[i - stride];
            distance[i] = map->at[i] & TAPUL_MAP_INK
                              ? (guint16)MIN(above + 1, TAPUL_DISTANCE_MOST_PX)
                              : 0;
        }
    }
    for (int y = map->height_px; y >= 1; y--) {
        gsize row = (gsize)y * stride;
        for (gsize i = row + (gsize)from; i < row + (gsize)to; i++) {
            int below = distance[i + stride] + 1;
            distance[i] = (guint16)MIN(distance[i], below);
        }
    }
}

/* One parabola of the lower envelope: (x - at)^2 + height, lowest from from on. */
typedef struct {
    int at, height;
    double from;
} Parabola;

static void add_parabola(Parabola *envelope, int *n, int at, int height) {
    double from = -1;
    while (*n > 0) {
        const Parabola *last = &envelope[*n - 1];
        from = ((double)height + (double)at * at - last->height - (double)last->at * last->at) /
               (2.0 * (at - last->at));
        if (from > last->from)
            break;
        (*n)--;
        from = -1;
    }
    envelope[(*n)++] = (Parabola){at, height, from};
}

/* A run of ink from x = 1 to length, with paper at 0 and length + 1. */
static void run_distances(guint16 *run, int length, Parabola *envelope) {
    int n = 0;
    add_parabola(envelope, &n, 0, 0);
    for (int x = 1; x <= length; x++)
        add_parabola(envelope, &n, x, run[x - 1] * run[x - 1]);
    add_parabola(envelope, &n, length + 1, 0);
    int k = 0;
    for (int x = 1; x <= length; x++) {
        while (k + 1 < n && envelope[k + 1].from <= x)
            k++;
        int dx = x - envelope[k].at;
        gint64 squared = (gint64)dx * dx + envelope[k].height;
        run[x - 1] = (guint16)MIN(squared, G_MAXUINT16);
    }
}

static void row_distances(const TapulMap *map, int y, guint16 *distance, Parabola *envelope) {
    gsize row = (gsize)tapul_map_place(map, 0, y);
    for (int x = 0; x < map->width_px;) {
        if (distance[row + (gsize)x] == 0) {
            x++;
            continue;
        }
        int from = x;
        while (x < map->width_px && distance[row + (gsize)x] > 0)
            x++;
        run_distances(distance + row + from, x - from, envelope);
    }
}

guint16 *tapul_distance_squared_px2(const TapulMap *map) {
    guint16 *distance = g_new0(guint16, (gsize)map->stride * ((gsize)map->height_px + 2));
#pragma omp parallel for schedule(dynamic)
    for (int x = 0; x < map->stride; x += BLOCK_COLUMNS)
        columns_down_and_up(map, x, MIN(x + BLOCK_COLUMNS, map->stride), distance);
#pragma omp parallel
    {
        Parabola *envelope = g_new(Parabola, (gsize)map->width_px + 2);
#pragma omp for schedule(dynamic, 64)
        for (int y = 0; y < map->height_px; y++)
            row_distances(map, y, distance, envelope);
        g_free(envelope);
    }
    return distance;
}
