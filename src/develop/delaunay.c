/* The intrinsic Delaunay triangulation, for the conformal map: with thin or obtuse triangles
 * the mesh's own cotangent weights are negative, and the map folds. Edges are flipped within
 * the surface, lengths alone being known. Fisher, Springborn, Bobenko & Schroeder, An Algorithm
 * for the Construction of Intrinsic Delaunay Triangulations, SIGGRAPH Courses 2006. */
#include "develop/delaunay.h"

/* A sum of cotangents above this is not negative beyond rounding: four points on a circle may
 * not be flipped to and fro. */
#define ROUNDING -1e-10
/* Flips end by themselves, after fewer than this many for each edge in all meshes tried;
 * rounding shall not make them endless. */
#define MAX_FLIPS_PER_EDGE 50

/* Sides are numbered 3 t + k: side k of triangle t lies opposite its corner k. */
typedef struct {
    int n_sides;
    int *corner;    /* [n_sides] vertex opposite */
    int *twin;      /* [n_sides] the same edge in the next triangle; -1: none */
    double *length; /* [n_sides] mm */
} Sides;

static inline int next(int side) {
    return side % 3 == 2 ? side - 2 : side + 1;
}

static inline int previous(int side) {
    return side % 3 == 0 ? side + 2 : side - 1;
}

static int find_twin(const TapulMesh *mesh, int triangle, int k) {
    int over = mesh->across[triangle][k], tail = mesh->corner[triangle][(k + 1) % 3];
    for (int j = 0; over >= 0 && j < 3; j++)
        if (mesh->across[over][j] == triangle && mesh->corner[over][(j + 2) % 3] == tail)
            return 3 * over + j;
    return -1;
}

static Sides sides_new(const TapulMesh *mesh) {
    gsize n = 3 * (gsize)mesh->n_triangles;
    Sides sides = {(int)n, g_new(int, n), g_new(int, n), g_new(double, n)};
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            const int *corner = mesh->corner[t];
            sides.corner[3 * t + k] = corner[k];
            sides.twin[3 * t + k] = find_twin(mesh, t, k);
            sides.length[3 * t + k] = tapul_vec3_distance(
                mesh->position_mm[corner[(k + 1) % 3]], mesh->position_mm[corner[(k + 2) % 3]]);
        }
    return sides;
}

static void sides_clear(Sides *sides) {
    g_free(sides->corner);
    g_free(sides->twin);
    g_free(sides->length);
}

/* The apex over a side laid from (0, 0) to (length, 0), from the lengths alone. */
static TapulVec2 apex(const Sides *sides, int side) {
    double base = sides->length[side];
    double from_tail = sides->length[previous(side)], from_head = sides->length[next(side)];
    double x = 0.5 * (base + (from_tail - from_head) * (from_tail + from_head) / base);
    return tapul_vec2(x, sqrt(fmax(0, (from_tail - x) * (from_tail + x))));
}

/* Cotangent of the angle opposite a side. */
static double cotangent(const Sides *sides, int side) {
    TapulVec2 at = apex(sides, side);
    TapulVec2 to_tail = {-at.x, -at.y}, to_head = {sides->length[side] - at.x, -at.y};
    return tapul_vec2_dot(to_tail, to_head) / tapul_vec2_cross(to_tail, to_head);
}

static double twice_weight(const Sides *sides, int side) {
    int twin = sides->twin[side];
    return cotangent(sides, side) + (twin >= 0 ? cotangent(sides, twin) : 0);
}

/* Takes the edge of a side out of its quadrangle and puts the other diagonal in. outer[4]
 * receives the quadrangle's sides. */
static void flip(Sides *sides, int side, int outer[4]) {
    int twin = sides->twin[side];
    TapulVec2 above = apex(sides, side), below = apex(sides, twin);
    /* The twin runs the other way, on the other side of the edge. */
    double diagonal = hypot(above.x - (sides->length[side] - below.x), above.y + below.y);
    int first = side - side % 3, second = twin - twin % 3;
    int top = sides->corner[side], bottom = sides->corner[twin];
    int tail = sides->corner[next(side)], head = sides->corner[previous(side)];
    /* Counter-clockwise from the tail: tail-bottom, bottom-head, head-top, top-tail. */
    const int was[4] = {next(twin), previous(twin), next(side), previous(side)};
    const int is[4] = {first, second + 2, second, first + 2};
    int beyond[4];
    double length[4];
    for (int i = 0; i < 4; i++) {
        beyond[i] = sides->twin[was[i]];
        length[i] = sides->length[was[i]];
        /* The quadrangle may touch itself. */
        for (int j = 0; j < 4; j++)
            if (sides->twin[was[i]] == was[j])
                beyond[i] = is[j];
    }
    const int corner[2][3] = {{top, tail, bottom}, {bottom, head, top}};
    for (int k = 0; k < 3; k++) {
        sides->corner[first + k] = corner[0][k];
        sides->corner[second + k] = corner[1][k];
    }
    sides->twin[first + 1] = second + 1;
    sides->twin[second + 1] = first + 1;
    sides->length[first + 1] = sides->length[second + 1] = diagonal;
    for (int i = 0; i < 4; i++) {
        outer[i] = is[i];
        sides->length[is[i]] = length[i];
        sides->twin[is[i]] = beyond[i];
        if (beyond[i] >= 0)
            sides->twin[beyond[i]] = is[i];
    }
}

/* Flips edges of negative weight until there is none. */
static void make_delaunay(Sides *sides) {
    g_autoptr(GArray) waiting = g_array_new(FALSE, FALSE, sizeof(int));
    for (int side = 0; side < sides->n_sides; side++)
        if (sides->twin[side] > side)
            g_array_append_val(waiting, side);
    gint64 flips_left = (gint64)MAX_FLIPS_PER_EDGE * sides->n_sides;
    while (waiting->len > 0 && flips_left > 0) {
        int side = g_array_index(waiting, int, waiting->len - 1), outer[4];
        g_array_set_size(waiting, waiting->len - 1);
        if (sides->twin[side] < 0 || twice_weight(sides, side) >= ROUNDING)
            continue;
        flip(sides, side, outer);
        g_array_append_vals(waiting, outer, 4);
        flips_left--;
    }
}

TapulEdges *tapul_edges_delaunay(const TapulRest *rest) {
    Sides sides = sides_new(rest->mesh);
    make_delaunay(&sides);
    TapulEdges *edges = g_new0(TapulEdges, 1);
    edges->n_vertices = rest->mesh->n_vertices;
    gsize n_sides = 3 * (gsize)rest->mesh->n_triangles;
    edges->edge = g_malloc_n(n_sides, sizeof *edges->edge);
    edges->weight = g_new(double, n_sides);
    for (int side = 0; side < sides.n_sides; side++) {
        int from = sides.corner[next(side)], to = sides.corner[previous(side)];
        /* An edge from a vertex to itself carries no difference. */
        if (sides.twin[side] > side || from == to)
            continue;
        edges->edge[edges->n_edges][0] = from;
        edges->edge[edges->n_edges][1] = to;
        edges->weight[edges->n_edges++] = 0.5 * twice_weight(&sides, side);
    }
    sides_clear(&sides);
    return edges;
}
