/* Developing in tests. */
#ifndef DEVELOPMENTS_FOR_TESTS_H
#define DEVELOPMENTS_FOR_TESTS_H

#include <check.h>

#include <tapul/development.h>

static inline TapulDevelopment *try_development(const TapulMesh *mesh,
                                                TapulDevelopmentRule rule, GError **error) {
    TapulDevelopOptions options = tapul_develop_options_defaults();
    options.rule = rule;
    return tapul_develop(mesh, &options, error);
}

static inline TapulDevelopment *good_development(const TapulMesh *mesh,
                                                 TapulDevelopmentRule rule) {
    g_autoptr(GError) error = NULL;
    TapulDevelopment *development = try_development(mesh, rule, &error);
    ck_assert_msg(development != NULL, "%s", error ? error->message : "no error told");
    ck_assert_ptr_null(error);
    ck_assert_int_eq(development->flipped, 0);
    ck_assert_int_eq(development->overlaps, 0);
    return development;
}

/* The largest difference in mm between an edge's length on the plate and in the plane. */
static inline double worst_edge_error_mm(const TapulDevelopment *development) {
    const TapulMesh *mesh = development->mesh;
    double worst_mm = 0;
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++) {
            int a = mesh->corner[t][k], b = mesh->corner[t][(k + 1) % 3];
            double plate_mm = tapul_vec3_distance(mesh->position_mm[a], mesh->position_mm[b]);
            double flat_mm =
                tapul_vec2_distance(development->flat_mm[a], development->flat_mm[b]);
            worst_mm = fmax(worst_mm, fabs(flat_mm - plate_mm));
        }
    return worst_mm;
}

#endif
