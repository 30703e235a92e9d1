/* The details: motifs of print and plate in pairs, at one scale a page.
 *
 * comparison_details_choice.c says which, comparison_details_pages.c how they fill the pages.
 */
#include "sheet/comparison_details.h"

#include "sheet/comparison_words.h"

#define MOST_PAGES 3
/* The notes' share of the width; the scale bar stands right of them. */
#define NOTES_COLUMNS(all) ((all)*2 / 3)
#define NOTES_GAP_STEPS    1.6
#define LEGEND_GAP_STEPS   0.7
/* Air that rows may be given where the page has some to spare. */
#define SPARE_GAP_STEPS 2.0

typedef struct {
    TapulComparisonBook *book;
    const GPtrArray *motifs, *details;
    const GPtrArray *pages; /* of TapulDetailPage* */
    int left_out;           /* details that are not shown */
} Shown;

/* --- Notes --- */

static void add_word(const TapulComparison *comparison, GString *text, const char *word) {
    tapul_comparison_add_take(text, tapul_comparison_sentence(comparison, word));
}

/* Whether the plate's own design is shown beside the print: where it was weighed whether that
 * is the motif. Else, with a design found, the print as laid is shown with it. */
static TapulShown shown_of(const TapulComparison *comparison, const TapulShownMotif *motif) {
    gboolean bears = comparison->question->found || comparison->rectified;
    return bears && !motif->finding ? TAPUL_SHOWN_LAID : TAPUL_SHOWN_FOUND;
}

static gboolean has_laid(const Shown *shown) {
    for (guint i = 0; i < shown->details->len; i++) {
        const TapulDetail *detail = g_ptr_array_index(shown->details, i);
        if (shown_of(shown->book->comparison, detail->motif) == TAPUL_SHOWN_LAID)
            return TRUE;
    }
    return FALSE;
}

/* What the right crop of a pair is. */
static void add_lead(const Shown *shown, GString *text) {
    const TapulComparison *comparison = shown->book->comparison;
    const TapulDetail *first = g_ptr_array_index(shown->details, 0);
    add_word(comparison, text,
             first->motif->finding
                 ? "in each pair, left the print as engraved, right the plate"
                 : "in each pair, left the print as engraved, right as laid over the metal");
    if (has_laid(shown))
        add_word(comparison, text, "what became of the motifs was not weighed");
}

static int count_layings(const TapulComparison *comparison, int print) {
    const GPtrArray *layings = comparison->question->layings;
    int count = 0;
    for (guint i = 0; i < layings->len; i++)
        count += ((const TapulCaseLaying *)g_ptr_array_index(layings, i))->print == print;
    return count;
}

static void add_print(const TapulComparison *comparison, GString *text,
                      const TapulShownMotif *motif) {
    const TapulCaseLaid *laid = g_ptr_array_index(comparison->laid, motif->laying);
    double scale, turn_rad;
    gboolean reversed;
    tapul_comparison_add_take(text, tapul_leaf_print_words(comparison, motif->print));
    tapul_laying_placement(laid->map, &scale, &turn_rad, &reversed);
    if (!motif->finding)
        tapul_comparison_add_take(text,
                                  tapul_comparison_laying_words(comparison, motif->laying));
    else if (reversed)
        add_word(comparison, text, "reversed on the plate");
    if (count_layings(comparison, motif->print) > 1)
        add_word(comparison, text, "here as it is laid first");
}

static void add_left_out(const Shown *shown, GString *text) {
    const TapulComparison *comparison = shown->book->comparison;
    if (tapul_details_only_laid(shown->details) &&
        tapul_details_tell_all(comparison, shown->motifs, shown->details))
        add_word(comparison, text, "the other motifs are as in the print, or nearly so");
    else
        g_string_append_printf(
            text, " %d %s.", shown->left_out,
            tapul_case_word(comparison->question, shown->left_out == 1
                                                      ? "further motif is not shown"
                                                      : "further motifs are not shown"));
}

/* Of details first to first + n - 1, which lie print by print. */
static char *notes(const Shown *shown, int first, int n, gboolean on_first, gboolean on_last) {
    const TapulComparison *comparison = shown->book->comparison;
    GString *text = g_string_new(NULL);
    int print = -1;
    add_lead(shown, text);
    for (int i = first; i < first + n; i++) {
        const TapulDetail *detail = g_ptr_array_index(shown->details, i);
        if (detail->motif->print != print)
            add_print(comparison, text, detail->motif);
        print = detail->motif->print;
    }
    if (on_last && shown->left_out > 0)
        add_left_out(shown, text);
    if (on_first)
        tapul_comparison_add_take(text, g_strdup(g_hash_table_lookup(
                                            comparison->question->sheet.captions, "details")));
    return g_string_free(text, FALSE);
}

/* Notes (and a legend, where one is needed) to the left, scale and bar to the right, from y
 * down; returns their height. With page NULL only that. */
static double set_foot(const Shown *shown, TapulPage *page, double y, double scale,
                       const char *text) {
    const TapulComparisonBook *book = shown->book;
    const TapulLeaf *leaf = &book->leaf;
    int wide = NOTES_COLUMNS(leaf->columns), rest = leaf->columns - wide;
    TapulVec2 left = {tapul_leaf_column_x(leaf, 0), y};
    TapulVec2 right = {tapul_leaf_column_x(leaf, wide), y};
    g_autofree char *word = tapul_comparison_capital(book->comparison, "scale");
    g_autofree char *said = tapul_leaf_scale_sentence(leaf, word, scale);
    double width = tapul_leaf_columns_mm(leaf, rest);
    double notes_y = tapul_leaf_caption(leaf, page, left, tapul_leaf_columns_mm(leaf, wide),
                                        NULL, NULL, text);
    if (has_laid(shown))
        notes_y = tapul_leaf_legend(
            leaf, page, tapul_vec2(left.x, notes_y - LEGEND_GAP_STEPS * leaf->step_mm),
            tapul_leaf_columns_mm(leaf, wide), book->comparison);
    if (*said)
        right.y = tapul_leaf_caption(leaf, page, right, width, NULL, NULL, said);
    double bar_y = tapul_leaf_scale_bar(leaf, page, right, width, scale, book->options->inches);
    return y - fmin(notes_y, bar_y);
}

/* --- Pages --- */

static void draw_crops(TapulComparisonBook *book, TapulPage *page, const TapulDetail *detail,
                       TapulVec2 at, double scale) {
    const TapulComparison *comparison = book->comparison;
    const TapulShownMotif *motif = detail->motif;
    const TapulPrint *print = g_ptr_array_index(comparison->question->prints, motif->print);
    const TapulMotif *named = g_ptr_array_index(print->ink->motifs, motif->motif);
    g_autofree char *print_id = g_strdup_printf("%s-%s-print", print->id, named->id);
    g_autofree char *plate_id = g_strdup_printf("%s-%s-plate", print->id, named->id);
    g_autoptr(TapulFigure) left = tapul_figure_print(comparison, motif->print, FALSE);
    tapul_figure_crop(left, detail->print_mm);
    tapul_figure_draw(left, page, at, scale, print_id, detail->label);
    if (tapul_box_is_empty(detail->plate_mm))
        return;
    g_autoptr(TapulFigure) right = tapul_figure_development(
        comparison, detail->plate_mm, shown_of(comparison, motif), motif->laying);
    double width = scale * (detail->print_mm.max.x - detail->print_mm.min.x);
    tapul_figure_draw(right, page, tapul_vec2(at.x + width + tapul_detail_gap_mm(book), at.y),
                      scale, plate_id, detail->label);
}

static void draw_detail(TapulComparisonBook *book, TapulPage *page, const TapulDetail *detail,
                        TapulVec2 at, double scale, double width_mm) {
    const TapulCase *question = book->comparison->question;
    g_autofree char *number = g_strdup_printf("%d", ++book->figures);
    g_autofree char *alternative =
        g_strdup_printf("%s: %s, %s. %s", detail->label, tapul_case_word(question, "print"),
                        tapul_case_word(question, "plate"), detail->text ? detail->text : "");
    tapul_page_begin_part(page, TAPUL_PART_FIGURE, alternative);
    draw_crops(book, page, detail, at, scale);
    tapul_page_end_part(page);
    tapul_leaf_caption(&book->leaf, page,
                       tapul_vec2(at.x, at.y - tapul_details_caption_gap_mm(book)), width_mm,
                       number, detail->label, detail->text);
}

static void draw_rows(const Shown *shown, TapulPage *page, const TapulDetailPage *plan,
                      TapulBox body, double room_mm) {
    const TapulLeaf *leaf = &shown->book->leaf;
    double spare = room_mm - tapul_details_rows_mm(shown->book, plan->rows), y = body.max.y;
    double air = fmin(spare / fmax(plan->rows->len - 1, 1), SPARE_GAP_STEPS * leaf->step_mm);
    for (guint i = 0; i < plan->rows->len; i++) {
        const TapulDetailRow *row = &g_array_index(plan->rows, TapulDetailRow, i);
        for (int k = 0, column = 0; k < row->n; column += row->columns[k++])
            draw_detail(shown->book, page, g_ptr_array_index(shown->details, row->first + k),
                        tapul_vec2(tapul_leaf_column_x(leaf, column), y - row->figures_mm),
                        plan->scale, tapul_leaf_columns_mm(leaf, row->columns[k]));
        y -= row->figures_mm + tapul_details_caption_gap_mm(shown->book) + row->captions_mm +
             tapul_details_row_gap_mm(shown->book) + air;
    }
}

/* The print that details first to first + n - 1 are of; -1: of several. */
static int print_of(const Shown *shown, int first, int n) {
    const TapulDetail *one = g_ptr_array_index(shown->details, first);
    for (int i = first + 1; i < first + n; i++) {
        const TapulDetail *other = g_ptr_array_index(shown->details, i);
        if (!tapul_figure_same_print(shown->book->comparison, one->motif->print,
                                     other->motif->print))
            return -1;
    }
    return one->motif->print;
}

/* "Details: Two kingfishers", "Details: Two kingfishers, 2 of 3"; print -1: "Details". */
static char *title_of(const TapulComparison *comparison, int print, guint page, guint n) {
    g_autofree char *word = tapul_comparison_capital(comparison, "details");
    g_autofree char *name =
        print < 0 ? g_strdup("") : tapul_comparison_print_name(comparison, print);
    g_autofree char *title = g_strconcat(word, print < 0 ? "" : ": ", name, NULL);
    return n == 1 ? g_steal_pointer(&title)
                  : g_strdup_printf("%s, %u %s %u", title, page + 1,
                                    tapul_case_word(comparison->question, "of"), n);
}

static void make_page(const Shown *shown, guint i, double room_mm) {
    TapulComparisonBook *book = shown->book;
    const TapulCase *question = book->comparison->question;
    const TapulDetailPage *plan = g_ptr_array_index(shown->pages, i);
    g_autofree char *title =
        title_of(book->comparison, print_of(shown, plan->first, plan->n), i, shown->pages->len);
    g_autofree char *text =
        notes(shown, plan->first, plan->n, i == 0, i + 1 == shown->pages->len);
    TapulBox body = tapul_leaf_body(&book->leaf, book->comparison, title, question->title);
    TapulPage *page =
        tapul_leaf_page(&book->leaf, book->comparison, title, question->title, text);
    g_ptr_array_add(book->pages, page);
    draw_rows(shown, page, plan, body, room_mm);
    set_foot(shown, page, body.min.y + set_foot(shown, NULL, 0, plan->scale, text), plan->scale,
             text);
}

/* The height that is left to rows on every page. */
static double rows_room_mm(const Shown *shown) {
    const TapulComparisonBook *book = shown->book;
    const TapulCase *question = book->comparison->question;
    g_autofree char *title =
        title_of(book->comparison, print_of(shown, 0, (int)shown->details->len), MOST_PAGES - 1,
                 MOST_PAGES);
    g_autofree char *fullest = notes(shown, 0, (int)shown->details->len, TRUE, TRUE);
    TapulBox body = tapul_leaf_body(&book->leaf, book->comparison, title, question->title);
    return body.max.y - body.min.y - set_foot(shown, NULL, 0, 1, fullest) -
           NOTES_GAP_STEPS * book->leaf.step_mm;
}

/* As many of at most as fit: with long names on small paper fewer do. */
static gboolean plan_most(Shown *shown, const GPtrArray *motifs, int most) {
    for (; most > 0; most--) {
        g_autoptr(GPtrArray) details =
            tapul_details_choose(shown->book->comparison, motifs, most, &shown->left_out);
        shown->details = details;
        GPtrArray *pages = details->len > 0
                               ? tapul_details_divide(shown->book, details, rows_room_mm(shown))
                               : NULL;
        if (pages) {
            shown->pages = pages;
            shown->details = g_steal_pointer(&details);
            return TRUE;
        }
        if (details->len == 0)
            return FALSE;
    }
    return FALSE;
}

void tapul_comparison_details(TapulComparisonBook *book) {
    g_autoptr(GPtrArray) motifs = tapul_shown_motifs(book->comparison, -1);
    Shown shown = {.book = book, .motifs = motifs};
    if (!plan_most(&shown, motifs, MOST_PAGES * tapul_details_most(book->options->paper)))
        return;
    double room_mm = rows_room_mm(&shown);
    for (guint i = 0; i < shown.pages->len; i++)
        make_page(&shown, i, room_mm);
    g_ptr_array_unref((GPtrArray *)shown.pages);
    g_ptr_array_unref((GPtrArray *)shown.details);
}

/* Pairs are as wide as two of their motifs: rows of a landscape page hold them well, unless
 * most motifs stand twice as high as they are wide. */
double tapul_comparison_details_likes(const TapulComparison *comparison) {
    int left_out, wide = 0;
    g_autoptr(GPtrArray) motifs = tapul_shown_motifs(comparison, -1);
    g_autoptr(GPtrArray) details =
        tapul_details_choose(comparison, motifs, tapul_details_most(TAPUL_PAPER_A4), &left_out);
    for (guint i = 0; i < details->len; i++) {
        const TapulDetail *detail = g_ptr_array_index(details, i);
        TapulVec2 size = tapul_vec2_sub(detail->print_mm.max, detail->print_mm.min);
        wide += 2 * size.x > size.y ? 1 : -1;
    }
    return details->len > 0 ? 0.5 * wide / details->len : 0;
}
