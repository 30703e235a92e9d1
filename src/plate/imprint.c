/* Draws lines into a mesh: the points of each become vertices, and between two of them the line
 * is walked from triangle to triangle, dividing the edges that it meets. Because a divided
 * triangle is joined from the new vertex to its opposite corner, which is the vertex that the
 * line comes from, the line's edges come of themselves. */
#include "plate/imprint.h"

#include "plate/imprint_ends.h"
#include "plate/mesh_internal.h"

#include <math.h>
#include <string.h>

/* --- Walking --- */

/* Where a line goes on from a vertex: over the edge opposite corner k of a cell. */
typedef struct {
    int cell, k;
    double share, cosine;
} Way;

static TapulVec3 normal_at(const TapulDraft *draft, int v) {
    int t = g_array_index(draft->home, int, v);
    return tapul_draft_cell(draft, t)->normal[tapul_draft_corner(draft, t, v)];
}

/* How far a corner lies beside the line's plane; 0 where the line passes so near to it that it
 * is to go through it: rounding then opens no gap between two cells or at an edge. */
static double height_beside(TapulVec3 across, TapulVec3 to_corner) {
    double height_mm = tapul_vec3_dot(across, to_corner);
    return fabs(height_mm) < TAPUL_SNAP_SHARE * tapul_vec3_length(to_corner) ? 0 : height_mm;
}

static Way best_way(const TapulDraft *draft, const GArray *fan, int from, int to) {
    TapulVec3 here = tapul_draft_position(draft, from);
    TapulVec3 towards = tapul_vec3_unit(tapul_vec3_sub(tapul_draft_position(draft, to), here));
    TapulVec3 mean = tapul_vec3_add(normal_at(draft, from), normal_at(draft, to));
    TapulVec3 across = tapul_vec3_unit(tapul_vec3_cross(towards, mean));
    Way best = {.cell = -1, .cosine = 0};
    for (guint i = 0; i < fan->len; i++) {
        int t = g_array_index(fan, int, i), k = tapul_draft_corner(draft, t, from);
        const TapulCell *cell = tapul_draft_cell(draft, t);
        TapulVec3 a = tapul_draft_position(draft, cell->corner[tapul_mesh_next_corner(k)]);
        TapulVec3 b = tapul_draft_position(draft, cell->corner[tapul_mesh_previous_corner(k)]);
        double height_a = height_beside(across, tapul_vec3_sub(a, here));
        double height_b = height_beside(across, tapul_vec3_sub(b, here));
        if (height_a * height_b > 0 || height_a == height_b)
            continue;
        double share = height_a / (height_a - height_b);
        TapulVec3 way = tapul_vec3_unit(tapul_vec3_sub(tapul_vec3_mix(a, b, share), here));
        double cosine = tapul_vec3_dot(way, towards);
        if (cosine > best.cosine)
            best = (Way){t, k, share, cosine};
    }
    return best;
}

static gboolean has_vertex(const TapulDraft *draft, const GArray *fan, int v) {
    for (guint i = 0; i < fan->len; i++) {
        const int *corner = tapul_draft_cell(draft, g_array_index(fan, int, i))->corner;
        if (corner[0] == v || corner[1] == v || corner[2] == v)
            return TRUE;
    }
    return FALSE;
}

static gboolean in_chain(const GArray *chain, int v) {
    for (guint i = 0; i < chain->len; i++)
        if (g_array_index(chain, int, i) == v)
            return TRUE;
    return FALSE;
}

/* The next vertex of the line, an old one where it passes near enough; -1: it leaves the metal.
 */
static int step(TapulDraft *draft, const GArray *chain, int from, int to) {
    g_autoptr(GArray) fan = tapul_draft_fan(draft, from);
    if (has_vertex(draft, fan, to))
        return to;
    Way way = best_way(draft, fan, from, to);
    if (way.cell < 0)
        return -1;
    const int *corner = tapul_draft_cell(draft, way.cell)->corner;
    int a = corner[tapul_mesh_next_corner(way.k)],
        b = corner[tapul_mesh_previous_corner(way.k)];
    if (way.share < TAPUL_SNAP_SHARE && !in_chain(chain, a))
        return a;
    if (way.share > 1 - TAPUL_SNAP_SHARE && !in_chain(chain, b))
        return b;
    return tapul_draft_split_edge(draft, way.cell, way.k, CLAMP(way.share, 0.01, 0.99));
}

/* Appends the vertices after `from` up to `to`. */
static gboolean walk(TapulDraft *draft, GArray *chain, int from, int to) {
    guint most = draft->cells->len;
    for (guint i = 0; from != to; i++) {
        int next = i < most ? step(draft, chain, from, to) : -1;
        if (next < 0)
            return FALSE;
        tapul_draft_draw(draft, from, next);
        g_array_append_val(chain, next);
        from = next;
    }
    return TRUE;
}

/* --- Drawing --- */

G_GNUC_PRINTF(2, 3)
static gboolean refuse(GError **error, const char *format, ...) {
    va_list list;
    va_start(list, format);
    g_autofree char *message = g_strdup_vprintf(format, list);
    va_end(list);
    g_set_error_literal(error, TAPUL_MESH_ERROR, TAPUL_MESH_ERROR_VALUE, message);
    return FALSE;
}

static gboolean refuse_step(const TapulDraft *draft, int number, int from, int to,
                            GError **error) {
    TapulVec3 a = tapul_draft_position(draft, from), b = tapul_draft_position(draft, to);
    return refuse(error,
                  "cut %d leaves the metal between (%.1f, %.1f, %.1f) and (%.1f, %.1f, %.1f) "
                  "mm: give points between them, or end it at the edge and begin another",
                  number, a.x, a.y, a.z, b.x, b.y, b.z);
}

/* A line may pass no vertex twice: what it goes round would be cut out. */
static gboolean check_once(const GArray *chain, int number, GError **error) {
    g_autoptr(GHashTable) seen = g_hash_table_new(NULL, NULL);
    for (guint i = 0; i < chain->len; i++)
        if (!g_hash_table_add(seen, GINT_TO_POINTER(g_array_index(chain, int, i))))
            return refuse(error, "cut %d crosses itself", number);
    return chain->len >= 2 ||
           refuse(error, "cut %d has no length: its points are one and the same", number);
}

/* Appends the vertices after `from` up to `to`. A line is walked from the older vertex,
 * whichever way it runs: the same line drawn backward comes out the same. */
static gboolean draw_step(TapulDraft *draft, GArray *chain, int from, int to) {
    if (from < to)
        return walk(draft, chain, from, to);
    g_autoptr(GArray) backward = g_array_new(FALSE, FALSE, sizeof(int));
    if (!walk(draft, backward, to, from))
        return FALSE;
    for (int i = (int)backward->len - 2; i >= 0; i--)
        g_array_append_val(chain, g_array_index(backward, int, i));
    g_array_append_val(chain, to);
    return TRUE;
}

static gboolean draw_line(TapulDraft *draft, const TapulCutLine *line, int number,
                          double reach_mm, GArray *chain, GError **error) {
    g_autoptr(GArray) stations = tapul_imprint_stations(draft, line, reach_mm);
    g_array_append_val(chain, g_array_index(stations, int, 0));
    for (guint i = 1; i < stations->len; i++) {
        int from = g_array_index(stations, int, i - 1), to = g_array_index(stations, int, i);
        if (!draw_step(draft, chain, from, to))
            return refuse_step(draft, number, from, to, error);
    }
    return TRUE;
}

/* The line to draw next: one whose ends both meet the mesh's edge or a line drawn before, else
 * one that does so at one end, else the first; so that they may be given in any order. */
static int next_line(const TapulDraft *draft, const TapulCutLine *line, int n_lines,
                     const GPtrArray *chains, double reach_mm) {
    int best = -1, most = -1;
    for (int i = 0; i < n_lines && most < 2; i++) {
        if (((const GArray *)g_ptr_array_index(chains, i))->len > 0)
            continue;
        int held = tapul_imprint_held_ends(draft, &line[i], reach_mm);
        if (held > most) {
            most = held;
            best = i;
        }
    }
    return best;
}

/* --- What hangs on the edge --- */

/* Marks the vertices of all lines that hang together with a marked one. */
static void spread(const GPtrArray *chains, gboolean *held) {
    gboolean changed = TRUE;
    while (changed) {
        changed = FALSE;
        for (guint c = 0; c < chains->len; c++) {
            const GArray *chain = g_ptr_array_index(chains, c);
            guint n_held = 0;
            for (guint i = 0; i < chain->len; i++)
                n_held += held[g_array_index(chain, int, i)] != FALSE;
            if (n_held == 0 || n_held == chain->len)
                continue;
            changed = TRUE;
            for (guint i = 0; i < chain->len; i++)
                held[g_array_index(chain, int, i)] = TRUE;
        }
    }
}

/* A line that neither reaches the edge nor hangs on one that does would be a slit: paper with a
 * hole. A closed mesh has no edge to reach. */
static gboolean check_hold(const TapulMesh *mesh, const GPtrArray *chains, int *at_fault,
                           GError **error) {
    g_autofree gboolean *held = g_new0(gboolean, mesh->n_vertices);
    gboolean closed = TRUE;
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++)
            if (mesh->across[t][k] < 0) {
                closed = FALSE;
                held[mesh->corner[t][tapul_mesh_next_corner(k)]] = TRUE;
                held[mesh->corner[t][tapul_mesh_previous_corner(k)]] = TRUE;
            }
    spread(chains, held);
    for (guint c = 0; !closed && c < chains->len; c++)
        if (!held[g_array_index((const GArray *)g_ptr_array_index(chains, c), int, 0)]) {
            *at_fault = (int)c;
            return refuse(error, "cut %u ends inside the metal at both ends", c + 1);
        }
    return TRUE;
}

/* The draft as a mesh. */
static gboolean finish(const TapulDraft *draft, TapulImprint *imprint, GError **error) {
    int n = (int)draft->cells->len;
    g_autofree int(*corner)[3] = g_malloc_n((gsize)n, sizeof *corner);
    imprint->parent = g_new(int, n);
    imprint->weight = g_malloc_n((gsize)n, sizeof *imprint->weight);
    for (int t = 0; t < n; t++) {
        const TapulCell *cell = tapul_draft_cell(draft, t);
        memcpy(corner[t], cell->corner, sizeof cell->corner);
        imprint->parent[t] = cell->parent;
        memcpy(imprint->weight[t], cell->weight, sizeof cell->weight);
    }
    imprint->mesh = tapul_mesh_new((int)draft->position_mm->len,
                                   (const TapulVec3 *)(const void *)draft->position_mm->data, n,
                                   (const int(*)[3])corner, error);
    if (!imprint->mesh)
        g_prefix_error(error, "cuts cannot be drawn in such thin triangles: ");
    for (int t = 0; imprint->mesh && t < n; t++)
        memcpy(imprint->mesh->normal[t], tapul_draft_cell(draft, t)->normal,
               sizeof imprint->mesh->normal[t]);
    return imprint->mesh != NULL;
}

/* All lines, each as it was before later ones divided it; FALSE with the line at fault. */
static gboolean draw_all(TapulDraft *draft, const TapulCutLine *line, int n_lines,
                         double reach_mm, const GPtrArray *chains, int *at_fault,
                         GError **error) {
    for (int drawn = 0; drawn < n_lines; drawn++) {
        int i = next_line(draft, line, n_lines, chains, reach_mm);
        *at_fault = i;
        if (!draw_line(draft, &line[i], i + 1, reach_mm, g_ptr_array_index(chains, i), error))
            return FALSE;
    }
    return TRUE;
}

TapulImprint *tapul_mesh_imprint(const TapulMesh *mesh, const TapulCutLine *line, int n_lines,
                                 double reach_mm, int *at_fault, GError **error) {
    g_autoptr(TapulDraft) draft = tapul_draft_new(mesh);
    g_autoptr(TapulImprint) imprint = g_new0(TapulImprint, 1);
    g_autoptr(GPtrArray) plain = g_ptr_array_new_with_free_func((GDestroyNotify)g_array_unref);
    int ignored, *which = at_fault ? at_fault : &ignored;
    imprint->chains = g_ptr_array_new_with_free_func((GDestroyNotify)g_array_unref);
    for (int i = 0; i < n_lines; i++)
        g_ptr_array_add(plain, g_array_new(FALSE, FALSE, sizeof(int)));
    if (!draw_all(draft, line, n_lines, reach_mm, plain, which, error))
        return NULL;
    for (int i = 0; i < n_lines; i++) {
        GArray *chain = tapul_draft_resolve(draft, g_ptr_array_index(plain, i));
        g_ptr_array_add(imprint->chains, chain);
        *which = i;
        if (!check_once(chain, i + 1, error))
            return NULL;
    }
    *which = -1;
    if (!finish(draft, imprint, error) ||
        !check_hold(imprint->mesh, imprint->chains, which, error))
        return NULL;
    return g_steal_pointer(&imprint);
}

void tapul_imprint_free(TapulImprint *imprint) {
    if (!imprint)
        return;
    tapul_mesh_free(imprint->mesh);
    g_free(imprint->parent);
    g_free(imprint->weight);
    if (imprint->chains)
        g_ptr_array_unref(imprint->chains);
    g_free(imprint);
}
