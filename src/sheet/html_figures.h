/* Drawings of the comparison's page for a browser: figures as inline SVG. Internal to sheet/.
 *
 * All of one document share a canvas, so that no id is given twice and no picture written
 * twice. */
#ifndef TAPUL_SHEET_HTML_FIGURES_H
#define TAPUL_SHEET_HTML_FIGURES_H

#include "sheet/figure.h"

typedef struct TapulHtmlCanvas TapulHtmlCanvas;

TapulHtmlCanvas *tapul_html_canvas_new(void);
void tapul_html_canvas_free(TapulHtmlCanvas *canvas);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulHtmlCanvas, tapul_html_canvas_free)

/* Lengths of the drawings are mm of their own page, whose lower left the figure's box begins
 * at; SVG's y runs down from its upper edge. */
#define TAPUL_HTML_PAGE_MM 200.0

/* Appends a group of the id that holds the figure, scale page mm for a mm of its own. The
 * motifs of ink (NULL: none) that motifs (of TapulShownMotif*) lists are groups with
 * data-motif, their number in ink. */
void tapul_html_draw(TapulHtmlCanvas *canvas, GString *out, const TapulFigure *figure,
                     double scale, const char *id, const TapulInk *ink,
                     const GPtrArray *motifs);

/* Appends the attribute viewBox that shows size_mm of the canvas from its lower left. */
void tapul_html_view_box(GString *out, TapulVec2 size_mm);

/* Appends x, y, width and height of a box of the canvas. */
void tapul_html_box(GString *out, TapulBox box_mm);

/* How a print lies flat in the developed frame, as nearly as can be as its laying puts it:
 * enlarged by scale, then turned, then shifted. Of a reversed laying: the print mirrored about
 * the middle of its width. */
typedef struct {
    double scale, turn_rad;
    gboolean reversed;
    TapulVec2 shift_mm;
} TapulFlatPlace;

TapulFlatPlace tapul_flat_place(const TapulComparison *comparison, int laying);
/* A point of the print frame, mirrored already. */
TapulVec2 tapul_flat_point(const TapulFlatPlace *place, TapulVec2 print_mm);
/* Appends the attribute transform that takes a print drawn by tapul_html_draw at scale *
 * place->scale, its box from print_origin_mm on, to its place on a development drawn at scale,
 * whose box begins at origin_mm. */
void tapul_html_place(GString *out, const TapulFlatPlace *place, double scale,
                      TapulVec2 print_origin_mm, TapulVec2 origin_mm);

/* Appends defs with a picture of unit size and the id, its pixels (RGBA, not premultiplied) as
 * PNG or JPEG, whichever is smaller. (html_pictures.c) */
void tapul_html_picture(GString *out, const char *id, int width_px, int height_px,
                        const guint8 *rgba);

#endif
