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

void tapul_edges_apply(const TapulEdges *edges, const double *value, double *out) {
    memset(out, 0, sizeof *out * (gsize)edges->n_vertices);
    for (int e = 0; e < edges->n_edges; e++) {
        int i = edges->edge[e][0], j = edges->edge[e][1];
        double flow = edges->weight[e] * (value[i] - value[j]);
        out[i] += flow;
        out[j] -= flow;
    }
}

TapulLaplacian *tapul_laplacian_new_take(TapulEdges *edges) {
    TapulLaplacian *laplacian = g_new(TapulLaplacian, 1);
    laplacian->edges = edges;
    laplacian->matrix =
        tapul_sparse_new(edges->n_vertices, edges->n_edges, (const int(*)[2])edges->edge);
    laplacian->factor = tapul_factor_new(laplacian->matrix, NULL);
    return laplacian;
}

void tapul_laplacian_free(TapulLaplacian *laplacian) {
    if (!laplacian)
        return;
    tapul_edges_free(laplacian->edges);
    tapul_sparse_free(laplacian->matrix);
    tapul_factor_free(laplacian->factor);
    g_free(laplacian);
}

gboolean tapul_laplacian_fix(TapulLaplacian *laplacian, const gboolean *fixed) {
    const TapulEdges *edges = laplacian->edges;
    TapulSparse *matrix = laplacian->matrix;
    const int *start = matrix->column_start;
    memset(matrix->value, 0, sizeof(double) * (gsize)start[matrix->n]);
    for (int e = 0; e < edges->n_edges; e++) {
        int i = edges->edge[e][0], j = edges->edge[e][1];
        double weight = edges->weight[e];
        matrix->value[start[i]] += weight;
        matrix->value[start[j]] += weight;
        if (!fixed[i] && !fixed[j])
            matrix->value[tapul_sparse_index(matrix, i, j)] -= weight;
    }
    /* Rows of fixed vertices say that they stay. */
    for (int v = 0; v < matrix->n; v++)
        if (fixed[v])
            matrix->value[start[v]] = 1;
    return tapul_factor_update(laplacian->factor, matrix);
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

void tapul_laplacian_fill(TapulLaplacian *laplacian, const gboolean *fixed, int n_columns,
                          const double *source, double *value) {
    gsize n = (gsize)laplacian->edges->n_vertices;
    g_autofree double *right = g_new(double, n *(gsize)n_columns);
    for (gsize column = 0; column < (gsize)n_columns; column++)
        fill_right(laplacian->edges, fixed, source ? source + n * column : NULL,
                   value + n * column, right + n * column);
    tapul_factor_solve(laplacian->factor, n_columns, right, value);
}
