/* Points and directions, in mm: the studio's own, since it shares nothing with the library. */
#ifndef STUDIO_VEC_H
#define STUDIO_VEC_H

#include <math.h>

typedef struct {
    double x, y;
} Vec2;

typedef struct {
    double x, y, z;
} Vec3;

static inline Vec3 vec3(double x, double y, double z) {
    return (Vec3){x, y, z};
}

static inline Vec3 vec3_add(Vec3 a, Vec3 b) {
    return vec3(a.x + b.x, a.y + b.y, a.z + b.z);
}

static inline Vec3 vec3_scale(Vec3 a, double by) {
    return vec3(a.x * by, a.y * by, a.z * by);
}

/* a + by * b */
static inline Vec3 vec3_along(Vec3 a, double by, Vec3 b) {
    return vec3_add(a, vec3_scale(b, by));
}

static inline Vec3 vec3_sub(Vec3 a, Vec3 b) {
    return vec3_along(a, -1, b);
}

static inline double vec3_dot(Vec3 a, Vec3 b) {
    return a.x * b.x + a.y * b.y + a.z * b.z;
}

static inline Vec3 vec3_cross(Vec3 a, Vec3 b) {
    return vec3(a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x);
}

static inline Vec3 vec3_unit(Vec3 a) {
    return vec3_scale(a, 1 / sqrt(vec3_dot(a, a)));
}

static inline double clamp01(double value) {
    return value < 0 ? 0 : value > 1 ? 1 : value;
}

static inline double mix(double from, double to, double share) {
    return from + (to - from) * share;
}

/* 0 below low, 1 above high, smooth between. */
static inline double ease(double low, double high, double value) {
    double t = clamp01((value - low) / (high - low));
    return t * t * (3 - 2 * t);
}

#endif
