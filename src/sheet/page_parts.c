/* Where a page's figures and tables lie: boxes of what they draw, through groups and clips.
 *
 * PDF wants them (page_pdf_catalogue.c). They are measured on the display list: control points,
 * half the line's width, the em of letters, so that a box is now and then a little large. */
#include "sheet/page_parts.h"

/* How far letters reach above and below the baseline, in ems: of serif faces (common practice,
 * no source). */
#define LETTERS_ABOVE 0.95
#define LETTERS_BELOW 0.3

static const TapulAffine identity = {1, 0, 0, 1, 0, 0};

/* What an open group or clip hands down. */
typedef struct {
    TapulAffine to_page;
    TapulBox clip_mm; /* page frame */
} Frame;

typedef struct {
    GArray *frames;     /* of Frame; the last is the innermost */
    GArray *parts;      /* of TapulPlacedPart */
    gboolean in_placed; /* the last of parts has not ended */
} Walk;

static const Frame *innermost(const Walk *walk) {
    return &g_array_index(walk->frames, Frame, walk->frames->len - 1);
}

static TapulVec2 moved(const TapulAffine *t, TapulVec2 p) {
    return tapul_vec2(t->xx * p.x + t->xy * p.y + t->dx, t->yx * p.x + t->yy * p.y + t->dy);
}

/* The inner transform, then the outer. */
static TapulAffine joined(const TapulAffine *outer, const TapulAffine *inner) {
    TapulVec2 origin = moved(outer, tapul_vec2(inner->dx, inner->dy));
    return (TapulAffine){outer->xx * inner->xx + outer->xy * inner->yx,
                         outer->yx * inner->xx + outer->yy * inner->yx,
                         outer->xx * inner->xy + outer->xy * inner->yy,
                         outer->yx * inner->xy + outer->yy * inner->yy,
                         origin.x,
                         origin.y};
}

static TapulBox moved_box(const TapulAffine *t, TapulBox box) {
    TapulBox around = tapul_box_empty();
    if (tapul_box_is_empty(box))
        return around;
    for (int i = 0; i < 4; i++)
        tapul_box_add(&around, moved(t, tapul_vec2(i & 1 ? box.max.x : box.min.x,
                                                   i & 2 ? box.max.y : box.min.y)));
    return around;
}

static TapulBox intersection(TapulBox a, TapulBox b) {
    return (TapulBox){{fmax(a.min.x, b.min.x), fmax(a.min.y, b.min.y)},
                      {fmin(a.max.x, b.max.x), fmin(a.max.y, b.max.y)}};
}

/* --- Boxes of what is drawn, in its own frame --- */

static TapulBox path_box(const TapulItem *item) {
    TapulBox box = tapul_path_box(item->as.drawn.path);
    const TapulPen *pen = &item->as.drawn.pen;
    double reach_mm = pen->stroke.alpha > 0 ? pen->width_mm / 2 : 0;
    return (TapulBox){{box.min.x - reach_mm, box.min.y - reach_mm},
                      {box.max.x + reach_mm, box.max.y + reach_mm}};
}

static TapulBox text_box(const TapulItem *item) {
    static const double share[] = {0, 0.5, 1}; /* of the width, left of the point */
    const TapulType *type = &item->as.text.type;
    double width_mm = tapul_page_text_width_mm(item->as.text.text, type);
    double left_mm = -share[type->align] * width_mm;
    TapulBox level = {{left_mm, -LETTERS_BELOW * type->size_mm},
                      {left_mm + width_mm, LETTERS_ABOVE * type->size_mm}};
    double cosine = cos(type->turn_rad), sine = sin(type->turn_rad);
    TapulAffine turn = {cosine, sine, -sine, cosine, item->as.text.at.x, item->as.text.at.y};
    return moved_box(&turn, level);
}

static void add_drawn(Walk *walk, TapulBox own) {
    const Frame *frame = innermost(walk);
    TapulBox seen = intersection(moved_box(&frame->to_page, own), frame->clip_mm);
    if (tapul_box_is_empty(seen))
        return;
    TapulPlacedPart *part = &g_array_index(walk->parts, TapulPlacedPart, walk->parts->len - 1);
    tapul_box_add(&part->box_mm, seen.min);
    tapul_box_add(&part->box_mm, seen.max);
}

/* --- The walk --- */

static void begin_group(Walk *walk, const TapulItem *item) {
    Frame frame = *innermost(walk);
    if (item->as.group.moved)
        frame.to_page = joined(&frame.to_page, &item->as.group.transform);
    g_array_append_val(walk->frames, frame);
}

static void begin_clip(Walk *walk, const TapulItem *item) {
    Frame frame = *innermost(walk);
    TapulBox clip = moved_box(&frame.to_page, tapul_path_box(item->as.drawn.path));
    frame.clip_mm = intersection(frame.clip_mm, clip);
    g_array_append_val(walk->frames, frame);
}

static gboolean is_placed(const TapulItem *item) {
    return item->as.part.part == TAPUL_PART_FIGURE || item->as.part.part == TAPUL_PART_TABLE;
}

static void begin_part(Walk *walk, const TapulItem *item) {
    if (!is_placed(item))
        return;
    TapulPlacedPart part = {item->as.part.alternative, tapul_box_empty()};
    g_array_append_val(walk->parts, part);
    walk->in_placed = TRUE;
}

static void walk_item(Walk *walk, const TapulItem *item) {
    switch (item->kind) {
    case TAPUL_ITEM_BEGIN_GROUP:
        begin_group(walk, item);
        break;
    case TAPUL_ITEM_BEGIN_CLIP:
        begin_clip(walk, item);
        break;
    case TAPUL_ITEM_END_GROUP:
    case TAPUL_ITEM_END_CLIP:
        g_array_set_size(walk->frames, walk->frames->len - 1);
        break;
    case TAPUL_ITEM_PATH:
        if (walk->in_placed)
            add_drawn(walk, path_box(item));
        break;
    case TAPUL_ITEM_TEXT:
        if (walk->in_placed)
            add_drawn(walk, text_box(item));
        break;
    case TAPUL_ITEM_PICTURE:
        if (walk->in_placed)
            add_drawn(walk, item->as.picture.box);
        break;
    case TAPUL_ITEM_BEGIN_PART:
        begin_part(walk, item);
        break;
    case TAPUL_ITEM_END_PART:
        if (is_placed(item))
            walk->in_placed = FALSE;
        break;
    }
}

GArray *tapul_page_placed_parts(const TapulPage *page) {
    Walk walk = {.frames = g_array_new(FALSE, FALSE, sizeof(Frame)),
                 .parts = g_array_new(FALSE, FALSE, sizeof(TapulPlacedPart))};
    Frame whole = {identity, {{0, 0}, {page->width_mm, page->height_mm}}};
    g_array_append_val(walk.frames, whole);
    for (guint i = 0; i < page->items->len; i++)
        walk_item(&walk, &g_array_index(page->items, TapulItem, i));
    g_array_unref(walk.frames);
    return walk.parts;
}
