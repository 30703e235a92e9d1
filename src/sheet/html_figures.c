/* Figures as inline SVG: drawn on one page that is never written as such, its items given out
 * figure by figure, motifs marked so that the document's script finds them.
 */
#include "sheet/html_figures.h"

#include "laying/lift_parts.h"
#include "sheet/page_svg.h"

/* A browser draws about 5 to 8 pixels for a mm of the canvas: its coordinates are rounded a
 * quarter as finely as those of paper. */
#define COARSENESS 0.25

/* Of the grid over a print that its flat place is fitted to. */
#define GRID 9

struct TapulHtmlCanvas {
    TapulPage *page;
    TapulSvgWriter writer;
    GHashTable *pictures; /* numbers of those written already */
};

TapulHtmlCanvas *tapul_html_canvas_new(void) {
    TapulHtmlCanvas *canvas = g_new0(TapulHtmlCanvas, 1);
    canvas->page = tapul_page_new(TAPUL_HTML_PAGE_MM, TAPUL_HTML_PAGE_MM, NULL, NULL);
    canvas->writer.page = canvas->page;
    canvas->writer.frames = g_array_new(FALSE, FALSE, sizeof(TapulSvgFrame));
    canvas->pictures = g_hash_table_new(NULL, NULL);
    return canvas;
}

void tapul_html_canvas_free(TapulHtmlCanvas *canvas) {
    if (!canvas)
        return;
    tapul_page_free(canvas->page);
    g_array_unref(canvas->writer.frames);
    g_hash_table_unref(canvas->pictures);
    g_free(canvas);
}

/* --- Attributes --- */

static void append_numbers(GString *out, const double *numbers, int n) {
    for (int i = 0; i < n; i++) {
        char text[G_ASCII_DTOSTR_BUF_SIZE];
        g_ascii_formatd(text, sizeof text, "%.7g", numbers[i] == 0 ? 0 : numbers[i]);
        g_string_append_printf(out, i > 0 ? " %s" : "%s", text);
    }
}

static void append_matrix(GString *out, const double m[6]) {
    g_string_append(out, " transform=\"matrix(");
    append_numbers(out, m, 6);
    g_string_append(out, ")\"");
}

void tapul_html_view_box(GString *out, TapulVec2 size_mm) {
    g_string_append(out, " viewBox=\"");
    append_numbers(out, (double[4]){0, TAPUL_HTML_PAGE_MM - size_mm.y, size_mm.x, size_mm.y},
                   4);
    g_string_append_c(out, '"');
}

void tapul_html_box(GString *out, TapulBox box) {
    g_string_append(out, " x=\"");
    append_numbers(out, (double[1]){box.min.x}, 1);
    g_string_append(out, "\" y=\"");
    append_numbers(out, (double[1]){TAPUL_HTML_PAGE_MM - box.max.y}, 1);
    g_string_append(out, "\" width=\"");
    append_numbers(out, (double[1]){box.max.x - box.min.x}, 1);
    g_string_append(out, "\" height=\"");
    append_numbers(out, (double[1]){box.max.y - box.min.y}, 1);
    g_string_append_c(out, '"');
}

/* --- Items --- */

/* A picture is written once, of unit size; wherever it stands it is stretched to its box. */
static void write_picture(TapulHtmlCanvas *canvas, const TapulItem *item) {
    TapulSvgWriter *w = &canvas->writer;
    TapulBox box = item->as.picture.box;
    gpointer number = GINT_TO_POINTER(item->as.picture.number);
    const TapulPicture *picture = canvas->page->pictures->pdata[item->as.picture.number];
    g_autofree char *id = g_strdup_printf("picture-%d", item->as.picture.number + 1);
    if (g_hash_table_add(canvas->pictures, number))
        tapul_html_picture(w->out, id, picture->width_px, picture->height_px, picture->rgba);
    g_string_append_printf(w->out, "<use href=\"#%s\"", id);
    append_matrix(w->out, (double[6]){box.max.x - box.min.x, 0, 0, box.max.y - box.min.y,
                                      box.min.x, tapul_svg_frame(w)->flip_mm - box.max.y});
    g_string_append(w->out, "/>\n");
}

/* The motif that a group shows: inking.c titles the groups of motifs with their ids. A group of
 * groups is none, though a print may be called like its motif. */
static const TapulShownMotif *motif_of(const TapulPage *page, guint at, const TapulInk *ink,
                                       const GPtrArray *motifs) {
    const TapulItem *group = &g_array_index(page->items, TapulItem, at);
    if (!ink || !group->as.group.title || group[1].kind == TAPUL_ITEM_BEGIN_GROUP)
        return NULL;
    for (guint i = 0; i < motifs->len; i++) {
        const TapulShownMotif *shown = motifs->pdata[i];
        const TapulMotif *motif = ink->motifs->pdata[shown->motif];
        if (g_str_equal(group->as.group.title, motif->id))
            return shown;
    }
    return NULL;
}

/* Opens a group, within another that is marked if it is a motif's; what readers see of a motif
 * is its name, not its id. Returns how many were opened. */
static int begin_group(TapulHtmlCanvas *canvas, guint at, const TapulInk *ink,
                       const GPtrArray *motifs) {
    TapulItem *item = &g_array_index(canvas->page->items, TapulItem, at);
    const TapulShownMotif *shown = motif_of(canvas->page, at, ink, motifs);
    g_free(item->as.group.title);
    item->as.group.title = shown ? g_strdup(shown->name) : NULL;
    if (shown)
        g_string_append_printf(canvas->writer.out, "<g data-motif=\"%d\">", shown->motif);
    tapul_svg_items(&canvas->writer, at);
    return shown ? 2 : 1;
}

/* Strokes of one pen as one path, which a browser draws the sooner: an engraving has thousands.
 * Areas stay apart, for together they might cut holes into one another. Returns how many. */
static guint write_paths(TapulHtmlCanvas *canvas, guint at) {
    TapulSvgWriter *w = &canvas->writer;
    guint n = tapul_page_count_same_pen(canvas->page, at);
    const TapulItem *items = &g_array_index(canvas->page->items, TapulItem, at);
    const TapulPen *pen = &items->as.drawn.pen;
    if (n == 1 || pen->fill.alpha > 0 || pen->stroke.alpha < 1)
        return tapul_svg_items(w, at);
    g_autoptr(TapulPath) all = tapul_path_new();
    for (guint i = 0; i < n; i++) {
        const TapulPath *path = items[i].as.drawn.path;
        g_array_append_vals(all->verbs, path->verbs->data, path->verbs->len);
        g_array_append_vals(all->points, path->points->data, path->points->len);
    }
    g_string_append(w->out, "<path");
    tapul_svg_pen(w, pen);
    tapul_svg_path_data(w, all);
    g_string_append(w->out, "/>\n");
    return n;
}

static void write_items(TapulHtmlCanvas *canvas, guint first, const TapulInk *ink,
                        const GPtrArray *motifs) {
    const GArray *items = canvas->page->items;
    g_autoptr(GArray) opened = g_array_new(FALSE, FALSE, sizeof(int));
    for (guint at = first, n; at < items->len; at += n) {
        const TapulItem *item = &g_array_index(items, TapulItem, at);
        int one = 1;
        n = 1;
        switch (item->kind) {
        case TAPUL_ITEM_PICTURE:
            write_picture(canvas, item);
            break;
        case TAPUL_ITEM_BEGIN_GROUP:
            one = begin_group(canvas, at, ink, motifs);
            g_array_append_val(opened, one);
            break;
        case TAPUL_ITEM_BEGIN_CLIP:
            tapul_svg_items(&canvas->writer, at);
            g_array_append_val(opened, one);
            break;
        case TAPUL_ITEM_END_GROUP:
        case TAPUL_ITEM_END_CLIP:
            tapul_svg_items(&canvas->writer, at);
            if (g_array_index(opened, int, opened->len - 1) > 1)
                g_string_append(canvas->writer.out, "</g>\n");
            g_array_set_size(opened, opened->len - 1);
            break;
        case TAPUL_ITEM_PATH:
            n = write_paths(canvas, at);
            break;
        default:
            tapul_svg_items(&canvas->writer, at);
        }
    }
}

void tapul_html_draw(TapulHtmlCanvas *canvas, GString *out, const TapulFigure *figure,
                     double scale, const char *id, const TapulInk *ink,
                     const GPtrArray *motifs) {
    guint first = canvas->page->items->len;
    TapulSvgFrame root = {.flip_mm = TAPUL_HTML_PAGE_MM,
                          .page_mm = COARSENESS,
                          .pen = {.fill = {0, 0, 0, 1}, .width_mm = 1}};
    g_autofree char *inner = g_strconcat(id, "-figure", NULL);
    tapul_figure_draw(figure, canvas->page, tapul_vec2(0, 0), scale, inner, NULL);
    canvas->writer.out = out;
    g_array_set_size(canvas->writer.frames, 0);
    tapul_svg_open_frame(&canvas->writer, root);
    g_string_append_printf(out, "<g id=\"%s\">\n", id);
    write_items(canvas, first, ink, motifs);
    g_string_append(out, "</g>\n");
}

/* --- The print laid flat --- */

/* As the print is drawn: mirrored about the middle of its width where it is reversed. */
static TapulVec2 drawn_point(TapulVec2 print_mm, gboolean reversed, double width_mm) {
    return reversed ? tapul_vec2(width_mm - print_mm.x, print_mm.y) : print_mm;
}

TapulFlatPlace tapul_flat_place(const TapulComparison *comparison, int laying) {
    const TapulCaseLaying *asked = g_ptr_array_index(comparison->question->layings, laying);
    const TapulPrint *print = g_ptr_array_index(comparison->question->prints, asked->print);
    const TapulCaseLaid *laid = g_ptr_array_index(comparison->laid, laying);
    TapulVec2 from[GRID * GRID], to[GRID * GRID];
    TapulFlatPlace place;
    tapul_laying_placement(laid->map, &place.scale, &place.turn_rad, &place.reversed);
    for (int i = 0; i < GRID * GRID; i++) {
        TapulVec2 at = {print->ink->width_mm * (i % GRID) / (GRID - 1),
                        print->ink->height_mm * (i / GRID) / (GRID - 1)};
        from[i] = tapul_vec2_scale(drawn_point(at, place.reversed, print->ink->width_mm),
                                   place.scale);
        if (!tapul_laying_developed(laid->map, at, &to[i]))
            to[i] = tapul_vec2(NAN, NAN);
    }
    tapul_fit_rigid(from, to, GRID * GRID, &place.turn_rad, &place.shift_mm);
    return place;
}

TapulVec2 tapul_flat_point(const TapulFlatPlace *place, TapulVec2 print_mm) {
    TapulVec2 turned =
        tapul_vec2_turn(tapul_vec2_scale(print_mm, place->scale), place->turn_rad);
    return tapul_vec2_add(turned, place->shift_mm);
}

/* On the canvas p becomes q = T p + d, y up. Written with y' = H - y: T turns the other way,
 * and its centre, the canvas's lower left, stands at (0, H). */
void tapul_html_place(GString *out, const TapulFlatPlace *place, double scale,
                      TapulVec2 print_origin_mm, TapulVec2 origin_mm) {
    const double height = TAPUL_HTML_PAGE_MM;
    double c = cos(place->turn_rad), s = sin(place->turn_rad);
    TapulVec2 d = tapul_vec2_scale(
        tapul_vec2_sub(tapul_flat_point(place, print_origin_mm), origin_mm), scale);
    append_matrix(out, (double[6]){c, -s, s, c, d.x - s * height, height - c * height - d.y});
}
