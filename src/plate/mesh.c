/* Making a mesh from points and triangles, and measuring it: the surface every later step works
 * on. Curvature is the angle defect, whose sum over a closed mesh is 2 pi times its Euler
 * characteristic (Descartes; Gauss-Bonnet). */
#include "plate/mesh_internal.h"

#include <string.h>

/* Bends sharper than this are taken for creases of the metal, not for coarse triangles. */
#define CREASE_ANGLE_RAD (40 * G_PI / 180)
/* Coordinates in mm beyond this cannot be a plate, and their products would lose the last
 * digits. */
#define TAPUL_MESH_COORDINATE_LIMIT_MM 1e9
/* Height over longest side; 16-digit coordinates leave normals of flatter triangles undefined.
 */
#define DEGENERATE_HEIGHT_RATIO 1e-12

G_DEFINE_QUARK(tapul - mesh - error - quark, tapul_mesh_error)

gboolean tapul_mesh_is_degenerate(TapulVec3 a, TapulVec3 b, TapulVec3 c) {
    TapulVec3 ab = tapul_vec3_sub(b, a), ac = tapul_vec3_sub(c, a), bc = tapul_vec3_sub(c, b);
    double longest2 =
        fmax(tapul_vec3_dot(ab, ab), fmax(tapul_vec3_dot(ac, ac), tapul_vec3_dot(bc, bc)));
    double twice_area = tapul_vec3_length(tapul_vec3_cross(ab, ac));
    return !(twice_area > DEGENERATE_HEIGHT_RATIO * longest2);
}

static gboolean check_positions(int n_vertices, const TapulVec3 *position_mm, GError **error) {
    for (int v = 0; v < n_vertices; v++) {
        TapulVec3 p = position_mm[v];
        if (fabs(p.x) <= TAPUL_MESH_COORDINATE_LIMIT_MM &&
            fabs(p.y) <= TAPUL_MESH_COORDINATE_LIMIT_MM &&
            fabs(p.z) <= TAPUL_MESH_COORDINATE_LIMIT_MM)
            continue;
        g_set_error(
            error, TAPUL_MESH_ERROR, TAPUL_MESH_ERROR_VALUE,
            "vertex %d at (%g, %g, %g) mm is out of range; coordinates within +-%g mm are "
            "permitted",
            v, p.x, p.y, p.z, TAPUL_MESH_COORDINATE_LIMIT_MM);
        return FALSE;
    }
    return TRUE;
}

static gboolean check_triangle(int triangle, const int corner[3], int n_vertices,
                               const TapulVec3 *position_mm, GError **error) {
    for (int k = 0; k < 3; k++) {
        if (corner[k] >= 0 && corner[k] < n_vertices)
            continue;
        g_set_error(error, TAPUL_MESH_ERROR, TAPUL_MESH_ERROR_VALUE,
                    "triangle %d names vertex %d; 0 to %d are permitted", triangle, corner[k],
                    n_vertices - 1);
        return FALSE;
    }
    TapulVec3 a = position_mm[corner[0]];
    if (!tapul_mesh_is_degenerate(a, position_mm[corner[1]], position_mm[corner[2]]))
        return TRUE;
    g_set_error(error, TAPUL_MESH_ERROR, TAPUL_MESH_ERROR_NOT_MANIFOLD,
                "triangle %d at (%g, %g, %g) mm has no area", triangle, a.x, a.y, a.z);
    return FALSE;
}

static gboolean check_input(int n_vertices, const TapulVec3 *position_mm, int n_triangles,
                            const int (*corner)[3], GError **error) {
    if (n_triangles <= 0 || n_vertices <= 0) {
        g_set_error(error, TAPUL_MESH_ERROR, TAPUL_MESH_ERROR_EMPTY, "the mesh has no faces");
        return FALSE;
    }
    if (n_triangles > G_MAXINT / 3) {
        g_set_error(error, TAPUL_MESH_ERROR, TAPUL_MESH_ERROR_VALUE,
                    "%d triangles are too many; at most %d are permitted", n_triangles,
                    G_MAXINT / 3);
        return FALSE;
    }
    if (!check_positions(n_vertices, position_mm, error))
        return FALSE;
    for (int t = 0; t < n_triangles; t++)
        if (!check_triangle(t, corner[t], n_vertices, position_mm, error))
            return FALSE;
    return TRUE;
}

/* Copies the vertices that triangles use, in their order, and renumbers the corners. */
static void copy_used(TapulMesh *mesh, int n_vertices, const TapulVec3 *position_mm,
                      const int (*corner)[3]) {
    g_autofree int *renumbered = g_new0(int, n_vertices);
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++)
            renumbered[corner[t][k]] = 1;
    for (int v = 0; v < n_vertices; v++)
        if (renumbered[v]) {
            mesh->position_mm[mesh->n_vertices] = position_mm[v];
            renumbered[v] = mesh->n_vertices++;
        }
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++)
            mesh->corner[t][k] = renumbered[corner[t][k]];
}

TapulMesh *tapul_mesh_new(int n_vertices, const TapulVec3 *position_mm, int n_triangles,
                          const int (*corner)[3], GError **error) {
    if (!check_input(n_vertices, position_mm, n_triangles, corner, error))
        return NULL;
    g_autoptr(TapulMesh) mesh = g_new0(TapulMesh, 1);
    mesh->n_triangles = n_triangles;
    mesh->position_mm = g_new(TapulVec3, n_vertices);
    mesh->corner = g_malloc_n((gsize)n_triangles, sizeof *mesh->corner);
    mesh->across = g_malloc_n((gsize)n_triangles, sizeof *mesh->across);
    mesh->normal = g_malloc_n((gsize)n_triangles, sizeof *mesh->normal);
    copy_used(mesh, n_vertices, position_mm, corner);
    if (!tapul_mesh_connect(mesh, error))
        return NULL;
    tapul_mesh_estimate_normals(mesh, CREASE_ANGLE_RAD);
    return g_steal_pointer(&mesh);
}

void tapul_mesh_free(TapulMesh *mesh) {
    if (!mesh)
        return;
    g_free(mesh->position_mm);
    g_free(mesh->corner);
    g_free(mesh->across);
    g_free(mesh->normal);
    g_free(mesh);
}

TapulVec3 tapul_mesh_face_vector(const TapulMesh *mesh, int triangle) {
    const int *corner = mesh->corner[triangle];
    TapulVec3 a = mesh->position_mm[corner[0]];
    return tapul_vec3_cross(tapul_vec3_sub(mesh->position_mm[corner[1]], a),
                            tapul_vec3_sub(mesh->position_mm[corner[2]], a));
}

TapulVec3 tapul_mesh_face_normal(const TapulMesh *mesh, int triangle) {
    return tapul_vec3_unit(tapul_mesh_face_vector(mesh, triangle));
}

double tapul_mesh_triangle_area_mm2(const TapulMesh *mesh, int triangle) {
    return 0.5 * tapul_vec3_length(tapul_mesh_face_vector(mesh, triangle));
}

double tapul_mesh_area_mm2(const TapulMesh *mesh) {
    double sum_mm2 = 0;
    for (int t = 0; t < mesh->n_triangles; t++)
        sum_mm2 += tapul_mesh_triangle_area_mm2(mesh, t);
    return sum_mm2;
}

double tapul_mesh_corner_angle_rad(const TapulMesh *mesh, int triangle, int k) {
    const int *corner = mesh->corner[triangle];
    TapulVec3 apex = mesh->position_mm[corner[k]];
    TapulVec3 a = tapul_vec3_sub(mesh->position_mm[corner[tapul_mesh_next_corner(k)]], apex);
    TapulVec3 b =
        tapul_vec3_sub(mesh->position_mm[corner[tapul_mesh_previous_corner(k)]], apex);
    return atan2(tapul_vec3_length(tapul_vec3_cross(a, b)), tapul_vec3_dot(a, b));
}

double tapul_mesh_total_curvature_rad(const TapulMesh *mesh) {
    g_autofree double *angle_rad = g_new0(double, mesh->n_vertices);
    g_autofree gboolean *at_edge = g_new0(gboolean, mesh->n_vertices);
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            angle_rad[mesh->corner[t][k]] += tapul_mesh_corner_angle_rad(mesh, t, k);
            if (mesh->across[t][k] >= 0)
                continue;
            at_edge[mesh->corner[t][tapul_mesh_next_corner(k)]] = TRUE;
            at_edge[mesh->corner[t][tapul_mesh_previous_corner(k)]] = TRUE;
        }
    double sum_rad = 0;
    for (int v = 0; v < mesh->n_vertices; v++)
        if (!at_edge[v])
            sum_rad += 2 * G_PI - angle_rad[v];
    return sum_rad;
}
