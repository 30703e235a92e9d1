/* Lines drawn into a mesh, so that they run along its edges, and the mesh taken apart along
 * them: what cuts, darts and gores are made of. */
#ifndef TAPUL_PLATE_IMPRINT_H
#define TAPUL_PLATE_IMPRINT_H

#include <tapul/plate.h>

G_BEGIN_DECLS

/* A mesh into which lines have been drawn. The surface is the same: triangles are only divided,
 * and corner normals are interpolated. */
typedef struct {
    TapulMesh *mesh;
    int *parent;            /* [n_triangles] the triangle of the mesh drawn into */
    double (*weight)[3][3]; /* [n_triangles][corner] barycentric weights in the parent */
    GPtrArray *chains;      /* of GArray of int: the vertices along each line, in order */
} TapulImprint;

/* Between two of its points a line is the cut by the plane through both that holds the mean of
 * their normals. Ends within reach_mm of the mesh's edge or of another line are carried on to
 * it, whichever is nearer. Where a line passes nearer to a vertex than a twentieth of an edge
 * it goes through the vertex. Lines may cross, meet, and run along each other. Error: VALUE,
 * where a line leaves the metal between two points, crosses itself, has no length or hangs on
 * no edge; the message tells the line (counted from 1), and at_fault, unless NULL, receives it
 * (from 0; -1: none in particular). */
TapulImprint *tapul_mesh_imprint(const TapulMesh *mesh, const TapulCutLine *line, int n_lines,
                                 double reach_mm, int *at_fault, GError **error);
void tapul_imprint_free(TapulImprint *imprint);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulImprint, tapul_imprint_free)

/* One part of a mesh that was taken apart. */
typedef struct {
    TapulMesh *mesh;
    int *triangle; /* [n_triangles] of the imprint's mesh */
    int *vertex; /* [n_vertices] of the imprint's mesh; a vertex on a cut has several copies */
} TapulMeshPart;

/* The mesh opened along all chains: a GPtrArray of TapulMeshPart*, owned, in the order of their
 * first triangle; triangles keep their order. */
GPtrArray *tapul_imprint_parts(const TapulImprint *imprint, GError **error);

G_END_DECLS

#endif
