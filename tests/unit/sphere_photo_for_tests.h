/* A photograph of a sphere by a camera of closed form: where it shows what, and its files for a
 * case. */
#ifndef TAPUL_TESTS_SPHERE_PHOTO_FOR_TESTS_H
#define TAPUL_TESTS_SPHERE_PHOTO_FOR_TESTS_H

#include "program_for_tests.h"

#include <cairo.h>
#include <tapul/vec.h>

#define RADIUS_MM 150.0
#define MIDDLE_MM (RADIUS_MM * sin(G_PI / 3)) /* the sphere's centre over the lower edge */
#define WIDTH_PX  1600
#define HEIGHT_PX 1200
#define FOCAL_PX  2000.0

#define SPHERE_PLATE                                                                           \
    "tapul: plate/1\nname: sphere\nsurface: { kind: sphere, radius_mm: 150, "                  \
    "half_angle_deg: 60 }\n"
#define SPHERE_PHOTO "photo: { file: front.png, points: points.csv }\n"

static const TapulVec3 eye_mm = {150, 300, 650};

/* Its axes in the plate frame: x right, y down, z forward, looking at the sphere's front. */
static inline void camera_axes(TapulVec3 axis[3]) {
    TapulVec3 target = {10, MIDDLE_MM - 10, 120}, down = {0.05, -1, 0};
    axis[2] = tapul_vec3_unit(tapul_vec3_sub(target, eye_mm));
    axis[0] = tapul_vec3_unit(tapul_vec3_cross(down, axis[2]));
    axis[1] = tapul_vec3_cross(axis[2], axis[0]);
}

static inline TapulVec2 pixel_of(TapulVec3 point) {
    TapulVec3 axis[3], from_eye = tapul_vec3_sub(point, eye_mm);
    camera_axes(axis);
    double depth = tapul_vec3_dot(axis[2], from_eye);
    return tapul_vec2(WIDTH_PX / 2.0 + FOCAL_PX * tapul_vec3_dot(axis[0], from_eye) / depth,
                      HEIGHT_PX / 2.0 + FOCAL_PX * tapul_vec3_dot(axis[1], from_eye) / depth);
}

/* Where the line of sight of a pixel meets the sphere. */
static inline TapulVec3 sphere_at(TapulVec2 px) {
    TapulVec3 axis[3], centre = {0, MIDDLE_MM, 0};
    camera_axes(axis);
    TapulVec3 ray = axis[2];
    ray = tapul_vec3_add(ray, tapul_vec3_scale(axis[0], (px.x - WIDTH_PX / 2.0) / FOCAL_PX));
    ray = tapul_vec3_add(ray, tapul_vec3_scale(axis[1], (px.y - HEIGHT_PX / 2.0) / FOCAL_PX));
    ray = tapul_vec3_unit(ray);
    TapulVec3 from_centre = tapul_vec3_sub(eye_mm, centre);
    double b = tapul_vec3_dot(ray, from_centre);
    double c = tapul_vec3_dot(from_centre, from_centre) - RADIUS_MM * RADIUS_MM;
    ck_assert_double_gt(b * b, c);
    return tapul_vec3_add(eye_mm, tapul_vec3_scale(ray, -b - sqrt(b * b - c)));
}

static inline TapulVec3 sphere_point(double x, double y) {
    return tapul_vec3(x, MIDDLE_MM + y, sqrt(RADIUS_MM * RADIUS_MM - x * x - y * y));
}

static const TapulVec2 sights_mm[] = {{-80, -60}, {0, -70},  {80, -60}, {-90, 20}, {0, 0},
                                      {90, 10},   {-60, 80}, {0, 90},   {70, 80}};
/* A grey picture with black dots of 7 px where the camera shows points[n]. */
static inline void write_picture(const char *folder, guint n, const TapulVec3 *points) {
    g_autofree char *path = g_build_filename(folder, "front.png", NULL);
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, WIDTH_PX, HEIGHT_PX);
    cairo_t *cr = cairo_create(surface);
    cairo_set_source_rgb(cr, 0.8, 0.8, 0.8);
    cairo_paint(cr);
    cairo_set_source_rgb(cr, 0, 0, 0);
    for (guint i = 0; i < n; i++) {
        TapulVec2 px = pixel_of(points[i]);
        cairo_arc(cr, px.x, px.y, 7, 0, 2 * G_PI);
        cairo_fill(cr);
    }
    cairo_destroy(cr);
    ck_assert_int_eq(cairo_surface_write_to_png(surface, path), CAIRO_STATUS_SUCCESS);
    cairo_surface_destroy(surface);
}

static inline void write_sights(const char *folder) {
    g_autoptr(GString) text = g_string_new("name,px_x,px_y,plate_x_mm,plate_y_mm\n");
    for (guint i = 0; i < G_N_ELEMENTS(sights_mm); i++) {
        TapulVec3 point = sphere_point(sights_mm[i].x, sights_mm[i].y);
        TapulVec2 px = pixel_of(point);
        g_string_append_printf(text, "p%u,%.6f,%.6f,%.6f,%.6f\n", i, px.x, px.y, point.x,
                               point.y);
    }
    g_free(write_file(folder, "points.csv", text->str));
}

#endif
