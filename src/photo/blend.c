/* Photographs of one plate blended on its development.
 *
 * Each weighs by how squarely and how finely it sees a place, and by nothing at the edge of
 * what it sees, so that no edge shows; before that all are made as bright as the first, by the
 * medians of their ratios where they overlap.
 */
#include "photo/taken.h"

#include <gsl/gsl_multifit.h>
#include <gsl/gsl_statistics_double.h>

/* A photograph fades out over this width along the edge of what it sees: wide enough for a
 * change of light to pass unseen, narrow against a plate (by eye, no source). */
#define FEATHER_MM 15.0
/* Cosine times resolution to this power: mixing photographs doubles every line by what their
 * cameras disagree, so that one is to have nearly all the say (by eye, no source). */
#define PREFERENCE 4.0f
/* At the very edge a photograph counts for this much, so that it fills what no other sees. */
#define LEAST_WEIGHT 1e-9f

/* Ratios are taken from a grid of at most about this many pixels. */
#define GAIN_SAMPLES 400000.0
/* Fewer common samples than this tell no ratio. */
#define LEAST_COMMON 100
/* Of 8-bit values: darker ones are too coarse for a ratio, lighter ones may be saturated. */
#define DARK  16
#define LIGHT 250

/* --- Weights --- */

/* Distance of each node to the nearest one not seen well, in steps; NULL: all are seen well. */
static float *distances(const TapulLookGrid *grid) {
    gsize n = (gsize)grid->columns * (gsize)grid->rows;
    g_autofree guint8 *unseen = g_new(guint8, n);
    gsize n_unseen = 0;
    for (gsize i = 0; i < n; i++) {
        unseen[i] = grid->node[i].seen == TAPUL_SEEN_WELL ? 0 : 255;
        n_unseen += unseen[i] != 0;
    }
    if (n_unseen == 0)
        return NULL;
    g_autoptr(TapulVipsImage) mask =
        vips_image_new_from_memory(unseen, n, grid->columns, grid->rows, 1, VIPS_FORMAT_UCHAR);
    g_autoptr(TapulVipsImage) filled = NULL;
    g_autoptr(TapulVipsImage) distance = NULL;
    float *steps = NULL;
    if (mask && vips_fill_nearest(mask, &filled, "distance", &distance, NULL) == 0)
        steps = vips_image_write_to_memory(distance, NULL);
    g_assert(steps); /* nothing is read: only memory can fail, and GLib ends the program then */
    return steps;
}

/* Of the grid's nodes. */
static float *weights_of(const TapulLookGrid *grid) {
    gsize n = (gsize)grid->columns * (gsize)grid->rows;
    g_autofree float *steps = distances(grid);
    float *weight = g_new(float, n);
    double feather_steps = FEATHER_MM / (grid->step_px * grid->frame->pixel_mm);
    for (gsize i = 0; i < n; i++) {
        const TapulLook *look = &grid->node[i];
        float share = steps ? (float)fmin(steps[i] / feather_steps, 1) : 1;
        float merit = powf(fmaxf(look->cosine, 0) * look->px_per_mm, PREFERENCE);
        weight[i] = look->seen == TAPUL_SEEN_WELL ? share * share * (3 - 2 * share) * merit : 0;
    }
    return weight;
}

/* --- Gains --- */

typedef struct {
    double gain[3]; /* of red, green, blue */
} Gain;

static gboolean shows(const TapulTaken *taken, gsize at) {
    return taken->seen[at] == TAPUL_SEEN_WELL && taken->picture->data[4 * at + 3] == 255;
}

static gboolean even_tone(guint8 value) {
    return value >= DARK && value <= LIGHT;
}

/* The median of ln(b / a) in one channel over what both show, and its number of samples. */
static double log_ratio(const TapulTaken *a, const TapulTaken *b, int channel, gsize step,
                        guint *n) {
    int width = a->picture->width_px, height = a->picture->height_px;
    g_autoptr(GArray) logs = g_array_new(FALSE, FALSE, sizeof(double));
    for (gsize y = 0; y < (gsize)height; y += step)
        for (gsize x = 0; x < (gsize)width; x += step) {
            gsize at = y * (gsize)width + x;
            if (!shows(a, at) || !shows(b, at))
                continue;
            guint8 va = a->picture->data[4 * at + (gsize)channel];
            guint8 vb = b->picture->data[4 * at + (gsize)channel];
            if (!even_tone(va) || !even_tone(vb))
                continue;
            double value = log((double)vb / va);
            g_array_append_val(logs, value);
        }
    *n = logs->len;
    return logs->len > 0 ? gsl_stats_median((double *)(void *)logs->data, 1, logs->len) : 0;
}

/* Gains of one channel: least squares over all pairs, ln gain_a - ln gain_b = ln(b / a), the
 * first photograph's being 1; one that overlaps with none keeps its own brightness. */
static void solve_gains(TapulTaken *const *taken, int n, int channel, Gain *gains) {
    gsize n_rows = (gsize)(n * (n - 1) / 2), row = 0;
    gsl_matrix *x = gsl_matrix_calloc(n_rows, (gsize)n - 1);
    gsl_vector *y = gsl_vector_calloc(n_rows), *w = gsl_vector_calloc(n_rows);
    gsl_vector *ln_gain = gsl_vector_calloc((gsize)n - 1);
    gsl_matrix *covariance = gsl_matrix_alloc((gsize)n - 1, (gsize)n - 1);
    gsl_multifit_linear_workspace *work = gsl_multifit_linear_alloc(n_rows, (gsize)n - 1);
    const TapulPixels *picture = taken[0]->picture;
    double n_pixels = (double)picture->width_px * picture->height_px, misfit;
    gsize step = (gsize)fmax(floor(sqrt(n_pixels / GAIN_SAMPLES)), 1);
    for (int a = 0; a < n; a++)
        for (int b = a + 1; b < n; b++, row++) {
            guint common;
            double ratio = log_ratio(taken[a], taken[b], channel, step, &common);
            if (common < LEAST_COMMON)
                continue;
            if (a > 0)
                gsl_matrix_set(x, row, (gsize)a - 1, 1);
            gsl_matrix_set(x, row, (gsize)b - 1, -1);
            gsl_vector_set(y, row, ratio);
            gsl_vector_set(w, row, common);
        }
    gsl_multifit_wlinear(x, w, y, ln_gain, covariance, &misfit, work);
    for (int i = 0; i < n; i++)
        gains[i].gain[channel] = i > 0 ? exp(gsl_vector_get(ln_gain, (gsize)i - 1)) : 1;
    gsl_multifit_linear_free(work);
    gsl_matrix_free(covariance);
    gsl_vector_free(ln_gain);
    gsl_vector_free(w);
    gsl_vector_free(y);
    gsl_matrix_free(x);
}

/* An exposure multiplies coded values as it does light, as far as their coding is a power. */
static Gain *gains_of(TapulTaken *const *taken, int n) {
    Gain *gains = g_new(Gain, n);
    for (int i = 0; i < n; i++)
        gains[i] = (Gain){{1, 1, 1}};
    for (int channel = 0; channel < 3 && n > 1; channel++)
        solve_gains(taken, n, channel, gains);
    return gains;
}

/* --- Blending --- */

typedef struct {
    TapulTaken *const *taken;
    int n;
    float **weight; /* [n][rows][columns] of each one's grid */
    const Gain *gains;
    TapulRectified *rectified;
} Job;

static void blend_pixel(const Job *job, int x, int y) {
    TapulRectified *rectified = job->rectified;
    gsize at = (gsize)y * (gsize)rectified->width_px + (gsize)x;
    guint8 *to = rectified->rgba + 4 * at;
    double sum[3] = {0, 0, 0}, total = 0;
    for (int i = 0; i < job->n; i++) {
        const TapulTaken *taken = job->taken[i];
        if (!shows(taken, at))
            continue;
        double weight = LEAST_WEIGHT + tapul_look_grid_value(taken->grid, job->weight[i], x, y);
        for (int k = 0; k < 3; k++)
            sum[k] += weight * job->gains[i].gain[k] * taken->picture->data[4 * at + (gsize)k];
        total += weight;
    }
    for (int k = 0; k < 3; k++)
        to[k] = total > 0 ? (guint8)lround(fmin(sum[k] / total, 255)) : 0;
    to[3] = total > 0 ? 255 : 0;
}

void tapul_blend(TapulTaken *const *taken, int n, TapulRectified *rectified) {
    g_autofree float **weight = g_new0(float *, n);
    g_autofree Gain *gains = gains_of(taken, n);
    for (int i = 0; i < n; i++)
        weight[i] = weights_of(taken[i]->grid);
    Job job = {taken, n, weight, gains, rectified};
#pragma omp parallel for schedule(dynamic, 16)
    for (int y = 0; y < rectified->height_px; y++)
        for (int x = 0; x < rectified->width_px; x++)
            blend_pixel(&job, x, y);
    for (int i = 0; i < n; i++)
        g_free(weight[i]);
}
