/* Bounded refinement: the small similarity after which ink lies best on other ink. Serves the
 * ink match, its random placements, and the motifs. */
#ifndef EVIDENCE_REFINE_H
#define EVIDENCE_REFINE_H

#include "evidence/ink_map.h"

G_BEGIN_DECLS

/* p -> centre + shift + scale * turn(mirror(p - centre)); the mirror is x -> -x. */
typedef struct {
    TapulVec2 centre_mm, shift_mm;
    double turn_rad, scale;
    gboolean reversed;
} TapulMove;

static inline TapulMove tapul_move_none(TapulVec2 centre_mm) {
    return (TapulMove){centre_mm, {0, 0}, 0, 1, FALSE};
}
TapulVec2 tapul_move_point(const TapulMove *move, TapulVec2 point_mm);
TapulVec2 tapul_move_back(const TapulMove *move, TapulVec2 point_mm);
/* What becomes of the direction of a line, either way. */
double tapul_move_angle(const TapulMove *move, double angle_rad);
double tapul_move_angle_back(const TapulMove *move, double angle_rad);
/* The sample after the move. */
TapulInkSample tapul_move_sample(const TapulMove *move, TapulInkSample sample);

/* Ink thinned to n samples that stand for equal lengths. */
typedef struct {
    int n;
    TapulVec2 *at_mm;  /* [n] */
    double *angle_rad; /* [n] */
    TapulVec2 centre_mm;
    double radius_mm; /* root mean square distance from the centre */
    double length_mm; /* of all the ink it stands for */
} TapulThinned;

/* Of those samples that are of a motif; TAPUL_ALL_MOTIFS: of all. At most n_most, evenly along
 * the ink. */
#define TAPUL_ALL_MOTIFS (-2)
TapulThinned *tapul_thinned_new(const GArray *samples, int motif, int n_most);
void tapul_thinned_free(TapulThinned *thinned);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulThinned, tapul_thinned_free)

/* The mean over the ink of max(0, 1 - d / reach_mm), d the distance of the moved ink to plate
 * ink of about its direction: 1 where it lies on it, 0 where it is reach_mm or further away. */
double tapul_match_mean(const TapulThinned *ink, const TapulMove *move,
                        const TapulInkMap *plate, double reach_mm);

/* The other way: the same mean over that plate ink which lies under the box of the moved ink; 0
 * where none does. The reach is one of the ink before the move: made smaller, ink has denser
 * lines, and would explain more by chance. */
double tapul_match_back(const TapulThinned *plate, const TapulMove *move,
                        const TapulInkMap *ink, double reach_mm);

/* How far a refinement may go from where it starts. */
typedef struct {
    double shift_mm, turn_rad, scale; /* scale: from 1 / (1 + scale) to 1 + scale */
} TapulMoveBounds;

/* Looks for the best move within bounds of *move (whose centre, hand and start it keeps): on a
 * grid of shifts and then by the simplex of Nelder & Mead (1965). Returns the mean match at
 * TAPUL_MATCH_REACH_MM. */
#define TAPUL_MATCH_REACH_MM 1.0
double tapul_match_refine(const TapulThinned *ink, const TapulInkMap *plate,
                          TapulMoveBounds bounds, TapulMove *move);

G_END_DECLS

#endif
