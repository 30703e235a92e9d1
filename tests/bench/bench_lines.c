/* How long it takes to find the lines of an A3 sheet at 600 dpi that is engraved all over:
 * waving hatching, crossed on half of the sheet, swelling from 0.1 to 0.25 mm, 0.5 mm apart.
 * Beside it, on the same pixels, libpotrace alone outlining the whole sheet as one bitmap, by a
 * fixed threshold. */
#include "ink/lines.h"

#include <math.h>
#include <potracelib.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>

/* ISO 216: A3 is 297 x 420 mm. */
#define WIDTH_PX  7016
#define HEIGHT_PX 9921
#define DPI       600.0
/* Timed runs after one to warm up; their median and spread are told. */
#define RUNS 3
#define SEED 1572

/* How much of a pixel is ink of hatching whose lines lie where phase is whole; period and width
 * in px. */
static double hatch(double phase, double period_px, double width_px) {
    double off_px = fabs(phase - round(phase)) * period_px;
    return CLAMP((width_px - 2 * off_px) / 2 + 0.5, 0, 1);
}

static guint8 *engraved_sheet(void) {
    guint8 *grey = g_new(guint8, (gsize)WIDTH_PX * HEIGHT_PX);
    g_autoptr(GRand) random = g_rand_new_with_seed(SEED);
    const double period_px = 0.5 * DPI / 25.4;
    for (int y = 0; y < HEIGHT_PX; y++)
        for (int x = 0; x < WIDTH_PX; x++) {
            double width_px = 4 + 1.8 * sin(x / 410.0 + y / 530.0);
            double ink = hatch((y + 30 * sin(x / 300.0) + 0.3 * x) / (period_px * 1.05),
                               period_px, width_px);
            if ((x / 500 + y / 500) % 2)
                ink = fmax(ink, hatch((x + 25 * sin(y / 350.0) + 0.1 * y) / (period_px * 1.05),
                                      period_px, 3.5));
            /* Margins and cartouches of bare paper. */
            if (x % 1400 < 120 || y % 1900 < 100)
                ink = 0;
            grey[(gsize)y * WIDTH_PX + (gsize)x] =
                (guint8)(235 - 190 * ink + g_rand_int_range(random, -6, 7));
        }
    return grey;
}

static double seconds_now(void) {
    return (double)g_get_monotonic_time() / G_USEC_PER_SEC;
}

static void free_mark(gpointer mark) {
    tapul_mark_free(mark);
}

static double lines_once(const guint8 *grey, gboolean areas_only, guint *marks) {
    const double px_per_mm = DPI / 25.4;
    const TapulGreyImage image = {WIDTH_PX,       HEIGHT_PX,      grey,
                                  {0, HEIGHT_PX}, {px_per_mm, 0}, {0, -px_per_mm}};
    TapulLinesOptions options = tapul_lines_options_defaults();
    options.areas_only = areas_only;
    TapulInk ink = {.width_mm = WIDTH_PX / px_per_mm, .height_mm = HEIGHT_PX / px_per_mm};
    ink.marks = g_ptr_array_new_with_free_func(free_mark);
    g_autoptr(GError) error = NULL;
    double start = seconds_now();
    if (!tapul_lines_from_grey(&image, &options, &ink, &error))
        g_error("%s", error->message);
    double seconds = seconds_now() - start;
    *marks = ink.marks->len;
    g_ptr_array_unref(ink.marks);
    return seconds;
}

static double potrace_once(const guint8 *grey) {
    const int bits = 8 * (int)sizeof(potrace_word);
    potrace_bitmap_t bitmap = {
        .w = WIDTH_PX, .h = HEIGHT_PX, .dy = (WIDTH_PX + bits - 1) / bits};
    bitmap.map = g_new0(potrace_word, (gsize)bitmap.dy * HEIGHT_PX);
    double start = seconds_now();
    for (int y = 0; y < HEIGHT_PX; y++)
        for (int x = 0; x < WIDTH_PX; x++)
            if (grey[(gsize)y * WIDTH_PX + (gsize)x] < 140)
                bitmap.map[(gsize)y * (gsize)bitmap.dy + (gsize)(x / bits)] |=
                    (potrace_word)1 << (bits - 1 - x % bits);
    potrace_param_t *parameters = potrace_param_default();
    potrace_state_t *state = potrace_trace(parameters, &bitmap);
    if (!state || state->status != POTRACE_STATUS_OK)
        g_error("potrace cannot trace it");
    double seconds = seconds_now() - start;
    potrace_state_free(state);
    potrace_param_free(parameters);
    g_free(bitmap.map);
    return seconds;
}

static int compare(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void tell(const char *what, double *seconds) {
    qsort(seconds, RUNS, sizeof *seconds, compare);
    printf("%-44s median %6.2f s, %.2f to %.2f\n", what, seconds[RUNS / 2], seconds[0],
           seconds[RUNS - 1]);
}

int main(void) {
    g_autofree guint8 *grey = engraved_sheet();
    printf("%d x %d px; %u processors\n", WIDTH_PX, HEIGHT_PX, g_get_num_processors());
    double lines[RUNS], areas[RUNS];
    guint strokes = 0, fills = 0;
    for (int run = -1; run < RUNS; run++) {
        double seconds = lines_once(grey, FALSE, &strokes);
        if (run >= 0)
            lines[run] = seconds;
    }
    struct rusage usage;
    getrusage(RUSAGE_SELF, &usage);
    for (int run = 0; run < RUNS; run++)
        areas[run] = lines_once(grey, TRUE, &fills);
    tell("tapul_lines_from_grey, lines", lines);
    printf("%-44s %u marks, %.2f GiB at most\n", "", strokes,
           (double)usage.ru_maxrss / (1024 * 1024));
    tell("tapul_lines_from_grey, areas only", areas);
    printf("%-44s %u marks\n", "", fills);
    printf("%-44s once   %6.2f s\n", "libpotrace, the sheet as one bitmap", potrace_once(grey));
    return EXIT_SUCCESS;
}
