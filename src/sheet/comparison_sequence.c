/* From print to plate, step by step, as a museum's panel tells it: as engraved, reversed if it
 * was, laid over the metal, as etched. In landscape the steps stand in a row, in portrait two
 * by two.
 *
 * comparison_sequence_steps.c says what they show; comparison_row.c draws the rows.
 */
#include "sheet/comparison_sequence_parts.h"
#include "sheet/comparison_words.h"

/* Of the room left over, what is left above the figures (as comparison_beside.c). */
#define AIR_ABOVE 0.3
/* An arrow from step to step, in ems of captions: length of the whole and of its head; and how
 * far above the base line it flies, of the lowest figure of the row. */
#define ARROW_EMS      2.2
#define ARROW_HEAD_EMS 0.55
#define ARROW_HEIGHT   0.5
#define ARROW_LINE_MM  0.25 /* ISO 128 */

/* --- Where it stands --- */

typedef struct {
    int n_rows;
    int first[TAPUL_MOST_STEPS + 1]; /* [n_rows + 1] steps that rows begin with */
    TapulRowCell cells[TAPUL_MOST_STEPS];
    double scale[TAPUL_STEP_KINDS];
} Plan;

static TapulRowCell cell_of(const TapulSequence *sequence, int i) {
    const TapulStep *step = &sequence->steps[i];
    TapulBox box = tapul_figure_box_mm(step->figure);
    return (TapulRowCell){.size_mm = tapul_vec2_sub(box.max, box.min),
                          .label = step->label,
                          .text = step->text,
                          .scale_label = sequence->scale_label,
                          .alternative = step->alternative};
}

/* In landscape all in a row; in portrait two by two, the last of three with its words beside
 * it. */
static void place_cells(const TapulComparisonBook *book, const TapulSequence *sequence,
                        Plan *plan) {
    gboolean landscape = book->leaf.format.width_mm >= book->leaf.format.height_mm;
    int in_row = landscape ? sequence->n : 2, columns = book->leaf.columns / in_row;
    for (int i = 0; i < sequence->n; i++) {
        TapulRowCell *cell = &plan->cells[i];
        *cell = cell_of(sequence, i);
        cell->first = cell->words_first = i % in_row * columns;
        cell->columns = cell->words_columns = columns;
        cell->words_beside = !landscape && i % 2 == 0 && i == sequence->n - 1;
        cell->words_first += cell->words_beside ? columns : 0;
        if (i % in_row == 0)
            plan->first[plan->n_rows++] = i;
    }
    plan->first[plan->n_rows] = sequence->n;
}

static double row_height_mm(const TapulComparisonBook *book, const Plan *plan, int row) {
    return tapul_row_height_mm(book, plan->cells + plan->first[row],
                               plan->first[row + 1] - plan->first[row]);
}

static double height_mm(const TapulComparisonBook *book, const Plan *plan) {
    double height = (plan->n_rows - 1) * tapul_row_gap_mm(&book->leaf);
    for (int row = 0; row < plan->n_rows; row++)
        height += row_height_mm(book, plan, row);
    return height;
}

static void set_scale(const TapulSequence *sequence, Plan *plan, TapulStepKind kind,
                      double scale) {
    plan->scale[kind] = scale;
    for (int i = 0; i < sequence->n; i++)
        if (sequence->steps[i].kind == kind)
            plan->cells[i].scale = scale;
}

/* The largest round scales at which figures and arrows fit across; no print larger than it is,
 * beside plates so much smaller. */
static void scale_across(const TapulComparisonBook *book, const TapulSequence *sequence,
                         Plan *plan, double height) {
    double arrow_mm = 2 * ARROW_EMS * book->leaf.format.text_mm - book->leaf.gutter_mm;
    double scale[TAPUL_STEP_KINDS] = {1, INFINITY};
    for (int i = 0; i < sequence->n; i++) {
        const TapulRowCell *cell = &plan->cells[i];
        TapulVec2 room = {tapul_leaf_columns_mm(&book->leaf, cell->columns) - arrow_mm, height};
        TapulStepKind kind = sequence->steps[i].kind;
        scale[kind] = fmin(scale[kind], tapul_leaf_scale(cell->size_mm, room));
    }
    set_scale(sequence, plan, TAPUL_STEP_PRINT, scale[TAPUL_STEP_PRINT]);
    set_scale(sequence, plan, TAPUL_STEP_VIEW, scale[TAPUL_STEP_VIEW]);
}

/* The kind that the tallest figure is of. */
static TapulStepKind tallest(const TapulSequence *sequence, const Plan *plan) {
    double most = 0;
    TapulStepKind kind = TAPUL_STEP_PRINT;
    for (int i = 0; i < sequence->n; i++) {
        double height = plan->cells[i].scale * plan->cells[i].size_mm.y;
        if (height > most) {
            most = height;
            kind = sequence->steps[i].kind;
        }
    }
    return kind;
}

/* FALSE: there is no room for the words. */
static gboolean make_plan(const TapulComparisonBook *book, const TapulSequence *sequence,
                          TapulBox body, Plan *plan) {
    double room_mm = body.max.y - body.min.y;
    *plan = (Plan){0};
    place_cells(book, sequence, plan);
    scale_across(book, sequence, plan, room_mm);
    while (height_mm(book, plan) > room_mm) {
        TapulStepKind kind = tallest(sequence, plan);
        double scale = tapul_row_smaller_scale(plan->scale[kind]);
        if (scale < TAPUL_ROW_LEAST_SCALE)
            return FALSE;
        set_scale(sequence, plan, kind, scale);
    }
    return TRUE;
}

/* --- Drawing --- */

static void draw_arrow(TapulPage *page, TapulVec2 from, double length_mm, double head_mm) {
    TapulVec2 to = {from.x + length_mm, from.y};
    g_autoptr(TapulPath) path = tapul_path_new();
    tapul_path_move(path, from);
    tapul_path_line(path, to);
    tapul_path_move(path, tapul_vec2(to.x - head_mm, to.y + head_mm / 2));
    tapul_path_line(path, to);
    tapul_path_line(path, tapul_vec2(to.x - head_mm, to.y - head_mm / 2));
    tapul_page_path(page, path,
                    &(TapulPen){.stroke = TAPUL_QUIET,
                                .width_mm = ARROW_LINE_MM,
                                .cap = TAPUL_CAP_ROUND,
                                .join = TAPUL_JOIN_ROUND});
}

/* From each figure of the row to the next, in the middle of what is free between them. */
static void draw_arrows(const TapulComparisonBook *book, TapulPage *page, double base_y,
                        const TapulRowCell *cells, int n) {
    double em = book->leaf.format.text_mm, lowest = INFINITY;
    for (int i = 0; i < n; i++)
        lowest = fmin(lowest, cells[i].scale * cells[i].size_mm.y);
    for (int i = 0; i + 1 < n; i++) {
        double end = tapul_leaf_column_x(&book->leaf, cells[i].first) +
                     cells[i].scale * cells[i].size_mm.x;
        double next = tapul_leaf_column_x(&book->leaf, cells[i + 1].first);
        TapulVec2 from = {(end + next - ARROW_EMS * em) / 2, base_y + ARROW_HEIGHT * lowest};
        draw_arrow(page, from, ARROW_EMS * em, ARROW_HEAD_EMS * em);
    }
}

static void draw_row(TapulComparisonBook *book, TapulPage *page, double y,
                     const TapulSequence *sequence, const Plan *plan, int row) {
    TapulFigure *figures[TAPUL_MOST_STEPS] = {NULL};
    const char *ids[TAPUL_MOST_STEPS] = {NULL};
    int first = plan->first[row], n = plan->first[row + 1] - first;
    for (int i = 0; i < n; i++) {
        figures[i] = sequence->steps[first + i].figure;
        ids[i] = sequence->steps[first + i].id;
    }
    double base_y = tapul_row_draw(book, page, y, plan->cells + first, figures, ids, n);
    draw_arrows(book, page, base_y, plan->cells + first, n);
}

static void draw_page(TapulComparisonBook *book, const TapulSequence *sequence,
                      const Plan *plan, TapulBox body, const char *title) {
    g_autoptr(GString) description = g_string_new(NULL);
    for (int i = 0; i < sequence->n; i++)
        tapul_comparison_add_take(description,
                                  g_strconcat(sequence->steps[i].alternative, ".", NULL));
    TapulPage *page = tapul_leaf_page(&book->leaf, book->comparison, title,
                                      book->comparison->question->title, description->str);
    double y = body.max.y - AIR_ABOVE * (body.max.y - body.min.y - height_mm(book, plan));
    for (int row = 0; row < plan->n_rows; row++) {
        double height = row_height_mm(book, plan, row);
        draw_row(book, page, y, sequence, plan, row);
        y -= height + tapul_row_gap_mm(&book->leaf);
    }
    g_ptr_array_add(book->pages, page);
}

void tapul_comparison_sequence(TapulComparisonBook *book) {
    const TapulComparison *comparison = book->comparison;
    int laying = tapul_sequence_main_laying(comparison);
    TapulSequence sequence;
    Plan plan;
    if (laying < 0)
        return;
    g_autofree char *title = tapul_comparison_capital(comparison, "from print to plate");
    TapulBox body =
        tapul_leaf_body(&book->leaf, comparison, title, comparison->question->title);
    tapul_sequence_init(&sequence, comparison, laying);
    if (make_plan(book, &sequence, body, &plan))
        draw_page(book, &sequence, &plan, body, title);
    tapul_sequence_clear(&sequence);
}

/* --- Which way up --- */

/* Views of A4 turned one way, in the scale that they reach. */
static double scale_on(const TapulComparison *comparison, const TapulSequence *sequence,
                       const char *title, gboolean landscape) {
    TapulComparisonOptions options = tapul_comparison_options_defaults();
    TapulComparisonBook book = {.comparison = comparison,
                                .options = &options,
                                .leaf = tapul_leaf(TAPUL_PAPER_A4, landscape)};
    Plan plan;
    TapulBox body = tapul_leaf_body(&book.leaf, comparison, title, comparison->question->title);
    return make_plan(&book, sequence, body, &plan) ? plan.scale[TAPUL_STEP_VIEW] : 0;
}

/* By how many doublings of the plate's scale. */
double tapul_comparison_sequence_likes(const TapulComparison *comparison) {
    int laying = tapul_sequence_main_laying(comparison);
    TapulSequence sequence;
    if (laying < 0)
        return 0;
    g_autofree char *title = tapul_comparison_capital(comparison, "from print to plate");
    tapul_sequence_init(&sequence, comparison, laying);
    double landscape = scale_on(comparison, &sequence, title, TRUE);
    double portrait = scale_on(comparison, &sequence, title, FALSE);
    tapul_sequence_clear(&sequence);
    return landscape > 0 && portrait > 0 ? log2(landscape / portrait) : 0;
}
