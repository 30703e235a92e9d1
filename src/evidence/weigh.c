/* Weighs a case's evidence: for each print that has pairs the fits, their intervals, what
 * chance would do, and, with a tracing, lines and motifs; last the verdict.
 *
 * The conductor of this folder: what each part does, its own header says.
 */
#include "evidence/added.h"
#include "evidence/bootstrap.h"
#include "evidence/contour_share.h"
#include "evidence/hypothesis.h"
#include "evidence/pair_faults.h"
#include "evidence/permute.h"
#include "evidence/suspect.h"
#include "evidence/verdict.h"
#include "evidence/verdict_words.h"
#include "evidence/weigh_pool.h"

G_DEFINE_QUARK(tapul - evidence - error - quark, tapul_evidence_error)

TapulWeighOptions tapul_weigh_options_defaults(void) {
    return (TapulWeighOptions){.permutations = 10000, .bootstraps = 2000, .seed = 1};
}

/* Where in the whole work lines begin to be compared, and the pool. */
#define LINES_FROM 0.3
#define POOL_FROM  0.6

typedef struct {
    const TapulCase *question;
    const TapulWeighOptions *options;
    double done, share; /* of all the work: before this print, and of this print */
} Weighing;

static void tell(const Weighing *weighing, double fraction, const char *stage) {
    const TapulWeighOptions *options = weighing->options;
    if (options->progress)
        options->progress(weighing->done + fraction * weighing->share, stage,
                          options->progress_data);
}

/* --- A print's evidence --- */

static void free_print(gpointer data) {
    TapulPrintEvidence *found = data;
    g_free(found->pair);
    g_ptr_array_unref(found->hypotheses);
    g_array_unref(found->equal);
    g_array_unref(found->chance);
    g_array_unref(found->match);
    g_array_unref(found->motifs);
    g_free(found->suspect_why);
    g_free(found->verdict);
    g_free(found);
}

static void free_hypothesis(gpointer data) {
    tapul_hypothesis_free(data);
}

static TapulPrintEvidence *new_print(const TapulCase *question, int print) {
    TapulPrintEvidence *found = g_new0(TapulPrintEvidence, 1);
    g_autoptr(GArray) pair = g_array_new(FALSE, FALSE, sizeof(int));
    for (int i = 0; i < (int)question->pairs->len; i++)
        if (((const TapulPair *)g_ptr_array_index(question->pairs, (guint)i))->print == print)
            g_array_append_val(pair, i);
    found->print = print;
    found->n_pairs = (int)pair->len;
    found->pair = g_memdup2(pair->data, pair->len * sizeof(int));
    found->hypotheses = g_ptr_array_new_with_free_func(free_hypothesis);
    found->equal = g_array_new(FALSE, FALSE, sizeof(int));
    found->chance = g_array_new(FALSE, FALSE, sizeof(TapulChance));
    found->match = g_array_new(FALSE, FALSE, sizeof(TapulMatchPoint));
    found->motifs = g_array_new(FALSE, FALSE, sizeof(TapulMotifFinding));
    found->scale = NAN;
    found->scale_ci95 = found->turn_ci95_rad = (TapulInterval){NAN, NAN};
    found->suspect = -1;
    return found;
}

/* The pairs as the fits take them; the arrays are freed by clear_set. */
static TapulPairSet pair_set(const TapulCase *question, const TapulPrintEvidence *found) {
    const TapulInk *ink =
        ((const TapulPrint *)g_ptr_array_index(question->prints, (guint)found->print))->ink;
    TapulVec2 *print_mm = g_new(TapulVec2, (gsize)found->n_pairs);
    TapulSpot *spot = g_new(TapulSpot, (gsize)found->n_pairs);
    for (int k = 0; k < found->n_pairs; k++) {
        const TapulPair *pair = g_ptr_array_index(question->pairs, (guint)found->pair[k]);
        print_mm[k] = pair->print_mm;
        spot[k] = pair->spot;
    }
    return (TapulPairSet){.ground = &question->ground,
                          .n = found->n_pairs,
                          .print_mm = print_mm,
                          .spot = spot,
                          .pressing_mm = {ink->width_mm / 2, ink->height_mm / 2},
                          .pick_sd_mm = question->pick_sd_mm};
}

static void clear_set(TapulPairSet *pairs) {
    g_free((TapulVec2 *)pairs->print_mm);
    g_free((TapulSpot *)pairs->spot);
}

/* --- Stages --- */

/* By how much lengths in the plane grow over the metal, the mean about the pairs, where the
 * plane is a development, which is larger or smaller than the metal from place to place. */
static double length_over_metal(const TapulSitting *sitting) {
    double sum_log = 0;
    if (sitting->geometry != TAPUL_LAYING_DEVELOPED)
        return 1;
    for (int k = 0; k < sitting->n; k++) {
        TapulPlaneMetric metric = sitting->metric[k];
        sum_log += log(metric.xx * metric.yy - metric.xy * metric.xy) / 4;
    }
    return exp(sum_log / sitting->n);
}

/* Of one that is not known, the other. */
static TapulInterval wider(TapulInterval one, TapulInterval other) {
    return (TapulInterval){fmin(one.low, other.low), fmax(one.high, other.high)};
}

/* Of one geometry's scaled fit; adds to what is known of the intervals. FALSE where there is
 * none. */
static gboolean add_intervals(const Weighing *weighing, const TapulPairSet *pairs,
                              TapulLayingRule geometry, TapulPrintEvidence *found) {
    const TapulHypothesis *scaled = tapul_scaled_in(found, geometry);
    TapulScaleIntervals made;
    if (!scaled)
        return FALSE;
    g_autoptr(TapulSitting) sitting =
        tapul_sitting_in(pairs, tapul_placement_plane(scaled->placement));
    double over_metal = length_over_metal(sitting);
    if (scaled == tapul_scaled_hypothesis(found))
        found->scale = over_metal * scaled->scale;
    if (!tapul_bootstrap_scale(sitting, scaled->reversed, weighing->options->bootstraps,
                               found->seed, &made))
        return FALSE;
    TapulInterval scale = {over_metal * made.scale_ci95.low, over_metal * made.scale_ci95.high};
    found->scale_ci95 = wider(scale, found->scale_ci95);
    found->turn_ci95_rad = wider(made.turn_ci95_rad, found->turn_ci95_rad);
    return TRUE;
}

/* Which geometry it was is not always known: then nor is the scale any better. */
static void find_intervals(const Weighing *weighing, const TapulPairSet *pairs,
                           TapulPrintEvidence *found) {
    gboolean any = FALSE;
    found->seed = weighing->options->seed;
    for (int rule = TAPUL_LAYING_ROLLED; rule <= TAPUL_LAYING_VIEWED; rule++)
        if (tapul_geometry_is_untold(found, (TapulLayingRule)rule))
            any = add_intervals(weighing, pairs, (TapulLayingRule)rule, found) || any;
    found->bootstraps = any ? weighing->options->bootstraps : 0;
}

/* names[n] for those who tell of a pair; freed with the strings. */
static char **pair_names(const TapulCase *question, const TapulPrintEvidence *found) {
    char **names = g_new0(char *, (gsize)found->n_pairs + 1);
    for (int k = 0; k < found->n_pairs; k++)
        names[k] = tapul_pair_label(question, found, k);
    return names;
}

static void weigh_pairs(const Weighing *weighing, const TapulPairSet *pairs,
                        TapulPrintEvidence *found) {
    const TapulWeighOptions *options = weighing->options;
    tell(weighing, 0, "fitting");
    g_ptr_array_unref(found->hypotheses);
    found->hypotheses = tapul_hypotheses_new(pairs);
    if (found->hypotheses->len == 0)
        return;
    g_array_unref(found->equal);
    found->equal = tapul_hypotheses_equal(found->hypotheses);
    found->placement = tapul_hypothesis_at(found, 0)->placement;
    tell(weighing, 0.2, "intervals");
    find_intervals(weighing, pairs, found);
    tapul_ratios_fill(found->ratios, found->scale_ci95);
    tell(weighing, 0.3, "following the metal");
    found->contour_share =
        tapul_contour_share(pairs, found->hypotheses, options->bootstraps, options->seed);
    tell(weighing, 0.5, "relabelling pairs");
    TapulChance chance =
        tapul_chance_of_relabelling(pairs, options->permutations, options->seed);
    g_array_append_val(found->chance, chance);
    tell(weighing, 0.7, "looking for slips");
    g_auto(GStrv) names = pair_names(weighing->question, found);
    found->suspect = tapul_suspect(pairs, (const char *const *)names, found->hypotheses,
                                   &found->suspect_why);
}

static char *undetermined(const TapulCase *question, int print) {
    const TapulPrint *of = g_ptr_array_index(question->prints, (guint)print);
    return g_strdup_printf("print '%s': its pairs determine no placement", of->id);
}

/* Of a print whose pairs cannot be weighed, nothing but the words why, added to faults. */
static void weigh_print(const Weighing *weighing, TapulPrintEvidence *found,
                        GPtrArray *faults) {
    const TapulCase *question = weighing->question;
    char *fault = tapul_pair_faults(question, found->print, found->n_pairs, found->pair);
    if (!fault) {
        TapulPairSet pairs = pair_set(question, found);
        weigh_pairs(weighing, &pairs, found);
        clear_set(&pairs);
        if (found->hypotheses->len == 0)
            fault = undetermined(question, found->print);
    }
    if (fault) {
        found->verdict = tapul_verdict_of_faults(fault);
        g_ptr_array_add(faults, fault);
    }
}

static TapulEvidence *new_evidence(const TapulCase *question) {
    TapulEvidence *evidence = g_new0(TapulEvidence, 1);
    evidence->prints = g_ptr_array_new_with_free_func(free_print);
    evidence->added = g_array_new(FALSE, FALSE, sizeof(TapulAdded));
    for (int print = 0; print < (int)question->prints->len; print++) {
        TapulPrintEvidence *found = new_print(question, print);
        if (found->n_pairs > 0)
            g_ptr_array_add(evidence->prints, found);
        else
            free_print(found);
    }
    return evidence;
}

/* One line for each print, when none can be weighed. */
static gboolean check_any(const TapulCase *question, const TapulEvidence *evidence,
                          const GPtrArray *faults, GError **error) {
    g_autoptr(GString) lines = g_string_new(NULL);
    if (evidence->prints->len == 0)
        g_string_printf(
            lines,
            "%s: the case has no pairs to weigh: 'pairs', a table of at least %d, is "
            "needed",
            question->path, TAPUL_FEWEST_PAIRS);
    else if (faults->len < evidence->prints->len)
        return TRUE;
    for (guint i = 0; i < faults->len; i++)
        g_string_append_printf(lines, "%s%s: pairs: %s", i > 0 ? "\n" : "", question->path,
                               (const char *)g_ptr_array_index(faults, i));
    g_set_error_literal(error, TAPUL_EVIDENCE_ERROR, TAPUL_EVIDENCE_ERROR_PAIRS, lines->str);
    return FALSE;
}

/* --- With a tracing --- */

/* What the parts tell of their own work, as a share of the whole. */
static void tell_part(double fraction, const char *stage, gpointer data) {
    tell(data, fraction, stage);
}

static gboolean weigh_lines(Weighing *weighing, TapulEvidence *evidence, GError **error) {
    TapulWeighOptions options = *weighing->options;
    options.progress = tell_part;
    options.progress_data = weighing;
    weighing->done = LINES_FROM;
    weighing->share = POOL_FROM - LINES_FROM;
    tapul_weigh_found(evidence, weighing->question, &options);
    weighing->done = POOL_FROM;
    weighing->share = 1 - POOL_FROM;
    return tapul_weigh_pool(evidence, weighing->question, &options, error);
}

/* --- The whole --- */

static void weigh_all_pairs(Weighing *weighing, TapulEvidence *evidence, GPtrArray *faults) {
    for (guint i = 0; i < evidence->prints->len; i++) {
        weighing->share = LINES_FROM / evidence->prints->len;
        weighing->done = i * weighing->share;
        weigh_print(weighing, g_ptr_array_index(evidence->prints, i), faults);
    }
}

TapulEvidence *tapul_weigh(const TapulCase *question, const TapulWeighOptions *options,
                           GError **error) {
    TapulWeighOptions defaults = tapul_weigh_options_defaults();
    g_autoptr(TapulEvidence) evidence = new_evidence(question);
    g_autoptr(GPtrArray) faults = g_ptr_array_new_with_free_func(g_free);
    Weighing weighing = {.question = question, .options = options ? options : &defaults};
    weigh_all_pairs(&weighing, evidence, faults);
    if (!check_any(question, evidence, faults, error) ||
        !weigh_lines(&weighing, evidence, error))
        return NULL;
    for (guint i = 0; i < evidence->prints->len; i++) {
        TapulPrintEvidence *found = g_ptr_array_index(evidence->prints, i);
        if (!found->verdict)
            found->verdict = tapul_verdict_new(question, found, evidence->added);
    }
    return g_steal_pointer(&evidence);
}

void tapul_evidence_free(TapulEvidence *evidence) {
    if (!evidence)
        return;
    g_ptr_array_unref(evidence->prints);
    g_array_unref(evidence->added);
    g_free(evidence);
}
