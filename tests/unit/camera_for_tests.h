/* Cameras and points for tests, and a projection of the tests' own that knows nothing of the
 * library's. */
#ifndef TAPUL_TESTS_CAMERA_FOR_TESTS_H
#define TAPUL_TESTS_CAMERA_FOR_TESTS_H

#include <check.h>
#include <glib.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <tapul/photo.h>

/* A sensor of 24 megapixels. */
#define SENSOR_WIDTH_PX  6000
#define SENSOR_HEIGHT_PX 4000
#define MOST_SIGHTS      40

/* A pinhole that looks from eye to a point of the plate, top upward but for a roll. */
typedef struct {
    TapulVec3 eye_mm, right, down, forward;
    double focal_px, k1;
} Pinhole;

static inline Pinhole pinhole_new(TapulVec3 eye_mm, TapulVec3 aim_mm, double roll_rad,
                                  double focal_px, double k1) {
    Pinhole pinhole = {.eye_mm = eye_mm, .focal_px = focal_px, .k1 = k1};
    pinhole.forward = tapul_vec3_unit(tapul_vec3_sub(aim_mm, eye_mm));
    TapulVec3 side = tapul_vec3_unit(tapul_vec3_cross(pinhole.forward, tapul_vec3(0, 1, 0)));
    TapulVec3 below = tapul_vec3_cross(pinhole.forward, side);
    pinhole.right = tapul_vec3_add(tapul_vec3_scale(side, cos(roll_rad)),
                                   tapul_vec3_scale(below, sin(roll_rad)));
    pinhole.down = tapul_vec3_cross(pinhole.forward, pinhole.right);
    return pinhole;
}

/* Where it sees a point, behind it too. */
static inline TapulVec2 pinhole_px(const Pinhole *pinhole, TapulVec3 p) {
    TapulVec3 from = tapul_vec3_sub(p, pinhole->eye_mm);
    double depth = tapul_vec3_dot(from, pinhole->forward);
    double x = tapul_vec3_dot(from, pinhole->right) / depth;
    double y = tapul_vec3_dot(from, pinhole->down) / depth;
    double f = pinhole->focal_px * (1 + pinhole->k1 * (x * x + y * y));
    return tapul_vec2(SENSOR_WIDTH_PX / 2.0 + f * x, SENSOR_HEIGHT_PX / 2.0 + f * y);
}

static inline double normal_deviate(GRand *random) {
    double u = 1 - g_rand_double(random), v = g_rand_double(random);
    return sqrt(-2 * log(u)) * cos(2 * G_PI * v);
}

/* Curved plates in closed form, over u and v from -1 to 1, facing the viewer: a breastplate's
 * swell 300 mm wide and 400 mm high, a sphere's cap, a cylinder's half. */
typedef enum { SWELL, CAP, TUBE } Curved;

static inline TapulVec3 curved_point(Curved curved, double u, double v) {
    switch (curved) {
    case SWELL:
        return tapul_vec3(150 * u, 200 + 200 * v, 110 * sqrt(1 - 0.8 * u * u - 0.15 * v * v));
    case CAP:
        return tapul_vec3(150 * sin(u), 150 + 150 * sin(v) * cos(u), 150 * cos(u) * cos(v));
    default:
        return tapul_vec3(80 * sin(1.4 * u), 150 + 150 * v, 80 * cos(1.4 * u));
    }
}

static inline double spread(GRand *random, double reach) {
    return g_rand_double_range(random, -reach, reach);
}

/* A camera somewhere before a plate, the plate filling a good part of the picture. */
static inline Pinhole random_pinhole(GRand *random, double distance_mm, double focal_px,
                                     double k1) {
    TapulVec3 middle = tapul_vec3(0, 180, 40);
    TapulVec3 towards =
        tapul_vec3_unit(tapul_vec3(spread(random, 0.6), spread(random, 0.6), 1));
    TapulVec3 aim =
        tapul_vec3_add(middle, tapul_vec3(spread(random, 30), spread(random, 30), 0));
    return pinhole_new(tapul_vec3_add(middle, tapul_vec3_scale(towards, distance_mm)), aim,
                       spread(random, 0.3), focal_px, k1);
}

/* n points of a plate that lie within the picture, named a, b, c, ... and picked with an error.
 */
static inline void random_sights(GRand *random, const Pinhole *pinhole, Curved curved, int n,
                                 double noise_px, TapulSight *sights) {
    static const char *const names[MOST_SIGHTS] = {
        "a",  "b",  "c",  "d",  "e",  "f",  "g",  "h",  "i",  "j",  "k",  "l", "m",  "n",
        "o",  "p",  "q",  "r",  "s",  "t",  "u",  "v",  "w",  "x",  "y",  "z", "aa", "ab",
        "ac", "ad", "ae", "af", "ag", "ah", "ai", "aj", "ak", "al", "am", "an"};
    for (int i = 0; i < n; i++) {
        TapulVec2 px;
        TapulSight *sight = &sights[i];
        *sight = (TapulSight){.name = (char *)names[i]};
        do {
            sight->xyz_mm = curved_point(curved, spread(random, 1), spread(random, 1));
            px = pinhole_px(pinhole, sight->xyz_mm);
        } while (px.x < 10 || px.y < 10 || px.x > SENSOR_WIDTH_PX - 10 ||
                 px.y > SENSOR_HEIGHT_PX - 10);
        sight->px = tapul_vec2(px.x + noise_px * normal_deviate(random),
                               px.y + noise_px * normal_deviate(random));
    }
}

/* Fits; fails the test where there is an error. */
static inline TapulCameraFit good_fit(TapulSight *sights, int n,
                                      const TapulCameraOptions *options) {
    g_autoptr(GError) error = NULL;
    TapulCameraFit fit;
    gboolean fitted =
        tapul_camera_fit(sights, n, SENSOR_WIDTH_PX, SENSOR_HEIGHT_PX, options, &fit, &error);
    ck_assert_msg(fitted, "%s", error ? error->message : "no camera and no error");
    return fit;
}

static inline double turn_between_rad(const TapulCamera *camera, const Pinhole *pinhole) {
    const TapulVec3 rows[3] = {pinhole->right, pinhole->down, pinhole->forward};
    double squared = 0; /* Frobenius: 8 sin^2 of half the angle */
    for (int i = 0; i < 3; i++) {
        const double *row = camera->rotation[i];
        TapulVec3 apart = tapul_vec3_sub(tapul_vec3(row[0], row[1], row[2]), rows[i]);
        squared += tapul_vec3_dot(apart, apart);
    }
    return 2 * asin(fmin(1, sqrt(squared / 8)));
}

/* Features all over the plate: how far off the camera shows each, in mm across the line of
 * sight. Returns the worst in px. */
#define FEATURES (19 * 19)

static inline double worst_feature_px(const TapulCamera *camera, const Pinhole *pinhole,
                                      Curved curved, double off_mm[FEATURES]) {
    double worst_px = 0;
    for (int i = 0; i < FEATURES; i++) {
        TapulVec3 p = curved_point(curved, (i / 19 - 9) / 10.0, (i % 19 - 9) / 10.0);
        TapulVec2 px;
        ck_assert(tapul_camera_pixel(camera, p, &px));
        double off_px = tapul_vec2_distance(px, pinhole_px(pinhole, p));
        double depth_mm = tapul_vec3_dot(tapul_vec3_sub(p, pinhole->eye_mm), pinhole->forward);
        worst_px = fmax(worst_px, off_px);
        off_mm[i] = off_px * depth_mm / pinhole->focal_px;
    }
    return worst_px;
}

static inline int compare_doubles(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Sorts; the value below which a share of them lies. */
static inline double quantile(double *values, int n, double share) {
    qsort(values, (size_t)n, sizeof *values, compare_doubles);
    return values[MIN(n - 1, (int)(share * n))];
}

#endif
