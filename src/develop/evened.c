/* The evened development: from the least mean stretch on, in rising powers of the principal
 * stretches, until only the largest stretch and the largest shrink count. What sheet metal and
 * paper ask. The bound on a sphere cap: Milnor, Amer. Math. Monthly 76, 1969. */
#include "develop/least_stretch.h"

/* The energy's power ends at 2^9: there the largest stretch counts e times as much as one 0.2 %
 * smaller. A 60-degree cap then comes within 0.4 % of its bound; each further doubling costs as
 * much as all before. */
#define LAST_DOUBLINGS 9
/* It begins where the largest stretch counts about e^5 times as much as none: at once 2^5 on
 * most plates, where lower powers change nothing, less where the stretch is large. */
#define FIRST_DOUBLINGS_LEAST 2
#define FIRST_DOUBLINGS_MOST  5
#define FIRST_WEIGHT_EXPONENT 5.0
/* Share of the energy that the next step must be worth. The p-th root of the energy is the
 * largest stretch: 1e-2 of the one is 2e-5 of the other at the last power. */
#define RELATIVE_TOLERANCE 1e-2
/* Plates settle each power in 1 to 15 steps. */
#define MAX_STEPS 1000
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

static int first_doublings(double largest) {
    double wanted = log2(FIRST_WEIGHT_EXPONENT / log(largest));
    return (int)CLAMP(wanted, FIRST_DOUBLINGS_LEAST, FIRST_DOUBLINGS_MOST);
}

gboolean tapul_flatten_evened(TapulFlattening *flattening, TapulDescent *descent,
                              const TapulDevelopOptions *options, TapulVec2 *flat_mm,
                              GError **error) {
    int first = first_doublings(largest_stretch(flattening->rest, flat_mm));
    for (int doublings = first; doublings <= LAST_DOUBLINGS; doublings++) {
        double done = (doublings - first) / (1.0 + LAST_DOUBLINGS - first);
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
