/* The evened development: from the least mean stretch on, in rising powers of the principal
 * stretches, until only the largest stretch and the largest shrink count. What sheet metal and
 * paper ask. The bound on a sphere cap: Milnor, Amer. Math. Monthly 76, 1969. */
#include "develop/least_stretch.h"

/* The energy's power goes from 2^5, which lower ones do not bring nearer, to 2^9: there the
 * largest stretch counts e times as much as one 0.2 % smaller. A 60-degree cap then comes within
 * 0.4 % of its bound; each further doubling costs as much as all before. */
#define FIRST_DOUBLINGS 5
#define LAST_DOUBLINGS 9
/* Share of the energy that the next step must be worth. The p-th root of the energy is the
 * largest stretch: 1e-2 of the one is 2e-5 of the other at the last power. */
#define RELATIVE_TOLERANCE 1e-2
#define MAX_STEPS 200
/* Share of a development's time that is spent when evening begins, about. */
#define PROGRESS_BEFORE 0.3

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
    for (int doublings = FIRST_DOUBLINGS; doublings <= LAST_DOUBLINGS; doublings++) {
        double done = (doublings - FIRST_DOUBLINGS) / (1.0 + LAST_DOUBLINGS - FIRST_DOUBLINGS);
        if (options->progress)
            options->progress(PROGRESS_BEFORE + (1 - PROGRESS_BEFORE) * done, "evening",
                              options->progress_data);
        TapulDescentGoal goal = {doublings, largest_stretch(flattening->rest, flat_mm),
                                 RELATIVE_TOLERANCE, MAX_STEPS};
        if (tapul_descent_run(descent, &goal, flat_mm) == TAPUL_DESCENT_CONVERGED)
            continue;
        g_set_error(error, TAPUL_DEVELOP_ERROR, TAPUL_DEVELOP_ERROR_NUMERIC,
                    "the stretch could not be evened: power %d was not settled in %d steps",
                    1 << doublings, MAX_STEPS);
        return FALSE;
    }
    return TRUE;
}
