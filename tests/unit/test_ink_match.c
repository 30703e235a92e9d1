/* The ink match: distances against published figures, refinements and searches against known
 * moves, shares and chance on ink of known placement. */
#include "evidence/added.h"
#include "evidence/placement.h"
#include "found_for_tests.h"

#include <gsl/gsl_sort.h>
#include <omp.h>
#include <stdlib.h>

/* A bit of ink as short as a point. */
#define POINT_MM 1e-6

static TapulInkMap *map_of_points(const TapulVec2 *point, int n) {
    GArray *samples = g_array_new(FALSE, FALSE, sizeof(TapulInkSample));
    for (int i = 0; i < n; i++) {
        TapulInkSample sample = {point[i], 0, POINT_MM, POINT_MM, -1};
        g_array_append_val(samples, sample);
    }
    return tapul_ink_map_new_take(samples);
}

static void check_directed(const TapulVec2 *from, int n_from, const TapulVec2 *to, int n_to,
                           double furthest_mm, double mean_mm) {
    g_autoptr(TapulInkMap) map = map_of_points(to, n_to);
    double furthest = 0, sum = 0;
    for (int i = 0; i < n_from; i++) {
        double away_mm = tapul_ink_map_distance_mm(map, from[i], TAPUL_INK_BINS);
        furthest = fmax(furthest, away_mm);
        sum += away_mm;
    }
    /* Half of the last figure given. */
    ck_assert_double_eq_tol(furthest, furthest_mm, 5e-7);
    ck_assert_double_eq_tol(sum / n_from, mean_mm, 5e-7);
}

/* Directed Hausdorff distances and mean nearest distances, recomputed independently with
 * general-purpose packages [R]. All points lie on nodes of the grid, where distances are exact.
 */
START_TEST(distances_are_those_of_hausdorff) {
    const TapulVec2 u[] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
    const TapulVec2 v[] = {{2, 0}, {0, 2}, {-2, 0}, {0, -4}};
    check_directed(u, 4, v, 4, 2.236068, 1.309017);
    check_directed(v, 4, u, 4, 3, 1.5);
    const TapulVec2 a[] = {{0, 0}, {1, 0}, {2, 0}, {3, 0}};
    const TapulVec2 b[] = {{0, 1}, {1, 1}, {2, 1}, {7, 1}};
    check_directed(a, 4, b, 4, 1.414214, 1.103553);
    check_directed(b, 4, a, 4, 4.123106, 1.780776);
}
END_TEST

/* To half a pixel's diagonal, anywhere. */
START_TEST(distances_between_nodes_are_near_and_end_at_the_reach) {
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    TapulVec2 point[40];
    for (int i = 0; i < 40; i++)
        point[i] = tapul_vec2(30 * gsl_rng_uniform(random), 20 * gsl_rng_uniform(random));
    g_autoptr(TapulInkMap) map = map_of_points(point, 40);
    for (int k = 0; k < 5000; k++) {
        TapulVec2 at = {60 * gsl_rng_uniform(random) - 15, 60 * gsl_rng_uniform(random) - 20};
        double nearest_mm = TAPUL_INK_REACH_MM;
        for (int i = 0; i < 40; i++)
            nearest_mm = fmin(nearest_mm, tapul_vec2_distance(at, point[i]));
        ck_assert_double_eq_tol(tapul_ink_map_distance_mm(map, at, TAPUL_INK_BINS), nearest_mm,
                                TAPUL_INK_PIXEL_MM * G_SQRT2);
    }
    gsl_rng_free(random);
}
END_TEST

/* A line counts for directions within 30 degrees of its own, give or take half a bin. */
START_TEST(distances_mind_the_direction) {
    TapulInk *ink = test_ink_new();
    test_ink_take(ink, TAPUL_MARK_STROKE, test_line(0, 0, 20, 0));
    g_autoptr(TapulInkMap) map = tapul_ink_map_new(ink);
    for (int degrees = 0; degrees < 180; degrees += 5) {
        double away_mm = tapul_ink_map_distance_mm(map, tapul_vec2(10, 1),
                                                   tapul_ink_bin(degrees * G_PI / 180));
        int apart = MIN(degrees, 180 - degrees);
        if (apart < 15)
            ck_assert_double_eq_tol(away_mm, 1, 1e-6);
        if (apart > 45)
            ck_assert_double_eq_tol(away_mm, TAPUL_INK_REACH_MM, 1e-6);
    }
    ck_assert_double_eq_tol(map->length_mm, 20, 1e-9);
    test_ink_free(ink);
}
END_TEST

/* A filled area's outline stands for half its length, as its motif's length does; what covers
 * ink is no ink. */
START_TEST(samples_stand_for_the_ink) {
    TapulInk *ink = test_ink_new();
    TapulPath *square = test_line(0, 0, 10, 0);
    tapul_path_line(square, tapul_vec2(10, 10));
    tapul_path_line(square, tapul_vec2(0, 10));
    tapul_path_close(square);
    test_ink_take(ink, TAPUL_MARK_FILL, square);
    test_ink_take(ink, TAPUL_MARK_STROKE, test_line(0, 20, 7, 20));
    test_ink_take(ink, TAPUL_MARK_FILL, tapul_path_copy(square))->paper = TRUE;
    g_autoptr(GArray) nodes = tapul_ink_nodes(ink);
    g_autoptr(GArray) samples = tapul_ink_samples(nodes);
    double all_mm = 0;
    for (guint i = 0; i < samples->len; i++) {
        const TapulInkSample *sample = &g_array_index(samples, TapulInkSample, i);
        ck_assert_double_le(sample->run_mm, TAPUL_INK_STEP_MM + 1e-9);
        all_mm += sample->weight_mm;
    }
    ck_assert_double_eq_tol(all_mm, 20 + 7, 1e-9);
    test_ink_free(ink);
}
END_TEST

START_TEST(moves_come_back) {
    TapulMove move = {{3, -2}, {5, 7}, 0.4, 1.3, TRUE};
    TapulVec2 point = {11, 4}, there = tapul_move_point(&move, point);
    TapulVec2 back = tapul_move_back(&move, there);
    ck_assert_double_eq_tol(tapul_vec2_distance(back, point), 0, 1e-12);
    /* A line's direction is that of its points. */
    TapulVec2 step = tapul_vec2_turn(tapul_vec2(1, 0), 0.7);
    TapulVec2 along =
        tapul_vec2_sub(tapul_move_point(&move, tapul_vec2_add(point, step)), there);
    double angle_rad = tapul_ink_folded(atan2(along.y, along.x));
    ck_assert_double_eq_tol(tapul_ink_folded(tapul_move_angle(&move, 0.7)), angle_rad, 1e-12);
    ck_assert_double_eq_tol(tapul_ink_folded(tapul_move_angle_back(&move, angle_rad)), 0.7,
                            1e-12);
}
END_TEST

/* --- Ink made by chance --- */

/* Lines of some 5 to 15 mm, in a field of 100 x 80 mm. */
static TapulInk *random_ink(gsl_rng *random, int n_lines) {
    TapulInk *ink = test_ink_new();
    ink->motifs = NULL;
    for (int i = 0; i < n_lines; i++) {
        TapulVec2 from = {100 * gsl_rng_uniform(random), 80 * gsl_rng_uniform(random)};
        TapulVec2 along = tapul_vec2_turn(tapul_vec2(5 + 10 * gsl_rng_uniform(random), 0),
                                          2 * G_PI * gsl_rng_uniform(random));
        test_ink_take(ink, TAPUL_MARK_STROKE,
                      test_line(from.x, from.y, from.x + along.x, from.y + along.y));
    }
    return ink;
}

/* Laid as it is, but for a shift and a turn, in the development of the cylinder. */
static TapulPlacement *placement_at(const TestGround *made, TapulVec2 shift_mm,
                                    double turn_rad) {
    TapulPlane plane = tapul_plane(&made->ground, TAPUL_LAYING_DEVELOPED, made->middle);
    TapulPlaneFit fit = {.freedom = TAPUL_FREEDOM_TRACED, .shift = shift_mm};
    fit.by_x = tapul_vec2_turn(tapul_vec2(1, 0), turn_rad);
    fit.by_y = tapul_vec2_turn(tapul_vec2(0, 1), turn_rad);
    return tapul_placement_new_take(&plane, &fit);
}

/* Ink so that its field's middle lies on the plate's. */
static const TapulVec2 centred_mm = {-50, -40};

static TapulInkMap *found_of(const TapulInk *ink, TapulVec2 shift_mm) {
    g_autoptr(GArray) nodes = tapul_ink_nodes(ink);
    for (guint i = 0; i < nodes->len; i++) {
        TapulInkNode *node = &g_array_index(nodes, TapulInkNode, i);
        node->at_mm = tapul_vec2_add(node->at_mm, shift_mm);
    }
    return tapul_ink_map_new_take(tapul_ink_samples(nodes));
}

/* Ink that lies where the print puts it, but for what picking leaves open: all of it is found,
 * at the least tolerance, and no random placement is as good: (0 + 1) / (m + 1) (Phipson &
 * Smyth 2010). */
START_TEST(a_print_matches_itself) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    TapulInk *ink = random_ink(random, 60);
    g_autoptr(TapulInkMap) plate = found_of(ink, centred_mm);
    g_autoptr(TapulPlacement) placement =
        placement_at(made, tapul_vec2_add(centred_mm, tapul_vec2(1.2, -0.8)), 0.01);
    TapulMatchOptions options = tapul_match_options_defaults();
    g_autoptr(TapulInkMatch) match = tapul_ink_match_new(ink, placement, plate, &options);
    const TapulMatchPoint *least = &g_array_index(match->points, TapulMatchPoint, 0);
    ck_assert_uint_eq(match->points->len, 8);
    ck_assert_double_ge(least->print_share, 0.98);
    ck_assert_double_ge(least->plate_share, 0.98);
    ck_assert_double_le(least->chance_print.high, 0.2);
    ck_assert_double_eq(match->chance.p, 1.0 / 201);
    ck_assert_double_eq_tol(match->refined.turn_rad, -0.01, 0.002);
    ck_assert_double_eq_tol(match->lost_mm, 0, 1e-9);
    for (guint i = 1; i < match->points->len; i++) {
        const TapulMatchPoint *point = &g_array_index(match->points, TapulMatchPoint, i);
        ck_assert_double_ge(point->print_share, point[-1].print_share);
        ck_assert_double_ge(point->plate_share, point[-1].plate_share);
        ck_assert_double_le(point->chance_print.low, point->chance_print.high);
    }
    test_ink_free(ink);
    gsl_rng_free(random);
}
END_TEST

START_TEST(threads_do_not_matter) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    TapulInk *ink = random_ink(random, 60), *other = random_ink(random, 60);
    g_autoptr(TapulInkMap) plate = found_of(other, centred_mm);
    g_autoptr(TapulPlacement) placement = placement_at(made, centred_mm, 0);
    TapulMatchOptions options = tapul_match_options_defaults();
    TapulMatchSearch search = tapul_match_search_defaults();
    TapulMatchPoint point[2][8];
    double p[2], score[2];
    options.draws = 40;
    for (int i = 0; i < 2; i++) {
        omp_set_num_threads(1 + 2 * i);
        g_autoptr(TapulInkMatch) match = tapul_ink_match_new(ink, placement, plate, &options);
        memcpy(point[i], match->points->data, sizeof point[i]);
        p[i] = match->chance.p;
        score[i] = tapul_ink_match_search(ink, plate, &search);
    }
    ck_assert_mem_eq(point[0], point[1], sizeof point[0]);
    ck_assert_double_eq(p[0], p[1]);
    ck_assert_double_eq(score[0], score[1]);
    test_ink_free(ink);
    test_ink_free(other);
    gsl_rng_free(random);
}
END_TEST

/* Unrelated ink, its placement as arbitrary as the random ones: p is uniform
 * (Kolmogorov-Smirnov, 5 % limit by 1.358 / sqrt(n), Massey 1951). */
START_TEST(p_of_unrelated_ink_is_uniform) {
    enum { RUNS = 60, DRAWS = 19 };
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    double p[RUNS], furthest = 0;
    gsl_rng_set(random, 5);
    for (int run = 0; run < RUNS; run++) {
        TapulInk *ink = random_ink(random, 25), *other = random_ink(random, 25);
        g_autoptr(TapulInkMap) plate = found_of(other, centred_mm);
        TapulVec2 shift = {20 * gsl_rng_uniform(random) - 10,
                           20 * gsl_rng_uniform(random) - 10};
        g_autoptr(TapulPlacement) placement =
            placement_at(made, tapul_vec2_add(centred_mm, shift), 0);
        TapulMatchOptions options = tapul_match_options_defaults();
        options.draws = DRAWS;
        options.seed = 1000 * (guint64)run;
        g_autoptr(TapulInkMatch) match = tapul_ink_match_new(ink, placement, plate, &options);
        p[run] = match->chance.p;
        test_ink_free(ink);
        test_ink_free(other);
    }
    gsl_sort(p, 1, RUNS);
    /* p has steps of 1 / (DRAWS + 1); its distribution meets the uniform one at them. */
    for (int run = 0; run < RUNS; run++)
        if (run + 1 == RUNS || p[run + 1] > p[run])
            furthest = fmax(furthest, fabs((run + 1.0) / RUNS - p[run]));
    ck_assert_msg(furthest <= 1.358 / sqrt(RUNS), "furthest %.3f", furthest);
    gsl_rng_free(random);
}
END_TEST

/* A print beyond the plate, and one without ink, match nothing and break nothing. */
START_TEST(ink_beyond_the_plate_is_told) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    TapulInk *ink = random_ink(random, 20), *none = test_ink_new();
    g_autoptr(TapulInkMap) plate = found_of(ink, centred_mm);
    g_autoptr(TapulPlacement) far = placement_at(made, tapul_vec2(2000, 0), 0);
    TapulMatchOptions options = tapul_match_options_defaults();
    TapulMatchSearch search = tapul_match_search_defaults();
    options.draws = 10;
    const TapulInk *each[] = {ink, none};
    for (int i = 0; i < 2; i++) {
        g_autoptr(TapulInkMatch) match = tapul_ink_match_new(each[i], far, plate, &options);
        const TapulMatchPoint *widest = &g_array_index(match->points, TapulMatchPoint, 7);
        ck_assert_double_eq(widest->print_share, 0);
        ck_assert_double_eq(widest->plate_share, 0);
        ck_assert_double_eq(match->chance.p, 1);
        ck_assert_double_eq_tol(match->lost_mm, match->print_mm, 1e-6);
        TapulInkMatch *const matches[] = {match};
        g_autoptr(GArray) added = tapul_ink_added(plate, 1, matches);
        ck_assert_uint_gt(added->len, 0);
    }
    g_autoptr(TapulInkMap) bare = tapul_ink_map_new(none);
    ck_assert_double_eq(tapul_ink_match_search(none, plate, &search), 0);
    ck_assert_double_eq(tapul_ink_match_search(ink, bare, &search), 0);
    test_ink_free(ink);
    test_ink_free(none);
    gsl_rng_free(random);
}
END_TEST

/* Two prints that lie 0.5 mm apart: ink belongs to the nearer, and counts once. */
START_TEST(prints_compete_for_ink) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    TapulInk *ink = test_ink_new(), *upper = test_ink_new(), *lower = test_ink_new();
    for (int i = 0; i < 6; i++) {
        double x = 15 * i, turn = i % 2 ? 12 : 0;
        test_ink_take(i < 4 ? upper : lower, TAPUL_MARK_STROKE, test_line(x, 0, x + 8, turn));
        test_ink_take(ink, TAPUL_MARK_STROKE, test_line(x, 0, x + 8, turn));
    }
    /* The lower print has the first line too, a little off. */
    test_ink_take(lower, TAPUL_MARK_STROKE, test_line(0, 0.5, 8, 0.5));
    g_autoptr(TapulInkMap) plate = found_of(ink, centred_mm);
    g_autoptr(TapulPlacement) placement = placement_at(made, centred_mm, 0);
    TapulMatchOptions options = tapul_match_options_defaults();
    options.draws = 5;
    TapulInkMatch *const matches[] = {tapul_ink_match_new(upper, placement, plate, &options),
                                      tapul_ink_match_new(lower, placement, plate, &options)};
    const TapulMatchPoint *at[] = {&g_array_index(matches[0]->points, TapulMatchPoint, 2),
                                   &g_array_index(matches[1]->points, TapulMatchPoint, 2)};
    ck_assert_double_gt(at[0]->plate_share + at[1]->plate_share, 1.05);
    tapul_ink_compete(plate, 2, matches);
    ck_assert_double_eq_tol(at[0]->plate_share + at[1]->plate_share, 1, 0.02);
    g_autoptr(GArray) added = tapul_ink_added(plate, 2, matches);
    ck_assert_uint_eq(added->len, 0);
    g_autoptr(GArray) beside_upper = tapul_ink_added(plate, 1, matches);
    ck_assert_uint_ge(beside_upper->len, 1);
    for (int i = 0; i < 2; i++)
        tapul_ink_match_free(matches[i]);
    test_ink_free(ink);
    test_ink_free(upper);
    test_ink_free(lower);
}
END_TEST

/* --- Search without pairs --- */

static gboolean search_finds(const TestGround *made, guint seed) {
    static const char *const others[] = {"canopy-figure", "mask-drapery", "scrolled-frieze"};
    g_autoptr(FoundCase) found = found_case_new(made, FALSE, seed);
    g_autoptr(TapulInkMap) plate = tapul_ink_map_new(found->found);
    TapulMatchSearch search = tapul_match_search_defaults();
    TapulMove place;
    double score = tapul_ink_match_search_place(found->print, plate, &search, &place);
    gboolean first = place.reversed == (seed % 2 == 1);
    for (guint i = 0; i < G_N_ELEMENTS(others); i++) {
        g_autoptr(TapulInk) other = demo_print(others[i]);
        first &= tapul_ink_match_search(other, plate, &search) < score;
    }
    return first;
}

/* Laid over a sphere, worn, partly changed, direct and reversed: the print still comes first
 * among unrelated ones, in the right hand. */
START_TEST(search_finds_the_print) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    for (guint seed = 200; seed < 202; seed++)
        ck_assert_msg(search_finds(made, seed), "seed %u", seed);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("ink_match");
    TCase *all = tcase_create("all");
    tcase_set_timeout(all, 300);
    tcase_add_test(all, distances_are_those_of_hausdorff);
    tcase_add_test(all, distances_between_nodes_are_near_and_end_at_the_reach);
    tcase_add_test(all, distances_mind_the_direction);
    tcase_add_test(all, samples_stand_for_the_ink);
    tcase_add_test(all, moves_come_back);
    tcase_add_test(all, a_print_matches_itself);
    tcase_add_test(all, threads_do_not_matter);
    tcase_add_test(all, p_of_unrelated_ink_is_uniform);
    tcase_add_test(all, ink_beyond_the_plate_is_told);
    tcase_add_test(all, prints_compete_for_ink);
    tcase_add_test(all, search_finds_the_print);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed > 0 ? EXIT_FAILURE : EXIT_SUCCESS;
}
