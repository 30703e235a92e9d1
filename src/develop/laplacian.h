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

/* The pattern of the Laplacian, and its values. */
TapulSparse *tapul_laplacian_new(const TapulEdges *edges);
/* Values with the rows of fixed vertices replaced by the identity and their columns left out:
 * the solution there is the right-hand side. At least one vertex must be fixed. */
void tapul_laplacian_set(TapulSparse *laplacian, const TapulEdges *edges,
                         const gboolean *fixed);
/* Solves for inner values given those at fixed vertices: value[n_columns][n] holds them and
 * receives the solution; source[n_columns][n], unless NULL, is the Laplacian wanted at the
 * others. The factor must hold the values of tapul_laplacian_set. */
void tapul_laplacian_fill(TapulFactor *factor, const TapulEdges *edges, const gboolean *fixed,
                          int n_columns, const double *source, double *value);
/* out[n] = Laplacian of value[n], all rows. */
void tapul_laplacian_apply(const TapulEdges *edges, const double *value, double *out);

G_END_DECLS

#endif
