/* As-rigid-as-possible local-global steps, between the conformal map and the descent. Each
 * turns every triangle as its map does and then finds the places that fit the turned triangles
 * best. Sorkine & Alexa, SGP 2007; Liu, Zhang, Xu, Gotsman & Gortler, SGP 2008. */
#include "develop/rigid.h"

#include <string.h>

/* A step that lowers the energy by less than this share of what the first one did is the last:
 * the descent takes over better from there. */
#define STEP_PAYS_SHARE 0.01

/* The Laplacian wanted of the places, source[2][n], and the misfit: the area-weighted sum of
 * squares of (map - turn). */
static double turn_triangles(const TapulRest *rest, const TapulVec2 *flat_mm, double *source) {
    const TapulMesh *mesh = rest->mesh;
    gsize n = (gsize)mesh->n_vertices;
    double misfit_mm2 = 0;
    memset(source, 0, 2 * n * sizeof *source);
    for (int t = 0; t < mesh->n_triangles; t++) {
        const TapulRestTriangle *triangle = &rest->triangle[t];
        TapulJacobian jacobian = tapul_rest_jacobian(rest, t, flat_mm);
        TapulVec2 turn = tapul_complex_unit(jacobian.similar);
        TapulVec2 rest_of_it = tapul_vec2_sub(jacobian.similar, turn);
        misfit_mm2 += 2 * triangle->area_mm2 *
                      (tapul_vec2_dot(rest_of_it, rest_of_it) +
                       tapul_vec2_dot(jacobian.mirrored, jacobian.mirrored));
        for (int k = 0; k < 3; k++) {
            TapulVec2 turned = tapul_complex_times(turn, triangle->gradient[k]);
            source[mesh->corner[t][k]] += triangle->area_mm2 * turned.x;
            source[n + (gsize)mesh->corner[t][k]] += triangle->area_mm2 * turned.y;
        }
    }
    return misfit_mm2;
}

gboolean tapul_steps_rigid(TapulFlattening *flattening, int n_steps, TapulVec2 *flat_mm) {
    gsize n = (gsize)flattening->rest->mesh->n_vertices;
    g_autofree gboolean *pinned = g_new0(gboolean, n);
    g_autofree double *source = g_new(double, 2 * n);
    g_autofree double *value = g_new(double, 2 * n);
    pinned[0] = TRUE;
    if (!tapul_laplacian_fix(flattening->laplacian, pinned))
        return FALSE;
    double misfit_mm2 = turn_triangles(flattening->rest, flat_mm, source), first_gain_mm2 = 0;
    for (int step = 0; step < n_steps; step++) {
        value[0] = flat_mm[0].x;
        value[n] = flat_mm[0].y;
        tapul_laplacian_fill(flattening->laplacian, pinned, 2, source, value);
        for (gsize v = 0; v < n; v++)
            flat_mm[v] = tapul_vec2(value[v], value[n + v]);
        double gain_mm2 = misfit_mm2;
        misfit_mm2 = turn_triangles(flattening->rest, flat_mm, source);
        gain_mm2 -= misfit_mm2;
        if (step == 0)
            first_gain_mm2 = gain_mm2;
        if (!(gain_mm2 > STEP_PAYS_SHARE * first_gain_mm2))
            break;
    }
    return TRUE;
}
