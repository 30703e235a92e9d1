/* Where on a print to point so that a motif is told from those around and before it. */
#include "sheet/worksheet_parts.h"

/* Ink is looked at so far apart. */
#define STEP_MM 1.0
/* Points of a motif that are tried; more would not be seen to differ. */
#define MOST_TRIED 240
/* So far off all other ink a place is clear enough: of such the one nearest the middle. */
#define CLEAR_MM 2.5

typedef struct {
    TapulVec2 at_mm;
    int motif;
} InkPoint;

static void add_points(GArray *points, const TapulMark *mark) {
    TapulPathWalk walk = tapul_path_walk(mark->path);
    TapulPathPiece piece;
    while (tapul_path_walk_next(&walk, &piece)) {
        int n = 1 + (int)floor(tapul_cubic_length(piece.p) / STEP_MM);
        for (int i = 0; i <= n; i++) {
            InkPoint point = {tapul_cubic_point(piece.p, (double)i / n), mark->motif};
            g_array_append_val(points, point);
        }
    }
}

static GArray *points_of(const TapulInk *ink) {
    GArray *points = g_array_new(FALSE, FALSE, sizeof(InkPoint));
    for (guint i = 0; i < ink->marks->len; i++) {
        const TapulMark *mark = g_ptr_array_index(ink->marks, i);
        if (!mark->paper)
            add_points(points, mark);
    }
    return points;
}

/* How far a place is from the ink of other motifs, as far as that counts. */
static double clear_mm(const GArray *points, TapulVec2 at_mm, int motif) {
    double least_mm = CLEAR_MM;
    for (guint i = 0; i < points->len; i++) {
        InkPoint point = g_array_index(points, InkPoint, i);
        if (point.motif != motif)
            least_mm = fmin(least_mm, tapul_vec2_distance(point.at_mm, at_mm));
    }
    return least_mm;
}

static guint count_of(const GArray *points, int motif) {
    guint n = 0;
    for (guint i = 0; i < points->len; i++)
        n += g_array_index(points, InkPoint, i).motif == motif;
    return n;
}

static TapulVec2 clearest(const GArray *points, const TapulShownMotif *motif) {
    TapulVec2 middle = tapul_vec2_mix(motif->print_mm.min, motif->print_mm.max, 0.5);
    TapulVec2 best = motif->mark_print_mm;
    double best_mm = clear_mm(points, best, motif->motif);
    guint stride = 1 + count_of(points, motif->motif) / MOST_TRIED, seen = 0;
    for (guint i = 0; i < points->len; i++) {
        InkPoint point = g_array_index(points, InkPoint, i);
        if (point.motif != motif->motif || seen++ % stride != 0)
            continue;
        double at_mm = clear_mm(points, point.at_mm, motif->motif);
        if (at_mm < best_mm || (at_mm == best_mm && tapul_vec2_distance(point.at_mm, middle) >=
                                                        tapul_vec2_distance(best, middle)))
            continue;
        best = point.at_mm;
        best_mm = at_mm;
    }
    return best;
}

void tapul_sought_marks(const TapulInk *ink, TapulSoughtPrint *print) {
    g_autoptr(GArray) points = points_of(ink);
    for (guint i = 0; i < print->motifs->len; i++) {
        TapulSoughtMotif *motif = g_ptr_array_index(print->motifs, i);
        motif->mark_mm = clearest(points, motif->shown);
    }
}
