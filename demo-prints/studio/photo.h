/* The photograph: the plate before a grey ground, in the light of soft boxes or of one lamp. */
#ifndef STUDIO_PHOTO_H
#define STUDIO_PHOTO_H

#include "camera.h"
#include "metal.h"
#include "picture.h"

/* A bright rectangle: its middle, and from there to the middles of two sides. */
typedef struct {
    Vec3 middle_mm, half_wide_mm, half_high_mm;
    double light;   /* radiance, 1: white in the picture */
    gboolean small; /* so small that facets tilted by chance seldom meet it */
} Lamp;

typedef struct {
    const Lamp *lamps;
    int n_lamps;
    double room; /* the room's own light */
    double matt; /* how much the steel's shine is dulled, as by a breath on it: 0 to 1 */
    double exposure;
    gboolean plain; /* the picture holds the light as it falls, as for measuring; else by the
                       maker's curve */
} Light;

/* A lamp that faces the plate's middle, off in a direction. */
Lamp photo_lamp(Vec3 towards, double distance_mm, double half_wide_mm, double half_high_mm,
                double light);

Picture *photo_take(const Metal *metal, const Camera *camera, const Light *light);

#endif
