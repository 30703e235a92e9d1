/* Tables of figures, a row at a time. Internal to sheet/. */
#ifndef TAPUL_SHEET_ROWS_H
#define TAPUL_SHEET_ROWS_H

#include "sheet/layout.h"

typedef struct {
    const char *head;
    double share;     /* of the table's width */
    TapulAlign align; /* left or right */
} TapulColumn;

typedef struct {
    TapulPage *page;
    double left_mm, width_mm;
    double text_mm;
    int n;
    const TapulColumn *columns; /* [n] */
} TapulRows;

/* The heads, in italics, over a hairline; cells[n], shortened to their columns. Both set from y
 * down and return the y below. A hyphen before a figure becomes a minus sign. */
double tapul_rows_heads(const TapulRows *rows, double y);
double tapul_rows_add(const TapulRows *rows, double y, gboolean bold, char *const *cells);
double tapul_rows_step_mm(const TapulRows *rows);

/* The text with a minus sign for each hyphen that stands before a figure and after neither
 * letter nor figure; owned. */
char *tapul_minus_signs(const char *text);

#endif
