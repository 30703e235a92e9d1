/* The evened development: from the least mean stretch on, in rising powers of the principal
 * stretches, until only the largest stretch and the largest shrink count. What sheet metal and
 * paper ask. The bound on a sphere cap: Milnor, Amer. Math. Monthly 76, 1969. */
#include "develop/least_stretch.h"

/* The energy's power goes up to 2^8: the largest stretch then counts e times as much as one
 * 0.4 % smaller. */
#define LAST_DOUBLINGS 8
/* Between powers the descent need only keep up; the last power is taken further. */
#define RELATIVE_TOLERANCE_BETWEEN 1e-3
#define RELATIVE_TOLERANCE_LAST 1e-4
#define MAX_STEPS 200

static double largest_stretch(const TapulRest *rest, const TapulVec2 *flat_mm) {
    double largest = 1;
    for (int t = 0; t < rest->mesh->n_triangles; t++) {
        double s1, s2;
        tapul_jacobian_stretches(tapul_rest_jacobian(rest, t, flat_mm), &s1, &s2);
        largest = fmax(largest, fmax(s1, 1 / s2));
    }
    return largest;
}

gboolean tapul_flatten_evened(TapulFlattening *flattening, TapulDescent *descent,
                              const TapulDevelopOptions *options, TapulVec2 *flat_mm,
                              GError **error) {
    for (int doublings = 2; doublings <= LAST_DOUBLINGS; doublings++) {
        if (options->progress)
            options->progress(0.4 + 0.6 * (doublings - 2) / (LAST_DOUBLINGS - 1), "evening",
                              options->progress_data);
        TapulDescentGoal goal = {
            .doublings = doublings,
            .unit = largest_stretch(flattening->rest, flat_mm),
            .tolerance = doublings < LAST_DOUBLINGS ? RELATIVE_TOLERANCE_BETWEEN
                                                    : RELATIVE_TOLERANCE_LAST,
            .max_steps = MAX_STEPS,
        };
        if (tapul_descent_run(descent, &goal, flat_mm) == TAPUL_DESCENT_CONVERGED)
            continue;
        g_set_error(error, TAPUL_DEVELOP_ERROR, TAPUL_DEVELOP_ERROR_NUMERIC,
                    "the stretch could not be evened: power %d was not settled in %d steps",
                    1 << doublings, MAX_STEPS);
        return FALSE;
    }
    return TRUE;
}
