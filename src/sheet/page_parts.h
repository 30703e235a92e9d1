/* What a page says of its figures and tables to readers that show or reflow them. Internal to
 * sheet/. */
#ifndef TAPUL_SHEET_PAGE_PARTS_H
#define TAPUL_SHEET_PAGE_PARTS_H

#include "sheet/page_items.h"

typedef struct {
    const char *alternative; /* the page's own; NULL where none was given, as of tables */
    TapulBox box_mm; /* page frame; holds all that it draws, empty where that is nothing */
} TapulPlacedPart;

/* The figures and tables of the page in the order of the calls; a GArray of TapulPlacedPart. */
GArray *tapul_page_placed_parts(const TapulPage *page);

#endif
