/* The names of crosses and notches, set beside them where the drawing leaves room. */
#include "sheet/pounce_parts.h"

#define NAME_MM 3.2
/* What letters cover of a line, in ems. */
#define ABOVE_EMS 0.70
#define BELOW_EMS 0.25
/* Where more than this share of its place is drawn on, a name stands on a white patch. */
#define LEGIBLE 0.05
/* How far from its mark a name's middle may stand, nearest first. */
#define DIRECTIONS 12
static const double reach_mm[] = {3.4, 5.0, 7.0};

void tapul_pounce_took(TapulPounceSetting *setting, TapulBox box) {
    tapul_room_take_box(setting->room, box);
    tapul_room_take_box(setting->beside, box);
}

static TapulBox box_of_text(TapulVec2 middle, const char *text, const TapulType *type) {
    double half = tapul_page_text_width_mm(text, type) / 2;
    return tapul_box_about(middle,
                           tapul_vec2(half, (ABOVE_EMS + BELOW_EMS) / 2 * type->size_mm));
}

/* Where least is drawn about `at`; how much. */
static double best_place(const TapulRoom *room, TapulVec2 at, TapulVec2 towards,
                         const char *text, const TapulType *type, TapulBox *best) {
    double least = INFINITY, first_rad = atan2(towards.y, towards.x);
    for (guint r = 0; r < G_N_ELEMENTS(reach_mm); r++)
        for (int d = 0; d < DIRECTIONS; d++) {
            /* To either side of the first direction in turn. */
            double turn_rad = (d % 2 ? 1 : -1) * ((d + 1) / 2) * 2 * G_PI / DIRECTIONS;
            TapulVec2 way = tapul_vec2_turn(tapul_vec2(reach_mm[r], 0), first_rad + turn_rad);
            TapulBox box = box_of_text(tapul_vec2_add(at, way), text, type);
            double taken = tapul_room_taken(room, box);
            if (taken < least) {
                least = taken;
                *best = box;
            }
        }
    return least;
}

gboolean tapul_pounce_name_beside(TapulPage *page, const TapulRoom *room, TapulVec2 at,
                                  TapulVec2 towards, const char *text, const TapulType *type,
                                  gboolean free_only, TapulBox *set) {
    double taken = best_place(room, at, towards, text, type, set);
    if (isinf(taken) || (free_only && taken > 0))
        return FALSE;
    if (taken > LEGIBLE) {
        TapulBox figures = {{set->min.x, set->min.y + BELOW_EMS * type->size_mm}, set->max};
        g_autoptr(TapulPath) patch = tapul_box_path(figures);
        tapul_page_path(page, patch, &(TapulPen){.fill = TAPUL_WORK_WHITE});
    }
    TapulType centred = *type;
    centred.align = TAPUL_ALIGN_CENTRE;
    tapul_page_text(
        page, tapul_vec2((set->min.x + set->max.x) / 2, set->min.y + BELOW_EMS * type->size_mm),
        text, &centred);
    return TRUE;
}

static void set_name(TapulPounceSetting *setting, TapulVec2 at, TapulVec2 towards,
                     const char *text) {
    TapulType type = {.size_mm = NAME_MM, .colour = TAPUL_WORK_BLACK};
    const TapulRoom *room = setting->resist ? setting->beside : setting->room;
    TapulBox w = setting->tile->window_mm, set;
    if (at.x < w.min.x || at.y < w.min.y || at.x > w.max.x || at.y > w.max.y)
        return;
    if (tapul_pounce_name_beside(setting->page, room, at, towards, text, &type, setting->resist,
                                 &set))
        tapul_pounce_took(setting, set);
}

void tapul_pounce_set_names(TapulPounceSetting *setting, int piece) {
    const TapulPouncePiece *drawn = setting->pages->pounce->pieces->pdata[piece];
    TapulAffine to_page = tapul_pounce_on_tile(setting->pages, setting->tile, piece);
    for (guint i = 0; i < drawn->crosses->len && !setting->resist; i++) {
        const TapulCross *cross = &g_array_index(drawn->crosses, TapulCross, i);
        g_autofree char *name = g_strdup_printf("%d", cross->name);
        set_name(setting, tapul_affine_point(&to_page, cross->at_mm), tapul_vec2(1, 1), name);
    }
    for (guint i = 0; i < drawn->notches->len; i++) {
        const TapulNotch *notch = &g_array_index(drawn->notches, TapulNotch, i);
        TapulVec2 at = tapul_affine_point(&to_page, notch->at_mm);
        TapulVec2 out = tapul_vec2_sub(
            tapul_affine_point(&to_page, tapul_vec2_add(notch->at_mm, notch->outward)), at);
        set_name(setting, at, tapul_vec2_scale(out, setting->resist ? 1 : -1), notch->label);
    }
}
