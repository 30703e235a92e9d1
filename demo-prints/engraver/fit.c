/* Fitting: least-squares cubic Béziers through sampled curves, split until they fit.
 * Spans that are straight within the tolerance become plain lines. */
#include "fit.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "curve.h"

#define LONGEST_FIT 400

static void append_number(GString *path, double value, int decimals) {
    char text[32];
    const char *format = decimals == 2 ? "%.2f" : "%.3f";
    g_ascii_formatd(text, sizeof text, format, fabs(value) < 0.0005 ? 0.0 : value);
    char *end = text + strlen(text);
    while (end[-1] == '0')
        *--end = '\0';
    if (end[-1] == '.')
        *--end = '\0';
    g_string_append(path, text);
}

void fit_append_point(GString *path, Point point, int decimals) {
    append_number(path, point.x, decimals);
    g_string_append_c(path, ' ');
    append_number(path, point.y, decimals);
}

static Point cubic_at(const Point cubic[4], double t) {
    double s = 1 - t;
    double a = s * s * s, b = 3 * s * s * t, c = 3 * s * t * t, d = t * t * t;
    return (Point){a * cubic[0].x + b * cubic[1].x + c * cubic[2].x + d * cubic[3].x,
                   a * cubic[0].y + b * cubic[1].y + c * cubic[2].y + d * cubic[3].y};
}

static void chord_shares(const Point *points, guint count, double *shares) {
    shares[0] = 0;
    for (guint i = 1; i < count; i++)
        shares[i] = shares[i - 1] + point_distance(points[i], points[i - 1]);
    double total = shares[count - 1] > 0 ? shares[count - 1] : 1;
    for (guint i = 1; i < count; i++)
        shares[i] /= total;
}

static void solve_handles(const Point *points, guint count, const double *shares,
                          Point start_direction, Point end_direction, Point cubic[4]) {
    double c00 = 0, c01 = 0, c11 = 0, x0 = 0, x1 = 0;
    Point first = points[0], last = points[count - 1];
    for (guint i = 0; i < count; i++) {
        double t = shares[i], s = 1 - t;
        double b1 = 3 * s * s * t, b2 = 3 * s * t * t;
        double near = s * s * s + b1, far = b2 + t * t * t;
        Point a0 = point_scale(start_direction, b1), a1 = point_scale(end_direction, b2);
        Point rest = {points[i].x - first.x * near - last.x * far,
                      points[i].y - first.y * near - last.y * far};
        c00 += point_dot(a0, a0);
        c01 += point_dot(a0, a1);
        c11 += point_dot(a1, a1);
        x0 += point_dot(a0, rest);
        x1 += point_dot(a1, rest);
    }
    double chord = point_distance(first, last);
    double determinant = c00 * c11 - c01 * c01;
    double reach0 = chord / 3, reach1 = chord / 3;
    if (fabs(determinant) > 1e-12) {
        reach0 = (x0 * c11 - x1 * c01) / determinant;
        reach1 = (c00 * x1 - c01 * x0) / determinant;
    }
    if (reach0 < 1e-3 * chord || reach1 < 1e-3 * chord || reach0 > 3 * chord ||
        reach1 > 3 * chord)
        reach0 = reach1 = chord / 3;
    cubic[0] = first;
    cubic[1] = point_add(first, point_scale(start_direction, reach0));
    cubic[2] = point_add(last, point_scale(end_direction, reach1));
    cubic[3] = last;
}

/* One Newton step per sample brings each share to the nearest place on the cubic. */
static void refine_shares(const Point *points, guint count, const Point cubic[4],
                          double *shares) {
    for (guint i = 1; i + 1 < count; i++) {
        double t = shares[i], s = 1 - t;
        Point at = point_subtract(cubic_at(cubic, t), points[i]);
        Point d0 = point_subtract(cubic[1], cubic[0]), d1 = point_subtract(cubic[2], cubic[1]);
        Point d2 = point_subtract(cubic[3], cubic[2]);
        Point slope = {3 * (s * s * d0.x + 2 * s * t * d1.x + t * t * d2.x),
                       3 * (s * s * d0.y + 2 * s * t * d1.y + t * t * d2.y)};
        double below = point_dot(slope, slope);
        if (below > 1e-12)
            shares[i] = CLAMP(t - point_dot(at, slope) / below, 0, 1);
    }
}

static double worst_error(const Point *points, guint count, const Point cubic[4],
                          const double *shares, guint *where) {
    double worst = 0;
    *where = count / 2;
    for (guint i = 1; i + 1 < count; i++) {
        double error = point_distance(points[i], cubic_at(cubic, shares[i]));
        if (error > worst) {
            worst = error;
            *where = i;
        }
    }
    return worst;
}

static void append_cubic(GString *path, const Point cubic[4], int decimals) {
    g_string_append_c(path, 'C');
    for (int i = 1; i < 4; i++) {
        fit_append_point(path, cubic[i], decimals);
        if (i < 3)
            g_string_append_c(path, ' ');
    }
}

static bool is_straight(const Point *points, guint count, double tolerance) {
    Point along = point_unit(point_subtract(points[count - 1], points[0]));
    for (guint i = 1; i + 1 < count; i++) {
        Point offset = point_subtract(points[i], points[0]);
        if (fabs(offset.x * along.y - offset.y * along.x) > tolerance)
            return false;
    }
    return true;
}

static Point end_direction(const Point *points, guint count, bool at_end) {
    guint reach = MIN(count - 1, 2u);
    return at_end ? point_unit(point_subtract(points[count - 1 - reach], points[count - 1]))
                  : point_unit(point_subtract(points[reach], points[0]));
}

static void fit_span(GString *path, const Point *points, guint count, Point start_direction,
                     Point finish_direction, double tolerance, int decimals) {
    if (count <= 2 || is_straight(points, count, tolerance * 0.4)) {
        g_string_append_c(path, 'L');
        fit_append_point(path, points[count - 1], decimals);
        return;
    }
    double *shares = g_new(double, count);
    Point cubic[4];
    guint where = count / 2;
    double error = tolerance * 2;
    chord_shares(points, count, shares);
    for (int round = 0; round < 4 && error > tolerance; round++) {
        solve_handles(points, count, shares, start_direction, finish_direction, cubic);
        refine_shares(points, count, cubic, shares);
        error = worst_error(points, count, cubic, shares, &where);
    }
    g_free(shares);
    if (error <= tolerance || count <= 3) {
        append_cubic(path, cubic, decimals);
        return;
    }
    Point centre = point_unit(point_subtract(points[where - 1], points[where + 1]));
    fit_span(path, points, where + 1, start_direction, centre, tolerance, decimals);
    fit_span(path, points + where, count - where, point_scale(centre, -1), finish_direction,
             tolerance, decimals);
}

void fit_append_curve(GString *path, const Point *points, guint count, double tolerance,
                      int decimals) {
    while (count > LONGEST_FIT) {
        fit_append_curve(path, points, LONGEST_FIT / 2, tolerance, decimals);
        points += LONGEST_FIT / 2 - 1;
        count -= LONGEST_FIT / 2 - 1;
    }
    if (count < 2)
        return;
    fit_span(path, points, count, end_direction(points, count, false),
             end_direction(points, count, true), tolerance, decimals);
}
