/* Step 8 from grey to lines: least-squares cubics (P. Schneider, An algorithm for automatically
 * fitting digitized curves, Graphics Gems, 1990): one curve for all points, better parameters a
 * few times, and where that does not do, two curves with one tangent at the worst point. */
#include "ink/lines_fit.h"

/* Rounds of new parameters; more hardly change a curve. */
#define ROUNDS 4
/* Hopeless curves are parted at once: rounds seldom gain more than this factor of the error. */
#define HOPEFUL 4
/* Points on each side of a place that its tangent is taken from: measured middles are a tenth
 * of a pixel off. */
#define TANGENT_POINTS 4

static TapulVec2 unit(TapulVec2 a) {
    double length = tapul_vec2_length(a);
    return length > 0 ? tapul_vec2_scale(a, 1 / length) : a;
}

static void chord_parameters(const TapulVec2 *at, int n, double *t) {
    t[0] = 0;
    for (int i = 1; i < n; i++)
        t[i] = t[i - 1] + tapul_vec2_distance(at[i - 1], at[i]);
    double length = t[n - 1];
    for (int i = 1; i < n; i++)
        t[i] = length > 0 ? t[i] / length : (double)i / (n - 1);
}

/* The sums of the least-squares problem for v1 = p[1] - p[0] and v2 = p[2] - p[3]. */
typedef struct {
    double c11, c12, c22;
    TapulVec2 r1, r2;
} Sums;

static Sums sum_up(const TapulVec2 *at, int n, const double *t) {
    Sums sums = {0};
    for (int i = 0; i < n; i++) {
        double u = 1 - t[i], b1 = 3 * t[i] * u * u, b2 = 3 * t[i] * t[i] * u;
        double b01 = u * u * u + b1, b23 = t[i] * t[i] * t[i] + b2;
        TapulVec2 rest = {at[i].x - b01 * at[0].x - b23 * at[n - 1].x,
                          at[i].y - b01 * at[0].y - b23 * at[n - 1].y};
        sums.c11 += b1 * b1;
        sums.c12 += b1 * b2;
        sums.c22 += b2 * b2;
        sums.r1 = tapul_vec2_add(sums.r1, tapul_vec2_scale(rest, b1));
        sums.r2 = tapul_vec2_add(sums.r2, tapul_vec2_scale(rest, b2));
    }
    return sums;
}

/* a - k b */
static TapulVec2 less(TapulVec2 a, TapulVec2 b, double k) {
    return tapul_vec2(a.x - k * b.x, a.y - k * b.y);
}

/* v1 along a tangent, v2 free. */
static void solve_half_free(const Sums *s, TapulVec2 tangent, TapulVec2 *v1, TapulVec2 *v2) {
    double k = s->c12 / s->c22;
    *v1 = tapul_vec2_scale(tangent, tapul_vec2_dot(tangent, less(s->r1, s->r2, k)) /
                                        (s->c11 - k * s->c12));
    *v2 = tapul_vec2_scale(less(s->r2, *v1, s->c12), 1 / s->c22);
}

/* The controls by least squares, along the tangents given; an end without one (0, 0) takes what
 * fits best. */
static void solve_curve(const TapulVec2 *at, int n, const double *t, TapulVec2 from,
                        TapulVec2 to, TapulVec2 p[4]) {
    Sums s = sum_up(at, n, t);
    Sums turned = {s.c22, s.c12, s.c11, s.r2, s.r1};
    gboolean from_free = tapul_vec2_length(from) == 0, to_free = tapul_vec2_length(to) == 0;
    TapulVec2 v1, v2;
    double det = s.c11 * s.c22 - s.c12 * s.c12;
    if (from_free && to_free) {
        v1 = tapul_vec2_scale(less(tapul_vec2_scale(s.r1, s.c22), s.r2, s.c12), 1 / det);
        v2 = tapul_vec2_scale(less(tapul_vec2_scale(s.r2, s.c11), s.r1, s.c12), 1 / det);
    } else if (to_free) {
        solve_half_free(&s, from, &v1, &v2);
    } else if (from_free) {
        solve_half_free(&turned, to, &v2, &v1);
    } else {
        double c12 = s.c12 * tapul_vec2_dot(from, to), x1 = tapul_vec2_dot(from, s.r1),
               x2 = tapul_vec2_dot(to, s.r2);
        det = s.c11 * s.c22 - c12 * c12;
        v1 = tapul_vec2_scale(from, (x1 * s.c22 - x2 * c12) / det);
        v2 = tapul_vec2_scale(to, (x2 * s.c11 - x1 * c12) / det);
    }
    /* A control behind its end makes a cusp, one further off than the chord is long a loop;
     * then thirds do. */
    TapulVec2 chord = tapul_vec2_sub(at[n - 1], at[0]);
    double third = tapul_vec2_length(chord) / 3;
    gboolean sound = tapul_vec2_length(v1) < 4 * third && tapul_vec2_length(v2) < 4 * third &&
                     (from_free || tapul_vec2_dot(v1, from) > 0) &&
                     (to_free || tapul_vec2_dot(v2, to) > 0);
    if (!sound) {
        v1 = tapul_vec2_scale(from_free ? unit(chord) : from, third);
        v2 = tapul_vec2_scale(to_free ? unit(tapul_vec2_scale(chord, -1)) : to, third);
    }
    p[0] = at[0];
    p[1] = tapul_vec2_add(at[0], v1);
    p[2] = tapul_vec2_add(at[n - 1], v2);
    p[3] = at[n - 1];
}

static double worst_error(const TapulVec2 *at, int n, const double *t, const TapulVec2 p[4],
                          int *worst) {
    double most = 0;
    *worst = n / 2;
    for (int i = 1; i < n - 1; i++) {
        double error = tapul_vec2_distance(tapul_cubic_point(p, t[i]), at[i]);
        if (error > most) {
            most = error;
            *worst = i;
        }
    }
    return most;
}

/* One Newton step for each point towards its nearest place on the curve. */
static void better_parameters(const TapulVec2 *at, int n, double *t, const TapulVec2 p[4]) {
    for (int i = 1; i < n - 1; i++) {
        TapulVec2 off = tapul_vec2_sub(tapul_cubic_point(p, t[i]), at[i]);
        TapulVec2 d = tapul_cubic_derivative(p, t[i]);
        double u = 1 - t[i];
        TapulVec2 d2 = {
            6 * (u * (p[2].x - 2 * p[1].x + p[0].x) + t[i] * (p[3].x - 2 * p[2].x + p[1].x)),
            6 * (u * (p[2].y - 2 * p[1].y + p[0].y) + t[i] * (p[3].y - 2 * p[2].y + p[1].y))};
        double slope = tapul_vec2_dot(d, d) + tapul_vec2_dot(off, d2);
        if (slope > 0)
            t[i] = CLAMP(t[i] - tapul_vec2_dot(off, d) / slope, 0, 1);
    }
}

static void fit_between(TapulPath *path, const TapulVec2 *at, int n, TapulVec2 from,
                        TapulVec2 to, double tolerance, double *t) {
    int worst;
    TapulVec2 p[4];
    if (n == 2) {
        tapul_path_line(path, at[1]);
        return;
    }
    chord_parameters(at, n, t);
    for (int round = 0; round < ROUNDS; round++) {
        solve_curve(at, n, t, from, to, p);
        double error = worst_error(at, n, t, p, &worst);
        if (error <= tolerance) {
            tapul_path_curve(path, p[1], p[2], p[3]);
            return;
        }
        if (error > HOPEFUL * tolerance)
            break;
        better_parameters(at, n, t, p);
    }
    int before = MAX(worst - TANGENT_POINTS, 0), after = MIN(worst + TANGENT_POINTS, n - 1);
    TapulVec2 through = unit(tapul_vec2_sub(at[before], at[after]));
    fit_between(path, at, worst + 1, from, through, tolerance, t);
    fit_between(path, at + worst, n - worst, tapul_vec2_scale(through, -1), to, tolerance, t);
}

TapulPath *tapul_lines_fit(const TapulVec2 *at, int n, gboolean closed, double tolerance) {
    g_assert(n >= 2);
    TapulPath *path = tapul_path_new();
    double *t = g_new(double, n);
    TapulVec2 from = {0, 0};
    int reach = MIN(TANGENT_POINTS, n - 1);
    if (closed)
        from = unit(tapul_vec2_sub(at[reach], at[n - 1 - reach]));
    tapul_path_move(path, at[0]);
    fit_between(path, at, n, from, tapul_vec2_scale(from, -1), tolerance, t);
    if (closed)
        tapul_path_close(path);
    g_free(t);
    return path;
}
