#include "sheet/comparison_parts.h"

void tapul_comparison_details(TapulComparisonBook *book) {
    (void)book;
}

double tapul_comparison_details_likes(const TapulComparison *comparison) {
    (void)comparison;
    return 0;
}
