/* Birds: feathers, wings laid from coverts to quills, and the birds of these prints.
 * Lengths are in units of the frame, about a millimetre at scale one. */
#ifndef ENGRAVER_BIRD_H
#define ENGRAVER_BIRD_H

#include "form.h"

void bird_feather(Sheet *sheet, Point root, Point tip, double bend, double width,
                  const Form *form);

/* Rows of feathers between the bone and the curve their tips touch: short coverts in front,
 * long quills behind. */
void bird_wing(Sheet *sheet, const Curve *bone, const Curve *tips, int quills, double base);

/* Facing right, the feet at the origin, about thirty units tall with its tail. */
void bird_kingfisher_perched(Sheet *sheet, Frame frame);

/* Flying to the right, the breast at the origin, with wings lifted. */
void bird_kingfisher_flying(Sheet *sheet, Frame frame);

/* Standing in the water, facing right, feet at the origin, about thirty-seven tall. */
void bird_heron(Sheet *sheet, Frame frame);

#endif
