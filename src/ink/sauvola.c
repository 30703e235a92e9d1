/* Step 1 from grey to lines: Sauvola's threshold (J. Sauvola, M. Pietikainen, Adaptive document
 * image binarization, Pattern Recognition 33, 2000), at a cost that does not depend on the
 * window, by sums as in F. Shafait, D. Keysers, T. Breuel, Efficient implementation of local
 * adaptive thresholding techniques, SPIE 6815, 2008. Only one row of their integral images is
 * kept: sums down the window's columns, then along the row. */
#include "ink/sauvola.h"

/* Rows that one thread works at a time; each strip first sums a window's height of rows. */
#define STRIP_ROWS 256

double tapul_sauvola_threshold(gint64 sum, gint64 sum_of_squares, int n, double k, double r) {
    double m = (double)sum / n;
    double variance = (double)sum_of_squares / n - m * m;
    double s = sqrt(fmax(variance, 0));
    return m * (1 + k * (s / r - 1));
}

/* Sums of grey and of squares for each column over the window's rows. */
typedef struct {
    gint32 *sum;
    gint64 *square;               /* a column of 60,000 px of 255 squared is beyond 32 bits */
    gint64 *row_sum, *row_square; /* [width + 1]: the same, summed from the row's start */
} Sums;

static Sums sums_new(int width_px) {
    gsize n = (gsize)width_px + 1;
    return (Sums){g_new0(gint32, n), g_new0(gint64, n), g_new0(gint64, n), g_new0(gint64, n)};
}

static void sums_clear(Sums *sums) {
    g_free(sums->sum);
    g_free(sums->square);
    g_free(sums->row_sum);
    g_free(sums->row_square);
}

static void add_row(Sums *sums, const guint8 *row, int width_px, int sign) {
    for (int x = 0; x < width_px; x++) {
        sums->sum[x] += sign * row[x];
        sums->square[x] += sign * row[x] * row[x];
    }
}

static void threshold_row(const Sums *sums, const guint8 *row, int n_rows,
                          const TapulSauvola *rule, int width_px, guint8 *ink) {
    int half = rule->window_px / 2;
    for (int x = 0; x < width_px; x++) {
        sums->row_sum[x + 1] = sums->row_sum[x] + sums->sum[x];
        sums->row_square[x + 1] = sums->row_square[x] + sums->square[x];
    }
    for (int x = 0; x < width_px; x++) {
        int from = MAX(x - half, 0), to = MIN(x + half + 1, width_px);
        double limit = tapul_sauvola_threshold(sums->row_sum[to] - sums->row_sum[from],
                                               sums->row_square[to] - sums->row_square[from],
                                               n_rows * (to - from), rule->k, rule->r);
        ink[x] = row[x] <= fmax(limit, rule->dark_grey) ? TAPUL_MAP_INK : 0;
    }
}

static void threshold_strip(const guint8 *grey, const TapulSauvola *rule, int from_y, int to_y,
                            TapulMap *map) {
    gsize width = (gsize)map->width_px;
    int half = rule->window_px / 2;
    Sums sums = sums_new(map->width_px);
    int top = MAX(from_y - half, 0), bottom = top;
    for (int y = from_y; y < to_y; y++) {
        for (; bottom < MIN(y + half + 1, map->height_px); bottom++)
            add_row(&sums, grey + (gsize)bottom * width, map->width_px, 1);
        for (; top < y - half; top++)
            add_row(&sums, grey + (gsize)top * width, map->width_px, -1);
        threshold_row(&sums, grey + (gsize)y * width, bottom - top, rule, map->width_px,
                      map->at + tapul_map_place(map, 0, y));
    }
    sums_clear(&sums);
}

void tapul_sauvola_ink(const guint8 *grey, const TapulSauvola *rule, TapulMap *map) {
    g_assert(rule->window_px >= 1 && rule->window_px % 2 == 1);
#pragma omp parallel for schedule(dynamic)
    for (int y = 0; y < map->height_px; y += STRIP_ROWS)
        threshold_strip(grey, rule, y, MIN(y + STRIP_ROWS, map->height_px), map);
}
