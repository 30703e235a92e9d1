/* What a mesh is as a whole: its pieces, its edges, whether it is a disc and can be laid flat;
 * and its corner normals, which stop at creases (Thuermer & Wuethrich 1998, Computing vertex
 * normals from polygonal facets, J. Graphics Tools 3(1)). */
#include "plate/mesh_internal.h"

#include <stdlib.h>

typedef struct {
    int n_pieces;
    int largest; /* triangles of the largest piece */
} Pieces;

static int mark_piece(const TapulMesh *mesh, int first, gboolean *seen, int *queue) {
    int n = 0;
    queue[n++] = first;
    seen[first] = TRUE;
    for (int i = 0; i < n; i++)
        for (int k = 0; k < 3; k++) {
            int over = mesh->across[queue[i]][k];
            if (over < 0 || seen[over])
                continue;
            seen[over] = TRUE;
            queue[n++] = over;
        }
    return n;
}

static Pieces count_pieces(const TapulMesh *mesh) {
    g_autofree gboolean *seen = g_new0(gboolean, mesh->n_triangles);
    g_autofree int *queue = g_new(int, mesh->n_triangles);
    Pieces pieces = {0, 0};
    for (int t = 0; t < mesh->n_triangles; t++) {
        if (seen[t])
            continue;
        int n = mark_piece(mesh, t, seen, queue);
        pieces.largest = MAX(pieces.largest, n);
        pieces.n_pieces++;
    }
    return pieces;
}

static double loop_length_mm(const TapulMesh *mesh, const GArray *loop) {
    double sum_mm = 0;
    for (guint i = 0; i < loop->len; i++) {
        int from = g_array_index(loop, int, i);
        int to = g_array_index(loop, int, (i + 1) % loop->len);
        sum_mm += tapul_vec3_distance(mesh->position_mm[from], mesh->position_mm[to]);
    }
    return sum_mm;
}

/* The vertex that follows each vertex along the mesh's edge, metal on the left; -1 inside. */
static int *edge_successors(const TapulMesh *mesh) {
    int *next = g_new(int, mesh->n_vertices);
    for (int v = 0; v < mesh->n_vertices; v++)
        next[v] = -1;
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++)
            if (mesh->across[t][k] < 0)
                next[mesh->corner[t][tapul_mesh_next_corner(k)]] =
                    mesh->corner[t][tapul_mesh_previous_corner(k)];
    return next;
}

static int compare_lengths(const void *first, const void *second, void *data) {
    const TapulMesh *mesh = data;
    const GArray *const *a = first, *const *b = second;
    double a_mm = loop_length_mm(mesh, *a), b_mm = loop_length_mm(mesh, *b);
    return a_mm > b_mm ? -1 : a_mm < b_mm;
}

GPtrArray *tapul_mesh_boundary_loops(const TapulMesh *mesh) {
    GPtrArray *loops = g_ptr_array_new_with_free_func((GDestroyNotify)g_array_unref);
    g_autofree int *next = edge_successors(mesh);
    for (int v = 0; v < mesh->n_vertices; v++) {
        if (next[v] < 0)
            continue;
        GArray *loop = g_array_new(FALSE, FALSE, sizeof(int));
        for (int at = v; next[at] >= 0;) {
            g_array_append_val(loop, at);
            int following = next[at];
            next[at] = -1;
            at = following;
        }
        g_ptr_array_add(loops, loop);
    }
    g_ptr_array_sort_with_data(loops, compare_lengths, (void *)mesh);
    return loops;
}

static int count_edges(const TapulMesh *mesh) {
    int n_open = 0;
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++)
            n_open += mesh->across[t][k] < 0;
    return (int)(((gint64)3 * mesh->n_triangles + n_open) / 2);
}

static gboolean refuse(GError **error, char *message_taken) {
    g_set_error_literal(error, TAPUL_MESH_ERROR, TAPUL_MESH_ERROR_NOT_A_DISC, message_taken);
    g_free(message_taken);
    return FALSE;
}

static gboolean refuse_holes(const TapulMesh *mesh, const GPtrArray *loops, GError **error) {
    const GArray *edge = g_ptr_array_index(loops, 0), *hole = g_ptr_array_index(loops, 1);
    TapulVec3 at = mesh->position_mm[g_array_index(hole, int, 0)];
    double edge_mm = loop_length_mm(mesh, edge), hole_mm = loop_length_mm(mesh, hole);
    if (loops->len == 2)
        return refuse(error,
                      g_strdup_printf("the mesh is a tube or has a hole: two edges, %.1f and "
                                      "%.1f mm round, the shorter at (%.2f, %.2f, %.2f) mm; "
                                      "cut it open along a line from one edge to the other "
                                      "(in a case: development: {cuts: ...}), or fill the "
                                      "hole",
                                      edge_mm, hole_mm, at.x, at.y, at.z));
    return refuse(error,
                  g_strdup_printf("the mesh has %u holes besides its edge of %.1f mm, the "
                                  "largest %.1f mm round at (%.2f, %.2f, %.2f) mm; fill them, "
                                  "or cut into each (in a case: development: {cuts: ...})",
                                  loops->len - 1, edge_mm, hole_mm, at.x, at.y, at.z));
}

gboolean tapul_mesh_check_disc(const TapulMesh *mesh, GError **error) {
    Pieces pieces = count_pieces(mesh);
    if (pieces.n_pieces > 1)
        return refuse(error,
                      g_strdup_printf("the mesh is in %d pieces, the largest of %d of its %d "
                                      "triangles; one piece is needed",
                                      pieces.n_pieces, pieces.largest, mesh->n_triangles));
    g_autoptr(GPtrArray) loops = tapul_mesh_boundary_loops(mesh);
    int n_loops = (int)loops->len;
    int euler_characteristic = mesh->n_vertices - count_edges(mesh) + mesh->n_triangles;
    int n_handles = (2 - n_loops - euler_characteristic) / 2;
    if (n_handles > 0)
        return refuse(error,
                      g_strdup_printf("the mesh has %d handle%s and %d edge%s; a plate has no "
                                      "handle and one edge",
                                      n_handles, n_handles == 1 ? "" : "s", n_loops,
                                      n_loops == 1 ? "" : "s"));
    if (n_loops == 0)
        return refuse(error,
                      g_strdup("the mesh is closed: it has no edge; cut it open (in a case: "
                               "development: {cuts: ...}) or remove its inner side"));
    return n_loops == 1 || refuse_holes(mesh, loops, error);
}

/* --- Corner normals --- */

typedef struct {
    TapulMesh *mesh;
    const TapulVec3 *face_normal; /* [n_triangles] */
    double crease_cosine;
} Smoothing;

static gboolean is_crease(const Smoothing *smoothing, int triangle, int over) {
    return tapul_vec3_dot(smoothing->face_normal[triangle], smoothing->face_normal[over]) <
           smoothing->crease_cosine;
}

/* The first corner of the smooth fan that `at` lies in: the furthest clockwise before an edge
 * or crease; `at` itself if the fan goes all the way round. */
static TapulCorner fan_start(const Smoothing *smoothing, TapulCorner at) {
    TapulCorner first = at;
    for (;;) {
        TapulCorner next = tapul_mesh_turn_right(smoothing->mesh, first);
        if (next.triangle < 0 || is_crease(smoothing, first.triangle, next.triangle))
            return first;
        if (next.triangle == at.triangle)
            return at;
        first = next;
    }
}

/* The corner after `at` in the fan that began at `first`, or none. */
static TapulCorner fan_next(const Smoothing *smoothing, TapulCorner first, TapulCorner at) {
    TapulCorner next = tapul_mesh_turn_left(smoothing->mesh, at);
    if (next.triangle < 0 || next.triangle == first.triangle ||
        is_crease(smoothing, at.triangle, next.triangle))
        return (TapulCorner){-1, 0};
    return next;
}

static void smooth_fan(const Smoothing *smoothing, TapulCorner first, gboolean (*done)[3]) {
    TapulVec3 sum = {0, 0, 0};
    for (TapulCorner at = first; at.triangle >= 0; at = fan_next(smoothing, first, at)) {
        double angle_rad = tapul_mesh_corner_angle_rad(smoothing->mesh, at.triangle, at.k);
        sum = tapul_vec3_add(sum,
                             tapul_vec3_scale(smoothing->face_normal[at.triangle], angle_rad));
    }
    TapulVec3 normal = tapul_vec3_unit(sum);
    /* Faces folded flat onto each other have no mean; each keeps its own normal. */
    gboolean folded = !(tapul_vec3_dot(normal, normal) > 0);
    for (TapulCorner at = first; at.triangle >= 0; at = fan_next(smoothing, first, at)) {
        smoothing->mesh->normal[at.triangle][at.k] =
            folded ? smoothing->face_normal[at.triangle] : normal;
        done[at.triangle][at.k] = TRUE;
    }
}

void tapul_mesh_estimate_normals(TapulMesh *mesh, double crease_angle_rad) {
    g_autofree TapulVec3 *face_normal = g_new(TapulVec3, mesh->n_triangles);
    g_autofree gboolean(*done)[3] = g_malloc0_n((gsize)mesh->n_triangles, sizeof *done);
    for (int t = 0; t < mesh->n_triangles; t++)
        face_normal[t] = tapul_mesh_face_normal(mesh, t);
    Smoothing smoothing = {mesh, face_normal, cos(CLAMP(crease_angle_rad, 0, G_PI))};
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++)
            if (!done[t][k])
                smooth_fan(&smoothing, fan_start(&smoothing, (TapulCorner){t, k}), done);
}
