/* Edge index: edges sorted into level rows for inside tests and into square cells for
 * nearest-edge searches. */
#include "edge_index.h"

#include <math.h>

#define CELL 0.7

typedef struct Edge {
    Point from;
    Point to;
} Edge;

struct EdgeIndex {
    double left, top;
    int columns, rows;
    GArray **cells; /* of Edge */
    GArray **levels;
};

static void put(GArray **slot, Edge edge) {
    if (*slot == NULL)
        *slot = g_array_new(FALSE, FALSE, sizeof(Edge));
    g_array_append_val(*slot, edge);
}

static int cell_of(double value, double origin, int limit) {
    return (int)CLAMP(floor((value - origin) / CELL), 0, limit - 1);
}

static void put_edge(EdgeIndex *index, Edge edge) {
    int first_row = cell_of(MIN(edge.from.y, edge.to.y), index->top, index->rows);
    int last_row = cell_of(MAX(edge.from.y, edge.to.y), index->top, index->rows);
    int first = cell_of(MIN(edge.from.x, edge.to.x), index->left, index->columns);
    int last = cell_of(MAX(edge.from.x, edge.to.x), index->left, index->columns);
    for (int row = first_row; row <= last_row; row++) {
        put(&index->levels[row], edge);
        for (int column = first; column <= last; column++)
            put(&index->cells[row * index->columns + column], edge);
    }
}

/* Long edges are cut so that each lies in few cells. */
static void put_cut_edge(EdgeIndex *index, Point from, Point to) {
    int parts = (int)ceil(fmax(1, point_distance(from, to) / (2 * CELL)));
    for (int i = 0; i < parts; i++) {
        Point start = i == 0 ? from : point_mix(from, to, (double)i / parts);
        Point end = i + 1 == parts ? to : point_mix(from, to, (i + 1.0) / parts);
        put_edge(index, (Edge){start, end});
    }
}

EdgeIndex *edge_index_new(const Shape *shape) {
    EdgeIndex *index = g_new0(EdgeIndex, 1);
    index->left = shape->left;
    index->top = shape->top;
    index->columns = (int)floor((shape->right - shape->left) / CELL) + 1;
    index->rows = (int)floor((shape->bottom - shape->top) / CELL) + 1;
    index->cells = g_new0(GArray *, (gsize)(index->columns * index->rows));
    index->levels = g_new0(GArray *, (gsize)index->rows);
    for (guint ring = 0; ring < shape->rings->len; ring++) {
        const Curve *curve = g_ptr_array_index(shape->rings, ring);
        guint count = curve_count(curve);
        for (guint i = 0; i < count; i++)
            put_cut_edge(index, curve_point(curve, i), curve_point(curve, (i + 1) % count));
    }
    return index;
}

void edge_index_free(EdgeIndex *index) {
    for (int i = 0; i < index->columns * index->rows; i++)
        if (index->cells[i] != NULL)
            g_array_free(index->cells[i], TRUE);
    for (int i = 0; i < index->rows; i++)
        if (index->levels[i] != NULL)
            g_array_free(index->levels[i], TRUE);
    g_free(index->cells);
    g_free(index->levels);
    g_free(index);
}

bool edge_index_holds(const EdgeIndex *index, Point point) {
    int row = (int)floor((point.y - index->top) / CELL);
    if (row < 0 || row >= index->rows || index->levels[row] == NULL)
        return false;
    bool inside = false;
    const GArray *edges = index->levels[row];
    for (guint i = 0; i < edges->len; i++) {
        Point a = g_array_index(edges, Edge, i).to, b = g_array_index(edges, Edge, i).from;
        if ((a.y > point.y) != (b.y > point.y) &&
            point.x < (b.x - a.x) * (point.y - a.y) / (b.y - a.y) + a.x)
            inside = !inside;
    }
    return inside;
}

static void nearest_in_cell(const GArray *edges, Point point, double *best, Point *nearest) {
    for (guint i = 0; i < edges->len; i++) {
        const Edge *edge = &g_array_index(edges, Edge, i);
        Point along = point_subtract(edge->to, edge->from);
        double squared = point_dot(along, along);
        double share =
            squared > 0 ? point_dot(point_subtract(point, edge->from), along) / squared : 0;
        Point at = point_add(edge->from, point_scale(along, CLAMP(share, 0, 1)));
        Point away = point_subtract(point, at);
        double distance = point_dot(away, away);
        if (distance < *best) {
            *best = distance;
            *nearest = at;
        }
    }
}

/* Rings of cells are searched outward, and no farther than the best edge found so far. */
double edge_index_within(const EdgeIndex *index, Point point, double limit, Point *nearest) {
    double best = limit * limit;
    int column = (int)floor((point.x - index->left) / CELL);
    int row = (int)floor((point.y - index->top) / CELL);
    for (int reach = 0; (reach - 1) * CELL < limit; reach++) {
        if (reach > 1 && best < (reach - 1) * (reach - 1) * CELL * CELL)
            break;
        for (int r = MAX(row - reach, 0); r <= MIN(row + reach, index->rows - 1); r++) {
            bool rim = r == row - reach || r == row + reach;
            for (int c = column - reach; c <= column + reach;
                 c += rim ? 1 : MAX(1, 2 * reach)) {
                if (c < 0 || c >= index->columns)
                    continue;
                const GArray *edges = index->cells[r * index->columns + c];
                if (edges != NULL)
                    nearest_in_cell(edges, point, &best, nearest);
            }
        }
    }
    return best < limit * limit ? sqrt(best) : HUGE_VAL;
}
