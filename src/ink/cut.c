/* Cutting a path at the edge of a region: each curve meets each edge where a cubic polynomial
 * is zero, and between two meetings it lies wholly inside or wholly outside. Serves the clips
 * of the trace. */
#include "ink/cut.h"

#include "ink/region.h"

#include <gsl/gsl_poly.h>

/* Parameters nearer than this are one meeting: a millionth of a curve is far under the width of
 * any line. */
#define SAME_PARAMETER 1e-6
/* An edge is met a little past its ends too, or a curve might slip out through a corner. */
#define PAST_THE_CORNER 1e-9
/* A polynomial coefficient this small beside the largest comes from rounding. */
#define NEGLIGIBLE 1e-12

static void free_run(gpointer data) {
    TapulRun *run = data;
    tapul_path_free(run->path);
    g_free(run);
}

static TapulRun *new_run(GPtrArray *runs) {
    TapulRun *run = g_new0(TapulRun, 1);
    run->path = tapul_path_new();
    g_ptr_array_add(runs, run);
    return run;
}

static int solve_cubic(double c3, double c2, double c1, double c0, double roots[3]) {
    double largest = fmax(fmax(fabs(c3), fabs(c2)), fmax(fabs(c1), fabs(c0)));
    if (fabs(c3) <= NEGLIGIBLE * largest)
        return gsl_poly_solve_quadratic(c2, c1, c0, &roots[0], &roots[1]);
    return gsl_poly_solve_cubic(c2 / c3, c1 / c3, c0 / c3, &roots[0], &roots[1], &roots[2]);
}

void tapul_cut_meetings(GArray *meetings, const TapulVec2 p[4], gboolean is_line, TapulVec2 a,
                        TapulVec2 b) {
    TapulVec2 along = tapul_vec2_sub(b, a);
    double f[4], roots[3];
    for (int i = 0; i < 4; i++)
        f[i] = tapul_vec2_cross(along, tapul_vec2_sub(p[i], a));
    if ((f[0] > 0 && f[1] > 0 && f[2] > 0 && f[3] > 0) ||
        (f[0] < 0 && f[1] < 0 && f[2] < 0 && f[3] < 0))
        return;
    int n = is_line ? gsl_poly_solve_quadratic(0, f[3] - f[0], f[0], &roots[0], &roots[1])
                    : solve_cubic(f[3] - 3 * f[2] + 3 * f[1] - f[0],
                                  3 * (f[2] - 2 * f[1] + f[0]), 3 * (f[1] - f[0]), f[0], roots);
    for (int i = 0; i < n; i++) {
        if (!(roots[i] > 0 && roots[i] < 1))
            continue;
        TapulVec2 met = tapul_vec2_sub(tapul_cubic_point(p, roots[i]), a);
        double place = tapul_vec2_dot(met, along) / tapul_vec2_dot(along, along);
        if (place >= -PAST_THE_CORNER && place <= 1 + PAST_THE_CORNER)
            g_array_append_val(meetings, roots[i]);
    }
}

static TapulBox controls_box(const TapulVec2 p[4]) {
    TapulBox box = tapul_box_empty();
    for (int i = 0; i < 4; i++)
        tapul_box_add(&box, p[i]);
    return box;
}

static void meet_ring(GArray *meetings, const TapulPathPiece *piece, TapulBox box,
                      const GArray *ring) {
    const TapulVec2 *points = (const TapulVec2 *)(const void *)ring->data;
    for (guint i = 0; i < ring->len; i++) {
        TapulVec2 a = points[i], b = points[(i + 1) % ring->len];
        if (fmax(a.x, b.x) < box.min.x || fmin(a.x, b.x) > box.max.x ||
            fmax(a.y, b.y) < box.min.y || fmin(a.y, b.y) > box.max.y)
            continue;
        tapul_cut_meetings(meetings, piece->p, piece->verb != TAPUL_VERB_CURVE, a, b);
    }
}

static int by_value(gconstpointer a, gconstpointer b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The curve between two of its parameters (de Casteljau, twice). */
static void part_of(const TapulVec2 p[4], double from, double to, TapulVec2 part[4]) {
    double h = (to - from) / 3;
    TapulVec2 start = tapul_cubic_point(p, from), end = tapul_cubic_point(p, to);
    part[0] = start;
    part[1] = tapul_vec2_add(start, tapul_vec2_scale(tapul_cubic_derivative(p, from), h));
    part[2] = tapul_vec2_sub(end, tapul_vec2_scale(tapul_cubic_derivative(p, to), h));
    part[3] = end;
}

static double piece_length(const TapulVec2 p[4]) {
    g_autoptr(TapulPath) path = tapul_path_new();
    tapul_path_move(path, p[0]);
    tapul_path_curve(path, p[1], p[2], p[3]);
    return tapul_path_length(path);
}

typedef struct {
    const GPtrArray *rings;
    gboolean even_odd, measured;
    GPtrArray *runs;
    guint first_run;     /* of the current subpath */
    TapulRun *run;       /* open, or NULL */
    double travelled_mm; /* along the subpath */
    gboolean starts_inside;
    guint cuts; /* in the current subpath */
} Cutter;

static void keep_part(Cutter *cutter, const TapulPathPiece *piece, double from, double to) {
    TapulVec2 part[4];
    /* A subpath that ends where it began is closed by a line of no length. */
    if (cutter->run && piece->verb == TAPUL_VERB_CLOSE &&
        tapul_vec2_distance(piece->p[0], piece->p[3]) == 0)
        return;
    part_of(piece->p, from, to, part);
    if (!cutter->run) {
        if (piece->starts_subpath && from == 0)
            cutter->starts_inside = TRUE;
        cutter->run = new_run(cutter->runs);
        tapul_path_move(cutter->run->path, part[0]);
        if (cutter->measured && from > 0) {
            TapulVec2 before[4];
            part_of(piece->p, 0, from, before);
            cutter->run->start_mm = cutter->travelled_mm + piece_length(before);
        } else {
            cutter->run->start_mm = cutter->travelled_mm;
        }
    }
    if (piece->verb == TAPUL_VERB_CURVE)
        tapul_path_curve(cutter->run->path, part[1], part[2], part[3]);
    else
        tapul_path_line(cutter->run->path, part[3]);
}

static void cut_piece(Cutter *cutter, const TapulPathPiece *piece) {
    g_autoptr(GArray) meetings = g_array_new(FALSE, FALSE, sizeof(double));
    TapulBox box = controls_box(piece->p);
    for (guint i = 0; i < cutter->rings->len; i++)
        meet_ring(meetings, piece, box, g_ptr_array_index(cutter->rings, i));
    g_array_sort(meetings, by_value);
    double end = 1, from = 0, kept_from = -1;
    g_array_append_val(meetings, end);
    for (guint i = 0; i < meetings->len; i++) {
        double to = g_array_index(meetings, double, i);
        if (to - from < SAME_PARAMETER && to < 1)
            continue;
        TapulVec2 middle = tapul_cubic_point(piece->p, (from + to) / 2);
        gboolean inside = tapul_rings_contain(cutter->rings, cutter->even_odd, middle);
        if (inside && kept_from < 0)
            kept_from = from;
        if (!inside && kept_from >= 0) {
            keep_part(cutter, piece, kept_from, from);
            kept_from = -1;
        }
        if (!inside) {
            cutter->run = NULL;
            cutter->cuts++;
        }
        from = to;
    }
    if (kept_from >= 0)
        keep_part(cutter, piece, kept_from, 1);
    if (cutter->measured)
        cutter->travelled_mm += piece_length(piece->p);
}

/* A closed subpath that was cut elsewhere runs on over its start: its last run and its first
 * are one. */
static void join_over_start(Cutter *cutter) {
    if (cutter->runs->len < cutter->first_run + 2 || !cutter->run || !cutter->starts_inside)
        return;
    TapulRun *first = g_ptr_array_index(cutter->runs, cutter->first_run);
    TapulPath *last = cutter->run->path;
    g_array_append_vals(last->verbs, first->path->verbs->data + 1, first->path->verbs->len - 1);
    g_array_append_vals(last->points, &g_array_index(first->path->points, TapulVec2, 1),
                        first->path->points->len - 1);
    g_ptr_array_remove_index(cutter->runs, cutter->first_run);
}

static void end_subpath(Cutter *cutter, gboolean closed) {
    if (closed && cutter->cuts == 0 && cutter->run)
        tapul_path_close(cutter->run->path);
    else if (closed && !cutter->measured)
        join_over_start(cutter);
    cutter->run = NULL;
}

GPtrArray *tapul_cut_path(const TapulPath *path, const GPtrArray *rings, gboolean even_odd,
                          gboolean measured) {
    Cutter cutter = {.rings = rings, .even_odd = even_odd, .measured = measured};
    cutter.runs = g_ptr_array_new_with_free_func(free_run);
    TapulPathWalk walk = tapul_path_walk(path);
    TapulPathPiece piece;
    gboolean closed = FALSE;
    while (tapul_path_walk_next(&walk, &piece)) {
        if (piece.starts_subpath) {
            end_subpath(&cutter, closed);
            cutter.first_run = cutter.runs->len;
            cutter.cuts = 0;
            cutter.starts_inside = FALSE;
            cutter.travelled_mm = 0;
        }
        cut_piece(&cutter, &piece);
        closed = piece.verb == TAPUL_VERB_CLOSE;
    }
    end_subpath(&cutter, closed);
    return cutter.runs;
}
