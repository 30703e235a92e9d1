/* Step 2 from grey to lines: specks of ink go, pinholes in ink are filled. */
#ifndef TAPUL_INK_LINES_SPECKS_H
#define TAPUL_INK_LINES_SPECKS_H

#include "ink/lines_map.h"

G_BEGIN_DECLS

/* Clears ink that touches itself by sides or corners and is less than speck_px wide and high,
 * and fills holes less than speck_px wide and high. Returns how many specks of ink went. */
int tapul_specks_remove(TapulMap *map, double speck_px);

G_END_DECLS

#endif
