/* The tables of the evidence sheet's second page: hypotheses, other figures, motifs. */
#include "sheet/evidence_parts.h"

#include "evidence/verdict_words.h"
#include "sheet/furniture.h"
#include "sheet/page_items.h"
#include "sheet/rows.h"

static double width_of(TapulBox room) {
    return room.max.x - room.min.x;
}

static double set_note(TapulPage *page, TapulBox room, double y, const char *text) {
    TapulType type = {.size_mm = TAPUL_TABLE_TEXT_MM, .italic = TRUE, .colour = TAPUL_BLACK};
    return tapul_set_paragraph(page, tapul_vec2(room.min.x, y - 0.4 * TAPUL_TABLE_TEXT_MM),
                               width_of(room), text, &type);
}

/* Whether there is room for another row, a note of some lines and, unless it is the last of
 * `left`, for words that more are left out. */
static gboolean fits(const TapulRows *rows, TapulBox room, double y, guint left,
                     double note_lines) {
    double lines = 1 + note_lines + (left > 1 ? 1.4 : 0);
    return y - lines * tapul_rows_step_mm(rows) >= room.min.y;
}

static char *number(double value, int decimals) {
    return isfinite(value) ? g_strdup_printf("%.*f", decimals, value) : g_strdup("–");
}

static double degrees(double radians) {
    return radians * 180 / G_PI;
}

/* --- Hypotheses --- */

static const TapulColumn hypothesis_columns[] = {
    {"", 0.03, TAPUL_ALIGN_LEFT},           {"geometry", 0.19, TAPUL_ALIGN_LEFT},
    {"freedom", 0.11, TAPUL_ALIGN_LEFT},    {"hand", 0.11, TAPUL_ALIGN_LEFT},
    {"param.", 0.07, TAPUL_ALIGN_RIGHT},    {"rms, mm", 0.09, TAPUL_ALIGN_RIGHT},
    {"alone, mm", 0.10, TAPUL_ALIGN_RIGHT}, {"AICc", 0.10, TAPUL_ALIGN_RIGHT},
    {"weight", 0.08, TAPUL_ALIGN_RIGHT},    {"scale", 0.07, TAPUL_ALIGN_RIGHT},
    {"turn, °", 0.05, TAPUL_ALIGN_RIGHT}};

static double least_aicc(const TapulPrintEvidence *found) {
    double least = INFINITY;
    for (guint i = 0; i < found->hypotheses->len; i++)
        least = fmin(least, tapul_hypothesis_at(found, i)->aicc);
    return least;
}

static gboolean is_equal(const TapulPrintEvidence *found, int i) {
    for (guint k = 0; k < found->equal->len; k++)
        if (g_array_index(found->equal, int, k) == i)
            return TRUE;
    return FALSE;
}

/* AICc is told against the least, with a plus where it is more. */
static double set_hypothesis(const TapulRows *rows, double y, const TapulPrintEvidence *found,
                             guint i) {
    const TapulHypothesis *row = tapul_hypothesis_at(found, i);
    double over = row->aicc - least_aicc(found);
    g_autofree char *geometry = g_strdup_printf("%s%s", tapul_laying_rule_name(row->geometry),
                                                row->pressing_free ? ", point free" : "");
    g_autofree char *parameters =
        g_strdup_printf(row->freedom == TAPUL_FREEDOM_BENT ? "%.1f" : "%.0f", row->parameters);
    g_autofree char *rms = number(row->rms_mm, 2), *loo = number(row->loo_mm, 2);
    g_autofree char *aicc = isfinite(over) ? g_strdup_printf("+%.1f", over) : g_strdup("–");
    g_autofree char *weight = number(row->weight, 3), *scale = number(row->scale, 3);
    g_autofree char *turn = number(degrees(row->turn_rad), 1);
    char *cells[] = {i == 0                    ? "▸"
                     : is_equal(found, (int)i) ? "="
                                               : "",
                     geometry,
                     (char *)tapul_freedom_name(row->freedom),
                     row->reversed ? "reversed" : "direct",
                     parameters,
                     rms,
                     loo,
                     aicc,
                     weight,
                     scale,
                     turn};
    return tapul_rows_add(rows, y, i == 0, cells);
}

#define HYPOTHESES_NOTE_LINES 2.4
#define HYPOTHESES_NOTE                                                                        \
    "▸ preferred; = not told apart from it. Misfits are root mean squares over the metal; "  \
    "alone: each pair against the placement found from the others. AICc above the least, and " \
    "the weight it gives (Burnham & Anderson 2002), with the picking error as the least "      \
    "error. Scale and turn of the similarity nearest to the placement; bent: effective "       \
    "number of parameters."

double tapul_evidence_hypotheses(TapulPage *page, TapulBox room,
                                 const TapulEvidenceParts *parts) {
    const TapulPrintEvidence *found = parts->found;
    TapulRows rows = {page,
                      room.min.x,
                      width_of(room),
                      TAPUL_TABLE_TEXT_MM,
                      (int)G_N_ELEMENTS(hypothesis_columns),
                      hypothesis_columns};
    guint set = 0, n = found->hypotheses->len;
    tapul_page_begin_group(page, "hypotheses", "Hypotheses", NULL);
    double y = tapul_set_heading(page, tapul_vec2(room.min.x, room.max.y), width_of(room),
                                 "Hypotheses", &parts->format);
    y = tapul_rows_heads(&rows, y);
    for (; set < n && fits(&rows, room, y, n - set, HYPOTHESES_NOTE_LINES); set++)
        y = set_hypothesis(&rows, y, found, set);
    if (set < n) {
        g_autofree char *more =
            g_strdup_printf("%u more, none with a weight over %.3f, are in the report.",
                            n - set, tapul_hypothesis_at(found, MAX(set, 1))->weight);
        y = set_note(page, room, y, more);
    }
    y = set_note(page, room, y, HYPOTHESES_NOTE);
    tapul_page_end_group(page);
    return y;
}

/* --- Other figures --- */

static double row(TapulPage *page, TapulBox room, double y, const char *name,
                  const char *value_format, ...) G_GNUC_PRINTF(5, 6);
static double row(TapulPage *page, TapulBox room, double y, const char *name,
                  const char *value_format, ...) {
    static const TapulFormat format = {.text_mm = TAPUL_TABLE_TEXT_MM};
    va_list arguments;
    va_start(arguments, value_format);
    g_autofree char *value = g_strdup_vprintf(value_format, arguments);
    va_end(arguments);
    g_autofree char *set = tapul_minus_signs(value);
    return tapul_set_row(page, tapul_vec2(room.min.x, y), width_of(room), name, set, &format);
}

static double set_tracing(TapulPage *page, TapulBox room, double y,
                          const TapulPrintEvidence *found) {
    const TapulHypothesis *scaled = tapul_scaled_hypothesis(found);
    g_autoptr(GString) inside = g_string_new(NULL);
    if (!scaled || !isfinite(found->scale_ci95.low))
        return y;
    for (guint i = 0; i < G_N_ELEMENTS(found->ratios); i++)
        if (found->ratios[i].inside)
            g_string_append_printf(inside, "%s%s", inside->len > 0 ? ", " : "",
                                   found->ratios[i].ratio);
    y = row(page, room, y, "scale, 95 % interval", "%.3f (%.3f to %.3f)", found->scale,
            found->scale_ci95.low, found->scale_ci95.high);
    y = row(page, room, y, "simple ratios inside it", "%s",
            inside->len > 0 ? inside->str : "none");
    return row(page, room, y, "turn, 95 % interval", "%.1f° (%.1f to %.1f)",
               degrees(scaled->turn_rad), degrees(found->turn_ci95_rad.low),
               degrees(found->turn_ci95_rad.high));
}

static double set_contours(TapulPage *page, TapulBox room, double y,
                           const TapulContourShare *share) {
    if (isfinite(share->value))
        y = row(page, room, y, "contour share, 95 % interval", "%.2f (%.2f to %.2f)",
                share->value, share->ci95.low, share->ci95.high);
    if (isfinite(share->net))
        y = row(page, room, y, "the same, picking taken out", "%.2f", share->net);
    if (!isfinite(share->told_apart))
        return row(page, room, y, "viewed or over the metal", "cannot tell");
    return row(page, room, y, "viewed or over the metal", "%s, right in %.0f of 100",
               share->can_tell ? "can tell" : "cannot tell", 100 * share->told_apart);
}

double tapul_evidence_figures(TapulPage *page, TapulBox room, const TapulEvidenceParts *parts) {
    const TapulPrintEvidence *found = parts->found;
    const TapulLikelihoodRatio *ratio = &found->likelihood_ratio;
    tapul_page_begin_group(page, "figures", "Other figures", NULL);
    double y = tapul_set_heading(page, tapul_vec2(room.min.x, room.max.y), width_of(room),
                                 "Scale, contours, chance", &parts->format);
    y = set_tracing(page, room, y, found);
    y = set_contours(page, room, y, &found->contour_share);
    for (guint i = 0; i < found->chance->len; i++) {
        const TapulChance *chance = &g_array_index(found->chance, TapulChance, i);
        g_autofree char *name = g_strdup_printf("%s, %d draws", chance->test, chance->draws);
        y = row(page, room, y, name, "p = %.2g", chance->p);
    }
    y = ratio->has ? row(page, room, y, "likelihood ratio", "%.2g of %d prints", ratio->value,
                         ratio->pool)
                   : row(page, room, y, "likelihood ratio", "none: no pool of prints");
    if (ratio->has)
        y = row(page, room, y, "", "%s for %s", ratio->words, tapul_ratio_supports(ratio));
    tapul_page_end_group(page);
    return y;
}

/* --- Motifs --- */

#define MOTIF_NOTE_LINES 3.4
static const TapulColumn motif_columns[] = {
    {"motif", 0.27, TAPUL_ALIGN_LEFT},  {"fate", 0.18, TAPUL_ALIGN_LEFT},
    {"found", 0.11, TAPUL_ALIGN_RIGHT}, {"in place", 0.13, TAPUL_ALIGN_RIGHT},
    {"moved", 0.11, TAPUL_ALIGN_RIGHT}, {"turned", 0.12, TAPUL_ALIGN_RIGHT},
    {"size", 0.08, TAPUL_ALIGN_RIGHT}};

static double set_motif(const TapulRows *rows, double y, const TapulEvidenceParts *parts,
                        guint i) {
    const TapulMotifFinding *finding =
        &g_array_index(parts->found->motifs, TapulMotifFinding, i);
    const TapulMotif *motif =
        g_ptr_array_index(parts->print->ink->motifs, (guint)finding->motif);
    gboolean somewhere =
        finding->fate != TAPUL_MOTIF_LEFT_OUT && finding->fate != TAPUL_MOTIF_UNDECIDED;
    double unknown = NAN;
    g_autofree char *share = g_strdup_printf("%.0f %%", 100 * finding->share);
    g_autofree char *in_place = g_strdup_printf("%.0f %%", 100 * finding->share_in_place);
    g_autofree char *moved =
        number(somewhere ? tapul_vec2_length(finding->moved_mm) : unknown, 1);
    g_autofree char *turned = number(somewhere ? degrees(finding->turned_rad) : unknown, 1);
    g_autofree char *size = number(somewhere ? finding->resized : unknown, 2);
    char *cells[] = {
        motif->id, (char *)tapul_motif_fate_name(finding->fate), share, in_place, moved, turned,
        size};
    return tapul_rows_add(rows, y, FALSE, cells);
}

static char *motif_note(const TapulEvidenceParts *parts) {
    const GArray *added = parts->sheet->evidence->added;
    GString *text = g_string_new(NULL);
    double length_mm = 0;
    for (guint i = 0; i < added->len; i++)
        length_mm += g_array_index(added, TapulAdded, i).length_mm;
    g_string_append_printf(
        text,
        "Share of a motif's line found within %.3g mm, at its own best place "
        "and where the whole print puts it; moved in mm, turned in degrees.",
        TAPUL_QUOTED_TOLERANCE_MM);
    if (added->len > 0)
        g_string_append_printf(text,
                               " No print explains %.0f mm of the plate's line, in %u "
                               "place%s.",
                               length_mm, added->len, added->len == 1 ? "" : "s");
    return g_string_free(text, FALSE);
}

double tapul_evidence_motifs(TapulPage *page, TapulBox room, const TapulEvidenceParts *parts) {
    guint set = 0, n = parts->found->motifs->len;
    TapulRows rows = {page,
                      room.min.x,
                      width_of(room),
                      TAPUL_TABLE_TEXT_MM,
                      (int)G_N_ELEMENTS(motif_columns),
                      motif_columns};
    tapul_page_begin_group(page, "motifs", "Motifs", NULL);
    double y = tapul_set_heading(page, tapul_vec2(room.min.x, room.max.y), width_of(room),
                                 "Motifs", &parts->format);
    if (n == 0) {
        y = set_note(page, room, y,
                     parts->sheet->question->found
                         ? "The print names no motifs."
                         : "The case has no tracing of the design: motifs are not sought.");
        tapul_page_end_group(page);
        return y;
    }
    y = tapul_rows_heads(&rows, y);
    for (; set < n && fits(&rows, room, y, n - set, MOTIF_NOTE_LINES); set++)
        y = set_motif(&rows, y, parts, set);
    if (set < n) {
        g_autofree char *more = g_strdup_printf("%u more are in the report.", n - set);
        y = set_note(page, room, y, more);
    }
    g_autofree char *note = motif_note(parts);
    y = set_note(page, room, y, note);
    tapul_page_end_group(page);
    return y;
}
