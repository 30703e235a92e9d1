/* The points of a line that is drawn into a mesh, as vertices, and where its ends are carried
 * to. Internal to imprint*.c. */
#ifndef TAPUL_PLATE_IMPRINT_ENDS_H
#define TAPUL_PLATE_IMPRINT_ENDS_H

#include "plate/imprint.h"
#include "plate/imprint_draft.h"

G_BEGIN_DECLS

/* Nearer to a vertex than this share of an edge, a line goes through the vertex: thinner
 * triangles would spoil the development. */
#define TAPUL_SNAP_SHARE 0.05

/* How many of a line's two ends lie within reach_mm of the mesh's edge or of a line drawn so
 * far. */
int tapul_imprint_held_ends(const TapulDraft *draft, const TapulCutLine *line, double reach_mm);
/* The vertices at the line's points, made where there are none, its ends carried on: a GArray
 * of int, no two neighbours alike. */
GArray *tapul_imprint_stations(TapulDraft *draft, const TapulCutLine *line, double reach_mm);

G_END_DECLS

#endif
