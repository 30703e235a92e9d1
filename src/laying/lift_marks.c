/* The ink of a found design carried back to its sheet: every mark through the inverse of a
 * laying, with the stroke widths that laying would make the found ones of. The other way is
 * lay_ink.c. */
#include "laying/lift_parts.h"
#include "laying/rule.h"
#include "laying/stroke_runs.h"

#include "ink/clip.h"

#include <omp.h>

/* Where a rule draws the sheet out so far that it is this much as long one way as the other, no
 * print can be told from what is found; the viewed rule comes to it at half a degree of
 * grazing. */
#define LEAST_SHRINK 0.005

typedef struct {
    const TapulGround *ground;
    const TapulLaying *laying;
} BackMap;

/* --- The map --- */

/* The laying at a point that came back; FALSE where the sheet lies folded, or is drawn out to
 * nothing: what is printed there is not what is found. */
static gboolean laid_jet(const TapulLaying *laying, TapulVec2 print_mm, TapulLaidJet *jet) {
    if (!tapul_laying_jet(laying, print_mm, jet))
        return FALSE;
    TapulVec2 x = jet->developed_by_x, y = jet->developed_by_y;
    double longest = fmax(tapul_vec2_dot(x, x), tapul_vec2_dot(y, y));
    return tapul_vec2_cross(x, y) >= LEAST_SHRINK * longest;
}

gboolean tapul_lift_point(const TapulGround *ground, const TapulLaying *laying,
                          TapulVec2 developed_mm, TapulVec2 *print_mm) {
    TapulSpot spot;
    TapulLaidJet jet;
    if (!tapul_development_finder_spot(ground->finder, developed_mm, &spot) ||
        !tapul_laying_print(laying, spot, print_mm))
        return FALSE;
    /* The developed rule neither folds nor draws out. */
    return laying->options.rule == TAPUL_LAYING_DEVELOPED || laid_jet(laying, *print_mm, &jet);
}

static gboolean back_point(TapulVec2 from, TapulVec2 *to, gpointer data) {
    const BackMap *map = data;
    return tapul_lift_point(map->ground, map->laying, from, to);
}

/* The way back's derivatives are the inverse of the way out's. */
static gboolean back_node(TapulVec2 from, TapulWarpNode *node, gpointer data) {
    const BackMap *map = data;
    TapulSpot spot;
    TapulLaidJet jet;
    node->from = from;
    if (!tapul_development_finder_spot(map->ground->finder, from, &spot) ||
        !tapul_laying_print(map->laying, spot, &node->to) ||
        !laid_jet(map->laying, node->to, &jet))
        return FALSE;
    TapulVec2 x = jet.developed_by_x, y = jet.developed_by_y;
    double area = tapul_vec2_cross(x, y);
    TapulLaidMetric metric = tapul_laying_metric(map->laying, &jet);
    tapul_laid_metric_stretch(&metric, &node->s1, &node->s2);
    node->metal_xx = metric.xx;
    node->metal_xy = metric.xy;
    node->metal_yy = metric.yy;
    node->by_x = tapul_vec2(y.y / area, -x.y / area);
    node->by_y = tapul_vec2(-y.x / area, x.x / area);
    node->folded = FALSE;
    return TRUE;
}

/* --- One mark --- */

typedef struct {
    GPtrArray *marks; /* of TapulMark* */
    double lost_mm, stretch_min, stretch_max;
} Outcome;

/* How much a mm of the development comes to on the sheet, where that is least. */
static double least_shrink(const GArray *pieces) {
    double least = 1;
    for (guint i = 0; i < pieces->len; i++) {
        const TapulWarpPiece *piece = &g_array_index(pieces, TapulWarpPiece, i);
        const TapulWarpNode *ends[] = {&piece->start, &piece->end};
        for (guint k = 0; k < G_N_ELEMENTS(ends); k++) {
            TapulVec2 x = ends[k]->by_x, y = ends[k]->by_y;
            TapulLaidMetric metric = {tapul_vec2_dot(x, x), tapul_vec2_dot(x, y),
                                      tapul_vec2_dot(y, y), FALSE};
            double s1, s2;
            tapul_laid_metric_stretch(&metric, &s1, &s2);
            least = fmin(least, s2);
        }
    }
    return fmax(least, LEAST_SHRINK);
}

/* The tolerance is one of the design: where the rule will stretch the sheet, the sheet has to
 * be truer by as much. */
static GArray *back_pieces(const TapulMark *mark, BackMap *map, double tolerance_mm,
                           double *lost_mm) {
    double even = mark->kind == TAPUL_MARK_STROKE ? TAPUL_STROKE_PIECE_CHANGE : 0;
    TapulWarpMap warp = {back_point, back_node, map, tolerance_mm, even};
    g_autoptr(GArray) pieces = tapul_warp_pieces(mark->path, &warp, lost_mm);
    double shrink = least_shrink(pieces);
    if (shrink >= 1)
        return g_steal_pointer(&pieces);
    warp.tolerance_mm = tolerance_mm * shrink;
    *lost_mm = 0;
    return tapul_warp_pieces(mark->path, &warp, lost_mm);
}

static void count_pieces(Outcome *outcome, const GArray *pieces) {
    for (guint i = 0; i < pieces->len; i++) {
        const TapulWarpPiece *piece = &g_array_index(pieces, TapulWarpPiece, i);
        outcome->stretch_min = fmin(outcome->stretch_min, fmin(piece->start.s2, piece->end.s2));
        outcome->stretch_max = fmax(outcome->stretch_max, fmax(piece->start.s1, piece->end.s1));
    }
}

static void lift_mark(const TapulGround *ground, const TapulLaying *laying,
                      const TapulMark *mark, double tolerance_mm, Outcome *outcome) {
    BackMap map = {ground, laying};
    gboolean stroke = mark->kind == TAPUL_MARK_STROKE;
    double lost_mm = 0;
    g_autoptr(GArray) pieces = back_pieces(mark, &map, tolerance_mm, &lost_mm);
    if (!mark->paper) {
        count_pieces(outcome, pieces);
        outcome->lost_mm = stroke ? lost_mm : lost_mm / 2;
    }
    if (stroke) {
        tapul_stroke_runs(mark, pieces, outcome->marks);
    } else if (pieces->len > 0) {
        TapulMark *lifted = tapul_mark_copy(mark);
        tapul_path_free(lifted->path);
        lifted->path = tapul_warp_path(pieces, TRUE);
        g_ptr_array_add(outcome->marks, lifted);
    }
}

/* --- All marks --- */

GPtrArray *tapul_lift_design(const TapulInk *found, const TapulPath *region, double *lost_mm) {
    GPtrArray *marks = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_mark_free);
    TapulClip *clip = region ? tapul_clip_new(NULL, region, FALSE) : NULL;
    TapulRegions regions = tapul_regions_begin();
    for (guint i = 0; i < found->marks->len; i++) {
        const TapulMark *mark = g_ptr_array_index(found->marks, i);
        if (tapul_path_is_empty(mark->path))
            continue;
        if (!tapul_clip_mark_take(clip, &regions, tapul_mark_copy(mark), marks) && !mark->paper)
            *lost_mm += tapul_path_length(mark->path) / 2;
    }
    tapul_regions_end(&regions);
    tapul_clip_free(clip);
    return marks;
}

TapulLiftedMarks tapul_lift_marks(const TapulGround *ground, const TapulLaying *laying,
                                  const GPtrArray *marks, const TapulLiftOptions *options) {
    int n = (int)marks->len, done = 0;
    g_autofree Outcome *outcomes = g_new0(Outcome, MAX(marks->len, 1));
#pragma omp parallel for schedule(dynamic, 4)
    for (int i = 0; i < n; i++) {
        outcomes[i] = (Outcome){.marks = g_ptr_array_new(), .stretch_min = INFINITY};
        lift_mark(ground, laying, g_ptr_array_index(marks, i), options->tolerance_mm,
                  &outcomes[i]);
        int so_far;
#pragma omp atomic capture
        so_far = ++done;
        /* From one thread only, so that the caller's function need not be safe from several. */
        if (options->progress && omp_get_thread_num() == 0)
            options->progress((double)so_far / n, options->progress_data);
    }
    TapulLiftedMarks lifted = {
        .marks = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_mark_free),
        .stretch_min = INFINITY};
    for (int i = 0; i < n; i++) {
        for (guint k = 0; k < outcomes[i].marks->len; k++)
            g_ptr_array_add(lifted.marks, g_ptr_array_index(outcomes[i].marks, k));
        g_ptr_array_unref(outcomes[i].marks);
        lifted.lost_mm += outcomes[i].lost_mm;
        lifted.stretch_min = fmin(lifted.stretch_min, outcomes[i].stretch_min);
        lifted.stretch_max = fmax(lifted.stretch_max, outcomes[i].stretch_max);
    }
    return lifted;
}
