/* What the readers gather, vertices and faces of many corners, and how it becomes a mesh:
 * corners checked, polygons cut into triangles, duplicate and zero-area triangles dropped. */
#include "plate/mesh_internal.h"
#include "plate/mesh_read.h"

#include <string.h>

gboolean tapul_soup_fault(const TapulSoup *soup, GError **error, TapulMeshError code,
                          gsize place, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    g_autofree char *message = g_strdup_vprintf(format, arguments);
    va_end(arguments);
    g_set_error(error, TAPUL_MESH_ERROR, (int)code,
                soup->by_byte ? "%s: byte %" G_GSIZE_FORMAT ": %s"
                              : "%s:%" G_GSIZE_FORMAT ": %s",
                soup->name, place, message);
    return FALSE;
}

gboolean tapul_soup_add_vertex(TapulSoup *soup, const double xyz[3], gsize place,
                               GError **error) {
    double limit = TAPUL_MESH_COORDINATE_LIMIT_MM / soup->mm_per_unit;
    for (int axis = 0; axis < 3; axis++)
        if (!(fabs(xyz[axis]) <= limit))
            return tapul_soup_fault(soup, error, TAPUL_MESH_ERROR_VALUE, place,
                                    "%c is %g; numbers within +-%g are permitted", "xyz"[axis],
                                    xyz[axis], limit);
    TapulVec3 p = tapul_vec3_scale(tapul_vec3(xyz[0], xyz[1], xyz[2]), soup->mm_per_unit);
    g_array_append_val(soup->position, p);
    return TRUE;
}

void tapul_soup_begin_face(TapulSoup *soup, gsize place) {
    TapulSoupFace face = {(int)soup->index->len, 0, place};
    g_array_append_val(soup->face, face);
}

static TapulSoupFace *last_face(const TapulSoup *soup) {
    return &g_array_index(soup->face, TapulSoupFace, soup->face->len - 1);
}

gboolean tapul_soup_add_corner(TapulSoup *soup, double vertex, GError **error) {
    TapulSoupFace *face = last_face(soup);
    if (!(vertex >= 0 && vertex < G_MAXINT) || vertex != floor(vertex))
        return tapul_soup_fault(soup, error, TAPUL_MESH_ERROR_VALUE, face->place,
                                "a corner names vertex %g; a whole number from 0 is expected",
                                vertex);
    int index = (int)vertex;
    g_array_append_val(soup->index, index);
    face->n++;
    return TRUE;
}

gboolean tapul_soup_end_face(TapulSoup *soup, GError **error) {
    const TapulSoupFace *face = last_face(soup);
    return face->n >= 3 ||
           tapul_soup_fault(soup, error, TAPUL_MESH_ERROR_SYNTAX, face->place,
                            "the face has %d corners; 3 or more are expected", face->n);
}

/* --- From soup to mesh --- */

static gboolean check_corners(const TapulSoup *soup, const TapulSoupFace *face,
                              GError **error) {
    int n_vertices = (int)soup->position->len;
    for (int k = 0; k < face->n; k++) {
        int vertex = g_array_index(soup->index, int, face->first + k);
        if (vertex >= n_vertices)
            return tapul_soup_fault(soup, error, TAPUL_MESH_ERROR_VALUE, face->place,
                                    "the face names vertex %.0f; %d to %d are permitted",
                                    (double)vertex + soup->first_number, soup->first_number,
                                    n_vertices - 1 + soup->first_number);
    }
    return TRUE;
}

typedef struct {
    GArray *position; /* of TapulVec3: the corners of the face at hand */
    GArray *cut;      /* of int: its triangles */
    GArray *corner;   /* of int: the triangles so far */
} Triangles;

static gboolean refuse_polygon(const TapulSoup *soup, const TapulSoupFace *face,
                               GError **error) {
    if (face->n > TAPUL_MESH_POLYGON_LIMIT)
        return tapul_soup_fault(
            soup, error, TAPUL_MESH_ERROR_VALUE, face->place,
            "the face has %d corners and is not convex; at most %d are permitted", face->n,
            TAPUL_MESH_POLYGON_LIMIT);
    return tapul_soup_fault(soup, error, TAPUL_MESH_ERROR_VALUE, face->place,
                            "the face of %d corners crosses itself", face->n);
}

static gboolean add_face(const TapulSoup *soup, const TapulSoupFace *face, Triangles *triangles,
                         GError **error) {
    const int *index = &g_array_index(soup->index, int, face->first);
    if (!check_corners(soup, face, error))
        return FALSE;
    g_array_set_size(triangles->position, 0);
    g_array_set_size(triangles->cut, 0);
    for (int k = 0; k < face->n; k++)
        g_array_append_val(triangles->position,
                           g_array_index(soup->position, TapulVec3, index[k]));
    const TapulVec3 *position = (const TapulVec3 *)triangles->position->data;
    if (!tapul_mesh_cut_polygon(face->n, position, triangles->cut))
        return refuse_polygon(soup, face, error);
    for (guint i = 0; i < triangles->cut->len; i += 3) {
        const int *cut = &g_array_index(triangles->cut, int, i);
        if (tapul_mesh_is_degenerate(position[cut[0]], position[cut[1]], position[cut[2]]))
            continue;
        for (int k = 0; k < 3; k++)
            g_array_append_val(triangles->corner, index[cut[k]]);
    }
    return TRUE;
}

static guint hash_triangle(gconstpointer key) {
    const int *corner = key;
    guint64 bits = 0;
    for (int k = 0; k < 3; k++)
        bits = (bits ^ (guint)corner[k]) * G_GUINT64_CONSTANT(0x9E3779B97F4A7C15);
    return (guint)(bits >> 32);
}

static gboolean equal_triangles(gconstpointer first, gconstpointer second) {
    return memcmp(first, second, 3 * sizeof(int)) == 0;
}

static void sort_three(int corner[3]) {
    for (int i = 0; i < 2; i++)
        for (int j = 0; j < 2 - i; j++)
            if (corner[j] > corner[j + 1]) {
                int higher = corner[j];
                corner[j] = corner[j + 1];
                corner[j + 1] = higher;
            }
}

/* Of triangles with the same three vertices the first stays. */
static void drop_duplicates(GArray *corner) {
    guint n_kept = 0;
    g_autofree int *sorted = g_memdup2(corner->data, sizeof(int) * corner->len);
    g_autoptr(GHashTable) seen = g_hash_table_new(hash_triangle, equal_triangles);
    int *kept = (int *)corner->data;
    for (guint i = 0; i < corner->len; i += 3) {
        sort_three(sorted + i);
        if (!g_hash_table_add(seen, sorted + i))
            continue;
        memmove(kept + n_kept, kept + i, 3 * sizeof(int));
        n_kept += 3;
    }
    g_array_set_size(corner, n_kept);
}

static gboolean triangulate(const TapulSoup *soup, GArray *corner, GError **error) {
    Triangles triangles = {g_array_new(FALSE, FALSE, sizeof(TapulVec3)),
                           g_array_new(FALSE, FALSE, sizeof(int)), corner};
    gboolean good = TRUE;
    for (guint f = 0; f < soup->face->len && good; f++)
        good = add_face(soup, &g_array_index(soup->face, TapulSoupFace, f), &triangles, error);
    g_array_unref(triangles.position);
    g_array_unref(triangles.cut);
    return good;
}

TapulMesh *tapul_soup_finish(const TapulSoup *soup, GError **error) {
    g_autoptr(GArray) corner = g_array_new(FALSE, FALSE, sizeof(int));
    if (!triangulate(soup, corner, error))
        return NULL;
    if (corner->len == 0) {
        g_set_error(error, TAPUL_MESH_ERROR, TAPUL_MESH_ERROR_EMPTY,
                    "%s: no surface: %u vertices and %u faces, none of which has an area",
                    soup->name, soup->position->len, soup->face->len);
        return NULL;
    }
    drop_duplicates(corner);
    TapulMesh *mesh =
        tapul_mesh_new((int)soup->position->len, (const TapulVec3 *)soup->position->data,
                       (int)(corner->len / 3), (const int(*)[3])corner->data, error);
    if (!mesh)
        g_prefix_error(error, "%s: ", soup->name);
    return mesh;
}
