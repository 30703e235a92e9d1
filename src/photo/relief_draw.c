/* Relief drawn: where the metal turns away from the plate's own surface, as bitten lines do.
 *
 * taken.c asks for it where a photograph has lamps. Each lamp's photograph lies on the
 * development already, so that each pixel is solved by itself (relief.c).
 */
#include "photo/relief.h"

/* The angle that is drawn black: 99 pixels of 100 keep below it, but noise alone is not to fill
 * the picture (by eye, no source). */
#define BLACK_SHARE     0.99
#define LEAST_BLACK_DEG 8.0
#define BINS            900 /* tenths of a degree */

/* IEC 61966-2-1: what an 8-bit value stands for in light. */
static void fill_light_table(float table[256]) {
    for (int i = 0; i < 256; i++) {
        double v = i / 255.0;
        table[i] = (float)(v <= 0.04045 ? v / 12.92 : pow((v + 0.055) / 1.055, 2.4));
    }
}

typedef struct {
    const TapulRelief *relief;
    guint8 *const *coded;
    int n;
    const guint8 *seen;
    const TapulLookGrid *grid;
    float light_of[256];
    float *angle_deg; /* [height][width]; NAN: not found */
} Job;

static void find_row(const Job *job, int y) {
    int width = job->grid->frame->width_px;
    for (int x = 0; x < width; x++) {
        gsize at = (gsize)y * (gsize)width + (gsize)x;
        float light[TAPUL_RELIEF_MOST_LAMPS];
        TapulVec3 normal;
        double albedo;
        job->angle_deg[at] = NAN;
        if (job->seen[at] != TAPUL_SEEN_WELL)
            continue;
        for (int i = 0; i < job->n; i++)
            light[i] = job->light_of[job->coded[i][at]];
        if (!tapul_relief_solve(job->relief, light, &normal, &albedo))
            continue;
        double cosine = tapul_vec3_dot(normal, tapul_look_grid_normal(job->grid, x, y));
        job->angle_deg[at] = (float)(acos(CLAMP(cosine, -1, 1)) * 180 / G_PI);
    }
}

static double black_deg(const float *angle_deg, gsize n) {
    gsize count[BINS + 1] = {0}, all = 0, sum = 0;
    int bin = 0;
    for (gsize i = 0; i < n; i++) {
        if (isnan(angle_deg[i]))
            continue;
        count[MIN((int)(angle_deg[i] * 10), BINS)]++;
        all++;
    }
    while (bin < BINS && (double)(sum += count[bin]) < BLACK_SHARE * (double)all)
        bin++;
    return fmax((bin + 1) / 10.0, LEAST_BLACK_DEG);
}

void tapul_relief_draw(const TapulRelief *relief, guint8 *const *coded, int n,
                       const guint8 *seen, const TapulLookGrid *grid, TapulPixels *picture) {
    gsize n_pixels = (gsize)picture->width_px * (gsize)picture->height_px;
    g_autofree float *angle_deg = g_new(float, n_pixels);
    Job job = {relief, coded, n, seen, grid, {0}, angle_deg};
    fill_light_table(job.light_of);
#pragma omp parallel for schedule(dynamic, 16)
    for (int y = 0; y < picture->height_px; y++)
        find_row(&job, y);
    double black = black_deg(angle_deg, n_pixels);
    for (gsize i = 0; i < n_pixels; i++) {
        guint8 *pixel = picture->data + 4 * i;
        if (isnan(angle_deg[i])) {
            pixel[3] = 0;
            continue;
        }
        pixel[0] = pixel[1] = pixel[2] =
            (guint8)lround(255 * (1 - fmin(angle_deg[i] / black, 1)));
    }
}
