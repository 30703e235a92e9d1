/* The worksheet's three questions, chosen to fit the case, and their answers from its figures.
 *
 * Answers say what the laying supposes and what was weighed, not what was. Sentences are the
 * case's to replace; figures stand after them, never inside. */
#include "sheet/comparison_words.h"
#include "sheet/worksheet_parts.h"

#include <string.h>

/* What keeps more of its width than this does not look narrow (by eye). */
#define NARROW 0.9
/* Squares named of what was added. */
#define MOST_ADDED 6
/* Half the length on the print over which foreshortening is taken. */
#define PROBE_MM 0.5

static const TapulLaying *map_of(const TapulWorksheet *worksheet, int laying) {
    return ((const TapulCaseLaid *)g_ptr_array_index(worksheet->comparison->laid, laying))->map;
}

static const TapulLaidInk *ink_of(const TapulWorksheet *worksheet, int laying) {
    return ((const TapulCaseLaid *)g_ptr_array_index(worksheet->comparison->laid, laying))->ink;
}

static TapulLayingRule rule_of(const TapulWorksheet *worksheet, int laying) {
    const GPtrArray *layings = worksheet->comparison->question->layings;
    return ((const TapulCaseLaying *)g_ptr_array_index(layings, laying))->options.rule;
}

static gboolean is_reversed(const TapulWorksheet *worksheet, int laying) {
    double scale, turn_rad;
    gboolean reversed;
    tapul_laying_placement(map_of(worksheet, laying), &scale, &turn_rad, &reversed);
    return reversed;
}

/* The questions are about the first print; a second is there to be found. */
static const TapulSoughtPrint *main_print(const TapulWorksheet *worksheet) {
    return g_ptr_array_index(worksheet->prints, 0);
}

static int main_laying(const TapulWorksheet *worksheet) {
    return g_array_index(main_print(worksheet)->layings, int, 0);
}

static const TapulPrintEvidence *evidence_of(const TapulWorksheet *worksheet) {
    const TapulEvidence *evidence = worksheet->comparison->evidence;
    for (guint i = 0; evidence && i < evidence->prints->len; i++) {
        const TapulPrintEvidence *of = g_ptr_array_index(evidence->prints, i);
        if (of->print == main_print(worksheet)->print && of->motifs->len > 0)
            return of;
    }
    return NULL;
}

/* A sentence more. */
static void say(GString *text, const TapulWorksheet *worksheet, const char *word) {
    tapul_comparison_add_take(text, tapul_comparison_sentence(worksheet->comparison, word));
}

/* What a figure is of, and the figure. */
static void say_figure(GString *text, const TapulWorksheet *worksheet, const char *word,
                       const char *format, ...) G_GNUC_PRINTF(4, 5);
static void say_figure(GString *text, const TapulWorksheet *worksheet, const char *word,
                       const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    g_autofree char *figure = g_strdup_vprintf(format, arguments);
    va_end(arguments);
    g_autofree char *of = tapul_comparison_capital(worksheet->comparison, word);
    tapul_comparison_add_take(text, g_strdup_printf("%s: %s.", of, figure));
}

/* --- Turned over? --- */

static void say_weighed_hand(GString *text, const TapulWorksheet *worksheet) {
    const TapulPrintEvidence *evidence = evidence_of(worksheet);
    if (!evidence || evidence->hypotheses->len == 0)
        return;
    const TapulHypothesis *best = g_ptr_array_index(evidence->hypotheses, 0);
    say(text, worksheet,
        best->reversed == is_reversed(worksheet, main_laying(worksheet))
            ? "points that were compared on print and plate speak for it too"
            : "points that were compared on print and plate speak against it");
}

/* How many of all layings are reversed. */
static guint count_reversed(const TapulWorksheet *worksheet, guint *layings) {
    guint reversed = 0;
    *layings = 0;
    for (guint i = 0; i < worksheet->prints->len; i++) {
        const TapulSoughtPrint *print = g_ptr_array_index(worksheet->prints, i);
        for (guint k = 0; k < print->layings->len; k++)
            reversed += is_reversed(worksheet, g_array_index(print->layings, int, k)) ? 1 : 0;
        *layings += print->layings->len;
    }
    return reversed;
}

static char *mirror_reply(const TapulWorksheet *worksheet) {
    GString *text = g_string_new(NULL);
    guint layings, reversed = count_reversed(worksheet, &layings);
    if (reversed > 0 && reversed < layings) {
        say(text, worksheet,
            "the laying supposes both: some of the design is the same way round as it was "
            "printed, some turned over. The table says which");
        return g_string_free(text, FALSE);
    }
    say(text, worksheet,
        reversed > 0
            ? "yes: the laying supposes the print turned over, left for right, as when a sheet "
              "is pressed on the metal face down"
            : "no: the laying supposes the print the same way round as it was printed");
    say_weighed_hand(text, worksheet);
    say(text, worksheet, "a motif whose two sides differ tells: see which way it looks");
    return g_string_free(text, FALSE);
}

/* --- Its shape --- */

/* How long a short level line of the print is as seen from the front, of its length over the
 * metal; FALSE off the plate and where it is not seen. */
static gboolean seen_share(const TapulWorksheet *worksheet, const TapulShownMotif *motif,
                           double *share) {
    const TapulLaying *map = map_of(worksheet, motif->laying);
    const TapulMesh *mesh = tapul_plate_mesh(worksheet->comparison->question->plate);
    TapulVec2 middle = motif->mark_print_mm, half = {PROBE_MM, 0};
    TapulSpot left, right;
    if (!tapul_laying_spot(map, tapul_vec2_sub(middle, half), &left) ||
        !tapul_laying_spot(map, tapul_vec2_add(middle, half), &right) ||
        tapul_mesh_smooth_normal(mesh, left).z <= 0)
        return FALSE;
    TapulVec3 way = tapul_vec3_sub(tapul_mesh_smooth_position_mm(mesh, right),
                                   tapul_mesh_smooth_position_mm(mesh, left));
    double length_mm = tapul_vec3_length(way);
    *share = length_mm > 0 ? hypot(way.x, way.y) / length_mm : 1;
    return length_mm > 0;
}

/* The motif that the front view shows narrowest; NULL: none is seen. */
static const TapulSoughtMotif *narrowest(const TapulWorksheet *worksheet, double *least) {
    const GPtrArray *motifs = main_print(worksheet)->motifs;
    const TapulSoughtMotif *found = NULL;
    *least = INFINITY;
    for (guint i = 0; i < motifs->len; i++) {
        const TapulSoughtMotif *motif = g_ptr_array_index(motifs, i);
        double share;
        if (!seen_share(worksheet, motif->shown, &share) || share >= *least)
            continue;
        *least = share;
        found = motif;
    }
    return found;
}

/* Whether it lies where the metal faces the eye. */
static gboolean faces_the_eye(const TapulWorksheet *worksheet) {
    double share;
    return narrowest(worksheet, &share) && share > NARROW;
}

static void say_narrowest(GString *text, const TapulWorksheet *worksheet) {
    double share;
    const TapulSoughtMotif *motif = narrowest(worksheet, &share);
    if (motif)
        say_figure(text, worksheet, "narrowest from the front, of its width over the metal",
                   "%d %s, %.0f\u00a0%%", motif->number, motif->shown->name, 100 * share);
}

/* The first print that is on the plate more than once; NULL: none is. */
static const TapulSoughtPrint *copied_print(const TapulWorksheet *worksheet) {
    for (guint i = 0; i < worksheet->prints->len; i++) {
        const TapulSoughtPrint *print = g_ptr_array_index(worksheet->prints, i);
        if (print->layings->len > 1)
            return print;
    }
    return NULL;
}

static gboolean any_rule(const TapulWorksheet *worksheet, const TapulSoughtPrint *print,
                         gboolean viewed) {
    for (guint i = 0; i < print->layings->len; i++)
        if ((rule_of(worksheet, g_array_index(print->layings, int, i)) ==
             TAPUL_LAYING_VIEWED) == viewed)
            return TRUE;
    return FALSE;
}

static gboolean both_hands(const TapulWorksheet *worksheet, const TapulSoughtPrint *print) {
    guint reversed = 0;
    for (guint i = 0; i < print->layings->len; i++)
        reversed += is_reversed(worksheet, g_array_index(print->layings, int, i)) ? 1 : 0;
    return reversed > 0 && reversed < print->layings->len;
}

/* Why copies of one print come out differently. */
static void say_reasons(GString *text, const TapulWorksheet *worksheet,
                        const TapulSoughtPrint *print) {
    if (any_rule(worksheet, print, TRUE) && any_rule(worksheet, print, FALSE))
        say(text, worksheet,
            "drawn as the eye sees it, a copy looks right from the front and is wider over "
            "metal that turns away; laid on the metal, a sheet keeps its width there, and "
            "looks narrow from the front");
    if (both_hands(worksheet, print))
        say(text, worksheet,
            "a sheet turned over gives the mirror image: so one print makes a pair that faces "
            "its middle");
}

/* "(left copy) Drawn as the eye sees it from the front, at its own size. ..." Copies are named
 * by where they stand, as in the table. */
static char *differ_reply(const TapulWorksheet *worksheet) {
    const TapulSoughtPrint *print = copied_print(worksheet);
    const TapulSoughtMotif *motif = g_ptr_array_index(print->motifs, 0);
    GString *text = g_string_new(NULL);
    g_autofree char *name = tapul_comparison_print_name(worksheet->comparison, print->print);
    if (worksheet->prints->len > 1)
        tapul_comparison_add_take(text, g_strdup_printf("%s.", name));
    for (guint i = 0; i < motif->places->len; i++) {
        int laying = ((const TapulShownMotif *)g_ptr_array_index(motif->places, i))->laying;
        g_autofree char *copy = tapul_sought_copy_words(worksheet->comparison, motif, i);
        g_autofree char *laid = tapul_comparison_laying_words(worksheet->comparison, laying);
        tapul_comparison_add_take(text, g_strdup_printf("(%s) %s", copy, laid));
        tapul_comparison_add_take(text,
                                  tapul_comparison_change_words(worksheet->comparison, laying));
    }
    say_reasons(text, worksheet, print);
    return g_string_free(text, FALSE);
}

static char *shape_reply(const TapulWorksheet *worksheet) {
    int laying = main_laying(worksheet);
    GString *text = g_string_new(NULL);
    say(text, worksheet,
        faces_the_eye(worksheet) ? "hardly: it lies where the metal faces the eye"
        : rule_of(worksheet, laying) == TAPUL_LAYING_VIEWED
            ? "the laying supposes the print drawn as the eye in front sees it: from there it "
              "looks right, and where the metal turns away its lines come out longer"
            : "the metal turns away there, and the eye sees it from the side: over the metal "
              "the design is wider than it looks");
    tapul_comparison_add_take(text,
                              tapul_comparison_change_words(worksheet->comparison, laying));
    say_narrowest(text, worksheet);
    return g_string_free(text, FALSE);
}

/* --- What was changed, or could not be copied --- */

typedef enum { MISSING, CHANGED, UNDECIDED } Outcome;

static gboolean has_outcome(const TapulSoughtMotif *motif, Outcome outcome) {
    const TapulMotifFinding *finding = motif->shown->finding;
    if (!finding || finding->fate == TAPUL_MOTIF_KEPT)
        return FALSE;
    return outcome == (finding->fate == TAPUL_MOTIF_LEFT_OUT    ? MISSING
                       : finding->fate == TAPUL_MOTIF_UNDECIDED ? UNDECIDED
                                                                : CHANGED);
}

/* "Not found: 3 Oar; 5 Urn.", or that there is none. */
static void say_motifs(GString *text, const TapulWorksheet *worksheet, Outcome outcome,
                       const char *words, const char *none) {
    const GPtrArray *motifs = main_print(worksheet)->motifs;
    g_autoptr(GString) list = g_string_new(NULL);
    for (guint i = 0; i < motifs->len; i++) {
        const TapulSoughtMotif *motif = g_ptr_array_index(motifs, i);
        if (!has_outcome(motif, outcome))
            continue;
        g_autofree char *fate =
            outcome == CHANGED ? tapul_motif_fate_words(worksheet->comparison, motif->shown)
                               : NULL;
        g_string_append_printf(list, "%s%d %s%s%s", list->len > 0 ? "; " : "", motif->number,
                               motif->shown->name, fate ? ", " : "", fate ? fate : "");
    }
    if (list->len > 0)
        say_figure(text, worksheet, words, "%s", list->str);
    else if (none)
        say(text, worksheet, none);
}

/* The squares of what no print explains, the longest first by the evidence's own order. */
static void say_added(GString *text, const TapulWorksheet *worksheet) {
    const GArray *added = worksheet->comparison->evidence->added;
    g_autoptr(GString) list = g_string_new(NULL);
    for (guint i = 0; i < MIN(added->len, MOST_ADDED); i++) {
        TapulBox box = g_array_index(added, TapulAdded, i).box_mm;
        g_autofree char *square =
            tapul_squares_name(&worksheet->squares, tapul_vec2_mix(box.min, box.max, 0.5));
        if (!strstr(list->str, square))
            g_string_append_printf(list, "%s%s", list->len > 0 ? ", " : "", square);
    }
    if (list->len > 0)
        say_figure(text, worksheet, "lines that the print does not have", "%s", list->str);
}

static char *change_reply(const TapulWorksheet *worksheet) {
    const TapulContourShare *share = &evidence_of(worksheet)->contour_share;
    GString *text = g_string_new(NULL);
    say_motifs(text, worksheet, MISSING, "not found", "no motif is sure to be missing");
    say_motifs(text, worksheet, CHANGED, "found changed", "none is sure to be changed");
    say_motifs(text, worksheet, UNDECIDED, "the tracing does not tell", NULL);
    say_added(text, worksheet);
    if (share->can_tell && isfinite(share->net))
        say_figure(
            text, worksheet,
            "of how the design as a whole departs from the print, the plate's form explains",
            "%.0f\u00a0%%", 100 * fmax(0, share->net));
    say(text, worksheet,
        "the plate's form, the room it gave and the etcher's own wish may all be reasons: the "
        "figures alone do not tell");
    return g_string_free(text, FALSE);
}

static char *flat_reply(const TapulWorksheet *worksheet) {
    const TapulLaidInk *ink = ink_of(worksheet, main_laying(worksheet));
    GString *text = g_string_new(NULL);
    say(text, worksheet,
        "a flat sheet lies on a plate that swells both ways only with creases or cuts, and the "
        "plate's edge ends it");
    say_figure(text, worksheet, "lines that this laying puts beyond the edge", "%.0f\u00a0mm",
               ink->beyond_edge_mm);
    say_figure(text, worksheet, "lines that fold over in it", "%.0f\u00a0mm", ink->folded_mm);
    return g_string_free(text, FALSE);
}

/* --- Questions --- */

char *tapul_worksheet_question(const TapulWorksheet *worksheet, int question) {
    gboolean viewed = rule_of(worksheet, main_laying(worksheet)) == TAPUL_LAYING_VIEWED;
    if (question == 0)
        return tapul_comparison_capital(
            worksheet->comparison,
            "is the design turned over, as in a mirror? How can you tell?");
    if (question == 1)
        return tapul_comparison_capital(
            worksheet->comparison,
            copied_print(worksheet)
                ? "a print is on the plate more than once. How do the copies differ?"
            : faces_the_eye(worksheet)
                ? "does the design look different when you see the plate from the front? Why?"
            : viewed ? "compare the plate laid flat with the plate seen from the front. Where "
                       "is the "
                       "design wider when it is laid flat, and why?"
                     : "why does the design look narrower at the sides when you see the plate "
                       "from the front?");
    return tapul_comparison_capital(
        worksheet->comparison,
        evidence_of(worksheet)
            ? "what did the etcher change? What may have been the reason?"
            : "what could the etcher not copy from a flat sheet just as it is?");
}

char *tapul_worksheet_reply(const TapulWorksheet *worksheet, int question) {
    if (question == 0)
        return mirror_reply(worksheet);
    if (question == 1)
        return copied_print(worksheet) ? differ_reply(worksheet) : shape_reply(worksheet);
    return evidence_of(worksheet) ? change_reply(worksheet) : flat_reply(worksheet);
}
