/* Thin-plate splines: the bending of least energy that carries points of a plane to others. */
#ifndef LAYING_SPLINE_H
#define LAYING_SPLINE_H

#include <tapul/vec.h>

G_BEGIN_DECLS

/* f(p) = constant + by_x p.x + by_y p.y + sum over i of weight[i] U(|p - knot[i]|), U(r) = r^2
 * ln r^2. */
typedef struct {
    int n;
    TapulVec2 *knot, *weight; /* [n] */
    TapulVec2 constant, by_x, by_y;
} TapulSpline;

/* Carries from_mm[n] to to_mm[n], not all of from_mm on one line. Smoothing 0 passes through
 * the points; more trades misfit for bending, sum |misfit|^2 + smoothing * energy least;
 * INFINITY leaves the affine fit. NULL where two points coincide and smoothing is 0. */
TapulSpline *tapul_spline_new(int n, const TapulVec2 *from_mm, const TapulVec2 *to_mm,
                              double smoothing);
void tapul_spline_free(TapulSpline *spline);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulSpline, tapul_spline_free)

TapulVec2 tapul_spline_point(const TapulSpline *spline, TapulVec2 point_mm);
/* The point, and the derivatives by the two coordinates. */
TapulVec2 tapul_spline_differential(const TapulSpline *spline, TapulVec2 point_mm,
                                    TapulVec2 *by_x, TapulVec2 *by_y);
/* The bending energy of each coordinate, w' K w (Bookstein 1989). */
TapulVec2 tapul_spline_energy(const TapulSpline *spline);

/* The smoothing at which the misfit is what an error of sd_mm in each coordinate of to_mm
 * explains: its sum of squares is sd_mm^2 times the degrees of freedom the spline has left over
 * (Wahba 1990, 4.7). INFINITY where even the affine fit is that good; 0 for sd_mm = 0. */
double tapul_spline_smoothing(int n, const TapulVec2 *from_mm, const TapulVec2 *to_mm,
                              double sd_mm);

G_END_DECLS

#endif
