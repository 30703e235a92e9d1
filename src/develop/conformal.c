/* The conformal development: boundary-first flattening with zero scale along the plate's edge,
 * the conformal map whose scale varies least (Chebyshev's optimum). First stage of every rule.
 * Sawhney & Crane, Boundary First Flattening, ACM TOG 37(1), 2018; sections cited below. */
#include "develop/conformal.h"

#include "develop/delaunay.h"

TapulFlattening *tapul_flattening_new(const TapulMesh *mesh) {
    TapulFlattening *flattening = g_new0(TapulFlattening, 1);
    flattening->rest = tapul_rest_new(mesh);
    flattening->laplacian = tapul_laplacian_new_take(tapul_edges_cotangent(flattening->rest));
    flattening->on_edge = tapul_mesh_vertices_on_edge(mesh);
    g_autoptr(GPtrArray) loops = tapul_mesh_boundary_loops(mesh);
    const GArray *loop = g_ptr_array_index(loops, 0);
    flattening->n_loop = (int)loop->len;
    flattening->loop = g_memdup2(loop->data, sizeof(int) * loop->len);
    return flattening;
}

void tapul_flattening_free(TapulFlattening *flattening) {
    if (!flattening)
        return;
    tapul_rest_free(flattening->rest);
    tapul_laplacian_free(flattening->laplacian);
    g_free(flattening->on_edge);
    g_free(flattening->loop);
    g_free(flattening);
}

/* Angle of a triangle at corner k, from its hat functions: the gradients of the other two are
 * normal to the edges that meet there. */
static double corner_angle_rad(const TapulRestTriangle *triangle, int k) {
    TapulVec2 a = triangle->gradient[(k + 1) % 3], b = triangle->gradient[(k + 2) % 3];
    return G_PI - atan2(tapul_vec2_cross(a, b), tapul_vec2_dot(a, b));
}

double *tapul_rest_angle_sums_rad(const TapulRest *rest) {
    double *sum_rad = g_new0(double, rest->mesh->n_vertices);
    for (int t = 0; t < rest->mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++)
            sum_rad[rest->mesh->corner[t][k]] += corner_angle_rad(&rest->triangle[t], k);
    return sum_rad;
}

/* Turns of the flattened edge at the loop's vertices (section 4.2, Cherrier's formula): the log
 * scale u is 0 on the edge and its Laplacian the curvature inside; the edge's turn changes by
 * the flow of u over it. turn_rad[n_loop]. */
static double *flat_turns_rad(const TapulFlattening *flattening, TapulLaplacian *laplacian) {
    int n = flattening->rest->mesh->n_vertices;
    g_autofree double *sum_rad = tapul_rest_angle_sums_rad(flattening->rest);
    g_autofree double *source = g_new0(double, n);
    g_autofree double *log_scale = g_new0(double, n);
    g_autofree double *flow = g_new(double, n);
    for (int v = 0; v < n; v++)
        source[v] = sum_rad[v] - 2 * G_PI;
    tapul_laplacian_fill(laplacian, flattening->on_edge, 1, source, log_scale);
    tapul_edges_apply(laplacian->edges, log_scale, flow);
    double *turn_rad = g_new(double, flattening->n_loop);
    for (int i = 0; i < flattening->n_loop; i++) {
        int v = flattening->loop[i];
        turn_rad[i] = G_PI - sum_rad[v] + flow[v];
    }
    return turn_rad;
}

/* Lengths nearest to length_mm[n], each by its own share, with which a curve of these
 * directions closes (section 4.3, equation 20). FALSE if one would vanish. */
static gboolean close_curve(int n, const TapulVec2 *direction, double *length_mm) {
    double xx = 0, xy = 0, yy = 0;
    TapulVec2 gap = {0, 0};
    for (int i = 0; i < n; i++) {
        TapulVec2 d = direction[i];
        gap = tapul_vec2_add(gap, tapul_vec2_scale(d, length_mm[i]));
        xx += length_mm[i] * d.x * d.x;
        xy += length_mm[i] * d.x * d.y;
        yy += length_mm[i] * d.y * d.y;
    }
    double determinant = xx * yy - xy * xy;
    TapulVec2 pull = {(yy * gap.x - xy * gap.y) / determinant,
                      (xx * gap.y - xy * gap.x) / determinant};
    for (int i = 0; i < n; i++) {
        length_mm[i] *= 1 - tapul_vec2_dot(pull, direction[i]);
        if (!(length_mm[i] > 0))
            return FALSE;
    }
    return TRUE;
}

/* Lays the edge as a closed curve with its own lengths and the turns of the flat edge. */
static gboolean lay_edge(const TapulFlattening *flattening, const double *turn_rad, double *x,
                         double *y) {
    int n = flattening->n_loop;
    const TapulVec3 *position_mm = flattening->rest->mesh->position_mm;
    g_autofree double *length_mm = g_new(double, n);
    g_autofree TapulVec2 *direction = g_new(TapulVec2, n);
    double heading_rad = 0;
    for (int i = 0; i < n; i++) {
        heading_rad += turn_rad[i];
        direction[i] = tapul_vec2(cos(heading_rad), sin(heading_rad));
        length_mm[i] = tapul_vec3_distance(position_mm[flattening->loop[i]],
                                           position_mm[flattening->loop[(i + 1) % n]]);
    }
    if (!close_curve(n, direction, length_mm))
        return FALSE;
    TapulVec2 at = {0, 0};
    for (int i = 0; i < n; i++) {
        x[flattening->loop[i]] = at.x;
        y[flattening->loop[i]] = at.y;
        at = tapul_vec2_add(at, tapul_vec2_scale(direction[i], length_mm[i]));
    }
    return TRUE;
}

gboolean tapul_flatten_conformal(const TapulFlattening *flattening, TapulVec2 *flat_mm) {
    int n = flattening->rest->mesh->n_vertices;
    g_autoptr(TapulLaplacian) laplacian =
        tapul_laplacian_new_take(tapul_edges_delaunay(flattening->rest));
    if (!tapul_laplacian_fix(laplacian, flattening->on_edge))
        return FALSE;
    g_autofree double *turn_rad = flat_turns_rad(flattening, laplacian);
    g_autofree double *xy = g_new0(double, 2 * (gsize)n);
    if (!lay_edge(flattening, turn_rad, xy, xy + n))
        return FALSE;
    /* Both coordinates of a conformal map are harmonic (section 4.4). */
    tapul_laplacian_fill(laplacian, flattening->on_edge, 2, NULL, xy);
    for (int v = 0; v < n; v++)
        flat_mm[v] = tapul_vec2(xy[v], xy[n + v]);
    tapul_rest_centre(flattening->rest, flat_mm);
    return TRUE;
}
