/* A rectified photograph as a sheet shows it: with as many pixels as a printer can use.
 *
 * Apart from the other parts because the pages' own pictures are another type of the same name.
 */
#include "base/picture.h"

#include "sheet/rectified_parts.h"

guint8 *tapul_rectified_reduced(const TapulRectified *rectified, double dpi, double most_pixels,
                                int *width_px, int *height_px) {
    double finest = rectified->pixel_mm / (25.4 / dpi);
    double fewest = sqrt(most_pixels / ((double)rectified->width_px * rectified->height_px));
    double scale = fmin(fmin(finest, fewest), 1);
    gsize size = 4 * (gsize)rectified->width_px * (gsize)rectified->height_px;
    *width_px = MAX((int)lround(scale * rectified->width_px), 1);
    *height_px = MAX((int)lround(scale * rectified->height_px), 1);
    tapul_picture_start_vips();
    g_autoptr(TapulVipsImage) whole = vips_image_new_from_memory(
        rectified->rgba, size, rectified->width_px, rectified->height_px, 4, VIPS_FORMAT_UCHAR);
    g_autoptr(TapulVipsImage) tagged = NULL;
    g_autoptr(TapulVipsImage) reduced = NULL;
    guint8 *rgba = NULL;
    if (whole &&
        vips_copy(whole, &tagged, "interpretation", VIPS_INTERPRETATION_sRGB, NULL) == 0 &&
        vips_thumbnail_image(tagged, &reduced, *width_px, "height", *height_px, "size",
                             VIPS_SIZE_FORCE, NULL) == 0)
        rgba = vips_image_write_to_memory(reduced, NULL);
    g_assert(rgba); /* nothing is read: only memory can fail, and GLib ends the program then */
    return rgba;
}
