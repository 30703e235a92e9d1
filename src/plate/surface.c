/* What all smooth surfaces share: derivatives, normal, curvature (do Carmo, Differential
 * Geometry of Curves and Surfaces, 1976, section 3-3), by finite differences, since readings
 * give no formulas. */
#include "plate/surface.h"

/* Steps in the unit square: small against the features of a plate, large against rounding. */
#define FIRST_STEP  1e-4
#define SECOND_STEP 5e-3

void tapul_surface_free(TapulSurface *surface) {
    if (surface)
        surface->free(surface);
}

static double clamp_unit(double t) {
    return CLAMP(t, 0.0, 1.0);
}

void tapul_surface_derivatives(const TapulSurface *surface, int side, double u, double v,
                               TapulVec3 *by_u, TapulVec3 *by_v) {
    double u0 = clamp_unit(u - FIRST_STEP), u1 = clamp_unit(u + FIRST_STEP);
    double v0 = clamp_unit(v - FIRST_STEP), v1 = clamp_unit(v + FIRST_STEP);

    *by_u = tapul_vec3_scale(tapul_vec3_sub(surface->evaluate(surface, side, u1, v),
                                            surface->evaluate(surface, side, u0, v)),
                             1 / (u1 - u0));
    *by_v = tapul_vec3_scale(tapul_vec3_sub(surface->evaluate(surface, side, u, v1),
                                            surface->evaluate(surface, side, u, v0)),
                             1 / (v1 - v0));
}

TapulVec3 tapul_surface_normal(const TapulSurface *surface, int side, double u, double v) {
    TapulVec3 by_u, by_v;
    tapul_surface_derivatives(surface, side, u, v, &by_u, &by_v);
    TapulVec3 normal = tapul_vec3_scale(tapul_vec3_cross(by_u, by_v), side);
    double scale = tapul_vec3_length(by_u) * tapul_vec3_length(by_v);
    return tapul_vec3_length(normal) > 1e-9 * scale ? tapul_vec3_unit(normal)
                                                    : tapul_vec3(0, 0, 0);
}

double tapul_surface_curvature(const TapulSurface *surface, int side, double u, double v) {
    /* Second differences need room on both sides: step inward from the square's edges. */
    u = CLAMP(u, SECOND_STEP, 1 - SECOND_STEP);
    v = CLAMP(v, SECOND_STEP, 1 - SECOND_STEP);
    TapulVec3 p[3][3];
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            p[i][j] = surface->evaluate(surface, side, u + (i - 1) * SECOND_STEP,
                                        v + (j - 1) * SECOND_STEP);

    const double h = SECOND_STEP;
    TapulVec3 by_u = tapul_vec3_scale(tapul_vec3_sub(p[2][1], p[0][1]), 1 / (2 * h));
    TapulVec3 by_v = tapul_vec3_scale(tapul_vec3_sub(p[1][2], p[1][0]), 1 / (2 * h));
    TapulVec3 twice = tapul_vec3_scale(p[1][1], 2);
    TapulVec3 by_uu =
        tapul_vec3_scale(tapul_vec3_sub(tapul_vec3_add(p[2][1], p[0][1]), twice), 1 / (h * h));
    TapulVec3 by_vv =
        tapul_vec3_scale(tapul_vec3_sub(tapul_vec3_add(p[1][2], p[1][0]), twice), 1 / (h * h));
    TapulVec3 by_uv = tapul_vec3_scale(
        tapul_vec3_sub(tapul_vec3_add(p[2][2], p[0][0]), tapul_vec3_add(p[2][0], p[0][2])),
        1 / (4 * h * h));
    TapulVec3 normal = tapul_vec3_unit(tapul_vec3_cross(by_u, by_v));

    double e = tapul_vec3_dot(by_u, by_u), f = tapul_vec3_dot(by_u, by_v),
           g = tapul_vec3_dot(by_v, by_v);
    double l = tapul_vec3_dot(by_uu, normal), m = tapul_vec3_dot(by_uv, normal),
           n = tapul_vec3_dot(by_vv, normal);
    double area = e * g - f * f;
    if (!(area > 1e-12 * e * g))
        return 0;
    double gauss = (l * n - m * m) / area;
    double mean = (e * n - 2 * f * m + g * l) / (2 * area);
    return fabs(mean) + sqrt(fmax(0, mean * mean - gauss));
}
