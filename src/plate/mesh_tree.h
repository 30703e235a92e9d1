/* The tree of boxes over a mesh, as the searches that go down it see it. */
#ifndef TAPUL_MESH_TREE_H
#define TAPUL_MESH_TREE_H

#include <tapul/mesh.h>

G_BEGIN_DECLS

/* No tree is deeper: 60 levels of split by cost, then halving by count, at most 31 times. */
#define TAPUL_MESH_TREE_SPLIT_DEPTH 60
#define TAPUL_MESH_TREE_STACK       (TAPUL_MESH_TREE_SPLIT_DEPTH + 40)

typedef struct {
    double min[3], max[3];
} TapulBox3;

/* Inner nodes have n_triangles 0 and their children at first and first + 1; leaves name their
 * triangles order[first] to order[first + n_triangles - 1]. */
typedef struct {
    TapulBox3 box;
    int first, n_triangles;
} TapulTreeNode;

struct TapulMeshTree {
    const TapulMesh *mesh;
    TapulTreeNode *node; /* [n_nodes], the root first */
    int n_nodes;
    int *order;     /* [n_triangles] */
    double size_mm; /* the largest coordinate, without sign */
};

static inline void tapul_vec3_unpack(TapulVec3 p, double out[3]) {
    out[0] = p.x;
    out[1] = p.y;
    out[2] = p.z;
}

G_END_DECLS

#endif
