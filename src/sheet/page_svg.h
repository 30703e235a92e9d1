/* A page on its way to SVG: what is open, and how numbers, paths and pens are written. Internal
 * to sheet/. */
#ifndef TAPUL_SHEET_PAGE_SVG_H
#define TAPUL_SHEET_PAGE_SVG_H

#include "sheet/page_items.h"

/* What an open group hands down. */
typedef struct {
    double flip_mm; /* y is written as flip - y */
    int decimals;   /* of path coordinates */
    double page_mm; /* of the page, for a mm of its own */
    TapulPen pen;   /* inherited; opaque */
} TapulSvgFrame;

typedef struct {
    const TapulPage *page;
    GString *out;
    GArray *frames;      /* of TapulSvgFrame, one for each open group */
    TapulBox *first_box; /* [pictures] where each picture was first drawn; empty before */
    double *first_flip_mm;
    int n_clips;
} TapulSvgWriter;

/* The innermost open group's. */
const TapulSvgFrame *tapul_svg_frame(const TapulSvgWriter *w);
/* Opens a frame; its decimals are set by its scale. */
void tapul_svg_open_frame(TapulSvgWriter *w, TapulSvgFrame frame);

void tapul_svg_number(GString *out, double value);
void tapul_svg_attribute(TapulSvgWriter *w, const char *name, double value);
void tapul_svg_colour(TapulSvgWriter *w, const char *name, TapulColour colour);
/* What the pen has that is not inherited, as attributes. */
void tapul_svg_pen(TapulSvgWriter *w, const TapulPen *pen);
/* The attribute d. */
void tapul_svg_path_data(TapulSvgWriter *w, const TapulPath *path);

/* The item at a place of the page's list and, of paths, those after it that share its pen; how many they
 * were. (page_svg.c) */
guint tapul_svg_items(TapulSvgWriter *w, guint at);

#endif
