/* Curves: the pool, placing, and the measuring of sampled curves.
 * The pool owns every curve of a print, so drawing code never frees one. */
#include "curve.h"

#include <math.h>

static GPtrArray *pool;

static void curve_free(gpointer data) {
    Curve *curve = data;
    g_array_free(curve->points, TRUE);
    g_free(curve);
}

Point point_add(Point a, Point b) {
    return (Point){a.x + b.x, a.y + b.y};
}

Point point_subtract(Point a, Point b) {
    return (Point){a.x - b.x, a.y - b.y};
}

Point point_scale(Point a, double factor) {
    return (Point){a.x * factor, a.y * factor};
}

Point point_mix(Point a, Point b, double share) {
    return (Point){a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share};
}

double point_length(Point a) {
    return sqrt(a.x * a.x + a.y * a.y);
}

double point_distance(Point a, Point b) {
    return point_length(point_subtract(a, b));
}

Point point_unit(Point a) {
    double length = point_length(a);
    return length < 1e-12 ? (Point){1, 0} : (Point){a.x / length, a.y / length};
}

double point_dot(Point a, Point b) {
    return a.x * b.x + a.y * b.y;
}

Frame frame_identity(void) {
    return (Frame){{0, 0}, 1, 1, 0};
}

Frame frame_at(double x, double y, double scale, double degrees) {
    return (Frame){{x, y}, scale, scale, degrees * G_PI / 180};
}

Frame frame_mirrored(double x, double y, double scale, double degrees) {
    return (Frame){{x, y}, -scale, scale, degrees * G_PI / 180};
}

Point frame_apply(Frame frame, Point point) {
    double x = point.x * frame.scale_x, y = point.y * frame.scale_y;
    double cosine = cos(frame.angle), sine = sin(frame.angle);
    return (Point){frame.origin.x + x * cosine - y * sine,
                   frame.origin.y + x * sine + y * cosine};
}

Curve *curve_new(bool closed) {
    Curve *curve = g_new0(Curve, 1);
    curve->points = g_array_new(FALSE, FALSE, sizeof(Point));
    curve->closed = closed;
    if (pool == NULL)
        pool = g_ptr_array_new_with_free_func(curve_free);
    g_ptr_array_add(pool, curve);
    return curve;
}

void curve_pool_empty(void) {
    if (pool != NULL)
        g_ptr_array_free(pool, TRUE);
    pool = NULL;
}

void curve_append(Curve *curve, Point point) {
    g_array_append_val(curve->points, point);
}

Point curve_point(const Curve *curve, guint index) {
    return g_array_index(curve->points, Point, index);
}

guint curve_count(const Curve *curve) {
    return curve->points->len;
}

Curve *curve_copy(const Curve *curve) {
    return curve_moved(curve, (Point){0, 0});
}

Curve *curve_moved(const Curve *curve, Point by) {
    Curve *moved = curve_new(curve->closed);
    for (guint i = 0; i < curve_count(curve); i++)
        curve_append(moved, point_add(curve_point(curve, i), by));
    return moved;
}

Curve *curve_reversed(const Curve *curve) {
    Curve *reversed = curve_new(curve->closed);
    for (guint i = curve_count(curve); i > 0; i--)
        curve_append(reversed, curve_point(curve, i - 1));
    return reversed;
}

Curve *curve_drifted(const Hand *hand, const Curve *curve, double wavelength, double amplitude,
                     uint64_t layer) {
    Curve *drifted = curve_new(curve->closed);
    for (guint i = 0; i < curve_count(curve); i++)
        curve_append(drifted,
                     hand_drift(hand, curve_point(curve, i), wavelength, amplitude, layer));
    return drifted;
}

Curve *curve_joined(const Curve *a, const Curve *b, bool closed) {
    Curve *joined = curve_new(closed);
    for (guint i = 0; i < curve_count(a); i++)
        curve_append(joined, curve_point(a, i));
    for (guint i = 0; i < curve_count(b); i++)
        curve_append(joined, curve_point(b, i));
    return joined;
}

double curve_length(const Curve *curve) {
    double length = 0;
    guint count = curve_count(curve);
    for (guint i = 1; i < count; i++)
        length += point_distance(curve_point(curve, i - 1), curve_point(curve, i));
    if (curve->closed && count > 1)
        length += point_distance(curve_point(curve, count - 1), curve_point(curve, 0));
    return length;
}

/* Finds the segment that holds a share of the length, and how far along that segment. */
static guint locate(const Curve *curve, double share, double *within) {
    double target = CLAMP(share, 0, 1) * curve_length(curve);
    guint count = curve_count(curve);
    guint segments = curve->closed ? count : count - 1;
    for (guint i = 0; i < segments; i++) {
        double step =
            point_distance(curve_point(curve, i), curve_point(curve, (i + 1) % count));
        if (target <= step && step > 0) {
            *within = target / step;
            return i;
        }
        target -= step;
    }
    *within = 1;
    return segments > 0 ? segments - 1 : 0;
}

Point curve_at(const Curve *curve, double share) {
    guint count = curve_count(curve);
    if (count < 2)
        return curve_point(curve, 0);
    double within;
    guint index = locate(curve, share, &within);
    return point_mix(curve_point(curve, index), curve_point(curve, (index + 1) % count),
                     within);
}

Point curve_direction(const Curve *curve, double share) {
    guint count = curve_count(curve);
    double within;
    guint index = locate(curve, share, &within);
    Point from = curve_tangent_at_index(curve, index);
    Point to = curve_tangent_at_index(curve, (index + 1) % count);
    return point_unit(point_mix(from, to, within));
}

Point curve_tangent_at_index(const Curve *curve, guint index) {
    guint count = curve_count(curve);
    guint before = index > 0 ? index - 1 : (curve->closed ? count - 1 : 0);
    guint after = index + 1 < count ? index + 1 : (curve->closed ? 0 : count - 1);
    return point_unit(point_subtract(curve_point(curve, after), curve_point(curve, before)));
}

double curve_signed_area(const Curve *curve) {
    double sum = 0;
    guint count = curve_count(curve);
    for (guint i = 0; i < count; i++) {
        Point a = curve_point(curve, i), b = curve_point(curve, (i + 1) % count);
        sum += a.x * b.y - b.x * a.y;
    }
    return sum / 2;
}

Curve *curve_part(const Curve *curve, double from, double to) {
    Curve *part = curve_new(false);
    double length = curve_length(curve), travelled = 0;
    curve_append(part, curve_at(curve, from));
    for (guint i = 0; i < curve_count(curve); i++) {
        if (i > 0)
            travelled += point_distance(curve_point(curve, i - 1), curve_point(curve, i));
        if (travelled > from * length + 1e-6 && travelled < to * length - 1e-6)
            curve_append(part, curve_point(curve, i));
    }
    curve_append(part, curve_at(curve, to));
    return part;
}

Curve *curve_offset(const Curve *curve, double distance) {
    Curve *offset = curve_new(curve->closed);
    for (guint i = 0; i < curve_count(curve); i++) {
        Point tangent = curve_tangent_at_index(curve, i);
        Point normal = {tangent.y, -tangent.x};
        curve_append(offset, point_add(curve_point(curve, i), point_scale(normal, distance)));
    }
    return offset;
}
