/* Cutting a path at a chart's edges, exactly: each of its curves is split where it meets an
 * edge, at both sides of a dart too, which lie on one another in base. */
#include "pounce/carry.h"

#include "ink/cut.h"
#include "laying/cubic.h"

#include <string.h>

/* Parameters nearer than this are one meeting, as in ink/cut.c. */
#define SAME_PARAMETER 1e-6
/* A cut run ends this far inside its chart: on a dart's edge itself nothing tells which of its
 * two papers is meant. No pen draws so fine. */
#define INSIDE_MM 1e-5

static void free_run(gpointer data) {
    TapulChartRun *run = data;
    tapul_path_free(run->path);
    g_free(run);
}

static gboolean boxes_meet(TapulBox box, const TapulChartEdge *edge) {
    return fmax(edge->a.x, edge->b.x) >= box.min.x && fmin(edge->a.x, edge->b.x) <= box.max.x &&
           fmax(edge->a.y, edge->b.y) >= box.min.y && fmin(edge->a.y, edge->b.y) <= box.max.y;
}

GArray *tapul_chart_edges_near(const TapulChart *chart, TapulBox box) {
    GArray *near = g_array_new(FALSE, FALSE, sizeof(TapulChartEdge));
    if (box.max.x < chart->box.min.x || box.min.x > chart->box.max.x ||
        box.max.y < chart->box.min.y || box.min.y > chart->box.max.y)
        return near;
    for (guint i = 0; i < chart->edges->len; i++) {
        TapulChartEdge edge = g_array_index(chart->edges, TapulChartEdge, i);
        if (boxes_meet(box, &edge))
            g_array_append_val(near, edge);
    }
    return near;
}

static int by_value(gconstpointer a, gconstpointer b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Where a curve is to be cut: 0, the meetings, 1. */
static GArray *cuts_of(const TapulPathPiece *piece, const GArray *edges) {
    GArray *cuts = g_array_new(FALSE, FALSE, sizeof(double));
    TapulBox box = tapul_box_empty();
    for (int i = 0; i < 4; i++)
        tapul_box_add(&box, piece->p[i]);
    for (guint i = 0; i < edges->len; i++) {
        TapulChartEdge edge = g_array_index(edges, TapulChartEdge, i);
        if (boxes_meet(box, &edge))
            tapul_cut_meetings(cuts, piece->p, piece->verb != TAPUL_VERB_CURVE, edge.a, edge.b);
    }
    const double ends[2] = {0, 1};
    g_array_append_vals(cuts, ends, 2);
    g_array_sort(cuts, by_value);
    guint kept = 1;
    for (guint i = 1; i < cuts->len; i++) {
        double t = g_array_index(cuts, double, i);
        if (t - g_array_index(cuts, double, kept - 1) >= SAME_PARAMETER)
            g_array_index(cuts, double, kept++) = t;
    }
    /* The piece's own end stands for a meeting just before it. */
    g_array_index(cuts, double, kept - 1) = 1;
    g_array_set_size(cuts, kept);
    return cuts;
}

/* Whether two pieces of a path join on an edge: there is no meeting within either. */
static gboolean is_on_edge(TapulVec2 at, const GArray *edges) {
    for (guint i = 0; i < edges->len; i++) {
        TapulChartEdge edge = g_array_index(edges, TapulChartEdge, i);
        TapulVec2 along = tapul_vec2_sub(edge.b, edge.a), to = tapul_vec2_sub(at, edge.a);
        double share = tapul_vec2_dot(to, along) / tapul_vec2_dot(along, along);
        TapulVec2 nearest = tapul_vec2_mix(edge.a, edge.b, CLAMP(share, 0, 1));
        if (tapul_vec2_distance(nearest, at) < INSIDE_MM)
            return TRUE;
    }
    return FALSE;
}

typedef struct {
    const TapulChart *chart;
    gboolean measured;
    GPtrArray *runs;
    TapulChartRun *run; /* open, or NULL */
    guint subpath, first_run;
    int pieces;          /* of the subpath so far */
    double travelled_mm; /* along the subpath */
} Cutter;

static void open_run(Cutter *cutter, const TapulPathPiece *piece, double from,
                     TapulVec2 start) {
    TapulChartRun *run = g_new0(TapulChartRun, 1);
    run->chart = cutter->chart;
    run->subpath = cutter->subpath;
    run->from = cutter->pieces + from;
    run->path = tapul_path_new();
    if (cutter->measured && from > 0) {
        TapulVec2 before[4];
        tapul_cubic_part(piece->p, 0, from, before);
        run->from_mm = cutter->travelled_mm + tapul_cubic_length(before);
    } else {
        run->from_mm = cutter->travelled_mm;
    }
    tapul_path_move(run->path, start);
    g_ptr_array_add(cutter->runs, run);
    cutter->run = run;
}

/* Keeps a piece's part between two cuts. A cut ends the run, whatever lies beyond. */
static void keep_part(Cutter *cutter, const TapulPathPiece *piece, double from, double to,
                      gboolean cut_before, gboolean cut_after) {
    TapulVec2 part[4];
    if (cut_before || cut_after) {
        tapul_cubic_part(piece->p, from, to, part);
        double length_mm = tapul_cubic_length(part);
        double inside = length_mm > 0 ? fmin(INSIDE_MM / length_mm, 0.25) * (to - from) : 0;
        tapul_cubic_part(piece->p, cut_before ? from + inside : from,
                         cut_after ? to - inside : to, part);
    } else {
        memcpy(part, piece->p, sizeof part);
    }
    if (!cutter->run || cut_before)
        open_run(cutter, piece, from, part[0]);
    if (piece->verb == TAPUL_VERB_CURVE)
        tapul_path_curve(cutter->run->path, part[1], part[2], part[3]);
    else
        tapul_path_line(cutter->run->path, part[3]);
    cutter->run->to = cutter->pieces + to;
    if (cut_after)
        cutter->run = NULL;
}

static void cut_piece(Cutter *cutter, const TapulPathPiece *piece, const GArray *edges) {
    g_autoptr(GArray) cuts = edges->len > 0 ? cuts_of(piece, edges) : NULL;
    if (!cuts)
        keep_part(cutter, piece, 0, 1, FALSE, FALSE);
    for (guint i = 1; cuts && i < cuts->len; i++) {
        double from = g_array_index(cuts, double, i - 1), to = g_array_index(cuts, double, i);
        TapulVec2 middle = tapul_cubic_point(piece->p, (from + to) / 2), paper_mm;
        if (tapul_chart_paper(cutter->chart, middle, &paper_mm))
            keep_part(cutter, piece, from, to, from > 0 || is_on_edge(piece->p[0], edges),
                      to < 1 || is_on_edge(piece->p[3], edges));
        else
            cutter->run = NULL;
    }
    cutter->pieces++;
    if (cutter->measured)
        cutter->travelled_mm += tapul_cubic_length(piece->p);
}

static void end_subpath(Cutter *cutter, gboolean closed) {
    for (guint i = cutter->first_run; i < cutter->runs->len; i++) {
        TapulChartRun *run = g_ptr_array_index(cutter->runs, i);
        run->pieces = cutter->pieces;
        run->closed = closed;
    }
    cutter->first_run = cutter->runs->len;
    cutter->run = NULL;
    cutter->pieces = 0;
    cutter->travelled_mm = 0;
    cutter->subpath++;
}

/* Of a path's points; it holds the curves. */
static TapulBox controls_box(const TapulPath *path) {
    TapulBox box = tapul_box_empty();
    for (guint i = 0; i < path->points->len; i++)
        tapul_box_add(&box, g_array_index(path->points, TapulVec2, i));
    return box;
}

/* Whether a path that meets no edge lies outside the chart. */
static gboolean is_outside(const TapulChart *chart, const TapulPath *path) {
    TapulVec2 paper_mm;
    return path->points->len == 0 ||
           !tapul_chart_paper(chart, g_array_index(path->points, TapulVec2, 0), &paper_mm);
}

GPtrArray *tapul_chart_cut(const TapulChart *chart, const TapulPath *path, gboolean measured) {
    Cutter cutter = {.chart = chart, .measured = measured};
    cutter.runs = g_ptr_array_new_with_free_func(free_run);
    g_autoptr(GArray) edges = tapul_chart_edges_near(chart, controls_box(path));
    if (edges->len == 0 && is_outside(chart, path))
        return cutter.runs;
    TapulPathWalk walk = tapul_path_walk(path);
    TapulPathPiece piece;
    gboolean closed = FALSE;
    while (tapul_path_walk_next(&walk, &piece)) {
        if (piece.starts_subpath && cutter.pieces > 0)
            end_subpath(&cutter, closed);
        cut_piece(&cutter, &piece, edges);
        closed = piece.verb == TAPUL_VERB_CLOSE;
    }
    end_subpath(&cutter, closed);
    return cutter.runs;
}
