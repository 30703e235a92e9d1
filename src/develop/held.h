/* Edges of a development held at lengths, so that two edges of paper fit each other. */
#ifndef TAPUL_DEVELOP_HELD_H
#define TAPUL_DEVELOP_HELD_H

#include <tapul/development.h>

#include "develop/energy.h"

G_BEGIN_DECLS

/* Evens an evened development anew with held[n_held] at their lengths, to about a
 * ten-thousandth; they give its scale. Errors: as tapul_develop. */
gboolean tapul_development_hold(TapulDevelopment *development, int n_held,
                                const TapulHeldEdge *held, GError **error);

G_END_DECLS

#endif
