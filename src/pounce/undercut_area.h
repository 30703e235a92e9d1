/* The metal that undercut takes beside an edge of the resist. Internal to pounce/. */
#ifndef TAPUL_POUNCE_UNDERCUT_AREA_H
#define TAPUL_POUNCE_UNDERCUT_AREA_H

#include "pounce/metal_area.h"

G_BEGIN_DECLS

/* An edge that a bite goes under. */
typedef struct {
    const GEOSGeometry *shape; /* areas of which the edge is */
    gboolean bare;             /* the shape is bare; else it is the resist */
    double undercut_mm;
} TapulUndercutEdge;

/* Over the metal, of what lies in the box and on the paper (NULL: all of the box): how much
 * more is bitten than is bare. The bare metal nowhere turns into the resist more sharply than a
 * circle of the undercut (it is what is left of wanted metal after so much was taken off): then
 * the strip beside it is its length times the undercut, and a sector at each turn (J. Steiner
 * 1840, of convex bodies; H. Federer 1959, of those of positive reach). */
double tapul_undercut_area_mm2(const TapulMetalScale *scale, GEOSContextHandle_t geos,
                               const TapulUndercutEdge *edge, TapulBox box,
                               const GEOSGeometry *paper);

G_END_DECLS

#endif
