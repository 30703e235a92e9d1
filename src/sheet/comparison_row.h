/* Figures in a row of a comparison page: they stand on one base line, each with its caption
 * below or beside it. Internal to sheet/. */
#ifndef TAPUL_SHEET_COMPARISON_ROW_H
#define TAPUL_SHEET_COMPARISON_ROW_H

#include "sheet/comparison_parts.h"

/* What belongs to a figure's words. */
typedef enum {
    TAPUL_ROW_CAPTION_ONLY,
    TAPUL_ROW_SCALE_BAR, /* under the caption */
    TAPUL_ROW_LEGEND,    /* under the caption */
    /* Right of the caption, under it where that would be too narrow: the whole plate, and
     * region_mm on it. */
    TAPUL_ROW_LOCATOR
} TapulRowExtra;

typedef struct {
    TapulVec2 size_mm;     /* of the figure, its own */
    double scale;          /* page mm for a mm of its own */
    int first, columns;    /* of the page's grid, that it stands in */
    gboolean words_beside; /* the words stand right of it, level with its top; else below */
    int words_first, words_columns;
    const char *label, *text; /* of its caption; borrowed, text may be NULL */
    const char *scale_label;  /* "scale": the caption ends with it and the scale; NULL: not */
    const char *alternative;  /* what the figure shows, for those who cannot see it */
    TapulRowExtra extra;
    TapulBox region_mm; /* of a locator or a legend; developed frame */
} TapulRowCell;

/* A caption narrower than this, in ems, breaks up into single words (common practice, no
 * source). */
#define TAPUL_ROW_LEAST_WORDS_EMS 12.0
/* Smaller than this nothing of a print is made out. */
#define TAPUL_ROW_LEAST_SCALE (1.0 / 50)
/* The round scale next below a round one. */
double tapul_row_smaller_scale(double scale);

/* How much of the page's height cells[n] take, figures and words; and the air between rows. */
double tapul_row_gap_mm(const TapulLeaf *leaf);
double tapul_row_height_mm(const TapulComparisonBook *book, const TapulRowCell *cells, int n);

/* Draws figures[i], with cells[i], from y_top down, numbered on from book->figures; ids[i] are
 * their groups'. Returns the y of the row's base line. */
double tapul_row_draw(TapulComparisonBook *book, TapulPage *page, double y_top,
                      const TapulRowCell *cells, TapulFigure *const *figures,
                      const char *const *ids, int n);

#endif
