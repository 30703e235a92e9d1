#include "sheet/comparison_parts.h"

GPtrArray *tapul_worksheet_pages(const TapulComparison *comparison,
                                 const TapulComparisonOptions *options, GError **error) {
    (void)comparison;
    (void)options;
    g_set_error(error, TAPUL_COMPARISON_ERROR, TAPUL_COMPARISON_ERROR_NOTHING, "nothing");
    return NULL;
}
