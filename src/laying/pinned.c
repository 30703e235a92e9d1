/* The pinned rule: the print is bent through pairs of points, in the developed frame, by a
 * thin-plate spline (Bookstein 1989), as smooth as the error of picking the points allows. */
#include "laying/rule.h"

/* Pins whose spread across their best line is less than this share of their spread along it lie
 * on a line. */
#define ON_A_LINE 1e-6
/* Print points nearer than this cannot be told apart by hand. */
#define TWIN_MM 0.01
/* More pairs than this are not picked by hand, and the spline's solve grows with their cube. */
#define MOST_PINS 1000
/* Newton on the spline stops when the developed point is this near; the promise is 0.005 mm. */
#define INVERSE_GOAL_MM      1e-6
#define INVERSE_TOLERANCE_MM 1e-3
#define INVERSE_MAX_STEPS    50

/* Whether the points lie on one line, by the eigenvalues of their scatter. */
static gboolean on_one_line(int n, const TapulVec2 *points) {
    TapulVec2 mean = {0, 0};
    for (int i = 0; i < n; i++)
        mean = tapul_vec2_add(mean, tapul_vec2_scale(points[i], 1.0 / n));
    double xx = 0, xy = 0, yy = 0;
    for (int i = 0; i < n; i++) {
        TapulVec2 d = tapul_vec2_sub(points[i], mean);
        xx += d.x * d.x;
        xy += d.x * d.y;
        yy += d.y * d.y;
    }
    double spread = hypot((xx - yy) / 2, xy), along = (xx + yy) / 2 + spread;
    double across = (xx + yy) / 2 - spread;
    return !(across > ON_A_LINE * ON_A_LINE * along);
}

/* Two pairs with one print point would tear the sheet there. */
static gboolean has_twins(const TapulLayingOptions *options, GError **error) {
    for (int i = 0; i < options->n_pins; i++)
        for (int j = 0; j < i; j++)
            if (tapul_vec2_distance(options->pin_print_mm[i], options->pin_print_mm[j]) <
                TWIN_MM) {
                g_set_error(
                    error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_VALUE,
                    "pairs %d and %d have the same print point, %.2f, %.2f mm: leave one out",
                    j + 1, i + 1, options->pin_print_mm[i].x, options->pin_print_mm[i].y);
                return TRUE;
            }
    return FALSE;
}

static gboolean check_pins(const TapulLayingOptions *options, GError **error) {
    int n = options->n_pins;
    if (n < 3) {
        g_set_error(error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_VALUE,
                    "%d pairs: a pinned laying needs at least 3, not on one line", n);
        return FALSE;
    }
    if (n > MOST_PINS) {
        g_set_error(error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_VALUE,
                    "%d pairs: at most %d are permitted", n, MOST_PINS);
        return FALSE;
    }
    if (!(options->pick_sd_mm >= 0) || !isfinite(options->pick_sd_mm)) {
        g_set_error(error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_VALUE,
                    "pick_sd_mm %g: expected 0 or more", options->pick_sd_mm);
        return FALSE;
    }
    for (int i = 0; i < n; i++) {
        TapulVec2 p = options->pin_print_mm[i], q = options->pin_developed_mm[i];
        if (isfinite(p.x) && isfinite(p.y) && isfinite(q.x) && isfinite(q.y))
            continue;
        g_set_error(error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_VALUE,
                    "pair %d: expected finite coordinates", i + 1);
        return FALSE;
    }
    if (on_one_line(n, options->pin_print_mm) || on_one_line(n, options->pin_developed_mm)) {
        g_set_error(
            error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_VALUE,
            "the %d pairs lie on one line: a pinned laying needs at least 3 that do not", n);
        return FALSE;
    }
    return !has_twins(options, error);
}

/* The similarity nearest to the pairs, direct or reversed as they are (Umeyama 1991, in the
 * plane). */
static void find_placement(TapulLayingOptions *options) {
    int n = options->n_pins;
    TapulVec2 from = {0, 0}, to = {0, 0};
    double xx = 0, xy = 0, yx = 0, yy = 0, spread = 0;
    for (int i = 0; i < n; i++) {
        from = tapul_vec2_add(from, tapul_vec2_scale(options->pin_print_mm[i], 1.0 / n));
        to = tapul_vec2_add(to, tapul_vec2_scale(options->pin_developed_mm[i], 1.0 / n));
    }
    for (int i = 0; i < n; i++) {
        TapulVec2 p = tapul_vec2_sub(options->pin_print_mm[i], from);
        TapulVec2 q = tapul_vec2_sub(options->pin_developed_mm[i], to);
        xx += q.x * p.x;
        xy += q.x * p.y;
        yx += q.y * p.x;
        yy += q.y * p.y;
        spread += tapul_vec2_dot(p, p);
    }
    options->reversed = xx * yy - xy * yx < 0;
    double hand = options->reversed ? -1 : 1; /* x of the print is mirrored first */
    double along = hand * xx + yy, across = hand * yx - xy;
    options->scale = hypot(along, across) / spread;
    options->turn_rad = atan2(across, along);
}

static gboolean pinned_prepare(TapulLaying *laying, GError **error) {
    TapulLayingOptions *options = &laying->options;
    if (!check_pins(options, error))
        return FALSE;
    find_placement(options);
    double smoothing = tapul_spline_smoothing(options->n_pins, options->pin_print_mm,
                                              options->pin_developed_mm, options->pick_sd_mm);
    laying->spline = tapul_spline_new(options->n_pins, options->pin_print_mm,
                                      options->pin_developed_mm, smoothing);
    if (laying->spline)
        return TRUE;
    g_set_error(error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_VALUE,
                "two of the %d pairs have the same print point: give a pick_sd_mm above 0 or "
                "leave one out",
                options->n_pins);
    return FALSE;
}

static gboolean pinned_forward(const TapulLaying *laying, TapulVec2 print_mm,
                               TapulLaidPoint *point) {
    point->developed_mm = tapul_spline_point(laying->spline, print_mm);
    return tapul_development_finder_spot(laying->ground.finder, point->developed_mm,
                                         &point->spot);
}

/* The pin whose image is nearest: where Newton starts. */
static TapulVec2 nearest_pin(const TapulSpline *spline, TapulVec2 target) {
    TapulVec2 nearest = spline->knot[0];
    double least_mm = INFINITY;
    for (int i = 0; i < spline->n; i++) {
        double apart_mm =
            tapul_vec2_distance(tapul_spline_point(spline, spline->knot[i]), target);
        if (apart_mm >= least_mm)
            continue;
        least_mm = apart_mm;
        nearest = spline->knot[i];
    }
    return nearest;
}

static gboolean pinned_inverse(const TapulLaying *laying, TapulSpot spot, TapulVec2 *print_mm) {
    const TapulSpline *spline = laying->spline;
    TapulVec2 target = tapul_development_point_mm(laying->ground.development, spot);
    TapulVec2 best = nearest_pin(spline, target), step = {0, 0}, point = best;
    double best_gap_mm = INFINITY;
    for (int i = 0; i < INVERSE_MAX_STEPS && best_gap_mm > INVERSE_GOAL_MM; i++) {
        TapulVec2 by_x, by_y;
        TapulVec2 gap =
            tapul_vec2_sub(target, tapul_spline_differential(spline, point, &by_x, &by_y));
        if (tapul_vec2_length(gap) < best_gap_mm) {
            best = point;
            best_gap_mm = tapul_vec2_length(gap);
            double determinant = tapul_vec2_cross(by_x, by_y);
            step = tapul_vec2(tapul_vec2_cross(gap, by_y) / determinant,
                              tapul_vec2_cross(by_x, gap) / determinant);
        } else {
            step = tapul_vec2_scale(step, 0.5);
        }
        point = tapul_vec2_add(best, step);
    }
    *print_mm = best;
    return best_gap_mm <= INVERSE_TOLERANCE_MM;
}

const TapulLayingMethods tapul_laying_pinned = {
    .name = "pinned",
    .places = FALSE,
    .prepare = pinned_prepare,
    .forward = pinned_forward,
    .differential = tapul_laying_differences,
    .inverse = pinned_inverse,
};
