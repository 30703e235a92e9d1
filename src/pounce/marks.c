/* What shows that the papers lie right on the metal and on one another: notches (notches.c),
 * crosses at chosen places (crosses.c, spread.c), and tapes between them (tapes.c). Third step
 * of drawing a piece (parts.h). */
#include "pounce/marks_parts.h"

/* A place that two charts of one paper show this near to each other is shown once: strips join
 * their paper to 0.001 mm. */
#define SAME_CROSS_MM 0.01

/* --- The ground --- */

static GArray *edge_of(const TapulPiece *piece) {
    GArray *edge = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    g_autoptr(GPtrArray) loops = tapul_mesh_boundary_loops(piece->mesh);
    const GArray *loop = g_ptr_array_index(loops, 0);
    for (guint i = 0; i < loop->len; i++)
        g_array_append_val(edge, piece->development->flat_mm[g_array_index(loop, int, i)]);
    return edge;
}

static void ground_set(TapulMarkGround *ground, const TapulCase *question,
                       const TapulPattern *pattern, double allowance_mm) {
    int n = (int)pattern->pieces->len;
    *ground = (TapulMarkGround){
        question, pattern, g_ptr_array_new_with_free_func((GDestroyNotify)g_ptr_array_unref),
        g_ptr_array_new_with_free_func((GDestroyNotify)g_array_unref)};
    g_ptr_array_set_size(ground->charts, n);
    for (int i = 0; i < n; i++)
        g_ptr_array_add(ground->edge, edge_of(g_ptr_array_index(pattern->pieces, (guint)i)));
#pragma omp parallel for schedule(dynamic)
    for (int i = 0; i < n; i++)
        g_ptr_array_index(ground->charts, i) =
            tapul_charts_new(question, pattern, i, allowance_mm);
}

static void ground_clear(TapulMarkGround *ground) {
    g_ptr_array_unref(ground->charts);
    g_ptr_array_unref(ground->edge);
}

TapulSpot tapul_piece_plate_spot(const TapulPiece *piece, TapulSpot spot) {
    const TapulSpot *corner = piece->plate_spot + 3 * spot.triangle;
    TapulSpot there = {corner[0].triangle, {0, 0, 0}};
    for (int k = 0; k < 3; k++)
        for (int j = 0; j < 3; j++)
            there.weight[j] += spot.weight[k] * corner[k].weight[j];
    return there;
}

static double distance_to_edge(TapulVec2 p, TapulVec2 a, TapulVec2 b) {
    TapulVec2 along = tapul_vec2_sub(b, a);
    double square = tapul_vec2_dot(along, along);
    double t = square > 0 ? tapul_vec2_dot(tapul_vec2_sub(p, a), along) / square : 0;
    return tapul_vec2_distance(p, tapul_vec2_mix(a, b, CLAMP(t, 0.0, 1.0)));
}

double tapul_mark_inside_mm(const TapulMarkGround *ground, int piece, TapulVec2 paper_mm) {
    const GArray *edge = g_ptr_array_index(ground->edge, piece);
    double least = INFINITY;
    for (guint i = 0; i < edge->len; i++)
        least =
            fmin(least, distance_to_edge(paper_mm, g_array_index(edge, TapulVec2, i),
                                         g_array_index(edge, TapulVec2, (i + 1) % edge->len)));
    return least;
}

int tapul_mark_on_paper(const TapulMarkGround *ground, const TapulCrossPlace *place, int piece,
                        TapulVec2 paper_mm[2]) {
    if (place->seam < 0) {
        const GPtrArray *charts = g_ptr_array_index(ground->charts, piece);
        return tapul_chart_paper(g_ptr_array_index(charts, 0), place->base_mm, paper_mm);
    }
    const TapulSeam *seam = g_ptr_array_index(ground->pattern->seams, (guint)place->seam);
    int n = 0;
    for (int side = 0; side < 2; side++)
        if (seam->piece[side] == piece)
            paper_mm[n++] = tapul_seam_point_mm(ground->pattern, seam, side, place->along);
    return n;
}

/* --- Crosses on papers --- */

static void add_cross(TapulPouncePiece *piece, int name, TapulVec2 at_mm) {
    for (guint i = 0; i < piece->crosses->len; i++) {
        const TapulCross *other = &g_array_index(piece->crosses, TapulCross, i);
        if (other->name == name && tapul_vec2_distance(other->at_mm, at_mm) < SAME_CROSS_MM)
            return;
    }
    TapulCross cross = {at_mm, name};
    g_array_append_val(piece->crosses, cross);
}

/* Wherever a paper shows a place: as its own metal, at both sides of a dart, in allowances. */
static void add_crosses_at(const TapulMarkGround *ground, const TapulCrossPlace *place,
                           int name, TapulPouncePiece *piece) {
    TapulVec2 at_mm[2];
    int n = tapul_mark_on_paper(ground, place, piece->number - 1, at_mm);
    for (int i = 0; i < n; i++)
        add_cross(piece, name, at_mm[i]);
    const GPtrArray *charts = g_ptr_array_index(ground->charts, piece->number - 1);
    for (guint c = 1; c < charts->len; c++)
        if (tapul_chart_paper(g_ptr_array_index(charts, c), place->base_mm, at_mm))
            add_cross(piece, name, at_mm[0]);
}

void tapul_pounce_marks(const TapulCase *question, const TapulPattern *pattern,
                        GPtrArray *pieces, double allowance_mm) {
    TapulMarkGround ground;
    ground_set(&ground, question, pattern, allowance_mm);
    g_autoptr(GArray) places = tapul_cross_places(&ground);
    int n = (int)pieces->len;
#pragma omp parallel for schedule(dynamic)
    for (int i = 0; i < n; i++) {
        TapulPouncePiece *piece = g_ptr_array_index(pieces, i);
        tapul_pounce_notches(pattern, piece);
        for (guint p = 0; p < places->len; p++)
            add_crosses_at(&ground, &g_array_index(places, TapulCrossPlace, p), (int)p + 1,
                           piece);
        tapul_pounce_tapes(&ground, places, piece);
    }
    ground_clear(&ground);
}
