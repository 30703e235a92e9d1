/* Points and boxes in the plane and in space: plain values, passed and returned by value.
 * Units are the caller's; names elsewhere say which (_mm, _px, _rad). */
#ifndef TAPUL_VEC_H
#define TAPUL_VEC_H

#include <glib.h>
#include <math.h>

G_BEGIN_DECLS

typedef struct {
    double x, y;
} TapulVec2;

typedef struct {
    double x, y, z;
} TapulVec3;

/* An axis-parallel box; empty when min exceeds max. */
typedef struct {
    TapulVec2 min, max;
} TapulBox;

static inline TapulVec2 tapul_vec2(double x, double y) {
    return (TapulVec2){x, y};
}
static inline TapulVec2 tapul_vec2_add(TapulVec2 a, TapulVec2 b) {
    return (TapulVec2){a.x + b.x, a.y + b.y};
}
static inline TapulVec2 tapul_vec2_sub(TapulVec2 a, TapulVec2 b) {
    return (TapulVec2){a.x - b.x, a.y - b.y};
}
static inline TapulVec2 tapul_vec2_scale(TapulVec2 a, double k) {
    return (TapulVec2){a.x * k, a.y * k};
}
/* a + t (b - a) */
static inline TapulVec2 tapul_vec2_mix(TapulVec2 a, TapulVec2 b, double t) {
    return (TapulVec2){a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)};
}
static inline double tapul_vec2_dot(TapulVec2 a, TapulVec2 b) {
    return a.x * b.x + a.y * b.y;
}
/* Positive when b is counter-clockwise of a. */
static inline double tapul_vec2_cross(TapulVec2 a, TapulVec2 b) {
    return a.x * b.y - a.y * b.x;
}
/* Not hypot: millimetres need no guard against overflow, which takes most of its time. */
static inline double tapul_vec2_length(TapulVec2 a) {
    return sqrt(a.x * a.x + a.y * a.y);
}
static inline double tapul_vec2_distance(TapulVec2 a, TapulVec2 b) {
    return tapul_vec2_length(tapul_vec2_sub(a, b));
}
/* a turned counter-clockwise by angle_rad */
static inline TapulVec2 tapul_vec2_turn(TapulVec2 a, double angle_rad) {
    double c = cos(angle_rad), s = sin(angle_rad);
    return (TapulVec2){c * a.x - s * a.y, s * a.x + c * a.y};
}

static inline TapulVec3 tapul_vec3(double x, double y, double z) {
    return (TapulVec3){x, y, z};
}
static inline TapulVec3 tapul_vec3_add(TapulVec3 a, TapulVec3 b) {
    return (TapulVec3){a.x + b.x, a.y + b.y, a.z + b.z};
}
static inline TapulVec3 tapul_vec3_sub(TapulVec3 a, TapulVec3 b) {
    return (TapulVec3){a.x - b.x, a.y - b.y, a.z - b.z};
}
static inline TapulVec3 tapul_vec3_scale(TapulVec3 a, double k) {
    return (TapulVec3){a.x * k, a.y * k, a.z * k};
}
static inline TapulVec3 tapul_vec3_mix(TapulVec3 a, TapulVec3 b, double t) {
    return (TapulVec3){a.x + t * (b.x - a.x), a.y + t * (b.y - a.y), a.z + t * (b.z - a.z)};
}
static inline double tapul_vec3_dot(TapulVec3 a, TapulVec3 b) {
    return a.x * b.x + a.y * b.y + a.z * b.z;
}
static inline TapulVec3 tapul_vec3_cross(TapulVec3 a, TapulVec3 b) {
    return (TapulVec3){a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}
static inline double tapul_vec3_length(TapulVec3 a) {
    return sqrt(tapul_vec3_dot(a, a));
}
static inline double tapul_vec3_distance(TapulVec3 a, TapulVec3 b) {
    return tapul_vec3_length(tapul_vec3_sub(a, b));
}
/* a / |a|; the zero vector stays zero */
static inline TapulVec3 tapul_vec3_unit(TapulVec3 a) {
    double length = tapul_vec3_length(a);
    return length > 0 ? tapul_vec3_scale(a, 1 / length) : a;
}

static inline TapulBox tapul_box_empty(void) {
    return (TapulBox){{INFINITY, INFINITY}, {-INFINITY, -INFINITY}};
}
static inline void tapul_box_add(TapulBox *box, TapulVec2 p) {
    box->min.x = fmin(box->min.x, p.x);
    box->min.y = fmin(box->min.y, p.y);
    box->max.x = fmax(box->max.x, p.x);
    box->max.y = fmax(box->max.y, p.y);
}
static inline TapulBox tapul_box_about(TapulVec2 middle, TapulVec2 half) {
    return (TapulBox){tapul_vec2_sub(middle, half), tapul_vec2_add(middle, half)};
}
/* Whether they share more than an edge */
static inline gboolean tapul_boxes_overlap(TapulBox a, TapulBox b) {
    return a.min.x < b.max.x && b.min.x < a.max.x && a.min.y < b.max.y && b.min.y < a.max.y;
}
static inline gboolean tapul_box_is_empty(TapulBox box) {
    return box.min.x > box.max.x || box.min.y > box.max.y;
}

G_END_DECLS

#endif
