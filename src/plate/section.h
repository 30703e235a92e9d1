/* One level cut of a plate: readings x, z of the outer surface. */
#ifndef TAPUL_PLATE_SECTION_H
#define TAPUL_PLATE_SECTION_H

#include "plate/curve.h"

G_BEGIN_DECLS

/* Points from the medial line outward: about 2 mm apart on a breastplate, where cubic
 * interpolation errs by less than 1e-4 mm. */
#define TAPUL_SECTION_COLUMNS 129

/* Sections are GArrays of TapulVec2: from left to right, or from x = 0 outward where the left
 * is to be mirrored. */

/* What is wrong with a section, or NULL. */
const char *tapul_section_fault(const GArray *section);
gboolean tapul_section_is_half(const GArray *section);

/* A spline through n readings by chord length; x and z of its points are the readings'. */
TapulCurve *tapul_section_curve(int n, const TapulVec2 *point, double *length_mm);

/* Spreads a section into its right and left rows [TAPUL_SECTION_COLUMNS] at equal arc length,
 * fitting both halves at once or, with ridge, apart. FALSE if it does not cross the medial
 * plane. */
gboolean tapul_section_spread(const GArray *section, gboolean ridge, double y_mm,
                              TapulVec3 *right, TapulVec3 *left);

/* parameter[n] of n rows for splines up through them: the mean way from each row to the next.
 * Both sides share one list, so that they share the medial line. */
void tapul_section_parameters(int n, TapulVec3 *const *right, TapulVec3 *const *left,
                              double *parameter);

G_END_DECLS

#endif
