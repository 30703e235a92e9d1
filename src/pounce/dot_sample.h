/* Places spread evenly over the metal, none nearer to another than a spacing. Internal to
 * pounce/. */
#ifndef TAPUL_POUNCE_DOT_SAMPLE_H
#define TAPUL_POUNCE_DOT_SAMPLE_H

#include <tapul/case.h>

G_BEGIN_DECLS

/* Whether a place of the base (the plate's development as a whole) may be dotted. */
typedef gboolean (*TapulDotAllowed)(TapulVec2 base_mm, gpointer data);

/* Of TapulVec2, in base; the same for the same plate. Distances are over the metal (straight,
 * which is less than 1e-3 shorter for dots of a radius' fortieth apart). No room is left where
 * dots are allowed for a disc of twice the spacing. */
GArray *tapul_dots_sample(const TapulGround *ground, double spacing_mm, TapulDotAllowed allowed,
                          gpointer data);

G_END_DECLS

#endif
