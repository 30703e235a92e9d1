/* How far over the metal it is from where a hypothesis puts a point to where it was found. */
#ifndef EVIDENCE_RESIDUAL_H
#define EVIDENCE_RESIDUAL_H

#include "evidence/placement.h"

G_BEGIN_DECLS

/* The way over the metal between two spots, and, unless NULL, its parts along two axes square
 * to each other in the tangent plane at `from`. Without a geodesic: the chord, made longer by
 * how much the normals turn along it; of a circle that is the arc. Within 5 mm it is off by
 * less than 0.001 mm on any smooth plate, by 4 % over a ridge that bends by 40 degrees. */
double tapul_metal_arc_mm(const TapulMesh *mesh, TapulSpot from, TapulSpot to,
                          double along_mm[2]);

/* The same; from 5 to 50 mm by the geodesic, if one is found. */
double tapul_metal_distance_mm(const TapulMesh *mesh, TapulSpot from, TapulSpot to);

/* The residual of pair k of a sitting put at put_mm in its plane; where the plane's map leaves
 * the plate, by the metric where the pair was found, and *off is set. developed_mm: where it
 * lies in the development; off the plate, continued from the found spot. */
double tapul_pair_residual_mm(const TapulPairSet *pairs, const TapulPlane *plane,
                              const TapulSitting *sitting, int k, TapulVec2 put_mm,
                              gboolean *off, TapulVec2 *developed_mm);

G_END_DECLS

#endif
