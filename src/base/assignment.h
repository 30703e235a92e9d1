/* Least-cost assignment: every row gets a column of its own. Internal. */
#ifndef TAPUL_BASE_ASSIGNMENT_H
#define TAPUL_BASE_ASSIGNMENT_H

#include <glib.h>

/* cost[n][m], finite, row by row; 0 <= n <= m. column[n]: each row's column, no two alike, so
 * that the sum of their costs, which is returned, is the least there is. Of several such the
 * same one each time. */
double tapul_assign(const double *cost, int n, int m, int *column);

#endif
