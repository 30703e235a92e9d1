/* Sparse systems: patterns, solutions against a dense solver, hostile values. */
#include <check.h>
#include <gsl/gsl_linalg.h>
#include <stdlib.h>

#include <tapul/sparse.h>

/* The 5-point Laplacian of an n by n grid plus the identity: positive definite. */
static TapulSparse *grid_matrix(int n) {
    g_autoptr(GArray) pairs = g_array_new(FALSE, FALSE, 2 * sizeof(int));
    for (int i = 0; i < n * n; i++) {
        int right[2] = {i, i + 1}, up[2] = {i + n, i};
        if (i % n < n - 1)
            g_array_append_val(pairs, right);
        if (i / n < n - 1)
            g_array_append_val(pairs, up);
    }
    TapulSparse *matrix =
        tapul_sparse_new(n * n, (int)pairs->len, (const int(*)[2])(void *)pairs->data);
    for (guint e = 0; e < pairs->len; e++) {
        const int *pair = (const int *)(void *)(pairs->data + e * 2 * sizeof(int));
        matrix->value[tapul_sparse_index(matrix, pair[0], pair[1])] -= 1;
        matrix->value[tapul_sparse_index(matrix, pair[0], pair[0])] += 1;
        matrix->value[tapul_sparse_index(matrix, pair[1], pair[1])] += 1;
    }
    for (int i = 0; i < n * n; i++)
        matrix->value[tapul_sparse_index(matrix, i, i)] += 1;
    return matrix;
}

/* The largest difference between A x and b. */
static double misfit(const TapulSparse *matrix, const double *x, const double *b) {
    g_autofree double *product = g_new0(double, matrix->n);
    for (int column = 0; column < matrix->n; column++)
        for (int k = matrix->column_start[column]; k < matrix->column_start[column + 1]; k++) {
            int row = matrix->row[k];
            product[row] += matrix->value[k] * x[column];
            if (row != column)
                product[column] += matrix->value[k] * x[row];
        }
    double worst = 0;
    for (int i = 0; i < matrix->n; i++)
        worst = fmax(worst, fabs(product[i] - b[i]));
    return worst;
}

START_TEST(pattern_is_sorted_without_duplicates) {
    const int pairs[][2] = {{3, 1}, {1, 3}, {0, 3}, {2, 2}, {3, 0}, {1, 0}};
    g_autoptr(TapulSparse) matrix = tapul_sparse_new(4, G_N_ELEMENTS(pairs), pairs);
    const int start[] = {0, 3, 5, 6, 7}, row[] = {0, 1, 3, 1, 3, 2, 3};
    for (int i = 0; i <= 4; i++)
        ck_assert_int_eq(matrix->column_start[i], start[i]);
    for (int k = 0; k < 7; k++) {
        ck_assert_int_eq(matrix->row[k], row[k]);
        ck_assert_double_eq(matrix->value[k], 0);
    }
    ck_assert_int_eq(tapul_sparse_index(matrix, 3, 1), 4);
    ck_assert_int_eq(tapul_sparse_index(matrix, 1, 3), 4);
}
END_TEST

START_TEST(solution_is_that_of_a_dense_solver) {
    enum { N = 6, SIZE = N * N };
    g_autoptr(TapulSparse) matrix = grid_matrix(N);
    gsl_matrix *dense = gsl_matrix_calloc(SIZE, SIZE);
    for (int column = 0; column < SIZE; column++)
        for (int k = matrix->column_start[column]; k < matrix->column_start[column + 1]; k++) {
            size_t row = (size_t)matrix->row[k];
            gsl_matrix_set(dense, row, (size_t)column, matrix->value[k]);
            gsl_matrix_set(dense, (size_t)column, row, matrix->value[k]);
        }
    double b[SIZE], x[SIZE];
    for (int i = 0; i < SIZE; i++)
        b[i] = x[i] = sin(i);
    gsl_vector_view wanted = gsl_vector_view_array(b, SIZE);
    gsl_linalg_cholesky_decomp1(dense);
    gsl_linalg_cholesky_svx(dense, &wanted.vector);
    g_autoptr(TapulFactor) factor = tapul_factor_new(matrix, NULL);
    ck_assert(tapul_factor_update(factor, matrix));
    tapul_factor_solve(factor, 1, x, x);
    for (int i = 0; i < SIZE; i++)
        ck_assert_double_eq_tol(x[i], b[i], 1e-13);
    gsl_matrix_free(dense);
}
END_TEST

START_TEST(columns_are_solved_each_for_itself) {
    g_autoptr(TapulSparse) matrix = grid_matrix(30);
    int n = matrix->n;
    g_autofree double *b = g_new(double, 3 * n);
    g_autofree double *x = g_new(double, 3 * n);
    for (int i = 0; i < 3 * n; i++)
        b[i] = cos(i * i);
    g_autoptr(TapulFactor) factor = tapul_factor_new(matrix, NULL);
    ck_assert(tapul_factor_update(factor, matrix));
    tapul_factor_solve(factor, 3, b, x);
    for (int column = 0; column < 3; column++)
        ck_assert_double_lt(misfit(matrix, x + column * n, b + column * n), 1e-12);
}
END_TEST

/* Large enough for supernodes. */
START_TEST(values_change_on_one_analysis) {
    g_autoptr(TapulSparse) matrix = grid_matrix(150);
    int n = matrix->n;
    g_autofree double *b = g_new(double, n);
    g_autofree double *x = g_new(double, n);
    for (int i = 0; i < n; i++)
        b[i] = sin(0.1 * i);
    g_autoptr(TapulFactor) factor = tapul_factor_new(matrix, NULL);
    for (int round = 0; round < 3; round++) {
        for (int i = 0; i < n; i++)
            matrix->value[matrix->column_start[i]] += round;
        ck_assert(tapul_factor_update(factor, matrix));
        tapul_factor_solve(factor, 1, b, x);
        ck_assert_double_lt(misfit(matrix, x, b), 1e-12);
    }
}
END_TEST

START_TEST(a_given_order_is_kept_or_bettered) {
    g_autoptr(TapulSparse) matrix = grid_matrix(20);
    int n = matrix->n;
    g_autoptr(TapulFactor) first = tapul_factor_new(matrix, NULL);
    g_autofree int *order = g_new(int, n);
    tapul_factor_order(first, order);
    g_autofree gboolean *seen = g_new0(gboolean, n);
    for (int i = 0; i < n; i++) {
        ck_assert(order[i] >= 0 && order[i] < n && !seen[order[i]]);
        seen[order[i]] = TRUE;
    }
    g_autoptr(TapulFactor) second = tapul_factor_new(matrix, order);
    g_autofree double *b = g_new(double, n);
    g_autofree double *x = g_new(double, n);
    for (int i = 0; i < n; i++)
        b[i] = i;
    ck_assert(tapul_factor_update(second, matrix));
    tapul_factor_solve(second, 1, b, x);
    ck_assert_double_lt(misfit(matrix, x, b), 1e-10);
}
END_TEST

/* Small (simplicial) and large (supernodal) alike; the factor stays usable. */
START_TEST(indefinite_matrices_are_refused) {
    g_autoptr(TapulSparse) matrix = grid_matrix(_i);
    double *entry = &matrix->value[matrix->column_start[matrix->n / 2]];
    double good = *entry;
    g_autoptr(TapulFactor) factor = tapul_factor_new(matrix, NULL);
    *entry = -good;
    ck_assert(!tapul_factor_update(factor, matrix));
    *entry = 0;
    ck_assert(!tapul_factor_update(factor, matrix));
    *entry = NAN;
    ck_assert(!tapul_factor_update(factor, matrix));
    *entry = good;
    ck_assert(tapul_factor_update(factor, matrix));
    g_autofree double *b = g_new0(double, matrix->n);
    g_autofree double *x = g_new(double, matrix->n);
    b[0] = 1;
    tapul_factor_solve(factor, 1, b, x);
    ck_assert_double_lt(misfit(matrix, x, b), 1e-13);
}
END_TEST

START_TEST(one_unknown_is_a_system) {
    g_autoptr(TapulSparse) matrix = tapul_sparse_new(1, 0, NULL);
    matrix->value[0] = 4;
    g_autoptr(TapulFactor) factor = tapul_factor_new(matrix, NULL);
    ck_assert(tapul_factor_update(factor, matrix));
    double b = 2, x;
    tapul_factor_solve(factor, 1, &b, &x);
    ck_assert_double_eq_tol(x, 0.5, 1e-15);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("sparse");
    TCase *all = tcase_create("sparse");
    tcase_add_test(all, pattern_is_sorted_without_duplicates);
    tcase_add_test(all, solution_is_that_of_a_dense_solver);
    tcase_add_test(all, columns_are_solved_each_for_itself);
    tcase_add_test(all, values_change_on_one_analysis);
    tcase_add_test(all, a_given_order_is_kept_or_bettered);
    tcase_add_loop_test(all, indefinite_matrices_are_refused, 3, 4);
    tcase_add_loop_test(all, indefinite_matrices_are_refused, 150, 151);
    tcase_add_test(all, one_unknown_is_a_system);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
