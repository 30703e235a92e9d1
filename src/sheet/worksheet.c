/* The worksheet: for a class that compares print and plate with its own eyes. The overlay and
 * all that it tells are kept for the last pages.
 *
 * Printed in black and white: up to the answers there is no colour in it. */
#include "sheet/comparison_words.h"
#include "sheet/worksheet_parts.h"

/* A sheet that is handed out, A4, is held upright; a large one lies on the table. */
static gboolean is_landscape(const TapulComparisonOptions *options) {
    if (options->upright != TAPUL_UPRIGHT_AUTO)
        return options->upright == TAPUL_UPRIGHT_LANDSCAPE;
    return options->paper == TAPUL_PAPER_A3 || options->paper == TAPUL_PAPER_A2;
}

/* The case's title may give the answers away: a file is told by the plate. */
static void name_document(const TapulWorksheet *worksheet, TapulPage *page) {
    g_autofree char *task = tapul_comparison_capital(worksheet->comparison, "find the motifs");
    g_autofree char *title = g_strdup_printf(
        "%s: %s", task, tapul_plate_name(worksheet->comparison->question->plate));
    tapul_page_set_document(page, title);
}

TapulPage *tapul_worksheet_page(TapulWorksheet *worksheet, const char *title,
                                const char *subtitle, const char *description, TapulBox *body) {
    TapulPage *page =
        tapul_leaf_page(&worksheet->leaf, worksheet->comparison, title, subtitle, description);
    *body = tapul_leaf_body(&worksheet->leaf, worksheet->comparison, title, subtitle);
    g_ptr_array_add(worksheet->pages, page);
    name_document(worksheet, page);
    return page;
}

static GPtrArray *make_pages(const TapulComparison *comparison,
                             const TapulComparisonOptions *options, gboolean unshown_tracing,
                             const GPtrArray *prints) {
    g_autoptr(GPtrArray) motifs = g_ptr_array_new();
    TapulWorksheet worksheet = {
        .comparison = comparison,
        .options = options,
        .leaf = tapul_leaf(options->paper, is_landscape(options)),
        .pages = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_page_free),
        .prints = prints,
        .motifs = motifs,
        .squares = tapul_squares(tapul_sought_region(comparison)),
        .unshown_tracing = unshown_tracing};
    for (guint i = 0; i < prints->len; i++)
        g_ptr_array_extend(motifs, ((TapulSoughtPrint *)g_ptr_array_index(prints, i))->motifs,
                           NULL, NULL);
    tapul_worksheet_figures(&worksheet);
    tapul_worksheet_forms(&worksheet);
    tapul_worksheet_answers(&worksheet);
    tapul_leaf_feet(&worksheet.leaf, comparison, (TapulPage *const *)worksheet.pages->pdata,
                    (int)worksheet.pages->len);
    return worksheet.pages;
}

/* The answers are about what the class sees. What a tracing or a photograph shows is answered
 * only where it was weighed; else the prints are shown as laid, of which all is known. */
GPtrArray *tapul_worksheet_pages(const TapulComparison *comparison,
                                 const TapulComparisonOptions *options, GError **error) {
    gboolean weighed = tapul_sought_is_weighed(comparison);
    TapulCase untraced = *comparison->question;
    TapulComparison as_laid = {&untraced, comparison->laid, NULL, NULL};
    untraced.found = NULL;
    const TapulComparison *shown = weighed ? comparison : &as_laid;
    g_autoptr(GPtrArray) prints = tapul_sought_prints(shown);
    if (prints->len == 0) {
        g_set_error(error, TAPUL_COMPARISON_ERROR, TAPUL_COMPARISON_ERROR_NOTHING,
                    "%s: no print with motifs is laid other than as a border: name 'motifs' in "
                    "a print, and lay it ('layings')",
                    comparison->question->path);
        return NULL;
    }
    return make_pages(shown, options,
                      !weighed && (comparison->question->found || comparison->rectified),
                      prints);
}
