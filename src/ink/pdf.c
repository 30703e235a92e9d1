/* Reads a page of a PDF: poppler draws it, and its trace is read. Stands between the file and
 * the ink. Sizes are the crop box's, turned as the page says, 72 points to the inch (ISO
 * 32000-1, 14.11.2). */
#include "ink/drawing.h"

#include <poppler.h>

#define MM_PER_POINT (25.4 / 72.0)
/* Width 0 asks for the thinnest line the device has (ISO 32000-1, 8.4.3.2): one dot at 600 to
 * the inch (common practice, no source). */
#define HAIRLINE_MM (25.4 / 600.0)

static PopplerDocument *open_pdf(GBytes *bytes, GError **error) {
    g_autoptr(GError) refused = NULL;
    PopplerDocument *document = poppler_document_new_from_bytes(bytes, NULL, &refused);
    if (document)
        return document;
    if (g_error_matches(refused, POPPLER_ERROR, POPPLER_ERROR_ENCRYPTED))
        g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_ENCRYPTED, "needs a password");
    else
        g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SYNTAX, "not a sound PDF: %s",
                    refused->message);
    return NULL;
}

static PopplerPage *open_page(PopplerDocument *document, int number, GError **error) {
    int pages = poppler_document_get_n_pages(document);
    if (number < 1 || number > pages) {
        g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_FILE, "page %d; permitted: 1 to %d",
                    number, pages);
        return NULL;
    }
    PopplerPage *page = poppler_document_get_page(document, number - 1);
    if (!page)
        g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SYNTAX, "page %d cannot be read",
                    number);
    return page;
}

static gboolean draw(PopplerPage *page, const TapulTracePage *size, GByteArray *bytes,
                     GError **error) {
    cairo_surface_t *surface = tapul_trace_surface(size, bytes);
    cairo_t *cairo = cairo_create(surface);
    double units_per_point = size->units_per_mm * MM_PER_POINT;
    cairo_scale(cairo, units_per_point, units_per_point);
    /* As for printing: coordinates are not moved to a pixel grid then. */
    poppler_page_render_for_printing(page, cairo);
    cairo_destroy(cairo);
    cairo_surface_finish(surface);
    cairo_status_t status = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    if (status == CAIRO_STATUS_SUCCESS)
        return TRUE;
    g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SYNTAX, "cannot be drawn: %s",
                cairo_status_to_string(status));
    return FALSE;
}

static TapulDrawing *read_page(PopplerPage *page, GError **error) {
    g_autoptr(TapulDrawing) drawing = g_new0(TapulDrawing, 1);
    TapulTracePage *size = &drawing->page;
    poppler_page_get_size(page, &size->width_mm, &size->height_mm);
    size->width_mm *= MM_PER_POINT;
    size->height_mm *= MM_PER_POINT;
    size->hairline_mm = HAIRLINE_MM;
    if (!tapul_drawing_check_size(size->width_mm, size->height_mm, error) ||
        !tapul_trace_choose_units(size, 0, error))
        return NULL;
    g_autoptr(GByteArray) trace = g_byte_array_new();
    if (!draw(page, size, trace, error))
        return NULL;
    drawing->trace = tapul_trace_read((const char *)trace->data, trace->len, size, error);
    if (!drawing->trace)
        return NULL;
    drawing->motif_ids = g_ptr_array_new_with_free_func(g_free);
    return g_steal_pointer(&drawing);
}

TapulDrawing *tapul_drawing_read_pdf(GBytes *bytes, int number, GError **error) {
    PopplerDocument *document = open_pdf(bytes, error);
    PopplerPage *page = document ? open_page(document, number, error) : NULL;
    TapulDrawing *drawing = page ? read_page(page, error) : NULL;
    g_clear_object(&page);
    g_clear_object(&document);
    return drawing;
}
