/* The whole plate's page: what it points to, and the list of that. Internal to sheet/. */
#ifndef TAPUL_SHEET_COMPARISON_PLATE_PARTS_H
#define TAPUL_SHEET_COMPARISON_PLATE_PARTS_H

#include "sheet/callouts.h"
#include "sheet/comparison_parts.h"

typedef struct {
    int number;
    char *text;
    gboolean seen;
    TapulVec2 own_mm; /* where it is seen, in the frame of the figure */
} TapulPlateCall;

/* What the figure shows, so that nothing is pointed to that it does not: the plate as found
 * where the case gives calls or enough motifs were found, else prints as laid (with what was
 * found); the design etched where nothing was found. */
TapulShown tapul_plate_shown(const TapulComparison *comparison);

/* The case's own calls; where it gives none, the motifs that were found; where none were, those
 * of the print if only one is laid; else one for each laying. Numbered in order, at most so
 * many motifs as are told apart. A GPtrArray of TapulPlateCall *. */
GPtrArray *tapul_plate_calls(const TapulComparison *comparison, const TapulFigure *figure);

/* The list of calls (those hidden only, or all) in columns, from the top of `at` down; returns
 * the y below. With page NULL it only measures. */
double tapul_plate_key(const TapulLeaf *leaf, TapulPage *page, TapulVec2 at, double width_mm,
                       const TapulComparison *comparison, const GPtrArray *calls,
                       gboolean hidden_only);
/* The list of all calls from the first'th on, as many as a page's body holds; returns the next.
 */
guint tapul_plate_key_page(const TapulLeaf *leaf, TapulPage *page, TapulBox body,
                           const TapulComparison *comparison, GPtrArray *calls, guint first);

#endif
