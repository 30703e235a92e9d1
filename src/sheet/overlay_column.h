/* The overlay sheet's column: two views of the plate, what each laying is, and the legend.
 * Internal to sheet/. */
#ifndef TAPUL_SHEET_OVERLAY_COLUMN_H
#define TAPUL_SHEET_OVERLAY_COLUMN_H

#include "sheet/inking.h"
#include "sheet/layout.h"
#include "sheet/view.h"

#include <tapul/sheets.h>

typedef struct {
    TapulColour ground, line, print, found;
} TapulOverlayColours;

typedef struct {
    const TapulOverlay *overlay;
    TapulView *view[2]; /* from the front, from three-quarters */
    TapulOverlayColours colours;
} TapulOverlaySheet;

/* A TapulColumn; data is a TapulOverlaySheet. Its merit is the scale of the views. */
TapulFit tapul_overlay_column(TapulPage *page, TapulBox space, const TapulFormat *format,
                              gpointer data);

/* Draws a view with its ink, its box's lower left at `at`, at scale (page mm for a plate mm).
 */
void tapul_overlay_draw_view(TapulPage *page, const TapulOverlaySheet *sheet, int view,
                             TapulVec2 at, double scale);

#endif
