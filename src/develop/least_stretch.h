/* The rules that go beyond the conformal map. Each takes an unflipped flat_mm and improves it
 * in place; progress may be NULL. */
#ifndef TAPUL_DEVELOP_LEAST_STRETCH_H
#define TAPUL_DEVELOP_LEAST_STRETCH_H

#include <tapul/development.h>

#include "develop/conformal.h"
#include "develop/descent.h"

G_BEGIN_DECLS

/* Makes the mean energy least. Error: NUMERIC. */
gboolean tapul_flatten_least_stretch(TapulFlattening *flattening, TapulDescent *descent,
                                     TapulVec2 *flat_mm, GError **error);
/* Goes on from least stretch to make the largest stretch, or shrink, as small as can be.
 * Error: NUMERIC. */
gboolean tapul_flatten_evened(TapulFlattening *flattening, TapulDescent *descent,
                              const TapulDevelopOptions *options, TapulVec2 *flat_mm,
                              GError **error);

G_END_DECLS

#endif
