/* The figures of a development. */
#ifndef TAPUL_DEVELOP_REPORT_H
#define TAPUL_DEVELOP_REPORT_H

#include <tapul/development.h>

#include "develop/conformal.h"

G_BEGIN_DECLS

/* Fills all figures but `seconds` from flat_mm. *overlap_vertex is a vertex at the first
 * overlap, -1 if there is none. */
void tapul_development_measure(TapulDevelopment *development, const TapulFlattening *flattening,
                               int *overlap_vertex);

G_END_DECLS

#endif
