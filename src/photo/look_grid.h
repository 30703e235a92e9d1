/* What a photograph shows of all places of a rectified picture. Internal to photo/. */
#ifndef TAPUL_PHOTO_LOOK_GRID_H
#define TAPUL_PHOTO_LOOK_GRID_H

#include "photo/visible.h"

/* Looks at the nodes of a grid over the picture; node (i, j) lies at pixel (i step, j step). */
typedef struct {
    TapulEye eye;
    const TapulRectified *frame; /* borrowed: box, pixel and size */
    int step_px, columns, rows;
    TapulLook *node; /* [rows][columns] */
} TapulLookGrid;

TapulVec2 tapul_rectified_place(const TapulRectified *frame, TapulVec2 px);

TapulLookGrid *tapul_look_grid_new(const TapulEye *eye, const TapulRectified *frame);
void tapul_look_grid_free(TapulLookGrid *grid);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulLookGrid, tapul_look_grid_free)

/* Fills seen[height][width] and px_per_mm[height][width], of this photograph alone. Between
 * nodes that are seen alike both are interpolated; in other cells each pixel is looked at. */
void tapul_look_grid_fill(const TapulLookGrid *grid, guint8 *seen, float *px_per_mm);

/* Interpolates value[rows][columns] at a pixel's centre. */
float tapul_look_grid_value(const TapulLookGrid *grid, const float *value, int x_px, int y_px);
/* The plate's own normal there. */
TapulVec3 tapul_look_grid_normal(const TapulLookGrid *grid, int x_px, int y_px);

#endif
