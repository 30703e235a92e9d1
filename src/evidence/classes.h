/* Mirror classes: which points of a symmetric print may stand for each other. */
#ifndef EVIDENCE_CLASSES_H
#define EVIDENCE_CLASSES_H

#include <tapul/vec.h>

G_BEGIN_DECLS

typedef enum { TAPUL_MIRROR_LEFT, TAPUL_MIRROR_AXIS, TAPUL_MIRROR_RIGHT } TapulMirrorClass;

/* Whether at least half of the points, and two couples of them, mirror onto each other about
 * some upright line to within two picking errors; then the line and each point's class. One
 * couple alone is no symmetry: any two points of a height are one. partner[n] is each point's
 * mirror image among the others, -1: none. */
gboolean tapul_mirror_classes(int n, const TapulVec2 *print_mm, double pick_sd_mm,
                              double *axis_x_mm, TapulMirrorClass *mirror_class, int *partner);

G_END_DECLS

#endif
