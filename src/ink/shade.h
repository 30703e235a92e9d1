/* What a paint looks like in ink: dark enough to be a line, light enough to be paper, or
 * neither. Serves the trace. */
#ifndef TAPUL_INK_SHADE_H
#define TAPUL_INK_SHADE_H

#include "ink/attribute.h"

G_BEGIN_DECLS

typedef enum {
    TAPUL_SHADE_INVISIBLE, /* wholly transparent */
    TAPUL_SHADE_FAINT,     /* lets so much paper through that it neither marks nor covers:
                              transparency */
    TAPUL_SHADE_INK,
    TAPUL_SHADE_PAPER
} TapulShade;

/* grey: the luma of the paint on white paper (ITU-R BT.709 weights on the values as written).
 */
TapulShade tapul_shade(const TapulPaint *paint, double opacity, double *grey);

/* The mean colour of a gradient's stops. */
void tapul_shade_gradient(const xmlNode *gradient, TapulPaint *paint);

G_END_DECLS

#endif
