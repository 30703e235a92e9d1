/* Grotesque masks and bunches of fruit.
 * All are drawn as they show, and hide what is drawn after them. */
#ifndef ENGRAVER_MASK_H
#define ENGRAVER_MASK_H

#include "form.h"

/* A leaf-bearded river mask seen from the front, about twelve units wide, chin downward. */
void mask_river(Sheet *sheet, Frame frame);

/* The same mask in two parts, so that leaves may grow between: features, then the head. */
void mask_river_face(Sheet *sheet, Frame frame);
void mask_river_head(Sheet *sheet, Frame frame);

typedef struct Fruit {
    double x, y, radius;
    int kind; /* 0 apple, 1 pear, 2 grapes, 3 leaf, 4 pomegranate */
    double turn;
} Fruit;

void mask_fruit_bunch(Sheet *sheet, Frame frame, const Fruit *fruits, guint count);

#endif
