/* The stretch energy of a development, its gradient and its curvature. */
#ifndef TAPUL_DEVELOP_ENERGY_H
#define TAPUL_DEVELOP_ENERGY_H

#include "develop/laplacian.h"

G_BEGIN_DECLS

/* An edge that is to have a length in the plane. */
typedef struct {
    int from, to;     /* vertices */
    double length_mm; /* > 0 */
} TapulHeldEdge;

/* The area-weighted mean of (s1^p + s2^p + s1^-p + s2^-p) / unit^p, with p = 2^doublings. With
 * p = 2 and unit 1 it is the symmetric Dirichlet energy; the larger p, the more the worst place
 * counts. Infinite where a triangle is flipped. */
typedef struct {
    const TapulRest *rest; /* borrowed */
    int doublings;         /* 1 to 20 */
    double unit;           /* about the largest stretch, so that the powers stay in range */
    int n_held;
    const TapulHeldEdge
        *held; /* [n_held] borrowed; each adds stiffness (length / wanted - 1)^2 */
    double stiffness;
    double *share;        /* [n_triangles] work space */
    TapulVec2 (*pull)[3]; /* [n_triangles][3] work space */
} TapulStretchEnergy;

TapulStretchEnergy *tapul_stretch_energy_new(const TapulRest *rest);
void tapul_stretch_energy_free(TapulStretchEnergy *energy);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulStretchEnergy, tapul_stretch_energy_free)

/* Of the held edges alone; adds to gradient unless NULL. */
double tapul_held_edges_value(const TapulStretchEnergy *energy, const TapulVec2 *flat_mm,
                              TapulVec2 *gradient);
void tapul_held_edges_curvature(const TapulStretchEnergy *energy, const TapulVec2 *flat_mm,
                                TapulSparse *curvature);

/* The value and, unless NULL, gradient[n_vertices]. The same on any number of threads. */
double tapul_stretch_energy_value(TapulStretchEnergy *energy, const TapulVec2 *flat_mm,
                                  TapulVec2 *gradient);

/* The pattern of the curvature: unknown 2 v is x of vertex v, 2 v + 1 its y. */
TapulSparse *tapul_stretch_energy_pattern(const TapulEdges *edges);
/* Where each triangle's 2 x 2 block for corners k + 1 and k + 2 begins: the two columns. */
typedef struct {
    int column[2];
    gboolean transposed; /* the block's rows belong to corner k + 1 */
} TapulBlockPlace;
/* place[n_triangles][3] */
TapulBlockPlace (*tapul_stretch_energy_places(const TapulRest *rest,
                                              const TapulSparse *pattern))[3];
/* Writes the curvature with each triangle's negative part left out. */
void tapul_stretch_energy_curvature(const TapulStretchEnergy *energy, const TapulVec2 *flat_mm,
                                    const TapulBlockPlace (*place)[3], TapulSparse *curvature);

/* The least factor > 0 by which direction_mm may be taken before a triangle loses its area;
 * INFINITY if none does. */
double tapul_rest_flat_step(const TapulRest *rest, const TapulVec2 *flat_mm,
                            const TapulVec2 *direction_mm);

G_END_DECLS

#endif
