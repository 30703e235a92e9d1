/* A page's display list: things to draw, in drawing order, in mm.
 *
 * Sheets and patterns draw on it; page_svg.c and page_cairo.c write it out, so that both files
 * show the same.
 */
#include "sheet/page_items.h"

static void clear_item(gpointer data) {
    TapulItem *item = data;
    switch (item->kind) {
    case TAPUL_ITEM_BEGIN_GROUP:
        g_free(item->as.group.id);
        g_free(item->as.group.title);
        break;
    case TAPUL_ITEM_BEGIN_CLIP:
    case TAPUL_ITEM_PATH:
        tapul_path_free(item->as.drawn.path);
        break;
    case TAPUL_ITEM_TEXT:
        g_free(item->as.text.text);
        break;
    case TAPUL_ITEM_BEGIN_PART:
        g_free(item->as.part.alternative);
        break;
    case TAPUL_ITEM_END_GROUP:
    case TAPUL_ITEM_END_CLIP:
    case TAPUL_ITEM_PICTURE:
    case TAPUL_ITEM_END_PART:
        break;
    }
}

static void free_picture(gpointer data) {
    TapulPicture *picture = data;
    g_free(picture->rgba);
    g_free(picture);
}

/* Valid UTF-8 without the control characters that XML 1.0 cannot hold. */
static char *clean_text(const char *text) {
    char *clean = g_utf8_make_valid(text, -1);
    for (char *c = clean; *c; c++)
        if ((guchar)*c < 0x20 || *c == 0x7f)
            *c = ' ';
    return clean;
}

TapulPage *tapul_page_new(double width_mm, double height_mm, const char *title,
                          const char *description) {
    g_assert(width_mm > 0 && height_mm > 0 && isfinite(width_mm) && isfinite(height_mm));
    TapulPage *page = g_new0(TapulPage, 1);
    page->width_mm = width_mm;
    page->height_mm = height_mm;
    page->title = clean_text(title ? title : "");
    page->description = clean_text(description ? description : "");
    page->language = g_strdup("en");
    page->outline = g_strdup(page->title);
    page->items = g_array_new(FALSE, FALSE, sizeof(TapulItem));
    g_array_set_clear_func(page->items, clear_item);
    page->pictures = g_ptr_array_new_with_free_func(free_picture);
    page->ids = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    page->open = g_array_new(FALSE, FALSE, sizeof(TapulOpenItem));
    return page;
}

void tapul_page_free(TapulPage *page) {
    if (!page)
        return;
    g_free(page->title);
    g_free(page->description);
    g_free(page->language);
    g_free(page->author);
    g_free(page->outline);
    g_free(page->document);
    g_array_unref(page->items);
    g_ptr_array_unref(page->pictures);
    g_hash_table_unref(page->ids);
    g_array_unref(page->open);
    g_free(page);
}

const char *tapul_page_title(const TapulPage *page) {
    return page->title;
}

double tapul_page_width_mm(const TapulPage *page) {
    return page->width_mm;
}

double tapul_page_height_mm(const TapulPage *page) {
    return page->height_mm;
}

void tapul_page_set_language(TapulPage *page, const char *language) {
    g_free(page->language);
    page->language = clean_text(language);
}

void tapul_page_set_author(TapulPage *page, const char *author) {
    g_free(page->author);
    page->author = author ? clean_text(author) : NULL;
}

void tapul_page_set_outline(TapulPage *page, const char *entry) {
    g_free(page->outline);
    page->outline = clean_text(entry);
}

void tapul_page_set_document(TapulPage *page, const char *title) {
    g_free(page->document);
    page->document = clean_text(title);
}

static void add_item(TapulPage *page, TapulItem item) {
    g_array_append_val(page->items, item);
}

static void open_item(TapulPage *page, TapulItem item) {
    TapulOpenItem open = {.kind = item.kind};
    if (item.kind == TAPUL_ITEM_BEGIN_PART)
        open.part = item.as.part.part;
    add_item(page, item);
    g_array_append_val(page->open, open);
}

static TapulOpenItem take_open(TapulPage *page, TapulItemKind begun) {
    g_assert(page->open->len > 0);
    TapulOpenItem open = g_array_index(page->open, TapulOpenItem, page->open->len - 1);
    g_assert(open.kind == begun);
    g_array_set_size(page->open, page->open->len - 1);
    return open;
}

static void close_item(TapulPage *page, TapulItemKind begun, TapulItemKind ended) {
    take_open(page, begun);
    add_item(page, (TapulItem){.kind = ended});
}

/* --- Parts --- */

/* The innermost part that has begun and not ended, NULL where there is none. */
static TapulOpenItem *innermost_part(TapulPage *page) {
    for (guint i = page->open->len; i > 0; i--) {
        TapulOpenItem *open = &g_array_index(page->open, TapulOpenItem, i - 1);
        if (open->kind == TAPUL_ITEM_BEGIN_PART)
            return open;
    }
    return NULL;
}

static gboolean may_stand_in(TapulPart part, const TapulOpenItem *outer) {
    switch (part) {
    case TAPUL_PART_CELL:
        return outer && outer->part == TAPUL_PART_ROW;
    case TAPUL_PART_ROW:
        return outer && outer->part == TAPUL_PART_TABLE;
    case TAPUL_PART_CAPTION:
        return !outer || outer->part == TAPUL_PART_FIGURE;
    default:
        return !outer || outer->ended;
    }
}

static void end_part(TapulPage *page, TapulPart part) {
    TapulItem item = {.kind = TAPUL_ITEM_END_PART};
    item.as.part.part = part;
    add_item(page, item);
}

/* A caption ends its figure and follows it: who has a figure read out hears the words that
 * stand for it and nothing that lies inside (in PDF as in SVG). */
static void end_figure(TapulPage *page, TapulOpenItem *figure) {
    g_assert(figure == &g_array_index(page->open, TapulOpenItem, page->open->len - 1));
    if (!figure->ended)
        end_part(page, TAPUL_PART_FIGURE);
    figure->ended = TRUE;
}

void tapul_page_begin_part(TapulPage *page, TapulPart part, const char *alternative) {
    TapulOpenItem *outer = innermost_part(page);
    g_assert(may_stand_in(part, outer));
    if (outer && outer->part == TAPUL_PART_FIGURE)
        end_figure(page, outer);
    TapulItem item = {.kind = TAPUL_ITEM_BEGIN_PART};
    item.as.part.part = part;
    item.as.part.alternative = alternative ? clean_text(alternative) : NULL;
    open_item(page, item);
    page->has_parts = TRUE;
}

void tapul_page_end_part(TapulPage *page) {
    TapulOpenItem open = take_open(page, TAPUL_ITEM_BEGIN_PART);
    if (!open.ended)
        end_part(page, open.part);
}

/* --- Groups and clips --- */

/* An XML name like the wanted one: other characters become hyphens, and it starts with a
 * letter. */
static char *xml_name(const char *wanted) {
    g_autofree char *clean = clean_text(wanted);
    GString *name = g_string_new(NULL);
    for (const char *c = clean; *c; c = g_utf8_next_char(c)) {
        gunichar letter = g_utf8_get_char(c);
        gboolean ascii = letter < 0x80;
        if (name->len == 0 && !(ascii && g_ascii_isalpha((char)letter)))
            g_string_append_c(name, '_');
        if (ascii && (g_ascii_isalnum((char)letter) || letter == '-' || letter == '_'))
            g_string_append_c(name, (char)letter);
        else if (!ascii && g_unichar_isalpha(letter))
            g_string_append_unichar(name, letter);
        else
            g_string_append_c(name, '-');
    }
    if (name->len == 0)
        g_string_append(name, "group");
    return g_string_free(name, FALSE);
}

/* Owned by page->ids as well as by the caller. */
static char *unique_id(TapulPage *page, const char *wanted) {
    g_autofree char *name = xml_name(wanted);
    char *id = g_strdup(name);
    for (int suffix = 2; g_hash_table_contains(page->ids, id); suffix++) {
        g_free(id);
        id = g_strdup_printf("%s-%d", name, suffix);
    }
    g_hash_table_add(page->ids, g_strdup(id));
    return id;
}

void tapul_page_begin_group(TapulPage *page, const char *id, const char *title,
                            const TapulAffine *transform) {
    TapulItem item = {.kind = TAPUL_ITEM_BEGIN_GROUP};
    item.as.group.id = unique_id(page, id ? id : "group");
    item.as.group.title = title ? clean_text(title) : NULL;
    item.as.group.moved = transform != NULL;
    if (transform)
        item.as.group.transform = *transform;
    open_item(page, item);
}

void tapul_page_end_group(TapulPage *page) {
    close_item(page, TAPUL_ITEM_BEGIN_GROUP, TAPUL_ITEM_END_GROUP);
}

static void begin_clip(TapulPage *page, const TapulPath *path, gboolean even_odd) {
    TapulItem item = {.kind = TAPUL_ITEM_BEGIN_CLIP};
    item.as.drawn.path = tapul_path_copy(path);
    item.as.drawn.pen = (TapulPen){.even_odd = even_odd};
    open_item(page, item);
}

void tapul_page_begin_clip(TapulPage *page, const TapulPath *path) {
    begin_clip(page, path, FALSE);
}

void tapul_page_begin_clip_even_odd(TapulPage *page, const TapulPath *path) {
    begin_clip(page, path, TRUE);
}

void tapul_page_end_clip(TapulPage *page) {
    close_item(page, TAPUL_ITEM_BEGIN_CLIP, TAPUL_ITEM_END_CLIP);
}

/* --- Things drawn --- */

static gboolean path_is_finite(const TapulPath *path) {
    for (guint i = 0; i < path->points->len; i++) {
        TapulVec2 p = g_array_index(path->points, TapulVec2, i);
        if (!isfinite(p.x) || !isfinite(p.y))
            return FALSE;
    }
    return TRUE;
}

void tapul_page_path(TapulPage *page, const TapulPath *path, const TapulPen *pen) {
    g_assert(path_is_finite(path));
    if (tapul_path_is_empty(path))
        return;
    TapulItem item = {.kind = TAPUL_ITEM_PATH};
    item.as.drawn.path = tapul_path_copy(path);
    item.as.drawn.pen = *pen;
    add_item(page, item);
}

void tapul_page_text(TapulPage *page, TapulVec2 at, const char *text, const TapulType *type) {
    if (!*text)
        return;
    TapulItem item = {.kind = TAPUL_ITEM_TEXT};
    item.as.text.at = at;
    item.as.text.text = clean_text(text);
    item.as.text.type = *type;
    item.as.text.type.language = g_intern_string(type->language);
    add_item(page, item);
}

double tapul_page_paragraph(TapulPage *page, TapulVec2 at, double width_mm, const char *text,
                            const TapulType *type) {
    TapulType set = *type;
    if (!set.language)
        set.language = page->language;
    g_autoptr(GPtrArray) lines = tapul_page_break_lines(text, width_mm, &set);
    g_autofree char *valid = g_utf8_make_valid(text, -1);
    /* Scripts that run to the left begin at the right. */
    TapulVec2 start = {0, 0};
    if (type->align == TAPUL_ALIGN_LEFT && tapul_page_text_runs_left(valid)) {
        set.align = TAPUL_ALIGN_RIGHT;
        start = tapul_vec2_turn(tapul_vec2(width_mm, 0), type->turn_rad);
    }
    /* The next line lies below this one, as the text is turned. */
    TapulVec2 step =
        tapul_vec2_turn(tapul_vec2(0, -TAPUL_LEADING * type->size_mm), type->turn_rad);
    for (guint i = 0; i < lines->len; i++) {
        tapul_page_text(page, tapul_vec2_add(at, start), lines->pdata[i], &set);
        at = tapul_vec2_add(at, step);
    }
    return at.y;
}

int tapul_page_keep_picture(TapulPage *page, int width_px, int height_px, const guint8 *rgba) {
    g_assert(width_px > 0 && height_px > 0);
    TapulPicture *picture = g_new(TapulPicture, 1);
    picture->width_px = width_px;
    picture->height_px = height_px;
    picture->rgba = g_memdup2(rgba, (gsize)width_px * (gsize)height_px * 4);
    g_ptr_array_add(page->pictures, picture);
    return (int)page->pictures->len - 1;
}

void tapul_page_draw_picture(TapulPage *page, TapulBox box, int number) {
    g_assert(number >= 0 && (guint)number < page->pictures->len);
    TapulItem item = {.kind = TAPUL_ITEM_PICTURE};
    item.as.picture.box = box;
    item.as.picture.number = number;
    add_item(page, item);
}

void tapul_page_picture(TapulPage *page, TapulBox box, int width_px, int height_px,
                        const guint8 *rgba) {
    tapul_page_draw_picture(page, box,
                            tapul_page_keep_picture(page, width_px, height_px, rgba));
}

/* --- Runs of one pen --- */

gboolean tapul_same_colour(TapulColour a, TapulColour b) {
    return a.red == b.red && a.green == b.green && a.blue == b.blue && a.alpha == b.alpha;
}

gboolean tapul_same_pen(const TapulPen *a, const TapulPen *b) {
    if (!tapul_same_colour(a->fill, b->fill) || !tapul_same_colour(a->stroke, b->stroke) ||
        a->even_odd != b->even_odd || a->width_mm != b->width_mm || a->cap != b->cap ||
        a->join != b->join || a->n_dash != b->n_dash)
        return FALSE;
    for (int i = 0; i < a->n_dash; i++)
        if (a->dash_mm[i] != b->dash_mm[i])
            return FALSE;
    return TRUE;
}

guint tapul_page_count_same_pen(const TapulPage *page, guint first) {
    const GArray *items = page->items;
    const TapulPen *pen = &g_array_index(items, TapulItem, first).as.drawn.pen;
    guint n = 1;
    for (; first + n < items->len; n++) {
        const TapulItem *next = &g_array_index(items, TapulItem, first + n);
        if (next->kind != TAPUL_ITEM_PATH || !tapul_same_pen(pen, &next->as.drawn.pen))
            break;
    }
    return n;
}
