/* Plates: areas, girths, curvature and points against closed forms; the shelf's plates;
 * descriptions at fault. */
#include "plates_for_tests.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define DEGREE (G_PI / 180)

/* --- Measures. Figures: recomputed from closed forms, as marked R in the project's table of
 * check values. --- */

typedef struct {
    const char *surface;
    double area_mm2, curvature_rad,
        tolerance; /* relative, of the area: flat triangles up to 0.05 mm below a
                      sphere of radius r miss up to 0.1 / r of it */
} Solid;

static const Solid solids[] = {
    /* frustum R95 r65 h60: area 33719.110709 */
    {"{ kind: cone, lower_radius_mm: 95, upper_radius_mm: 65, height_mm: 60, sweep_deg: 360 }",
     33719.110709, 0, 1e-4},
    /* cone R30 h40: lateral area 15 pi cm2 */
    {"{ kind: cone, lower_radius_mm: 30, upper_radius_mm: 0, height_mm: 40, sweep_deg: 360 }",
     1500 * G_PI, 0, 1e-4},
    {"{ kind: cylinder, radius_mm: 50, height_mm: 100, sweep_deg: 180 }", 5000 * G_PI, 0, 1e-4},
    /* unit cap areas 0.841787 (30 degrees), 3.141593 (60), 6.283185 (90), and 2 pi - 2 pi cos
       of curvature */
    {"{ kind: sphere, radius_mm: 100, half_angle_deg: 30 }", 8417.87, 0.841787, 1e-3},
    {"{ kind: sphere, radius_mm: 100, half_angle_deg: 60 }", 31415.93, 3.141593, 1e-3},
    {"{ kind: sphere, radius_mm: 150, half_angle_deg: 90 }", 141371.67, 6.283185, 6.7e-4},
};

START_TEST(solids_have_their_area_and_curvature) {
    const Solid *solid = &solids[_i];
    g_autoptr(TapulPlate) plate = good_plate(solid->surface, "");
    const TapulMesh *mesh = tapul_plate_mesh(plate);
    ck_assert_double_eq_tol(tapul_mesh_area_mm2(mesh), solid->area_mm2,
                            solid->tolerance * solid->area_mm2);
    /* Interior vertices only: the strip along the edge is missing from the sum. */
    double missing = solid->curvature_rad * 0.12;
    ck_assert_double_eq_tol(tapul_mesh_total_curvature_rad(mesh), solid->curvature_rad,
                            missing + 1e-9);
}
END_TEST

START_TEST(spheres_keep_to_the_chord_error) {
    g_autoptr(TapulPlate) plate =
        good_plate("{ kind: sphere, radius_mm: 150, half_angle_deg: 60 }", "");
    const TapulMesh *mesh = tapul_plate_mesh(plate);
    const TapulVec3 centre = {0, 150 * sin(60 * DEGREE), 0};
    for (int t = 0; t < mesh->n_triangles; t++) {
        TapulSpot middle = {t, {1 / 3.0, 1 / 3.0, 1 / 3.0}};
        double flat = tapul_vec3_distance(tapul_mesh_flat_position_mm(mesh, middle), centre);
        double smooth =
            tapul_vec3_distance(tapul_mesh_smooth_position_mm(mesh, middle), centre);
        ck_assert_double_ge(flat, 150 - 0.05);
        ck_assert_double_eq_tol(smooth, 150, 1e-3);
    }
}
END_TEST

/* Girth of an ellipse with semi-axes 200 and 120: 1021.079955 (R). Level cuts of an elliptic
 * tube. */
START_TEST(an_elliptic_tube_has_its_girth) {
    g_autoptr(GString) surface = g_string_new("{ kind: stations, stations: [");
    for (int y = 0; y <= 200; y += 100) {
        g_string_append_printf(surface, "%s{ y_mm: %d, section_mm: [", y > 0 ? ", " : "", y);
        for (int d = 0; d <= 180; d += 5)
            g_string_append_printf(surface, "%s[%.6f, %.6f]", d > 0 ? ", " : "",
                                   d % 180 == 0 ? 0 : 200 * sin(d * DEGREE),
                                   120 * cos(d * DEGREE));
        g_string_append(surface, "] }");
    }
    g_string_append(surface, "] }");
    g_autoptr(TapulPlate) plate = good_plate(surface->str, "");
    double left, right;
    ck_assert(tapul_plate_has_seam(plate));
    ck_assert(tapul_plate_level_extent(plate, 77, &left, &right));
    ck_assert_double_eq_tol(right - left, 1021.079955, 0.15);
    ck_assert_double_eq_tol(right, -left, 1e-6);
}
END_TEST

START_TEST(uneven_sections_meet_along_the_medial_line) {
    g_autoptr(TapulPlate) plate = good_plate(
        "{ kind: stations, stations: ["
        "{ y_mm: 0, section_mm: [[-70, 0], [-40, 40], [0, 55], [50, 42], [90, 0]] },"
        "{ y_mm: 60, section_mm: [[-80, 0], [-40, 48], [0, 62], [50, 50], [100, 10]] },"
        "{ y_mm: 120, section_mm: [[-60, 5], [-30, 38], [0, 50], [40, 40], [95, 0]] }] }",
        "");
    double left, right;
    ck_assert(tapul_plate_level_extent(plate, 60, &left, &right));
    ck_assert_double_gt(right, -left + 5);
}
END_TEST

START_TEST(stations_of_a_sphere_give_the_sphere) {
    /* Readings each 15 degrees of a ball of radius 120, for heights 0 to 100 above its equator.
     */
    g_autoptr(GString) surface = g_string_new("{ kind: stations, stations: [");
    for (int y = 0; y <= 100; y += 20) {
        double r = sqrt(120.0 * 120.0 - y * y);
        g_string_append_printf(surface, "%s{ y_mm: %d, section_mm: [", y > 0 ? ", " : "", y);
        for (int d = 0; d <= 90; d += 15)
            g_string_append_printf(surface, "%s[%.6f, %.6f]", d > 0 ? ", " : "",
                                   r * sin(d * DEGREE), r * cos(d * DEGREE));
        g_string_append(surface, "] }");
    }
    g_string_append(surface, "] }");
    g_autoptr(TapulPlate) plate = good_plate(surface->str, "");
    const TapulMesh *mesh = tapul_plate_mesh(plate);
    double worst = 0;
    for (int v = 0; v < mesh->n_vertices; v++)
        worst = fmax(worst, fabs(tapul_vec3_length(mesh->position_mm[v]) - 120));
    ck_assert_double_lt(worst, 0.25);
    /* A zone of height h has the area 2 pi r h; here half of it. */
    ck_assert_double_eq_tol(tapul_mesh_area_mm2(mesh), G_PI * 120 * 100,
                            2e-3 * G_PI * 120 * 100);
}
END_TEST

/* A square of four corners, trimmed: areas by hand. */
START_TEST(a_coarse_mesh_is_trimmed_to_its_outline) {
    static const struct {
        const char *outline;
        double area_mm2;
    } trims[] = {
        {"[[20, 20], [80, 20], [80, 80], [20, 80]]", 3600},
        {"[[0, 0], [100, 0], [100, 100], [0, 100]]", 10000},
        {"[[10, 10], [90, 10], [50, 80]]", 2800},
    };
    g_autofree char *obj = g_build_filename(g_get_tmp_dir(), "tapul-test-square.obj", NULL);
    ck_assert(g_file_set_contents(
        obj, "v 0 0 0\nv 100 0 0\nv 100 100 0\nv 0 100 0\nf 1 2 3 4\n", -1, NULL));
    g_autofree char *surface = g_strdup_printf("{ kind: mesh, file: %s }", obj);
    for (guint i = 0; i < G_N_ELEMENTS(trims); i++) {
        g_autofree char *outline = g_strdup_printf("outline_mm: %s\n", trims[i].outline);
        g_autoptr(TapulPlate) plate = good_plate(surface, outline);
        ck_assert_double_eq_tol(tapul_mesh_area_mm2(tapul_plate_mesh(plate)), trims[i].area_mm2,
                                2e-3 * trims[i].area_mm2);
    }
    g_unlink(obj);
}
END_TEST

/* At a straight level edge the cut runs along the edge: the half girth of a cylinder, pi r. */
START_TEST(level_edges_have_their_girth) {
    g_autoptr(TapulPlate) plate =
        good_plate("{ kind: cylinder, radius_mm: 50, height_mm: 100, sweep_deg: 180 }",
                   "outline_mm: [[-50, 0], [50, 0], [50, 100], [-50, 100]]\n");
    for (int up = 0; up <= 100; up += 50) {
        TapulSpot spot;
        ck_assert(tapul_plate_spot_from_tape(plate, 60, up, &spot, NULL));
        ck_assert(tapul_plate_spot_from_tape(plate, -60, up, &spot, NULL));
    }
}
END_TEST

/* --- Points --- */

static const char *const shelf[] = {"peascod-breastplate.yaml", "gorget-front.yaml",
                                    "vambrace-cannon.yaml"};

static TapulPlate *from_shelf(const char *name) {
    g_autofree char *path =
        g_build_filename(g_getenv("TAPUL_SOURCE_ROOT"), "shapes", name, NULL);
    g_autoptr(GError) error = NULL;
    TapulPlate *plate = tapul_plate_load(path, NULL, &error);
    ck_assert_msg(plate != NULL, "%s", error ? error->message : "");
    return plate;
}

START_TEST(tape_coordinates_round_trip) {
    g_autoptr(TapulPlate) plate = from_shelf(shelf[_i]);
    const TapulMesh *mesh = tapul_plate_mesh(plate);
    g_autoptr(GRand) random = g_rand_new_with_seed(7);
    int n = 0;
    for (int i = 0; i < 2000; i++) {
        double a = g_rand_double(random), b = g_rand_double(random);
        TapulSpot spot = {g_rand_int_range(random, 0, mesh->n_triangles),
                          {a * b, a * (1 - b), 1 - a}},
                  back;
        double across, up;
        /* Where the level cut does not reach the medial line, there is no tape reading. */
        if (!tapul_plate_tape_from_spot(plate, spot, &across, &up))
            continue;
        ck_assert(tapul_plate_spot_from_tape(plate, across, up, &back, NULL));
        double error_mm = tapul_vec3_distance(tapul_mesh_flat_position_mm(mesh, spot),
                                              tapul_mesh_flat_position_mm(mesh, back));
        ck_assert_double_lt(error_mm, 0.01);
        n++;
    }
    ck_assert_int_gt(n, 1000);
}
END_TEST

START_TEST(front_coordinates_round_trip) {
    g_autoptr(TapulPlate) plate = from_shelf(shelf[_i]);
    int n = 0;
    for (int x = -60; x <= 60; x += 7) {
        for (int y = 10; y <= 100; y += 9) {
            TapulSpot spot;
            if (!tapul_plate_spot_from_front(plate, x, y, &spot, NULL))
                continue;
            TapulVec3 seen = tapul_mesh_smooth_position_mm(tapul_plate_mesh(plate), spot);
            ck_assert_double_eq_tol(seen.x, x, 0.01);
            ck_assert_double_eq_tol(seen.y, y, 0.01);
            n++;
        }
    }
    ck_assert_int_gt(n, 50);
}
END_TEST

START_TEST(tape_on_a_cylinder_is_arc_and_height) {
    g_autoptr(TapulPlate) plate =
        good_plate("{ kind: cylinder, radius_mm: 50, height_mm: 100, sweep_deg: 180 }", "");
    TapulSpot spot;
    ck_assert(tapul_plate_spot_from_tape(plate, 30, 40, &spot, NULL));
    TapulVec3 p = tapul_mesh_smooth_position_mm(tapul_plate_mesh(plate), spot);
    ck_assert_double_eq_tol(p.x, 50 * sin(30.0 / 50), 0.01);
    ck_assert_double_eq_tol(p.y, 40, 1e-6);
    ck_assert_double_eq_tol(p.z, 50 * cos(30.0 / 50), 0.01);
}
END_TEST

START_TEST(points_off_the_plate_say_how_far_it_reaches) {
    g_autoptr(TapulPlate) plate =
        good_plate("{ kind: cylinder, radius_mm: 50, height_mm: 100, sweep_deg: 180 }", "");
    g_autoptr(GError) across = NULL;
    g_autoptr(GError) up = NULL;
    g_autoptr(GError) space = NULL;
    g_autoptr(GError) front = NULL;
    TapulSpot spot;
    ck_assert(!tapul_plate_spot_from_tape(plate, 90, 40, &spot, &across));
    ck_assert(strstr(across->message, "90") && strstr(across->message, "78.5"));
    ck_assert(!tapul_plate_spot_from_tape(plate, 0, 101, &spot, &up));
    ck_assert(strstr(up->message, "100.0"));
    ck_assert(!tapul_plate_spot_from_xyz(plate, tapul_vec3(0, 50, 56), &spot, &space));
    ck_assert(strstr(space->message, "6.0 mm"));
    ck_assert(!tapul_plate_spot_from_front(plate, 51, 50, &spot, &front));
    ck_assert_ptr_nonnull(front);
}
END_TEST

START_TEST(shelf_plates_are_even_discs) {
    g_autoptr(TapulPlate) plate = from_shelf(shelf[_i]);
    const TapulMesh *mesh = tapul_plate_mesh(plate);
    double left, right;
    ck_assert(tapul_mesh_check_disc(mesh, NULL));
    ck_assert_uint_eq(tapul_plate_problems(plate)->len, 0);
    ck_assert(tapul_plate_level_extent(plate, 60, &left, &right));
    ck_assert_double_eq_tol(left, -right, 1e-6);
    ck_assert_ptr_nonnull(strstr(tapul_plate_source(plate), "invented"));
}
END_TEST

START_TEST(a_ridge_is_a_crease_and_a_smooth_plate_has_none) {
    static const char stations[] =
        "{ kind: stations, stations: [{ y_mm: 0, section_mm: [[0, 60], [30, 50], [60, 30], "
        "[80, 0]] },"
        " { y_mm: 60, section_mm: [[0, 70], [30, 58], [60, 36], [85, 0]] },"
        " { y_mm: 120, section_mm: [[0, 60], [30, 50], [60, 30], [80, 0]] }] }";
    for (int ridge = 0; ridge <= 1; ridge++) {
        g_autoptr(TapulPlate) plate = good_plate(stations, ridge ? "ridge: true\n" : "");
        const TapulMesh *mesh = tapul_plate_mesh(plate);
        double widest = 0;
        for (int t = 0; t < mesh->n_triangles; t++)
            for (int k = 0; k < 3; k++)
                if (mesh->position_mm[mesh->corner[t][k]].x == 0)
                    widest = fmax(widest, fabs(mesh->normal[t][k].x));
        if (ridge)
            ck_assert_double_gt(widest, 0.15);
        else
            ck_assert_double_lt(widest, 1e-3);
    }
}
END_TEST

/* --- Descriptions at fault --- */

static const struct {
    const char *surface, *more, *expected;
} faults[] = {
    {"{ kind: cylinder, radius_mm: -5, height_mm: 10 }", "",
     ":3: radius_mm: -5 is not between 1 and 5000"},
    {"{ kind: cylinder, radius_mm: 5 }", "", ":3: the key 'height_mm' is missing"},
    {"{ kind: cylinder, radius_mm: wide, height_mm: 10 }", "",
     "radius_mm: 'wide' is not a number"},
    {"{ kind: cylinder, radius_mm: .nan, height_mm: 10 }", "",
     "radius_mm: '.nan' is not a number"},
    {"{ kind: cylinder, radius_mm: nan, height_mm: 10 }", "",
     "radius_mm: nan is not between 1 and 5000"},
    {"{ kind: cube, radius_mm: 5 }", "", "kind: 'cube' is none of: stations, cylinder"},
    {"{ kind: sphere, radius_mm: 50, half_angle_deg: 20, sweep_deg: 4 }", "",
     "unknown key 'sweep_deg'"},
    {"{ kind: sphere, radius_mm: 50, half_angle_deg: 20 }", "colour: red\n",
     ":4: unknown key 'colour'"},
    {"{ kind: sphere, radius_mm: 50, half_angle_deg: 20 }", "ridge: perhaps\n",
     "ridge: 'perhaps' is neither true nor false"},
    {"{ kind: sphere, radius_mm: 50, half_angle_deg: 20 }",
     "outline_mm: [[0, 0], [30, 30], [30, 0], [0, 30]]\n", "crosses itself"},
    {"{ kind: sphere, radius_mm: 50, half_angle_deg: 20 }",
     "outline_mm: [[900, 0], [930, 0], [930, 30]]\n", "off the surface"},
    {"{ kind: stations, stations: [{ y_mm: 10, section_mm: [[0, 9], [40, 0]] }, { y_mm: 5, "
     "section_mm: [[0, 9], [40, 0]] }] }",
     "", "5 is not above 10 mm"},
    {"{ kind: stations, stations: [{ y_mm: 10, section_mm: [[0, 9], [40, 0]] }] }", "",
     "1 given, between 2 and"},
    {"{ kind: stations, stations: [{ y_mm: 0, section_mm: [[5, 9], [40, 0]] }, { y_mm: 5, "
     "section_mm: [[0, 9], [40, 0]] }] }",
     "", "runs from negative to positive x"},
    {"{ kind: mesh, file: no-such-file.ply }", "", "no-such-file.ply"},
    {"[1, 2]", "", "a list where a map"},
};

START_TEST(descriptions_at_fault_are_refused_in_words) {
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulPlate) plate = plate_from_text(faults[_i].surface, faults[_i].more, &error);
    ck_assert_ptr_null(plate);
    ck_assert_ptr_nonnull(error);
    ck_assert_msg(strstr(error->message, faults[_i].expected) != NULL, "'%s' lacks '%s'",
                  error->message, faults[_i].expected);
}
END_TEST

START_TEST(all_faults_of_a_file_are_told_together) {
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulPlate) plate =
        plate_from_text("{ kind: cylinder, radius_mm: -5, height_mm: 0 }",
                        "colour: red\nthickness_mm: 900\n", &error);
    ck_assert_ptr_null(plate);
    g_auto(GStrv) lines = g_strsplit(error->message, "\n", -1);
    ck_assert_uint_eq(g_strv_length(lines), 4);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("plate");
    TCase *tests = tcase_create("plate");
    tcase_set_timeout(tests, 60);
    tcase_add_loop_test(tests, solids_have_their_area_and_curvature, 0,
                        (int)G_N_ELEMENTS(solids));
    tcase_add_test(tests, spheres_keep_to_the_chord_error);
    tcase_add_test(tests, an_elliptic_tube_has_its_girth);
    tcase_add_test(tests, a_coarse_mesh_is_trimmed_to_its_outline);
    tcase_add_test(tests, level_edges_have_their_girth);
    tcase_add_test(tests, uneven_sections_meet_along_the_medial_line);
    tcase_add_test(tests, stations_of_a_sphere_give_the_sphere);
    tcase_add_loop_test(tests, tape_coordinates_round_trip, 0, (int)G_N_ELEMENTS(shelf));
    tcase_add_loop_test(tests, front_coordinates_round_trip, 0, (int)G_N_ELEMENTS(shelf));
    tcase_add_test(tests, tape_on_a_cylinder_is_arc_and_height);
    tcase_add_test(tests, points_off_the_plate_say_how_far_it_reaches);
    tcase_add_loop_test(tests, shelf_plates_are_even_discs, 0, (int)G_N_ELEMENTS(shelf));
    tcase_add_test(tests, a_ridge_is_a_crease_and_a_smooth_plate_has_none);
    tcase_add_loop_test(tests, descriptions_at_fault_are_refused_in_words, 0,
                        (int)G_N_ELEMENTS(faults));
    tcase_add_test(tests, all_faults_of_a_file_are_told_together);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
