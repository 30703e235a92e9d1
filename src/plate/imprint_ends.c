/* The points of a line that is drawn into a mesh, as vertices. Ends near the mesh's edge or an
 * earlier line are carried on to it. */
#include "plate/imprint_ends.h"

#include "plate/mesh_internal.h"

#include <math.h>
#include <string.h>

/* An end this near to where it is carried on to needs no vertex of its own. */
#define LEAST_STEP_MM 1.0

/* --- Points --- */

/* Weights in a cell of a point given by weights in its parent; their sum is 1. */
static gboolean weights_in_cell(const TapulCell *cell, const double in_parent[3],
                                double weight[3]) {
    const double(*w)[3] = cell->weight;
    /* Two of the three parent weights tell a point of the plane. */
    double a = w[1][0] - w[0][0], b = w[2][0] - w[0][0], e = in_parent[0] - w[0][0];
    double c = w[1][1] - w[0][1], d = w[2][1] - w[0][1], f = in_parent[1] - w[0][1];
    double determinant = a * d - b * c;
    if (determinant == 0)
        return FALSE;
    weight[1] = (e * d - b * f) / determinant;
    weight[2] = (a * f - e * c) / determinant;
    weight[0] = 1 - weight[1] - weight[2];
    return TRUE;
}

static double least_of(const double weight[3]) {
    return fmin(weight[0], fmin(weight[1], weight[2]));
}

static int cell_of(const TapulDraft *draft, TapulSpot spot, double weight[3]) {
    int found = -1;
    double best = -INFINITY, tried[3];
    for (int t = g_array_index(draft->first, int, spot.triangle); t >= 0;
         t = g_array_index(draft->next, int, t)) {
        if (!weights_in_cell(tapul_draft_cell(draft, t), spot.weight, tried) ||
            least_of(tried) <= best)
            continue;
        best = least_of(tried);
        found = t;
        memcpy(weight, tried, sizeof tried);
    }
    g_assert(found >= 0);
    return found;
}

/* The vertex at a spot of the mesh that was drawn into, made where there is none. */
static int vertex_at(TapulDraft *draft, TapulSpot spot) {
    double weight[3];
    int t = cell_of(draft, spot, weight);
    for (int k = 0; k < 3; k++)
        if (weight[k] > 1 - TAPUL_SNAP_SHARE)
            return tapul_draft_cell(draft, t)->corner[k];
    for (int k = 0; k < 3; k++)
        if (weight[k] < TAPUL_SNAP_SHARE) {
            double from = weight[tapul_mesh_next_corner(k)];
            double to = weight[tapul_mesh_previous_corner(k)];
            return tapul_draft_split_edge(draft, t, k, to / (from + to));
        }
    return tapul_draft_split_cell(draft, t, weight);
}

/* --- Ends --- */

static TapulVec3 corner_position(const TapulDraft *draft, const TapulCell *cell, int k) {
    return tapul_draft_position(draft, cell->corner[k]);
}

/* Cells that hang together with a cell and have a corner within reach_mm of a point of it: the
 * other side of a seam is none of them, however near. */
static GArray *cells_about(const TapulDraft *draft, int first, TapulVec3 point,
                           double reach_mm) {
    GArray *cells = g_array_new(FALSE, FALSE, sizeof(int));
    g_autoptr(GHashTable) seen = g_hash_table_new(NULL, NULL);
    g_array_append_val(cells, first);
    g_hash_table_add(seen, GINT_TO_POINTER(first));
    for (guint i = 0; i < cells->len; i++) {
        int t = g_array_index(cells, int, i);
        const TapulCell *cell = tapul_draft_cell(draft, t);
        double nearest_mm = t == first ? 0 : INFINITY;
        for (int k = 0; k < 3; k++)
            nearest_mm =
                fmin(nearest_mm, tapul_vec3_distance(corner_position(draft, cell, k), point));
        for (int k = 0; nearest_mm <= reach_mm && k < 3; k++)
            if (cell->across[k] >= 0 &&
                g_hash_table_add(seen, GINT_TO_POINTER(cell->across[k])))
                g_array_append_val(cells, cell->across[k]);
    }
    return cells;
}

/* A place that a line's end may be carried on to: a point of the mesh's edge or of an earlier
 * line, at share of the way from corner k + 1 to k + 2 of a cell; cell -1: none. */
typedef struct {
    double distance_mm;
    int cell, k;
    double share;
} Harbour;

static void look_at_edge(const TapulDraft *draft, int t, int k, TapulVec3 point,
                         Harbour *best) {
    const TapulCell *cell = tapul_draft_cell(draft, t);
    TapulVec3 a = corner_position(draft, cell, tapul_mesh_next_corner(k));
    TapulVec3 edge =
        tapul_vec3_sub(corner_position(draft, cell, tapul_mesh_previous_corner(k)), a);
    double share = CLAMP(
        tapul_vec3_dot(tapul_vec3_sub(point, a), edge) / tapul_vec3_dot(edge, edge), 0.0, 1.0);
    double distance_mm =
        tapul_vec3_distance(point, tapul_vec3_add(a, tapul_vec3_scale(edge, share)));
    if (distance_mm < best->distance_mm)
        *best = (Harbour){distance_mm, t, k, share};
}

/* Where an end at a spot is carried on to: the mesh's edge or an earlier line, whichever is
 * nearer. */
static Harbour find_harbour(const TapulDraft *draft, TapulSpot spot, double reach_mm) {
    double weight[3];
    int first = cell_of(draft, spot, weight);
    TapulVec3 point = {0, 0, 0};
    for (int k = 0; k < 3; k++)
        point = tapul_vec3_add(
            point, tapul_vec3_scale(corner_position(draft, tapul_draft_cell(draft, first), k),
                                    weight[k]));
    Harbour best = {.distance_mm = reach_mm, .cell = -1};
    g_autoptr(GArray) cells = cells_about(draft, first, point, reach_mm);
    for (guint i = 0; i < cells->len; i++) {
        int t = g_array_index(cells, int, i);
        const TapulCell *cell = tapul_draft_cell(draft, t);
        for (int k = 0; k < 3; k++)
            if (cell->across[k] < 0 ||
                tapul_draft_is_drawn(draft, cell->corner[tapul_mesh_next_corner(k)],
                                     cell->corner[tapul_mesh_previous_corner(k)]))
                look_at_edge(draft, t, k, point, &best);
    }
    return best;
}

static int vertex_of_harbour(TapulDraft *draft, Harbour harbour) {
    const int *corner = tapul_draft_cell(draft, harbour.cell)->corner;
    if (harbour.share < TAPUL_SNAP_SHARE)
        return corner[tapul_mesh_next_corner(harbour.k)];
    if (harbour.share > 1 - TAPUL_SNAP_SHARE)
        return corner[tapul_mesh_previous_corner(harbour.k)];
    return tapul_draft_split_edge(draft, harbour.cell, harbour.k, harbour.share);
}

static void add_station(GArray *stations, int v) {
    if (stations->len == 0 || g_array_index(stations, int, stations->len - 1) != v)
        g_array_append_val(stations, v);
}

/* The end's own point, if it is far enough from its harbour to be worth a vertex, and the
 * harbour; in the order in which the line runs. */
static void add_end(TapulDraft *draft, TapulSpot spot, gboolean first, double reach_mm,
                    GArray *stations) {
    Harbour harbour = find_harbour(draft, spot, reach_mm);
    gboolean found = harbour.cell >= 0;
    int outer = found ? vertex_of_harbour(draft, harbour) : -1;
    if (found && first)
        add_station(stations, outer);
    if (!found || harbour.distance_mm > LEAST_STEP_MM)
        add_station(stations, vertex_at(draft, spot));
    if (found && !first)
        add_station(stations, outer);
}

int tapul_imprint_held_ends(const TapulDraft *draft, const TapulCutLine *line,
                            double reach_mm) {
    return (find_harbour(draft, line->spot[0], reach_mm).cell >= 0) +
           (find_harbour(draft, line->spot[line->n - 1], reach_mm).cell >= 0);
}

GArray *tapul_imprint_stations(TapulDraft *draft, const TapulCutLine *line, double reach_mm) {
    GArray *stations = g_array_new(FALSE, FALSE, sizeof(int));
    add_end(draft, line->spot[0], TRUE, reach_mm, stations);
    for (int i = 1; i < line->n - 1; i++)
        add_station(stations, vertex_at(draft, line->spot[i]));
    add_end(draft, line->spot[line->n - 1], FALSE, reach_mm, stations);
    return stations;
}
