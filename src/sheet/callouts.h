/* Numbered calls about a figure: each label stands in a column left or right of it and is joined to its place by a
 * straight leader. Labels never overlap and leaders never cross, because the labels' stands are given to the
 * places by the assignment of least total leader length: were two leaders to cross, exchanging their stands would
 * shorten the total (triangle inequality). H. W. Kuhn, Naval Research Logistics Quarterly 2, 1955, for the
 * assignment. Internal to sheet/. */
#ifndef TAPUL_SHEET_CALLOUTS_H
#define TAPUL_SHEET_CALLOUTS_H

#include "sheet/leaf.h"

typedef struct {
    TapulVec2 at_mm;   /* what it points to; page */
    int number;        /* drawn in a ring */
    const char *text;  /* beside the number, or NULL */
} TapulCallout;

typedef struct {
    TapulVec2 port_mm; /* where the leader ends at the label; page */
    gboolean left;     /* the label stands left of the figure and is set towards it */
} TapulCalloutStand;

/* figure: the figure's box on the page; room: what figure and labels may cover (labels stand in the strips of room
 * left and right of figure). step_mm: height of a label with its air. FALSE: not so many fit. Ties, and places
 * that coincide, are resolved so that the result does not depend on the order of calls. */
gboolean tapul_callouts_place(const TapulCallout *calls, int n, TapulBox figure, TapulBox room, double step_mm,
                              TapulCalloutStand *stands);
/* Draws leaders (a hairline on a halo, a small ring at the place, so that they read on dark and light), numbers
 * in rings and texts. */
void tapul_callouts_draw(TapulPage *page, const TapulLeaf *leaf, const TapulCallout *calls,
                         const TapulCalloutStand *stands, int n, TapulBox room);

/* Numbers without leaders, on a figure: in a ring at each place, moved apart where they would touch. Returns with
 * at_mm moved. */
void tapul_numbers_part(TapulCallout *calls, int n, double radius_mm, TapulBox within);
void tapul_number_draw(TapulPage *page, const TapulLeaf *leaf, TapulVec2 at_mm, int number);

#endif
