/* Straight edges in a scan (see scan_steps.h). A Radon transform of the steps of tone, each cut
 * to little more than the paper's own: a faint edge that runs straight adds up along its line,
 * hatching cancels, and a black edge counts no more than a faint one. Also the skew: at it the
 * sums are the most uneven. Stands before scan_mark.c. */
#include "ink/scan_steps.h"

#include "ink/scan.h"

#include <stdlib.h>

/* Enough for an edge to be seen, few enough to try all lines in a fraction of a second. */
#define SIDE_MOST_PX 1500
/* No one lays a sheet on a scanner further askew. */
#define SLOPE_MOST 0.12
/* Steps are averaged over so many rows either way: noise goes, and a line of that slope stays
 * within a pixel. */
#define ROWS 4
/* In standard deviations of the paper's own steps, which are told from the quietest tenth of
 * the picture, for hatching may fill the rest: of a normal law a tenth lies within 0.126 of
 * them. */
#define MOST_STEP   1.5
#define QUIET_SHARE 0.1
#define QUIET_SIZE  0.126
/* In grey levels: pictures that were drawn have no noise. */
#define STEP_FLOOR 0.25f
/* How much more uneven the sums are at the skew than at most slopes, where lines have a
 * direction. */
#define SKEW_CLEAR 1.5

/* --- The reduced picture --- */

TapulReduced *tapul_reduced_new(const TapulPixels *pixels) {
    TapulReduced *reduced = g_new0(TapulReduced, 1);
    gsize size = (gsize)pixels->width_px * (gsize)pixels->height_px * (gsize)pixels->bands;
    int longest = MAX(pixels->width_px, pixels->height_px);
    reduced->times = (longest + SIDE_MOST_PX - 1) / SIDE_MOST_PX;
    g_autoptr(TapulVipsImage) image =
        vips_image_new_from_memory(pixels->data, size, pixels->width_px, pixels->height_px,
                                   pixels->bands, VIPS_FORMAT_UCHAR);
    VipsImage *small = NULL;
    VipsImage *floats = NULL;
    /* Whole pixels only: an edge row of other weight would be an edge. */
    int width = pixels->width_px / reduced->times, height = pixels->height_px / reduced->times;
    vips_extract_area(image, &small, 0, 0, width * reduced->times, height * reduced->times,
                      NULL);
    vips_cast_float(small, &floats, NULL);
    g_object_unref(small);
    vips_shrink(floats, &small, reduced->times, reduced->times, NULL);
    g_object_unref(floats);
    vips_bandmean(small, &floats, NULL);
    g_object_unref(small);
    reduced->grey = vips_image_write_to_memory(floats, &size);
    reduced->width = vips_image_get_width(floats);
    reduced->height = vips_image_get_height(floats);
    g_object_unref(floats);
    g_assert(reduced->grey);
    return reduced;
}

TapulReduced *tapul_reduced_turned(const TapulReduced *reduced) {
    TapulReduced *turned = g_new0(TapulReduced, 1);
    *turned = (TapulReduced){reduced->height, reduced->width, reduced->times,
                             g_new(float, (gsize)reduced->width *(gsize)reduced->height)};
    for (int y = 0; y < reduced->height; y++)
        for (int x = 0; x < reduced->width; x++)
            turned->grey[x * reduced->height + y] = reduced->grey[y * reduced->width + x];
    return turned;
}

void tapul_reduced_free(TapulReduced *reduced) {
    if (!reduced)
        return;
    g_free(reduced->grey);
    g_free(reduced);
}

/* --- Steps --- */

static void fill_steps(TapulSteps *steps, const float *grey) {
    int width = steps->width, height = steps->height;
    for (int y = 0; y < height; y++) {
        int from = MAX(0, y - ROWS), to = MIN(height - 1, y + ROWS);
        float *step = steps->step + (gsize)y * (gsize)width;
        for (int row = from; row <= to; row++)
            for (int x = 1; x + 1 < width; x++)
                step[x] += grey[row * width + x + 1] - grey[row * width + x - 1];
        for (int x = 0; x < width; x++)
            step[x] /= (float)(to - from + 1);
    }
}

static int compare(const void *a, const void *b) {
    float x = *(const float *)a, y = *(const float *)b;
    return (x > y) - (x < y);
}

static float most_step(const TapulSteps *steps) {
    gsize n = (gsize)steps->width * (gsize)steps->height, uneven = 0;
    g_autofree float *sizes = g_new(float, n);
    /* Where the scanner's light is at its full there are no steps at all. */
    for (gsize i = 0; i < n; i++)
        if (steps->step[i] != 0)
            sizes[uneven++] = fabsf(steps->step[i]);
    qsort(sizes, uneven, sizeof *sizes, compare);
    /* And in a picture that was drawn hardly any besides its edges. */
    float quiet = uneven > n / 2 ? sizes[(gsize)(QUIET_SHARE * (double)uneven)] : 0;
    return fmaxf(STEP_FLOOR, (float)(MOST_STEP / QUIET_SIZE) * quiet);
}

float tapul_steps_cut(const TapulSteps *steps, int x, int y) {
    float step = steps->step[(gsize)y * (gsize)steps->width + (gsize)x];
    return CLAMP(step, -steps->most, steps->most);
}

double tapul_steps_slope(const TapulSteps *steps, int index) {
    return (index - steps->slopes / 2) * steps->slope_step;
}

static void sum_along(TapulSteps *steps, const float *cut, int index) {
    int width = steps->width;
    float *sum = steps->sum + (gsize)index * (gsize)width;
    for (int y = 0; y < steps->height; y++) {
        int shift =
            (int)lround(tapul_steps_slope(steps, index) * (y + 0.5 - steps->height / 2.0));
        const float *row = cut + (gsize)y * (gsize)width + shift;
        int to = MIN(width, width - shift);
        for (int x = MAX(0, -shift); x < to; x++)
            sum[x] += row[x];
    }
}

TapulSteps *tapul_steps_new(const TapulReduced *reduced) {
    TapulSteps *steps = g_new0(TapulSteps, 1);
    gsize n = (gsize)reduced->width * (gsize)reduced->height;
    steps->width = reduced->width;
    steps->height = reduced->height;
    steps->step = g_new0(float, n);
    fill_steps(steps, reduced->grey);
    steps->most = most_step(steps);
    /* From one slope to the next a line moves by a pixel at most. */
    steps->slope_step = 1.0 / MAX(reduced->width, reduced->height);
    steps->slopes = 2 * (int)(SLOPE_MOST / steps->slope_step) + 1;
    steps->sum = g_new0(float, (gsize)steps->slopes *(gsize)steps->width);
    g_autofree float *cut = g_new(float, n);
    for (gsize i = 0; i < n; i++)
        cut[i] = CLAMP(steps->step[i], -steps->most, steps->most);
#pragma omp parallel for schedule(static)
    for (int index = 0; index < steps->slopes; index++)
        sum_along(steps, cut, index);
    return steps;
}

void tapul_steps_free(TapulSteps *steps) {
    if (!steps)
        return;
    g_free(steps->step);
    g_free(steps->sum);
    g_free(steps);
}

/* --- Skew --- */

static double unevenness(const TapulSteps *steps, int index) {
    const float *sum = steps->sum + (gsize)index * (gsize)steps->width;
    double squares = 0;
    for (int x = 0; x < steps->width; x++)
        squares += (double)sum[x] * sum[x];
    return squares;
}

static int compare_doubles(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

double tapul_scan_find_skew_rad(const TapulPixels *pixels) {
    g_autoptr(TapulReduced) reduced = tapul_reduced_new(pixels),
                            turned = tapul_reduced_turned(reduced);
    g_autoptr(TapulSteps) upright = tapul_steps_new(reduced), level = tapul_steps_new(turned);
    int n = upright->slopes, best = 0;
    g_autofree double *uneven = g_new(double, n), *sorted = g_new(double, n);
    for (int i = 0; i < n; i++) {
        /* Turning leans upright lines the one way and level ones the other. */
        uneven[i] = sorted[i] = unevenness(upright, i) + unevenness(level, n - 1 - i);
        best = uneven[i] > uneven[best] ? i : best;
    }
    qsort(sorted, (gsize)n, sizeof *sorted, compare_doubles);
    gboolean inside = best > 0 && best < n - 1;
    if (!inside || uneven[best] < SKEW_CLEAR * sorted[n / 2])
        return 0;
    double before = uneven[best - 1], at = uneven[best], after = uneven[best + 1];
    double bend = before - 2 * at + after;
    double offset = bend < 0 ? 0.5 * (before - after) / bend : 0;
    /* An upright line that leans right going down the picture was turned counter-clockwise. */
    return atan(tapul_steps_slope(upright, best) + offset * upright->slope_step);
}
