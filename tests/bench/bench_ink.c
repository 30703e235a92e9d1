/* How long it takes to read a print: 5,000 curved strokes in 20 motifs, as SVG; and beside it,
 * on the same text, librsvg alone drawing the page as pixels at 300 to the inch. */
#include <glib/gstdio.h>
#include <librsvg/rsvg.h>
#include <stdio.h>
#include <stdlib.h>
#include <tapul/ink.h>

/* Timed runs after one to warm up; their median and spread are told. */
#define RUNS    9
#define STROKES 5000
#define MOTIFS  20
#define SEED    1536

static GString *some_print(void) {
    GString *text = g_string_new(
        "<svg xmlns='http://www.w3.org/2000/svg' width='100mm' height='140mm' viewBox='0 0 "
        "100 140'><rect width='100' height='140' fill='white'/>");
    g_autoptr(GRand) random = g_rand_new_with_seed(SEED);
    for (int i = 0; i < STROKES; i++) {
        if (i % (STROKES / MOTIFS) == 0)
            g_string_append_printf(text, "%s<g id='motif-%d' fill='none' stroke='black'>",
                                   i > 0 ? "</g>" : "", i / (STROKES / MOTIFS));
        double x = g_rand_double_range(random, 5, 85), y = g_rand_double_range(random, 5, 125);
        g_string_append_printf(text, "<path stroke-width='%.2f' d='M%.3f %.3f",
                               g_rand_double_range(random, 0.1, 0.4), x, y);
        for (int k = 0; k < 3; k++)
            g_string_append_printf(
                text, "c%.3f %.3f %.3f %.3f %.3f %.3f", g_rand_double_range(random, 0, 2),
                g_rand_double_range(random, -1, 1), g_rand_double_range(random, 1, 3),
                g_rand_double_range(random, -1, 1), g_rand_double_range(random, 2, 4),
                g_rand_double_range(random, -1, 1));
        g_string_append(text, "'/>");
    }
    g_string_append(text, "</g></svg>");
    return text;
}

static int compare(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void tell(const char *what, double *seconds) {
    qsort(seconds, RUNS, sizeof *seconds, compare);
    printf("%-44s median %8.2f ms, %8.2f to %8.2f\n", what, 1e3 * seconds[RUNS / 2],
           1e3 * seconds[0], 1e3 * seconds[RUNS - 1]);
}

static double seconds_now(void) {
    return (double)g_get_monotonic_time() / G_USEC_PER_SEC;
}

static double read_once(const char *path) {
    double start = seconds_now();
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulInk) ink = tapul_ink_read(path, NULL, &error);
    if (!ink)
        g_error("%s", error->message);
    if (ink->strokes != STROKES || ink->motifs->len != MOTIFS)
        g_error("%d strokes, %u motifs", ink->strokes, ink->motifs->len);
    return seconds_now() - start;
}

static double draw_once(const char *path) {
    double start = seconds_now();
    const double width_px = 100 * 300 / 25.4, height_px = 140 * 300 / 25.4;
    RsvgHandle *handle = rsvg_handle_new_from_file(path, NULL);
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_ARGB32, (int)width_px, (int)height_px);
    cairo_t *cairo = cairo_create(surface);
    RsvgRectangle view = {0, 0, width_px, height_px};
    if (!handle || !rsvg_handle_render_document(handle, cairo, &view, NULL))
        g_error("librsvg cannot draw it");
    cairo_destroy(cairo);
    cairo_surface_destroy(surface);
    g_object_unref(handle);
    return seconds_now() - start;
}

int main(void) {
    g_autofree char *path = NULL;
    int handle = g_file_open_tmp("tapul-XXXXXX.svg", &path, NULL);
    GString *text = some_print();
    if (handle < 0 || !g_close(handle, NULL) ||
        !g_file_set_contents(path, text->str, (gssize)text->len, NULL))
        g_error("no temporary file");
    printf("%d strokes, %d motifs, %" G_GSIZE_FORMAT " bytes of SVG; %u processors\n", STROKES,
           MOTIFS, text->len, g_get_num_processors());
    double reading[RUNS], drawing[RUNS];
    for (int run = -1; run < RUNS; run++) {
        double ours = read_once(path), theirs = draw_once(path);
        if (run >= 0) {
            reading[run] = ours;
            drawing[run] = theirs;
        }
    }
    tell("tapul_ink_read", reading);
    tell("librsvg, pixels at 300 to the inch", drawing);
    g_unlink(path);
    g_string_free(text, TRUE);
    return EXIT_SUCCESS;
}
