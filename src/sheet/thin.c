/* Paths with only as many pieces as a small drawing shows: runs of pieces that keep to their
 * chord become one line.
 *
 * The overlay's views thin ink with it before they carry it. Greedy: a run goes on while every
 * point passed keeps to its chord (common practice, no source).
 */
#include "sheet/thin.h"

/* A run is looked at anew with each piece, so that long runs would cost the square of it. */
#define MOST_POINTS 48

typedef struct {
    TapulPath *path;
    double tolerance_mm;
    TapulVec2 start;               /* of the run; already drawn */
    TapulVec2 passed[MOST_POINTS]; /* ends and controls since, the last the run's end */
    int n;
} Run;

static void end_run(Run *run) {
    if (run->n == 0)
        return;
    run->start = run->passed[run->n - 1];
    tapul_path_line(run->path, run->start);
    run->n = 0;
}

/* Whether a chord passes all points, one after the other and not back. */
static gboolean keeps_to_chord(const Run *run, const TapulVec2 *more, int n_more) {
    TapulVec2 chord = tapul_vec2_sub(more[n_more - 1], run->start);
    double length = tapul_vec2_length(chord), before = 0, tolerance = run->tolerance_mm;
    if (length == 0)
        return FALSE;
    chord = tapul_vec2_scale(chord, 1 / length);
    for (int i = 0; i < run->n + n_more; i++) {
        TapulVec2 p = i < run->n ? run->passed[i] : more[i - run->n];
        TapulVec2 from_start = tapul_vec2_sub(p, run->start);
        double along = tapul_vec2_dot(chord, from_start);
        if (fabs(tapul_vec2_cross(chord, from_start)) > tolerance ||
            along < before - tolerance || along > length + tolerance)
            return FALSE;
        before = fmax(before, along);
    }
    return TRUE;
}

static void add_piece(Run *run, const TapulPathPiece *piece) {
    int n = piece->verb == TAPUL_VERB_CURVE ? 3 : 1;
    const TapulVec2 *points = n == 3 ? &piece->p[1] : &piece->p[3];
    if (run->n + n > MOST_POINTS || !keeps_to_chord(run, points, n))
        end_run(run);
    if (run->n == 0 && n == 3 && !keeps_to_chord(run, points, n)) {
        tapul_path_curve(run->path, piece->p[1], piece->p[2], piece->p[3]);
        run->start = piece->p[3];
        return;
    }
    for (int i = 0; i < n; i++)
        run->passed[run->n++] = points[i];
}

TapulPath *tapul_path_thinned(const TapulPath *path, double tolerance_mm) {
    Run run = {.path = tapul_path_new(), .tolerance_mm = tolerance_mm};
    TapulPathWalk walk = tapul_path_walk(path);
    TapulPathPiece piece;
    while (tapul_path_walk_next(&walk, &piece)) {
        if (piece.starts_subpath) {
            end_run(&run);
            run.start = piece.p[0];
            tapul_path_move(run.path, run.start);
        }
        if (piece.verb != TAPUL_VERB_CLOSE) {
            add_piece(&run, &piece);
            continue;
        }
        end_run(&run);
        tapul_path_close(run.path);
    }
    end_run(&run);
    return run.path;
}
