#include "sheet/comparison_parts.h"

void tapul_comparison_beside(TapulComparisonBook *book) {
    (void)book;
}

double tapul_comparison_beside_likes(const TapulComparison *comparison) {
    (void)comparison;
    return 0;
}
