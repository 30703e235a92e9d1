/* What the whole plate's page points to: the case's own places, or the prints laid, or the
 * motifs of the one print. */
#include "sheet/carried.h"
#include "sheet/comparison_plate_parts.h"
#include "sheet/comparison_words.h"

#include <stdlib.h>

/* More motifs than this are not told apart at a glance. */
#define MOST_MOTIFS 12
/* Fewer found than this say less of the plate than the prints do that are laid on it. */
#define LEAST_FOUND 3

static void call_free(gpointer data) {
    TapulPlateCall *call = data;
    g_free(call->text);
    g_free(call);
}

/* Takes text. */
static TapulPlateCall *add_call(GPtrArray *calls, char *text) {
    TapulPlateCall *call = g_new0(TapulPlateCall, 1);
    call->number = (int)calls->len + 1;
    call->text = text;
    g_ptr_array_add(calls, call);
    return call;
}

static void add_given(GPtrArray *calls, const TapulComparison *comparison,
                      const TapulFigure *figure) {
    const GPtrArray *given = comparison->question->sheet.calls;
    for (guint i = 0; i < given->len; i++) {
        const TapulCaseCall *place = g_ptr_array_index(given, i);
        TapulPlateCall *call = add_call(calls, g_strdup(place->text));
        call->seen = tapul_figure_of_plate(figure, place->developed_mm, &call->own_mm);
    }
}

/* --- Prints --- */

/* Ink that is called: of these marks those of a motif (-1: of any), within a box. */
typedef struct {
    const GPtrArray *marks;
    int motif;
    TapulBox box_mm; /* developed frame */
} CalledInk;

static gboolean is_called(const CalledInk *ink, const TapulMark *mark, TapulVec2 at_mm) {
    return !mark->paper && (ink->motif < 0 || mark->motif == ink->motif) &&
           at_mm.x >= ink->box_mm.min.x && at_mm.x <= ink->box_mm.max.x &&
           at_mm.y >= ink->box_mm.min.y && at_mm.y <= ink->box_mm.max.y;
}

/* Of what the figure shows of the ink the point furthest towards the nearer side of the plate,
 * and near the height of its middle: from there the leader to a label at that side crosses no
 * other ink of the print, and its ring stands beside a face and not on its nose. */
static void point_to_ink(TapulPlateCall *call, const TapulComparison *comparison,
                         const CalledInk *ink, const TapulFigure *figure) {
    TapulVec2 middle_mm = tapul_vec2_mix(ink->box_mm.min, ink->box_mm.max, 0.5);
    g_autoptr(TapulPath) edge = tapul_carried_edge(&comparison->question->ground);
    TapulBox plate = tapul_path_box(edge);
    double side = middle_mm.x >= (plate.min.x + plate.max.x) / 2 ? 1 : -1, best_mm = -INFINITY;
    for (guint i = 0; i < ink->marks->len; i++) {
        const TapulMark *mark = g_ptr_array_index(ink->marks, i);
        TapulPathWalk walk = tapul_path_walk(mark->path);
        TapulPathPiece piece;
        while (tapul_path_walk_next(&walk, &piece)) {
            TapulVec2 at = piece.p[0], own_mm;
            double out_mm = side * (at.x - middle_mm.x) - fabs(at.y - middle_mm.y);
            if (out_mm <= best_mm || !is_called(ink, mark, at) ||
                !tapul_figure_of_plate(figure, at, &own_mm))
                continue;
            best_mm = out_mm;
            call->own_mm = own_mm;
            call->seen = TRUE;
        }
    }
}

static void add_print(GPtrArray *calls, const TapulComparison *comparison, int laying,
                      const TapulFigure *figure) {
    const TapulCaseLaying *how = g_ptr_array_index(comparison->question->layings, laying);
    GString *text = g_string_new(NULL);
    tapul_comparison_add_take(text, tapul_comparison_print_name(comparison, how->print));
    g_string_append_printf(text, ", %s", tapul_comparison_rule_words(comparison, laying));
    if (how->options.reversed)
        g_string_append_printf(text, ", %s", tapul_case_word(comparison->question, "reversed"));
    const TapulCaseLaid *laid = g_ptr_array_index(comparison->laid, laying);
    CalledInk ink = {laid->ink->marks, -1, tapul_laid_box_mm(comparison, laying)};
    point_to_ink(add_call(calls, g_string_free(text, FALSE)), comparison, &ink, figure);
}

/* --- Motifs --- */

/* Of motifs that were not found, or not surely, the figure of the plate as it is shows nothing.
 */
static gboolean was_found(const TapulShownMotif *motif) {
    return motif->finding && motif->finding->fate != TAPUL_MOTIF_LEFT_OUT &&
           motif->finding->fate != TAPUL_MOTIF_UNDECIDED;
}

/* Those that lie on the plate; found_only: and were found there. */
static GPtrArray *motifs_to_call(const TapulComparison *comparison, gboolean found_only) {
    GPtrArray *motifs = tapul_shown_motifs(comparison, -1);
    for (guint i = motifs->len; i-- > 0;) {
        const TapulShownMotif *motif = g_ptr_array_index(motifs, i);
        if (tapul_box_is_empty(motif->developed_mm) || (found_only && !was_found(motif)))
            g_ptr_array_remove_index(motifs, i);
    }
    return motifs;
}

/* Length of line, and for areas of their outline: how much there is to see of it. */
static double motif_ink_mm(const TapulComparison *comparison, const TapulShownMotif *motif) {
    const TapulPrint *print = g_ptr_array_index(comparison->question->prints, motif->print);
    double length_mm = 0;
    for (guint i = 0; i < print->ink->marks->len; i++) {
        const TapulMark *mark = g_ptr_array_index(print->ink->marks, i);
        if (mark->motif == motif->motif && !mark->paper)
            length_mm += tapul_path_length(mark->path);
    }
    return length_mm;
}

static int compare_falling(const void *a, const void *b) {
    double p = *(const double *)a, q = *(const double *)b;
    return (p < q) - (p > q);
}

/* On the ink that the figure shows: where the motif was found on any, else on what is laid. */
static void call_motif(TapulPlateCall *call, const TapulComparison *comparison,
                       const TapulShownMotif *motif, const TapulFigure *figure,
                       gboolean as_found) {
    const TapulCaseLaid *laid = g_ptr_array_index(comparison->laid, motif->laying);
    CalledInk ink = {laid->ink->marks, motif->motif, motif->developed_mm};
    if (as_found)
        ink = (CalledInk){comparison->question->found->marks, -1, motif->developed_mm};
    point_to_ink(call, comparison, &ink, figure);
    if (!call->seen)
        call->seen = tapul_figure_of_plate(figure, motif->mark_developed_mm, &call->own_mm);
}

/* The MOST_MOTIFS with most ink, in the order in which they are read. */
static void add_motifs(GPtrArray *calls, const TapulComparison *comparison,
                       const TapulFigure *figure, gboolean found_only) {
    g_autoptr(GPtrArray) motifs = motifs_to_call(comparison, found_only);
    g_autofree double *ink_mm = g_new(double, motifs->len);
    for (guint i = 0; i < motifs->len; i++)
        ink_mm[i] = motif_ink_mm(comparison, g_ptr_array_index(motifs, i));
    g_autofree double *falling = g_memdup2(ink_mm, motifs->len * sizeof(double));
    qsort(falling, motifs->len, sizeof(double), compare_falling);
    double least_mm = motifs->len > MOST_MOTIFS ? falling[MOST_MOTIFS - 1] : 0;
    for (guint i = 0; i < motifs->len && calls->len < MOST_MOTIFS; i++) {
        const TapulShownMotif *motif = g_ptr_array_index(motifs, i);
        if (ink_mm[i] < least_mm)
            continue;
        gboolean told = motif->finding && motif->finding->fate != TAPUL_MOTIF_UNDECIDED;
        g_autofree char *fate = told ? tapul_motif_fate_words(comparison, motif) : NULL;
        char *text =
            fate ? g_strdup_printf("%s, %s", motif->name, fate) : g_strdup(motif->name);
        TapulPlateCall *call = add_call(calls, text);
        call_motif(call, comparison, motif, figure, found_only);
    }
}

TapulShown tapul_plate_shown(const TapulComparison *comparison) {
    const TapulCase *question = comparison->question;
    if (!question->found)
        return TAPUL_SHOWN_ETCHED;
    g_autoptr(GPtrArray) found = motifs_to_call(comparison, TRUE);
    return question->sheet.calls->len > 0 || found->len >= LEAST_FOUND ||
                   comparison->laid->len == 0
               ? TAPUL_SHOWN_FOUND
               : TAPUL_SHOWN_LAID;
}

GPtrArray *tapul_plate_calls(const TapulComparison *comparison, const TapulFigure *figure) {
    GPtrArray *calls = g_ptr_array_new_with_free_func(call_free);
    gboolean as_found = tapul_plate_shown(comparison) == TAPUL_SHOWN_FOUND;
    add_given(calls, comparison, figure);
    if (calls->len == 0 && (as_found || comparison->laid->len == 1))
        add_motifs(calls, comparison, figure, as_found);
    for (guint i = 0; calls->len == i && i < comparison->laid->len; i++)
        add_print(calls, comparison, (int)i, figure);
    return calls;
}
