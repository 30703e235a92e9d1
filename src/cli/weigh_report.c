/* The report of `tapul weigh`: every figure of the evidence, a print at a time. */
#include "cli/weigh_report.h"

#include "cli/verbs.h"
#include "evidence/verdict_words.h"

static double degrees(double radians) {
    return radians * 180 / G_PI;
}

static void begin_object(JsonBuilder *builder, const char *name) {
    json_builder_set_member_name(builder, name);
    json_builder_begin_object(builder);
}

static void begin_array(JsonBuilder *builder, const char *name) {
    json_builder_set_member_name(builder, name);
    json_builder_begin_array(builder);
}

static void add_null(JsonBuilder *builder, const char *name) {
    json_builder_set_member_name(builder, name);
    json_builder_add_null_value(builder);
}

static void add_flag(JsonBuilder *builder, const char *name, gboolean value) {
    json_builder_set_member_name(builder, name);
    json_builder_add_boolean_value(builder, value);
}

/* [low, high], or null. */
static void add_interval(JsonBuilder *builder, const char *name, TapulInterval interval,
                         int decimals) {
    double power = pow(10, decimals);
    if (!isfinite(interval.low) || !isfinite(interval.high)) {
        add_null(builder, name);
        return;
    }
    begin_array(builder, name);
    json_builder_add_double_value(builder, round(interval.low * power) / power);
    json_builder_add_double_value(builder, round(interval.high * power) / power);
    json_builder_end_array(builder);
}

/* --- Hypotheses --- */

/* In the row's own plane; the interval is the scaled fit's: of other rows it would be
 * another's.
 */
static TapulInterval interval_of(const TapulPrintEvidence *found, const TapulHypothesis *row) {
    double to_plane = row == tapul_scaled_hypothesis(found) ? row->scale / found->scale : NAN;
    return (TapulInterval){to_plane * found->scale_ci95.low, to_plane * found->scale_ci95.high};
}

static void add_hypothesis(JsonBuilder *builder, const TapulPrintEvidence *found,
                           const TapulHypothesis *row) {
    json_builder_begin_object(builder);
    tapul_report_text(builder, "geometry", tapul_laying_rule_name(row->geometry));
    tapul_report_text(builder, "freedom", tapul_freedom_name(row->freedom));
    add_flag(builder, "reversed", row->reversed);
    add_flag(builder, "pressing_free", row->pressing_free);
    tapul_report_number(builder, "parameters", row->parameters, 3);
    tapul_report_number(builder, "rms_mm", row->rms_mm, 4);
    tapul_report_number(builder, "loo_mm", row->loo_mm, 4);
    tapul_report_number(builder, "aicc", row->aicc, 3);
    tapul_report_number(builder, "weight", row->weight, 6);
    tapul_report_number(builder, "scale", row->scale, 5);
    add_interval(builder, "scale_ci95", interval_of(found, row), 5);
    tapul_report_number(builder, "turn_deg", degrees(row->turn_rad), 3);
    tapul_report_integer(builder, "off_plate", row->n_off);
    json_builder_end_object(builder);
}

static void add_hypotheses(JsonBuilder *builder, const TapulPrintEvidence *found) {
    begin_array(builder, "hypotheses");
    for (guint i = 0; i < found->hypotheses->len; i++)
        add_hypothesis(builder, found, tapul_hypothesis_at(found, i));
    json_builder_end_array(builder);
    if (found->hypotheses->len == 0) {
        add_null(builder, "preferred");
    } else {
        g_autofree char *name = tapul_hypothesis_name(tapul_hypothesis_at(found, 0));
        tapul_report_text(builder, "preferred", name);
    }
    begin_array(builder, "not_told_apart");
    for (guint i = 0; i < found->equal->len; i++) {
        g_autofree char *name = tapul_hypothesis_name(
            tapul_hypothesis_at(found, (guint)g_array_index(found->equal, int, i)));
        json_builder_add_string_value(builder, name);
    }
    json_builder_end_array(builder);
}

/* --- Scale and contours --- */

static void add_scale(JsonBuilder *builder, const TapulPrintEvidence *found) {
    const TapulHypothesis *scaled = tapul_scaled_hypothesis(found);
    TapulInterval turn_ci95_deg = {degrees(found->turn_ci95_rad.low),
                                   degrees(found->turn_ci95_rad.high)};
    if (!scaled) {
        add_null(builder, "tracing");
        return;
    }
    begin_object(builder, "tracing");
    tapul_report_number(builder, "scale", found->scale, 5);
    add_interval(builder, "scale_ci95", found->scale_ci95, 5);
    tapul_report_number(builder, "turn_deg", degrees(scaled->turn_rad), 3);
    add_interval(builder, "turn_ci95_deg", turn_ci95_deg, 3);
    begin_array(builder, "ratios_inside");
    for (guint i = 0; i < G_N_ELEMENTS(found->ratios); i++)
        if (found->ratios[i].inside)
            json_builder_add_string_value(builder, found->ratios[i].ratio);
    json_builder_end_array(builder);
    tapul_report_integer(builder, "bootstraps", found->bootstraps);
    tapul_report_integer(builder, "seed", (gint64)found->seed);
    json_builder_end_object(builder);
}

static void add_contours(JsonBuilder *builder, const TapulPrintEvidence *found) {
    const TapulContourShare *share = &found->contour_share;
    begin_object(builder, "contour_share");
    add_flag(builder, "can_tell", share->can_tell);
    tapul_report_number(builder, "value", share->value, 4);
    add_interval(builder, "ci95", share->ci95, 4);
    tapul_report_number(builder, "net", share->net, 4);
    tapul_report_text(builder, "metal", tapul_laying_rule_name(share->metal));
    tapul_report_number(builder, "told_apart", share->told_apart, 3);
    json_builder_end_object(builder);
}

/* --- Chance --- */

static void add_chance(JsonBuilder *builder, const TapulChance *chance) {
    json_builder_begin_object(builder);
    tapul_report_text(builder, "test", chance->test);
    tapul_report_integer(builder, "draws", chance->draws);
    tapul_report_integer(builder, "seed", (gint64)chance->seed);
    tapul_report_number(builder, "p", chance->p, 6);
    json_builder_end_object(builder);
}

static void add_chances(JsonBuilder *builder, const TapulPrintEvidence *found) {
    json_builder_set_member_name(builder, "chance");
    if (found->chance->len > 0)
        add_chance(builder, &g_array_index(found->chance, TapulChance, 0));
    else
        json_builder_add_null_value(builder);
    begin_array(builder, "other_chance");
    for (guint i = 1; i < found->chance->len; i++)
        add_chance(builder, &g_array_index(found->chance, TapulChance, i));
    json_builder_end_array(builder);
}

static void add_ratio(JsonBuilder *builder, const TapulPrintEvidence *found) {
    const TapulLikelihoodRatio *ratio = &found->likelihood_ratio;
    if (!ratio->has) {
        add_null(builder, "likelihood_ratio");
        return;
    }
    begin_object(builder, "likelihood_ratio");
    tapul_report_number(builder, "value", ratio->value, 4);
    tapul_report_text(builder, "words", ratio->words);
    tapul_report_text(builder, "supports", tapul_ratio_supports(ratio));
    tapul_report_number(builder, "limit", ratio->limit, 1);
    tapul_report_integer(builder, "pool", ratio->pool);
    tapul_report_number(builder, "misleading_share", ratio->misleading_share, 4);
    tapul_report_number(builder, "score", ratio->score, 4);
    json_builder_end_object(builder);
}

static void add_suspect(JsonBuilder *builder, const TapulCase *question,
                        const TapulPrintEvidence *found) {
    if (found->suspect < 0) {
        add_null(builder, "suspect");
        return;
    }
    g_autofree char *label = tapul_pair_label(question, found, found->suspect);
    begin_object(builder, "suspect");
    tapul_report_text(builder, "pair", label);
    tapul_report_text(builder, "why", found->suspect_why ? found->suspect_why : "");
    json_builder_end_object(builder);
}

/* --- Ink and motifs --- */

static void add_match(JsonBuilder *builder, const TapulPrintEvidence *found) {
    begin_array(builder, "ink_match");
    for (guint i = 0; i < found->match->len; i++) {
        const TapulMatchPoint *point = &g_array_index(found->match, TapulMatchPoint, i);
        json_builder_begin_object(builder);
        tapul_report_number(builder, "tolerance_mm", point->tolerance_mm, 3);
        tapul_report_number(builder, "print_share", point->print_share, 4);
        add_interval(builder, "print_chance95", point->chance_print, 4);
        tapul_report_number(builder, "plate_share", point->plate_share, 4);
        add_interval(builder, "plate_chance95", point->chance_plate, 4);
        json_builder_end_object(builder);
    }
    json_builder_end_array(builder);
}

static void add_motifs(JsonBuilder *builder, const TapulPrint *print,
                       const TapulPrintEvidence *found) {
    begin_array(builder, "motifs");
    for (guint i = 0; i < found->motifs->len; i++) {
        const TapulMotifFinding *finding = &g_array_index(found->motifs, TapulMotifFinding, i);
        const TapulMotif *motif = g_ptr_array_index(print->ink->motifs, (guint)finding->motif);
        json_builder_begin_object(builder);
        tapul_report_text(builder, "id", motif->id);
        tapul_report_text(builder, "fate", tapul_motif_fate_name(finding->fate));
        tapul_report_number(builder, "share", finding->share, 4);
        tapul_report_number(builder, "share_in_place", finding->share_in_place, 4);
        tapul_report_number(builder, "moved_x_mm", finding->moved_mm.x, 2);
        tapul_report_number(builder, "moved_y_mm", finding->moved_mm.y, 2);
        tapul_report_number(builder, "turned_deg", degrees(finding->turned_rad), 2);
        tapul_report_number(builder, "resized", finding->resized, 4);
        tapul_report_box(builder, "box_mm", finding->box_mm);
        json_builder_end_object(builder);
    }
    json_builder_end_array(builder);
}

/* --- The whole --- */

static void add_print(JsonBuilder *builder, const TapulCase *question,
                      const TapulPrintEvidence *found) {
    const TapulPrint *print = g_ptr_array_index(question->prints, (guint)found->print);
    tapul_report_text(builder, "print", print->id);
    tapul_report_integer(builder, "pairs", found->n_pairs);
    tapul_report_text(builder, "verdict", found->verdict);
    add_hypotheses(builder, found);
    if (found->hypotheses->len > 0) {
        add_scale(builder, found);
        add_contours(builder, found);
        add_chances(builder, found);
        add_suspect(builder, question, found);
        add_ratio(builder, found);
        add_match(builder, found);
        add_motifs(builder, print, found);
    }
}

static const TapulPrintEvidence *first_weighed(const TapulEvidence *evidence) {
    for (guint i = 0; i < evidence->prints->len; i++) {
        const TapulPrintEvidence *found = g_ptr_array_index(evidence->prints, i);
        if (found->hypotheses->len > 0)
            return found;
    }
    return g_ptr_array_index(evidence->prints, 0);
}

void tapul_report_evidence(JsonBuilder *builder, const TapulCase *question,
                           const TapulEvidence *evidence) {
    add_print(builder, question, first_weighed(evidence));
    if (evidence->prints->len > 1) {
        begin_array(builder, "prints");
        for (guint i = 0; i < evidence->prints->len; i++) {
            json_builder_begin_object(builder);
            add_print(builder, question, g_ptr_array_index(evidence->prints, i));
            json_builder_end_object(builder);
        }
        json_builder_end_array(builder);
    }
    begin_array(builder, "added");
    for (guint i = 0; i < evidence->added->len; i++) {
        const TapulAdded *added = &g_array_index(evidence->added, TapulAdded, i);
        json_builder_begin_object(builder);
        tapul_report_box(builder, "box_mm", added->box_mm);
        tapul_report_number(builder, "length_mm", added->length_mm, 2);
        json_builder_end_object(builder);
    }
    json_builder_end_array(builder);
}
