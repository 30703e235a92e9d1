/* Motifs: what became of each on the plate. */
#ifndef EVIDENCE_MOTIFS_H
#define EVIDENCE_MOTIFS_H

#include "evidence/ink_match.h"

G_BEGIN_DECLS

/* Motifs with less ink than this are left undecided, or not looked at: fewer than 20 samples.
 */
#define TAPUL_MOTIF_LEAST_MM 10.0

/* The findings, one for each motif of the print that has ink: GArray of TapulMotifFinding. Sets
 * match->explained. plate has ink.
 *
 * Method. A motif's match m is its mean truncated match (refine.h); q = (m - c) / (1 - c), c
 * the mean m at random places on the same plate ink: 0 as good as chance, 1 all of it on the
 * plate.
 *
 * 1. Each motif is matched where the print puts it. It beats chance where no one of 60 random
 *    places matches as well, one way (m) or both ways (sqrt(m e), e the mean match of the
 * plate's ink under the motif's box): at most 1 of 30 unrelated motifs does. The median q of
 * those that do is what wear and tracing leave of ink that was taken over: kept.
 * 2. A motif is in its place if it beats chance, q is over kept / 2, and m there is at
 *    least 0.8 of its best m within 3 mm, 30 degrees, scales of 0.7 to 1.4, either hand.
 * 3. Plate ink within 1 mm of these is set aside. Each other motif is looked for in the rest,
 * within 25 mm and the same turns, scales and hands. Ink of it that falls on ink set aside
 * tells nothing; of the rest m must be over 0.85 kept, or in its own place over kept / 2 and
 * 0.8 of the best. The one that explains most ink is settled, its ink set aside, and the others
 * looked for anew.
 * 4. Moved, turned and resized are told from kept where they carry the motif's ink further than
 *    three standard deviations of picking and fit together, at least 2 mm (twice the reach of
 * the match): a shift itself, a turn and a change of scale at the ink's mean distance from its
 * middle. Of several the shift counts first; the other hand before all.
 * 5. Not found: left out; undecided where less than 0.2 of its ink would tell, where it has
 * less than 10 mm of ink, where no motif of the print beats chance, or where kept is under
 * 0.25, as of a tracing of outlines: then step 3 is left out too. */
GArray *tapul_motif_findings(const TapulInk *print, TapulInkMatch *match,
                             const TapulInkMap *plate, const TapulMatchOptions *options);

G_END_DECLS

#endif
