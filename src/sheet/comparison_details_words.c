/* What is said of a detail: what became of it, else how the laying stretched it.
 *
 * comparison_details_choice.c asks for it.
 */
#include "sheet/comparison_details.h"

#include <gsl/gsl_statistics_double.h>

/* Half the distance over which a laying's widening is measured; a chord of it falls short of
 * the metal by 0.001 % on a radius of 20 mm. */
#define FACTOR_STEP_MM 0.3
#define FACTOR_SIDE    5 /* of a square of points at which it is measured */
#define FACTOR_POINTS  (FACTOR_SIDE * FACTOR_SIDE)
/* Less than half a per cent is said to be as in the print. */
#define LEAST_PERCENT 0.5
/* A print laid larger or smaller than this is said to be laid at that scale, and compared with
 * it: "90 % wider" would hide what the metal's curve does. */
#define NEAR_LEAST 0.85
#define NEAR_MOST  1.18

static TapulVec2 size_of(TapulBox box) {
    return tapul_vec2_sub(box.max, box.min);
}

static const TapulCaseLaid *laid_of(const TapulComparison *comparison, int laying) {
    return g_ptr_array_index(comparison->laid, laying);
}

static gboolean metal_point(const TapulComparison *comparison, int laying, TapulVec2 print_mm,
                            TapulVec3 *at_mm) {
    TapulSpot spot;
    if (!tapul_laying_spot(laid_of(comparison, laying)->map, print_mm, &spot))
        return FALSE;
    *at_mm = tapul_mesh_smooth_position_mm(tapul_plate_mesh(comparison->question->plate), spot);
    return TRUE;
}

/* Of the metal for a millimetre of the print, across and up. */
static gboolean factors_at(const TapulComparison *comparison, int laying, TapulVec2 print_mm,
                           TapulVec2 *factors) {
    TapulVec3 at[4];
    const TapulVec2 step[4] = {
        {-FACTOR_STEP_MM, 0}, {FACTOR_STEP_MM, 0}, {0, -FACTOR_STEP_MM}, {0, FACTOR_STEP_MM}};
    for (int i = 0; i < 4; i++)
        if (!metal_point(comparison, laying, tapul_vec2_add(print_mm, step[i]), &at[i]))
            return FALSE;
    *factors = tapul_vec2(tapul_vec3_distance(at[0], at[1]) / (2 * FACTOR_STEP_MM),
                          tapul_vec3_distance(at[2], at[3]) / (2 * FACTOR_STEP_MM));
    return TRUE;
}

gboolean tapul_details_factors(const TapulComparison *comparison, int laying, TapulBox print_mm,
                               TapulVec2 *factors) {
    double across[FACTOR_POINTS], up[FACTOR_POINTS];
    size_t n = 0;
    TapulVec2 size = size_of(print_mm), one;
    for (int i = 0; i < FACTOR_POINTS; i++) {
        TapulVec2 share = {(i % FACTOR_SIDE + 0.5) / FACTOR_SIDE,
                           (i / FACTOR_SIDE + 0.5) / FACTOR_SIDE};
        TapulVec2 at = {print_mm.min.x + share.x * size.x, print_mm.min.y + share.y * size.y};
        if (!factors_at(comparison, laying, at, &one))
            continue;
        across[n] = one.x;
        up[n++] = one.y;
    }
    if (2 * n < FACTOR_POINTS)
        return FALSE;
    *factors = tapul_vec2(gsl_stats_median(across, 1, n), gsl_stats_median(up, 1, n));
    return TRUE;
}

/* The laying's own scale, where it is said beside the changes; else 1. */
static double scale_beside(const TapulComparison *comparison, int laying) {
    double scale, turn_rad;
    gboolean reversed;
    tapul_laying_placement(laid_of(comparison, laying)->map, &scale, &turn_rad, &reversed);
    return scale >= NEAR_LEAST && scale <= NEAR_MOST ? 1 : scale;
}

double tapul_detail_change(const TapulComparison *comparison, const TapulShownMotif *motif) {
    TapulVec2 factors;
    double scale = scale_beside(comparison, motif->laying);
    if (!tapul_details_factors(comparison, motif->laying, motif->print_mm, &factors))
        return 0;
    return fmax(fabs(factors.x / scale - 1), fabs(factors.y / scale - 1));
}

/* "4 % wider", unless as good as none. */
static void add_change(const TapulComparison *comparison, GString *text, double factor,
                       const char *more, const char *less) {
    double percent = 100 * fabs(factor - 1);
    if (percent < LEAST_PERCENT)
        return;
    g_string_append_printf(text, "%s%.0f\u00a0%% %s", text->len > 0 ? ", " : "", percent,
                           tapul_case_word(comparison->question, factor > 1 ? more : less));
}

static char *stretch_words(const TapulComparison *comparison, const TapulShownMotif *motif) {
    const TapulCase *question = comparison->question;
    TapulVec2 factors;
    double scale = scale_beside(comparison, motif->laying);
    gboolean near = scale == 1;
    GString *text = g_string_new(NULL);
    if (!tapul_details_factors(comparison, motif->laying, motif->print_mm, &factors))
        return g_string_free(text, TRUE);
    factors = tapul_vec2_scale(factors, 1 / scale);
    add_change(comparison, text, factors.x, "wider", "narrower");
    add_change(comparison, text, factors.y, "taller", "lower");
    if (near && text->len > 0)
        g_string_append_printf(text, " %s", tapul_case_word(question, "than in the print"));
    else if (near)
        g_string_append(text, tapul_case_word(question, "as large as in the print"));
    else {
        g_autofree char *at =
            g_strdup_printf("%s %.0f\u00a0%%%s", tapul_case_word(question, "laid at"),
                            100 * scale, text->len > 0 ? ", " : "");
        g_string_prepend(text, at);
    }
    return g_string_free(text, FALSE);
}

/* With a capital and a full stop. */
static char *sentence(char *words) {
    char first[7] = "";
    g_autofree char *given = words;
    if (!words || !*words)
        return NULL;
    g_unichar_to_utf8(g_unichar_toupper(g_utf8_get_char(words)), first);
    return g_strconcat(first, g_utf8_next_char(words), ".", NULL);
}

char *tapul_detail_words(const TapulComparison *comparison, const TapulShownMotif *motif,
                         gboolean off_plate) {
    char *fate = tapul_motif_fate_words(comparison, motif);
    if (fate)
        return sentence(fate);
    if (off_plate)
        return sentence(
            g_strdup(tapul_case_word(comparison->question, "beyond the plate's edge")));
    return sentence(stretch_words(comparison, motif));
}
