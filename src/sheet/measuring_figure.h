/* The measuring sheet's drawing while it is drawn: where its parts stand, and the marks they
 * are made of. Internal to sheet/. */
#ifndef TAPUL_SHEET_MEASURING_FIGURE_H
#define TAPUL_SHEET_MEASURING_FIGURE_H

#include "sheet/measuring.h"

#define TAPUL_FIGURE_BOARD_MM      2.4 /* as drawn */
#define TAPUL_FIGURE_BOARD_PAST_MM 4.0 /* past the plate at each end */
#define TAPUL_FIGURE_OFF_MM        2.6 /* from a line to the middle of its number */

typedef struct {
    TapulPage *page;
    const TapulMeasuring *measuring;
    double scale;                   /* page mm for a mm of the plate */
    double small_mm;                /* em of numbers */
    double caption_y;               /* baseline under side and front */
    GArray *numbers;                /* of TapulBox: where numbers stand already */
    TapulVec2 side, front, section; /* where z = y = 0, x = y = 0 and x = z = 0 come to lie */
} TapulFigure;

/* A place of the plate on the page: across and up from an origin. */
TapulVec2 tapul_figure_place(const TapulFigure *figure, TapulVec2 origin, double across_mm,
                             double up_mm);
const TapulLevel *tapul_figure_level(const TapulFigure *figure, guint i);

void tapul_figure_text(const TapulFigure *figure, TapulVec2 middle, const char *text,
                       TapulAlign align);
/* Takes the room of a number; FALSE where another one stands already. */
gboolean tapul_figure_claim(const TapulFigure *figure, TapulVec2 middle, const char *text);
/* A number on a patch of paper, so that no line runs through it. */
void tapul_figure_number(const TapulFigure *figure, TapulVec2 middle, const char *text);
void tapul_figure_dot(const TapulFigure *figure, TapulVec2 at);
void tapul_figure_line(const TapulFigure *figure, TapulVec2 from, TapulVec2 to, double width_mm,
                       TapulColour colour);
void tapul_figure_chain(const TapulFigure *figure, TapulVec2 from, TapulVec2 to);
/* A measured distance: a line with an arrow at its far end. */
void tapul_figure_arrow(const TapulFigure *figure, TapulVec2 from, TapulVec2 to);
void tapul_figure_board(const TapulFigure *figure, TapulBox box);

/* The level that is drawn from below, on the board, with its readings. */
void tapul_figure_section(const TapulFigure *figure);

#endif
