/* The planes of the three geometries: where a print is placed by a linear map or a spline, and
 * from where the geometry carries it to the metal. */
#ifndef EVIDENCE_PLANE_H
#define EVIDENCE_PLANE_H

#include "evidence/sitting.h"
#include "laying/geodesic.h"

G_BEGIN_DECLS

typedef struct {
    TapulGround ground;
    TapulLayingRule geometry; /* viewed, developed, rolled */
    TapulGeodesicChart chart; /* rolled: about the pressing point */
} TapulPlane;

/* anchor: the pressing point of rolled; of the others not read. */
TapulPlane tapul_plane(const TapulGround *ground, TapulLayingRule geometry, TapulSpot anchor);

/* A point of the plane on the metal. FALSE off the plate. Safe from several threads. */
gboolean tapul_plane_spot(const TapulPlane *plane, TapulVec2 plane_mm, TapulSpot *spot);

/* Where a spot lies in the plane. Behind a notch of the edge, or in the cleft of a ridge, where
 * no geodesic comes, the nearest place that one does come to. */
TapulVec2 tapul_plane_point(const TapulPlane *plane, TapulSpot spot);

/* The derivatives of the map to the metal at a spot that lies at plane_mm. */
void tapul_plane_derivatives(const TapulPlane *plane, TapulSpot spot, TapulVec2 plane_mm,
                             TapulVec3 *by_x, TapulVec3 *by_y);

static inline TapulPlaneMetric tapul_plane_metric(TapulVec3 by_x, TapulVec3 by_y) {
    return (TapulPlaneMetric){tapul_vec3_dot(by_x, by_x), tapul_vec3_dot(by_x, by_y),
                              tapul_vec3_dot(by_y, by_y)};
}

G_END_DECLS

#endif
