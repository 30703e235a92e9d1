/* Step 7 from grey to lines: the middle and the width of a line from the grey across it. */
#ifndef TAPUL_INK_LINES_PROFILE_H
#define TAPUL_INK_LINES_PROFILE_H

#include "ink/lines.h"

G_BEGIN_DECLS

/* The picture's grey where there is paper alone, and ink alone. */
typedef struct {
    double paper, ink;
} TapulTones;

/* How much of a place is ink: 0 paper, 1 ink, between them at edges. */
double tapul_profile_darkness(const TapulGreyImage *image, const TapulTones *tones,
                              TapulVec2 at_px);

typedef struct {
    double middle_px; /* from where the line was thought to be, along the normal */
    double width_px;  /* the ink's mass across: blur spreads it but does not add to it */
    double full;      /* the darkness that was taken for ink alone: 1, or a pale line's own */
} TapulProfile;

/* Across a line about 2 radius_px wide near at_px, normal a unit vector; FALSE where there is
 * no ink. */
gboolean tapul_profile_measure(const TapulGreyImage *image, const TapulTones *tones,
                               TapulVec2 at_px, TapulVec2 normal, double radius_px, double full,
                               TapulProfile *profile);

G_END_DECLS

#endif
