/* Spurs are pruned from the skeleton's graph, and edges that a spur parted become one again: a
 * bridge of a crossing in two pieces would not be known for one. Stands behind step 5 from grey
 * to lines. */
#include "ink/lines_graph.h"

/* By how much more than the ink's half width a side branch must stand out of it to be ink of
 * its own: scanned edges are uneven by a pixel, and thinning adds half a one. */
#define SPUR_SLACK_PX 1.5

/* The side of an edge that is free while its other end is at a joint of three or more; -1: it
 * is no spur. */
static int spur_side(const TapulLineGraph *graph, const TapulLineEdge *edge) {
    if (edge->gone || edge->node[0] < 0)
        return -1;
    for (int side = 0; side < 2; side++) {
        const TapulLineNode *free_end = tapul_line_node(graph, edge->node[side]);
        const TapulLineNode *joint = tapul_line_node(graph, edge->node[1 - side]);
        if (free_end->n_edges == 1 && joint->n_edges >= 3 &&
            edge->length_px <= joint->radius_px + SPUR_SLACK_PX)
            return side;
    }
    return -1;
}

static void peel_spur(TapulLineGraph *graph, int half, TapulPeeled *peeled) {
    int n = tapul_line_edge(graph, half / 2)->n_places;
    for (int i = 0; i < n; i++) {
        int place = tapul_line_place(graph, half, i);
        graph->map->at[place] &= (guint8)~TAPUL_MAP_SKELETON;
        peeled->place[peeled->n++] = place;
    }
}

static void prune_spurs(TapulLineGraph *graph, TapulPeeled *peeled) {
    g_autoptr(GArray) spurs = g_array_new(FALSE, FALSE, sizeof(int));
    do {
        /* All of a round are found before any goes: of a square end's two corners both are
         * spurs. */
        g_array_set_size(spurs, 0);
        for (int i = 0; i < (int)graph->edges->len; i++) {
            int side = spur_side(graph, tapul_line_edge(graph, i));
            int half = 2 * i + side;
            if (side >= 0)
                g_array_append_val(spurs, half);
        }
        for (guint i = 0; i < spurs->len; i++) {
            int half = g_array_index(spurs, int, i);
            TapulLineEdge *edge = tapul_line_edge(graph, half / 2);
            edge->gone = TRUE;
            tapul_line_node(graph, edge->node[half % 2])->gone = TRUE;
            tapul_line_node(graph, edge->node[0])->n_edges--;
            tapul_line_node(graph, edge->node[1])->n_edges--;
            peel_spur(graph, half, peeled);
        }
    } while (spurs->len > 0);
}

static void append_places(TapulLineGraph *graph, int half) {
    int n = tapul_line_edge(graph, half / 2)->n_places;
    for (int i = 0; i < n; i++) {
        int place = tapul_line_place(graph, half, i);
        g_array_append_val(graph->places, place);
    }
}

/* Makes the two edges left at a node one, which takes their places at their far nodes. */
static void merge_at(TapulLineGraph *graph, TapulLineNode *node, GArray *radii) {
    int half[2], n = 0;
    for (int i = 0; i < node->n_halves; i++)
        if (!tapul_line_edge(graph, graph->half[node->first_half + i] / 2)->gone)
            half[n++] = graph->half[node->first_half + i];
    g_assert(n == 2);
    /* A ring on its own node stays as it is. */
    if (half[0] / 2 == half[1] / 2)
        return;
    int number = (int)graph->edges->len;
    TapulLineEdge edge = {.first_place = (int)graph->places->len};
    append_places(graph, half[0] ^ 1);
    g_array_append_vals(graph->places,
                        &g_array_index(graph->node_pixels, int, node->first_pixel),
                        (guint)node->n_pixels);
    append_places(graph, half[1]);
    for (int side = 0; side < 2; side++) {
        int far = half[side] ^ 1;
        TapulLineEdge *old = tapul_line_edge(graph, half[side] / 2);
        edge.node[side] = old->node[far % 2];
        TapulLineNode *far_node = tapul_line_node(graph, edge.node[side]);
        for (int i = 0; i < far_node->n_halves; i++)
            if (graph->half[far_node->first_half + i] == far)
                graph->half[far_node->first_half + i] = 2 * number + side;
        old->gone = TRUE;
    }
    node->gone = TRUE;
    node->n_edges = 0;
    tapul_line_graph_add_edge(graph, &edge, radii);
}

void tapul_line_graph_prune(TapulLineGraph *graph, TapulPeeled *peeled) {
    prune_spurs(graph, peeled);
    g_autoptr(GArray) radii = g_array_new(FALSE, FALSE, sizeof(double));
    for (int i = 0; i < (int)graph->nodes->len; i++)
        if (tapul_line_node(graph, i)->n_edges == 2)
            merge_at(graph, tapul_line_node(graph, i), radii);
}
