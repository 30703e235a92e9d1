/* What the files of the marks share: places along seams, places for crosses, and tapes between
 * them. Internal to pounce/. */
#ifndef TAPUL_POUNCE_MARKS_PARTS_H
#define TAPUL_POUNCE_MARKS_PARTS_H

#include "pounce/chart.h"
#include "pounce/parts.h"

G_BEGIN_DECLS

/* --- Seams. A place along one is vertex index and fraction: 2.25; the same on both papers. ---
 */

/* On the paper of its left side; pattern.h holds both sides at one length. */
double tapul_seam_length_mm(const TapulPattern *pattern, const TapulSeam *seam);
double tapul_seam_along(const TapulPattern *pattern, const TapulSeam *seam, double at_mm);
TapulVec2 tapul_seam_point_mm(const TapulPattern *pattern, const TapulSeam *seam, int side,
                              double along);
/* How many notches a seam of this length has: they stand in the middles of as many equal parts.
 */
int tapul_seam_notches(double length_mm);
/* Where the i-th of them stands. */
double tapul_seam_notch_along(const TapulPattern *pattern, const TapulSeam *seam, int i, int n);
/* Adds a piece's notches on all seams. */
void tapul_pounce_notches(const TapulPattern *pattern, TapulPouncePiece *piece);

/* --- Places of crosses --- */

typedef struct {
    TapulSpot spot;    /* of the plate's mesh */
    TapulVec2 base_mm; /* in the development of the plate as a whole */
    int seam;          /* of the pattern, if it lies on one, else -1 */
    double along;      /* of that seam */
} TapulCrossPlace;

/* What places are looked for on. */
typedef struct {
    const TapulCase *question;
    const TapulPattern *pattern;
    GPtrArray *charts; /* [pieces of the pattern] of GPtrArray of TapulChart* (chart.h) */
    GPtrArray *edge;   /* [pieces of the pattern] of GArray of TapulVec2: outlines on paper */
} TapulMarkGround;

/* The plate's spot of a spot of a piece's mesh. */
TapulSpot tapul_piece_plate_spot(const TapulPiece *piece, TapulSpot spot);
/* How far a point of a piece's paper is from its edge. */
double tapul_mark_inside_mm(const TapulMarkGround *ground, int piece, TapulVec2 paper_mm);
/* Where a piece's own paper shows a place: the count, 0 to 2; both sides of a dart do. */
int tapul_mark_on_paper(const TapulMarkGround *ground, const TapulCrossPlace *place, int piece,
                        TapulVec2 paper_mm[2]);

/* All places, in the order of their numbers: a GArray of TapulCrossPlace, owned. */
GArray *tapul_cross_places(const TapulMarkGround *ground);
/* Adds places well inside a piece until a tape can be laid all over it; places has those that
 * are there for other reasons, all of which count. */
void tapul_cross_spread(const TapulMarkGround *ground, int piece, const GArray *places,
                        GArray *added);

/* --- Tapes --- */

/* Adds lengths between neighbouring crosses of a piece. places[i] has the number i + 1. */
void tapul_pounce_tapes(const TapulMarkGround *ground, const GArray *places,
                        TapulPouncePiece *piece);

G_END_DECLS

#endif
