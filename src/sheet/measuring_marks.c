/* The marks that the measuring sheet's drawing is made of: numbers, dots, arrows, the board.
 *
 * measuring_figure.c and measuring_section.c draw with them.
 */
#include "sheet/measuring_figure.h"

#define ARROW_MM 1.7

TapulVec2 tapul_figure_place(const TapulFigure *figure, TapulVec2 origin, double across_mm,
                             double up_mm) {
    return tapul_vec2(origin.x + figure->scale * across_mm, origin.y + figure->scale * up_mm);
}

void tapul_figure_text(const TapulFigure *figure, TapulVec2 middle, const char *text,
                       TapulAlign align) {
    TapulType type = {.size_mm = figure->small_mm, .align = align, .colour = TAPUL_BLACK};
    tapul_page_text(figure->page, tapul_vec2(middle.x, middle.y - 0.3 * figure->small_mm), text,
                    &type);
}

static TapulBox number_box(const TapulFigure *figure, TapulVec2 middle, const char *text) {
    TapulType type = {.size_mm = figure->small_mm};
    double half_mm = tapul_page_text_width_mm(text, &type) / 2 + 0.3;
    double high_mm = 0.42 * figure->small_mm;
    return (TapulBox){{middle.x - half_mm, middle.y - high_mm},
                      {middle.x + half_mm, middle.y + high_mm}};
}

gboolean tapul_figure_claim(const TapulFigure *figure, TapulVec2 middle, const char *text) {
    TapulBox box = number_box(figure, middle, text);
    for (guint i = 0; i < figure->numbers->len; i++) {
        TapulBox other = g_array_index(figure->numbers, TapulBox, i);
        if (box.min.x < other.max.x && other.min.x < box.max.x && box.min.y < other.max.y &&
            other.min.y < box.max.y)
            return FALSE;
    }
    g_array_append_val(figure->numbers, box);
    return TRUE;
}

void tapul_figure_number(const TapulFigure *figure, TapulVec2 middle, const char *text) {
    g_autoptr(TapulPath) patch = tapul_box_path(number_box(figure, middle, text));
    tapul_page_path(figure->page, patch, &(TapulPen){.fill = {1, 1, 1, 1}});
    tapul_figure_text(figure, middle, text, TAPUL_ALIGN_CENTRE);
}

void tapul_figure_dot(const TapulFigure *figure, TapulVec2 at) {
    g_autoptr(TapulPath) dot = tapul_path_new();
    tapul_path_move(dot, at);
    tapul_path_line(dot, at);
    tapul_page_path(
        figure->page, dot,
        &(TapulPen){.stroke = TAPUL_BLACK, .width_mm = 0.9, .cap = TAPUL_CAP_ROUND});
}

void tapul_figure_line(const TapulFigure *figure, TapulVec2 from, TapulVec2 to, double width_mm,
                       TapulColour colour) {
    tapul_form_line(figure->page, from, to, width_mm, colour);
}

void tapul_figure_chain(const TapulFigure *figure, TapulVec2 from, TapulVec2 to) {
    g_autoptr(TapulPath) path = tapul_path_new();
    tapul_path_move(path, from);
    tapul_path_line(path, to);
    tapul_page_path(figure->page, path,
                    &(TapulPen){.stroke = TAPUL_BLACK,
                                .width_mm = TAPUL_HAIRLINE_MM,
                                .n_dash = 4,
                                .dash_mm = {5, 1, 1, 1}});
}

void tapul_figure_arrow(const TapulFigure *figure, TapulVec2 from, TapulVec2 to) {
    TapulVec2 along = tapul_vec2_sub(to, from);
    double length_mm = tapul_vec2_length(along);
    if (length_mm < ARROW_MM)
        return;
    along = tapul_vec2_scale(along, ARROW_MM / length_mm);
    TapulVec2 foot = tapul_vec2_sub(to, along), aside = {-0.28 * along.y, 0.28 * along.x};
    tapul_figure_line(figure, from, foot, 0.18, TAPUL_BLACK);
    g_autoptr(TapulPath) head = tapul_path_new();
    tapul_path_move(head, to);
    tapul_path_line(head, tapul_vec2_add(foot, aside));
    tapul_path_line(head, tapul_vec2_sub(foot, aside));
    tapul_path_close(head);
    tapul_page_path(figure->page, head, &(TapulPen){.fill = TAPUL_BLACK});
}

void tapul_figure_board(const TapulFigure *figure, TapulBox box) {
    g_autoptr(TapulPath) board = tapul_box_path(box);
    tapul_page_path(figure->page, board,
                    &(TapulPen){.fill = {0.88, 0.86, 0.82, 1},
                                .stroke = TAPUL_BLACK,
                                .width_mm = TAPUL_HAIRLINE_MM});
}

const TapulLevel *tapul_figure_level(const TapulFigure *figure, guint i) {
    return &g_array_index(figure->measuring->levels, TapulLevel, i);
}
