/* Step 5 from grey to lines: follows the skeleton from node to node. A skeleton thinned as far
 * as it goes has two neighbours at each pixel of a line, one at its end, three or more where
 * lines join. */
#include "ink/lines_graph.h"

#include "ink/lines_distance.h"

#include <gsl/gsl_sort.h>
#include <stdlib.h>

/* Rows that one thread searches at a time. */
#define STRIP_ROWS 128

static int skeleton_around(const TapulLineGraph *graph, int place, int found[8]) {
    int around[8], n = 0;
    tapul_map_neighbours(graph->map, around);
    for (int i = 0; i < 8; i++)
        if (graph->map->at[place + around[i]] & TAPUL_MAP_SKELETON)
            found[n++] = place + around[i];
    return n;
}

static void find_row_nodes(const TapulLineGraph *graph, int y, GArray *found_places) {
    const TapulMap *map = graph->map;
    for (int x = 0; x < map->width_px; x++) {
        int place = tapul_map_place(map, x, y), found[8];
        if (map->at[place] & TAPUL_MAP_SKELETON && skeleton_around(graph, place, found) != 2)
            g_array_append_val(found_places, place);
    }
}

/* Lists the pixels of ends and joints in their order, strips of rows at a time. */
static void find_node_places(TapulLineGraph *graph) {
    int n_strips = (graph->map->height_px + STRIP_ROWS - 1) / STRIP_ROWS;
    GArray **strip = g_new(GArray *, n_strips);
#pragma omp parallel for schedule(dynamic)
    for (int i = 0; i < n_strips; i++) {
        strip[i] = g_array_new(FALSE, FALSE, sizeof(int));
        for (int y = i * STRIP_ROWS; y < MIN((i + 1) * STRIP_ROWS, graph->map->height_px); y++)
            find_row_nodes(graph, y, strip[i]);
    }
    for (int i = 0; i < n_strips; i++) {
        g_array_append_vals(graph->node_places, strip[i]->data, strip[i]->len);
        g_array_unref(strip[i]);
    }
    g_free(strip);
    graph->node_of = g_new(int, graph->node_places->len + 1);
    for (guint i = 0; i < graph->node_places->len; i++) {
        graph->map->at[g_array_index(graph->node_places, int, i)] |= TAPUL_MAP_NODE;
        graph->node_of[i] = -1;
    }
}

static int compare_places(const void *a, const void *b) {
    int x = *(const int *)a, y = *(const int *)b;
    return (x > y) - (x < y);
}

static guint node_index(const TapulLineGraph *graph, int place) {
    const int *places = (const int *)(void *)graph->node_places->data;
    const int *at =
        bsearch(&place, places, graph->node_places->len, sizeof place, compare_places);
    g_assert(at);
    return (guint)(at - places);
}

static gboolean is_end(const TapulLineGraph *graph, int place) {
    int found[8];
    return skeleton_around(graph, place, found) < 2;
}

/* Gathers the joint that a pixel belongs to: all node pixels that touch; an end is a node
 * alone. */
static void flood_node(TapulLineGraph *graph, guint first, GArray *stack) {
    TapulLineNode node = {.first_pixel = (int)graph->node_pixels->len};
    int number = (int)graph->nodes->len;
    gboolean end = is_end(graph, g_array_index(graph->node_places, int, first));
    graph->node_of[first] = number;
    g_array_append_val(stack, first);
    while (stack->len > 0) {
        guint at = g_array_index(stack, guint, stack->len - 1);
        g_array_set_size(stack, stack->len - 1);
        int place = g_array_index(graph->node_places, int, at), found[8];
        node.at_px = tapul_vec2_add(node.at_px, tapul_map_centre_px(graph->map, place));
        node.radius_px =
            fmax(node.radius_px, tapul_distance_radius_px(graph->distance_px2[place]));
        g_array_append_val(graph->node_pixels, place);
        node.n_pixels++;
        int n_found = end ? 0 : skeleton_around(graph, place, found);
        for (int i = 0; i < n_found; i++) {
            if (!(graph->map->at[found[i]] & TAPUL_MAP_NODE) || is_end(graph, found[i]))
                continue;
            guint next = node_index(graph, found[i]);
            if (graph->node_of[next] < 0) {
                graph->node_of[next] = number;
                g_array_append_val(stack, next);
            }
        }
    }
    node.at_px = tapul_vec2_scale(node.at_px, 1.0 / node.n_pixels);
    g_array_append_val(graph->nodes, node);
}

void tapul_line_graph_add_edge(TapulLineGraph *graph, TapulLineEdge *edge, GArray *radii) {
    edge->n_places = (int)graph->places->len - edge->first_place;
    g_array_set_size(radii, 0);
    TapulVec2 before = {0, 0};
    for (int i = 0; i < edge->n_places; i++) {
        int place = g_array_index(graph->places, int, edge->first_place + i);
        double radius_px = tapul_distance_radius_px(graph->distance_px2[place]);
        TapulVec2 at = tapul_map_centre_px(graph->map, place);
        g_array_append_val(radii, radius_px);
        edge->length_px += i > 0 ? tapul_vec2_distance(before, at) : 0;
        before = at;
    }
    gsl_sort((double *)(void *)radii->data, 1, radii->len);
    edge->radius_px = radii->len > 0 ? g_array_index(radii, double, radii->len / 4) : 0;
    g_array_append_vals(graph->edges, edge, 1);
}

/* Follows pixels of two neighbours from place on, coming from before, until a node's pixel,
 * which is returned, or a pixel that was followed already. */
static int follow(TapulLineGraph *graph, int before, int place) {
    guint8 *at = graph->map->at;
    while (!(at[place] & (TAPUL_MAP_NODE | TAPUL_MAP_MARKED))) {
        at[place] |= TAPUL_MAP_MARKED;
        g_array_append_val(graph->places, place);
        int found[8];
        skeleton_around(graph, place, found);
        int next = found[0] == before ? found[1] : found[0];
        before = place;
        place = next;
    }
    return place;
}

static void trace_edge(TapulLineGraph *graph, int from, int next, GArray *radii) {
    guint8 *at = graph->map->at;
    gboolean from_end = is_end(graph, from);
    /* Joint to joint touches are inside one node; two ends that touch are met from the earlier
     * one. */
    if (at[next] & TAPUL_MAP_MARKED ||
        (at[next] & TAPUL_MAP_NODE && (!from_end || (is_end(graph, next) && next < from))))
        return;
    TapulLineEdge edge = {.first_place = (int)graph->places->len};
    if (from_end)
        g_array_append_val(graph->places, from);
    int last = follow(graph, from, next);
    if (is_end(graph, last))
        g_array_append_val(graph->places, last);
    edge.node[0] = graph->node_of[node_index(graph, from)];
    edge.node[1] = graph->node_of[node_index(graph, last)];
    tapul_line_graph_add_edge(graph, &edge, radii);
}

static void trace_edges(TapulLineGraph *graph) {
    g_autoptr(GArray) radii = g_array_new(FALSE, FALSE, sizeof(double));
    for (guint i = 0; i < graph->node_places->len; i++) {
        int place = g_array_index(graph->node_places, int, i), found[8];
        int n = skeleton_around(graph, place, found);
        for (int k = 0; k < n; k++)
            trace_edge(graph, place, found[k], radii);
    }
    const TapulMap *map = graph->map;
    for (int y = 0; y < map->height_px; y++)
        for (int x = 0; x < map->width_px; x++) {
            int place = tapul_map_place(map, x, y), found[8];
            guint8 bits =
                map->at[place] & (TAPUL_MAP_SKELETON | TAPUL_MAP_NODE | TAPUL_MAP_MARKED);
            if (bits != TAPUL_MAP_SKELETON)
                continue;
            TapulLineEdge ring = {.node = {-1, -1}, .first_place = (int)graph->places->len};
            skeleton_around(graph, place, found);
            follow(graph, found[1], place);
            tapul_line_graph_add_edge(graph, &ring, radii);
        }
    for (guint i = 0; i < graph->places->len; i++)
        map->at[g_array_index(graph->places, int, i)] &=
            (guint8) ~(TAPUL_MAP_MARKED | TAPUL_MAP_NODE);
    for (guint i = 0; i < graph->node_places->len; i++)
        map->at[g_array_index(graph->node_places, int, i)] &= (guint8)~TAPUL_MAP_NODE;
}

static void list_halves(TapulLineGraph *graph) {
    for (guint i = 0; i < 2 * graph->edges->len; i++) {
        int node = tapul_line_edge(graph, (int)i / 2)->node[i % 2];
        if (node >= 0)
            tapul_line_node(graph, node)->n_edges++;
    }
    int n = 0;
    for (guint i = 0; i < graph->nodes->len; i++) {
        TapulLineNode *node = tapul_line_node(graph, (int)i);
        node->first_half = n;
        n += node->n_edges;
    }
    graph->half = g_new(int, n + 1);
    for (int i = 0; i < 2 * (int)graph->edges->len; i++) {
        int at = tapul_line_edge(graph, i / 2)->node[i % 2];
        if (at >= 0) {
            TapulLineNode *node = tapul_line_node(graph, at);
            graph->half[node->first_half + node->n_halves++] = i;
        }
    }
}

TapulLineGraph *tapul_line_graph_new(TapulMap *map, const guint16 *distance_px2) {
    TapulLineGraph *graph = g_new0(TapulLineGraph, 1);
    graph->map = map;
    graph->distance_px2 = distance_px2;
    graph->nodes = g_array_new(FALSE, FALSE, sizeof(TapulLineNode));
    graph->edges = g_array_new(FALSE, FALSE, sizeof(TapulLineEdge));
    graph->places = g_array_new(FALSE, FALSE, sizeof(int));
    graph->node_places = g_array_new(FALSE, FALSE, sizeof(int));
    graph->node_pixels = g_array_new(FALSE, FALSE, sizeof(int));
    find_node_places(graph);
    g_autoptr(GArray) stack = g_array_new(FALSE, FALSE, sizeof(guint));
    for (guint i = 0; i < graph->node_places->len; i++)
        if (graph->node_of[i] < 0)
            flood_node(graph, i, stack);
    trace_edges(graph);
    list_halves(graph);
    return graph;
}

void tapul_line_graph_free(TapulLineGraph *graph) {
    if (!graph)
        return;
    g_array_unref(graph->nodes);
    g_array_unref(graph->edges);
    g_array_unref(graph->places);
    g_array_unref(graph->node_places);
    g_array_unref(graph->node_pixels);
    g_free(graph->node_of);
    g_free(graph->half);
    g_free(graph);
}

/* How many more edges at a node are areas there than are lines. */
static int area_majority(const TapulLineGraph *graph, const TapulLineNode *node) {
    int more = 0;
    for (int i = 0; i < node->n_halves; i++) {
        int half = graph->half[node->first_half + i];
        const TapulLineEdge *edge = tapul_line_edge(graph, half / 2);
        if (edge->gone || edge->n_places == 0)
            continue;
        more += graph->map->at[tapul_line_place(graph, half, 0)] & TAPUL_MAP_AREA ? 1 : -1;
    }
    return more;
}

void tapul_line_graph_mark_joints(TapulLineGraph *graph) {
    gboolean *area = g_new0(gboolean, graph->nodes->len + 1);
    for (int i = 0; i < (int)graph->nodes->len; i++) {
        const TapulLineNode *node = tapul_line_node(graph, i);
        /* A dot has no edges at all. */
        area[i] = !node->gone && (area_majority(graph, node) > 0 || node->n_edges == 0);
    }
    for (guint i = 0; i < graph->node_places->len; i++) {
        guint8 *at = &graph->map->at[g_array_index(graph->node_places, int, i)];
        if (area[graph->node_of[i]] && *at & TAPUL_MAP_SKELETON)
            *at |= TAPUL_MAP_AREA;
    }
    for (int i = 0; i < (int)graph->edges->len; i++) {
        const TapulLineEdge *edge = tapul_line_edge(graph, i);
        if (!edge->gone || !area[edge->node[0]] || !area[edge->node[1]])
            continue;
        for (int k = 0; k < edge->n_places; k++)
            graph->map->at[tapul_line_place(graph, 2 * i, k)] |= TAPUL_MAP_AREA;
    }
    g_free(area);
}
