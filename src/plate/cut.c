/* Cuts of a mesh by a plane: walked from triangle to triangle over shared edges. Vertices that
 * lie on the plane count as above it, so that each triangle is cut cleanly by two edges or not
 * at all. */
#include "plate/cut.h"

#include <string.h>

/* Vertices nearer to the plane than this lie on it: edges that run along a level are level but
 * for rounding. */
#define ON_PLANE_MM 1e-7

static double height_over(TapulPlane plane, TapulVec3 p) {
    return tapul_vec3_dot(plane.normal, p) - plane.offset_mm;
}

/* Where the plane cuts the edge of triangle t opposite its corner k; FALSE if it does not. */
static gboolean edge_cut(const TapulMesh *mesh, TapulPlane plane, int t, int k,
                         TapulVec3 *point) {
    TapulVec3 a = mesh->position_mm[mesh->corner[t][(k + 1) % 3]];
    TapulVec3 b = mesh->position_mm[mesh->corner[t][(k + 2) % 3]];
    double height_a = height_over(plane, a), height_b = height_over(plane, b);
    if ((height_a >= -ON_PLANE_MM) == (height_b >= -ON_PLANE_MM))
        return FALSE;
    *point = tapul_vec3_mix(a, b, CLAMP(height_a / (height_a - height_b), 0.0, 1.0));
    return TRUE;
}

/* The two corners whose opposite edges are cut. */
static gboolean cut_sides(const TapulMesh *mesh, TapulPlane plane, int t, int side[2]) {
    int n = 0;
    TapulVec3 ignored;
    for (int k = 0; k < 3; k++)
        if (edge_cut(mesh, plane, t, k, &ignored))
            side[n++] = k;
    return n == 2;
}

static int corner_towards(const TapulMesh *mesh, int t, int neighbour) {
    for (int k = 0; k < 3; k++)
        if (mesh->across[t][k] == neighbour)
            return k;
    g_assert_not_reached();
}

/* Walks on from triangle t over the edge opposite its corner `leave`, to the mesh's edge or
 * back to `home`. Appends the points after the one on that edge, and the triangles between.
 * TRUE if it came home. */
static gboolean walk(const TapulMesh *mesh, TapulPlane plane, int t, int leave, int home,
                     GArray *points, GArray *triangles) {
    for (;;) {
        int next = mesh->across[t][leave], side[2];
        if (next < 0)
            return FALSE;
        if (next == home)
            return TRUE;
        gboolean is_cut = cut_sides(mesh, plane, next, side);
        g_assert(is_cut);
        leave = side[0] == corner_towards(mesh, next, t) ? side[1] : side[0];
        TapulVec3 point;
        edge_cut(mesh, plane, next, leave, &point);
        g_array_append_val(points, point);
        g_array_append_val(triangles, next);
        t = next;
    }
}

static void reverse(GArray *array, guint size) {
    guint8 swap[sizeof(TapulVec3)];
    g_assert(size <= sizeof swap);
    for (guint i = 0; i < array->len / 2; i++) {
        char *a = array->data + i * size, *b = array->data + (array->len - 1 - i) * size;
        memcpy(swap, a, size);
        memcpy(a, b, size);
        memcpy(b, swap, size);
    }
}

static void measure(TapulCut *cut) {
    double along_mm = 0;
    g_array_set_size(cut->along_mm, 0);
    for (guint i = 0; i < cut->points->len; i++) {
        if (i > 0)
            along_mm += tapul_vec3_distance(g_array_index(cut->points, TapulVec3, i),
                                            g_array_index(cut->points, TapulVec3, i - 1));
        g_array_append_val(cut->along_mm, along_mm);
    }
}

TapulCut *tapul_cut_through(const TapulMesh *mesh, TapulPlane plane, int triangle) {
    int side[2];
    if (!cut_sides(mesh, plane, triangle, side))
        return NULL;
    TapulCut *cut = g_new0(TapulCut, 1);
    cut->points = g_array_new(FALSE, FALSE, sizeof(TapulVec3));
    cut->triangles = g_array_new(FALSE, FALSE, sizeof(int));
    cut->along_mm = g_array_new(FALSE, FALSE, sizeof(double));

    TapulVec3 first, second;
    edge_cut(mesh, plane, triangle, side[0], &first);
    edge_cut(mesh, plane, triangle, side[1], &second);
    g_array_append_val(cut->points, first);
    gboolean closed =
        walk(mesh, plane, triangle, side[0], triangle, cut->points, cut->triangles);
    reverse(cut->points, sizeof(TapulVec3));
    reverse(cut->triangles, sizeof(int));
    g_array_append_val(cut->points, second);
    g_array_append_val(cut->triangles, triangle);
    if (!closed)
        walk(mesh, plane, triangle, side[1], triangle, cut->points, cut->triangles);
    measure(cut);
    return cut;
}

void tapul_cut_free(TapulCut *cut) {
    if (!cut)
        return;
    g_array_unref(cut->points);
    g_array_unref(cut->triangles);
    g_array_unref(cut->along_mm);
    g_free(cut);
}

void tapul_cut_reverse(TapulCut *cut) {
    reverse(cut->points, sizeof(TapulVec3));
    reverse(cut->triangles, sizeof(int));
    measure(cut);
}

/* The first n elements go behind the others. */
static void rotate(GArray *array, guint n, guint size) {
    g_autofree char *moved = g_memdup2(array->data, (gsize)n * size);
    memmove(array->data, array->data + (gsize)n * size, (gsize)(array->len - n) * size);
    memcpy(array->data + (gsize)(array->len - n) * size, moved, (gsize)n * size);
}

/* Whether the last triangle is a neighbour of the first: at a seam it is none, though the ends
 * are at one place. */
static gboolean is_closed(const TapulMesh *mesh, const TapulCut *cut) {
    guint n = cut->triangles->len;
    const TapulVec3 *point = (const TapulVec3 *)(const void *)cut->points->data;
    const int *over = mesh->across[g_array_index(cut->triangles, int, n - 1)];
    int first = g_array_index(cut->triangles, int, 0);
    return n > 2 && (over[0] == first || over[1] == first || over[2] == first) &&
           tapul_vec3_distance(point[0], point[n]) <= ON_PLANE_MM;
}

void tapul_cut_centre(const TapulMesh *mesh, TapulCut *cut, double *along_mm) {
    guint n = cut->triangles->len;
    if (!is_closed(mesh, cut))
        return;
    double length_mm = tapul_cut_length_mm(cut), share;
    double opposite_mm = *along_mm + (*along_mm < length_mm / 2 ? 0.5 : -0.5) * length_mm;
    guint start = tapul_cut_segment(cut, opposite_mm, &share);
    double before_mm = g_array_index(cut->along_mm, double, start);
    *along_mm += before_mm <= *along_mm ? -before_mm : length_mm - before_mm;
    g_array_set_size(cut->points, n);
    rotate(cut->points, start, sizeof(TapulVec3));
    rotate(cut->triangles, start, sizeof(int));
    TapulVec3 again = g_array_index(cut->points, TapulVec3, 0);
    g_array_append_val(cut->points, again);
    measure(cut);
}

double tapul_cut_length_mm(const TapulCut *cut) {
    return g_array_index(cut->along_mm, double, cut->along_mm->len - 1);
}

guint tapul_cut_segment(const TapulCut *cut, double along_mm, double *share) {
    const double *along = (const double *)cut->along_mm->data;
    guint low = 0, high = cut->along_mm->len - 1;
    while (high - low > 1) {
        guint middle = (low + high) / 2;
        *(along[middle] <= along_mm ? &low : &high) = middle;
    }
    double step = along[low + 1] - along[low];
    *share = step > 0 ? CLAMP((along_mm - along[low]) / step, 0.0, 1.0) : 0;
    return low;
}

TapulVec3 tapul_cut_point_mm(const TapulCut *cut, double along_mm) {
    double share;
    guint i = tapul_cut_segment(cut, along_mm, &share);
    return tapul_vec3_mix(g_array_index(cut->points, TapulVec3, i),
                          g_array_index(cut->points, TapulVec3, i + 1), share);
}

/* Barycentric weights of a point of a triangle's plane, rounding errors outside cut off. */
static TapulSpot spot_in_triangle(const TapulMesh *mesh, int triangle, TapulVec3 point) {
    TapulSpot spot = {.triangle = triangle};
    TapulVec3 corner[3];
    for (int k = 0; k < 3; k++)
        corner[k] = mesh->position_mm[mesh->corner[triangle][k]];
    TapulVec3 normal = tapul_vec3_cross(tapul_vec3_sub(corner[1], corner[0]),
                                        tapul_vec3_sub(corner[2], corner[0]));
    double sum = 0;
    for (int k = 0; k < 3; k++) {
        TapulVec3 opposite = tapul_vec3_cross(tapul_vec3_sub(corner[(k + 1) % 3], point),
                                              tapul_vec3_sub(corner[(k + 2) % 3], point));
        spot.weight[k] = fmax(0, tapul_vec3_dot(opposite, normal));
        sum += spot.weight[k];
    }
    for (int k = 0; k < 3; k++)
        spot.weight[k] /= sum;
    return spot;
}

TapulSpot tapul_cut_spot(const TapulMesh *mesh, const TapulCut *cut, double along_mm) {
    double share;
    guint i = tapul_cut_segment(cut, along_mm, &share);
    return spot_in_triangle(mesh, g_array_index(cut->triangles, int, i),
                            tapul_cut_point_mm(cut, along_mm));
}

/* --- From a spot --- */

static gboolean shares_corner(const TapulMesh *mesh, int t, int s) {
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            if (mesh->corner[t][i] == mesh->corner[s][j])
                return TRUE;
    return FALSE;
}

/* All triangles that touch triangle t, itself first. */
static GArray *touching_triangles(const TapulMesh *mesh, int t) {
    GArray *found = g_array_new(FALSE, FALSE, sizeof(int));
    g_array_append_val(found, t);
    for (guint i = 0; i < found->len; i++) {
        for (int k = 0; k < 3; k++) {
            int next = mesh->across[g_array_index(found, int, i)][k];
            gboolean known = next < 0 || !shares_corner(mesh, t, next);
            for (guint j = 0; j < found->len && !known; j++)
                known = g_array_index(found, int, j) == next;
            if (!known)
                g_array_append_val(found, next);
        }
    }
    return found;
}

static double segment_distance(TapulVec3 p, TapulVec3 a, TapulVec3 b, double *share) {
    TapulVec3 edge = tapul_vec3_sub(b, a);
    double length2 = tapul_vec3_dot(edge, edge);
    *share =
        length2 > 0 ? CLAMP(tapul_vec3_dot(tapul_vec3_sub(p, a), edge) / length2, 0.0, 1.0) : 0;
    return tapul_vec3_distance(p, tapul_vec3_mix(a, b, *share));
}

TapulCut *tapul_cut_at(const TapulMesh *mesh, TapulPlane plane, TapulSpot spot,
                       double *along_mm) {
    TapulVec3 point = tapul_mesh_flat_position_mm(mesh, spot);
    g_autoptr(GArray) candidates = touching_triangles(mesh, spot.triangle);
    double nearest = INFINITY, share;
    int home = -1;

    for (guint i = 0; i < candidates->len; i++) {
        int t = g_array_index(candidates, int, i), side[2];
        TapulVec3 a, b;
        if (!cut_sides(mesh, plane, t, side))
            continue;
        edge_cut(mesh, plane, t, side[0], &a);
        edge_cut(mesh, plane, t, side[1], &b);
        double distance = segment_distance(point, a, b, &share);
        if (distance < nearest) {
            nearest = distance;
            home = t;
        }
    }
    if (home < 0)
        return NULL;
    TapulCut *cut = tapul_cut_through(mesh, plane, home);
    for (guint i = 0; i < cut->triangles->len; i++) {
        if (g_array_index(cut->triangles, int, i) != home)
            continue;
        segment_distance(point, g_array_index(cut->points, TapulVec3, i),
                         g_array_index(cut->points, TapulVec3, i + 1), &share);
        double from = g_array_index(cut->along_mm, double, i),
               to = g_array_index(cut->along_mm, double, i + 1);
        *along_mm = from + share * (to - from);
    }
    return cut;
}
