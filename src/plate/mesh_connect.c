/* Finding each triangle's neighbours, and refusing what is no surface: edges of three faces,
 * faces wound against each other, vertices where two fans of triangles meet. Stands between the
 * bare triangles and everything that walks over a mesh. */
#include "plate/mesh_internal.h"

#include <stdlib.h>

/* One triangle's side: the edge opposite corner `half % 3` of triangle `half / 3`. */
typedef struct {
    int higher; /* the edge's higher vertex; sides are kept by the lower one */
    int half;
} Side;

static void side_ends(const TapulMesh *mesh, int half, int *from, int *to) {
    const int *corner = mesh->corner[half / 3];
    *from = corner[tapul_mesh_next_corner(half % 3)];
    *to = corner[tapul_mesh_previous_corner(half % 3)];
}

static int compare_sides(const void *first, const void *second) {
    const Side *a = first, *b = second;
    if (a->higher != b->higher)
        return a->higher < b->higher ? -1 : 1;
    return a->half < b->half ? -1 : a->half > b->half;
}

/* Sorts the sides by lower vertex; those of vertex v are side[start[v]] to side[start[v + 1] -
 * 1]. */
static Side *collect_sides(const TapulMesh *mesh, int **start_of_vertex) {
    int n_sides = 3 * mesh->n_triangles, from, to;
    int *start = g_new0(int, mesh->n_vertices + 2);
    for (int half = 0; half < n_sides; half++) {
        side_ends(mesh, half, &from, &to);
        start[MIN(from, to) + 2]++;
    }
    for (int v = 0; v < mesh->n_vertices; v++)
        start[v + 2] += start[v + 1];
    Side *side = g_new(Side, n_sides);
    for (int half = 0; half < n_sides; half++) {
        side_ends(mesh, half, &from, &to);
        side[start[MIN(from, to) + 1]++] = (Side){MAX(from, to), half};
    }
    *start_of_vertex = start;
    return side;
}

static gboolean refuse_edge(const TapulMesh *mesh, int half, const char *fault,
                            GError **error) {
    int from, to;
    side_ends(mesh, half, &from, &to);
    TapulVec3 a = mesh->position_mm[from], b = mesh->position_mm[to];
    g_set_error(error, TAPUL_MESH_ERROR, TAPUL_MESH_ERROR_NOT_MANIFOLD,
                "the edge from (%g, %g, %g) to (%g, %g, %g) mm %s", a.x, a.y, a.z, b.x, b.y,
                b.z, fault);
    return FALSE;
}

/* Joins the n sides that lie on one edge. */
static gboolean join_sides(TapulMesh *mesh, const Side *side, int n, GError **error) {
    int half = side[0].half;
    if (n == 1) {
        mesh->across[half / 3][half % 3] = -1;
        return TRUE;
    }
    if (n > 2) {
        g_autofree char *fault =
            g_strdup_printf("belongs to %d triangles; at most 2 are permitted", n);
        return refuse_edge(mesh, half, fault, error);
    }
    int other = side[1].half, from, to, other_from, other_to;
    side_ends(mesh, half, &from, &to);
    side_ends(mesh, other, &other_from, &other_to);
    if (from == other_from)
        return refuse_edge(mesh, half,
                           "has two triangles wound against each other; all must wind "
                           "counter-clockwise seen from outside",
                           error);
    mesh->across[half / 3][half % 3] = other / 3;
    mesh->across[other / 3][other % 3] = half / 3;
    return TRUE;
}

static gboolean join_all(TapulMesh *mesh, GError **error) {
    int *start_of_vertex;
    g_autofree Side *side = collect_sides(mesh, &start_of_vertex);
    g_autofree int *start = start_of_vertex;
    for (int v = 0; v < mesh->n_vertices; v++) {
        int n = start[v + 1] - start[v];
        Side *of_vertex = side + start[v];
        qsort(of_vertex, (size_t)n, sizeof *side, compare_sides);
        for (int i = 0, run; i < n; i += run) {
            for (run = 1; i + run < n && of_vertex[i + run].higher == of_vertex[i].higher;)
                run++;
            if (!join_sides(mesh, of_vertex + i, run, error))
                return FALSE;
        }
    }
    return TRUE;
}

static TapulCorner corner_at(const TapulMesh *mesh, int triangle, int vertex) {
    if (triangle < 0)
        return (TapulCorner){-1, 0};
    const int *corner = mesh->corner[triangle];
    return (TapulCorner){triangle, corner[0] == vertex ? 0 : corner[1] == vertex ? 1 : 2};
}

TapulCorner tapul_mesh_turn_left(const TapulMesh *mesh, TapulCorner corner) {
    int over = mesh->across[corner.triangle][tapul_mesh_next_corner(corner.k)];
    return corner_at(mesh, over, mesh->corner[corner.triangle][corner.k]);
}

TapulCorner tapul_mesh_turn_right(const TapulMesh *mesh, TapulCorner corner) {
    int over = mesh->across[corner.triangle][tapul_mesh_previous_corner(corner.k)];
    return corner_at(mesh, over, mesh->corner[corner.triangle][corner.k]);
}

/* How many triangles can be reached from a corner by turning about its vertex. */
static int count_fan(const TapulMesh *mesh, TapulCorner first) {
    int n = 1;
    TapulCorner at = first;
    while ((at = tapul_mesh_turn_left(mesh, at)).triangle >= 0) {
        if (at.triangle == first.triangle)
            return n;
        n++;
    }
    at = first;
    while ((at = tapul_mesh_turn_right(mesh, at)).triangle >= 0)
        n++;
    return n;
}

/* Every triangle at a vertex must be reached by turning about it. */
static gboolean check_fans(const TapulMesh *mesh, GError **error) {
    g_autofree int *n_corners = g_new0(int, mesh->n_vertices);
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++)
            n_corners[mesh->corner[t][k]]++;
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            int v = mesh->corner[t][k];
            if (n_corners[v] == 0)
                continue;
            if (n_corners[v] != count_fan(mesh, (TapulCorner){t, k})) {
                TapulVec3 p = mesh->position_mm[v];
                g_set_error(error, TAPUL_MESH_ERROR, TAPUL_MESH_ERROR_NOT_MANIFOLD,
                            "at (%g, %g, %g) mm parts of the surface touch in a single point",
                            p.x, p.y, p.z);
                return FALSE;
            }
            n_corners[v] = 0;
        }
    return TRUE;
}

gboolean tapul_mesh_connect(TapulMesh *mesh, GError **error) {
    return join_all(mesh, error) && check_fans(mesh, error);
}
