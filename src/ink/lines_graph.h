/* Step 5 from grey to lines: the skeleton as nodes (ends and joints) and the edges between
 * them. Its px are pixels of the map. */
#ifndef TAPUL_INK_LINES_GRAPH_H
#define TAPUL_INK_LINES_GRAPH_H

#include "ink/skeleton.h"

G_BEGIN_DECLS

/* An end, or skeleton pixels with three or more neighbours that touch each other. */
typedef struct {
    TapulVec2 at_px;  /* the mean of its pixels' centres */
    double radius_px; /* the ink's half width there */
    int n_edges;      /* how many edges still end here; a loop counts twice */
    int first_half;   /* into half: as many as ended here before pruning */
    int n_halves;
    int first_pixel, n_pixels; /* into node_pixels */
    gboolean gone; /* a joint no more: pruned, or between two edges that became one */
} TapulLineNode;

typedef struct {
    int node[2]; /* -1 both: a ring without a node */
    int first_place,
        n_places; /* into place: the skeleton's pixels from node 0 to node 1, ends' own in it */
    double length_px; /* along the pixels, nodes' pixels not in it */
    double radius_px; /* lower quartile of the ink's half width: crossings swell it */
    gboolean
        bridged[2]; /* a line goes on from this end over the bridge of a slanting crossing */
    gboolean gone;  /* pruned, or the short bridge of a crossing */
} TapulLineEdge;

/* Half edge h leaves node[h % 2] of edge h / 2. */
typedef struct {
    TapulMap *map;
    const guint16 *distance_px2;
    GArray *nodes;       /* of TapulLineNode */
    GArray *edges;       /* of TapulLineEdge */
    GArray *places;      /* of int, of all edges */
    GArray *node_places; /* of int: the pixels of all nodes, rising */
    int *node_of;        /* [node_places->len] */
    GArray *node_pixels; /* of int: the same, node by node */
    int *half;           /* [2 edges]: half edges by node */
} TapulLineGraph;

/* The map and distances are borrowed. */
TapulLineGraph *tapul_line_graph_new(TapulMap *map, const guint16 *distance_px2);
void tapul_line_graph_free(TapulLineGraph *graph);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulLineGraph, tapul_line_graph_free)

/* Takes away spurs: edges with a free end that reach no further out of the ink around their
 * joint than its edge's unevenness. Their pixels leave the skeleton and join what was peeled.
 * Where two edges are left of a joint they become one. (lines_prune.c) */
void tapul_line_graph_prune(TapulLineGraph *graph, TapulPeeled *peeled);

/* Marks joints and bridges TAPUL_MAP_AREA where the edges that meet there are areas rather than
 * lines. */
void tapul_line_graph_mark_joints(TapulLineGraph *graph);

/* Appends an edge whose pixels are those from first_place to the end of places: its length and
 * half width. radii is an array of double to work in. */
void tapul_line_graph_add_edge(TapulLineGraph *graph, TapulLineEdge *edge, GArray *radii);

static inline TapulLineNode *tapul_line_node(const TapulLineGraph *graph, int i) {
    return &g_array_index(graph->nodes, TapulLineNode, i);
}
static inline TapulLineEdge *tapul_line_edge(const TapulLineGraph *graph, int i) {
    return &g_array_index(graph->edges, TapulLineEdge, i);
}
/* The i-th pixel of a half edge, counted from its node. */
static inline int tapul_line_place(const TapulLineGraph *graph, int half, int i) {
    const TapulLineEdge *edge = tapul_line_edge(graph, half / 2);
    return g_array_index(graph->places, int,
                         edge->first_place + (half % 2 ? edge->n_places - 1 - i : i));
}

G_END_DECLS

#endif
