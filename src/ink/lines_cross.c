/* Step 6 from grey to lines: lines run straight over crossings. At each joint the two edges
 * that turn least are one line, then the next two. Where lines cross on a slant the skeleton
 * has two joints of three with a short bridge between them; they count as one crossing where
 * both lines run straight over it. */
#include "ink/lines_cross.h"

#include "ink/lines_distance.h"

/* More than this is a corner or a branch, not a line going on. A drawn line's own turn within a
 * crossing is less. */
#define LEAST_TURN_COSINE 0.82 /* 35 degrees */
/* Length of the bridge of two lines by the half width at its joints: 0 where they cross
 * upright, 1.6 at 45 degrees, 2.9 at 30 (worked out: a joint lies where the disc touches both
 * outer edges and the corner between). A scan's blur fills the corners, which makes it twice as
 * long where lines are thin. */
#define BRIDGE_MOST_RADII 6
/* Lines over a crossing may miss each other by so many of their half widths and pixels: short
 * edges in close hatching do not tell their direction better. */
#define IN_LINE_RADII 1.5
#define IN_LINE_PX    1
/* Ink is swollen by another line where it is wider by this than along the rest of its edge; by
 * a pixel at least. */
#define SWOLLEN    1.15
#define SWOLLEN_PX 0.4
/* Past this many half widths of the joint a swell is the line's own. */
#define CLOUDED_MOST_RADII 3
/* An edge's direction is taken over this many half widths, but no fewer pixels than that. */
#define DIRECTION_RADII    5
#define DIRECTION_LEAST_PX 8

int tapul_line_clouded(const TapulLineGraph *graph, int half) {
    const TapulLineEdge *edge = tapul_line_edge(graph, half / 2);
    if (edge->node[half % 2] < 0)
        return 0;
    const TapulLineNode *node = tapul_line_node(graph, edge->node[half % 2]);
    if (node->n_edges < 3)
        return 0;
    double swollen_px = fmax(edge->radius_px * SWOLLEN, edge->radius_px + SWOLLEN_PX);
    int i = 0;
    for (; i < edge->n_places; i++) {
        int place = tapul_line_place(graph, half, i);
        double away_px =
            tapul_vec2_distance(node->at_px, tapul_map_centre_px(graph->map, place));
        double radius_px = tapul_distance_radius_px(graph->distance_px2[place]);
        if (away_px > CLOUDED_MOST_RADII * node->radius_px ||
            (away_px > node->radius_px && radius_px <= swollen_px))
            break;
    }
    return i;
}

/* Where an edge leaves the ink of its joint and which way. */
typedef struct {
    int half;
    TapulVec2 at_px, away; /* unit */
} Leaving;

static Leaving leaving(const TapulLineGraph *graph, int half) {
    const TapulLineEdge *edge = tapul_line_edge(graph, half / 2);
    const TapulLineNode *node = tapul_line_node(graph, edge->node[half % 2]);
    double reach_px = fmax(DIRECTION_RADII * edge->radius_px, DIRECTION_LEAST_PX);
    int from = tapul_line_clouded(graph, half);
    int last = edge->n_places - 1;
    Leaving leaves = {half, node->at_px, {0, 0}};
    TapulVec2 to = tapul_line_node(graph, edge->node[1 - half % 2])->at_px;
    if (from < last) {
        leaves.at_px = tapul_map_centre_px(graph->map, tapul_line_place(graph, half, from));
        int i = from;
        do
            to = tapul_map_centre_px(graph->map, tapul_line_place(graph, half, ++i));
        while (i < last && tapul_vec2_distance(leaves.at_px, to) < reach_px);
    }
    TapulVec2 along = tapul_vec2_sub(to, leaves.at_px);
    double length_px = tapul_vec2_length(along);
    leaves.away = length_px > 0 ? tapul_vec2_scale(along, 1 / length_px) : tapul_vec2(0, 0);
    return leaves;
}

/* 1 where b goes straight on from a, -1 where it turns back. */
static double straightness(const Leaving *a, const Leaving *b) {
    return -tapul_vec2_dot(a->away, b->away);
}

/* TRUE where both lie on one line along their mean direction, which is surer than either: two
 * stems that end on a bar from both sides do not. */
static gboolean in_line(const TapulLineGraph *graph, const Leaving *a, const Leaving *b) {
    TapulVec2 between = tapul_vec2_sub(b->at_px, a->at_px),
              along = tapul_vec2_sub(a->away, b->away);
    double aside_px =
        fabs(tapul_vec2_cross(along, between)) / fmax(tapul_vec2_length(along), 1);
    double radius_px = fmax(tapul_line_edge(graph, a->half / 2)->radius_px,
                            tapul_line_edge(graph, b->half / 2)->radius_px);
    return aside_px <= IN_LINE_RADII * radius_px + IN_LINE_PX;
}

static int living_halves(const TapulLineGraph *graph, const TapulLineNode *node, int but_edge,
                         int *found, int most) {
    int n = 0;
    for (int i = 0; i < node->n_halves; i++) {
        int half = graph->half[node->first_half + i];
        if (!tapul_line_edge(graph, half / 2)->gone && half / 2 != but_edge && n < most)
            found[n++] = half;
    }
    return n;
}

/* TRUE where the straight way between two places is all ink. */
static gboolean runs_in_ink(const TapulMap *map, TapulVec2 from_px, TapulVec2 to_px) {
    int n = (int)ceil(tapul_vec2_distance(from_px, to_px)) + 1;
    for (int i = 0; i <= n; i++) {
        TapulVec2 at_px = tapul_vec2_mix(from_px, to_px, (double)i / n);
        int place = tapul_map_place(map, (int)floor(at_px.x), (int)floor(at_px.y));
        if (!(map->at[place] & TAPUL_MAP_INK))
            return FALSE;
    }
    return TRUE;
}

static double pair_quality(const TapulLineGraph *graph, const Leaving *a, const Leaving *b) {
    return in_line(graph, a, b) && runs_in_ink(graph->map, a->at_px, b->at_px)
               ? straightness(a, b)
               : -1;
}

/* A short edge that two lines may cross on, and how straight the worse of them would be. */
typedef struct {
    int edge;
    int half[2][2]; /* half[0][i] goes on as half[1][i] */
    double straightness;
} Bridge;

/* FALSE: no two straight lines run over this edge. */
static gboolean find_bridge(const TapulLineGraph *graph, int i, Bridge *bridge) {
    const TapulLineEdge *edge = tapul_line_edge(graph, i);
    Leaving leaves[2][2];
    for (int side = 0; side < 2; side++) {
        int found[2];
        const TapulLineNode *node = tapul_line_node(graph, edge->node[side]);
        if (living_halves(graph, node, i, found, 2) != 2)
            return FALSE;
        leaves[side][0] = leaving(graph, found[0]);
        leaves[side][1] = leaving(graph, found[1]);
    }
    double worst[2];
    for (int swap = 0; swap < 2; swap++)
        worst[swap] = fmin(pair_quality(graph, &leaves[0][0], &leaves[1][swap]),
                           pair_quality(graph, &leaves[0][1], &leaves[1][1 - swap]));
    int swap = worst[1] > worst[0];
    *bridge = (Bridge){i,
                       {{leaves[0][0].half, leaves[0][1].half},
                        {leaves[1][swap].half, leaves[1][1 - swap].half}},
                       worst[swap]};
    return worst[swap] >= LEAST_TURN_COSINE;
}

static gboolean may_be_bridge(const TapulLineGraph *graph, const TapulLineEdge *edge) {
    if (edge->gone || edge->node[0] < 0 || edge->node[0] == edge->node[1])
        return FALSE;
    const TapulLineNode *a = tapul_line_node(graph, edge->node[0]),
                        *b = tapul_line_node(graph, edge->node[1]);
    return a->n_edges == 3 && b->n_edges == 3 &&
           edge->length_px <= BRIDGE_MOST_RADII * fmax(a->radius_px, b->radius_px);
}

static int compare_bridges(const void *a, const void *b) {
    const Bridge *x = a, *y = b;
    if (x->straightness != y->straightness)
        return x->straightness > y->straightness ? -1 : 1;
    return (x->edge > y->edge) - (x->edge < y->edge);
}

static void cross_bridge(TapulLineGraph *graph, const Bridge *bridge, int *partner) {
    for (int i = 0; i < 2; i++)
        if (partner[bridge->half[0][i]] >= 0 || partner[bridge->half[1][i]] >= 0 ||
            tapul_line_edge(graph, bridge->half[0][i] / 2)->gone ||
            tapul_line_edge(graph, bridge->half[1][i] / 2)->gone)
            return;
    for (int i = 0; i < 2; i++) {
        int a = bridge->half[0][i], b = bridge->half[1][i];
        partner[a] = b;
        partner[b] = a;
        tapul_line_edge(graph, a / 2)->bridged[a % 2] = TRUE;
        tapul_line_edge(graph, b / 2)->bridged[b % 2] = TRUE;
    }
    tapul_line_edge(graph, bridge->edge)->gone = TRUE;
}

/* The straightest first: in close hatching the piece of line between two crossings may be as
 * short as a bridge, but lines over it would have a kink. */
static void cross_bridges(TapulLineGraph *graph, int *partner) {
    g_autoptr(GArray) bridges = g_array_new(FALSE, FALSE, sizeof(Bridge));
    for (int i = 0; i < (int)graph->edges->len; i++) {
        Bridge bridge;
        if (may_be_bridge(graph, tapul_line_edge(graph, i)) && find_bridge(graph, i, &bridge))
            g_array_append_val(bridges, bridge);
    }
    g_array_sort(bridges, compare_bridges);
    for (guint i = 0; i < bridges->len; i++)
        cross_bridge(graph, &g_array_index(bridges, Bridge, i), partner);
}

/* Joins the straightest two of the edges at a node that have no partner yet; FALSE: none are
 * straight enough. */
static gboolean join_straightest(const Leaving *leaves, int n, int *partner) {
    int best_a = -1, best_b = -1;
    double best = LEAST_TURN_COSINE;
    for (int a = 0; a < n; a++)
        for (int b = a + 1; b < n; b++)
            if (partner[leaves[a].half] < 0 && partner[leaves[b].half] < 0 &&
                (n == 2 || straightness(&leaves[a], &leaves[b]) > best)) {
                best = straightness(&leaves[a], &leaves[b]);
                best_a = leaves[a].half;
                best_b = leaves[b].half;
            }
    if (best_a < 0)
        return FALSE;
    partner[best_a] = best_b;
    partner[best_b] = best_a;
    return TRUE;
}

/* No joint has more edges than its pixels have room for; so many never meet in a drawing. */
#define MOST_EDGES 64

static void join_node(const TapulLineGraph *graph, const TapulLineNode *node, int *partner) {
    int found[MOST_EDGES];
    Leaving leaves[MOST_EDGES];
    int n = living_halves(graph, node, -1, found, MOST_EDGES);
    for (int i = 0; i < n; i++)
        leaves[i] = leaving(graph, found[i]);
    while (join_straightest(leaves, n, partner))
        ;
}

static void walk_chain(const TapulLineGraph *graph, TapulLineChains *chains, int half,
                       const int *partner, gboolean *used) {
    gboolean closed = FALSE;
    int first = half;
    g_array_append_val(chains->start, chains->half->len);
    while (half >= 0 && !closed) {
        used[half / 2] = TRUE;
        g_array_append_val(chains->half, half);
        half = tapul_line_edge(graph, half / 2)->node[0] < 0 ? first : partner[half ^ 1];
        closed = half == first;
    }
    g_array_append_val(chains->closed, closed);
}

TapulLineChains tapul_line_chains(TapulLineGraph *graph) {
    int n_halves = 2 * (int)graph->edges->len;
    int *partner = g_new(int, n_halves + 1);
    for (int i = 0; i < n_halves; i++)
        partner[i] = -1;
    cross_bridges(graph, partner);
    for (int i = 0; i < (int)graph->nodes->len; i++)
        join_node(graph, tapul_line_node(graph, i), partner);
    TapulLineChains chains = {g_array_new(FALSE, FALSE, sizeof(int)),
                              g_array_new(FALSE, FALSE, sizeof(int)),
                              g_array_new(FALSE, FALSE, sizeof(gboolean))};
    gboolean *used = g_new0(gboolean, graph->edges->len + 1);
    /* Open chains from their ends first; what is left then is rings. */
    for (int rings = 0; rings < 2; rings++)
        for (int i = 0; i < n_halves; i++)
            if (!used[i / 2] && !tapul_line_edge(graph, i / 2)->gone &&
                (rings || (partner[i] < 0 && tapul_line_edge(graph, i / 2)->node[0] >= 0)))
                walk_chain(graph, &chains, i, partner, used);
    g_array_append_val(chains.start, chains.half->len);
    g_free(partner);
    g_free(used);
    return chains;
}

void tapul_line_chains_clear(TapulLineChains *chains) {
    g_array_unref(chains->start);
    g_array_unref(chains->half);
    g_array_unref(chains->closed);
}
