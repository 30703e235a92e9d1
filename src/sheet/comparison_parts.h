/* The comparison's layouts, each a maker of pages. Internal to sheet/. */
#ifndef TAPUL_SHEET_COMPARISON_PARTS_H
#define TAPUL_SHEET_COMPARISON_PARTS_H

#include "sheet/figure.h"
#include "sheet/leaf.h"

/* What the makers share. */
typedef struct {
    const TapulComparison *comparison;
    const TapulComparisonOptions *options;
    TapulLeaf leaf;
    GPtrArray *pages;  /* of TapulPage*: makers add theirs */
    int figures;       /* numbered so far, over all pages */
} TapulComparisonBook;

/* Each adds no page, one or several; nothing where the case holds nothing for it. */
void tapul_comparison_beside(TapulComparisonBook *book);
void tapul_comparison_sequence(TapulComparisonBook *book);
void tapul_comparison_details(TapulComparisonBook *book);
void tapul_comparison_plate(TapulComparisonBook *book);
void tapul_comparison_border(TapulComparisonBook *book);

/* Which way up suits a layout's figures best: > 0 landscape, < 0 portrait, the larger the surer. */
double tapul_comparison_beside_likes(const TapulComparison *comparison);
double tapul_comparison_sequence_likes(const TapulComparison *comparison);
double tapul_comparison_details_likes(const TapulComparison *comparison);
double tapul_comparison_plate_likes(const TapulComparison *comparison);
double tapul_comparison_border_likes(const TapulComparison *comparison);

#endif
