/* Motifs not found in their place, looked for in the plate's remaining ink. Internal to
 * motifs.c. */
#ifndef EVIDENCE_MOTIF_SEARCH_H
#define EVIDENCE_MOTIF_SEARCH_H

#include "evidence/refine.h"

G_BEGIN_DECLS

/* A motif that is looked for. */
typedef struct {
    const GArray *samples; /* of TapulInkSample: the print's ink as laid */
    int motif;
    const TapulThinned *ink; /* of the motif */
    double kept; /* what wear leaves of ink taken over; not read by tapul_sought_near */
} TapulSought;

/* How well it fits at a place. Ink that falls on ink of its direction which others explain
 * tells nothing: there would be ink anyway. */
typedef struct {
    TapulMove move;
    double match; /* mean truncated match in the rest, of the ink that tells */
    double tells; /* share of the motif's ink that tells */
    double gain;  /* tells * (match - kept / 2): above 0, rather there than not */
} TapulSoughtPlace;

TapulSoughtPlace tapul_sought_at(const TapulSought *sought, const TapulMove *move,
                                 const TapulInkMap *taken, const TapulInkMap *rest);

/* The place of most gain within 25 mm, 30 degrees, scales of 0.7 to 1.4, either hand; rest has
 * ink. gain is -INFINITY where there is none. */
TapulSoughtPlace tapul_sought_best(const TapulSought *sought, const TapulInkMap *taken,
                                   const TapulInkMap *rest);

/* The best mean truncated match on a plate within 3 mm of where the motif lies, for all turns,
 * scales and hands that are looked for. */
double tapul_sought_near(const TapulSought *sought, const TapulInkMap *plate);

G_END_DECLS

#endif
