/* The Laplacian of a mesh: sparse, one row a vertex, with the weights of its edges. */
#ifndef TAPUL_DEVELOP_LAPLACIAN_H
#define TAPUL_DEVELOP_LAPLACIAN_H

#include <tapul/sparse.h>

#include "develop/rest.h"

G_BEGIN_DECLS

/* Edges with a weight each; the Laplacian of u at i is the sum of weight (u_i - u_j). */
typedef struct {
    int n_vertices, n_edges;
    int (*edge)[2];
    double *weight; /* [n_edges] */
} TapulEdges;

/* Weights are half the sums of cotangents opposite each edge: the energy of u is the integral
 * of |grad u|^2 (Pinkall & Polthier 1993). */
TapulEdges *tapul_edges_cotangent(const TapulRest *rest);
void tapul_edges_free(TapulEdges *edges);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulEdges, tapul_edges_free)

/* out[n] = Laplacian of value[n]. */
void tapul_edges_apply(const TapulEdges *edges, const double *value, double *out);

/* The system of a Laplacian, analysed once. */
typedef struct {
    TapulEdges *edges;
    TapulSparse *matrix;
    TapulFactor *factor;
} TapulLaplacian;

TapulLaplacian *tapul_laplacian_new_take(TapulEdges *edges);
void tapul_laplacian_free(TapulLaplacian *laplacian);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulLaplacian, tapul_laplacian_free)

/* Factorises with the values at fixed vertices (at least one) given; FALSE if not positive
 * definite. */
gboolean tapul_laplacian_fix(TapulLaplacian *laplacian, const gboolean *fixed);
/* Solves for values given those at the vertices that were fixed: value[n_columns][n] holds them
 * and receives the solution; source[n_columns][n], unless NULL, is the Laplacian wanted at the
 * others. */
void tapul_laplacian_fill(TapulLaplacian *laplacian, const gboolean *fixed, int n_columns,
                          const double *source, double *value);

G_END_DECLS

#endif
