/* Smooth surfaces of solids: turned profiles (cylinders and cones among them) and spheres. */
#include "plate/curve.h"
#include "plate/surface.h"

typedef struct {
    TapulSurface base;
    TapulCurve *profile; /* x radius, y height; parameter 0 to 1 */
    double half_sweep_rad;
} Revolved;

static TapulVec3 revolved_point(const TapulSurface *surface, int side, double u, double v) {
    const Revolved *solid = (const Revolved *)surface;
    TapulVec3 profile = tapul_curve_point(solid->profile, v);
    double angle_rad = side * u * solid->half_sweep_rad;
    return tapul_vec3(profile.x * sin(angle_rad), profile.y, profile.x * cos(angle_rad));
}

static void revolved_free(TapulSurface *surface) {
    tapul_curve_free(((Revolved *)surface)->profile);
    g_free(surface);
}

TapulSurface *tapul_surface_revolved(int n, const TapulVec2 *profile_mm, double sweep_rad) {
    Revolved *solid = g_new0(Revolved, 1);
    g_autofree double *parameter = g_new0(double, n);
    g_autofree TapulVec3 *value = g_new0(TapulVec3, n);
    double widest_mm = 0;

    for (int i = 0; i < n; i++) {
        value[i] = tapul_vec3(profile_mm[i].x, profile_mm[i].y, 0);
        parameter[i] =
            i == 0 ? 0 : parameter[i - 1] + tapul_vec3_distance(value[i], value[i - 1]);
        widest_mm = fmax(widest_mm, profile_mm[i].x);
    }
    double length_mm = parameter[n - 1];
    for (int i = 0; i < n; i++)
        parameter[i] /= length_mm;

    solid->profile = tapul_curve_new(n, parameter, value);
    solid->half_sweep_rad = sweep_rad / 2;
    solid->base = (TapulSurface){.evaluate = revolved_point,
                                 .free = revolved_free,
                                 .mirrored = TRUE,
                                 .closed = sweep_rad > 2 * G_PI - 1e-9,
                                 .ruled = n == 2,
                                 .size_mm = fmax(length_mm, widest_mm * sweep_rad)};
    return &solid->base;
}

typedef struct {
    TapulSurface base;
    double radius_mm, half_angle_rad;
} Sphere;

/* (u, v) as azimuthal equidistant coordinates about the pole: the square's right half disc is
 * used. */
static TapulVec2 sphere_angles(const Sphere *sphere, double u, double v) {
    return tapul_vec2(u * sphere->half_angle_rad, (2 * v - 1) * sphere->half_angle_rad);
}

static TapulVec3 sphere_point(const TapulSurface *surface, int side, double u, double v) {
    const Sphere *sphere = (const Sphere *)surface;
    TapulVec2 angles = sphere_angles(sphere, u, v);
    double angle_rad = tapul_vec2_length(angles);
    double spread = angle_rad > 1e-9 ? sin(angle_rad) / angle_rad : 1;
    double r = sphere->radius_mm;
    return tapul_vec3(r * spread * angles.x * side,
                      r * spread * angles.y + r * sin(sphere->half_angle_rad),
                      r * cos(angle_rad));
}

static double sphere_inside_mm(const TapulSurface *surface, double u, double v) {
    const Sphere *sphere = (const Sphere *)surface;
    double angle_rad = tapul_vec2_length(sphere_angles(sphere, u, v));
    return (sphere->half_angle_rad - angle_rad) * sphere->radius_mm;
}

static void sphere_free(TapulSurface *surface) {
    g_free(surface);
}

TapulSurface *tapul_surface_sphere(double radius_mm, double half_angle_rad) {
    Sphere *sphere = g_new0(Sphere, 1);
    sphere->radius_mm = radius_mm;
    sphere->half_angle_rad = half_angle_rad;
    sphere->base = (TapulSurface){.evaluate = sphere_point,
                                  .inside_mm = sphere_inside_mm,
                                  .free = sphere_free,
                                  .mirrored = TRUE,
                                  .size_mm = 2 * radius_mm * half_angle_rad};
    return &sphere->base;
}
