/* A bar of 100 mm and a square of 50 mm on every tile, to tell whether the printer keeps the
 * scale, both ways alike.
 *
 * They stand beside the papers if they can, the bar else in the margin. A square that has no
 * room beside them stands on them where nothing is drawn; on a tile that is full, in the
 * margins: there it has two of its sides, and one corner stands in the drawing. */
#include "sheet/pounce_parts.h"

#define BAR_MM    100.0
#define SQUARE_MM 50.0
/* Of the lines that are measured, from outer edge to outer edge; ISO 128. */
#define LINE_MM 0.25
/* Free room around, so that what is measured is told from what is drawn. */
#define AIR_MM 1.5
/* Height of the bar, in free room and in the margin. */
#define BAR_HEIGHT_MM        2.4
#define MARGIN_BAR_HEIGHT_MM 1.6
/* From what printers lose to the lines in the margins. */
#define INSET_MM  0.5
#define CORNER_MM 4.0

static TapulType label_type(void) {
    return (TapulType){.size_mm = TAPUL_LEAST_TEXT_MM, .colour = TAPUL_WORK_BLACK};
}

static void fill_box(TapulPath *path, TapulVec2 from, TapulVec2 to) {
    g_autoptr(TapulPath) box = tapul_box_path((TapulBox){from, to});
    g_array_append_vals(path->verbs, box->verbs->data, box->verbs->len);
    g_array_append_vals(path->points, box->points->data, box->points->len);
}

/* --- The bar --- */

/* Tenths in two rows, black and white in turn: both ends are edges of black. */
static void draw_bar(TapulPage *page, TapulVec2 at, double height_mm) {
    g_autoptr(TapulPath) tenths = tapul_path_new();
    for (int i = 0; i < 10; i++) {
        double low = at.y + (i % 2 ? height_mm / 2 : 0);
        fill_box(tenths, tapul_vec2(at.x + i * BAR_MM / 10, low),
                 tapul_vec2(at.x + (i + 1) * BAR_MM / 10, low + height_mm / 2));
    }
    /* The last tenth, in the upper row, has its foot too: the end is as high as the start. */
    fill_box(tenths, tapul_vec2(at.x + BAR_MM - LINE_MM, at.y),
             tapul_vec2(at.x + BAR_MM, at.y + height_mm));
    fill_box(tenths, at, tapul_vec2(at.x + LINE_MM, at.y + height_mm));
    tapul_page_begin_group(page, "bar", "Bar of 100 mm", NULL);
    tapul_page_path(page, tenths, &(TapulPen){.fill = TAPUL_WORK_BLACK});
    tapul_page_end_group(page);
}

static void set_bar(TapulPounceSetting *setting, TapulBox room) {
    TapulType type = label_type();
    TapulVec2 at = tapul_vec2_add(room.min, tapul_vec2(AIR_MM, AIR_MM));
    draw_bar(setting->page, at, BAR_HEIGHT_MM);
    tapul_page_text(setting->page, tapul_vec2(at.x, at.y + BAR_HEIGHT_MM + 0.4 * type.size_mm),
                    "measure: 100 mm", &type);
}

/* On the outer line of the lower margin, its words on the inner one. */
static void set_bar_in_margin(TapulPounceSetting *setting, TapulMargins *margins) {
    TapulType type = label_type();
    double *used_mm = margins->used_mm[TAPUL_SIDE_BELOW];
    double from = fmax(used_mm[0], used_mm[1]);
    TapulVec2 at = {setting->tile->window_mm.min.x + TAPUL_MARGIN_GAP_MM + from,
                    TAPUL_UNPRINTED_MM + INSET_MM};
    draw_bar(setting->page, at, MARGIN_BAR_HEIGHT_MM);
    used_mm[0] = from + BAR_MM + TAPUL_MARGIN_GAP_MM;
    used_mm[1] = from;
    tapul_margins_text(margins, TAPUL_SIDE_BELOW, "measure: 100 mm", &type);
}

/* --- The square --- */

static void draw_square(TapulPage *page, TapulVec2 at) {
    TapulVec2 far = {at.x + SQUARE_MM, at.y + SQUARE_MM}, line = {LINE_MM, LINE_MM};
    g_autoptr(TapulPath) frame = tapul_path_new();
    fill_box(frame, at, far);
    fill_box(frame, tapul_vec2_add(at, line), tapul_vec2_sub(far, line));
    tapul_page_begin_group(page, "square", "Square of 50 mm", NULL);
    tapul_page_path(page, frame, &(TapulPen){.fill = TAPUL_WORK_BLACK, .even_odd = TRUE});
    tapul_page_end_group(page);
}

static void set_square(TapulPounceSetting *setting, TapulBox room) {
    TapulType type = label_type();
    TapulVec2 at = tapul_vec2_add(room.min, tapul_vec2(AIR_MM, AIR_MM));
    draw_square(setting->page, at);
    tapul_page_text(setting->page, tapul_vec2(at.x + type.size_mm, at.y + type.size_mm),
                    "measure: 50 mm both ways", &type);
}

/* Two sides in the margins, and of the other two their ends; the corner where those meet would
 * stand on the metal, which a resist does not allow. */
static void draw_open_square(TapulPage *page, TapulVec2 at, gboolean with_corner) {
    TapulVec2 far = {at.x + SQUARE_MM, at.y + SQUARE_MM};
    g_autoptr(TapulPath) lines = tapul_path_new();
    fill_box(lines, at, tapul_vec2(far.x, at.y + LINE_MM));
    fill_box(lines, at, tapul_vec2(at.x + LINE_MM, far.y));
    fill_box(lines, tapul_vec2(far.x - LINE_MM, at.y), tapul_vec2(far.x, at.y + CORNER_MM));
    fill_box(lines, tapul_vec2(at.x, far.y - LINE_MM), tapul_vec2(at.x + CORNER_MM, far.y));
    if (with_corner) {
        fill_box(lines, tapul_vec2(far.x - LINE_MM, far.y - CORNER_MM), far);
        fill_box(lines, tapul_vec2(far.x - CORNER_MM, far.y - LINE_MM), far);
    }
    tapul_page_begin_group(page, "square", "Square of 50 mm", NULL);
    tapul_page_path(page, lines, &(TapulPen){.fill = TAPUL_WORK_BLACK});
    tapul_page_end_group(page);
}

static void set_square_in_margin(TapulPounceSetting *setting, TapulMargins *margins) {
    TapulType type = label_type();
    double edge_mm = TAPUL_UNPRINTED_MM + INSET_MM;
    TapulVec2 window = setting->tile->window_mm.min;
    draw_open_square(setting->page, tapul_vec2(edge_mm, edge_mm), !setting->resist);
    margins->used_mm[TAPUL_SIDE_BELOW][0] = edge_mm + SQUARE_MM - window.x;
    tapul_margins_text(margins, TAPUL_SIDE_BELOW, "measure: 50 mm both ways", &type);
    double *inner_mm = &margins->used_mm[TAPUL_SIDE_BELOW][1];
    *inner_mm = fmax(*inner_mm, edge_mm + SQUARE_MM - window.x);
    double low = setting->tile->joins[TAPUL_SIDE_BELOW] ? setting->tile->overlap_mm : 0;
    for (int line = 0; line < 2; line++)
        margins->used_mm[TAPUL_SIDE_LEFT][line] = edge_mm + SQUARE_MM - window.y - low;
}

/* --- Both --- */

static gboolean find_room(TapulPounceSetting *setting, const TapulRoom *room, TapulVec2 size_mm,
                          TapulBox *found) {
    if (!tapul_room_find(room, size_mm, setting->tile->window_mm.min, found))
        return FALSE;
    tapul_pounce_took(setting, *found);
    return TRUE;
}

/* On the papers, clear of all that is drawn: not on a resist's, where it would be metal. */
static gboolean find_inside(TapulPounceSetting *setting, TapulVec2 size_mm, TapulBox *found) {
    return !setting->resist && find_room(setting, setting->room, size_mm, found);
}

void tapul_pounce_set_measures(TapulPounceSetting *setting, TapulMargins *margins) {
    TapulVec2 square = {SQUARE_MM + 2 * AIR_MM, SQUARE_MM + 2 * AIR_MM};
    TapulVec2 bar = {BAR_MM + 2 * AIR_MM,
                     BAR_HEIGHT_MM + 1.4 * TAPUL_LEAST_TEXT_MM + 2 * AIR_MM};
    TapulBox found;
    /* The margins hold but a part of the square, all of the bar. */
    if (find_room(setting, setting->beside, square, &found) ||
        find_inside(setting, square, &found))
        set_square(setting, found);
    else
        set_square_in_margin(setting, margins);
    if (find_room(setting, setting->beside, bar, &found) ||
        (tapul_margins_left_mm(margins, TAPUL_SIDE_BELOW) < BAR_MM &&
         find_inside(setting, bar, &found)))
        set_bar(setting, found);
    else
        set_bar_in_margin(setting, margins);
}
