/* Pictures warped by a map: what must come out exactly, what nearly, and what must not come out
 * at all. */
#include "base/picture.h"

#include <check.h>
#include <glib/gstdio.h>
#include <omp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const TapulKernel kernels[] = {TAPUL_KERNEL_LINEAR, TAPUL_KERNEL_CUBIC,
                                      TAPUL_KERNEL_LANCZOS3};

static TapulWarpOptions with(TapulKernel kernel) {
    TapulWarpOptions options = tapul_warp_options_defaults();
    options.kernel = kernel;
    return options;
}

/* Noise: nothing in it is smooth, so that a sample taken beside its place shows. */
static TapulPixels *noise(int width_px, int height_px, int bands) {
    TapulPixels *pixels = tapul_pixels_new(width_px, height_px, bands);
    g_autoptr(GRand) random = g_rand_new_with_seed(4);
    for (int i = 0; i < width_px * height_px * bands; i++)
        pixels->data[i] = (guint8)g_rand_int_range(random, 0, 256);
    for (int i = 3; bands == 4 && i < width_px * height_px * 4; i += 4)
        pixels->data[i] = 255;
    return pixels;
}

static const guint8 *pixel_at(const TapulPixels *pixels, int x, int y) {
    return pixels->data + (y * pixels->width_px + x) * pixels->bands;
}

/* Whether a pixel of a warped picture is one of its source, whole. */
static gboolean is_pixel(const guint8 *warped, const TapulPixels *source, int x, int y) {
    const guint8 *pixel = pixel_at(source, x, y);
    for (int k = 0; k < 3; k++)
        if (warped[k] != pixel[source->bands == 1 ? 0 : k])
            return FALSE;
    return warped[3] == 255;
}

static gboolean is_clear(const guint8 *warped) {
    static const guint8 clear[4] = {0};
    return memcmp(warped, clear, 4) == 0;
}

/* --- Exact --- */

static gboolean by_shift(TapulVec2 to_px, TapulVec2 *from_px, gconstpointer data) {
    *from_px = tapul_vec2_add(to_px, *(const TapulVec2 *)data);
    return TRUE;
}

START_TEST(whole_shifts_are_exact) {
    const TapulVec2 shifts[] = {{0, 0}, {3, -2}, {-40, 17}};
    for (int bands = 1; bands <= 4; bands += bands == 1 ? 2 : 1)
        for (int k = 0; k < 3; k++) {
            TapulVec2 shift = shifts[_i];
            g_autoptr(TapulPixels) source = noise(101, 67, bands);
            TapulWarpOptions options = with(kernels[k]);
            g_autoptr(TapulPixels) warped =
                tapul_pixels_warp(source, 101, 67, by_shift, &shift, &options);
            ck_assert_int_eq(warped->bands, 4);
            for (int y = 0; y < 67; y++)
                for (int x = 0; x < 101; x++) {
                    int from_x = x + (int)shift.x, from_y = y + (int)shift.y;
                    if (from_x < 0 || from_x >= 101 || from_y < 0 || from_y >= 67)
                        ck_assert(is_clear(pixel_at(warped, x, y)));
                    else
                        ck_assert(is_pixel(pixel_at(warped, x, y), source, from_x, from_y));
                }
        }
}
END_TEST

static gboolean by_quarter(TapulVec2 to_px, TapulVec2 *from_px, gconstpointer data) {
    *from_px = tapul_vec2(to_px.y, *(const int *)data - to_px.x);
    return TRUE;
}

START_TEST(a_quarter_turn_is_exact) {
    const int width = 90, height = 130;
    g_autoptr(TapulPixels) source = noise(width, height, 1);
    for (int k = 0; k < 3; k++) {
        TapulWarpOptions options = with(kernels[k]);
        g_autoptr(TapulPixels) warped =
            tapul_pixels_warp(source, height, width, by_quarter, &height, &options);
        for (int y = 0; y < width; y++)
            for (int x = 0; x < height; x++)
                ck_assert(is_pixel(pixel_at(warped, x, y), source, y, height - 1 - x));
    }
}
END_TEST

/* Left of x = 50.3 from here, right of it from 100 px further on. */
static gboolean by_jump(TapulVec2 to_px, TapulVec2 *from_px, gconstpointer data) {
    (void)data;
    *from_px = to_px.x < 50.3 ? to_px : tapul_vec2(to_px.x + 100, to_px.y);
    return TRUE;
}

START_TEST(a_jump_of_the_map_is_sharp) {
    g_autoptr(TapulPixels) source = noise(240, 64, 1);
    TapulWarpOptions options = tapul_warp_options_defaults();
    g_autoptr(TapulPixels) warped = tapul_pixels_warp(source, 120, 64, by_jump, NULL, &options);
    for (int y = 0; y < 64; y++)
        for (int x = 0; x < 120; x++)
            ck_assert(
                is_pixel(pixel_at(warped, x, y), source, x + 0.5 < 50.3 ? x : x + 100, y));
}
END_TEST

static gboolean in_a_disc(TapulVec2 to_px, TapulVec2 *from_px, gconstpointer data) {
    (void)data;
    *from_px = to_px;
    return hypot(to_px.x - 60, to_px.y - 50) <= 40.2;
}

START_TEST(what_comes_from_nowhere_is_clear) {
    g_autoptr(TapulPixels) source = noise(128, 100, 3);
    TapulWarpOptions options = tapul_warp_options_defaults();
    g_autoptr(TapulPixels) warped =
        tapul_pixels_warp(source, 128, 100, in_a_disc, NULL, &options);
    for (int y = 0; y < 100; y++)
        for (int x = 0; x < 128; x++) {
            const guint8 *pixel = pixel_at(warped, x, y);
            if (hypot(x + 0.5 - 60, y + 0.5 - 50) <= 40.2)
                ck_assert(is_pixel(pixel, source, x, y));
            else
                ck_assert(is_clear(pixel));
        }
}
END_TEST

/* --- Kernels --- */

/* One white pixel, moved by half a pixel: what is left shows the kernel. Expected: Lanczos
 * (Duchon 1979) 3 sin(pi x) sin(pi x / 3) / (pi x)^2, its six values made to sum to 1;
 * Catmull-Rom (1974) 9/16, -1/16. [R] */
START_TEST(kernels_are_what_they_are_called) {
    const double expected[3][3] = {{0.5, 0, 0}, {9 / 16.0, -1 / 16.0, 0}, {0, 0, 0}};
    double lanczos[3], sum = 0;
    for (int k = 0; k < 3; k++) {
        double x = G_PI * (k + 0.5);
        lanczos[k] = 3 * sin(x) * sin(x / 3) / (x * x);
        sum += 2 * lanczos[k];
    }
    for (int kernel = 0; kernel < 3; kernel++) {
        /* On grey, so that what is below 0 can be seen. */
        g_autoptr(TapulPixels) source = tapul_pixels_new(33, 33, 1);
        memset(source->data, 100, 33 * 33);
        source->data[16 * 33 + 16] = 200;
        TapulVec2 half = {0.5, 0};
        TapulWarpOptions options = with(kernels[kernel]);
        g_autoptr(TapulPixels) warped =
            tapul_pixels_warp(source, 33, 33, by_shift, &half, &options);
        for (int k = 0; k < 3; k++) {
            double value = kernel == 2 ? lanczos[k] / sum : expected[kernel][k];
            for (int side = 0; side < 2; side++) {
                int x = side ? 16 + k : 15 - k;
                ck_assert_double_le(fabs(pixel_at(warped, x, 16)[0] - (100 + 100 * value)),
                                    0.51);
            }
            ck_assert_int_eq(pixel_at(warped, 15 - k, 15)[0], 100);
        }
    }
}
END_TEST

/* --- Smooth pictures --- */

static double waves(TapulVec2 p) {
    return 128 + 50 * sin(0.31 * p.x + 0.13 * p.y) + 40 * sin(0.27 * p.y - 0.08 * p.x) +
           20 * sin(0.45 * p.x);
}

static TapulPixels *picture_of(double (*tone)(TapulVec2), int side_px) {
    TapulPixels *pixels = tapul_pixels_new(side_px, side_px, 1);
    for (int y = 0; y < side_px; y++)
        for (int x = 0; x < side_px; x++)
            pixels->data[y * side_px + x] = (guint8)lround(tone(tapul_vec2(x + 0.5, y + 0.5)));
    return pixels;
}

static int calls; /* of the map below */

/* Turned by 20 degrees about the middle of 400 x 400 px, a little enlarged, and bent. */
static gboolean by_bend(TapulVec2 to_px, TapulVec2 *from_px, gconstpointer data) {
    (void)data;
#pragma omp atomic
    calls++;
    TapulVec2 p = tapul_vec2_sub(to_px, tapul_vec2(200, 200));
    p = tapul_vec2_turn(tapul_vec2_scale(p, 0.65), 0.35);
    p.x += 12 * sin(p.y / 40);
    p.y += 9 * sin(p.x / 55);
    *from_px = tapul_vec2_add(p, tapul_vec2(200, 200));
    return TRUE;
}

static double psnr_db(const TapulPixels *warped, double (*tone)(TapulVec2)) {
    double sum = 0;
    for (int y = 0; y < warped->height_px; y++)
        for (int x = 0; x < warped->width_px; x++) {
            TapulVec2 from_px;
            by_bend(tapul_vec2(x + 0.5, y + 0.5), &from_px, NULL);
            double off = pixel_at(warped, x, y)[0] - tone(from_px);
            sum += off * off;
        }
    return 10 * log10(255.0 * 255 * warped->width_px * warped->height_px / sum);
}

/* Two roundings to whole levels alone give 10 log10(255^2 / (2 / 12)) = 55.9 dB, a little more
 * where the kernel smooths the first; bilinear interpolation in double precision gives 52.6 dB
 * of these waves (scipy 1.10, map_coordinates of order 1). [R] */
START_TEST(waves_are_carried_as_well_as_the_kernel_can) {
    const double least_db[] = {52.5, 56.4, 55.2};
    g_autoptr(TapulPixels) source = picture_of(waves, 400);
    for (int k = 0; k < 3; k++) {
        TapulWarpOptions options = with(kernels[k]);
        options.tolerance_px = 0.005;
        g_autoptr(TapulPixels) warped =
            tapul_pixels_warp(source, 400, 400, by_bend, NULL, &options);
        double db = psnr_db(warped, waves);
        ck_assert_msg(db >= least_db[k], "kernel %d: %.2f dB", k, db);
    }
}
END_TEST

/* Half a tone a pixel: what the map is off by can be read from it. */
static double ramp(TapulVec2 p) {
    return p.x * 0.5;
}

START_TEST(the_map_is_followed_within_its_tolerance) {
    g_autoptr(TapulPixels) source = picture_of(ramp, 400);
    TapulWarpOptions options = with(TAPUL_KERNEL_LINEAR);
    options.tolerance_px = 0.02;
    calls = 0;
    g_autoptr(TapulPixels) warped =
        tapul_pixels_warp(source, 400, 400, by_bend, NULL, &options);
    /* And asked far less often than there are pixels. */
    ck_assert_int_lt(calls, 400 * 400 / 8);
    for (int y = 0; y < 400; y++)
        for (int x = 0; x < 400; x++) {
            TapulVec2 from_px;
            by_bend(tapul_vec2(x + 0.5, y + 0.5), &from_px, NULL);
            /* Rounded twice, and places to 1/256 px. */
            ck_assert_double_le(fabs(pixel_at(warped, x, y)[0] - ramp(from_px)),
                                1 + 0.5 * (0.02 + 1 / 512.0));
        }
}
END_TEST

/* --- Shrinking --- */

static gboolean by_shrinking(TapulVec2 to_px, TapulVec2 *from_px, gconstpointer data) {
    const TapulVec2 *times = data;
    *from_px = tapul_vec2(times->x * to_px.x, times->y * to_px.y);
    return TRUE;
}

/* Lines 2.3 px apart, half black, cut at 1/8 px; turned a little. */
static double hatching(TapulVec2 p) {
    double dark = 0;
    for (int i = 0; i < 64; i++) {
        double x = p.x + (i % 8 - 3.5) / 8, y = p.y + (double)(i / 8 - 3.5) / 8;
        double at = (x + 0.1 * y) / 2.3;
        dark += at - floor(at) < 0.5 ? 1 / 64.0 : 0;
    }
    return 255 * (1 - dark);
}

/* Without a blur the beat of lines and pixels would run from black to white. 255 / 2 is the
 * lines' tone; a kernel's stop band is not quite black: 2 % of full range are left it. */
START_TEST(hatching_shrinks_to_its_tone) {
    const TapulVec2 times[] = {{2.2, 2.2}, {4.4, 4.4}, {6.9, 6.9}, {4.7, 1}};
    g_autoptr(TapulPixels) source = picture_of(hatching, 700);
    for (int k = 0; k < 3; k++) {
        TapulWarpOptions options = with(kernels[k]);
        int width = (int)(700 / times[_i].x), height = (int)(700 / times[_i].y);
        g_autoptr(TapulPixels) warped =
            tapul_pixels_warp(source, width, height, by_shrinking, &times[_i], &options);
        double least = 255, most = 0;
        /* At the edges the lines are cut. */
        for (int y = 8; y < height - 8; y++)
            for (int x = 8; x < width - 8; x++) {
                least = fmin(least, pixel_at(warped, x, y)[0]);
                most = fmax(most, pixel_at(warped, x, y)[0]);
            }
        /* The linear kernel, a tent, dims the beat least. */
        double range = k == 0 ? 40 : 6;
        ck_assert_msg(most - least <= range && fabs((most + least) / 2 - 127.5) <= 3,
                      "kernel %d: %g to %g", k, least, most);
    }
}
END_TEST

/* White left of the jump, white right of it; what the map jumps over is black. */
static gboolean by_shrunk_jump(TapulVec2 to_px, TapulVec2 *from_px, gconstpointer data) {
    (void)data;
    *from_px = tapul_vec2(to_px.x * 2.2 + (to_px.x < 50.3 ? 0 : 200), to_px.y * 2.2);
    return TRUE;
}

START_TEST(nothing_comes_from_within_a_jump) {
    g_autoptr(TapulPixels) source = tapul_pixels_new(500, 220, 1);
    for (int i = 0; i < 500 * 220; i++)
        source->data[i] = i % 500 < 125 || i % 500 > 295 ? 255 : 0;
    TapulWarpOptions options = tapul_warp_options_defaults();
    g_autoptr(TapulPixels) warped =
        tapul_pixels_warp(source, 130, 100, by_shrunk_jump, NULL, &options);
    for (int y = 4; y < 96; y++)
        for (int x = 4; x < 126; x++)
            ck_assert_int_eq(pixel_at(warped, x, y)[0], 255);
}
END_TEST

START_TEST(an_even_tone_stays) {
    const TapulVec2 times[] = {{0.4, 0.7}, {1, 1}, {1.4, 3.3}, {9, 9}};
    for (int bands = 1; bands <= 4; bands += bands == 1 ? 2 : 1) {
        g_autoptr(TapulPixels) source = tapul_pixels_new(300, 300, bands);
        for (int i = 0; i < 300 * 300 * bands; i++)
            source->data[i] = (guint8)(137 + i % bands);
        for (int k = 0; k < 3; k++) {
            TapulWarpOptions options = with(kernels[k]);
            int width = (int)(300 / times[_i].x), height = (int)(300 / times[_i].y);
            g_autoptr(TapulPixels) warped =
                tapul_pixels_warp(source, width, height, by_shrinking, &times[_i], &options);
            for (int i = 0; i < width * height; i++)
                for (int c = 0; c < 3; c++)
                    /* A half clear picture loses a level to its alpha. */
                    ck_assert_int_le(abs(warped->data[4 * i + c] - (137 + (bands > 1 ? c : 0))),
                                     bands == 4);
        }
    }
}
END_TEST

/* A colour behind clear pixels must not bleed into what is beside them. */
START_TEST(clear_pixels_lend_no_colour) {
    g_autoptr(TapulPixels) source = tapul_pixels_new(64, 64, 4);
    for (int i = 0; i < 64 * 64; i++) {
        gboolean left = i % 64 < 32;
        memcpy(source->data + 4 * i,
               left ? (guint8[]){0, 200, 0, 0} : (guint8[]){180, 0, 0, 255}, 4);
    }
    TapulVec2 shift = {0.4, 0}, shrink = {2.6, 2.6};
    TapulWarpOptions options = tapul_warp_options_defaults();
    g_autoptr(TapulPixels) moved =
        tapul_pixels_warp(source, 64, 64, by_shift, &shift, &options);
    g_autoptr(TapulPixels) shrunk =
        tapul_pixels_warp(source, 24, 24, by_shrinking, &shrink, &options);
    for (int i = 0; i < 64 * 64; i++)
        ck_assert_int_eq(moved->data[4 * i + 1], 0);
    for (int i = 0; i < 24 * 24; i++) {
        ck_assert_int_eq(shrunk->data[4 * i + 1], 0);
        if (shrunk->data[4 * i + 3] > 20)
            ck_assert_int_le(abs(shrunk->data[4 * i] - 180), 4);
    }
}
END_TEST

/* --- Threads, sizes --- */

START_TEST(threads_do_not_change_it) {
    const TapulVec2 times = {2.7, 1.8};
    g_autoptr(TapulPixels) source = noise(400, 400, 3);
    for (int k = 0; k < 3; k++) {
        TapulWarpOptions options = with(kernels[k]);
        omp_set_num_threads(1);
        g_autoptr(TapulPixels) one =
            tapul_pixels_warp(source, 400, 400, by_bend, NULL, &options);
        g_autoptr(TapulPixels) one_shrunk =
            tapul_pixels_warp(source, 148, 222, by_shrinking, &times, &options);
        omp_set_num_threads(2);
        g_autoptr(TapulPixels) two =
            tapul_pixels_warp(source, 400, 400, by_bend, NULL, &options);
        g_autoptr(TapulPixels) two_shrunk =
            tapul_pixels_warp(source, 148, 222, by_shrinking, &times, &options);
        ck_assert_mem_eq(one->data, two->data, 4 * 400 * 400);
        ck_assert_mem_eq(one_shrunk->data, two_shrunk->data, 4 * 148 * 222);
    }
}
END_TEST

START_TEST(pictures_of_one_pixel_are_pictures) {
    const TapulVec2 times[] = {{1, 1}, {40, 40}, {0.1, 0.1}};
    const int sides[] = {1, 40, 1}, made[] = {1, 1, 10};
    for (int k = 0; k < 3; k++) {
        g_autoptr(TapulPixels) source = tapul_pixels_new(sides[k], sides[k], 1);
        memset(source->data, 90, (gsize)(sides[k] * sides[k]));
        TapulWarpOptions options = with(TAPUL_KERNEL_LANCZOS3);
        g_autoptr(TapulPixels) warped =
            tapul_pixels_warp(source, made[k], made[k], by_shrinking, &times[k], &options);
        for (int i = 0; i < made[k] * made[k]; i++) {
            ck_assert_int_eq(warped->data[4 * i], 90);
            /* The kernel reaches beyond the source. */
            ck_assert_int_gt(warped->data[4 * i + 3], 128);
        }
    }
}
END_TEST

/* --- OpenCV --- */

/* Runs a general-purpose library's remap on raw files; NULL without it. */
static guint8 *by_opencv(const TapulPixels *source, const float *places, int side) {
    g_autofree char *folder = g_dir_make_tmp("tapul-XXXXXX", NULL);
    const char *root = g_getenv("TAPUL_SOURCE_ROOT");
    gsize n = (gsize)side * (gsize)side, made_size = 0;
    char *made = NULL;
    ck_assert(root && folder);
    g_autofree char *script = g_build_filename(root, "tests/bench/remap_opencv.py", NULL);
    g_autofree char *from = g_build_filename(folder, "from", NULL);
    g_autofree char *maps = g_build_filename(folder, "maps", NULL);
    g_autofree char *to = g_build_filename(folder, "to", NULL);
    g_autofree char *number = g_strdup_printf("%d", side);
    char *arguments[] = {
        "/usr/bin/python3", script, "linear", number, number, from, maps, to, NULL};
    ck_assert(g_file_set_contents(from, (const char *)source->data, (gssize)n, NULL));
    ck_assert(g_file_set_contents(maps, (const char *)places, (gssize)(8 * n), NULL));
    g_spawn_sync(NULL, arguments, NULL, G_SPAWN_STDOUT_TO_DEV_NULL | G_SPAWN_STDERR_TO_DEV_NULL,
                 NULL, NULL, NULL, NULL, NULL, NULL);
    if (g_file_get_contents(to, &made, &made_size, NULL))
        ck_assert_uint_eq(made_size, n);
    g_unlink(from);
    g_unlink(maps);
    g_unlink(to);
    g_rmdir(folder);
    return (guint8 *)made;
}

/* OpenCV rounds places to 1/32 px: on waves of at most 25 levels a pixel that is 0.4 levels,
 * and a rounding. */
START_TEST(linear_agrees_with_opencv) {
    enum { SIDE = 400 };
    g_autoptr(TapulPixels) source = picture_of(waves, SIDE);
    g_autofree float *places = g_new(float, 2 * SIDE * SIDE);
    for (int i = 0; i < SIDE * SIDE; i++) {
        TapulVec2 from_px;
        by_bend(tapul_vec2(i % SIDE + 0.5, (double)(i / SIDE) + 0.5), &from_px, NULL);
        places[2 * i] = (float)(from_px.x - 0.5);
        places[2 * i + 1] = (float)(from_px.y - 0.5);
    }
    g_autofree guint8 *theirs = by_opencv(source, places, SIDE);
    if (!theirs) {
        puts("SKIP: linear_agrees_with_opencv: no /usr/bin/python3 with cv2");
        return;
    }
    TapulWarpOptions options = with(TAPUL_KERNEL_LINEAR);
    options.tolerance_px = 0.005;
    g_autoptr(TapulPixels) ours =
        tapul_pixels_warp(source, SIDE, SIDE, by_bend, NULL, &options);
    for (int i = 0; i < SIDE * SIDE; i++)
        ck_assert_int_le(abs(ours->data[4 * i] - theirs[i]), 1);
}
END_TEST

static Suite *picture_warp_suite(void) {
    Suite *suite = suite_create("picture_warp");
    TCase *cases = tcase_create("all");
    tcase_set_timeout(cases, 120);
    tcase_add_loop_test(cases, whole_shifts_are_exact, 0, 3);
    tcase_add_test(cases, a_quarter_turn_is_exact);
    tcase_add_test(cases, a_jump_of_the_map_is_sharp);
    tcase_add_test(cases, what_comes_from_nowhere_is_clear);
    tcase_add_test(cases, kernels_are_what_they_are_called);
    tcase_add_test(cases, waves_are_carried_as_well_as_the_kernel_can);
    tcase_add_test(cases, the_map_is_followed_within_its_tolerance);
    tcase_add_loop_test(cases, hatching_shrinks_to_its_tone, 0, 4);
    tcase_add_test(cases, nothing_comes_from_within_a_jump);
    tcase_add_loop_test(cases, an_even_tone_stays, 0, 4);
    tcase_add_test(cases, clear_pixels_lend_no_colour);
    tcase_add_test(cases, threads_do_not_change_it);
    tcase_add_test(cases, pictures_of_one_pixel_are_pictures);
    tcase_add_test(cases, linear_agrees_with_opencv);
    suite_add_tcase(suite, cases);
    return suite;
}

int main(void) {
    SRunner *runner = srunner_create(picture_warp_suite());
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
