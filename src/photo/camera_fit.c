/* The camera that leaves the distances in the picture least: Levenberg-Marquardt (GSL's, after
 * More 1978) from every start, the best kept. */
#include "photo/camera_view.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_multifit_nlinear.h>

/* The fit ends when a step changes no parameter by more than this share, or when the slope of
 * the sum of squares is lost in rounding. */
#define STEP_PRECISION  1e-12
#define SLOPE_PRECISION 1e-16
#define MOST_STEPS      100

/* Focal lengths to start from, in half diagonals of the picture: about those of a telephone, a
 * normal and a long lens (28, 70 and 200 mm for a picture of 36 x 24 mm). */
static const double start_focals[] = {1.3, 3.2, 9.2};
/* At a start no point is nearer than this share of the centroid's depth. */
#define START_DEPTH 0.3

typedef struct {
    const TapulViewPoints *points;
    gboolean bent;
    const TapulView *base;
} Fit;

static int fit_residuals(const gsl_vector *x, void *data, gsl_vector *residuals) {
    const Fit *fit = data;
    tapul_view_residuals(fit->points, fit->bent, fit->base, gsl_vector_const_ptr(x, 0),
                         residuals, NULL);
    return GSL_SUCCESS;
}

static int fit_derivatives(const gsl_vector *x, void *data, gsl_matrix *derivatives) {
    const Fit *fit = data;
    tapul_view_residuals(fit->points, fit->bent, fit->base, gsl_vector_const_ptr(x, 0), NULL,
                         derivatives);
    return GSL_SUCCESS;
}

static void covariance_of(const TapulViewPoints *points, gboolean bent, const TapulView *view,
                          gsl_matrix *covariance) {
    double parameters[TAPUL_VIEW_MOST_PARAMETERS];
    g_autoptr(gsl_matrix) derivatives =
        gsl_matrix_alloc(2 * (size_t)points->n, covariance->size1);
    tapul_view_parameters(points, bent, view, parameters);
    tapul_view_residuals(points, bent, view, parameters, NULL, derivatives);
    gsl_multifit_nlinear_covar(derivatives, 0, covariance);
    gsl_matrix_scale(covariance, 1 / (points->size_px * points->size_px));
}

double tapul_view_refine(const TapulViewPoints *points, gboolean bent, TapulView *view,
                         gsl_matrix *covariance) {
    TapulView base = *view;
    Fit fit = {points, bent, &base};
    double start[TAPUL_VIEW_MOST_PARAMETERS], sum = 0;
    int n_parameters = tapul_view_n_parameters(points, bent), why;
    g_assert(2 * points->n >= n_parameters);
    gsl_multifit_nlinear_fdf problem = {.f = fit_residuals,
                                        .df = fit_derivatives,
                                        .n = 2 * (size_t)points->n,
                                        .p = (size_t)n_parameters,
                                        .params = &fit};
    gsl_multifit_nlinear_parameters how = gsl_multifit_nlinear_default_parameters();
    gsl_multifit_nlinear_workspace *work =
        gsl_multifit_nlinear_alloc(gsl_multifit_nlinear_trust, &how, problem.n, problem.p);
    tapul_view_parameters(points, bent, &base, start);
    gsl_vector_view from = gsl_vector_view_array(start, problem.p);
    gsl_multifit_nlinear_init(&from.vector, &problem, work);
    /* A fit that ends because no step helps any more is as good as one that converged. */
    gsl_multifit_nlinear_driver(MOST_STEPS, STEP_PRECISION, SLOPE_PRECISION, 0, NULL, NULL,
                                &why, work);
    *view = tapul_view_step(points, bent, &base,
                            gsl_vector_const_ptr(gsl_multifit_nlinear_position(work), 0));
    gsl_blas_ddot(gsl_multifit_nlinear_residual(work), gsl_multifit_nlinear_residual(work),
                  &sum);
    gsl_multifit_nlinear_free(work);
    if (!isfinite(sum) || !tapul_view_sees_all(points, view))
        return INFINITY;
    if (covariance)
        covariance_of(points, bent, view, covariance);
    double rounding_px2 = 2 * points->n * TAPUL_CAMERA_ROUNDING_PX * TAPUL_CAMERA_ROUNDING_PX;
    return fmax(sum * points->size_px * points->size_px, rounding_px2);
}

static void keep_better(const TapulViewPoints *points, gboolean bent, TapulView start,
                        TapulView *best, double *best_px2) {
    double sum_px2 = tapul_view_refine(points, bent, &start, NULL);
    if (sum_px2 >= *best_px2)
        return;
    *best_px2 = sum_px2;
    *best = start;
}

/* The strength of a start of a given focal, less where a point would come too near. */
static double start_strength(const TapulViewPoints *points, const TapulView *view,
                             double focal) {
    double nearest = 0;
    const double *forward = view->rotation[2];
    for (int i = 0; i < points->n; i++) {
        TapulVec3 p = points->point[i];
        nearest = fmin(nearest, forward[0] * p.x + forward[1] * p.y + forward[2] * p.z);
    }
    double strength = view->scale / focal;
    return nearest < 0 ? fmin(strength, (1 - START_DEPTH) / -nearest) : strength;
}

/* The best straight view from every start. */
static double search_straight(const TapulViewPoints *points, TapulView *view) {
    double best_px2 = INFINITY;
    TapulView direct;
    if (points->n >= TAPUL_CAMERA_LEAST_POINTS && tapul_view_direct(points, &direct, NULL))
        keep_better(points, FALSE, direct, view, &best_px2);
    for (int side = 0; side < 2; side++) {
        TapulView distant = tapul_view_distant(points, side);
        int n = points->focal > 0 ? 1 : (int)G_N_ELEMENTS(start_focals);
        for (int k = 0; k < n; k++) {
            TapulView start = distant;
            double focal = points->focal > 0 ? points->focal : start_focals[k];
            start.strength = start_strength(points, &distant, focal);
            if (points->focal > 0)
                start.scale = start.strength * focal;
            keep_better(points, FALSE, start, view, &best_px2);
        }
    }
    return best_px2;
}

double tapul_view_search(const TapulViewPoints *points, gboolean bent, const TapulView *near,
                         TapulView *view) {
    double best_px2 = search_straight(points, view);
    /* The lens is bent last: among points that are wrong it bends until it folds, and then the
     * straight view stands. */
    if (bent && isfinite(best_px2))
        keep_better(points, TRUE, *view, view, &best_px2);
    if (near)
        keep_better(points, bent, *near, view, &best_px2);
    return best_px2;
}

/* The variance of a combination of the parameters. */
static double variance_of(const gsl_matrix *covariance, const double *factor) {
    double sum = 0;
    for (size_t i = 0; i < covariance->size1; i++)
        for (size_t j = 0; j < covariance->size2; j++)
            sum += factor[i] * factor[j] * gsl_matrix_get(covariance, i, j);
    return sum;
}

void tapul_view_spread(const TapulViewPoints *points, const TapulView *view,
                       const gsl_matrix *covariance, double variance_px2, TapulCameraFit *fit) {
    double s = view->scale, q = view->strength;
    gboolean known = points->focal > 0;
    /* With the focal known the strength goes with the scale. */
    double q_by_s = known ? 1 / points->focal : 0, q_by_q = known ? 0 : 1;
    TapulVec3 at = tapul_vec3(view->shift.x / s, view->shift.y / s, 1 / q);
    double turn = 0, eye = 0;
    for (int axis = 0; axis < 3; axis++) {
        double unit[3] = {axis == 0, axis == 1, axis == 2};
        TapulVec3 e = tapul_vec3(unit[0], unit[1], unit[2]);
        /* The eye moves by the change of the centroid's place in the camera frame, and by the
         * turn. */
        TapulVec3 lever = tapul_vec3_cross(e, at);
        double by_s[3] = {-at.x / s, -at.y / s, -q_by_s / (q * q)};
        double eye_factor[TAPUL_VIEW_MOST_PARAMETERS] = {lever.x,
                                                         lever.y,
                                                         lever.z,
                                                         unit[0] / s,
                                                         unit[1] / s,
                                                         by_s[axis],
                                                         -unit[2] * q_by_q / (q * q)};
        double turn_factor[TAPUL_VIEW_MOST_PARAMETERS] = {unit[0], unit[1], unit[2]};
        turn += variance_of(covariance, turn_factor);
        eye += variance_of(covariance, eye_factor);
    }
    const double focal_factor[TAPUL_VIEW_MOST_PARAMETERS] = {
        0, 0, 0, 0, 0, (1 - s * q_by_s / q) / q, -q_by_q * s / (q * q)};
    fit->turn_sd_rad = sqrt(turn * variance_px2);
    fit->eye_sd_mm = points->size_mm * sqrt(eye * variance_px2);
    fit->focal_sd_px =
        known ? 0
              : points->size_px * sqrt(variance_of(covariance, focal_factor) * variance_px2);
}
