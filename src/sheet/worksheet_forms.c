/* The worksheet's pages to write on: the table, and the questions with ruled lines. */
#include "sheet/comparison_words.h"
#include "sheet/furniture.h"
#include "sheet/worksheet_parts.h"

/* Fewer lines hold no answer. */
#define LEAST_LINES 2
/* More only look like a task. */
#define MOST_LINES 6

static TapulPage *begin_page(TapulWorksheet *worksheet, TapulBox *body) {
    g_autofree char *title =
        tapul_comparison_capital(worksheet->comparison, "what do you find?");
    g_autofree char *name = tapul_sought_names(worksheet->comparison, worksheet->prints);
    return tapul_worksheet_page(worksheet, title, name, "A table and questions, to fill in.",
                                body);
}

/* --- The table --- */

static double begin_table(const TapulWorksheet *worksheet, TapulPage *page, double top_mm,
                          const TapulWorksheetGrid *grid) {
    tapul_page_begin_part(page, TAPUL_PART_TABLE, NULL);
    return tapul_worksheet_heads(worksheet, page, top_mm, grid, TRUE);
}

/* Where a page's room ends the table goes on with the next; room is what is left below it. */
static TapulPage *draw_table(TapulWorksheet *worksheet, gboolean beside, TapulBox *room) {
    TapulPage *page = begin_page(worksheet, room);
    const TapulLeaf *leaf = &worksheet->leaf;
    double width_mm = beside ? tapul_leaf_columns_mm(leaf, 7) : room->max.x - room->min.x;
    TapulWorksheetGrid grid = tapul_worksheet_grid(room->min.x, width_mm, FALSE);
    double y = begin_table(worksheet, page, room->max.y, &grid);
    for (guint i = 0; i < worksheet->motifs->len; i++) {
        const TapulSoughtMotif *motif = g_ptr_array_index(worksheet->motifs, i);
        for (guint k = 0; k < motif->places->len; k++) {
            if (y - TAPUL_WORKSHEET_ROW_MM < room->min.y) {
                tapul_page_end_part(page);
                page = begin_page(worksheet, room);
                y = begin_table(worksheet, page, room->max.y, &grid);
            }
            y = tapul_worksheet_row(worksheet, page, y, &grid, motif, k);
        }
    }
    tapul_page_end_part(page);
    if (beside)
        room->min.x = tapul_leaf_column_x(leaf, 7);
    else
        room->max.y = y - 1.5 * leaf->step_mm;
    return page;
}

/* --- The questions --- */

static double question_mm(const TapulWorksheet *worksheet, int question, double width_mm,
                          const TapulType *type) {
    g_autofree char *text = tapul_worksheet_question(worksheet, question);
    return -tapul_set_paragraph(NULL, tapul_vec2(0, 0), width_mm, text, type);
}

static TapulType question_type(const TapulWorksheet *worksheet) {
    return (TapulType){.size_mm = worksheet->leaf.format.text_mm, .colour = TAPUL_BLACK};
}

/* How many lines there is room for below each question. */
static int lines_in(const TapulWorksheet *worksheet, TapulBox room) {
    TapulType type = question_type(worksheet);
    double left_mm = room.max.y - room.min.y;
    for (int i = 0; i < TAPUL_WORKSHEET_QUESTIONS; i++)
        left_mm -=
            question_mm(worksheet, i, room.max.x - room.min.x, &type) + worksheet->leaf.step_mm;
    return MIN(MOST_LINES,
               (int)floor(left_mm / (TAPUL_WORKSHEET_QUESTIONS * TAPUL_WORKSHEET_LINE_MM)));
}

static void draw_questions(const TapulWorksheet *worksheet, TapulPage *page, TapulBox room) {
    TapulType type = question_type(worksheet);
    double width_mm = room.max.x - room.min.x, y = room.max.y;
    int lines = lines_in(worksheet, room);
    for (int i = 0; i < TAPUL_WORKSHEET_QUESTIONS; i++) {
        g_autofree char *text = tapul_worksheet_question(worksheet, i);
        tapul_page_begin_part(page, TAPUL_PART_PARAGRAPH, NULL);
        y = tapul_set_paragraph(page, tapul_vec2(room.min.x, y), width_mm, text, &type);
        tapul_page_end_part(page);
        for (int k = 0; k < lines; k++)
            tapul_rule(page, tapul_vec2(room.min.x, y -= TAPUL_WORKSHEET_LINE_MM), width_mm);
        y -= worksheet->leaf.step_mm;
    }
}

void tapul_worksheet_forms(TapulWorksheet *worksheet) {
    gboolean beside = worksheet->leaf.columns > 6;
    TapulBox room;
    TapulPage *page = draw_table(worksheet, beside, &room);
    if (lines_in(worksheet, room) < LEAST_LINES)
        page = begin_page(worksheet, &room);
    draw_questions(worksheet, page, room);
}
