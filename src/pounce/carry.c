/* Strokes carried to a paper. Each chart takes its runs of a stroke; runs that follow on one
 * another along the stroke and meet on the paper, as over the edge of an allowance, are one
 * line again. */
#include "pounce/carry.h"

#include "laying/stroke_runs.h"

/* Runs whose ends are this near on paper are joined: a tenth of the thinnest line's width, far
 * more than the inside step of cut_at_chart.c, far less than a dart opens 1 mm from its tip. */
#define JOINED_MM 0.005
/* Places along a subpath that are one, as in cut_at_chart.c. */
#define SAME_PLACE 2e-6

/* A run on paper. */
typedef struct {
    const TapulChartRun *run;
    GArray *pieces; /* of TapulWarpPiece */
    int next;       /* the run that goes on from it, or -1 */
    gboolean follows, taken;
} Carried;

static void clear_carried(gpointer data) {
    g_array_unref(((Carried *)data)->pieces);
}

static const TapulWarpPiece *first_piece(const Carried *carried) {
    return &g_array_index(carried->pieces, TapulWarpPiece, 0);
}

static const TapulWarpPiece *last_piece(const Carried *carried) {
    return &g_array_index(carried->pieces, TapulWarpPiece, carried->pieces->len - 1);
}

static void carry_runs(const GPtrArray *runs, GArray *all) {
    for (guint i = 0; i < runs->len; i++) {
        const TapulChartRun *run = g_ptr_array_index(runs, i);
        TapulWarpMap map = tapul_chart_map(run->chart, TAPUL_CARRY_TOLERANCE_MM);
        map.even_within = TAPUL_STROKE_PIECE_CHANGE;
        double lost_mm = 0;
        Carried carried = {run, tapul_warp_pieces(run->path, &map, &lost_mm), -1, FALSE, FALSE};
        if (carried.pieces->len > 0)
            g_array_append_val(all, carried);
        else
            g_array_unref(carried.pieces);
    }
}

/* --- Joining --- */

/* How far apart on paper b would go on from a; infinite where it does not follow. */
static double step_between(const Carried *a, const Carried *b, gboolean over_start) {
    if (a->run->subpath != b->run->subpath || b->follows)
        return INFINITY;
    gboolean follows = fabs(a->run->to - b->run->from) < SAME_PLACE;
    gboolean wraps = over_start && a->run->closed && b->run->from < SAME_PLACE &&
                     a->run->to > a->run->pieces - SAME_PLACE;
    if (!follows && !wraps)
        return INFINITY;
    return tapul_vec2_distance(last_piece(a)->p[3], first_piece(b)->p[0]);
}

/* Dashed strokes are not joined over their start: their dashes count from there. */
static void link_runs(GArray *all, gboolean over_start) {
    for (guint i = 0; i < all->len; i++) {
        Carried *from = &g_array_index(all, Carried, i);
        double nearest_mm = JOINED_MM;
        for (guint k = 0; k < all->len; k++) {
            double step_mm = step_between(from, &g_array_index(all, Carried, k), over_start);
            if (step_mm <= nearest_mm) {
                nearest_mm = step_mm;
                from->next = (int)k;
            }
        }
        if (from->next >= 0)
            g_array_index(all, Carried, from->next).follows = TRUE;
    }
}

/* Appends a run to the lines drawn so far; first: it starts one. */
static void append_run(GArray *lines, const Carried *carried, gboolean first, guint subpath,
                       gboolean measured) {
    double before_mm = measured ? carried->run->from_mm : 0;
    if (!first && !measured) {
        const TapulWarpPiece *last = &g_array_index(lines, TapulWarpPiece, lines->len - 1);
        before_mm = last->source_before_mm + last->source_mm;
    }
    guint start = lines->len;
    g_array_append_vals(lines, carried->pieces->data, carried->pieces->len);
    g_array_index(lines, TapulWarpPiece, start).follows = !first;
    for (guint i = start; i < lines->len; i++) {
        TapulWarpPiece *piece = &g_array_index(lines, TapulWarpPiece, i);
        piece->source_before_mm += before_mm;
        piece->subpath = subpath;
        piece->closes = FALSE;
    }
}

/* The line that starts with a run. */
static void append_line(GArray *lines, GArray *all, int first, guint subpath,
                        gboolean measured) {
    int at = first;
    while (at >= 0 && !g_array_index(all, Carried, at).taken) {
        Carried *carried = &g_array_index(all, Carried, at);
        carried->taken = TRUE;
        append_run(lines, carried, at == first, subpath, measured);
        at = carried->next;
    }
    g_array_index(lines, TapulWarpPiece, lines->len - 1).closes = at == first;
}

/* All lines, each a subpath: first those with a start, then those that go round. */
static GArray *lines_of(GArray *all, gboolean measured) {
    GArray *lines = g_array_new(FALSE, FALSE, sizeof(TapulWarpPiece));
    guint subpath = 0;
    for (int round = 0; round < 2; round++)
        for (guint i = 0; i < all->len; i++) {
            const Carried *carried = &g_array_index(all, Carried, i);
            if (!carried->taken && (round == 1 || !carried->follows))
                append_line(lines, all, (int)i, ++subpath, measured);
        }
    return lines;
}

void tapul_carry_stroke(const GPtrArray *charts, const TapulMark *mark, GPtrArray *marks) {
    gboolean dashed = mark->dash_mm != NULL;
    g_autoptr(GPtrArray) cut =
        g_ptr_array_new_with_free_func((GDestroyNotify)g_ptr_array_unref);
    g_autoptr(GArray) all = g_array_new(FALSE, FALSE, sizeof(Carried));
    g_array_set_clear_func(all, clear_carried);
    for (guint c = 0; c < charts->len; c++) {
        GPtrArray *runs = tapul_chart_cut(g_ptr_array_index(charts, c), mark->path, dashed);
        g_ptr_array_add(cut, runs);
        carry_runs(runs, all);
    }
    link_runs(all, !dashed);
    g_autoptr(GArray) lines = lines_of(all, dashed);
    tapul_stroke_runs(mark, lines, marks);
}
