/* Shapes: inside tests by crossing count over all rings, and nearest-edge searches.
 * Simplified shapes carry an index of their edges and answer much faster. */
#include "shape.h"

#include <math.h>

#include "edge_index.h"

static GPtrArray *pool;

static void shape_free(gpointer data) {
    Shape *shape = data;
    g_ptr_array_free(shape->rings, TRUE);
    if (shape->index != NULL)
        edge_index_free(shape->index);
    g_free(shape);
}

Shape *shape_new(Curve *outline) {
    Shape *shape = g_new0(Shape, 1);
    shape->rings = g_ptr_array_new();
    shape->left = shape->top = HUGE_VAL;
    shape->right = shape->bottom = -HUGE_VAL;
    for (guint i = 0; i < curve_count(outline); i++) {
        Point point = curve_point(outline, i);
        shape->left = MIN(shape->left, point.x);
        shape->right = MAX(shape->right, point.x);
        shape->top = MIN(shape->top, point.y);
        shape->bottom = MAX(shape->bottom, point.y);
    }
    g_ptr_array_add(shape->rings, outline);
    if (pool == NULL)
        pool = g_ptr_array_new_with_free_func(shape_free);
    g_ptr_array_add(pool, shape);
    return shape;
}

void shape_pool_empty(void) {
    if (pool != NULL)
        g_ptr_array_free(pool, TRUE);
    pool = NULL;
}

void shape_add_hole(Shape *shape, Curve *hole) {
    g_ptr_array_add(shape->rings, hole);
}

Curve *shape_outline(const Shape *shape) {
    return g_ptr_array_index(shape->rings, 0);
}

Shape *shape_moved(const Shape *shape, Point by) {
    Shape *moved = shape_new(curve_moved(shape_outline(shape), by));
    for (guint i = 1; i < shape->rings->len; i++)
        shape_add_hole(moved, curve_moved(g_ptr_array_index(shape->rings, i), by));
    return moved;
}

Shape *shape_simplified(const Shape *shape, double tolerance) {
    Shape *simple = shape_new(curve_simplified(shape_outline(shape), tolerance));
    for (guint i = 1; i < shape->rings->len; i++)
        shape_add_hole(simple, curve_simplified(g_ptr_array_index(shape->rings, i), tolerance));
    simple->index = edge_index_new(simple);
    return simple;
}

static bool ring_holds(const Curve *ring, Point point) {
    bool inside = false;
    guint count = curve_count(ring);
    const Point *points = (const Point *)(const void *)ring->points->data;
    for (guint i = 0, j = count - 1; i < count; j = i++) {
        Point a = points[i], b = points[j];
        if ((a.y > point.y) != (b.y > point.y) &&
            point.x < (b.x - a.x) * (point.y - a.y) / (b.y - a.y) + a.x)
            inside = !inside;
    }
    return inside;
}

static bool beyond_box(const Shape *shape, Point point, double margin) {
    return point.x < shape->left - margin || point.x > shape->right + margin ||
           point.y < shape->top - margin || point.y > shape->bottom + margin;
}

bool shape_holds(const Shape *shape, Point point) {
    if (beyond_box(shape, point, 0))
        return false;
    if (shape->index != NULL)
        return edge_index_holds(shape->index, point);
    bool inside = false;
    for (guint i = 0; i < shape->rings->len; i++)
        inside ^= ring_holds(g_ptr_array_index(shape->rings, i), point);
    return inside;
}

bool shape_holds_near(const Shape *shape, Point point, double margin) {
    if (beyond_box(shape, point, margin))
        return false;
    if (shape_holds(shape, point))
        return true;
    Point nearest;
    return margin > 0 && shape_edge_within(shape, point, margin, &nearest) < margin;
}

static double ring_distance(const Curve *ring, Point point, Point *nearest) {
    double best = HUGE_VAL;
    guint count = curve_count(ring);
    const Point *points = (const Point *)(const void *)ring->points->data;
    for (guint i = 0, j = count - 1; i < count; j = i++) {
        Point from = points[j], along = point_subtract(points[i], points[j]);
        Point offset = point_subtract(point, from);
        double squared = point_dot(along, along);
        double share = squared > 0 ? CLAMP(point_dot(offset, along) / squared, 0, 1) : 0;
        Point at = point_add(from, point_scale(along, share));
        Point away = point_subtract(point, at);
        double distance = point_dot(away, away);
        if (distance < best) {
            best = distance;
            *nearest = at;
        }
    }
    return sqrt(best);
}

double shape_edge_distance(const Shape *shape, Point point, Point *nearest) {
    double best = HUGE_VAL;
    for (guint i = 0; i < shape->rings->len; i++) {
        Point candidate = point;
        double distance = ring_distance(g_ptr_array_index(shape->rings, i), point, &candidate);
        if (distance < best) {
            best = distance;
            *nearest = candidate;
        }
    }
    return best;
}

double shape_edge_within(const Shape *shape, Point point, double limit, Point *nearest) {
    if (shape->index != NULL)
        return edge_index_within(shape->index, point, limit, nearest);
    return shape_edge_distance(shape, point, nearest);
}
