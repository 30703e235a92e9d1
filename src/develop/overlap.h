/* Where a development's edge runs over itself. */
#ifndef TAPUL_DEVELOP_OVERLAP_H
#define TAPUL_DEVELOP_OVERLAP_H

#include <tapul/mesh.h>

G_BEGIN_DECLS

/* Counts crossings of the closed polygon flat_mm[loop[0..n_loop-1]] with itself, touching left
 * out, and vertices where the metal goes round more than once. The first is told by *vertex,
 * the loop's vertex nearest to it. angle_rad[n_vertices]: the metal's angle at each vertex. */
int tapul_count_overlaps(int n_loop, const int *loop, const TapulVec2 *flat_mm,
                         const double *angle_rad, int *vertex);

G_END_DECLS

#endif
