/* Writes pages as PDF and PNG with cairo and Pango.
 *
 * The page frame is set up once (mm, y up); groups are cairo transforms, and only text and
 * pictures turn y back.
 */
#include "sheet/page_text.h"

#include <cairo-pdf.h>
#include <string.h>

#define POINTS_PER_MM (72 / 25.4) /* ISO 32000-1, 8.3.2.1 */
#define MAX_SIDE_PX   32767       /* cairo's largest image surface */

static cairo_status_t append_bytes(void *closure, const unsigned char *data,
                                   unsigned int length) {
    g_byte_array_append(closure, data, length);
    return CAIRO_STATUS_SUCCESS;
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
    cairo_surface_write_to_png_stream(surface, append_bytes, bytes);
    cairo_surface_destroy(surface);
    return g_byte_array_free_to_bytes(bytes);
}

/* --- Items --- */

typedef struct {
    cairo_t *cr;
    const TapulPage *page;
    cairo_surface_t **pictures; /* one surface each, so that a PDF holds a picture once */
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

static void paint_text(cairo_t *cr, const TapulItem *item) {
    const TapulType *type = &item->as.text.type;
    static const double share[] = {0, 0.5, 1}; /* of the width, left of the point */
    double scale = 1 / TAPUL_LAYOUT_UNITS_PER_MM;
    cairo_save(cr);
    cairo_translate(cr, item->as.text.at.x, item->as.text.at.y);
    cairo_rotate(cr, type->turn_rad);
    cairo_scale(cr, scale, -scale);
    PangoLayout *layout = tapul_text_layout(cr, item->as.text.text, type);
    PangoRectangle logical;
    pango_layout_get_extents(layout, NULL, &logical);
    set_colour(cr, type->colour);
    cairo_move_to(cr, -share[type->align] * logical.width / PANGO_SCALE, 0);
    pango_cairo_show_layout_line(cr, pango_layout_get_line_readonly(layout, 0));
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
        paint_text(painter->cr, item);
        break;
    case TAPUL_ITEM_PICTURE:
        paint_picture(painter, item);
        break;
    case TAPUL_ITEM_BEGIN_PART:
    case TAPUL_ITEM_END_PART:
        break;
    }
    return 1;
}

static void paint_page(cairo_t *cr, const TapulPage *page, double units_per_mm) {
    g_assert(page->open->len == 0);
    Painter painter = {cr, page, g_new0(cairo_surface_t *, page->pictures->len)};
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

/* --- Files --- */

static gboolean save(GByteArray *bytes, cairo_status_t status, const char *path,
                     GError **error) {
    if (status != CAIRO_STATUS_SUCCESS) {
        g_set_error(error, G_FILE_ERROR, G_FILE_ERROR_FAILED,
                    "%s: the page cannot be drawn: %s", path, cairo_status_to_string(status));
        return FALSE;
    }
    return g_file_set_contents(path, (const char *)bytes->data, (gssize)bytes->len, error);
}

/* No date is written: the same page gives the same bytes. */
static void set_metadata(cairo_surface_t *surface, const TapulPage *page) {
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, page->title);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_SUBJECT, page->description);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, "");
}

gboolean tapul_page_write_pdf(TapulPage *const *pages, int n_pages, const char *path,
                              GError **error) {
    g_assert(n_pages > 0);
    g_autoptr(GByteArray) bytes = g_byte_array_new();
    cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(
        append_bytes, bytes, pages[0]->width_mm * POINTS_PER_MM,
        pages[0]->height_mm * POINTS_PER_MM);
    set_metadata(surface, pages[0]);
    cairo_t *cr = cairo_create(surface);
    for (int i = 0; i < n_pages; i++) {
        cairo_pdf_surface_set_size(surface, pages[i]->width_mm * POINTS_PER_MM,
                                   pages[i]->height_mm * POINTS_PER_MM);
        paint_page(cr, pages[i], POINTS_PER_MM);
        cairo_show_page(cr);
    }
    cairo_status_t status = cairo_status(cr);
    cairo_destroy(cr);
    cairo_surface_finish(surface);
    if (status == CAIRO_STATUS_SUCCESS)
        status = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    return save(bytes, status, path, error);
}

gboolean tapul_page_write_png(const TapulPage *page, double dpi, const char *path,
                              GError **error) {
    double width_px = round(page->width_mm * dpi / 25.4);
    double height_px = round(page->height_mm * dpi / 25.4);
    if (!(fmin(width_px, height_px) >= 1 && fmax(width_px, height_px) <= MAX_SIDE_PX)) {
        g_set_error(
            error, G_FILE_ERROR, G_FILE_ERROR_INVAL,
            "%s: %g x %g mm at %g dpi is a picture of %g x %g px; a side has 1 to %d px", path,
            page->width_mm, page->height_mm, dpi, width_px, height_px, MAX_SIDE_PX);
        return FALSE;
    }
    g_autoptr(GByteArray) bytes = g_byte_array_new();
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)width_px, (int)height_px);
    cairo_t *cr = cairo_create(surface);
    cairo_set_source_rgb(cr, 1, 1, 1); /* paper under whatever the page leaves bare */
    cairo_paint(cr);
    paint_page(cr, page, dpi / 25.4);
    cairo_status_t status = cairo_status(cr);
    cairo_destroy(cr);
    if (status == CAIRO_STATUS_SUCCESS)
        status = cairo_surface_write_to_png_stream(surface, append_bytes, bytes);
    cairo_surface_destroy(surface);
    return save(bytes, status, path, error);
}
