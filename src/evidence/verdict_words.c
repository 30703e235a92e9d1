/* The sentences of a verdict: each says one figure in words, and how far it can be leant on.
 *
 * verdict.c strings them together and judges.
 */
#include "evidence/verdict_words.h"

#include <math.h>

/* --- Names --- */

char *tapul_hypothesis_name(const TapulHypothesis *hypothesis) {
    return g_strdup_printf("%s, %s, %s%s", tapul_laying_rule_name(hypothesis->geometry),
                           tapul_freedom_name(hypothesis->freedom),
                           hypothesis->reversed ? "reversed" : "direct",
                           hypothesis->pressing_free ? ", pressing point estimated" : "");
}

const TapulHypothesis *tapul_scaled_in(const TapulPrintEvidence *found,
                                       TapulLayingRule geometry) {
    const TapulHypothesis *scaled = NULL;
    for (guint i = 0; i < found->hypotheses->len; i++) {
        const TapulHypothesis *row = tapul_hypothesis_at(found, i);
        if (row->freedom == TAPUL_FREEDOM_SCALED && row->geometry == geometry &&
            row->reversed == tapul_hypothesis_at(found, 0)->reversed &&
            (!scaled || !row->pressing_free))
            scaled = row;
    }
    return scaled;
}

const TapulHypothesis *tapul_scaled_hypothesis(const TapulPrintEvidence *found) {
    return found->hypotheses->len > 0
               ? tapul_scaled_in(found, tapul_hypothesis_at(found, 0)->geometry)
               : NULL;
}

gboolean tapul_geometry_is_untold(const TapulPrintEvidence *found, TapulLayingRule geometry) {
    for (guint i = 0; i < found->equal->len; i++) {
        int row = g_array_index(found->equal, int, i);
        if (tapul_hypothesis_at(found, (guint)row)->geometry == geometry)
            return TRUE;
    }
    return FALSE;
}

char *tapul_pair_label(const TapulCase *question, const TapulPrintEvidence *found, int k) {
    const TapulPair *pair = g_ptr_array_index(question->pairs, (guint)found->pair[k]);
    return pair->name && *pair->name ? g_strdup(pair->name) : g_strdup_printf("pair %d", k + 1);
}

const char *tapul_motif_fate_name(TapulMotifFate fate) {
    static const char *const names[] = {
        [TAPUL_MOTIF_KEPT] = "kept",          [TAPUL_MOTIF_MOVED] = "moved",
        [TAPUL_MOTIF_TURNED] = "turned",      [TAPUL_MOTIF_RESIZED] = "resized",
        [TAPUL_MOTIF_REVERSED] = "reversed",  [TAPUL_MOTIF_LEFT_OUT] = "left out",
        [TAPUL_MOTIF_UNDECIDED] = "undecided"};
    g_assert((guint)fate < G_N_ELEMENTS(names));
    return names[fate];
}

const TapulMatchPoint *tapul_quoted_match(const TapulPrintEvidence *found) {
    const TapulMatchPoint *best = NULL;
    for (guint i = 0; i < found->match->len; i++) {
        const TapulMatchPoint *point = &g_array_index(found->match, TapulMatchPoint, i);
        if (!best || fabs(point->tolerance_mm - TAPUL_QUOTED_TOLERANCE_MM) <
                         fabs(best->tolerance_mm - TAPUL_QUOTED_TOLERANCE_MM))
            best = point;
    }
    return best;
}

double tapul_picking_rms_mm(double pick_sd_mm, int n, double parameters) {
    return pick_sd_mm * sqrt(fmax(2 - parameters / n, 0));
}

/* Misfits over so many times what picking leaves are not picking's: by the chi-squared
 * distribution of 2n - 4 degrees of freedom it leaves more in 6 cases of 100 of 4 pairs, 3 of
 * 1000 of 10. */
#define BEYOND_PICKING 1.5

gboolean tapul_beyond_picking(const TapulCase *question, const TapulPrintEvidence *found) {
    const TapulHypothesis *best = tapul_hypothesis_at(found, 0);
    return question->pick_sd_mm > 0 &&
           best->rms_mm >
               BEYOND_PICKING *
                   tapul_picking_rms_mm(question->pick_sd_mm, found->n_pairs, best->parameters);
}

/* --- Fit --- */

static const char *placed_words(const TapulHypothesis *best) {
    switch (best->geometry) {
    case TAPUL_LAYING_VIEWED:
        return "placed as an eye in front of the plate sees it (viewed)";
    case TAPUL_LAYING_DEVELOPED:
        return "laid over the metal by the plate's development (developed)";
    default:
        return "pressed on over the metal from one point outward (rolled)";
    }
}

static const char *freedom_words(TapulFreedom freedom) {
    static const char *const words[] = {
        [TAPUL_FREEDOM_TRACED] = "at its own size (traced)",
        [TAPUL_FREEDOM_SCALED] = "at one scale (scaled)",
        [TAPUL_FREEDOM_STRETCHED] = "more in one direction than in the other (stretched)",
        [TAPUL_FREEDOM_BENT] = "bent to its place (bent)"};
    g_assert((guint)freedom < G_N_ELEMENTS(words));
    return words[freedom];
}

/* What picking does not explain was moved or drawn otherwise: where most. */
static void add_farthest(GString *text, const TapulCase *question,
                         const TapulPrintEvidence *found) {
    const TapulHypothesis *best = tapul_hypothesis_at(found, 0);
    int farthest = 0;
    if (!tapul_beyond_picking(question, found))
        return;
    for (int k = 1; k < found->n_pairs; k++)
        if (best->residual_mm[k] > best->residual_mm[farthest])
            farthest = k;
    g_autofree char *label = tapul_pair_label(question, found, farthest);
    g_string_append_printf(text,
                           ", so that the design was not carried over as simply as that; "
                           "farthest off is '%s' (%.2f mm)",
                           label, best->residual_mm[farthest]);
}

void tapul_verdict_add_fit(GString *text, const TapulCase *question,
                           const TapulPrintEvidence *found) {
    const TapulHypothesis *best = tapul_hypothesis_at(found, 0);
    const TapulPrint *print = g_ptr_array_index(question->prints, (guint)found->print);
    g_string_append_printf(
        text, " %d pairs of the print %s were weighed on %s, each taken as picked to %.3g mm.",
        found->n_pairs, print->id, tapul_plate_name(question->plate), question->pick_sd_mm);
    g_string_append_printf(text,
                           " They fit best with the print %s, %s, %s: its points then fall "
                           "%.2f mm from where they "
                           "were found (root mean square over the metal)",
                           best->reversed ? "reversed" : "direct", placed_words(best),
                           freedom_words(best->freedom), best->rms_mm);
    if (isfinite(best->loo_mm))
        g_string_append_printf(text, ", %.2f mm where each is foretold by the others",
                               best->loo_mm);
    g_string_append_printf(
        text, "; picking alone would leave %.2f mm",
        tapul_picking_rms_mm(question->pick_sd_mm, found->n_pairs, best->parameters));
    add_farthest(text, question, found);
    g_string_append_c(text, '.');
}

static double weight_of_other_hand(const TapulPrintEvidence *found) {
    double weight = 0;
    for (guint i = 0; i < found->hypotheses->len; i++)
        if (tapul_hypothesis_at(found, i)->reversed != tapul_hypothesis_at(found, 0)->reversed)
            weight += tapul_hypothesis_at(found, i)->weight;
    return weight;
}

/* Geometries that cannot be told from the first one's, but for its own. */
static char *untold_geometries(const TapulPrintEvidence *found) {
    g_autoptr(GPtrArray) names = g_ptr_array_new();
    for (int rule = TAPUL_LAYING_ROLLED; rule <= TAPUL_LAYING_VIEWED; rule++)
        if (rule != (int)tapul_hypothesis_at(found, 0)->geometry &&
            tapul_geometry_is_untold(found, (TapulLayingRule)rule))
            g_ptr_array_add(names, (gpointer)tapul_laying_rule_name((TapulLayingRule)rule));
    if (names->len == 0)
        return NULL;
    g_ptr_array_add(names, NULL);
    return g_strjoinv(" or ", (char **)names->pdata);
}

/* A weight beyond this leaves the other hand open (1 in 20: common practice, no source). */
#define OPEN_WEIGHT 0.05

void tapul_verdict_add_untold(GString *text, const TapulPrintEvidence *found) {
    const TapulHypothesis *best = tapul_hypothesis_at(found, 0);
    double other = weight_of_other_hand(found);
    g_autofree char *untold = untold_geometries(found);
    if (untold)
        g_string_append_printf(text, " These pairs do not tell %s from %s.",
                               tapul_laying_rule_name(best->geometry), untold);
    if (other > OPEN_WEIGHT)
        g_string_append_printf(text, " The other hand is not ruled out (weight %.2f).", other);
}

/* --- Chance --- */

static void add_test(GString *text, const TapulChance *chance) {
    g_string_append_printf(text, " Against chance (%s, %d draws): p = %.2g", chance->test,
                           chance->draws, chance->p);
    g_string_append(text, chance->p > 0.05 ? ", so chance alone would do as well." : ".");
}

/* So few pairs can be relabelled in few ways only. */
#define FEW_PAIRS 5

void tapul_verdict_add_chance(GString *text, const TapulPrintEvidence *found) {
    for (guint i = 0; i < found->chance->len; i++)
        add_test(text, &g_array_index(found->chance, TapulChance, i));
    if (found->n_pairs > FEW_PAIRS || found->chance->len == 0)
        return;
    int orders = 1;
    for (int k = 2; k <= found->n_pairs; k++)
        orders *= k;
    g_string_append_printf(
        text,
        " Of %d pairs there are at most %d labellings, so that p cannot be far below %.2g.",
        found->n_pairs, orders, 1.0 / orders);
}

/* --- Scale --- */

static void add_ratios(GString *text, const TapulPrintEvidence *found) {
    int inside = 0;
    for (guint i = 0; i < G_N_ELEMENTS(found->ratios); i++) {
        const TapulRatio *ratio = &found->ratios[i];
        if (!ratio->inside || ratio->value == 1)
            continue;
        g_string_append_printf(
            text, "%s%s", inside == 0 ? "; of the ratios of squaring-up " : ", ", ratio->ratio);
        inside++;
    }
    if (inside > 0)
        g_string_append(text, inside == 1 ? " does" : " do");
}

/* The scale is that of a fit which the preferred one may leave far behind. */
static void add_misfit_at_one_scale(GString *text, const TapulPrintEvidence *found) {
    const TapulHypothesis *scaled = tapul_scaled_hypothesis(found);
    if (scaled && tapul_hypothesis_at(found, 0)->freedom > TAPUL_FREEDOM_SCALED)
        g_string_append_printf(text, " At one scale it would miss by %.2f mm.", scaled->rms_mm);
}

/* An interval that holds more of the simple ratios than two neighbours tells none from another.
 */
#define MOST_RATIOS 2

void tapul_verdict_add_scale(GString *text, const TapulPrintEvidence *found) {
    gboolean own_size = FALSE;
    int inside = 0;
    if (!isfinite(found->scale) || !isfinite(found->scale_ci95.low))
        return;
    for (guint i = 0; i < G_N_ELEMENTS(found->ratios); i++) {
        own_size = own_size || (found->ratios[i].inside && found->ratios[i].value == 1);
        inside += found->ratios[i].inside;
    }
    add_misfit_at_one_scale(text, found);
    g_string_append_printf(text, " The scale is %.3f (95 %% interval %.3f to %.3f)",
                           found->scale, found->scale_ci95.low, found->scale_ci95.high);
    if (inside > MOST_RATIOS) {
        g_string_append(text, ", too wide to tell a tracing from another size.");
        return;
    }
    g_string_append_printf(text, ": 1:1 %s",
                           own_size ? "lies inside, as a tracing would have it"
                                    : "does not lie inside, so a plain tracing is unlikely");
    add_ratios(text, found);
    g_string_append_c(text, '.');
}

/* --- Contours --- */

static const char *contour_words(const TapulContourShare *share) {
    if (share->ci95.low > 0)
        return "so the design follows the metal's form better than the eye's view";
    if (share->ci95.high < 0)
        return "so the design lies as an eye in front of the plate would place it";
    return "which does not decide between the two";
}

void tapul_verdict_add_contours(GString *text, const TapulPrintEvidence *found) {
    const TapulContourShare *share = &found->contour_share;
    if (!share->can_tell) {
        g_string_append(text,
                        " Whether the design follows the metal or was drawn as seen cannot "
                        "be told at these pairs");
        if (isfinite(share->told_apart))
            g_string_append_printf(text,
                                   ": the two would be told apart rightly in %.0f of 100 "
                                   "such cases",
                                   100 * share->told_apart);
        g_string_append_c(text, '.');
        return;
    }
    g_autofree char *net =
        isfinite(share->net)
            ? g_strdup_printf(", or %.2f of it with what picking leaves taken out", share->net)
            : g_strdup("");
    g_string_append_printf(text,
                           " Following the metal (%s) %s %.2f of the misfit as seen (contour "
                           "share %.2f, 95 %% interval %.2f to %.2f)%s, %s.",
                           tapul_laying_rule_name(share->metal),
                           share->value < 0 ? "adds" : "takes away", fabs(share->value),
                           share->value, share->ci95.low, share->ci95.high, net,
                           contour_words(share));
}

/* --- Ink --- */

static void add_fates(GString *text, const TapulPrintEvidence *found) {
    int count[TAPUL_MOTIF_UNDECIDED + 1] = {0};
    for (guint i = 0; i < found->motifs->len; i++)
        count[g_array_index(found->motifs, TapulMotifFinding, i).fate]++;
    if (found->motifs->len == 0)
        return;
    for (int fate = 0; fate <= TAPUL_MOTIF_UNDECIDED; fate++)
        if (count[fate] == (int)found->motifs->len && count[fate] > 1) {
            g_string_append_printf(text, " All of its %u motifs are %s.", found->motifs->len,
                                   tapul_motif_fate_name((TapulMotifFate)fate));
            return;
        }
    g_string_append_printf(text, " Of its %u motifs", found->motifs->len);
    gboolean first = TRUE;
    for (int fate = 0; fate <= TAPUL_MOTIF_UNDECIDED; fate++) {
        if (count[fate] == 0)
            continue;
        g_string_append_printf(text, "%s %d %s %s", first ? "" : ",", count[fate],
                               count[fate] == 1 ? "is" : "are",
                               tapul_motif_fate_name((TapulMotifFate)fate));
        first = FALSE;
    }
    g_string_append_c(text, '.');
}

void tapul_verdict_add_ink(GString *text, const TapulPrintEvidence *found,
                           const GArray *added) {
    const TapulMatchPoint *point = tapul_quoted_match(found);
    double added_mm = 0;
    if (!point)
        return;
    g_string_append_printf(
        text,
        " Within %.3g mm, %.0f %% of the print's line is found on the plate (random places: "
        "%.0f "
        "to %.0f %%), and the print explains %.0f %% of the plate's (%.0f to %.0f %%).",
        point->tolerance_mm, 100 * point->print_share, 100 * point->chance_print.low,
        100 * point->chance_print.high, 100 * point->plate_share, 100 * point->chance_plate.low,
        100 * point->chance_plate.high);
    add_fates(text, found);
    for (guint i = 0; added && i < added->len; i++)
        added_mm += g_array_index(added, TapulAdded, i).length_mm;
    if (added_mm > 0)
        g_string_append_printf(
            text, " %.0f mm of the plate's line no print of the case explains.", added_mm);
}

/* --- Likelihood ratio --- */

const char *tapul_ratio_supports(const TapulLikelihoodRatio *ratio) {
    return ratio->value >= TAPUL_LEAST_RATIO       ? "this print"
           : ratio->value <= 1 / TAPUL_LEAST_RATIO ? "an unrelated print"
                                                   : "neither";
}

void tapul_verdict_add_ratio(GString *text, const TapulPrintEvidence *found) {
    const TapulLikelihoodRatio *ratio = &found->likelihood_ratio;
    if (!ratio->has)
        return;
    g_string_append_printf(
        text,
        " By its lines, against a pool of %d unrelated prints, the likelihood "
        "ratio is %.2g: %s for %s (it cannot leave %.2g to %.0f with such a "
        "pool).",
        ratio->pool, ratio->value, ratio->words, tapul_ratio_supports(ratio), 1 / ratio->limit,
        ratio->limit);
}
