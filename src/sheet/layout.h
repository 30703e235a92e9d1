/* Page formats, and the composition that all sheets share: a title, a figure at true scale, and
 * a column of what is said about it. Internal to sheet/. */
#ifndef TAPUL_SHEET_LAYOUT_H
#define TAPUL_SHEET_LAYOUT_H

#include <tapul/page.h>

typedef struct {
    double width_mm, height_mm; /* as turned: portrait or landscape */
    double margin_mm;
    double text_mm; /* em of running text */
} TapulFormat;

/* Smaller text than this is not set: about 7 points (common practice for captions, no source).
 */
#define TAPUL_LEAST_TEXT_MM 2.5

/* What became of a column in a space. */
typedef struct {
    double bottom_mm; /* y where it ends; -INFINITY: it cannot be set there */
    double width_mm;  /* of the space, what it took from the left */
    double merit;     /* among formats of one size the composition with most merit is taken */
} TapulFit;

/* Draws from the top of space down; with page NULL only measures. */
typedef TapulFit (*TapulColumn)(TapulPage *page, TapulBox space, const TapulFormat *format,
                                gpointer data);

typedef struct {
    const char *title, *subtitle, *description;
    TapulBox figure_mm;    /* in its own frame; drawn at 1:1 */
    double figure_pad_ems; /* room for labels around it, in ems of running text */
    TapulColumn column;
    gpointer data;
} TapulComposition;

/* A page of the smallest ISO 216 A format, A4 to A0 (then 2A0, 4A0, and beyond that one as
 * large as it takes), that holds the composition, with ground, title and column drawn.
 * origin_mm is where the figure's own (0, 0) comes to lie. */
TapulPage *tapul_compose(const TapulComposition *composition, TapulFormat *format,
                         TapulVec2 *origin_mm);

#endif
