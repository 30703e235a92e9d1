#include "camera.h"

Camera camera_set_up(int width_px, int height_px, double focal_px, double k1,
                     CameraStand stand) {
    double turn = stand.turn_deg * M_PI / 180, rise = stand.rise_deg * M_PI / 180;
    double roll = stand.roll_deg * M_PI / 180;
    Vec3 back = vec3(sin(turn) * cos(rise), sin(rise), cos(turn) * cos(rise));
    Vec3 forward = vec3_scale(back, -1);
    Vec3 level = vec3_unit(vec3_cross(forward, vec3(0, 1, 0)));
    Vec3 plumb = vec3_cross(forward, level);
    Vec3 right = vec3_add(vec3_scale(level, cos(roll)), vec3_scale(plumb, -sin(roll)));
    return (Camera){width_px,
                    height_px,
                    focal_px,
                    k1,
                    vec3_along(stand.at_mm, stand.distance_mm, back),
                    right,
                    vec3_cross(forward, right),
                    forward};
}

Vec2 camera_pixel(const Camera *camera, Vec3 point_mm) {
    Vec3 seen = vec3_sub(point_mm, camera->eye_mm);
    double far_mm = vec3_dot(seen, camera->forward);
    double x = vec3_dot(seen, camera->right) / far_mm,
           y = vec3_dot(seen, camera->down) / far_mm;
    double by = camera->focal_px * (1 + camera->k1 * (x * x + y * y));
    return (Vec2){camera->width_px / 2.0 + by * x, camera->height_px / 2.0 + by * y};
}

Vec3 camera_ray(const Camera *camera, Vec2 px) {
    double x_bent = (px.x - camera->width_px / 2.0) / camera->focal_px;
    double y_bent = (px.y - camera->height_px / 2.0) / camera->focal_px;
    double x = x_bent, y = y_bent;
    /* k1 r^2 is below 0.02 here, so each round brings nearly two more figures. */
    for (int round = 0; round < 10; round++) {
        double by = 1 + camera->k1 * (x * x + y * y);
        x = x_bent / by;
        y = y_bent / by;
    }
    return vec3_unit(
        vec3_add(vec3_along(camera->forward, x, camera->right), vec3_scale(camera->down, y)));
}
