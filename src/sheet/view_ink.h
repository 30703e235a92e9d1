/* Ink and lines drawn in a view, at any scale of the page. Internal to sheet/. */
#ifndef TAPUL_SHEET_VIEW_INK_H
#define TAPUL_SHEET_VIEW_INK_H

#include "sheet/inking.h"
#include "sheet/view.h"

/* All are drawn in a group whose units are the view's mm; scale: page mm for one of them. */

/* How large a pixel of the shaded picture is, mm of the view. */
double tapul_view_pixel_mm(const TapulView *view, double scale);

/* Marks of the development (of TapulMark *) carried to the shaded view, as tapul_inking_draw
 * draws them; inking is in the view's units. */
void tapul_view_draw_ink(TapulPage *page, const TapulView *view, const GPtrArray *marks,
                         const GPtrArray *motifs, const char *name, const TapulInking *inking,
                         double scale);

/* Contour and edge. */
void tapul_view_draw_lines(TapulPage *page, const TapulView *view, double scale);

#endif
