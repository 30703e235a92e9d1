/* The paper of a scan made even: its tone, taken from what is light in each small block, is
 * divided out, so that the scanner's lamp, the paper's yellowing and its stains become white
 * and the ink keeps its contrast. All but the last step works on the blocks. Foxing is told
 * from ink by colour where there is colour (it is brown, ink is not), and otherwise by being
 * faint. Stands between the plate mark and the finding of lines. */
#include "ink/scan.h"

/* Wider than the lines of an engraving and the gaps between them, so that a block shows paper;
 * finer than stains. */
#define BLOCK_MM 0.35
/* Paper is looked for this far around: beyond solid blacks, within the lamp's unevenness. */
#define REACH_MM  10.0
#define SMOOTH_MM 5.0
/* Share of the lightest tone around, and of the picture's, under which a block is not bare
 * paper. */
#define PAPER_LEAST   0.85
#define DARKEST_PAPER 0.6
/* Weight of the picture's mean paper where no paper is near. */
#define PRIOR 1e-3
/* Foxing takes at least this share of the light, and leaves at least the rest: darker is ink.
 */
#define STAIN_LEAST     0.03
#define STAIN_MOST      0.6
#define STAIN_MOST_GREY 0.35
/* How much more of the blue it takes than of the red, of all light, which is more than the
 * paper's own unevenness; and of what it takes altogether: foxing about as much (common
 * practice, no source), brown inks a quarter. */
#define STAIN_BROWN       0.04f
#define STAIN_BROWN_SHARE 0.4f
/* Blocks that hang together; fewer are a fibre or noise. */
#define STAIN_LEAST_BLOCKS 4
/* A block whose pixels are darker than its paper by more holds ink. */
#define BARE_MOST 0.1

enum { LIGHT, RED, BLUE, CHANNELS };

/* The picture in blocks, [height][width]. */
typedef struct {
    int size_px, width, height;
    float *tone[CHANNELS];  /* of the lighter half of each block's pixels */
    float *paper[CHANNELS]; /* smooth */
    float *ink;             /* share of the light that the darker pixels take */
    gboolean coloured;
} Blocks;

/* --- Blocks --- */

static inline int light_of(const guint8 *pixel, int bands) {
    /* Luma of ITU-R BT.601, in 1/256. */
    return bands == 1 ? pixel[0] : (77 * pixel[0] + 150 * pixel[1] + 29 * pixel[2] + 128) >> 8;
}

static void measure_block(const TapulPixels *pixels, Blocks *blocks, int column, int row) {
    int x_0 = column * blocks->size_px, x_1 = MIN(x_0 + blocks->size_px, pixels->width_px);
    int y_0 = row * blocks->size_px, y_1 = MIN(y_0 + blocks->size_px, pixels->height_px);
    int bands = pixels->bands;
    gint64 sum = 0, upper[CHANNELS] = {0, 0, 0}, n = (gint64)(x_1 - x_0) * (y_1 - y_0),
           n_upper = 0;
    for (int y = y_0; y < y_1; y++) {
        const guint8 *pixel =
            pixels->data + ((gsize)y * (gsize)pixels->width_px + (gsize)x_0) * (gsize)bands;
        for (int x = x_0; x < x_1; x++, pixel += bands)
            sum += light_of(pixel, bands);
    }
    for (int y = y_0; y < y_1; y++) {
        const guint8 *pixel =
            pixels->data + ((gsize)y * (gsize)pixels->width_px + (gsize)x_0) * (gsize)bands;
        for (int x = x_0; x < x_1; x++, pixel += bands) {
            int light = light_of(pixel, bands);
            gboolean counts = light * n >= sum;
            n_upper += counts;
            upper[LIGHT] += counts * light;
            upper[RED] += counts * pixel[0];
            upper[BLUE] += counts * pixel[bands - 1];
        }
    }
    gsize at = (gsize)row * (gsize)blocks->width + (gsize)column;
    for (int channel = 0; channel < CHANNELS; channel++)
        blocks->tone[channel][at] = (float)upper[channel] / (float)n_upper;
    blocks->ink[at] = 1 - (float)sum / (float)n / fmaxf(blocks->tone[LIGHT][at], 1);
}

static Blocks *new_blocks(const TapulPixels *pixels, double px_per_mm) {
    Blocks *blocks = g_new0(Blocks, 1);
    blocks->size_px = MAX(1, (int)lround(BLOCK_MM * px_per_mm));
    blocks->width = (pixels->width_px + blocks->size_px - 1) / blocks->size_px;
    blocks->height = (pixels->height_px + blocks->size_px - 1) / blocks->size_px;
    blocks->coloured = pixels->bands > 1;
    gsize n = (gsize)blocks->width * (gsize)blocks->height;
    blocks->ink = g_new(float, n);
    for (int channel = 0; channel < CHANNELS; channel++) {
        blocks->tone[channel] = g_new(float, n);
        blocks->paper[channel] = g_new(float, n);
    }
#pragma omp parallel for schedule(static)
    for (int row = 0; row < blocks->height; row++)
        for (int column = 0; column < blocks->width; column++)
            measure_block(pixels, blocks, column, row);
    return blocks;
}

static void free_blocks(Blocks *blocks) {
    for (int channel = 0; channel < CHANNELS; channel++) {
        g_free(blocks->tone[channel]);
        g_free(blocks->paper[channel]);
    }
    g_free(blocks->ink);
    g_free(blocks);
}

static gsize count(const Blocks *blocks) {
    return (gsize)blocks->width * (gsize)blocks->height;
}

/* --- libvips on blocks --- */

static VipsImage *image_of(const Blocks *blocks, const void *values, VipsBandFormat format) {
    gsize size = count(blocks) * (format == VIPS_FORMAT_FLOAT ? sizeof(float) : 1);
    VipsImage *image =
        vips_image_new_from_memory(values, size, blocks->width, blocks->height, 1, format);
    g_assert(image);
    return image;
}

/* Takes the image. Nothing can fail but memory. */
static void *values_of(VipsImage *image) {
    size_t size;
    void *values = image ? vips_image_write_to_memory(image, &size) : NULL;
    g_assert(values);
    g_object_unref(image);
    return values;
}

static float *blurred(const Blocks *blocks, const float *values, double sigma) {
    g_autoptr(TapulVipsImage) image = image_of(blocks, values, VIPS_FORMAT_FLOAT);
    VipsImage *made = NULL;
    vips_gaussblur(image, &made, sigma, "precision", VIPS_PRECISION_FLOAT, NULL);
    return values_of(made);
}

/* The index-th of the side x side values around each, in rising order; windows are cut to the
 * picture. */
static void *ranked(const Blocks *blocks, const void *values, VipsBandFormat format, int side,
                    int index) {
    g_autoptr(TapulVipsImage) image = image_of(blocks, values, format);
    VipsImage *made = NULL;
    vips_rank(image, &made, side, side, index, NULL);
    return values_of(made);
}

/* What is left when dark things narrower than three blocks are closed. */
static float *closed(const Blocks *blocks, const float *values) {
    g_autofree float *widened = ranked(blocks, values, VIPS_FORMAT_FLOAT, 3, 8);
    return ranked(blocks, widened, VIPS_FORMAT_FLOAT, 3, 0);
}

/* --- Bare paper --- */

/* 1 where a block is about as light as the lightest around it, else 0. */
static float *bare_paper(const Blocks *blocks) {
    gsize n = count(blocks), histogram[256] = {0}, above = 0;
    g_autofree guint8 *light = g_new(guint8, n);
    for (gsize i = 0; i < n; i++)
        histogram[light[i] = (guint8)lroundf(blocks->tone[LIGHT][i])]++;
    int lightest = 255;
    /* The picture's own paper: a tenth of it is lighter. */
    while (lightest > 0 && (above += histogram[lightest]) < n / 10)
        lightest--;
    int side =
        MIN((int)(REACH_MM / BLOCK_MM) | 1, (MIN(blocks->width, blocks->height) - 1) | 1);
    side = MIN(side, MIN(blocks->width, blocks->height));
    g_autofree guint8 *around =
        ranked(blocks, light, VIPS_FORMAT_UCHAR, side, (int)(0.9 * (side * side - 1)));
    float *bare = g_new(float, n);
    for (gsize i = 0; i < n; i++)
        bare[i] = light[i] >= PAPER_LEAST * around[i] && light[i] >= DARKEST_PAPER * lightest;
    return bare;
}

/* The mean of the bare paper around each block, near ones counting more. */
static void smooth_paper(Blocks *blocks, const float *bare) {
    gsize n = count(blocks);
    double sigma = SMOOTH_MM / BLOCK_MM;
    g_autofree float *weight = blurred(blocks, bare, sigma), *product = g_new(float, n);
    for (int channel = 0; channel < CHANNELS; channel++) {
        double sum = 0, all = 0;
        for (gsize i = 0; i < n; i++) {
            product[i] = bare[i] * blocks->tone[channel][i];
            sum += product[i];
            all += bare[i];
        }
        double mean = all > 0 ? sum / all : 255;
        g_autofree float *smooth = blurred(blocks, product, sigma);
        for (gsize i = 0; i < n; i++)
            blocks->paper[channel][i] =
                fmaxf(1, (float)((smooth[i] + PRIOR * mean) / (weight[i] + PRIOR)));
    }
}

/* --- Stains --- */

static gboolean is_stain(const Blocks *blocks, gsize i, const float *tone,
                         const float *darkest) {
    float taken = 1 - tone[i] / blocks->paper[LIGHT][i];
    if (taken < STAIN_LEAST || taken > STAIN_MOST)
        return FALSE;
    if (blocks->coloured) {
        /* As dark as the block itself is, before ink in it was closed. */
        float own = fmaxf(taken, 1 - blocks->tone[LIGHT][i] / blocks->paper[LIGHT][i]);
        float red = blocks->tone[RED][i] / blocks->paper[RED][i];
        float blue = blocks->tone[BLUE][i] / blocks->paper[BLUE][i];
        return red - blue > fmaxf(STAIN_BROWN, STAIN_BROWN_SHARE * own);
    }
    /* Beside a solid black a faint block is its soft edge. */
    return taken < STAIN_MOST_GREY && darkest[i] > (1 - STAIN_MOST) * blocks->paper[LIGHT][i];
}

/* Pieces of the mask that are no fibre or noise, and mostly without ink; the others are wiped
 * out. */
static int count_spots(const Blocks *blocks, float *mask) {
    gsize n = count(blocks);
    g_autofree guint8 *bytes = g_new(guint8, n);
    for (gsize i = 0; i < n; i++)
        bytes[i] = mask[i] > 0 ? 255 : 0;
    g_autoptr(TapulVipsImage) image = image_of(blocks, bytes, VIPS_FORMAT_UCHAR);
    VipsImage *labelled = NULL;
    int regions = 0, spots = 0;
    vips_labelregions(image, &labelled, "segments", &regions, NULL);
    g_autofree gint32 *labels = values_of(labelled);
    g_autofree int *sizes = g_new0(int, regions), *bare = g_new0(int, regions);
    for (gsize i = 0; i < n; i++) {
        sizes[labels[i]] += mask[i] > 0;
        bare[labels[i]] += mask[i] > 0 && blocks->ink[i] < BARE_MOST;
    }
    for (int k = 0; k < regions; k++)
        spots += sizes[k] >= STAIN_LEAST_BLOCKS && (blocks->coloured || 2 * bare[k] > sizes[k]);
    for (gsize i = 0; i < n; i++)
        if (sizes[labels[i]] < STAIN_LEAST_BLOCKS)
            mask[i] = 0;
    return spots;
}

/* The paper with its stains: what the light is divided by. */
static float *stained_paper(const Blocks *blocks, int *spots) {
    gsize n = count(blocks);
    g_autofree float *tone = closed(blocks, blocks->tone[LIGHT]);
    g_autofree float *darkest = ranked(blocks, blocks->tone[LIGHT], VIPS_FORMAT_FLOAT, 3, 0);
    float *paper = g_new(float, n);
    g_autofree float *mask = g_new(float, n);
    for (gsize i = 0; i < n; i++)
        mask[i] = is_stain(blocks, i, tone, darkest) ? 1 : 0;
    *spots = count_spots(blocks, mask);
    g_autofree float *soft = blurred(blocks, mask, 1.0);
    for (gsize i = 0; i < n; i++) {
        float whole = blocks->paper[LIGHT][i];
        float share = fmaxf(mask[i], soft[i]);
        paper[i] = whole + share * (fminf(tone[i], whole) - whole);
    }
    return paper;
}

/* --- Evening --- */

/* Where a pixel's centre lies between the centres of blocks. */
static int between(int pixel, int size_px, int blocks, float *share) {
    float at = ((float)pixel + 0.5f) / (float)size_px - 0.5f;
    int first = CLAMP((int)floorf(at), 0, MAX(0, blocks - 2));
    *share = blocks > 1 ? CLAMP(at - (float)first, 0, 1) : 0;
    return first;
}

static void even_row(const TapulPixels *pixels, const Blocks *blocks, const float *paper, int y,
                     guint8 *even) {
    float down;
    int row = between(y, blocks->size_px, blocks->height, &down);
    const float *above = paper + (gsize)row * (gsize)blocks->width;
    const float *below = blocks->height > 1 ? above + blocks->width : above;
    const guint8 *pixel =
        pixels->data + (gsize)y * (gsize)pixels->width_px * (gsize)pixels->bands;
    for (int x = 0; x < pixels->width_px; x++, pixel += pixels->bands) {
        float across;
        int left = between(x, blocks->size_px, blocks->width, &across),
            right = MIN(left + 1, blocks->width - 1);
        float upper = above[left] + across * (above[right] - above[left]);
        float lower = below[left] + across * (below[right] - below[left]);
        float white = upper + down * (lower - upper);
        even[x] =
            (guint8)fminf(255, 255 * (float)light_of(pixel, pixels->bands) / white + 0.5f);
    }
}

void tapul_scan_even_paper(TapulPixels *pixels, double px_per_mm, TapulScan *scan) {
    Blocks *blocks = new_blocks(pixels, px_per_mm);
    g_autofree float *bare = bare_paper(blocks);
    smooth_paper(blocks, bare);
    g_autofree float *paper = stained_paper(blocks, &scan->foxing_spots);
    double sum = 0, n = 0;
    for (gsize i = 0; i < count(blocks); i++) {
        sum += bare[i] * blocks->tone[LIGHT][i];
        n += bare[i];
    }
    scan->paper_grey = n > 0 ? sum / n / 255 : 0;
    guint8 *even = g_malloc((gsize)pixels->width_px * (gsize)pixels->height_px);
#pragma omp parallel for schedule(static)
    for (int y = 0; y < pixels->height_px; y++)
        even_row(pixels, blocks, paper, y, even + (gsize)y * (gsize)pixels->width_px);
    free_blocks(blocks);
    g_free(pixels->data);
    pixels->data = even;
    pixels->bands = 1;
}
