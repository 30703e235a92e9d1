/* Writes a page as PNG: painted with cairo (page_cairo.c), packed by libvips, which keeps the
 * resolution in the file. */
#include "base/picture.h"
#include "sheet/page_cairo.h"

#include <string.h>

#define MAX_SIDE_PX 32767 /* cairo's largest image surface */
#define MM_PER_INCH 25.4

/* Paints the page on white paper, for whatever it leaves bare. */
static cairo_status_t paint(const TapulPage *page, double dpi, cairo_surface_t *surface) {
    cairo_t *cr = cairo_create(surface);
    cairo_set_source_rgb(cr, 1, 1, 1);
    cairo_paint(cr);
    tapul_page_paint(cr, page, dpi / MM_PER_INCH);
    cairo_status_t status = cairo_status(cr);
    cairo_destroy(cr);
    cairo_surface_flush(surface);
    return status;
}

/* Cairo's pixels are numbers of 32 bit, red uppermost of the lower 24. */
static TapulPixels *pixels_of(cairo_surface_t *surface) {
    int width_px = cairo_image_surface_get_width(surface);
    int height_px = cairo_image_surface_get_height(surface);
    gsize stride = (gsize)cairo_image_surface_get_stride(surface);
    const guint8 *data = cairo_image_surface_get_data(surface);
    TapulPixels *pixels = tapul_pixels_new(width_px, height_px, 3);
    guint8 *to = pixels->data;
    for (int row = 0; row < height_px; row++)
        for (int column = 0; column < width_px; column++, to += 3) {
            guint32 pixel;
            memcpy(&pixel, data + (gsize)row * stride + (gsize)column * 4, sizeof pixel);
            to[0] = (guint8)(pixel >> 16);
            to[1] = (guint8)(pixel >> 8);
            to[2] = (guint8)pixel;
        }
    return pixels;
}

gboolean tapul_page_write_png(const TapulPage *page, double dpi, const char *path,
                              GError **error) {
    double width_mm = tapul_page_width_mm(page), height_mm = tapul_page_height_mm(page);
    double width_px = round(width_mm * dpi / MM_PER_INCH);
    double height_px = round(height_mm * dpi / MM_PER_INCH);
    if (!(fmin(width_px, height_px) >= 1 && fmax(width_px, height_px) <= MAX_SIDE_PX)) {
        g_set_error(
            error, G_FILE_ERROR, G_FILE_ERROR_INVAL,
            "%s: %g x %g mm at %g dpi is a picture of %g x %g px; a side has 1 to %d px", path,
            width_mm, height_mm, dpi, width_px, height_px, MAX_SIDE_PX);
        return FALSE;
    }
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)width_px, (int)height_px);
    cairo_status_t status = paint(page, dpi, surface);
    gboolean written = tapul_page_is_drawn(status, path, error);
    if (written) {
        g_autoptr(TapulPixels) pixels = pixels_of(surface);
        written = tapul_pixels_write_png(pixels, dpi, path, error);
    }
    cairo_surface_destroy(surface);
    return written;
}
