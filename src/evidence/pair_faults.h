/* Pairs of which no verdict can be given. */
#ifndef EVIDENCE_PAIR_FAULTS_H
#define EVIDENCE_PAIR_FAULTS_H

#include <tapul/evidence.h>

G_BEGIN_DECLS

/* The fewest pairs that are weighed: three determine every placement that is not bent, so that
 * nothing would be left to judge by. */
#define TAPUL_FEWEST_PAIRS 4

/* Why a print's pairs, pair[n] of the case's, cannot be weighed: too few, one given twice, all
 * on one line. In words, without the case's file; NULL where they can. Owned. */
char *tapul_pair_faults(const TapulCase *question, int print, int n, const int *pair);

G_END_DECLS

#endif
