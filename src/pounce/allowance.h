/* Allowances: the strips of paper beyond seams, and what of the neighbour's paper they show.
 * Internal to pounce/. */
#ifndef TAPUL_POUNCE_ALLOWANCE_H
#define TAPUL_POUNCE_ALLOWANCE_H

#include <tapul/pattern.h>

G_BEGIN_DECLS

/* A strip along the left side of a seam, as a lattice of places: stations along the seam, and
 * from each of them places further and further out. A place d beyond the seam shows what lies d
 * within the neighbour's paper, both square to the seam. */
typedef struct {
    int seam, side;     /* of the pattern; its side that has the strip */
    int neighbour;      /* index of the piece whose design it shows; a dart: the piece itself */
    int stations, rows; /* rows of places: the first lies on the seam */
    double *along;      /* [stations] of seam->vertex: index and fraction */
    double *depth_mm;   /* [stations] */
    TapulVec2 *paper_mm; /* [stations * rows] station by station */
    TapulSpot *shown; /* [stations * rows] of the neighbour's mesh; on the seam: triangle -1 */
} TapulAllowance;

/* The piece's strips, along all seams that have it on their left: a GPtrArray of
 * TapulAllowance*, owned, in the seams' order. width_mm 0: none. A strip is narrower where its
 * full width would come nearer to other parts of its own piece than to its seam, or where the
 * neighbour ends. */
GPtrArray *tapul_allowances_new(const TapulPattern *pattern, int piece, double width_mm);

G_END_DECLS

#endif
