/* What the years did to the plate, slowly varying over it: reckoned once, then looked up. */
#ifndef STUDIO_YEARS_H
#define STUDIO_YEARS_H

#include "raster.h"

/* About the pole, over the metal (cap_about_pole_mm). */
typedef struct {
    Raster *wear;   /* 0: as bitten, 1: rubbed away */
    Raster *rust;   /* 0 to 1 */
    Raster *patina; /* 0 to 1: the steel's slow darkening */
    Raster *stain;  /* 0 to 1 */
    Raster *dent_x; /* tilt, rad: what the planishing left uneven */
    Raster *dent_y;
    Raster *scratches; /* 0 to 1 */
} Years;

Years years_pass(void);
void years_clear(Years *years);

#endif
