/* One triangle of a mesh as a piece of the smooth surface: what a geodesic needs of it. */
#ifndef LAYING_FACET_H
#define LAYING_FACET_H

#include "plate/mesh_patch.h"

G_BEGIN_DECLS

/* The cubic patch over a triangle, and its corner normals. */
typedef struct {
    TapulMeshPatch surface;
    TapulVec3 normal[3];
} TapulFacet;

void tapul_facet_set(TapulFacet *facet, const TapulMesh *mesh, int triangle);

/* The unit normal, linear in the corner normals, continuous over every edge that is not a
 * crease. */
TapulVec3 tapul_facet_normal(const TapulFacet *facet, const double weight[3]);

/* The motion of the facet's point at given rates of its weights (which sum to 0). */
TapulVec3 tapul_facet_tangent(const TapulFacet *facet, const double weight[3],
                              const double rate[3]);

/* The rates of the barycentric weights under which the facet's point moves along a tangent
 * vector. What the facet's own plane and the normal disagree about is taken along the normal,
 * so that two patches agree on which side of their common edge a direction points. */
void tapul_facet_rates(const TapulFacet *facet, const double weight[3], TapulVec3 normal,
                       TapulVec3 tangent, double rate[3]);

/* Barycentric rates of the surface's motion along a tangent vector at a spot. */
void tapul_facet_spot_rates(const TapulMesh *mesh, TapulSpot spot, TapulVec3 tangent,
                            double rates[3]);

G_END_DECLS

#endif
