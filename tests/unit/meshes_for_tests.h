/* Shapes with known figures, for the tests of meshes. */
#ifndef MESHES_FOR_TESTS_H
#define MESHES_FOR_TESTS_H

#include <tapul/mesh.h>

/* Points of a surface over the unit square of (u, v). */
typedef TapulVec3 (*ShapePoint)(double u, double v);

typedef struct {
    GArray *position; /* of TapulVec3 */
    GArray *corner;   /* of int, three each triangle */
} Shape;

static inline Shape shape_new(void) {
    return (Shape){g_array_new(FALSE, FALSE, sizeof(TapulVec3)),
                   g_array_new(FALSE, FALSE, sizeof(int))};
}

static inline void shape_add_vertex(Shape *shape, TapulVec3 p) {
    g_array_append_val(shape->position, p);
}

static inline void shape_add_triangle(Shape *shape, int a, int b, int c) {
    int corner[3] = {a, b, c};
    g_array_append_vals(shape->corner, corner, 3);
}

static inline TapulMesh *shape_try(Shape *shape, GError **error) {
    TapulMesh *mesh = tapul_mesh_new(
        (int)shape->position->len, (const TapulVec3 *)shape->position->data,
        (int)shape->corner->len / 3, (const int(*)[3])shape->corner->data, error);
    g_array_unref(shape->position);
    g_array_unref(shape->corner);
    return mesh;
}

static inline TapulMesh *shape_finish(Shape *shape) {
    g_autoptr(GError) error = NULL;
    TapulMesh *mesh = shape_try(shape, &error);
    if (!mesh)
        g_error("%s", error->message);
    return mesh;
}

/* A net of n_u by n_v quads, closed in u or v where asked; diagonals alternate. */
static inline Shape shape_net(int n_u, int n_v, gboolean close_u, gboolean close_v,
                              ShapePoint point) {
    Shape shape = shape_new();
    int columns = n_u + !close_u, rows = n_v + !close_v;
    for (int j = 0; j < rows; j++)
        for (int i = 0; i < columns; i++)
            shape_add_vertex(&shape, point((double)i / n_u, (double)j / n_v));
    for (int j = 0; j < n_v; j++)
        for (int i = 0; i < n_u; i++) {
            int right = (i + 1) % columns, up = (j + 1) % rows;
            int a = j * columns + i, b = j * columns + right, c = up * columns + right,
                d = up * columns + i;
            gboolean even = (i + j) % 2 == 0;
            shape_add_triangle(&shape, a, b, even ? c : d);
            shape_add_triangle(&shape, even ? a : b, c, d);
        }
    return shape;
}

static inline TapulVec3 on_square(double u, double v) {
    return tapul_vec3(u, v, 0);
}
/* R 120, r 30, as in the torus figures; outward normal. */
static inline TapulVec3 on_torus(double u, double v) {
    double a = 2 * G_PI * u, b = 2 * G_PI * v;
    double ring = 120 + 30 * cos(b);
    return tapul_vec3(ring * cos(a), ring * sin(a), 30 * sin(b));
}
/* The outer half of that torus. */
static inline TapulVec3 on_outer_torus(double u, double v) {
    return on_torus(u, v / 2 - 0.25);
}
/* Radius 1, length 3. */
static inline TapulVec3 on_tube(double u, double v) {
    return tapul_vec3(cos(2 * G_PI * u), sin(2 * G_PI * u), 3 * v);
}

static const int icosahedron_corner[20][3] = {
    {0, 11, 5},  {0, 5, 1},  {0, 1, 7},  {0, 7, 10}, {0, 10, 11}, {1, 5, 9}, {5, 11, 4},
    {11, 10, 2}, {10, 7, 6}, {7, 1, 8},  {3, 9, 4},  {3, 4, 2},   {3, 2, 6}, {3, 6, 8},
    {3, 8, 9},   {4, 9, 5},  {2, 4, 11}, {6, 2, 10}, {8, 6, 7},   {9, 8, 1}};

/* The vertex halfway between two, made once. */
static inline int shape_midpoint(Shape *shape, GHashTable *made, int a, int b) {
    gint64 key = (gint64)MIN(a, b) << 32 | MAX(a, b);
    gpointer found = g_hash_table_lookup(made, &key);
    if (found)
        return GPOINTER_TO_INT(found) - 1;
    TapulVec3 middle =
        tapul_vec3_unit(tapul_vec3_add(g_array_index(shape->position, TapulVec3, a),
                                       g_array_index(shape->position, TapulVec3, b)));
    shape_add_vertex(shape, middle);
    gint64 *kept = g_new(gint64, 1);
    *kept = key;
    g_hash_table_insert(made, kept, GINT_TO_POINTER((int)shape->position->len));
    return (int)shape->position->len - 1;
}

/* A unit sphere: an icosahedron parted `levels` times into four. */
static inline Shape shape_sphere(int levels) {
    Shape shape = shape_new();
    double g = (1 + sqrt(5)) / 2;
    TapulVec3 vertex[12] = {{-1, g, 0}, {1, g, 0}, {-1, -g, 0}, {1, -g, 0},
                            {0, -1, g}, {0, 1, g}, {0, -1, -g}, {0, 1, -g},
                            {g, 0, -1}, {g, 0, 1}, {-g, 0, -1}, {-g, 0, 1}};
    for (int v = 0; v < 12; v++)
        shape_add_vertex(&shape, tapul_vec3_unit(vertex[v]));
    g_array_append_vals(shape.corner, icosahedron_corner, 60);
    for (int level = 0; level < levels; level++) {
        GArray *coarse = shape.corner;
        g_autoptr(GHashTable) made =
            g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
        shape.corner = g_array_new(FALSE, FALSE, sizeof(int));
        for (guint t = 0; t < coarse->len; t += 3) {
            const int *c = &g_array_index(coarse, int, t);
            int ab = shape_midpoint(&shape, made, c[0], c[1]);
            int bc = shape_midpoint(&shape, made, c[1], c[2]);
            int ca = shape_midpoint(&shape, made, c[2], c[0]);
            shape_add_triangle(&shape, c[0], ab, ca);
            shape_add_triangle(&shape, ab, c[1], bc);
            shape_add_triangle(&shape, ca, bc, c[2]);
            shape_add_triangle(&shape, ab, bc, ca);
        }
        g_array_unref(coarse);
    }
    return shape;
}

/* The sphere stretched to semi-axes across (x and z) and up (y). */
static inline TapulMesh *mesh_spheroid(int levels, double across, double up) {
    Shape shape = shape_sphere(levels);
    for (guint v = 0; v < shape.position->len; v++) {
        TapulVec3 *p = &g_array_index(shape.position, TapulVec3, v);
        *p = tapul_vec3(p->x * across, p->y * up, p->z * across);
    }
    return shape_finish(&shape);
}

static inline TapulMesh *mesh_sphere(int levels) {
    return mesh_spheroid(levels, 1, 1);
}

static inline TapulMesh *mesh_net(int n_u, int n_v, gboolean close_u, gboolean close_v,
                                  ShapePoint point) {
    Shape shape = shape_net(n_u, n_v, close_u, close_v, point);
    return shape_finish(&shape);
}

#endif
