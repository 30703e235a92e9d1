/* One period of a print that holds several, for the bordered rule. */
#ifndef TAPUL_LAYING_PERIOD_H
#define TAPUL_LAYING_PERIOD_H

#include <tapul/ink.h>

G_BEGIN_DECLS

/* The marks (GPtrArray of TapulMark*, owned) that, set side by side at distances of period_mm,
 * make the whole print again: of short marks those whose middle lies within the first period,
 * of long ones the part within it. */
GPtrArray *tapul_period_marks(const TapulInk *ink, double period_mm, double tolerance_mm);

G_END_DECLS

#endif
