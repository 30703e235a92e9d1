/* A standing draped woman with an oar, an allegory of the river; feet at the origin, about
 * fifty-nine units tall, facing left. */
#ifndef ENGRAVER_FIGURE_H
#define ENGRAVER_FIGURE_H

#include "form.h"

void figure_river(Sheet *sheet, Frame frame);

#endif
