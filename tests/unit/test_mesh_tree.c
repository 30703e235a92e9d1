/* Searching a mesh: nearest points and rays against trying every triangle. */
#include "meshes_for_tests.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>

static TapulVec3 random_point(GRand *random, double reach) {
    double x = g_rand_double_range(random, -reach, reach);
    double y = g_rand_double_range(random, -reach, reach);
    return tapul_vec3(x, y, g_rand_double_range(random, -reach, reach));
}

/* The nearest point of a segment, a to b. */
static double segment_distance(TapulVec3 a, TapulVec3 b, TapulVec3 p) {
    TapulVec3 ab = tapul_vec3_sub(b, a);
    double t = tapul_vec3_dot(tapul_vec3_sub(p, a), ab) / tapul_vec3_dot(ab, ab);
    return tapul_vec3_distance(tapul_vec3_mix(a, b, CLAMP(t, 0, 1)), p);
}

/* The foot on the plane if it lies inside, else the nearest side: another way than the
 * library's. */
static double triangle_distance(const TapulMesh *mesh, int t, TapulVec3 p) {
    TapulVec3 at[3], n = tapul_mesh_face_normal(mesh, t);
    for (int k = 0; k < 3; k++)
        at[k] = mesh->position_mm[mesh->corner[t][k]];
    gboolean inside = TRUE;
    double least = INFINITY;
    for (int k = 0; k < 3; k++) {
        TapulVec3 side = tapul_vec3_sub(at[(k + 1) % 3], at[k]);
        inside &= tapul_vec3_dot(tapul_vec3_cross(side, tapul_vec3_sub(p, at[k])), n) >= 0;
        least = fmin(least, segment_distance(at[k], at[(k + 1) % 3], p));
    }
    return inside ? fabs(tapul_vec3_dot(tapul_vec3_sub(p, at[0]), n)) : least;
}

static void expect_good_weights(TapulSpot spot) {
    ck_assert_double_eq_tol(spot.weight[0] + spot.weight[1] + spot.weight[2], 1, 1e-12);
    for (int k = 0; k < 3; k++)
        ck_assert_double_ge(spot.weight[k], 0);
}

static void compare_nearest(const TapulMesh *mesh, double reach) {
    g_autoptr(TapulMeshTree) tree = tapul_mesh_tree_new(mesh);
    g_autoptr(GRand) random = g_rand_new_with_seed(11);
    for (int i = 0; i < 400; i++) {
        TapulVec3 p = random_point(random, reach);
        double least = INFINITY;
        for (int t = 0; t < mesh->n_triangles; t++)
            least = fmin(least, triangle_distance(mesh, t, p));
        TapulSpot spot;
        double distance = tapul_mesh_tree_nearest(tree, p, &spot);
        ck_assert_double_eq_tol(distance, least, 1e-11 * reach);
        TapulVec3 at = tapul_mesh_flat_position_mm(mesh, spot);
        ck_assert_double_eq_tol(tapul_vec3_distance(at, p), distance, 1e-12 * reach);
        expect_good_weights(spot);
    }
}

START_TEST(nearest_point_is_the_nearest_of_all_triangles) {
    g_autoptr(TapulMesh) sphere = mesh_sphere(3);
    compare_nearest(sphere, 2);
    g_autoptr(TapulMesh) torus = mesh_net(40, 20, TRUE, TRUE, on_torus);
    compare_nearest(torus, 200);
    g_autoptr(TapulMesh) square = mesh_net(1, 1, FALSE, FALSE, on_square);
    compare_nearest(square, 3);
    g_autoptr(TapulMesh) needles = mesh_net(2, 600, FALSE, FALSE, on_square);
    compare_nearest(needles, 1.5);
}
END_TEST

/* Moeller & Trumbore 1997: another way than the library's; ends are blurred by `blur`. */
static gboolean meets(const TapulMesh *mesh, int triangle, TapulVec3 origin,
                      TapulVec3 direction, double blur, double *t) {
    const int *corner = mesh->corner[triangle];
    TapulVec3 a = mesh->position_mm[corner[0]];
    TapulVec3 ab = tapul_vec3_sub(mesh->position_mm[corner[1]], a);
    TapulVec3 ac = tapul_vec3_sub(mesh->position_mm[corner[2]], a);
    TapulVec3 p = tapul_vec3_cross(direction, ac), from = tapul_vec3_sub(origin, a);
    double determinant = tapul_vec3_dot(ab, p);
    double u = tapul_vec3_dot(from, p) / determinant;
    TapulVec3 q = tapul_vec3_cross(from, ab);
    double v = tapul_vec3_dot(direction, q) / determinant;
    *t = tapul_vec3_dot(ac, q) / determinant;
    return u >= -blur && v >= -blur && u + v <= 1 + blur && *t >= 0;
}

static void compare_rays(const TapulMesh *mesh, double reach) {
    g_autoptr(TapulMeshTree) tree = tapul_mesh_tree_new(mesh);
    g_autoptr(GRand) random = g_rand_new_with_seed(12);
    int n_met = 0;
    for (int i = 0; i < 2000; i++) {
        TapulVec3 origin = random_point(random, reach), direction = random_point(random, 1);
        double least = INFINITY, t = -1, at;
        for (int triangle = 0; triangle < mesh->n_triangles; triangle++)
            if (meets(mesh, triangle, origin, direction, 0, &at))
                least = fmin(least, at);
        TapulSpot spot;
        gboolean met = tapul_mesh_tree_first_hit(tree, origin, direction, &spot, &t);
        ck_assert_int_eq(met, isfinite(least));
        if (!met)
            continue;
        n_met++;
        ck_assert_double_eq_tol(t, least, 1e-9 * reach);
        expect_good_weights(spot);
        TapulVec3 there = tapul_vec3_add(origin, tapul_vec3_scale(direction, t));
        ck_assert_double_lt(tapul_vec3_distance(there, tapul_mesh_flat_position_mm(mesh, spot)),
                            1e-11 * reach);
    }
    ck_assert_int_gt(n_met, 100);
}

START_TEST(ray_meets_the_first_of_all_triangles) {
    g_autoptr(TapulMesh) sphere = mesh_sphere(3);
    compare_rays(sphere, 2);
    g_autoptr(TapulMesh) torus = mesh_net(40, 20, TRUE, TRUE, on_torus);
    compare_rays(torus, 200);
}
END_TEST

START_TEST(no_ray_slips_through_shared_edges_or_vertices) {
    g_autoptr(TapulMesh) mesh = mesh_spheroid(4, 150, 100);
    g_autoptr(TapulMeshTree) tree = tapul_mesh_tree_new(mesh);
    g_autoptr(GRand) random = g_rand_new_with_seed(13);
    int n_rays = 0;
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            TapulVec3 a = mesh->position_mm[mesh->corner[t][k]];
            TapulVec3 b = mesh->position_mm[mesh->corner[t][(k + 1) % 3]];
            /* From inside, whatever the direction, a closed surface must be met. */
            TapulVec3 origin = random_point(random, 40);
            double along[] = {0, 1, 0.5, g_rand_double(random), 1e-9};
            for (int i = 0; i < 5; i++) {
                TapulVec3 target = tapul_vec3_mix(a, b, along[i]);
                TapulSpot spot;
                double at;
                ck_assert(tapul_mesh_tree_first_hit(
                    tree, origin, tapul_vec3_sub(target, origin), &spot, &at));
                ck_assert_double_eq_tol(at, 1, 1e-10);
                n_rays++;
            }
        }
    printf("%d rays through edges and vertices met\n", n_rays);
}
END_TEST

START_TEST(no_axis_parallel_ray_slips_through_a_grid) {
    g_autoptr(TapulMesh) mesh = mesh_net(30, 30, FALSE, FALSE, on_square);
    g_autoptr(TapulMeshTree) tree = tapul_mesh_tree_new(mesh);
    for (int v = 0; v < mesh->n_vertices; v++)
        for (int side = -1; side <= 1; side += 2) {
            TapulVec3 eye = mesh->position_mm[v];
            eye.z = 7.0 * side;
            TapulSpot spot;
            double t;
            ck_assert(
                tapul_mesh_tree_first_hit(tree, eye, tapul_vec3(0, 0, -2.0 * side), &spot, &t));
            ck_assert_double_eq_tol(t, 3.5, 1e-14);
        }
}
END_TEST

START_TEST(rays_look_forward_only_and_see_both_sides) {
    g_autoptr(TapulMesh) mesh = mesh_sphere(2);
    g_autoptr(TapulMeshTree) tree = tapul_mesh_tree_new(mesh);
    TapulSpot spot;
    double t;
    ck_assert(!tapul_mesh_tree_first_hit(tree, tapul_vec3(0.1, 0.2, 3), tapul_vec3(0, 0, 1),
                                         &spot, &t));
    ck_assert(tapul_mesh_tree_first_hit(tree, tapul_vec3(0.1, 0.2, 3), tapul_vec3(0, 0, -1),
                                        &spot, &t));
    ck_assert_double_gt(t, 2);
    ck_assert(tapul_mesh_tree_first_hit(tree, tapul_vec3(0.1, 0.2, 0), tapul_vec3(0, 0, -1),
                                        &spot, &t));
    ck_assert_double_lt(t, 1);
    ck_assert(
        !tapul_mesh_tree_first_hit(tree, tapul_vec3(0, 0, 0), tapul_vec3(0, 0, 0), &spot, &t));
    ck_assert(!tapul_mesh_tree_first_hit(tree, tapul_vec3(0, 0, 0), tapul_vec3(NAN, 0, 1),
                                         &spot, &t));
    ck_assert(!tapul_mesh_tree_first_hit(tree, tapul_vec3(INFINITY, 0, 0), tapul_vec3(-1, 0, 0),
                                         &spot, &t));
}
END_TEST

/* Triangles ever smaller towards a point: splits by cost alone would go a level deeper for
 * each. */
START_TEST(uneven_meshes_are_searched_too) {
    Shape shape = shape_new();
    double at = 1e8;
    for (int i = 0; i < 1500; i++, at *= 0.98) {
        shape_add_vertex(&shape, tapul_vec3(at, 0, 0));
        shape_add_vertex(&shape, tapul_vec3(at, at, 0));
    }
    for (int i = 0; i < 1499; i++) {
        shape_add_triangle(&shape, 2 * i, 2 * i + 1, 2 * i + 2);
        shape_add_triangle(&shape, 2 * i + 1, 2 * i + 3, 2 * i + 2);
    }
    g_autoptr(TapulMesh) mesh = shape_finish(&shape);
    g_autoptr(TapulMeshTree) tree = tapul_mesh_tree_new(mesh);
    for (int v = 0; v < mesh->n_vertices; v++) {
        TapulSpot spot;
        ck_assert_double_lt(tapul_mesh_tree_nearest(tree, mesh->position_mm[v], &spot), 1e-7);
    }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("mesh_tree");
    TCase *tests = tcase_create("mesh_tree");
    suite_add_tcase(suite, tests);
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, nearest_point_is_the_nearest_of_all_triangles);
    tcase_add_test(tests, ray_meets_the_first_of_all_triangles);
    tcase_add_test(tests, no_ray_slips_through_shared_edges_or_vertices);
    tcase_add_test(tests, no_axis_parallel_ray_slips_through_a_grid);
    tcase_add_test(tests, rays_look_forward_only_and_see_both_sides);
    tcase_add_test(tests, uneven_meshes_are_searched_too);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int n_failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return n_failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
