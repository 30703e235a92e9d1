/* Cuts of a mesh by a plane, as lines over the metal. */
#ifndef TAPUL_PLATE_CUT_H
#define TAPUL_PLATE_CUT_H

#include <tapul/mesh.h>

G_BEGIN_DECLS

/* Points p with dot(normal, p) = offset_mm. */
typedef struct {
    TapulVec3 normal;
    double offset_mm;
} TapulPlane;

/* One unbroken line of a cut: points, and the triangle between each point and the next. */
typedef struct {
    GArray *points;    /* of TapulVec3, mm; n */
    GArray *triangles; /* of int; n - 1 */
    GArray *along_mm;  /* of double: length from the first point; n */
} TapulCut;

/* The whole line of the cut that passes through a triangle; NULL if the plane does not cut it.
 */
TapulCut *tapul_cut_through(const TapulMesh *mesh, TapulPlane plane, int triangle);
/* The line that passes a spot on the plane, which may lie on an edge or a vertex; *along_mm is
 * where. */
TapulCut *tapul_cut_at(const TapulMesh *mesh, TapulPlane plane, TapulSpot spot,
                       double *along_mm);
void tapul_cut_free(TapulCut *cut);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulCut, tapul_cut_free)

void tapul_cut_reverse(TapulCut *cut);
/* A cut that comes round to its own beginning is made to begin and end opposite the place
 * along_mm, which becomes its middle; others stay as they are. */
void tapul_cut_centre(const TapulMesh *mesh, TapulCut *cut, double *along_mm);
double tapul_cut_length_mm(const TapulCut *cut);
/* The segment that holds a length along the cut, and the share of it before that length. */
guint tapul_cut_segment(const TapulCut *cut, double along_mm, double *share);
/* The spot and point at a length along the cut, which is clamped to it. */
TapulSpot tapul_cut_spot(const TapulMesh *mesh, const TapulCut *cut, double along_mm);
TapulVec3 tapul_cut_point_mm(const TapulCut *cut, double along_mm);

G_END_DECLS

#endif
