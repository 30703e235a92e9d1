/* The worksheet's last page: the overlay with the motifs' numbers, the table filled from the
 * laying and, where they were weighed, the findings, and the questions answered. */
#include "sheet/callouts.h"
#include "sheet/comparison_words.h"
#include "sheet/furniture.h"
#include "sheet/worksheet_parts.h"

/* Of the scale that it would have on a page to itself: an overlay is not to be smaller above
 * its table. */
#define LEAST_SCALE_SHARE 0.5

static TapulPage *begin_page(TapulWorksheet *worksheet, TapulBox *body) {
    g_autofree char *title = tapul_comparison_capital(worksheet->comparison, "answers");
    return tapul_worksheet_page(worksheet, title, worksheet->comparison->question->title,
                                "The print laid over the plate, and the answers.", body);
}

/* --- The table --- */

static double draw_row(const TapulWorksheet *worksheet, TapulPage *page, double top_mm,
                       const TapulWorksheetGrid *grid, const TapulSoughtMotif *motif,
                       guint place) {
    g_autofree char *number = g_strdup_printf("%d", motif->number);
    const TapulShownMotif *shown = g_ptr_array_index(motif->places, place);
    double bottom = top_mm;
    if (page)
        tapul_page_begin_part(page, TAPUL_PART_ROW, NULL);
    for (int i = 0; i < TAPUL_WORKSHEET_COLUMNS; i++) {
        g_autofree char *text =
            i == TAPUL_COLUMN_NUMBER ? g_strdup(number)
            : i == TAPUL_COLUMN_MOTIF
                ? tapul_worksheet_row_name(worksheet, motif, place)
                : tapul_worksheet_answer(worksheet, shown, (TapulWorksheetColumn)i);
        bottom = fmin(bottom, tapul_worksheet_cell(worksheet, page, top_mm, grid, i, text));
    }
    if (page)
        tapul_page_end_part(page);
    bottom -= 0.25 * worksheet->leaf.label_mm;
    if (page)
        tapul_rule(page, tapul_vec2(grid->x_mm[0], bottom),
                   grid->x_mm[TAPUL_WORKSHEET_COLUMNS] - grid->x_mm[0]);
    return bottom - 0.25 * worksheet->leaf.label_mm;
}

static double begin_table(const TapulWorksheet *worksheet, TapulPage *page, double top_mm,
                          const TapulWorksheetGrid *grid) {
    if (page)
        tapul_page_begin_part(page, TAPUL_PART_TABLE, NULL);
    return tapul_worksheet_heads(worksheet, page, top_mm, grid, FALSE) -
           0.25 * worksheet->leaf.label_mm;
}

/* With page NULL it only measures; else, where the room ends, it goes on with a new page, which
 * page and room then are. */
static double draw_table(TapulWorksheet *worksheet, TapulPage **page, TapulBox *room,
                         double top_mm) {
    TapulWorksheetGrid grid =
        tapul_worksheet_grid(room->min.x, room->max.x - room->min.x, TRUE);
    double y = begin_table(worksheet, *page, top_mm, &grid);
    for (guint i = 0; i < worksheet->motifs->len; i++) {
        const TapulSoughtMotif *motif = g_ptr_array_index(worksheet->motifs, i);
        for (guint k = 0; k < motif->places->len; k++) {
            if (*page && draw_row(worksheet, NULL, y, &grid, motif, k) < room->min.y) {
                tapul_page_end_part(*page);
                *page = begin_page(worksheet, room);
                grid = tapul_worksheet_grid(room->min.x, room->max.x - room->min.x, TRUE);
                y = begin_table(worksheet, *page, room->max.y, &grid);
            }
            y = draw_row(worksheet, *page, y, &grid, motif, k);
        }
    }
    if (*page)
        tapul_page_end_part(*page);
    return y;
}

/* --- Words --- */

static double set_paragraph(const TapulWorksheet *worksheet, TapulPage *page, TapulVec2 at,
                            double width_mm, const char *text, gboolean italic) {
    TapulType type = {
        .size_mm = worksheet->leaf.label_mm, .italic = italic, .colour = TAPUL_BLACK};
    if (page)
        tapul_page_begin_part(page, TAPUL_PART_PARAGRAPH, NULL);
    double y = tapul_set_paragraph(page, at, width_mm, text, &type);
    if (page)
        tapul_page_end_part(page);
    return y;
}

/* What the answers rest on; said before them. */
static void say_basis(const TapulWorksheet *worksheet, GString *text) {
    gboolean weighed = worksheet->comparison->question->found != NULL;
    const char *const sentences[] = {
        weighed ? "found or not, and where, is as weighed against the tracing; where the "
                  "tracing does not tell, nothing is claimed"
                : "the plate is shown with the print where the laying puts it, and every motif "
                  "on the metal is found",
        weighed ? "a good fit alone does not prove the print the source" : NULL,
        worksheet->unshown_tracing ? "what was found on the plate itself is not shown: without "
                                     "pairs it was not weighed against the print"
                                   : NULL,
        "width and height are as they measure on the plate laid flat, along the motif's own "
        "level and upright lines"};
    for (guint i = 0; i < G_N_ELEMENTS(sentences); i++)
        if (sentences[i])
            tapul_comparison_add_take(
                text, tapul_comparison_sentence(worksheet->comparison, sentences[i]));
}

static double draw_reply(const TapulWorksheet *worksheet, TapulPage *page, TapulVec2 at,
                         double width_mm, int i) {
    g_autofree char *question = tapul_worksheet_question(worksheet, i);
    g_autofree char *reply = tapul_worksheet_reply(worksheet, i);
    double y = set_paragraph(worksheet, page, at, width_mm, question, TRUE);
    return set_paragraph(worksheet, page, tapul_vec2(at.x, y), width_mm, reply, FALSE);
}

static double draw_basis(const TapulWorksheet *worksheet, TapulPage *page, TapulBox room) {
    g_autoptr(GString) words = g_string_new(NULL);
    say_basis(worksheet, words);
    return set_paragraph(worksheet, page, tapul_vec2(room.min.x, room.max.y),
                         room.max.x - room.min.x, words->str, FALSE);
}

/* What the answers rest on, the table, the questions answered; over as many pages as it takes.
 * Returns the y below; with page NULL it only measures. */
static double draw_account(TapulWorksheet *worksheet, TapulPage *page, TapulBox room) {
    double gap_mm = 0.5 * worksheet->leaf.step_mm;
    double y = draw_basis(worksheet, page, room) - gap_mm;
    y = draw_table(worksheet, &page, &room, y) - gap_mm;
    for (int i = 0; i < TAPUL_WORKSHEET_QUESTIONS; i++) {
        double width_mm = room.max.x - room.min.x;
        TapulVec2 at = {room.min.x, y - gap_mm};
        if (page && draw_reply(worksheet, NULL, at, width_mm, i) < room.min.y) {
            page = begin_page(worksheet, &room);
            at = tapul_vec2(room.min.x, room.max.y);
            width_mm = room.max.x - room.min.x;
        }
        y = draw_reply(worksheet, page, at, width_mm, i);
    }
    return y;
}

/* --- The overlay --- */

static void draw_numbers(const TapulWorksheet *worksheet, TapulPage *page, TapulVec2 at,
                         TapulBox own, double scale) {
    g_autoptr(GArray) calls = g_array_new(FALSE, FALSE, sizeof(TapulCallout));
    double radius_mm = tapul_number_radius_mm(&worksheet->leaf);
    TapulBox within = {
        at, tapul_vec2_add(at, tapul_vec2_scale(tapul_vec2_sub(own.max, own.min), scale))};
    for (guint i = 0; i < worksheet->motifs->len; i++) {
        const TapulSoughtMotif *motif = g_ptr_array_index(worksheet->motifs, i);
        for (guint k = 0; k < motif->places->len; k++) {
            const TapulShownMotif *shown = g_ptr_array_index(motif->places, k);
            TapulVec2 from_corner = tapul_vec2_sub(shown->mark_developed_mm, own.min);
            TapulCallout call = {tapul_vec2_add(at, tapul_vec2_scale(from_corner, scale)),
                                 motif->number, NULL};
            if (!tapul_worksheet_is_missing(shown) &&
                !tapul_sought_is_undecided(worksheet->comparison, shown))
                g_array_append_val(calls, call);
        }
    }
    TapulCallout *first = (TapulCallout *)(gpointer)calls->data;
    tapul_numbers_part(first, (int)calls->len, radius_mm, within);
    for (guint i = 0; i < calls->len; i++)
        tapul_number_draw(page, &worksheet->leaf, first[i].at_mm, first[i].number);
}

static char *overlay_words(const TapulWorksheet *worksheet, double scale) {
    const TapulComparison *comparison = worksheet->comparison;
    GString *text = g_string_new(NULL);
    for (guint i = 0; i < worksheet->prints->len; i++) {
        const TapulSoughtPrint *print = g_ptr_array_index(worksheet->prints, i);
        for (guint k = 0; k < print->layings->len; k++)
            tapul_comparison_add_take(
                text, tapul_comparison_laying_words(comparison,
                                                    g_array_index(print->layings, int, k)));
    }
    tapul_comparison_add_take(text, tapul_worksheet_scale_words(worksheet, scale));
    return g_string_free(text, FALSE);
}

/* Caption and legend; with page NULL it only measures. The figure ends with its caption. */
static double set_words(const TapulWorksheet *worksheet, TapulPage *page, TapulVec2 at,
                        double width_mm, double scale) {
    const TapulLeaf *leaf = &worksheet->leaf;
    g_autofree char *number = g_strdup_printf("%d", worksheet->figures + 1);
    g_autofree char *label = tapul_comparison_capital(worksheet->comparison, "overlay");
    g_autofree char *text = overlay_words(worksheet, scale);
    double y = tapul_leaf_caption(leaf, page, at, width_mm, number, label, text);
    if (page)
        tapul_page_end_part(page);
    return tapul_leaf_legend_of(leaf, page, tapul_vec2(at.x, y - 0.3 * leaf->step_mm), width_mm,
                                worksheet->comparison, &worksheet->squares.box_mm, 1);
}

/* The scale is not known until the figure stands, but its words are of one length. */
static double words_mm(const TapulWorksheet *worksheet, double width_mm) {
    return worksheet->leaf.step_mm -
           set_words(worksheet, NULL, tapul_vec2(0, 0), width_mm, 0.4);
}

static double draw_overlay(TapulWorksheet *worksheet, TapulPage *page, TapulBox room) {
    const TapulLeaf *leaf = &worksheet->leaf;
    const TapulSoughtPrint *print = g_ptr_array_index(worksheet->prints, 0);
    gboolean one = worksheet->prints->len == 1 && print->layings->len == 1;
    double width_mm = room.max.x - room.min.x, label_mm = tapul_squares_label_mm(leaf);
    g_autofree char *label = tapul_comparison_capital(worksheet->comparison, "overlay");
    g_autoptr(TapulFigure) figure = tapul_figure_development(
        worksheet->comparison, worksheet->squares.box_mm, TAPUL_SHOWN_LAID,
        one ? g_array_index(print->layings, int, 0) : -1);
    TapulBox space = room, own = tapul_figure_box_mm(figure);
    TapulVec2 at;
    space.min.y += words_mm(worksheet, width_mm);
    tapul_page_begin_part(page, TAPUL_PART_FIGURE, label);
    double scale = tapul_worksheet_place(worksheet, page, space, figure, &worksheet->squares,
                                         "overlay", &at);
    draw_numbers(worksheet, page, at, own, scale);
    double below = at.y - label_mm;
    double y = set_words(worksheet, page, tapul_vec2(room.min.x, below - 0.5 * leaf->step_mm),
                         width_mm, scale);
    worksheet->figures++;
    return y;
}

/* At what scale draw_overlay would draw it. */
static double overlay_scale(const TapulWorksheet *worksheet, TapulBox room) {
    const TapulSquares *squares = &worksheet->squares;
    double width_mm = room.max.x - room.min.x,
           label_mm = tapul_squares_label_mm(&worksheet->leaf);
    TapulVec2 space = {width_mm - 2 * label_mm,
                       room.max.y - room.min.y - 2 * label_mm - words_mm(worksheet, width_mm)};
    return tapul_worksheet_scale(tapul_vec2_sub(squares->box_mm.max, squares->box_mm.min),
                                 space);
}

/* --- Pages --- */

static void answer_beside(TapulWorksheet *worksheet) {
    const TapulLeaf *leaf = &worksheet->leaf;
    int half = leaf->columns / 2;
    TapulBox body, left, right;
    TapulPage *page = begin_page(worksheet, &body);
    left = right = body;
    left.max.x = left.min.x + tapul_leaf_columns_mm(leaf, half);
    right.min.x = tapul_leaf_column_x(leaf, half);
    gboolean together = draw_account(worksheet, NULL, right) >= body.min.y;
    draw_overlay(worksheet, page, together ? left : body);
    if (!together) {
        page = begin_page(worksheet, &body);
        right = body;
    }
    draw_account(worksheet, page, right);
}

static void answer_below(TapulWorksheet *worksheet) {
    TapulBox body, room;
    TapulPage *page = begin_page(worksheet, &body);
    room = body;
    room.min.y += body.max.y - draw_account(worksheet, NULL, body) + worksheet->leaf.step_mm;
    gboolean together =
        overlay_scale(worksheet, room) >= LEAST_SCALE_SHARE * overlay_scale(worksheet, body);
    double y = draw_overlay(worksheet, page, together ? room : body) - worksheet->leaf.step_mm;
    if (together)
        body.max.y = y;
    else
        page = begin_page(worksheet, &body);
    draw_account(worksheet, page, body);
}

void tapul_worksheet_answers(TapulWorksheet *worksheet) {
    if (worksheet->leaf.columns > 6)
        answer_beside(worksheet);
    else
        answer_below(worksheet);
}
