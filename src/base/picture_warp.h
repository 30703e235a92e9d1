/* The two halves of a warp: where each pixel of the new picture comes from, and the sampling
 * there. Internal to base/. */
#ifndef TAPUL_BASE_PICTURE_WARP_H
#define TAPUL_BASE_PICTURE_WARP_H

#include "base/picture.h"

G_BEGIN_DECLS

/* The new picture is worked on in square tiles. */
#define TAPUL_TILE_PX 32

/* Where a tile's pixels come from in the old picture; x is NAN where from nowhere. */
typedef struct {
    float x[TAPUL_TILE_PX * TAPUL_TILE_PX], y[TAPUL_TILE_PX * TAPUL_TILE_PX];
} TapulTilePlaces;

/* --- Where from (picture_field.c) --- */

/* The map on all pixel centres, kept coarse where it is even. */
typedef struct TapulField TapulField;

TapulField *tapul_field_new(int width_px, int height_px, TapulPictureMap map,
                            gconstpointer data, const TapulWarpOptions *options);
void tapul_field_free(TapulField *field);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulField, tapul_field_free)

void tapul_field_tile(const TapulField *field, int column, int row, TapulTilePlaces *places);
/* Of one pixel; also of those a few pixels beyond the picture. */
TapulVec2 tapul_field_pixel(const TapulField *field, int x_px, int y_px);
/* By how many old pixels a tile's places step to the right and down: the medians. */
void tapul_field_steps(const TapulField *field, int column, int row, double *right_px,
                       double *down_px);

/* --- The sampling (picture_sample.c) --- */

typedef struct TapulSampler TapulSampler;

TapulSampler *tapul_sampler_new(const TapulPixels *source, TapulKernel kernel);
void tapul_sampler_free(TapulSampler *sampler);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulSampler, tapul_sampler_free)

/* Rows of n pixels at x_px[rows][n], y_px[rows][n], n divisible by 4, each row stride bytes
 * behind the one before; clear beyond the source and at NAN. */
void tapul_sampler_take(const TapulSampler *sampler, const float *x_px, const float *y_px,
                        int n, int rows, guint8 *rgba, gsize stride);

/* The kernel's value `away` pixels from its middle, and where it ends. */
double tapul_kernel_value(TapulKernel kernel, double away);
int tapul_kernel_radius(TapulKernel kernel);

G_END_DECLS

#endif
