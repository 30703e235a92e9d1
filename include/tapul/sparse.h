/* Sparse symmetric positive definite systems, over CHOLMOD: one symbolic analysis of a pattern, then as many
 * numeric factorisations of values on it as wanted. */
#ifndef TAPUL_SPARSE_H
#define TAPUL_SPARSE_H

#include <glib.h>

G_BEGIN_DECLS

/* The lower triangle of a symmetric matrix in compressed columns; row indices ascend in each column and the
 * diagonal entry comes first. */
typedef struct {
    int n;
    int *column_start; /* [n + 1] */
    int *row;          /* [column_start[n]] */
    double *value;     /* [column_start[n]] */
} TapulSparse;

/* Makes a zero matrix with the pattern of the given entries (any order, duplicates and upper entries allowed;
 * diagonals are always present): pairs[n_pairs][2]. */
TapulSparse *tapul_sparse_new(int n, int n_pairs, const int (*pairs)[2]);
void tapul_sparse_free(TapulSparse *matrix);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulSparse, tapul_sparse_free)
/* The place in value[] of entry (i, j) or (j, i); it must be in the pattern. */
int tapul_sparse_index(const TapulSparse *matrix, int i, int j);

typedef struct TapulFactor TapulFactor;
/* Symbolic analysis. order[n], unless NULL, is a fill-reducing order to use. */
TapulFactor *tapul_factor_new(const TapulSparse *matrix, const int *order);
void tapul_factor_free(TapulFactor *factor);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulFactor, tapul_factor_free)
/* The order chosen: order[n]. */
void tapul_factor_order(const TapulFactor *factor, int *order);
/* Numeric factorisation of values on the analysed pattern; FALSE if not positive definite. */
gboolean tapul_factor_update(TapulFactor *factor, const TapulSparse *matrix);
/* Solves for n_columns right-hand sides, columns of length n one after another; x may be b. */
void tapul_factor_solve(TapulFactor *factor, int n_columns, const double *b, double *x);

G_END_DECLS

#endif
