/* What a photograph shows of one place of the plate. Internal to photo/. */
#ifndef TAPUL_PHOTO_VISIBLE_H
#define TAPUL_PHOTO_VISIBLE_H

#include <tapul/photo.h>

/* A camera and the plate before it. All borrowed. */
typedef struct {
    const TapulPlate *plate;
    const TapulDevelopmentFinder *finder;
    const TapulCamera *camera;
    double least_cosine; /* of the grazing angle */
} TapulEye;

typedef struct {
    TapulSeen seen;
    float cosine; /* of the angle between the line of sight and the normal; below 0: from behind
                   */
    float px_per_mm; /* over the metal, in the worse direction; 0 off the plate */
    float normal[3]; /* of the smooth plate, plate frame */
} TapulLook;

/* Safe from several threads. */
TapulLook tapul_look(const TapulEye *eye, TapulVec2 developed_mm);

#endif
