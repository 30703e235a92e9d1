/* Pieces, edges, discs; corner normals and creases. */
#include "meshes_for_tests.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

static void expect_refusal(const TapulMesh *mesh, const char *part) {
    g_autoptr(GError) error = NULL;
    ck_assert(!tapul_mesh_check_disc(mesh, &error));
    ck_assert(g_error_matches(error, TAPUL_MESH_ERROR, TAPUL_MESH_ERROR_NOT_A_DISC));
    ck_assert_msg(strstr(error->message, part) != NULL, "'%s' lacks '%s'", error->message,
                  part);
    ck_assert_ptr_null(strchr(error->message, '\n'));
}

static void add_square(Shape *shape, double x, double y) {
    int first = (int)shape->position->len;
    for (int i = 0; i < 4; i++)
        shape_add_vertex(shape, tapul_vec3(x + i % 2, y + i / 2, 0));
    shape_add_triangle(shape, first, first + 1, first + 2);
    shape_add_triangle(shape, first + 1, first + 3, first + 2);
}

/* A net of n by n squares without some of them: 'x' in the picture, row by row from below. */
static TapulMesh *holed_net(int n, const char *picture) {
    Shape shape = shape_new();
    for (int j = 0; j <= n; j++)
        for (int i = 0; i <= n; i++)
            shape_add_vertex(&shape, tapul_vec3(i, j, 0));
    for (int j = 0; j < n; j++)
        for (int i = 0; i < n; i++) {
            int a = j * (n + 1) + i, above = a + n + 1;
            if (picture[j * n + i] == 'x')
                continue;
            shape_add_triangle(&shape, a, a + 1, above + 1);
            shape_add_triangle(&shape, a, above + 1, above);
        }
    return shape_finish(&shape);
}

START_TEST(disc_is_accepted) {
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulMesh) square = mesh_net(3, 4, FALSE, FALSE, on_square);
    ck_assert(tapul_mesh_check_disc(square, &error));
    ck_assert_ptr_null(error);
}
END_TEST

START_TEST(what_is_no_disc_is_told_apart) {
    g_autoptr(TapulMesh) sphere = mesh_sphere(1);
    expect_refusal(sphere, "closed");
    g_autoptr(TapulMesh) torus = mesh_net(8, 6, TRUE, TRUE, on_torus);
    expect_refusal(torus, "1 handle and 0 edges");
    g_autoptr(TapulMesh) tube = mesh_net(400, 4, TRUE, FALSE, on_tube);
    expect_refusal(tube, "cut it open along a line");
    expect_refusal(tube, "6.3 and 6.3 mm round");
    Shape shape = shape_new();
    add_square(&shape, 0, 0);
    add_square(&shape, 3, 0);
    add_square(&shape, 6, 0);
    g_autoptr(TapulMesh) pieces = shape_finish(&shape);
    expect_refusal(pieces, "3 pieces, the largest of 2 of its 6 triangles");
    g_autoptr(TapulMesh) holed = holed_net(5, "......x...........x......");
    expect_refusal(holed, "2 holes besides its edge");
}
END_TEST

START_TEST(handle_with_an_edge_is_no_disc) {
    Shape shape = shape_net(8, 6, TRUE, TRUE, on_torus);
    g_array_set_size(shape.corner, shape.corner->len - 3);
    g_autoptr(TapulMesh) mesh = shape_finish(&shape);
    expect_refusal(mesh, "1 handle and 1 edge;");
}
END_TEST

START_TEST(loops_keep_the_metal_left_and_the_longest_comes_first) {
    g_autoptr(TapulMesh) mesh = holed_net(4, ".....x..........");
    g_autoptr(GPtrArray) loops = tapul_mesh_boundary_loops(mesh);
    ck_assert_uint_eq(loops->len, 2);
    double area[2] = {0, 0};
    for (guint l = 0; l < 2; l++) {
        const GArray *loop = g_ptr_array_index(loops, l);
        ck_assert_uint_eq(loop->len, l ? 4 : 16);
        for (guint i = 0; i < loop->len; i++) {
            TapulVec3 a = mesh->position_mm[g_array_index(loop, int, i)];
            TapulVec3 b = mesh->position_mm[g_array_index(loop, int, (i + 1) % loop->len)];
            area[l] += (a.x * b.y - a.y * b.x) / 2;
        }
    }
    ck_assert_double_eq_tol(area[0], 16, 1e-12);
    ck_assert_double_eq_tol(area[1], -1, 1e-12);
}
END_TEST

START_TEST(closed_mesh_has_no_loop) {
    g_autoptr(TapulMesh) sphere = mesh_sphere(1);
    g_autoptr(GPtrArray) loops = tapul_mesh_boundary_loops(sphere);
    ck_assert_uint_eq(loops->len, 0);
}
END_TEST

/* A unit cube, each face two triangles. */
static TapulMesh *mesh_cube(void) {
    static const int corner[12][3] = {{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6},
                                      {0, 1, 4}, {1, 5, 4}, {2, 6, 3}, {3, 6, 7},
                                      {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5}};
    Shape shape = shape_new();
    for (int v = 0; v < 8; v++)
        shape_add_vertex(&shape, tapul_vec3(v & 1, (v >> 1) & 1, v >> 2));
    g_array_append_vals(shape.corner, corner, 36);
    return shape_finish(&shape);
}

START_TEST(cube_is_creased_and_smooths_to_its_diagonals) {
    g_autoptr(TapulMesh) cube = mesh_cube();
    for (int t = 0; t < 12; t++)
        for (int k = 0; k < 3; k++)
            ck_assert_double_lt(
                tapul_vec3_distance(cube->normal[t][k], tapul_mesh_face_normal(cube, t)),
                1e-15);
    tapul_mesh_estimate_normals(cube, 100 * G_PI / 180);
    /* Weighted by angle, three faces count alike however they are cut (Thuermer & Wuethrich
     * 1998). */
    for (int t = 0; t < 12; t++)
        for (int k = 0; k < 3; k++) {
            TapulVec3 p = cube->position_mm[cube->corner[t][k]];
            TapulVec3 outward = tapul_vec3_unit(tapul_vec3_sub(p, tapul_vec3(0.5, 0.5, 0.5)));
            ck_assert_double_lt(tapul_vec3_distance(cube->normal[t][k], outward), 1e-14);
        }
}
END_TEST

/* A sheet bent by 90 degrees along x = 0 for y > 0, flattening out towards y = 0 and below. */
static TapulVec3 on_dart(double u, double v) {
    double x = 4 * u - 2, y = 8 * v - 4;
    return tapul_vec3(x, y, -fabs(x) * CLAMP(y / 2, 0, 1));
}

START_TEST(crease_ends_where_the_bend_does) {
    g_autoptr(TapulMesh) mesh = mesh_net(8, 16, FALSE, FALSE, on_dart);
    int n_creased = 0, n_smooth = 0;
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            TapulVec3 p = mesh->position_mm[mesh->corner[t][k]], n = mesh->normal[t][k];
            if (fabs(p.x) > 1e-12)
                continue;
            /* On the ridge both sides lean outwards; below its end there is one normal. */
            if (p.y > 2.1) {
                ck_assert_double_gt(fabs(n.x), 0.5);
                n_creased++;
            } else if (p.y < -0.1) {
                ck_assert_double_lt(fabs(n.x), 1e-12);
                n_smooth++;
            }
        }
    ck_assert_int_gt(n_creased, 10);
    ck_assert_int_gt(n_smooth, 10);
}
END_TEST

START_TEST(corners_on_one_side_of_a_crease_agree) {
    g_autoptr(TapulMesh) mesh = mesh_net(8, 16, FALSE, FALSE, on_dart);
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            int over = mesh->across[t][k];
            if (over < 0 ||
                tapul_vec3_dot(tapul_mesh_face_normal(mesh, t),
                               tapul_mesh_face_normal(mesh, over)) < cos(40 * G_PI / 180))
                continue;
            for (int i = 1; i < 3; i++)
                for (int j = 0; j < 3; j++)
                    if (mesh->corner[over][j] == mesh->corner[t][(k + i) % 3])
                        ck_assert_double_eq(tapul_vec3_distance(mesh->normal[over][j],
                                                                mesh->normal[t][(k + i) % 3]),
                                            0);
        }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("mesh_topology");
    TCase *tests = tcase_create("mesh_topology");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, disc_is_accepted);
    tcase_add_test(tests, what_is_no_disc_is_told_apart);
    tcase_add_test(tests, handle_with_an_edge_is_no_disc);
    tcase_add_test(tests, loops_keep_the_metal_left_and_the_longest_comes_first);
    tcase_add_test(tests, closed_mesh_has_no_loop);
    tcase_add_test(tests, cube_is_creased_and_smooths_to_its_diagonals);
    tcase_add_test(tests, crease_ends_where_the_bend_does);
    tcase_add_test(tests, corners_on_one_side_of_a_crease_agree);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int n_failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return n_failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
