/* The plate's triangles, each laid flat on its own, and simple questions about a map of them to
 * the plane. Every stage of a development starts here. */
#include "develop/rest.h"

/* A turn about an inner vertex adds up to a whole number of rounds; this tells one from two. */
#define ONE_ROUND_LIMIT_RAD (3 * G_PI)

TapulRestTriangle tapul_rest_triangle(const TapulMesh *mesh, int triangle) {
    const int *corner = mesh->corner[triangle];
    TapulVec3 a = mesh->position_mm[corner[0]];
    TapulVec3 ab = tapul_vec3_sub(mesh->position_mm[corner[1]], a);
    TapulVec3 ac = tapul_vec3_sub(mesh->position_mm[corner[2]], a);
    double length_mm = tapul_vec3_length(ab);
    double twice_area_mm2 = tapul_vec3_length(tapul_vec3_cross(ab, ac));
    TapulVec2 point[3] = {
        {0, 0},
        {length_mm, 0},
        {tapul_vec3_dot(ab, ac) / length_mm, twice_area_mm2 / length_mm},
    };
    TapulRestTriangle laid = {.area_mm2 = twice_area_mm2 / 2};
    for (int k = 0; k < 3; k++) {
        TapulVec2 opposite = tapul_vec2_sub(point[(k + 2) % 3], point[(k + 1) % 3]);
        laid.gradient[k] =
            tapul_vec2(-opposite.y / twice_area_mm2, opposite.x / twice_area_mm2);
    }
    return laid;
}

TapulRest *tapul_rest_new(const TapulMesh *mesh) {
    TapulRest *rest = g_new0(TapulRest, 1);
    rest->mesh = mesh;
    rest->triangle = g_new(TapulRestTriangle, mesh->n_triangles);
    for (int t = 0; t < mesh->n_triangles; t++) {
        rest->triangle[t] = tapul_rest_triangle(mesh, t);
        rest->area_mm2 += rest->triangle[t].area_mm2;
    }
    return rest;
}

void tapul_rest_free(TapulRest *rest) {
    if (!rest)
        return;
    g_free(rest->triangle);
    g_free(rest);
}

int tapul_rest_count_flipped(const TapulRest *rest, const TapulVec2 *flat_mm) {
    int flipped = 0;
    for (int t = 0; t < rest->mesh->n_triangles; t++) {
        double s1, s2;
        tapul_jacobian_stretches(tapul_rest_jacobian(rest, t, flat_mm), &s1, &s2);
        flipped += !(s2 > 0);
    }
    return flipped;
}

gboolean *tapul_mesh_vertices_on_edge(const TapulMesh *mesh) {
    gboolean *on_edge = g_new0(gboolean, mesh->n_vertices);
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++)
            if (mesh->across[t][k] < 0) {
                on_edge[mesh->corner[t][(k + 1) % 3]] = TRUE;
                on_edge[mesh->corner[t][(k + 2) % 3]] = TRUE;
            }
    return on_edge;
}

static double flat_angle_rad(TapulVec2 apex, TapulVec2 a, TapulVec2 b) {
    TapulVec2 to_a = tapul_vec2_sub(a, apex), to_b = tapul_vec2_sub(b, apex);
    return atan2(tapul_vec2_cross(to_a, to_b), tapul_vec2_dot(to_a, to_b));
}

gboolean tapul_rest_is_one_to_one(const TapulRest *rest, const TapulVec2 *flat_mm) {
    const TapulMesh *mesh = rest->mesh;
    if (tapul_rest_count_flipped(rest, flat_mm) > 0)
        return FALSE;
    g_autofree gboolean *on_edge = tapul_mesh_vertices_on_edge(mesh);
    g_autofree double *turn_rad = g_new0(double, mesh->n_vertices);
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            const int *corner = mesh->corner[t];
            turn_rad[corner[k]] += flat_angle_rad(
                flat_mm[corner[k]], flat_mm[corner[(k + 1) % 3]], flat_mm[corner[(k + 2) % 3]]);
        }
    for (int v = 0; v < mesh->n_vertices; v++)
        if (!on_edge[v] && turn_rad[v] > ONE_ROUND_LIMIT_RAD)
            return FALSE;
    return TRUE;
}

void tapul_rest_extremes(const TapulRest *rest, const TapulVec2 *flat_mm, double *most,
                         double *least) {
    *most = 0;
    *least = INFINITY;
    for (int t = 0; t < rest->mesh->n_triangles; t++) {
        double s1, s2;
        tapul_jacobian_stretches(tapul_rest_jacobian(rest, t, flat_mm), &s1, &s2);
        *most = fmax(*most, s1);
        *least = fmin(*least, s2);
    }
}

static void scale_about_origin(const TapulRest *rest, double scale, TapulVec2 *flat_mm) {
    for (int v = 0; v < rest->mesh->n_vertices; v++)
        flat_mm[v] = tapul_vec2_scale(flat_mm[v], scale);
}

/* A mean of k^2 longer + shorter / k^2 is least at the scale k = (shorter / longer)^(1/4). */
void tapul_rest_scale_to_least_energy(const TapulRest *rest, TapulVec2 *flat_mm) {
    double longer = 0, shorter = 0;
    for (int t = 0; t < rest->mesh->n_triangles; t++) {
        double s1, s2, area_mm2 = rest->triangle[t].area_mm2;
        tapul_jacobian_stretches(tapul_rest_jacobian(rest, t, flat_mm), &s1, &s2);
        longer += area_mm2 * (s1 * s1 + s2 * s2);
        shorter += area_mm2 * (1 / (s1 * s1) + 1 / (s2 * s2));
    }
    scale_about_origin(rest, pow(shorter / longer, 0.25), flat_mm);
}

void tapul_rest_scale_to_even(const TapulRest *rest, TapulVec2 *flat_mm) {
    double most, least;
    tapul_rest_extremes(rest, flat_mm, &most, &least);
    scale_about_origin(rest, 1 / sqrt(most * least), flat_mm);
}

void tapul_rest_centre(const TapulRest *rest, TapulVec2 *flat_mm) {
    TapulVec2 sum = {0, 0};
    for (int t = 0; t < rest->mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++)
            sum = tapul_vec2_add(sum, tapul_vec2_scale(flat_mm[rest->mesh->corner[t][k]],
                                                       rest->triangle[t].area_mm2 / 3));
    TapulVec2 centroid = tapul_vec2_scale(sum, 1 / rest->area_mm2);
    for (int v = 0; v < rest->mesh->n_vertices; v++)
        flat_mm[v] = tapul_vec2_sub(flat_mm[v], centroid);
}
