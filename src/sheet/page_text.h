/* Setting one line of text with Pango: shared by measuring and drawing, so that they agree.
 * Internal to sheet/. */
#ifndef TAPUL_SHEET_PAGE_TEXT_H
#define TAPUL_SHEET_PAGE_TEXT_H

#include "sheet/page_items.h"

#include <pango/pangocairo.h>

/* Layouts are set this much larger than life and drawn smaller, so that Pango's units do not
 * round the letters' places. */
#define TAPUL_LAYOUT_UNITS_PER_MM 100.0

/* A layout of text on cr, or on nothing where cr is NULL. Free with g_object_unref. */
PangoLayout *tapul_text_layout(cairo_t *cr, const char *text, const TapulType *type);

#endif
