/* How far scale and turn are known: the pairs are drawn anew, with repeats, and the scaled fit
 * taken of each draw. Efron, Better Bootstrap Confidence Intervals, JASA 82 (1987) 171-185. */
#include "evidence/bootstrap.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>

/* The chance left out at either end of an interval. */
#define TAIL 0.025
/* A draw that determines no fit is repeated; pairs of which so few draws do are not fitted. */
#define MOST_REDRAWS_PER_DRAW 10

/* What part of the way from the least replicate to the greatest an end of the interval lies
 * (Efron & Tibshirani 1993, eq. 14.10). */
static double adjusted_level(double bias, double acceleration, double quantile) {
    double moved = bias + quantile;
    return gsl_cdf_ugaussian_P(bias + moved / (1 - acceleration * moved));
}

/* Eq. 14.15, the skewness of the estimates with one datum left out. */
static double acceleration_of(int n, const double *left_out) {
    double mean = gsl_stats_mean(left_out, 1, (size_t)n), squares = 0, cubes = 0;
    for (int k = 0; k < n; k++) {
        double d = mean - left_out[k];
        squares += d * d;
        cubes += d * d * d;
    }
    return squares > 0 ? cubes / (6 * pow(squares, 1.5)) : 0;
}

TapulInterval tapul_bootstrap_bca(int draws, double *replicate, double estimate, int n,
                                  const double *left_out, double parameters) {
    gsl_sort(replicate, 1, (size_t)draws);
    double below = 0;
    for (int i = 0; i < draws; i++)
        below += replicate[i] < estimate ? 1 : replicate[i] == estimate ? 0.5 : 0;
    /* Half a draw from either end keeps the bias finite. */
    double bias = gsl_cdf_ugaussian_Pinv(CLAMP(below / draws, 0.5 / draws, 1 - 0.5 / draws));
    double acceleration = acceleration_of(n, left_out);
    double left = 2 * n - parameters;
    double quantile = gsl_cdf_tdist_Qinv(TAIL, left) * sqrt(2 * n / left);
    return (TapulInterval){
        gsl_stats_quantile_from_sorted_data(replicate, 1, (size_t)draws,
                                            adjusted_level(bias, acceleration, -quantile)),
        gsl_stats_quantile_from_sorted_data(replicate, 1, (size_t)draws,
                                            adjusted_level(bias, acceleration, quantile))};
}

/* Scale and turn of the fit to chosen pairs; the turn within half a circle of `about_rad`. */
static gboolean fit_chosen(const TapulSitting *sitting, gboolean reversed, int m,
                           const int *chosen, double about_rad, double *scale,
                           double *turn_rad) {
    TapulPlaneFit fit;
    if (!tapul_plane_fit(sitting, TAPUL_FREEDOM_SCALED, reversed, m, chosen, chosen, 0, &fit))
        return FALSE;
    *scale = tapul_vec2_length(fit.by_y);
    *turn_rad = about_rad + remainder(atan2(-fit.by_y.x, fit.by_y.y) - about_rad, 2 * G_PI);
    return TRUE;
}

typedef struct {
    double scale, turn_rad;
    double *scales, *turns_rad;                   /* [draws] */
    double *left_out_scales, *left_out_turns_rad; /* [n] */
    int redrawn;
} Replicates;

static void replicates_clear(Replicates *made) {
    g_free(made->scales);
    g_free(made->turns_rad);
    g_free(made->left_out_scales);
    g_free(made->left_out_turns_rad);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(Replicates, replicates_clear)

static gboolean leave_each_out(const TapulSitting *sitting, gboolean reversed,
                               Replicates *made) {
    int n = sitting->n;
    g_autofree int *others = g_new(int, n);
    made->left_out_scales = g_new(double, n);
    made->left_out_turns_rad = g_new(double, n);
    for (int k = 0; k < n; k++) {
        for (int i = 0; i < n - 1; i++)
            others[i] = i < k ? i : i + 1;
        if (!fit_chosen(sitting, reversed, n - 1, others, made->turn_rad,
                        &made->left_out_scales[k], &made->left_out_turns_rad[k]))
            return FALSE;
    }
    return TRUE;
}

static gboolean draw_all(const TapulSitting *sitting, gboolean reversed, int draws,
                         gsl_rng *random, Replicates *made) {
    int n = sitting->n;
    g_autofree int *chosen = g_new(int, n);
    made->scales = g_new(double, draws);
    made->turns_rad = g_new(double, draws);
    for (int i = 0; i < draws;) {
        for (int k = 0; k < n; k++)
            chosen[k] = (int)gsl_rng_uniform_int(random, (unsigned long)n);
        if (fit_chosen(sitting, reversed, n, chosen, made->turn_rad, &made->scales[i],
                       &made->turns_rad[i]))
            i++;
        else if (++made->redrawn > MOST_REDRAWS_PER_DRAW * draws)
            return FALSE;
    }
    return TRUE;
}

gboolean tapul_bootstrap_scale(const TapulSitting *sitting, gboolean reversed, int draws,
                               guint64 seed, TapulScaleIntervals *intervals) {
    g_auto(Replicates) made = {0};
    const double parameters = 4;
    g_assert(draws >= 100);
    if (sitting->n < 4 ||
        !fit_chosen(sitting, reversed, sitting->n, NULL, 0, &made.scale, &made.turn_rad))
        return FALSE;
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(random, (unsigned long)seed);
    gboolean drawn = leave_each_out(sitting, reversed, &made) &&
                     draw_all(sitting, reversed, draws, random, &made);
    gsl_rng_free(random);
    if (!drawn)
        return FALSE;
    intervals->redrawn = made.redrawn;
    intervals->scale_ci95 = tapul_bootstrap_bca(draws, made.scales, made.scale, sitting->n,
                                                made.left_out_scales, parameters);
    intervals->turn_ci95_rad = tapul_bootstrap_bca(
        draws, made.turns_rad, made.turn_rad, sitting->n, made.left_out_turns_rad, parameters);
    return TRUE;
}
