/* How long it takes to weigh pairs: the fit of a similarity, which is the inner loop of every
 * relabelling and bootstrap; those; and the whole grid of hypotheses, beside GSL's general
 * least squares on the same similarity. */
#include "evidence/bootstrap.h"
#include "evidence/hypothesis.h"

#include <gsl/gsl_multifit.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <omp.h>
#include <stdio.h>
#include <stdlib.h>

/* Timed runs after one to warm up; their median and spread are told. */
#define RUNS         7
#define FITS         100000
#define PAIRS        20
#define PERMUTATIONS 10000
#define BOOTSTRAPS   2000
#define PICK_SD_MM   0.5

typedef struct {
    TapulPairSet pairs;
    TapulSitting *sitting;
    TapulVec2 print_mm[PAIRS];
    TapulSpot spot[PAIRS];
} Bench;

static int compare(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void tell(const char *what, void (*work)(Bench *bench), Bench *bench, int each) {
    double seconds[RUNS];
    for (int run = -1; run < RUNS; run++) {
        double start = omp_get_wtime();
        work(bench);
        if (run >= 0)
            seconds[run] = omp_get_wtime() - start;
    }
    qsort(seconds, RUNS, sizeof *seconds, compare);
    printf("%-46s median %8.2f ms, %8.2f to %8.2f; %.3f us each\n", what,
           1e3 * seconds[RUNS / 2], 1e3 * seconds[0], 1e3 * seconds[RUNS - 1],
           1e6 * seconds[RUNS / 2] / each);
}

static void fit_many(Bench *bench, TapulFreedom freedom) {
    TapulPlaneFit fit;
    for (int i = 0; i < FITS; i++)
        tapul_plane_fit(bench->sitting, freedom, FALSE, PAIRS, NULL, NULL, PICK_SD_MM, &fit);
}

static void scaled(Bench *bench) {
    fit_many(bench, TAPUL_FREEDOM_SCALED);
}

static void traced(Bench *bench) {
    fit_many(bench, TAPUL_FREEDOM_TRACED);
}

static void stretched(Bench *bench) {
    fit_many(bench, TAPUL_FREEDOM_STRETCHED);
}

/* The same similarity by a general library: 2n rows, the metric's root in each pair's two. */
static void scaled_by_gsl(Bench *bench) {
    const TapulSitting *sitting = bench->sitting;
    gsl_matrix *design = gsl_matrix_alloc(2 * PAIRS, 4), *covariance = gsl_matrix_alloc(4, 4);
    gsl_vector *right = gsl_vector_alloc(2 * PAIRS), *found = gsl_vector_alloc(4);
    gsl_multifit_linear_workspace *work = gsl_multifit_linear_alloc(2 * PAIRS, 4);
    double rss_mm2;
    for (int i = 0; i < FITS / 100; i++) {
        for (size_t k = 0; k < PAIRS; k++) {
            TapulPlaneMetric g = sitting->metric[k];
            TapulVec2 p = sitting->print_mm[k], q = sitting->plane_mm[k];
            double xx = sqrt(g.xx), xy = g.xy / xx, yy = sqrt(g.yy - xy * xy);
            const double column_x[] = {p.x, -p.y, 1, 0}, column_y[] = {p.y, p.x, 0, 1};
            for (size_t j = 0; j < 4; j++) {
                gsl_matrix_set(design, 2 * k, j, xx * column_x[j] + xy * column_y[j]);
                gsl_matrix_set(design, 2 * k + 1, j, yy * column_y[j]);
            }
            gsl_vector_set(right, 2 * k, xx * q.x + xy * q.y);
            gsl_vector_set(right, 2 * k + 1, yy * q.y);
        }
        gsl_multifit_linear(design, right, found, covariance, &rss_mm2, work);
    }
    gsl_multifit_linear_free(work);
    gsl_matrix_free(design);
    gsl_matrix_free(covariance);
    gsl_vector_free(right);
    gsl_vector_free(found);
}

static void relabel(Bench *bench) {
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    int to[PAIRS];
    TapulPlaneFit fit;
    for (int k = 0; k < PAIRS; k++)
        to[k] = k;
    for (int i = 0; i < PERMUTATIONS; i++) {
        gsl_ran_shuffle(random, to, PAIRS, sizeof *to);
        for (int reversed = 0; reversed < 2; reversed++)
            tapul_plane_fit(bench->sitting, TAPUL_FREEDOM_SCALED, reversed, PAIRS, NULL, to,
                            PICK_SD_MM, &fit);
    }
    gsl_rng_free(random);
}

static void bootstrap(Bench *bench) {
    TapulScaleIntervals intervals;
    tapul_bootstrap_scale(bench->sitting, FALSE, BOOTSTRAPS, 1, &intervals);
}

static void grid(Bench *bench) {
    g_ptr_array_unref(tapul_hypotheses_new(&bench->pairs));
}

/* A print laid by the rolled rule on the plate's front, its pairs picked with an error. */
static void set_pairs(Bench *bench, const TapulGround *ground, TapulSpot anchor,
                      gboolean matched) {
    TapulPlane plane = tapul_plane(ground, TAPUL_LAYING_ROLLED, anchor);
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    for (int k = 0; k < PAIRS;) {
        TapulVec2 p = {90 * gsl_rng_uniform(random), 130 * gsl_rng_uniform(random)};
        TapulVec2 q = {p.x - 45 + gsl_ran_gaussian(random, PICK_SD_MM),
                       p.y - 65 + gsl_ran_gaussian(random, PICK_SD_MM)};
        if (!matched)
            q = tapul_vec2(90 * gsl_rng_uniform(random) - 45,
                           130 * gsl_rng_uniform(random) - 65);
        bench->print_mm[k] = p;
        k += tapul_plane_spot(&plane, q, &bench->spot[k]);
    }
    gsl_rng_free(random);
    bench->pairs =
        (TapulPairSet){ground, PAIRS, bench->print_mm, bench->spot, {45, 65}, PICK_SD_MM};
    tapul_sitting_free(bench->sitting);
    bench->sitting = tapul_sitting_in(&bench->pairs, &plane);
}

int main(void) {
    g_autofree char *path = g_build_filename(g_getenv("TAPUL_SOURCE_ROOT"),
                                             "shapes/peascod-breastplate.yaml", NULL);
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulPlate) plate = tapul_plate_load(path, NULL, &error);
    if (!plate)
        g_error("%s", error->message);
    TapulDevelopOptions options = tapul_develop_options_defaults();
    g_autoptr(TapulDevelopment) development =
        tapul_develop(tapul_plate_mesh(plate), &options, &error);
    if (!development)
        g_error("%s", error->message);
    tapul_ground_place(plate, development);
    g_autoptr(TapulDevelopmentFinder) finder = tapul_development_finder_new(development);
    TapulGround ground = {plate, development, finder};
    TapulSpot anchor;
    if (!tapul_plate_spot_from_tape(plate, 0, 260, &anchor, &error))
        g_error("%s", error->message);

    Bench bench = {0};
    set_pairs(&bench, &ground, anchor, TRUE);
    printf("%d pairs on a plate of %d triangles, seed fixed, one thread of %d processors\n",
           PAIRS, tapul_plate_mesh(plate)->n_triangles, omp_get_num_procs());
    tell("scaled fit", scaled, &bench, FITS);
    tell("traced fit", traced, &bench, FITS);
    tell("stretched fit", stretched, &bench, FITS);
    tell("scaled fit by gsl_multifit_linear", scaled_by_gsl, &bench, FITS / 100);
    tell("10,000 relabellings, both hands", relabel, &bench, PERMUTATIONS);
    tell("2,000 bootstraps, two intervals", bootstrap, &bench, BOOTSTRAPS);
    tell("all hypotheses, a print that fits", grid, &bench, 1);
    set_pairs(&bench, &ground, anchor, FALSE);
    tell("all hypotheses, points at random", grid, &bench, 1);
    tapul_sitting_free(bench.sitting);
    return 0;
}
