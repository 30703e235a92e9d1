/* Looks for the slips that a list of pairs invites: swapped names, and one pair that turns the
 * verdict. */
#include "evidence/suspect.h"
#include "evidence/hypothesis.h"
#include "evidence/score.h"
#include "evidence/sittings.h"

#include <gsl/gsl_cdf.h>

/* The chance that any exchange of an honest list is called a swap. */
#define SWAP_LEVEL 0.001
/* Parameters of a scaled fit. */
#define SCALED_PARAMETERS 4
/* Without a pair too few would be left for a verdict. */
#define FEWEST_PAIRS 4

static double pick_variance_mm2(const TapulPairSet *pairs) {
    double sd_mm = fmax(pairs->pick_sd_mm, TAPUL_LEAST_PICK_SD_MM);
    return sd_mm * sd_mm;
}

/* --- Swapped names --- */

typedef struct {
    int one, other;
    double rss_mm2;
} Exchange;

static Exchange best_exchange(const TapulSittings *sittings, int n) {
    Exchange best = {-1, -1, INFINITY};
    g_autofree int *to = g_new(int, n);
    for (int k = 0; k < n; k++)
        to[k] = k;
    for (int i = 0; i < n; i++)
        for (int j = i + 1; j < n; j++) {
            to[i] = j;
            to[j] = i;
            double rss_mm2 = tapul_sittings_least_rss_mm2(sittings, n, NULL, to);
            if (rss_mm2 < best.rss_mm2)
                best = (Exchange){i, j, rss_mm2};
            to[i] = i;
            to[j] = j;
        }
    return best;
}

static int find_swap(const TapulPairSet *pairs, const char *const *names,
                     const TapulSittings *sittings, char **why) {
    int n = pairs->n;
    double left = 2 * n - SCALED_PARAMETERS, exchanges = n * (n - 1) / 2.0;
    double before_mm2 = tapul_sittings_least_rss_mm2(sittings, n, NULL, NULL);
    Exchange best = best_exchange(sittings, n);
    double least_mm2 = left * pick_variance_mm2(pairs);
    double ratio = fmax(before_mm2, least_mm2) / fmax(best.rss_mm2, least_mm2);
    if (!isfinite(ratio) || gsl_cdf_fdist_Q(ratio, left, left) * exchanges >= SWAP_LEVEL)
        return -1;
    *why = g_strdup_printf("the pairs '%s' and '%s' look swapped: with their plate points "
                           "exchanged the misfit falls from %.2f to %.2f mm",
                           names[best.one], names[best.other], sqrt(before_mm2 / n),
                           sqrt(best.rss_mm2 / n));
    return best.one;
}

/* --- A pair that turns the verdict --- */

/* The geometry and hand of least AICc, and by how much the best of any other geometry, and of
 * the other hand, is above it. */
typedef struct {
    TapulLayingRule geometry;
    gboolean reversed;
    double geometry_lead, hand_lead;
} Leader;

static double aicc_of(const TapulPairSet *pairs, const TapulSitting *sitting, gboolean reversed,
                      int m, const int *chosen) {
    double least = INFINITY;
    for (int freedom = 0; freedom <= TAPUL_FREEDOM_STRETCHED; freedom++) {
        TapulPlaneFit fit;
        if (tapul_plane_fit(sitting, (TapulFreedom)freedom, reversed, m, chosen, chosen, 0,
                            &fit))
            least = fmin(least, tapul_score_aicc(2 * m, fit.rss_mm2, pick_variance_mm2(pairs),
                                                 fit.parameters + 1));
    }
    return least;
}

static Leader leader_of(const TapulPairSet *pairs, const TapulSittings *sittings, int m,
                        const int *chosen) {
    Leader leader = {TAPUL_LAYING_VIEWED, FALSE, 0, 0};
    double aicc[TAPUL_GEOMETRIES][2], least = INFINITY;
    double other_geometry = INFINITY, other_hand = INFINITY;
    for (int g = 0; g < TAPUL_GEOMETRIES; g++)
        for (int hand = 0; hand < 2; hand++) {
            aicc[g][hand] = aicc_of(pairs, sittings->sitting[g], hand, m, chosen);
            if (aicc[g][hand] < least) {
                least = aicc[g][hand];
                leader.geometry = (TapulLayingRule)g;
                leader.reversed = hand;
            }
        }
    if (!isfinite(least))
        return leader;
    for (int g = 0; g < TAPUL_GEOMETRIES; g++)
        for (int hand = 0; hand < 2; hand++) {
            if (g != (int)leader.geometry)
                other_geometry = fmin(other_geometry, aicc[g][hand]);
            if (hand != leader.reversed)
                other_hand = fmin(other_hand, aicc[g][hand]);
        }
    leader.geometry_lead = other_geometry - least;
    leader.hand_lead = other_hand - least;
    return leader;
}

/* By how much the pairs without one clearly speak for what the whole clearly speaks against; 0:
 * they do not. */
static double turned_hand(const Leader *whole, const Leader *without) {
    double clear = fmin(whole->hand_lead, without->hand_lead);
    return without->reversed != whole->reversed && clear > TAPUL_AICC_UNTOLD
               ? without->hand_lead
               : 0;
}

static double turned_geometry(const Leader *whole, const Leader *without) {
    double clear = fmin(whole->geometry_lead, without->geometry_lead);
    return without->geometry != whole->geometry && clear > TAPUL_AICC_UNTOLD
               ? without->geometry_lead
               : 0;
}

static char *turning_words(const char *name, const Leader *whole, const Leader *without) {
    gboolean hand = turned_hand(whole, without) > 0;
    return g_strdup_printf(
        "the verdict hangs on the pair '%s': without it the others speak for %s, with it all "
        "speak for %s",
        name,
        hand ? (without->reversed ? "reversed" : "direct")
             : tapul_laying_rule_name(without->geometry),
        hand ? (whole->reversed ? "reversed" : "direct")
             : tapul_laying_rule_name(whole->geometry));
}

static int find_turning(const TapulPairSet *pairs, const char *const *names,
                        const TapulSittings *sittings, char **why) {
    int turning = -1, n = pairs->n;
    double most = 0;
    g_autofree int *others = g_new(int, n);
    Leader whole = leader_of(pairs, sittings, n, NULL), turner = whole;
    for (int k = 0; k < n && n > FEWEST_PAIRS; k++) {
        for (int i = 0; i < n - 1; i++)
            others[i] = i < k ? i : i + 1;
        Leader without = leader_of(pairs, sittings, n - 1, others);
        double turned = fmax(turned_hand(&whole, &without), turned_geometry(&whole, &without));
        if (turned > most) {
            most = turned;
            turner = without;
            turning = k;
        }
    }
    if (turning >= 0)
        *why = turning_words(names[turning], &whole, &turner);
    return turning;
}

int tapul_suspect(const TapulPairSet *pairs, const char *const *names,
                  const GPtrArray *hypotheses, char **why) {
    const TapulHypothesis *rolled = tapul_scaled_row(hypotheses, TAPUL_LAYING_ROLLED);
    g_auto(TapulSittings) sittings =
        rolled ? tapul_sittings_about(pairs,
                                      tapul_placement_plane(rolled->placement)->chart.anchor)
               : tapul_sittings_about_middle(pairs);
    *why = NULL;
    int swapped = find_swap(pairs, names, &sittings, why);
    return swapped >= 0 ? swapped : find_turning(pairs, names, &sittings, why);
}
