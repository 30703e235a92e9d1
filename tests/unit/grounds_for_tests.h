/* A plate with its development, as layings need it, and ink made by hand. */
#ifndef GROUNDS_FOR_TESTS_H
#define GROUNDS_FOR_TESTS_H

#include <tapul/laying.h>

#include "plates_for_tests.h"

/* Plates that stand on their lower edge; heights are of the middle of the front. */
#define SPHERE_SURFACE     "{ kind: sphere, radius_mm: 150, half_angle_deg: 60 }"
#define SPHERE_MIDDLE_MM   (150 * sin(G_PI / 3))
#define CYLINDER_SURFACE   "{ kind: cylinder, radius_mm: 100, height_mm: 300, sweep_deg: 170 }"
#define CYLINDER_MIDDLE_MM 150.0

typedef struct {
    TapulGround ground;
    TapulPlate *plate;
    TapulDevelopment *development;
    TapulDevelopmentFinder *finder;
    TapulSpot middle;
} TestGround;

static inline TapulSpot front_spot(const TapulPlate *plate, double x_mm, double y_mm) {
    TapulSpot spot;
    ck_assert(tapul_plate_spot_from_front(plate, x_mm, y_mm, &spot, NULL));
    return spot;
}

/* Develops a plate (taken) about the middle of its front. */
static inline TestGround *test_ground_take(TapulPlate *plate, double middle_mm) {
    TestGround *made = g_new0(TestGround, 1);
    g_autoptr(GError) error = NULL;
    TapulDevelopOptions options = tapul_develop_options_defaults();
    made->plate = plate;
    made->development = tapul_develop(tapul_plate_mesh(plate), &options, &error);
    ck_assert_msg(made->development != NULL, "%s", error ? error->message : "no development");
    made->middle = front_spot(plate, 0, middle_mm);
    tapul_development_place(made->development, made->middle,
                            front_spot(plate, 0, middle_mm + 20));
    made->finder = tapul_development_finder_new(made->development);
    made->ground = (TapulGround){plate, made->development, made->finder};
    return made;
}

static inline TestGround *test_ground_new(const char *surface, double middle_mm) {
    return test_ground_take(good_plate(surface, ""), middle_mm);
}

/* A plate of the source tree. */
static inline TestGround *test_ground_from_file(const char *name, double middle_mm) {
    const char *root = g_getenv("TAPUL_SOURCE_ROOT");
    ck_assert_msg(root != NULL, "TAPUL_SOURCE_ROOT is not set");
    g_autofree char *path = g_build_filename(root, name, NULL);
    g_autoptr(GError) error = NULL;
    TapulPlateOptions options = tapul_plate_options_defaults();
    TapulPlate *plate = tapul_plate_load(path, &options, &error);
    ck_assert_msg(plate != NULL, "%s", error ? error->message : "no plate and no error");
    return test_ground_take(plate, middle_mm);
}

static inline void test_ground_free(TestGround *made) {
    tapul_development_finder_free(made->finder);
    tapul_development_free(made->development);
    tapul_plate_free(made->plate);
    g_free(made);
}
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TestGround, test_ground_free)

static inline TapulVec3 spot_mm(const TestGround *made, TapulSpot spot) {
    return tapul_mesh_smooth_position_mm(tapul_plate_mesh(made->plate), spot);
}

/* Marks alone: what tapul_lay_ink reads. */
static inline TapulInk *test_ink_new(void) {
    TapulInk *ink = g_new0(TapulInk, 1);
    ink->marks = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_mark_free);
    return ink;
}

static inline void test_ink_free(TapulInk *ink) {
    g_ptr_array_unref(ink->marks);
    g_free(ink);
}

/* Adds a mark and keeps the path; its width is 0.4 mm. */
static inline TapulMark *test_ink_take(TapulInk *ink, TapulMarkKind kind, TapulPath *path) {
    TapulMark *mark = g_new0(TapulMark, 1);
    mark->kind = kind;
    mark->path = path;
    mark->width_mm = kind == TAPUL_MARK_STROKE ? 0.4 : 0;
    mark->mitre_limit = 10;
    mark->motif = -1;
    g_ptr_array_add(ink->marks, mark);
    return mark;
}

static inline TapulPath *test_line(double x0, double y0, double x1, double y1) {
    TapulPath *path = tapul_path_new();
    tapul_path_move(path, tapul_vec2(x0, y0));
    tapul_path_line(path, tapul_vec2(x1, y1));
    return path;
}

#endif
