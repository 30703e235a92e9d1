/* How long it takes to lay a print: 2,000 strokes of one or two curves on a plate of some
 * 12,000 triangles, by each rule, and the polar map alone beside PROJ's azimuthal equidistant
 * projection on the same points. */
#include "laying/geodesic.h"

#include <glib/gstdio.h>
#include <omp.h>
#include <proj.h>
#include <stdio.h>
#include <stdlib.h>

#include "../unit/curves_for_tests.h"

/* Timed runs after one to warm up; their median and spread are told. */
#define RUNS    7
#define STROKES 2000
#define POINTS  20000

/* The plate: a sphere's cap, its pole this high, with triangles enough at this chord error. */
#define SURFACE                                                                                \
    "tapul: plate/1\nname: cap\nsurface: { kind: sphere, radius_mm: 150, half_angle_deg: 60 "  \
    "}\n"
#define POLE_MM        (150 * sin(G_PI / 3))
#define CHORD_ERROR_MM 0.027

static TapulPlate *some_plate(void) {
    g_autofree char *path = NULL;
    int handle = g_file_open_tmp("tapul-XXXXXX.yaml", &path, NULL);
    if (handle < 0 || !g_close(handle, NULL) || !g_file_set_contents(path, SURFACE, -1, NULL))
        g_error("no temporary file");
    TapulPlateOptions options = {.chord_error_mm = CHORD_ERROR_MM};
    g_autoptr(GError) error = NULL;
    TapulPlate *plate = tapul_plate_load(path, &options, &error);
    g_unlink(path);
    if (!plate)
        g_error("%s", error->message);
    return plate;
}

static int compare(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void tell(const char *what, double *seconds, int n, const char *unit) {
    qsort(seconds, RUNS, sizeof *seconds, compare);
    printf("%-44s median %8.2f ms, %8.2f to %8.2f; %.2f us each %s\n", what,
           1e3 * seconds[RUNS / 2], 1e3 * seconds[0], 1e3 * seconds[RUNS - 1],
           1e6 * seconds[RUNS / 2] / n, unit);
}

static TapulInk *some_print(void) {
    TapulInk *ink = g_new0(TapulInk, 1);
    ink->marks = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_mark_free);
    g_autoptr(GRand) random = g_rand_new_with_seed(1);
    for (int i = 0; i < STROKES; i++) {
        TapulMark *mark = g_new0(TapulMark, 1);
        *mark = (TapulMark){.kind = TAPUL_MARK_STROKE, .width_mm = 0.3, .motif = -1};
        mark->path = random_path(random, 75, 1 + i % 2);
        g_ptr_array_add(ink->marks, mark);
    }
    return ink;
}

static void time_rule(const TapulGround *ground, TapulSpot anchor, TapulLayingRule rule,
                      const TapulInk *ink, int threads) {
    TapulLayingOptions options = {.rule = rule, .anchor = anchor, .scale = 1};
    g_autoptr(TapulLaying) laying = tapul_laying_new(ground, &options, NULL);
    TapulLayInkOptions how = tapul_lay_ink_options_defaults();
    omp_set_num_threads(threads);
    double seconds[RUNS];
    for (int run = -1; run < RUNS; run++) {
        double start = omp_get_wtime();
        tapul_laid_ink_free(tapul_lay_ink(laying, ink, &how, NULL));
        if (run >= 0)
            seconds[run] = omp_get_wtime() - start;
    }
    g_autofree char *what = g_strdup_printf(
        "print %s, %d thread%s", tapul_laying_rule_name(rule), threads, threads > 1 ? "s" : "");
    tell(what, seconds, STROKES, "stroke");
}

static void time_polar_map(const TapulMesh *mesh, TapulSpot anchor) {
    TapulGeodesicChart chart = tapul_geodesic_chart(mesh, anchor);
    PJ *projection = proj_create(PJ_DEFAULT_CTX, "+proj=aeqd +R=150");
    g_autoptr(GRand) random = g_rand_new_with_seed(2);
    g_autofree TapulVec2 *point = g_new(TapulVec2, POINTS);
    for (int i = 0; i < POINTS; i++)
        point[i] = tapul_vec2_turn(tapul_vec2(100 * sqrt(g_rand_double(random)), 0),
                                   g_rand_double(random) * 2 * G_PI);
    double ours[RUNS], theirs[RUNS];
    for (int run = -1; run < RUNS; run++) {
        double start = omp_get_wtime(), sum = 0;
        for (int i = 0; i < POINTS; i++) {
            TapulGeodesicEnd end;
            tapul_geodesic_forward(&chart, point[i], &end);
        }
        double middle = omp_get_wtime();
        for (int i = 0; i < POINTS; i++)
            sum +=
                proj_trans(projection, PJ_INV, proj_coord(point[i].x, point[i].y, 0, 0)).lp.lam;
        if (run >= 0 && isfinite(sum)) {
            ours[run] = middle - start;
            theirs[run] = omp_get_wtime() - middle;
        }
    }
    tell("polar map over the triangles, 1 thread", ours, POINTS, "point");
    tell("PROJ aeqd, closed form on a sphere, 1 thread", theirs, POINTS, "point");
    proj_destroy(projection);
}

int main(void) {
    g_autoptr(TapulPlate) plate = some_plate();
    const TapulMesh *mesh = tapul_plate_mesh(plate);
    TapulDevelopOptions options = tapul_develop_options_defaults();
    g_autoptr(TapulDevelopment) development = tapul_develop(mesh, &options, NULL);
    TapulSpot anchor, above;
    if (!development || !tapul_plate_spot_from_front(plate, 0, POLE_MM, &anchor, NULL) ||
        !tapul_plate_spot_from_front(plate, 0, POLE_MM + 20, &above, NULL))
        g_error("no development");
    tapul_development_place(development, anchor, above);
    g_autoptr(TapulDevelopmentFinder) finder = tapul_development_finder_new(development);
    TapulGround ground = {plate, development, finder};
    TapulInk *ink = some_print();
    printf("%d processors; %d triangles, %d strokes, seeds 1 and 2\n", omp_get_num_procs(),
           mesh->n_triangles, STROKES);
    for (int rule = TAPUL_LAYING_ROLLED; rule <= TAPUL_LAYING_VIEWED; rule++)
        for (int threads = 1; threads <= 2; threads++)
            time_rule(&ground, anchor, (TapulLayingRule)rule, ink, threads);
    time_polar_map(mesh, anchor);
    g_ptr_array_unref(ink->marks);
    g_free(ink);
    return EXIT_SUCCESS;
}
