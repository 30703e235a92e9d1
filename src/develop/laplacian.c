/* The Laplacian of a mesh, for the flattenings that start a development and the steps that
 * bring it near. Cotangent weights: Pinkall & Polthier, Experimental Mathematics 2(1), 1993. */
#include "develop/laplacian.h"

#include <string.h>

/* The energy of one unit of difference along the edge opposite corner k within a triangle. */
static double half_cotangent(const TapulRestTriangle *triangle, int k) {
    return -triangle->area_mm2 *
           tapul_vec2_dot(triangle->gradient[(k + 1) % 3], triangle->gradient[(k + 2) % 3]);
}

/* The corner of `triangle` that faces `neighbour`. */
static int facing_corner(const TapulMesh *mesh, int triangle, int neighbour, int tail) {
    for (int k = 0; k < 3; k++)
        if (mesh->across[triangle][k] == neighbour &&
            mesh->corner[triangle][(k + 2) % 3] == tail)
            return k;
    g_assert_not_reached();
}

TapulEdges *tapul_edges_cotangent(const TapulRest *rest) {
    const TapulMesh *mesh = rest->mesh;
    TapulEdges *edges = g_new0(TapulEdges, 1);
    edges->n_vertices = mesh->n_vertices;
    edges->edge = g_malloc_n(3 * (gsize)mesh->n_triangles, sizeof *edges->edge);
    edges->weight = g_new(double, 3 * (gsize)mesh->n_triangles);
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            int over = mesh->across[t][k];
            if (over >= 0 && over < t)
                continue;
            int from = mesh->corner[t][(k + 1) % 3], to = mesh->corner[t][(k + 2) % 3];
            double weight = half_cotangent(&rest->triangle[t], k);
            if (over >= 0)
                weight +=
                    half_cotangent(&rest->triangle[over], facing_corner(mesh, over, t, from));
            edges->edge[edges->n_edges][0] = from;
            edges->edge[edges->n_edges][1] = to;
            edges->weight[edges->n_edges++] = weight;
        }
    return edges;
}

void tapul_edges_free(TapulEdges *edges) {
    if (!edges)
        return;
    g_free(edges->edge);
    g_free(edges->weight);
    g_free(edges);
}

TapulSparse *tapul_laplacian_new(const TapulEdges *edges) {
    return tapul_sparse_new(edges->n_vertices, edges->n_edges, (const int(*)[2])edges->edge);
}

void tapul_laplacian_set(TapulSparse *laplacian, const TapulEdges *edges,
                         const gboolean *fixed) {
    const int *start = laplacian->column_start;
    memset(laplacian->value, 0, sizeof(double) * (gsize)start[laplacian->n]);
    for (int e = 0; e < edges->n_edges; e++) {
        int i = edges->edge[e][0], j = edges->edge[e][1];
        double weight = edges->weight[e];
        laplacian->value[start[i]] += weight;
        laplacian->value[start[j]] += weight;
        if (!fixed[i] && !fixed[j])
            laplacian->value[tapul_sparse_index(laplacian, i, j)] -= weight;
    }
    for (int v = 0; v < laplacian->n; v++)
        if (fixed[v])
            laplacian->value[start[v]] = 1;
}

/* The right-hand side of one column. */
static void fill_right(const TapulEdges *edges, const gboolean *fixed, const double *source,
                       const double *value, double *right) {
    for (int v = 0; v < edges->n_vertices; v++)
        right[v] = fixed[v] ? value[v] : source ? source[v] : 0;
    for (int e = 0; e < edges->n_edges; e++) {
        int i = edges->edge[e][0], j = edges->edge[e][1];
        if (fixed[i] && !fixed[j])
            right[j] += edges->weight[e] * value[i];
        if (fixed[j] && !fixed[i])
            right[i] += edges->weight[e] * value[j];
    }
}

void tapul_laplacian_fill(TapulFactor *factor, const TapulEdges *edges, const gboolean *fixed,
                          int n_columns, const double *source, double *value) {
    gsize n = (gsize)edges->n_vertices;
    g_autofree double *right = g_new(double, n *(gsize)n_columns);
    for (gsize column = 0; column < (gsize)n_columns; column++)
        fill_right(edges, fixed, source ? source + n * column : NULL, value + n * column,
                   right + n * column);
    tapul_factor_solve(factor, n_columns, right, value);
}

void tapul_laplacian_apply(const TapulEdges *edges, const double *value, double *out) {
    memset(out, 0, sizeof *out * (gsize)edges->n_vertices);
    for (int e = 0; e < edges->n_edges; e++) {
        int i = edges->edge[e][0], j = edges->edge[e][1];
        double flow = edges->weight[e] * (value[i] - value[j]);
        out[i] += flow;
        out[j] -= flow;
    }
}
