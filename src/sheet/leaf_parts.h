/* What the parts of leaf.h share. Internal to sheet/leaf*.c. */
#ifndef TAPUL_SHEET_LEAF_PARTS_H
#define TAPUL_SHEET_LEAF_PARTS_H

#include "sheet/leaf.h"
#include "sheet/page_items.h"

/* From the top of a line to its baseline, and from there to its bottom, in ems: EB Garamond's
 * accented capitals and its descenders. */
#define TAPUL_LEAF_ASCENT  0.86
#define TAPUL_LEAF_DESCENT 0.28

/* Width between the margins. */
double tapul_leaf_width_mm(const TapulLeaf *leaf);

/* The top of the feet, which a body stays above. */
double tapul_leaf_feet_top_mm(const TapulLeaf *leaf, const TapulComparison *comparison);

/* Begins a part where the caller has not begun one that it would nest in; a caption may stand
 * in a figure. Whether it did, and so is to be ended. */
gboolean tapul_leaf_begin_part(TapulPage *page, TapulPart part);

#endif
