/* Similarity scores to a likelihood ratio, with the check that each print of the pool makes
 * when it is left out. Words: ENFSI guideline for evaluative reporting in forensic science,
 * 2015. */
#include "evidence/likelihood.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>

/* Scores of 0 and 1 have no log odds: they are taken as this far off. Finer than any score is
 * known. */
#define SCORE_END 1e-3
/* Scores that are all alike still have some width, in log odds: a score of 0.5 is not known to
 * better than 0.005, by how those of unrelated prints scatter. */
#define LEAST_WIDTH 0.02
/* A wrong-way ratio above MISLEADING is allowed in this share of the leave-one-out ratios. */
#define MISLEADING       10.0
#define MISLEADING_SHARE 0.01
/* Of a smaller pool's ratios above MISLEADING up to 1.9 of 100 pointed the wrong way, of one of
 * this size at most 0.7 (simulated normal log odds, 1 to 6 standard deviations apart). */
#define POOL_FOR_MORE 20

const char *tapul_likelihood_words(double ratio) {
    /* A ratio on the edge of two bands has the words of the weaker. */
    static const struct {
        double up_to;
        const char *words;
    } bands[] = {{10, "weak support"},
                 {100, "moderate support"},
                 {1e3, "moderately strong support"},
                 {1e4, "strong support"},
                 {1e6, "very strong support"}};
    double size = ratio < 1 ? 1 / ratio : ratio;
    if (size < 2)
        return "no support";
    for (guint i = 0; i < G_N_ELEMENTS(bands); i++)
        if (size <= bands[i].up_to)
            return bands[i].words;
    return "extremely strong support";
}

static double log_odds(double score) {
    double inner = CLAMP(score, SCORE_END, 1 - SCORE_END);
    return log(inner / (1 - inner));
}

/* Log odds of scores of one kind, sorted. */
typedef struct {
    int n;
    double *at;
    double middle, width;
} Kind;

static void measure_kind(Kind *kind) {
    size_t n = (size_t)kind->n;
    gsl_sort(kind->at, 1, n);
    double quarter = gsl_stats_quantile_from_sorted_data(kind->at, 1, n, 0.25);
    double three = gsl_stats_quantile_from_sorted_data(kind->at, 1, n, 0.75);
    double spread = fmin(gsl_stats_sd(kind->at, 1, n), (three - quarter) / 1.34);
    kind->middle = gsl_stats_median_from_sorted_data(kind->at, 1, n);
    kind->width = fmax(0.9 * spread * pow(kind->n, -0.2), LEAST_WIDTH);
}

/* without: the one left out, or -1. */
static void fill_kind(Kind *kind, int n, const double *score, int without) {
    kind->n = 0;
    for (int i = 0; i < n; i++)
        if (i != without)
            kind->at[kind->n++] = log_odds(score[i]);
    measure_kind(kind);
}

static double density(const Kind *kind, double at) {
    double sum = 0;
    for (int i = 0; i < kind->n; i++)
        sum += gsl_ran_gaussian_pdf(at - kind->at[i], kind->width);
    return sum / kind->n;
}

/* One more score that might be of either kind: the normal density of all scores together. It
 * keeps gaps between few scores from counting as certainty. */
static double unseen(const Kind *same, const Kind *different, double at) {
    double n = same->n, m = different->n;
    double same_mean = gsl_stats_mean(same->at, 1, (size_t)same->n);
    double different_mean = gsl_stats_mean(different->at, 1, (size_t)different->n);
    double mean = (n * same_mean + m * different_mean) / (n + m);
    double about = gsl_stats_tss_m(same->at, 1, (size_t)same->n, mean) +
                   gsl_stats_tss_m(different->at, 1, (size_t)different->n, mean);
    return gsl_ran_gaussian_pdf(at - mean, fmax(sqrt(about / (n + m - 1)), LEAST_WIDTH));
}

static double ratio_of(const Kind *same, const Kind *different, double score, double limit) {
    double low = fmin(same->middle, different->middle);
    double high = fmax(same->middle, different->middle);
    double at = CLAMP(log_odds(score), low, high), more = unseen(same, different, at);
    double above = (same->n * density(same, at) + more) / (same->n + 1);
    double below = (different->n * density(different, at) + more) / (different->n + 1);
    return CLAMP(above / below, 1 / limit, limit);
}

/* Each print's two scores against the ratio that the others make. */
static double misleading(int pool, const double *same, const double *different, Kind *same_kind,
                         Kind *different_kind) {
    int wrong = 0;
    for (int i = 0; i < pool; i++) {
        fill_kind(same_kind, pool, same, i);
        fill_kind(different_kind, pool, different, i);
        wrong += ratio_of(same_kind, different_kind, same[i], pool) < 1 / MISLEADING;
        wrong += ratio_of(same_kind, different_kind, different[i], pool) > MISLEADING;
    }
    return wrong / (2.0 * pool);
}

TapulLikelihoodRatio tapul_likelihood_ratio(double score, int pool, const double *same,
                                            const double *different) {
    g_assert(pool >= TAPUL_FEWEST_OF_POOL);
    Kind same_kind = {.at = g_new(double, pool)}, different_kind = {.at = g_new(double, pool)};
    TapulLikelihoodRatio made = {.has = TRUE, .score = score, .pool = pool, .limit = pool + 1};
    made.misleading_share = misleading(pool, same, different, &same_kind, &different_kind);
    if (made.misleading_share > MISLEADING_SHARE || pool < POOL_FOR_MORE)
        made.limit = MISLEADING;
    fill_kind(&same_kind, pool, same, -1);
    fill_kind(&different_kind, pool, different, -1);
    made.value = ratio_of(&same_kind, &different_kind, score, made.limit);
    made.words = tapul_likelihood_words(made.value);
    g_free(same_kind.at);
    g_free(different_kind.at);
    return made;
}
