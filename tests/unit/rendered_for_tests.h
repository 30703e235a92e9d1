/* Photographs for tests, cast ray by ray from an analytic surface by a known camera: no part of
 * the library has a hand in them but the file's writing. */
#ifndef TAPUL_TESTS_RENDERED_FOR_TESTS_H
#define TAPUL_TESTS_RENDERED_FOR_TESTS_H

#include <check.h>
#include <glib.h>
#include <math.h>
#include <tapul/photo.h>

#include "base/picture.h"

/* A camera at eye that looks at a point, its picture's upper side up. */
static inline TapulCamera camera_looking(TapulVec3 eye_mm, TapulVec3 at_mm, double focal_px,
                                         int width_px, int height_px) {
    TapulVec3 forward = tapul_vec3_unit(tapul_vec3_sub(at_mm, eye_mm));
    TapulVec3 right = tapul_vec3_unit(tapul_vec3_cross(forward, tapul_vec3(0, 1, 0)));
    TapulVec3 down = tapul_vec3_cross(forward, right);
    return (TapulCamera){.width_px = width_px,
                         .height_px = height_px,
                         .focal_px = focal_px,
                         .centre_px = {width_px / 2.0, height_px / 2.0},
                         .rotation = {{right.x, right.y, right.z},
                                      {down.x, down.y, down.z},
                                      {forward.x, forward.y, forward.z}},
                         .eye_mm = eye_mm};
}

/* The direction of a pixel's line of sight, for a camera without a radial term; not unit. */
static inline TapulVec3 sight_of(const TapulCamera *camera, double x_px, double y_px) {
    double x = (x_px - camera->centre_px.x) / camera->focal_px;
    double y = (y_px - camera->centre_px.y) / camera->focal_px;
    const double(*r)[3] = camera->rotation;
    return tapul_vec3(x * r[0][0] + y * r[1][0] + r[2][0], x * r[0][1] + y * r[1][1] + r[2][1],
                      x * r[0][2] + y * r[1][2] + r[2][2]);
}

/* The light, 0 to 255, that comes along a line of sight. */
typedef double (*TestLight)(TapulVec3 eye_mm, TapulVec3 sight, gconstpointer data);

/* Nine lines of sight a pixel; noise of noise_sd levels, the same in every run. */
static inline TapulPixels *render(const TapulCamera *camera, TestLight light,
                                  gconstpointer data, double noise_sd, guint32 seed) {
    TapulPixels *pixels = tapul_pixels_new(camera->width_px, camera->height_px, 1);
    g_autoptr(GRand) random = g_rand_new_with_seed(seed);
    for (int y = 0; y < camera->height_px; y++)
        for (int x = 0; x < camera->width_px; x++) {
            double sum = 0, noise = 0;
            for (int i = 0; i < 9; i++)
                sum +=
                    light(camera->eye_mm,
                          sight_of(camera, x + (i % 3 + 0.5) / 3, y + (i / 3 + 0.5) / 3), data);
            for (int i = 0; i < 12 && noise_sd > 0; i++) /* of variance 1/12 each */
                noise += g_rand_double(random) - 0.5;
            pixels->data[(gsize)y * (gsize)camera->width_px + (gsize)x] =
                (guint8)lround(CLAMP(sum / 9 + noise_sd * noise, 0, 255));
        }
    return pixels;
}

static inline void clear_sight(gpointer sight) {
    g_free(((TapulSight *)sight)->name);
}

static inline void free_lamp(gpointer lamp) {
    g_free(((TapulLamp *)lamp)->file);
    g_free(lamp);
}

/* A photograph whose camera is known. Its file is written where path says. */
static inline TapulPhoto *photo_of(const TapulCamera *camera, const TapulPixels *pixels,
                                   const char *path) {
    TapulPhoto *photo = g_new0(TapulPhoto, 1);
    ck_assert(tapul_pixels_write_png(pixels, 96, path, NULL));
    photo->file = g_strdup(path);
    photo->width_px = camera->width_px;
    photo->height_px = camera->height_px;
    photo->sights = g_array_new(FALSE, FALSE, sizeof(TapulSight));
    g_array_set_clear_func(photo->sights, clear_sight);
    photo->lamps = g_ptr_array_new_with_free_func(free_lamp);
    photo->fitted = TRUE;
    photo->fit.camera = *camera;
    photo->fit.set_aside = -1;
    return photo;
}

/* --- A cylinder with dots --- */

/* As CYLINDER_SURFACE of grounds_for_tests.h. Dots with soft edges stand at every step on the
 * developed surface, counted from the middle of the front. */
typedef struct {
    double ground, dot; /* levels of light */
} DottedCylinder;

#define DOT_STEP_MM   15.0
#define DOT_RADIUS_MM 2.0
#define BESIDE        60.0 /* the level beside the plate */

static inline double dotted(double x_mm, double y_mm, const DottedCylinder *cylinder) {
    double dx = x_mm - DOT_STEP_MM * round(x_mm / DOT_STEP_MM);
    double dy = y_mm - DOT_STEP_MM * round(y_mm / DOT_STEP_MM);
    double share = CLAMP((DOT_RADIUS_MM + 0.25 - hypot(dx, dy)) / 0.5, 0, 1);
    return cylinder->ground + share * (cylinder->dot - cylinder->ground);
}

static inline double cylinder_light(TapulVec3 eye_mm, TapulVec3 sight, gconstpointer data) {
    /* (ex + t sx)^2 + (ez + t sz)^2 = 100^2, the nearer crossing */
    double a = sight.x * sight.x + sight.z * sight.z;
    double b = eye_mm.x * sight.x + eye_mm.z * sight.z;
    double c = eye_mm.x * eye_mm.x + eye_mm.z * eye_mm.z - 100.0 * 100.0;
    double inside = b * b - a * c;
    if (inside < 0)
        return BESIDE;
    double t = (-b - sqrt(inside)) / a;
    TapulVec3 at = tapul_vec3_add(eye_mm, tapul_vec3_scale(sight, t));
    double turn = atan2(at.x, at.z);
    if (at.y < 0 || at.y > 300 || fabs(turn) > 85 * G_PI / 180)
        return BESIDE;
    return dotted(100 * turn, at.y - 150, data);
}

#endif
