/* Squares over the plate, as a design is squared up: a pupil names a place by letter and
 * number.
 *
 * They are a round number of millimetres on the metal, so that they are a measure too. */
#include "sheet/worksheet_parts.h"

/* Enough that a square holds few motifs, few enough that a hand finds its row and column. */
#define MOST_SQUARES 10

/* A figure has some air around it. */
#define AIR 1.06

/* Lines of the squares: at least 3 : 1 against paper and metal (WCAG 2), lighter than ink. */
#define SQUARE_LINE    ((TapulColour){0.52, 0.51, 0.50, 1})
#define SQUARE_LINE_MM 0.1
/* Letters and numbers stand so far from the squares, in ems of their own. */
#define LABEL_EMS 1.5

static double cell_for(double side_mm) {
    static const double cells_mm[] = {2, 5, 10, 15, 20, 25, 30, 40, 50, 100, 200};
    for (guint i = 0; i < G_N_ELEMENTS(cells_mm); i++)
        if (ceil(side_mm / cells_mm[i]) <= MOST_SQUARES)
            return cells_mm[i];
    return 100 * ceil(side_mm / (100 * MOST_SQUARES));
}

TapulSquares tapul_squares(TapulBox figure_mm) {
    TapulVec2 size = tapul_vec2_scale(tapul_vec2_sub(figure_mm.max, figure_mm.min), AIR);
    TapulSquares squares = {.cell_mm = cell_for(fmax(size.x, size.y))};
    squares.columns = MAX(1, (int)ceil(size.x / squares.cell_mm));
    squares.rows = MAX(1, (int)ceil(size.y / squares.cell_mm));
    squares.box_mm = tapul_box_about(
        tapul_vec2_mix(figure_mm.min, figure_mm.max, 0.5),
        tapul_vec2(squares.columns * squares.cell_mm / 2, squares.rows * squares.cell_mm / 2));
    return squares;
}

static void square_of(const TapulSquares *squares, TapulVec2 at_mm, int *column, int *row) {
    double x = (at_mm.x - squares->box_mm.min.x) / squares->cell_mm;
    double y = (squares->box_mm.max.y - at_mm.y) / squares->cell_mm;
    *column = (int)CLAMP(floor(x), 0, squares->columns - 1);
    *row = (int)CLAMP(floor(y), 0, squares->rows - 1);
}

char *tapul_squares_name(const TapulSquares *squares, TapulVec2 at_mm) {
    int column, row;
    square_of(squares, at_mm, &column, &row);
    return g_strdup_printf("%c%d", 'A' + column, row + 1);
}

char *tapul_squares_names(const TapulSquares *squares, TapulBox box_mm) {
    g_autofree char *middle =
        tapul_squares_name(squares, tapul_vec2_mix(box_mm.min, box_mm.max, 0.5));
    g_autofree char *first =
        tapul_squares_name(squares, tapul_vec2(box_mm.min.x, box_mm.max.y));
    g_autofree char *last = tapul_squares_name(squares, tapul_vec2(box_mm.max.x, box_mm.min.y));
    if (g_str_equal(first, last))
        return g_strdup(middle);
    return g_strdup_printf("%s (%s–%s)", middle, first, last);
}

double tapul_squares_label_mm(const TapulLeaf *leaf) {
    return LABEL_EMS * leaf->label_mm;
}

static void draw_lines(TapulPage *page, const TapulSquares *squares, TapulVec2 at,
                       double cell_mm) {
    double right = at.x + squares->columns * cell_mm, top = at.y + squares->rows * cell_mm;
    g_autoptr(TapulPath) path = tapul_path_new();
    for (int i = 0; i <= squares->columns; i++) {
        tapul_path_move(path, tapul_vec2(at.x + i * cell_mm, at.y));
        tapul_path_line(path, tapul_vec2(at.x + i * cell_mm, top));
    }
    for (int i = 0; i <= squares->rows; i++) {
        tapul_path_move(path, tapul_vec2(at.x, at.y + i * cell_mm));
        tapul_path_line(path, tapul_vec2(right, at.y + i * cell_mm));
    }
    tapul_page_path(page, path, &(TapulPen){.stroke = SQUARE_LINE, .width_mm = SQUARE_LINE_MM});
}

void tapul_squares_draw(TapulPage *page, const TapulLeaf *leaf, const TapulSquares *squares,
                        TapulVec2 at, double scale) {
    double cell_mm = scale * squares->cell_mm, em = leaf->label_mm;
    double top = at.y + squares->rows * cell_mm, right = at.x + squares->columns * cell_mm;
    TapulType type = {.size_mm = em, .align = TAPUL_ALIGN_CENTRE, .colour = TAPUL_BLACK};
    tapul_page_begin_group(page, "squares", "Squares", NULL);
    draw_lines(page, squares, at, cell_mm);
    for (int i = 0; i < squares->columns; i++) {
        const char letter[] = {(char)('A' + i), '\0'};
        double x = at.x + (i + 0.5) * cell_mm;
        tapul_page_text(page, tapul_vec2(x, top + 0.45 * em), letter, &type);
        tapul_page_text(page, tapul_vec2(x, at.y - 1.1 * em), letter, &type);
    }
    for (int i = 0; i < squares->rows; i++) {
        g_autofree char *number = g_strdup_printf("%d", i + 1);
        double y = top - (i + 0.5) * cell_mm - 0.3 * em;
        tapul_page_text(page, tapul_vec2(at.x - 0.9 * em, y), number, &type);
        tapul_page_text(page, tapul_vec2(right + 0.9 * em, y), number, &type);
    }
    tapul_page_end_group(page);
}
