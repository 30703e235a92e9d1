/* An index of a shape's edges by place, so that inside tests and nearest-edge searches look
 * at a few edges only. */
#ifndef ENGRAVER_EDGE_INDEX_H
#define ENGRAVER_EDGE_INDEX_H

#include "shape.h"

typedef struct EdgeIndex EdgeIndex;

EdgeIndex *edge_index_new(const Shape *shape);
void edge_index_free(EdgeIndex *index);
bool edge_index_holds(const EdgeIndex *index, Point point);
double edge_index_within(const EdgeIndex *index, Point point, double limit, Point *nearest);

#endif
