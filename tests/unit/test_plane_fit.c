/* Fits in a plane against published figures and against a general least squares; what they
 * refuse. */
#include "evidence/plane_fit_parts.h"

#include <check.h>
#include <gsl/gsl_multifit.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { ROOM = 32 };

/* A sitting in room of its own. */
typedef struct {
    TapulSitting sitting;
    TapulVec2 print_mm[ROOM], plane_mm[ROOM];
    TapulPlaneMetric metric[ROOM];
} Points;

static const TapulSitting *points_set(Points *points, int n, const TapulVec2 *print_mm,
                                      const TapulVec2 *plane_mm) {
    memcpy(points->print_mm, print_mm, (size_t)n * sizeof *print_mm);
    memcpy(points->plane_mm, plane_mm, (size_t)n * sizeof *plane_mm);
    for (int k = 0; k < n; k++)
        points->metric[k] = (TapulPlaneMetric){1, 0, 1};
    points->sitting = (TapulSitting){.geometry = TAPUL_LAYING_DEVELOPED,
                                     .n = n,
                                     .print_mm = points->print_mm,
                                     .plane_mm = points->plane_mm,
                                     .metric = points->metric};
    return &points->sitting;
}

static gboolean fit_all(const TapulSitting *sitting, TapulFreedom freedom, gboolean reversed,
                        double pick_sd_mm, TapulPlaneFit *fit) {
    return tapul_plane_fit(sitting, freedom, reversed, sitting->n, NULL, NULL, pick_sd_mm, fit);
}

/* Umeyama, IEEE PAMI 13(4) 1991, 376-380: R = [.832050 .554700; -.554700 .832050], c = sqrt(13)
 * / 5, t = (-.8, .4), the mean squared residual 8/15. */
START_TEST(umeyamas_example_comes_out_direct) {
    const TapulVec2 x[] = {{0, 0}, {1, 0}, {0, 2}}, y[] = {{0, 0}, {-1, 0}, {0, 2}};
    Points points;
    TapulPlaneFit fit;
    const TapulSitting *sitting = points_set(&points, 3, x, y);
    ck_assert(fit_all(sitting, TAPUL_FREEDOM_SCALED, FALSE, 0, &fit));
    double scale = sqrt(13) / 5;
    ck_assert_double_eq_tol(fit.by_x.x, scale * 0.832050, 1e-6);
    ck_assert_double_eq_tol(fit.by_y.x, scale * 0.554700, 1e-6);
    ck_assert_double_eq_tol(fit.by_x.y, scale * -0.554700, 1e-6);
    ck_assert_double_eq_tol(fit.by_y.y, scale * 0.832050, 1e-6);
    ck_assert_double_eq_tol(fit.shift.x, -0.8, 1e-12);
    ck_assert_double_eq_tol(fit.shift.y, 0.4, 1e-12);
    ck_assert_double_eq_tol(fit.rss_mm2 / 3, 8.0 / 15, 1e-12);
    ck_assert_double_eq(fit.parameters, 4);
}
END_TEST

/* The same pairs are a mirror image: reversed, nothing is left. */
START_TEST(umeyamas_example_comes_out_reversed) {
    const TapulVec2 x[] = {{0, 0}, {1, 0}, {0, 2}}, y[] = {{0, 0}, {-1, 0}, {0, 2}};
    Points points;
    TapulPlaneFit fit;
    ck_assert(fit_all(points_set(&points, 3, x, y), TAPUL_FREEDOM_SCALED, TRUE, 0, &fit));
    ck_assert_double_eq_tol(fit.rss_mm2, 0, 1e-24);
    ck_assert_double_eq_tol(fit.by_x.x, -1, 1e-12);
    ck_assert_double_eq_tol(fit.by_y.y, 1, 1e-12);
}
END_TEST

/* Reads the first female's and the first male's landmarks; FALSE with why where it cannot. */
static gboolean read_gorillas(TapulVec2 female[8], TapulVec2 male[8], const char **why) {
    static const char *const command[] = {
        "Rscript", "-e", "library(shapes); cat(t(gorf.dat[,,1]), t(gorm.dat[,,1]))", NULL};
    g_autofree char *program = g_find_program_in_path("Rscript"), *text = NULL;
    int status = 0;
    *why = "R is not installed";
    if (!program)
        return FALSE;
    *why = "R's package shapes is not installed";
    if (!g_spawn_sync(NULL, (char **)command, NULL,
                      G_SPAWN_SEARCH_PATH | G_SPAWN_STDERR_TO_DEV_NULL, NULL, NULL, &text, NULL,
                      &status, NULL) ||
        status != 0)
        return FALSE;
    const char *at = text;
    for (int k = 0; k < 16; k++) {
        TapulVec2 *point = k < 8 ? &female[k] : &male[k - 8];
        char *end;
        point->x = g_ascii_strtod(at, &end);
        point->y = g_ascii_strtod(end, (char **)&at);
    }
    return TRUE;
}

/* Male onto female: scale 0.868740, sum of squares 235.50645 (R package shapes 1.2.7, its
 * procrustes of gorm.dat's first onto gorf.dat's first). */
START_TEST(gorilla_landmarks_fit_as_by_procrustes) {
    TapulVec2 female[8], male[8];
    const char *why;
    if (!read_gorillas(female, male, &why)) {
        printf("SKIP: gorilla_landmarks_fit_as_by_procrustes: %s\n", why);
        return;
    }
    Points points;
    TapulPlaneFit fit;
    ck_assert(
        fit_all(points_set(&points, 8, male, female), TAPUL_FREEDOM_SCALED, FALSE, 0, &fit));
    ck_assert_double_eq_tol(tapul_vec2_length(fit.by_x), 0.868740, 1e-6);
    ck_assert_double_eq_tol(fit.rss_mm2, 235.50645, 1e-4);
}
END_TEST

/* Hald's cement data, Hald 1952 (R, MASS::cement): heat against the shares of clinkers. A
 * stretched fit of (x1, x2) to (heat, x2) is the regression of heat on both: RSS 57.9045 and
 * PRESS 93.8825; on x1 and x4 RSS 74.7621 and PRESS 121.2244. */
static const double hald[13][5] = {
    {7, 26, 6, 60, 78.5},   {1, 29, 15, 52, 74.3}, {11, 56, 8, 20, 104.3},
    {11, 31, 8, 47, 87.6},  {7, 52, 6, 33, 95.9},  {11, 55, 9, 22, 109.2},
    {3, 71, 17, 6, 102.7},  {1, 31, 22, 44, 72.5}, {2, 54, 18, 22, 93.1},
    {21, 47, 4, 26, 115.9}, {1, 40, 23, 34, 83.8}, {11, 66, 9, 12, 113.3},
    {10, 68, 8, 12, 109.4}};

static void check_hald(int second, double rss, double press) {
    Points points;
    TapulVec2 from[13], to[13];
    TapulPlaneFit fit;
    for (int k = 0; k < 13; k++) {
        from[k] = tapul_vec2(hald[k][0], hald[k][second]);
        to[k] = tapul_vec2(hald[k][4], hald[k][second]);
    }
    const TapulSitting *sitting = points_set(&points, 13, from, to);
    ck_assert(fit_all(sitting, TAPUL_FREEDOM_STRETCHED, FALSE, 0, &fit));
    ck_assert_double_eq_tol(fit.rss_mm2, rss, 1e-4);
    double sum = 0;
    for (int k = 0; k < 13; k++) {
        int others[12];
        for (int i = 0; i < 12; i++)
            others[i] = i < k ? i : i + 1;
        TapulPlaneFit without;
        ck_assert(tapul_plane_refit(sitting, &fit, 12, others, others, &without));
        TapulVec2 apart = tapul_vec2_sub(tapul_plane_fit_point(&without, from[k]), to[k]);
        sum += tapul_vec2_dot(apart, apart);
    }
    ck_assert_double_eq_tol(sum, press, 1e-4);
}

START_TEST(halds_press_comes_out_of_pairs_left_out) {
    check_hald(1, 57.9045, 93.8825);
    check_hald(3, 74.7621, 121.2244);
}
END_TEST

/* Pairs at random, with metrics as a steep view has them. */
static const TapulSitting *random_points(Points *points, gsl_rng *random, int n) {
    TapulVec2 from[ROOM], to[ROOM];
    for (int k = 0; k < n; k++) {
        from[k] = tapul_vec2(90 * gsl_rng_uniform(random), 130 * gsl_rng_uniform(random));
        to[k] = tapul_vec2(300 + 0.8 * from[k].x + gsl_ran_gaussian(random, 5),
                           0.7 * from[k].y + gsl_ran_gaussian(random, 5));
    }
    points_set(points, n, from, to);
    for (int k = 0; k < n; k++) {
        double slope_x = gsl_ran_gaussian(random, 1), slope_y = gsl_ran_gaussian(random, 1);
        points->metric[k] =
            (TapulPlaneMetric){1 + slope_x * slope_x, slope_x * slope_y, 1 + slope_y * slope_y};
    }
    return &points->sitting;
}

/* The rows of a general least squares: the metric's root times each column. */
static double rss_by_gsl(const TapulSitting *sitting, gboolean stretched, double hand) {
    size_t n = (size_t)sitting->n, p = stretched ? 6 : 4;
    gsl_matrix *design = gsl_matrix_calloc(2 * n, p), *covariance = gsl_matrix_alloc(p, p);
    gsl_vector *right = gsl_vector_alloc(2 * n), *found = gsl_vector_alloc(p);
    for (size_t k = 0; k < n; k++) {
        TapulPlaneMetric g = sitting->metric[k];
        TapulVec2 u = sitting->print_mm[k], q = sitting->plane_mm[k];
        double x = hand * u.x, xx = sqrt(g.xx), xy = g.xy / xx, yy = sqrt(g.yy - xy * xy);
        const double similar[2][6] = {{1, 0, x, -u.y}, {0, 1, u.y, x}};
        const double affine[2][6] = {{1, 0, u.x, u.y, 0, 0}, {0, 1, 0, 0, u.x, u.y}};
        for (size_t j = 0; j < p; j++) {
            double of_x = stretched ? affine[0][j] : similar[0][j];
            double of_y = stretched ? affine[1][j] : similar[1][j];
            gsl_matrix_set(design, 2 * k, j, xx * of_x + xy * of_y);
            gsl_matrix_set(design, 2 * k + 1, j, yy * of_y);
        }
        gsl_vector_set(right, 2 * k, xx * q.x + xy * q.y);
        gsl_vector_set(right, 2 * k + 1, yy * q.y);
    }
    gsl_multifit_linear_workspace *work = gsl_multifit_linear_alloc(2 * n, p);
    double rss;
    gsl_multifit_linear(design, right, found, covariance, &rss, work);
    gsl_multifit_linear_free(work);
    gsl_matrix_free(design);
    gsl_matrix_free(covariance);
    gsl_vector_free(right);
    gsl_vector_free(found);
    return rss;
}

START_TEST(fits_by_the_metric_are_those_of_a_general_least_squares) {
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    for (int i = 0; i < 100; i++) {
        Points points;
        TapulPlaneFit fit;
        const TapulSitting *sitting = random_points(&points, random, 4 + i % 20);
        for (int reversed = 0; reversed < 2; reversed++) {
            double rss = rss_by_gsl(sitting, FALSE, reversed ? -1 : 1);
            ck_assert(fit_all(sitting, TAPUL_FREEDOM_SCALED, reversed, 0, &fit));
            ck_assert_double_eq_tol(fit.rss_mm2, rss, 1e-9 * rss);
        }
        double rss = rss_by_gsl(sitting, TRUE, 1);
        gboolean direct = fit_all(sitting, TAPUL_FREEDOM_STRETCHED, FALSE, 0, &fit);
        if (!direct)
            ck_assert(fit_all(sitting, TAPUL_FREEDOM_STRETCHED, TRUE, 0, &fit));
        ck_assert_double_eq_tol(fit.rss_mm2, rss, 1e-9 * fmax(rss, 1));
    }
    gsl_rng_free(random);
}
END_TEST

/* What is left at a turn, the shift the best for it. */
static double rss_at_turn(const Points *points, double hand, double turn_rad) {
    TapulVec2 by_x = tapul_vec2_turn(tapul_vec2(hand, 0), turn_rad);
    TapulVec2 by_y = tapul_vec2_turn(tapul_vec2(0, 1), turn_rad), right = {0, 0}, left[ROOM];
    TapulPlaneMetric sum = {0, 0, 0};
    double rss = 0;
    for (int k = 0; k < points->sitting.n; k++) {
        TapulVec2 p = points->print_mm[k], q = points->plane_mm[k];
        TapulPlaneMetric g = points->metric[k];
        left[k] =
            tapul_vec2(q.x - by_x.x * p.x - by_y.x * p.y, q.y - by_x.y * p.x - by_y.y * p.y);
        sum = (TapulPlaneMetric){sum.xx + g.xx, sum.xy + g.xy, sum.yy + g.yy};
        right.x += g.xx * left[k].x + g.xy * left[k].y;
        right.y += g.xy * left[k].x + g.yy * left[k].y;
    }
    double determinant = sum.xx * sum.yy - sum.xy * sum.xy;
    TapulVec2 shift = {(sum.yy * right.x - sum.xy * right.y) / determinant,
                       (sum.xx * right.y - sum.xy * right.x) / determinant};
    for (int k = 0; k < points->sitting.n; k++) {
        TapulVec2 rest = tapul_vec2_sub(left[k], shift);
        rss += tapul_metric_product(points->metric[k], rest, rest);
    }
    return rss;
}

/* Of angles all around, in steps of half a degree, none is better. */
START_TEST(traced_fits_have_the_best_angle) {
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    for (int i = 0; i < 200; i++) {
        Points points;
        TapulPlaneFit fit;
        double hand = i % 2 ? -1 : 1;
        random_points(&points, random, 12);
        ck_assert(fit_all(&points.sitting, TAPUL_FREEDOM_TRACED, i % 2, 0, &fit));
        ck_assert_double_eq_tol(tapul_vec2_length(fit.by_x), 1, 1e-12);
        ck_assert_double_eq_tol(tapul_vec2_dot(fit.by_x, fit.by_y), 0, 1e-12);
        double turn_rad = atan2(-fit.by_y.x, fit.by_y.y);
        ck_assert_double_eq_tol(rss_at_turn(&points, hand, turn_rad), fit.rss_mm2,
                                1e-9 * fit.rss_mm2);
        for (int step = 1; step < 720; step++)
            ck_assert_double_ge(rss_at_turn(&points, hand, turn_rad + step * G_PI / 360),
                                fit.rss_mm2);
    }
    gsl_rng_free(random);
}
END_TEST

/* The square and kite of Bookstein 1989, each corner twice and nearly without picking error:
 * the spline passes through them, at his (.5, 0) -> (.5, .082969), and spends all degrees. */
START_TEST(bent_fits_are_booksteins_where_picks_are_exact) {
    const TapulVec2 square[] = {{0, 1}, {-1, 0}, {0, -1}, {1, 0}};
    const TapulVec2 kite[] = {{0, 0.75}, {-1, 0.25}, {0, -1.25}, {1, 0.25}};
    Points points;
    TapulPlaneFit fit;
    const TapulSitting *sitting = points_set(&points, 4, square, kite);
    ck_assert(fit_all(sitting, TAPUL_FREEDOM_BENT, FALSE, 0, &fit));
    TapulVec2 inside = tapul_plane_fit_point(&fit, tapul_vec2(0.5, 0));
    ck_assert_double_eq_tol(inside.x, 0.5, 1.5e-6);
    ck_assert_double_eq_tol(inside.y, 0.082969, 1.5e-6);
    ck_assert_double_eq_tol(fit.parameters, 8, 1e-9);
    ck_assert_double_eq_tol(fit.rss_mm2, 0, 1e-20);
    tapul_plane_fit_clear(&fit);
    ck_assert(!fit_all(sitting, TAPUL_FREEDOM_BENT, TRUE, 0, &fit));
}
END_TEST

/* Twice the trace of the smoothing matrix, here by the definition: how each fitted coordinate
 * follows its own found one, the smoothing held. */
START_TEST(bent_fits_count_their_effective_degrees) {
    enum { N = 20 };
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    Points points;
    TapulPlaneFit fit;
    random_points(&points, random, N);
    for (int k = 0; k < N; k++) {
        TapulVec2 p = points.print_mm[k];
        points.plane_mm[k] = tapul_vec2(p.x + gsl_ran_gaussian(random, 0.5),
                                        p.y + p.x * p.x / 500 + gsl_ran_gaussian(random, 0.5));
        points.metric[k] = (TapulPlaneMetric){1, 0, 1};
    }
    ck_assert(fit_all(&points.sitting, TAPUL_FREEDOM_BENT, FALSE, 0.5, &fit));
    ck_assert(fit.spline != NULL);
    double sum = 0;
    for (int k = 0; k < N; k++) {
        TapulVec2 moved[N];
        memcpy(moved, points.plane_mm, sizeof moved);
        moved[k].x += 1;
        g_autoptr(TapulSpline) spline =
            tapul_spline_new(N, points.print_mm, moved, fit.smoothing_mm2);
        sum += tapul_spline_point(spline, points.print_mm[k]).x -
               tapul_plane_fit_point(&fit, points.print_mm[k]).x;
    }
    ck_assert_double_eq_tol(fit.parameters, 2 * sum, 1e-6);
    ck_assert_double_gt(fit.parameters, 7);
    ck_assert_double_lt(fit.parameters, 30);
    tapul_plane_fit_clear(&fit);
    gsl_rng_free(random);
}
END_TEST

/* Pairs that an affine map explains: no spline is bent to them. */
START_TEST(what_need_not_bend_stays_flat) {
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    Points points;
    TapulPlaneFit bent, stretched;
    random_points(&points, random, 15);
    ck_assert(fit_all(&points.sitting, TAPUL_FREEDOM_BENT, FALSE, 5, &bent));
    ck_assert(fit_all(&points.sitting, TAPUL_FREEDOM_STRETCHED, FALSE, 5, &stretched));
    ck_assert_ptr_null(bent.spline);
    ck_assert_double_eq(bent.rss_mm2, stretched.rss_mm2);
    gsl_rng_free(random);
}
END_TEST

START_TEST(lists_choose_pairs_and_relabel_them) {
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    Points points, chosen;
    TapulPlaneFit by_list, alone;
    const int from[] = {3, 3, 7, 1, 0}, to[] = {2, 5, 5, 8, 4};
    TapulVec2 print_mm[5], plane_mm[5];
    const TapulSitting *sitting = random_points(&points, random, 10);
    for (int k = 0; k < 5; k++) {
        print_mm[k] = points.print_mm[from[k]];
        plane_mm[k] = points.plane_mm[to[k]];
    }
    points_set(&chosen, 5, print_mm, plane_mm);
    for (int k = 0; k < 5; k++)
        chosen.metric[k] = points.metric[to[k]];
    ck_assert(tapul_plane_fit(sitting, TAPUL_FREEDOM_SCALED, FALSE, 5, from, to, 0, &by_list));
    ck_assert(fit_all(&chosen.sitting, TAPUL_FREEDOM_SCALED, FALSE, 0, &alone));
    ck_assert_double_eq(by_list.rss_mm2, alone.rss_mm2);
    ck_assert_double_eq(by_list.shift.x, alone.shift.x);
    gsl_rng_free(random);
}
END_TEST

START_TEST(points_that_determine_nothing_are_refused) {
    const TapulVec2 one[] = {{1, 2}, {1, 2}, {1, 2}, {1, 2}};
    const TapulVec2 line[] = {{0, 0}, {1, 1}, {2, 2}, {5, 5}};
    const TapulVec2 spread[] = {{0, 0}, {10, 0}, {0, 10}, {7, 9}};
    const TapulVec2 mirrored[] = {{0, 0}, {-10, 0}, {0, 10}, {-7, 9}};
    Points points;
    TapulPlaneFit fit;
    for (int freedom = 0; freedom <= TAPUL_FREEDOM_BENT; freedom++) {
        ck_assert(!fit_all(points_set(&points, 4, one, spread), (TapulFreedom)freedom, FALSE, 1,
                           &fit));
        ck_assert(!fit_all(points_set(&points, 4, spread, one), (TapulFreedom)freedom, FALSE, 1,
                           &fit));
        /* A similarity is determined by points on a line, an affine map is not. */
        ck_assert_int_eq(fit_all(points_set(&points, 4, line, spread), (TapulFreedom)freedom,
                                 FALSE, 1, &fit),
                         freedom <= TAPUL_FREEDOM_SCALED);
    }
    /* What is stretched has the hand of its pairs. */
    points_set(&points, 4, spread, mirrored);
    ck_assert(!fit_all(&points.sitting, TAPUL_FREEDOM_STRETCHED, FALSE, 0, &fit));
    ck_assert(fit_all(&points.sitting, TAPUL_FREEDOM_STRETCHED, TRUE, 0, &fit));
    ck_assert_double_eq_tol(fit.rss_mm2, 0, 1e-20);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("plane_fit");
    TCase *tests = tcase_create("plane_fit");
    tcase_add_test(tests, umeyamas_example_comes_out_direct);
    tcase_add_test(tests, umeyamas_example_comes_out_reversed);
    tcase_add_test(tests, gorilla_landmarks_fit_as_by_procrustes);
    tcase_add_test(tests, halds_press_comes_out_of_pairs_left_out);
    tcase_add_test(tests, fits_by_the_metric_are_those_of_a_general_least_squares);
    tcase_add_test(tests, traced_fits_have_the_best_angle);
    tcase_add_test(tests, bent_fits_are_booksteins_where_picks_are_exact);
    tcase_add_test(tests, bent_fits_count_their_effective_degrees);
    tcase_add_test(tests, what_need_not_bend_stays_flat);
    tcase_add_test(tests, lists_choose_pairs_and_relabel_them);
    tcase_add_test(tests, points_that_determine_nothing_are_refused);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
