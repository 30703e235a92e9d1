/* The intrinsic Delaunay triangulation of a mesh's surface. */
#ifndef TAPUL_DEVELOP_DELAUNAY_H
#define TAPUL_DEVELOP_DELAUNAY_H

#include "develop/laplacian.h"

G_BEGIN_DECLS

/* Cotangent weights of the same surface, triangulated so that none is negative: edges run
 * straight over the surface and need not be the mesh's own. Where the mesh is Delaunay already
 * they are those of tapul_edges_cotangent. */
TapulEdges *tapul_edges_delaunay(const TapulRest *rest);

G_END_DECLS

#endif
