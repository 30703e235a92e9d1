/* Places of points in a development, and the way back through the finder. */
#include <stdlib.h>

#include "developments_for_tests.h"
#include "shapes_for_tests.h"

typedef struct {
    TapulMesh *mesh;
    TapulDevelopment *development;
    TapulDevelopmentFinder *finder;
} Developed;

static Developed developed;

static void set_up(void) {
    developed.mesh = shape_cap(150, G_PI / 4, 2000, SHAPE_JITTERED);
    developed.development = good_development(developed.mesh, TAPUL_DEVELOP_LEAST_STRETCH);
    developed.finder = tapul_development_finder_new(developed.development);
}

static void tear_down(void) {
    tapul_development_finder_free(developed.finder);
    tapul_development_free(developed.development);
    tapul_mesh_free(developed.mesh);
}

/* mm; a development of 200 mm carries 3e-14 mm. */
static const double rounding_mm = 1e-10;

static void check_way_back(TapulSpot spot) {
    TapulVec2 flat_mm = tapul_development_point_mm(developed.development, spot);
    TapulSpot found;
    ck_assert_msg(tapul_development_finder_spot(developed.finder, flat_mm, &found),
                  "triangle %d (%.17g %.17g %.17g) is not found", spot.triangle, spot.weight[0],
                  spot.weight[1], spot.weight[2]);
    double sum = 0;
    for (int k = 0; k < 3; k++) {
        ck_assert_double_ge(found.weight[k], 0);
        sum += found.weight[k];
    }
    ck_assert_double_eq_tol(sum, 1, 1e-14);
    TapulVec3 there = tapul_mesh_flat_position_mm(developed.mesh, spot);
    TapulVec3 back = tapul_mesh_flat_position_mm(developed.mesh, found);
    ck_assert_double_lt(tapul_vec3_distance(there, back), rounding_mm);
}

START_TEST(every_spot_is_found_again) {
    g_autoptr(GRand) random = g_rand_new_with_seed(5);
    for (int i = 0; i < 20000; i++) {
        double u = g_rand_double(random), v = g_rand_double(random);
        if (u + v > 1) {
            u = 1 - u;
            v = 1 - v;
        }
        int triangle = g_rand_int_range(random, 0, developed.mesh->n_triangles);
        check_way_back((TapulSpot){triangle, {1 - u - v, u, v}});
    }
}
END_TEST

START_TEST(corners_and_edges_are_found) {
    for (int t = 0; t < developed.mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            TapulSpot corner = {t, {0, 0, 0}}, edge = {t, {0, 0, 0}};
            corner.weight[k] = 1;
            edge.weight[k] = 1 / 3.0;
            edge.weight[(k + 1) % 3] = 2 / 3.0;
            check_way_back(corner);
            check_way_back(edge);
        }
}
END_TEST

START_TEST(points_off_the_plate_are_refused) {
    TapulSpot spot;
    g_autoptr(GPtrArray) loops = tapul_mesh_boundary_loops(developed.mesh);
    const GArray *loop = g_ptr_array_index(loops, 0);
    for (guint i = 0; i < loop->len; i++) {
        TapulVec2 a = developed.development->flat_mm[g_array_index(loop, int, i)];
        TapulVec2 b =
            developed.development->flat_mm[g_array_index(loop, int, (i + 1) % loop->len)];
        TapulVec2 along = tapul_vec2_sub(b, a);
        /* The metal is on the left: a micrometre to the right lies outside. */
        TapulVec2 out =
            tapul_vec2_scale(tapul_vec2(along.y, -along.x), 0.001 / tapul_vec2_length(along));
        TapulVec2 middle = tapul_vec2_mix(a, b, 0.5);
        ck_assert(!tapul_development_finder_spot(developed.finder, tapul_vec2_add(middle, out),
                                                 &spot));
        ck_assert(tapul_development_finder_spot(developed.finder, tapul_vec2_sub(middle, out),
                                                &spot));
    }
    const TapulVec2 far[] = {{1000, 0}, {0, -1000}, {-1e300, 1e300}, {NAN, 0}, {0, INFINITY}};
    for (guint i = 0; i < G_N_ELEMENTS(far); i++)
        ck_assert(!tapul_development_finder_spot(developed.finder, far[i], &spot));
}
END_TEST

START_TEST(placing_sets_the_frame) {
    TapulDevelopment *development = developed.development;
    TapulSpot origin = {17, {0.2, 0.3, 0.5}}, above = {400, {0.6, 0.3, 0.1}};
    TapulVec2 before = tapul_vec2_sub(tapul_development_point_mm(development, above),
                                      tapul_development_point_mm(development, origin));
    TapulStretchSummary stretch = development->stretch;
    tapul_development_place(development, origin, above);
    TapulVec2 from = tapul_development_point_mm(development, origin);
    TapulVec2 to = tapul_development_point_mm(development, above);
    ck_assert_double_lt(tapul_vec2_length(from), rounding_mm);
    ck_assert_double_eq_tol(to.x, 0, rounding_mm);
    ck_assert_double_eq_tol(to.y, tapul_vec2_length(before), rounding_mm);
    double s1, s2;
    tapul_development_stretch(development, stretch.worst_triangle, &s1, &s2, NULL);
    ck_assert_double_eq_tol(fmax(s1, 1 / s2), fmax(stretch.max, 1 / stretch.min), 1e-9);
}
END_TEST

/* An even stretch by 1.25 along 30 degrees and 0.8 across it. */
START_TEST(stretch_and_axis_are_those_of_the_map) {
    g_autoptr(TapulMesh) mesh = shape_flat_disc(50, 200, SHAPE_JITTERED);
    g_autofree TapulVec2 *flat_mm = g_new(TapulVec2, mesh->n_vertices);
    double angle_rad = G_PI / 6;
    for (int v = 0; v < mesh->n_vertices; v++) {
        TapulVec2 p = {mesh->position_mm[v].x, mesh->position_mm[v].y};
        p = tapul_vec2_turn(p, 0.4);
        flat_mm[v] = tapul_vec2_turn(tapul_vec2(1.25 * p.x, 0.8 * p.y), angle_rad);
    }
    TapulDevelopment stretched = {.mesh = mesh, .flat_mm = flat_mm};
    for (int t = 0; t < mesh->n_triangles; t++) {
        double s1, s2;
        TapulVec2 axis;
        tapul_development_stretch(&stretched, t, &s1, &s2, &axis);
        ck_assert_double_eq_tol(s1, 1.25, 1e-12);
        ck_assert_double_eq_tol(s2, 0.8, 1e-12);
        TapulVec2 wanted = {cos(angle_rad), sin(angle_rad)};
        ck_assert_double_eq_tol(fabs(tapul_vec2_dot(axis, wanted)), 1, 1e-12);
    }
}
END_TEST

START_TEST(turned_over_triangles_have_a_negative_stretch) {
    g_autoptr(TapulMesh) mesh = shape_flat_disc(50, 24, SHAPE_REGULAR);
    g_autofree TapulVec2 *flat_mm = g_new(TapulVec2, mesh->n_vertices);
    for (int v = 0; v < mesh->n_vertices; v++)
        flat_mm[v] = tapul_vec2(-mesh->position_mm[v].x, mesh->position_mm[v].y);
    TapulDevelopment mirrored = {.mesh = mesh, .flat_mm = flat_mm};
    double s1, s2;
    tapul_development_stretch(&mirrored, 3, &s1, &s2, NULL);
    ck_assert_double_eq_tol(s1, 1, 1e-12);
    ck_assert_double_eq_tol(s2, -1, 1e-12);
}
END_TEST

/* A strip 2000 times longer than wide. */
START_TEST(long_strips_are_searched_too) {
    g_autoptr(TapulMesh) mesh = shape_frustum(1000, 1000, 1, 2, 4000, 1);
    g_autoptr(TapulDevelopment) development =
        good_development(mesh, TAPUL_DEVELOP_LEAST_STRETCH);
    g_autoptr(TapulDevelopmentFinder) finder = tapul_development_finder_new(development);
    for (int t = 0; t < mesh->n_triangles; t += 7) {
        TapulSpot spot = {t, {0.2, 0.5, 0.3}}, found;
        TapulVec2 flat_mm = tapul_development_point_mm(development, spot);
        ck_assert(tapul_development_finder_spot(finder, flat_mm, &found));
        ck_assert_int_eq(found.triangle, t);
    }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("develop_finder");
    TCase *all = tcase_create("develop_finder");
    tcase_add_checked_fixture(all, set_up, tear_down);
    tcase_add_test(all, every_spot_is_found_again);
    tcase_add_test(all, corners_and_edges_are_found);
    tcase_add_test(all, points_off_the_plate_are_refused);
    tcase_add_test(all, placing_sets_the_frame);
    tcase_add_test(all, stretch_and_axis_are_those_of_the_map);
    tcase_add_test(all, turned_over_triangles_have_a_negative_stretch);
    tcase_add_test(all, long_strips_are_searched_too);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
