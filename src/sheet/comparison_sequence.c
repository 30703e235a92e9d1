#include "sheet/comparison_parts.h"

void tapul_comparison_sequence(TapulComparisonBook *book) {
    (void)book;
}

double tapul_comparison_sequence_likes(const TapulComparison *comparison) {
    (void)comparison;
    return 0;
}
