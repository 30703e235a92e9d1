/* How long developing takes: a bumpy plate of 100,000 triangles by each rule, and a million
 * points carried back. Beside it, on the same plate, what the rules cannot go below: CHOLMOD
 * alone, analysing and factorising one system of that size. */
#include <omp.h>
#include <stdio.h>
#include <stdlib.h>

#include <tapul/development.h>

#include "../unit/shapes_for_tests.h"
#include "develop/energy.h"

/* Timed runs after one to warm up; their median and spread are told. */
#define RUNS      5
#define TRIANGLES 100000
#define POINTS    1000000
#define SEED      1536

static int compare(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double seconds_now(void) {
    return (double)g_get_monotonic_time() / G_USEC_PER_SEC;
}

typedef struct {
    const TapulMesh *mesh;
    TapulDevelopmentRule rule;
    const TapulDevelopment *development;
} Work;

static void develop_once(const Work *work) {
    g_autoptr(GError) error = NULL;
    TapulDevelopOptions options = tapul_develop_options_defaults();
    options.rule = work->rule;
    g_autoptr(TapulDevelopment) development = tapul_develop(work->mesh, &options, &error);
    if (!development)
        g_error("%s", error->message);
}

static void find_once(const Work *work) {
    g_autoptr(TapulDevelopmentFinder) finder = tapul_development_finder_new(work->development);
    g_autoptr(GRand) random = g_rand_new_with_seed(SEED);
    for (int i = 0; i < POINTS; i++) {
        TapulSpot spot = {g_rand_int_range(random, 0, work->mesh->n_triangles),
                          {0.2, 0.3, 0.5}};
        TapulVec2 point_mm = tapul_development_point_mm(work->development, spot);
        if (!tapul_development_finder_spot(finder, point_mm, &spot))
            g_error("a point of the plate is not found");
    }
}

static void factorise_once(const Work *work) {
    g_autoptr(TapulRest) rest = tapul_rest_new(work->mesh);
    g_autoptr(TapulEdges) edges = tapul_edges_cotangent(rest);
    g_autoptr(TapulSparse) system = tapul_stretch_energy_pattern(edges);
    for (int i = 0; i < system->n; i++)
        for (int k = system->column_start[i]; k < system->column_start[i + 1]; k++)
            system->value[k] = system->row[k] == i ? 20 : -0.5;
    g_autoptr(TapulFactor) factor = tapul_factor_new(system, NULL);
    if (!tapul_factor_update(factor, system))
        g_error("the system is not positive definite");
}

static void time_work(const char *what, void (*once)(const Work *), const Work *work) {
    double seconds[RUNS];
    once(work);
    for (int run = 0; run < RUNS; run++) {
        double start = seconds_now();
        once(work);
        seconds[run] = seconds_now() - start;
    }
    qsort(seconds, RUNS, sizeof *seconds, compare);
    printf("%-44s median %8.2f ms, %8.2f to %8.2f\n", what, 1e3 * seconds[RUNS / 2],
           1e3 * seconds[0], 1e3 * seconds[RUNS - 1]);
}

int main(void) {
    g_autoptr(TapulMesh) mesh = shape_bumpy_disc(200, 10, 2, TRIANGLES, SHAPE_JITTERED);
    printf("%d triangles, %d threads\n", mesh->n_triangles, omp_get_max_threads());
    Work work = {mesh, TAPUL_DEVELOP_CONFORMAL, NULL};
    time_work("conformal", develop_once, &work);
    work.rule = TAPUL_DEVELOP_LEAST_STRETCH;
    time_work("least-stretch", develop_once, &work);
    work.rule = TAPUL_DEVELOP_EVENED;
    time_work("evened", develop_once, &work);
    time_work("one system, CHOLMOD alone", factorise_once, &work);
    g_autoptr(GError) error = NULL;
    TapulDevelopOptions options = tapul_develop_options_defaults();
    g_autoptr(TapulDevelopment) development = tapul_develop(mesh, &options, &error);
    if (!development)
        g_error("%s", error->message);
    work.development = development;
    time_work("finder and a million points", find_once, &work);
    return EXIT_SUCCESS;
}
