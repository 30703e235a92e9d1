/* Level cuts of a plate, and the readings proposed along them. Internal to sheet/. */
#ifndef TAPUL_SHEET_LEVEL_H
#define TAPUL_SHEET_LEVEL_H

#include "plate/cut.h"

#include <tapul/plate.h>

/* From the medial line outward: what a row of an upright page has room for. */
#define TAPUL_LEVEL_READINGS 8

typedef struct {
    double y_mm;
    gboolean beyond; /* the metal does not reach from the medial line to the side edge here */
    double
        reach_mm; /* from the medial plane to the side, as seen from the front; 0: no metal */
    int n;        /* readings proposed */
    double x_mm[TAPUL_LEVEL_READINGS];       /* the last of an open plate: at its edge */
    TapulVec2 type_mm[TAPUL_LEVEL_READINGS]; /* where that is on the type plate: x, z */
} TapulLevel;

/* All lines in which the metal is cut at a height: GPtrArray of TapulCut *. A height at the
 * very edge is moved into the metal by a hundredth of a millimetre. */
GPtrArray *tapul_level_cuts(const TapulPlate *plate, double y_mm);

/* The levels to read, from the lower edge up, at round heights: near each station of a plate
 * made from stations; of a sphere across its middle; of other solids at both ends and between.
 * GArray of TapulLevel. */
GArray *tapul_levels_propose(const TapulPlate *plate);

/* A level's height as it is printed; owned. */
char *tapul_level_height_text(const TapulLevel *level);

#endif
