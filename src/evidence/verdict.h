/* What the figures of one print support, in words. */
#ifndef EVIDENCE_VERDICT_H
#define EVIDENCE_VERDICT_H

#include <tapul/evidence.h>

G_BEGIN_DECLS

/* One paragraph from the figures: what was weighed, how well it fits, what chance would do,
 * what they support and what not, and what would change it. added: of TapulAdded, may be NULL.
 * Where no verdict can be given it begins "No verdict" and says why. Owned. */
char *tapul_verdict_new(const TapulCase *question, const TapulPrintEvidence *found,
                        const GArray *added);
/* The paragraph of a print whose pairs cannot be weighed: why ends without a stop. Owned. */
char *tapul_verdict_of_faults(const char *why);

/* How well the pairs and the found ink speak for a common drawing. */
typedef enum {
    TAPUL_STANDING_NONE,    /* no test could be made */
    TAPUL_STANDING_CHANCE,  /* no better than chance */
    TAPUL_STANDING_DIVIDED, /* the pairs speak for it, the lines do not */
    TAPUL_STANDING_SLIGHT,  /* p over TAPUL_CLEAR_P, or misfits that no picking explains */
    TAPUL_STANDING_CLEAR
} TapulStanding;

/* Limits of p: over the first, the fit is called no better than chance; over the second, only
 * slight support (common practice, no source). */
#define TAPUL_CHANCE_P 0.05
#define TAPUL_CLEAR_P  0.01

TapulStanding tapul_standing(const TapulCase *question, const TapulPrintEvidence *found);

G_END_DECLS

#endif
