/* Triangles over a region, fine and even enough for a harmonic map. */
#ifndef LAYING_REGION_MESH_H
#define LAYING_REGION_MESH_H

#include "laying/region.h"

G_BEGIN_DECLS

typedef struct {
    int n_edge;     /* the first n_edge points are the outline's, in order */
    GArray *points; /* of TapulVec2 */
    GArray *square; /* of TapulVec2: where the outline's points go; [n_edge] */
    GArray *corner; /* of int, three a triangle, counter-clockwise */
    double spacing_mm;
} TapulRegionMesh;

/* A Delaunay triangulation of which no edge joins two points of one side but the outline's own:
 * else a part of the region would be flattened onto that side. NULL where the outline is too
 * fine or too narrow. */
TapulRegionMesh *tapul_region_mesh_new(const GArray *outline);
void tapul_region_mesh_free(TapulRegionMesh *mesh);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulRegionMesh, tapul_region_mesh_free)

G_END_DECLS

#endif
