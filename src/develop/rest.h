/* The plate's triangles, each laid flat on its own: what every stage compares the development
 * with. A map of a triangle to the plane is w -> similar w + mirrored conj(w) in complex
 * numbers: a turn with scale, and a mirrored turn with scale. Its principal stretches are
 * |similar| + |mirrored| and |similar| - |mirrored|; it keeps angles where mirrored = 0, and
 * lengths where also |similar| = 1. */
#ifndef TAPUL_DEVELOP_REST_H
#define TAPUL_DEVELOP_REST_H

#include <tapul/mesh.h>

G_BEGIN_DECLS

/* Points of the plane as complex numbers. */
static inline TapulVec2 tapul_complex_times(TapulVec2 a, TapulVec2 b) {
    return (TapulVec2){a.x * b.x - a.y * b.y, a.x * b.y + a.y * b.x};
}
/* a conj(b) */
static inline TapulVec2 tapul_complex_times_conjugate(TapulVec2 a, TapulVec2 b) {
    return (TapulVec2){a.x * b.x + a.y * b.y, a.y * b.x - a.x * b.y};
}
/* a / |a|; 1 where a = 0 */
static inline TapulVec2 tapul_complex_unit(TapulVec2 a) {
    double length = sqrt(a.x * a.x + a.y * a.y);
    return length > 0 ? tapul_vec2_scale(a, 1 / length) : (TapulVec2){1, 0};
}

typedef struct {
    double area_mm2;
    TapulVec2 gradient[3]; /* of the hat function of each corner, in the triangle's own plane
                              (x along its first edge), 1/mm */
} TapulRestTriangle;

typedef struct {
    const TapulMesh *mesh;       /* borrowed */
    TapulRestTriangle *triangle; /* [mesh->n_triangles] */
    double area_mm2;
} TapulRest;

/* One triangle laid flat. */
TapulRestTriangle tapul_rest_triangle(const TapulMesh *mesh, int triangle);

TapulRest *tapul_rest_new(const TapulMesh *mesh);
void tapul_rest_free(TapulRest *rest);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulRest, tapul_rest_free)

typedef struct {
    TapulVec2 similar, mirrored;
} TapulJacobian;

/* The map of a triangle at rest to the triangle a b c. */
static inline TapulJacobian tapul_triangle_jacobian(const TapulRestTriangle *at_rest,
                                                    TapulVec2 a, TapulVec2 b, TapulVec2 c) {
    TapulVec2 ab = tapul_vec2_sub(b, a), ac = tapul_vec2_sub(c, a);
    TapulVec2 hat_b = tapul_vec2_scale(at_rest->gradient[1], 0.5);
    TapulVec2 hat_c = tapul_vec2_scale(at_rest->gradient[2], 0.5);
    return (TapulJacobian){
        tapul_vec2_add(tapul_complex_times_conjugate(ab, hat_b),
                       tapul_complex_times_conjugate(ac, hat_c)),
        tapul_vec2_add(tapul_complex_times(ab, hat_b), tapul_complex_times(ac, hat_c))};
}

/* The map of one triangle to flat[n_vertices]. With displacements in place of places it is the
 * map's derivative. */
static inline TapulJacobian tapul_rest_jacobian(const TapulRest *rest, int triangle,
                                                const TapulVec2 *flat) {
    const int *corner = rest->mesh->corner[triangle];
    return tapul_triangle_jacobian(&rest->triangle[triangle], flat[corner[0]], flat[corner[1]],
                                   flat[corner[2]]);
}

/* Principal stretches s1 >= s2; s2 <= 0 where the triangle is turned over or has no area. */
static inline void tapul_jacobian_stretches(TapulJacobian jacobian, double *s1, double *s2) {
    TapulVec2 z = jacobian.similar, w = jacobian.mirrored;
    double similar = sqrt(z.x * z.x + z.y * z.y), mirrored = sqrt(w.x * w.x + w.y * w.y);
    *s1 = similar + mirrored;
    *s2 = similar - mirrored;
}

/* Triangles turned over or without area; NaN counts as turned over. */
int tapul_rest_count_flipped(const TapulRest *rest, const TapulVec2 *flat_mm);
/* TRUE if no triangle is flipped and the triangles about every inner vertex go round it once:
 * the map is one-to-one but for overlaps of its edge. */
gboolean tapul_rest_is_one_to_one(const TapulRest *rest, const TapulVec2 *flat_mm);

/* The largest and the smallest principal stretch. */
void tapul_rest_extremes(const TapulRest *rest, const TapulVec2 *flat_mm, double *most,
                         double *least);
/* Scales flat_mm about the origin to the scale of least mean energy. */
void tapul_rest_scale_to_least_energy(const TapulRest *rest, TapulVec2 *flat_mm);
/* Scales flat_mm about the origin so that the largest stretch and the largest shrink are
 * alike. */
void tapul_rest_scale_to_even(const TapulRest *rest, TapulVec2 *flat_mm);
/* Moves flat_mm so that its centroid (by area of the plate) lies at the origin. */
void tapul_rest_centre(const TapulRest *rest, TapulVec2 *flat_mm);

/* vertex_on_edge[n_vertices]: TRUE for vertices on the plate's edge. */
gboolean *tapul_mesh_vertices_on_edge(const TapulMesh *mesh);

G_END_DECLS

#endif
