/* The pages of a comparison: fixed formats with a grid as of a catalogue, their headings, captions, legends, scale
 * bars and feet. Internal to sheet/.
 *
 * Side and top margins are a twelfth of the paper's shorter side, and the feet stand on a lower margin as wide.
 * The grid has columns of equal width with gutters between them, a step of text wide, and lines of text stand on a
 * common baseline step. Every page: a heading (title, large; a subtitle in italics), the body, and the foot:
 * credit and rights to the left, page number to the right (not on a single page).
 *
 * Whatever sets text takes any language; what begins in a script that runs to the left is set from the right. */
#ifndef TAPUL_SHEET_LEAF_H
#define TAPUL_SHEET_LEAF_H

#include "sheet/furniture.h"

#include <tapul/comparison.h>

typedef struct {
    TapulPaper paper;
    TapulFormat format;     /* size, margin, text_mm: of captions and lists */
    double title_mm, label_mm; /* of the heading; of labels in figures, at least TAPUL_LEAST_TEXT_MM */
    double step_mm;         /* baseline to baseline of captions */
    int columns;            /* 6 portrait, 12 landscape and screen */
    double column_mm, gutter_mm;
} TapulLeaf;

TapulLeaf tapul_leaf(TapulPaper paper, gboolean landscape);

/* The room left to the body under a heading of this title and subtitle (NULL: none), and above the feet; a whole
 * number of steps high. Titles are shortened to three lines, subtitles to two. */
TapulBox tapul_leaf_body(const TapulLeaf *leaf, const TapulComparison *comparison, const char *title,
                         const char *subtitle);
/* A new page with ground and heading drawn and tagged (TITLE, PARAGRAPH), in the case's language; title is also its
 * outline entry; description: what it shows, as one would say it to somebody who cannot see it. */
TapulPage *tapul_leaf_page(const TapulLeaf *leaf, const TapulComparison *comparison, const char *title,
                           const char *subtitle, const char *description);
/* Draws the feet of all pages: credit, rights, page i of n; the first page's are read aloud. */
void tapul_leaf_feet(const TapulLeaf *leaf, const TapulComparison *comparison, TapulPage *const *pages, int n);

/* Left edge and width of columns first to first + n - 1 of the body, 0 the leftmost. */
double tapul_leaf_column_x(const TapulLeaf *leaf, int first);
double tapul_leaf_columns_mm(const TapulLeaf *leaf, int n);

/* The largest round scale at which size_mm fits into room_mm, and its words "1 : 2"; owned. The round ones: 10:1, 8:1,
 * 6:1, 5:1, 4:1, 3:1, 2:1, 3:2, 1:1, 4:5, 3:4, 2:3, 3:5, 1:2, 1:2.5, 1:3, 1:4, 1:5, 1:6, 1:8, 1:10, 1:12, 1:15, 1:20, then in fives
 * to 1:50 and in tens from there. */
double tapul_leaf_scale(TapulVec2 size_mm, TapulVec2 room_mm);
char *tapul_leaf_scale_words(double scale);
/* "Scale 1 : 2." with label for "Scale"; empty on a screen, of which nobody knows how large it is shown; owned. */
char *tapul_leaf_scale_sentence(const TapulLeaf *leaf, const char *label, double scale);

/* A caption: "1", bold, then its label in italics, a full stop, the text. All but number may be NULL. Set from
 * the top of `at` down, lines a step apart; returns the y below; with page NULL it only measures. Text of scripts that
 * run to the left is set to the right edge. It is a part of its own (CAPTION) unless the caller has begun one; within
 * a FIGURE it nests. */
double tapul_leaf_caption(const TapulLeaf *leaf, TapulPage *page, TapulVec2 at, double width_mm,
                          const char *number, const char *label, const char *text);
/* "Reed cartouche. 92 x 128 mm. <credit>": what a print is, for its caption; owned. */
char *tapul_leaf_print_words(const TapulComparison *comparison, int print);

/* A scale bar of millimetres, 1, 2 or 5 times a power of ten to 500 mm, that at `scale` comes to a quarter to
 * three fifths of width_mm where one does, its figures above it; under it, if asked, one of inches. Its top left is at
 * `at`, and its left end at at.x. Returns the y below; with page NULL it only measures. */
double tapul_leaf_scale_bar(const TapulLeaf *leaf, TapulPage *page, TapulVec2 at, double width_mm, double scale,
                            gboolean inches);

/* The legend of what SHOWN_LAID draws (print ink, found design, plate lines), in one row if it fits, from the top
 * of `at` down; returns the y below; with page NULL it only measures. It is a PARAGRAPH unless the caller has begun
 * a part. */
double tapul_leaf_legend(const TapulLeaf *leaf, TapulPage *page, TapulVec2 at, double width_mm,
                         const TapulComparison *comparison);
/* The same of what figures of those n_shown boxes (developed frame) show; none: of the whole plate. */
double tapul_leaf_legend_of(const TapulLeaf *leaf, TapulPage *page, TapulVec2 at, double width_mm,
                            const TapulComparison *comparison, const TapulBox *shown_mm, int n_shown);

#endif
