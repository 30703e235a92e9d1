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
/* In one line, or in two. */
#define ARROW_WORDS       "arrow: plate\u2019s upper edge"
#define ARROW_WORDS_BEGIN "arrow: plate\u2019s"
#define ARROW_WORDS_END   "upper edge"
#define LEADING           1.2
/* Free all around. */
#define AIR_MM 1.2

/* How the words stand by a number, the first that there is room for. */
typedef enum { WORDS_BESIDE, WORDS_NARROW, WORDS_BELOW, WORDS_NONE } Manner;
#define MOST_LINES 3

typedef struct {
    char number[12];
    const char *lines[MOST_LINES + 1]; /* NULL-ended */
    gboolean below;                    /* the words stand below the number and its arrow */
    double em_mm, number_mm, arrow_mm; /* widths but for the first */
    TapulVec2 size_mm;
    TapulVec2 up; /* unit, on the page */
} Block;

static TapulType number_type(double em_mm) {
    return (TapulType){.size_mm = em_mm, .bold = TRUE, .colour = TAPUL_WORK_BLACK};
}

static TapulType words_type(void) {
    return (TapulType){.size_mm = WORDS_MM, .colour = TAPUL_WORK_BLACK};
}

static const char *side_up(const TapulPounceSetting *setting) {
    return setting->pages->question->pounce.face_down ? "face down" : "this side up";
}

static void give_words(Block *block, const TapulPounceSetting *setting, Manner manner) {
    if (manner == WORDS_NONE)
        return;
    block->below = manner == WORDS_BELOW;
    block->lines[0] = side_up(setting);
    block->lines[1] = manner == WORDS_BESIDE ? ARROW_WORDS : ARROW_WORDS_BEGIN;
    block->lines[2] = manner == WORDS_BESIDE ? NULL : ARROW_WORDS_END;
}

static TapulVec2 size_of_words(const Block *block) {
    TapulType small = words_type();
    TapulVec2 size = {0, 0};
    for (int i = 0; block->lines[i]; i++) {
        size.x = fmax(size.x, tapul_page_text_width_mm(block->lines[i], &small));
        size.y += LEADING * WORDS_MM;
    }
    return size;
}

static Block block_of(const TapulPounceSetting *setting, int piece, double em_mm,
                      Manner manner) {
    TapulAffine to_page = tapul_pounce_on_tile(setting->pages, setting->tile, piece);
    TapulType type = number_type(em_mm);
    Block block = {.em_mm = em_mm, .up = {to_page.xy, to_page.yy}};
    g_snprintf(block.number, sizeof block.number, "%d", piece + 1);
    give_words(&block, setting, manner);
    block.number_mm = tapul_page_text_width_mm(block.number, &type);
    block.arrow_mm = fmax(ARROW_MM * fabs(block.up.x), HEAD_MM);
    TapulVec2 words = size_of_words(&block);
    TapulVec2 size = {block.number_mm + GAP_MM + block.arrow_mm,
                      fmax(LETTERS_EMS * em_mm, ARROW_MM)};
    if (block.below) {
        size.x = fmax(size.x, words.x);
        size.y += words.y;
    } else if (words.x > 0) {
        size.x += words.x + GAP_MM;
        size.y = fmax(size.y, words.y);
    }
    block.size_mm = tapul_vec2_add(size, tapul_vec2(2 * AIR_MM, 2 * AIR_MM));
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

static void set_words(TapulPage *page, const Block *block, TapulVec2 upper_left) {
    TapulType small = words_type();
    for (int i = 0; block->lines[i]; i++)
        tapul_page_text(page,
                        tapul_vec2(upper_left.x, upper_left.y -
                                                     (i * LEADING + LETTERS_EMS) * WORDS_MM +
                                                     BELOW_EMS * WORDS_MM),
                        block->lines[i], &small);
}

static void draw_block(TapulPage *page, const Block *block, TapulBox room) {
    TapulType type = number_type(block->em_mm);
    double words_mm = size_of_words(block).y, x = room.min.x + AIR_MM;
    double low = room.min.y + (block->below ? AIR_MM + words_mm : 0);
    double middle = (low + room.max.y) / 2;
    tapul_page_text(page, tapul_vec2(x, middle + (BELOW_EMS - LETTERS_EMS / 2) * block->em_mm),
                    block->number, &type);
    x += block->number_mm + GAP_MM;
    middle += FIGURES_UP_EMS * block->em_mm;
    draw_arrow(page, tapul_vec2(x + block->arrow_mm / 2, middle), block->up);
    x += block->arrow_mm + GAP_MM;
    set_words(page, block,
              block->below ? tapul_vec2(room.min.x + AIR_MM, low)
                           : tapul_vec2(x, middle + words_mm / 2));
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

gboolean tapul_pounce_set_number(TapulPounceSetting *setting, int piece) {
    const TapulPouncePiece *drawn = setting->pages->pounce->pieces->pdata[piece];
    TapulAffine to_page = tapul_pounce_on_tile(setting->pages, setting->tile, piece);
    g_autoptr(TapulPath) edge = tapul_affine_path(&to_page, drawn->outline);
    TapulVec2 near = middle_shown(setting, tapul_path_box(edge));
    g_autoptr(TapulRoom) room =
        setting->resist ? room_about(setting, piece) : room_within(setting, edge);
    /* Beside its piece a number is the nearer to it, and the surer its own, the smaller it is.
     */
    guint first = setting->resist ? BESIDE_FROM : 0;
    for (int manner = WORDS_BESIDE; manner <= WORDS_NONE; manner++)
        for (guint i = first; i < G_N_ELEMENTS(number_mm); i++) {
            Block block = block_of(setting, piece, number_mm[i], (Manner)manner);
            TapulBox found;
            if (!tapul_room_find(room, block.size_mm, near, &found))
                continue;
            draw_block(setting->page, &block, found);
            tapul_pounce_took(setting, found);
            return manner != WORDS_NONE;
        }
    return FALSE;
}

void tapul_pounce_set_arrow_words(const TapulPounceSetting *setting, TapulMargins *margins) {
    TapulType small = {.size_mm = TAPUL_LEAST_TEXT_MM, .colour = TAPUL_WORK_BLACK};
    g_autofree char *text = g_strdup_printf("%s; %s", side_up(setting), ARROW_WORDS);
    for (int side = TAPUL_SIDES - 1; side >= 0; side--)
        if (tapul_margins_text(margins, (TapulSide)side, text, &small))
            return;
}
