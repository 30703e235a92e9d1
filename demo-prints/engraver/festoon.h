/* Festoons: hanging cloth swags, swags of fruit, canopies, and turned shafts and urns.
 * All are drawn as they show, and hide what is drawn after them. */
#ifndef ENGRAVER_FESTOON_H
#define ENGRAVER_FESTOON_H

#include "form.h"

/* Cloth slung between two points in nested folds. */
void festoon_cloth(Sheet *sheet, Point from, Point to, double sag, double depth);

/* A tail of cloth hanging from a point in zigzag folds. */
void festoon_tail(Sheet *sheet, Frame frame);

/* Fruit and leaves slung between two points, thickest in the middle. */
void festoon_fruit(Sheet *sheet, Point from, Point to, double sag, double size);

/* A tent canopy with a valance; the eaves at the origin, about thirty units wide. */
void festoon_canopy(Sheet *sheet, Frame frame);

/* Anything turned on a lathe: widths along a straight upright axis, top first. */
void festoon_turned(Sheet *sheet, Frame frame, double height, const char *widths, double base);

#endif
