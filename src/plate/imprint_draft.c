/* Dividing the triangles of a mesh while lines are drawn into it. Neighbours and homes are kept
 * right at every step, so that a line can be walked on from any vertex. */
#include "plate/imprint_draft.h"

#include "plate/mesh_internal.h"

#include <string.h>

TapulDraft *tapul_draft_new(const TapulMesh *mesh) {
    TapulDraft *draft = g_new0(TapulDraft, 1);
    draft->position_mm = g_array_new(FALSE, FALSE, sizeof(TapulVec3));
    draft->cells = g_array_sized_new(FALSE, FALSE, sizeof(TapulCell), (guint)mesh->n_triangles);
    draft->home = g_array_new(FALSE, FALSE, sizeof(int));
    draft->first = g_array_new(FALSE, FALSE, sizeof(int));
    draft->next = g_array_new(FALSE, FALSE, sizeof(int));
    draft->drawn = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    draft->middle = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    g_array_append_vals(draft->position_mm, mesh->position_mm, (guint)mesh->n_vertices);
    g_array_set_size(draft->home, (guint)mesh->n_vertices);
    for (int t = 0; t < mesh->n_triangles; t++) {
        TapulCell cell = {.parent = t};
        for (int k = 0; k < 3; k++) {
            cell.corner[k] = mesh->corner[t][k];
            cell.across[k] = mesh->across[t][k];
            cell.normal[k] = mesh->normal[t][k];
            cell.weight[k][k] = 1;
            g_array_index(draft->home, int, cell.corner[k]) = t;
        }
        g_array_append_val(draft->cells, cell);
        int none = -1;
        g_array_append_val(draft->first, t);
        g_array_append_val(draft->next, none);
    }
    return draft;
}

void tapul_draft_free(TapulDraft *draft) {
    if (!draft)
        return;
    g_array_unref(draft->position_mm);
    g_array_unref(draft->cells);
    g_array_unref(draft->home);
    g_array_unref(draft->first);
    g_array_unref(draft->next);
    g_hash_table_unref(draft->drawn);
    g_hash_table_unref(draft->middle);
    g_free(draft);
}

/* --- Lines --- */

void tapul_draft_draw(TapulDraft *draft, int from, int to) {
    gint64 key = tapul_edge_key(from, to);
    g_hash_table_add(draft->drawn, g_memdup2(&key, sizeof key));
}

gboolean tapul_draft_is_drawn(const TapulDraft *draft, int from, int to) {
    gint64 key = tapul_edge_key(from, to);
    return g_hash_table_contains(draft->drawn, &key);
}

static void note_middle(TapulDraft *draft, int from, int to, int v) {
    gint64 key = tapul_edge_key(from, to);
    g_hash_table_insert(draft->middle, g_memdup2(&key, sizeof key), GINT_TO_POINTER(v));
    if (!g_hash_table_remove(draft->drawn, &key))
        return;
    tapul_draft_draw(draft, from, v);
    tapul_draft_draw(draft, v, to);
}

/* Appends the vertices after `from` up to `to`. */
static void add_divided(const TapulDraft *draft, int from, int to, GArray *chain) {
    gint64 key = tapul_edge_key(from, to);
    int v = GPOINTER_TO_INT(g_hash_table_lookup(draft->middle, &key));
    /* Vertex 0 is the mesh's own, and never in the middle of an edge. */
    if (v > 0) {
        add_divided(draft, from, v, chain);
        add_divided(draft, v, to, chain);
    } else {
        g_array_append_val(chain, to);
    }
}

GArray *tapul_draft_resolve(const TapulDraft *draft, const GArray *chain) {
    GArray *resolved = g_array_new(FALSE, FALSE, sizeof(int));
    g_array_append_val(resolved, g_array_index(chain, int, 0));
    for (guint i = 1; i < chain->len; i++)
        add_divided(draft, g_array_index(chain, int, i - 1), g_array_index(chain, int, i),
                    resolved);
    return resolved;
}

int tapul_draft_corner(const TapulDraft *draft, int t, int v) {
    const int *corner = tapul_draft_cell(draft, t)->corner;
    return corner[0] == v ? 0 : corner[1] == v ? 1 : 2;
}

GArray *tapul_draft_fan(const TapulDraft *draft, int v) {
    GArray *fan = g_array_new(FALSE, FALSE, sizeof(int));
    int first = g_array_index(draft->home, int, v), t = first;
    do {
        g_array_append_val(fan, t);
        int k = tapul_draft_corner(draft, t, v);
        t = tapul_draft_cell(draft, t)->across[tapul_mesh_next_corner(k)];
    } while (t >= 0 && t != first);
    if (t == first)
        return fan;
    /* An edge was met: the rest lies the other way round. */
    for (t = first;;) {
        int k = tapul_draft_corner(draft, t, v);
        t = tapul_draft_cell(draft, t)->across[tapul_mesh_previous_corner(k)];
        if (t < 0)
            return fan;
        g_array_append_val(fan, t);
    }
}

/* --- Dividing --- */

/* What a point at weights of a cell takes over from the cell's corners. */
static void set_corner(TapulCell *to, int k, const TapulCell *from, const double weight[3]) {
    TapulVec3 normal = {0, 0, 0};
    for (int i = 0; i < 3; i++)
        to->weight[k][i] = 0;
    for (int j = 0; j < 3; j++) {
        normal = tapul_vec3_add(normal, tapul_vec3_scale(from->normal[j], weight[j]));
        for (int i = 0; i < 3; i++)
            to->weight[k][i] += weight[j] * from->weight[j][i];
    }
    to->normal[k] = tapul_vec3_unit(normal);
}

static int add_vertex(TapulDraft *draft, const TapulCell *cell, const double weight[3]) {
    TapulVec3 sum = {0, 0, 0};
    int home = -1;
    for (int k = 0; k < 3; k++)
        sum = tapul_vec3_add(
            sum, tapul_vec3_scale(tapul_draft_position(draft, cell->corner[k]), weight[k]));
    g_array_append_val(draft->position_mm, sum);
    g_array_append_val(draft->home, home);
    return (int)draft->position_mm->len - 1;
}

/* Tells the cell over an edge that its neighbour is now another. */
static void relink(TapulDraft *draft, int t, int was, int now) {
    if (t < 0)
        return;
    int *across = tapul_draft_cell(draft, t)->across;
    for (int k = 0; k < 3; k++)
        if (across[k] == was) {
            across[k] = now;
            return;
        }
}

/* Adds a cell to the list of its parent. */
static void enlist(TapulDraft *draft, int t) {
    int *first = &g_array_index(draft->first, int, tapul_draft_cell(draft, t)->parent);
    g_array_append_val(draft->next, *first);
    *first = t;
}

static void take_home(TapulDraft *draft, int t) {
    const TapulCell *cell = tapul_draft_cell(draft, t);
    for (int k = 0; k < 3; k++)
        g_array_index(draft->home, int, cell->corner[k]) = t;
}

/* Cell t with the vertex v in place of its corner k; weight[3] is v in the cell. */
static TapulCell with_corner(const TapulCell *cell, int k, int v, const double weight[3]) {
    TapulCell made = *cell;
    made.corner[k] = v;
    set_corner(&made, k, cell, weight);
    return made;
}

/* Divides cell t from its corner k to the vertex v on the opposite edge. t keeps the side of
 * corner k + 1; returns the other half, whose neighbours but that over the edge are set. */
static int halve(TapulDraft *draft, int t, int k, int v, double share) {
    TapulCell cell = *tapul_draft_cell(draft, t);
    int next = tapul_mesh_next_corner(k), previous = tapul_mesh_previous_corner(k);
    double weight[3] = {0, 0, 0};
    weight[next] = 1 - share;
    weight[previous] = share;
    TapulCell near = with_corner(&cell, previous, v, weight);
    TapulCell far = with_corner(&cell, next, v, weight);
    int other = (int)draft->cells->len;
    near.across[next] = other;
    far.across[previous] = t;
    g_array_append_val(draft->cells, far);
    *tapul_draft_cell(draft, t) = near;
    enlist(draft, other);
    relink(draft, cell.across[next], t, other);
    take_home(draft, t);
    take_home(draft, other);
    return other;
}

int tapul_draft_split_edge(TapulDraft *draft, int t, int k, double share) {
    const TapulCell *cell = tapul_draft_cell(draft, t);
    int next = tapul_mesh_next_corner(k), over = cell->across[k];
    int from = cell->corner[next];
    double weight[3] = {0, 0, 0};
    weight[next] = 1 - share;
    weight[tapul_mesh_previous_corner(k)] = share;
    int v = add_vertex(draft, cell, weight);
    note_middle(draft, from, cell->corner[tapul_mesh_previous_corner(k)], v);
    int other = halve(draft, t, k, v, share);
    if (over < 0)
        return v;
    /* Seen from over the edge its ends stand the other way round: its far half lies at `from`.
     */
    int over_k =
        3 - tapul_draft_corner(draft, over, from) -
        tapul_draft_corner(
            draft, over, tapul_draft_cell(draft, other)->corner[tapul_mesh_previous_corner(k)]);
    int over_other = halve(draft, over, over_k, v, 1 - share);
    tapul_draft_cell(draft, t)->across[k] = over_other;
    tapul_draft_cell(draft, over_other)->across[over_k] = t;
    tapul_draft_cell(draft, other)->across[k] = over;
    tapul_draft_cell(draft, over)->across[over_k] = other;
    return v;
}

int tapul_draft_split_cell(TapulDraft *draft, int t, const double weight[3]) {
    TapulCell cell = *tapul_draft_cell(draft, t);
    int v = add_vertex(draft, &cell, weight);
    int part[3] = {t, (int)draft->cells->len, (int)draft->cells->len + 1};
    g_array_set_size(draft->cells, draft->cells->len + 2);
    /* Part k keeps the edge opposite corner k. */
    for (int k = 0; k < 3; k++) {
        TapulCell made = with_corner(&cell, k, v, weight);
        made.across[tapul_mesh_next_corner(k)] = part[tapul_mesh_next_corner(k)];
        made.across[tapul_mesh_previous_corner(k)] = part[tapul_mesh_previous_corner(k)];
        *tapul_draft_cell(draft, part[k]) = made;
        if (k > 0)
            enlist(draft, part[k]);
        relink(draft, cell.across[k], t, part[k]);
        take_home(draft, part[k]);
    }
    return v;
}
