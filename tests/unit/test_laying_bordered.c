/* The bordered rule: a repeat run along an edge or a line. Lengths and places against the
 * closed forms of plane, cylinder and sphere (elementary geometry). */
#include <check.h>
#include <stdlib.h>
#include <tapul/case.h>

#include "grounds_for_tests.h"

/* How far a closed form may be from what a plate of 0.05 mm chord error gives. */
#define CLOSED_FORM_MM 0.05
/* Laid and brought back, a point may be this far off. */
#define ROUND_TRIP_MM 0.02
/* Where one repeat ends the next begins. */
#define JOIN_MM 0.02

#define PRINT_WIDTH_MM  30.0
#define PRINT_HEIGHT_MM 12.0
#define DISC_RADIUS_MM  100.0

static TapulLayingOptions border(double offset_mm) {
    TapulLayingOptions options = {.rule = TAPUL_LAYING_BORDERED, .scale = 1};
    options.border.width_mm = PRINT_WIDTH_MM;
    options.border.height_mm = PRINT_HEIGHT_MM;
    options.border.offset_mm = offset_mm;
    return options;
}

static TapulLaying *laying_of(const TestGround *made, TapulLayingOptions options) {
    g_autoptr(GError) error = NULL;
    TapulLaying *laying = tapul_laying_new(&made->ground, &options, &error);
    ck_assert_msg(laying != NULL, "%s", error ? error->message : "no error given");
    return laying;
}

static TapulVec3 laid_mm(const TestGround *made, const TapulLaying *laying, double x,
                         double y) {
    TapulSpot spot;
    ck_assert_msg(tapul_laying_spot(laying, tapul_vec2(x, y), &spot), "%g, %g is not laid", x,
                  y);
    return spot_mm(made, spot);
}

/* A flat disc that faces the viewer, its rings 5 mm apart. */
static TestGround *flat_disc(void) {
    enum { RINGS = 20 };
    g_autoptr(GString) text = g_string_new("v 0 0 0\n");
    for (int ring = 1; ring <= RINGS; ring++)
        for (int i = 0; i < 6 * ring; i++) {
            double r = DISC_RADIUS_MM * ring / RINGS, angle = 2 * G_PI * i / (6 * ring);
            g_string_append_printf(text, "v %.12f %.12f 0\n", r * cos(angle), r * sin(angle));
        }
    for (int ring = 1; ring <= RINGS; ring++)
        for (int side = 0; side < 6; side++) {
            int outer = 2 + 3 * ring * (ring - 1), inner = 2 + 3 * (ring - 1) * (ring - 2);
            int n_outer = 6 * ring, n_inner = 6 * (ring - 1);
            for (int i = 0; i < ring; i++) {
                int a = outer + side * ring + i, b = outer + (side * ring + i + 1) % n_outer;
                int c = ring == 1 ? 1 : inner + (side * (ring - 1) + i) % n_inner;
                g_string_append_printf(text, "f %d %d %d\n", a, b, c);
                if (i + 1 < ring) {
                    int d = inner + (side * (ring - 1) + i + 1) % n_inner;
                    g_string_append_printf(text, "f %d %d %d\n", c, b, d);
                }
            }
        }
    g_autofree char *path = NULL;
    int handle = g_file_open_tmp("tapul-XXXXXX.obj", &path, NULL);
    ck_assert_int_ge(handle, 0);
    g_close(handle, NULL);
    ck_assert(g_file_set_contents(path, text->str, -1, NULL));
    g_autoptr(GError) error = NULL;
    TapulPlate *plate = tapul_plate_load(path, NULL, &error);
    ck_assert_msg(plate != NULL, "%s", error ? error->message : "no plate");
    g_unlink(path);
    return test_ground_take(plate, 0);
}

START_TEST(border_of_a_disc_runs_on_a_circle) {
    g_autoptr(TestGround) made = flat_disc();
    for (double offset = 8; offset < 50; offset += 7.5) {
        g_autoptr(TapulLaying) laying = laying_of(made, border(offset));
        TapulLayingRun run = tapul_laying_run(laying);
        ck_assert_double_eq_tol(run.run_mm, 2 * G_PI * (DISC_RADIUS_MM - offset),
                                CLOSED_FORM_MM);
        ck_assert_double_eq_tol(run.run_mm, run.repeats * PRINT_WIDTH_MM * run.along, 1e-6);
        ck_assert_double_eq(run.off_edge_mm, 0);
        for (double x = 0; x < run.repeats * PRINT_WIDTH_MM; x += 4.7) {
            double up = fmod(x, PRINT_HEIGHT_MM);
            TapulVec3 at = laid_mm(made, laying, x, up);
            ck_assert_double_eq_tol(hypot(at.x, at.y),
                                    DISC_RADIUS_MM - offset - up + PRINT_HEIGHT_MM / 2,
                                    CLOSED_FORM_MM);
        }
    }
}
END_TEST

/* The print's x goes round counter-clockwise, the metal on the left, its y inward. */
START_TEST(border_keeps_the_metal_on_its_left) {
    g_autoptr(TestGround) made = flat_disc();
    TapulLayingOptions options = border(20);
    options.border.has_from = TRUE;
    options.border.from = front_spot(made->plate, 99, 0);
    g_autoptr(TapulLaying) laying = laying_of(made, options);
    TapulVec3 start = laid_mm(made, laying, 0, PRINT_HEIGHT_MM / 2);
    ck_assert_double_eq_tol(start.x, 80, CLOSED_FORM_MM);
    ck_assert_double_eq_tol(start.y, 0, CLOSED_FORM_MM);
    ck_assert_double_gt(laid_mm(made, laying, 10, PRINT_HEIGHT_MM / 2).y, 5);
    ck_assert_double_lt(laid_mm(made, laying, 0, PRINT_HEIGHT_MM).x, 75);
    double s1, s2;
    gboolean folded;
    ck_assert(tapul_laying_stretch(laying, tapul_vec2(3, 5), &s1, &s2, &folded));
    ck_assert(!folded);
    options.reversed = TRUE;
    g_autoptr(TapulLaying) reversed = laying_of(made, options);
    ck_assert(tapul_laying_stretch(reversed, tapul_vec2(3, 5), &s1, &s2, &folded));
    ck_assert(!folded);
    int repeats = tapul_laying_run(reversed).repeats;
    ck_assert_double_le(
        tapul_vec3_distance(laid_mm(made, laying, 7, 4),
                            laid_mm(made, reversed, repeats * PRINT_WIDTH_MM - 7, 4)),
        1e-6);
}
END_TEST

START_TEST(border_goes_from_a_point_to_another) {
    g_autoptr(TestGround) made = flat_disc();
    TapulLayingOptions options = border(10);
    options.border.has_from = options.border.has_to = TRUE;
    options.border.from = front_spot(made->plate, 99, 0);
    options.border.to = front_spot(made->plate, 0, 99);
    g_autoptr(TapulLaying) laying = laying_of(made, options);
    TapulLayingRun run = tapul_laying_run(laying);
    ck_assert_double_eq_tol(run.run_mm, 90 * G_PI / 2, CLOSED_FORM_MM);
    ck_assert_int_eq(run.repeats, 5); /* 141.4 mm by 30 */
    TapulVec3 end = laid_mm(made, laying, run.repeats * PRINT_WIDTH_MM, 6);
    ck_assert_double_eq_tol(end.x, 0, CLOSED_FORM_MM);
    ck_assert_double_eq_tol(end.y, 90, CLOSED_FORM_MM);
    TapulSpot spot;
    ck_assert(!tapul_laying_spot(laying, tapul_vec2(-0.1, 6), &spot));
    ck_assert(!tapul_laying_spot(laying, tapul_vec2(150.1, 6), &spot));
}
END_TEST

START_TEST(border_of_a_cap_keeps_its_geodesic_offset) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    const double radius = 150, rim = G_PI / 3;
    for (double offset = 8; offset < 60; offset += 10) {
        g_autoptr(TapulLaying) laying = laying_of(made, border(offset));
        TapulLayingRun run = tapul_laying_run(laying);
        ck_assert_double_eq_tol(run.run_mm, 2 * G_PI * radius * sin(rim - offset / radius),
                                CLOSED_FORM_MM);
        for (double x = 0; x < run.repeats * PRINT_WIDTH_MM; x += 6.1) {
            double up = fmod(x, PRINT_HEIGHT_MM) - PRINT_HEIGHT_MM / 2;
            TapulVec3 at = laid_mm(made, laying, x, up + PRINT_HEIGHT_MM / 2);
            double polar = acos(at.z / radius);
            ck_assert_double_eq_tol(radius * polar, radius * rim - offset - up, CLOSED_FORM_MM);
        }
    }
}
END_TEST

START_TEST(border_along_a_level_of_a_cylinder_is_rolled_off_flat) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    TapulSpot points[] = {front_spot(made->plate, -60, 150), front_spot(made->plate, 60, 150)};
    double length_mm = 2 * 100 * asin(0.6);
    TapulLayingOptions options = border(NAN);
    options.border.n_points = 2;
    options.border.points = points;
    g_autoptr(TapulLaying) laying = laying_of(made, options);
    TapulLayingRun run = tapul_laying_run(laying);
    ck_assert_double_eq_tol(run.run_mm, length_mm, CLOSED_FORM_MM);
    ck_assert_int_eq(run.repeats, 4); /* 128.7 mm by 30 */
    for (double x = 0; x <= 120; x += 2.5) {
        TapulVec3 at = laid_mm(made, laying, x, 10);
        double angle = -asin(0.6) + x * run.along / 100;
        ck_assert_double_eq_tol(at.x, 100 * sin(angle), CLOSED_FORM_MM);
        ck_assert_double_eq_tol(at.y, 154, CLOSED_FORM_MM);
    }
    options.border.offset_mm = -20;
    g_autoptr(TapulLaying) lower = laying_of(made, options);
    ck_assert_double_eq_tol(laid_mm(made, lower, 11, 6).y, 130, CLOSED_FORM_MM);
}
END_TEST

/* A corner's arcs: 90 degrees between sides of 80 mm save 2 r - r pi / 2. */
START_TEST(line_rounds_its_corners) {
    g_autoptr(TestGround) made = flat_disc();
    TapulSpot points[] = {front_spot(made->plate, -40, -40), front_spot(made->plate, 40, -40),
                          front_spot(made->plate, 40, 40)};
    TapulLayingOptions options = border(NAN);
    options.border.n_points = 3;
    options.border.points = points;
    g_autoptr(TapulLaying) laying = laying_of(made, options);
    double radius = 1.15 * PRINT_HEIGHT_MM / 2;
    ck_assert_double_eq_tol(tapul_laying_run(laying).run_mm,
                            160 - 2 * radius + radius * G_PI / 2, CLOSED_FORM_MM);
    options.border.smooth = TRUE;
    g_autoptr(TapulLaying) smooth = laying_of(made, options);
    ck_assert_double_gt(tapul_laying_run(smooth).run_mm, 160);
}
END_TEST

static void check_round_trip(const TestGround *made, const TapulLaying *laying) {
    TapulLayingRun run = tapul_laying_run(laying);
    double all_mm = run.repeats * PRINT_WIDTH_MM;
    g_autoptr(GRand) random = g_rand_new_with_seed(5);
    int laid = 0;
    for (int i = 0; i < 200; i++) {
        TapulVec2 p = {g_rand_double_range(random, 0.01, all_mm - 0.01),
                       g_rand_double_range(random, 0, PRINT_HEIGHT_MM)};
        TapulSpot spot, again;
        TapulVec2 back;
        if (!tapul_laying_spot(laying, p, &spot))
            continue;
        laid++;
        ck_assert_msg(tapul_laying_print(laying, spot, &back), "no way back from %g, %g", p.x,
                      p.y);
        if (tapul_vec2_distance(p, back) <= ROUND_TRIP_MM)
            continue;
        /* Over a fold two print points lie on one spot. */
        ck_assert(tapul_laying_spot(laying, back, &again));
        ck_assert_double_le(tapul_vec3_distance(spot_mm(made, spot), spot_mm(made, again)),
                            ROUND_TRIP_MM);
        double s1, s2;
        gboolean folded;
        ck_assert(tapul_laying_stretch(laying, p, &s1, &s2, &folded));
        ck_assert_msg(folded, "%g, %g comes back as %g, %g", p.x, p.y, back.x, back.y);
    }
    ck_assert_int_gt(laid, 190);
}

/* Across the ends of repeats, and of the whole, the border goes on without a step. */
static void check_joins(const TestGround *made, const TapulLaying *laying) {
    TapulLayingRun run = tapul_laying_run(laying);
    const double hair_mm = 1e-3;
    for (int repeat = 0; repeat < run.repeats; repeat++)
        for (double y = 0; y <= PRINT_HEIGHT_MM; y += 3) {
            double x = repeat * PRINT_WIDTH_MM;
            double before = repeat > 0 ? x - hair_mm : run.repeats * PRINT_WIDTH_MM - hair_mm;
            ck_assert_double_le(tapul_vec3_distance(laid_mm(made, laying, before, y),
                                                    laid_mm(made, laying, x, y)),
                                JOIN_MM);
        }
}

START_TEST(repeats_join_and_have_their_way_back) {
    g_autoptr(TestGround) disc = flat_disc();
    g_autoptr(TestGround) sphere = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    for (int reversed = 0; reversed < 2; reversed++) {
        TapulLayingOptions options = border(NAN);
        options.reversed = reversed;
        g_autoptr(TapulLaying) on_disc = laying_of(disc, options);
        g_autoptr(TapulLaying) on_sphere = laying_of(sphere, options);
        check_joins(disc, on_disc);
        check_joins(sphere, on_sphere);
        check_round_trip(disc, on_disc);
        check_round_trip(sphere, on_sphere);
    }
}
END_TEST

/* Sharp corners of a cylinder's sheet are rounded off so that nothing folds. */
START_TEST(border_turns_sharp_corners_without_a_fold) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    g_autoptr(TapulLaying) laying = laying_of(made, border(NAN));
    TapulLayingRun run = tapul_laying_run(laying);
    /* A rectangle of the sheet, 9 mm in, its corners arcs of the rounding disc's radius less
     * the offset. */
    double width = 100 * 170 * G_PI / 180, height = 300, radius = 1.15 * 15, inner = radius - 9;
    ck_assert_double_eq_tol(run.run_mm,
                            2 * (width + height - 36) - 8 * inner + 2 * G_PI * inner, 0.5);
    ck_assert_double_gt(run.off_edge_mm, 2 * G_PI * inner * 0.8);
    for (double x = 0; x < run.repeats * PRINT_WIDTH_MM; x += 1.3)
        for (double y = 0; y <= PRINT_HEIGHT_MM; y += 4) {
            double s1, s2;
            gboolean folded;
            ck_assert(tapul_laying_stretch(laying, tapul_vec2(x, y), &s1, &s2, &folded));
            ck_assert(!folded);
        }
    check_joins(made, laying);
    check_round_trip(made, laying);
}
END_TEST

START_TEST(border_of_a_peascod_breastplate_folds_nowhere) {
    g_autoptr(TestGround) made = test_ground_from_file("shapes/peascod-breastplate.yaml", 200);
    g_autoptr(TapulLaying) laying = laying_of(made, border(NAN));
    TapulLayingRun run = tapul_laying_run(laying);
    int folds = 0, off = 0, all = 0;
    for (double x = 0; x < run.repeats * PRINT_WIDTH_MM; x += 0.7)
        for (double y = 0; y <= PRINT_HEIGHT_MM; y += 3) {
            double s1, s2;
            gboolean folded;
            all++;
            if (!tapul_laying_stretch(laying, tapul_vec2(x, y), &s1, &s2, &folded))
                off++;
            else
                folds += folded;
        }
    ck_assert_int_gt(all, 1000);
    ck_assert_msg(folds == 0 && off == 0, "%d folded, %d off the plate, of %d", folds, off,
                  all);
    check_joins(made, laying);
    check_round_trip(made, laying);
}
END_TEST

START_TEST(border_of_a_tube_runs_round_both_ends) {
    g_autoptr(TestGround) made = test_ground_new(
        "{ kind: cone, lower_radius_mm: 40, upper_radius_mm: 55, height_mm: 200, "
        "sweep_deg: 360 }",
        100);
    g_autoptr(TapulLaying) laying = laying_of(made, border(10));
    TapulLayingRun run = tapul_laying_run(laying);
    double slant = hypot(15, 200), in = 10 * 15 / slant;
    double lower = 2 * G_PI * (40 + in), upper = 2 * G_PI * (55 - in);
    ck_assert_double_eq_tol(run.run_mm, lower + upper, 2 * CLOSED_FORM_MM);
    int lower_repeats = (int)round(lower / PRINT_WIDTH_MM);
    int upper_repeats = (int)round(upper / PRINT_WIDTH_MM);
    ck_assert_int_eq(run.repeats, lower_repeats + upper_repeats);
    int low = 0, high = 0;
    for (int k = 0; k < run.repeats; k++) {
        TapulVec3 at = laid_mm(made, laying, (k + 0.5) * PRINT_WIDTH_MM, 6);
        low += fabs(at.y - 10 * 200 / slant) < CLOSED_FORM_MM;
        high += fabs(at.y - 200 + 10 * 200 / slant) < CLOSED_FORM_MM;
    }
    ck_assert_int_eq(low, lower_repeats);
    ck_assert_int_eq(high, upper_repeats);
}
END_TEST

START_TEST(ink_is_laid_once_for_each_repeat) {
    g_autoptr(TestGround) made = flat_disc();
    g_autoptr(TapulLaying) laying = laying_of(made, border(20));
    TapulLayingRun run = tapul_laying_run(laying);
    TapulInk *ink = test_ink_new();
    test_ink_take(ink, TAPUL_MARK_STROKE, test_line(0, 6, PRINT_WIDTH_MM, 6));
    test_ink_take(ink, TAPUL_MARK_STROKE, test_line(15, 2, 15, 8));
    TapulLayInkOptions options = tapul_lay_ink_options_defaults();
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulLaidInk) laid = tapul_lay_ink(laying, ink, &options, &error);
    ck_assert_msg(laid != NULL, "%s", error ? error->message : "");
    ck_assert_int_eq(laid->repeats, run.repeats);
    ck_assert_double_eq_tol(laid->ink_length_mm, run.repeats * (PRINT_WIDTH_MM + 6), 1e-6);
    ck_assert_double_eq_tol(laid->laid_length_mm, 2 * G_PI * 80 + run.repeats * 6, 0.1);
    ck_assert_double_le(laid->beyond_edge_mm, 0.01 * run.repeats);
    ck_assert_double_eq(laid->folded_mm, 0);
    test_ink_free(ink);
}
END_TEST

static void check_refused(const TestGround *made, TapulLayingOptions options,
                          const char *says) {
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(tapul_laying_new(&made->ground, &options, &error));
    ck_assert(error && error->domain == TAPUL_LAYING_ERROR);
    ck_assert_msg(strstr(error->message, says) && !strchr(error->message, '\n'),
                  "'%s' does not say '%s' in one line", error->message, says);
}

START_TEST(impossible_borders_are_refused) {
    g_autoptr(TestGround) made = flat_disc();
    TapulSpot points[] = {front_spot(made->plate, 0, 0), front_spot(made->plate, 0.1, 0)};
    TapulLayingOptions options = border(NAN);
    options.scale = -1;
    check_refused(made, options, "scale -1");
    check_refused(made, border(0), "offset_mm 0");
    check_refused(made, border(INFINITY), "offset_mm inf");
    check_refused(made, border(97), "no metal is further than");
    options = border(20);
    options.border.repeat_mm = -3;
    check_refused(made, options, "repeat_mm -3");
    options = border(20);
    options.border.height_mm = 0;
    check_refused(made, options, "print height 0");
    options = border(20);
    options.border.has_to = TRUE;
    check_refused(made, options, "from a point");
    options = border(20);
    options.border.n_points = 1;
    options.border.points = points;
    check_refused(made, options, "at least 2 points");
    options.border.n_points = 2;
    check_refused(made, options, "apart");
    options = border(20);
    options.scale = 0.001;
    options.border.repeat_mm = 0.1;
    check_refused(made, options, "repeats");
    TapulSpot outside[] = {front_spot(made->plate, -90, 0), front_spot(made->plate, 90, 0)};
    options = border(250);
    options.border.n_points = 2;
    options.border.points = outside;
    check_refused(made, options, "too little");
}
END_TEST

/* --- In case files --- */

static void write_text(const char *folder, const char *name, const char *text) {
    g_autofree char *path = g_build_filename(folder, name, NULL);
    ck_assert(g_file_set_contents(path, text, -1, NULL));
}

static TapulCase *case_of(const char *laying, GError **error) {
    g_autofree char *folder = g_dir_make_tmp("tapul-XXXXXX", NULL);
    ck_assert_ptr_nonnull(folder);
    write_text(
        folder, "plain.svg",
        "<svg xmlns='http://www.w3.org/2000/svg' width='30mm' height='12mm' viewBox='0 0 "
        "30 12'><path d='M 0 6 L 30 6' stroke='black' fill='none'/></svg>");
    write_text(folder, "plate.yaml",
               "tapul: plate/1\nname: for a test\nsurface: " CYLINDER_SURFACE "\n"
               "fields:\n  - { id: panel, outline_mm: [[-50, 80], [60, 80], [60, 200], [-50, "
               "200]] }\n");
    g_autofree char *text = g_strdup_printf(
        "tapul: case/1\ntitle: for a test\nplate: plate.yaml\nprints:\n  - { id: plain, file: "
        "plain.svg }\nlayings:\n  - { print: plain, %s }\n",
        laying);
    write_text(folder, "case.yaml", text);
    g_autofree char *path = g_build_filename(folder, "case.yaml", NULL);
    TapulCase *made = tapul_case_load(path, NULL, error);
    static const char *const names[] = {"plain.svg", "plate.yaml", "case.yaml"};
    for (guint i = 0; i < G_N_ELEMENTS(names); i++) {
        g_autofree char *file = g_build_filename(folder, names[i], NULL);
        g_unlink(file);
    }
    g_rmdir(folder);
    return made;
}

START_TEST(case_files_lay_borders_and_fillings) {
    static const char *const layings[] = {
        "rule: bordered",
        "rule: bordered, along: edge, scale: 0.5, offset_mm: 12, repeat_mm: 20, reversed: true",
        "rule: bordered, from: { x_mm: 0, y_mm: 1 }, to: { x_mm: 90, y_mm: 150 }",
        "rule: bordered, smooth: true, along: [{ x_mm: -40, y_mm: 90 }, { across_mm: 0, up_mm: "
        "120 }, { xyz_mm: [40, 90, 91.65] }]",
        "rule: filled, field: panel, reversed: true",
        "rule: filled, field: panel, print_frame_mm: [[2, 2], [28, 2], [28, 10], [2, 10]], "
        "field_corners: [{ x_mm: -50, y_mm: 80 }, { x_mm: 60, y_mm: 80 }, { x_mm: 60, y_mm: "
        "200 "
        "}, { x_mm: -50, y_mm: 200 }]",
    };
    for (guint i = 0; i < G_N_ELEMENTS(layings); i++) {
        g_autoptr(GError) error = NULL;
        g_autoptr(TapulCase) made = case_of(layings[i], &error);
        ck_assert_msg(made != NULL, "%s: %s", layings[i], error ? error->message : "");
        const TapulCaseLaying *laying = g_ptr_array_index(made->layings, 0);
        g_autoptr(TapulLaying) map = tapul_laying_new(&made->ground, &laying->options, &error);
        ck_assert_msg(map != NULL, "%s: %s", layings[i], error ? error->message : "");
        ck_assert_ptr_nonnull(laying->place);
    }
}
END_TEST

START_TEST(case_files_are_held_to_their_rules_keys) {
    static const struct {
        const char *laying, *says;
    } refusals[] = {
        {"rule: bordered, turn_deg: 10", "unknown key 'turn_deg'"},
        {"rule: bordered, anchor: { across_mm: 0, up_mm: 100 }", "unknown key 'anchor'"},
        {"rule: bordered, along: rim", "along: 'rim' is neither edge nor a list"},
        {"rule: bordered, along: [{ x_mm: 0, y_mm: 100 }]", "along: the line has 1 points"},
        {"rule: bordered, along: [{ x_mm: 0, y_mm: 100 }, { x_mm: 500, y_mm: 1 }]",
         "off the plate"},
        {"rule: bordered, offset_mm: 0.5", "offset_mm: 0.5 is not between 1 and 500"},
        {"rule: bordered, repeat_mm: 0", "repeat_mm: 0 is not between"},
        {"rule: bordered, smooth: true", "smooth: belongs to a border along a line"},
        {"rule: bordered, to: { x_mm: 0, y_mm: 1 }", "the key 'from' is missing"},
        {"rule: rolled, anchor: { across_mm: 0, up_mm: 100 }, offset_mm: 3",
         "unknown key 'offset_mm'"},
        {"rule: filled", "the key 'field' is missing"},
        {"rule: filled, field: belly", "field: 'belly' is none of the plate's fields: panel"},
        {"rule: filled, field: panel, scale: 2", "unknown key 'scale'"},
        {"rule: filled, field: panel, print_frame_mm: [[0, 0], [1, 0], [0, 1]]",
         "print_frame_mm"},
        {"rule: filled, field: panel, field_corners: [{ x_mm: 0, y_mm: 90 }]",
         "field_corners: 1 points where 4"},
    };
    for (guint i = 0; i < G_N_ELEMENTS(refusals); i++) {
        g_autoptr(GError) error = NULL;
        ck_assert_ptr_null(case_of(refusals[i].laying, &error));
        ck_assert_msg(strstr(error->message, refusals[i].says) != NULL, "'%s' lacks '%s'",
                      error->message, refusals[i].says);
    }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("laying_bordered");
    TCase *facts = tcase_create("facts");
    tcase_set_timeout(facts, 120);
    tcase_add_test(facts, border_of_a_disc_runs_on_a_circle);
    tcase_add_test(facts, border_keeps_the_metal_on_its_left);
    tcase_add_test(facts, border_goes_from_a_point_to_another);
    tcase_add_test(facts, border_of_a_cap_keeps_its_geodesic_offset);
    tcase_add_test(facts, border_along_a_level_of_a_cylinder_is_rolled_off_flat);
    tcase_add_test(facts, line_rounds_its_corners);
    tcase_add_test(facts, repeats_join_and_have_their_way_back);
    tcase_add_test(facts, border_turns_sharp_corners_without_a_fold);
    tcase_add_test(facts, border_of_a_peascod_breastplate_folds_nowhere);
    tcase_add_test(facts, border_of_a_tube_runs_round_both_ends);
    tcase_add_test(facts, ink_is_laid_once_for_each_repeat);
    tcase_add_test(facts, impossible_borders_are_refused);
    tcase_add_test(facts, case_files_lay_borders_and_fillings);
    tcase_add_test(facts, case_files_are_held_to_their_rules_keys);
    suite_add_tcase(suite, facts);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
