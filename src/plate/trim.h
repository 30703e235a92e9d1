/* Which part of a smooth surface's half is metal: the boundary of the trimmed region in the
 * unit square. */
#ifndef TAPUL_PLATE_TRIM_H
#define TAPUL_PLATE_TRIM_H

#include "plate/surface.h"

G_BEGIN_DECLS

typedef struct {
    TapulVec2 uv;
    gboolean corner; /* must stay a vertex when the loop is spaced anew */
} TapulTrimPoint;

/* The loop of one side's region, counter-clockwise in (u, v): GArray of TapulTrimPoint, about
 * 1/128 of the square apart. outline_mm (may be NULL) is a simple polygon seen from the front.
 * NULL with *fault set if nothing is left, or several pieces, or a hole; NULL without a fault
 * if this side is empty. */
GArray *tapul_trim_loop(const TapulSurface *surface, int side, const GArray *outline_mm,
                        char **fault);

/* Distance in mm from a point to the outline, positive inside. */
double tapul_trim_distance_mm(const GArray *outline_mm, TapulVec2 point_mm);

G_END_DECLS

#endif
