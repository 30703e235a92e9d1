/* Water plants: blades, bent blades, leaves and bulrushes.
 * All are drawn as they show, and hide what is drawn after them. */
#ifndef ENGRAVER_PLANT_H
#define ENGRAVER_PLANT_H

#include "form.h"

/* A leaf blade along its axis; the shaded half lies right of the axis when shaded is 1, left
 * when it is -1. */
void plant_blade(Sheet *sheet, Curve *axis, double width, int shaded, double base);

/* A blade that has snapped over: the tip hangs from the fold, in front of the rest. */
void plant_bent_blade(Sheet *sheet, Curve *standing, Curve *hanging, double width, int shaded);

/* A pointed leaf with midrib and side veins, one half in shade. */
void plant_leaf(Sheet *sheet, const Curve *axis, double width, int shaded);

/* A bulrush: stalk, velvet head and bare spike. The axis runs from root to tip. */
void plant_bulrush(Sheet *sheet, Curve *axis, double head_width, double head_share);

#endif
