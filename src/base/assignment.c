/* Least-cost assignment by shortest augmenting paths: H. W. Kuhn, Naval Research Logistics
 * Quarterly 2, 1955, for the prices that prove an assignment least; R. Jonker, A. Volgenant,
 * Computing 38, 1987, for finding them row by row, in O(n^2 m) in all.
 *
 * The labels of call-outs are given to their places by it.
 */
#include "base/assignment.h"

#include <math.h>

#define NONE (-1)

/* cost(i, j) - row_price[i] - column_price[j] is never negative, and 0 for assigned pairs. */
typedef struct {
    const double *cost;
    int m;
    double *row_price, *column_price; /* [n], [m] */
    int *column;                      /* [n] */
    int *row;                         /* [m]; NONE: free */
    double *far;       /* [m] reduced cost of the cheapest path found from the new row */
    int *before;       /* [m] the row from which that path comes */
    gboolean *settled; /* [m] no cheaper path can be found */
} Assigning;

static void look_from(Assigning *a, int row, double so_far) {
    const double *cost = a->cost + (gsize)row * (gsize)a->m;
    for (int j = 0; j < a->m; j++) {
        double far = so_far + cost[j] - a->row_price[row] - a->column_price[j];
        if (a->settled[j] || far >= a->far[j])
            continue;
        a->far[j] = far;
        a->before[j] = row;
    }
}

static int nearest_unsettled(const Assigning *a) {
    int nearest = NONE;
    for (int j = 0; j < a->m; j++)
        if (!a->settled[j] && (nearest == NONE || a->far[j] < a->far[nearest]))
            nearest = j;
    return nearest;
}

/* The free column at the end of the cheapest path from a row that has none yet (Dijkstra's
 * method over reduced costs). */
static int find_path(Assigning *a, int row) {
    for (int j = 0; j < a->m; j++) {
        a->far[j] = INFINITY;
        a->settled[j] = FALSE;
    }
    double so_far = 0;
    for (int at = row;;) {
        look_from(a, at, so_far);
        int j = nearest_unsettled(a);
        so_far = a->far[j];
        a->settled[j] = TRUE;
        if (a->row[j] == NONE)
            return j;
        at = a->row[j];
    }
}

/* Prices under which the path costs nothing. */
static void set_prices(Assigning *a, int row, int end) {
    double length = a->far[end];
    a->row_price[row] += length;
    for (int j = 0; j < a->m; j++) {
        if (!a->settled[j] || j == end)
            continue;
        a->row_price[a->row[j]] += length - a->far[j];
        a->column_price[j] -= length - a->far[j];
    }
}

/* Every row on the path takes the column that follows it. */
static void take_path(Assigning *a, int row, int end) {
    for (int j = end, i = NONE; i != row;) {
        i = a->before[j];
        int next = a->column[i];
        a->row[j] = i;
        a->column[i] = j;
        j = next;
    }
}

double tapul_assign(const double *cost, int n, int m, int *column) {
    g_assert(n >= 0 && n <= m);
    g_autofree double *prices = g_new0(double, (gsize)(n + m)), *far = g_new(double, (gsize)m);
    g_autofree int *row = g_new(int, (gsize)m), *before = g_new(int, (gsize)m);
    g_autofree gboolean *settled = g_new(gboolean, (gsize)m);
    Assigning a = {cost, m, prices, prices + n, column, row, far, before, settled};
    double sum = 0;
    for (int j = 0; j < m; j++)
        row[j] = NONE;
    for (int i = 0; i < n; i++) {
        column[i] = NONE;
        int end = find_path(&a, i);
        set_prices(&a, i, end);
        take_path(&a, i, end);
    }
    for (int i = 0; i < n; i++)
        sum += cost[(gsize)i * (gsize)m + (gsize)column[i]];
    return sum;
}
