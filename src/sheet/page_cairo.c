/* Paints pages with cairo and Pango; page_pdf.c and page_png.c write what is painted.
 *
 * The page frame is set up once (mm, y up); groups are cairo transforms, and only text and
 * pictures turn y back.
 */
#include "sheet/page_cairo.h"
#include "sheet/page_text.h"

#include <string.h>

cairo_status_t tapul_append_bytes(void *bytes, const unsigned char *data, unsigned int length) {
    g_byte_array_append(bytes, data, length);
    return CAIRO_STATUS_SUCCESS;
}

gboolean tapul_page_is_drawn(cairo_status_t status, const char *path, GError **error) {
    if (status != CAIRO_STATUS_SUCCESS)
        g_set_error(error, G_FILE_ERROR, G_FILE_ERROR_FAILED,
                    "%s: the page cannot be drawn: %s", path, cairo_status_to_string(status));
    return status == CAIRO_STATUS_SUCCESS;
}

/* --- Pictures --- */

static guint32 premultiplied(const guint8 *rgba) {
    guint32 alpha = rgba[3];
    guint32 red = (rgba[0] * alpha + 127) / 255, green = (rgba[1] * alpha + 127) / 255;
    guint32 blue = (rgba[2] * alpha + 127) / 255;
    return alpha << 24 | red << 16 | green << 8 | blue;
}

static cairo_surface_t *picture_surface(const TapulPicture *picture) {
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_ARGB32, picture->width_px, picture->height_px);
    cairo_surface_flush(surface);
    guint8 *pixels = cairo_image_surface_get_data(surface);
    gsize stride = (gsize)cairo_image_surface_get_stride(surface);
    for (int row = 0; pixels && row < picture->height_px; row++) {
        const guint8 *from = picture->rgba + (gsize)row * (gsize)picture->width_px * 4;
        guint8 *to = pixels + (gsize)row * stride;
        for (int column = 0; column < picture->width_px; column++) {
            guint32 pixel = premultiplied(from + column * 4);
            memcpy(to + column * 4, &pixel, sizeof pixel);
        }
    }
    cairo_surface_mark_dirty(surface);
    return surface;
}

GBytes *tapul_picture_png(const TapulPicture *picture) {
    GByteArray *bytes = g_byte_array_new();
    cairo_surface_t *surface = picture_surface(picture);
    cairo_surface_write_to_png_stream(surface, tapul_append_bytes, bytes);
    cairo_surface_destroy(surface);
    return g_byte_array_free_to_bytes(bytes);
}

/* --- Items --- */

typedef struct {
    cairo_t *cr;
    const TapulPage *page;
    cairo_surface_t **pictures; /* one surface each, so that a PDF holds a picture once */
    gboolean in_part;
} Painter;

static void add_path(cairo_t *cr, const TapulPath *path) {
    const TapulVec2 *p = (const TapulVec2 *)(const void *)path->points->data;
    for (guint i = 0; i < path->verbs->len; i++) {
        switch ((TapulVerb)g_array_index(path->verbs, guint8, i)) {
        case TAPUL_VERB_MOVE:
            cairo_move_to(cr, p[0].x, p[0].y);
            p += 1;
            break;
        case TAPUL_VERB_LINE:
            cairo_line_to(cr, p[0].x, p[0].y);
            p += 1;
            break;
        case TAPUL_VERB_CURVE:
            cairo_curve_to(cr, p[0].x, p[0].y, p[1].x, p[1].y, p[2].x, p[2].y);
            p += 3;
            break;
        case TAPUL_VERB_CLOSE:
            cairo_close_path(cr);
            break;
        }
    }
}

static void set_fill_rule(cairo_t *cr, gboolean even_odd) {
    cairo_set_fill_rule(cr, even_odd ? CAIRO_FILL_RULE_EVEN_ODD : CAIRO_FILL_RULE_WINDING);
}

static void set_colour(cairo_t *cr, TapulColour colour) {
    cairo_set_source_rgba(cr, colour.red, colour.green, colour.blue, colour.alpha);
}

static void set_line(cairo_t *cr, const TapulPen *pen) {
    static const cairo_line_cap_t cap[] = {CAIRO_LINE_CAP_BUTT, CAIRO_LINE_CAP_ROUND,
                                           CAIRO_LINE_CAP_SQUARE};
    static const cairo_line_join_t join[] = {CAIRO_LINE_JOIN_MITER, CAIRO_LINE_JOIN_ROUND,
                                             CAIRO_LINE_JOIN_BEVEL};
    cairo_set_line_width(cr, pen->width_mm);
    cairo_set_line_cap(cr, cap[pen->cap]);
    cairo_set_line_join(cr, join[pen->join]);
    cairo_set_dash(cr, pen->dash_mm, pen->n_dash, 0);
    set_colour(cr, pen->stroke);
}

/* An engraving's thousands of strokes are drawn this many at a time: cairo's work for a stroke
 * is mostly its own, not its path's. */
#define STROKES_AT_ONCE 256

/* Paints a path and, of opaque strokes, those after it that share its pen; returns how many. */
static guint paint_paths(Painter *painter, guint first) {
    cairo_t *cr = painter->cr;
    const TapulItem *items = &g_array_index(painter->page->items, TapulItem, first);
    const TapulPen *pen = &items[0].as.drawn.pen;
    guint n = 1;
    if (pen->fill.alpha <= 0 && pen->stroke.alpha >= 1)
        n = MIN(tapul_page_count_same_pen(painter->page, first), STROKES_AT_ONCE);
    for (guint i = 0; i < n; i++)
        add_path(cr, items[i].as.drawn.path);
    if (pen->fill.alpha > 0) {
        set_fill_rule(cr, pen->even_odd);
        set_colour(cr, pen->fill);
        cairo_fill_preserve(cr);
    }
    if (pen->stroke.alpha > 0) {
        set_line(cr, pen);
        cairo_stroke_preserve(cr);
    }
    cairo_new_path(cr);
    return n;
}

typedef struct {
    PangoLayoutRun *run;
    double x;
} PlacedRun;

static gint compare_reading(gconstpointer a, gconstpointer b) {
    const PlacedRun *one = a, *other = b;
    return one->run->item->offset - other->run->item->offset;
}

/* Shows the layout's one line from x on; returns where it ends. Its runs are shown in the order
 * in which they are read, not from left to right: out of a PDF text comes as it was put in. */
static double show_line(cairo_t *cr, PangoLayout *layout, double x) {
    const PangoLayoutLine *line = pango_layout_get_line_readonly(layout, 0);
    g_autoptr(GArray) runs = g_array_new(FALSE, FALSE, sizeof(PlacedRun));
    for (const GSList *l = line->runs; l; l = l->next) {
        PlacedRun placed = {l->data, x};
        g_array_append_val(runs, placed);
        x += pango_units_to_double(pango_glyph_string_get_width(placed.run->glyphs));
    }
    g_array_sort(runs, compare_reading);
    for (guint i = 0; i < runs->len; i++) {
        const PlacedRun *placed = &g_array_index(runs, PlacedRun, i);
        cairo_move_to(cr, placed->x, 0);
        pango_cairo_show_glyph_item(cr, pango_layout_get_text(layout), placed->run);
    }
    return x;
}

/* What is read aloud has a space between any two lines, or they would be one word (ISO 32000-1,
 * 14.8.2.5). */
static void show_space(cairo_t *cr, const TapulType *type, double x) {
    PangoLayout *layout = tapul_text_layout(cr, " ", type);
    show_line(cr, layout, x);
    g_object_unref(layout);
}

static void paint_text(Painter *painter, const TapulItem *item) {
    cairo_t *cr = painter->cr;
    TapulType type = item->as.text.type;
    if (!type.language)
        type.language = painter->page->language;
    static const double share[] = {0, 0.5, 1}; /* of the width, left of the point */
    double scale = 1 / TAPUL_LAYOUT_UNITS_PER_MM;
    cairo_save(cr);
    cairo_translate(cr, item->as.text.at.x, item->as.text.at.y);
    cairo_rotate(cr, type.turn_rad);
    cairo_scale(cr, scale, -scale);
    PangoLayout *layout = tapul_text_layout(cr, item->as.text.text, &type);
    PangoRectangle logical;
    pango_layout_get_extents(layout, NULL, &logical);
    set_colour(cr, type.colour);
    double end =
        show_line(cr, layout, -share[type.align] * pango_units_to_double(logical.width));
    if (painter->in_part)
        show_space(cr, &type, end);
    g_object_unref(layout);
    cairo_restore(cr);
}

static void paint_picture(Painter *painter, const TapulItem *item) {
    cairo_t *cr = painter->cr;
    int number = item->as.picture.number;
    const TapulPicture *picture = painter->page->pictures->pdata[number];
    TapulBox box = item->as.picture.box;
    if (!painter->pictures[number])
        painter->pictures[number] = picture_surface(picture);
    cairo_save(cr);
    cairo_translate(cr, box.min.x, box.max.y);
    cairo_scale(cr, (box.max.x - box.min.x) / picture->width_px,
                -(box.max.y - box.min.y) / picture->height_px);
    cairo_set_source_surface(cr, painter->pictures[number], 0, 0);
    cairo_pattern_set_filter(cairo_get_source(cr), CAIRO_FILTER_GOOD);
    /* On a raster the picture would fade over its outermost pixel; PDF readers draw it to its
     * edge. */
    if (cairo_surface_get_type(cairo_get_target(cr)) == CAIRO_SURFACE_TYPE_IMAGE)
        cairo_pattern_set_extend(cairo_get_source(cr), CAIRO_EXTEND_PAD);
    cairo_rectangle(cr, 0, 0, picture->width_px, picture->height_px);
    cairo_fill(cr);
    cairo_restore(cr);
}

static void paint_begin_group(cairo_t *cr, const TapulItem *item) {
    cairo_save(cr);
    if (!item->as.group.moved)
        return;
    const TapulAffine *t = &item->as.group.transform;
    cairo_matrix_t matrix = {t->xx, t->yx, t->xy, t->yy, t->dx, t->dy};
    cairo_transform(cr, &matrix);
}

static void paint_begin_clip(cairo_t *cr, const TapulItem *item) {
    cairo_save(cr);
    add_path(cr, item->as.drawn.path);
    set_fill_rule(cr, item->as.drawn.pen.even_odd);
    cairo_clip(cr);
}

/* PDF's names for parts (ISO 32000-1, 14.8.4), in the order of TapulPart. Only a PDF keeps
 * them. */
static const char *const part_tag[] = {"H1",      "H2",    "P",  "Figure",
                                       "Caption", "Table", "TR", "TD"};

/* Paints the item at a place of the list, and what is painted with it; returns how many. */
static guint paint_items(Painter *painter, guint at) {
    const TapulItem *item = &g_array_index(painter->page->items, TapulItem, at);
    switch (item->kind) {
    case TAPUL_ITEM_BEGIN_GROUP:
        paint_begin_group(painter->cr, item);
        break;
    case TAPUL_ITEM_BEGIN_CLIP:
        paint_begin_clip(painter->cr, item);
        break;
    case TAPUL_ITEM_END_GROUP:
    case TAPUL_ITEM_END_CLIP:
        cairo_restore(painter->cr);
        break;
    case TAPUL_ITEM_PATH:
        return paint_paths(painter, at);
    case TAPUL_ITEM_TEXT:
        paint_text(painter, item);
        break;
    case TAPUL_ITEM_PICTURE:
        paint_picture(painter, item);
        break;
    case TAPUL_ITEM_BEGIN_PART:
        cairo_tag_begin(painter->cr, part_tag[item->as.part.part], NULL);
        painter->in_part = TRUE;
        break;
    case TAPUL_ITEM_END_PART:
        cairo_tag_end(painter->cr, part_tag[item->as.part.part]);
        painter->in_part = FALSE;
        break;
    }
    return 1;
}

void tapul_page_paint(cairo_t *cr, const TapulPage *page, double units_per_mm) {
    g_assert(page->open->len == 0);
    Painter painter = {cr, page, g_new0(cairo_surface_t *, page->pictures->len), FALSE};
    cairo_save(cr);
    cairo_scale(cr, units_per_mm, -units_per_mm);
    cairo_translate(cr, 0, -page->height_mm);
    cairo_set_miter_limit(cr, TAPUL_MITRE_LIMIT);
    for (guint i = 0; i < page->items->len;)
        i += paint_items(&painter, i);
    cairo_restore(cr);
    for (guint i = 0; i < page->pictures->len; i++)
        cairo_surface_destroy(painter.pictures[i]);
    g_free(painter.pictures);
}
