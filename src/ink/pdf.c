/* Reads a page of a PDF: poppler draws it, and its trace is read. Stands between the file and
 * the ink. Sizes are the crop box's, turned as the page says (ISO 32000-1, 14.11.2), in the
 * page's own unit, which is 1/72 inch where none is written (8.3.2.3). */
#include "ink/drawing.h"
#include "ink/pdf_text.h"
#include "ink/quiet.h"

#include <poppler.h>

#define MM_PER_POINT (25.4 / 72.0)
/* Width 0 asks for the thinnest line the device has (ISO 32000-1, 8.4.3.2): one dot at 600 to
 * the inch (common practice, no source). */
#define HAIRLINE_MM (25.4 / 600.0)

/* What poppler takes a page for whose size it cannot read, in points. */
#define LETTER_WIDTH  612.0
#define LETTER_HEIGHT 792.0

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
    if (pages < 1) {
        g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SYNTAX, "holds no pages");
        return NULL;
    }
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

static gboolean draw(PopplerPage *page, const TapulTracePage *size, double mm_per_unit,
                     GByteArray *bytes, GError **error) {
    TapulQuiet quiet = tapul_quiet_begin();
    cairo_surface_t *surface = tapul_trace_surface(size, bytes);
    cairo_t *cairo = cairo_create(surface);
    double scale = size->units_per_mm * mm_per_unit;
    cairo_scale(cairo, scale, scale);
    /* As for printing: coordinates are not moved to a pixel grid then. */
    poppler_page_render_for_printing(page, cairo);
    cairo_destroy(cairo);
    cairo_surface_finish(surface);
    cairo_status_t status = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    tapul_quiet_end(&quiet);
    if (status == CAIRO_STATUS_SUCCESS)
        return TRUE;
    g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SYNTAX, "cannot be drawn: %s",
                cairo_status_to_string(status));
    return FALSE;
}

static gboolean read_size(PopplerPage *page, const TapulPdfText *text, double mm_per_unit,
                          TapulTracePage *size, GError **error) {
    double width, height;
    poppler_page_get_size(page, &width, &height);
    gboolean is_letter = (width == LETTER_WIDTH && height == LETTER_HEIGHT) ||
                         (width == LETTER_HEIGHT && height == LETTER_WIDTH);
    size->width_mm = width * mm_per_unit;
    size->height_mm = height * mm_per_unit;
    size->hairline_mm = HAIRLINE_MM;
    return (!is_letter || tapul_pdf_check_media_boxes(text, error)) &&
           tapul_drawing_check_size(size->width_mm, size->height_mm, error) &&
           tapul_trace_choose_units(size, 0, error);
}

static TapulDrawing *read_page(PopplerPage *page, const TapulPdfText *text, int pages,
                               GError **error) {
    g_autoptr(TapulDrawing) drawing = g_new0(TapulDrawing, 1);
    TapulTracePage *size = &drawing->page;
    double unit;
    if (!tapul_pdf_user_unit(text, pages, &unit, error) ||
        !read_size(page, text, unit * MM_PER_POINT, size, error))
        return NULL;
    g_autoptr(GByteArray) trace = g_byte_array_new();
    if (!draw(page, size, unit * MM_PER_POINT, trace, error))
        return NULL;
    drawing->trace = tapul_trace_read((const char *)trace->data, trace->len, size, error);
    if (!drawing->trace)
        return NULL;
    if (text->hidden)
        tapul_skipped_add(drawing->trace->skipped, "unreadable object stream", 1,
                          tapul_box_empty());
    drawing->motif_ids = g_ptr_array_new_with_free_func(g_free);
    return g_steal_pointer(&drawing);
}

TapulDrawing *tapul_drawing_read_pdf(GBytes *bytes, int number, GError **error) {
    PopplerDocument *document = open_pdf(bytes, error);
    PopplerPage *page = document ? open_page(document, number, error) : NULL;
    g_autoptr(TapulPdfText) text = page ? tapul_pdf_text_new(bytes) : NULL;
    TapulDrawing *drawing =
        page ? read_page(page, text, poppler_document_get_n_pages(document), error) : NULL;
    g_clear_object(&page);
    g_clear_object(&document);
    return drawing;
}
