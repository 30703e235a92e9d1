/* Tangles: rings that cross so often that their faces cannot be told one by one. What it would
 * cost is foreseen by sweeping over the edges' boxes, and where it is too much the area is
 * taken from a drawing. Stands under the regions. */
#include "ink/tangle.h"

#include <cairo.h>
#include <stdlib.h>

/* GEOS on two edges that meet, beside one edge asked for a winding number (measured: 60
 * microseconds beside 3 nanoseconds). */
#define STEPS_PER_MEETING 20000.0
/* Comparing two boxes, likewise. */
#define STEPS_PER_COMPARISON 1.0
/* Comparisons of edges, about half a second. */
#define COMPARISONS_MAX 1e8
/* Of the drawing, each way. */
#define DOTS_MAX   1024
#define DOTS_LEAST 128
/* Edges times rows of dots: about a second of drawing. */
#define DRAWING_WORK_MAX 1e7

typedef struct {
    TapulVec2 a, b;
    TapulBox box;
} Edge;

static int by_left(gconstpointer a, gconstpointer b) {
    double x = ((const Edge *)a)->box.min.x, y = ((const Edge *)b)->box.min.x;
    return (x > y) - (x < y);
}

/* All edges, from left to right. */
static GArray *sorted_edges(const GPtrArray *rings) {
    GArray *edges = g_array_new(FALSE, FALSE, sizeof(Edge));
    for (guint i = 0; i < rings->len; i++) {
        const GArray *ring = g_ptr_array_index(rings, i);
        /* A ring of two corners is one line, there and back. */
        for (guint k = 0; k < (ring->len == 2 ? 1 : ring->len); k++) {
            Edge edge = {g_array_index(ring, TapulVec2, k),
                         g_array_index(ring, TapulVec2, (k + 1) % ring->len),
                         tapul_box_empty()};
            tapul_box_add(&edge.box, edge.a);
            tapul_box_add(&edge.box, edge.b);
            g_array_append_val(edges, edge);
        }
    }
    g_array_sort(edges, by_left);
    return edges;
}

static gboolean level_with(const Edge *one, const Edge *other) {
    return other->box.min.y <= one->box.max.y && other->box.max.y >= one->box.min.y;
}

static double side(const Edge *edge, TapulVec2 point) {
    return tapul_vec2_cross(tapul_vec2_sub(edge->b, edge->a), tapul_vec2_sub(point, edge->a));
}

static gboolean cross(const Edge *one, const Edge *other) {
    return level_with(one, other) && side(one, other->a) * side(one, other->b) < 0 &&
           side(other, one->a) * side(other, one->b) < 0;
}

double tapul_rings_crossings(const GPtrArray *rings, double enough) {
    g_autoptr(GArray) sorted = sorted_edges(rings);
    const Edge *edges = (const Edge *)(const void *)sorted->data;
    double crossings = 0, comparisons = 0;
    for (guint i = 0; i < sorted->len && comparisons < COMPARISONS_MAX; i++) {
        for (guint k = i + 1; k < sorted->len && edges[k].box.min.x <= edges[i].box.max.x;
             k++) {
            crossings += cross(&edges[i], &edges[k]);
            comparisons++;
        }
        if (crossings > enough)
            return INFINITY;
    }
    return crossings;
}

double tapul_rings_work(const GPtrArray *rings, double enough) {
    g_autoptr(GArray) sorted = sorted_edges(rings);
    const Edge *edges = (const Edge *)(const void *)sorted->data;
    double faces = rings->len, work = faces * sorted->len;
    /* Each edge meets the next, which makes no face. */
    double meetings = -(double)sorted->len;
    for (guint i = 0; i < sorted->len; i++) {
        for (guint k = i + 1; k < sorted->len && edges[k].box.min.x <= edges[i].box.max.x;
             k++) {
            meetings += level_with(&edges[i], &edges[k]);
            work += STEPS_PER_COMPARISON;
        }
        if (work + fmax(meetings, 0) * STEPS_PER_MEETING > enough)
            return INFINITY;
    }
    return work + fmax(meetings, 0) * (STEPS_PER_MEETING + sorted->len);
}

static void draw_rings(cairo_t *cairo, const GPtrArray *rings) {
    for (guint i = 0; i < rings->len; i++) {
        const GArray *ring = g_ptr_array_index(rings, i);
        for (guint k = 0; k < ring->len; k++) {
            TapulVec2 point = g_array_index(ring, TapulVec2, k);
            cairo_line_to(cairo, point.x, point.y);
        }
        cairo_close_path(cairo);
        cairo_new_sub_path(cairo);
    }
}

/* The share of a drawing's dots that are covered. */
static double covered_share(cairo_surface_t *surface, int dots) {
    cairo_surface_flush(surface);
    const unsigned char *data = cairo_image_surface_get_data(surface);
    int stride = cairo_image_surface_get_stride(surface);
    double sum = 0;
    for (int row = 0; data && row < dots; row++)
        for (int column = 0; column < dots; column++)
            sum += data[row * stride + column];
    return sum / 255 / dots / dots;
}

double tapul_rings_coverage_mm2(const GPtrArray *rings, gboolean even_odd) {
    TapulBox box = tapul_box_empty();
    guint edges = 1;
    for (guint i = 0; i < rings->len; i++) {
        const GArray *ring = g_ptr_array_index(rings, i);
        for (guint k = 0; k < ring->len; k++)
            tapul_box_add(&box, g_array_index(ring, TapulVec2, k));
        edges += ring->len;
    }
    double width = box.max.x - box.min.x, height = box.max.y - box.min.y;
    if (!(width > 0) || !(height > 0))
        return 0;
    int dots = (int)CLAMP(DRAWING_WORK_MAX / edges, DOTS_LEAST, DOTS_MAX);
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_A8, dots, dots);
    cairo_t *cairo = cairo_create(surface);
    cairo_set_fill_rule(cairo, even_odd ? CAIRO_FILL_RULE_EVEN_ODD : CAIRO_FILL_RULE_WINDING);
    cairo_scale(cairo, dots / width, dots / height);
    cairo_translate(cairo, -box.min.x, -box.min.y);
    draw_rings(cairo, rings);
    cairo_fill(cairo);
    cairo_destroy(cairo);
    double share = covered_share(surface, dots);
    cairo_surface_destroy(surface);
    return share * width * height;
}
