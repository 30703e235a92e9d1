/* Fitting: sampled curves become a few cubic Béziers for the file.
 * Coordinates are written with two or three decimals of a millimetre. */
#ifndef ENGRAVER_FIT_H
#define ENGRAVER_FIT_H

#include <glib.h>

#include "hand.h"

void fit_append_point(GString *path, Point point, int decimals);

/* Appends path commands that run through the points; the pen already stands at the first. */
void fit_append_curve(GString *path, const Point *points, guint count, double tolerance,
                      int decimals);

#endif
