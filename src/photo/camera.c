/* A camera as everything after its fit sees it: from the plate to the picture and back along
 * the line of sight. The lens is one radial term (Brown 1971, the first of his series). */
#include <tapul/photo.h>

/* Half a pixel: a careful click on an enlarged picture (common practice, no source). */
#define DEFAULT_PICK_SD_PX 0.5
/* The radial term is undone to this share of the radius: 1e-10, far below a pixel of any
 * sensor. */
#define RADIAL_PRECISION 1e-10
#define RADIAL_STEPS     50

G_DEFINE_QUARK(tapul - photo - error - quark, tapul_photo_error)

TapulCameraOptions tapul_camera_options_defaults(void) {
    return (TapulCameraOptions){.focal_px = 0, .pick_sd_px = DEFAULT_PICK_SD_PX};
}

static TapulVec3 into_camera(const TapulCamera *camera, TapulVec3 point_mm) {
    TapulVec3 p = tapul_vec3_sub(point_mm, camera->eye_mm);
    double out[3];
    for (int i = 0; i < 3; i++) {
        const double *row = camera->rotation[i];
        out[i] = row[0] * p.x + row[1] * p.y + row[2] * p.z;
    }
    return tapul_vec3(out[0], out[1], out[2]);
}

gboolean tapul_camera_pixel(const TapulCamera *camera, TapulVec3 point_mm, TapulVec2 *px) {
    TapulVec3 p = into_camera(camera, point_mm);
    if (!(p.z > 0))
        return FALSE;
    TapulVec2 slope = tapul_vec2(p.x / p.z, p.y / p.z);
    double squared = tapul_vec2_dot(slope, slope);
    /* Beyond the radius where r (1 + k1 r^2) turns back, two places would share one pixel. */
    if (!(1 + 3 * camera->k1 * squared > 0))
        return FALSE;
    *px =
        tapul_vec2_add(camera->centre_px,
                       tapul_vec2_scale(slope, camera->focal_px * (1 + camera->k1 * squared)));
    return isfinite(px->x) && isfinite(px->y);
}

/* The radius r with r (1 + k1 r^2) = bent. Newton from r = bent comes nearer from one side at
 * every step, as the curve is convex for k1 > 0 and concave up to its fold for k1 < 0. */
static double straight_radius(double k1, double bent) {
    if (k1 < 0) {
        double fold = sqrt(-1 / (3 * k1));
        if (bent >= fold * 2 / 3)
            return fold;
    }
    double r = bent;
    for (int i = 0; i < RADIAL_STEPS; i++) {
        double step = (r * (1 + k1 * r * r) - bent) / (1 + 3 * k1 * r * r);
        r -= step;
        if (fabs(step) <= RADIAL_PRECISION * r)
            break;
    }
    return r;
}

TapulVec3 tapul_camera_ray(const TapulCamera *camera, TapulVec2 px) {
    TapulVec2 bent =
        tapul_vec2_scale(tapul_vec2_sub(px, camera->centre_px), 1 / camera->focal_px);
    double radius = tapul_vec2_length(bent);
    TapulVec2 slope = radius > 0
                          ? tapul_vec2_scale(bent, straight_radius(camera->k1, radius) / radius)
                          : bent;
    const double(*rotation)[3] = camera->rotation;
    double along[3];
    for (int j = 0; j < 3; j++)
        along[j] = rotation[0][j] * slope.x + rotation[1][j] * slope.y + rotation[2][j];
    return tapul_vec3_unit(tapul_vec3(along[0], along[1], along[2]));
}
