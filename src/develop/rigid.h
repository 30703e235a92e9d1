/* As-rigid-as-possible steps: a cheap way near the least stretch. */
#ifndef TAPUL_DEVELOP_RIGID_H
#define TAPUL_DEVELOP_RIGID_H

#include "develop/conformal.h"

G_BEGIN_DECLS

/* Takes up to n_steps local-global steps from flat_mm, in place, as long as they pay; one
 * factor for all. The result may be flipped. FALSE if the system cannot be solved. */
gboolean tapul_steps_rigid(TapulFlattening *flattening, int n_steps, TapulVec2 *flat_mm);

G_END_DECLS

#endif
