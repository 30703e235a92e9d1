/* Sampling of pictures at any places: separable kernels, their weights from tables, written in
 * vectors that the compiler turns into what the processor has.
 *
 * Why our own: on two cores libvips' mapim gave 106 Mpixel/s bilinear and 93 bicubic where
 * OpenCV's remap gave 450 and 205, and it has no Lanczos kernel; tests/bench/bench_warp.c
 * measures this file beside OpenCV. Catmull & Rom 1974 (the cubic); Duchon 1979 (Lanczos'
 * window). */
#include "base/picture_warp.h"

#include <string.h>

/* Places are rounded to 1/256 px: a twentieth of the map's own tolerance. */
#define PHASE_BITS 8
#define PHASES     (1 << PHASE_BITS)
/* The widest kernel's taps, rounded up to whole vectors. */
#define MOST_TAPS 8
/* Kernels reach this far beyond the source; its edge pixels go on there. */
#define PAD_PX 8

/* Narrow numbers are widened by a zero beside each: behind the low byte, or before it. */
#if G_BYTE_ORDER == G_LITTLE_ENDIAN
#define WIDEN_BYTES ((Bytes){0, 16, 1, 17, 2, 18, 3, 19, 4, 20, 5, 21, 6, 22, 7, 23})
#define WIDEN_LOW   ((Shorts){0, 8, 1, 9, 2, 10, 3, 11})
#define WIDEN_HIGH  ((Shorts){4, 12, 5, 13, 6, 14, 7, 15})
#else
#define WIDEN_BYTES ((Bytes){16, 0, 17, 1, 18, 2, 19, 3, 20, 4, 21, 5, 22, 6, 23, 7})
#define WIDEN_LOW   ((Shorts){8, 0, 9, 1, 10, 2, 11, 3})
#define WIDEN_HIGH  ((Shorts){12, 4, 13, 5, 14, 6, 15, 7})
#endif

typedef float Floats __attribute__((vector_size(16)));
typedef gint32 Ints __attribute__((vector_size(16)));
typedef guint32 Words __attribute__((vector_size(16)));
typedef guint16 Shorts __attribute__((vector_size(16)));
typedef guint8 Bytes __attribute__((vector_size(16)));
typedef guint64 Longs __attribute__((vector_size(16)));

struct TapulSampler {
    Floats weight[PHASES][2]; /* of the taps at each phase, 0 behind the last */
    int width_px, height_px;  /* of the source */
    int channels;             /* 1, or 4: RGB premultiplied by A */
    gboolean opaque;          /* A is 255 throughout */
    gsize stride;             /* bytes a row */
    guint8 *data;             /* the source with PAD_PX around */
    int taps;                 /* 2, 4 or 6 each way */
};

/* --- Kernels --- */

int tapul_kernel_radius(TapulKernel kernel) {
    return kernel == TAPUL_KERNEL_LINEAR ? 1 : kernel == TAPUL_KERNEL_CUBIC ? 2 : 3;
}

static double sinc(double x) {
    return x == 0 ? 1 : sin(G_PI * x) / (G_PI * x);
}

double tapul_kernel_value(TapulKernel kernel, double away) {
    double x = fabs(away);
    if (x >= tapul_kernel_radius(kernel))
        return 0;
    if (kernel == TAPUL_KERNEL_LINEAR)
        return 1 - x;
    if (kernel == TAPUL_KERNEL_LANCZOS3)
        return sinc(x) * sinc(x / 3);
    return x < 1 ? (1.5 * x - 2.5) * x * x + 1 : ((-0.5 * x + 2.5) * x - 4) * x + 2;
}

/* Sums to 1 at each phase, so that an even tone stays. */
static void fill_weights(TapulSampler *sampler, TapulKernel kernel) {
    int radius = tapul_kernel_radius(kernel);
    sampler->taps = 2 * radius;
    for (int phase = 0; phase < PHASES; phase++) {
        double value[MOST_TAPS] = {0}, sum = 0;
        for (int i = 0; i < sampler->taps; i++) {
            value[i] = tapul_kernel_value(kernel, i - (radius - 1) - (double)phase / PHASES);
            sum += value[i];
        }
        for (int i = 0; i < MOST_TAPS; i++)
            sampler->weight[phase][i / 4][i % 4] = (float)(value[i] / sum);
    }
}

/* --- The source made ready --- */

static inline void copy_pixel(int bands, const guint8 *from, guint8 *to) {
    to[0] = from[0];
    if (bands == 1)
        return;
    to[1] = from[1];
    to[2] = from[2];
    to[3] = 255;
    if (bands == 3)
        return;
    to[3] = from[3];
    for (int k = 0; k < 3; k++)
        to[k] = (guint8)((from[k] * from[3] + 127) / 255);
}

static void copy_row(const TapulSampler *sampler, const TapulPixels *source, int row) {
    int y = CLAMP(row - PAD_PX, 0, source->height_px - 1);
    const guint8 *from =
        source->data + (gsize)y * (gsize)source->width_px * (gsize)source->bands;
    guint8 *to = sampler->data + (gsize)row * sampler->stride;
    if (source->bands == 1)
        memcpy(to + PAD_PX, from, (gsize)source->width_px);
    else
        for (int x = 0; x < source->width_px; x++)
            copy_pixel(source->bands, from + x * source->bands, to + (x + PAD_PX) * 4);
    for (int x = 0; x < PAD_PX; x++) {
        gsize right = (gsize)(source->width_px + PAD_PX + x) * (gsize)sampler->channels;
        copy_pixel(source->bands, from, to + x * sampler->channels);
        copy_pixel(source->bands, from + (source->width_px - 1) * source->bands, to + right);
    }
}

TapulSampler *tapul_sampler_new(const TapulPixels *source, TapulKernel kernel) {
    g_assert(source->bands == 1 || source->bands == 3 || source->bands == 4);
    TapulSampler *sampler = g_aligned_alloc0(1, sizeof *sampler, sizeof(Floats));
    int rows = source->height_px + 2 * PAD_PX;
    sampler->width_px = source->width_px;
    sampler->height_px = source->height_px;
    sampler->channels = source->bands == 1 ? 1 : 4;
    sampler->opaque = source->bands < 4;
    sampler->stride = (gsize)(source->width_px + 2 * PAD_PX) * (gsize)sampler->channels;
    sampler->data = g_malloc((gsize)rows * sampler->stride);
    fill_weights(sampler, kernel);
#pragma omp parallel for
    for (int row = 0; row < rows; row++)
        copy_row(sampler, source, row);
    return sampler;
}

void tapul_sampler_free(TapulSampler *sampler) {
    if (!sampler)
        return;
    g_free(sampler->data);
    g_aligned_free(sampler);
}

/* --- Sampling --- */

/* sum[0..1] += weight * the eight bytes at `at`. */
static inline void add_bytes(Floats sum[2], const guint8 *at, float weight) {
    guint64 eight;
    memcpy(&eight, at, sizeof eight);
    Shorts wide = (Shorts)__builtin_shuffle((Bytes)(Longs){eight}, (Bytes){0}, WIDEN_BYTES);
    Ints low = (Ints)__builtin_shuffle(wide, (Shorts){0}, WIDEN_LOW);
    Ints high = (Ints)__builtin_shuffle(wide, (Shorts){0}, WIDEN_HIGH);
    sum[0] += __builtin_convertvector(low, Floats) * weight;
    sum[1] += __builtin_convertvector(high, Floats) * weight;
}

static inline guint32 packed(Ints value) {
    value = (value | (value > 255)) & ~(value < 0) & 255;
    return (guint32)(value[0] | value[1] << 8 | value[2] << 16) | (guint32)value[3] << 24;
}

/* The four bytes at `at`. */
static inline Floats four_bytes(const guint8 *at) {
    guint32 four;
    memcpy(&four, at, sizeof four);
    Shorts wide = (Shorts)__builtin_shuffle((Bytes)(Words){four}, (Bytes){0}, WIDEN_BYTES);
    Ints low = (Ints)__builtin_shuffle(wide, (Shorts){0}, WIDEN_LOW);
    return __builtin_convertvector(low, Floats);
}

/* Down the columns of all taps at once, then along. */
static inline guint32 take_grey(const TapulSampler *sampler, const guint8 *at, int taps,
                                int phase_x, int phase_y) {
    const Floats *across = sampler->weight[phase_x], *down = sampler->weight[phase_y];
    Floats column[2] = {{0}, {0}};
    for (int j = 0; j < taps; j++) {
        const guint8 *row = at + (gsize)j * sampler->stride;
        if (taps <= 4)
            column[0] += four_bytes(row) * down[0][j];
        else
            add_bytes(column, row, down[j / 4][j % 4]);
    }
    Floats sum = column[0] * across[0];
    if (taps > 4)
        sum += column[1] * across[1];
    sum += __builtin_shuffle(sum, (Ints){2, 3, 0, 1});
    float grey = sum[0] + sum[1] + 0.5f;
    guint32 value = (guint32)(gint32)(grey < 0 ? 0 : grey > 255 ? 255 : grey);
    return value * 0x010101u | 0xFF000000u;
}

/* Two columns of pixels at once. */
static inline guint32 take_colour(const TapulSampler *sampler, const guint8 *at, int taps,
                                  int phase_x, int phase_y) {
    const Floats *across = sampler->weight[phase_x], *down = sampler->weight[phase_y];
    Floats sum = {0};
    for (int i = 0; i < taps; i += 2) {
        Floats column[2] = {{0}, {0}};
        for (int j = 0; j < taps; j++)
            add_bytes(column, at + (gsize)j * sampler->stride + 4 * i, down[j / 4][j % 4]);
        sum += column[0] * across[i / 4][i % 4] + column[1] * across[(i + 1) / 4][(i + 1) % 4];
    }
    float alpha = sum[3];
    if (!sampler->opaque && alpha < 254.5f && alpha > 0)
        sum *= (Floats){255 / alpha, 255 / alpha, 255 / alpha, 1};
    return packed(__builtin_convertvector(sum + 0.5f, Ints));
}

/* The four bytes that a bilinear grey pixel is made of: the left pair in bits 0 and 16, the
 * right in 8 and 24. */
static inline guint32 four_greys(const TapulSampler *sampler, int x, int y) {
    const guint8 *at =
        sampler->data + (gsize)(y >> PHASE_BITS) * sampler->stride + (gsize)(x >> PHASE_BITS);
    guint32 upper = at[0] | (guint32)at[1] << 8;
    guint32 lower = at[sampler->stride] | (guint32)at[sampler->stride + 1] << 8;
    return upper | lower << 16;
}

/* Four pixels at once: along both rows in whole numbers, which fit 16 bits, then down. */
static inline Words take_linear_greys(const TapulSampler *sampler, Ints x, Ints y) {
    Words around = {four_greys(sampler, x[0], y[0]), four_greys(sampler, x[1], y[1]),
                    four_greys(sampler, x[2], y[2]), four_greys(sampler, x[3], y[3])};
    Words phase = (Words)x & (PHASES - 1);
    Shorts phase_x = (Shorts)(phase | phase << 16);
    Shorts left = (Shorts)(around & 0x00FF00FFu), right = (Shorts)(around >> 8 & 0x00FF00FFu);
    Words rows = (Words)(left * (PHASES - phase_x) + right * phase_x);
    Floats upper = __builtin_convertvector((Ints)(rows & 0xFFFF), Floats);
    Floats lower = __builtin_convertvector((Ints)(rows >> 16), Floats);
    Floats phase_y = __builtin_convertvector(y & (PHASES - 1), Floats) * (1.0f / PHASES);
    Floats grey = (upper + (lower - upper) * phase_y) * (1.0f / PHASES) + 0.5f;
    Words value = (Words) __builtin_convertvector(grey, Ints);
    return value | value << 8 | value << 16 | 0xFF000000u;
}

static inline __attribute__((always_inline)) guint32
take_one(const TapulSampler *sampler, int x, int y, int taps, int channels) {
    const guint8 *at = sampler->data + (gsize)(y >> PHASE_BITS) * sampler->stride +
                       (gsize)(x >> PHASE_BITS) * (gsize)channels;
    int phase_x = x & (PHASES - 1), phase_y = y & (PHASES - 1);
    return channels == 1 ? take_grey(sampler, at, taps, phase_x, phase_y)
                         : take_colour(sampler, at, taps, phase_x, phase_y);
}

/* Inlined with taps and channels known, so that its loops unroll. */
static inline __attribute__((always_inline)) void take_all(const TapulSampler *sampler,
                                                           const float *x_px, const float *y_px,
                                                           int n, guint8 *rgba, int taps,
                                                           int channels) {
    float width = (float)sampler->width_px, height = (float)sampler->height_px;
    /* From a place to its first tap's in the padded source: pixel centres lie at 0.5. */
    float shift = (float)(PAD_PX + 1 - taps / 2) - 0.5f;
    for (int i = 0; i < n; i += 4) {
        Floats x, y;
        memcpy(&x, x_px + i, sizeof x);
        memcpy(&y, y_px + i, sizeof y);
        Ints inside = (x >= 0) & (x <= width) & (y >= 0) & (y <= height);
        Ints across = __builtin_convertvector((x + shift) * PHASES + 0.5f, Ints) & inside;
        Ints down = __builtin_convertvector((y + shift) * PHASES + 0.5f, Ints) & inside;
        Words pixels;
        if (taps == 2 && channels == 1)
            pixels = take_linear_greys(sampler, across, down);
        else
            for (int k = 0; k < 4; k++)
                pixels[k] = take_one(sampler, across[k], down[k], taps, channels);
        pixels &= (Words)inside;
        for (int k = 0; k < 4; k++)
            pixels[k] = GUINT32_TO_LE(pixels[k]);
        memcpy(rgba + 4 * i, &pixels, sizeof pixels);
    }
}

/* One row, by the loop that its kernel and channels ask. */
static void take_row(const TapulSampler *sampler, const float *x_px, const float *y_px, int n,
                     guint8 *rgba) {
    gboolean grey = sampler->channels == 1;
    if (sampler->taps == 2 && grey)
        take_all(sampler, x_px, y_px, n, rgba, 2, 1);
    else if (sampler->taps == 2)
        take_all(sampler, x_px, y_px, n, rgba, 2, 4);
    else if (sampler->taps == 4 && grey)
        take_all(sampler, x_px, y_px, n, rgba, 4, 1);
    else if (sampler->taps == 4)
        take_all(sampler, x_px, y_px, n, rgba, 4, 4);
    else if (grey)
        take_all(sampler, x_px, y_px, n, rgba, 6, 1);
    else
        take_all(sampler, x_px, y_px, n, rgba, 6, 4);
}

void tapul_sampler_take(const TapulSampler *sampler, const float *x_px, const float *y_px,
                        int n, int rows, guint8 *rgba, gsize stride) {
    g_assert(n % 4 == 0);
    for (int row = 0; row < rows; row++)
        take_row(sampler, x_px + row * n, y_px + row * n, n, rgba + (gsize)row * stride);
}
