/* A line through given points of the plate, as a border follows it: drawn in the development,
 * straight between the points with its corners rounded by arcs, or as a cubic spline. */
#include "laying/run_base.h"

#include <gsl/gsl_spline.h>

/* Points of the line are taken this far apart: further than the jumps that the development's
 * triangles make in a line are long, and near enough for a smooth line between. */
#define SPACING_MM 5.0
/* ... and in arcs at least this often. */
#define ARC_STEP_RAD 0.15
/* Points nearer than this are one point. */
#define APART_MM 0.5
/* The arcs' radius is this much larger than the border asks. */
#define RADIUS_MARGIN 1.15
/* A corner of less than this is none. */
#define STRAIGHT_RAD 0.01

static void add_point(GArray *line, TapulVec2 p) {
    g_array_append_val(line, p);
}

/* All but the end of a straight stretch. */
static void add_straight(GArray *line, TapulVec2 from, TapulVec2 to) {
    int n = MAX(1, (int)ceil(tapul_vec2_distance(from, to) / SPACING_MM));
    for (int i = 0; i < n; i++)
        add_point(line, tapul_vec2_mix(from, to, (double)i / n));
}

/* Goes on from *from, which lies between a and b, round the corner b towards c; the arc takes
 * no more than half of either side. *from is then where the arc ends. */
static void add_corner(GArray *line, TapulVec2 *from, TapulVec2 a, TapulVec2 b, TapulVec2 c,
                       double radius_mm) {
    TapulVec2 in = tapul_vec2_sub(b, a), out = tapul_vec2_sub(c, b);
    double in_mm = tapul_vec2_length(in), out_mm = tapul_vec2_length(out);
    double turn_rad = atan2(tapul_vec2_cross(in, out), tapul_vec2_dot(in, out));
    double half_tangent = tan(fabs(turn_rad) / 2);
    if (fabs(turn_rad) < STRAIGHT_RAD) {
        add_straight(line, *from, b);
        *from = b;
        return;
    }
    double cut_mm = fmin(radius_mm * half_tangent, fmin(in_mm, out_mm) / 2);
    double arc_mm = cut_mm / half_tangent;
    TapulVec2 start = tapul_vec2_mix(b, a, cut_mm / in_mm);
    TapulVec2 inward =
        tapul_vec2_turn(tapul_vec2_scale(in, 1 / in_mm), turn_rad > 0 ? G_PI / 2 : -G_PI / 2);
    TapulVec2 centre = tapul_vec2_add(start, tapul_vec2_scale(inward, arc_mm));
    TapulVec2 spoke = tapul_vec2_sub(start, centre);
    add_straight(line, *from, start);
    int n = MAX((int)ceil(fabs(turn_rad) / ARC_STEP_RAD),
                (int)ceil(fabs(turn_rad) * arc_mm / SPACING_MM));
    for (int i = 0; i < n; i++)
        add_point(line, tapul_vec2_add(centre, tapul_vec2_turn(spoke, turn_rad * i / n)));
    *from = tapul_vec2_mix(b, c, cut_mm / out_mm);
}

static GArray *straight_line(int n, const TapulVec2 *points, double radius_mm) {
    GArray *line = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    TapulVec2 from = points[0];
    for (int i = 1; i + 1 < n; i++)
        add_corner(line, &from, points[i - 1], points[i], points[i + 1], radius_mm);
    add_straight(line, from, points[n - 1]);
    add_point(line, points[n - 1]);
    return line;
}

/* A natural cubic spline over the length of the chords. */
static GArray *smooth_line(int n, const TapulVec2 *points) {
    g_autofree double *at = g_new0(double, (guint)n), *x = g_new(double, (guint)n),
                      *y = g_new(double, (guint)n);
    for (int i = 0; i < n; i++) {
        at[i] = i > 0 ? at[i - 1] + tapul_vec2_distance(points[i - 1], points[i]) : 0;
        x[i] = points[i].x;
        y[i] = points[i].y;
    }
    gsl_spline *by_x = gsl_spline_alloc(gsl_interp_cspline, (size_t)n);
    gsl_spline *by_y = gsl_spline_alloc(gsl_interp_cspline, (size_t)n);
    gsl_spline_init(by_x, at, x, (size_t)n);
    gsl_spline_init(by_y, at, y, (size_t)n);
    GArray *line = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    int steps = MAX(1, (int)ceil(at[n - 1] / SPACING_MM));
    for (int i = 0; i <= steps; i++) {
        double t = at[n - 1] * i / steps;
        add_point(line,
                  tapul_vec2(gsl_spline_eval(by_x, t, NULL), gsl_spline_eval(by_y, t, NULL)));
    }
    gsl_spline_free(by_x);
    gsl_spline_free(by_y);
    return line;
}

/* The ends are the points given: on the plate's edge they might be found to lie off it. */
static GArray *to_metal(const TapulGround *ground, const GArray *line, TapulSpot first,
                        TapulSpot last, GError **error) {
    g_autoptr(GArray) bases = g_array_new(FALSE, TRUE, sizeof(TapulRunBase));
    for (guint i = 0; i < line->len; i++) {
        TapulVec2 p = g_array_index(line, TapulVec2, i);
        TapulRunBase base = {i == 0 ? first : last, FALSE};
        if (i > 0 && i + 1 < line->len &&
            !tapul_development_finder_spot(ground->finder, p, &base.spot)) {
            g_set_error(
                error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_OFF_PLATE,
                "the border's line leaves the plate at %.1f, %.1f mm of the development: "
                "expected points that can be joined over the metal",
                p.x, p.y);
            return NULL;
        }
        g_array_append_val(bases, base);
    }
    return g_steal_pointer(&bases);
}

GArray *tapul_run_given(const TapulGround *ground, int n_points, const TapulSpot *points,
                        gboolean smooth, double reach_mm, GError **error) {
    const TapulDevelopment *development = ground->development;
    g_autofree TapulVec2 *flat = g_new(TapulVec2, (guint)n_points);
    for (int i = 0; i < n_points; i++) {
        flat[i] = tapul_development_point_mm(development, points[i]);
        if (i == 0 || tapul_vec2_distance(flat[i - 1], flat[i]) >= APART_MM)
            continue;
        g_set_error(
            error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_VALUE,
            "points %d and %d of the border's line are %.3f mm apart: expected %g mm or "
            "more",
            i, i + 1, tapul_vec2_distance(flat[i - 1], flat[i]), APART_MM);
        return NULL;
    }
    double larger = RADIUS_MARGIN * fmax(1, development->stretch.p999);
    g_autoptr(GArray) line = smooth && n_points > 2
                                 ? smooth_line(n_points, flat)
                                 : straight_line(n_points, flat, reach_mm * larger);
    return to_metal(ground, line, points[0], points[n_points - 1], error);
}
