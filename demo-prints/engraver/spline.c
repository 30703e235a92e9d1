/* Splines: reading hand-placed points and running a centripetal spline through them, with
 * corners where the drawing wants them; also ovals, spirals, profiles and thinning out. */
#include <math.h>
#include <stdlib.h>

#include "curve.h"

#define SAMPLE_STEP 0.13

static void skip_separators(const char **cursor) {
    while (**cursor == ' ' || **cursor == ',' || **cursor == '\n')
        (*cursor)++;
}

static void read_points(Frame frame, const char *text, GArray *points, GArray *corners) {
    const char *cursor = text;
    skip_separators(&cursor);
    while (*cursor != '\0') {
        char *end;
        Point local;
        local.x = strtod(cursor, &end);
        local.y = strtod(end, &end);
        g_assert(end != cursor);
        cursor = end;
        while (*cursor == ' ')
            cursor++;
        gboolean corner = *cursor == '/';
        if (corner)
            cursor++;
        Point placed = frame_apply(frame, local);
        g_array_append_val(points, placed);
        g_array_append_val(corners, corner);
        skip_separators(&cursor);
    }
}

/* Centripetal parametrisation keeps the spline from overshooting where points crowd. */
static void sample_span(Curve *curve, Point before, Point from, Point to, Point after) {
    double first = sqrt(point_distance(before, from));
    double middle = sqrt(point_distance(from, to));
    double last = sqrt(point_distance(to, after));
    if (middle < 1e-9)
        return;
    first = first < 1e-6 ? middle : first;
    last = last < 1e-6 ? middle : last;
    double reach = middle * middle;
    Point start_slope, end_slope;
    start_slope.x = middle * ((from.x - before.x) / first -
                              (to.x - before.x) / (first + middle) + (to.x - from.x) / middle);
    start_slope.y = middle * ((from.y - before.y) / first -
                              (to.y - before.y) / (first + middle) + (to.y - from.y) / middle);
    end_slope.x = middle * ((to.x - from.x) / middle - (after.x - from.x) / (middle + last) +
                            (after.x - to.x) / last);
    end_slope.y = middle * ((to.y - from.y) / middle - (after.y - from.y) / (middle + last) +
                            (after.y - to.y) / last);
    guint steps = (guint)MAX(2.0, ceil(reach / SAMPLE_STEP));
    for (guint i = 0; i < steps; i++) {
        double t = (double)i / steps, t2 = t * t, t3 = t2 * t;
        double a = 2 * t3 - 3 * t2 + 1, b = t3 - 2 * t2 + t, c = 3 * t2 - 2 * t3, d = t3 - t2;
        Point at = {a * from.x + b * start_slope.x + c * to.x + d * end_slope.x,
                    a * from.y + b * start_slope.y + c * to.y + d * end_slope.y};
        curve_append(curve, at);
    }
}

static Point neighbour(const GArray *points, const GArray *corners, guint index, int side,
                       bool closed) {
    guint count = points->len;
    Point here = g_array_index(points, Point, index);
    if (g_array_index(corners, gboolean, index))
        return here;
    if (!closed && ((index == 0 && side < 0) || (index == count - 1 && side > 0)))
        return here;
    guint other = side < 0 ? (index + count - 1) % count : (index + 1) % count;
    return g_array_index(points, Point, other);
}

static Curve *spline(const GArray *points, const GArray *corners, bool closed) {
    Curve *curve = curve_new(closed);
    guint count = points->len;
    guint spans = closed ? count : count - 1;
    for (guint i = 0; i < spans; i++) {
        guint next = (i + 1) % count;
        sample_span(curve, neighbour(points, corners, i, -1, closed),
                    g_array_index(points, Point, i), g_array_index(points, Point, next),
                    neighbour(points, corners, next, 1, closed));
    }
    if (!closed)
        curve_append(curve, g_array_index(points, Point, count - 1));
    return curve;
}

static Curve *curve_from_text(Frame frame, const char *text, bool closed) {
    GArray *points = g_array_new(FALSE, FALSE, sizeof(Point));
    GArray *corners = g_array_new(FALSE, FALSE, sizeof(gboolean));
    read_points(frame, text, points, corners);
    Curve *curve = spline(points, corners, closed);
    g_array_free(points, TRUE);
    g_array_free(corners, TRUE);
    return curve;
}

Curve *curve_open(Frame frame, const char *text) {
    return curve_from_text(frame, text, false);
}

Curve *curve_closed(Frame frame, const char *text) {
    return curve_from_text(frame, text, true);
}

Curve *curve_through(const Point *points, guint count, bool closed) {
    GArray *copies = g_array_new(FALSE, FALSE, sizeof(Point));
    GArray *corners = g_array_new(FALSE, TRUE, sizeof(gboolean));
    g_array_append_vals(copies, points, count);
    g_array_set_size(corners, count);
    Curve *curve = spline(copies, corners, closed);
    g_array_free(copies, TRUE);
    g_array_free(corners, TRUE);
    return curve;
}

Curve *curve_oval(const Hand *hand, Point centre, double radius_x, double radius_y,
                  double degrees, double unsteadiness) {
    Curve *curve = curve_new(true);
    double turn = degrees * G_PI / 180;
    Point place = hand_place(hand, centre);
    guint count = (guint)MAX(16.0, 2 * G_PI * MAX(radius_x, radius_y) / SAMPLE_STEP);
    for (guint i = 0; i < count; i++) {
        double angle = 2 * G_PI * i / count;
        double swell = 1 + unsteadiness * hand_noise(hand, place.x + cos(angle) * 1.3,
                                                     place.y + sin(angle) * 1.3, 3);
        double x = radius_x * cos(angle) * swell, y = radius_y * sin(angle) * swell;
        curve_append(curve, (Point){centre.x + x * cos(turn) - y * sin(turn),
                                    centre.y + x * sin(turn) + y * cos(turn)});
    }
    return curve;
}

Curve *curve_spiral(Point centre, double radius, double inner_radius, double start_degrees,
                    double turns) {
    Curve *curve = curve_new(false);
    double sweep = turns * 2 * G_PI;
    guint count = (guint)MAX(12.0, fabs(sweep) * (radius + inner_radius) / 2 / SAMPLE_STEP);
    for (guint i = 0; i <= count; i++) {
        double share = (double)i / count;
        double angle = start_degrees * G_PI / 180 + sweep * share;
        double reach = radius * pow(inner_radius / radius, share);
        curve_append(curve,
                     (Point){centre.x + reach * cos(angle), centre.y + reach * sin(angle)});
    }
    return curve;
}

static double distance_to_segment(Point point, Point from, Point to) {
    Point along = point_subtract(to, from);
    double squared = point_dot(along, along);
    double share = squared > 0 ? point_dot(point_subtract(point, from), along) / squared : 0;
    return point_distance(point, point_mix(from, to, CLAMP(share, 0, 1)));
}

static void keep_far_points(const Curve *curve, guint first, guint last, double tolerance,
                            gboolean *keep) {
    double farthest = 0;
    guint index = first;
    for (guint i = first + 1; i < last; i++) {
        double distance = distance_to_segment(curve_point(curve, i), curve_point(curve, first),
                                              curve_point(curve, last));
        if (distance > farthest) {
            farthest = distance;
            index = i;
        }
    }
    if (farthest <= tolerance)
        return;
    keep[index] = TRUE;
    keep_far_points(curve, first, index, tolerance, keep);
    keep_far_points(curve, index, last, tolerance, keep);
}

Curve *curve_simplified(const Curve *curve, double tolerance) {
    guint count = curve_count(curve);
    Curve *simple = curve_new(curve->closed);
    if (count < 4)
        return curve_copy(curve);
    gboolean *keep = g_new0(gboolean, count);
    guint middle = count / 2;
    keep[0] = keep[middle] = keep[count - 1] = TRUE;
    keep_far_points(curve, 0, middle, tolerance, keep);
    keep_far_points(curve, middle, count - 1, tolerance, keep);
    for (guint i = 0; i < count; i++)
        if (keep[i])
            curve_append(simple, curve_point(curve, i));
    g_free(keep);
    return simple;
}

double profile_value(const char *text, double share) {
    const char *cursor = text;
    double last_share = 0, last_value = 0;
    bool started = false;
    while (*cursor != '\0') {
        char *end;
        double here = strtod(cursor, &end);
        double value = strtod(end, &end);
        cursor = end;
        skip_separators(&cursor);
        if (started && share <= here) {
            double t = here > last_share ? (share - last_share) / (here - last_share) : 1;
            t = t * t * (3 - 2 * t);
            return last_value + (value - last_value) * t;
        }
        if (!started && share <= here)
            return value;
        started = true;
        last_share = here;
        last_value = value;
    }
    return last_value;
}
