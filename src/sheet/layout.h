/* Page formats, and the composition that all sheets share: a title, a figure at true scale,
 * views that belong to it, and what is said about it. Internal to sheet/. */
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

/* What became of words in a space. */
typedef struct {
    double bottom_mm; /* y where they end; -INFINITY: they cannot be set there */
    double width_mm;  /* of the space, what they took from the left */
} TapulFit;

/* Sets words from the top of space down; with page NULL only measures. */
typedef TapulFit (*TapulWords)(TapulPage *page, TapulBox space, const TapulFormat *format,
                               gconstpointer data);

/* A view of what the figure shows, drawn at whatever scale there is room for. */
typedef struct {
    TapulVec2 size_mm;   /* at 1:1 */
    const char *caption; /* its scale is added */
} TapulInset;

#define TAPUL_MOST_INSETS 2

/* Draws an inset, its lower left at `at`, at scale (page mm for a mm of its own). */
typedef void (*TapulDrawInset)(TapulPage *page, int inset, TapulVec2 at, double scale,
                               gconstpointer data);

typedef struct {
    const char *title, *subtitle, *description;
    const TapulPath *figure; /* its outline in its own frame; drawn at 1:1 */
    double figure_pad_ems;   /* room for labels around it, in ems of running text */
    int n_insets;            /* at most TAPUL_MOST_INSETS */
    TapulInset insets[TAPUL_MOST_INSETS];
    TapulDrawInset draw_inset;
    TapulWords words;
    gconstpointer data;
} TapulComposition;

/* A page of the smallest ISO 216 A format, A4 to A0 (then 2A0, 4A0, and beyond that one as
 * large as it takes), that holds the composition, with ground, title, insets and words drawn.
 * origin_mm is where the figure's own (0, 0) comes to lie. */
TapulPage *tapul_compose(const TapulComposition *composition, TapulFormat *format,
                         TapulVec2 *origin_mm);

#endif
