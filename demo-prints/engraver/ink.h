/* Ink: swelling, tapering contour lines cut as filled outlines, and plain burin strokes.
 * Whatever lies behind a nearer form is left out. */
#ifndef ENGRAVER_INK_H
#define ENGRAVER_INK_H

#include "sheet.h"

/* The contour round a shape: fine toward the light, heavy away from it. */
void ink_contour(Sheet *sheet, const Shape *shape, double light_width, double dark_width);

/* One edge of a form, its dark side to the right of travel when outward is 1. */
void ink_edge(Sheet *sheet, const Curve *curve, double light_width, double dark_width,
              double outward);

/* The same for an edge that runs on beyond both ends: it is not tapered there. */
void ink_edge_running(Sheet *sheet, const Curve *curve, double light_width, double dark_width,
                      double outward);

/* A drawn line that swells in the middle and tapers to both ends. */
void ink_line(Sheet *sheet, const Curve *curve, double width);

/* A line that starts heavy and tapers away only at its end. */
void ink_flick(Sheet *sheet, const Curve *curve, double width);

/* A plain stroke of even width, hidden where nearer forms cover it. */
void ink_stroke(Sheet *sheet, const Curve *curve, double width);

/* Adds a piece, already known to be visible, to the path of one stroke: a line that a nearer
 * form interrupts, or that breaks into touches, stays one line of the graver. */
void ink_append_piece(const Sheet *sheet, Stroke *stroke, const Curve *piece);

/* A solid black touch, such as the pupil of an eye. */
void ink_solid(Sheet *sheet, const Curve *outline);

/* A black touch with a light left standing in it. */
void ink_solid_with_light(Sheet *sheet, const Curve *outline, const Curve *light);

#endif
