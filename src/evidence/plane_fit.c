/* Fits of a print to the found points in the plane of a geometry, each misfit measured by the
 * metal's metric. The choice among the freedoms, and what they share; the affine and the spline
 * have files of their own. With the metrics all 1 the scaled fit is that of Umeyama, IEEE PAMI
 * 13(4) 1991, 376-380, for either hand. */
#include "evidence/plane_fit_parts.h"

#include <string.h>

/* Print points that spread less than this about their middle are one point. */
#define ONE_POINT_MM 1e-6
/* Found points whose fit has less scale than this are one point: a print of 1 m would be laid
 * 0.001 mm wide. */
#define LEAST_SCALE 1e-6
/* The angle of a traced fit is found to this. */
#define ANGLE_PRECISION_RAD 1e-12
#define ANGLE_MOST_STEPS    30

const char *tapul_freedom_name(TapulFreedom freedom) {
    static const char *const names[] = {"traced", "scaled", "stretched", "bent"};
    return (guint)freedom < G_N_ELEMENTS(names) ? names[freedom] : NULL;
}

/* The normal equations of q = shift + a u + b Ju, u the print point about the mean, mirrored if
 * reversed, J the quarter turn. */
typedef struct {
    TapulPlaneMetric all;     /* of shift with itself */
    TapulVec2 with_a, with_b; /* of shift with a, b */
    double aa, ab, bb;
    TapulVec2 right; /* right-hand sides */
    double right_a, right_b;
} Normal;

static TapulVec2 apply(TapulPlaneMetric g, TapulVec2 d) {
    return tapul_vec2(g.xx * d.x + g.xy * d.y, g.xy * d.x + g.yy * d.y);
}

static void add_pair(Normal *sum, TapulVec2 u, TapulVec2 q, TapulPlaneMetric g) {
    TapulVec2 turned = {-u.y, u.x}, along = apply(g, u), across = apply(g, turned);
    sum->all.xx += g.xx;
    sum->all.xy += g.xy;
    sum->all.yy += g.yy;
    sum->with_a = tapul_vec2_add(sum->with_a, along);
    sum->with_b = tapul_vec2_add(sum->with_b, across);
    sum->aa += tapul_vec2_dot(u, along);
    sum->ab += tapul_vec2_dot(turned, along);
    sum->bb += tapul_vec2_dot(turned, across);
    sum->right = tapul_vec2_add(sum->right, apply(g, q));
    sum->right_a += tapul_vec2_dot(q, along);
    sum->right_b += tapul_vec2_dot(q, across);
}

static TapulPlaneMetric inverse_of(TapulPlaneMetric g) {
    double determinant = g.xx * g.yy - g.xy * g.xy;
    return (TapulPlaneMetric){g.yy / determinant, -g.xy / determinant, g.xx / determinant};
}

/* Takes the shift out of the equations of a and b. */
static void eliminate_shift(Normal *sum, TapulPlaneMetric inverse) {
    TapulVec2 by_a = apply(inverse, sum->with_a), by_b = apply(inverse, sum->with_b);
    sum->aa -= tapul_vec2_dot(sum->with_a, by_a);
    sum->ab -= tapul_vec2_dot(sum->with_a, by_b);
    sum->bb -= tapul_vec2_dot(sum->with_b, by_b);
    sum->right_a -= tapul_vec2_dot(sum->right, by_a);
    sum->right_b -= tapul_vec2_dot(sum->right, by_b);
}

/* The angle at which cos, sin minimise the reduced sum of squares: Newton's method. */
static double best_angle(const Normal *sum, double angle_rad) {
    for (int i = 0; i < ANGLE_MOST_STEPS; i++) {
        double c = cos(angle_rad), s = sin(angle_rad);
        double slope_a = sum->aa * c + sum->ab * s - sum->right_a;
        double slope_b = sum->ab * c + sum->bb * s - sum->right_b;
        double slope = c * slope_b - s * slope_a;
        double bend = s * s * sum->aa - 2 * s * c * sum->ab + c * c * sum->bb -
                      (c * slope_a + s * slope_b);
        /* Past a crest the step is still downhill. */
        double step_rad = -slope / fmax(fabs(bend), DBL_MIN);
        angle_rad += CLAMP(step_rad, -1, 1);
        if (fabs(step_rad) < ANGLE_PRECISION_RAD)
            break;
    }
    return angle_rad;
}

static double sum_of_squares(const TapulFitPairs *pairs, const TapulPlaneFit *fit) {
    double sum = 0;
    for (int k = 0; k < pairs->m; k++) {
        TapulVec2 put = tapul_plane_fit_point(fit, tapul_fit_print(pairs, k));
        TapulVec2 apart = tapul_vec2_sub(put, tapul_fit_plane(pairs, k));
        sum += tapul_metric_product(tapul_fit_metric(pairs, k), apart, apart);
    }
    return sum;
}

/* The normal equations of chosen pairs. FALSE where their print points are one. */
static gboolean normal_of(const TapulFitPairs *pairs, double hand, Normal *sum) {
    double spread_mm2 = 0;
    for (int k = 0; k < pairs->m; k++) {
        TapulVec2 u = tapul_vec2_sub(tapul_fit_print(pairs, k), pairs->print_mean_mm);
        u.x *= hand;
        spread_mm2 += tapul_vec2_dot(u, u);
        add_pair(sum, u, tapul_vec2_sub(tapul_fit_plane(pairs, k), pairs->plane_mean_mm),
                 tapul_fit_metric(pairs, k));
    }
    return spread_mm2 > pairs->m * ONE_POINT_MM * ONE_POINT_MM;
}

gboolean tapul_fit_similarity(const TapulFitPairs *pairs, gboolean traced, gboolean reversed,
                              TapulPlaneFit *fit) {
    Normal sum = {0};
    double hand = reversed ? -1 : 1;
    if (!normal_of(pairs, hand, &sum))
        return FALSE;
    TapulPlaneMetric inverse = inverse_of(sum.all);
    eliminate_shift(&sum, inverse);
    double determinant = sum.aa * sum.bb - sum.ab * sum.ab;
    double a = (sum.bb * sum.right_a - sum.ab * sum.right_b) / determinant;
    double b = (sum.aa * sum.right_b - sum.ab * sum.right_a) / determinant;
    if (!isfinite(a) || !isfinite(b) || !(hypot(a, b) > LEAST_SCALE))
        return FALSE;
    if (traced) {
        double angle_rad = best_angle(&sum, atan2(b, a));
        a = cos(angle_rad);
        b = sin(angle_rad);
    }
    TapulVec2 taken =
        tapul_vec2_add(tapul_vec2_scale(sum.with_a, a), tapul_vec2_scale(sum.with_b, b));
    fit->by_x = tapul_vec2(hand * a, hand * b);
    fit->by_y = tapul_vec2(-b, a);
    tapul_fit_set_shift(pairs, apply(inverse, tapul_vec2_sub(sum.right, taken)), fit);
    fit->parameters = traced ? 3 : 4;
    return TRUE;
}

static TapulFitPairs choose(const TapulSitting *sitting, int m, const int *from,
                            const int *to) {
    TapulFitPairs pairs = {sitting, m, from, to, {0, 0}, {0, 0}};
    for (int k = 0; k < m; k++) {
        pairs.print_mean_mm = tapul_vec2_add(pairs.print_mean_mm, tapul_fit_print(&pairs, k));
        pairs.plane_mean_mm = tapul_vec2_add(pairs.plane_mean_mm, tapul_fit_plane(&pairs, k));
    }
    pairs.print_mean_mm = tapul_vec2_scale(pairs.print_mean_mm, 1.0 / m);
    pairs.plane_mean_mm = tapul_vec2_scale(pairs.plane_mean_mm, 1.0 / m);
    return pairs;
}

static gboolean fit_pairs(const TapulFitPairs *pairs, TapulFreedom freedom, gboolean reversed,
                          double pick_sd_mm, double smoothing_mm2, TapulPlaneFit *fit) {
    *fit = (TapulPlaneFit){.freedom = freedom, .reversed = reversed};
    gboolean fitted = FALSE;
    if (freedom <= TAPUL_FREEDOM_SCALED)
        fitted = tapul_fit_similarity(pairs, freedom == TAPUL_FREEDOM_TRACED, reversed, fit);
    else if (freedom == TAPUL_FREEDOM_STRETCHED)
        fitted = tapul_fit_affine(pairs, fit);
    else
        fitted = tapul_fit_spline(pairs, pick_sd_mm, smoothing_mm2, fit);
    /* A free linear part has a hand of its own, and speaks for no other. */
    if (fitted && tapul_vec2_cross(fit->by_x, fit->by_y) * (reversed ? -1 : 1) <= 0)
        fitted = FALSE;
    if (!fitted) {
        tapul_plane_fit_clear(fit);
        return FALSE;
    }
    fit->rss_mm2 = sum_of_squares(pairs, fit);
    return TRUE;
}

gboolean tapul_plane_fit(const TapulSitting *sitting, TapulFreedom freedom, gboolean reversed,
                         int m, const int *from, const int *to, double pick_sd_mm,
                         TapulPlaneFit *fit) {
    TapulFitPairs pairs = choose(sitting, m, from, to);
    return fit_pairs(&pairs, freedom, reversed, pick_sd_mm, NAN, fit);
}

gboolean tapul_plane_refit(const TapulSitting *sitting, const TapulPlaneFit *as, int m,
                           const int *from, const int *to, TapulPlaneFit *fit) {
    TapulFitPairs pairs = choose(sitting, m, from, to);
    return fit_pairs(&pairs, as->freedom, as->reversed, 0, as->smoothing_mm2, fit);
}

void tapul_plane_fit_clear(TapulPlaneFit *fit) {
    tapul_spline_free(fit->spline);
    fit->spline = NULL;
}

TapulVec2 tapul_plane_fit_point(const TapulPlaneFit *fit, TapulVec2 print_mm) {
    if (fit->spline)
        return tapul_spline_point(fit->spline, print_mm);
    return tapul_vec2(fit->shift.x + print_mm.x * fit->by_x.x + print_mm.y * fit->by_y.x,
                      fit->shift.y + print_mm.x * fit->by_x.y + print_mm.y * fit->by_y.y);
}
