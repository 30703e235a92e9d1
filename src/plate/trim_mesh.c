/* Cuts a mesh along an outline seen from the front and keeps the inside. Vertices close to the
 * outline slide on to it along an edge, so that no slivers are made; other edges are cut where
 * they cross it. */
#include "plate/plate_private.h"
#include "plate/trim.h"

/* A vertex nearer to the outline than this share of an edge slides on to it. */
#define SLIDE_SHARE 0.25
#define BISECTIONS  40
/* A mesh whose longest edge is more than this part of the outline's length is made finer first,
 * so that the outline cannot slip between its vertices; but not beyond so many triangles. */
#define EDGES_ROUND_OUTLINE 200.0
#define MOST_QUARTERED      100000

typedef struct {
    const TapulMesh *mesh;
    const GArray *outline_mm;
    GArray *position;   /* of TapulVec3: the mesh's vertices, then the cuts' */
    double *inside_mm;  /* [n_vertices]; 0: on the outline */
    GArray *corner;     /* of int[3] */
    GHashTable *cut_at; /* edge -> vertex index */
} Trim;

static double inside_of(const Trim *trim, TapulVec3 p) {
    return tapul_trim_distance_mm(trim->outline_mm, tapul_vec2(p.x, p.y));
}

/* The share of the way from an inside point to an outside one at which the outline is crossed.
 */
static double crossing_share(const Trim *trim, TapulVec3 inner, TapulVec3 outer) {
    double low = 0, high = 1;
    for (int i = 0; i < BISECTIONS; i++) {
        double middle = (low + high) / 2;
        *(inside_of(trim, tapul_vec3_mix(inner, outer, middle)) > 0 ? &low : &high) = middle;
    }
    return low;
}

static void slide_near_vertices(Trim *trim) {
    const TapulMesh *mesh = trim->mesh;
    g_autofree double *best = g_new(double, mesh->n_vertices);
    for (int v = 0; v < mesh->n_vertices; v++)
        best[v] = SLIDE_SHARE;
    for (int t = 0; t < mesh->n_triangles; t++) {
        for (int k = 0; k < 3; k++) {
            int a = mesh->corner[t][k], b = mesh->corner[t][(k + 1) % 3];
            TapulVec3 at_a = mesh->position_mm[a], at_b = mesh->position_mm[b];
            double in_a = inside_of(trim, at_a), in_b = inside_of(trim, at_b);
            if ((in_a > 0) == (in_b > 0))
                continue;
            double share = in_a > 0 ? crossing_share(trim, at_a, at_b)
                                    : 1 - crossing_share(trim, at_b, at_a);
            int near = share < 0.5 ? a : b;
            double distance = fmin(share, 1 - share);
            if (distance >= best[near])
                continue;
            best[near] = distance;
            g_array_index(trim->position, TapulVec3, near) = tapul_vec3_mix(at_a, at_b, share);
            trim->inside_mm[near] = 0;
        }
    }
}

/* The vertex where the edge from inside vertex a to outside vertex b is cut. */
static int cut_vertex(Trim *trim, int a, int b) {
    gint64 name = (gint64)MIN(a, b) << 32 | MAX(a, b);
    gpointer found;
    if (g_hash_table_lookup_extended(trim->cut_at, &name, NULL, &found))
        return GPOINTER_TO_INT(found);
    TapulVec3 inner = g_array_index(trim->position, TapulVec3, a),
              outer = g_array_index(trim->position, TapulVec3, b);
    TapulVec3 at = tapul_vec3_mix(inner, outer, crossing_share(trim, inner, outer));
    int index = (int)trim->position->len;
    gint64 *key = g_new(gint64, 1);
    *key = name;
    g_array_append_val(trim->position, at);
    g_hash_table_insert(trim->cut_at, key, GINT_TO_POINTER(index));
    return index;
}

/* Keeps the inside part of one triangle: walks round it, adding cuts where the sign changes. */
static void trim_triangle(Trim *trim, const int corner[3]) {
    int kept[5], n = 0;
    gboolean any_inside = FALSE;
    for (int k = 0; k < 3; k++) {
        int a = corner[k], b = corner[(k + 1) % 3];
        double in_a = trim->inside_mm[a], in_b = trim->inside_mm[b];
        any_inside = any_inside || in_a > 0;
        if (in_a >= 0)
            kept[n++] = a;
        if (in_a > 0 && in_b < 0)
            kept[n++] = cut_vertex(trim, a, b);
        else if (in_a < 0 && in_b > 0)
            kept[n++] = cut_vertex(trim, b, a);
    }
    if (!any_inside && n >= 3) { /* all on the outline: its middle tells */
        TapulVec3 middle = {0, 0, 0};
        for (int k = 0; k < 3; k++)
            middle = tapul_vec3_add(
                middle,
                tapul_vec3_scale(g_array_index(trim->position, TapulVec3, corner[k]), 1 / 3.0));
        any_inside = inside_of(trim, middle) > 0;
    }
    for (int i = 1; any_inside && i + 1 < n; i++) {
        int piece[3] = {kept[0], kept[i], kept[i + 1]};
        g_array_append_vals(trim->corner, piece, 3);
    }
}

/* --- Coarse meshes --- */

static double longest_edge_mm(const TapulMesh *mesh) {
    double longest = 0;
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++)
            longest = fmax(
                longest, tapul_vec3_distance(mesh->position_mm[mesh->corner[t][k]],
                                             mesh->position_mm[mesh->corner[t][(k + 1) % 3]]));
    return longest;
}

static double perimeter_mm(const GArray *outline_mm) {
    double sum = 0;
    for (guint i = 0; i < outline_mm->len; i++)
        sum += tapul_vec2_distance(
            g_array_index(outline_mm, TapulVec2, i),
            g_array_index(outline_mm, TapulVec2, (i + 1) % outline_mm->len));
    return sum;
}

/* The vertex in the middle of an edge, made once for both triangles beside it. */
static int middle_vertex(GArray *position, GHashTable *middles, int a, int b) {
    gint64 name = (gint64)MIN(a, b) << 32 | MAX(a, b);
    gpointer found;
    if (g_hash_table_lookup_extended(middles, &name, NULL, &found))
        return GPOINTER_TO_INT(found);
    TapulVec3 middle = tapul_vec3_mix(g_array_index(position, TapulVec3, a),
                                      g_array_index(position, TapulVec3, b), 0.5);
    g_array_append_val(position, middle);
    g_hash_table_insert(middles, g_memdup2(&name, sizeof name),
                        GINT_TO_POINTER((int)position->len - 1));
    return (int)position->len - 1;
}

/* Every triangle in four. The surface stays the same. */
static TapulMesh *quarter(const TapulMesh *mesh) {
    g_autoptr(GArray) position = g_array_new(FALSE, FALSE, sizeof(TapulVec3));
    g_autoptr(GArray) corner = g_array_new(FALSE, FALSE, sizeof(int));
    g_autoptr(GHashTable) middles =
        g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    g_array_append_vals(position, mesh->position_mm, (guint)mesh->n_vertices);
    for (int t = 0; t < mesh->n_triangles; t++) {
        const int *v = mesh->corner[t];
        int m[3];
        for (int k = 0; k < 3; k++)
            m[k] = middle_vertex(position, middles, v[(k + 1) % 3], v[(k + 2) % 3]);
        int pieces[12] = {v[0], m[2], m[1], v[1], m[0], m[2],
                          v[2], m[1], m[0], m[0], m[1], m[2]};
        g_array_append_vals(corner, pieces, 12);
    }
    return tapul_mesh_new((int)position->len, (const TapulVec3 *)position->data,
                          (int)corner->len / 3, (const int(*)[3])corner->data, NULL);
}

static TapulMesh *trim(const TapulMesh *mesh, const GArray *outline_mm, GError **error);

TapulMesh *tapul_plate_trim_mesh(const TapulMesh *mesh, const GArray *outline_mm,
                                 GError **error) {
    if (mesh->n_triangles > MOST_QUARTERED ||
        longest_edge_mm(mesh) <= perimeter_mm(outline_mm) / EDGES_ROUND_OUTLINE)
        return trim(mesh, outline_mm, error);
    g_autoptr(TapulMesh) finer = quarter(mesh);
    return finer ? tapul_plate_trim_mesh(finer, outline_mm, error)
                 : trim(mesh, outline_mm, error);
}

static TapulMesh *trim(const TapulMesh *mesh, const GArray *outline_mm, GError **error) {
    g_autofree double *inside = g_new(double, mesh->n_vertices);
    g_autoptr(GArray) position = g_array_new(FALSE, FALSE, sizeof(TapulVec3));
    g_autoptr(GArray) corner = g_array_new(FALSE, FALSE, sizeof(int));
    g_autoptr(GHashTable) cut_at =
        g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    Trim trim = {mesh, outline_mm, position, inside, corner, cut_at};

    g_array_append_vals(position, mesh->position_mm, (guint)mesh->n_vertices);
    for (int v = 0; v < mesh->n_vertices; v++)
        inside[v] = inside_of(&trim, mesh->position_mm[v]);
    slide_near_vertices(&trim);
    for (int t = 0; t < mesh->n_triangles; t++)
        trim_triangle(&trim, mesh->corner[t]);
    if (corner->len == 0) {
        g_set_error(error, TAPUL_PLATE_ERROR, TAPUL_PLATE_ERROR_SHAPE,
                    "outline_mm: the outline lies wholly off the mesh");
        return NULL;
    }
    return tapul_mesh_new((int)position->len, (const TapulVec3 *)position->data,
                          (int)corner->len / 3, (const int(*)[3])corner->data, error);
}
