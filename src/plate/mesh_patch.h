/* The cubic patch over a triangle, shared by everything that measures on the smooth surface. */
#ifndef TAPUL_MESH_PATCH_H
#define TAPUL_MESH_PATCH_H

#include <tapul/mesh.h>

G_BEGIN_DECLS

/* Bezier control points of a curved PN triangle, in mm. */
typedef struct {
    TapulVec3 edge[3][3]; /* edge[i][j]: on the side from corner i to j, next to i; edge[i][i]
                             is corner i */
    TapulVec3 centre;
} TapulMeshPatch;

/* Vlachos, Peters, Boyd & Mitchell 2001, eq. 1-3. Where two triangles meet with different
 * normals (a crease) the side leaves the corner along the line both tangent planes share, so
 * that neighbouring patches meet in one curve there too. */
void tapul_mesh_patch_set(TapulMeshPatch *patch, const TapulMesh *mesh, int triangle);

TapulVec3 tapul_mesh_patch_position_mm(const TapulMeshPatch *patch, const double weight[3]);

G_END_DECLS

#endif
