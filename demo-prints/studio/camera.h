/* The camera: a pin-hole with a little barrel distortion. Pixels: x right, y down, the first
 * one's centre at (0.5, 0.5). */
#ifndef STUDIO_CAMERA_H
#define STUDIO_CAMERA_H

#include "vec.h"

/* px = middle + focal (1 + k1 r^2) (X/Z, Y/Z), r^2 = (X/Z)^2 + (Y/Z)^2, (X, Y, Z) the point
 * seen from the eye, along right, down and forward. */
typedef struct {
    int width_px, height_px;
    double focal_px, k1;
    Vec3 eye_mm;
    Vec3 right, down, forward;
} Camera;

/* At distance_mm from what it looks at, from turn_deg to the viewer's right of the front and
 * rise_deg above it, held roll_deg anticlockwise. */
typedef struct {
    Vec3 at_mm;
    double distance_mm, turn_deg, rise_deg, roll_deg;
} CameraStand;

Camera camera_set_up(int width_px, int height_px, double focal_px, double k1,
                     CameraStand stand);

Vec2 camera_pixel(const Camera *camera, Vec3 point_mm);
/* Unit direction. */
Vec3 camera_ray(const Camera *camera, Vec2 px);

#endif
