/* How often a weighing finds the truth of simulated cases that closed forms made: drawn as seen
 * or laid over the metal, how freely, which way round; whether its chances, intervals and
 * ratios are what they say; how long one takes. Prints each figure beside the one asked for. */
#include "evidence/contour_share.h"
#include "evidence/permute.h"
#include "evidence/sittings.h"

#include <omp.h>
#include <stdio.h>
#include <stdlib.h>

#include "../unit/trial_figures_for_tests.h"

#define TRIALS     100
#define PAIRS      12
#define PICK_SD_MM 0.5

static void tell_share(const char *what, int right, int of, const char *asked) {
    printf("%-70s %4d of %4d  (%s)\n", what, right, of, asked);
    fflush(stdout);
}

/* --- Drawn as seen, or laid over the metal --- */

typedef struct {
    int right[2]; /* as seen, over the metal */
    int hand;
    int can_tell;
    double told_apart; /* the mean of what each trial says */
} Apart;

/* What one trial says of itself. */
typedef struct {
    double viewed_mm2, metal_mm2;
    TapulInterval share;
} Said;

static void weigh_one(const TrialField *field, int i, Apart *sum, Said *said) {
    gsl_rng *random = trial_generator(1000 + (unsigned long)i);
    TrialTruth truth = trial_similarity(i % 2, random);
    Trial trial;
    trial_make(field, &truth, PAIRS, PICK_SD_MM, random, &trial);
    g_autoptr(GPtrArray) rows = tapul_hypotheses_new(&trial.set);
    const TapulHypothesis *first = g_ptr_array_index(rows, 0);
    TapulContourShare share = tapul_contour_share(&trial.set, rows, 1000, (guint64)i);
    const TapulHypothesis *viewed = tapul_scaled_row(rows, TAPUL_LAYING_VIEWED);
    const TapulHypothesis *metal = tapul_scaled_row(rows, share.metal);
    *said = (Said){viewed->rms_mm * viewed->rms_mm, metal->rms_mm * metal->rms_mm, share.ci95};
#pragma omp critical
    {
        sum->right[i % 2] += (first->geometry != TAPUL_LAYING_VIEWED) == truth.over_metal;
        sum->hand += first->reversed == truth.reversed;
        sum->can_tell += share.can_tell;
        sum->told_apart += share.told_apart / TRIALS;
    }
    gsl_rng_free(random);
}

/* The true share is that of the mean squares over all trials of a kind. */
static int shares_held(const Said *said, int kind, double *true_share) {
    double viewed = 0, metal = 0;
    int held = 0;
    for (int i = kind; i < TRIALS; i += 2) {
        viewed += said[i].viewed_mm2;
        metal += said[i].metal_mm2;
    }
    *true_share = 1 - metal / viewed;
    for (int i = kind; i < TRIALS; i += 2)
        held += said[i].share.low <= *true_share && *true_share <= said[i].share.high;
    return held;
}

static void tell_apart(const TrialPlate *sphere, double swell_mm, double leaning_deg,
                       const char *asked) {
    static const char *const kind[] = {"as seen", "over the metal"};
    TrialField field = trial_field_on_sphere(sphere, swell_mm, leaning_deg);
    Apart sum = {0};
    Said said[TRIALS];
#pragma omp parallel for schedule(dynamic)
    for (int i = 0; i < TRIALS; i++)
        weigh_one(&field, i, &sum, &said[i]);
    printf("A field that swells %g mm, leaning %g degrees:\n", swell_mm, leaning_deg);
    for (int k = 0; k < 2; k++) {
        double true_share;
        int held = shares_held(said, k, &true_share);
        tell_share(kind[k], sum.right[k], TRIALS / 2, asked);
        printf("  contour share %.3f; its 95 %% interval holds it in %d of %d\n", true_share,
               held, TRIALS / 2);
    }
    printf(
        "  it says that it would tell apart %.3f of such, and that it can tell in %d of %d\n",
        sum.told_apart, sum.can_tell, TRIALS);
    tell_share("  direct or reversed", sum.hand, TRIALS, "95 of 100 asked");
}

/* --- How freely --- */

static void tell_freedom(const TrialPlate *sphere, TapulFreedom freedom, gboolean over_metal,
                         int pairs) {
    TrialField field = trial_field_on_sphere(sphere, 25, 0);
    int free_right = 0, hand_right = 0, geometry_right = 0;
#pragma omp parallel for schedule(dynamic) reduction(+ : free_right, hand_right, geometry_right)
    for (int i = 0; i < TRIALS; i++) {
        gsl_rng *random = trial_generator(3000 + (unsigned long)i);
        TrialTruth truth = trial_freedom(freedom, over_metal, random);
        Trial trial;
        trial_make(&field, &truth, pairs, PICK_SD_MM, random, &trial);
        g_autoptr(GPtrArray) rows = tapul_hypotheses_new(&trial.set);
        const TapulHypothesis *first = g_ptr_array_index(rows, 0);
        free_right += first->freedom == freedom;
        hand_right += first->reversed == truth.reversed;
        geometry_right += (first->geometry != TAPUL_LAYING_VIEWED) == over_metal;
        gsl_rng_free(random);
    }
    g_autofree char *what =
        g_strdup_printf("%s, %s, %d pairs: freedom", tapul_freedom_name(freedom),
                        over_metal ? "over the metal" : "as seen", pairs);
    tell_share(what, free_right, TRIALS, "95 of 100 asked");
    printf("  hand %d, geometry %d\n", hand_right, geometry_right);
}

static void tell_freedoms(const TrialPlate *sphere) {
    for (int freedom = 0; freedom <= TAPUL_FREEDOM_BENT; freedom++)
        for (int over_metal = 0; over_metal < 2; over_metal++) {
            tell_freedom(sphere, (TapulFreedom)freedom, over_metal, PAIRS);
            if (freedom == TAPUL_FREEDOM_BENT)
                tell_freedom(sphere, (TapulFreedom)freedom, over_metal, 2 * PAIRS);
        }
}

/* --- Chance --- */

#define CHANCES 500

typedef enum { NOTHING_COMMON, CONVENTION_HALVES_APART, CONVENTION_HALVES_ALIKE } Common;

static void tell_chances(const TrialPlate *sphere, Common common, const char *what) {
    TrialField field = trial_field_on_sphere(sphere, 25, 0);
    double p[CHANCES];
#pragma omp parallel for schedule(dynamic)
    for (int i = 0; i < CHANCES; i++) {
        gsl_rng *random = trial_generator(5000 + (unsigned long)i);
        Trial trial;
        if (common == NOTHING_COMMON)
            trial_make_unrelated(&field, PAIRS, PICK_SD_MM, random, &trial);
        else
            trial_make_conventional(
                &field, common == CONVENTION_HALVES_APART ? HALVES_APART : HALVES_ALIKE,
                PICK_SD_MM, random, &trial);
        p[i] = tapul_chance_of_relabelling(&trial.set, 199, (guint64)i).p;
        gsl_rng_free(random);
    }
    double farthest = trial_distance_from_even(p, CHANCES);
    int small = 0;
    while (small < CHANCES && p[small] <= 0.05)
        small++;
    printf("chance, %-36s Kolmogorov's distance %.4f (limit at 0.01: %.4f); p <= 0.05 in %.3f "
           "(0.05 asked)\n",
           what, farthest, 1.628 / sqrt(CHANCES), small / (double)CHANCES);
}

/* --- Intervals and ratios --- */

static void tell_coverage(const TrialPlate *sphere, gboolean over_metal, int pairs) {
    enum { RUNS = 400 };
    TrialField field = trial_field_on_sphere(sphere, 25, 0);
    int scale_held = 0, turn_held = 0;
#pragma omp parallel for schedule(dynamic) reduction(+ : scale_held, turn_held)
    for (int i = 0; i < RUNS; i++) {
        gsl_rng *random = trial_generator(7000 + (unsigned long)i);
        TrialTruth truth = trial_similarity(over_metal, random);
        Trial trial;
        gboolean scale, turn;
        trial_make(&field, &truth, pairs, PICK_SD_MM, random, &trial);
        trial_intervals_hold(&trial, &truth, 2000, (guint64)i, &scale, &turn);
        scale_held += scale;
        turn_held += turn;
        gsl_rng_free(random);
    }
    printf("95 %% intervals, %s, %d pairs: hold the scale in %.1f %%, the turn in %.1f %% of "
           "%d (90 to 99 asked)\n",
           over_metal ? "over the metal" : "as seen", pairs, 100.0 * scale_held / RUNS,
           100.0 * turn_held / RUNS, RUNS);
}

static void tell_misleading(const TrialScores *scores) {
    enum { RUNS = 4000 };
    int misleading = 0;
#pragma omp parallel for schedule(dynamic) reduction(+ : misleading)
    for (int i = 0; i < RUNS; i++) {
        gsl_rng *random = trial_generator(12000 + (unsigned long)i);
        misleading += trial_misleads(scores, i % 2, random);
        gsl_rng_free(random);
    }
    printf("ratios, pool of %d, log odds %g apart, deviation %g: over 10 the wrong way in %.2f "
           "%% (at most 1 asked)\n",
           scores->pool, scores->apart, scores->sd, 100.0 * misleading / RUNS);
}

/* --- Speed --- */

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Pairs only: no tracing, no pool. One run to warm up. */
static void tell_speed(const TrialPlate *sphere) {
    enum { RUNS = 5 };
    double seconds[RUNS];
    TrialField field = trial_field_on_sphere(sphere, 25, 0);
    gsl_rng *random = trial_generator(1);
    TrialTruth truth = trial_similarity(TRUE, random);
    Trial trial;
    trial_make(&field, &truth, 20, PICK_SD_MM, random, &trial);
    TapulCase question;
    trial_case_init(&field, &trial, &question);
    for (int run = -1; run < RUNS; run++) {
        double start = omp_get_wtime();
        g_autoptr(GError) error = NULL;
        g_autoptr(TapulEvidence) evidence = tapul_weigh(&question, NULL, &error);
        if (!evidence)
            g_error("%s", error->message);
        if (run >= 0)
            seconds[run] = omp_get_wtime() - start;
    }
    qsort(seconds, RUNS, sizeof *seconds, by_size);
    printf("one weigh, 20 pairs, 10,000 permutations, 2,000 bootstraps: median %.2f s, %.2f to "
           "%.2f (5 asked)\n",
           seconds[RUNS / 2], seconds[0], seconds[RUNS - 1]);
    trial_case_clear(&question);
    gsl_rng_free(random);
}

int main(void) {
    static const TrialScores scores[] = {
        {10, 0.8, 1.5}, {20, 0.8, 0.5}, {20, 2, 0.5}, {60, 3, 0.7}};
    g_autoptr(TrialPlate) sphere = trial_sphere();
    printf("%d processors; a sphere of %g mm, %d pairs, picked to %g mm; seeds 1 to 16000\n",
           omp_get_num_procs(), TRIAL_SPHERE_RADIUS_MM, PAIRS, PICK_SD_MM);
    tell_speed(sphere);
    tell_chances(sphere, NOTHING_COMMON, "nothing in common:");
    tell_chances(sphere, CONVENTION_HALVES_APART, "convention, halves paired apart:");
    tell_chances(sphere, CONVENTION_HALVES_ALIKE, "convention, halves paired alike:");
    for (int over_metal = 0; over_metal < 2; over_metal++)
        for (int pairs = 12; pairs <= 20; pairs += 8)
            tell_coverage(sphere, over_metal, pairs);
    for (guint i = 0; i < G_N_ELEMENTS(scores); i++)
        tell_misleading(&scores[i]);
    tell_apart(sphere, 25, 0, "95 of 100 asked");
    tell_apart(sphere, 15, 20, "95 of 100 asked");
    tell_apart(sphere, 16, 0, "best possible test 0.91");
    tell_apart(sphere, 10, 0, "best possible test 0.74");
    tell_freedoms(sphere);
    return EXIT_SUCCESS;
}
