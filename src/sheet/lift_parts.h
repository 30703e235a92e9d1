/* The parts of the lifted sheets: words, pens. Internal to sheet/. */
#ifndef TAPUL_SHEET_LIFT_PARTS_H
#define TAPUL_SHEET_LIFT_PARTS_H

#include "sheet/layout.h"

#include <tapul/sheets.h>

/* A sheet's paper, a little lighter than the page. */
#define TAPUL_SHEET_PAPER ((TapulColour){1, 1, 1, 1})

/* The likely plate mark: ISO 128's narrow chain line, for what is not there to be seen. */
extern const TapulPen tapul_lift_mark_pen;

/* The lines of a rule where several lie on each other: told by colour and by line. */
typedef struct {
    TapulPen pen;
    const char *line;
} TapulRuleLine;
const TapulRuleLine *tapul_lift_rule_line(TapulLayingRule rule);

/* What joins two places of one point of the design. */
extern const TapulPen tapul_lift_apart_pen;

/* "if it was pressed on from its anchor outward (rolled)" */
const char *tapul_lift_if(TapulLayingRule rule);

typedef struct {
    const TapulLiftSheet *sheet;
    int lifted; /* of the page's own rule; -1: the comparison */
} TapulLiftWords;

/* TapulWords; data is a TapulLiftWords. */
TapulFit tapul_lift_words(TapulPage *page, TapulBox space, const TapulFormat *format,
                          gconstpointer data);
TapulFit tapul_lift_comparison_words(TapulPage *page, TapulBox space, const TapulFormat *format,
                                     gconstpointer data);

#endif
