/* Print, overlay and plate side by side, all at one scale: a page a print laid.
 *
 * comparison_beside_plan.c arranges the three figures; comparison_row.c draws them.
 */
#include "sheet/comparison_beside_parts.h"
#include "sheet/comparison_words.h"
#include "sheet/shortened.h"

/* Metal shown about what is laid, of the larger side. */
#define REGION_AIR 0.06
/* Of the room left over, what is left above the figures: they stand a little above the middle
 * (common practice, no source). */
#define AIR_ABOVE 0.42
/* A case's own text that leaves the figures no room is cut down to so many lines of the page's
 * width at most. */
#define MOST_TEXT_LINES 4

/* --- Which layings have a page --- */

static const TapulCaseLaying *asked_of(const TapulComparison *comparison, int laying) {
    return g_ptr_array_index(comparison->question->layings, laying);
}

/* Whether they look alike side by side: one print, laid by one rule and the same way round. */
static gboolean same_page(const TapulComparison *comparison, int a, int b) {
    const TapulCaseLaying *one = asked_of(comparison, a), *other = asked_of(comparison, b);
    return tapul_figure_same_print(comparison, one->print, other->print) &&
           one->options.rule == other->options.rule &&
           one->options.reversed == other->options.reversed;
}

static gboolean has_page(const TapulComparison *comparison, int laying) {
    if (asked_of(comparison, laying)->options.rule == TAPUL_LAYING_BORDERED)
        return FALSE;
    for (int i = 0; i < laying; i++)
        if (same_page(comparison, i, laying))
            return FALSE;
    return !tapul_box_is_empty(tapul_laid_box_mm(comparison, laying));
}

/* --- What a page says --- */

/* The print's name, and how it is laid where another page shows the same print. */
static char *title_of(const TapulComparison *comparison, int laying) {
    const TapulCaseLaying *asked = asked_of(comparison, laying);
    char *title = tapul_comparison_print_name(comparison, asked->print);
    for (guint i = 0; i < comparison->laid->len; i++) {
        const TapulCaseLaying *other = asked_of(comparison, (int)i);
        if ((int)i == laying || !has_page(comparison, (int)i) ||
            !tapul_figure_same_print(comparison, asked->print, other->print))
            continue;
        g_autofree char *name = title;
        if (other->options.rule != asked->options.rule)
            return g_strdup_printf("%s, %s", name,
                                   tapul_comparison_rule_words(comparison, laying));
        if (asked->options.reversed)
            return g_strdup_printf("%s, %s", name,
                                   tapul_case_word(comparison->question, "reversed"));
        title = g_steal_pointer(&name);
    }
    return title;
}

/* Where else the same print is laid in the same way. */
static char *also_words(const TapulComparison *comparison, int laying) {
    GString *text = g_string_new(NULL);
    for (int i = laying + 1; i < (int)comparison->laid->len; i++)
        if (same_page(comparison, laying, i))
            g_string_append_printf(text, "%s %s", text->len > 0 ? ";" : "",
                                   asked_of(comparison, i)->place);
    if (text->len == 0)
        return g_string_free(text, FALSE);
    g_autofree char *also = tapul_comparison_capital(comparison, "also laid from");
    g_string_prepend(text, also);
    return g_string_free(g_string_append_c(text, '.'), FALSE);
}

static char *print_text(const TapulComparison *comparison, const TapulBesidePage *beside) {
    GString *text = g_string_new(NULL);
    double scale, turn_rad;
    gboolean reversed;
    const TapulCaseLaid *laid = g_ptr_array_index(comparison->laid, beside->laying);
    tapul_laying_placement(laid->map, &scale, &turn_rad, &reversed);
    tapul_comparison_add_take(text, tapul_leaf_print_words(comparison, beside->print));
    if (reversed)
        tapul_comparison_add_take(text, tapul_comparison_sentence(comparison, "laid reversed"));
    return g_string_free(text, FALSE);
}

static char *overlay_text(const TapulComparison *comparison, int laying) {
    GString *text = g_string_new(NULL);
    tapul_comparison_add_take(text, tapul_comparison_laying_words(comparison, laying));
    tapul_comparison_add_take(text, tapul_comparison_change_words(comparison, laying));
    tapul_comparison_add_take(text, also_words(comparison, laying));
    return g_string_free(text, FALSE);
}

static char *plate_text(const TapulComparison *comparison, int print, const char *own_text) {
    GString *text = g_string_new(NULL);
    const char *name = tapul_plate_name(comparison->question->plate);
    tapul_comparison_add_take(
        text, tapul_comparison_sentence(comparison, tapul_comparison_found_word(comparison)));
    tapul_comparison_add_take(text, g_strconcat(name, ".", NULL));
    if (!comparison->rectified && !comparison->question->found)
        tapul_comparison_add_take(
            text, tapul_comparison_sentence(
                      comparison, "on an etched plate dark and bright change places"));
    tapul_comparison_add_take(text, tapul_comparison_fates_words(comparison, print));
    tapul_comparison_add_take(text, g_strdup(own_text));
    return g_string_free(text, FALSE);
}

/* "Overlay: Reed cartouche, Peascod breastplate": what there is to see, without the figures. */
static char *alternative_of(const TapulComparison *comparison, const TapulBesidePage *beside,
                            TapulBesideFigure shown) {
    g_autofree char *name = tapul_comparison_print_name(comparison, beside->print);
    const char *plate = tapul_plate_name(comparison->question->plate);
    switch (shown) {
    case BESIDE_PRINT:
        return g_strdup_printf("%s: %s", beside->label[shown], name);
    case BESIDE_OVERLAY:
        return g_strdup_printf("%s: %s, %s", beside->label[shown], name, plate);
    default:
        return g_strdup_printf("%s: %s", beside->label[shown], plate);
    }
}

static TapulBox with_air(TapulBox box) {
    TapulVec2 size = tapul_vec2_sub(box.max, box.min);
    double air_mm = REGION_AIR * fmax(size.x, size.y);
    box.min = tapul_vec2_sub(box.min, tapul_vec2(air_mm, air_mm));
    box.max = tapul_vec2_add(box.max, tapul_vec2(air_mm, air_mm));
    return box;
}

static TapulFigure *figure_of(const TapulComparison *comparison, const TapulBesidePage *beside,
                              TapulBesideFigure shown) {
    gboolean found = comparison->rectified || comparison->question->found;
    switch (shown) {
    case BESIDE_PRINT:
        return tapul_figure_print(comparison, beside->print, FALSE);
    case BESIDE_OVERLAY:
        return tapul_figure_development(comparison, beside->region_mm, TAPUL_SHOWN_LAID,
                                        beside->laying);
    default:
        /* The laid ink black once more would look like the overlay. */
        return tapul_figure_development(comparison, beside->region_mm,
                                        found ? TAPUL_SHOWN_FOUND : TAPUL_SHOWN_ETCHED, -1);
    }
}

static void page_init(TapulBesidePage *beside, const TapulComparison *comparison, int laying,
                      const char *own_text) {
    int print = asked_of(comparison, laying)->print;
    *beside = (TapulBesidePage){
        .laying = laying,
        .print = print,
        .region_mm = with_air(tapul_laid_box_mm(comparison, laying)),
        .label = {[BESIDE_PRINT] = tapul_comparison_capital(comparison, "print"),
                  [BESIDE_OVERLAY] = tapul_comparison_capital(comparison, "overlay"),
                  [BESIDE_PLATE] = tapul_comparison_capital(comparison, "plate")},
        .scale_label = tapul_comparison_capital(comparison, "scale of all three"),
    };
    beside->text[BESIDE_PRINT] = print_text(comparison, beside);
    beside->text[BESIDE_OVERLAY] = overlay_text(comparison, laying);
    beside->text[BESIDE_PLATE] = plate_text(comparison, print, own_text);
    for (int i = 0; i < BESIDE_FIGURES; i++) {
        beside->alternative[i] = alternative_of(comparison, beside, (TapulBesideFigure)i);
        beside->figure[i] = figure_of(comparison, beside, (TapulBesideFigure)i);
    }
}

static void page_clear(TapulBesidePage *beside) {
    for (int i = 0; i < BESIDE_FIGURES; i++) {
        tapul_figure_free(beside->figure[i]);
        g_free(beside->label[i]);
        g_free(beside->text[i]);
        g_free(beside->alternative[i]);
    }
    g_free(beside->scale_label);
}

/* --- Pages --- */

static void draw_row(TapulComparisonBook *book, TapulPage *page, double y_top,
                     const TapulBesidePage *beside, const TapulBesidePlan *plan, int row) {
    static const char *const ids[] = {"print", "overlay", "plate"};
    TapulFigure *figures[BESIDE_FIGURES] = {NULL};
    const char *row_ids[BESIDE_FIGURES] = {NULL};
    int n = plan->n_cells[row];
    for (int i = 0; i < n; i++) {
        figures[i] = beside->figure[plan->shown[row][i]];
        row_ids[i] = ids[plan->shown[row][i]];
    }
    tapul_row_draw(book, page, y_top, plan->cells[row], figures, row_ids, n);
}

static void draw_page(TapulComparisonBook *book, const TapulBesidePage *beside,
                      const TapulBesidePlan *plan, TapulBox body, const char *title) {
    const char *subtitle = book->comparison->question->title;
    g_autofree char *description =
        g_strdup_printf("%s. %s. %s.", beside->alternative[BESIDE_PRINT],
                        beside->alternative[BESIDE_OVERLAY], beside->alternative[BESIDE_PLATE]);
    TapulPage *page =
        tapul_leaf_page(&book->leaf, book->comparison, title, subtitle, description);
    double gap_mm = tapul_row_gap_mm(&book->leaf), heights[BESIDE_FIGURES];
    double left_mm = body.max.y - body.min.y - (plan->n_rows - 1) * gap_mm;
    for (int row = 0; row < plan->n_rows; row++) {
        heights[row] = tapul_row_height_mm(book, plan->cells[row], plan->n_cells[row]);
        left_mm -= heights[row];
    }
    double y = body.max.y - AIR_ABOVE * left_mm;
    for (int row = 0; row < plan->n_rows; row++) {
        draw_row(book, page, y, beside, plan, row);
        y -= heights[row] + gap_mm;
    }
    g_ptr_array_add(book->pages, page);
}

/* Arranges the page, its own text cut down if it leaves no room otherwise. */
static gboolean plan_page(const TapulComparisonBook *book, int laying, TapulBox body,
                          TapulBesidePage *beside, TapulBesidePlan *plan) {
    const TapulComparison *comparison = book->comparison;
    const char *own_text = g_hash_table_lookup(comparison->question->sheet.captions, "beside");
    page_init(beside, comparison, laying, own_text);
    if (tapul_beside_plan(book, beside, body, plan) || !own_text)
        return plan->scale > 0;
    TapulType type = {.size_mm = book->leaf.format.text_mm, .colour = TAPUL_BLACK};
    g_autofree char *cut =
        tapul_text_shortened(own_text, body.max.x - body.min.x, MOST_TEXT_LINES, &type);
    page_clear(beside);
    page_init(beside, comparison, laying, cut);
    return tapul_beside_plan(book, beside, body, plan);
}

void tapul_comparison_beside(TapulComparisonBook *book) {
    const TapulComparison *comparison = book->comparison;
    for (int i = 0; i < (int)comparison->laid->len; i++) {
        TapulBesidePage beside;
        TapulBesidePlan plan;
        if (!has_page(comparison, i))
            continue;
        g_autofree char *title = title_of(comparison, i);
        TapulBox body =
            tapul_leaf_body(&book->leaf, comparison, title, comparison->question->title);
        if (plan_page(book, i, body, &beside, &plan))
            draw_page(book, &beside, &plan, body, title);
        page_clear(&beside);
    }
}

/* --- Which way up --- */

/* The scale a laying's figures reach on A4, turned one way. */
static double scale_on(const TapulComparison *comparison, int laying, gboolean landscape) {
    TapulComparisonOptions options = tapul_comparison_options_defaults();
    TapulComparisonBook book = {.comparison = comparison,
                                .options = &options,
                                .leaf = tapul_leaf(TAPUL_PAPER_A4, landscape)};
    TapulBesidePage beside;
    TapulBesidePlan plan;
    g_autofree char *title = title_of(comparison, laying);
    TapulBox body = tapul_leaf_body(&book.leaf, comparison, title, comparison->question->title);
    plan_page(&book, laying, body, &beside, &plan);
    page_clear(&beside);
    return plan.scale;
}

/* By how many doublings of scale. */
double tapul_comparison_beside_likes(const TapulComparison *comparison) {
    double likes = 0;
    for (int i = 0; i < (int)comparison->laid->len; i++) {
        if (!has_page(comparison, i))
            continue;
        double landscape = scale_on(comparison, i, TRUE);
        double portrait = scale_on(comparison, i, FALSE);
        if (landscape > 0 && portrait > 0)
            likes += log2(landscape / portrait);
    }
    return likes;
}
