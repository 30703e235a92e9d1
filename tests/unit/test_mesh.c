/* Making meshes, their measures, and points of the smooth surface. */
#include "meshes_for_tests.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static TapulMesh *try_shape(Shape *shape, GError **error) {
    TapulMesh *mesh = shape_try(shape, error);
    ck_assert((mesh == NULL) == (*error != NULL));
    return mesh;
}

/* A refusal must carry the code and tell the fact. */
static void expect_refusal(Shape *shape, TapulMeshError code, const char *part) {
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulMesh) mesh = try_shape(shape, &error);
    ck_assert_ptr_null(mesh);
    ck_assert_msg(g_error_matches(error, TAPUL_MESH_ERROR, (int)code), "code %d: %s",
                  error->code, error->message);
    ck_assert_msg(strstr(error->message, part) != NULL, "'%s' lacks '%s'", error->message,
                  part);
    ck_assert_ptr_null(strchr(error->message, '\n'));
}

static Shape unit_triangle(void) {
    Shape shape = shape_new();
    shape_add_vertex(&shape, tapul_vec3(0, 0, 0));
    shape_add_vertex(&shape, tapul_vec3(1, 0, 0));
    shape_add_vertex(&shape, tapul_vec3(0, 1, 0));
    shape_add_triangle(&shape, 0, 1, 2);
    return shape;
}

START_TEST(unused_vertices_are_dropped) {
    Shape shape = shape_new();
    for (int i = 0; i < 6; i++)
        shape_add_vertex(&shape, tapul_vec3(i, i % 2 ? i * i : 0, 0));
    shape_add_triangle(&shape, 1, 4, 5);
    g_autoptr(TapulMesh) mesh = shape_finish(&shape);
    ck_assert_int_eq(mesh->n_vertices, 3);
    ck_assert_double_eq(mesh->position_mm[mesh->corner[0][0]].x, 1);
    ck_assert_double_eq(mesh->position_mm[mesh->corner[0][1]].x, 4);
    ck_assert_double_eq(mesh->position_mm[mesh->corner[0][2]].x, 5);
}
END_TEST

START_TEST(neighbours_name_each_other) {
    g_autoptr(TapulMesh) mesh = mesh_net(7, 5, TRUE, FALSE, on_tube);
    int n_open = 0;
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            int over = mesh->across[t][k];
            if (over < 0) {
                n_open++;
                continue;
            }
            int back = 0;
            for (int j = 0; j < 3; j++)
                if (mesh->across[over][j] == t) {
                    ck_assert_int_eq(mesh->corner[over][(j + 1) % 3],
                                     mesh->corner[t][(k + 2) % 3]);
                    ck_assert_int_eq(mesh->corner[over][(j + 2) % 3],
                                     mesh->corner[t][(k + 1) % 3]);
                    back++;
                }
            ck_assert_int_eq(back, 1);
        }
    ck_assert_int_eq(n_open, 14);
}
END_TEST

START_TEST(bad_meshes_are_refused_with_the_place) {
    Shape shape = unit_triangle();
    shape_add_triangle(&shape, 0, 1, 3);
    expect_refusal(&shape, TAPUL_MESH_ERROR_VALUE, "names vertex 3; 0 to 2");
    shape = unit_triangle();
    shape_add_triangle(&shape, -1, 1, 2);
    expect_refusal(&shape, TAPUL_MESH_ERROR_VALUE, "names vertex -1");
    shape = unit_triangle();
    g_array_index(shape.position, TapulVec3, 1).y = NAN;
    expect_refusal(&shape, TAPUL_MESH_ERROR_VALUE, "nan");
    shape = unit_triangle();
    g_array_index(shape.position, TapulVec3, 1).z = -INFINITY;
    expect_refusal(&shape, TAPUL_MESH_ERROR_VALUE, "-inf");
    shape = unit_triangle();
    g_array_index(shape.position, TapulVec3, 1).x = 2e9;
    expect_refusal(&shape, TAPUL_MESH_ERROR_VALUE, "2e+09");
    shape = shape_new();
    expect_refusal(&shape, TAPUL_MESH_ERROR_EMPTY, "no faces");
    shape = unit_triangle();
    shape_add_triangle(&shape, 1, 1, 2);
    expect_refusal(&shape, TAPUL_MESH_ERROR_NOT_MANIFOLD,
                   "triangle 1 at (1, 0, 0) mm has no area");
    shape = unit_triangle();
    shape_add_vertex(&shape, tapul_vec3(2, 0, 0));
    shape_add_triangle(&shape, 0, 1, 3);
    expect_refusal(&shape, TAPUL_MESH_ERROR_NOT_MANIFOLD, "no area");
}
END_TEST

START_TEST(what_is_no_surface_is_refused) {
    Shape shape = unit_triangle();
    shape_add_vertex(&shape, tapul_vec3(0, 0, 1));
    shape_add_vertex(&shape, tapul_vec3(0, 0, -1));
    shape_add_triangle(&shape, 1, 0, 3);
    shape_add_triangle(&shape, 1, 0, 4);
    expect_refusal(&shape, TAPUL_MESH_ERROR_NOT_MANIFOLD, "belongs to 3 triangles");
    shape = unit_triangle();
    shape_add_vertex(&shape, tapul_vec3(1, -1, 0));
    shape_add_triangle(&shape, 0, 1, 3);
    expect_refusal(&shape, TAPUL_MESH_ERROR_NOT_MANIFOLD, "wound against each other");
    shape = unit_triangle();
    shape_add_vertex(&shape, tapul_vec3(-1, 0, 0));
    shape_add_vertex(&shape, tapul_vec3(0, -1, 0));
    shape_add_triangle(&shape, 0, 3, 4);
    expect_refusal(&shape, TAPUL_MESH_ERROR_NOT_MANIFOLD, "touch in a single point");
}
END_TEST

/* Areas converge with the square of the edge; two refinements allow Richardson extrapolation.
 */
static double extrapolated(double coarse, double fine) {
    return fine + (fine - coarse) / 3;
}

START_TEST(areas_tend_to_their_closed_forms) {
    g_autoptr(TapulMesh) torus = mesh_net(400, 200, TRUE, TRUE, on_torus);
    g_autoptr(TapulMesh) coarse_torus = mesh_net(200, 100, TRUE, TRUE, on_torus);
    double area_mm2 =
        extrapolated(tapul_mesh_area_mm2(coarse_torus), tapul_mesh_area_mm2(torus));
    /* check-values.md, torus R 120 r 30: recomputed; 4 pi^2 R r. */
    ck_assert_double_eq_tol(area_mm2, 142122.303376, 0.02);
    g_autoptr(TapulMesh) oblate = mesh_spheroid(6, 150, 100);
    g_autoptr(TapulMesh) coarse_oblate = mesh_spheroid(5, 150, 100);
    area_mm2 = extrapolated(tapul_mesh_area_mm2(coarse_oblate), tapul_mesh_area_mm2(oblate));
    ck_assert_double_eq_tol(area_mm2, 222501.843430, 0.1);
    g_autoptr(TapulMesh) prolate = mesh_spheroid(6, 100, 150);
    g_autoptr(TapulMesh) coarse_prolate = mesh_spheroid(5, 100, 150);
    area_mm2 = extrapolated(tapul_mesh_area_mm2(coarse_prolate), tapul_mesh_area_mm2(prolate));
    ck_assert_double_eq_tol(area_mm2, 169182.181635, 0.1);
}
END_TEST

START_TEST(angle_defects_add_up_by_topology) {
    /* Descartes: 4 pi for any closed genus-0 polyhedron (check-values.md, recomputed). */
    g_autoptr(TapulMesh) sphere = mesh_spheroid(4, 150, 100);
    ck_assert_double_eq_tol(tapul_mesh_total_curvature_rad(sphere), 4 * G_PI, 1e-9);
    g_autoptr(TapulMesh) torus = mesh_net(60, 30, TRUE, TRUE, on_torus);
    ck_assert_double_eq_tol(tapul_mesh_total_curvature_rad(torus), 0, 1e-9);
    g_autoptr(TapulMesh) tube = mesh_net(20, 10, TRUE, FALSE, on_tube);
    ck_assert_double_eq_tol(tapul_mesh_total_curvature_rad(tube), 0, 1e-9);
    /* The outer half of a torus: 4 pi, less what the two rows at its edges carry. */
    g_autoptr(TapulMesh) outer = mesh_net(200, 400, TRUE, FALSE, on_outer_torus);
    ck_assert_double_eq_tol(tapul_mesh_total_curvature_rad(outer), 4 * G_PI, 2e-3);
}
END_TEST

static void set_sphere_normals(TapulMesh *mesh) {
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++)
            mesh->normal[t][k] = tapul_vec3_unit(mesh->position_mm[mesh->corner[t][k]]);
}

/* The largest distance of surface points from the unit sphere. */
static double sphere_error(const TapulMesh *mesh, gboolean smooth) {
    double worst = 0;
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int i = 0; i <= 6; i++)
            for (int j = 0; i + j <= 6; j++) {
                TapulSpot spot = {t, {i / 6.0, j / 6.0, (6 - i - j) / 6.0}};
                TapulVec3 p = smooth ? tapul_mesh_smooth_position_mm(mesh, spot)
                                     : tapul_mesh_flat_position_mm(mesh, spot);
                worst = fmax(worst, fabs(tapul_vec3_length(p) - 1));
            }
    return worst;
}

START_TEST(smooth_positions_err_by_a_higher_order) {
    g_autoptr(TapulMesh) coarse = mesh_sphere(3);
    g_autoptr(TapulMesh) fine = mesh_sphere(4);
    /* Halving the edge must quarter the flat error and divide the smooth one by at least eight.
     */
    double flat_order = log2(sphere_error(coarse, FALSE) / sphere_error(fine, FALSE));
    ck_assert_double_eq_tol(flat_order, 2, 0.1);
    set_sphere_normals(coarse);
    set_sphere_normals(fine);
    double coarse_error = sphere_error(coarse, TRUE), fine_error = sphere_error(fine, TRUE);
    printf("sphere: flat error %.3g, smooth %.3g, smooth order %.2f\n",
           sphere_error(fine, FALSE), fine_error, log2(coarse_error / fine_error));
    ck_assert_double_ge(log2(coarse_error / fine_error), 2.9);
    ck_assert_double_lt(fine_error, 0.02 * sphere_error(fine, FALSE));
}
END_TEST

static double worst_normal_rad(const TapulMesh *sphere) {
    double worst_rad = 0;
    for (int t = 0; t < sphere->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            TapulVec3 outward = sphere->position_mm[sphere->corner[t][k]];
            worst_rad = fmax(worst_rad, tapul_vec3_distance(outward, sphere->normal[t][k]));
        }
    return worst_rad;
}

START_TEST(estimated_normals_tend_to_the_true_ones) {
    g_autoptr(TapulMesh) coarse = mesh_sphere(3);
    g_autoptr(TapulMesh) fine = mesh_sphere(4);
    ck_assert_double_lt(worst_normal_rad(fine), 3e-3);
    /* First order, as triangles about the old corners stay uneven however small they get. */
    ck_assert_double_gt(worst_normal_rad(coarse) / worst_normal_rad(fine), 1.9);
    ck_assert_double_lt(sphere_error(fine, TRUE), 0.05 * sphere_error(fine, FALSE));
}
END_TEST

START_TEST(corners_and_planes_are_kept) {
    g_autoptr(TapulMesh) square = mesh_net(3, 3, FALSE, FALSE, on_square);
    for (int t = 0; t < square->n_triangles; t++) {
        TapulSpot spot = {t, {0.2, 0.3, 0.5}};
        TapulVec3 flat = tapul_mesh_flat_position_mm(square, spot);
        ck_assert_double_lt(
            tapul_vec3_distance(flat, tapul_mesh_smooth_position_mm(square, spot)), 1e-15);
        ck_assert_double_eq_tol(tapul_mesh_smooth_normal(square, spot).z, 1, 1e-15);
    }
    g_autoptr(TapulMesh) sphere = mesh_sphere(2);
    for (int t = 0; t < sphere->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            TapulSpot spot = {t, {k == 0, k == 1, k == 2}};
            TapulVec3 p = tapul_mesh_smooth_position_mm(sphere, spot);
            ck_assert_double_lt(
                tapul_vec3_distance(p, sphere->position_mm[sphere->corner[t][k]]), 1e-15);
        }
}
END_TEST

/* Two quarter cylinders that meet in a ridge bent along a circle. */
static TapulVec3 on_ridged(double u, double v) {
    double across = 60 * (u - 0.5), along = 1.2 * (v - 0.5);
    double radius = 100 - fabs(across);
    return tapul_vec3(across, radius * sin(along), radius * cos(along));
}

/* The largest gap between the two sides' positions of points on shared edges. */
static double worst_gap(const TapulMesh *mesh) {
    double worst = 0;
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            int over = mesh->across[t][k];
            if (over < 0)
                continue;
            int j = mesh->across[over][0] == t ? 0 : mesh->across[over][1] == t ? 1 : 2;
            TapulSpot here = {t, {0, 0, 0}}, there = {over, {0, 0, 0}};
            here.weight[(k + 1) % 3] = there.weight[(j + 2) % 3] = 0.3;
            here.weight[(k + 2) % 3] = there.weight[(j + 1) % 3] = 0.7;
            worst =
                fmax(worst, tapul_vec3_distance(tapul_mesh_smooth_position_mm(mesh, here),
                                                tapul_mesh_smooth_position_mm(mesh, there)));
        }
    return worst;
}

START_TEST(smooth_surface_has_no_gap_even_at_a_crease) {
    g_autoptr(TapulMesh) ridged = mesh_net(10, 12, FALSE, FALSE, on_ridged);
    ck_assert_double_lt(worst_gap(ridged), 1e-12);
    g_autoptr(TapulMesh) sphere = mesh_sphere(3);
    ck_assert_double_lt(worst_gap(sphere), 1e-14);
}
END_TEST

/* Both sides are cones about the x axis. */
static void set_ridged_normals(TapulMesh *mesh) {
    for (int t = 0; t < mesh->n_triangles; t++) {
        double side =
            tapul_mesh_flat_position_mm(mesh, (TapulSpot){t, {1.0 / 3, 1.0 / 3, 1.0 / 3}}).x;
        for (int k = 0; k < 3; k++) {
            TapulVec3 p = mesh->position_mm[mesh->corner[t][k]];
            double radius = hypot(p.y, p.z);
            mesh->normal[t][k] =
                tapul_vec3_unit(tapul_vec3(side > 0 ? 1 : -1, p.y / radius, p.z / radius));
        }
    }
}

START_TEST(ridge_bulges_along_its_own_curve) {
    g_autoptr(TapulMesh) mesh = mesh_net(10, 12, FALSE, FALSE, on_ridged);
    set_ridged_normals(mesh);
    /* The ridge is a circle of radius 100 about the x axis; its chords lie 0.125 inside. */
    double worst_mm = 0, worst_flat_mm = 0;
    int n_found = 0;
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            TapulVec3 a = mesh->position_mm[mesh->corner[t][(k + 1) % 3]];
            TapulVec3 b = mesh->position_mm[mesh->corner[t][(k + 2) % 3]];
            if (fabs(a.x) > 1e-9 || fabs(b.x) > 1e-9)
                continue;
            TapulSpot spot = {t, {0.5, 0.5, 0.5}};
            spot.weight[k] = 0;
            TapulVec3 p = tapul_mesh_smooth_position_mm(mesh, spot);
            worst_mm = fmax(worst_mm, fabs(hypot(p.y, p.z) - 100));
            p = tapul_mesh_flat_position_mm(mesh, spot);
            worst_flat_mm = fmax(worst_flat_mm, fabs(hypot(p.y, p.z) - 100));
            n_found++;
        }
    ck_assert_int_eq(n_found, 24);
    printf("ridge: flat error %.3g mm, smooth %.3g mm\n", worst_flat_mm, worst_mm);
    ck_assert_double_gt(worst_flat_mm, 0.1);
    ck_assert_double_lt(worst_mm, 0.01 * worst_flat_mm);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("mesh");
    TCase *tests = tcase_create("mesh");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, unused_vertices_are_dropped);
    tcase_add_test(tests, neighbours_name_each_other);
    tcase_add_test(tests, bad_meshes_are_refused_with_the_place);
    tcase_add_test(tests, what_is_no_surface_is_refused);
    tcase_add_test(tests, areas_tend_to_their_closed_forms);
    tcase_add_test(tests, angle_defects_add_up_by_topology);
    tcase_add_test(tests, smooth_positions_err_by_a_higher_order);
    tcase_add_test(tests, estimated_normals_tend_to_the_true_ones);
    tcase_add_test(tests, corners_and_planes_are_kept);
    tcase_add_test(tests, smooth_surface_has_no_gap_even_at_a_crease);
    tcase_add_test(tests, ridge_bulges_along_its_own_curve);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int n_failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return n_failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
