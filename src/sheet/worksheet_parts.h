/* What the worksheet's pages share: its prints with their motifs numbered, and the squares that
 * places on the plate are named by. Internal to sheet/. */
#ifndef TAPUL_SHEET_WORKSHEET_PARTS_H
#define TAPUL_SHEET_WORKSHEET_PARTS_H

#include "sheet/comparison_parts.h"

/* --- Squares --- */

/* Squares over a figure as for squaring-up: columns named by letters from the left, rows by
 * numbers from the top. Frame of the figure. */
typedef struct {
    TapulBox box_mm; /* whole squares, the figure in their middle */
    double cell_mm;  /* a round number */
    int columns, rows;
} TapulSquares;

TapulSquares tapul_squares(TapulBox figure_mm);
/* The square that a point lies in, "C4"; of points beyond, the nearest; owned. */
char *tapul_squares_name(const TapulSquares *squares, TapulVec2 at_mm);
/* That of a box's middle, "C4", and where it reaches into others "C4 (B3–D5)"; owned. */
char *tapul_squares_names(const TapulSquares *squares, TapulBox box_mm);
/* How far their letters and numbers stand out beyond them, on all four sides. */
double tapul_squares_label_mm(const TapulLeaf *leaf);
/* Draws lines, letters and numbers, their lower left at `at`. */
void tapul_squares_draw(TapulPage *page, const TapulLeaf *leaf, const TapulSquares *squares,
                        TapulVec2 at, double scale);

/* --- What is asked for --- */

/* Over all prints, a row a place of a motif: what a class can look for in a lesson. */
#define TAPUL_WORKSHEET_MOST_ROWS   14
#define TAPUL_WORKSHEET_MOST_PRINTS 3

/* Where a motif's number would be, of a print that has no motifs and is asked for itself; the
 * same as marks have that are of no motif. */
#define TAPUL_WORKSHEET_WHOLE_PRINT (-1)

/* A motif of a print, and where each laying of that print puts it. */
typedef struct {
    int number;                   /* from 1, over all prints */
    const TapulShownMotif *shown; /* of the first laying; borrowed from the print's list */
    TapulVec2 mark_mm;            /* where on the print to point; print frame */
    GPtrArray *places;            /* of const TapulShownMotif*, one a laying that shows it */
} TapulSoughtMotif;

/* A print, laid once or more. */
typedef struct {
    int print;
    GArray *layings;   /* of int */
    GPtrArray *lists;  /* of GPtrArray* of TapulShownMotif*, one a laying */
    GArray *chosen;    /* of guint, of the first list, those that are asked for */
    GPtrArray *motifs; /* of TapulSoughtMotif*, as numbered */
} TapulSoughtPrint;

typedef struct {
    const TapulComparison *comparison;
    const TapulComparisonOptions *options;
    TapulLeaf leaf;
    GPtrArray *pages;
    const GPtrArray *prints;  /* of TapulSoughtPrint* */
    GPtrArray *motifs;        /* of TapulSoughtMotif*, of all prints; borrowed */
    TapulSquares squares;     /* over the part of the development that bears the design */
    int figures;              /* numbered so far */
    gboolean unshown_tracing; /* there is one, but what it tells was not weighed */
} TapulWorksheet;

/* The prints to look for, in a GPtrArray of TapulSoughtPrint*, owned, those with most ink laid
 * first: borders left out, and where any was weighed all that were not. Empty: none has motifs.
 */
GPtrArray *tapul_sought_prints(const TapulComparison *comparison);
/* Whether what became of any motif laid was weighed. */
gboolean tapul_sought_is_weighed(const TapulComparison *comparison);
/* Sets each print's chosen, and drops prints of which nothing is. (worksheet_choice.c) */
void tapul_sought_choose(const TapulComparison *comparison, GPtrArray *prints);
/* It has a place and a shape of its own: it neither fills nor surrounds others, nor is it
 * scattered between them. */
gboolean tapul_sought_stands_out(const TapulInk *ink, int motif);
/* The tracing does not tell what became of it. */
gboolean tapul_sought_is_undecided(const TapulComparison *comparison,
                                   const TapulShownMotif *motif);
/* "left copy", "upper copy", ...: which of a print's copies on the plate a place belongs to, as
 * the plate is seen; NULL where there is one only; owned. */
char *tapul_sought_copy_words(const TapulComparison *comparison, const TapulSoughtMotif *motif,
                              guint place);
/* Sets where to point to each motif: on its ink, clear of others'. */
void tapul_sought_marks(const TapulInk *ink, TapulSoughtPrint *print);
/* The part of the development that bears prints other than borders, and what was found; so much
 * of the plate is drawn as large as the page lets. */
TapulBox tapul_sought_region(const TapulComparison *comparison);
/* "Reed cartouche, Two kingfishers"; owned. */
char *tapul_sought_names(const TapulComparison *comparison, const GPtrArray *prints);

/* A page with its heading: title and subtitle are drawn and shown in the outline. */
TapulPage *tapul_worksheet_page(TapulWorksheet *worksheet, const char *title,
                                const char *subtitle, const char *description, TapulBox *body);

/* --- Pages --- */

/* The prints with their motifs numbered, and the plate with nothing laid over it. */
void tapul_worksheet_figures(TapulWorksheet *worksheet);
/* The tables to fill in, and the questions. */
void tapul_worksheet_forms(TapulWorksheet *worksheet);
/* The overlays, the tables filled, the questions answered. */
void tapul_worksheet_answers(TapulWorksheet *worksheet);

/* "Scale 1 : 2."; nothing on a screen; owned. */
char *tapul_worksheet_scale_words(const TapulWorksheet *worksheet, double scale);
/* The round scale at which size_mm fits into room_mm; above 1 : 1 in tenths, so that a print is
 * as large as the page lets. */
double tapul_worksheet_scale(TapulVec2 size_mm, TapulVec2 room_mm);
/* Draws figure in the middle of the upper part of room, at a round scale, squares over it if
 * given; returns that scale, and where its lower left lies. */
double tapul_worksheet_place(const TapulWorksheet *worksheet, TapulPage *page, TapulBox room,
                             const TapulFigure *figure, const TapulSquares *squares,
                             const char *id, TapulVec2 *at);

/* --- Tables --- */

#define TAPUL_WORKSHEET_COLUMNS 7

typedef enum {
    TAPUL_COLUMN_NUMBER,
    TAPUL_COLUMN_MOTIF,
    TAPUL_COLUMN_FOUND,
    TAPUL_COLUMN_SQUARE,
    TAPUL_COLUMN_WAY,
    TAPUL_COLUMN_SIZE,
    TAPUL_COLUMN_MOVED
} TapulWorksheetColumn;

/* Left edges, and the right edge of the last. */
typedef struct {
    double x_mm[TAPUL_WORKSHEET_COLUMNS + 1];
} TapulWorksheetGrid;

TapulWorksheetGrid tapul_worksheet_grid(double left_mm, double width_mm, gboolean answers);
/* The heads; to_fill: with what can be ticked below them. Returns the y below; with page NULL
 * it only measures. */
double tapul_worksheet_heads(const TapulWorksheet *worksheet, TapulPage *page, double top_mm,
                             const TapulWorksheetGrid *grid, gboolean to_fill);
/* A cell's text, in lines from the top of the cell down; returns the y below; with page NULL it
 * only measures. */
double tapul_worksheet_cell(const TapulWorksheet *worksheet, TapulPage *page, double top_mm,
                            const TapulWorksheetGrid *grid, int column, const char *text);

/* A table's row, and the boxes in it that are ticked by hand; lines to write on (common
 * practice of exercise books, no source). */
#define TAPUL_WORKSHEET_ROW_MM  9.0
#define TAPUL_WORKSHEET_TICK_MM 3.6
#define TAPUL_WORKSHEET_LINE_MM 8.0

/* A row to fill in for a motif at one of its places; returns the y below. */
double tapul_worksheet_row(const TapulWorksheet *worksheet, TapulPage *page, double top_mm,
                           const TapulWorksheetGrid *grid, const TapulSoughtMotif *motif,
                           guint place);
/* "Mask", of several copies "Mask, left copy"; owned. */
char *tapul_worksheet_row_name(const TapulWorksheet *worksheet, const TapulSoughtMotif *motif,
                               guint place);

/* Left out, or not on the plate at all. */
gboolean tapul_worksheet_is_missing(const TapulShownMotif *motif);
/* What the column says of a motif at one of its places; a dash where there is nothing to say,
 * nothing where the tracing does not tell; owned. */
char *tapul_worksheet_answer(const TapulWorksheet *worksheet, const TapulShownMotif *motif,
                             TapulWorksheetColumn column);

/* --- Questions --- */

#define TAPUL_WORKSHEET_QUESTIONS 3

/* The question's words, and the answer from the case's own figures; owned. */
char *tapul_worksheet_question(const TapulWorksheet *worksheet, int question);
char *tapul_worksheet_reply(const TapulWorksheet *worksheet, int question);

#endif
