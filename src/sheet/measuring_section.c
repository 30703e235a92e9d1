/* One level of the plate from below, as the measuring sheet shows it: the metal, the board that
 * z counts from, the readings in their order.
 *
 * measuring_figure.c says where it stands.
 */
#include "sheet/measuring_figure.h"

#define SECTION_MM 0.5 /* width of its line */

static void draw_cuts(const TapulFigure *figure, double y_mm) {
    g_autoptr(GPtrArray) cuts = tapul_level_cuts(figure->measuring->plate, y_mm);
    for (guint k = 0; k < cuts->len; k++) {
        const TapulCut *cut = cuts->pdata[k];
        g_autoptr(TapulPath) path = tapul_path_new();
        for (guint i = 0; i < cut->points->len; i++) {
            TapulVec3 p = g_array_index(cut->points, TapulVec3, i);
            TapulVec2 at = tapul_figure_place(figure, figure->section, p.x,
                                              p.z - figure->measuring->low.z);
            if (i == 0)
                tapul_path_move(path, at);
            else
                tapul_path_line(path, at);
        }
        tapul_page_path(figure->page, path,
                        &(TapulPen){.stroke = TAPUL_BLACK,
                                    .width_mm = SECTION_MM,
                                    .join = TAPUL_JOIN_ROUND});
    }
}

/* Beside a reading, off the metal; inside where the board is in the way. */
static TapulVec2 number_place(const TapulFigure *figure, TapulVec2 at) {
    const TapulMeasuring *measuring = figure->measuring;
    double share = measuring->closed ? 0.5 : -0.25;
    TapulVec2 centre = tapul_figure_place(
        figure, figure->section, 0, share * (measuring->section_high_z - measuring->low.z));
    TapulVec2 off = tapul_vec2_sub(at, centre);
    off = tapul_vec2_scale(off, TAPUL_FIGURE_OFF_MM / fmax(tapul_vec2_length(off), 1e-9));
    TapulVec2 outside = tapul_vec2_add(at, off);
    double least_y = figure->section.y + 0.6 * figure->small_mm;
    if (measuring->closed && outside.y < least_y)
        return tapul_vec2_sub(at, off);
    return tapul_vec2(outside.x, fmax(outside.y, least_y));
}

/* The readings of the level, numbered from the medial line; and x and z of one. */
static void draw_readings(const TapulFigure *figure, const TapulLevel *level) {
    double low_z = figure->measuring->low.z;
    int shown = MIN(2, level->n - 1);
    TapulVec2 metal = tapul_figure_place(figure, figure->section, level->type_mm[shown].x,
                                         level->type_mm[shown].y - low_z);
    TapulVec2 foot = {metal.x, figure->section.y};
    double under = foot.y - TAPUL_FIGURE_BOARD_MM - 2.4;
    tapul_figure_arrow(figure, foot, metal);
    tapul_figure_text(figure, tapul_vec2(foot.x - 1.2, (foot.y + metal.y) / 2), "z",
                      TAPUL_ALIGN_RIGHT);
    tapul_figure_line(figure, tapul_vec2(foot.x, foot.y - TAPUL_FIGURE_BOARD_MM),
                      tapul_vec2(foot.x, under - 1), TAPUL_HAIRLINE_MM, TAPUL_BLACK);
    tapul_figure_arrow(figure, tapul_vec2(figure->section.x, under), tapul_vec2(foot.x, under));
    tapul_figure_text(figure, tapul_vec2((figure->section.x + foot.x) / 2, under - 1.9), "x",
                      TAPUL_ALIGN_CENTRE);
    for (int i = 0; i < level->n; i++) {
        TapulVec2 at = tapul_figure_place(figure, figure->section, level->type_mm[i].x,
                                          level->type_mm[i].y - low_z);
        g_autofree char *number = g_strdup_printf("%d", i + 1);
        TapulVec2 beside = number_place(figure, at);
        if (tapul_figure_claim(figure, beside, number))
            tapul_figure_number(figure, beside, number);
        tapul_figure_dot(figure, at);
    }
}

void tapul_figure_section(const TapulFigure *figure) {
    const TapulMeasuring *measuring = figure->measuring;
    const TapulLevel *level = tapul_figure_level(figure, measuring->section);
    double half_mm =
        figure->scale * fmax(-measuring->low.x, measuring->high.x) + TAPUL_FIGURE_BOARD_PAST_MM;
    TapulVec2 at = figure->section;
    tapul_page_begin_group(figure->page, "section", "One level, from below", NULL);
    tapul_figure_board(figure, (TapulBox){{at.x - half_mm, at.y - TAPUL_FIGURE_BOARD_MM},
                                          {at.x + half_mm, at.y}});
    tapul_figure_chain(
        figure, tapul_vec2(at.x, at.y - TAPUL_FIGURE_BOARD_MM - 4),
        tapul_vec2(at.x, at.y + figure->scale * (measuring->section_high_z - measuring->low.z) +
                             (measuring->stations ? 5 : 2)));
    draw_cuts(figure, level->y_mm);
    if (measuring->stations)
        draw_readings(figure, level);
    tapul_page_end_group(figure->page);
}
