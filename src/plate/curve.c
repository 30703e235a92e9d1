/* Interpolating cubic splines, not-a-knot (de Boor, A Practical Guide to Splines, 1978, chapter
 * IV), as B-splines: the second and the last but one points are no knots, so that the ends are
 * as smooth as the middle and a reading of a circle gives the circle. */
#include "plate/curve.h"

#include <gsl/gsl_bspline.h>
#include <gsl/gsl_linalg.h>

struct TapulCurve {
    double low, high;
    int n;
    size_t order;
    gsl_bspline_workspace *spline;
    gsl_vector *basis;
    TapulVec3 *coefficient; /* [n] */
};

static gsl_bspline_workspace *make_knots(int n, const double *parameter, size_t order) {
    size_t n_breaks = (size_t)n - order + 2;
    gsl_bspline_workspace *spline = gsl_bspline_alloc(order, n_breaks);
    gsl_vector *breaks = gsl_vector_alloc(n_breaks);

    gsl_vector_set(breaks, 0, parameter[0]);
    for (size_t i = 1; i + 1 < n_breaks; i++)
        gsl_vector_set(breaks, i, parameter[i + 1]);
    gsl_vector_set(breaks, n_breaks - 1, parameter[n - 1]);
    gsl_bspline_knots(breaks, spline);
    gsl_vector_free(breaks);
    return spline;
}

static void solve_coefficients(TapulCurve *curve, const double *parameter,
                               const TapulVec3 *value) {
    size_t n = (size_t)curve->n;
    gsl_matrix *matrix = gsl_matrix_alloc(n, n);
    gsl_permutation *permutation = gsl_permutation_alloc(n);
    gsl_vector *wanted = gsl_vector_alloc(n), *found = gsl_vector_alloc(n);
    int sign;

    for (size_t i = 0; i < n; i++) {
        gsl_bspline_eval(parameter[i], curve->basis, curve->spline);
        gsl_matrix_set_row(matrix, i, curve->basis);
    }
    gsl_linalg_LU_decomp(matrix, permutation, &sign);
    for (size_t axis = 0; axis < 3; axis++) {
        for (size_t i = 0; i < n; i++)
            gsl_vector_set(wanted, i, (&value[i].x)[axis]);
        gsl_linalg_LU_solve(matrix, permutation, wanted, found);
        for (size_t i = 0; i < n; i++)
            (&curve->coefficient[i].x)[axis] = gsl_vector_get(found, i);
    }
    gsl_vector_free(wanted);
    gsl_vector_free(found);
    gsl_permutation_free(permutation);
    gsl_matrix_free(matrix);
}

TapulCurve *tapul_curve_new(int n, const double *parameter, const TapulVec3 *value) {
    g_assert(n >= 2);
    TapulCurve *curve = g_new0(TapulCurve, 1);
    curve->n = n;
    curve->order = (size_t)MIN(n, 4);
    curve->low = parameter[0];
    curve->high = parameter[n - 1];
    curve->spline = make_knots(n, parameter, curve->order);
    curve->basis = gsl_vector_alloc((size_t)n);
    curve->coefficient = g_new0(TapulVec3, n);
    solve_coefficients(curve, parameter, value);
    return curve;
}

void tapul_curve_free(TapulCurve *curve) {
    if (!curve)
        return;
    gsl_bspline_free(curve->spline);
    gsl_vector_free(curve->basis);
    g_free(curve->coefficient);
    g_free(curve);
}

TapulVec3 tapul_curve_point(const TapulCurve *curve, double parameter) {
    TapulVec3 sum = {0, 0, 0};
    parameter = CLAMP(parameter, curve->low, curve->high);
    gsl_bspline_eval(parameter, curve->basis, curve->spline);
    for (int i = 0; i < curve->n; i++)
        sum = tapul_vec3_add(sum, tapul_vec3_scale(curve->coefficient[i],
                                                   gsl_vector_get(curve->basis, (size_t)i)));
    return sum;
}
