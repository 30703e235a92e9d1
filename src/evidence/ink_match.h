/* Ink match: how much of a print's ink, placed by its preferred hypothesis, is found on the
 * plate, and how much of the plate's ink the print explains; against random placements of the
 * same ink.
 *
 * Method. The print's ink is laid in the development and moved by a bounded refinement: the
 * picking error leaves the placement that free. Then for each tolerance t the share of its
 * length with plate ink of about its direction within t mm, and the same from the plate's ink
 * to the laid ink. Random placements move the laid ink about the plate's ink, upright within 15
 * degrees and in either hand, each with the same refinement; p counts those whose match both
 * ways (as of the search below) is as good. */
#ifndef EVIDENCE_INK_MATCH_H
#define EVIDENCE_INK_MATCH_H

#include "evidence/refine.h"

#include <tapul/evidence.h>

G_BEGIN_DECLS

typedef struct {
    int draws;         /* random placements, 200 */
    guint64 seed;      /* 1 */
    double pick_sd_mm; /* 0.5 */
    double fit_sd_mm; /* how far the placement is off, one standard deviation in each direction:
                         the preferred hypothesis' loo_mm / sqrt(2); 0.5 */
} TapulMatchOptions;

TapulMatchOptions tapul_match_options_defaults(void);
/* How far the refinement may go. */
TapulMoveBounds tapul_match_bounds(const TapulMatchOptions *options);

typedef struct {
    TapulInkMap *laid;  /* the print's ink as the refined placement lays it; developed frame */
    TapulMove refined;  /* what the refinement added */
    double lost_mm;     /* print mm of its ink that the placement puts beyond the plate */
    double print_mm;    /* of the print's ink */
    GArray *points;     /* of TapulMatchPoint, by tolerance */
    TapulChance chance; /* "random placement of ink" */
    GArray *explained;  /* of TapulInkSample: laid, and after tapul_motif_findings its motifs
                           where they were found, those left out left out */
} TapulInkMatch;

/* print: in its own frame; plate: the design found, developed frame, with ink. */
TapulInkMatch *tapul_ink_match_new(const TapulInk *print, const TapulPlacement *placement,
                                   const TapulInkMap *plate, const TapulMatchOptions *options);
void tapul_ink_match_free(TapulInkMatch *match);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulInkMatch, tapul_ink_match_free)

/* The tolerances of the match curve. */
extern const double tapul_match_tolerances_mm[8];

/* --- Search without pairs (ink_search.c) --- */

typedef struct {
    double scale_low, scale_high; /* 0.5, 2: of the print in the development */
    double most_turn_rad;         /* 15 degrees either way of upright */
    gboolean direct, reversed;    /* both: the better one counts */
} TapulMatchSearch;

TapulMatchSearch tapul_match_search_defaults(void);

/* The best place of a print on plate ink when nothing is known but that it lies flat in the
 * development: sqrt(a b) in [0, 1], a the mean truncated match of its ink, b that of the
 * plate's ink which the print's box covers. 0 where either has none. */
double tapul_ink_match_search(const TapulInk *print, const TapulInkMap *plate,
                              const TapulMatchSearch *search);
/* The same with the place found: of the print's frame, unless NULL. */
double tapul_ink_match_search_place(const TapulInk *print, const TapulInkMap *plate,
                                    const TapulMatchSearch *search, TapulMove *place);

G_END_DECLS

#endif
