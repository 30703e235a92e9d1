/* Areas over the metal of what is drawn on paper. Internal to pounce/. */
#ifndef TAPUL_POUNCE_METAL_AREA_H
#define TAPUL_POUNCE_METAL_AREA_H

#include "pounce/shapes.h"

#include <tapul/pattern.h>

G_BEGIN_DECLS

/* How much metal lies under a square millimetre of a piece's paper, as a grid. */
typedef struct TapulMetalScale TapulMetalScale;
TapulMetalScale *tapul_metal_scale_new(const TapulPiece *piece);
void tapul_metal_scale_free(TapulMetalScale *scale);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulMetalScale, tapul_metal_scale_free)

double tapul_metal_scale_at(const TapulMetalScale *scale, TapulVec2 paper_mm);
/* The metal under a shape that lies on the paper; the whole paper gives the mesh's own area.
 * Its error is that of taking the scale as even over a cell of 4 mm: 1e-4 of the area. Safe
 * from several threads. */
double tapul_metal_area_mm2(const TapulMetalScale *scale, GEOSContextHandle_t geos,
                            const GEOSGeometry *shape);

G_END_DECLS

#endif
