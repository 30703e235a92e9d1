/* Writes a page as SVG 1.1: readable, in mm, with ids and titles, so that a person can edit it.
 *
 * y is flipped as the numbers are written: on the page (x, y) becomes (x, height - y), within a
 * group that has its own frame (x, -y). No mirroring transform is needed, and text stays
 * upright.
 */
#include "sheet/page_svg.h"

/* TAPUL_TITLE_FONT_FAMILY as CSS has it: a name with a number in it stands in quotes. */
#define TITLE_FAMILY_IN_CSS "'EB Garamond 12', " TAPUL_FONT_FAMILY

/* What SVG draws with unless told otherwise. */
static const TapulPen svg_pen = {.fill = {0, 0, 0, 1}, .width_mm = 1};

static double current_flip_mm(const TapulSvgWriter *w) {
    return tapul_svg_frame(w)->flip_mm;
}

static void indent(TapulSvgWriter *w) {
    for (guint i = 0; i < w->frames->len; i++)
        g_string_append_c(w->out, ' ');
}

static void append_escaped(GString *out, const char *text) {
    g_autofree char *escaped = g_markup_escape_text(text, -1);
    g_string_append(out, escaped);
}

/* --- Groups of one pen --- */

static gboolean is_opaque(const TapulPen *pen) {
    return (pen->fill.alpha <= 0 || pen->fill.alpha >= 1) && pen->stroke.alpha >= 1;
}

/* The pen of the first stroke in the group that begins at an item, its own or the one before:
 * most of an engraving's paths draw like it. */
static const TapulPen *pen_of_group(const TapulSvgWriter *w, guint at) {
    for (at++; at < w->page->items->len; at++) {
        const TapulItem *item = &g_array_index(w->page->items, TapulItem, at);
        if (item->kind != TAPUL_ITEM_PATH)
            break;
        if (is_opaque(&item->as.drawn.pen))
            return &item->as.drawn.pen;
    }
    return &tapul_svg_frame(w)->pen;
}

/* --- Items --- */

static void write_end(TapulSvgWriter *w) {
    g_array_set_size(w->frames, w->frames->len - 1);
    indent(w);
    g_string_append(w->out, "</g>\n");
}

/* Writes paths of one pen, which several share by a group: an engraving has thousands. Returns
 * how many. */
static guint write_paths(TapulSvgWriter *w, guint first) {
    guint n = tapul_page_count_same_pen(w->page, first);
    const TapulItem *items = &g_array_index(w->page->items, TapulItem, first);
    const TapulPen *pen = &items[0].as.drawn.pen;
    gboolean shared = n > 1 && !tapul_same_pen(pen, &tapul_svg_frame(w)->pen);
    if (shared) {
        indent(w);
        g_string_append(w->out, "<g");
        tapul_svg_pen(w, pen);
        g_string_append(w->out, ">\n");
    }
    for (guint i = 0; i < n; i++) {
        g_string_append(w->out, "<path");
        if (!shared)
            tapul_svg_pen(w, pen);
        tapul_svg_path_data(w, items[i].as.drawn.path);
        g_string_append(w->out, "/>\n");
    }
    if (shared) {
        indent(w);
        g_string_append(w->out, "</g>\n");
    }
    return n;
}

/* xml:lang for readers of SVG 1.1, lang for those of SVG 2. */
static void append_language(TapulSvgWriter *w, const char *language) {
    g_autofree char *escaped = g_markup_escape_text(language, -1);
    g_string_append_printf(w->out, " lang=\"%s\" xml:lang=\"%s\"", escaped, escaped);
}

static void write_text(TapulSvgWriter *w, const TapulItem *item) {
    static const char *const anchor[] = {"start", "middle", "end"};
    const TapulType *type = &item->as.text.type;
    TapulVec2 at = {item->as.text.at.x, current_flip_mm(w) - item->as.text.at.y};
    gboolean left = tapul_page_text_runs_left(item->as.text.text);
    /* Text that runs to the left starts at its right. */
    int anchored = left ? TAPUL_ALIGN_RIGHT - (int)type->align : (int)type->align;
    indent(w);
    g_string_append(w->out, "<text");
    tapul_svg_attribute(w, "x", at.x);
    tapul_svg_attribute(w, "y", at.y);
    tapul_svg_attribute(w, "font-size", type->size_mm);
    if (type->size_mm >= TAPUL_TITLE_FROM_MM)
        g_string_append(w->out, " font-family=\"" TITLE_FAMILY_IN_CSS "\"");
    tapul_svg_colour(w, "fill", type->colour);
    if (tapul_svg_frame(w)->pen.stroke.alpha > 0)
        g_string_append(w->out, " stroke=\"none\"");
    if (type->italic)
        g_string_append(w->out, " font-style=\"italic\"");
    if (type->bold)
        g_string_append(w->out, " font-weight=\"bold\"");
    if (type->small_capitals)
        g_string_append(w->out, " font-variant=\"small-caps\"");
    if (left)
        g_string_append(w->out, " direction=\"rtl\" unicode-bidi=\"embed\"");
    if (type->language && !g_str_equal(type->language, w->page->language))
        append_language(w, type->language);
    if (anchored > 0)
        g_string_append_printf(w->out, " text-anchor=\"%s\"", anchor[anchored]);
    if (type->turn_rad != 0) {
        g_string_append(w->out, " transform=\"rotate(");
        tapul_svg_number(w->out, -type->turn_rad * 180 / G_PI);
        g_string_append_c(w->out, ' ');
        tapul_svg_number(w->out, at.x);
        g_string_append_c(w->out, ' ');
        tapul_svg_number(w->out, at.y);
        g_string_append(w->out, ")\"");
    }
    g_string_append_c(w->out, '>');
    append_escaped(w->out, item->as.text.text);
    g_string_append(w->out, "</text>\n");
}

static void append_matrix(TapulSvgWriter *w, const double m[6]) {
    g_string_append(w->out, " transform=\"matrix(");
    for (int i = 0; i < 6; i++) {
        char number[G_ASCII_DTOSTR_BUF_SIZE];
        g_ascii_formatd(number, sizeof number, "%.9g", m[i] == 0 ? 0 : m[i]);
        g_string_append_printf(w->out, i > 0 ? " %s" : "%s", number);
    }
    g_string_append(w->out, ")\"");
}

/* The first drawing of a picture carries its bytes; later ones refer to it. */
static void write_first_picture(TapulSvgWriter *w, int number, TapulBox box) {
    const TapulPicture *picture = w->page->pictures->pdata[number];
    g_autoptr(GBytes) png = tapul_picture_png(picture);
    gsize length;
    const guchar *data = g_bytes_get_data(png, &length);
    g_autofree char *text = g_base64_encode(data, length);
    g_string_append_printf(w->out, "<image id=\"picture-%d\"", number + 1);
    tapul_svg_attribute(w, "x", box.min.x);
    tapul_svg_attribute(w, "y", current_flip_mm(w) - box.max.y);
    tapul_svg_attribute(w, "width", box.max.x - box.min.x);
    tapul_svg_attribute(w, "height", box.max.y - box.min.y);
    g_string_append(w->out,
                    " preserveAspectRatio=\"none\" xlink:href=\"data:image/png;base64,");
    g_string_append(w->out, text);
    g_string_append(w->out, "\"/>\n");
    w->first_box[number] = box;
    w->first_flip_mm[number] = current_flip_mm(w);
}

static void write_picture(TapulSvgWriter *w, const TapulItem *item) {
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

static void write_begin_group(TapulSvgWriter *w, guint at) {
    const TapulItem *item = &g_array_index(w->page->items, TapulItem, at);
    const TapulPen *pen = pen_of_group(w, at);
    TapulSvgFrame frame = *tapul_svg_frame(w);
    indent(w);
    g_string_append_printf(w->out, "<g id=\"%s\"", item->as.group.id);
    tapul_svg_pen(w, pen);
    frame.pen = *pen;
    if (item->as.group.moved) {
        const TapulAffine *t = &item->as.group.transform;
        append_matrix(w,
                      (double[6]){t->xx, -t->yx, -t->xy, t->yy, t->dx, frame.flip_mm - t->dy});
        frame.flip_mm = 0;
        frame.page_mm *= sqrt(fabs(t->xx * t->yy - t->xy * t->yx));
    }
    g_string_append(w->out, ">\n");
    tapul_svg_open_frame(w, frame);
    if (item->as.group.title) {
        indent(w);
        g_string_append(w->out, "<title>");
        append_escaped(w->out, item->as.group.title);
        g_string_append(w->out, "</title>\n");
    }
}

static void write_begin_clip(TapulSvgWriter *w, const TapulItem *item) {
    int number = ++w->n_clips;
    indent(w);
    g_string_append_printf(w->out, "<clipPath id=\"clip-path-%d\"><path", number);
    if (item->as.drawn.pen.even_odd)
        g_string_append(w->out, " clip-rule=\"evenodd\"");
    tapul_svg_path_data(w, item->as.drawn.path);
    g_string_append(w->out, "/></clipPath>\n");
    indent(w);
    g_string_append_printf(w->out, "<g clip-path=\"url(#clip-path-%d)\">\n", number);
    tapul_svg_open_frame(w, *tapul_svg_frame(w));
}

/* A figure is one picture to who has the page read out, called by its words; a label rather
 * than a title, which would hang from the pointer as a note. Other parts are read as the text
 * they are. */
static void write_begin_part(TapulSvgWriter *w, const TapulItem *item) {
    if (item->as.part.part != TAPUL_PART_FIGURE)
        return;
    indent(w);
    g_string_append(w->out, "<g role=\"img\"");
    if (item->as.part.alternative) {
        g_string_append(w->out, " aria-label=\"");
        append_escaped(w->out, item->as.part.alternative);
        g_string_append_c(w->out, '"');
    }
    g_string_append(w->out, ">\n");
    tapul_svg_open_frame(w, *tapul_svg_frame(w));
}

static void write_end_part(TapulSvgWriter *w, const TapulItem *item) {
    if (item->as.part.part == TAPUL_PART_FIGURE)
        write_end(w);
}

/* Writes the item at a place of the list and, of paths, those after it that share its pen;
 * returns how many. */
guint tapul_svg_items(TapulSvgWriter *w, guint at) {
    const TapulItem *item = &g_array_index(w->page->items, TapulItem, at);
    switch (item->kind) {
    case TAPUL_ITEM_BEGIN_GROUP:
        write_begin_group(w, at);
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
    case TAPUL_ITEM_BEGIN_PART:
        write_begin_part(w, item);
        break;
    case TAPUL_ITEM_END_PART:
        write_end_part(w, item);
        break;
    }
    return 1;
}

/* Dublin Core in RDF, as SVG 1.1's chapter on metadata has it. */
static void write_author(TapulSvgWriter *w) {
    g_string_append(w->out, "  <metadata><rdf:RDF"
                            " xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\""
                            " xmlns:dc=\"http://purl.org/dc/elements/1.1/\">"
                            "<rdf:Description rdf:about=\"\" dc:creator=\"");
    append_escaped(w->out, w->page->author);
    g_string_append(w->out, "\"/></rdf:RDF></metadata>\n");
}

static void write_head(TapulSvgWriter *w) {
    const TapulPage *page = w->page;
    g_string_append(w->out,
                    "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                    "<svg xmlns=\"http://www.w3.org/2000/svg\""
                    " xmlns:xlink=\"http://www.w3.org/1999/xlink\" version=\"1.1\"\n    ");
    g_string_append(w->out, " width=\"");
    tapul_svg_number(w->out, page->width_mm);
    g_string_append(w->out, "mm\" height=\"");
    tapul_svg_number(w->out, page->height_mm);
    g_string_append(w->out, "mm\" viewBox=\"0 0 ");
    tapul_svg_number(w->out, page->width_mm);
    g_string_append_c(w->out, ' ');
    tapul_svg_number(w->out, page->height_mm);
    g_string_append(w->out, "\"\n     font-family=\"" TAPUL_FONT_FAMILY
                            "\" style=\"font-variant-numeric:lining-nums\"\n    ");
    append_language(w, page->language);
    /* Nothing within an img is read: a page that says what its parts are is a document (W3C
     * Graphics-ARIA 1.0), any other one picture with its title and description. */
    g_string_append(w->out,
                    page->has_parts ? " role=\"graphics-document document\"" : " role=\"img\"");
    g_string_append(w->out, ">\n  <title>");
    append_escaped(w->out, page->title);
    g_string_append(w->out, "</title>\n  <desc>");
    append_escaped(w->out, page->description);
    g_string_append(w->out, "</desc>\n");
    if (page->author)
        write_author(w);
}

gboolean tapul_page_write_svg(const TapulPage *page, const char *path, GError **error) {
    g_assert(page->open->len == 0);
    TapulSvgWriter w = {.page = page, .out = g_string_new(NULL)};
    w.frames = g_array_new(FALSE, FALSE, sizeof(TapulSvgFrame));
    tapul_svg_open_frame(
        &w, (TapulSvgFrame){.flip_mm = page->height_mm, .page_mm = 1, .pen = svg_pen});
    w.first_box = g_new(TapulBox, page->pictures->len);
    w.first_flip_mm = g_new0(double, page->pictures->len);
    for (guint i = 0; i < page->pictures->len; i++)
        w.first_box[i] = tapul_box_empty();
    write_head(&w);
    for (guint i = 0; i < page->items->len;)
        i += tapul_svg_items(&w, i);
    g_string_append(w.out, "</svg>\n");
    gboolean written = g_file_set_contents(path, w.out->str, (gssize)w.out->len, error);
    g_string_free(w.out, TRUE);
    g_array_unref(w.frames);
    g_free(w.first_box);
    g_free(w.first_flip_mm);
    return written;
}
