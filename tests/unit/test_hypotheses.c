/* Hypotheses over the metal: prints laid in closed form are found as they were laid, distances
 * are those of the surface, and noise is not laid to the freest hypothesis. */
#include "evidence/hypothesis.h"
#include "evidence/residual.h"

#include "grounds_for_tests.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <stdio.h>
#include <stdlib.h>

enum { ROOM = 32 };

#define SPHERE_RADIUS_MM   150.0
#define CYLINDER_RADIUS_MM 100.0
/* A plate's mesh and its points, given to the nearest triangle, are this near to the surface.
 */
#define MESH_MM 0.02

static double squared(double value) {
    return value * value;
}

typedef struct {
    TapulPairSet pairs;
    TapulVec2 print_mm[ROOM];
    TapulSpot spot[ROOM];
} Pairs;

static TapulSpot spot_near(const TestGround *made, TapulVec3 at) {
    TapulSpot spot;
    g_autoptr(GError) error = NULL;
    ck_assert_msg(tapul_plate_spot_from_xyz(made->plate, at, &spot, &error), "%s",
                  error ? error->message : "");
    return spot;
}

/* Where the great circle from a point leads, `east` and `north` of the pole: Snyder 1987, 191,
 * the azimuthal equidistant projection backwards. */
static TapulVec3 on_sphere_about(TapulVec2 v, double east_rad, double north_rad) {
    double r = tapul_vec2_length(v), angle = r / SPHERE_RADIUS_MM;
    double ce = cos(east_rad), se = sin(east_rad), cn = cos(north_rad), sn = sin(north_rad);
    TapulVec3 anchor = {cn * se, sn, cn * ce}, right = {ce, 0, -se},
              up = {-sn * se, cn, -sn * ce};
    TapulVec3 way =
        tapul_vec3_add(tapul_vec3_scale(right, v.x / r), tapul_vec3_scale(up, v.y / r));
    TapulVec3 unit =
        tapul_vec3_add(tapul_vec3_scale(anchor, cos(angle)), tapul_vec3_scale(way, sin(angle)));
    return tapul_vec3_add(tapul_vec3(0, SPHERE_MIDDLE_MM, 0),
                          tapul_vec3_scale(unit, SPHERE_RADIUS_MM));
}

static TapulVec3 on_sphere(TapulVec2 v, double north_rad) {
    return on_sphere_about(v, 0, north_rad);
}

static TapulVec3 on_sphere_seen(TapulVec2 q) {
    return tapul_vec3(q.x, SPHERE_MIDDLE_MM + q.y,
                      sqrt(SPHERE_RADIUS_MM * SPHERE_RADIUS_MM - q.x * q.x - q.y * q.y));
}

static TapulVec3 on_cylinder(TapulVec2 q) {
    double angle = q.x / CYLINDER_RADIUS_MM;
    return tapul_vec3(CYLINDER_RADIUS_MM * sin(angle), CYLINDER_MIDDLE_MM + q.y,
                      CYLINDER_RADIUS_MM * cos(angle));
}

/* A print of 90 x 130 mm, its points about its middle, placed. */
static TapulVec2 print_point(gsl_rng *random) {
    return tapul_vec2(90 * gsl_rng_uniform(random), 130 * gsl_rng_uniform(random));
}

#define PRESSING_MM ((TapulVec2){45, 65})

static TapulVec2 placed(TapulVec2 p, double scale, double turn_rad, gboolean reversed) {
    TapulVec2 v = tapul_vec2_sub(p, PRESSING_MM);
    v.x = reversed ? -v.x : v.x;
    return tapul_vec2_turn(tapul_vec2_scale(v, scale), turn_rad);
}

static TapulVec2 picked(gsl_rng *random, TapulVec2 q, double sd_mm) {
    return tapul_vec2(q.x + gsl_ran_gaussian(random, sd_mm),
                      q.y + gsl_ran_gaussian(random, sd_mm));
}

static void pairs_set(Pairs *pairs, const TestGround *made, int n, double pick_sd_mm) {
    pairs->pairs =
        (TapulPairSet){&made->ground, n, pairs->print_mm, pairs->spot, PRESSING_MM, pick_sd_mm};
}

static const TapulHypothesis *row(const GPtrArray *rows, guint i) {
    return g_ptr_array_index(rows, i);
}

static const TapulHypothesis *find(const GPtrArray *rows, TapulLayingRule geometry,
                                   TapulFreedom freedom, gboolean reversed,
                                   gboolean pressing_free) {
    for (guint i = 0; i < rows->len; i++)
        if (row(rows, i)->geometry == geometry && row(rows, i)->freedom == freedom &&
            row(rows, i)->reversed == reversed && row(rows, i)->pressing_free == pressing_free)
            return row(rows, i);
    return NULL;
}

START_TEST(a_print_rolled_on_a_sphere_is_found_as_it_was_rolled) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    gboolean reversed = _i % 2;
    const double tilt_rad = 0.15, scale = 1.2, turn_rad = 0.3;
    Pairs pairs;
    for (int k = 0; k < 14; k++) {
        pairs.print_mm[k] = print_point(random);
        TapulVec2 v = placed(pairs.print_mm[k], scale, turn_rad, reversed);
        pairs.spot[k] = spot_near(made, on_sphere(v, tilt_rad));
    }
    pairs_set(&pairs, made, 14, 0.1);
    g_autoptr(GPtrArray) rows = tapul_hypotheses_new(&pairs.pairs);
    const TapulHypothesis *first = row(rows, 0);
    ck_assert_int_eq(first->geometry, TAPUL_LAYING_ROLLED);
    ck_assert_int_eq(first->freedom, TAPUL_FREEDOM_SCALED);
    ck_assert_int_eq(first->reversed, reversed);
    ck_assert(!first->pressing_free);
    ck_assert_double_eq(first->parameters, 4);
    ck_assert_double_lt(first->rms_mm, MESH_MM);
    ck_assert_double_eq_tol(first->scale, scale, 3e-4);
    ck_assert_double_eq_tol(first->turn_rad, turn_rad, 3e-4);
    TapulVec3 anchor = {0, SPHERE_MIDDLE_MM + SPHERE_RADIUS_MM * sin(tilt_rad),
                        SPHERE_RADIUS_MM * cos(tilt_rad)};
    TapulSpot pressing;
    ck_assert(tapul_placement_spot(first->placement, PRESSING_MM, &pressing));
    ck_assert_double_lt(tapul_vec3_distance(spot_mm(made, pressing), anchor), MESH_MM);
    /* Points that were no pairs are laid where the closed form lays them. */
    for (int k = 0; k < 20; k++) {
        TapulVec2 p = print_point(random);
        TapulSpot spot;
        ck_assert(tapul_placement_spot(first->placement, p, &spot));
        TapulVec3 at = on_sphere(placed(p, scale, turn_rad, reversed), tilt_rad);
        ck_assert_double_lt(tapul_vec3_distance(spot_mm(made, spot), at), 2 * MESH_MM);
    }
    gsl_rng_free(random);
}
END_TEST

START_TEST(a_print_drawn_as_seen_is_found_as_seen) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    gboolean reversed = _i % 2;
    Pairs pairs;
    for (int k = 0; k < 14; k++) {
        pairs.print_mm[k] = print_point(random);
        TapulVec2 q = picked(random, placed(pairs.print_mm[k], 1, 0.2, reversed), 0.5);
        pairs.spot[k] = spot_near(made, on_sphere_seen(q));
    }
    pairs_set(&pairs, made, 14, 0.5);
    g_autoptr(GPtrArray) rows = tapul_hypotheses_new(&pairs.pairs);
    const TapulHypothesis *first = row(rows, 0);
    ck_assert_int_eq(first->geometry, TAPUL_LAYING_VIEWED);
    ck_assert_int_eq(first->freedom, TAPUL_FREEDOM_TRACED);
    ck_assert_int_eq(first->reversed, reversed);
    ck_assert_double_eq(first->scale, 1);
    ck_assert_double_eq_tol(first->turn_rad, 0.2, 0.01);
    ck_assert_double_gt(first->loo_mm, first->rms_mm);
    gsl_rng_free(random);
}
END_TEST

/* A cylinder lies flat without stretch, and its geodesics are lines there: developed and rolled
 * are one, and the pressing point says nothing. */
START_TEST(on_a_cylinder_developed_and_rolled_are_not_told_apart) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    Pairs pairs;
    for (int k = 0; k < 16; k++) {
        pairs.print_mm[k] = print_point(random);
        TapulVec2 q = picked(random, placed(pairs.print_mm[k], 1.4, -0.1, TRUE), 0.5);
        pairs.spot[k] = spot_near(made, on_cylinder(q));
    }
    pairs_set(&pairs, made, 16, 0.5);
    g_autoptr(GPtrArray) rows = tapul_hypotheses_new(&pairs.pairs);
    for (int freedom = 0; freedom <= TAPUL_FREEDOM_STRETCHED; freedom++) {
        const TapulHypothesis *developed =
            find(rows, TAPUL_LAYING_DEVELOPED, (TapulFreedom)freedom, TRUE, FALSE);
        for (int pressing_free = 0; pressing_free < 2; pressing_free++) {
            const TapulHypothesis *rolled =
                find(rows, TAPUL_LAYING_ROLLED, (TapulFreedom)freedom, TRUE, pressing_free);
            ck_assert_double_eq_tol(rolled->rms_mm, developed->rms_mm, MESH_MM);
            ck_assert_double_eq_tol(rolled->loo_mm, developed->loo_mm, 2 * MESH_MM);
            ck_assert_double_eq(rolled->parameters,
                                developed->parameters + (pressing_free ? 2 : 0));
        }
    }
    g_autoptr(GArray) equal = tapul_hypotheses_equal(rows);
    gboolean seen[2] = {FALSE, FALSE};
    for (guint i = 0; i < equal->len; i++) {
        const TapulHypothesis *one = row(rows, (guint)g_array_index(equal, int, i));
        ck_assert(one->reversed && one->freedom >= TAPUL_FREEDOM_SCALED);
        ck_assert_int_ne(one->geometry, TAPUL_LAYING_VIEWED);
        seen[one->geometry == TAPUL_LAYING_ROLLED] = TRUE;
    }
    ck_assert(seen[0] && seen[1]);
    gsl_rng_free(random);
}
END_TEST

/* A sheet pressed on at its upper left corner, not at its middle. */
START_TEST(a_pressing_point_elsewhere_is_estimated) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    Pairs pairs;
    for (int k = 0; k < 16; k++) {
        pairs.print_mm[k] = print_point(random);
        TapulVec2 v = tapul_vec2_sub(pairs.print_mm[k], tapul_vec2(5, 125));
        pairs.spot[k] = spot_near(made, on_sphere(v, 0.4));
    }
    pairs_set(&pairs, made, 16, 0.1);
    g_autoptr(GPtrArray) rows = tapul_hypotheses_new(&pairs.pairs);
    const TapulHypothesis *first = row(rows, 0);
    ck_assert_int_eq(first->geometry, TAPUL_LAYING_ROLLED);
    ck_assert_int_eq(first->freedom, TAPUL_FREEDOM_TRACED);
    ck_assert(first->pressing_free);
    ck_assert_double_eq(first->parameters, 5);
    ck_assert_double_lt(first->rms_mm, MESH_MM);
    TapulVec3 anchor = spot_mm(made, tapul_placement_plane(first->placement)->chart.anchor);
    TapulVec3 pressed = {0, SPHERE_MIDDLE_MM + SPHERE_RADIUS_MM * sin(0.4),
                         SPHERE_RADIUS_MM * cos(0.4)};
    ck_assert_double_lt(tapul_vec3_distance(anchor, pressed), 2);
    ck_assert_double_gt(
        find(rows, TAPUL_LAYING_ROLLED, TAPUL_FREEDOM_TRACED, FALSE, FALSE)->rms_mm, 0.2);
    gsl_rng_free(random);
}
END_TEST

/* The sum of squares, in closed form, of a scaled print on the sphere: of great circles between
 * where it puts the pairs and where they are. Parameters: anchor, scale and turn. */
static double rss_on_sphere(const TestGround *made, const Pairs *pairs, const double x[4]) {
    double sum = 0;
    for (int k = 0; k < pairs->pairs.n; k++) {
        TapulVec3 put =
            on_sphere_about(placed(pairs->print_mm[k], x[2], x[3], FALSE), x[0], x[1]);
        double chord_mm = tapul_vec3_distance(put, spot_mm(made, pairs->spot[k]));
        sum += squared(2 * SPHERE_RADIUS_MM * asin(chord_mm / 2 / SPHERE_RADIUS_MM));
    }
    return sum;
}

/* No parameter of a rolled fit can be moved by 0.1 mm and leave less misfit over the metal. */
START_TEST(rolled_fits_are_least_squares_over_the_metal) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    for (int run = 0; run < 5; run++) {
        Pairs pairs;
        for (int k = 0; k < 12; k++) {
            pairs.print_mm[k] = print_point(random);
            TapulVec2 v = picked(random, placed(pairs.print_mm[k], 1.3, 0.1, FALSE), 2);
            pairs.spot[k] = spot_near(made, on_sphere_about(v, 0.1, 0.05 * run));
        }
        pairs_set(&pairs, made, 12, 2);
        g_autoptr(GPtrArray) rows = tapul_hypotheses_new(&pairs.pairs);
        const TapulHypothesis *scaled =
            find(rows, TAPUL_LAYING_ROLLED, TAPUL_FREEDOM_SCALED, FALSE, FALSE);
        TapulSpot spot;
        ck_assert(tapul_placement_spot(scaled->placement, PRESSING_MM, &spot));
        TapulVec3 anchor = spot_mm(made, spot);
        const double best[4] = {atan2(anchor.x, anchor.z),
                                asin((anchor.y - SPHERE_MIDDLE_MM) / SPHERE_RADIUS_MM),
                                scaled->scale, scaled->turn_rad};
        double least = rss_on_sphere(made, &pairs, best);
        ck_assert_double_eq_tol(sqrt(least / 12), scaled->rms_mm, 0.005);
        for (int i = 0; i < 8; i++) {
            double moved[4] = {best[0], best[1], best[2], best[3]};
            double reach_mm = i / 2 < 2 ? SPHERE_RADIUS_MM : 40; /* of the print's points */
            moved[i / 2] += (i % 2 ? 0.1 : -0.1) / reach_mm;
            ck_assert_double_gt(rss_on_sphere(made, &pairs, moved), least);
        }
    }
    gsl_rng_free(random);
}
END_TEST

/* A nested hypothesis cannot fit better than the one that holds it, over the metal. */
START_TEST(freer_hypotheses_fit_no_worse) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    for (int run = 0; run < 4; run++) {
        Pairs pairs;
        for (int k = 0; k < 12; k++) {
            pairs.print_mm[k] = print_point(random);
            TapulVec2 v = picked(random, placed(pairs.print_mm[k], 0.9, 0.1, FALSE), 1);
            pairs.spot[k] = spot_near(made, on_sphere(v, 0.1));
        }
        pairs_set(&pairs, made, 12, 0.5);
        g_autoptr(GPtrArray) rows = tapul_hypotheses_new(&pairs.pairs);
        for (int pressing_free = 0; pressing_free < 2; pressing_free++)
            for (int freedom = 1; freedom <= TAPUL_FREEDOM_STRETCHED; freedom++) {
                double rms_mm =
                    find(rows, TAPUL_LAYING_ROLLED, (TapulFreedom)freedom, FALSE, pressing_free)
                        ->rms_mm;
                ck_assert_double_le(rms_mm,
                                    find(rows, TAPUL_LAYING_ROLLED, (TapulFreedom)(freedom - 1),
                                         FALSE, pressing_free)
                                            ->rms_mm +
                                        0.001);
                ck_assert_double_le(
                    rms_mm, find(rows, TAPUL_LAYING_ROLLED, (TapulFreedom)freedom, FALSE, FALSE)
                                    ->rms_mm +
                                0.001);
            }
    }
    gsl_rng_free(random);
}
END_TEST

/* Great circles and helices. */
START_TEST(distances_are_those_over_the_metal) {
    g_autoptr(TestGround) sphere = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    g_autoptr(TestGround) cylinder = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    for (int k = 0; k < 100; k++) {
        double reach_mm = k < 50 ? 4 : 20;
        TapulVec2 from =
            tapul_vec2(60 * gsl_rng_uniform(random) - 30, 60 * gsl_rng_uniform(random) - 30);
        TapulVec2 to = picked(random, from, reach_mm / 2);
        TapulSpot a = spot_near(cylinder, on_cylinder(from)),
                  b = spot_near(cylinder, on_cylinder(to));
        double error_mm = k < 50 ? 0.005 : 0.01;
        ck_assert_double_eq_tol(
            tapul_metal_distance_mm(tapul_plate_mesh(cylinder->plate), a, b),
            tapul_vec2_distance(from, to), error_mm);
        TapulVec3 p = on_sphere_seen(from), q = on_sphere_seen(to);
        double chord_mm = tapul_vec3_distance(p, q);
        ck_assert_double_eq_tol(
            tapul_metal_distance_mm(tapul_plate_mesh(sphere->plate), spot_near(sphere, p),
                                    spot_near(sphere, q)),
            2 * SPHERE_RADIUS_MM * asin(chord_mm / 2 / SPHERE_RADIUS_MM), error_mm);
    }
    gsl_rng_free(random);
}
END_TEST

/* A print so wide that its outer points hang over the edge. */
START_TEST(points_put_beyond_the_plate_are_counted_and_measured) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    Pairs pairs;
    for (int k = 0; k < 12; k++) {
        double angle = k * G_PI / 6, reach_mm = k % 2 ? 128 : 90;
        pairs.print_mm[k] = tapul_vec2_add(
            PRESSING_MM, tapul_vec2_turn(tapul_vec2(k % 2 ? 135 : 90, 0), angle));
        pairs.spot[k] =
            spot_near(made, on_sphere_seen(tapul_vec2_turn(tapul_vec2(reach_mm, 0), angle)));
    }
    pairs_set(&pairs, made, 12, 0.5);
    g_autoptr(GPtrArray) rows = tapul_hypotheses_new(&pairs.pairs);
    const TapulHypothesis *viewed =
        find(rows, TAPUL_LAYING_VIEWED, TAPUL_FREEDOM_TRACED, FALSE, FALSE);
    ck_assert_int_eq(viewed->n_off, 6);
    for (int k = 0; k < 12; k++) {
        ck_assert(isfinite(viewed->residual_mm[k]));
        ck_assert(isfinite(viewed->put_developed_mm[k].x));
        /* 7 mm as seen is 13 at 31 degrees of slope. */
        ck_assert_double_eq_tol(viewed->residual_mm[k], k % 2 ? 13.4 : 0, 0.5);
    }
    gsl_rng_free(random);
}
END_TEST

/* Print and plate points that have nothing to do with each other.
 */
START_TEST(noise_on_a_plate_is_not_laid_to_the_freest) {
    const int simulations = 20;
    int free_rows = 0;
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    for (int i = 0; i < simulations; i++) {
        Pairs pairs;
        for (int k = 0; k < 12; k++) {
            pairs.print_mm[k] = print_point(random);
            TapulVec2 q = tapul_vec2_sub(print_point(random), PRESSING_MM);
            pairs.spot[k] = spot_near(made, on_sphere_seen(q));
        }
        pairs_set(&pairs, made, 12, 0.5);
        g_autoptr(GPtrArray) rows = tapul_hypotheses_new(&pairs.pairs);
        free_rows += row(rows, 0)->parameters > 4;
    }
    gsl_rng_free(random);
    printf("noise on a plate: more than 4 parameters preferred in %d of %d\n", free_rows,
           simulations);
    ck_assert_int_le(free_rows, simulations / 10);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("hypotheses");
    TCase *tests = tcase_create("hypotheses");
    tcase_set_timeout(tests, 300);
    tcase_add_loop_test(tests, a_print_rolled_on_a_sphere_is_found_as_it_was_rolled, 0, 2);
    tcase_add_loop_test(tests, a_print_drawn_as_seen_is_found_as_seen, 0, 2);
    tcase_add_test(tests, on_a_cylinder_developed_and_rolled_are_not_told_apart);
    tcase_add_test(tests, a_pressing_point_elsewhere_is_estimated);
    tcase_add_test(tests, rolled_fits_are_least_squares_over_the_metal);
    tcase_add_test(tests, freer_hypotheses_fit_no_worse);
    tcase_add_test(tests, distances_are_those_over_the_metal);
    tcase_add_test(tests, points_put_beyond_the_plate_are_counted_and_measured);
    tcase_add_test(tests, noise_on_a_plate_is_not_laid_to_the_freest);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
