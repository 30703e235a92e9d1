/* The fates of motifs: first where the print puts each, then those not there in the plate's
 * remaining ink, the surest first. */
#include "evidence/motifs.h"
#include "evidence/motif_search.h"

#include <gsl/gsl_rng.h>
#include <gsl/gsl_statistics_double.h>

#define MOTIF_SAMPLES 250
/* Of the plate's ink: enough that the box of a small motif holds some tens. */
#define PLATE_SAMPLES 20000
/* Random places against which a motif in its place is judged; it beats chance where none of
 * them is as good. */
#define PLACES      60
#define BEATS_P     0.02
#define PLACE_TRIES 20
/* A plate on which all places match is taken to leave this much untold. */
#define MOST_CHANCE     0.99
#define RANDOM_TURN_RAD (15 * G_PI / 180)
/* Of what wear leaves of ink taken over, a motif in its place has over this share: halfway
 * between absent and as well kept as the others. One that a search found, the best of some
 * 50,000 places, must have more. */
#define THERE_SHARE 0.5
#define FOUND_SHARE 0.85
/* The simpler account is preferred: a motif is in its place if it matches there, within these
 * bounds, this share of what it does at its best. On the cases that this was set by
 * (tests/bench, seeds 0 to 9) kept motifs had 0.90 or more, moved, turned, resized and reversed
 * ones 0.72 or less. */
#define SIMPLER_SHARE  0.8
#define IN_PLACE_MM    1.0
#define IN_PLACE_RAD   (3 * G_PI / 180)
#define IN_PLACE_SCALE 0.02
/* Where less than this is left of ink taken over, as of a tracing of outlines, stray ink could
 * be any motif: none is looked for out of its place, and none said to be left out. */
#define LEAST_KEPT 0.25
/* Less of its ink than this telling, a motif that is not found may be hidden among other ink.
 */
#define LEAST_TELLS 0.2
/* Moved, turned, resized: more standard deviations than this, and more than this distance. */
#define TELL_SDS 3.0
#define TELL_MM  2.0

typedef struct {
    int motif;
    TapulThinned *ink; /* as the refined placement lays it */
    TapulInkMap *map;  /* the same, whole, while it is judged in its place */
    TapulMove place;
    double match, chance; /* mean truncated match in its place, and of random places */
    double rank_p;
    double free_in_place; /* share of its ink that would tell in its place */
    gboolean simplest;    /* nothing near its place is much better than its place */
    gboolean there, settled;
} Candidate;

typedef struct {
    TapulInkMatch *match;
    const TapulInkMap *plate;
    const TapulThinned *plate_ink;
    const TapulMatchOptions *options;
    double telling_mm;
    int n;
    Candidate *candidates; /* [n] motifs with ink enough */
    double kept;           /* what wear leaves of ink taken over; NAN not known */
} Bench;

static double beyond_chance(const Candidate *at) {
    return (at->match - at->chance) / (1 - at->chance);
}

/* --- In place --- */

/* A random bit of the motif on a random bit of the plate's ink, a little turned; not the
 * motif's own place. */
static TapulMove random_place(const Bench *bench, const Candidate *at, gsl_rng *random) {
    const GArray *plate = bench->plate->samples;
    double own_mm = 2 * tapul_match_bounds(bench->options).shift_mm;
    TapulMove move = tapul_move_none(at->ink->centre_mm);
    move.turn_rad = (2 * gsl_rng_uniform(random) - 1) * RANDOM_TURN_RAD;
    for (int tries = 0; tries < PLACE_TRIES; tries++) {
        guint k = (guint)gsl_rng_uniform_int(random, plate->len);
        int i = (int)gsl_rng_uniform_int(random, (unsigned long)at->ink->n);
        move.shift_mm = tapul_vec2(0, 0);
        move.shift_mm = tapul_vec2_sub(g_array_index(plate, TapulInkSample, k).at_mm,
                                       tapul_move_point(&move, at->ink->at_mm[i]));
        if (tapul_vec2_length(move.shift_mm) > own_mm)
            break;
    }
    return move;
}

/* Both ways, as of the whole print: much of a tracing may be explained by a motif of which
 * little was traced. */
static double both_ways(const Bench *bench, const Candidate *at, const TapulMove *move) {
    return sqrt(tapul_match_mean(at->ink, move, bench->plate, TAPUL_MATCH_REACH_MM) *
                tapul_match_back(bench->plate_ink, move, at->map, TAPUL_MATCH_REACH_MM));
}

/* One way tells best of hatching among other hatching, both ways of outlines. */
static void set_chance(const Bench *bench, Candidate *at, double both_here) {
    double match[PLACES];
    int as_good = 0, as_good_both = 0;
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(random, (unsigned long)(bench->options->seed + (guint64)at->motif));
    for (int i = 0; i < PLACES; i++) {
        TapulMove move = random_place(bench, at, random);
        match[i] = tapul_match_refine(at->ink, bench->plate, tapul_match_bounds(bench->options),
                                      &move);
        as_good += match[i] >= at->match;
        as_good_both += both_ways(bench, at, &move) >= both_here;
    }
    gsl_rng_free(random);
    at->chance = fmin(gsl_stats_mean(match, 1, PLACES), MOST_CHANCE);
    at->rank_p = (MIN(as_good, as_good_both) + 1.0) / (PLACES + 1.0);
}

static const TapulMoveBounds in_place = {IN_PLACE_MM, IN_PLACE_RAD, IN_PLACE_SCALE};

static TapulInkMap *map_of_motif(const Bench *bench, int motif) {
    GArray *own = g_array_new(FALSE, FALSE, sizeof(TapulInkSample));
    const GArray *laid = bench->match->laid->samples;
    for (guint i = 0; i < laid->len; i++)
        if (g_array_index(laid, TapulInkSample, i).motif == motif)
            g_array_append_val(own, g_array_index(laid, TapulInkSample, i));
    return tapul_ink_map_new_take(own);
}

static void judge_in_place(const Bench *bench, Candidate *at) {
    TapulSought sought = {bench->match->laid->samples, at->motif, at->ink, NAN};
    TapulMove free = tapul_move_none(at->ink->centre_mm);
    at->place = free;
    at->map = map_of_motif(bench, at->motif);
    at->match = tapul_match_refine(at->ink, bench->plate, in_place, &at->place);
    double best = fmax(at->match, tapul_sought_near(&sought, bench->plate));
    at->simplest = at->match >= SIMPLER_SHARE * best;
    /* Chance has the freedom of the whole print's refinement, so the motif must have it too. */
    double match =
        tapul_match_refine(at->ink, bench->plate, tapul_match_bounds(bench->options), &free);
    double both_here = fmax(both_ways(bench, at, &at->place), both_ways(bench, at, &free));
    at->match = fmax(at->match, match);
    set_chance(bench, at, both_here);
    tapul_ink_map_free(g_steal_pointer(&at->map));
}

static double kept_share(const Bench *bench) {
    g_autofree double *share = g_new(double, (gsize)MAX(bench->n, 1));
    size_t n = 0;
    for (int i = 0; i < bench->n; i++)
        if (bench->candidates[i].rank_p <= BEATS_P)
            share[n++] = beyond_chance(&bench->candidates[i]);
    return n > 0 ? gsl_stats_median(share, 1, n) : NAN;
}

static void settle_in_place(const Bench *bench) {
    for (int k = 0; k < bench->n; k++) {
        Candidate *at = &bench->candidates[k];
        at->there = at->settled = at->simplest && at->rank_p <= BEATS_P &&
                                  beyond_chance(at) > THERE_SHARE * bench->kept;
    }
}

/* --- In the rest of the ink --- */

/* The ink of motifs that are there, where they are. */
static TapulInkMap *taken_ink(const Bench *bench) {
    GArray *taken = g_array_new(FALSE, FALSE, sizeof(TapulInkSample));
    const GArray *laid = bench->match->laid->samples;
    for (int k = 0; k < bench->n; k++) {
        const Candidate *at = &bench->candidates[k];
        for (guint i = 0; at->there && i < laid->len; i++) {
            TapulInkSample sample = g_array_index(laid, TapulInkSample, i);
            if (sample.motif != at->motif)
                continue;
            sample = tapul_move_sample(&at->place, sample);
            g_array_append_val(taken, sample);
        }
    }
    return tapul_ink_map_new_take(taken);
}

static TapulInkMap *rest_of_plate(const Bench *bench, const TapulInkMap *taken) {
    GArray *rest = g_array_new(FALSE, FALSE, sizeof(TapulInkSample));
    for (guint i = 0; i < bench->plate->samples->len; i++) {
        TapulInkSample sample = g_array_index(bench->plate->samples, TapulInkSample, i);
        if (tapul_ink_map_distance_mm(taken, sample.at_mm, tapul_ink_bin(sample.angle_rad)) >
            TAPUL_MATCH_REACH_MM)
            g_array_append_val(rest, sample);
    }
    return tapul_ink_map_new_take(rest);
}

/* Where a motif is rather than anywhere else in the rest. */
static TapulSoughtPlace look_for(const Bench *bench, Candidate *at, const TapulInkMap *taken,
                                 const TapulInkMap *rest) {
    TapulSought sought = {bench->match->laid->samples, at->motif, at->ink, bench->kept};
    TapulMove move = tapul_move_none(at->ink->centre_mm);
    tapul_match_refine(at->ink, rest, in_place, &move);
    TapulSoughtPlace own = tapul_sought_at(&sought, &move, taken, rest);
    at->free_in_place = own.tells;
    TapulSoughtPlace best = tapul_sought_best(&sought, taken, rest);
    if (own.gain > 0 && own.match >= SIMPLER_SHARE * best.match)
        return own;
    if (best.match <= FOUND_SHARE * bench->kept)
        best.gain = -INFINITY;
    return best;
}

/* Settles the one whose place explains most ink; FALSE where none is found. */
static gboolean settle_surest(const Bench *bench) {
    g_autoptr(TapulInkMap) taken = taken_ink(bench);
    g_autoptr(TapulInkMap) rest = rest_of_plate(bench, taken);
    Candidate *surest = NULL;
    double most = 0;
    for (int k = 0; k < bench->n && rest->samples->len > 0; k++) {
        Candidate *at = &bench->candidates[k];
        if (at->settled)
            continue;
        TapulSoughtPlace place = look_for(bench, at, taken, rest);
        double explains = place.gain * at->ink->length_mm;
        if (explains <= most)
            continue;
        most = explains;
        surest = at;
        at->place = place.move;
    }
    if (surest)
        surest->there = surest->settled = TRUE;
    return surest != NULL;
}

/* --- Fates --- */

static TapulMotifFate fate_of(const Bench *bench, const Candidate *at) {
    double radius_mm = at->ink->radius_mm;
    double turned_mm = fabs(at->place.turn_rad) * radius_mm;
    double resized_mm = fabs(log(at->place.scale)) * radius_mm;
    if (!at->there)
        return !(bench->kept >= LEAST_KEPT) || at->free_in_place < LEAST_TELLS
                   ? TAPUL_MOTIF_UNDECIDED
                   : TAPUL_MOTIF_LEFT_OUT;
    if (at->place.reversed)
        return TAPUL_MOTIF_REVERSED;
    if (tapul_vec2_length(at->place.shift_mm) > bench->telling_mm)
        return TAPUL_MOTIF_MOVED;
    if (fmax(turned_mm, resized_mm) <= bench->telling_mm)
        return TAPUL_MOTIF_KEPT;
    return turned_mm > resized_mm ? TAPUL_MOTIF_TURNED : TAPUL_MOTIF_RESIZED;
}

/* Of a motif's ink, moved, the share within the reach of plate ink, and its box. */
static double share_at(const Bench *bench, int motif, const TapulMove *move, TapulBox *box_mm) {
    const GArray *laid = bench->match->laid->samples;
    double all_mm = 0, near_mm = 0;
    *box_mm = tapul_box_empty();
    for (guint i = 0; i < laid->len; i++) {
        TapulInkSample sample = g_array_index(laid, TapulInkSample, i);
        if (sample.motif != motif)
            continue;
        sample = tapul_move_sample(move, sample);
        tapul_box_add(box_mm, sample.at_mm);
        all_mm += sample.weight_mm;
        if (tapul_ink_map_distance_mm(bench->plate, sample.at_mm,
                                      tapul_ink_bin(sample.angle_rad)) <= TAPUL_MATCH_REACH_MM)
            near_mm += sample.weight_mm;
    }
    return all_mm > 0 ? near_mm / all_mm : 0;
}

static TapulMotifFinding finding_of(const Bench *bench, const Candidate *at) {
    TapulMove none = tapul_move_none(at->ink->centre_mm);
    TapulMotifFinding finding = {.motif = at->motif, .fate = fate_of(bench, at), .resized = 1};
    finding.share_in_place = finding.share = share_at(bench, at->motif, &none, &finding.box_mm);
    if (at->there) {
        finding.share = share_at(bench, at->motif, &at->place, &finding.box_mm);
        finding.moved_mm = at->place.shift_mm;
        finding.turned_rad = at->place.turn_rad;
        finding.resized = at->place.scale;
    }
    return finding;
}

/* What the print explains: its motifs where they were found, and its other ink. */
static void set_explained(const Bench *bench) {
    const GArray *laid = bench->match->laid->samples;
    GArray *explained = bench->match->explained;
    g_array_set_size(explained, 0);
    for (guint i = 0; i < laid->len; i++) {
        TapulInkSample sample = g_array_index(laid, TapulInkSample, i);
        const Candidate *of = NULL;
        for (int k = 0; k < bench->n && !of; k++)
            if (bench->candidates[k].motif == sample.motif)
                of = &bench->candidates[k];
        if (of && !of->there && bench->kept >= LEAST_KEPT)
            continue;
        if (of && of->there)
            sample = tapul_move_sample(&of->place, sample);
        g_array_append_val(explained, sample);
    }
}

/* --- All of them --- */

static void gather(Bench *bench, const TapulInk *print, GArray *findings) {
    const GArray *laid = bench->match->laid->samples;
    bench->candidates = g_new0(Candidate, (gsize)print->motifs->len + 1);
    for (int k = 0; k < (int)print->motifs->len; k++) {
        TapulThinned *ink = tapul_thinned_new(laid, k, MOTIF_SAMPLES);
        if (ink->length_mm >= TAPUL_MOTIF_LEAST_MM) {
            bench->candidates[bench->n++] = (Candidate){.motif = k, .ink = ink};
            continue;
        }
        Candidate little = {.motif = k, .ink = ink};
        TapulMotifFinding finding = finding_of(bench, &little);
        finding.fate = TAPUL_MOTIF_UNDECIDED;
        g_array_append_val(findings, finding);
        tapul_thinned_free(ink);
    }
}

static int by_motif(gconstpointer a, gconstpointer b) {
    const TapulMotifFinding *left = a, *right = b;
    return left->motif - right->motif;
}

GArray *tapul_motif_findings(const TapulInk *print, TapulInkMatch *match,
                             const TapulInkMap *plate, const TapulMatchOptions *options) {
    g_autoptr(TapulThinned) plate_ink =
        tapul_thinned_new(plate->samples, TAPUL_ALL_MOTIFS, PLATE_SAMPLES);
    Bench bench = {.match = match, .plate = plate, .plate_ink = plate_ink, .options = options};
    GArray *findings = g_array_new(FALSE, FALSE, sizeof(TapulMotifFinding));
    bench.telling_mm = fmax(TELL_MM, TELL_SDS * hypot(options->pick_sd_mm, options->fit_sd_mm));
    gather(&bench, print, findings);
#pragma omp parallel for schedule(dynamic)
    for (int k = 0; k < bench.n; k++)
        judge_in_place(&bench, &bench.candidates[k]);
    bench.kept = kept_share(&bench);
    settle_in_place(&bench);
    while (bench.kept >= LEAST_KEPT && settle_surest(&bench))
        continue;
    set_explained(&bench);
    for (int k = 0; k < bench.n; k++) {
        TapulMotifFinding finding = finding_of(&bench, &bench.candidates[k]);
        g_array_append_val(findings, finding);
        tapul_thinned_free(bench.candidates[k].ink);
    }
    g_array_sort(findings, by_motif);
    g_free(bench.candidates);
    return findings;
}
