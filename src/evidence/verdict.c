/* The verdict: one careful paragraph from the figures of one print.
 *
 * The last step of weigh. It says what the figures support and what they do not; a good fit is
 * never called a proof.
 */
#include "evidence/verdict.h"
#include "evidence/verdict_words.h"

#include <math.h>

/* --- Standing --- */

/* The pairs' own test comes first; the others are of the ink. */
static double p_of_pairs(const TapulPrintEvidence *found) {
    return g_array_index(found->chance, TapulChance, 0).p;
}

/* A tracing may hold little of a dense print, and a print little of a rich design: either share
 * above its band tells. */
static gboolean ink_is_chance(const TapulPrintEvidence *found) {
    const TapulMatchPoint *point = tapul_quoted_match(found);
    for (guint i = 1; i < found->chance->len; i++)
        if (g_array_index(found->chance, TapulChance, i).p > TAPUL_CHANCE_P)
            return TRUE;
    return point && point->print_share <= point->chance_print.high &&
           point->plate_share <= point->chance_plate.high;
}

/* Beyond the weakest words (ENFSI 2015) the lines speak for another print. */
#define AGAINST 0.1

static gboolean ratio_below(const TapulPrintEvidence *found, double value) {
    return found->likelihood_ratio.has && found->likelihood_ratio.value < value;
}

TapulStanding tapul_standing(const TapulCase *question, const TapulPrintEvidence *found) {
    if (found->hypotheses->len == 0 || !isfinite(tapul_hypothesis_at(found, 0)->aicc) ||
        found->chance->len == 0)
        return TAPUL_STANDING_NONE;
    if (p_of_pairs(found) > TAPUL_CHANCE_P)
        return TAPUL_STANDING_CHANCE;
    if (ink_is_chance(found) || ratio_below(found, AGAINST))
        return TAPUL_STANDING_DIVIDED;
    return p_of_pairs(found) > TAPUL_CLEAR_P || tapul_beyond_picking(question, found) ||
                   ratio_below(found, 1 / TAPUL_LEAST_RATIO)
               ? TAPUL_STANDING_SLIGHT
               : TAPUL_STANDING_CLEAR;
}

/* --- Judgement --- */

static const char *support_words(TapulStanding standing) {
    static const char *const words[] = {
        [TAPUL_STANDING_NONE] = "",
        [TAPUL_STANDING_CHANCE] = "",
        [TAPUL_STANDING_DIVIDED] =
            "The pairs agree and the lines do not: the figures support no more than a likeness "
            "of arrangement.",
        [TAPUL_STANDING_SLIGHT] =
            "Together the figures lend some support to print and design going back to one "
            "drawing.",
        [TAPUL_STANDING_CLEAR] =
            "Together the figures support that print and design go back to one drawing."};
    g_assert((guint)standing < G_N_ELEMENTS(words));
    return words[standing];
}

#define LIMITS                                                                                 \
    " They do not show by which way: another impression, state or copy, or a common third "    \
    "source, would give the same; and conventions (symmetry about the medial line, a trophy "  \
    "at each side) make unrelated designs alike."

static void add_suspect(GString *text, const TapulCase *question,
                        const TapulPrintEvidence *found) {
    if (found->suspect < 0)
        return;
    g_autofree char *label = tapul_pair_label(question, found, found->suspect);
    g_string_append_printf(text,
                           " Look again at the pair '%s'%s%s; until then neither geometry "
                           "nor hand is settled.",
                           label, found->suspect_why ? ": " : "",
                           found->suspect_why ? found->suspect_why : "");
}

/* Twelve pairs tell a swelling field's geometry at a picking error of 0.5 mm in most cases. */
#define ENOUGH_PAIRS 12

static void add_what_would_change(GString *text, const TapulCase *question,
                                  const TapulPrintEvidence *found) {
    g_autoptr(GPtrArray) wants = g_ptr_array_new();
    if (found->suspect >= 0)
        g_ptr_array_add(wants, "that pair picked afresh");
    if (found->n_pairs < ENOUGH_PAIRS || !found->contour_share.can_tell)
        g_ptr_array_add(wants, "more pairs, far apart and where the metal swells most");
    if (!question->found)
        g_ptr_array_add(wants, "a tracing of the design, by which lines can be compared");
    if (!found->likelihood_ratio.has)
        g_ptr_array_add(wants, "unrelated prints to compare with");
    g_ptr_array_add(wants, "mistakes that both share, or a date that rules the print out");
    g_string_append(text, " The verdict could be changed by ");
    for (guint i = 0; i < wants->len; i++)
        g_string_append_printf(text, "%s%s", i == 0 ? "" : "; ",
                               (const char *)g_ptr_array_index(wants, i));
    g_string_append_c(text, '.');
}

static void add_judgement(GString *text, const TapulCase *question,
                          const TapulPrintEvidence *found) {
    TapulStanding standing = tapul_standing(question, found);
    if (standing >= TAPUL_STANDING_DIVIDED) {
        g_string_append_printf(text, " %s", support_words(standing));
        g_string_append(text, LIMITS);
    }
    add_suspect(text, question, found);
    add_what_would_change(text, question, found);
}

/* --- The paragraph --- */

static const char *no_verdict(TapulStanding standing) {
    return standing == TAPUL_STANDING_NONE
               ? "No verdict: the pairs are too few to be told from chance."
           : standing == TAPUL_STANDING_CHANCE
               ? "No verdict for this print: its pairs agree no better than pairs put together "
                 "at random, which does not show that it was not the source."
               : "";
}

char *tapul_verdict_new(const TapulCase *question, const TapulPrintEvidence *found,
                        const GArray *added) {
    TapulStanding standing = tapul_standing(question, found);
    GString *text = g_string_new(no_verdict(standing));
    if (found->hypotheses->len > 0) {
        tapul_verdict_add_fit(text, question, found);
        tapul_verdict_add_untold(text, found);
        tapul_verdict_add_chance(text, found);
        /* Of pairs that agree by chance the scale and the contours mean nothing. */
        if (standing >= TAPUL_STANDING_DIVIDED) {
            tapul_verdict_add_scale(text, found);
            tapul_verdict_add_contours(text, found);
        }
        tapul_verdict_add_ink(text, found, added);
        tapul_verdict_add_ratio(text, found);
        add_judgement(text, question, found);
    }
    if (text->str[0] == ' ')
        g_string_erase(text, 0, 1);
    return g_string_free(text, FALSE);
}

char *tapul_verdict_of_faults(const char *why) {
    return g_strdup_printf("No verdict can be given: %s.", why);
}
