/* Before step 1 from grey to lines: coarse scans are doubled. */
#ifndef TAPUL_INK_LINES_DOUBLE_H
#define TAPUL_INK_LINES_DOUBLE_H

#include "ink/lines.h"

G_BEGIN_DECLS

/* The grey of twice as many pixels each way: [2 height_px][2 width_px], owned. */
guint8 *tapul_lines_doubled(const TapulGreyImage *image);

G_END_DECLS

#endif
