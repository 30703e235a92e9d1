/* What pairs like these could tell: drawn again from the best fit as seen and from the best
 * over the metal (parametric bootstrap; Efron & Tibshirani 1993, 6.5). The fits have as many
 * parameters each, so that the least AICc is the least sum of squares. */
#include "evidence/power.h"
#include "evidence/rolled_fit.h"
#include "evidence/sittings.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>

/* Fewer pairs have no verdict. */
#define FEWEST_PAIRS 4

/* A truth to draw from: the points where it puts them, in every plane, with what a step over
 * the metal is there. */
typedef struct {
    int n;
    TapulVec2 *print_mm; /* [n] */
    TapulSpot *spot;     /* [n] */
    gboolean reversed;
    TapulSittings sittings;                /* drawn pairs */
    TapulVec2 *plane_mm[TAPUL_GEOMETRIES]; /* [n] undisturbed */
    TapulVec3 *by_x[TAPUL_GEOMETRIES], *by_y[TAPUL_GEOMETRIES];
    TapulVec3 *along, *across; /* [n] unit vectors in the metal */
} Truth;

static void truth_clear(Truth *truth) {
    tapul_sittings_clear(&truth->sittings);
    for (int g = 0; g < TAPUL_GEOMETRIES; g++) {
        g_free(truth->plane_mm[g]);
        g_free(truth->by_x[g]);
        g_free(truth->by_y[g]);
    }
    g_free(truth->print_mm);
    g_free(truth->spot);
    g_free(truth->along);
    g_free(truth->across);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(Truth, truth_clear)

/* Points that the placement puts beyond the plate could not have been found there. */
static void place_points(const TapulPairSet *pairs, const TapulPlacement *placement,
                         Truth *truth) {
    truth->print_mm = g_new(TapulVec2, pairs->n);
    truth->spot = g_new(TapulSpot, pairs->n);
    for (int k = 0; k < pairs->n; k++)
        if (tapul_placement_spot(placement, pairs->print_mm[k], &truth->spot[truth->n]))
            truth->print_mm[truth->n++] = pairs->print_mm[k];
}

static void measure_steps(const TapulPairSet *pairs, Truth *truth) {
    const TapulMesh *mesh = pairs->ground->development->mesh;
    gsize n = (gsize)truth->n;
    truth->along = g_new(TapulVec3, n);
    truth->across = g_new(TapulVec3, n);
    for (int k = 0; k < truth->n; k++) {
        TapulGeodesicChart chart = tapul_geodesic_chart(mesh, truth->spot[k]);
        truth->along[k] = chart.x_axis;
        truth->across[k] = chart.y_axis;
    }
    for (int g = 0; g < TAPUL_GEOMETRIES; g++) {
        const TapulSitting *sitting = truth->sittings.sitting[g];
        truth->plane_mm[g] = g_memdup2(sitting->plane_mm, n * sizeof(TapulVec2));
        truth->by_x[g] = g_new(TapulVec3, n);
        truth->by_y[g] = g_new(TapulVec3, n);
        for (int k = 0; k < truth->n; k++)
            tapul_plane_derivatives(&truth->sittings.plane[g], truth->spot[k],
                                    sitting->plane_mm[k], &truth->by_x[g][k],
                                    &truth->by_y[g][k]);
    }
}

/* Rolled is fitted to the truth, as it would be to pairs drawn from it; where it cannot be, its
 * chart is laid about the points' middle. */
static gboolean truth_init(Truth *truth, const TapulPairSet *pairs,
                           const TapulHypothesis *row) {
    truth->reversed = row->reversed;
    place_points(pairs, row->placement, truth);
    if (truth->n < FEWEST_PAIRS)
        return FALSE;
    TapulPairSet placed = *pairs;
    placed.n = truth->n;
    placed.print_mm = truth->print_mm;
    placed.spot = truth->spot;
    TapulRolledFit rolled = {0};
    truth->sittings = tapul_rolled_start(&placed, row->reversed, &rolled)
                          ? tapul_sittings_about(&placed, rolled.plane.chart.anchor)
                          : tapul_sittings_about_middle(&placed);
    tapul_rolled_fit_clear(&rolled);
    measure_steps(pairs, truth);
    return TRUE;
}

/* Moves every point by an error, the same over the metal in every plane. */
static void disturb(Truth *truth, double sd_mm, gsl_rng *random) {
    for (int k = 0; k < truth->n; k++) {
        TapulVec3 error =
            tapul_vec3_add(tapul_vec3_scale(truth->along[k], gsl_ran_gaussian(random, sd_mm)),
                           tapul_vec3_scale(truth->across[k], gsl_ran_gaussian(random, sd_mm)));
        for (int g = 0; g < TAPUL_GEOMETRIES; g++)
            truth->sittings.sitting[g]->plane_mm[k] = tapul_vec2_add(
                truth->plane_mm[g][k],
                tapul_geodesic_newton_step(truth->by_x[g][k], truth->by_y[g][k], error));
    }
}

/* How often the metal fits better than the view. */
static int told_metal(Truth *truth, double sd_mm, int draws, gsl_rng *random) {
    int metal = 0;
    for (int i = 0; i < draws; i++) {
        double rss_mm2[TAPUL_GEOMETRIES];
        disturb(truth, sd_mm, random);
        for (int g = 0; g < TAPUL_GEOMETRIES; g++)
            rss_mm2[g] = tapul_sittings_rss_mm2(&truth->sittings, (TapulLayingRule)g,
                                                truth->reversed, truth->n, NULL, NULL);
        metal += fmin(rss_mm2[TAPUL_LAYING_ROLLED], rss_mm2[TAPUL_LAYING_DEVELOPED]) <
                 rss_mm2[TAPUL_LAYING_VIEWED];
    }
    return metal;
}

double tapul_told_apart(const TapulPairSet *pairs, const TapulHypothesis *viewed,
                        const TapulHypothesis *metal, double sd_mm, int draws, guint64 seed) {
    g_auto(Truth) as_seen = {0};
    g_auto(Truth) over_metal = {0};
    if (!truth_init(&as_seen, pairs, viewed) || !truth_init(&over_metal, pairs, metal))
        return 0;
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(random, (unsigned long)seed);
    int right = draws - told_metal(&as_seen, sd_mm, draws, random);
    right += told_metal(&over_metal, sd_mm, draws, random);
    gsl_rng_free(random);
    return right / (2.0 * draws);
}
