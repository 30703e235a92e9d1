/* Straight edges in a scan: steps of tone on a reduced copy, summed along all nearly upright
 * lines. Serves the finding of the plate mark and of the skew. */
#ifndef TAPUL_INK_SCAN_STEPS_H
#define TAPUL_INK_SCAN_STEPS_H

#include "base/picture.h"

G_BEGIN_DECLS

/* A picture reduced for looking at as a whole; grey[height][width]. */
typedef struct {
    int width, height;
    int times; /* pixels of the scan to one of this, each way */
    float *grey;
} TapulReduced;

TapulReduced *tapul_reduced_new(const TapulPixels *pixels);
/* x and y change places: its level lines become upright ones. */
TapulReduced *tapul_reduced_turned(const TapulReduced *reduced);
void tapul_reduced_free(TapulReduced *reduced);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulReduced, tapul_reduced_free)

/* A line is x = middle + slope (y - height / 2); slopes run from -most to most. */
typedef struct {
    int width, height;
    float *step; /* [height][width] of tone to the right, smoothed downwards, grey levels */
    float most;  /* what a step counts at most: a little over the paper's own */
    int slopes;
    double slope_step;
    float *sum; /* [slopes][width] of the steps, so cut, along each line */
} TapulSteps;

TapulSteps *tapul_steps_new(const TapulReduced *reduced);
void tapul_steps_free(TapulSteps *steps);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulSteps, tapul_steps_free)

double tapul_steps_slope(const TapulSteps *steps, int index);
/* The step at a place, cut to what it counts. */
float tapul_steps_cut(const TapulSteps *steps, int x, int y);

G_END_DECLS

#endif
