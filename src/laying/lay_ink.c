/* Ink laid: every mark of a print carried through a laying to the development, with its stroke
 * widths and dashes as the metal and then the development stretch them, and the figures of what
 * became of it. */
#include "laying/period.h"
#include "laying/rule.h"
#include "laying/stroke_runs.h"

#include <omp.h>

TapulLayInkOptions tapul_lay_ink_options_defaults(void) {
    return (TapulLayInkOptions){.tolerance_mm = 0.02};
}

/* --- The laying as a map for warp.c --- */

static gboolean laid_point(TapulVec2 from, TapulVec2 *to, gpointer data) {
    return tapul_laying_developed(data, from, to);
}

static gboolean laid_node(TapulVec2 from, TapulWarpNode *node, gpointer data) {
    const TapulLaying *laying = data;
    TapulLaidJet jet;
    if (!tapul_laying_jet(laying, from, &jet))
        return FALSE;
    TapulLaidMetric metric = tapul_laying_metric(laying, &jet);
    node->from = from;
    node->to = jet.at.developed_mm;
    node->by_x = jet.developed_by_x;
    node->by_y = jet.developed_by_y;
    tapul_laid_metric_stretch(&metric, &node->s1, &node->s2);
    node->metal_xx = metric.xx;
    node->metal_xy = metric.xy;
    node->metal_yy = metric.yy;
    node->folded = metric.folded;
    return TRUE;
}

static double metal_factor(const TapulWarpNode *node, TapulVec2 d) {
    return sqrt(fmax(node->metal_xx * d.x * d.x + 2 * node->metal_xy * d.x * d.y +
                         node->metal_yy * d.y * d.y,
                     0));
}

/* How much longer a step is on the metal than in the development. */
static double metal_ratio(const TapulWarpNode *node, TapulVec2 direction) {
    double drawn = tapul_warp_length_factor(node, direction);
    return drawn > 0 ? metal_factor(node, direction) / drawn : 1;
}

/* --- One mark --- */

/* What became of one mark. */
typedef struct {
    GPtrArray *marks; /* of TapulMark* */
    double ink_mm, laid_mm, folded_mm, beyond_mm;
    double stretch_min, stretch_max;
    gboolean cut, folded; /* of areas */
} Outcome;

static void count_node(Outcome *outcome, const TapulWarpNode *node) {
    outcome->stretch_min = fmin(outcome->stretch_min, node->s2);
    outcome->stretch_max = fmax(outcome->stretch_max, node->s1);
}

static void count_pieces(Outcome *outcome, const GArray *pieces, gboolean stroke) {
    for (guint i = 0; i < pieces->len; i++) {
        const TapulWarpPiece *piece = &g_array_index(pieces, TapulWarpPiece, i);
        count_node(outcome, &piece->start);
        count_node(outcome, &piece->end);
        if (!stroke) {
            outcome->folded = outcome->folded || piece->start.folded || piece->end.folded;
            continue;
        }
        /* The drawn curve's length, taken back from the development to the metal: their ratio
         * changes little along a piece, while the rule's own stretch may have no bound. */
        double ratio = (metal_ratio(&piece->start, piece->start_direction) +
                        metal_ratio(&piece->end, piece->end_direction)) /
                       2;
        /* Where the map jumps or folds back within the piece, its stretches bound the length.
         */
        double least_mm = piece->source_mm * fmin(piece->start.s2, piece->end.s2);
        double most_mm = piece->source_mm * fmax(piece->start.s1, piece->end.s1);
        outcome->laid_mm += CLAMP(tapul_cubic_length(piece->p) * ratio, least_mm, most_mm);
        outcome->folded_mm += piece->source_mm * (piece->start.folded + piece->end.folded) / 2;
    }
}

static TapulMark *laid_mark(const TapulMark *mark, TapulPath *path) {
    TapulMark *laid = tapul_mark_copy(mark);
    tapul_path_free(laid->path);
    laid->path = path;
    return laid;
}

static void lay_mark(const TapulLaying *laying, const TapulMark *mark, double tolerance_mm,
                     Outcome *outcome) {
    gboolean stroke = mark->kind == TAPUL_MARK_STROKE;
    TapulWarpMap map = {laid_point, laid_node, (gpointer)laying, tolerance_mm,
                        stroke ? TAPUL_STROKE_PIECE_CHANGE : 0};
    double lost_mm = 0;
    g_autoptr(GArray) pieces = tapul_warp_pieces(mark->path, &map, &lost_mm);
    if (!mark->paper) {
        count_pieces(outcome, pieces, stroke);
        outcome->cut = !stroke && lost_mm > 0;
        outcome->ink_mm = stroke ? tapul_path_length(mark->path) : 0;
        outcome->beyond_mm = stroke ? lost_mm : 0;
    }
    if (!stroke && pieces->len > 0)
        g_ptr_array_add(outcome->marks, laid_mark(mark, tapul_warp_path(pieces, TRUE)));
    if (stroke)
        tapul_stroke_runs(mark, pieces, outcome->marks);
}

/* --- All marks --- */

static TapulLaidInk *laid_ink_new(void) {
    TapulLaidInk *laid = g_new0(TapulLaidInk, 1);
    laid->marks = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_mark_free);
    laid->stretch_min = INFINITY;
    return laid;
}

void tapul_laid_ink_free(TapulLaidInk *laid) {
    if (!laid)
        return;
    g_ptr_array_unref(laid->marks);
    g_free(laid);
}

static void take_outcome(TapulLaidInk *laid, Outcome *outcome) {
    for (guint i = 0; i < outcome->marks->len; i++)
        g_ptr_array_add(laid->marks, g_ptr_array_index(outcome->marks, i));
    g_ptr_array_unref(outcome->marks);
    laid->ink_length_mm += outcome->ink_mm;
    laid->laid_length_mm += outcome->laid_mm;
    laid->folded_mm += outcome->folded_mm;
    laid->beyond_edge_mm += outcome->beyond_mm;
    laid->beyond_edge_fills += outcome->cut;
    laid->folded_fills += outcome->folded;
    laid->stretch_min = fmin(laid->stretch_min, outcome->stretch_min);
    laid->stretch_max = fmax(laid->stretch_max, outcome->stretch_max);
}

/* outcomes[repeats * marks]: all marks of the first repeat, then those of the next. */
static void lay_marks(const TapulLaying *laying, const GPtrArray *marks, int repeats,
                      const TapulLayInkOptions *options, Outcome *outcomes) {
    int n_marks = (int)marks->len, n = n_marks * repeats, done = 0;
#pragma omp parallel for schedule(dynamic, 4)
    for (int i = 0; i < n; i++) {
        TapulLaying of_repeat = *laying;
        of_repeat.repeat = i / n_marks;
        outcomes[i] = (Outcome){.marks = g_ptr_array_new(), .stretch_min = INFINITY};
        lay_mark(&of_repeat, g_ptr_array_index(marks, i % n_marks), options->tolerance_mm,
                 &outcomes[i]);
        int so_far;
#pragma omp atomic capture
        so_far = ++done;
        /* From one thread only, so that the caller's function need not be safe from several. */
        if (options->progress && omp_get_thread_num() == 0)
            options->progress((double)so_far / n, options->progress_data);
    }
}

/* All marks; of a border's print that shows several periods, those of one. */
static GPtrArray *marks_to_lay(const TapulLaying *laying, const TapulInk *ink,
                               double tolerance_mm) {
    double period_mm = laying->options.border.repeat_mm;
    if (laying->options.rule == TAPUL_LAYING_BORDERED && period_mm > 0 &&
        period_mm < ink->width_mm)
        return tapul_period_marks(ink, period_mm, tolerance_mm);
    return g_ptr_array_ref(ink->marks);
}

TapulLaidInk *tapul_lay_ink(const TapulLaying *laying, const TapulInk *ink,
                            const TapulLayInkOptions *options, GError **error) {
    g_assert(options->tolerance_mm > 0);
    int repeats = tapul_laying_run(laying).repeats;
    g_autoptr(GPtrArray) marks = marks_to_lay(laying, ink, options->tolerance_mm);
    guint n = marks->len * (guint)repeats;
    g_autofree Outcome *outcomes = g_new0(Outcome, MAX(n, 1));
    lay_marks(laying, marks, repeats, options, outcomes);
    if (options->progress)
        options->progress(1, options->progress_data);
    g_autoptr(TapulLaidInk) laid = laid_ink_new();
    laid->repeats = repeats;
    for (guint i = 0; i < n; i++)
        take_outcome(laid, &outcomes[i]);
    if (!isfinite(laid->stretch_min))
        laid->stretch_min = laid->stretch_max = 0; /* nothing but paper was laid */
    if (laid->marks->len == 0) {
        g_set_error(error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_OFF_PLATE,
                    "none of the print's %u marks reaches the plate: look at the laying's "
                    "anchor and scale",
                    ink->marks->len);
        return NULL;
    }
    return g_steal_pointer(&laid);
}
