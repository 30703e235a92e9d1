/* Plate ink that no print explains, and prints that compete for the plate's ink. */
#ifndef EVIDENCE_ADDED_H
#define EVIDENCE_ADDED_H

#include "evidence/ink_match.h"

G_BEGIN_DECLS

/* Plate ink is explained by ink of about its direction within this distance: twice the reach of
 * the match, so that what is listed as added is no print's line ill traced. */
#define TAPUL_EXPLAINED_MM 2.0
/* Groups of less ink than this are not listed: scratches, ends of lines. */
#define TAPUL_ADDED_LEAST_MM 5.0

/* For each sample of the plate the print whose laid ink is nearest to it, -1 where none is
 * within TAPUL_INK_REACH_MM: GArray of int. */
GArray *tapul_ink_owners(const TapulInkMap *plate, int n, TapulInkMatch *const *matches);

/* Several prints compete: sets the plate shares of each match's points anew, each bit of the
 * plate's ink counting for its owner alone. The bands of chance stay those of the print by
 * itself. */
void tapul_ink_compete(const TapulInkMap *plate, int n, TapulInkMatch *const *matches);

/* The plate's ink that none of n matches explains, in groups that lie within 6 mm of each
 * other, the longest first: GArray of TapulAdded. */
GArray *tapul_ink_added(const TapulInkMap *plate, int n, TapulInkMatch *const *matches);

/* All that a found design says, for the prints of an evidence that have a placement: their
 * match, motifs and random placement (added to chance), and the evidence's added ink. Without a
 * found design, or one without ink, all stay empty. fit_sd_mm comes from each print's first
 * hypothesis. */
void tapul_weigh_found(TapulEvidence *evidence, const TapulCase *question,
                       const TapulWeighOptions *options);

G_END_DECLS

#endif
