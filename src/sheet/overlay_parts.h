/* The overlay sheet's parts: two views of the plate, and its words: what each laying is, and
 * the legend. Internal to sheet/. */
#ifndef TAPUL_SHEET_OVERLAY_PARTS_H
#define TAPUL_SHEET_OVERLAY_PARTS_H

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

/* Whether some laying shows its picture, and some such its lines over it. */
typedef struct {
    gboolean any, under_lines;
} TapulShownPictures;

TapulShownPictures tapul_overlay_pictures(const TapulOverlay *overlay);

/* A TapulWords; data is a TapulOverlaySheet. */
TapulFit tapul_overlay_words(TapulPage *page, TapulBox space, const TapulFormat *format,
                             gconstpointer data);

/* A TapulDrawInset; data is a TapulOverlaySheet. */
void tapul_overlay_draw_view(TapulPage *page, int view, TapulVec2 at, double scale,
                             gconstpointer data);

/* What a laying came to, in a curator's words: lengths, stretch, what is lost; owned. */
char *tapul_laying_figures(const TapulLaidInk *laid, gboolean ridge);

#endif
