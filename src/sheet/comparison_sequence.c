/* From print to plate, step by step, as a museum's panel tells it: as engraved, reversed if it
 * was, laid over the metal, as etched; in a row, or in rows where the figures are larger so.
 *
 * comparison_sequence_steps.c says what they show; comparison_row.c draws the rows.
 */
#include "sheet/comparison_sequence_parts.h"
#include "sheet/comparison_words.h"

/* Of the room left over, what is left above the figures (as comparison_beside.c). */
#define AIR_ABOVE 0.42
/* An arrow from step to step, in ems of captions: length of the whole and of its head; and how
 * far above the base line it flies, of the lowest figure of the row. */
#define ARROW_EMS      2.2
#define ARROW_HEAD_EMS 0.55
#define ARROW_HEIGHT   0.5
#define ARROW_LINE_MM  0.25 /* ISO 128 */
/* Figures in several rows must cover so many times as much as in one. */
#define WORTH_MORE 1.2

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

/* How many steps stand in each row; a step alone in its row has its words beside it. */
typedef struct {
    int in_row[TAPUL_MOST_STEPS];
} Split;

/* In a row they are read most easily; of three the last two, which are alike, stand together.
 */
static const Split splits_of_three[] = {{{3}}, {{1, 2}}, {{1, 1, 1}}};
static const Split splits_of_four[] = {{{4}}, {{2, 2}}, {{1, 1, 1, 1}}};

static void place_cells(const TapulComparisonBook *book, const TapulSequence *sequence,
                        const Split *split, Plan *plan) {
    int all = book->leaf.columns, i = 0;
    for (int row = 0; i < sequence->n; row++) {
        int in_row = split->in_row[row];
        plan->first[plan->n_rows++] = i;
        for (int k = 0; k < in_row; k++, i++) {
            TapulRowCell *cell = &plan->cells[i];
            *cell = cell_of(sequence, i);
            cell->words_beside = in_row == 1;
            cell->columns = in_row == 1 ? all - all / 3 : all / in_row;
            cell->first = k * cell->columns;
            cell->words_first = in_row == 1 ? cell->columns : cell->first;
            cell->words_columns = in_row == 1 ? all / 3 : cell->columns;
        }
    }
    plan->first[plan->n_rows] = sequence->n;
}

/* The arrow to the next row flies in the air between them. */
static double row_gap_mm(const TapulComparisonBook *book) {
    return tapul_row_gap_mm(&book->leaf) + ARROW_EMS * book->leaf.format.text_mm;
}

static double row_height_mm(const TapulComparisonBook *book, const Plan *plan, int row) {
    return tapul_row_height_mm(book, plan->cells + plan->first[row],
                               plan->first[row + 1] - plan->first[row]);
}

static double height_mm(const TapulComparisonBook *book, const Plan *plan) {
    double height = (plan->n_rows - 1) * row_gap_mm(book);
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
        double room_mm = tapul_leaf_columns_mm(&book->leaf, cell->columns);
        TapulVec2 room = {room_mm - (cell->words_beside ? 0 : arrow_mm), height};
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

/* A bar for each scale, under the first figure of it. */
static void say_scales(const TapulSequence *sequence, Plan *plan) {
    gboolean said[TAPUL_STEP_KINDS] = {FALSE};
    for (int i = 0; i < sequence->n; i++) {
        TapulStepKind kind = sequence->steps[i].kind;
        plan->cells[i].extra = said[kind] ? TAPUL_ROW_CAPTION_ONLY : TAPUL_ROW_SCALE_BAR;
        said[kind] = TRUE;
    }
}

/* FALSE: there is no room for the words. */
static gboolean try_split(const TapulComparisonBook *book, const TapulSequence *sequence,
                          double room_mm, const Split *split, Plan *plan) {
    *plan = (Plan){0};
    place_cells(book, sequence, split, plan);
    say_scales(sequence, plan);
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

/* What the figures cover of the page. */
static double area_mm2(const TapulSequence *sequence, const Plan *plan) {
    double area = 0;
    for (int i = 0; i < sequence->n; i++) {
        const TapulRowCell *cell = &plan->cells[i];
        area += cell->scale * cell->scale * cell->size_mm.x * cell->size_mm.y;
    }
    return area;
}

/* The split that lets the figures cover most of the page. FALSE: none holds their words. */
static gboolean make_plan(const TapulComparisonBook *book, const TapulSequence *sequence,
                          TapulBox body, Plan *plan) {
    const Split *splits = sequence->n == TAPUL_MOST_STEPS ? splits_of_four : splits_of_three;
    double best = 0;
    for (guint i = 0; i < G_N_ELEMENTS(splits_of_three); i++) {
        Plan tried;
        double worth = i == 0 ? WORTH_MORE : 1;
        if (!try_split(book, sequence, body.max.y - body.min.y, &splits[i], &tried) ||
            worth * area_mm2(sequence, &tried) <= best)
            continue;
        best = worth * area_mm2(sequence, &tried);
        *plan = tried;
    }
    return best > 0;
}

/* --- Drawing --- */

/* A line with a head that flies the way of its last leg: to the right, or down. */
static void draw_arrow(TapulPage *page, const TapulVec2 *points, int n, double head_mm) {
    TapulVec2 to = points[n - 1], back = tapul_vec2_sub(points[n - 2], to);
    back = tapul_vec2_scale(back, head_mm / fmax(tapul_vec2_length(back), head_mm));
    TapulVec2 beside = {-back.y / 2, back.x / 2}, root = tapul_vec2_add(to, back);
    g_autoptr(TapulPath) path = tapul_path_new();
    tapul_path_move(path, points[0]);
    for (int i = 1; i < n; i++)
        tapul_path_line(path, points[i]);
    tapul_path_move(path, tapul_vec2_add(root, beside));
    tapul_path_line(path, to);
    tapul_path_line(path, tapul_vec2_sub(root, beside));
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
        double x = (end + next - ARROW_EMS * em) / 2, y = base_y + ARROW_HEIGHT * lowest;
        draw_arrow(page, (TapulVec2[]){{x, y}, {x + ARROW_EMS * em, y}}, 2,
                   ARROW_HEAD_EMS * em);
    }
}

static double middle_x(const TapulComparisonBook *book, const TapulRowCell *cell) {
    return tapul_leaf_column_x(&book->leaf, cell->first) + cell->scale * cell->size_mm.x / 2;
}

/* From the last figure of a row that ends at y down to the first of the next. */
static void draw_turn(const TapulComparisonBook *book, TapulPage *page, double y,
                      const TapulRowCell *from, const TapulRowCell *to) {
    double em = book->leaf.format.text_mm, gap_mm = row_gap_mm(book);
    double start = middle_x(book, from), end = middle_x(book, to);
    double top = y - (gap_mm - ARROW_EMS * em) / 2, low = top - ARROW_EMS * em;
    double level = (top + low) / 2;
    if (from->words_beside)
        draw_arrow(page, (TapulVec2[]){{end, top}, {end, low}}, 2, ARROW_HEAD_EMS * em);
    else
        draw_arrow(page, (TapulVec2[]){{start, top}, {start, level}, {end, level}, {end, low}},
                   4, ARROW_HEAD_EMS * em);
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
        y -= height;
        if (row + 1 < plan->n_rows)
            draw_turn(book, page, y, &plan->cells[plan->first[row + 1] - 1],
                      &plan->cells[plan->first[row + 1]]);
        y -= row_gap_mm(book);
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
