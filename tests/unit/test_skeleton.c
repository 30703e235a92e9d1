/* Distances and thinning on figures whose answers are known, and on noise. */
#include "ink/lines_distance.h"
#include "ink/lines_pieces.h"
#include "ink/lines_specks.h"
#include "ink/skeleton.h"

#include <cairo.h>
#include <check.h>
#include <omp.h>
#include <stdlib.h>
#include <string.h>

/* A map from what draw draws, black, in px, y down. */
static TapulMap map_of(int width, int height, void (*draw)(cairo_t *)) {
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_A8, width, height);
    cairo_t *cairo = cairo_create(surface);
    cairo_set_antialias(cairo, CAIRO_ANTIALIAS_NONE);
    draw(cairo);
    cairo_surface_flush(surface);
    const guint8 *data = cairo_image_surface_get_data(surface);
    int stride = cairo_image_surface_get_stride(surface);
    TapulMap map = tapul_map_new(width, height);
    for (int y = 0; y < height; y++)
        for (int x = 0; x < width; x++)
            map.at[tapul_map_place(&map, x, y)] = data[y * stride + x] ? TAPUL_MAP_INK : 0;
    cairo_destroy(cairo);
    cairo_surface_destroy(surface);
    return map;
}

/* Noise within a margin of paper, through which all ground around the ink is one. */
static TapulMap noise_map(int width, int height, guint32 seed, double share) {
    g_autoptr(GRand) random = g_rand_new_with_seed(seed);
    TapulMap map = tapul_map_new(width, height);
    for (int y = 1; y < height - 1; y++)
        for (int x = 1; x < width - 1; x++)
            map.at[tapul_map_place(&map, x, y)] =
                g_rand_double(random) < share ? TAPUL_MAP_INK : 0;
    return map;
}

static int count_pieces(const TapulMap *map, guint8 bit, gboolean wanted) {
    g_autoptr(TapulPieces) pieces = tapul_pieces_new(map, bit, wanted, wanted);
    return pieces->n_pieces;
}

/* Thins, and checks that pieces and holes are the ink's and that nothing more could go. */
static void thin_and_check(TapulMap *map, int pieces, int grounds) {
    ck_assert_int_eq(count_pieces(map, TAPUL_MAP_INK, TRUE), pieces);
    ck_assert_int_eq(count_pieces(map, TAPUL_MAP_INK, FALSE), grounds);
    guint16 *distance_px2 = tapul_distance_squared_px2(map);
    TapulPeeled peeled = tapul_skeleton_thin(map, distance_px2);
    ck_assert_int_eq(count_pieces(map, TAPUL_MAP_SKELETON, TRUE), pieces);
    ck_assert_int_eq(count_pieces(map, TAPUL_MAP_SKELETON, FALSE), grounds);
    g_free(peeled.place);
    g_free(distance_px2);
}

static gboolean in_skeleton(const TapulMap *map, int x, int y) {
    return (map->at[tapul_map_place(map, x, y)] & TAPUL_MAP_SKELETON) != 0;
}

static int skeleton_size(const TapulMap *map) {
    int n = 0;
    for (int y = 0; y < map->height_px; y++)
        for (int x = 0; x < map->width_px; x++)
            n += in_skeleton(map, x, y);
    return n;
}

static int neighbours(const TapulMap *map, int x, int y) {
    int n = 0;
    for (int v = y - 1; v <= y + 1; v++)
        for (int u = x - 1; u <= x + 1; u++)
            n += (u != x || v != y) && map->at[tapul_map_place(map, u, v)] & TAPUL_MAP_SKELETON;
    return n;
}

static int count_ends(const TapulMap *map) {
    int n = 0;
    for (int y = 0; y < map->height_px; y++)
        for (int x = 0; x < map->width_px; x++)
            n += in_skeleton(map, x, y) && neighbours(map, x, y) == 1;
    return n;
}

START_TEST(distances_are_those_to_the_nearest_paper) {
    TapulMap map = noise_map(61, 47, 3, 0.9);
    guint16 *distance_px2 = tapul_distance_squared_px2(&map);
    for (int y = 0; y < 47; y++)
        for (int x = 0; x < 61; x++) {
            int least = G_MAXINT;
            for (int v = -1; v <= 47; v++)
                for (int u = -1; u <= 61; u++)
                    if (!(map.at[tapul_map_place(&map, u, v)] & TAPUL_MAP_INK))
                        least = MIN(least, (u - x) * (u - x) + (v - y) * (v - y));
            ck_assert_int_eq(distance_px2[tapul_map_place(&map, x, y)], least);
        }
    g_free(distance_px2);
    g_free(map.at);
}
END_TEST

static void draw_wide(cairo_t *cairo) {
    cairo_paint(cairo);
}

START_TEST(distances_stop_at_the_most_told_apart) {
    TapulMap map = map_of(700, 600, draw_wide);
    guint16 *distance_px2 = tapul_distance_squared_px2(&map);
    ck_assert_int_eq(distance_px2[tapul_map_place(&map, 99, 300)], 100 * 100);
    ck_assert_int_eq(distance_px2[tapul_map_place(&map, 350, 300)],
                     TAPUL_DISTANCE_MOST_PX * TAPUL_DISTANCE_MOST_PX);
    g_free(distance_px2);
    g_free(map.at);
}
END_TEST

static void draw_bar(cairo_t *cairo) {
    cairo_rectangle(cairo, 10, 10, 80, 9);
    cairo_fill(cairo);
}

START_TEST(bar_becomes_its_middle_row) {
    TapulMap map = map_of(100, 30, draw_bar);
    thin_and_check(&map, 1, 1);
    /* The middle row is y = 14; within half its width from the ends corners may show. */
    for (int x = 15; x < 85; x++)
        for (int y = 10; y < 19; y++)
            ck_assert_int_eq(in_skeleton(&map, x, y), y == 14);
    g_free(map.at);
}
END_TEST

static void draw_thin_bars(cairo_t *cairo) {
    cairo_rectangle(cairo, 10, 10, 2, 80);
    cairo_rectangle(cairo, 20, 10, 70, 2);
    cairo_rectangle(cairo, 20, 20, 70, 1);
    cairo_fill(cairo);
}

START_TEST(bars_two_pixels_wide_keep_their_length) {
    TapulMap map = map_of(100, 100, draw_thin_bars);
    thin_and_check(&map, 3, 1);
    ck_assert_int_eq(count_ends(&map), 6);
    ck_assert_int_ge(skeleton_size(&map), 80 + 70 + 70 - 4);
    g_free(map.at);
}
END_TEST

static void draw_cross(cairo_t *cairo) {
    cairo_set_line_width(cairo, 7);
    cairo_set_line_cap(cairo, CAIRO_LINE_CAP_ROUND);
    cairo_move_to(cairo, 10.5, 50.5);
    cairo_line_to(cairo, 90.5, 50.5);
    cairo_move_to(cairo, 50.5, 10.5);
    cairo_line_to(cairo, 50.5, 90.5);
    cairo_stroke(cairo);
}

START_TEST(cross_keeps_four_arms_along_its_middles) {
    TapulMap map = map_of(101, 101, draw_cross);
    thin_and_check(&map, 1, 1);
    for (int i = 15; i < 86; i++)
        if (abs(i - 50) > 7) {
            ck_assert(in_skeleton(&map, i, 50));
            ck_assert(in_skeleton(&map, 50, i));
        }
    ck_assert_int_eq(count_ends(&map), 4);
    g_free(map.at);
}
END_TEST

static void draw_t(cairo_t *cairo) {
    cairo_rectangle(cairo, 10, 10, 80, 8);
    cairo_rectangle(cairo, 46, 10, 8, 80);
    cairo_fill(cairo);
}

START_TEST(t_keeps_bar_and_stem) {
    TapulMap map = map_of(101, 101, draw_t);
    thin_and_check(&map, 1, 1);
    for (int y = 30; y < 80; y++)
        ck_assert_int_eq(in_skeleton(&map, 49, y) + in_skeleton(&map, 50, y), 1);
    for (int x = 20; x < 35; x++)
        ck_assert_int_eq(in_skeleton(&map, x, 13) + in_skeleton(&map, x, 14), 1);
    g_free(map.at);
}
END_TEST

static void draw_ring(cairo_t *cairo) {
    cairo_set_line_width(cairo, 9);
    cairo_arc(cairo, 50.5, 50.5, 30, 0, 2 * G_PI);
    cairo_stroke(cairo);
}

START_TEST(ring_stays_a_ring_of_its_middle_radius) {
    TapulMap map = map_of(101, 101, draw_ring);
    thin_and_check(&map, 1, 2);
    ck_assert_int_eq(count_ends(&map), 0);
    for (int y = 0; y < 101; y++)
        for (int x = 0; x < 101; x++)
            if (in_skeleton(&map, x, y)) {
                ck_assert_double_eq_tol(hypot(x - 50, y - 50), 30, 1.0);
                ck_assert_int_eq(neighbours(&map, x, y), 2);
            }
    g_free(map.at);
}
END_TEST

/* B A 8 i as strokes: two holes, one, two, none and a dot. */
static void draw_letters(cairo_t *cairo) {
    cairo_set_line_width(cairo, 6);
    cairo_rectangle(cairo, 10, 10, 25, 30);
    cairo_rectangle(cairo, 10, 40, 30, 40);
    cairo_move_to(cairo, 60, 85);
    cairo_line_to(cairo, 80, 10);
    cairo_line_to(cairo, 100, 85);
    cairo_move_to(cairo, 66, 60);
    cairo_line_to(cairo, 94, 60);
    cairo_stroke(cairo);
    cairo_arc(cairo, 135, 28, 14, 0, 2 * G_PI);
    cairo_stroke(cairo);
    cairo_arc(cairo, 135, 62, 20, 0, 2 * G_PI);
    cairo_stroke(cairo);
    cairo_move_to(cairo, 175, 35);
    cairo_line_to(cairo, 175, 85);
    cairo_stroke(cairo);
    cairo_arc(cairo, 175, 18, 6, 0, 2 * G_PI);
    cairo_fill(cairo);
}

START_TEST(letters_keep_their_pieces_and_holes) {
    TapulMap map = map_of(200, 100, draw_letters);
    thin_and_check(&map, 5, 6);
    g_free(map.at);
}
END_TEST

START_TEST(noise_keeps_its_pieces_and_holes) {
    for (guint32 seed = 1; seed <= 5; seed++) {
        TapulMap map = noise_map(300, 200, seed, 0.3 + 0.1 * seed);
        thin_and_check(&map, count_pieces(&map, TAPUL_MAP_INK, TRUE),
                       count_pieces(&map, TAPUL_MAP_INK, FALSE));
        g_free(map.at);
    }
}
END_TEST

START_TEST(thinning_does_not_depend_on_threads) {
    guint8 *first = NULL;
    int had = omp_get_max_threads();
    for (int threads = 1; threads <= 4; threads++) {
        omp_set_num_threads(threads);
        TapulMap map = noise_map(900, 700, 11, 0.85);
        guint16 *distance_px2 = tapul_distance_squared_px2(&map);
        TapulPeeled peeled = tapul_skeleton_thin(&map, distance_px2);
        g_free(peeled.place);
        g_free(distance_px2);
        if (first)
            ck_assert_mem_eq(first, map.at, (gsize)map.stride * (gsize)(map.height_px + 2));
        else
            first = g_steal_pointer(&map.at);
        g_free(map.at);
    }
    omp_set_num_threads(had);
    g_free(first);
}
END_TEST

START_TEST(what_was_peeled_follows_the_skeleton_it_leans_on) {
    TapulMap map = map_of(101, 101, draw_cross);
    guint16 *distance_px2 = tapul_distance_squared_px2(&map);
    TapulPeeled peeled = tapul_skeleton_thin(&map, distance_px2);
    for (int x = 0; x < 45; x++)
        if (in_skeleton(&map, x, 50))
            map.at[tapul_map_place(&map, x, 50)] |= TAPUL_MAP_AREA;
    tapul_skeleton_spread(&map, distance_px2, &peeled);
    for (int y = 0; y < 101; y++)
        for (int x = 0; x < 101; x++) {
            guint8 bits = map.at[tapul_map_place(&map, x, y)];
            /* Near the end of the marked part the two sides may be parted by half the width. */
            if (bits & TAPUL_MAP_INK && (x < 41 || x > 49))
                ck_assert_int_eq((bits & TAPUL_MAP_AREA) != 0, x < 41);
            ck_assert_int_eq(bits & TAPUL_MAP_MARKED, 0);
        }
    g_free(peeled.place);
    g_free(distance_px2);
    g_free(map.at);
}
END_TEST

static void draw_specks(cairo_t *cairo) {
    cairo_rectangle(cairo, 5, 5, 2, 2);  /* gone */
    cairo_rectangle(cairo, 10, 5, 1, 3); /* as high as a speck is at most: stays */
    cairo_rectangle(cairo, 20, 5, 30, 30);
    cairo_fill(cairo);
    cairo_set_operator(cairo, CAIRO_OPERATOR_CLEAR);
    cairo_rectangle(cairo, 30, 10, 2, 1); /* filled */
    cairo_rectangle(cairo, 30, 20, 4, 4); /* stays */
    cairo_fill(cairo);
}

START_TEST(specks_go_and_pinholes_are_filled) {
    TapulMap map = map_of(60, 40, draw_specks);
    ck_assert_int_eq(tapul_specks_remove(&map, 3), 1);
    ck_assert_int_eq(map.at[tapul_map_place(&map, 5, 5)], 0);
    ck_assert_int_eq(map.at[tapul_map_place(&map, 10, 6)], TAPUL_MAP_INK);
    ck_assert_int_eq(map.at[tapul_map_place(&map, 30, 10)], TAPUL_MAP_INK);
    ck_assert_int_eq(map.at[tapul_map_place(&map, 31, 21)], 0);
    g_free(map.at);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("skeleton");
    TCase *cases = tcase_create("skeleton");
    tcase_add_test(cases, distances_are_those_to_the_nearest_paper);
    tcase_add_test(cases, distances_stop_at_the_most_told_apart);
    tcase_add_test(cases, bar_becomes_its_middle_row);
    tcase_add_test(cases, bars_two_pixels_wide_keep_their_length);
    tcase_add_test(cases, cross_keeps_four_arms_along_its_middles);
    tcase_add_test(cases, t_keeps_bar_and_stem);
    tcase_add_test(cases, ring_stays_a_ring_of_its_middle_radius);
    tcase_add_test(cases, letters_keep_their_pieces_and_holes);
    tcase_add_test(cases, noise_keeps_its_pieces_and_holes);
    tcase_add_test(cases, thinning_does_not_depend_on_threads);
    tcase_add_test(cases, what_was_peeled_follows_the_skeleton_it_leans_on);
    tcase_add_test(cases, specks_go_and_pinholes_are_filled);
    suite_add_tcase(suite, cases);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
