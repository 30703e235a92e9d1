/* The cautions of etching, which stand wherever its figures or a resist are shown: as a block
 * at a size that is read at arm's length, or on a tile that has no room for it as a line that
 * says where they all stand. */
#include "sheet/pounce_parts.h"

#define RULE_MM     0.7 /* over and under: they are not to be overlooked */
#define HEADING_EMS 1.15
#define APART_EMS   0.15 /* between lines that may be broken */
#define AIR_MM      1.5  /* around the block on a tile */
/* 9 points, and no less than 8: below that cautions are furniture. */
#define POINT_MM       (25.4 / 72)
#define TILE_TEXT_MM   (9 * POINT_MM)
#define LEAST_BLOCK_MM (8 * POINT_MM)

static void thick_rule(TapulPage *page, TapulVec2 at, double width_mm) {
    g_autoptr(TapulPath) path = tapul_path_new();
    tapul_path_move(path, at);
    tapul_path_line(path, tapul_vec2(at.x + width_mm, at.y));
    if (page)
        tapul_page_path(page, path,
                        &(TapulPen){.stroke = TAPUL_WORK_BLACK, .width_mm = RULE_MM});
}

double tapul_pounce_set_block(TapulPage *page, TapulVec2 at, double width_mm, double text_mm,
                              const char *heading, const char *const *lines) {
    TapulType head = {
        .size_mm = HEADING_EMS * text_mm, .small_capitals = TRUE, .colour = TAPUL_WORK_BLACK};
    TapulType type = {.size_mm = text_mm, .colour = TAPUL_WORK_BLACK};
    thick_rule(page, tapul_vec2(at.x, at.y - RULE_MM / 2), width_mm);
    at.y -= RULE_MM + 0.3 * text_mm;
    at.y = tapul_set_paragraph(page, at, width_mm, heading, &head);
    for (int i = 0; lines[i]; i++)
        at.y =
            tapul_set_paragraph(page, at, width_mm, lines[i], &type) - APART_EMS * type.size_mm;
    at.y -= 0.2 * text_mm + RULE_MM;
    thick_rule(page, tapul_vec2(at.x, at.y + RULE_MM / 2), width_mm);
    return at.y;
}

double tapul_pounce_set_cautions(TapulPage *page, TapulVec2 at, double width_mm,
                                 double text_mm) {
    return tapul_pounce_set_block(page, at, width_mm, text_mm, "Cautions",
                                  tapul_etching_cautions());
}

/* --- On a tile --- */

static gboolean set_beside(TapulPounceSetting *setting, double text_mm) {
    static const double widths_mm[] = {90, 110, 70, 140, 55, 180, 42, 34};
    for (guint i = 0; i < G_N_ELEMENTS(widths_mm); i++) {
        TapulBox found;
        double height_mm =
            -tapul_pounce_set_cautions(NULL, tapul_vec2(0, 0), widths_mm[i], text_mm);
        TapulVec2 size = {widths_mm[i] + 2 * AIR_MM, height_mm + 2 * AIR_MM};
        if (!tapul_room_find(setting->beside, size, setting->tile->window_mm.min, &found))
            continue;
        tapul_pounce_took(setting, found);
        tapul_pounce_set_cautions(setting->page,
                                  tapul_vec2(found.min.x + AIR_MM, found.max.y - AIR_MM),
                                  widths_mm[i], text_mm);
        return TRUE;
    }
    return FALSE;
}

/* In the level margins: nobody turns a sheet to read them. */
static gboolean set_level(TapulMargins *margins, const char *text) {
    TapulType type = {.size_mm = TAPUL_LEAST_TEXT_MM, .colour = TAPUL_WORK_BLACK};
    return tapul_margins_text(margins, TAPUL_SIDE_BELOW, text, &type) ||
           tapul_margins_text(margins, TAPUL_SIDE_ABOVE, text, &type);
}

void tapul_pounce_set_tile_cautions(TapulPounceSetting *setting, TapulMargins *margins) {
    tapul_page_begin_part(setting->page, TAPUL_PART_PARAGRAPH, NULL);
    if (!set_beside(setting, TILE_TEXT_MM) && !set_beside(setting, LEAST_BLOCK_MM) &&
        !set_level(margins, TAPUL_CAUTION_SHORT " " TAPUL_CAUTION_WHERE)) {
        gboolean both = set_level(margins, TAPUL_CAUTION_SHORT);
        both = set_level(margins, TAPUL_CAUTION_WHERE) && both;
        if (!both)
            g_warning("tile %d is too small for its cautions", setting->tile->number);
    }
    tapul_page_end_part(setting->page);
}
