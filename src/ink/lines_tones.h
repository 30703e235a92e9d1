/* The picture's tones: what grey paper has and what grey ink has, from the histogram. */
#ifndef TAPUL_INK_LINES_TONES_H
#define TAPUL_INK_LINES_TONES_H

#include "ink/lines_map.h"
#include "ink/lines_profile.h"

G_BEGIN_DECLS

/* Two classes of grey that differ most (Otsu 1979): their means, and the paper's commonest
 * grey. */
typedef struct {
    double dark_mean, light_mean, paper;
} TapulGreyClasses;

TapulGreyClasses tapul_grey_classes(const TapulGreyImage *image);

/* The map's pixels are the picture's, or parts of them (see TapulLineWork). The paper's
 * commonest grey and the mean grey of ink far from any edge. */
TapulTones tapul_tones(const TapulGreyImage *image, const TapulGreyClasses *classes,
                       const TapulMap *map, const guint16 *distance_px2);

G_END_DECLS

#endif
