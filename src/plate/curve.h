/* Interpolating cubic splines through points, with the not-a-knot end condition. */
#ifndef TAPUL_PLATE_CURVE_H
#define TAPUL_PLATE_CURVE_H

#include <tapul/vec.h>

G_BEGIN_DECLS

typedef struct TapulCurve TapulCurve;

/* Through value[n] at the ascending parameters[n], n >= 2; of lower degree for fewer than four
 * points. */
TapulCurve *tapul_curve_new(int n, const double *parameter, const TapulVec3 *value);
void tapul_curve_free(TapulCurve *curve);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulCurve, tapul_curve_free)
/* The point at a parameter within the given range. */
TapulVec3 tapul_curve_point(const TapulCurve *curve, double parameter);

G_END_DECLS

#endif
