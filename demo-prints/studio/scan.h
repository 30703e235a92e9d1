/* The scan: an impression on laid paper, on the glass of a flat-bed scanner. */
#ifndef STUDIO_SCAN_H
#define STUDIO_SCAN_H

#include "picture.h"
#include "raster.h"

#define SCAN_DPI      600
#define SCAN_SKEW_DEG 1.3 /* of the plate mark, clockwise as seen */

/* The pixel where a point of the print frame lies. */
Vec2 scan_pixel(Vec2 print_mm);

/* print: its page is the plate mark. */
gboolean scan_make(RsvgHandle *print, Picture **scan, GError **error);

#endif
