/* What fitting curves asks of single cubics. warp.c stands on it. */
#include "laying/cubic.h"

void tapul_cubic_part(const TapulVec2 p[4], double from, double to, TapulVec2 part[4]) {
    double third = (to - from) / 3;
    part[0] = tapul_cubic_point(p, from);
    part[3] = tapul_cubic_point(p, to);
    part[1] = tapul_vec2_add(part[0], tapul_vec2_scale(tapul_cubic_derivative(p, from), third));
    part[2] = tapul_vec2_sub(part[3], tapul_vec2_scale(tapul_cubic_derivative(p, to), third));
}

/* The source's direction at t, looking on (or back) where the derivative vanishes; zero for a
 * dot. */
TapulVec2 tapul_cubic_direction(const TapulVec2 p[4], double t, double towards) {
    TapulVec2 along = tapul_cubic_derivative(p, t);
    double size = tapul_vec2_distance(p[0], p[1]) + tapul_vec2_distance(p[1], p[2]) +
                  tapul_vec2_distance(p[2], p[3]);
    const double vanishing = 1e-6, a_little = 1e-3;
    if (tapul_vec2_length(along) <= vanishing * size)
        along = tapul_cubic_derivative(p, t + a_little * (towards - t));
    double length = tapul_vec2_length(along);
    return length > 0 ? tapul_vec2_scale(along, 1 / length) : tapul_vec2(0, 0);
}

/* Distance of a point from a cubic near parameter t. */
double tapul_cubic_distance_near(const TapulVec2 p[4], double t, TapulVec2 point) {
    const int corrections =
        2; /* the mapped parameter is near already: each squares what is left */
    TapulVec2 apart = tapul_vec2_sub(point, tapul_cubic_point(p, t));
    for (int i = 0; i < corrections; i++) {
        TapulVec2 along = tapul_cubic_derivative(p, t);
        double squared = tapul_vec2_dot(along, along);
        if (!(squared > 0))
            break;
        t = CLAMP(t + tapul_vec2_dot(apart, along) / squared, 0, 1);
        apart = tapul_vec2_sub(point, tapul_cubic_point(p, t));
    }
    return tapul_vec2_length(apart);
}

/* Beside a jump of the map its differences are no derivatives: the handles then reach far past
 * the piece. */
gboolean tapul_cubic_handles_are_fair(const TapulVec2 p[4], double tolerance_mm) {
    double longest_mm = tapul_vec2_distance(p[0], p[3]) + tolerance_mm;
    return tapul_vec2_distance(p[0], p[1]) <= longest_mm &&
           tapul_vec2_distance(p[2], p[3]) <= longest_mm;
}

/* A cubic whose controls lie between its ends and hardly off the chord may be drawn as a line.
 */
gboolean tapul_cubic_is_straight(const TapulVec2 p[4], double tolerance_mm) {
    const double share = 0.1; /* of the tolerance: what this adds to the deviation */
    TapulVec2 chord = tapul_vec2_sub(p[3], p[0]);
    double length = tapul_vec2_length(chord);
    for (int i = 1; i <= 2; i++) {
        TapulVec2 apart = tapul_vec2_sub(p[i], p[0]);
        double along = tapul_vec2_dot(apart, chord);
        if (fabs(tapul_vec2_cross(chord, apart)) > share * tolerance_mm * length || along < 0 ||
            along > length * length)
            return FALSE;
    }
    return TRUE;
}
