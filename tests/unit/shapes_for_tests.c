/* Meshes with known developments, made by code. */
#include "shapes_for_tests.h"

/* Always the same jitter. */
#define JITTER_SEED 20
/* Largest move of a jittered vertex, as a share of the rings' distance. */
#define JITTER_SHARE 0.2

static TapulMesh *finish(int n_vertices, const TapulVec3 *position_mm, GArray *corner) {
    g_autoptr(GError) error = NULL;
    TapulMesh *mesh = tapul_mesh_new(n_vertices, position_mm, (int)corner->len / 3,
                                     (const int(*)[3])(void *)corner->data, &error);
    if (!mesh)
        g_error("a shape for tests is no mesh: %s", error->message);
    g_array_unref(corner);
    return mesh;
}

static void add_triangle(GArray *corner, int a, int b, int c) {
    int triangle[3] = {a, b, c};
    g_array_append_vals(corner, triangle, 3);
}

/* Ring k has 6 k vertices and begins after the 1 + 3 k (k - 1) inside it. */
static int ring_vertex(int ring, int i) {
    return ring == 0 ? 0 : 1 + 3 * ring * (ring - 1) + i % (6 * ring);
}

static GArray *ring_triangles(int n_rings) {
    GArray *corner = g_array_new(FALSE, FALSE, sizeof(int));
    for (int ring = 1; ring <= n_rings; ring++)
        for (int side = 0; side < 6; side++)
            for (int i = 0; i < ring; i++) {
                int out = side * ring + i, in = side * (ring - 1) + i;
                add_triangle(corner, ring_vertex(ring - 1, in), ring_vertex(ring, out),
                             ring_vertex(ring, out + 1));
                if (i < ring - 1)
                    add_triangle(corner, ring_vertex(ring - 1, in), ring_vertex(ring, out + 1),
                                 ring_vertex(ring - 1, in + 1));
            }
    return corner;
}

TapulMesh *shape_over_disc(ShapeOverDisc point, const double *parameter, int n_triangles,
                           ShapeTriangulation triangulation) {
    int n_rings = MAX(1, (int)lround(sqrt(n_triangles / 6.0)));
    int n_vertices = 1 + 3 * n_rings * (n_rings + 1), v = 0;
    g_autofree TapulVec3 *position_mm = g_new(TapulVec3, n_vertices);
    g_autoptr(GRand) random = g_rand_new_with_seed(JITTER_SEED);
    for (int ring = 0; ring <= n_rings; ring++)
        for (int i = 0; i < MAX(1, 6 * ring); i++) {
            double rho = (double)ring / n_rings, angle_rad = 2 * G_PI * i / MAX(1, 6 * ring);
            TapulVec2 at = {rho * cos(angle_rad), rho * sin(angle_rad)};
            double move =
                triangulation == SHAPE_JITTERED && ring < n_rings ? JITTER_SHARE / n_rings : 0;
            at.x += move * g_rand_double_range(random, -1, 1);
            at.y += move * g_rand_double_range(random, -1, 1);
            position_mm[v++] = point(hypot(at.x, at.y), atan2(at.y, at.x), parameter);
        }
    return finish(n_vertices, position_mm, ring_triangles(n_rings));
}

static TapulVec3 on_flat_disc(double rho, double angle_rad, const double *parameter) {
    return tapul_vec3(parameter[0] * rho * cos(angle_rad), parameter[0] * rho * sin(angle_rad),
                      0);
}

TapulMesh *shape_flat_disc(double radius_mm, int n_triangles,
                           ShapeTriangulation triangulation) {
    return shape_over_disc(on_flat_disc, &radius_mm, n_triangles, triangulation);
}

static TapulVec3 on_cap(double rho, double angle_rad, const double *parameter) {
    double radius_mm = parameter[0], polar_rad = parameter[1] * rho;
    return tapul_vec3(radius_mm * sin(polar_rad) * cos(angle_rad),
                      radius_mm * sin(polar_rad) * sin(angle_rad), radius_mm * cos(polar_rad));
}

TapulMesh *shape_cap(double radius_mm, double alpha_rad, int n_triangles,
                     ShapeTriangulation triangulation) {
    double parameter[] = {radius_mm, alpha_rad};
    return shape_over_disc(on_cap, parameter, n_triangles, triangulation);
}

static TapulVec3 on_half_spheroid(double rho, double angle_rad, const double *parameter) {
    double polar_rad = G_PI / 2 * rho;
    return tapul_vec3(parameter[0] * sin(polar_rad) * cos(angle_rad),
                      parameter[0] * sin(polar_rad) * sin(angle_rad),
                      parameter[1] * cos(polar_rad));
}

TapulMesh *shape_half_spheroid(double across_mm, double up_mm, int n_triangles,
                               ShapeTriangulation triangulation) {
    double parameter[] = {across_mm, up_mm};
    return shape_over_disc(on_half_spheroid, parameter, n_triangles, triangulation);
}

static TapulVec3 on_bumpy_disc(double rho, double angle_rad, const double *parameter) {
    double x = rho * cos(angle_rad), y = rho * sin(angle_rad);
    double turn_rad = G_PI * parameter[2];
    return tapul_vec3(parameter[0] * x, parameter[0] * y,
                      parameter[1] * cos(turn_rad * x) * cos(turn_rad * y));
}

TapulMesh *shape_bumpy_disc(double radius_mm, double height_mm, double n_bumps, int n_triangles,
                            ShapeTriangulation triangulation) {
    double parameter[] = {radius_mm, height_mm, n_bumps};
    return shape_over_disc(on_bumpy_disc, parameter, n_triangles, triangulation);
}

/* A net of n_u by n_v quads, u running faster; diagonals alternate. */
static GArray *net_triangles(int n_u, int n_v) {
    GArray *corner = g_array_new(FALSE, FALSE, sizeof(int));
    for (int j = 0; j < n_v; j++)
        for (int i = 0; i < n_u; i++) {
            int a = j * (n_u + 1) + i, b = a + 1, d = a + n_u + 1, c = d + 1;
            gboolean even = (i + j) % 2 == 0;
            add_triangle(corner, a, b, even ? c : d);
            add_triangle(corner, even ? a : b, c, d);
        }
    return corner;
}

TapulMesh *shape_frustum(double lower_radius_mm, double upper_radius_mm, double height_mm,
                         double sweep_rad, int n_around, int n_up) {
    int n_vertices = (n_around + 1) * (n_up + 1), v = 0;
    g_autofree TapulVec3 *position_mm = g_new(TapulVec3, n_vertices);
    for (int j = 0; j <= n_up; j++)
        for (int i = 0; i <= n_around; i++) {
            double up = (double)j / n_up;
            double angle_rad = sweep_rad * ((double)i / n_around - 0.5);
            double radius_mm = lower_radius_mm + up * (upper_radius_mm - lower_radius_mm);
            position_mm[v++] = tapul_vec3(radius_mm * sin(angle_rad), height_mm * up,
                                          radius_mm * cos(angle_rad));
        }
    return finish(n_vertices, position_mm, net_triangles(n_around, n_up));
}

TapulMesh *shape_torus(double ring_radius_mm, double tube_radius_mm, double around_rad,
                       double about_rad, int n_around, int n_about) {
    int n_vertices = (n_around + 1) * (n_about + 1), v = 0;
    g_autofree TapulVec3 *position_mm = g_new(TapulVec3, n_vertices);
    for (int j = 0; j <= n_about; j++)
        for (int i = 0; i <= n_around; i++) {
            double angle_rad = around_rad * i / n_around;
            double tube_rad = about_rad * ((double)j / n_about - 0.5);
            double radius_mm = ring_radius_mm + tube_radius_mm * cos(tube_rad);
            position_mm[v++] =
                tapul_vec3(radius_mm * cos(angle_rad), radius_mm * sin(angle_rad),
                           tube_radius_mm * sin(tube_rad));
        }
    return finish(n_vertices, position_mm, net_triangles(n_around, n_about));
}
