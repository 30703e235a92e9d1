/* The development of least mean stretch: from the conformal map by as-rigid-as-possible steps,
 * then by descent to convergence. The default rule. Smith & Schaefer, ACM TOG 34(4), 2015. */
#include "develop/least_stretch.h"

#include <string.h>

#include "develop/rigid.h"

/* Rigid steps are cheap, but slow down after a few. */
#define MAX_RIGID_STEPS 20
/* The last step is worth less than this share of the energy: a mean strain of 2e-6, or 0.001 mm
 * over a plate of 500 mm. */
#define RELATIVE_TOLERANCE 1e-11
/* Plates take 5 to 15 steps; a hand unrolled from a disc some hundreds. */
#define MAX_STEPS 2000

/* Rigid steps from flat_mm, kept if they stay unflipped. */
static gboolean come_near(TapulFlattening *flattening, TapulVec2 *flat_mm, GError **error) {
    gsize size = sizeof *flat_mm * (gsize)flattening->rest->mesh->n_vertices;
    g_autofree TapulVec2 *near_mm = g_memdup2(flat_mm, size);
    if (!tapul_steps_rigid(flattening, MAX_RIGID_STEPS, near_mm)) {
        g_set_error_literal(error, TAPUL_DEVELOP_ERROR, TAPUL_DEVELOP_ERROR_NUMERIC,
                            "the mesh's Laplacian cannot be factorised: triangles have almost "
                            "no area");
        return FALSE;
    }
    if (tapul_rest_is_one_to_one(flattening->rest, near_mm))
        memcpy(flat_mm, near_mm, size);
    return TRUE;
}

gboolean tapul_flatten_least_stretch(TapulFlattening *flattening, TapulDescent *descent,
                                     TapulVec2 *flat_mm, GError **error) {
    if (!come_near(flattening, flat_mm, error))
        return FALSE;
    TapulDescentGoal goal = {1, 1, RELATIVE_TOLERANCE, MAX_STEPS};
    TapulDescentEnd end = tapul_descent_run(descent, &goal, flat_mm);
    if (end == TAPUL_DESCENT_CONVERGED)
        return TRUE;
    g_set_error(error, TAPUL_DEVELOP_ERROR, TAPUL_DEVELOP_ERROR_NUMERIC,
                end == TAPUL_DESCENT_STOPPED
                    ? "the least stretch was not reached in %d steps"
                    : "the least stretch was not reached: after %d steps no further one "
                      "lowers it",
                MAX_STEPS);
    return FALSE;
}
