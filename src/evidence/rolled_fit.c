/* The rolled fit of least squares over the metal: Levenberg-Marquardt (GSL's, after More 1978)
 * on the residuals between where geodesics from the pressing point lead and where pairs were
 * found. */
#include "evidence/rolled_fit.h"
#include "evidence/residual.h"

#include <gsl/gsl_multifit_nlinear.h>

/* Geodesics are smooth to 0.001 mm: a hundredth of the step of the differences. */
#define DIFFERENCE_STEP_MM 0.1
/* The fit ends when no parameter moves a point by more: as fine as geodesics tell. */
#define STEP_PRECISION_MM 1e-4
#define MOST_STEPS        12
/* The residual of a pressing point off the plate: the step that leads there is taken back. */
#define OFF_PLATE_MM 1e4

/* Parameters, each in mm: how far the anchor is moved from the start's, in its chart; the
 * linear part times the pairs' mean distance from the pressing point; pressing_free, the
 * chart's point for the pressing point. */
enum { MOST_PARAMETERS = 8 };

typedef struct {
    const TapulPairSet *pairs;
    const TapulRolledFit *start;
    TapulFreedom freedom;
    gboolean reversed, pressing_free;
    double reach_mm;
    size_t n_linear, n_parameters;
} Problem;

static TapulVec2 linear_part(const TapulPlaneFit *fit, TapulVec2 p) {
    return tapul_vec2_add(tapul_vec2_scale(fit->by_x, p.x), tapul_vec2_scale(fit->by_y, p.y));
}

static void set_linear(const Problem *problem, const double *x, TapulPlaneFit *fit) {
    double hand = problem->reversed ? -1 : 1, reach_mm = problem->reach_mm, a, b;
    if (problem->freedom == TAPUL_FREEDOM_STRETCHED) {
        fit->by_x = tapul_vec2(x[0] / reach_mm, x[1] / reach_mm);
        fit->by_y = tapul_vec2(x[2] / reach_mm, x[3] / reach_mm);
        return;
    }
    if (problem->freedom == TAPUL_FREEDOM_TRACED) {
        a = cos(x[0] / reach_mm);
        b = sin(x[0] / reach_mm);
    } else {
        a = x[0] / reach_mm;
        b = x[1] / reach_mm;
    }
    fit->by_x = tapul_vec2(hand * a, hand * b);
    fit->by_y = tapul_vec2(-b, a);
}

static void get_linear(const Problem *problem, const TapulPlaneFit *fit, double *x) {
    if (problem->freedom == TAPUL_FREEDOM_STRETCHED) {
        x[0] = fit->by_x.x * problem->reach_mm;
        x[1] = fit->by_x.y * problem->reach_mm;
        x[2] = fit->by_y.x * problem->reach_mm;
        x[3] = fit->by_y.y * problem->reach_mm;
    } else if (problem->freedom == TAPUL_FREEDOM_TRACED) {
        x[0] = atan2(-fit->by_y.x, fit->by_y.y) * problem->reach_mm;
    } else {
        x[0] = fit->by_y.y * problem->reach_mm;
        x[1] = -fit->by_y.x * problem->reach_mm;
    }
}

/* The chart and the fit that parameters stand for. FALSE where the anchor leaves the plate. */
static gboolean set_fit(const Problem *problem, const double *x, TapulPlane *plane,
                        TapulPlaneFit *fit) {
    TapulSpot anchor;
    if (!tapul_plane_spot(&problem->start->plane, tapul_vec2(x[0], x[1]), &anchor))
        return FALSE;
    *plane = x[0] == 0 && x[1] == 0
                 ? problem->start->plane
                 : tapul_plane(problem->pairs->ground, TAPUL_LAYING_ROLLED, anchor);
    *fit = (TapulPlaneFit){.freedom = problem->freedom, .reversed = problem->reversed};
    set_linear(problem, x + 2, fit);
    TapulVec2 origin = {0, 0};
    if (problem->pressing_free)
        origin = tapul_vec2(x[2 + problem->n_linear], x[3 + problem->n_linear]);
    fit->shift = tapul_vec2_sub(origin, linear_part(fit, problem->pairs->pressing_mm));
    return TRUE;
}

/* Off the plate: by the metric at the start, in whose chart a point lies as far on as the
 * anchor was moved. */
static void residual_beyond(const TapulSitting *sitting, int k, TapulVec2 put, TapulVec2 moved,
                            double along[2]) {
    TapulPlaneMetric g = sitting->metric[k];
    TapulVec2 apart = tapul_vec2_sub(tapul_vec2_add(put, moved), sitting->plane_mm[k]);
    double root = sqrt(g.xx);
    along[0] = root * apart.x + g.xy / root * apart.y;
    along[1] = sqrt(fmax(g.yy - g.xy * g.xy / g.xx, 0)) * apart.y;
}

/* FALSE where the anchor leaves the plate. */
static gboolean residuals_at(const Problem *problem, const double *x, double *residual) {
    const TapulPairSet *pairs = problem->pairs;
    TapulPlane plane;
    TapulPlaneFit fit;
    gboolean on = set_fit(problem, x, &plane, &fit);
    for (int k = 0; k < pairs->n; k++) {
        TapulSpot spot;
        if (!on) {
            residual[2 * k] = residual[2 * k + 1] = OFF_PLATE_MM;
            continue;
        }
        TapulVec2 put = tapul_plane_fit_point(&fit, pairs->print_mm[k]);
        if (tapul_plane_spot(&plane, put, &spot))
            tapul_metal_arc_mm(pairs->ground->development->mesh, pairs->spot[k], spot,
                               residual + 2 * k);
        else
            residual_beyond(problem->start->sitting, k, put, tapul_vec2(x[0], x[1]),
                            residual + 2 * k);
    }
    return on;
}

static int fit_residuals(const gsl_vector *x, void *data, gsl_vector *residual) {
    residuals_at(data, gsl_vector_const_ptr(x, 0), gsl_vector_ptr(residual, 0));
    return GSL_SUCCESS;
}

static int fit_derivatives(const gsl_vector *x, void *data, gsl_matrix *derivatives) {
    const Problem *problem = data;
    size_t n = 2 * (size_t)problem->pairs->n;
    double at[MOST_PARAMETERS];
    g_autofree double *here = g_new(double, n), *there = g_new(double, n);
    for (size_t j = 0; j < problem->n_parameters; j++)
        at[j] = gsl_vector_get(x, j);
    residuals_at(problem, at, here);
    for (size_t j = 0; j < problem->n_parameters; j++) {
        /* At the edge of the plate, back from it. */
        double step_mm = DIFFERENCE_STEP_MM, from = at[j];
        at[j] = from + step_mm;
        if (!residuals_at(problem, at, there)) {
            step_mm = -step_mm;
            at[j] = from + step_mm;
            residuals_at(problem, at, there);
        }
        at[j] = from;
        for (size_t i = 0; i < n; i++)
            gsl_matrix_set(derivatives, i, j, (there[i] - here[i]) / step_mm);
    }
    return GSL_SUCCESS;
}

static double reach_of(const TapulPairSet *pairs) {
    double sum = 0;
    for (int k = 0; k < pairs->n; k++)
        sum += tapul_vec2_distance(pairs->print_mm[k], pairs->pressing_mm);
    return sum / pairs->n;
}

/* Steps until none moves a point by more than geodesics tell. */
static void minimise(Problem *problem, double *x) {
    gsl_multifit_nlinear_fdf functions = {.f = fit_residuals,
                                          .df = fit_derivatives,
                                          .n = 2 * (size_t)problem->pairs->n,
                                          .p = problem->n_parameters,
                                          .params = problem};
    gsl_multifit_nlinear_parameters how = gsl_multifit_nlinear_default_parameters();
    gsl_multifit_nlinear_workspace *work =
        gsl_multifit_nlinear_alloc(gsl_multifit_nlinear_trust, &how, functions.n, functions.p);
    gsl_vector_view from = gsl_vector_view_array(x, functions.p);
    gsl_multifit_nlinear_init(&from.vector, &functions, work);
    for (int step = 0; step < MOST_STEPS; step++) {
        /* A fit that ends because no step helps any more is as good as one that converged. */
        if (gsl_multifit_nlinear_iterate(work) != GSL_SUCCESS)
            break;
        double longest_mm = 0;
        for (size_t j = 0; j < functions.p; j++)
            longest_mm = fmax(longest_mm, fabs(gsl_vector_get(work->dx, j)));
        if (longest_mm < STEP_PRECISION_MM)
            break;
    }
    for (size_t j = 0; j < functions.p; j++)
        x[j] = gsl_vector_get(gsl_multifit_nlinear_position(work), j);
    gsl_multifit_nlinear_free(work);
}

gboolean tapul_rolled_fit(const TapulPairSet *pairs, const TapulRolledFit *start,
                          TapulFreedom freedom, gboolean reversed, gboolean pressing_free,
                          TapulRolledFit *best) {
    static const size_t n_linear[] = {1, 2, 4};
    Problem problem = {pairs,
                       start,
                       freedom,
                       reversed,
                       pressing_free,
                       reach_of(pairs),
                       n_linear[freedom],
                       n_linear[freedom] + (pressing_free ? 4 : 2)};
    double x[MOST_PARAMETERS] = {0};
    TapulPlaneFit fit;
    *best = (TapulRolledFit){0};
    if (2 * (size_t)pairs->n < problem.n_parameters ||
        !tapul_plane_fit(start->sitting, freedom, reversed, pairs->n, NULL, NULL,
                         pairs->pick_sd_mm, &fit))
        return FALSE;
    get_linear(&problem, &fit, x + 2);
    if (pressing_free) {
        TapulVec2 origin = tapul_plane_fit_point(&fit, pairs->pressing_mm);
        x[2 + problem.n_linear] = origin.x;
        x[3 + problem.n_linear] = origin.y;
    }
    minimise(&problem, x);
    if (!set_fit(&problem, x, &best->plane, &best->fit) ||
        tapul_vec2_cross(best->fit.by_x, best->fit.by_y) * (reversed ? -1 : 1) <= 0)
        return FALSE;
    best->fit.parameters = (double)problem.n_parameters;
    best->sitting = tapul_sitting_in(pairs, &best->plane);
    return TRUE;
}
