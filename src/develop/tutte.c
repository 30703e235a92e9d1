/* A flat map that is never flipped, for meshes whose conformal map is: the start of the descent
 * then. Tutte, How to Draw a Graph, Proc. London Math. Soc. 13, 1963. */
#include "develop/conformal.h"

static void lay_circle(const TapulFlattening *flattening, double *x, double *y) {
    int n = flattening->n_loop;
    const TapulVec3 *position_mm = flattening->rest->mesh->position_mm;
    g_autofree double *along_mm = g_new(double, (gsize)n + 1);
    along_mm[0] = 0;
    for (int i = 0; i < n; i++)
        along_mm[i + 1] =
            along_mm[i] + tapul_vec3_distance(position_mm[flattening->loop[i]],
                                              position_mm[flattening->loop[(i + 1) % n]]);
    /* The circle has the plate's area, so that the mean stretch starts near 1. */
    double radius_mm = sqrt(flattening->rest->area_mm2 / G_PI);
    for (int i = 0; i < n; i++) {
        double angle_rad = 2 * G_PI * along_mm[i] / along_mm[n];
        x[flattening->loop[i]] = radius_mm * cos(angle_rad);
        y[flattening->loop[i]] = radius_mm * sin(angle_rad);
    }
}

gboolean tapul_flatten_tutte(const TapulFlattening *flattening, TapulVec2 *flat_mm) {
    int n = flattening->rest->mesh->n_vertices;
    TapulEdges *even = tapul_edges_cotangent(flattening->rest);
    for (int e = 0; e < even->n_edges; e++)
        even->weight[e] = 1;
    g_autoptr(TapulLaplacian) laplacian = tapul_laplacian_new_take(even);
    if (!tapul_laplacian_fix(laplacian, flattening->on_edge))
        return FALSE;
    g_autofree double *xy = g_new0(double, 2 * (gsize)n);
    lay_circle(flattening, xy, xy + n);
    tapul_laplacian_fill(laplacian, flattening->on_edge, 2, NULL, xy);
    for (int v = 0; v < n; v++)
        flat_mm[v] = tapul_vec2(xy[v], xy[n + v]);
    tapul_rest_centre(flattening->rest, flat_mm);
    return TRUE;
}
