/* The points of a plate's edge that tell its outline. Internal to sheet/. */
#ifndef TAPUL_SHEET_OUTLINE_POINTS_H
#define TAPUL_SHEET_OUTLINE_POINTS_H

#include <tapul/plate.h>

typedef enum {
    TAPUL_OUTLINE_LOWER, /* where the medial line meets the lower edge */
    TAPUL_OUTLINE_UPPER, /* and the upper */
    TAPUL_OUTLINE_CORNER,
    TAPUL_OUTLINE_CURVE
} TapulOutlineKind;

typedef struct {
    TapulOutlineKind kind;
    TapulVec2 at_mm;   /* as seen from the front */
    TapulVec2 outward; /* unit, off the metal */
    gboolean upright;  /* the edge runs rather up than across here */
} TapulOutlinePoint;

/* From the lower end of the medial line counter-clockwise: up the right half where the two are
 * alike (*half), else all round. GArray of TapulOutlinePoint. */
GArray *tapul_outline_points(const TapulPlate *plate, gboolean *half);

#endif
