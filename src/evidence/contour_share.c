/* How much of the misfit of the best view goes away over the metal, and whether these pairs
 * could tell it at all. */
#include "evidence/contour_share.h"
#include "evidence/bootstrap.h"
#include "evidence/power.h"
#include "evidence/sittings.h"

#include <gsl/gsl_rng.h>
#include <string.h>

/* Each truth is drawn so often: the share told rightly is then known to 0.02 (one standard
 * deviation, at 0.8 over both). */
#define POWER_DRAWS 200
/* Parameters of a scaled fit. */
#define SCALED_PARAMETERS 4
/* A misfit no larger than so many times what picking leaves holds too little besides. */
#define LEAST_OVER_PICKING 2.0
/* A resample of fewer different pairs leaves no misfit to compare. */
#define FEWEST_DIFFERENT 3
/* Pairs of which so few resamples can be used have no interval. */
#define MOST_REDRAWS_PER_DRAW 10

typedef struct {
    TapulSittings sittings;
    gboolean reversed[TAPUL_GEOMETRIES];
    double offset; /* what the exact residuals add to the log of the ratio by the metrics */
} Comparison;

/* Misfits too small for any measuring are alike. */
static double log_ratio(double metal_mm2, double viewed_mm2) {
    double least = TAPUL_LEAST_PICK_SD_MM * TAPUL_LEAST_PICK_SD_MM;
    return log(fmax(metal_mm2, least) / fmax(viewed_mm2, least));
}

/* FALSE where the chosen pairs determine too little. */
static gboolean ratio_of_chosen(const Comparison *comparison, int m, const int *chosen,
                                double *log_of_ratio) {
    double mean_mm2[TAPUL_GEOMETRIES];
    for (int g = 0; g < TAPUL_GEOMETRIES; g++)
        mean_mm2[g] = tapul_sittings_rss_mm2(&comparison->sittings, (TapulLayingRule)g,
                                             comparison->reversed[g], m, chosen, chosen) /
                      m;
    double metal_mm2 = fmin(mean_mm2[TAPUL_LAYING_ROLLED], mean_mm2[TAPUL_LAYING_DEVELOPED]);
    if (!isfinite(metal_mm2) || !isfinite(mean_mm2[TAPUL_LAYING_VIEWED]))
        return FALSE;
    *log_of_ratio = comparison->offset + log_ratio(metal_mm2, mean_mm2[TAPUL_LAYING_VIEWED]);
    return TRUE;
}

/* Draws m of the pairs with repeats; returns how many different ones. */
static int draw_pairs(gsl_rng *random, int m, int *chosen, gboolean *seen) {
    int different = 0;
    memset(seen, 0, (gsize)m * sizeof *seen);
    for (int k = 0; k < m; k++) {
        chosen[k] = (int)gsl_rng_uniform_int(random, (unsigned long)m);
        different += !seen[chosen[k]];
        seen[chosen[k]] = TRUE;
    }
    return different;
}

static gboolean draw_ratios(const Comparison *comparison, int n, int draws, guint64 seed,
                            double *ratio) {
    g_autofree int *chosen = g_new(int, n);
    g_autofree gboolean *seen = g_new(gboolean, n);
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(random, (unsigned long)seed);
    int drawn = 0;
    for (int tries = 0; drawn < draws && tries < MOST_REDRAWS_PER_DRAW * draws; tries++)
        if (draw_pairs(random, n, chosen, seen) >= FEWEST_DIFFERENT &&
            ratio_of_chosen(comparison, n, chosen, &ratio[drawn]))
            drawn++;
    gsl_rng_free(random);
    return drawn == draws;
}

static gboolean leave_each_out(const Comparison *comparison, int n, double *ratio) {
    g_autofree int *others = g_new(int, n);
    for (int k = 0; k < n; k++) {
        for (int i = 0; i < n - 1; i++)
            others[i] = i < k ? i : i + 1;
        if (!ratio_of_chosen(comparison, n - 1, others, &ratio[k]))
            return FALSE;
    }
    return TRUE;
}

static TapulInterval interval_of(const Comparison *comparison, int n, double estimate,
                                 int draws, guint64 seed) {
    g_autofree double *ratio = g_new(double, draws), *left_out = g_new(double, n);
    if (!leave_each_out(comparison, n, left_out) ||
        !draw_ratios(comparison, n, draws, seed, ratio))
        return (TapulInterval){NAN, NAN};
    TapulInterval logs =
        tapul_bootstrap_bca(draws, ratio, estimate, n, left_out, SCALED_PARAMETERS);
    return (TapulInterval){1 - exp(logs.high), 1 - exp(logs.low)};
}

static double residual_sd_mm(const TapulHypothesis *row, int n) {
    return row->rms_mm * sqrt(n / (2.0 * n - SCALED_PARAMETERS));
}

/* Misfits in mean squares. Picking leaves 2 sd^2 a pair, less what the parameters take up. */
static double net_share(const TapulHypothesis *viewed, const TapulHypothesis *metal,
                        const TapulPairSet *pairs) {
    double sd_mm = fmax(pairs->pick_sd_mm, TAPUL_LEAST_PICK_SD_MM);
    double picked_mm2 = sd_mm * sd_mm * (2.0 * pairs->n - SCALED_PARAMETERS) / pairs->n;
    double viewed_mm2 = viewed->rms_mm * viewed->rms_mm;
    double metal_mm2 = metal->rms_mm * metal->rms_mm;
    if (viewed_mm2 <= LEAST_OVER_PICKING * picked_mm2)
        return NAN;
    return 1 - fmax(metal_mm2 - picked_mm2, 0) / (viewed_mm2 - picked_mm2);
}

static const TapulHypothesis *better(const TapulHypothesis *a, const TapulHypothesis *b) {
    if (!a || !b)
        return a ? a : b;
    return a->rms_mm <= b->rms_mm ? a : b;
}

TapulContourShare tapul_contour_share(const TapulPairSet *pairs, const GPtrArray *hypotheses,
                                      int draws, guint64 seed) {
    TapulContourShare share = {FALSE, NAN, {NAN, NAN}, NAN, TAPUL_LAYING_ROLLED, NAN};
    const TapulHypothesis *row[TAPUL_GEOMETRIES];
    for (int g = 0; g < TAPUL_GEOMETRIES; g++)
        row[g] = tapul_scaled_row(hypotheses, (TapulLayingRule)g);
    const TapulHypothesis *viewed = row[TAPUL_LAYING_VIEWED];
    const TapulHypothesis *rolled = row[TAPUL_LAYING_ROLLED];
    const TapulHypothesis *metal = better(rolled, row[TAPUL_LAYING_DEVELOPED]);
    if (!viewed || !metal)
        return share;
    Comparison comparison = {
        .sittings = rolled ? tapul_sittings_about(
                                 pairs, tapul_placement_plane(rolled->placement)->chart.anchor)
                           : tapul_sittings_about_middle(pairs)};
    for (int g = 0; g < TAPUL_GEOMETRIES; g++)
        comparison.reversed[g] = row[g] ? row[g]->reversed : metal->reversed;
    double estimate = log_ratio(metal->rms_mm * metal->rms_mm, viewed->rms_mm * viewed->rms_mm);
    double by_metrics;
    share.metal = metal->geometry;
    share.value = 1 - exp(estimate);
    share.net = net_share(viewed, metal, pairs);
    if (ratio_of_chosen(&comparison, pairs->n, NULL, &by_metrics)) {
        comparison.offset = estimate - by_metrics;
        share.ci95 = interval_of(&comparison, pairs->n, estimate, draws, seed);
    }
    double sd_mm = fmin(residual_sd_mm(viewed, pairs->n), residual_sd_mm(metal, pairs->n));
    sd_mm = fmax(fmax(sd_mm, pairs->pick_sd_mm), TAPUL_LEAST_PICK_SD_MM);
    share.told_apart = tapul_told_apart(pairs, viewed, metal, sd_mm, POWER_DRAWS, seed);
    share.can_tell = share.told_apart >= TAPUL_TOLD_APART_LEAST;
    tapul_sittings_clear(&comparison.sittings);
    return share;
}
