/* Fills and strokes of the trace: colours become ink, paper or nothing; tiles are laid out as
 * ink; gradients and pictures are counted. Stands under the trace's walk. */
#include "ink/shade.h"
#include "ink/trace_private.h"

#include <string.h>

/* A hatch of more tiles than this would be a tone, not lines. */
#define TILES_MAX 10000
/* PDF's lines of width 0 come through as a hundredth of this; no line that was meant to have a
 * width is so thin. */
#define HAIRLINE_BELOW_MM 0.005
/* Pens this far from round are drawn with their mean width, and counted: 1 %. */
#define ROUND_PEN_RATIO 1.01

/* TRUE if it is worth a mark; what is too faint is counted. */
static gboolean shade_mark(TapulReader *reader, const TapulPen *pen, const TapulPaint *own,
                           TapulMark *mark) {
    TapulPaint paint = *own;
    if (pen->poured) {
        paint = *pen->poured;
        paint.opacity *= own->opacity;
    }
    TapulShade shade = tapul_shade(&paint, pen->opacity, &mark->grey);
    mark->paper = shade == TAPUL_SHADE_PAPER;
    if (shade == TAPUL_SHADE_FAINT)
        tapul_reader_skip(reader, "transparency",
                          tapul_clip_box(pen->clip, tapul_path_box(mark->path)));
    return shade == TAPUL_SHADE_INK || shade == TAPUL_SHADE_PAPER;
}

static void fill_colour(TapulReader *reader, const TapulPen *pen, const TapulPath *path) {
    TapulMark *mark = g_new0(TapulMark, 1);
    mark->kind = TAPUL_MARK_FILL;
    mark->path = tapul_path_copy(path);
    mark->even_odd = pen->style.even_odd;
    if (shade_mark(reader, pen, &pen->style.fill, mark))
        tapul_reader_add_mark_take(reader, pen, mark);
    else
        tapul_mark_free(mark);
}

/* The whole tiles that cover a box: from (first) to (last), in tiles. FALSE if they are too
 * many, or none. */
static gboolean tiles_over(const cairo_matrix_t *matrix, double width, double height,
                           TapulBox box, int first[2], int last[2]) {
    cairo_matrix_t inverse = *matrix;
    if (!(width > 0) || !(height > 0) || tapul_box_is_empty(box) ||
        cairo_matrix_invert(&inverse) != CAIRO_STATUS_SUCCESS)
        return FALSE;
    TapulBox tiles = tapul_box_empty();
    for (int corner = 0; corner < 4; corner++) {
        TapulVec2 p = {corner & 1 ? box.max.x : box.min.x, corner & 2 ? box.max.y : box.min.y};
        cairo_matrix_transform_point(&inverse, &p.x, &p.y);
        tapul_box_add(&tiles, tapul_vec2(p.x / width, p.y / height));
    }
    double across = floor(tiles.max.x) - floor(tiles.min.x) + 1;
    double up = floor(tiles.max.y) - floor(tiles.min.y) + 1;
    if (!(across * up <= TILES_MAX) ||
        !(fabs(tiles.min.x) + fabs(tiles.max.x) < G_MAXINT / 4) ||
        !(fabs(tiles.min.y) + fabs(tiles.max.y) < G_MAXINT / 4))
        return FALSE;
    first[0] = (int)floor(tiles.min.x);
    first[1] = (int)floor(tiles.min.y);
    last[0] = (int)floor(tiles.max.x);
    last[1] = (int)floor(tiles.max.y);
    return TRUE;
}

static void fill_tiles(TapulReader *reader, const TapulPen *outer, const TapulPath *path,
                       const xmlNode *pattern) {
    TapulPen pen = *outer;
    TapulBox box = tapul_clip_box(pen.clip, tapul_path_box(path));
    double width = tapul_attribute_number(pattern, "width", 0);
    double height = tapul_attribute_number(pattern, "height", 0);
    int first[2], last[2];
    gboolean sound = tapul_pen_transform(&pen, pattern, "patternTransform");
    const xmlNode *use = xmlFirstElementChild((xmlNode *)pattern);
    const xmlNode *content =
        use ? tapul_reader_find(reader, tapul_attribute(use, "href")) : NULL;
    if (tapul_node_is(content, "image")) {
        TapulBox tile = tapul_pen_box(&pen, 0, 0, width, height);
        tapul_reader_skip(reader, "picture", tapul_box_is_empty(tile) ? box : tile);
        return;
    }
    if (!content || !sound || !tiles_over(&pen.matrix, width, height, box, first, last)) {
        tapul_reader_skip(reader, "pattern", box);
        return;
    }
    pen.clip = tapul_reader_add_clip(reader, pen.clip, path, outer->style.even_odd);
    pen.style = tapul_style_defaults();
    for (int up = first[1]; up <= last[1]; up++)
        for (int across = first[0]; across <= last[0]; across++) {
            TapulPen tile = pen;
            cairo_matrix_translate(&tile.matrix, across * width, up * height);
            tapul_reader_draw(reader, use, &tile);
        }
}

void tapul_reader_fill(TapulReader *reader, const TapulPen *pen, const TapulPath *path) {
    if (pen->style.fill.kind == TAPUL_PAINT_COLOUR) {
        fill_colour(reader, pen, path);
        return;
    }
    const xmlNode *server = g_hash_table_lookup(reader->ids, pen->style.fill.server);
    if (tapul_node_is(server, "pattern"))
        fill_tiles(reader, pen, path, server);
    else
        tapul_reader_skip(reader, "gradient", tapul_clip_box(pen->clip, tapul_path_box(path)));
}

/* The ratio of the longest to the shortest radius a round pen gets under a matrix. */
static double pen_ratio(const cairo_matrix_t *m) {
    double sum = hypot(m->xx + m->yy, m->yx - m->xy);
    double difference = hypot(m->xx - m->yy, m->yx + m->xy);
    double least = fabs(sum - difference);
    return least > 0 ? (sum + difference) / least : INFINITY;
}

static void set_pen(TapulMark *mark, const TapulStyle *style, double scale) {
    mark->width_mm = style->stroke_width * scale;
    mark->cap = style->cap;
    mark->join = style->join;
    mark->mitre_limit = style->mitre_limit;
    double period = 0;
    for (guint i = 0; i < style->dashes; i++)
        period += style->dash[i] * scale;
    if (!(period > 0))
        return;
    mark->dash_mm = g_array_new(FALSE, FALSE, sizeof(double));
    for (guint i = 0; i < style->dashes; i++) {
        double length = style->dash[i] * scale;
        g_array_append_val(mark->dash_mm, length);
    }
    mark->dash_offset_mm = style->dash_offset * scale;
}

void tapul_reader_stroke(TapulReader *reader, const TapulPen *pen, const TapulPath *path) {
    const cairo_matrix_t *m = &pen->matrix;
    double scale = sqrt(fabs(m->xx * m->yy - m->xy * m->yx));
    TapulPaint paint = pen->style.stroke;
    const xmlNode *server = paint.kind == TAPUL_PAINT_SERVER
                                ? g_hash_table_lookup(reader->ids, paint.server)
                                : NULL;
    /* A line stays a line whatever colours run along it. */
    if (server && strstr((const char *)server->name, "Gradient"))
        tapul_shade_gradient(server, &paint);
    TapulMark *mark = g_new0(TapulMark, 1);
    mark->kind = TAPUL_MARK_STROKE;
    mark->path = tapul_path_copy(path);
    set_pen(mark, &pen->style, scale);
    if (mark->width_mm < HAIRLINE_BELOW_MM && reader->page->hairline_mm > 0) {
        mark->width_mm = reader->page->hairline_mm;
        tapul_reader_skip(reader, "hairline's own width",
                          tapul_clip_box(pen->clip, tapul_path_box(path)));
    }
    if (!(mark->width_mm > 0) || !shade_mark(reader, pen, &paint, mark)) {
        tapul_mark_free(mark);
        return;
    }
    if (pen_ratio(m) > ROUND_PEN_RATIO)
        tapul_reader_skip(reader, "uneven pen's own width",
                          tapul_clip_box(pen->clip, tapul_path_box(path)));
    tapul_reader_add_mark_take(reader, pen, mark);
}
