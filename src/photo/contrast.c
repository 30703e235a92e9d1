/* Local contrast: each place's light, less the mean about it, divided by the spread about it.
 *
 * taken.c asks for it where worn etching is to be brought out and there are no lamps. Mean
 * and spread are taken over the metal alone, so that the plate's edge leaves no rim, and on a
 * reduced picture, since they are smooth.
 */
#include "photo/contrast.h"

#include <tapul/photo.h>

/* The neighbourhood, one standard deviation of a Gauss: wider than a line and its hatching,
 * narrower than a highlight (by eye, no source). */
#define ABOUT_MM 4.0
/* The reduced picture's, in its pixels: enough for a smooth Gauss. */
#define ABOUT_PX 4.0
/* A smaller spread, in 8-bit levels, is the camera's noise, and not to be blown up. */
#define LEAST_SPREAD 5.0f
/* What a place one spread lighter than about it gains. */
#define MIDDLE 128.0f
#define GAIN   48.0f
/* Pixels of metal about a place, after the Gauss, below which nothing is told of it. */
#define LEAST_METAL 1e-4f

/* Rec. 709 */
static float grey_of(const guint8 *rgba) {
    return 0.2126f * rgba[0] + 0.7152f * rgba[1] + 0.0722f * rgba[2];
}

/* Sums over blocks: metal, its light, its light squared. */
typedef struct {
    int block_px, columns, rows;
    float *sums; /* [rows][columns][3] */
} Reduced;

static void reduce_row(const TapulPixels *picture, const guint8 *kept, guint8 value,
                       Reduced *reduced, int row) {
    int below = MIN((row + 1) * reduced->block_px, picture->height_px);
    for (int y = row * reduced->block_px; y < below; y++)
        for (int x = 0; x < picture->width_px; x++) {
            gsize at = (gsize)y * (gsize)picture->width_px + (gsize)x;
            if (kept[at] != value || picture->data[4 * at + 3] == 0)
                continue;
            float *sum = reduced->sums + 3 * ((gsize)row * (gsize)reduced->columns +
                                              (gsize)(x / reduced->block_px));
            float grey = grey_of(picture->data + 4 * at);
            sum[0] += 1;
            sum[1] += grey;
            sum[2] += grey * grey;
        }
}

/* A Gauss over all three sums. */
static gboolean blur(Reduced *reduced, GError **error) {
    tapul_picture_start_vips();
    gsize size = 3 * sizeof(float) * (gsize)reduced->columns * (gsize)reduced->rows;
    g_autoptr(TapulVipsImage) sums = vips_image_new_from_memory(
        reduced->sums, size, reduced->columns, reduced->rows, 3, VIPS_FORMAT_FLOAT);
    g_autoptr(TapulVipsImage) blurred = NULL;
    float *values = NULL;
    if (sums &&
        vips_gaussblur(sums, &blurred, ABOUT_PX, "precision", VIPS_PRECISION_FLOAT, NULL) == 0)
        values = vips_image_write_to_memory(blurred, NULL);
    if (!values) {
        g_set_error(error, TAPUL_PHOTO_ERROR, TAPUL_PHOTO_ERROR_FILE,
                    "the local contrast cannot be measured (%s)", vips_error_buffer());
        vips_error_clear();
        return FALSE;
    }
    g_free(reduced->sums);
    reduced->sums = values;
    return TRUE;
}

/* The sums at a place of the picture, interpolated between the blocks' middles. */
static void sums_at(const Reduced *reduced, int x_px, int y_px, float sums[3]) {
    float x = ((float)x_px + 0.5f) / (float)reduced->block_px - 0.5f;
    float y = ((float)y_px + 0.5f) / (float)reduced->block_px - 0.5f;
    x = CLAMP(x, 0, (float)(reduced->columns - 1));
    y = CLAMP(y, 0, (float)(reduced->rows - 1));
    int i = MIN((int)x, MAX(reduced->columns - 2, 0)),
        j = MIN((int)y, MAX(reduced->rows - 2, 0));
    gsize right = reduced->columns > 1 ? 3 : 0;
    gsize below = reduced->rows > 1 ? 3 * (gsize)reduced->columns : 0;
    const float *upper = reduced->sums + 3 * ((gsize)j * (gsize)reduced->columns + (gsize)i);
    for (int k = 0; k < 3; k++) {
        float above = upper[k] + (x - (float)i) * (upper[right + (gsize)k] - upper[k]);
        float under =
            upper[below + (gsize)k] +
            (x - (float)i) * (upper[below + right + (gsize)k] - upper[below + (gsize)k]);
        sums[k] = above + (y - (float)j) * (under - above);
    }
}

static void even_row(TapulPixels *picture, const guint8 *kept, guint8 value,
                     const Reduced *reduced, int y) {
    for (int x = 0; x < picture->width_px; x++) {
        gsize at = (gsize)y * (gsize)picture->width_px + (gsize)x;
        guint8 *pixel = picture->data + 4 * at;
        float sums[3];
        if (kept[at] != value)
            continue;
        sums_at(reduced, x, y, sums);
        float metal = fmaxf(sums[0], LEAST_METAL), mean = sums[1] / metal;
        float spread = sqrtf(fmaxf(sums[2] / metal - mean * mean, 0));
        float light = MIDDLE + GAIN * (grey_of(pixel) - mean) / fmaxf(spread, LEAST_SPREAD);
        pixel[0] = pixel[1] = pixel[2] = (guint8)lroundf(CLAMP(light, 0, 255));
    }
}

gboolean tapul_contrast_even(TapulPixels *picture, const guint8 *kept, guint8 value,
                             double pixel_mm, GError **error) {
    int block_px = MAX((int)lround(ABOUT_MM / ABOUT_PX / pixel_mm), 1);
    Reduced reduced = {.block_px = block_px,
                       .columns = (picture->width_px + block_px - 1) / block_px,
                       .rows = (picture->height_px + block_px - 1) / block_px};
    reduced.sums = g_new0(float, 3 * (gsize)reduced.columns * (gsize)reduced.rows);
#pragma omp parallel for schedule(dynamic, 4)
    for (int row = 0; row < reduced.rows; row++)
        reduce_row(picture, kept, value, &reduced, row);
    gboolean blurred = blur(&reduced, error);
    if (blurred) {
#pragma omp parallel for schedule(dynamic, 16)
        for (int y = 0; y < picture->height_px; y++)
            even_row(picture, kept, value, &reduced, y);
    }
    g_free(reduced.sums);
    return blurred;
}
