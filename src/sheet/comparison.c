/* The pages of a comparison: which layouts a case has something for, which way up their paper
 * is, and the pages in order.
 *
 * The makers of the layouts stand in files of their own (comparison_parts.h).
 */
#include "sheet/comparison_parts.h"

G_DEFINE_QUARK(tapul - comparison - error - quark, tapul_comparison_error)

static const struct {
    TapulLayouts layout;
    const char *name;
    void (*make)(TapulComparisonBook *book);
    double (*likes)(const TapulComparison *comparison);
} layouts[] = {
    {TAPUL_LAYOUT_BESIDE, "beside", tapul_comparison_beside, tapul_comparison_beside_likes},
    {TAPUL_LAYOUT_SEQUENCE, "sequence", tapul_comparison_sequence,
     tapul_comparison_sequence_likes},
    {TAPUL_LAYOUT_DETAILS, "details", tapul_comparison_details, tapul_comparison_details_likes},
    {TAPUL_LAYOUT_PLATE, "plate", tapul_comparison_plate, tapul_comparison_plate_likes},
    {TAPUL_LAYOUT_BORDER, "border", tapul_comparison_border, tapul_comparison_border_likes},
};

TapulComparisonOptions tapul_comparison_options_defaults(void) {
    return (TapulComparisonOptions){.paper = TAPUL_PAPER_A4, .layouts = TAPUL_LAYOUT_ALL};
}

const char *tapul_layout_name(TapulLayouts layout) {
    for (guint i = 0; i < G_N_ELEMENTS(layouts); i++)
        if (layouts[i].layout == layout)
            return layouts[i].name;
    g_assert_not_reached();
}

/* All pages alike, as their figures like it best in sum. */
static gboolean likes_landscape(const TapulComparison *comparison,
                                const TapulComparisonOptions *options) {
    double sum = 0;
    if (options->upright != TAPUL_UPRIGHT_AUTO)
        return options->upright == TAPUL_UPRIGHT_LANDSCAPE;
    for (guint i = 0; i < G_N_ELEMENTS(layouts); i++)
        if (options->layouts & layouts[i].layout)
            sum += layouts[i].likes(comparison);
    return sum >= 0;
}

GPtrArray *tapul_comparison_pages(const TapulComparison *comparison,
                                  const TapulComparisonOptions *options, GError **error) {
    TapulComparisonBook book = {
        .comparison = comparison,
        .options = options,
        .leaf = tapul_leaf(options->paper, likes_landscape(comparison, options)),
        .pages = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_page_free),
    };
    for (guint i = 0; i < G_N_ELEMENTS(layouts); i++)
        if (options->layouts & layouts[i].layout)
            layouts[i].make(&book);
    if (book.pages->len == 0) {
        g_set_error(error, TAPUL_COMPARISON_ERROR, TAPUL_COMPARISON_ERROR_NOTHING,
                    "%s: the case holds nothing that these layouts show: lay a print "
                    "('layings'; a border by the rule bordered)",
                    comparison->question->path);
        g_ptr_array_unref(book.pages);
        return NULL;
    }
    tapul_leaf_feet(&book.leaf, comparison, (TapulPage *const *)book.pages->pdata,
                    (int)book.pages->len);
    return book.pages;
}
