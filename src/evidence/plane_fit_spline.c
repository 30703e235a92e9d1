/* The bent fit: a thin-plate spline (Bookstein 1989) as smooth as AICc likes it best (Hurvich,
 * Simonoff & Tsai, JRSS B 60(2) 1998, 271-293), and the degrees of freedom it then takes: twice
 * the trace of the matrix that carries found points to fitted ones (Hastie & Tibshirani,
 * Generalized Additive Models, 1990, 3.5). Smoothing until the misfit is what picking explains,
 * as pinned layings have it, spends so many degrees that a bend is then hardly ever preferred.
 */
#include "evidence/plane_fit_parts.h"
#include "evidence/score.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_eigen.h>
#include <gsl/gsl_math.h>

G_DEFINE_AUTOPTR_CLEANUP_FUNC(gsl_matrix, gsl_matrix_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(gsl_vector, gsl_vector_free)

/* The smoothing, mm^2, at which the modes are found: below the bending of any points that a
 * hand can pick apart, far above what it loses to rounding. */
#define MODES_SMOOTHING_MM2 1.0
/* Smoothing is tried in steps of this factor, over which AICc hardly changes, from where it
 * costs a mode a thousandth of its share to where it leaves a thousandth. */
#define SMOOTHING_STEP  1.2
#define SMOOTHING_REACH 1e3

/* Bending modes of the print points: eigenvalues of the bending matrix, the greatest first,
 * then three of 0 that affine maps take; how much of the found points lies in each. Smoothing s
 * leaves the share s / (value + s) of a mode unfitted (Wahba 1990, 4.3). */
typedef struct {
    int n; /* without the affine ones */
    double *value_mm2, *squared_mm2;
} Modes;

static void modes_clear(Modes *modes) {
    g_free(modes->value_mm2);
    g_free(modes->squared_mm2);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(Modes, modes_clear)

/* The matrix that carries found coordinates to the weights of a spline: that of a unit at each
 * point in turn, two at once in the two coordinates. Its eigenvalues are 1 / (value + s), those
 * of affine maps 0. */
static gsl_matrix *weights_of_units(int n, const TapulVec2 *from_mm) {
    gsl_matrix *weights = gsl_matrix_alloc((size_t)n, (size_t)n);
    for (int i = 0; i < n; i += 2) {
        g_autofree TapulVec2 *unit = g_new0(TapulVec2, n);
        int next = MIN(i + 1, n - 1);
        unit[i].x = 1;
        unit[next].y = 1;
        g_autoptr(TapulSpline) spline = tapul_spline_new(n, from_mm, unit, MODES_SMOOTHING_MM2);
        for (int j = 0; spline && j < n; j++) {
            gsl_matrix_set(weights, (size_t)j, (size_t)i, spline->weight[j].x);
            gsl_matrix_set(weights, (size_t)j, (size_t)next, spline->weight[j].y);
        }
    }
    return weights;
}

static void modes_set(Modes *modes, int n, const TapulVec2 *from_mm, const TapulVec2 *to_mm) {
    size_t room = (size_t)n;
    g_autoptr(gsl_matrix) weights = weights_of_units(n, from_mm);
    g_autoptr(gsl_matrix) vectors = gsl_matrix_alloc(room, room);
    g_autoptr(gsl_vector) value = gsl_vector_alloc(room);
    gsl_eigen_symmv_workspace *workspace = gsl_eigen_symmv_alloc(room);
    gsl_eigen_symmv(weights, value, vectors, workspace);
    gsl_eigen_symmv_free(workspace);
    gsl_eigen_symmv_sort(value, vectors, GSL_EIGEN_SORT_VAL_DESC);

    modes->n = n - 3;
    modes->value_mm2 = g_new0(double, n);
    modes->squared_mm2 = g_new0(double, n);
    for (size_t i = 0; i + 3 < room; i++) {
        double x = 0, y = 0;
        for (size_t k = 0; k < room; k++) {
            x += gsl_matrix_get(vectors, k, i) * to_mm[k].x;
            y += gsl_matrix_get(vectors, k, i) * to_mm[k].y;
        }
        modes->squared_mm2[i] = x * x + y * y;
        modes->value_mm2[i] = fmax(1 / gsl_vector_get(value, i) - MODES_SMOOTHING_MM2, 0);
    }
}

/* AICc of the spline at a smoothing, and the parameters it takes. */
static double score_at(const Modes *modes, double smoothing_mm2, double error_mm,
                       double *parameters) {
    double misfit_mm2 = 0, fitted = 3;
    for (int i = 0; i < modes->n; i++) {
        double share = 1 / (1 + modes->value_mm2[i] / smoothing_mm2);
        misfit_mm2 += share * share * modes->squared_mm2[i];
        fitted += 1 - share;
    }
    *parameters = 2 * fitted;
    return tapul_score_aicc(2 * (modes->n + 3), misfit_mm2, error_mm * error_mm,
                            *parameters + 1);
}

/* INFINITY where no bending is worth its degrees. */
static double best_smoothing(const Modes *modes, double error_mm, double *parameters) {
    double low = INFINITY, high = 0, best = INFINITY;
    for (int i = 0; i < modes->n; i++) {
        if (modes->value_mm2[i] > 0)
            low = fmin(low, modes->value_mm2[i]);
        high = fmax(high, modes->value_mm2[i]);
    }
    double least = score_at(modes, INFINITY, error_mm, parameters);
    for (double smoothing = low / SMOOTHING_REACH; smoothing < high * SMOOTHING_REACH;
         smoothing *= SMOOTHING_STEP) {
        double spent, score = score_at(modes, smoothing, error_mm, &spent);
        if (score >= least)
            continue;
        least = score;
        best = smoothing;
        *parameters = spent;
    }
    return best;
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

gboolean tapul_fit_spline(const TapulFitPairs *pairs, double pick_sd_mm, double smoothing_mm2,
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
    double parameters = 2 * pairs->m;
    if (isnan(smoothing_mm2) && pick_sd_mm > 0) {
        g_auto(Modes) modes = {0};
        modes_set(&modes, pairs->m, from_mm, to_mm);
        smoothing_mm2 = best_smoothing(&modes, plane_error_mm(pairs, pick_sd_mm), &parameters);
    } else if (isnan(smoothing_mm2)) {
        smoothing_mm2 = 0;
    }
    fit->smoothing_mm2 = smoothing_mm2;
    if (isinf(smoothing_mm2))
        return TRUE;
    if (!tapul_fit_similarity(pairs, FALSE, fit->reversed, fit))
        return FALSE;
    fit->spline = tapul_spline_new(pairs->m, from_mm, to_mm, smoothing_mm2);
    fit->parameters = parameters;
    return fit->spline != NULL;
}
