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
    page->open = g_array_new(FALSE, FALSE, sizeof(TapulItemKind));
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

static void add_item(TapulPage *page, TapulItem item) {
    g_array_append_val(page->items, item);
}

/* --- Groups and clips --- */

static void open_item(TapulPage *page, TapulItem item) {
    add_item(page, item);
    g_array_append_val(page->open, item.kind);
}

static void close_item(TapulPage *page, TapulItemKind begun, TapulItemKind ended) {
    g_assert(page->open->len > 0);
    g_assert(g_array_index(page->open, TapulItemKind, page->open->len - 1) == begun);
    g_array_set_size(page->open, page->open->len - 1);
    add_item(page, (TapulItem){.kind = ended});
}

void tapul_page_begin_part(TapulPage *page, TapulPart part, const char *alternative) {
    TapulItem item = {.kind = TAPUL_ITEM_BEGIN_PART};
    item.as.part.part = part;
    item.as.part.alternative = alternative ? clean_text(alternative) : NULL;
    open_item(page, item);
}

void tapul_page_end_part(TapulPage *page) {
    close_item(page, TAPUL_ITEM_BEGIN_PART, TAPUL_ITEM_END_PART);
}

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
    add_item(page, item);
}

double tapul_page_paragraph(TapulPage *page, TapulVec2 at, double width_mm, const char *text,
                            const TapulType *type) {
    g_autoptr(GPtrArray) lines = tapul_page_break_lines(text, width_mm, type);
    /* The next line lies below this one, as the text is turned. */
    TapulVec2 step =
        tapul_vec2_turn(tapul_vec2(0, -TAPUL_LEADING * type->size_mm), type->turn_rad);
    for (guint i = 0; i < lines->len; i++) {
        tapul_page_text(page, at, lines->pdata[i], type);
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
