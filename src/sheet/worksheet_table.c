/* The worksheet's table: a row a motif, with boxes to tick and room to write by hand; and the
 * grid and cells that the table of answers has too. */
#include "sheet/worksheet_parts.h"

#include "sheet/comparison_words.h"
#include "sheet/furniture.h"
#include "sheet/leaf_parts.h"
#include "sheet/shortened.h"

/* From a column's edge to its words. */
#define PAD_MM 0.8
/* Capitals stand higher on their lines than boxes do. */
#define DOWN_EMS 0.12
/* What takes more lines is shortened. */
#define MOST_LINES        2
#define MOST_ANSWER_LINES 3
#define MOST_HEAD_LINES   5

/* Of the table's width: what is written by hand needs room, and so do figures in words. */
static const double shares[2][TAPUL_WORKSHEET_COLUMNS] = {
    {0.05, 0.24, 0.12, 0.12, 0.17, 0.13, 0.17},
    {0.05, 0.22, 0.12, 0.17, 0.11, 0.19, 0.14},
};

static const struct {
    const char *head, *first, *second; /* second NULL: there is nothing to tick */
} columns[TAPUL_WORKSHEET_COLUMNS] = {
    {NULL, NULL, NULL},
    {"motif", NULL, NULL},
    {"found on the plate?", "yes", "no"},
    {"in which square is its middle?", NULL, NULL},
    {"which way round?", "the same", "mirrored"},
    {"as wide and as high as in the print?", "yes", "no"},
    {"somewhere else than in the print, beside its neighbours?", "yes", "no"},
};

TapulWorksheetGrid tapul_worksheet_grid(double left_mm, double width_mm, gboolean answers) {
    TapulWorksheetGrid grid = {{left_mm}};
    for (int i = 0; i < TAPUL_WORKSHEET_COLUMNS; i++)
        grid.x_mm[i + 1] = grid.x_mm[i] + shares[answers ? 1 : 0][i] * width_mm;
    return grid;
}

static double inner_mm(const TapulWorksheetGrid *grid, int column) {
    return grid->x_mm[column + 1] - grid->x_mm[column] - 2 * PAD_MM;
}

/* --- Cells --- */

/* Lines of a cell from top_mm down, of right-to-left scripts from its right edge. */
static double set_cell(TapulPage *page, double top_mm, const TapulWorksheetGrid *grid,
                       int column, const char *text, guint most_lines, const TapulType *type) {
    double width_mm = inner_mm(grid, column), x = grid->x_mm[column] + PAD_MM;
    g_autofree char *shown = tapul_text_shortened(text, width_mm, most_lines, type);
    if (page)
        tapul_page_begin_part(page, TAPUL_PART_CELL, NULL);
    double y = tapul_set_paragraph(page, tapul_vec2(x, top_mm), width_mm, shown, type);
    if (page)
        tapul_page_end_part(page);
    return y;
}

double tapul_worksheet_cell(const TapulWorksheet *worksheet, TapulPage *page, double top_mm,
                            const TapulWorksheetGrid *grid, int column, const char *text) {
    TapulType type = {.size_mm = worksheet->leaf.label_mm,
                      .bold = column == TAPUL_COLUMN_NUMBER,
                      .colour = TAPUL_BLACK};
    return set_cell(page, top_mm, grid, column, text, MOST_ANSWER_LINES, &type);
}

/* --- Heads --- */

static double choice_x(const TapulWorksheetGrid *grid, int column, int choice) {
    return grid->x_mm[column] +
           (choice == 0 ? 0.27 : 0.73) * (grid->x_mm[column + 1] - grid->x_mm[column]);
}

static void draw_choice(const TapulWorksheet *worksheet, TapulPage *page, double baseline,
                        const TapulWorksheetGrid *grid, int column, int choice) {
    TapulType type = {
        .size_mm = TAPUL_LEAST_TEXT_MM, .align = TAPUL_ALIGN_CENTRE, .colour = TAPUL_BLACK};
    const char *word =
        tapul_case_word(worksheet->comparison->question,
                        choice == 0 ? columns[column].first : columns[column].second);
    g_autofree char *shown = tapul_text_shortened(word, inner_mm(grid, column) / 2, 1, &type);
    tapul_page_text(page, tapul_vec2(choice_x(grid, column, choice), baseline), shown, &type);
}

/* The lowest of all heads, which stand on one line with their last lines. */
static double head_mm(const TapulWorksheet *worksheet, const TapulWorksheetGrid *grid,
                      int column, const TapulType *type) {
    if (!columns[column].head)
        return 0;
    g_autofree char *words =
        tapul_comparison_capital(worksheet->comparison, columns[column].head);
    return -set_cell(NULL, 0, grid, column, words, MOST_HEAD_LINES, type);
}

double tapul_worksheet_heads(const TapulWorksheet *worksheet, TapulPage *page, double top_mm,
                             const TapulWorksheetGrid *grid, gboolean to_fill) {
    TapulType type = {
        .size_mm = worksheet->leaf.label_mm, .italic = TRUE, .colour = TAPUL_BLACK};
    double deepest_mm = 0;
    for (int i = 0; i < TAPUL_WORKSHEET_COLUMNS; i++)
        deepest_mm = fmax(deepest_mm, head_mm(worksheet, grid, i, &type));
    double y = top_mm - deepest_mm - (to_fill ? TAPUL_LEADING * TAPUL_LEAST_TEXT_MM : 0);
    if (!page)
        return y;
    tapul_page_begin_part(page, TAPUL_PART_ROW, NULL);
    for (int i = 0; i < TAPUL_WORKSHEET_COLUMNS; i++) {
        g_autofree char *words =
            columns[i].head ? tapul_comparison_capital(worksheet->comparison, columns[i].head)
                            : NULL;
        if (words)
            set_cell(page, top_mm - deepest_mm + head_mm(worksheet, grid, i, &type), grid, i,
                     words, MOST_HEAD_LINES, &type);
        for (int k = 0; to_fill && columns[i].second && k < 2; k++)
            draw_choice(worksheet, page, y + 0.4 * TAPUL_LEAST_TEXT_MM, grid, i, k);
    }
    tapul_page_end_part(page);
    tapul_rule(page, tapul_vec2(grid->x_mm[0], y),
               grid->x_mm[TAPUL_WORKSHEET_COLUMNS] - grid->x_mm[0]);
    return y;
}

/* --- Rows to fill --- */

static void draw_boxes(TapulPage *page, double middle, const TapulWorksheetGrid *grid,
                       int column) {
    for (int k = 0; k < 2; k++) {
        g_autoptr(TapulPath) box = tapul_box_path(tapul_box_about(
            tapul_vec2(choice_x(grid, column, k), middle),
            tapul_vec2(TAPUL_WORKSHEET_TICK_MM / 2, TAPUL_WORKSHEET_TICK_MM / 2)));
        tapul_page_path(page, box, &(TapulPen){.stroke = TAPUL_BLACK, .width_mm = 0.18});
    }
}

char *tapul_worksheet_row_name(const TapulWorksheet *worksheet, const TapulSoughtMotif *motif,
                               guint place) {
    g_autofree char *copy = tapul_sought_copy_words(worksheet->comparison, motif, place);
    return copy ? g_strdup_printf("%s, %s", motif->shown->name, copy)
                : g_strdup(motif->shown->name);
}

double tapul_worksheet_row(const TapulWorksheet *worksheet, TapulPage *page, double top_mm,
                           const TapulWorksheetGrid *grid, const TapulSoughtMotif *motif,
                           guint place) {
    double bottom = top_mm - TAPUL_WORKSHEET_ROW_MM, middle = (top_mm + bottom) / 2;
    TapulType type = {.size_mm = worksheet->leaf.format.text_mm, .colour = TAPUL_BLACK};
    g_autofree char *number = g_strdup_printf("%d", motif->number);
    g_autofree char *name = tapul_worksheet_row_name(worksheet, motif, place);
    const char *texts[] = {number, name};
    tapul_page_begin_part(page, TAPUL_PART_ROW, NULL);
    for (int i = 0; i < 2; i++) {
        double height_mm = -set_cell(NULL, 0, grid, i, texts[i], MOST_LINES, &type);
        type.bold = i == TAPUL_COLUMN_NUMBER;
        set_cell(page, middle + height_mm / 2 - DOWN_EMS * type.size_mm, grid, i, texts[i],
                 MOST_LINES, &type);
    }
    tapul_page_end_part(page);
    for (int i = 0; i < TAPUL_WORKSHEET_COLUMNS; i++)
        if (columns[i].second)
            draw_boxes(page, middle, grid, i);
    tapul_rule(page, tapul_vec2(grid->x_mm[0], bottom),
               grid->x_mm[TAPUL_WORKSHEET_COLUMNS] - grid->x_mm[0]);
    return bottom;
}
