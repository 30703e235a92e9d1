/* Text of unknown length in a place that has room for so much. Internal to sheet/. */
#ifndef TAPUL_SHEET_SHORTENED_H
#define TAPUL_SHEET_SHORTENED_H

#include <tapul/page.h>

/* The text, or where it breaks into more than most_lines of width_mm, so many lines of it with
 * an ellipsis; owned. */
char *tapul_text_shortened(const char *text, double width_mm, guint most_lines,
                           const TapulType *type);

#endif
