/* The bent fit: a thin-plate spline (Bookstein 1989), as smooth as the picking error allows, and
 * the degrees of freedom it then takes: twice the trace of the matrix that carries found points
 * to fitted ones (Wahba 1990, 4.7; Hastie & Tibshirani, Generalized Additive Models, 1990, 3.5). */
#include "evidence/plane_fit_parts.h"
#include "laying/spline.h"

/* Twice the trace. The influence of a point on its own fitted value is what the spline through a
 * unit there, and nothing elsewhere, keeps of it; the two coordinates carry two points at once. */
static double effective_degrees(int n, const TapulVec2 *from_mm, double smoothing) {
    double trace = 0;
    for (int i = 0; i < n; i += 2) {
        g_autofree TapulVec2 *unit = g_new0(TapulVec2, n);
        unit[i].x = 1;
        if (i + 1 < n)
            unit[i + 1].y = 1;
        g_autoptr(TapulSpline) spline = tapul_spline_new(n, from_mm, unit, smoothing);
        if (!spline)
            return 2.0 * n;
        trace += tapul_spline_point(spline, from_mm[i]).x;
        if (i + 1 < n)
            trace += tapul_spline_point(spline, from_mm[i + 1]).y;
    }
    return 2 * trace;
}

/* What the picking error over the metal comes to in a coordinate of the plane, root mean
 * square: the covariance of a pick is sd^2 times the inverse of the metric. */
static double plane_error_mm(const TapulFitPairs *pairs, double pick_sd_mm) {
    double sum = 0;
    for (int k = 0; k < pairs->m; k++) {
        TapulPlaneMetric g = tapul_fit_metric(pairs, k);
        sum += (g.xx + g.yy) / (g.xx * g.yy - g.xy * g.xy);
    }
    return pick_sd_mm * sqrt(sum / (2 * pairs->m));
}

gboolean tapul_fit_spline(const TapulFitPairs *pairs, double pick_sd_mm, gboolean with_degrees,
                          TapulPlaneFit *fit) {
    /* The hand is that of the affine fit, which also is the spline that need not bend. */
    if (!tapul_fit_affine(pairs, fit) ||
        tapul_vec2_cross(fit->by_x, fit->by_y) * (fit->reversed ? -1 : 1) <= 0)
        return FALSE;
    g_autofree TapulVec2 *from_mm = g_new(TapulVec2, pairs->m);
    g_autofree TapulVec2 *to_mm = g_new(TapulVec2, pairs->m);
    for (int k = 0; k < pairs->m; k++) {
        from_mm[k] = tapul_fit_print(pairs, k);
        to_mm[k] = tapul_fit_plane(pairs, k);
    }
    double smoothing = tapul_spline_smoothing(pairs->m, from_mm, to_mm,
                                              plane_error_mm(pairs, pick_sd_mm));
    if (isinf(smoothing))
        return TRUE;
    double affine_parameters = fit->parameters;
    if (!tapul_fit_similarity(pairs, FALSE, fit->reversed, fit))
        return FALSE;
    fit->spline = tapul_spline_new(pairs->m, from_mm, to_mm, smoothing);
    fit->parameters =
        with_degrees ? effective_degrees(pairs->m, from_mm, smoothing) : affine_parameters;
    return fit->spline != NULL;
}
