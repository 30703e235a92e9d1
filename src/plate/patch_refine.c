/* Refines a first triangulation on the smooth surface: long edges are cut at their middle,
 * edges are swapped until every pair of triangles is Delaunay in space, and inner vertices move
 * towards the middle of their neighbours. New vertices lie on the surface itself (edge
 * splitting and swapping as in Botsch & Kobbelt, A Remeshing Approach to Multiresolution
 * Modeling, 2004; its collapses are not needed, since the start is coarse). */
#include "plate/patch.h"

/* Cutting in halves every edge longer than 4/3 of the wanted length leaves lengths between 2/3
 * and 4/3 of it. */
#define LONGEST_SHARE (4.0 / 3.0)
#define MAX_PASSES    40
#define SMOOTHINGS    8
/* Opposite angles may exceed pi by this much before an edge is swapped, so that swapping ends.
 */
#define SWAP_MARGIN_RAD 1e-6
/* A triangle may not shrink below this share of an even triangle's area in the square while
 * vertices move. */
#define LEAST_AREA 1e-14

static TapulPatchTriangle *triangle_at(const TapulPatch *patch, int t) {
    return &g_array_index(patch->triangles, TapulPatchTriangle, t);
}

static TapulPatchVertex *vertex_at(const TapulPatch *patch, int v) {
    return &g_array_index(patch->vertices, TapulPatchVertex, v);
}

static double uv_area(const TapulPatch *patch, int a, int b, int c) {
    TapulVec2 origin = vertex_at(patch, a)->uv;
    return tapul_vec2_cross(tapul_vec2_sub(vertex_at(patch, b)->uv, origin),
                            tapul_vec2_sub(vertex_at(patch, c)->uv, origin));
}

static int side_towards(const TapulPatch *patch, int t, int neighbour) {
    for (int k = 0; k < 3; k++)
        if (triangle_at(patch, t)->across[k] == neighbour)
            return k;
    g_assert_not_reached();
}

static void relink(TapulPatch *patch, int t, int from, int to) {
    if (t >= 0)
        triangle_at(patch, t)->across[side_towards(patch, t, from)] = to;
}

static double angle_at(const TapulPatch *patch, int corner, int a, int b) {
    TapulVec3 p = vertex_at(patch, corner)->at;
    TapulVec3 to_a = tapul_vec3_sub(vertex_at(patch, a)->at, p),
              to_b = tapul_vec3_sub(vertex_at(patch, b)->at, p);
    return atan2(tapul_vec3_length(tapul_vec3_cross(to_a, to_b)), tapul_vec3_dot(to_a, to_b));
}

/* Swaps the edge of t opposite its corner k where that makes the pair Delaunay and keeps both
 * triangles upright in the square. */
static gboolean swap_if_better(TapulPatch *patch, int t, int k) {
    int s = triangle_at(patch, t)->across[k];
    if (s < 0)
        return FALSE;
    int q = side_towards(patch, s, t);
    TapulPatchTriangle *one = triangle_at(patch, t), *two = triangle_at(patch, s);
    int apex = one->corner[k], a = one->corner[(k + 1) % 3], b = one->corner[(k + 2) % 3];
    int opposite = two->corner[q];
    if (angle_at(patch, apex, a, b) + angle_at(patch, opposite, a, b) <= G_PI + SWAP_MARGIN_RAD)
        return FALSE;
    if (uv_area(patch, apex, a, opposite) <= LEAST_AREA ||
        uv_area(patch, apex, opposite, b) <= LEAST_AREA)
        return FALSE;

    int over_apex_a = one->across[(k + 2) % 3], over_apex_b = one->across[(k + 1) % 3];
    int over_opposite_b = two->across[(q + 2) % 3], over_opposite_a = two->across[(q + 1) % 3];
    relink(patch, over_apex_b, t, s);
    relink(patch, over_opposite_a, s, t);
    *one = (TapulPatchTriangle){{apex, a, opposite}, {over_opposite_a, s, over_apex_a}};
    *two = (TapulPatchTriangle){{apex, opposite, b}, {over_opposite_b, over_apex_b, t}};
    return TRUE;
}

static void swap_all(TapulPatch *patch) {
    g_autoptr(GArray) queue = g_array_new(FALSE, FALSE, sizeof(int));
    for (int t = 0; t < (int)patch->triangles->len; t++)
        g_array_append_val(queue, t);
    /* A Delaunay flip sequence is finite; the bound only guards against rounding. */
    gsize left = 60 * (gsize)patch->triangles->len;
    while (queue->len > 0 && left-- > 0) {
        int t = g_array_index(queue, int, queue->len - 1);
        g_array_set_size(queue, queue->len - 1);
        for (int k = 0; k < 3; k++) {
            int s = triangle_at(patch, t)->across[k];
            if (swap_if_better(patch, t, k)) {
                g_array_append_val(queue, t);
                g_array_append_val(queue, s);
                break;
            }
        }
    }
}

/* Cuts the edge of t opposite its corner k, with its neighbour, at the middle. */
static void cut_edge(TapulPatch *patch, int t, int k) {
    int s = triangle_at(patch, t)->across[k];
    int q = side_towards(patch, s, t);
    int new_t = (int)patch->triangles->len, new_s = new_t + 1;
    TapulPatchTriangle one = *triangle_at(patch, t), two = *triangle_at(patch, s);
    int apex = one.corner[k], a = one.corner[(k + 1) % 3], b = one.corner[(k + 2) % 3],
        opposite = two.corner[q];

    TapulPatchVertex middle = {
        tapul_vec2_mix(vertex_at(patch, a)->uv, vertex_at(patch, b)->uv, 0.5),
        {0, 0, 0},
        FALSE};
    middle.at = patch->surface->evaluate(patch->surface, patch->side, middle.uv.x, middle.uv.y);
    int m = (int)patch->vertices->len;
    g_array_append_val(patch->vertices, middle);

    int over_apex_b = one.across[(k + 1) % 3], over_apex_a = one.across[(k + 2) % 3];
    int over_opposite_a = two.across[(q + 1) % 3], over_opposite_b = two.across[(q + 2) % 3];
    TapulPatchTriangle third = {{apex, m, b}, {new_s, over_apex_b, t}};
    TapulPatchTriangle fourth = {{opposite, b, m}, {new_t, s, over_opposite_b}};
    relink(patch, over_apex_b, t, new_t);
    relink(patch, over_opposite_b, s, new_s);
    *triangle_at(patch, t) = (TapulPatchTriangle){{apex, a, m}, {s, new_t, over_apex_a}};
    *triangle_at(patch, s) =
        (TapulPatchTriangle){{opposite, m, a}, {t, over_opposite_a, new_s}};
    g_array_append_val(patch->triangles, third);
    g_array_append_val(patch->triangles, fourth);
}

typedef struct {
    double excess; /* length over the wanted length */
    int a, b;      /* the edge's ends, to see whether it still stands */
    int triangle, side;
} LongEdge;

static int longest_first(gconstpointer a, gconstpointer b) {
    const LongEdge *one = a, *two = b;
    if (one->excess != two->excess)
        return one->excess > two->excess ? -1 : 1;
    return one->triangle - two->triangle;
}

static GArray *long_edges(const TapulPatch *patch, const TapulSizing *sizing) {
    GArray *found = g_array_new(FALSE, FALSE, sizeof(LongEdge));
    for (int t = 0; t < (int)patch->triangles->len; t++) {
        const TapulPatchTriangle *triangle = triangle_at(patch, t);
        for (int k = 0; k < 3; k++) {
            if (triangle->across[k] < t)
                continue; /* on the region's edge, or seen from the other triangle */
            int a = triangle->corner[(k + 1) % 3], b = triangle->corner[(k + 2) % 3];
            TapulVec2 middle =
                tapul_vec2_mix(vertex_at(patch, a)->uv, vertex_at(patch, b)->uv, 0.5);
            double length =
                tapul_vec3_distance(vertex_at(patch, a)->at, vertex_at(patch, b)->at);
            LongEdge edge = {length / tapul_sizing_edge_mm(sizing, patch->side, middle), a, b,
                             t, k};
            if (edge.excess > LONGEST_SHARE)
                g_array_append_val(found, edge);
        }
    }
    g_array_sort(found, longest_first);
    return found;
}

static gboolean still_stands(const TapulPatch *patch, const LongEdge *edge) {
    const TapulPatchTriangle *triangle = triangle_at(patch, edge->triangle);
    return triangle->corner[(edge->side + 1) % 3] == edge->a &&
           triangle->corner[(edge->side + 2) % 3] == edge->b &&
           triangle->across[edge->side] >= 0;
}

static void cut_long_edges(TapulPatch *patch, const TapulSizing *sizing) {
    for (int pass = 0; pass < MAX_PASSES; pass++) {
        g_autoptr(GArray) found = long_edges(patch, sizing);
        if (found->len == 0)
            return;
        /* Only the clearly longest are cut in one pass: swapping may shorten the others. */
        double limit = fmax(LONGEST_SHARE, 0.7 * g_array_index(found, LongEdge, 0).excess);
        for (guint i = 0; i < found->len; i++) {
            const LongEdge *edge = &g_array_index(found, LongEdge, i);
            if (edge->excess >= limit && still_stands(patch, edge))
                cut_edge(patch, edge->triangle, edge->side);
        }
        swap_all(patch);
    }
}

/* Moves each inner vertex to the middle of its neighbours' places, weighted by their share of
 * the wanted edge length, unless that would turn a triangle over. */
static void spread_vertices(TapulPatch *patch) {
    int n = (int)patch->vertices->len;
    g_autofree TapulVec2 *sum = g_new0(TapulVec2, n);
    g_autofree double *weight = g_new0(double, n);
    for (guint t = 0; t < patch->triangles->len; t++) {
        const TapulPatchTriangle *triangle = triangle_at(patch, (int)t);
        for (int k = 0; k < 3; k++) {
            int a = triangle->corner[k], b = triangle->corner[(k + 1) % 3];
            double length =
                tapul_vec3_distance(vertex_at(patch, a)->at, vertex_at(patch, b)->at);
            sum[a] = tapul_vec2_add(sum[a], tapul_vec2_scale(vertex_at(patch, b)->uv, length));
            sum[b] = tapul_vec2_add(sum[b], tapul_vec2_scale(vertex_at(patch, a)->uv, length));
            weight[a] += length;
            weight[b] += length;
        }
    }
    g_autofree TapulVec2 *before = g_new0(TapulVec2, n);
    for (int v = 0; v < n; v++) {
        before[v] = vertex_at(patch, v)->uv;
        if (!vertex_at(patch, v)->fixed && weight[v] > 0)
            vertex_at(patch, v)->uv =
                tapul_vec2_mix(before[v], tapul_vec2_scale(sum[v], 1 / weight[v]), 0.7);
    }
    /* Take back what turned a triangle over, until none is. */
    for (gboolean good = FALSE; !good;) {
        good = TRUE;
        for (guint t = 0; t < patch->triangles->len; t++) {
            const int *corner = triangle_at(patch, (int)t)->corner;
            if (uv_area(patch, corner[0], corner[1], corner[2]) > LEAST_AREA)
                continue;
            for (int k = 0; k < 3; k++) {
                TapulVec2 now = vertex_at(patch, corner[k])->uv;
                if (now.x != before[corner[k]].x || now.y != before[corner[k]].y)
                    good = FALSE;
                vertex_at(patch, corner[k])->uv = before[corner[k]];
            }
        }
    }
    for (int v = 0; v < n; v++) {
        TapulPatchVertex *vertex = vertex_at(patch, v);
        if (!vertex->fixed)
            vertex->at = patch->surface->evaluate(patch->surface, patch->side, vertex->uv.x,
                                                  vertex->uv.y);
    }
}

void tapul_patch_refine(TapulPatch *patch, const TapulSizing *sizing) {
    swap_all(patch);
    cut_long_edges(patch, sizing);
    for (int i = 0; i < SMOOTHINGS; i++) {
        spread_vertices(patch);
        swap_all(patch);
    }
    cut_long_edges(patch, sizing);
    spread_vertices(patch);
    swap_all(patch);
}
