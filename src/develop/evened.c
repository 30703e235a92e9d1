/* The evened development: from the least mean stretch on, in rising powers of the principal
 * stretches, until only the largest stretch and the largest shrink count. What sheet metal and
 * paper ask. The bound on a sphere cap: Milnor, Amer. Math. Monthly 76, 1969. */
#include "develop/least_stretch.h"

/* The energy's power p is doubled from where the largest stretch, to that power, counts e^5
 * times as much as none (lower powers change nothing) to where it counts e^60 times as much:
 * the largest strain is then within about 5 % of the least there can be, on a 60-degree cap and
 * on one of 10 degrees alike. Each further doubling costs as much as all before. */
#define FIRST_WEIGHT_EXPONENT 5.0
#define LAST_WEIGHT_EXPONENT 60.0
#define LEAST_DOUBLINGS       2
/* p of a million: strains below 4e-5, which are nothing to paper or metal, are not evened
 * further. */
#define MOST_DOUBLINGS 20
/* Share of the energy that the next step must be worth. */
#define RELATIVE_TOLERANCE 1e-2
/* Plates settle each power in 1 to 15 steps. */
#define MAX_STEPS 1000
/* Share of a development's time that is spent when evening begins, about. */
#define PROGRESS_BEFORE 0.2

/* The largest stretch or shrink, and what it would be at the best overall scale, as a log. */
static double largest_stretch(const TapulRest *rest, const TapulVec2 *flat_mm,
                              double *log_at_best) {
    double most, least;
    tapul_rest_extremes(rest, flat_mm, &most, &least);
    *log_at_best = 0.5 * log(most / least);
    return fmax(most, 1 / least);
}

static double weight_exponent(int doublings, double log_stretch) {
    return (double)(1 << doublings) * log_stretch;
}

static void tell_progress(const TapulDevelopOptions *options, double exponent) {
    if (!options->progress)
        return;
    double done = log2(fmax(exponent, FIRST_WEIGHT_EXPONENT) / FIRST_WEIGHT_EXPONENT) /
                  log2(2 * LAST_WEIGHT_EXPONENT / FIRST_WEIGHT_EXPONENT);
    options->progress(PROGRESS_BEFORE + (1 - PROGRESS_BEFORE) * fmin(done, 1), "evening",
                      options->progress_data);
}

gboolean tapul_flatten_evened(TapulFlattening *flattening, TapulDescent *descent,
                              const TapulDevelopOptions *options, TapulVec2 *flat_mm,
                              GError **error) {
    double log_stretch, largest = largest_stretch(flattening->rest, flat_mm, &log_stretch);
    int doublings = LEAST_DOUBLINGS;
    while (doublings < MOST_DOUBLINGS &&
           weight_exponent(doublings, log_stretch) < FIRST_WEIGHT_EXPONENT)
        doublings++;
    for (; doublings < MOST_DOUBLINGS; doublings++) {
        tell_progress(options, weight_exponent(doublings, log_stretch));
        TapulDescentGoal goal = {doublings, largest, RELATIVE_TOLERANCE, MAX_STEPS};
        if (tapul_descent_run(descent, &goal, flat_mm) != TAPUL_DESCENT_CONVERGED) {
            g_set_error(error, TAPUL_DEVELOP_ERROR, TAPUL_DEVELOP_ERROR_NUMERIC,
                        "the stretch could not be evened: power %d was not settled in %d steps",
                        1 << doublings, MAX_STEPS);
            return FALSE;
        }
        largest = largest_stretch(flattening->rest, flat_mm, &log_stretch);
        if (weight_exponent(doublings, log_stretch) >= LAST_WEIGHT_EXPONENT)
            break;
    }
    return TRUE;
}
