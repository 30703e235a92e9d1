/* Warping pictures: each pixel of the new one sampled from the old one where a map says, tile
 * by tile on all cores. picture_field.c knows where from, picture_sample.c samples. Where the
 * map shrinks the picture it is taken on a finer lattice, about one sample to an old pixel, and
 * then made smaller with the same kernel, so that hatching turns into tone and not into moire.
 */
#include "base/picture_warp.h"

#include <omp.h>

/* Up to this many old pixels to a new one are sampled directly: what is finer than that the old
 * picture hardly holds. */
#define DIRECT_STEP_PX 1.25
/* Neighbours that come from places this many times further apart than the tile's have a jump of
 * the map between them: nothing comes from half-way. */
#define JUMP_STEPS 3.0
/* More samples to a side of a new pixel are not taken: a page is then a stamp of 1/32. */
#define MOST_FINER 32

TapulWarpOptions tapul_warp_options_defaults(void) {
    return (TapulWarpOptions){.kernel = TAPUL_KERNEL_CUBIC, .tolerance_px = 0.05};
}

typedef struct {
    const TapulField *field;
    const TapulSampler *sampler;
    TapulKernel kernel;
    TapulPixels *made;
} Warp;

/* The part of a tile that lies on the picture. */
static void put_tile(const Warp *warp, int column, int row, const guint8 *rgba) {
    TapulPixels *made = warp->made;
    int x = column * TAPUL_TILE_PX, y = row * TAPUL_TILE_PX;
    int width = MIN(TAPUL_TILE_PX, made->width_px - x);
    int height = MIN(TAPUL_TILE_PX, made->height_px - y);
    for (int j = 0; j < height; j++) {
        gsize at = (gsize)(y + j) * (gsize)made->width_px + (gsize)x;
        memcpy(made->data + 4 * at, rgba + 4 * j * TAPUL_TILE_PX, 4 * (gsize)width);
    }
}

static void warp_directly(const Warp *warp, int column, int row) {
    TapulPixels *made = warp->made;
    TapulTilePlaces places;
    int x = column * TAPUL_TILE_PX, y = row * TAPUL_TILE_PX;
    tapul_field_tile(warp->field, column, row, &places);
    if (x + TAPUL_TILE_PX <= made->width_px && y + TAPUL_TILE_PX <= made->height_px) {
        guint8 *first = made->data + 4 * ((gsize)y * (gsize)made->width_px + (gsize)x);
        tapul_sampler_take(warp->sampler, places.x, places.y, TAPUL_TILE_PX, TAPUL_TILE_PX,
                           first, 4 * (gsize)made->width_px);
        return;
    }
    guint8 rgba[4 * TAPUL_TILE_PX * TAPUL_TILE_PX];
    tapul_sampler_take(warp->sampler, places.x, places.y, TAPUL_TILE_PX, TAPUL_TILE_PX, rgba,
                       4 * TAPUL_TILE_PX);
    put_tile(warp, column, row, rgba);
}

/* --- Shrinking --- */

/* A tile with what the kernel reaches around it, on a finer lattice: finer_x samples to a pixel
 * across, finer_y down, from margin_px before the tile to margin_px behind. */
typedef struct {
    int finer_x, finer_y, margin_px;
    int width, height; /* samples */
    int row_bytes;     /* of rgba: the width rounded up to what the sampler takes */
    guint8 *rgba;
} FineTile;

/* Where a sample lies between two pixels, counted from the first's centre. */
typedef struct {
    int first;
    float share;
} Between;

static Between *samples_between(int n, int finer) {
    Between *between = g_new(Between, n);
    for (int i = 0; i < n; i++) {
        double at = (i + 0.5) / finer + 0.5; /* the first pixel is one before the margin */
        between[i] = (Between){(int)floor(at), (float)(at - floor(at))};
    }
    return between;
}

/* place[side][side] of the pixels from one before the margin to one behind it. */
static TapulVec2 *places_around(const Warp *warp, int column, int row, int margin_px) {
    int side = TAPUL_TILE_PX + 2 * margin_px + 2;
    int x = column * TAPUL_TILE_PX - margin_px - 1, y = row * TAPUL_TILE_PX - margin_px - 1;
    TapulVec2 *place = g_new(TapulVec2, side * side);
    for (int j = 0; j < side; j++)
        for (int i = 0; i < side; i++)
            place[j * side + i] = tapul_field_pixel(warp->field, x + i, y + j);
    return place;
}

/* Between two neighbours; over a jump, the nearer. */
static TapulVec2 mix_places(TapulVec2 a, TapulVec2 b, float share, double jump_px) {
    if (tapul_vec2_distance(a, b) > jump_px)
        return share < 0.5f ? a : b;
    return tapul_vec2_mix(a, b, share);
}

static void sample_finely(const Warp *warp, int column, int row, FineTile *fine) {
    int across = fine->row_bytes / 4, side = TAPUL_TILE_PX + 2 * fine->margin_px + 2;
    g_autofree TapulVec2 *place = places_around(warp, column, row, fine->margin_px);
    g_autofree Between *right = samples_between(fine->width, fine->finer_x);
    g_autofree Between *down = samples_between(fine->height, fine->finer_y);
    g_autofree TapulVec2 *level = g_new(TapulVec2, side);
    g_autofree float *x_px = g_new0(float, across), *y_px = g_new0(float, across);
    for (int j = 0; j < fine->height; j++) {
        const TapulVec2 *above = place + down[j].first * side;
        for (int i = 0; i < side; i++)
            level[i] = mix_places(above[i], above[side + i], down[j].share,
                                  JUMP_STEPS * fine->finer_y);
        for (int i = 0; i < fine->width; i++) {
            const TapulVec2 *left = level + right[i].first;
            TapulVec2 at =
                mix_places(left[0], left[1], right[i].share, JUMP_STEPS * fine->finer_x);
            x_px[i] = (float)at.x;
            y_px[i] = (float)at.y;
        }
        tapul_sampler_take(warp->sampler, x_px, y_px, across, 1,
                           fine->rgba + (gsize)j * (gsize)fine->row_bytes, 0);
    }
}

/* The kernel over the (2 margin_px + 1) finer samples around a pixel, summing to 1. */
static float *shrinking_weights(TapulKernel kernel, int finer, int margin_px) {
    int n = (2 * margin_px + 1) * finer;
    float *weight = g_new(float, n);
    double sum = 0;
    for (int pass = 0; pass < 2; pass++)
        for (int k = 0; k < n; k++) {
            double value = tapul_kernel_value(kernel, (k + 0.5) / finer - 0.5 - margin_px);
            if (pass == 0)
                sum += value;
            else
                weight[k] = (float)(value / sum);
        }
    return weight;
}

/* along[height][TAPUL_TILE_PX][4], RGB times alpha, which are clear at zero. */
static void shrink_rows(const FineTile *fine, const float *weight, float *along) {
    int n = (2 * fine->margin_px + 1) * fine->finer_x;
    for (int j = 0; j < fine->height; j++)
        for (int x = 0; x < TAPUL_TILE_PX; x++, along += 4) {
            const guint8 *from =
                fine->rgba + (gsize)j * (gsize)fine->row_bytes + 4 * x * fine->finer_x;
            float red = 0, green = 0, blue = 0, alpha = 0;
            for (int k = 0; k < n; k++, from += 4) {
                float share = weight[k] * (float)from[3];
                red += share * (float)from[0];
                green += share * (float)from[1];
                blue += share * (float)from[2];
                alpha += share;
            }
            along[0] = red, along[1] = green, along[2] = blue, along[3] = alpha;
        }
}

static void shrink_columns(const FineTile *fine, const float *weight, const float *along,
                           guint8 *rgba) {
    int n = (2 * fine->margin_px + 1) * fine->finer_y;
    for (int y = 0; y < TAPUL_TILE_PX; y++)
        for (int x = 0; x < TAPUL_TILE_PX; x++, rgba += 4) {
            const float *from =
                along + ((gsize)y * (gsize)fine->finer_y * TAPUL_TILE_PX + (gsize)x) * 4;
            float sum[4] = {0};
            for (int k = 0; k < n; k++, from += 4 * TAPUL_TILE_PX)
                for (int c = 0; c < 4; c++)
                    sum[c] += weight[k] * from[c];
            float whole = sum[3] > 0 ? 1 / sum[3] : 0;
            for (int c = 0; c < 4; c++)
                rgba[c] = (guint8)CLAMP(sum[c] * (c < 3 ? whole : 1) + 0.5f, 0, 255);
        }
}

static void warp_shrinking(const Warp *warp, int column, int row, int finer_x, int finer_y) {
    int margin_px = tapul_kernel_radius(warp->kernel), side = TAPUL_TILE_PX + 2 * margin_px;
    FineTile fine = {finer_x, finer_y, margin_px, side * finer_x, side * finer_y, 0, NULL};
    fine.row_bytes = 4 * ((fine.width + 3) / 4 * 4);
    g_autofree guint8 *samples = g_malloc((gsize)fine.row_bytes * (gsize)fine.height);
    g_autofree float *along = g_new(float, (gsize)fine.height *TAPUL_TILE_PX * 4);
    g_autofree float *across_weight = shrinking_weights(warp->kernel, finer_x, margin_px);
    g_autofree float *down_weight = shrinking_weights(warp->kernel, finer_y, margin_px);
    guint8 rgba[4 * TAPUL_TILE_PX * TAPUL_TILE_PX];
    fine.rgba = samples;
    sample_finely(warp, column, row, &fine);
    shrink_rows(&fine, across_weight, along);
    shrink_columns(&fine, down_weight, along, rgba);
    put_tile(warp, column, row, rgba);
}

/* --- All tiles --- */

/* How many samples to a pixel a step of so many old pixels asks. */
static int finer(double step_px) {
    if (!(step_px > DIRECT_STEP_PX))
        return 1;
    return step_px < MOST_FINER ? (int)ceil(step_px) : MOST_FINER;
}

static void warp_tile(const Warp *warp, int column, int row) {
    double right_px, down_px;
    tapul_field_steps(warp->field, column, row, &right_px, &down_px);
    int finer_x = finer(right_px), finer_y = finer(down_px);
    if (finer_x == 1 && finer_y == 1)
        warp_directly(warp, column, row);
    else
        warp_shrinking(warp, column, row, finer_x, finer_y);
}

TapulPixels *tapul_pixels_warp(const TapulPixels *source, int width_px, int height_px,
                               TapulPictureMap map, gconstpointer data,
                               const TapulWarpOptions *options) {
    g_assert(width_px > 0 && height_px > 0 && options->tolerance_px > 0);
    g_autoptr(TapulField) field = tapul_field_new(width_px, height_px, map, data, options);
    g_autoptr(TapulSampler) sampler = tapul_sampler_new(source, options->kernel);
    TapulPixels *made = tapul_pixels_new(width_px, height_px, 4);
    Warp warp = {field, sampler, options->kernel, made};
    int columns = (width_px - 1) / TAPUL_TILE_PX + 1,
        rows = (height_px - 1) / TAPUL_TILE_PX + 1;
#pragma omp parallel for schedule(dynamic)
    for (int row = 0; row < rows; row++) {
        for (int column = 0; column < columns; column++)
            warp_tile(&warp, column, row);
        if (options->progress && omp_get_thread_num() == 0)
            options->progress(0.9 + 0.1 * row / rows, options->progress_data);
    }
    if (options->progress)
        options->progress(1, options->progress_data);
    return made;
}
