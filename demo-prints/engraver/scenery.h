/* Scenery: engraved border lines, ruled skies, water, ripples and a dragonfly.
 * Mostly drawn last, behind everything else. */
#ifndef ENGRAVER_SCENERY_H
#define ENGRAVER_SCENERY_H

#include "form.h"

/* Two border lines, the outer heavier; sets nothing in front of anything. */
void scenery_border(Sheet *sheet, double margin, double gap);

Shape *scenery_box(double left, double top, double right, double bottom);

/* Level lines, dark above and fading downward. */
void scenery_sky(Sheet *sheet, const Shape *shape, double strength, double spacing);

/* Level lines crowding toward the far shore. */
void scenery_water(Sheet *sheet, const Shape *shape, double base);

/* Broken rings round something that stands in the water or has struck it. */
void scenery_ripples(Sheet *sheet, Point centre, double reach, int rings);

/* A water lily among its floating leaves. */
void scenery_lilies(Sheet *sheet, Point centre, double size);

/* Distant bushes and trees standing on a shore line. */
void scenery_thicket(Sheet *sheet, double left, double right, double shore, double height);

void scenery_dragonfly(Sheet *sheet, Frame frame);

#endif
