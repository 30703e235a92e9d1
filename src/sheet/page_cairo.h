/* A page painted with cairo, whatever the surface. Internal to sheet/. */
#ifndef TAPUL_SHEET_PAGE_CAIRO_H
#define TAPUL_SHEET_PAGE_CAIRO_H

#include <tapul/page.h>

#include <cairo.h>

/* Paints the page, its upper left at the surface's; its parts are cairo tags. */
void tapul_page_paint(cairo_t *cr, const TapulPage *page, double units_per_mm);

/* Collects what cairo writes in a GByteArray. */
cairo_status_t tapul_append_bytes(void *bytes, const unsigned char *data, unsigned int length);

/* Says of a status that is no success that the page cannot be drawn. */
gboolean tapul_page_is_drawn(cairo_status_t status, const char *path, GError **error);

#endif
