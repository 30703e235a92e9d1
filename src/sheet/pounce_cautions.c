/* The cautions of etching, which stand wherever its figures or a resist are shown: as a block,
 * or in a tile's margins where the block finds no room beside the papers. */
#include "sheet/pounce_parts.h"

#define RULE_MM     0.7 /* over and under: they are not to be overlooked */
#define HEADING_EMS 1.15
#define AIR_MM      1.5 /* around the block on a tile */

static void thick_rule(TapulPage *page, TapulVec2 at, double width_mm) {
    g_autoptr(TapulPath) path = tapul_path_new();
    tapul_path_move(path, at);
    tapul_path_line(path, tapul_vec2(at.x + width_mm, at.y));
    if (page)
        tapul_page_path(page, path,
                        &(TapulPen){.stroke = TAPUL_WORK_BLACK, .width_mm = RULE_MM});
}

double tapul_pounce_set_cautions(TapulPage *page, TapulVec2 at, double width_mm,
                                 double text_mm) {
    const char *const *cautions = tapul_etching_cautions();
    TapulType head = {
        .size_mm = HEADING_EMS * text_mm, .small_capitals = TRUE, .colour = TAPUL_WORK_BLACK};
    TapulType type = {.size_mm = text_mm, .colour = TAPUL_WORK_BLACK};
    thick_rule(page, tapul_vec2(at.x, at.y - RULE_MM / 2), width_mm);
    at.y -= RULE_MM + 0.3 * text_mm;
    at.y = tapul_set_paragraph(page, at, width_mm, "Cautions", &head);
    for (int i = 0; cautions[i]; i++)
        at.y = tapul_set_paragraph(page, at, width_mm, cautions[i], &type);
    at.y -= 0.2 * text_mm + RULE_MM;
    thick_rule(page, tapul_vec2(at.x, at.y + RULE_MM / 2), width_mm);
    return at.y;
}

static gboolean set_beside(TapulPounceSetting *setting) {
    static const double widths_mm[] = {90, 60, 120, 45, 160, 34};
    for (guint i = 0; i < G_N_ELEMENTS(widths_mm); i++) {
        TapulBox found;
        double height_mm = -tapul_pounce_set_cautions(NULL, tapul_vec2(0, 0), widths_mm[i],
                                                      TAPUL_LEAST_TEXT_MM);
        TapulVec2 size = {widths_mm[i] + 2 * AIR_MM, height_mm + 2 * AIR_MM};
        if (!tapul_room_find(setting->beside, size, setting->tile->window_mm.min, &found))
            continue;
        tapul_pounce_took(setting, found);
        tapul_pounce_set_cautions(setting->page,
                                  tapul_vec2(found.min.x + AIR_MM, found.max.y - AIR_MM),
                                  widths_mm[i], TAPUL_LEAST_TEXT_MM);
        return TRUE;
    }
    return FALSE;
}

void tapul_pounce_set_tile_cautions(TapulPounceSetting *setting, TapulMargins *margins) {
    const char *const *cautions = tapul_etching_cautions();
    TapulType type = {.size_mm = TAPUL_LEAST_TEXT_MM, .colour = TAPUL_WORK_BLACK};
    tapul_page_begin_part(setting->page, TAPUL_PART_PARAGRAPH, NULL);
    if (!set_beside(setting)) {
        TapulType head = type;
        head.bold = TRUE;
        tapul_margins_anywhere(margins, "Cautions:", &head);
        for (int i = 0; cautions[i]; i++)
            if (!tapul_margins_flow(margins, cautions[i], &type))
                g_warning("tile %d is too small for the caution: %s", setting->tile->number,
                          cautions[i]);
    }
    tapul_page_end_part(setting->page);
}
