#include "sheet/comparison_parts.h"

void tapul_comparison_border(TapulComparisonBook *book) {
    (void)book;
}

double tapul_comparison_border_likes(const TapulComparison *comparison) {
    (void)comparison;
    return 0;
}
