/* Writes pages as PDF: painted with cairo (page_cairo.c), which keeps their parts as structure
 * (ISO 32000-1, 14.7), then completed for those who have them read out (page_pdf_catalogue.c).
 */
#include "sheet/page_pdf.h"
#include "sheet/page_cairo.h"
#include "sheet/page_items.h"

#include <cairo-pdf.h>

#define POINTS_PER_MM (72 / 25.4) /* ISO 32000-1, 8.3.2.1 */

/* The root of the structure, where there is one. */
#define DOCUMENT_TAG "Document"

/* No date is written: the same page gives the same bytes. */
static void set_metadata(cairo_surface_t *surface, const TapulPage *page, int n_pages) {
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE,
                                   n_pages > 1 && page->document ? page->document
                                                                 : page->title);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_SUBJECT, page->description);
    if (page->author)
        cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_AUTHOR, page->author);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, "");
}

static void add_outline_entry(cairo_surface_t *surface, const char *entry, int page_number) {
    g_autofree char *place = g_strdup_printf("page=%d", page_number);
    cairo_pdf_surface_add_outline(surface, CAIRO_PDF_OUTLINE_ROOT, entry, place,
                                  CAIRO_PDF_OUTLINE_FLAG_OPEN);
}

static cairo_status_t paint_pages(cairo_surface_t *surface, TapulPage *const *pages,
                                  int n_pages) {
    cairo_t *cr = cairo_create(surface);
    gboolean tagged = FALSE;
    for (int i = 0; i < n_pages; i++)
        tagged |= pages[i]->has_parts;
    for (int i = 0; i < n_pages; i++) {
        cairo_pdf_surface_set_size(surface, pages[i]->width_mm * POINTS_PER_MM,
                                   pages[i]->height_mm * POINTS_PER_MM);
        /* Not before the first page has its size: cairo throws away what was drawn until then.
         */
        if (tagged && i == 0)
            cairo_tag_begin(cr, DOCUMENT_TAG, NULL);
        tapul_page_paint(cr, pages[i], POINTS_PER_MM);
        cairo_show_page(cr);
        if (n_pages > 1)
            add_outline_entry(surface, pages[i]->outline, i + 1);
    }
    if (tagged)
        cairo_tag_end(cr, DOCUMENT_TAG);
    cairo_status_t status = cairo_status(cr);
    cairo_destroy(cr);
    return status;
}

gboolean tapul_page_write_pdf(TapulPage *const *pages, int n_pages, const char *path,
                              GError **error) {
    g_assert(n_pages > 0);
    g_autoptr(GByteArray) bytes = g_byte_array_new();
    cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(
        tapul_append_bytes, bytes, pages[0]->width_mm * POINTS_PER_MM,
        pages[0]->height_mm * POINTS_PER_MM);
    set_metadata(surface, pages[0], n_pages);
    cairo_status_t status = paint_pages(surface, pages, n_pages);
    cairo_surface_finish(surface);
    if (status == CAIRO_STATUS_SUCCESS)
        status = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    return tapul_page_is_drawn(status, path, error) &&
           tapul_pdf_complete(bytes, pages, n_pages, path, error) &&
           g_file_set_contents(path, (const char *)bytes->data, (gssize)bytes->len, error);
}
