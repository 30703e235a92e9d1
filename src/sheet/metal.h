/* The plate's metal drawn in grey wash. Internal to sheet/. */
#ifndef TAPUL_SHEET_METAL_H
#define TAPUL_SHEET_METAL_H

#include "sheet/raster.h"

typedef enum {
    TAPUL_METAL_BRIGHT,   /* polished, drawn light: ink over it reads */
    TAPUL_METAL_PALE,     /* the same lighter still: coloured ink over it reads */
    TAPUL_METAL_BLACKENED /* an etched ground, dark */
} TapulMetal;

/* The tone of polished metal, 0 dark to 1 light, for a unit normal in the seen frame. */
double tapul_metal_tone(TapulVec3 normal);

/* A shaded picture: seen_mm[n_vertices] are the mesh's vertices in the seen frame, axis its
 * right, up and towards in the plate frame. */
TapulRaster *tapul_metal_draw(const TapulMesh *mesh, const TapulVec3 *seen_mm,
                              const TapulVec3 axis[3], double pixel_mm, TapulMetal metal);

#endif
