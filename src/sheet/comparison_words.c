/* What comparison pages say of a print and its laying, for readers. */
#include "sheet/comparison_words.h"

#include "sheet/carried.h"
#include "sheet/figure.h"

#include <string.h>

#define NARROW "\u202f" /* a narrow space that does not break, between figure and sign */
#define FIXED  "\u00a0"
/* Changes of length below this are what no reader could measure on the page. */
#define LEAST_CHANGE 0.005
/* Lengths of line below this would be said to be none. */
#define LEAST_LINE_MM 0.5
/* A turn below this is not seen. */
#define LEAST_TURN_DEG 0.05

static const char *word(const TapulComparison *comparison, const char *english) {
    return tapul_case_word(comparison->question, english);
}

static char *with_capital(const char *text) {
    char first[7] = "";
    if (!*text)
        return g_strdup("");
    g_unichar_to_utf8(g_unichar_toupper(g_utf8_get_char(text)), first);
    return g_strconcat(first, g_utf8_next_char(text), NULL);
}

char *tapul_comparison_capital(const TapulComparison *comparison, const char *english) {
    return with_capital(word(comparison, english));
}

char *tapul_comparison_sentence(const TapulComparison *comparison, const char *english) {
    g_autofree char *text = tapul_comparison_capital(comparison, english);
    return *text ? g_strconcat(text, ".", NULL) : g_strdup("");
}

void tapul_comparison_add_take(GString *text, char *sentence) {
    if (sentence && *sentence) {
        if (text->len > 0)
            g_string_append_c(text, ' ');
        g_string_append(text, sentence);
    }
    g_free(sentence);
}

char *tapul_comparison_print_name(const TapulComparison *comparison, int print) {
    const TapulPrint *source = g_ptr_array_index(comparison->question->prints, print);
    if (source->title)
        return g_strdup(source->title);
    g_autofree char *words = g_strdelimit(g_utf8_make_valid(source->id, -1), "-_", ' ');
    return with_capital(words);
}

/* --- How it is laid --- */

const char *tapul_comparison_rule_words(const TapulComparison *comparison, int laying) {
    const TapulCaseLaying *asked = g_ptr_array_index(comparison->question->layings, laying);
    switch (asked->options.rule) {
    case TAPUL_LAYING_ROLLED:
        return word(comparison, "pressed on over the metal");
    case TAPUL_LAYING_DEVELOPED:
        return word(comparison, "laid over the metal");
    case TAPUL_LAYING_VIEWED:
        return word(comparison, "drawn as the eye sees it from the front");
    case TAPUL_LAYING_PINNED:
        return word(comparison, "drawn to the points found on the plate");
    case TAPUL_LAYING_BORDERED:
        return word(comparison, asked->options.border.n_points == 0
                                    ? "run along the plate's edge"
                                    : "run along a line of the plate");
    case TAPUL_LAYING_FILLED:
        return word(comparison, "stretched to fill a field");
    }
    g_assert_not_reached();
}

/* The scale that the laying has beside the changes by its rule; 1 where it has none. */
static double own_scale(const TapulComparison *comparison, int laying) {
    const TapulCaseLaying *asked = g_ptr_array_index(comparison->question->layings, laying);
    const TapulCaseLaid *laid = g_ptr_array_index(comparison->laid, laying);
    double scale, turn_rad;
    gboolean reversed;
    if (asked->options.rule == TAPUL_LAYING_FILLED)
        return 1;
    tapul_laying_placement(laid->map, &scale, &turn_rad, &reversed);
    return scale;
}

static void add_size(const TapulComparison *comparison, GString *text, double scale) {
    double percent = round(100 * scale);
    if (percent == 100)
        g_string_append_printf(text, ", %s", word(comparison, "at its own size"));
    else
        g_string_append_printf(text, ", %s %.0f" NARROW "%%",
                               word(comparison, percent > 100 ? "enlarged to" : "reduced to"),
                               percent);
}

char *tapul_comparison_laying_words(const TapulComparison *comparison, int laying) {
    const TapulCaseLaying *asked = g_ptr_array_index(comparison->question->layings, laying);
    const TapulCaseLaid *laid = g_ptr_array_index(comparison->laid, laying);
    double scale, turn_rad;
    gboolean reversed;
    g_autofree char *rule = with_capital(tapul_comparison_rule_words(comparison, laying));
    GString *text = g_string_new(rule);
    tapul_laying_placement(laid->map, &scale, &turn_rad, &reversed);
    if (reversed)
        g_string_append_printf(text, ", %s", word(comparison, "reversed"));
    if (asked->options.rule != TAPUL_LAYING_FILLED)
        add_size(comparison, text, scale);
    double turn_deg = turn_rad * 180 / G_PI;
    if (asked->options.rule != TAPUL_LAYING_BORDERED &&
        asked->options.rule != TAPUL_LAYING_FILLED && fabs(turn_deg) >= LEAST_TURN_DEG)
        g_string_append_printf(text, ", %s %.1f\u00b0 %s", word(comparison, "turned"),
                               fabs(turn_deg),
                               word(comparison, turn_deg > 0 ? "to the left" : "to the right"));
    return g_string_free(g_string_append_c(text, '.'), FALSE);
}

/* --- What that does to it --- */

static gboolean crosses_medial(const TapulComparison *comparison, int laying) {
    g_autoptr(TapulPath) medial = tapul_carried_medial(&comparison->question->ground);
    return tapul_path_enters(medial, tapul_laid_box_mm(comparison, laying));
}

/* "The sheet wrinkles at the ridge (10 mm of line)." */
static char *fold_words(const TapulComparison *comparison, int laying) {
    const TapulCaseLaid *laid = g_ptr_array_index(comparison->laid, laying);
    const TapulPlate *plate = comparison->question->plate;
    g_autofree char *wrinkles = tapul_comparison_capital(
        comparison, tapul_plate_has_ridge(plate) && crosses_medial(comparison, laying)
                        ? "the sheet wrinkles at the ridge"
                        : "the sheet wrinkles in places");
    if (laid->ink->folded_mm < LEAST_LINE_MM)
        return g_strconcat(wrinkles, ".", NULL);
    return g_strdup_printf("%s (%.0f" FIXED "mm %s).", wrinkles, laid->ink->folded_mm,
                           word(comparison, "of line"));
}

static void append_percent(const TapulComparison *comparison, GString *text, const char *words,
                           double change) {
    g_string_append_printf(text, "%s%s %.0f" NARROW "%%", text->len > 0 ? " " : "",
                           word(comparison, words), 100 * fabs(change));
}

/* By how much lengths differ from the print's, beside the laying's own scale. Where a sheet
 * folds its stretch falls towards nothing, which is said as a fold instead. */
static char *stretch_words(const TapulComparison *comparison, int laying) {
    const TapulCaseLaying *asked = g_ptr_array_index(comparison->question->layings, laying);
    const TapulCaseLaid *laid = g_ptr_array_index(comparison->laid, laying);
    double scale = own_scale(comparison, laying);
    double least = laid->ink->stretch_min / scale - 1;
    double most = laid->ink->stretch_max / scale - 1;
    gboolean shrinks = least <= -LEAST_CHANGE, grows = most >= LEAST_CHANGE;
    if (laid->ink->folded_mm > 0 || laid->ink->folded_fills > 0)
        return fold_words(comparison, laying);
    if (!shrinks && !grows)
        return tapul_comparison_sentence(comparison, "lengths are kept");
    g_autoptr(GString) text = g_string_new(NULL);
    if (shrinks)
        append_percent(comparison, text, "the lengths shrink by up to", least);
    if (grows)
        append_percent(comparison, text,
                       shrinks ? "and grow by up to" : "the lengths grow by up to", most);
    if (grows && !shrinks && asked->options.rule == TAPUL_LAYING_VIEWED)
        g_string_append_printf(text, " %s", word(comparison, "where the metal turns away"));
    g_string_append_c(text, '.');
    return with_capital(text->str);
}

static char *edge_words(const TapulComparison *comparison, int laying) {
    const TapulCaseLaid *laid = g_ptr_array_index(comparison->laid, laying);
    double beyond_mm = laid->ink->beyond_edge_mm;
    if (beyond_mm >= LEAST_LINE_MM)
        return g_strdup_printf("%.0f" FIXED "mm %s.", beyond_mm,
                               word(comparison, "of line lie beyond the plate's edge"));
    if (laid->ink->beyond_edge_fills > 0)
        return tapul_comparison_sentence(comparison, "cut by the plate's edge");
    return g_strdup("");
}

char *tapul_comparison_change_words(const TapulComparison *comparison, int laying) {
    GString *text = g_string_new(NULL);
    tapul_comparison_add_take(text, stretch_words(comparison, laying));
    tapul_comparison_add_take(text, edge_words(comparison, laying));
    return g_string_free(text, FALSE);
}

/* --- What was found --- */

static const TapulPrintEvidence *evidence_of(const TapulComparison *comparison, int print) {
    const TapulEvidence *evidence = comparison->evidence;
    for (guint i = 0; evidence && i < evidence->prints->len; i++) {
        const TapulPrintEvidence *of_print = g_ptr_array_index(evidence->prints, i);
        if (of_print->print == print)
            return of_print;
    }
    return NULL;
}

/* "Of 14 motifs 11 kept, 2 moved, 1 left out." */
static char *counts_words(const TapulComparison *comparison, const int *counts, int all) {
    static const char *const fates[] = {
        [TAPUL_MOTIF_KEPT] = "kept",         [TAPUL_MOTIF_MOVED] = "moved",
        [TAPUL_MOTIF_TURNED] = "turned",     [TAPUL_MOTIF_RESIZED] = "resized",
        [TAPUL_MOTIF_REVERSED] = "reversed", [TAPUL_MOTIF_LEFT_OUT] = "left out",
    };
    g_autofree char *of = tapul_comparison_capital(comparison, "of");
    GString *text = g_string_new(NULL);
    g_string_append_printf(text, "%s %d %s", of, all, word(comparison, "motifs"));
    const char *between = " ";
    for (guint i = 0; i < G_N_ELEMENTS(fates); i++)
        if (fates[i] && counts[i] > 0) {
            g_string_append_printf(text, "%s%d" FIXED "%s", between, counts[i],
                                   word(comparison, fates[i]));
            between = ", ";
        }
    if (counts[TAPUL_MOTIF_UNDECIDED] > 0)
        g_string_append_printf(text, "; %s",
                               word(comparison, "of the others the tracing does not tell"));
    return g_string_free(g_string_append_c(text, '.'), FALSE);
}

char *tapul_comparison_fates_words(const TapulComparison *comparison, int print) {
    const TapulPrintEvidence *evidence = evidence_of(comparison, print);
    int counts[TAPUL_MOTIF_UNDECIDED + 1] = {0};
    if (!evidence || evidence->motifs->len == 0)
        return g_strdup("");
    int all = (int)evidence->motifs->len;
    for (int i = 0; i < all; i++)
        counts[g_array_index(evidence->motifs, TapulMotifFinding, i).fate]++;
    if (counts[TAPUL_MOTIF_UNDECIDED] == all)
        return tapul_comparison_sentence(comparison,
                                         "what became of the motifs the tracing does not tell");
    return counts_words(comparison, counts, all);
}

const char *tapul_comparison_found_word(const TapulComparison *comparison) {
    if (comparison->rectified)
        return "photograph of the plate";
    return comparison->question->found ? "traced from the plate" : "as etched";
}
