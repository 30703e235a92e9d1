/* A type plate fitted to a real one's measures; read in plate and case files. */
#ifndef TAPUL_PLATE_FIT_H
#define TAPUL_PLATE_FIT_H

#include "base/document.h"

#include <tapul/plate.h>

G_BEGIN_DECLS

gboolean tapul_plate_fit_is_asked(const TapulPlateFit *fit);
/* Reads the key `fit` of a map, which may be absent. */
void tapul_plate_fit_read(TapulDocument *document, const TapulNode *map, TapulPlateFit *fit);

G_END_DECLS

#endif
