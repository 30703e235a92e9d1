/* Laid strokes as a pen can draw them: each with one width, its dashes to match. lay_ink.c
 * hands it the pieces of a stroke; where the laid width changes too much the stroke goes on as
 * another. */
#include "laying/stroke_runs.h"

#include "laying/cubic.h"

/* A stroke is drawn with one width; where the laid width varies more than this it is cut into
 * several. */
#define WIDTH_CHANGE 1.10
/* Ends that turn by more than this (cosine; 1 degree) make a corner, whose join has to be
 * drawn. */
#define CORNER_COSINE 0.99985
/* How much of the stroke before a corner is drawn again for the join's sake, in stroke widths.
 */
#define JOIN_WIDTHS 1.0

/* Part of a stroke that is drawn with one width. */
typedef struct {
    guint first, end; /* pieces */
    double narrowest, widest;
    double shortest, longest; /* length factors, for dashes */
} Run;

static void run_add(Run *run, double width, double length) {
    run->narrowest = fmin(run->narrowest, width);
    run->widest = fmax(run->widest, width);
    run->shortest = fmin(run->shortest, length);
    run->longest = fmax(run->longest, length);
}

static Run run_with(Run run, const TapulWarpPiece *piece) {
    run_add(&run, tapul_warp_width_factor(&piece->start, piece->start_direction),
            tapul_warp_length_factor(&piece->start, piece->start_direction));
    run_add(&run, tapul_warp_width_factor(&piece->end, piece->end_direction),
            tapul_warp_length_factor(&piece->end, piece->end_direction));
    return run;
}

static gboolean run_is_even(const Run *run, gboolean dashed) {
    return run->widest <= WIDTH_CHANGE * run->narrowest &&
           (!dashed || run->longest <= WIDTH_CHANGE * run->shortest);
}

/* The longest run from a piece on. */
static Run find_run(const GArray *pieces, guint first, gboolean dashed) {
    Run run = {first, first + 1, INFINITY, 0, INFINITY, 0};
    run = run_with(run, &g_array_index(pieces, TapulWarpPiece, first));
    for (; run.end < pieces->len; run.end++) {
        const TapulWarpPiece *piece = &g_array_index(pieces, TapulWarpPiece, run.end);
        Run longer = run_with(run, piece);
        /* Gaps part dashed strokes, whose pattern counts along the source; others may jump over
         * them. */
        if (!run_is_even(&longer, dashed) || (dashed && !piece->follows))
            break;
        run = longer;
    }
    return run;
}

static GArray *scaled_dashes(const GArray *dash_mm, double factor) {
    GArray *scaled = g_array_sized_new(FALSE, FALSE, sizeof(double), dash_mm->len);
    for (guint i = 0; i < dash_mm->len; i++) {
        double length_mm = g_array_index(dash_mm, double, i) * factor;
        g_array_append_val(scaled, length_mm);
    }
    return scaled;
}

static const TapulWarpPiece *piece_at(const GArray *pieces, guint i) {
    return &g_array_index(pieces, TapulWarpPiece, i);
}

/* The piece that a run's first piece goes on from, or NULL: the one before it, or in a closed
 * subpath, drawn in several runs, the last. */
static const TapulWarpPiece *piece_before(const GArray *pieces, const Run *run) {
    const TapulWarpPiece *first = piece_at(pieces, run->first);
    if (first->follows)
        return piece_at(pieces, run->first - 1);
    guint last = run->first;
    while (last + 1 < pieces->len && piece_at(pieces, last + 1)->subpath == first->subpath)
        last++;
    gboolean elsewhere = last >= run->end && first->source_before_mm <= 0;
    return elsewhere && piece_at(pieces, last)->closes ? piece_at(pieces, last) : NULL;
}

static TapulVec2 unit_derivative(const TapulVec2 p[4], double t) {
    return tapul_cubic_direction(p, t, 0.5);
}

/* A run that starts in a corner draws the end of the piece before it again, so that the pen
 * makes the join. */
static void start_in_corner(TapulPath *path, const TapulWarpPiece *before,
                            const TapulWarpPiece *first, double width_mm) {
    double length_mm = tapul_cubic_length(before->p);
    double turn = tapul_vec2_dot(unit_derivative(before->p, 1), unit_derivative(first->p, 0));
    if (!(length_mm > 0) || turn > CORNER_COSINE)
        return;
    TapulVec2 end[4];
    tapul_cubic_part(before->p, 1 - fmin(1, JOIN_WIDTHS * width_mm / length_mm), 1, end);
    tapul_path_move(path, end[0]);
    tapul_path_curve(path, end[1], end[2], end[3]);
}

static void append_path(TapulPath *path, const TapulPath *more) {
    /* What goes on from where the path ends needs no move. */
    guint skip = path->verbs->len > 0 ? 1 : 0;
    if (more->verbs->len <= skip)
        return;
    g_array_append_vals(path->verbs, more->verbs->data + skip, more->verbs->len - skip);
    g_array_append_vals(path->points, &g_array_index(more->points, TapulVec2, skip),
                        more->points->len - skip);
}

static TapulPath *run_path(const TapulMark *mark, const GArray *pieces, const Run *run,
                           double width_mm) {
    g_autoptr(GArray) part = g_array_new(FALSE, FALSE, sizeof(TapulWarpPiece));
    g_array_append_vals(part, piece_at(pieces, run->first), run->end - run->first);
    g_array_index(part, TapulWarpPiece, 0).follows = FALSE;
    g_autoptr(TapulPath) alone = tapul_warp_path(part, FALSE);
    TapulPath *path = tapul_path_new();
    const TapulWarpPiece *before = piece_before(pieces, run);
    if (before && !mark->dash_mm)
        start_in_corner(path, before, piece_at(pieces, run->first), width_mm);
    append_path(path, alone);
    return path;
}

static TapulMark *run_mark(const TapulMark *mark, const GArray *pieces, const Run *run) {
    TapulMark *laid = tapul_mark_copy(mark);
    laid->width_mm = mark->width_mm * sqrt(run->narrowest * run->widest);
    tapul_path_free(laid->path);
    laid->path = run_path(mark, pieces, run, laid->width_mm);
    if (mark->dash_mm) {
        double factor = sqrt(run->shortest * run->longest);
        double before_mm = piece_at(pieces, run->first)->source_before_mm;
        g_array_unref(laid->dash_mm);
        laid->dash_mm = scaled_dashes(mark->dash_mm, factor);
        laid->dash_offset_mm = (mark->dash_offset_mm + before_mm) * factor;
    }
    return laid;
}

void tapul_stroke_runs(const TapulMark *mark, const GArray *pieces, GPtrArray *marks) {
    for (guint first = 0; first < pieces->len;) {
        Run run = find_run(pieces, first, mark->dash_mm != NULL);
        g_ptr_array_add(marks, run_mark(mark, pieces, &run));
        first = run.end;
    }
}
