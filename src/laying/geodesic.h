/* Geodesics of the smooth surface behind a mesh, and the polar map they make about an anchor.
 */
#ifndef LAYING_GEODESIC_H
#define LAYING_GEODESIC_H

#include <tapul/mesh.h>

G_BEGIN_DECLS

/* Where a geodesic has come to: the spot, and its unit direction there, perpendicular to the
 * normal. */
typedef struct {
    TapulSpot spot;
    TapulVec3 direction;
} TapulGeodesicEnd;

/* Follows the geodesic from `from` along the unit tangent from.direction over length_mm. FALSE
 * where it leaves the mesh; *end is then the last spot on it. The lengths are those of the
 * smooth surface. */
gboolean tapul_geodesic_trace(const TapulMesh *mesh, TapulGeodesicEnd from, double length_mm,
                              TapulGeodesicEnd *end);

/* The tangent plane at an anchor: y is the plate's +y seen from outside, x to the right of it.
 */
typedef struct {
    const TapulMesh *mesh; /* borrowed */
    TapulSpot anchor;
    TapulVec3 x_axis, y_axis;
} TapulGeodesicChart;

TapulGeodesicChart tapul_geodesic_chart(const TapulMesh *mesh, TapulSpot anchor);

/* The polar (exponential) map: a point of the tangent plane to the end of the geodesic that
 * starts towards it and is as long as it is far. FALSE where the geodesic leaves the mesh. */
gboolean tapul_geodesic_forward(const TapulGeodesicChart *chart, TapulVec2 point_mm,
                                TapulGeodesicEnd *end);

/* The same with the map's derivatives by the two coordinates, tangent vectors of the surface.
 */
gboolean tapul_geodesic_differential(const TapulGeodesicChart *chart, TapulVec2 point_mm,
                                     TapulGeodesicEnd *end, TapulVec3 *by_x, TapulVec3 *by_y);

/* The step in a plane that moves a point of the metal by `gap`, in the sense of least squares,
 * given the derivatives of the map by the plane's coordinates: Newton's. */
TapulVec2 tapul_geodesic_newton_step(TapulVec3 by_x, TapulVec3 by_y, TapulVec3 gap);

/* The inverse by Newton's method from a guess, to 0.005 mm over the metal. Where the map folds
 * (beyond a ridge that bulges) it is one of the points that lead to the spot. FALSE where no
 * geodesic from the anchor was found to reach it: behind a notch of the edge, or in the cleft
 * that a ridge opens. */
gboolean tapul_geodesic_inverse(const TapulGeodesicChart *chart, TapulSpot spot,
                                TapulVec2 guess_mm, TapulVec2 *point_mm);

G_END_DECLS

#endif
