/* Triangle meshes in space: the plate's surface as the rest of the library sees it.
 *
 * A mesh is made once and not changed. Triangles wind counter-clockwise seen from outside.
 * Every edge belongs to one triangle (an edge of the plate) or two. */
#ifndef TAPUL_MESH_H
#define TAPUL_MESH_H

#include <tapul/vec.h>

G_BEGIN_DECLS

#define TAPUL_MESH_ERROR (tapul_mesh_error_quark())
GQuark tapul_mesh_error_quark(void);

typedef enum {
    TAPUL_MESH_ERROR_FILE,         /* missing, unreadable, unknown format */
    TAPUL_MESH_ERROR_SYNTAX,       /* malformed: the message names file and line (or byte) */
    TAPUL_MESH_ERROR_VALUE,        /* not a number, infinite, index out of range */
    TAPUL_MESH_ERROR_EMPTY,        /* no faces */
    TAPUL_MESH_ERROR_NOT_MANIFOLD, /* an edge of three faces, or faces wound against each other */
    TAPUL_MESH_ERROR_NOT_A_DISC    /* several pieces, closed, holes, handles */
} TapulMeshError;

typedef struct {
    int n_vertices, n_triangles;
    TapulVec3 *position_mm;   /* [n_vertices] */
    int (*corner)[3];         /* [n_triangles][3] vertex indices */
    int (*across)[3];         /* [n_triangles][3] the triangle over the edge opposite corner k; -1: none */
    TapulVec3 (*normal)[3];   /* [n_triangles][3] unit outward normals of the smooth surface at each corner;
                                 corners that share a vertex differ only across a crease */
} TapulMesh;

/* A point of a mesh: triangle and barycentric weights (sum 1, none below 0 beyond rounding). */
typedef struct {
    int triangle;
    double weight[3];
} TapulSpot;

/* Makes a mesh from copies of position_mm[n_vertices] and corner[n_triangles][3]. Vertices that no triangle
 * uses are dropped. Normals are estimated (tapul_mesh_estimate_normals with a crease angle of 40 degrees).
 * Errors: VALUE (index out of range, coordinate not finite or beyond 1e9 mm), EMPTY, NOT_MANIFOLD (edge of
 * three faces, neighbours wound against each other, degenerate triangles of zero area, a vertex where two fans
 * meet). */
TapulMesh *tapul_mesh_new(int n_vertices, const TapulVec3 *position_mm, int n_triangles,
                          const int (*corner)[3], GError **error);
void tapul_mesh_free(TapulMesh *mesh);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulMesh, tapul_mesh_free)

/* Reads OBJ, PLY (ascii, both binary orders), STL (ascii, binary) or OFF, told apart by content first and
 * name second; mm_per_unit > 0 scales coordinates to mm. Polygons are cut into triangles; STL corners within
 * 1e-6 of the bounding box's diagonal are welded, duplicate and zero-area facets are dropped.
 * Files of up to 512 MiB are read, and faces that are not convex of up to 1000 corners.
 * Errors name the file and the line (or byte offset), the offending value and what was expected. */
TapulMesh *tapul_mesh_read(const char *path, double mm_per_unit, GError **error);

/* Writes an OBJ whose v is the mesh and, unless flat_mm is NULL, whose vt is flat_mm[n_vertices]; all in mm,
 * nine significant digits. The file appears whole or not at all. */
gboolean tapul_mesh_write_obj(const TapulMesh *mesh, const TapulVec2 *flat_mm, const char *path,
                              GError **error);

/* Fails with NOT_A_DISC unless the mesh is one piece with one boundary loop and no handle; the message tells
 * which: pieces counted, closed, a tube (two loops: 'cut it open along a line'), holes counted, handles. */
gboolean tapul_mesh_check_disc(const TapulMesh *mesh, GError **error);

/* Boundary loops, each a GArray of int vertex indices in the order that keeps the metal on the left seen from
 * outside; the longest (in mm) first. Free with g_ptr_array_unref. */
GPtrArray *tapul_mesh_boundary_loops(const TapulMesh *mesh);

/* Angle-weighted corner normals (Thuermer & Wuethrich 1998); edges that bend by more than
 * crease_angle_rad are creases, over which normals are not averaged. */
void tapul_mesh_estimate_normals(TapulMesh *mesh, double crease_angle_rad);

/* Area-weighted sums over the mesh. */
double tapul_mesh_area_mm2(const TapulMesh *mesh);
double tapul_mesh_triangle_area_mm2(const TapulMesh *mesh, int triangle);
/* Sum of angle defects of interior vertices: the integral of Gauss curvature (Gauss-Bonnet). */
double tapul_mesh_total_curvature_rad(const TapulMesh *mesh);

/* Unit normal of a flat triangle. */
TapulVec3 tapul_mesh_face_normal(const TapulMesh *mesh, int triangle);
/* The flat triangle's point. */
TapulVec3 tapul_mesh_flat_position_mm(const TapulMesh *mesh, TapulSpot spot);
/* The smooth surface's point: the triangle bulged by its corner normals (curved PN triangles: Vlachos,
 * Peters, Boyd & Mitchell 2001, eq. 1-3). Within the mesh's chord error of the flat point and, on a smooth
 * surface, nearer to it by one order of the edge length. Neighbours meet without a gap, at creases too: there
 * a side leaves its corner along the line that both tangent planes share. */
TapulVec3 tapul_mesh_smooth_position_mm(const TapulMesh *mesh, TapulSpot spot);
/* Corner normals interpolated and made unit. */
TapulVec3 tapul_mesh_smooth_normal(const TapulMesh *mesh, TapulSpot spot);

/* A search tree over the triangles (axis-parallel bounding boxes). It borrows the mesh. */
typedef struct TapulMeshTree TapulMeshTree;
TapulMeshTree *tapul_mesh_tree_new(const TapulMesh *mesh);
void tapul_mesh_tree_free(TapulMeshTree *tree);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulMeshTree, tapul_mesh_tree_free)
/* Nearest point of the flat triangles. Returns the distance in mm. Safe from several threads. */
double tapul_mesh_tree_nearest(const TapulMeshTree *tree, TapulVec3 point_mm, TapulSpot *spot);
/* First triangle met by the ray origin + t direction, t >= 0, from either side; FALSE if none.
 * Safe from several threads. */
gboolean tapul_mesh_tree_first_hit(const TapulMeshTree *tree, TapulVec3 origin_mm, TapulVec3 direction,
                                   TapulSpot *spot, double *t);

G_END_DECLS

#endif
