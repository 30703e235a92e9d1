/* The trace read into marks: walks the drawing in its order, through groups and glyphs by
 * reference, and cuts every mark by the clips it stands under. Stands between the renderers and
 * the ink. cairo's script surface was tried first and dropped: version 1.16 refuses every
 * filled figure of upright edges that is no rectangle, stops the process at rectangles far to
 * the left, and loses the colour of transparent white. */
#include "ink/trace.h"

#include "ink/clip.h"
#include "ink/trace_private.h"
#include "ink/xml.h"

#include <string.h>

/* More than any print holds, and few enough to end within seconds. */
#define THINGS_MAX 5000000
/* Groups within groups; a renderer nests a handful for each of the file's own. */
#define DEPTH_MAX 400
/* Points of marks times corners of clips: about a minute's work. */
#define WORK_MAX 5e9
/* A group's frame, rounded to whole units, is no clip beside the page's own edge. */
#define PAGE_FRAME_SLACK_MM 0.05

static void draw_children(TapulReader *reader, const xmlNode *node, const TapulPen *pen);

gboolean tapul_node_is(const xmlNode *node, const char *name) {
    return node && node->type == XML_ELEMENT_NODE &&
           strcmp((const char *)node->name, name) == 0;
}

const xmlNode *tapul_reader_find(const TapulReader *reader, const char *reference) {
    g_autofree char *id = tapul_attribute_reference(reference);
    return id ? g_hash_table_lookup(reader->ids, id) : NULL;
}

gboolean tapul_pen_transform(TapulPen *pen, const xmlNode *node, const char *name) {
    cairo_matrix_t own;
    if (!tapul_attribute_matrix(tapul_attribute(node, name), &own))
        return FALSE;
    cairo_matrix_multiply(&pen->matrix, &own, &pen->matrix);
    return TRUE;
}

TapulBox tapul_pen_box(const TapulPen *pen, double x, double y, double width, double height) {
    TapulBox box = tapul_box_empty();
    for (int corner = 0; corner < 4; corner++) {
        TapulVec2 p = {x + (corner & 1 ? width : 0), y + (corner & 2 ? height : 0)};
        cairo_matrix_transform_point(&pen->matrix, &p.x, &p.y);
        tapul_box_add(&box, p);
    }
    return tapul_clip_box(pen->clip, box);
}

/* A rectangle as path data is drawn through the same door as paths. */
static gboolean read_shape(const xmlNode *node, const cairo_matrix_t *matrix, TapulPath *path) {
    if (tapul_node_is(node, "path")) {
        const char *data = tapul_attribute(node, "d");
        return data && tapul_attribute_path(data, matrix, path);
    }
    if (!tapul_node_is(node, "rect"))
        return FALSE;
    double x = tapul_attribute_number(node, "x", 0), y = tapul_attribute_number(node, "y", 0);
    double width = tapul_attribute_number(node, "width", 0);
    double height = tapul_attribute_number(node, "height", 0);
    TapulVec2 corner[4] = {{x, y}, {x + width, y}, {x + width, y + height}, {x, y + height}};
    for (int i = 0; i < 4; i++) {
        cairo_matrix_transform_point(matrix, &corner[i].x, &corner[i].y);
        if (i == 0)
            tapul_path_move(path, corner[i]);
        else
            tapul_path_line(path, corner[i]);
    }
    tapul_path_close(path);
    return TRUE;
}

const TapulClip *tapul_reader_add_clip(TapulReader *reader, const TapulClip *parent,
                                       const TapulPath *path, gboolean even_odd) {
    TapulClip *clip = tapul_clip_new(parent, path, even_odd);
    double slack = PAGE_FRAME_SLACK_MM;
    gboolean holds_page = clip->is_box && clip->box.min.x <= slack &&
                          clip->box.min.y <= slack &&
                          clip->box.max.x >= reader->page->width_mm - slack &&
                          clip->box.max.y >= reader->page->height_mm - slack;
    if (holds_page) {
        tapul_clip_free(clip);
        return parent;
    }
    g_ptr_array_add(reader->clips, clip);
    return clip;
}

static void enter_clip(TapulReader *reader, TapulPen *pen, const xmlNode *node) {
    const xmlNode *region = tapul_reader_find(reader, tapul_attribute(node, "clip-path"));
    if (!tapul_node_is(region, "clipPath"))
        return;
    const char *rule = tapul_attribute(node, "clip-rule");
    g_autoptr(TapulPath) path = tapul_path_new();
    for (const xmlNode *each = region->children; each; each = each->next)
        if (each->type == XML_ELEMENT_NODE)
            read_shape(each, &pen->matrix, path);
    pen->clip =
        tapul_reader_add_clip(reader, pen->clip, path, rule && strcmp(rule, "evenodd") == 0);
}

/* What cutting this mark may cost: each of its points against each corner of the clips it
 * stands under. */
static double cutting_work(const TapulClip *clip, const TapulMark *mark) {
    double work = 1;
    for (; clip; clip = clip->parent)
        for (guint i = 0; !clip->is_page && i < clip->rings->len; i++)
            work += mark->path->points->len * (double)((GArray *)clip->rings->pdata[i])->len;
    return work;
}

void tapul_reader_add_mark_take(TapulReader *reader, const TapulPen *pen, TapulMark *mark) {
    reader->work += cutting_work(pen->clip, mark);
    if (reader->work > WORK_MAX) {
        reader->overrun = TRUE;
        tapul_mark_free(mark);
        return;
    }
    mark->motif = reader->motif;
    TapulBox box = tapul_clip_box(pen->clip, tapul_path_box(mark->path));
    if (!tapul_clip_mark_take(pen->clip, &reader->regions, mark, reader->trace->marks))
        tapul_reader_skip(reader, "tangled area at a clip", box);
}

void tapul_reader_skip(TapulReader *reader, const char *what, TapulBox box) {
    tapul_skipped_add(reader->trace->skipped, what, 1, box);
}

/* TRUE if the stroke was no drawing but the sign of a motif's begin or end. */
static gboolean read_motif_sign(TapulReader *reader, const TapulStyle *style) {
    if (style->stroke.kind != TAPUL_PAINT_COLOUR)
        return FALSE;
    if (style->mitre_limit == TAPUL_TRACE_COVER)
        return TRUE;
    if (style->mitre_limit == TAPUL_TRACE_MOTIF_ENDS) {
        reader->motif = -1;
        return TRUE;
    }
    if (style->mitre_limit != TAPUL_TRACE_MOTIF_BEGINS)
        return FALSE;
    reader->motif = (int)lround(style->stroke.red * 255) << 16 |
                    (int)lround(style->stroke.green * 255) << 8 |
                    (int)lround(style->stroke.blue * 255);
    return TRUE;
}

static void draw_shape(TapulReader *reader, const xmlNode *node, const TapulPen *parent) {
    TapulPen pen = *parent;
    g_autoptr(TapulPath) path = tapul_path_new();
    tapul_style_apply(&pen.style, tapul_attribute(node, "style"));
    if (!tapul_pen_transform(&pen, node, "transform") || !read_shape(node, &pen.matrix, path)) {
        tapul_reader_skip(reader, "unreadable path", tapul_box_empty());
        return;
    }
    if (read_motif_sign(reader, &pen.style) || tapul_path_is_empty(path))
        return;
    if (pen.style.fill.kind != TAPUL_PAINT_NONE)
        tapul_reader_fill(reader, &pen, path);
    if (pen.style.stroke.kind != TAPUL_PAINT_NONE)
        tapul_reader_stroke(reader, &pen, path);
}

static void draw_use(TapulReader *reader, const xmlNode *node, const TapulPen *parent) {
    TapulPen pen = *parent;
    const xmlNode *target = tapul_reader_find(reader, tapul_attribute(node, "href"));
    if (!target || !tapul_pen_transform(&pen, node, "transform"))
        return;
    cairo_matrix_translate(&pen.matrix, tapul_attribute_number(node, "x", 0),
                           tapul_attribute_number(node, "y", 0));
    if (tapul_node_is(target, "symbol")) {
        pen.in_glyph = TRUE;
        draw_children(reader, target, &pen);
    } else {
        tapul_reader_draw(reader, target, &pen);
    }
}

static void draw_image(TapulReader *reader, const xmlNode *node, const TapulPen *parent) {
    TapulPen pen = *parent;
    tapul_pen_transform(&pen, node, "transform");
    TapulBox box = tapul_pen_box(
        &pen, tapul_attribute_number(node, "x", 0), tapul_attribute_number(node, "y", 0),
        tapul_attribute_number(node, "width", 0), tapul_attribute_number(node, "height", 0));
    if (!tapul_box_is_empty(box))
        tapul_reader_skip(reader, pen.in_glyph ? "bitmap glyph" : "picture", box);
}

static void draw_group(TapulReader *reader, const xmlNode *node, const TapulPen *parent) {
    TapulPen pen = *parent;
    if (!tapul_pen_transform(&pen, node, "transform"))
        return;
    tapul_style_apply(&pen.style, tapul_attribute(node, "style"));
    enter_clip(reader, &pen, node);
    draw_children(reader, node, &pen);
}

/* Operators that take away what lies under them, or show only there, draw no ink of their own.
 */
static gboolean operator_takes_away(const xmlNode *node) {
    static const char *const words[] = {"clear",   "src-in",   "src-out", "dst", "dst-in",
                                        "dst-out", "dst-atop", "xor",     NULL};
    const char *word = tapul_attribute(node, "comp-op");
    return word && g_strv_contains(words, word);
}

/* The shapes a mask is made of, without the filter group around them. */
static const xmlNode *mask_content(const xmlNode *mask) {
    for (const xmlNode *each = mask->children; each; each = each->next) {
        if (tapul_node_is(each, "g"))
            return each;
        if (each->type == XML_ELEMENT_NODE)
            return mask;
    }
    return NULL;
}

/* A mask that is one flat colour is an opacity; returns it, or -1. */
static double mask_opacity(const xmlNode *content) {
    const xmlNode *only = xmlFirstElementChild((xmlNode *)content);
    if (!tapul_node_is(only, "rect") ||
        only->next != xmlLastElementChild((xmlNode *)content)->next)
        return -1;
    TapulStyle style = tapul_style_defaults();
    tapul_style_apply(&style, tapul_attribute(only, "style"));
    return style.fill.kind == TAPUL_PAINT_COLOUR ? style.fill.opacity : -1;
}

/* Under a flat mask the drawing goes on, fainter. A colour poured through a mask is drawn as
 * the mask's own shapes in that colour; a drawing under a mask of shapes is kept whole, and the
 * mask is counted. TRUE if all is done. */
static gboolean draw_masked(TapulReader *reader, const xmlNode *node, const xmlNode *mask,
                            TapulPen *pen) {
    const xmlNode *content = mask_content(mask);
    double opacity = content ? mask_opacity(content) : 0;
    if (opacity >= 0) {
        pen->opacity *= opacity;
        return FALSE;
    }
    if (tapul_node_is(node, "rect") && !pen->poured) {
        TapulStyle style = pen->style;
        tapul_style_apply(&style, tapul_attribute(node, "style"));
        if (style.fill.kind == TAPUL_PAINT_COLOUR) {
            pen->poured = &style.fill;
            draw_children(reader, content, pen);
            return TRUE;
        }
    }
    /* A masked picture is counted as the picture it is. */
    if (!tapul_node_is(tapul_reader_find(reader, tapul_attribute(node, "href")), "image"))
        tapul_reader_skip(reader, "mask", tapul_box_empty());
    return FALSE;
}

void tapul_reader_draw(TapulReader *reader, const xmlNode *node, const TapulPen *parent) {
    if (node->type != XML_ELEMENT_NODE || reader->overrun)
        return;
    TapulPen pen = *parent;
    if (++reader->things > THINGS_MAX || ++pen.depth > DEPTH_MAX) {
        reader->overrun = TRUE;
        return;
    }
    if (operator_takes_away(node)) {
        tapul_reader_skip(reader, "blending", tapul_box_empty());
        return;
    }
    const xmlNode *mask = tapul_reader_find(reader, tapul_attribute(node, "mask"));
    if (mask && draw_masked(reader, node, mask, &pen))
        return;
    if (tapul_node_is(node, "g") || tapul_node_is(node, "svg"))
        draw_group(reader, node, &pen);
    else if (tapul_node_is(node, "path") || tapul_node_is(node, "rect"))
        draw_shape(reader, node, &pen);
    else if (tapul_node_is(node, "use"))
        draw_use(reader, node, &pen);
    else if (tapul_node_is(node, "image"))
        draw_image(reader, node, &pen);
}

static void draw_children(TapulReader *reader, const xmlNode *node, const TapulPen *pen) {
    for (const xmlNode *each = node->children; each; each = each->next)
        tapul_reader_draw(reader, each, pen);
}

static void collect_ids(GHashTable *ids, const xmlNode *root) {
    const xmlNode *node = root;
    while (node) {
        const char *id = node->type == XML_ELEMENT_NODE ? tapul_attribute(node, "id") : NULL;
        if (id)
            g_hash_table_insert(ids, (gpointer)id, (gpointer)node);
        if (node->type == XML_ELEMENT_NODE && node->children) {
            node = node->children;
            continue;
        }
        while (node != root && !node->next)
            node = node->parent;
        node = node == root ? NULL : node->next;
    }
}

static void draw_page(TapulReader *reader, const xmlNode *root) {
    double scale = 1 / reader->page->units_per_mm;
    TapulBox page = {{0, 0}, {reader->page->width_mm, reader->page->height_mm}};
    TapulClip *edge = tapul_clip_new_page(page);
    g_ptr_array_add(reader->clips, edge);
    TapulPen pen = {.clip = edge, .style = tapul_style_defaults(), .opacity = 1};
    cairo_matrix_init(&pen.matrix, scale, 0, 0, -scale, 0, reader->page->height_mm);
    tapul_reader_draw(reader, root, &pen);
}

static void free_clip(gpointer clip) {
    tapul_clip_free(clip);
}

static void free_mark(gpointer mark) {
    tapul_mark_free(mark);
}

TapulTrace *tapul_trace_read(const char *text, gsize length, const TapulTracePage *page,
                             GError **error) {
    xmlDoc *document = tapul_xml_read_trace(text, length, error);
    const xmlNode *root = document ? xmlDocGetRootElement(document) : NULL;
    if (!root) {
        g_prefix_error(error, "the drawing cannot be traced: ");
        return NULL;
    }
    g_autoptr(TapulTrace) trace = g_new0(TapulTrace, 1);
    trace->marks = g_ptr_array_new_with_free_func(free_mark);
    trace->skipped = g_ptr_array_new_with_free_func(tapul_skipped_free);
    TapulReader reader = {.page = page, .trace = trace, .motif = -1};
    reader.regions = tapul_regions_begin();
    reader.ids = g_hash_table_new(g_str_hash, g_str_equal);
    reader.clips = g_ptr_array_new_with_free_func(free_clip);
    collect_ids(reader.ids, root);
    draw_page(&reader, root);
    g_hash_table_unref(reader.ids);
    g_ptr_array_unref(reader.clips);
    tapul_regions_end(&reader.regions);
    xmlFreeDoc(document);
    if (reader.overrun) {
        g_set_error(
            error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SYNTAX,
            "draws more than %d things, or nests them more than %d deep, or cuts them by "
            "clips of too many corners",
            THINGS_MAX, DEPTH_MAX);
        return NULL;
    }
    return g_steal_pointer(&trace);
}

void tapul_trace_free(TapulTrace *trace) {
    if (!trace)
        return;
    g_ptr_array_unref(trace->marks);
    g_ptr_array_unref(trace->skipped);
    g_free(trace);
}
