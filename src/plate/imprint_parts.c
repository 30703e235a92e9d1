/* A mesh taken apart along the lines drawn into it. A vertex on a cut gets as many copies as
 * the cuts leave fans of triangles about it. */
#include "plate/imprint.h"

#include "plate/imprint_draft.h"
#include "plate/mesh_internal.h"

#include <string.h>

typedef struct {
    const TapulMesh *mesh;
    int (*across)[3]; /* [n_triangles] with nothing over a cut */
    int *part;        /* [n_triangles] */
    int (*copy)[3];   /* [n_triangles] each corner's vertex in its part; -1: not yet given */
} Opening;

static GHashTable *cut_edges(const TapulImprint *imprint) {
    GHashTable *cut = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    for (guint c = 0; c < imprint->chains->len; c++) {
        const GArray *chain = g_ptr_array_index(imprint->chains, c);
        for (guint i = 1; i < chain->len; i++) {
            gint64 key =
                tapul_edge_key(g_array_index(chain, int, i - 1), g_array_index(chain, int, i));
            g_hash_table_add(cut, g_memdup2(&key, sizeof key));
        }
    }
    return cut;
}

static void open_edges(Opening *opening, const TapulImprint *imprint) {
    const TapulMesh *mesh = imprint->mesh;
    g_autoptr(GHashTable) cut = cut_edges(imprint);
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            gint64 key = tapul_edge_key(mesh->corner[t][tapul_mesh_next_corner(k)],
                                        mesh->corner[t][tapul_mesh_previous_corner(k)]);
            opening->across[t][k] = g_hash_table_contains(cut, &key) ? -1 : mesh->across[t][k];
        }
}

static int compare_triangles(gconstpointer a, gconstpointer b) {
    return *(const int *)a - *(const int *)b;
}

/* Gives the number of a part to all triangles that hang together with the first. */
static GArray *spread(Opening *opening, int first, int number) {
    GArray *triangles = g_array_new(FALSE, FALSE, sizeof(int));
    g_array_append_val(triangles, first);
    opening->part[first] = number;
    for (guint i = 0; i < triangles->len; i++)
        for (int k = 0; k < 3; k++) {
            int over = opening->across[g_array_index(triangles, int, i)][k];
            if (over < 0 || opening->part[over] >= 0)
                continue;
            opening->part[over] = number;
            g_array_append_val(triangles, over);
        }
    g_array_sort(triangles, compare_triangles);
    return triangles;
}

/* Gives one copy of a vertex to all corners that can be reached by turning about it, by way of
 * the edges at side(k) of each. */
static void turn(Opening *opening, int t, int v, int copy, int (*side)(int k)) {
    for (;;) {
        const int *corner = opening->mesh->corner[t];
        int k = corner[0] == v ? 0 : corner[1] == v ? 1 : 2;
        if (opening->copy[t][k] >= 0 && opening->copy[t][k] != copy)
            return;
        opening->copy[t][k] = copy;
        t = opening->across[t][side(k)];
        if (t < 0)
            return;
        corner = opening->mesh->corner[t];
        k = corner[0] == v ? 0 : corner[1] == v ? 1 : 2;
        if (opening->copy[t][k] == copy)
            return;
    }
}

static TapulMeshPart *part_new(Opening *opening, const GArray *triangles, GError **error) {
    const TapulMesh *mesh = opening->mesh;
    int n = (int)triangles->len;
    g_autoptr(GArray) vertices = g_array_new(FALSE, FALSE, sizeof(int));
    g_autoptr(GArray) positions = g_array_new(FALSE, FALSE, sizeof(TapulVec3));
    g_autofree int(*corner)[3] = g_malloc_n((gsize)n, sizeof *corner);
    for (int i = 0; i < n; i++) {
        int t = g_array_index(triangles, int, i);
        for (int k = 0; k < 3; k++) {
            int v = mesh->corner[t][k];
            if (opening->copy[t][k] < 0) {
                turn(opening, t, v, (int)vertices->len, tapul_mesh_next_corner);
                turn(opening, t, v, (int)vertices->len, tapul_mesh_previous_corner);
                g_array_append_val(vertices, v);
                g_array_append_val(positions, mesh->position_mm[v]);
            }
            corner[i][k] = opening->copy[t][k];
        }
    }
    TapulMesh *made =
        tapul_mesh_new((int)positions->len, (const TapulVec3 *)(const void *)positions->data, n,
                       (const int(*)[3])corner, error);
    if (!made)
        return NULL;
    TapulMeshPart *part = g_new0(TapulMeshPart, 1);
    part->mesh = made;
    part->triangle = g_memdup2(triangles->data, (gsize)n * sizeof(int));
    part->vertex = g_memdup2(vertices->data, vertices->len * sizeof(int));
    for (int i = 0; i < n; i++)
        memcpy(made->normal[i], mesh->normal[part->triangle[i]], sizeof made->normal[i]);
    return part;
}

static void part_free(gpointer data) {
    TapulMeshPart *part = data;
    tapul_mesh_free(part->mesh);
    g_free(part->triangle);
    g_free(part->vertex);
    g_free(part);
}

GPtrArray *tapul_imprint_parts(const TapulImprint *imprint, GError **error) {
    const TapulMesh *mesh = imprint->mesh;
    gsize n = (gsize)mesh->n_triangles;
    g_autofree int(*across)[3] = g_malloc_n(n, sizeof *across);
    g_autofree int(*copy)[3] = g_malloc_n(n, sizeof *copy);
    g_autofree int *part = g_malloc_n(n, sizeof *part);
    Opening opening = {mesh, across, part, copy};
    memset(copy, 0xff, n * sizeof *copy);
    memset(part, 0xff, n * sizeof *part);
    open_edges(&opening, imprint);
    g_autoptr(GPtrArray) parts = g_ptr_array_new_with_free_func(part_free);
    for (int t = 0; t < mesh->n_triangles; t++) {
        if (part[t] >= 0)
            continue;
        g_autoptr(GArray) triangles = spread(&opening, t, (int)parts->len);
        TapulMeshPart *made = part_new(&opening, triangles, error);
        if (!made)
            return NULL;
        g_ptr_array_add(parts, made);
    }
    return g_steal_pointer(&parts);
}
