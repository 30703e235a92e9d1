/* Landmarks of the print that can be found again on the plate. */
#ifndef STUDIO_LANDMARKS_H
#define STUDIO_LANDMARKS_H

#include "adaptation.h"

typedef struct {
    const char *name;
    Vec2 print_mm;
    gboolean moved; /* belongs to the motif that was moved */
} Landmark;

#define N_LANDMARKS 15
extern const Landmark landmarks[N_LANDMARKS];

/* Where it is on the plate. */
Vec3 landmark_normal(const Sheet *sheet, const Landmark *landmark);

#endif
