/* How fast pictures are warped: noise of 4096 x 4096 px by a turn with two slow waves, on two
 * cores, beside OpenCV's remap and libvips' mapim on the same work. Ours is given the map as a
 * function and makes RGBA; the others are given its values at all pixels beforehand, which is
 * not timed, and make what they were given. OpenCV's Lanczos kernel has 8 x 8 taps, ours 6 x 6:
 * rates a tap are told too. */
#include "base/picture.h"

#include <omp.h>
#include <stdio.h>
#include <stdlib.h>

/* Timed runs after one to warm up; their median and spread are told. */
#define RUNS    7
#define SIDE    4096
#define THREADS 2

static gboolean bent(TapulVec2 to_px, TapulVec2 *from_px, gconstpointer data) {
    double half = SIDE / 2.0, c = cos(5 * G_PI / 180), s = sin(5 * G_PI / 180);
    double x = to_px.x - half, y = to_px.y - half;
    (void)data;
    *from_px = tapul_vec2(c * x - s * y + half + 20 * sin(to_px.y / 300),
                          s * x + c * y + half + 20 * sin(to_px.x / 250));
    return TRUE;
}

static TapulPixels *noise(int bands) {
    TapulPixels *pixels = tapul_pixels_new(SIDE, SIDE, bands);
    g_autoptr(GRand) random = g_rand_new_with_seed(1);
    for (gsize i = 0; i < (gsize)SIDE * SIDE * (gsize)bands; i++)
        pixels->data[i] = (guint8)g_rand_int_range(random, 0, 256);
    return pixels;
}

static int compare(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void tell(const char *what, double *seconds, int n, int taps) {
    qsort(seconds, (gsize)n, sizeof *seconds, compare);
    double pixels = (double)SIDE * SIDE / 1e6;
    printf("%-40s median %7.1f Mpixel/s, %7.1f to %7.1f; %8.1f Mtap/s\n", what,
           pixels / seconds[n / 2], pixels / seconds[n - 1], pixels / seconds[0],
           pixels * taps / seconds[n / 2]);
}

static void time_ours(const TapulPixels *source) {
    static const char *const names[] = {"linear", "cubic", "lanczos3"};
    static const int taps[] = {4, 16, 36};
    for (int kernel = TAPUL_KERNEL_LINEAR; kernel <= TAPUL_KERNEL_LANCZOS3; kernel++) {
        TapulWarpOptions options = tapul_warp_options_defaults();
        options.kernel = (TapulKernel)kernel;
        double seconds[RUNS];
        for (int run = -1; run < RUNS; run++) {
            double start = omp_get_wtime();
            tapul_pixels_free(tapul_pixels_warp(source, SIDE, SIDE, bent, NULL, &options));
            if (run >= 0)
                seconds[run] = omp_get_wtime() - start;
        }
        g_autofree char *what = g_strdup_printf("tapul %s, %d band%s", names[kernel],
                                                source->bands, source->bands > 1 ? "s" : "");
        tell(what, seconds, RUNS, taps[kernel]);
    }
}

static float *index_picture(void) {
    float *index = g_new(float, 2 * (gsize)SIDE * SIDE);
    for (int y = 0; y < SIDE; y++)
        for (int x = 0; x < SIDE; x++) {
            TapulVec2 from_px;
            bent(tapul_vec2(x + 0.5, y + 0.5), &from_px, NULL);
            index[2 * ((gsize)y * SIDE + (gsize)x)] = (float)(from_px.x - 0.5);
            index[2 * ((gsize)y * SIDE + (gsize)x) + 1] = (float)(from_px.y - 0.5);
        }
    return index;
}

static void time_vips(const TapulPixels *source) {
    static const char *const names[] = {"bilinear", "bicubic"};
    g_autofree float *index = index_picture();
    g_autoptr(TapulVipsImage) from = vips_image_new_from_memory(
        source->data, (gsize)SIDE * SIDE, SIDE, SIDE, 1, VIPS_FORMAT_UCHAR);
    g_autoptr(TapulVipsImage) map = vips_image_new_from_memory(
        index, 2 * (gsize)SIDE * SIDE * sizeof(float), SIDE, SIDE, 2, VIPS_FORMAT_FLOAT);
    vips_concurrency_set(THREADS);
    vips_cache_set_max(0);
    for (int kernel = 0; kernel < 2; kernel++) {
        double seconds[RUNS];
        for (int run = -1; run < RUNS; run++) {
            double start = omp_get_wtime();
            VipsImage *made = NULL;
            gsize size = 0;
            VipsInterpolate *interpolate = vips_interpolate_new(names[kernel]);
            if (vips_mapim(from, &made, map, "interpolate", interpolate, NULL))
                g_error("mapim: %s", vips_error_buffer());
            g_free(vips_image_write_to_memory(made, &size));
            g_object_unref(made);
            g_object_unref(interpolate);
            if (run >= 0)
                seconds[run] = omp_get_wtime() - start;
        }
        g_autofree char *what = g_strdup_printf("libvips mapim %s, 1 band", names[kernel]);
        tell(what, seconds, RUNS, kernel == 0 ? 4 : 16);
    }
}

/* Lines of "kernel bands map seconds", RUNS to each. */
static void tell_lines(char *const *lines) {
    for (int i = 0; lines[i] && *lines[i]; i += RUNS) {
        double seconds[RUNS];
        g_auto(GStrv) words = g_strsplit(lines[i], " ", 4);
        for (int run = 0; run < RUNS; run++)
            seconds[run] = g_ascii_strtod(strrchr(lines[i + run], ' '), NULL);
        g_autofree char *what =
            g_strdup_printf("OpenCV remap %s, %s band%s, %s map", words[0], words[1],
                            g_str_equal(words[1], "1") ? "" : "s", words[2]);
        tell(what, seconds, RUNS,
             words[0][0] == 'c'                ? 16
             : g_str_equal(words[0], "linear") ? 4
                                               : 64);
    }
}

static void time_opencv(void) {
    g_autofree char *script =
        g_build_filename(g_getenv("TAPUL_SOURCE_ROOT"), "tests/bench/remap_opencv.py", NULL);
    g_autofree char *side = g_strdup_printf("%d", SIDE), *runs = g_strdup_printf("%d", RUNS);
    g_autofree char *told = NULL;
    char *arguments[] = {"/usr/bin/python3", script, "time", side, runs, NULL};
    int status = 0;
    if (!g_spawn_sync(NULL, arguments, NULL, G_SPAWN_STDERR_TO_DEV_NULL, NULL, NULL, &told,
                      NULL, &status, NULL) ||
        status != 0) {
        puts("SKIP: OpenCV remap: no /usr/bin/python3 with cv2");
        return;
    }
    g_auto(GStrv) lines = g_strsplit(told, "\n", -1);
    tell_lines(lines);
}

int main(void) {
    printf("%d processors, %d threads; %d x %d px of noise, seed 1\n", omp_get_num_procs(),
           THREADS, SIDE, SIDE);
    omp_set_num_threads(THREADS);
    tapul_picture_start_vips();
    for (int bands = 1; bands <= 3; bands += 2) {
        g_autoptr(TapulPixels) source = noise(bands);
        time_ours(source);
        if (bands == 1)
            time_vips(source);
    }
    time_opencv();
    return EXIT_SUCCESS;
}
