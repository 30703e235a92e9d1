/* The kinds of figure, and what they draw with. Internal to sheet/. */
#ifndef TAPUL_SHEET_FIGURE_PARTS_H
#define TAPUL_SHEET_FIGURE_PARTS_H

#include "sheet/figure.h"
#include "sheet/inking.h"
#include "sheet/view.h"

typedef enum {
    TAPUL_FIGURE_PRINT,
    TAPUL_FIGURE_DEVELOPMENT,
    TAPUL_FIGURE_VIEW
} TapulFigureKind;

struct TapulFigure {
    TapulFigureKind kind;
    const TapulComparison *comparison;
    TapulBox box_mm;
    int print; /* of prints */
    gboolean reversed;
    TapulShown shown; /* of developments and views */
    int laying;       /* -1: all */
    gboolean alike;   /* and with it all layings of the same print */
    TapulPath *edge;  /* of developments: the plate's, developed frame */
    TapulView *view;  /* of views */
};

/* Each draws in a group of its own frame, scale page mm for one of it; groups in it take names
 * that begin with id. */
void tapul_figure_draw_print(const TapulFigure *figure, TapulPage *page, double scale,
                             const char *id);
void tapul_figure_draw_development(const TapulFigure *figure, TapulPage *page, double scale,
                                   const char *id);
void tapul_figure_draw_view(const TapulFigure *figure, TapulPage *page, double scale,
                            const char *id);

/* The view shaded for scale, unless it is already as fine. */
void tapul_figure_shade(const TapulFigure *figure, double scale);

/* --- What lies on the metal --- */

/* One design on the metal. */
typedef struct {
    const GPtrArray *marks, *motifs; /* motifs may be NULL */
    const TapulLaidPicture *picture; /* drawn under it, or NULL */
    gboolean picture_alone;          /* it is drawn instead of the marks */
    const char *name, *title;        /* of its group */
    TapulInking inking;              /* at the figure's scale, the units its own */
} TapulShownInk;

/* In drawing order; a GArray of TapulShownInk, what it points to borrowed. */
GArray *tapul_figure_inks(const TapulFigure *figure, double scale);

/* The metal laid flat, and the plate's own lines on it. */
TapulColour tapul_shown_ground(TapulShown shown);
TapulColour tapul_shown_line(TapulShown shown);

/* --- Marks and pixels --- */

/* How strokes that would be too thin on the page are drawn. */
TapulInking tapul_figure_inking(TapulColour ink, TapulColour ground, double scale);

/* Draws the marks that touch the window, with no more pieces than show at scale. */
void tapul_figure_draw_marks(TapulPage *page, const GPtrArray *marks, const GPtrArray *motifs,
                             const char *name, const TapulInking *inking, TapulBox window,
                             double scale);

/* Pixels over a box of a figure's frame, rows from the top: what a window shows of them, no
 * finer than the page bears at scale. */
typedef struct {
    TapulBox box_mm;
    int width_px, height_px;
    const guint8 *rgba;
} TapulShownPixels;
void tapul_figure_draw_pixels(TapulPage *page, TapulShownPixels pixels, TapulBox window,
                              double scale);

/* A scanned print's own pixels over window (print frame); FALSE where there is nothing of it
 * there, or its file can no longer be read. */
gboolean tapul_figure_draw_scan(TapulPage *page, const TapulInk *ink, TapulBox window,
                                double scale);

/* --- Boxes --- */

TapulBox tapul_box_common(TapulBox a, TapulBox b);
TapulBox tapul_box_padded(TapulBox box, double pad_mm);
void tapul_box_add_box(TapulBox *box, TapulBox other);

#endif
