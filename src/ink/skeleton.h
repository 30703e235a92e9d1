/* Step 4 from grey to lines: thinning, and the way back from the skeleton to the ink around it.
 */
#ifndef TAPUL_INK_SKELETON_H
#define TAPUL_INK_SKELETON_H

#include "ink/lines_map.h"

G_BEGIN_DECLS

/* What thinning took away, in its order: every pixel touched, at its turn, one that was still
 * there. */
typedef struct {
    int n;
    int *place; /* [n], places in the map; room for all ink */
} TapulPeeled;

/* Marks TAPUL_MAP_SKELETON on what is left of the ink: lines one pixel wide, centred by the
 * squared distances, with as many pieces (touching by sides or corners) and holes as the ink.
 */
TapulPeeled tapul_skeleton_thin(TapulMap *map, const guint16 *distance_px2);

/* Carries TAPUL_MAP_AREA from the skeleton back to the ink that was peeled from around it. */
void tapul_skeleton_spread(TapulMap *map, const guint16 *distance_px2,
                           const TapulPeeled *peeled);

G_END_DECLS

#endif
