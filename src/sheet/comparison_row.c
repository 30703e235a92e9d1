/* Figures in a row of a comparison page, and the words that go with them.
 *
 * comparison_beside.c and comparison_sequence.c say what stands in a row; leaf.h gives the grid
 * and sets the captions.
 */
#include "sheet/comparison_row.h"

#include "sheet/carried.h"
#include "sheet/comparison_words.h"
#include "sheet/plate_lines.h"

/* Air between a figure and its words, and between rows, in steps of the captions' lines. */
#define WORDS_GAP_STEPS    0.7
#define WORDS_BESIDE_STEPS 1.5 /* right of it */
#define ROW_GAP_STEPS      1.6
/* A locator's larger side and the gap left of it, in ems of captions; no more than this share
 * of the words' width. */
#define LOCATOR_EMS     7.0
#define LOCATOR_GAP_EMS 1.2
#define LOCATOR_SHARE   0.4
/* The next smaller of the round scales is the largest that fits a little less. */
#define A_LITTLE_LESS 0.999
/* The line about the region, well over the edge's hairline (ISO 128). */
#define REGION_LINE_MM 0.35

/* --- The locator --- */

/* Its size on the page at most so large. */
static double locator_scale(const TapulComparisonBook *book, TapulBox plate_mm,
                            double width_mm) {
    double most = LOCATOR_EMS * book->leaf.format.text_mm;
    return fmin(fmin(most, LOCATOR_SHARE * width_mm) / (plate_mm.max.x - plate_mm.min.x),
                most / (plate_mm.max.y - plate_mm.min.y));
}

/* Draws it with its upper left at `at`; with page NULL it only measures. Returns its size. */
static TapulVec2 set_locator(const TapulComparisonBook *book, TapulPage *page, TapulVec2 at,
                             double width_mm, TapulBox region_mm) {
    const TapulComparison *comparison = book->comparison;
    g_autoptr(TapulPath) edge = tapul_carried_edge(&comparison->question->ground);
    g_autoptr(TapulPath) region = tapul_box_path(region_mm);
    TapulBox box = tapul_path_box(edge);
    double k = locator_scale(book, box, width_mm);
    TapulVec2 size = tapul_vec2_scale(tapul_vec2_sub(box.max, box.min), k);
    if (!page)
        return size;
    g_autofree char *title = tapul_comparison_capital(comparison, "where on the plate");
    TapulAffine place = {k, 0, 0, k, at.x - k * box.min.x, at.y - k * box.max.y};
    tapul_page_begin_group(page, "locator", title, &place);
    tapul_page_path(page, edge,
                    &(TapulPen){.fill = TAPUL_PLATE_TINT,
                                .stroke = TAPUL_QUIET,
                                .width_mm = TAPUL_HAIRLINE_MM / k});
    tapul_page_begin_clip(page, edge);
    tapul_page_path(page, region,
                    &(TapulPen){.stroke = TAPUL_BLACK, .width_mm = REGION_LINE_MM / k});
    tapul_page_end_clip(page);
    tapul_page_end_group(page);
    return size;
}

/* --- Words of a cell --- */

static char *caption_text(const TapulLeaf *leaf, const TapulRowCell *cell) {
    GString *text = g_string_new(cell->text);
    if (cell->scale_label)
        tapul_comparison_add_take(
            text, tapul_leaf_scale_sentence(leaf, cell->scale_label, cell->scale));
    return g_string_free(text, FALSE);
}

/* What stands under a caption, from the top of `at` down; returns the y below. */
static double set_extra(const TapulComparisonBook *book, TapulPage *page, TapulVec2 at,
                        double width_mm, const TapulRowCell *cell) {
    const TapulLeaf *leaf = &book->leaf;
    switch (cell->extra) {
    case TAPUL_ROW_SCALE_BAR:
        return tapul_leaf_scale_bar(leaf, page, at, width_mm, cell->scale,
                                    book->options->inches);
    case TAPUL_ROW_LEGEND:
        return tapul_leaf_legend_of(leaf, page, at, width_mm, book->comparison,
                                    &cell->region_mm, 1);
    case TAPUL_ROW_LOCATOR:
        return at.y - set_locator(book, page, at, width_mm, cell->region_mm).y;
    default:
        return at.y;
    }
}

/* Sets a caption and what goes with it from the top of `at` down; returns the y below. */
static double set_words(const TapulComparisonBook *book, TapulPage *page, TapulVec2 at,
                        const TapulRowCell *cell, int number) {
    const TapulLeaf *leaf = &book->leaf;
    double em = leaf->format.text_mm;
    double width_mm = tapul_leaf_columns_mm(leaf, cell->words_columns);
    g_autofree char *figure = g_strdup_printf("%d", number);
    g_autofree char *text = caption_text(leaf, cell);
    if (cell->extra == TAPUL_ROW_LOCATOR) {
        TapulVec2 size = set_locator(book, NULL, at, width_mm, cell->region_mm);
        double caption_mm = width_mm - size.x - LOCATOR_GAP_EMS * em;
        if (caption_mm >= TAPUL_ROW_LEAST_WORDS_EMS * em) {
            set_locator(book, page, tapul_vec2(at.x + width_mm - size.x, at.y), width_mm,
                        cell->region_mm);
            return fmin(at.y - size.y, tapul_leaf_caption(leaf, page, at, caption_mm, figure,
                                                          cell->label, text));
        }
    }
    double y = tapul_leaf_caption(leaf, page, at, width_mm, figure, cell->label, text);
    TapulVec2 below = {at.x, y - WORDS_GAP_STEPS * leaf->step_mm};
    return cell->extra == TAPUL_ROW_CAPTION_ONLY ? y
                                                 : set_extra(book, page, below, width_mm, cell);
}

static double words_mm(const TapulComparisonBook *book, const TapulRowCell *cell, int number) {
    return -set_words(book, NULL, tapul_vec2(0, 0), cell, number);
}

/* --- The row --- */

double tapul_row_smaller_scale(double scale) {
    double less = A_LITTLE_LESS * scale;
    return tapul_leaf_scale(tapul_vec2(1, 1), tapul_vec2(less, less));
}

static double figures_mm(const TapulRowCell *cells, int n) {
    double tallest = 0;
    for (int i = 0; i < n; i++)
        tallest = fmax(tallest, cells[i].scale * cells[i].size_mm.y);
    return tallest;
}

double tapul_row_gap_mm(const TapulLeaf *leaf) {
    return ROW_GAP_STEPS * leaf->step_mm;
}

double tapul_row_height_mm(const TapulComparisonBook *book, const TapulRowCell *cells, int n) {
    double figures = figures_mm(cells, n), most = figures;
    double gap = WORDS_GAP_STEPS * book->leaf.step_mm;
    for (int i = 0; i < n; i++) {
        double words = words_mm(book, &cells[i], book->figures + i + 1);
        most = fmax(most, cells[i].words_beside ? words : figures + gap + words);
    }
    return most;
}

/* Words beside a figure that does not fill its columns stand by it. */
static double words_x(const TapulLeaf *leaf, const TapulRowCell *cell) {
    double x = tapul_leaf_column_x(leaf, cell->words_first);
    double by = tapul_leaf_column_x(leaf, cell->first) + cell->scale * cell->size_mm.x +
                WORDS_BESIDE_STEPS * leaf->step_mm;
    return cell->words_beside ? fmin(x, by) : x;
}

static void draw_cell(const TapulComparisonBook *book, TapulPage *page, double base_y,
                      const TapulRowCell *cell, const TapulFigure *figure, const char *id,
                      int number) {
    double step = book->leaf.step_mm;
    double top_y = base_y + cell->scale * cell->size_mm.y;
    TapulVec2 words = {words_x(&book->leaf, cell),
                       cell->words_beside ? top_y : base_y - WORDS_GAP_STEPS * step};
    tapul_page_begin_part(page, TAPUL_PART_FIGURE, cell->alternative);
    tapul_figure_draw(figure, page,
                      tapul_vec2(tapul_leaf_column_x(&book->leaf, cell->first), base_y),
                      cell->scale, id, cell->label);
    tapul_page_end_part(page);
    set_words(book, page, words, cell, number);
}

double tapul_row_draw(TapulComparisonBook *book, TapulPage *page, double y_top,
                      const TapulRowCell *cells, TapulFigure *const *figures,
                      const char *const *ids, int n) {
    double base_y = y_top - figures_mm(cells, n);
    for (int i = 0; i < n; i++)
        draw_cell(book, page, base_y, &cells[i], figures[i], ids[i], ++book->figures);
    return base_y;
}
