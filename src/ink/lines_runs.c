/* Which stretches of a chain are lines and which are areas: a line is narrow against its
 * length. */
#include "ink/lines_distance.h"
#include "ink/lines_follow.h"

/* A stretch on its own, ends and all, shorter than this many of its widths is a dot or a dash,
 * not a line. */
#define LEAST_LENGTH_WIDTHS 3
/* Beside an area a line has to stand out by its own width, or it is the area's corner. */
#define LEAST_OUT_WIDTHS 1

/* A half width that grows by more than this for each pixel from an end is that end's roundness,
 * not a taper. */
#define BLUNT_SLOPE 0.75

static void append_half(const TapulLineWork *work, int half, GArray *points) {
    const TapulLineGraph *graph = work->graph;
    const TapulLineEdge *edge = tapul_line_edge(graph, half / 2);
    int n = edge->n_places, from = tapul_line_clouded(graph, half),
        to = n - tapul_line_clouded(graph, half ^ 1);
    for (int i = 0; i < n; i++) {
        int place = tapul_line_place(graph, half, i);
        gboolean bridged =
            (i < from && edge->bridged[half % 2]) || (i >= to && edge->bridged[1 - half % 2]);
        TapulChainPoint point = {
            .at_px = tapul_vec2_scale(tapul_map_centre_px(graph->map, place), work->map_px),
            .radius_px = work->map_px * tapul_distance_radius_px(graph->distance_px2[place]),
            .place = place,
            .clouded = i < from || i >= to,
            .bridged = bridged};
        g_array_append_val(points, point);
    }
}

GArray *tapul_chain_points(const TapulLineWork *work, int chain) {
    const TapulLineChains *chains = work->chains;
    GArray *points = g_array_new(FALSE, FALSE, sizeof(TapulChainPoint));
    for (int i = g_array_index(chains->start, int, chain);
         i < g_array_index(chains->start, int, chain + 1); i++)
        append_half(work, g_array_index(chains->half, int, i), points);
    return points;
}

/* Marks what lies within the ink of a wide place, walking one way: step 1 or -1. */
static void mark_wide(TapulChainPoint *point, int n, int step, double widest_px) {
    double left_px = -1;
    for (int k = 0, i = step > 0 ? 0 : n - 1; k < n; k++, i += step) {
        if (k > 0)
            left_px -= tapul_vec2_distance(point[i].at_px, point[i - step].at_px);
        if (2 * point[i].radius_px > widest_px)
            left_px = fmax(left_px, point[i].radius_px);
        point[i].area |= left_px >= 0;
    }
}

static gboolean free_end(const TapulLineGraph *graph, int half) {
    const TapulLineEdge *edge = tapul_line_edge(graph, half / 2);
    return edge->node[half % 2] >= 0 &&
           tapul_line_node(graph, edge->node[half % 2])->n_edges == 1;
}

static void measure_run(const TapulChainPoint *point, const TapulLineRun *run,
                        double *length_px, double *width_px, gboolean *clear) {
    double sum = 0;
    *length_px = 0;
    *clear = FALSE;
    for (int i = run->from; i < run->to; i++) {
        sum += point[i].radius_px;
        *clear |= !point[i].clouded;
        if (i > run->from)
            *length_px += tapul_vec2_distance(point[i].at_px, point[i - 1].at_px);
    }
    *width_px = 2 * sum / (run->to - run->from);
    *length_px += ((run->begins_free ? 0.5 : 0) + (run->ends_free ? 0.5 : 0)) * *width_px;
}

/* Near a blunt end the skeleton may run on to the ink's edge, through discs that lie within one
 * further in. Those points go, from the end that step leads away from; a tapering line's discs
 * stay, as each reaches further. Returns the first point that stays. */
static int blunt_tip(const TapulChainPoint *point, int tip, int n, int step) {
    for (int i = 1; i < n && i <= 2 * point[tip + i * step].radius_px + 2; i++) {
        double away_px = tapul_vec2_distance(point[tip].at_px, point[tip + i * step].at_px);
        if (point[tip + i * step].radius_px >= point[tip].radius_px + BLUNT_SLOPE * away_px) {
            tip += i * step;
            n -= i;
            i = 0;
        }
    }
    return tip;
}

static void trim_tips(const TapulChainPoint *point, TapulLineRun *run) {
    if (run->begins_free)
        run->from = blunt_tip(point, run->from, run->to - run->from, 1);
    if (run->ends_free)
        run->to = blunt_tip(point, run->to - 1, run->to - run->from, -1) + 1;
}

static void judge_run(TapulLineRun *run, int n, TapulChainPoint *point, GArray *runs) {
    double length_px, width_px;
    gboolean clear;
    measure_run(point, run, &length_px, &width_px, &clear);
    gboolean alone = run->begins_free && run->ends_free,
             beside_area = run->from > 0 || run->to < n;
    if ((alone && length_px < LEAST_LENGTH_WIDTHS * width_px) ||
        (beside_area && length_px < LEAST_OUT_WIDTHS * width_px)) {
        for (int i = run->from; i < run->to; i++)
            point[i].area = TRUE;
        return;
    }
    trim_tips(point, run);
    /* What lies wholly in the ink of other lines' joints is covered by them. */
    if (clear || alone || run->closed)
        g_array_append_vals(runs, run, 1);
}

void tapul_chain_runs(const TapulLineWork *work, int chain, GArray *points, GArray *runs) {
    const TapulLineGraph *graph = work->graph;
    const TapulLineChains *chains = work->chains;
    TapulChainPoint *point = (TapulChainPoint *)(void *)points->data;
    int n = (int)points->len;
    int first = g_array_index(chains->start, int, chain),
        last = g_array_index(chains->start, int, chain + 1) - 1;
    mark_wide(point, n, 1, work->widest_px);
    mark_wide(point, n, -1, work->widest_px);
    for (int i = 0; i < n;) {
        int from = i;
        while (i < n && !point[i].area)
            i++;
        gboolean whole = from == 0 && i == n;
        TapulLineRun run = {
            chain,
            from,
            i,
            from == 0 && free_end(graph, g_array_index(chains->half, int, first)),
            i == n && free_end(graph, g_array_index(chains->half, int, last) ^ 1),
            whole && g_array_index(chains->closed, gboolean, chain)};
        if (i > from)
            judge_run(&run, n, point, runs);
        while (i < n && point[i].area)
            i++;
    }
}
