/* What is counted over trials: intervals that hold the truth, chances that are even where there
 * is nothing, ratios that point the wrong way. */
#ifndef TRIAL_FIGURES_FOR_TESTS_H
#define TRIAL_FIGURES_FOR_TESTS_H

#include "evidence/bootstrap.h"
#include "evidence/likelihood.h"
#include "evidence/rolled_fit.h"

#include <gsl/gsl_sort.h>

#include "trials_for_tests.h"

/* --- Intervals --- */

static inline gboolean trial_bootstrap(const Trial *trial, const TrialTruth *truth, int draws,
                                       guint64 seed, TapulScaleIntervals *made) {
    if (!truth->over_metal) {
        g_autoptr(TapulSitting) sitting =
            tapul_sitting_new(&trial->set, TAPUL_LAYING_VIEWED, (TapulSpot){0});
        return tapul_bootstrap_scale(sitting, truth->reversed, draws, seed, made);
    }
    TapulRolledFit rolled;
    gboolean fits = tapul_rolled_start(&trial->set, truth->reversed, &rolled) &&
                    tapul_bootstrap_scale(rolled.sitting, truth->reversed, draws, seed, made);
    tapul_rolled_fit_clear(&rolled);
    return fits;
}

/* Whether the intervals, in the true geometry and hand, hold the true scale and turn. */
static inline void trial_intervals_hold(const Trial *trial, const TrialTruth *truth, int draws,
                                        guint64 seed, gboolean *scale_held,
                                        gboolean *turn_held) {
    TapulScaleIntervals made;
    gboolean fits = trial_bootstrap(trial, truth, draws, seed, &made);
    *scale_held =
        fits && made.scale_ci95.low <= truth->scale && truth->scale <= made.scale_ci95.high;
    *turn_held = fits && made.turn_ci95_rad.low <= truth->turn_rad &&
                 truth->turn_rad <= made.turn_ci95_rad.high;
}

/* --- Chances --- */

/* Points of a print and points of a plate that have nothing to do with each other. */
static inline void trial_make_unrelated(const TrialField *field, int n, double pick_sd_mm,
                                        gsl_rng *random, Trial *trial) {
    TrialTruth truth = {.over_metal = TRUE, .scale = 1, .higher = 1};
    trial_make(field, &truth, n, pick_sd_mm, random, trial);
    for (int k = 0; k < n; k++)
        trial->print_mm[k] =
            tapul_vec2_add(MARK_MIDDLE_MM, form_point_of_disc(field->reach_mm, random));
}

enum {
    CONVENTION_COUPLES = 5,
    CONVENTION_MIDDLE = 2,
    CONVENTION_PAIRS = 2 * CONVENTION_COUPLES + CONVENTION_MIDDLE
};

/* How the two halves of a symmetric design are paired. */
typedef enum {
    HALVES_APART, /* left and right each by chance: evidence of nothing */
    HALVES_ALIKE  /* what is right is paired as its like on the left, as it is where both have a
                     bird on each side */
} TrialHalves;

/* A composition: couples left and right of the middle line, and points on it, y up, about its
 * own middle. */
static inline void trial_compose(double reach_mm, gsl_rng *random, TapulVec2 *point_mm) {
    for (int c = 0; c < CONVENTION_COUPLES; c++) {
        TapulVec2 p = form_point_of_disc(reach_mm, random);
        point_mm[2 * c] = tapul_vec2(-fabs(p.x), p.y);
        point_mm[2 * c + 1] = tapul_vec2(fabs(p.x), p.y);
    }
    for (int k = 2 * CONVENTION_COUPLES; k < CONVENTION_PAIRS; k++)
        point_mm[k] = tapul_vec2(0, gsl_ran_flat(random, -reach_mm, reach_mm));
}

/* A print and a plate that are each symmetric, as is usual, and have nothing else in common:
 * something left on the one is paired with something left on the other. */
static inline void trial_make_conventional(const TrialField *field, TrialHalves halves,
                                           double pick_sd_mm, gsl_rng *random, Trial *trial) {
    int right[CONVENTION_COUPLES];
    TapulVec2 print_mm[CONVENTION_PAIRS], plate_mm[CONVENTION_PAIRS];
    trial_make_unrelated(field, CONVENTION_PAIRS, pick_sd_mm, random, trial);
    trial_compose(field->reach_mm, random, print_mm);
    trial_compose(field->reach_mm, random, plate_mm);
    for (int c = 0; c < CONVENTION_COUPLES; c++)
        right[c] = 2 * c + 1;
    if (halves == HALVES_APART)
        gsl_ran_shuffle(random, right, CONVENTION_COUPLES, sizeof(int));
    for (int k = 0; k < CONVENTION_PAIRS; k++) {
        int place = k < 2 * CONVENTION_COUPLES && k % 2 ? right[k / 2] : k;
        TapulVec3 at = form_pressed_on(&field->on->form, field->middle_mm, plate_mm[place]);
        trial->print_mm[k] = tapul_vec2_add(MARK_MIDDLE_MM, print_mm[k]);
        trial->spot[k] =
            trial_spot(field, form_picked(&field->on->form, at, pick_sd_mm, random));
    }
}

/* Kolmogorov's distance of n chances (which are sorted) from evenly spread ones. */
static inline double trial_distance_from_even(double *p, int n) {
    double farthest = 0;
    gsl_sort(p, 1, (size_t)n);
    for (int i = 0; i < n; i++)
        farthest = fmax(farthest, fmax(p[i] - i / (double)n, (i + 1) / (double)n - p[i]));
    return farthest;
}

/* --- Ratios --- */

/* Scores of a pool: log odds, normal, of common source and of none. */
typedef struct {
    int pool;
    double apart, sd; /* of the middles of both; of each */
} TrialScores;

static inline double trial_score(const TrialScores *scores, gboolean same, gsl_rng *random) {
    double odds =
        exp((same ? 0.5 : -0.5) * scores->apart + gsl_ran_gaussian(random, scores->sd));
    return odds / (1 + odds);
}

/* Whether a case of known source gets a ratio of over 10 the wrong way, from a pool drawn for
 * it. */
static inline gboolean trial_misleads(const TrialScores *scores, gboolean is_same,
                                      gsl_rng *random) {
    g_autofree double *same = g_new(double, scores->pool),
                      *different = g_new(double, scores->pool);
    for (int i = 0; i < scores->pool; i++) {
        same[i] = trial_score(scores, TRUE, random);
        different[i] = trial_score(scores, FALSE, random);
    }
    double score = trial_score(scores, is_same, random);
    double ratio = tapul_likelihood_ratio(score, scores->pool, same, different).value;
    return is_same ? ratio < 1 / 10.0 : ratio > 10;
}

/* --- A case --- */

static inline void trial_free_pair(gpointer data) {
    TapulPair *pair = data;
    g_free(pair->name);
    g_free(pair);
}

/* A case of one print without ink, as tapul_weigh reads it; the field's plate and the trial are
 * borrowed. */
static inline void trial_case_init(const TrialField *field, const Trial *trial,
                                   TapulCase *question) {
    TapulPrint *print = g_new0(TapulPrint, 1);
    print->id = g_strdup("print");
    print->ink = g_new0(TapulInk, 1);
    print->ink->width_mm = MARK_WIDTH_MM;
    print->ink->height_mm = MARK_HEIGHT_MM;
    *question = (TapulCase){.path = (char *)"trial",
                            .title = (char *)"trial",
                            .plate = field->on->plate,
                            .development = field->on->development,
                            .finder = field->on->finder,
                            .ground = field->on->ground,
                            .prints = g_ptr_array_new(),
                            .pairs = g_ptr_array_new_with_free_func(trial_free_pair),
                            .pick_sd_mm = trial->set.pick_sd_mm};
    g_ptr_array_add(question->prints, print);
    for (int k = 0; k < trial->set.n; k++) {
        TapulPair *pair = g_new0(TapulPair, 1);
        *pair = (TapulPair){
            .name = g_strdup_printf("pair %d", k + 1),
            .print_mm = trial->print_mm[k],
            .spot = trial->spot[k],
            .developed_mm = tapul_development_point_mm(field->on->development, trial->spot[k])};
        g_ptr_array_add(question->pairs, pair);
    }
}

static inline void trial_case_clear(TapulCase *question) {
    TapulPrint *print = g_ptr_array_index(question->prints, 0);
    g_free(print->id);
    g_free(print->ink);
    g_free(print);
    g_ptr_array_unref(question->prints);
    g_ptr_array_unref(question->pairs);
}

#endif
