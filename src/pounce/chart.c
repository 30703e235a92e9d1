/* Charts: the map from the plate's whole development to one paper, triangle by triangle. The
 * design is carried through them (carry.c, carry_area.c). */
#include "pounce/chart.h"

/* Triangles smaller than this in base or on paper are the tapering ends of strips: they show
 * nothing. */
#define LEAST_TRIANGLE_MM2 1e-9

void tapul_chart_free(TapulChart *chart) {
    if (!chart)
        return;
    tapul_development_finder_free(chart->finder);
    g_free(chart->shape.corner);
    g_free(chart->base.flat_mm);
    g_free(chart->paper_mm);
    g_array_unref(chart->edges);
    g_free(chart);
}

/* --- Base --- */

/* Where a spot of a piece's mesh lies in base. */
static TapulVec2 base_of(const TapulCase *question, const TapulPiece *piece, TapulSpot spot) {
    TapulVec2 sum = {0, 0};
    for (int k = 0; k < 3; k++) {
        TapulVec2 corner = tapul_development_point_mm(question->development,
                                                      piece->plate_spot[3 * spot.triangle + k]);
        sum = tapul_vec2_add(sum, tapul_vec2_scale(corner, spot.weight[k]));
    }
    return sum;
}

/* Of all vertices of a piece. */
static TapulVec2 *base_of_vertices(const TapulCase *question, const TapulPiece *piece) {
    const TapulMesh *mesh = piece->mesh;
    TapulVec2 *base_mm = g_new0(TapulVec2, mesh->n_vertices);
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++)
            base_mm[mesh->corner[t][k]] =
                tapul_development_point_mm(question->development, piece->plate_spot[3 * t + k]);
    return base_mm;
}

/* --- Edges --- */

static gint64 edge_key(int from, int to) {
    return ((gint64)from << 32) | (gint64)to;
}

/* The edges that belong to one triangle only. */
static void find_edges(TapulChart *chart) {
    g_autoptr(GHashTable) known =
        g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    const TapulMesh *shape = &chart->shape;
    for (int t = 0; t < shape->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            gint64 key = edge_key(shape->corner[t][k], shape->corner[t][(k + 1) % 3]);
            g_hash_table_add(known, g_memdup2(&key, sizeof key));
        }
    for (int t = 0; t < shape->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            int from = shape->corner[t][k], to = shape->corner[t][(k + 1) % 3];
            gint64 back = edge_key(to, from);
            TapulChartEdge edge = {chart->base.flat_mm[from], chart->base.flat_mm[to]};
            if (!g_hash_table_contains(known, &back))
                g_array_append_val(chart->edges, edge);
        }
}

/* --- The charts --- */

/* Takes base_mm and paper_mm [n_vertices] and corner [n_triangles]. */
static TapulChart *chart_new_take(int n_vertices, TapulVec2 *base_mm, TapulVec2 *paper_mm,
                                  int n_triangles, int (*corner)[3]) {
    TapulChart *chart = g_new0(TapulChart, 1);
    chart->shape.n_vertices = n_vertices;
    chart->shape.n_triangles = n_triangles;
    chart->shape.corner = corner;
    chart->base.mesh = &chart->shape;
    chart->base.flat_mm = base_mm;
    chart->paper_mm = paper_mm;
    chart->edges = g_array_new(FALSE, FALSE, sizeof(TapulChartEdge));
    chart->box = tapul_box_empty();
    for (int t = 0; t < n_triangles; t++)
        for (int k = 0; k < 3; k++)
            tapul_box_add(&chart->box, base_mm[corner[t][k]]);
    chart->finder = tapul_development_finder_new(&chart->base);
    find_edges(chart);
    return chart;
}

static TapulChart *chart_of_piece(const TapulCase *question, const TapulPiece *piece) {
    const TapulMesh *mesh = piece->mesh;
    return chart_new_take(
        mesh->n_vertices, base_of_vertices(question, piece),
        g_memdup2(piece->development->flat_mm, sizeof(TapulVec2) * (gsize)mesh->n_vertices),
        mesh->n_triangles,
        g_memdup2(mesh->corner, sizeof *mesh->corner * (gsize)mesh->n_triangles));
}

static double twice_area(const TapulVec2 *point, const int corner[3]) {
    return tapul_vec2_cross(tapul_vec2_sub(point[corner[1]], point[corner[0]]),
                            tapul_vec2_sub(point[corner[2]], point[corner[0]]));
}

static void add_triangle(GArray *corners, const TapulVec2 *base_mm, const TapulVec2 *paper_mm,
                         int a, int b, int c) {
    int corner[3] = {a, b, c};
    if (twice_area(base_mm, corner) > 2 * LEAST_TRIANGLE_MM2 &&
        twice_area(paper_mm, corner) > 2 * LEAST_TRIANGLE_MM2)
        g_array_append_val(corners, corner);
}

/* A place of the strip's lattice; where the strip has no depth they are all one. */
static int place_of(const TapulAllowance *strip, int station, int row) {
    return station * strip->rows + (strip->depth_mm[station] > 0 ? row : 0);
}

/* Two triangles to each cell of the strip's lattice. */
static GArray *strip_triangles(const TapulAllowance *strip, const TapulVec2 *base_mm) {
    GArray *corners = g_array_new(FALSE, FALSE, sizeof(int[3]));
    for (int s = 0; s + 1 < strip->stations; s++)
        for (int row = 0; row + 1 < strip->rows; row++) {
            int here = place_of(strip, s, row), out = place_of(strip, s, row + 1);
            int next = place_of(strip, s + 1, row), next_out = place_of(strip, s + 1, row + 1);
            add_triangle(corners, base_mm, strip->paper_mm, here, out, next);
            add_triangle(corners, base_mm, strip->paper_mm, next, out, next_out);
        }
    return corners;
}

static TapulChart *chart_of_strip(const TapulCase *question, const TapulPattern *pattern,
                                  int piece, const TapulAllowance *strip) {
    const TapulSeam *seam = g_ptr_array_index(pattern->seams, (guint)strip->seam);
    const TapulPiece *own = g_ptr_array_index(pattern->pieces, (guint)piece);
    const TapulPiece *other = g_ptr_array_index(pattern->pieces, (guint)strip->neighbour);
    g_autofree TapulVec2 *seam_mm = base_of_vertices(question, own);
    int n = strip->stations * strip->rows;
    TapulVec2 *base_mm = g_new(TapulVec2, n);
    for (int i = 0; i < n; i++) {
        double along = strip->along[i / strip->rows];
        int k = MIN((int)along, seam->n - 2);
        const int *vertex = seam->vertex[0] + k;
        base_mm[i] = strip->shown[i].triangle >= 0
                         ? base_of(question, other, strip->shown[i])
                         : tapul_vec2_mix(seam_mm[vertex[0]], seam_mm[vertex[1]], along - k);
    }
    GArray *corners = strip_triangles(strip, base_mm);
    if (corners->len == 0) {
        g_array_unref(corners);
        g_free(base_mm);
        return NULL;
    }
    int n_triangles = (int)corners->len;
    return chart_new_take(n, base_mm, g_memdup2(strip->paper_mm, sizeof(TapulVec2) * (gsize)n),
                          n_triangles, (int(*)[3])(void *)g_array_free(corners, FALSE));
}

GPtrArray *tapul_charts_new(const TapulCase *question, const TapulPattern *pattern, int piece,
                            double allowance_mm) {
    GPtrArray *charts = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_chart_free);
    g_ptr_array_add(charts,
                    chart_of_piece(question, g_ptr_array_index(pattern->pieces, (guint)piece)));
    g_autoptr(GPtrArray) strips = tapul_allowances_new(pattern, piece, allowance_mm);
    for (guint i = 0; i < strips->len; i++) {
        TapulChart *chart =
            chart_of_strip(question, pattern, piece, g_ptr_array_index(strips, i));
        if (chart)
            g_ptr_array_add(charts, chart);
    }
    return charts;
}

/* --- The map --- */

static TapulVec2 weigh(const TapulVec2 *point, const int corner[3], const double weight[3]) {
    TapulVec2 sum = {0, 0};
    for (int k = 0; k < 3; k++)
        sum = tapul_vec2_add(sum, tapul_vec2_scale(point[corner[k]], weight[k]));
    return sum;
}

gboolean tapul_chart_paper(const TapulChart *chart, TapulVec2 base_mm, TapulVec2 *paper_mm) {
    TapulSpot spot;
    if (!tapul_development_finder_spot(chart->finder, base_mm, &spot))
        return FALSE;
    *paper_mm = weigh(chart->paper_mm, chart->shape.corner[spot.triangle], spot.weight);
    return TRUE;
}

static gboolean map_point(TapulVec2 from, TapulVec2 *to, gpointer data) {
    return tapul_chart_paper(data, from, to);
}

static gboolean map_node(TapulVec2 from, TapulWarpNode *node, gpointer data) {
    const TapulChart *chart = data;
    TapulSpot spot;
    if (!tapul_development_finder_spot(chart->finder, from, &spot))
        return FALSE;
    const int *corner = chart->shape.corner[spot.triangle];
    const TapulVec2 *base = chart->base.flat_mm, *paper = chart->paper_mm;
    TapulVec2 e1 = tapul_vec2_sub(base[corner[1]], base[corner[0]]);
    TapulVec2 e2 = tapul_vec2_sub(base[corner[2]], base[corner[0]]);
    TapulVec2 f1 = tapul_vec2_sub(paper[corner[1]], paper[corner[0]]);
    TapulVec2 f2 = tapul_vec2_sub(paper[corner[2]], paper[corner[0]]);
    double twice = tapul_vec2_cross(e1, e2);
    *node = (TapulWarpNode){.from = from, .to = weigh(paper, corner, spot.weight)};
    node->by_x = tapul_vec2_scale(
        tapul_vec2_sub(tapul_vec2_scale(f1, e2.y), tapul_vec2_scale(f2, e1.y)), 1 / twice);
    node->by_y = tapul_vec2_scale(
        tapul_vec2_sub(tapul_vec2_scale(f2, e1.x), tapul_vec2_scale(f1, e2.x)), 1 / twice);
    return TRUE;
}

TapulWarpMap tapul_chart_map(const TapulChart *chart, double tolerance_mm) {
    return (TapulWarpMap){.point = map_point,
                          .node = map_node,
                          .data = (gpointer)chart,
                          .tolerance_mm = tolerance_mm,
                          .even_within = 0};
}
