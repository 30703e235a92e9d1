/* Flattenings that need no start. */
#ifndef TAPUL_DEVELOP_CONFORMAL_H
#define TAPUL_DEVELOP_CONFORMAL_H

#include "develop/laplacian.h"

G_BEGIN_DECLS

/* What the stages of one development share. */
typedef struct {
    TapulRest *rest;
    TapulLaplacian *laplacian; /* of the mesh's own edges: its order serves all later systems */
    int *loop; /* [n_loop] vertices of the plate's edge, the metal on the left */
    int n_loop;
    gboolean *on_edge; /* [n_vertices] */
} TapulFlattening;

TapulFlattening *tapul_flattening_new(const TapulMesh *mesh);
void tapul_flattening_free(TapulFlattening *flattening);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulFlattening, tapul_flattening_free)

/* [n_vertices] sums of angles: 2 pi less their sum is the curvature of an inner vertex, pi less
 * it the turn of the edge; owned. */
double *tapul_rest_angle_sums_rad(const TapulRest *rest);

/* The conformal map with least area distortion: lengths along the edge are kept. Writes
 * flat_mm[n_vertices]; FALSE if the system cannot be solved or the edge cannot be closed. The
 * map may have flipped triangles where the mesh is bad. */
gboolean tapul_flatten_conformal(const TapulFlattening *flattening, TapulVec2 *flat_mm);

/* The edge on a circle by arc length, each inner vertex at the mean of its neighbours: never
 * flipped, much stretched (Tutte 1963). */
gboolean tapul_flatten_tutte(const TapulFlattening *flattening, TapulVec2 *flat_mm);

G_END_DECLS

#endif
