/* Reading meshes from bytes, and what the readers of the four formats share. A reader fills a
 * soup of vertices and faces; the soup becomes a mesh. */
#ifndef TAPUL_MESH_READ_H
#define TAPUL_MESH_READ_H

#include <tapul/mesh.h>

G_BEGIN_DECLS

/* As tapul_mesh_read, from bytes[length], which need no closing NUL; name stands for the path.
 */
TapulMesh *tapul_mesh_read_bytes(const char *name, const char *bytes, gsize length,
                                 double mm_per_unit, GError **error);

/* A file while it is read. Faces keep where they stand, as their corners are only checked at
 * the end. */
typedef struct {
    const char *name, *bytes;
    gsize length;
    double mm_per_unit;
    gboolean by_byte; /* places are byte offsets, not lines */
    int first_number; /* what the format calls its first vertex, 0 or 1 */
    GArray *position; /* of TapulVec3 */
    GArray *index;    /* of int: the corners of all faces */
    GArray *face;     /* of TapulSoupFace */
} TapulSoup;

typedef struct {
    int first, n; /* corners index[first] to index[first + n - 1] */
    gsize place;
} TapulSoupFace;

/* Sets an error that names file and place; always FALSE. */
gboolean tapul_soup_fault(const TapulSoup *soup, GError **error, TapulMeshError code,
                          gsize place, const char *format, ...) G_GNUC_PRINTF(5, 6);

/* Refuses coordinates that are not finite or lie beyond +-1e9 mm. */
gboolean tapul_soup_add_vertex(TapulSoup *soup, const double xyz[3], gsize place,
                               GError **error);
void tapul_soup_begin_face(TapulSoup *soup, gsize place);
/* A corner of the face begun last; vertices count from 0. */
gboolean tapul_soup_add_corner(TapulSoup *soup, double vertex, GError **error);
/* Refuses the face begun last if it has fewer than three corners. */
gboolean tapul_soup_end_face(TapulSoup *soup, GError **error);

/* Cuts the polygon of n corners at the given positions into triangles, appended to `triangle`
 * as corner numbers (of int, 0 to n - 1), none if it has no area. FALSE if it crosses itself or
 * is too large to be cut. */
gboolean tapul_mesh_cut_polygon(int n, const TapulVec3 *position, GArray *triangle);
/* The most corners a face that is not convex may have: cutting takes the square of them. */
#define TAPUL_MESH_POLYGON_LIMIT 1000

/* Makes vertices that lie within 1e-6 of the bounding box's diagonal one. */
void tapul_soup_weld(TapulSoup *soup);
/* The mesh of all faces; the error names the face. */
TapulMesh *tapul_soup_finish(const TapulSoup *soup, GError **error);

gboolean tapul_mesh_read_obj(TapulSoup *soup, GError **error);
gboolean tapul_mesh_read_ply(TapulSoup *soup, GError **error);
gboolean tapul_mesh_read_stl_text(TapulSoup *soup, GError **error);
gboolean tapul_mesh_read_stl_binary(TapulSoup *soup, GError **error);
gboolean tapul_mesh_read_off(TapulSoup *soup, GError **error);

G_END_DECLS

#endif
