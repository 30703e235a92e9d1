#include "cap.h"

#define HALF_ANGLE_RAD (CAP_HALF_ANGLE_DEG * M_PI / 180)

Vec3 cap_middle_mm(void) {
    return vec3(0, CAP_RADIUS_MM * sin(HALF_ANGLE_RAD), 0);
}

Vec3 cap_point_mm(Vec3 normal) {
    return vec3_along(cap_middle_mm(), CAP_RADIUS_MM, normal);
}

Vec3 cap_normal_polar(double distance_mm, double angle_rad) {
    double away = distance_mm / CAP_RADIUS_MM;
    return vec3(sin(away) * cos(angle_rad), sin(away) * sin(angle_rad), cos(away));
}

double cap_distance_mm(Vec3 normal) {
    return CAP_RADIUS_MM * atan2(hypot(normal.x, normal.y), normal.z);
}

Vec2 cap_about_pole_mm(Vec3 normal) {
    double spread = hypot(normal.x, normal.y);
    double by = spread > 1e-12 ? cap_distance_mm(normal) / spread : CAP_RADIUS_MM;
    return (Vec2){by * normal.x, by * normal.y};
}

/* The medial line is a great circle; a level cut is a circle of radius R cos(height). */
Tape cap_tape(Vec3 normal) {
    double height_rad = asin(normal.y);
    return (Tape){CAP_RADIUS_MM * cos(height_rad) * atan2(normal.x, normal.z),
                  CAP_RADIUS_MM * (height_rad + HALF_ANGLE_RAD)};
}

Vec3 cap_normal_tape(Tape tape) {
    double height_rad = tape.up_mm / CAP_RADIUS_MM - HALF_ANGLE_RAD;
    double aside_rad = tape.across_mm / (CAP_RADIUS_MM * cos(height_rad));
    return vec3(cos(height_rad) * sin(aside_rad), sin(height_rad),
                cos(height_rad) * cos(aside_rad));
}

int cap_hit(Vec3 from_mm, Vec3 ray, double *along_mm, Vec3 *normal) {
    Vec3 from = vec3_sub(from_mm, cap_middle_mm());
    double towards = -vec3_dot(from, ray);
    double inside = towards * towards - vec3_dot(from, from) + CAP_RADIUS_MM * CAP_RADIUS_MM;
    if (inside <= 0)
        return 0;
    double along = towards - sqrt(inside);
    Vec3 at = vec3_scale(vec3_along(from, along, ray), 1 / CAP_RADIUS_MM);
    if (along <= 0 || at.z < cos(HALF_ANGLE_RAD))
        return 0;
    *along_mm = along;
    *normal = at;
    return 1;
}

Sheet cap_sheet(Tape anchor, Vec2 print_anchor_mm, double turn_deg) {
    Vec3 normal = cap_normal_tape(anchor);
    Vec3 up = vec3_unit(vec3_along(vec3(0, 1, 0), -normal.y, normal));
    return (Sheet){anchor, print_anchor_mm, turn_deg, normal, vec3_cross(up, normal), up};
}

Vec3 cap_from_sheet(const Sheet *sheet, Vec2 print_mm) {
    double x = -(print_mm.x - sheet->print_anchor_mm.x),
           y = print_mm.y - sheet->print_anchor_mm.y;
    double turn_rad = sheet->turn_deg * M_PI / 180;
    double right = cos(turn_rad) * x - sin(turn_rad) * y;
    double up = sin(turn_rad) * x + cos(turn_rad) * y;
    double distance_mm = hypot(right, up);
    if (distance_mm < 1e-12)
        return sheet->normal;
    double away = distance_mm / CAP_RADIUS_MM;
    Vec3 heading = vec3_add(vec3_scale(sheet->right, right / distance_mm),
                            vec3_scale(sheet->up, up / distance_mm));
    return vec3_add(vec3_scale(sheet->normal, cos(away)), vec3_scale(heading, sin(away)));
}

Vec2 cap_to_sheet(const Sheet *sheet, Vec3 normal) {
    double right = vec3_dot(normal, sheet->right), up = vec3_dot(normal, sheet->up);
    double spread = hypot(right, up);
    double by = spread > 1e-12
                    ? CAP_RADIUS_MM * atan2(spread, vec3_dot(normal, sheet->normal)) / spread
                    : CAP_RADIUS_MM;
    double turn_rad = sheet->turn_deg * M_PI / 180;
    double x = by * (cos(turn_rad) * right + sin(turn_rad) * up);
    double y = by * (-sin(turn_rad) * right + cos(turn_rad) * up);
    return (Vec2){sheet->print_anchor_mm.x - x, sheet->print_anchor_mm.y + y};
}
