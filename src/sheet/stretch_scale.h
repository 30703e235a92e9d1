/* One colour scale for stretch: even to the eye, centred on 1. Internal to sheet/. */
#ifndef TAPUL_SHEET_STRETCH_SCALE_H
#define TAPUL_SHEET_STRETCH_SCALE_H

#include "sheet/layout.h"
#include "sheet/raster.h"

#include <tapul/development.h>

typedef struct {
    double limit; /* > 1: the scale runs from 1 / limit to limit, evenly in the logarithm */
} TapulStretchScale;

/* The principal stretch farther from 1 (by ratio): s1 where s1 >= 1 / s2, else s2. */
double tapul_stretch_farther(double s1, double s2);

/* A round limit that 99.5 % of the area keeps to. */
TapulStretchScale tapul_stretch_scale_for(const TapulDevelopment *development);

/* The colour of a place with principal stretches s1 >= s2: that of the one farther from 1, or,
 * where they are about as far to either side, a mixture of both as dark as each. */
TapulRgb tapul_stretch_colour(TapulStretchScale scale, double s1, double s2);

/* The scale with its figures; returns the y below. With page NULL it only measures. */
double tapul_stretch_scale_draw(TapulPage *page, TapulVec2 at, double width_mm,
                                TapulStretchScale scale, const TapulFormat *format);

#endif
