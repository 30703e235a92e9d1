/* Prints that compete for the plate's ink, and all that a found design says of a case. */
#include "evidence/added.h"
#include "evidence/motifs.h"

GArray *tapul_ink_owners(const TapulInkMap *plate, int n, TapulInkMatch *const *matches) {
    GArray *owners = g_array_sized_new(FALSE, FALSE, sizeof(int), plate->samples->len);
    for (guint i = 0; i < plate->samples->len; i++) {
        const TapulInkSample *sample = &g_array_index(plate->samples, TapulInkSample, i);
        int owner = -1, bin = tapul_ink_bin(sample->angle_rad);
        double nearest_mm = TAPUL_INK_REACH_MM;
        for (int k = 0; k < n; k++) {
            double away_mm = tapul_ink_map_distance_mm(matches[k]->laid, sample->at_mm, bin);
            if (away_mm >= nearest_mm)
                continue;
            nearest_mm = away_mm;
            owner = k;
        }
        g_array_append_val(owners, owner);
    }
    return owners;
}

/* The share of the plate's ink that one print owns and lies within tolerance_mm of. */
static double owned_share(const TapulInkMap *plate, const TapulInkMatch *match,
                          const GArray *owners, int print, double tolerance_mm) {
    double owned_mm = 0;
    for (guint i = 0; i < plate->samples->len; i++) {
        const TapulInkSample *sample = &g_array_index(plate->samples, TapulInkSample, i);
        if (g_array_index(owners, int, i) == print &&
            tapul_ink_map_distance_mm(match->laid, sample->at_mm,
                                      tapul_ink_bin(sample->angle_rad)) <= tolerance_mm)
            owned_mm += sample->weight_mm;
    }
    return plate->length_mm > 0 ? owned_mm / plate->length_mm : 0;
}

void tapul_ink_compete(const TapulInkMap *plate, int n, TapulInkMatch *const *matches) {
    if (n < 2)
        return;
    g_autoptr(GArray) owners = tapul_ink_owners(plate, n, matches);
    for (int k = 0; k < n; k++)
        for (guint i = 0; i < matches[k]->points->len; i++) {
            TapulMatchPoint *point = &g_array_index(matches[k]->points, TapulMatchPoint, i);
            point->plate_share = owned_share(plate, matches[k], owners, k, point->tolerance_mm);
        }
}

/* --- A case's found design --- */

static void set_array(GArray **to, GArray *from) {
    if (*to)
        g_array_unref(*to);
    *to = from;
}

/* One print's match and motifs; the match is the caller's. */
static TapulInkMatch *weigh_print(TapulPrintEvidence *found, const TapulCase *question,
                                  const TapulInkMap *plate, guint64 seed) {
    const TapulPrint *print = g_ptr_array_index(question->prints, (guint)found->print);
    const TapulHypothesis *first = g_ptr_array_index(found->hypotheses, 0);
    TapulMatchOptions options = tapul_match_options_defaults();
    options.seed = seed;
    options.pick_sd_mm = question->pick_sd_mm;
    options.fit_sd_mm = (isfinite(first->loo_mm) ? first->loo_mm : first->rms_mm) / G_SQRT2;
    TapulInkMatch *match = tapul_ink_match_new(print->ink, found->placement, plate, &options);
    set_array(&found->motifs, tapul_motif_findings(print->ink, match, plate, &options));
    if (!found->chance)
        found->chance = g_array_new(FALSE, FALSE, sizeof(TapulChance));
    g_array_append_val(found->chance, match->chance);
    return match;
}

void tapul_weigh_found(TapulEvidence *evidence, const TapulCase *question,
                       const TapulWeighOptions *options) {
    g_autoptr(GPtrArray) matches =
        g_ptr_array_new_with_free_func((GDestroyNotify)tapul_ink_match_free);
    g_autoptr(GPtrArray) weighed = g_ptr_array_new();
    g_autoptr(TapulInkMap) plate = question->found ? tapul_ink_map_new(question->found) : NULL;
    if (!plate || plate->samples->len == 0)
        return;
    for (guint i = 0; i < evidence->prints->len; i++) {
        TapulPrintEvidence *found = g_ptr_array_index(evidence->prints, i);
        if (!found->placement)
            continue;
        g_ptr_array_add(matches, weigh_print(found, question, plate, options->seed));
        g_ptr_array_add(weighed, found);
        if (options->progress)
            options->progress((i + 1.0) / evidence->prints->len, "ink match",
                              options->progress_data);
    }
    TapulInkMatch *const *all = (TapulInkMatch *const *)(gpointer)matches->pdata;
    tapul_ink_compete(plate, (int)matches->len, all);
    for (guint i = 0; i < weighed->len; i++) {
        TapulPrintEvidence *found = g_ptr_array_index(weighed, i);
        set_array(&found->match, g_array_ref(all[i]->points));
    }
    set_array(&evidence->added, tapul_ink_added(plate, (int)matches->len, all));
}
