/* Local contrast: worn lines made as strong as fresh ones. Internal to photo/. */
#ifndef TAPUL_PHOTO_CONTRAST_H
#define TAPUL_PHOTO_CONTRAST_H

#include "base/picture.h"

/* Makes an RGBA picture grey, its light measured from the mean about each place in units of the
 * spread there. Only pixels of kept[height][width] == value are read or written. FALSE where
 * the blurring library fails (memory). */
gboolean tapul_contrast_even(TapulPixels *picture, const guint8 *kept, guint8 value,
                             double pixel_mm, GError **error);

#endif
