/* The drawing of a border's page: two strips above or beside corner and plate.
 *
 * comparison_border.c says what is shown, comparison_border_fit.c at what scales.
 */
#include "sheet/comparison_border.h"

#include "sheet/callouts.h"
#include "sheet/comparison_words.h"

static const TapulLeaf *leaf_of(const TapulBorderComposition *made) {
    return &made->entry->book->leaf;
}

static double steps_mm(const TapulBorderComposition *made, double steps) {
    return steps * leaf_of(made)->step_mm;
}

static TapulVec2 size_of(TapulBox box) {
    return tapul_vec2_sub(box.max, box.min);
}

static double columns_mm(const TapulBorderComposition *made, int columns) {
    return tapul_leaf_columns_mm(leaf_of(made), columns);
}

static TapulBox figure_box(const TapulBorderEntry *entry, TapulBorderFigure figure) {
    return tapul_figure_box_mm(figure == TAPUL_BORDER_CORNER ? entry->turn : entry->plate);
}

/* --- Drawing --- */

static void caption(const TapulBorderComposition *made, TapulBorderFigure figure, TapulVec2 at,
                    double width_mm) {
    g_autofree char *number = g_strdup_printf("%d", made->entry->book->figures);
    tapul_leaf_caption(leaf_of(made), made->page, at, width_mm, number, made->label[figure],
                       made->text[figure]);
}

static void begin_figure(const TapulBorderComposition *made, TapulBorderFigure figure) {
    g_autofree char *alternative =
        g_strdup_printf("%s. %s", made->label[figure], made->text[figure]);
    made->entry->book->figures++;
    tapul_page_begin_part(made->page, TAPUL_PART_FIGURE, alternative);
}

/* The strip, the length of its first repeat below it, its caption. Returns the y below. */
static double draw_strip(const TapulBorderComposition *made, TapulBorderFigure figure,
                         double y) {
    const TapulBorderEntry *entry = made->entry;
    const TapulBorderLine *line = entry->line;
    double scale = made->scale[figure], x = tapul_leaf_column_x(leaf_of(made), 0);
    TapulVec2 at = {x, y - scale * tapul_border_strip_size(entry, figure).y}, from = at;
    double repeat_mm = scale * line->repeat_mm;
    g_autofree char *words = figure == TAPUL_BORDER_PRINT ? tapul_border_print_dimension(line)
                                                          : tapul_border_laid_dimension(line);
    begin_figure(made, figure);
    if (figure == TAPUL_BORDER_PRINT)
        tapul_border_draw_print(line, made->page, at, entry->repeats, scale, "border-print",
                                made->label[figure]);
    else {
        int first = entry->stretch.first;
        tapul_border_draw_stretch(line, &entry->stretch, made->page, at, scale, "border-laid",
                                  made->label[figure]);
        from.x = tapul_border_stretch_point(line, &entry->stretch, first, at, scale).x;
        repeat_mm = tapul_border_stretch_point(line, &entry->stretch, first + line->per_repeat,
                                               at, scale)
                        .x -
                    from.x;
    }
    tapul_border_dimension(made->page, leaf_of(made), from, repeat_mm, words);
    tapul_page_end_part(made->page);
    if (made->words_beside)
        at =
            tapul_vec2(tapul_leaf_column_x(leaf_of(made), tapul_border_drawn_columns(made)), y);
    else
        at.y -= tapul_border_dimension_mm(leaf_of(made)) +
                steps_mm(made, TAPUL_BORDER_CAPTION_GAP_STEPS);
    caption(made, figure, at, columns_mm(made, tapul_border_words_columns(made)));
    return y - tapul_border_strip_mm(made, figure);
}

static double draw_strips(const TapulBorderComposition *made) {
    double y = draw_strip(made, TAPUL_BORDER_PRINT, made->body.max.y);
    if (tapul_border_has(made->entry, TAPUL_BORDER_LAID))
        y = draw_strip(made, TAPUL_BORDER_LAID, y);
    y += steps_mm(made, TAPUL_BORDER_ROW_GAP_STEPS - TAPUL_BORDER_BAR_GAP_STEPS);
    return y - tapul_border_set_bar(made, made->page, y) -
           steps_mm(made, TAPUL_BORDER_ROW_GAP_STEPS);
}

/* Where on the plate the other figures lie, by their numbers. */
static void number_places(const TapulBorderComposition *made, TapulVec2 at, double scale,
                          int first) {
    const TapulBorderEntry *entry = made->entry;
    const TapulBorderStretch *stretch = &entry->stretch;
    TapulVec2 from = tapul_figure_box_mm(entry->plate).min, own;
    TapulCallout calls[2];
    int n = 0, middle = stretch->first + stretch->n * entry->line->per_repeat / 2;
    const int points[] = {stretch->n > 0 ? middle : -1, entry->corner};
    for (int i = 0; i < 2; i++)
        if (points[i] >= 0 &&
            tapul_figure_of_plate(
                entry->plate, tapul_border_point(entry->line, points[i])->developed_mm, &own)) {
            TapulVec2 page =
                tapul_vec2_add(at, tapul_vec2_scale(tapul_vec2_sub(own, from), scale));
            calls[n++] = (TapulCallout){.at_mm = page, .number = first + i};
        }
    for (int i = 0; i < n; i++)
        tapul_number_draw(made->page, leaf_of(made), calls[i].at_mm, calls[i].number);
}

static void draw_plate(const TapulBorderComposition *made, TapulVec2 at, int first_number) {
    const TapulBorderEntry *entry = made->entry;
    double scale = made->scale[TAPUL_BORDER_PLATE];
    tapul_figure_draw(entry->plate, made->page, at, scale, "border-plate",
                      made->label[TAPUL_BORDER_PLATE]);
    for (guint i = 0; i < entry->lines->len; i++)
        tapul_border_draw_band(g_ptr_array_index(entry->lines, i), entry->plate, made->page, at,
                               scale);
    number_places(made, at, scale, first_number);
}

/* Corner or plate, standing at `at`. */
static void draw_cell(const TapulBorderComposition *made, TapulBorderFigure figure,
                      TapulVec2 at, double width_mm) {
    const TapulBorderEntry *entry = made->entry;
    int first = entry->book->figures + 1 - tapul_border_has(entry, TAPUL_BORDER_LAID) -
                tapul_border_has(entry, TAPUL_BORDER_CORNER);
    begin_figure(made, figure);
    if (figure == TAPUL_BORDER_CORNER)
        tapul_figure_draw(entry->turn, made->page, at, made->scale[figure], "border-corner",
                          made->label[figure]);
    else
        draw_plate(made, at, first);
    tapul_page_end_part(made->page);
    caption(made, figure,
            tapul_vec2(at.x, at.y - steps_mm(made, TAPUL_BORDER_CAPTION_GAP_STEPS)), width_mm);
}

static double cell_mm(const TapulBorderComposition *made, TapulBorderFigure figure) {
    return made->scale[figure] * size_of(figure_box(made->entry, figure)).y;
}

/* Beside each other on one base line. */
static void draw_row(TapulBorderComposition *made, double y) {
    int all = leaf_of(made)->columns, column = 0;
    int each = tapul_border_has(made->entry, TAPUL_BORDER_CORNER) ? all / 2 : all;
    double width = columns_mm(made, each), figures = 0;
    for (int figure = TAPUL_BORDER_CORNER; figure <= TAPUL_BORDER_PLATE; figure++)
        if (tapul_border_has(made->entry, figure)) {
            tapul_border_fit_cell(made, figure, tapul_vec2(width, y - made->body.min.y));
            figures = fmax(figures, cell_mm(made, figure));
        }
    for (int figure = TAPUL_BORDER_CORNER; figure <= TAPUL_BORDER_PLATE; figure++)
        if (tapul_border_has(made->entry, figure)) {
            draw_cell(made, figure,
                      tapul_vec2(tapul_leaf_column_x(leaf_of(made), column), y - figures),
                      width);
            column += each;
        }
}

/* One under the other. */
static void draw_column(TapulBorderComposition *made) {
    int first = tapul_border_columns(made), all = leaf_of(made)->columns;
    double x = tapul_leaf_column_x(leaf_of(made), first), y = made->body.max.y;
    double width = columns_mm(made, all - first),
           gap = steps_mm(made, TAPUL_BORDER_ROW_GAP_STEPS);
    int n = tapul_border_has(made->entry, TAPUL_BORDER_CORNER) ? 2 : 1;
    double height = (y - made->body.min.y - (n - 1) * gap) / n;
    for (int figure = TAPUL_BORDER_CORNER; figure <= TAPUL_BORDER_PLATE; figure++)
        if (tapul_border_has(made->entry, figure)) {
            tapul_border_fit_cell(made, figure, tapul_vec2(width, height));
            draw_cell(made, figure, tapul_vec2(x, y - cell_mm(made, figure)), width);
            y -= cell_mm(made, figure) + tapul_border_caption_mm(made, figure, width) + gap;
        }
}

/* --- The page --- */

void tapul_border_page(const TapulBorderEntry *entry) {
    TapulComparisonBook *book = entry->book;
    const TapulCase *question = book->comparison->question;
    const TapulCaseLaying *asked = g_ptr_array_index(question->layings, entry->line->laying);
    g_autofree char *title = tapul_comparison_print_name(book->comparison, asked->print);
    TapulBorderComposition made;
    tapul_border_composition_init(&made, entry);
    tapul_border_fit_strips(&made);
    g_autofree char *description = g_strdup_printf(
        "%s. %s %s", title, made.text[TAPUL_BORDER_PRINT], made.text[TAPUL_BORDER_LAID]);
    made.page =
        tapul_leaf_page(&book->leaf, book->comparison, title, question->title, description);
    g_ptr_array_add(book->pages, made.page);
    double y = draw_strips(&made);
    if (made.landscape)
        draw_column(&made);
    else
        draw_row(&made, y);
    tapul_border_composition_clear(&made);
}
