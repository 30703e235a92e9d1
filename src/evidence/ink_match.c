/* The ink match after the preferred laying: refinement, shares by tolerance both ways, and
 * random placements of the same ink. */
#include "evidence/ink_match.h"

#include <gsl/gsl_rng.h>
#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>

const double tapul_match_tolerances_mm[8] = {0.25, 0.5, 1, 1.5, 2, 3, 4, 5};
#define N_TOLERANCES ((int)G_N_ELEMENTS(tapul_match_tolerances_mm))

/* Refinements look at this many samples: a share of one half is known to 0.013. */
#define REFINE_SAMPLES 1500
/* Shares of a random placement are taken over so many: each is known to 0.01. */
#define BAND_SAMPLES 3000
/* Bounds of the refinement: three standard deviations of picking, at least 3 mm, as much as a
 * tracing's page may be shifted; turn and scale that move ink 60 mm off by that much. */
#define PICK_SDS         3.0
#define LEAST_SHIFT_MM   3.0
#define MOST_TURN_RAD    (3 * G_PI / 180)
#define MOST_SCALE_SHARE 0.02
/* Designs stand upright, unrelated ones too. */
#define RANDOM_TURN_RAD (15 * G_PI / 180)
/* A random placement keeps this share of the overlap with the plate's ink that the preferred
 * one has, or it would lose merely by leaving the ink. */
#define OVERLAP_KEPT 0.8
#define OVERLAP_MM   5.0
/* It is taken over every tenth sample, and known to 0.04. */
#define OVERLAP_STEP 10
/* Draws for a placement that keeps it; after them the one of most overlap is taken. */
#define OVERLAP_TRIES 60

TapulMatchOptions tapul_match_options_defaults(void) {
    return (TapulMatchOptions){200, 1, 0.5, 0.5};
}

TapulMoveBounds tapul_match_bounds(const TapulMatchOptions *options) {
    return (TapulMoveBounds){fmax(LEAST_SHIFT_MM, PICK_SDS * options->pick_sd_mm),
                             MOST_TURN_RAD, MOST_SCALE_SHARE};
}

/* --- Laying --- */

/* The print's ink in the development; adds what leaves the plate to *lost_mm. */
static GArray *lay_samples(const TapulInk *print, const TapulPlacement *placement,
                           double *print_mm, double *lost_mm) {
    g_autoptr(GArray) nodes = tapul_ink_nodes(print);
    g_autoptr(GArray) flat = tapul_ink_samples(nodes);
    TapulInkNode *node = (TapulInkNode *)(gpointer)nodes->data;
    g_autoptr(GArray) laid = g_array_copy(nodes);
    TapulInkNode *laid_node = (TapulInkNode *)(gpointer)laid->data;
#pragma omp parallel for schedule(dynamic, 256)
    for (guint i = 0; i < nodes->len; i++)
        if (!tapul_placement_developed(placement, node[i].at_mm, &laid_node[i].at_mm))
            laid_node[i].at_mm = tapul_vec2(NAN, NAN);
    *print_mm = *lost_mm = 0;
    for (guint i = 0; i < flat->len; i++)
        *print_mm += g_array_index(flat, TapulInkSample, i).weight_mm;
    for (guint i = 1; i < nodes->len; i++)
        if (!node[i].starts &&
            !(isfinite(laid_node[i].at_mm.x) && isfinite(laid_node[i - 1].at_mm.x)))
            *lost_mm += tapul_vec2_distance(node[i].at_mm, node[i - 1].at_mm) *
                        (node[i].fill ? 0.5 : 1);
    return tapul_ink_samples(laid);
}

/* --- Shares --- */

typedef struct {
    double print[N_TOLERANCES], plate[N_TOLERANCES];
} Shares;

/* Of the ink in `from`, moved, the shares within each tolerance of ink on `to`; by every
 * step-th sample. */
static void shares_of(const GArray *from, guint step, const TapulMove *move, gboolean back,
                      const TapulInkMap *to, double share[N_TOLERANCES]) {
    double all_mm = 0, near_mm[N_TOLERANCES] = {0};
    for (guint i = step / 2; i < from->len; i += step) {
        const TapulInkSample *sample = &g_array_index(from, TapulInkSample, i);
        double angle_rad = back ? tapul_move_angle_back(move, sample->angle_rad)
                                : tapul_move_angle(move, sample->angle_rad);
        TapulVec2 at_mm =
            back ? tapul_move_back(move, sample->at_mm) : tapul_move_point(move, sample->at_mm);
        double away_mm = tapul_ink_map_distance_mm(to, at_mm, tapul_ink_bin(angle_rad));
        /* What is near is measured where the sample lies, not where it was moved from. */
        away_mm *= back ? move->scale : 1;
        all_mm += sample->weight_mm;
        for (int k = 0; k < N_TOLERANCES; k++)
            near_mm[k] += away_mm <= tapul_match_tolerances_mm[k] ? sample->weight_mm : 0;
    }
    for (int k = 0; k < N_TOLERANCES; k++)
        share[k] = all_mm > 0 ? near_mm[k] / all_mm : 0;
}

/* By at most about n_most samples either way. */
static Shares both_shares(const TapulInkMap *laid, const TapulMove *move,
                          const TapulInkMap *plate, guint n_most) {
    Shares shares;
    shares_of(laid->samples, 1 + laid->samples->len / n_most, move, FALSE, plate, shares.print);
    shares_of(plate->samples, 1 + plate->samples->len / n_most, move, TRUE, laid, shares.plate);
    return shares;
}

/* --- Random placements --- */

typedef struct {
    const TapulInkMap *laid, *plate;
    const TapulThinned *thinned, *plate_ink;
    TapulMoveBounds bounds;
    double overlap; /* wanted */
} Lottery;

static double overlap_of(const Lottery *lottery, const TapulMove *move) {
    int near = 0, n = 0;
    for (int i = 0; i < lottery->thinned->n; i += OVERLAP_STEP, n++)
        near += tapul_ink_map_distance_mm(lottery->plate,
                                          tapul_move_point(move, lottery->thinned->at_mm[i]),
                                          TAPUL_INK_BINS) <= OVERLAP_MM;
    return (double)near / MAX(n, 1);
}

/* Both ways: of a tracing of outlines little of a print's ink is found, yet all of the tracing
 * is explained; of a rich plate much is found by chance. */
static double match_of(const Lottery *lottery, const TapulMove *move) {
    return sqrt(
        tapul_match_mean(lottery->thinned, move, lottery->plate, TAPUL_MATCH_REACH_MM) *
        tapul_match_back(lottery->plate_ink, move, lottery->laid, TAPUL_MATCH_REACH_MM));
}

static double between(gsl_rng *random, double low, double high) {
    return low + (high - low) * gsl_rng_uniform(random);
}

/* Nothing of the preferred placement's own neighbourhood: a refinement from there would only
 * come back to it. */
static gboolean is_elsewhere(const Lottery *lottery, const TapulMove *move) {
    return move->reversed || fabs(move->turn_rad) > 2 * lottery->bounds.turn_rad ||
           tapul_vec2_length(move->shift_mm) > 2 * lottery->bounds.shift_mm;
}

static TapulMove draw_move(const Lottery *lottery, gsl_rng *random) {
    TapulBox box = lottery->plate->box_mm;
    TapulMove best = tapul_move_none(lottery->thinned->centre_mm);
    double most = -1;
    for (int i = 0; i < OVERLAP_TRIES && most < lottery->overlap; i++) {
        TapulMove move = tapul_move_none(lottery->thinned->centre_mm);
        TapulVec2 to = {between(random, box.min.x, box.max.x),
                        between(random, box.min.y, box.max.y)};
        move.shift_mm = tapul_vec2_sub(to, move.centre_mm);
        move.turn_rad = between(random, -RANDOM_TURN_RAD, RANDOM_TURN_RAD);
        move.reversed = gsl_rng_uniform(random) < 0.5;
        double overlap = is_elsewhere(lottery, &move) ? overlap_of(lottery, &move) : -1;
        if (overlap > most) {
            most = overlap;
            best = move;
        }
    }
    return best;
}

/* Each draw has a generator of its own, so that threads do not matter. */
static void draw_placements(const Lottery *lottery, const TapulMatchOptions *options,
                            double *match, Shares *shares) {
#pragma omp parallel for schedule(dynamic)
    for (int draw = 0; draw < options->draws; draw++) {
        gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
        gsl_rng_set(random, (unsigned long)(options->seed + (guint64)draw));
        TapulMove move = draw_move(lottery, random);
        tapul_match_refine(lottery->thinned, lottery->plate, lottery->bounds, &move);
        match[draw] = match_of(lottery, &move);
        shares[draw] = both_shares(lottery->laid, &move, lottery->plate, BAND_SAMPLES);
        gsl_rng_free(random);
    }
}

static TapulInterval band(const Shares *shares, int draws, int k, gboolean plate) {
    g_autofree double *value = g_new(double, (gsize)MAX(draws, 1));
    for (int i = 0; i < draws; i++)
        value[i] = plate ? shares[i].plate[k] : shares[i].print[k];
    gsl_sort(value, 1, (size_t)draws);
    return (TapulInterval){gsl_stats_quantile_from_sorted_data(value, 1, (size_t)draws, 0.025),
                           gsl_stats_quantile_from_sorted_data(value, 1, (size_t)draws, 0.975)};
}

static void fill_figures(TapulInkMatch *match, const TapulInkMap *plate,
                         const TapulThinned *thinned, const TapulMatchOptions *options) {
    TapulMove none = tapul_move_none(thinned->centre_mm);
    Shares here = both_shares(match->laid, &none, plate, G_MAXUINT / 2);
    g_autofree Shares *shares = g_new0(Shares, (gsize)options->draws);
    g_autofree double *drawn = g_new0(double, (gsize)options->draws);
    g_autoptr(TapulThinned) plate_ink =
        tapul_thinned_new(plate->samples, TAPUL_ALL_MOTIFS, REFINE_SAMPLES);
    Lottery lottery = {match->laid, plate, thinned, plate_ink, tapul_match_bounds(options), 0};
    lottery.overlap = OVERLAP_KEPT * overlap_of(&lottery, &none);
    draw_placements(&lottery, options, drawn, shares);
    double here_match = match_of(&lottery, &none);
    int as_good = 0;
    for (int i = 0; i < options->draws; i++)
        as_good += drawn[i] >= here_match;
    match->chance = (TapulChance){"random placement of ink", options->draws, options->seed,
                                  (as_good + 1.0) / (options->draws + 1.0)};
    for (int k = 0; k < N_TOLERANCES; k++) {
        TapulMatchPoint point = {tapul_match_tolerances_mm[k], here.print[k], here.plate[k],
                                 band(shares, options->draws, k, FALSE),
                                 band(shares, options->draws, k, TRUE)};
        g_array_append_val(match->points, point);
    }
}

/* --- All of it --- */

static GArray *move_samples(const GArray *samples, const TapulMove *move) {
    GArray *moved = g_array_sized_new(FALSE, FALSE, sizeof(TapulInkSample), samples->len);
    for (guint i = 0; i < samples->len; i++) {
        TapulInkSample sample =
            tapul_move_sample(move, g_array_index(samples, TapulInkSample, i));
        g_array_append_val(moved, sample);
    }
    return moved;
}

TapulInkMatch *tapul_ink_match_new(const TapulInk *print, const TapulPlacement *placement,
                                   const TapulInkMap *plate, const TapulMatchOptions *options) {
    g_assert(options->draws > 0);
    TapulInkMatch *match = g_new0(TapulInkMatch, 1);
    g_autoptr(GArray) laid = lay_samples(print, placement, &match->print_mm, &match->lost_mm);
    g_autoptr(TapulThinned) first = tapul_thinned_new(laid, TAPUL_ALL_MOTIFS, REFINE_SAMPLES);
    match->refined = tapul_move_none(first->centre_mm);
    tapul_match_refine(first, plate, tapul_match_bounds(options), &match->refined);
    match->laid = tapul_ink_map_new_take(move_samples(laid, &match->refined));
    match->explained = g_array_copy(match->laid->samples);
    match->points = g_array_new(FALSE, FALSE, sizeof(TapulMatchPoint));
    g_autoptr(TapulThinned) thinned =
        tapul_thinned_new(match->laid->samples, TAPUL_ALL_MOTIFS, REFINE_SAMPLES);
    fill_figures(match, plate, thinned, options);
    return match;
}

void tapul_ink_match_free(TapulInkMatch *match) {
    if (!match)
        return;
    tapul_ink_map_free(match->laid);
    g_array_unref(match->points);
    g_array_unref(match->explained);
    g_free(match);
}
