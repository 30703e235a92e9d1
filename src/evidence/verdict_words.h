/* The sentences that a verdict is made of, and names that sheets and tables share. */
#ifndef EVIDENCE_VERDICT_WORDS_H
#define EVIDENCE_VERDICT_WORDS_H

#include <tapul/evidence.h>

G_BEGIN_DECLS

/* The tolerance at which shares of ink are quoted, and within which a motif is sought. */
#define TAPUL_QUOTED_TOLERANCE_MM 1.0

static inline const TapulHypothesis *tapul_hypothesis_at(const TapulPrintEvidence *found,
                                                         guint i) {
    return g_ptr_array_index(found->hypotheses, i);
}

/* "rolled, scaled, reversed", or "rolled, scaled, reversed, pressing point estimated"; owned.
 */
char *tapul_hypothesis_name(const TapulHypothesis *hypothesis);
/* The scaled fit in a geometry and the preferred hand, the pressing point given if there is
 * such a row; NULL without one. */
const TapulHypothesis *tapul_scaled_in(const TapulPrintEvidence *found,
                                       TapulLayingRule geometry);
/* The same in the preferred geometry: that of found->scale. */
const TapulHypothesis *tapul_scaled_hypothesis(const TapulPrintEvidence *found);
/* Whether some row of a geometry cannot be told from the first; its own one cannot. */
gboolean tapul_geometry_is_untold(const TapulPrintEvidence *found, TapulLayingRule geometry);
/* The name that pair k of a print has in the case, or "pair 3"; owned. */
char *tapul_pair_label(const TapulCase *question, const TapulPrintEvidence *found, int k);
const char *tapul_motif_fate_name(TapulMotifFate fate);
/* The point of the match curve nearest to TAPUL_QUOTED_TOLERANCE_MM; NULL without a curve. */
const TapulMatchPoint *tapul_quoted_match(const TapulPrintEvidence *found);
/* The root mean square residual that picking alone leaves after so many parameters, of 2n
 * components: pick_sd sqrt(2 - parameters / n). */
double tapul_picking_rms_mm(double pick_sd_mm, int n, double parameters);
/* Whether the preferred hypothesis misses by more than picking explains. */
gboolean tapul_beyond_picking(const TapulCase *question, const TapulPrintEvidence *found);

/* Ratios nearer to 1 support neither proposition (ENFSI 2015). */
#define TAPUL_LEAST_RATIO 2.0
/* Which source a ratio's words are for: "this print", "an unrelated print", "neither". */
const char *tapul_ratio_supports(const TapulLikelihoodRatio *ratio);

/* Each adds its sentences, with a blank before each; of what is not known nothing. */
void tapul_verdict_add_fit(GString *text, const TapulCase *question,
                           const TapulPrintEvidence *found);
void tapul_verdict_add_untold(GString *text, const TapulPrintEvidence *found);
void tapul_verdict_add_chance(GString *text, const TapulPrintEvidence *found);
void tapul_verdict_add_scale(GString *text, const TapulPrintEvidence *found);
void tapul_verdict_add_contours(GString *text, const TapulPrintEvidence *found);
void tapul_verdict_add_ink(GString *text, const TapulPrintEvidence *found, const GArray *added);
void tapul_verdict_add_ratio(GString *text, const TapulPrintEvidence *found);

G_END_DECLS

#endif
