/* Cutting a face of many corners into triangles: the shorter diagonal for convex
 * quadrilaterals, a fan for other convex faces, ears cut off one by one for the rest (Meisters
 * 1975, Polygons have ears, Amer. Math. Monthly 82). Every corner is kept, also those on a
 * straight side: neighbours have it too. */
#include "plate/mesh_internal.h"
#include "plate/mesh_read.h"

/* The corners in the face's plane. */
typedef struct {
    int n;
    const TapulVec2 *at; /* [n] */
    int *ring;           /* [n_left] corners that are not cut off yet */
    int n_left;
    GArray *triangle;
} Cutting;

/* Newell's normal: twice the area along the face's normal (Sutherland, Sproull & Schumacker
 * 1974). */
static TapulVec3 newell_normal(int n, const TapulVec3 *position) {
    TapulVec3 sum = {0, 0, 0};
    for (int k = 1; k + 1 < n; k++)
        sum =
            tapul_vec3_add(sum, tapul_vec3_cross(tapul_vec3_sub(position[k], position[0]),
                                                 tapul_vec3_sub(position[k + 1], position[0])));
    return sum;
}

static TapulVec2 *flatten(int n, const TapulVec3 *position, TapulVec3 normal) {
    TapulVec3 up = tapul_vec3_unit(normal);
    TapulVec3 least = fabs(up.x) < fabs(up.y) ? tapul_vec3(1, 0, 0) : tapul_vec3(0, 1, 0);
    TapulVec3 across = tapul_vec3_unit(tapul_vec3_cross(least, up));
    TapulVec3 along = tapul_vec3_cross(up, across);
    TapulVec2 *at = g_new(TapulVec2, n);
    for (int k = 0; k < n; k++) {
        TapulVec3 from = tapul_vec3_sub(position[k], position[0]);
        at[k] = tapul_vec2(tapul_vec3_dot(from, across), tapul_vec3_dot(from, along));
    }
    return at;
}

static double turn(TapulVec2 a, TapulVec2 b, TapulVec2 c) {
    return tapul_vec2_cross(tapul_vec2_sub(b, a), tapul_vec2_sub(c, b));
}

/* All corners turn left, and all of them together once round. */
static gboolean is_convex(int n, const TapulVec2 *at) {
    double turned_rad = 0;
    for (int k = 0; k < n; k++) {
        TapulVec2 a = at[k], b = at[(k + 1) % n], c = at[(k + 2) % n];
        double cross = turn(a, b, c);
        if (!(cross > 0))
            return FALSE;
        turned_rad += atan2(cross, tapul_vec2_dot(tapul_vec2_sub(b, a), tapul_vec2_sub(c, b)));
    }
    /* Whole turns: anything between one and two tells them apart. */
    return turned_rad < 3 * G_PI;
}

static void add_triangle(GArray *triangle, int a, int b, int c) {
    int corner[3] = {a, b, c};
    g_array_append_vals(triangle, corner, 3);
}

static void cut_convex(int n, const TapulVec3 *position, GArray *triangle) {
    /* Of a quadrilateral's diagonals the shorter bends the surface less. */
    int from = n == 4 && tapul_vec3_distance(position[1], position[3]) <
                             tapul_vec3_distance(position[0], position[2]);
    for (int k = 1; k + 1 < n; k++)
        add_triangle(triangle, from, (from + k) % n, (from + k + 1) % n);
}

static TapulVec2 ring_at(const Cutting *cutting, int i) {
    return cutting->at[cutting->ring[(i + cutting->n_left) % cutting->n_left]];
}

static gboolean is_same(TapulVec2 a, TapulVec2 b) {
    return a.x == b.x && a.y == b.y;
}

/* A corner is an ear if it turns left and no other corner lies in or on its triangle; those of
 * a bridge to a hole, which is gone along twice, may lie on each other. */
static gboolean is_ear(const Cutting *cutting, int i) {
    TapulVec2 a = ring_at(cutting, i - 1), b = ring_at(cutting, i), c = ring_at(cutting, i + 1);
    if (!(turn(a, b, c) > 0))
        return FALSE;
    for (int step = 2; step < cutting->n_left - 1; step++) {
        TapulVec2 p = ring_at(cutting, i + step);
        if (is_same(p, a) || is_same(p, b) || is_same(p, c))
            continue;
        if (turn(a, b, p) >= 0 && turn(b, c, p) >= 0 && turn(c, a, p) >= 0)
            return FALSE;
    }
    return TRUE;
}

static int find_ear(const Cutting *cutting, int from) {
    for (int step = 0; step < cutting->n_left; step++) {
        int i = (from + step) % cutting->n_left;
        if (is_ear(cutting, i))
            return i;
    }
    return -1;
}

static void cut_off(Cutting *cutting, int i) {
    int *ring = cutting->ring, n = cutting->n_left;
    add_triangle(cutting->triangle, ring[(i + n - 1) % n], ring[i], ring[(i + 1) % n]);
    for (int k = i; k + 1 < n; k++)
        ring[k] = ring[k + 1];
    cutting->n_left--;
}

static gboolean cut_ears(int n, const TapulVec2 *at, GArray *triangle) {
    g_autofree int *ring = g_new(int, n);
    for (int k = 0; k < n; k++)
        ring[k] = k;
    Cutting cutting = {n, at, ring, n, triangle};
    /* Going on behind the last ear keeps the triangles from all meeting in one corner. */
    for (int from = 0; cutting.n_left > 3;) {
        int ear = find_ear(&cutting, from);
        if (ear < 0)
            return FALSE;
        cut_off(&cutting, ear);
        from = ear;
    }
    /* Faces that cross themselves leave a triangle the wrong way round. */
    gboolean good = turn(ring_at(&cutting, 0), ring_at(&cutting, 1), ring_at(&cutting, 2)) >= 0;
    cut_off(&cutting, 1);
    return good;
}

gboolean tapul_mesh_cut_polygon(int n, const TapulVec3 *position, GArray *triangle) {
    if (n == 3) {
        add_triangle(triangle, 0, 1, 2);
        return TRUE;
    }
    TapulVec3 normal = newell_normal(n, position);
    if (!(tapul_vec3_length(normal) > 0))
        return TRUE;
    g_autofree TapulVec2 *at = flatten(n, position, normal);
    if (is_convex(n, at)) {
        cut_convex(n, position, triangle);
        return TRUE;
    }
    return n <= TAPUL_MESH_POLYGON_LIMIT && cut_ears(n, at, triangle);
}
