/* Numbered calls about a figure: each label stands in a column left or right of it and is
 * joined to its place by a straight leader. Labels never overlap and leaders never cross
 * (callouts.c says why). Internal to sheet/. */
#ifndef TAPUL_SHEET_CALLOUTS_H
#define TAPUL_SHEET_CALLOUTS_H

#include "sheet/leaf.h"

typedef struct {
    TapulVec2 at_mm;  /* what it points to, within the figure's box; page */
    int number;       /* drawn in a ring; at most two figures */
    const char *text; /* beside the number, or NULL */
} TapulCallout;

typedef struct {
    TapulVec2 port_mm; /* where the leader ends, at the ring's side; page */
    gboolean left;     /* the label stands left of the figure and is set towards it */
} TapulCalloutStand;

/* figure: the figure's box on the page; room: what figure and labels may cover (labels stand in
 * the strips of room left and right of figure, none in a strip narrower than step_mm). step_mm:
 * height of a label with its air. FALSE: not so many fit. Places and stands count to whole
 * micrometres. Ties, and places that coincide, are resolved so that the result does not depend
 * on the order of calls. */
gboolean tapul_callouts_place(const TapulCallout *calls, int n, TapulBox figure, TapulBox room,
                              double step_mm, TapulCalloutStand *stands);

/* What labels of these calls need: strips at least so wide, and the step. The texts stand
 * beside their numbers in one line where strips of most_mm hold that, else in two; step_mm is 0
 * where those do not hold them either. */
typedef struct {
    double strip_mm, step_mm;
} TapulCalloutRoom;

TapulCalloutRoom tapul_callouts_room(const TapulLeaf *leaf, const TapulCallout *calls, int n,
                                     double most_mm);

/* Draws leaders (a hairline on a halo, a small ring at the place, so that they read on dark and
 * light), numbers in rings, and texts: in at most two lines, shortened where those do not hold
 * them. A label with text is a PARAGRAPH: not to be drawn inside another part. */
void tapul_callouts_draw(TapulPage *page, const TapulLeaf *leaf, const TapulCallout *calls,
                         const TapulCalloutStand *stands, int n, TapulBox room);

/* Numbers without leaders, on a figure: in a ring at each place, moved apart where they would
 * touch. Returns with at_mm moved. */
void tapul_numbers_part(TapulCallout *calls, int n, double radius_mm, TapulBox within);
/* The radius of a number's ring. */
double tapul_number_radius_mm(const TapulLeaf *leaf);
void tapul_number_draw(TapulPage *page, const TapulLeaf *leaf, TapulVec2 at_mm, int number);

#endif
