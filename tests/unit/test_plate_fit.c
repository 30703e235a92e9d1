/* Type plates fitted to a real one's measures: an affine image of the type, and how far the
 * form between the measures is known. */
#include "plates_for_tests.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static TapulVec3 size_mm(const TapulPlate *plate) {
    TapulVec3 low, high;
    tapul_plate_extent_mm(plate, &low, &high);
    return tapul_vec3_sub(high, low);
}

static TapulPlate *fitted(const char *name, TapulPlateFit fit) {
    g_autofree char *path =
        g_build_filename(g_getenv("TAPUL_SOURCE_ROOT"), "shapes", name, NULL);
    TapulPlateOptions options = tapul_plate_options_defaults();
    g_autoptr(GError) error = NULL;
    options.fit = fit;
    TapulPlate *plate = tapul_plate_load(path, &options, &error);
    ck_assert_msg(plate != NULL, "%s", error ? error->message : "");
    return plate;
}

START_TEST(a_type_plate_takes_the_measures_given) {
    g_autoptr(TapulPlate) plate =
        fitted("peascod-breastplate.yaml", (TapulPlateFit){514, 394, 159});
    TapulVec3 size = size_mm(plate);
    ck_assert_double_eq_tol(size.y, 514, 1e-9);
    ck_assert_double_eq_tol(size.x, 394, 1e-9);
    ck_assert_double_eq_tol(size.z, 159, 1e-9);
    ck_assert_ptr_nonnull(tapul_plate_fitted(plate));
    ck_assert_ptr_nonnull(tapul_plate_medial_line(plate));
}
END_TEST

START_TEST(a_measure_not_given_takes_the_mean_stretch_of_the_others) {
    g_autoptr(TapulPlate) type = fitted("peascod-breastplate.yaml", (TapulPlateFit){0});
    TapulVec3 of_type = size_mm(type);
    ck_assert_ptr_null(tapul_plate_fitted(type));
    g_autoptr(TapulPlate) plate =
        fitted("peascod-breastplate.yaml",
               (TapulPlateFit){.height_mm = 1.2 * of_type.y, .width_mm = 1.1 * of_type.x});
    ck_assert_double_eq_tol(size_mm(plate).z, sqrt(1.2 * 1.1) * of_type.z, 1e-9);
}
END_TEST

/* A sphere stretched along its axis of view is a spheroid, and a normal goes by the inverse
 * transpose of the stretch. */
START_TEST(a_fitted_sphere_is_a_spheroid) {
    static const char sphere[] = "{ kind: sphere, radius_mm: 100, half_angle_deg: 90 }";
    g_autoptr(TapulPlate) type = good_plate(sphere, "");
    g_autoptr(TapulPlate) plate =
        good_plate(sphere, "fit: { height_mm: 200, width_mm: 200, depth_mm: 150 }\n");
    const TapulMesh *mesh = tapul_plate_mesh(plate);
    for (int t = 0; t < mesh->n_triangles; t++) {
        TapulVec3 p = mesh->position_mm[mesh->corner[t][0]], n = mesh->normal[t][0];
        double y = p.y - 100;
        ck_assert_double_eq_tol((p.x * p.x + y * y) / 1e4 + p.z * p.z / 22500, 1, 1e-9);
        TapulVec3 round = tapul_plate_mesh(type)->normal[t][0];
        TapulVec3 closed = tapul_vec3_unit(tapul_vec3(round.x, round.y, round.z / 1.5));
        ck_assert_double_lt(tapul_vec3_distance(n, closed), 1e-9);
    }
}
END_TEST

/* --- How far the form is known --- */

/* Places of the metal at a net seen from the front. */
static GArray *places_mm(const TapulPlate *plate) {
    TapulVec3 low, high;
    GArray *places = g_array_new(FALSE, FALSE, sizeof(TapulVec3));
    tapul_plate_extent_mm(plate, &low, &high);
    for (int j = 1; j < 40; j++) {
        for (int i = 1; i < 40; i++) {
            TapulSpot spot;
            if (!tapul_plate_spot_from_front(plate, low.x + (high.x - low.x) * i / 40,
                                             low.y + (high.y - low.y) * j / 40, &spot, NULL))
                continue;
            TapulVec3 place = tapul_mesh_smooth_position_mm(tapul_plate_mesh(plate), spot);
            g_array_append_val(places, place);
        }
    }
    return places;
}

static int compare(gconstpointer a, gconstpointer b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* 95 % of how far the places of one lie from the other's surface, moved forward by forward_mm.
 */
static double off_p95_mm(const GArray *places, const TapulPlate *other, double forward_mm) {
    g_autoptr(GArray) off = g_array_new(FALSE, FALSE, sizeof(double));
    for (guint i = 0; i < places->len; i++) {
        TapulVec3 place = g_array_index(places, TapulVec3, i);
        TapulSpot spot;
        place.z += forward_mm;
        double distance_mm = tapul_mesh_tree_nearest(tapul_plate_tree(other), place, &spot);
        g_array_append_val(off, distance_mm);
    }
    ck_assert_uint_gt(off->len, 500);
    g_array_sort(off, compare);
    return g_array_index(off, double, (guint)(0.95 * (off->len - 1)));
}

/* The least of it over where the one stands in depth as a whole, which is no matter of form. */
static double spread_mm(const TapulPlate *a, const TapulPlate *b) {
    g_autoptr(GArray) places = places_mm(a);
    double least_mm = INFINITY;
    for (double forward_mm = -40; forward_mm <= 40; forward_mm += 1)
        least_mm = fmin(least_mm, off_p95_mm(places, b, forward_mm));
    return least_mm;
}

/* The figure that reports give is that of the shelf's breastplates: the widest of all pairs. */
START_TEST(the_spread_of_forms_is_that_of_the_shelf) {
    static const char *const names[] = {"peascod-breastplate.yaml",
                                        "globose-breastplate-early.yaml",
                                        "globose-breastplate-late.yaml"};
    const TapulPlateFit fit = {400, 350, 150};
    double widest_mm = 0, said_mm = 0;
    for (guint i = 0; i < G_N_ELEMENTS(names); i++) {
        for (guint j = 0; j < i; j++) {
            g_autoptr(TapulPlate) a = fitted(names[i], fit), b = fitted(names[j], fit);
            widest_mm = fmax(widest_mm, spread_mm(a, b));
            said_mm = tapul_plate_fitted(a)->uncertain_mm;
        }
    }
    printf("widest spread %.3f mm of a depth of %g mm\n", widest_mm, fit.depth_mm);
    ck_assert_double_eq_tol(widest_mm, said_mm, 0.5);
}
END_TEST

START_TEST(a_type_that_is_strained_is_told) {
    g_autoptr(TapulPlate) plate =
        fitted("peascod-breastplate.yaml", (TapulPlateFit){300, 400, 160});
    const GPtrArray *problems = tapul_plate_problems(plate);
    gboolean told = FALSE;
    for (guint i = 0; i < problems->len; i++)
        told = told || strstr(g_ptr_array_index(problems, i), "another type");
    ck_assert(told);
}
END_TEST

START_TEST(impossible_measures_are_refused) {
    static const struct {
        const char *fit, *said;
    } cases[] = {
        {"fit: { height_mm: -3 }", "height_mm"},
        {"fit: { height_mm: 5 }", "10"},
        {"fit: { breadth_mm: 300 }", "breadth_mm"},
        {"fit: {}", "at least one"},
        {"fit: 3", "fit"},
    };
    for (guint i = 0; i < G_N_ELEMENTS(cases); i++) {
        g_autoptr(GError) error = NULL;
        g_autoptr(TapulPlate) plate = plate_from_text(
            "{ kind: sphere, radius_mm: 100, half_angle_deg: 60 }", cases[i].fit, &error);
        ck_assert_msg(plate == NULL, "%s was taken", cases[i].fit);
        ck_assert_msg(strstr(error->message, cases[i].said) != NULL, "%s", error->message);
    }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("plate fit");
    TCase *tests = tcase_create("fit");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, a_type_plate_takes_the_measures_given);
    tcase_add_test(tests, a_measure_not_given_takes_the_mean_stretch_of_the_others);
    tcase_add_test(tests, a_fitted_sphere_is_a_spheroid);
    tcase_add_test(tests, the_spread_of_forms_is_that_of_the_shelf);
    tcase_add_test(tests, a_type_that_is_strained_is_told);
    tcase_add_test(tests, impossible_measures_are_refused);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
