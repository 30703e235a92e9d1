/* The page a renderer draws on: cairo's SVG surface, whose text is the trace. Stands before the
 * trace's reader. */
#include "ink/trace.h"

#include <cairo-svg.h>

/* Finer than a tenth of a micron is noise; 100 units per mm leave 1/25600 mm. */
#define UNITS_PER_MM_LEAST 100.0
/* A page this many units across keeps six digits, however small it is in mm. */
#define UNITS_ACROSS 5000.0
/* cairo counts to 2^23 units; a quarter is left for widths and corners. */
#define REACH_UNITS_MAX 6e6
/* Under this, 1/256 of a unit would be more than 0.001 mm. */
#define UNITS_PER_MM_COARSEST 4.0
/* What no print needs: text of the trace. */
#define TRACE_BYTES_MAX (512u << 20)
/* What cannot be drawn as vectors would become a raster; one pixel an inch keeps that harmless.
 */
#define FALLBACK_PIXELS_PER_INCH 1.0

gboolean tapul_trace_choose_units(TapulTracePage *page, double reach_mm, GError **error) {
    double across = fmax(page->width_mm, page->height_mm);
    page->units_per_mm = fmax(UNITS_PER_MM_LEAST, UNITS_ACROSS / across);
    double most = REACH_UNITS_MAX / fmax(reach_mm, across);
    if (!(most >= UNITS_PER_MM_COARSEST)) {
        g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SIZE,
                    "draws as far as %g mm from the page's corner; permitted: up to %g mm",
                    reach_mm, REACH_UNITS_MAX / UNITS_PER_MM_COARSEST);
        return FALSE;
    }
    page->units_per_mm = fmin(page->units_per_mm, most);
    return TRUE;
}

static cairo_status_t append_bytes(void *closure, const unsigned char *data,
                                   unsigned int length) {
    GByteArray *bytes = closure;
    if (length > TRACE_BYTES_MAX - bytes->len)
        return CAIRO_STATUS_WRITE_ERROR;
    g_byte_array_append(bytes, data, length);
    return CAIRO_STATUS_SUCCESS;
}

/* cairo keeps the region all drawing has covered so far, at a cost that grows with its corners:
 * quadratic over a print. Once the whole page is covered, the region is one rectangle and stays
 * so. */
static void cover_page(cairo_surface_t *surface, double width, double height) {
    cairo_t *cairo = cairo_create(surface);
    cairo_set_miter_limit(cairo, TAPUL_TRACE_COVER);
    cairo_set_line_width(cairo, 2 * height);
    cairo_move_to(cairo, 0, height / 2);
    cairo_line_to(cairo, width, height / 2);
    cairo_stroke(cairo);
    cairo_destroy(cairo);
}

cairo_surface_t *tapul_trace_surface(const TapulTracePage *page, GByteArray *bytes) {
    cairo_surface_t *surface = cairo_svg_surface_create_for_stream(
        append_bytes, bytes, page->width_mm * page->units_per_mm,
        page->height_mm * page->units_per_mm);
    /* Version 1.2 writes every blending operator down; 1.1 would turn what it cannot say into
     * pictures. */
    cairo_svg_surface_restrict_to_version(surface, CAIRO_SVG_VERSION_1_2);
    cairo_surface_set_fallback_resolution(surface, FALLBACK_PIXELS_PER_INCH,
                                          FALLBACK_PIXELS_PER_INCH);
    cover_page(surface, page->width_mm * page->units_per_mm,
               page->height_mm * page->units_per_mm);
    return surface;
}
