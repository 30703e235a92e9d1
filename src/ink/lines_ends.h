/* Where measured lines end, in px. Serves lines_follow. */
#ifndef TAPUL_INK_LINES_ENDS_H
#define TAPUL_INK_LINES_ENDS_H

#include "ink/lines_profile.h"

G_BEGIN_DECLS

/* A measured place of a line. */
typedef struct {
    TapulVec2 at_px;
    double width_px;
} TapulLineSample;

#define TAPUL_LINE_SAMPLE(samples, i) (&g_array_index(samples, TapulLineSample, i))

/* The median width of samples from to end - 1. */
double tapul_line_median_width(const GArray *samples, int from, int end);

/* Moves the end of a line where nothing joins it: the last sample is where the stroke with its
 * round cap holds as much ink as the scan. */
void tapul_line_end_freely(GArray *samples, const TapulGreyImage *image,
                           const TapulTones *tones);

/* Runs a line on to the joint at at_px: straight on, where that passes within the joint's ink.
 */
void tapul_line_end_joined(GArray *samples, TapulVec2 at_px, double joint_radius_px);

G_END_DECLS

#endif
