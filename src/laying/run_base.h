/* What a border follows: the plate's edge or a given line, and the line beside it at a geodesic
 * offset, which is where the border's middle runs. */
#ifndef LAYING_RUN_BASE_H
#define LAYING_RUN_BASE_H

#include "laying/run_line.h"

#include <tapul/laying.h>

G_BEGIN_DECLS

/* A point of the line that is followed. */
typedef struct {
    TapulSpot spot;
    gboolean off_edge; /* of an edge: a corner was rounded off here */
} TapulRunBase;

/* The line whose points are offset_mm (negative: to the right) from the followed line, by
 * geodesics square to it. Where the followed line turns away from it in a corner it goes round
 * the corner in an arc. bases: GArray of TapulRunBase. NULL if too little of it is on the
 * metal. */
TapulRunLine *tapul_run_line_beside(const TapulMesh *mesh, const GArray *bases, gboolean closed,
                                    double offset_mm);

/* The plate's edge, the metal on the left, with its corners rounded off so that what runs
 * within reach_mm of it never turns back on itself: one closed line. GArray of TapulRunBase;
 * NULL where the plate is nowhere twice reach_mm wide. */
GArray *tapul_run_edge(const TapulGround *ground, double reach_mm, GError **error);
/* The ends of a plate that closes on itself: its edge without its seam. GPtrArray of GArray of
 * TapulRunBase, each from the seam round to the seam. */
GPtrArray *tapul_run_ends(const TapulGround *ground);

/* A line through points of the plate, straight between them in the development with corners
 * rounded to reach_mm, or smooth. GArray of TapulRunBase. */
GArray *tapul_run_given(const TapulGround *ground, int n_points, const TapulSpot *points,
                        gboolean smooth, double reach_mm, GError **error);

G_END_DECLS

#endif
