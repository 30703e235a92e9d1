/* A quick look at whether a piece's paper would lie over itself: at the edge of its conformal
 * map, which costs a twentieth of laying it flat. */
#include "develop/conformal.h"
#include "develop/overlap.h"
#include "develop/pattern_parts.h"

/* Sums of the angles of the flat triangles at each vertex; owned. */
static double *flat_angles_rad(const TapulMesh *mesh, const TapulVec2 *flat_mm) {
    double *angle_rad = g_new0(double, mesh->n_vertices);
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            const int *corner = mesh->corner[t];
            TapulVec2 apex = flat_mm[corner[k]];
            TapulVec2 a = tapul_vec2_sub(flat_mm[corner[(k + 1) % 3]], apex);
            TapulVec2 b = tapul_vec2_sub(flat_mm[corner[(k + 2) % 3]], apex);
            angle_rad[corner[k]] += atan2(tapul_vec2_cross(a, b), tapul_vec2_dot(a, b));
        }
    return angle_rad;
}

gboolean tapul_piece_overlaps(const TapulPiece *piece, int *vertex) {
    const TapulMesh *mesh = piece->mesh;
    g_autoptr(TapulFlattening) flattening = tapul_flattening_new(mesh);
    g_autofree TapulVec2 *flat_mm = g_new(TapulVec2, mesh->n_vertices);
    if (!tapul_flatten_conformal(flattening, flat_mm))
        return FALSE;
    g_autofree double *angle_rad = flat_angles_rad(mesh, flat_mm);
    return tapul_count_overlaps(flattening->n_loop, flattening->loop, flat_mm, angle_rad,
                                vertex) > 0;
}
