/* Shapes: an outline with any number of holes, asked whether a point lies inside and how far
 * it is from the nearest edge. */
#ifndef ENGRAVER_SHAPE_H
#define ENGRAVER_SHAPE_H

#include "curve.h"

typedef struct Shape {
    GPtrArray *rings; /* Curve, the outline first */
    double left, top, right, bottom;
    struct EdgeIndex *index; /* made by shape_simplified, for shapes asked many questions */
} Shape;

Shape *shape_new(Curve *outline);
void shape_add_hole(Shape *shape, Curve *hole);
Curve *shape_outline(const Shape *shape);
Shape *shape_moved(const Shape *shape, Point by);
Shape *shape_simplified(const Shape *shape, double tolerance);
void shape_pool_empty(void);

bool shape_holds(const Shape *shape, Point point);
bool shape_holds_near(const Shape *shape, Point point, double margin);

/* Distance to the nearest edge; nearest receives the place on it. */
double shape_edge_distance(const Shape *shape, Point point, Point *nearest);

/* The same, but edges beyond the limit are of no interest (the answer is then infinite). */
double shape_edge_within(const Shape *shape, Point point, double limit, Point *nearest);

#endif
