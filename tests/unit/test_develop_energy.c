/* The stretch energy's derivatives against differences, and the descent on it. */
#include <check.h>
#include <stdlib.h>

#include "develop/descent.h"
#include "shapes_for_tests.h"

/* A cap laid flat from above and stirred: everywhere stretched, nowhere flipped. */
static TapulVec2 *stirred(const TapulMesh *mesh) {
    TapulVec2 *flat_mm = g_new(TapulVec2, mesh->n_vertices);
    for (int v = 0; v < mesh->n_vertices; v++) {
        TapulVec3 p = mesh->position_mm[v];
        flat_mm[v] = tapul_vec2(1.2 * p.x + 0.3 * sin(p.y), 0.9 * p.y + 0.2 * cos(2 * p.x));
    }
    return flat_mm;
}

static const double step_mm = 1e-6;

/* Powers 2, 4 and 32. */
START_TEST(gradient_is_the_slope_of_the_value) {
    g_autoptr(TapulMesh) mesh = shape_cap(3, 0.7, 54, SHAPE_JITTERED);
    g_autoptr(TapulRest) rest = tapul_rest_new(mesh);
    g_autoptr(TapulStretchEnergy) energy = tapul_stretch_energy_new(rest);
    g_autofree TapulVec2 *flat_mm = stirred(mesh);
    g_autofree TapulVec2 *gradient = g_new(TapulVec2, mesh->n_vertices);
    energy->doublings = _i;
    energy->unit = 1.5;
    double value = tapul_stretch_energy_value(energy, flat_mm, gradient);
    for (int v = 0; v < mesh->n_vertices; v++) {
        TapulVec2 kept = flat_mm[v];
        flat_mm[v].x = kept.x + step_mm;
        double more = tapul_stretch_energy_value(energy, flat_mm, NULL);
        flat_mm[v].x = kept.x - step_mm;
        double less = tapul_stretch_energy_value(energy, flat_mm, NULL);
        flat_mm[v] = kept;
        ck_assert_double_eq_tol((more - less) / (2 * step_mm), gradient[v].x, 1e-7 * value);
    }
}
END_TEST

/* Near an isometry no part of the curvature is negative, so that none is left out. */
START_TEST(curvature_is_the_slope_of_the_gradient) {
    g_autoptr(TapulMesh) mesh = shape_flat_disc(3, 54, SHAPE_JITTERED);
    g_autoptr(TapulRest) rest = tapul_rest_new(mesh);
    g_autoptr(TapulEdges) edges = tapul_edges_cotangent(rest);
    g_autoptr(TapulStretchEnergy) energy = tapul_stretch_energy_new(rest);
    g_autoptr(TapulSparse) curvature = tapul_stretch_energy_pattern(edges);
    g_autofree TapulBlockPlace(*place)[3] = tapul_stretch_energy_places(rest, curvature);
    int n = mesh->n_vertices;
    g_autofree TapulVec2 *flat_mm = g_new(TapulVec2, n);
    g_autofree TapulVec2 *more = g_new(TapulVec2, n);
    g_autofree TapulVec2 *less = g_new(TapulVec2, n);
    for (int v = 0; v < n; v++) {
        TapulVec3 p = mesh->position_mm[v];
        flat_mm[v] = tapul_vec2(1.2 * p.x + 0.02 * sin(p.y), 1.1 * p.y + 0.03 * cos(p.x));
    }
    energy->doublings = _i;
    tapul_stretch_energy_curvature(energy, flat_mm, (const TapulBlockPlace(*)[3])place,
                                   curvature);
    for (int v = 0; v < n; v++) {
        double kept = flat_mm[v].y;
        flat_mm[v].y = kept + step_mm;
        tapul_stretch_energy_value(energy, flat_mm, more);
        flat_mm[v].y = kept - step_mm;
        tapul_stretch_energy_value(energy, flat_mm, less);
        flat_mm[v].y = kept;
        double at_x = curvature->value[tapul_sparse_index(curvature, 2 * v + 1, 2 * v)];
        double at_y = curvature->value[tapul_sparse_index(curvature, 2 * v + 1, 2 * v + 1)];
        ck_assert_double_eq_tol((more[v].x - less[v].x) / (2 * step_mm), at_x, 1e-6 * at_y);
        ck_assert_double_eq_tol((more[v].y - less[v].y) / (2 * step_mm), at_y, 1e-6 * at_y);
    }
    for (int e = 0; e < edges->n_edges; e++) {
        int i = edges->edge[e][0], j = edges->edge[e][1];
        double kept = flat_mm[j].y;
        flat_mm[j].y = kept + step_mm;
        tapul_stretch_energy_value(energy, flat_mm, more);
        flat_mm[j].y = kept - step_mm;
        tapul_stretch_energy_value(energy, flat_mm, less);
        flat_mm[j].y = kept;
        double xy = curvature->value[tapul_sparse_index(curvature, 2 * i, 2 * j + 1)];
        double yy = curvature->value[tapul_sparse_index(curvature, 2 * i + 1, 2 * j + 1)];
        ck_assert_double_eq_tol((more[i].x - less[i].x) / (2 * step_mm), xy, 1e-6);
        ck_assert_double_eq_tol((more[i].y - less[i].y) / (2 * step_mm), yy, 1e-6);
    }
}
END_TEST

START_TEST(flipped_triangles_have_infinite_energy) {
    g_autoptr(TapulMesh) mesh = shape_flat_disc(3, 54, SHAPE_REGULAR);
    g_autoptr(TapulRest) rest = tapul_rest_new(mesh);
    g_autoptr(TapulStretchEnergy) energy = tapul_stretch_energy_new(rest);
    g_autofree TapulVec2 *flat_mm = stirred(mesh);
    flat_mm[0].x += 3;
    ck_assert(isinf(tapul_stretch_energy_value(energy, flat_mm, NULL)));
    ck_assert_int_gt(tapul_rest_count_flipped(rest, flat_mm), 0);
}
END_TEST

START_TEST(flat_step_is_where_the_first_triangle_has_no_area) {
    g_autoptr(TapulMesh) mesh = shape_flat_disc(3, 54, SHAPE_REGULAR);
    g_autoptr(TapulRest) rest = tapul_rest_new(mesh);
    g_autofree TapulVec2 *flat_mm = g_new(TapulVec2, mesh->n_vertices);
    g_autofree TapulVec2 *direction_mm = g_new0(TapulVec2, mesh->n_vertices);
    for (int v = 0; v < mesh->n_vertices; v++)
        flat_mm[v] = tapul_vec2(mesh->position_mm[v].x, mesh->position_mm[v].y);
    ck_assert(isinf(tapul_rest_flat_step(rest, flat_mm, direction_mm)));
    /* The middle runs into the side of the hexagon of unit side about it. */
    direction_mm[0] = tapul_vec2(cos(G_PI / 6) / 4, sin(G_PI / 6) / 4);
    ck_assert_double_eq_tol(tapul_rest_flat_step(rest, flat_mm, direction_mm), 2 * sqrt(3),
                            1e-12);
}
END_TEST

/* What plates count on for speed: few steps, and fewer factorisations. */
START_TEST(descent_settles_in_few_factorisations) {
    g_autoptr(TapulMesh) mesh = shape_cap(100, G_PI / 3, 5000, SHAPE_JITTERED);
    g_autoptr(TapulRest) rest = tapul_rest_new(mesh);
    g_autoptr(TapulEdges) edges = tapul_edges_cotangent(rest);
    g_autofree int *order = g_new(int, mesh->n_vertices);
    g_autofree TapulVec2 *flat_mm = g_new(TapulVec2, mesh->n_vertices);
    for (int v = 0; v < mesh->n_vertices; v++) {
        order[v] = v;
        flat_mm[v] = tapul_vec2(mesh->position_mm[v].x, mesh->position_mm[v].y);
    }
    g_autoptr(TapulDescent) descent = tapul_descent_new(rest, edges, order);
    TapulDescentGoal goal = {1, 1, 1e-11, 100};
    ck_assert_int_eq(tapul_descent_run(descent, &goal, flat_mm), TAPUL_DESCENT_CONVERGED);
    int steps, factorisations;
    tapul_descent_counts(descent, &steps, &factorisations);
    ck_assert_int_le(steps, 30);
    ck_assert_int_le(factorisations, 5);
    /* It has settled: another run has nothing to do. */
    ck_assert_int_eq(tapul_descent_run(descent, &goal, flat_mm), TAPUL_DESCENT_CONVERGED);
    int more_steps;
    tapul_descent_counts(descent, &more_steps, &factorisations);
    ck_assert_int_eq(more_steps, steps);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("develop_energy");
    TCase *all = tcase_create("develop_energy");
    tcase_add_loop_test(all, gradient_is_the_slope_of_the_value, 1, 3);
    tcase_add_loop_test(all, gradient_is_the_slope_of_the_value, 5, 6);
    tcase_add_loop_test(all, curvature_is_the_slope_of_the_gradient, 1, 3);
    tcase_add_test(all, flipped_triangles_have_infinite_energy);
    tcase_add_test(all, flat_step_is_where_the_first_triangle_has_no_area);
    tcase_add_test(all, descent_settles_in_few_factorisations);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
