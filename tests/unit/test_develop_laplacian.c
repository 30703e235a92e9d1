/* The Laplacians of a mesh: what they must leave at rest, and the intrinsic Delaunay weights.
 */
#include <check.h>
#include <stdlib.h>

#include "develop/delaunay.h"
#include "shapes_for_tests.h"

typedef TapulEdges *(*MakeEdges)(const TapulRest *rest);
static const MakeEdges both[] = {tapul_edges_cotangent, tapul_edges_delaunay};

START_TEST(linear_functions_of_the_plane_are_harmonic) {
    g_autoptr(TapulMesh) mesh = shape_flat_disc(50, 3000, SHAPE_JITTERED);
    g_autoptr(TapulRest) rest = tapul_rest_new(mesh);
    g_autoptr(TapulEdges) edges = both[_i](rest);
    g_autofree gboolean *on_edge = tapul_mesh_vertices_on_edge(mesh);
    int n = mesh->n_vertices;
    g_autofree double *value = g_new(double, n);
    g_autofree double *out = g_new(double, n);
    for (int v = 0; v < n; v++)
        value[v] = 2 * mesh->position_mm[v].x - mesh->position_mm[v].y + 7;
    tapul_edges_apply(edges, value, out);
    for (int v = 0; v < n; v++)
        ck_assert(on_edge[v] || fabs(out[v]) < 1e-10);
}
END_TEST

/* The energy of x over a flat disc is its area, however it is triangulated. */
START_TEST(energy_of_a_linear_function_is_the_area) {
    g_autoptr(TapulMesh) mesh = shape_flat_disc(50, 3000, SHAPE_JITTERED);
    g_autoptr(TapulRest) rest = tapul_rest_new(mesh);
    g_autoptr(TapulEdges) edges = both[_i](rest);
    double energy = 0;
    for (int e = 0; e < edges->n_edges; e++) {
        double step =
            mesh->position_mm[edges->edge[e][0]].x - mesh->position_mm[edges->edge[e][1]].x;
        energy += edges->weight[e] * step * step;
    }
    ck_assert_double_eq_tol(energy, rest->area_mm2, 1e-8);
}
END_TEST

/* Inner edges; one on the plate's edge sees a single angle, which may be obtuse. */
START_TEST(delaunay_weights_inside_are_not_negative) {
    g_autoptr(TapulMesh) mesh = shape_bumpy_disc(100, 20, 6, 4000, SHAPE_JITTERED);
    g_autoptr(TapulRest) rest = tapul_rest_new(mesh);
    g_autoptr(TapulEdges) own = tapul_edges_cotangent(rest);
    g_autoptr(TapulEdges) delaunay = tapul_edges_delaunay(rest);
    g_autofree gboolean *on_edge = tapul_mesh_vertices_on_edge(mesh);
    int negative = 0;
    for (int e = 0; e < own->n_edges; e++)
        negative += own->weight[e] < 0;
    ck_assert_int_gt(negative, 100);
    ck_assert_int_le(delaunay->n_edges, own->n_edges);
    for (int e = 0; e < delaunay->n_edges; e++)
        ck_assert((on_edge[delaunay->edge[e][0]] && on_edge[delaunay->edge[e][1]]) ||
                  delaunay->weight[e] >= -1e-9);
}
END_TEST

START_TEST(fixed_values_stay_and_sources_are_met) {
    g_autoptr(TapulMesh) mesh = shape_cap(50, 1, 1000, SHAPE_JITTERED);
    g_autoptr(TapulRest) rest = tapul_rest_new(mesh);
    g_autoptr(TapulLaplacian) laplacian = tapul_laplacian_new_take(both[_i](rest));
    int n = mesh->n_vertices;
    g_autofree gboolean *fixed = tapul_mesh_vertices_on_edge(mesh);
    g_autofree double *value = g_new0(double, 2 * n);
    g_autofree double *source = g_new0(double, 2 * n);
    g_autofree double *out = g_new(double, n);
    for (int v = 0; v < n; v++) {
        value[v] = fixed[v] ? mesh->position_mm[v].x : 0;
        value[n + v] = fixed[v] ? 1 : 0;
        source[v] = sin(v);
    }
    ck_assert(tapul_laplacian_fix(laplacian, fixed));
    tapul_laplacian_fill(laplacian, fixed, 2, source, value);
    tapul_edges_apply(laplacian->edges, value, out);
    for (int v = 0; v < n; v++) {
        ck_assert_double_eq_tol(fixed[v] ? value[v] : out[v],
                                fixed[v] ? mesh->position_mm[v].x : sin(v), 1e-9);
        ck_assert_double_eq_tol(value[n + v], 1, 1e-10);
    }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("develop_laplacian");
    TCase *all = tcase_create("develop_laplacian");
    tcase_add_loop_test(all, linear_functions_of_the_plane_are_harmonic, 0, 2);
    tcase_add_loop_test(all, energy_of_a_linear_function_is_the_area, 0, 2);
    tcase_add_test(all, delaunay_weights_inside_are_not_negative);
    tcase_add_loop_test(all, fixed_values_stay_and_sources_are_met, 0, 2);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
