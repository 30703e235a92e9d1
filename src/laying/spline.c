/* Thin-plate splines: the bending of least energy that carries points of a plane to others. The
 * pinned rule stands on them. Bookstein, IEEE PAMI 11(6) 1989, 567-585; smoothing after Wahba,
 * Spline Models for Observational Data, 1990. */
#include "laying/spline.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_eigen.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_roots.h>

G_DEFINE_AUTOPTR_CLEANUP_FUNC(gsl_matrix, gsl_matrix_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(gsl_vector, gsl_vector_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(gsl_permutation, gsl_permutation_free)

/* The smoothing is looked for this far, as a factor, to both sides of the bending matrix's
 * eigenvalues. */
#define SMOOTHING_REACH 1e8
/* It is found to this share of itself; the misfit then is settled far below any picking. */
#define SMOOTHING_PRECISION 1e-6

static double kernel(TapulVec2 a, TapulVec2 b) {
    double dx = a.x - b.x, dy = a.y - b.y, squared = dx * dx + dy * dy;
    return squared > 0 ? squared * log(squared) : 0;
}

/* The n x n matrix of U, and beside it the n x 3 matrix of 1, x, y. */
static gsl_matrix *kernel_matrix(size_t n, const TapulVec2 *from) {
    gsl_matrix *matrix = gsl_matrix_alloc(n, n);
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++)
            gsl_matrix_set(matrix, i, j, kernel(from[i], from[j]));
    return matrix;
}

static gsl_matrix *affine_matrix(size_t n, const TapulVec2 *from) {
    gsl_matrix *matrix = gsl_matrix_alloc(n, 3);
    for (size_t i = 0; i < n; i++) {
        gsl_matrix_set(matrix, i, 0, 1);
        gsl_matrix_set(matrix, i, 1, from[i].x);
        gsl_matrix_set(matrix, i, 2, from[i].y);
    }
    return matrix;
}

static gsl_vector *coordinate(size_t n, size_t room, const TapulVec2 *to, int axis) {
    gsl_vector *values = gsl_vector_calloc(room);
    for (size_t i = 0; i < n; i++)
        gsl_vector_set(values, i, axis == 0 ? to[i].x : to[i].y);
    return values;
}

static void put(TapulVec2 *vector, int axis, double value) {
    *(axis == 0 ? &vector->x : &vector->y) = value;
}

/* [K + smoothing I, P; P', 0] (w; a) = (to; 0), Bookstein's L. FALSE if singular. */
static gboolean solve_bent(TapulSpline *spline, const TapulVec2 *to, double smoothing) {
    size_t n = (size_t)spline->n;
    g_autoptr(gsl_matrix) bending = kernel_matrix(n, spline->knot);
    g_autoptr(gsl_matrix) affine = affine_matrix(n, spline->knot);
    g_autoptr(gsl_matrix) system = gsl_matrix_calloc(n + 3, n + 3);
    gsl_matrix_add_diagonal(bending, smoothing);
    gsl_matrix_view corner = gsl_matrix_submatrix(system, 0, 0, n, n);
    gsl_matrix_memcpy(&corner.matrix, bending);
    corner = gsl_matrix_submatrix(system, 0, n, n, 3);
    gsl_matrix_memcpy(&corner.matrix, affine);
    corner = gsl_matrix_submatrix(system, n, 0, 3, n);
    gsl_matrix_transpose_memcpy(&corner.matrix, affine);

    g_autoptr(gsl_permutation) permutation = gsl_permutation_alloc(n + 3);
    int sign;
    gsl_linalg_LU_decomp(system, permutation, &sign);
    for (size_t i = 0; i < n + 3; i++)
        if (!(fabs(gsl_matrix_get(system, i, i)) > 0))
            return FALSE;
    for (int axis = 0; axis < 2; axis++) {
        g_autoptr(gsl_vector) x = coordinate(n, n + 3, to, axis);
        gsl_linalg_LU_svx(system, permutation, x);
        for (size_t i = 0; i < n; i++)
            put(&spline->weight[i], axis, gsl_vector_get(x, i));
        put(&spline->constant, axis, gsl_vector_get(x, n));
        put(&spline->by_x, axis, gsl_vector_get(x, n + 1));
        put(&spline->by_y, axis, gsl_vector_get(x, n + 2));
    }
    return TRUE;
}

static void solve_affine(TapulSpline *spline, const TapulVec2 *to) {
    size_t n = (size_t)spline->n;
    g_autoptr(gsl_matrix) affine = affine_matrix(n, spline->knot);
    g_autoptr(gsl_vector) tau = gsl_vector_alloc(3), a = gsl_vector_alloc(3);
    g_autoptr(gsl_vector) residual = gsl_vector_alloc(n);
    gsl_linalg_QR_decomp(affine, tau);
    for (int axis = 0; axis < 2; axis++) {
        g_autoptr(gsl_vector) values = coordinate(n, n, to, axis);
        gsl_linalg_QR_lssolve(affine, tau, values, a, residual);
        put(&spline->constant, axis, gsl_vector_get(a, 0));
        put(&spline->by_x, axis, gsl_vector_get(a, 1));
        put(&spline->by_y, axis, gsl_vector_get(a, 2));
    }
}

static gboolean any_coincide(int n, const TapulVec2 *points) {
    for (int i = 0; i < n; i++)
        for (int j = 0; j < i; j++)
            if (points[i].x == points[j].x && points[i].y == points[j].y)
                return TRUE;
    return FALSE;
}

TapulSpline *tapul_spline_new(int n, const TapulVec2 *from_mm, const TapulVec2 *to_mm,
                              double smoothing) {
    g_assert(n >= 3 && smoothing >= 0);
    g_autoptr(TapulSpline) spline = g_new0(TapulSpline, 1);
    spline->n = n;
    spline->knot = g_memdup2(from_mm, (gsize)n * sizeof(TapulVec2));
    spline->weight = g_new0(TapulVec2, n);
    if (isinf(smoothing))
        solve_affine(spline, to_mm);
    else if ((smoothing == 0 && any_coincide(n, from_mm)) ||
             !solve_bent(spline, to_mm, smoothing))
        return NULL;
    return g_steal_pointer(&spline);
}

void tapul_spline_free(TapulSpline *spline) {
    if (!spline)
        return;
    g_free(spline->knot);
    g_free(spline->weight);
    g_free(spline);
}

TapulVec2 tapul_spline_point(const TapulSpline *spline, TapulVec2 point_mm) {
    TapulVec2 sum = spline->constant;
    sum = tapul_vec2_add(sum, tapul_vec2_scale(spline->by_x, point_mm.x));
    sum = tapul_vec2_add(sum, tapul_vec2_scale(spline->by_y, point_mm.y));
    for (int i = 0; i < spline->n; i++)
        sum = tapul_vec2_add(
            sum, tapul_vec2_scale(spline->weight[i], kernel(point_mm, spline->knot[i])));
    return sum;
}

TapulVec2 tapul_spline_differential(const TapulSpline *spline, TapulVec2 point_mm,
                                    TapulVec2 *by_x, TapulVec2 *by_y) {
    *by_x = spline->by_x;
    *by_y = spline->by_y;
    for (int i = 0; i < spline->n; i++) {
        TapulVec2 apart = tapul_vec2_sub(point_mm, spline->knot[i]);
        double squared = tapul_vec2_dot(apart, apart);
        if (!(squared > 0))
            continue;
        TapulVec2 slope = tapul_vec2_scale(spline->weight[i], 2 * (log(squared) + 1));
        *by_x = tapul_vec2_add(*by_x, tapul_vec2_scale(slope, apart.x));
        *by_y = tapul_vec2_add(*by_y, tapul_vec2_scale(slope, apart.y));
    }
    return tapul_spline_point(spline, point_mm);
}

TapulVec2 tapul_spline_energy(const TapulSpline *spline) {
    TapulVec2 energy = {0, 0};
    for (int i = 0; i < spline->n; i++)
        for (int j = 0; j < spline->n; j++) {
            double u = kernel(spline->knot[i], spline->knot[j]);
            energy.x += spline->weight[i].x * u * spline->weight[j].x;
            energy.y += spline->weight[i].y * u * spline->weight[j].y;
        }
    return energy;
}

/* The bending modes of a set of points: eigenvalues of the bending matrix among the n - 3
 * combinations that no affine map touches, and how much of to_mm lies in each. Smoothing s
 * leaves the share s / (value + s) of a mode unfitted (Wahba 1990, 4.3). */
typedef struct {
    size_t n;
    double *value, *squared; /* [n] */
    double variance;         /* mm^2, wanted of each coordinate */
} Modes;

static void modes_clear(Modes *modes) {
    g_free(modes->value);
    g_free(modes->squared);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(Modes, modes_clear)

/* The columns of Q that are orthogonal to 1, x and y. */
static gsl_matrix *beyond_affine(size_t n, const TapulVec2 *from) {
    g_autoptr(gsl_matrix) affine = affine_matrix(n, from);
    g_autoptr(gsl_vector) tau = gsl_vector_alloc(3);
    gsl_linalg_QR_decomp(affine, tau);
    g_autoptr(gsl_matrix) q = gsl_matrix_alloc(n, n), r = gsl_matrix_alloc(n, 3);
    gsl_linalg_QR_unpack(affine, tau, q, r);
    gsl_matrix *beyond = gsl_matrix_alloc(n, n - 3);
    gsl_matrix_view columns = gsl_matrix_submatrix(q, 0, 3, n, n - 3);
    gsl_matrix_memcpy(beyond, &columns.matrix);
    return beyond;
}

static void modes_set(Modes *modes, size_t n, const TapulVec2 *from, const TapulVec2 *to) {
    size_t m = n - 3;
    g_autoptr(gsl_matrix) beyond = beyond_affine(n, from), bending = kernel_matrix(n, from);
    g_autoptr(gsl_matrix) half = gsl_matrix_alloc(n, m), inner = gsl_matrix_alloc(m, m);
    gsl_blas_dgemm(CblasNoTrans, CblasNoTrans, 1, bending, beyond, 0, half);
    gsl_blas_dgemm(CblasTrans, CblasNoTrans, 1, beyond, half, 0, inner);
    g_autoptr(gsl_vector) value = gsl_vector_alloc(m), in_beyond = gsl_vector_alloc(m);
    g_autoptr(gsl_vector) in_mode = gsl_vector_alloc(m);
    g_autoptr(gsl_matrix) vectors = gsl_matrix_alloc(m, m);
    gsl_eigen_symmv_workspace *workspace = gsl_eigen_symmv_alloc(m);
    gsl_eigen_symmv(inner, value, vectors, workspace);
    gsl_eigen_symmv_free(workspace);

    modes->n = m;
    modes->value = g_new0(double, m);
    modes->squared = g_new0(double, m);
    for (int axis = 0; axis < 2; axis++) {
        g_autoptr(gsl_vector) values = coordinate(n, n, to, axis);
        gsl_blas_dgemv(CblasTrans, 1, beyond, values, 0, in_beyond);
        gsl_blas_dgemv(CblasTrans, 1, vectors, in_beyond, 0, in_mode);
        for (size_t i = 0; i < m; i++)
            modes->squared[i] += gsl_pow_2(gsl_vector_get(in_mode, i));
    }
    for (size_t i = 0; i < m; i++)
        modes->value[i] = fmax(gsl_vector_get(value, i), 0);
}

/* Misfit beyond what picking explains, mm^2, for the logarithm of the smoothing. */
static double misfit_excess(double log_smoothing, void *data) {
    const Modes *modes = data;
    double excess = 0;
    for (size_t i = 0; i < modes->n; i++) {
        double unfitted = 1 / (1 + modes->value[i] * exp(-log_smoothing));
        excess += unfitted * (unfitted * modes->squared[i] - 2 * modes->variance);
    }
    return excess;
}

static double find_root(Modes *modes, double low, double high) {
    gsl_function function = {misfit_excess, modes};
    gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    gsl_root_fsolver_set(solver, &function, low, high);
    const int enough = 200;
    for (int i = 0; i < enough; i++) {
        gsl_root_fsolver_iterate(solver);
        if (gsl_root_fsolver_x_upper(solver) - gsl_root_fsolver_x_lower(solver) <
            SMOOTHING_PRECISION)
            break;
    }
    double root = gsl_root_fsolver_root(solver);
    gsl_root_fsolver_free(solver);
    return root;
}

double tapul_spline_smoothing(int n, const TapulVec2 *from_mm, const TapulVec2 *to_mm,
                              double sd_mm) {
    if (sd_mm <= 0)
        return 0;
    if (n <= 3)
        return INFINITY;
    g_auto(Modes) modes = {.variance = sd_mm * sd_mm};
    modes_set(&modes, (size_t)n, from_mm, to_mm);
    double largest = 0, misfit = 0;
    for (size_t i = 0; i < modes.n; i++) {
        largest = fmax(largest, modes.value[i]);
        misfit += modes.squared[i];
    }
    if (misfit <= 2 * modes.variance * (double)modes.n)
        return INFINITY;
    if (!(largest > 0) || !isfinite(misfit)) /* the spline cannot bend: nothing to smooth */
        return INFINITY;
    double low = log(largest / SMOOTHING_REACH), high = log(largest * SMOOTHING_REACH);
    /* Points that coincide keep apart however little is smoothed: then as little as can be. */
    if (misfit_excess(low, &modes) >= 0)
        return exp(low);
    return misfit_excess(high, &modes) <= 0 ? INFINITY : exp(find_root(&modes, low, high));
}
