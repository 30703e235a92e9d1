/* Whether a page's texts can be read: none leaves the page or stands on another, none is too
 * small; and where the things of a group come to lie on the page.
 *
 * The page's own list of items is walked, groups' transforms and all, so that texts in moved
 * and scaled groups are measured too. */
#ifndef TAPUL_TESTS_TEST_PAGE_CLEAR_H
#define TAPUL_TESTS_TEST_PAGE_CLEAR_H

#include "sheet/page_items.h"

#include <check.h>
#include <string.h>

typedef struct {
    TapulBox box_mm;  /* on the page */
    double size_mm;   /* em, as it comes out on the page */
    const char *text; /* borrowed from the page */
} PageText;

/* What letters cover of a line, in ems: ascenders and descenders of EB Garamond. */
#define LETTERS_ABOVE 0.70
#define LETTERS_BELOW 0.25
/* Boxes that share less than this do not touch in print. */
#define TOUCH_MM 0.02

static inline TapulAffine affine_within(TapulAffine outer, TapulAffine inner) {
    return (TapulAffine){outer.xx * inner.xx + outer.xy * inner.yx,
                         outer.xx * inner.xy + outer.xy * inner.yy,
                         outer.yx * inner.xx + outer.yy * inner.yx,
                         outer.yx * inner.xy + outer.yy * inner.yy,
                         outer.xx * inner.dx + outer.xy * inner.dy + outer.dx,
                         outer.yx * inner.dx + outer.yy * inner.dy + outer.dy};
}

static inline TapulVec2 affine_point(TapulAffine m, TapulVec2 p) {
    return tapul_vec2(m.xx * p.x + m.xy * p.y + m.dx, m.yx * p.x + m.yy * p.y + m.dy);
}

static inline TapulBox affine_box(TapulAffine m, TapulBox box) {
    TapulBox moved = tapul_box_empty();
    tapul_box_add(&moved, affine_point(m, box.min));
    tapul_box_add(&moved, affine_point(m, box.max));
    tapul_box_add(&moved, affine_point(m, tapul_vec2(box.min.x, box.max.y)));
    tapul_box_add(&moved, affine_point(m, tapul_vec2(box.max.x, box.min.y)));
    return moved;
}

/* Where an item stands. */
typedef struct {
    TapulAffine to_page; /* from its own coordinates */
    TapulBox shown_mm;   /* what clips leave of the page, as boxes */
    GPtrArray *groups;   /* ids of the groups it stands in, outermost first */
} PagePlace;

typedef void (*VisitItem)(const TapulItem *item, const PagePlace *place, gpointer data);

static inline TapulBox box_within(TapulBox a, TapulBox b) {
    return (TapulBox){{fmax(a.min.x, b.min.x), fmax(a.min.y, b.min.y)},
                      {fmin(a.max.x, b.max.x), fmin(a.max.y, b.max.y)}};
}

/* Calls visit with each item but the beginnings and ends of groups and clips. */
static inline void walk_page(const TapulPage *page, VisitItem visit, gpointer data) {
    g_autoptr(GArray) outer = g_array_new(FALSE, FALSE, sizeof(PagePlace));
    PagePlace place = {
        {1, 0, 0, 1, 0, 0}, {{0, 0}, {page->width_mm, page->height_mm}}, g_ptr_array_new()};
    for (guint i = 0; i < page->items->len; i++) {
        const TapulItem *item = &g_array_index(page->items, TapulItem, i);
        switch (item->kind) {
        case TAPUL_ITEM_BEGIN_GROUP:
            g_array_append_val(outer, place);
            g_ptr_array_add(place.groups, item->as.group.id);
            if (item->as.group.moved)
                place.to_page = affine_within(place.to_page, item->as.group.transform);
            break;
        case TAPUL_ITEM_BEGIN_CLIP:
            g_array_append_val(outer, place);
            place.shown_mm = box_within(
                place.shown_mm, affine_box(place.to_page, tapul_path_box(item->as.drawn.path)));
            break;
        case TAPUL_ITEM_END_GROUP:
            g_ptr_array_set_size(place.groups, (int)place.groups->len - 1);
            G_GNUC_FALLTHROUGH;
        case TAPUL_ITEM_END_CLIP:
            place = g_array_index(outer, PagePlace, outer->len - 1);
            g_array_set_size(outer, outer->len - 1);
            break;
        default:
            visit(item, &place, data);
        }
    }
    g_ptr_array_unref(place.groups);
}

static inline void add_page_text(const TapulItem *item, const PagePlace *place, gpointer data) {
    if (item->kind != TAPUL_ITEM_TEXT)
        return;
    const TapulType *type = &item->as.text.type;
    double width = tapul_page_text_width_mm(item->as.text.text, type);
    double left = type->align == TAPUL_ALIGN_RIGHT    ? -width
                  : type->align == TAPUL_ALIGN_CENTRE ? -width / 2
                                                      : 0;
    double c = cos(type->turn_rad), s = sin(type->turn_rad);
    TapulAffine turned = {c, -s, s, c, item->as.text.at.x, item->as.text.at.y};
    TapulBox letters = {{left, -LETTERS_BELOW * type->size_mm},
                        {left + width, LETTERS_ABOVE * type->size_mm}};
    PageText text = {affine_box(affine_within(place->to_page, turned), letters),
                     hypot(place->to_page.xy, place->to_page.yy) * type->size_mm,
                     item->as.text.text};
    g_array_append_val((GArray *)data, text);
}

/* Of PageText, in drawing order; the page must outlive it. */
static inline GArray *texts_of_page(const TapulPage *page) {
    GArray *texts = g_array_new(FALSE, FALSE, sizeof(PageText));
    walk_page(page, add_page_text, texts);
    return texts;
}

/* All that the page says, in reading order, a space between its texts; the caller frees it. */
static inline char *words_said_by_page(const TapulPage *page) {
    g_autoptr(GArray) texts = texts_of_page(page);
    GString *said = g_string_new(NULL);
    for (guint i = 0; i < texts->len; i++)
        g_string_append_printf(said, "%s%s", i > 0 ? " " : "",
                               g_array_index(texts, PageText, i).text);
    return g_string_free(said, FALSE);
}

static inline gboolean boxes_touch(TapulBox a, TapulBox b) {
    b.min = tapul_vec2_add(b.min, tapul_vec2(TOUCH_MM, TOUCH_MM));
    b.max = tapul_vec2_sub(b.max, tapul_vec2(TOUCH_MM, TOUCH_MM));
    return tapul_boxes_overlap(a, b);
}

/* Fails where a text leaves the page less its margin, stands on another, or is too small. name:
 * of the page, for the message. */
static inline void check_page_is_clear(const TapulPage *page, double margin_mm,
                                       const char *name) {
    g_autoptr(GArray) texts = texts_of_page(page);
    double right = page->width_mm - margin_mm + TOUCH_MM;
    double top = page->height_mm - margin_mm + TOUCH_MM;
    ck_assert_msg(texts->len > 0, "%s: nothing is said", name);
    for (guint i = 0; i < texts->len; i++) {
        PageText a = g_array_index(texts, PageText, i);
        ck_assert_msg(a.size_mm >= 2.5 - 1e-9, "%s: '%s' is set at %g mm", name, a.text,
                      a.size_mm);
        ck_assert_msg(a.box_mm.min.x >= margin_mm - TOUCH_MM && a.box_mm.max.x <= right &&
                          a.box_mm.min.y >= margin_mm - TOUCH_MM && a.box_mm.max.y <= top,
                      "%s: '%s' at %.2f, %.2f to %.2f, %.2f mm leaves the margins", name,
                      a.text, a.box_mm.min.x, a.box_mm.min.y, a.box_mm.max.x, a.box_mm.max.y);
        for (guint j = 0; j < i; j++) {
            PageText b = g_array_index(texts, PageText, j);
            ck_assert_msg(!boxes_touch(a.box_mm, b.box_mm),
                          "%s: '%s' stands on '%s' at %.2f, %.2f mm", name, a.text, b.text,
                          a.box_mm.min.x, a.box_mm.min.y);
        }
    }
}

/* --- Where things lie --- */

#define ANY_COLOUR ((TapulColour){0, 0, 0, 0})

typedef struct {
    const char *group;
    TapulColour colour; /* of fill or stroke, or ANY_COLOUR */
    TapulBox box_mm;
} GroupSearch;

static inline gboolean stands_in(const GPtrArray *groups, const char *id) {
    for (guint i = 0; i < groups->len; i++)
        if (strcmp(groups->pdata[i], id) == 0)
            return TRUE;
    return FALSE;
}

static inline void add_group_box(const TapulItem *item, const PagePlace *place, gpointer data) {
    GroupSearch *search = data;
    TapulBox box;
    if (!stands_in(place->groups, search->group))
        return;
    if (item->kind == TAPUL_ITEM_PICTURE && search->colour.alpha == 0)
        box = item->as.picture.box;
    else if (item->kind == TAPUL_ITEM_PATH &&
             (search->colour.alpha == 0 ||
              tapul_same_colour(search->colour, item->as.drawn.pen.fill) ||
              tapul_same_colour(search->colour, item->as.drawn.pen.stroke)))
        box = tapul_path_box(item->as.drawn.path);
    else
        return;
    if (tapul_box_is_empty(box))
        return;
    box = box_within(affine_box(place->to_page, box), place->shown_mm);
    if (tapul_box_is_empty(box))
        return;
    tapul_box_add(&search->box_mm, box.min);
    tapul_box_add(&search->box_mm, box.max);
}

/* The box, on the page, of what is drawn in a group, of all or of one colour, without its
 * lines' width and before it is clipped; empty: there is none. */
static inline TapulBox box_of_group(const TapulPage *page, const char *group,
                                    TapulColour colour) {
    GroupSearch search = {group, colour, tapul_box_empty()};
    walk_page(page, add_group_box, &search);
    return search.box_mm;
}

/* What the first scale bar of a page comes to: a screen says no scale in words. */
static inline double scale_of_bar(const TapulPage *page) {
    double length_mm = 0;
    for (guint i = 0; i < page->items->len; i++) {
        const TapulItem *item = &g_array_index(page->items, TapulItem, i);
        if (item->kind == TAPUL_ITEM_BEGIN_GROUP &&
            g_strcmp0(item->as.group.id, "scale-bar") == 0) {
            length_mm = g_ascii_strtod(item->as.group.title + strlen("Scale bar, "), NULL);
        } else if (length_mm > 0 && item->kind == TAPUL_ITEM_PATH) {
            TapulBox bar = tapul_path_box(item->as.drawn.path);
            return (bar.max.x - bar.min.x) / length_mm;
        }
    }
    ck_abort_msg("no scale bar");
}

#endif
