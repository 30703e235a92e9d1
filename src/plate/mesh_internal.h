/* What the files of a mesh share: triangle tests, turning about a vertex, making the
 * neighbours. */
#ifndef TAPUL_MESH_INTERNAL_H
#define TAPUL_MESH_INTERNAL_H

#include <tapul/mesh.h>

G_BEGIN_DECLS

/* Coordinates beyond this cannot be a plate's, and their products would lose the last digits.
 */
#define TAPUL_MESH_COORDINATE_LIMIT_MM 1e9

/* Triangle corners are counted 0, 1, 2 counter-clockwise. */
static inline int tapul_mesh_next_corner(int k) {
    return k == 2 ? 0 : k + 1;
}
static inline int tapul_mesh_previous_corner(int k) {
    return k == 0 ? 2 : k - 1;
}

/* A corner of a triangle; triangle -1 means none. */
typedef struct {
    int triangle, k;
} TapulCorner;

/* The corner at the same vertex one triangle further counter-clockwise (clockwise) about it,
 * seen from outside; none over an edge of the mesh. */
TapulCorner tapul_mesh_turn_left(const TapulMesh *mesh, TapulCorner corner);
TapulCorner tapul_mesh_turn_right(const TapulMesh *mesh, TapulCorner corner);

/* TRUE if the triangle has no area beyond rounding: its height over its longest side is below
 * 1e-12 of that side, where the direction of its normal is noise. */
gboolean tapul_mesh_is_degenerate(TapulVec3 a, TapulVec3 b, TapulVec3 c);

/* Twice the area along the outward normal of a triangle. */
TapulVec3 tapul_mesh_face_vector(const TapulMesh *mesh, int triangle);
/* The inner angle at corner k, 0 to pi. */
double tapul_mesh_corner_angle_rad(const TapulMesh *mesh, int triangle, int k);

/* Fills across[]. Errors: NOT_MANIFOLD. */
gboolean tapul_mesh_connect(TapulMesh *mesh, GError **error);

G_END_DECLS

#endif
