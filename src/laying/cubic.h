/* What fitting curves asks of single cubics. */
#ifndef LAYING_CUBIC_H
#define LAYING_CUBIC_H

#include <tapul/path.h>

G_BEGIN_DECLS

/* The part of a cubic between two parameters, as a cubic. */
void tapul_cubic_part(const TapulVec2 p[4], double from, double to, TapulVec2 part[4]);

/* The unit direction at t, looking a little towards another parameter where the derivative
 * vanishes; zero for a dot. */
TapulVec2 tapul_cubic_direction(const TapulVec2 p[4], double t, double towards);

/* Distance of a point from the cubic near parameter t. */
double tapul_cubic_distance_near(const TapulVec2 p[4], double t, TapulVec2 point);

/* FALSE where the handles reach far past the piece, as where its end tangents are no tangents.
 */
gboolean tapul_cubic_handles_are_fair(const TapulVec2 p[4], double tolerance_mm);

/* Whether the cubic may be drawn as a line: its controls lie between its ends and hardly off
 * the chord. */
gboolean tapul_cubic_is_straight(const TapulVec2 p[4], double tolerance_mm);

G_END_DECLS

#endif
