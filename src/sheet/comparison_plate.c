#include "sheet/comparison_parts.h"

void tapul_comparison_plate(TapulComparisonBook *book) {
    (void)book;
}

double tapul_comparison_plate_likes(const TapulComparison *comparison) {
    (void)comparison;
    return 0;
}
