/* Chance: would the pairs fit so well if their names meant nothing? */
#ifndef EVIDENCE_PERMUTE_H
#define EVIDENCE_PERMUTE_H

#include "evidence/placement.h"

G_BEGIN_DECLS

/* The pairs are relabelled `draws` times; statistic: the least sum of squares of the scaled
 * fits over the three geometries and both hands. Those that the table prefers would be chosen
 * for the labels as they are, and p would be too small: so all are tried for every labelling,
 * in the same planes (rolled about the found points' middle). If the print's points are
 * symmetric about an upright line, points are relabelled only on their own side of it, or on
 * it. p = (b + 1) / (m + 1), b of m relabellings as good (Phipson & Smyth, SAGMB 9(1) 2010,
 * 39). */
TapulChance tapul_chance_of_relabelling(const TapulPairSet *pairs, int draws, guint64 seed);

G_END_DECLS

#endif
