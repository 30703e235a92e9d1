/* Before step 1 from grey to lines: at 300 dpi a hairline and the gap beside it are a pixel or
 * two; the grey tells where their edges are, but pixels that are ink or paper cannot. Between
 * pixels there is room for them. */
#include "ink/lines_double.h"

#include "base/picture.h"

guint8 *tapul_lines_doubled(const TapulGreyImage *image) {
    tapul_picture_start_vips();
    gsize n = (gsize)image->width_px * (gsize)image->height_px;
    VipsImage *small = vips_image_new_from_memory(image->grey, n, image->width_px,
                                                  image->height_px, 1, VIPS_FORMAT_UCHAR);
    VipsImage *large = NULL;
    size_t size = 0;
    /* Cubic: a longer kernel rings, and the ringing of an edge looks like ink. */
    if (!small || vips_resize(small, &large, 2.0, "kernel", VIPS_KERNEL_CUBIC, NULL))
        g_error("libvips cannot double a picture: %s", vips_error_buffer());
    guint8 *grey = vips_image_write_to_memory(large, &size);
    if (!grey)
        g_error("libvips cannot double a picture: %s", vips_error_buffer());
    g_assert(size == 4 * n);
    g_object_unref(small);
    g_object_unref(large);
    return grey;
}
