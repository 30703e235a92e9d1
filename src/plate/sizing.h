/* How long the edges of a plate's mesh should be, so that its flat triangles keep to the chord
 * error. */
#ifndef TAPUL_PLATE_SIZING_H
#define TAPUL_PLATE_SIZING_H

#include "plate/surface.h"

G_BEGIN_DECLS

typedef struct TapulSizing TapulSizing;

TapulSizing *tapul_sizing_new(const TapulSurface *surface, double chord_error_mm);
void tapul_sizing_free(TapulSizing *sizing);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulSizing, tapul_sizing_free)
/* The wanted edge length in mm; on the medial line the same for both sides. */
double tapul_sizing_edge_mm(const TapulSizing *sizing, int side, TapulVec2 uv);

G_END_DECLS

#endif
