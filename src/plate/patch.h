/* A triangulated half of a plate: vertices with their place in the unit square, on the smooth
 * surface. */
#ifndef TAPUL_PLATE_PATCH_H
#define TAPUL_PLATE_PATCH_H

#include "plate/sizing.h"
#include "plate/surface.h"

G_BEGIN_DECLS

typedef struct {
    TapulVec2 uv;
    TapulVec3 at;   /* mm */
    gboolean fixed; /* on the region's edge */
} TapulPatchVertex;

typedef struct {
    int corner[3]; /* counter-clockwise in (u, v) */
    int across[3]; /* neighbour over the edge opposite corner k, or -1 */
} TapulPatchTriangle;

typedef struct {
    const TapulSurface *surface;
    int side;
    GArray *vertices;  /* of TapulPatchVertex */
    GArray *triangles; /* of TapulPatchTriangle */
} TapulPatch;

/* Triangulates the region within a loop (GArray of TapulTrimPoint) with edges as long as sizing
 * asks. */
TapulPatch *tapul_patch_new(const TapulSurface *surface, int side, const GArray *loop,
                            const TapulSizing *sizing, char **fault);
/* A regular grid over the whole square: n_across columns and n_up rows of cells; a row or
 * column end that shrinks to a point becomes one vertex. */
TapulPatch *tapul_patch_grid(const TapulSurface *surface, int side, int n_across, int n_up);
void tapul_patch_free(TapulPatch *patch);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulPatch, tapul_patch_free)

/* Within patch*.c: cuts edges longer than sizing asks, swaps edges until they are Delaunay on
 * the surface, and spreads the inner vertices evenly. */
void tapul_patch_refine(TapulPatch *patch, const TapulSizing *sizing);

G_END_DECLS

#endif
