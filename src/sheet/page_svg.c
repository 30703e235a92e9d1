/* Writes a page as SVG 1.1: readable, in mm, with ids and titles, so that a person can edit it.
 *
 * y is flipped as the numbers are written: on the page (x, y) becomes (x, height - y), within a
 * group that has its own frame (x, -y). No mirroring transform is needed, and text stays
 * upright.
 */
#include "sheet/page_items.h"

/* TAPUL_TITLE_FONT_FAMILY as CSS has it: a name with a number in it stands in quotes. */
#define TITLE_FAMILY_IN_CSS "'EB Garamond 12', " TAPUL_FONT_FAMILY

typedef struct {
    const TapulPage *page;
    GString *out;
    GArray *flip_mm;     /* of double: y is written as flip - y, one for each open group */
    TapulBox *first_box; /* [pictures] where each picture was first drawn; empty before */
    double *first_flip_mm;
    int n_clips;
} Writer;

/* Three decimals are a thousandth of a mm on the page. Drawings hold hundreds of thousands of
 * numbers, and printf is the slower part of writing them. */
static void append_number(GString *out, double value) {
    char digits[32];
    gint64 thousandths = (gint64)llround(value * 1000);
    guint64 left = (guint64)ABS(thousandths);
    int at = (int)sizeof digits, decimals = 3;
    for (; decimals > 0 && left % 10 == 0; decimals--)
        left /= 10;
    for (int i = 0; i < decimals; i++, left /= 10)
        digits[--at] = (char)('0' + left % 10);
    if (decimals > 0)
        digits[--at] = '.';
    do {
        digits[--at] = (char)('0' + left % 10);
        left /= 10;
    } while (left > 0);
    if (thousandths < 0)
        digits[--at] = '-';
    g_string_append_len(out, digits + at, (gssize)sizeof digits - at);
}

static double current_flip_mm(const Writer *w) {
    return g_array_index(w->flip_mm, double, w->flip_mm->len - 1);
}

static void indent(Writer *w) {
    for (guint i = 0; i < w->flip_mm->len; i++)
        g_string_append(w->out, "  ");
}

static void append_attribute(Writer *w, const char *name, double value) {
    g_string_append_printf(w->out, " %s=\"", name);
    append_number(w->out, value);
    g_string_append_c(w->out, '"');
}

static void append_escaped(GString *out, const char *text) {
    g_autofree char *escaped = g_markup_escape_text(text, -1);
    g_string_append(out, escaped);
}

/* Colours are 8 bit a channel, as everywhere in SVG. */
static void append_colour(Writer *w, const char *name, TapulColour colour) {
    if (colour.alpha <= 0) {
        g_string_append_printf(w->out, " %s=\"none\"", name);
        return;
    }
    g_string_append_printf(w->out, " %s=\"#%02x%02x%02x\"", name,
                           (int)lround(CLAMP(colour.red, 0, 1) * 255),
                           (int)lround(CLAMP(colour.green, 0, 1) * 255),
                           (int)lround(CLAMP(colour.blue, 0, 1) * 255));
    if (colour.alpha < 1) {
        g_autofree char *opacity = g_strconcat(name, "-opacity", NULL);
        append_attribute(w, opacity, colour.alpha);
    }
}

static void append_points(Writer *w, const TapulVec2 *points, int n) {
    double flip_mm = current_flip_mm(w);
    for (int i = 0; i < n; i++) {
        if (i > 0)
            g_string_append_c(w->out, ' ');
        append_number(w->out, points[i].x);
        g_string_append_c(w->out, ' ');
        append_number(w->out, flip_mm - points[i].y);
    }
}

static void append_path_data(Writer *w, const TapulPath *path) {
    static const char letter[] = {'M', 'L', 'C', 'Z'};
    static const int n_points[] = {1, 1, 3, 0};
    guint point = 0;
    g_string_append(w->out, " d=\"");
    for (guint i = 0; i < path->verbs->len; i++) {
        guint8 verb = g_array_index(path->verbs, guint8, i);
        g_string_append_c(w->out, letter[verb]);
        append_points(w, &g_array_index(path->points, TapulVec2, point), n_points[verb]);
        point += (guint)n_points[verb];
    }
    g_string_append_c(w->out, '"');
}

static void append_line_style(Writer *w, const TapulPen *pen) {
    static const char *const cap[] = {"butt", "round", "square"};
    static const char *const join[] = {"miter", "round", "bevel"};
    append_attribute(w, "stroke-width", pen->width_mm);
    if (pen->cap != TAPUL_CAP_BUTT)
        g_string_append_printf(w->out, " stroke-linecap=\"%s\"", cap[pen->cap]);
    if (pen->join != TAPUL_JOIN_MITRE)
        g_string_append_printf(w->out, " stroke-linejoin=\"%s\"", join[pen->join]);
    if (pen->n_dash == 0)
        return;
    g_string_append(w->out, " stroke-dasharray=\"");
    for (int i = 0; i < pen->n_dash; i++) {
        if (i > 0)
            g_string_append_c(w->out, ' ');
        append_number(w->out, pen->dash_mm[i]);
    }
    g_string_append_c(w->out, '"');
}

static void write_end(Writer *w) {
    g_array_set_size(w->flip_mm, w->flip_mm->len - 1);
    indent(w);
    g_string_append(w->out, "</g>\n");
}

static void append_pen(Writer *w, const TapulPen *pen) {
    append_colour(w, "fill", pen->fill);
    if (pen->fill.alpha > 0 && pen->even_odd)
        g_string_append(w->out, " fill-rule=\"evenodd\"");
    if (pen->stroke.alpha > 0) {
        append_colour(w, "stroke", pen->stroke);
        append_line_style(w, pen);
    }
}

/* Writes paths of one pen, which several share by a group: an engraving has thousands. Returns
 * how many. */
static guint write_paths(Writer *w, guint first) {
    guint n = tapul_page_count_same_pen(w->page, first);
    const TapulItem *items = &g_array_index(w->page->items, TapulItem, first);
    double flip_mm = current_flip_mm(w);
    if (n > 1) {
        indent(w);
        g_string_append(w->out, "<g");
        append_pen(w, &items[0].as.drawn.pen);
        g_string_append(w->out, ">\n");
        g_array_append_val(w->flip_mm, flip_mm);
    }
    for (guint i = 0; i < n; i++) {
        indent(w);
        g_string_append(w->out, "<path");
        if (n == 1)
            append_pen(w, &items[0].as.drawn.pen);
        append_path_data(w, items[i].as.drawn.path);
        g_string_append(w->out, "/>\n");
    }
    if (n > 1)
        write_end(w);
    return n;
}

static void write_text(Writer *w, const TapulItem *item) {
    static const char *const anchor[] = {"start", "middle", "end"};
    const TapulType *type = &item->as.text.type;
    TapulVec2 at = {item->as.text.at.x, current_flip_mm(w) - item->as.text.at.y};
    indent(w);
    g_string_append(w->out, "<text");
    append_attribute(w, "x", at.x);
    append_attribute(w, "y", at.y);
    append_attribute(w, "font-size", type->size_mm);
    if (type->size_mm >= TAPUL_TITLE_FROM_MM)
        g_string_append(w->out, " font-family=\"" TITLE_FAMILY_IN_CSS "\"");
    append_colour(w, "fill", type->colour);
    if (type->italic)
        g_string_append(w->out, " font-style=\"italic\"");
    if (type->bold)
        g_string_append(w->out, " font-weight=\"bold\"");
    if (type->small_capitals)
        g_string_append(w->out, " font-variant=\"small-caps\"");
    if (type->align != TAPUL_ALIGN_LEFT)
        g_string_append_printf(w->out, " text-anchor=\"%s\"", anchor[type->align]);
    if (type->turn_rad != 0) {
        g_string_append(w->out, " transform=\"rotate(");
        append_number(w->out, -type->turn_rad * 180 / G_PI);
        g_string_append_c(w->out, ' ');
        append_number(w->out, at.x);
        g_string_append_c(w->out, ' ');
        append_number(w->out, at.y);
        g_string_append(w->out, ")\"");
    }
    g_string_append_c(w->out, '>');
    append_escaped(w->out, item->as.text.text);
    g_string_append(w->out, "</text>\n");
}

static void append_matrix(Writer *w, const double m[6]) {
    g_string_append(w->out, " transform=\"matrix(");
    for (int i = 0; i < 6; i++) {
        char number[G_ASCII_DTOSTR_BUF_SIZE];
        g_ascii_formatd(number, sizeof number, "%.9g", m[i] == 0 ? 0 : m[i]);
        g_string_append_printf(w->out, i > 0 ? " %s" : "%s", number);
    }
    g_string_append(w->out, ")\"");
}

/* The first drawing of a picture carries its bytes; later ones refer to it. */
static void write_first_picture(Writer *w, int number, TapulBox box) {
    const TapulPicture *picture = w->page->pictures->pdata[number];
    g_autoptr(GBytes) png = tapul_picture_png(picture);
    gsize length;
    const guchar *data = g_bytes_get_data(png, &length);
    g_autofree char *text = g_base64_encode(data, length);
    g_string_append_printf(w->out, "<image id=\"picture-%d\"", number + 1);
    append_attribute(w, "x", box.min.x);
    append_attribute(w, "y", current_flip_mm(w) - box.max.y);
    append_attribute(w, "width", box.max.x - box.min.x);
    append_attribute(w, "height", box.max.y - box.min.y);
    g_string_append(w->out,
                    " preserveAspectRatio=\"none\" xlink:href=\"data:image/png;base64,");
    g_string_append(w->out, text);
    g_string_append(w->out, "\"/>\n");
    w->first_box[number] = box;
    w->first_flip_mm[number] = current_flip_mm(w);
}

static void write_picture(Writer *w, const TapulItem *item) {
    int number = item->as.picture.number;
    TapulBox box = item->as.picture.box, first = w->first_box[number];
    indent(w);
    if (tapul_box_is_empty(first)) {
        write_first_picture(w, number, box);
        return;
    }
    double scale_x = (box.max.x - box.min.x) / (first.max.x - first.min.x);
    double scale_y = (box.max.y - box.min.y) / (first.max.y - first.min.y);
    double shift_x = box.min.x - scale_x * first.min.x;
    double shift_y =
        current_flip_mm(w) - box.max.y - scale_y * (w->first_flip_mm[number] - first.max.y);
    g_string_append_printf(w->out, "<use xlink:href=\"#picture-%d\"", number + 1);
    if (scale_x != 1 || scale_y != 1 || shift_x != 0 || shift_y != 0)
        append_matrix(w, (double[6]){scale_x, 0, 0, scale_y, shift_x, shift_y});
    g_string_append(w->out, "/>\n");
}

static void write_begin_group(Writer *w, const TapulItem *item) {
    double flip_mm = current_flip_mm(w);
    indent(w);
    g_string_append_printf(w->out, "<g id=\"%s\"", item->as.group.id);
    if (item->as.group.moved) {
        const TapulAffine *t = &item->as.group.transform;
        append_matrix(w, (double[6]){t->xx, -t->yx, -t->xy, t->yy, t->dx, flip_mm - t->dy});
        flip_mm = 0;
    }
    g_string_append(w->out, ">\n");
    g_array_append_val(w->flip_mm, flip_mm);
    if (item->as.group.title) {
        indent(w);
        g_string_append(w->out, "<title>");
        append_escaped(w->out, item->as.group.title);
        g_string_append(w->out, "</title>\n");
    }
}

static void write_begin_clip(Writer *w, const TapulItem *item) {
    int number = ++w->n_clips;
    indent(w);
    g_string_append_printf(w->out, "<clipPath id=\"clip-path-%d\"><path", number);
    if (item->as.drawn.pen.even_odd)
        g_string_append(w->out, " clip-rule=\"evenodd\"");
    append_path_data(w, item->as.drawn.path);
    g_string_append(w->out, "/></clipPath>\n");
    indent(w);
    g_string_append_printf(w->out, "<g clip-path=\"url(#clip-path-%d)\">\n", number);
    double flip_mm = current_flip_mm(w);
    g_array_append_val(w->flip_mm, flip_mm);
}

/* Writes the item at a place of the list and, of paths, those after it that share its pen;
 * returns how many. */
static guint write_items(Writer *w, guint at) {
    const TapulItem *item = &g_array_index(w->page->items, TapulItem, at);
    switch (item->kind) {
    case TAPUL_ITEM_BEGIN_GROUP:
        write_begin_group(w, item);
        break;
    case TAPUL_ITEM_BEGIN_CLIP:
        write_begin_clip(w, item);
        break;
    case TAPUL_ITEM_END_GROUP:
    case TAPUL_ITEM_END_CLIP:
        write_end(w);
        break;
    case TAPUL_ITEM_PATH:
        return write_paths(w, at);
    case TAPUL_ITEM_TEXT:
        write_text(w, item);
        break;
    case TAPUL_ITEM_PICTURE:
        write_picture(w, item);
        break;
    }
    return 1;
}

static void write_head(Writer *w) {
    const TapulPage *page = w->page;
    g_string_append(w->out,
                    "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                    "<svg xmlns=\"http://www.w3.org/2000/svg\""
                    " xmlns:xlink=\"http://www.w3.org/1999/xlink\" version=\"1.1\"\n    ");
    g_string_append(w->out, " width=\"");
    append_number(w->out, page->width_mm);
    g_string_append(w->out, "mm\" height=\"");
    append_number(w->out, page->height_mm);
    g_string_append(w->out, "mm\" viewBox=\"0 0 ");
    append_number(w->out, page->width_mm);
    g_string_append_c(w->out, ' ');
    append_number(w->out, page->height_mm);
    g_string_append(w->out, "\"\n     font-family=\"" TAPUL_FONT_FAMILY "\">\n"
                            "  <title>");
    append_escaped(w->out, page->title);
    g_string_append(w->out, "</title>\n  <desc>");
    append_escaped(w->out, page->description);
    g_string_append(w->out, "</desc>\n");
}

gboolean tapul_page_write_svg(const TapulPage *page, const char *path, GError **error) {
    g_assert(page->open->len == 0);
    Writer w = {.page = page, .out = g_string_new(NULL)};
    w.flip_mm = g_array_new(FALSE, FALSE, sizeof(double));
    g_array_append_val(w.flip_mm, page->height_mm);
    w.first_box = g_new(TapulBox, page->pictures->len);
    w.first_flip_mm = g_new0(double, page->pictures->len);
    for (guint i = 0; i < page->pictures->len; i++)
        w.first_box[i] = tapul_box_empty();
    write_head(&w);
    for (guint i = 0; i < page->items->len;)
        i += write_items(&w, i);
    g_string_append(w.out, "</svg>\n");
    gboolean written = g_file_set_contents(path, w.out->str, (gssize)w.out->len, error);
    g_string_free(w.out, TRUE);
    g_array_unref(w.flip_mm);
    g_free(w.first_box);
    g_free(w.first_flip_mm);
    return written;
}
