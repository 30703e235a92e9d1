/* Blocks of text flowed into as many columns as there is room for. Internal to sheet/. */
#ifndef TAPUL_SHEET_COLUMNS_H
#define TAPUL_SHEET_COLUMNS_H

#include "sheet/layout.h"

/* Sets from the top of `at` down and returns the y below; with page NULL it only measures. */
typedef double (*TapulBlock)(TapulPage *page, TapulVec2 at, double width_mm,
                             const TapulFormat *format, gconstpointer data);

/* Least and greatest width of a column of text, in ems, and the gap between two: rows wider
 * than that are hard to follow (common practice, no source). */
#define TAPUL_LEAST_COLUMN_EMS  18.0
#define TAPUL_WIDEST_COLUMN_EMS 30.0
#define TAPUL_COLUMN_GAP_EMS    2.6

/* Sets blocks[n] in order, each whole, from the top of space down: a tall space in as few
 * columns as hold them, a wide one in as many as it has room for; and so that the tallest is as
 * short as can be. n is at most 8. */
TapulFit tapul_set_columns(TapulPage *page, TapulBox space, const TapulFormat *format,
                           const TapulBlock *blocks, int n, gconstpointer data);

#endif
