/* Small things on the plate that a person can point at in a photograph and find again with a
 * tape on the metal. */
#ifndef STUDIO_MARKS_H
#define STUDIO_MARKS_H

#include "cap.h"

typedef struct {
    const char *name;
    double distance_mm, angle_deg; /* from the pole over the metal; 0 to the viewer's right */
} Mark;

#define MARK_N_RIVETS  8
#define MARK_N_PUNCHES 8
#define MARK_RIVET_MM  1.8  /* radius of the head */
#define MARK_PUNCH_MM  0.55 /* radius of an armourer's punch dot */

extern const Mark mark_rivets[MARK_N_RIVETS];
extern const Mark mark_punches[MARK_N_PUNCHES];

Vec3 mark_normal(const Mark *mark);

#endif
