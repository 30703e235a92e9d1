/* How long a large scan takes: A3 at 600 to the inch, in colour, dense with engraved lines,
 * from a TIFF to ink; the first half of it apart; and beside it libvips alone decoding the same
 * file. */
#include "ink/scan.h"

#include <cairo.h>
#include <glib/gstdio.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>

/* Timed runs after one to warm up; their median and spread are told. */
#define RUNS      3
#define WIDTH_PX  7016
#define HEIGHT_PX 9921
#define PX_PER_MM (600 / 25.4)
#define SEED      1536
#define PATCHES   900

/* Hatching in patches of all directions, within a plate mark. */
static cairo_surface_t *drawn_ink(void) {
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_A8, WIDTH_PX, HEIGHT_PX);
    cairo_t *cairo = cairo_create(surface);
    g_autoptr(GRand) random = g_rand_new_with_seed(SEED);
    for (int patch = 0; patch < PATCHES; patch++) {
        cairo_save(cairo);
        cairo_translate(cairo, g_rand_double_range(random, 0.12, 0.88) * WIDTH_PX,
                        g_rand_double_range(random, 0.12, 0.88) * HEIGHT_PX);
        cairo_rotate(cairo, g_rand_double_range(random, 0, G_PI));
        cairo_set_line_width(cairo, g_rand_double_range(random, 0.1, 0.25) * PX_PER_MM);
        for (double y = -6; y < 6; y += 0.6) {
            cairo_move_to(cairo, -6 * PX_PER_MM, y * PX_PER_MM);
            cairo_line_to(cairo, 6 * PX_PER_MM, y * PX_PER_MM);
        }
        cairo_stroke(cairo);
        cairo_restore(cairo);
    }
    cairo_destroy(cairo);
    cairo_surface_flush(surface);
    return surface;
}

static void write_scan(const char *path) {
    cairo_surface_t *ink = drawn_ink();
    g_autoptr(TapulPixels) pixels = tapul_pixels_new(WIDTH_PX, HEIGHT_PX, 3);
    g_autoptr(GRand) random = g_rand_new_with_seed(SEED);
    const int left = WIDTH_PX / 20, top = HEIGHT_PX / 20;
    for (int y = 0; y < HEIGHT_PX; y++)
        for (int x = 0; x < WIDTH_PX; x++) {
            int dark =
                cairo_image_surface_get_data(ink)[y * cairo_image_surface_get_stride(ink) + x];
            gboolean in_mark =
                x > left && x < WIDTH_PX - left && y > top && y < HEIGHT_PX - top;
            double paper =
                225 - 20.0 * x / WIDTH_PX - 6 * in_mark + g_rand_double_range(random, -4, 4);
            long value = lround(paper + (45 - paper) * dark / 255);
            guint8 *at = pixels->data + ((gsize)y * WIDTH_PX + (gsize)x) * 3;
            at[0] = (guint8)value;
            at[1] = (guint8)(value - 6);
            at[2] = (guint8)(value - 20);
        }
    cairo_surface_destroy(ink);
    g_autoptr(GError) error = NULL;
    if (!tapul_pixels_write_tiff(pixels, 600, path, &error))
        g_error("%s", error->message);
}

static double seconds_now(void) {
    return (double)g_get_monotonic_time() / G_USEC_PER_SEC;
}

static double peak_gib(void) {
    struct rusage usage;
    getrusage(RUSAGE_SELF, &usage);
    return (double)usage.ru_maxrss / (1 << 20);
}

static double read_once(const char *path) {
    double start = seconds_now();
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulInk) ink = tapul_ink_read(path, NULL, &error);
    if (!ink || ink->strokes == 0)
        g_error("%s", error ? error->message : "no strokes");
    return seconds_now() - start;
}

static double decode_once(const char *path, TapulPixels **pixels) {
    double start = seconds_now();
    *pixels = tapul_pixels_load(path, NULL);
    return seconds_now() - start;
}

/* Takes the pixels. */
static double clean_once(TapulPixels *pixels) {
    double start = seconds_now();
    TapulCorners corners;
    TapulScan scan = {0};
    if (!tapul_scan_find_mark(pixels, 0, &corners))
        g_error("no plate mark");
    tapul_scan_even_paper(pixels, PX_PER_MM, &scan);
    tapul_pixels_free(pixels);
    return seconds_now() - start;
}

static int compare(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void tell(const char *what, double *seconds) {
    qsort(seconds, RUNS, sizeof *seconds, compare);
    printf("%-44s median %6.2f s, %6.2f to %6.2f\n", what, seconds[RUNS / 2], seconds[0],
           seconds[RUNS - 1]);
}

int main(int argc, char **argv) {
    g_autofree char *path = NULL;
    /* The drawing of the scan must not count for the memory: it is done by a run of its own. */
    if (argc == 2) {
        write_scan(argv[1]);
        return EXIT_SUCCESS;
    }
    int handle = g_file_open_tmp("tapul-XXXXXX.tif", &path, NULL), status;
    char *drawing[] = {argv[0], path, NULL};
    if (handle < 0 || !g_close(handle, NULL) ||
        !g_spawn_sync(NULL, drawing, NULL, G_SPAWN_DEFAULT, NULL, NULL, NULL, NULL, &status,
                      NULL) ||
        status != 0)
        g_error("the scan cannot be drawn");
    printf("%d x %d pixels, colour; %u processors\n", WIDTH_PX, HEIGHT_PX,
           g_get_num_processors());
    double reading[RUNS], decoding[RUNS], cleaning[RUNS];
    for (int run = -1; run < RUNS; run++) {
        TapulPixels *pixels;
        double all = read_once(path), decoded = decode_once(path, &pixels),
               cleaned = clean_once(pixels);
        if (run >= 0) {
            reading[run] = all;
            decoding[run] = decoded;
            cleaning[run] = cleaned;
        }
    }
    tell("tapul_ink_read", reading);
    tell("plate mark and paper", cleaning);
    tell("libvips, decoding", decoding);
    printf("peak memory %.2f GiB\n", peak_gib());
    g_unlink(path);
    return EXIT_SUCCESS;
}
