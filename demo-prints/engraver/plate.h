/* Strapwork: flat plates and bands with a visible thickness, rolled ends, volutes.
 * All are drawn as they show, and hide what is drawn after them. */
#ifndef ENGRAVER_PLATE_H
#define ENGRAVER_PLATE_H

#include "form.h"

typedef struct Plate {
    Point depth; /* where the back edge shows, from the front edge */
    double base;
    double throws;
    double inner_line; /* distance of the fine line inside the edge; 0 for none */
    double angle;      /* of the flat hatching */
    double bevel;
    Point shaded_from; /* the face darkens by shade from here to there */
    Point shaded_to;
    double shade;
    double dark_start;  /* extra tone where a band begins, as it comes up from below */
    const Curve *first; /* guides of the face's hatching, in place of the angle */
    const Curve *last;
    const Spot *spots;
    guint spot_count;
} Plate;

Plate plate_plain(void);
void plate_draw(Sheet *sheet, const Shape *shape, const Plate *plate);

/* A band along an axis; only the long edges are drawn, so that pieces join up. */
void plate_band(Sheet *sheet, const Curve *axis, const char *widths, double scale,
                const Plate *plate);

/* The end of a strap rolled up: a short tube lying across it, its coil seen at one end.
 * Degrees give the direction in which the tube lies, coil end last. */
void plate_roll(Sheet *sheet, Point centre, double degrees, double length, double thickness);

/* A band that winds up flat into a volute with a round eye. */
void plate_volute(Sheet *sheet, const Curve *lead, Point centre, double radius,
                  double start_degrees, double turns, double width, const Plate *plate);

/* A table-cut stone in a collar, its four sides shaded apart. */
void plate_jewel(Sheet *sheet, Frame frame, double half_width, double half_height);

#endif
