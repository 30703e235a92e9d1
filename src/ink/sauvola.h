/* Step 1 from grey to lines: what is ink and what is paper, by a threshold that follows the
 * picture. */
#ifndef TAPUL_INK_SAUVOLA_H
#define TAPUL_INK_SAUVOLA_H

#include "ink/lines_map.h"

G_BEGIN_DECLS

typedef struct {
    double k, r;      /* T = m (1 + k (s / r - 1)) */
    int window_px;    /* odd, cut at the picture's borders */
    double dark_grey; /* what is no lighter is ink whatever its company: in a window full of ink
                         there is no paper to compare with, and T = m (1 - k) would hollow large
                         areas; below 0: no such floor */
} TapulSauvola;

/* The threshold for a window of n pixels with these sums of grey and of its squares; s is the
 * population's standard deviation. Source: J. Sauvola, M. Pietikainen, Pattern Recognition 33,
 * 2000, eq. 5. */
double tapul_sauvola_threshold(gint64 sum, gint64 sum_of_squares, int n, double k, double r);

/* Sets TAPUL_MAP_INK where grey [height_px][width_px] is at most the threshold. */
void tapul_sauvola_ink(const guint8 *grey, const TapulSauvola *rule, TapulMap *map);

G_END_DECLS

#endif
