/* A piece's number, large, on every tile that shows some of it, with which side is up and an
 * arrow to the plate's upper edge. */
#include "sheet/pounce_parts.h"

/* From large to what still is seen across a bench. */
static const double number_mm[] = {16, 12, 9, 6.5};
/* Beside a piece: the index of the largest; how far from its box, and from those of others. */
#define BESIDE_FROM 2
#define REACH_MM    15.0
#define OTHERS_MM   3.0
/* What letters cover of a line, in ems, and the middle of figures above that of letters. */
#define LETTERS_EMS    0.95
#define BELOW_EMS      0.25
#define FIGURES_UP_EMS 0.1
#define ARROW_MM       9.0
#define HEAD_MM        2.6
#define GAP_MM         1.6
#define WORDS_MM       2.8
#define LEADING        1.2
/* Free all around. */
#define AIR_MM 1.2

typedef struct {
    char number[12];
    const char *lines[2];                        /* NULL: the number and its arrow alone */
    double em_mm, number_mm, arrow_mm, words_mm; /* widths but for the first */
    TapulVec2 size_mm;
    TapulVec2 up; /* unit, on the page */
} Block;

static TapulType number_type(double em_mm) {
    return (TapulType){.size_mm = em_mm, .bold = TRUE, .colour = TAPUL_WORK_BLACK};
}

static TapulType words_type(void) {
    return (TapulType){.size_mm = WORDS_MM, .colour = TAPUL_WORK_BLACK};
}

static Block block_of(const TapulPounceSetting *setting, int piece, double em_mm,
                      gboolean words) {
    TapulAffine to_page = tapul_pounce_on_tile(setting->pages, setting->tile, piece);
    TapulType type = number_type(em_mm), small = words_type();
    Block block = {.em_mm = em_mm, .up = {to_page.xy, to_page.yy}};
    g_snprintf(block.number, sizeof block.number, "%d", piece + 1);
    block.number_mm = tapul_page_text_width_mm(block.number, &type);
    block.arrow_mm = fmax(ARROW_MM * fabs(block.up.x), HEAD_MM);
    if (words) {
        block.lines[0] =
            setting->pages->question->pounce.face_down ? "face down" : "this side up";
        block.lines[1] = "arrow: plate\u2019s upper edge";
        for (int i = 0; i < 2; i++)
            block.words_mm =
                fmax(block.words_mm, tapul_page_text_width_mm(block.lines[i], &small) + GAP_MM);
    }
    block.size_mm =
        tapul_vec2(block.number_mm + GAP_MM + block.arrow_mm + block.words_mm + 2 * AIR_MM,
                   fmax(LETTERS_EMS * em_mm, ARROW_MM) + 2 * AIR_MM);
    return block;
}

static void draw_arrow(TapulPage *page, TapulVec2 middle, TapulVec2 up) {
    TapulVec2 across = {-up.y, up.x}, half = tapul_vec2_scale(up, ARROW_MM / 2);
    TapulVec2 tip = tapul_vec2_add(middle, half);
    TapulVec2 neck = tapul_vec2_sub(tip, tapul_vec2_scale(up, HEAD_MM));
    TapulVec2 wing = tapul_vec2_scale(across, HEAD_MM / 2);
    g_autoptr(TapulPath) shaft = tapul_path_new();
    g_autoptr(TapulPath) head = tapul_path_new();
    tapul_path_move(shaft, tapul_vec2_sub(middle, half));
    tapul_path_line(shaft, neck);
    tapul_path_move(head, tip);
    tapul_path_line(head, tapul_vec2_add(neck, wing));
    tapul_path_line(head, tapul_vec2_sub(neck, wing));
    tapul_path_close(head);
    tapul_page_path(page, shaft, &(TapulPen){.stroke = TAPUL_WORK_BLACK, .width_mm = 0.5});
    tapul_page_path(page, head, &(TapulPen){.fill = TAPUL_WORK_BLACK});
}

static void draw_block(TapulPage *page, const Block *block, TapulBox room) {
    TapulType type = number_type(block->em_mm), small = words_type();
    double middle = (room.min.y + room.max.y) / 2, x = room.min.x + AIR_MM;
    tapul_page_text(page, tapul_vec2(x, middle + (BELOW_EMS - LETTERS_EMS / 2) * block->em_mm),
                    block->number, &type);
    x += block->number_mm + GAP_MM;
    middle += FIGURES_UP_EMS * block->em_mm;
    draw_arrow(page, tapul_vec2(x + block->arrow_mm / 2, middle), block->up);
    x += block->arrow_mm + GAP_MM;
    for (int i = 0; i < 2 && block->lines[i]; i++)
        tapul_page_text(
            page, tapul_vec2(x, middle + (0.35 - i * LEADING) * WORDS_MM + 0.1 * WORDS_MM),
            block->lines[i], &small);
}

/* The middle of what the tile shows of a piece. */
static TapulVec2 middle_shown(const TapulPounceSetting *setting, TapulBox piece_mm) {
    TapulBox w = setting->tile->window_mm;
    return tapul_vec2((fmax(w.min.x, piece_mm.min.x) + fmin(w.max.x, piece_mm.max.x)) / 2,
                      (fmax(w.min.y, piece_mm.min.y) + fmin(w.max.y, piece_mm.max.y)) / 2);
}

static TapulBox grown(TapulBox box, double by_mm) {
    TapulVec2 by = {by_mm, by_mm};
    return (TapulBox){tapul_vec2_sub(box.min, by), tapul_vec2_add(box.max, by)};
}

static TapulBox box_of(const TapulPounceSetting *setting, int piece) {
    const TapulPouncePiece *drawn = setting->pages->pounce->pieces->pdata[piece];
    TapulAffine to_page = tapul_pounce_on_tile(setting->pages, setting->tile, piece);
    return tapul_affine_box(&to_page, tapul_path_box(drawn->outline));
}

/* Off the metal, but so near to the piece, and so far from all others, that nobody takes the
 * number for another's. */
static TapulRoom *room_about(const TapulPounceSetting *setting, int piece) {
    TapulRoom *room = tapul_room_copy(setting->beside);
    g_autoptr(TapulPath) about = tapul_box_path(grown(box_of(setting, piece), REACH_MM));
    tapul_room_take_outside(room, about);
    for (int i = 0; i < (int)setting->pages->pounce->pieces->len; i++)
        if (i != piece)
            tapul_room_take_box(room, grown(box_of(setting, i), OTHERS_MM));
    return room;
}

static TapulRoom *room_within(const TapulPounceSetting *setting, const TapulPath *edge) {
    TapulRoom *room = tapul_room_copy(setting->room);
    tapul_room_take_outside(room, edge);
    return room;
}

void tapul_pounce_set_number(TapulPounceSetting *setting, int piece) {
    const TapulPouncePiece *drawn = setting->pages->pounce->pieces->pdata[piece];
    TapulAffine to_page = tapul_pounce_on_tile(setting->pages, setting->tile, piece);
    g_autoptr(TapulPath) edge = tapul_affine_path(&to_page, drawn->outline);
    TapulVec2 near = middle_shown(setting, tapul_path_box(edge));
    g_autoptr(TapulRoom) room =
        setting->resist ? room_about(setting, piece) : room_within(setting, edge);
    /* Beside its piece a number is the nearer to it, and the surer its own, the smaller it is.
     */
    guint first = setting->resist ? BESIDE_FROM : 0, sizes = G_N_ELEMENTS(number_mm) - first;
    for (guint i = 0; i < 2 * sizes; i++) {
        Block block = block_of(setting, piece, number_mm[first + i % sizes], i < sizes);
        TapulBox found;
        if (!tapul_room_find(room, block.size_mm, near, &found))
            continue;
        draw_block(setting->page, &block, found);
        tapul_pounce_took(setting, found);
        return;
    }
}
