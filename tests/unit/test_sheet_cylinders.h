/* Cylinders with the development that geometry gives them, so that sheets are measured against
 * it. */
#ifndef TAPUL_TESTS_TEST_SHEET_CYLINDERS_H
#define TAPUL_TESTS_TEST_SHEET_CYLINDERS_H

#include "plates_for_tests.h"

#include <tapul/laying.h>

typedef struct {
    TapulGround ground;
    TapulPlate *plate;
    TapulDevelopment *development;
    TapulDevelopmentFinder *finder;
    double radius_mm;
} Cylinder;

/* Unrolled about the front: x is the arc, y the height. The back of a closed cylinder lies on
 * both sides, told apart by the triangle's other corners. */
static inline void unroll(Cylinder *made) {
    TapulDevelopment *flat = made->development;
    const TapulMesh *mesh = flat->mesh;
    for (int t = 0; t < mesh->n_triangles; t++) {
        double side = 0;
        for (int k = 0; k < 3; k++)
            side += mesh->position_mm[mesh->corner[t][k]].x;
        for (int k = 0; k < 3; k++) {
            TapulVec3 p = mesh->position_mm[mesh->corner[t][k]];
            double angle_rad = atan2(p.x, p.z);
            if (fabs(angle_rad) > 3 && angle_rad * side < 0)
                angle_rad += side > 0 ? 2 * G_PI : -2 * G_PI;
            flat->flat_mm[mesh->corner[t][k]] = tapul_vec2(made->radius_mm * angle_rad, p.y);
        }
    }
}

static inline Cylinder *cylinder_new(double radius_mm, double height_mm, double sweep_deg,
                                     const char *more) {
    g_autofree char *surface =
        g_strdup_printf("{ kind: cylinder, radius_mm: %g, height_mm: %g, sweep_deg: %g }",
                        radius_mm, height_mm, sweep_deg);
    Cylinder *made = g_new0(Cylinder, 1);
    made->radius_mm = radius_mm;
    made->plate = good_plate(surface, more);
    made->development = g_new0(TapulDevelopment, 1);
    made->development->rule = TAPUL_DEVELOP_CONFORMAL;
    made->development->mesh = tapul_plate_mesh(made->plate);
    made->development->flat_mm = g_new(TapulVec2, made->development->mesh->n_vertices);
    made->development->stretch = (TapulStretchSummary){1, 1, 1, 1, 1, 0};
    made->development->energy = 4;
    unroll(made);
    made->finder = tapul_development_finder_new(made->development);
    made->ground = (TapulGround){made->plate, made->development, made->finder};
    return made;
}

static inline void cylinder_free(Cylinder *made) {
    tapul_development_finder_free(made->finder);
    tapul_development_free(made->development);
    tapul_plate_free(made->plate);
    g_free(made);
}
G_DEFINE_AUTOPTR_CLEANUP_FUNC(Cylinder, cylinder_free)

#endif
