/* Least-cost assignment: against all permutations, and against figures of another library. */
#include "base/assignment.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>

/* Sums of a few costs in another order. */
#define ROUNDING 1e-9

static void check_valid(const double *cost, int n, int m, const int *column, double sum) {
    g_autofree gboolean *taken = g_new0(gboolean, (gsize)m);
    double anew = 0;
    for (int i = 0; i < n; i++) {
        ck_assert_int_ge(column[i], 0);
        ck_assert_int_lt(column[i], m);
        ck_assert(!taken[column[i]]);
        taken[column[i]] = TRUE;
        anew += cost[i * m + column[i]];
    }
    ck_assert_double_eq_tol(anew, sum, ROUNDING);
}

static double least_of_all(const double *cost, int n, int m, int row, guint taken) {
    double least = INFINITY;
    if (row == n)
        return 0;
    for (int j = 0; j < m; j++)
        if (!(taken & 1u << j))
            least = fmin(least, cost[row * m + j] +
                                    least_of_all(cost, n, m, row + 1, taken | 1u << j));
    return least;
}

/* Of three kinds: any costs; few different ones, so that there are many ties; and negative. */
START_TEST(least_of_all_permutations) {
    g_autoptr(GRand) random = g_rand_new_with_seed(1955);
    for (int trial = 0; trial < 3000; trial++) {
        int n = g_rand_int_range(random, 0, 8), m = n + g_rand_int_range(random, 0, 8 - n);
        double cost[49];
        int column[7];
        for (int i = 0; i < n * m; i++)
            cost[i] = trial % 3 == 0   ? g_rand_double_range(random, 0, 100)
                      : trial % 3 == 1 ? g_rand_int_range(random, 0, 4)
                                       : g_rand_double_range(random, -50, 50);
        double sum = tapul_assign(cost, n, m, column);
        check_valid(cost, n, m, column, sum);
        ck_assert_double_eq_tol(sum, least_of_all(cost, n, m, 0, 0), ROUNDING);
    }
}
END_TEST

/* The example of scipy.optimize.linear_sum_assignment's own documentation. */
START_TEST(worked_example) {
    const double cost[] = {4, 1, 3, 2, 0, 5, 3, 2, 2};
    const int expected[] = {1, 0, 2};
    int column[3];
    ck_assert_double_eq(tapul_assign(cost, 3, 3, column), 5);
    for (int i = 0; i < 3; i++)
        ck_assert_int_eq(column[i], expected[i]);
}
END_TEST

/* Sums computed with scipy.optimize.linear_sum_assignment, SciPy 1.10.1, of
 * cost[i][j] = (37 i + 91 j + 13 i j + 7 i i j) mod 1009. */
START_TEST(as_another_library) {
    static const struct {
        int n, m;
        double sum;
    } cases[] = {{12, 17, 811}, {40, 40, 1937}, {40, 80, 703}, {25, 60, 505}};
    for (guint c = 0; c < G_N_ELEMENTS(cases); c++) {
        int n = cases[c].n, m = cases[c].m;
        g_autofree double *cost = g_new(double, (gsize)(n * m));
        g_autofree int *column = g_new(int, (gsize)n);
        for (int i = 0; i < n; i++)
            for (int j = 0; j < m; j++)
                cost[i * m + j] = (37 * i + 91 * j + 13 * i * j + 7 * i * i * j) % 1009;
        double sum = tapul_assign(cost, n, m, column);
        check_valid(cost, n, m, column, sum);
        ck_assert_double_eq(sum, cases[c].sum);
    }
}
END_TEST

START_TEST(nothing_to_assign) {
    ck_assert_double_eq(tapul_assign(NULL, 0, 0, NULL), 0);
    ck_assert_double_eq(tapul_assign(NULL, 0, 3, NULL), 0);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("assignment");
    TCase *tcase = tcase_create("assignment");
    tcase_add_test(tcase, least_of_all_permutations);
    tcase_add_test(tcase, worked_example);
    tcase_add_test(tcase, as_another_library);
    tcase_add_test(tcase, nothing_to_assign);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
