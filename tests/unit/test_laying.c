/* The laying rules: where print points go, and back. */
#include <check.h>
#include <stdlib.h>
#include <tapul/laying.h>

#include "grounds_for_tests.h"

/* Laid and brought back, a point may be this far off. */
#define ROUND_TRIP_MM 0.02
/* How far a closed form may be from what a plate of 0.05 mm chord error gives. */
#define CLOSED_FORM_MM 0.05
/* Stretches are taken by differences over 0.1 mm and over flat triangles. */
#define STRETCH 5e-3

static double squared(double value) {
    return value * value;
}

static TapulLayingOptions place(TapulLayingRule rule, TapulSpot anchor) {
    return (TapulLayingOptions){
        .rule = rule, .anchor = anchor, .print_anchor_mm = {40, 60}, .scale = 1};
}

static TapulLaying *laying_of(const TestGround *made, TapulLayingOptions options) {
    g_autoptr(GError) error = NULL;
    TapulLaying *laying = tapul_laying_new(&made->ground, &options, &error);
    ck_assert_msg(laying != NULL, "%s", error ? error->message : "no error given");
    return laying;
}

/* Pins about the middle of the print and of the development, bent a little. */
enum { PINS = 9 };
static TapulVec2 pin_print[PINS], pin_developed[PINS];

static TapulLayingOptions pin(double pick_sd_mm) {
    for (int i = 0; i < PINS; i++) {
        TapulVec2 p = {40.0 * (i % 3) - 40, 40.0 * (double)(i / 3) - 40};
        pin_print[i] = tapul_vec2_add(p, tapul_vec2(40, 60));
        pin_developed[i] = tapul_vec2_add(tapul_vec2_turn(tapul_vec2_scale(p, 1.1), 0.2),
                                          tapul_vec2(3 * sin(i), 2 * cos(2 * i)));
    }
    return (TapulLayingOptions){.rule = TAPUL_LAYING_PINNED,
                                .n_pins = PINS,
                                .pin_print_mm = pin_print,
                                .pin_developed_mm = pin_developed,
                                .pick_sd_mm = pick_sd_mm};
}

START_TEST(rules_have_names) {
    const char *const names[] = {"rolled", "developed", "viewed", "pinned"};
    for (int i = 0; i < 4; i++) {
        TapulLayingRule rule;
        ck_assert_str_eq(tapul_laying_rule_name((TapulLayingRule)i), names[i]);
        ck_assert(tapul_laying_rule_from_name(names[i], &rule));
        ck_assert_int_eq(rule, i);
    }
    TapulLayingRule rule;
    ck_assert(!tapul_laying_rule_from_name("glued", &rule));
    ck_assert_ptr_null(tapul_laying_rule_name((TapulLayingRule)99));
}
END_TEST

START_TEST(rolled_keeps_distances_from_its_anchor) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    g_autoptr(TapulLaying) laying = laying_of(made, place(TAPUL_LAYING_ROLLED, made->middle));
    TapulVec3 pole = {0, SPHERE_MIDDLE_MM, 150};
    for (int i = 0; i < 48; i++) {
        double r = 3.0 * (i + 1), angle = i * 0.7;
        TapulSpot spot;
        TapulVec2 p = {40 + r * cos(angle), 60 + r * sin(angle)};
        ck_assert(tapul_laying_spot(laying, p, &spot));
        TapulVec3 at = spot_mm(made, spot);
        /* Along the great circle that leaves the pole at that angle. */
        TapulVec3 expected = {150 * sin(r / 150) * cos(angle),
                              SPHERE_MIDDLE_MM + 150 * sin(r / 150) * sin(angle),
                              150 * cos(r / 150)};
        ck_assert_double_le(tapul_vec3_distance(at, expected), CLOSED_FORM_MM);
        ck_assert_double_le(fabs(2 * 150 * asin(tapul_vec3_distance(at, pole) / 300) - r),
                            CLOSED_FORM_MM);
    }
}
END_TEST

START_TEST(developed_is_rigid_in_the_development) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    TapulSpot anchor = front_spot(made->plate, 35, SPHERE_MIDDLE_MM - 20);
    TapulLayingOptions options = place(TAPUL_LAYING_DEVELOPED, anchor);
    options.scale = 1.25;
    options.turn_rad = 0.3;
    g_autoptr(TapulLaying) laying = laying_of(made, options);
    TapulVec2 from = tapul_development_point_mm(made->development, anchor);
    for (int i = 0; i < 20; i++) {
        TapulVec2 p = {2.0 * i, 50 + 1.5 * i}, developed;
        ck_assert(tapul_laying_developed(laying, p, &developed));
        TapulVec2 q =
            tapul_vec2_turn(tapul_vec2_scale(tapul_vec2_sub(p, tapul_vec2(40, 60)), 1.25), 0.3);
        ck_assert_double_le(tapul_vec2_distance(developed, tapul_vec2_add(from, q)), 1e-9);
        TapulSpot spot;
        ck_assert(tapul_laying_spot(laying, p, &spot));
        ck_assert_double_le(
            tapul_vec2_distance(tapul_development_point_mm(made->development, spot), developed),
            1e-6);
    }
}
END_TEST

START_TEST(viewed_lies_where_an_eye_in_front_sees_it) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    g_autoptr(TapulLaying) laying = laying_of(made, place(TAPUL_LAYING_VIEWED, made->middle));
    for (int i = 0; i < 19; i++) {
        TapulVec2 p = {-50 + 10.0 * i, 10.0 * i};
        TapulSpot spot;
        ck_assert(tapul_laying_spot(laying, p, &spot));
        TapulVec3 at = spot_mm(made, spot);
        ck_assert_double_eq_tol(at.x, p.x - 40, CLOSED_FORM_MM);
        ck_assert_double_eq_tol(at.y, CYLINDER_MIDDLE_MM + p.y - 60, CLOSED_FORM_MM);
        ck_assert_double_gt(at.z, 0);
    }
    TapulSpot spot;
    ck_assert(!tapul_laying_spot(laying, tapul_vec2(141, 60), &spot));
}
END_TEST

START_TEST(pinned_passes_through_its_pins) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    g_autoptr(TapulLaying) laying = laying_of(made, pin(0));
    for (int i = 0; i < PINS; i++) {
        TapulVec2 developed;
        ck_assert(tapul_laying_developed(laying, pin_print[i], &developed));
        ck_assert_double_le(tapul_vec2_distance(developed, pin_developed[i]), 1e-6);
    }
    /* With a picking error to explain it need not, but stays within reach of it. */
    g_autoptr(TapulLaying) smooth = laying_of(made, pin(0.5));
    double misfit = 0;
    for (int i = 0; i < PINS; i++) {
        TapulVec2 developed;
        ck_assert(tapul_laying_developed(smooth, pin_print[i], &developed));
        misfit += tapul_vec2_distance(developed, pin_developed[i]) / PINS;
    }
    ck_assert_double_gt(misfit, 0.01);
    ck_assert_double_lt(misfit, 1);
}
END_TEST

/* Every rule, laid to the plate, carried to the development, found again there, and brought
 * back. */
static void check_round_trip(const TestGround *made, TapulLayingOptions options) {
    g_autoptr(TapulLaying) laying = laying_of(made, options);
    g_autoptr(GRand) random = g_rand_new_with_seed(30);
    int laid = 0;
    for (int i = 0; i < 150; i++) {
        TapulVec2 p = {g_rand_double_range(random, -30, 110),
                       g_rand_double_range(random, -10, 130)};
        TapulVec2 developed, back;
        TapulSpot spot;
        if (!tapul_laying_developed(laying, p, &developed))
            continue;
        laid++;
        ck_assert(tapul_development_finder_spot(made->finder, developed, &spot));
        ck_assert_msg(tapul_laying_print(laying, spot, &back), "no way back from %g, %g", p.x,
                      p.y);
        ck_assert_double_le(tapul_vec2_distance(p, back), ROUND_TRIP_MM);
    }
    ck_assert_int_gt(laid, 100);
}

static void check_all_round_trips(const TestGround *made) {
    for (int rule = TAPUL_LAYING_ROLLED; rule <= TAPUL_LAYING_VIEWED; rule++)
        for (int reversed = 0; reversed < 2; reversed++) {
            TapulLayingOptions options = place((TapulLayingRule)rule, made->middle);
            options.scale = 0.9;
            options.turn_rad = -0.4;
            options.reversed = reversed;
            check_round_trip(made, options);
        }
    check_round_trip(made, pin(0));
    check_round_trip(made, pin(0.5));
}

START_TEST(every_rule_has_its_way_back) {
    g_autoptr(TestGround) sphere = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    g_autoptr(TestGround) cylinder = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    check_all_round_trips(sphere);
    check_all_round_trips(cylinder);
}
END_TEST

START_TEST(hidden_metal_has_no_view) {
    /* The body of revolution is narrow below: what lies under its swelling is not seen from the
     * front. */
    g_autoptr(TestGround) made = test_ground_new(
        "{ kind: revolved, profile_mm: [[60, 0], [110, 60], [60, 120]], sweep_deg: 240 }", 60);
    g_autoptr(TapulLaying) laying = laying_of(made, place(TAPUL_LAYING_VIEWED, made->middle));
    const TapulMesh *mesh = tapul_plate_mesh(made->plate);
    int hidden = 0, seen = 0;
    for (int t = 0; t < mesh->n_triangles; t += 7) {
        TapulSpot spot = {t, {0.3, 0.3, 0.4}};
        TapulVec2 p;
        TapulVec3 at = spot_mm(made, spot);
        gboolean found = tapul_laying_print(laying, spot, &p);
        /* Behind the plane of the axis all is hidden; near it either may be. */
        if (at.z < -5)
            ck_assert(!found);
        hidden += at.z < -5;
        seen += found;
    }
    ck_assert_int_gt(hidden, 0);
    ck_assert_int_gt(seen, 0);
}
END_TEST

START_TEST(reversed_mirrors_the_print) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    for (int rule = TAPUL_LAYING_ROLLED; rule <= TAPUL_LAYING_VIEWED; rule++) {
        TapulLayingOptions options = place((TapulLayingRule)rule, made->middle);
        options.turn_rad = 0.5;
        g_autoptr(TapulLaying) direct = laying_of(made, options);
        options.reversed = TRUE;
        g_autoptr(TapulLaying) reversed = laying_of(made, options);
        for (int i = 0; i < 20; i++) {
            TapulVec2 p = {4.0 * i, 90 - 3.0 * i}, mirrored = {80 - p.x, p.y}, a, b;
            ck_assert(tapul_laying_developed(direct, p, &a));
            ck_assert(tapul_laying_developed(reversed, mirrored, &b));
            ck_assert_double_le(tapul_vec2_distance(a, b), 1e-9);
        }
    }
}
END_TEST

START_TEST(scale_and_turn_act_about_the_anchor) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    for (int rule = TAPUL_LAYING_ROLLED; rule <= TAPUL_LAYING_VIEWED; rule++) {
        TapulLayingOptions options = place((TapulLayingRule)rule, made->middle);
        g_autoptr(TapulLaying) plain = laying_of(made, options);
        options.scale = 2;
        options.turn_rad = G_PI / 2;
        g_autoptr(TapulLaying) placed = laying_of(made, options);
        TapulVec2 a, b;
        ck_assert(tapul_laying_developed(placed, tapul_vec2(40 + 10, 60 + 5), &a));
        ck_assert(tapul_laying_developed(plain, tapul_vec2(40 - 10, 60 + 20), &b));
        ck_assert_double_le(tapul_vec2_distance(a, b), 1e-9);
    }
}
END_TEST

START_TEST(stretch_is_that_of_the_closed_forms) {
    g_autoptr(TestGround) sphere = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    g_autoptr(TestGround) cylinder = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    TapulLayingOptions rolled_options = place(TAPUL_LAYING_ROLLED, sphere->middle);
    rolled_options.scale = 1.5;
    rolled_options.reversed = TRUE;
    g_autoptr(TapulLaying) rolled = laying_of(sphere, rolled_options);
    g_autoptr(TapulLaying) viewed =
        laying_of(cylinder, place(TAPUL_LAYING_VIEWED, cylinder->middle));
    for (int i = 0; i < 8; i++) {
        double r = 10.0 * i, s1, s2;
        gboolean folded;
        ck_assert(tapul_laying_stretch(rolled, tapul_vec2(40 + 0.6 * r, 60 + 0.8 * r), &s1, &s2,
                                       &folded));
        double angle = 1.5 * r / 150;
        ck_assert_double_eq_tol(s1, 1.5, STRETCH);
        ck_assert_double_eq_tol(s2, r > 0 ? 1.5 * sin(angle) / angle : 1.5, STRETCH);
        ck_assert(!folded);
        ck_assert(tapul_laying_stretch(viewed, tapul_vec2(40 + r, 60), &s1, &s2, &folded));
        ck_assert_double_eq_tol(s1, 1 / sqrt(1 - squared(r / 100)), 4 * STRETCH);
        ck_assert_double_eq_tol(s2, 1, STRETCH);
        ck_assert(!folded);
    }
}
END_TEST

START_TEST(pins_in_mirror_reverse_the_print) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    const TapulVec2 print[] = {{0, 0}, {60, 0}, {0, 60}},
                    developed[] = {{30, -30}, {-30, -30}, {30, 30}};
    TapulLayingOptions options = {.rule = TAPUL_LAYING_PINNED,
                                  .n_pins = 3,
                                  .pin_print_mm = print,
                                  .pin_developed_mm = developed};
    double s1, s2, scale, turn_rad;
    gboolean folded, reversed;
    g_autoptr(TapulLaying) laying = laying_of(made, options);
    tapul_laying_placement(laying, &scale, &turn_rad, &reversed);
    ck_assert(reversed);
    ck_assert_double_eq_tol(scale, 1, 1e-12);
    ck_assert_double_eq_tol(turn_rad, 0, 1e-12);
    ck_assert(tapul_laying_stretch(laying, tapul_vec2(20, 20), &s1, &s2, &folded));
    ck_assert(!folded);
}
END_TEST

static void check_refused(const TestGround *made, TapulLayingOptions options,
                          TapulLayingError code, const char *says) {
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(tapul_laying_new(&made->ground, &options, &error));
    ck_assert(g_error_matches(error, TAPUL_LAYING_ERROR, code));
    ck_assert_msg(strstr(error->message, says) != NULL, "'%s' does not say '%s'",
                  error->message, says);
}

START_TEST(impossible_layings_are_refused) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    const double scales[] = {0, -1, NAN, INFINITY, 1e9};
    for (guint i = 0; i < G_N_ELEMENTS(scales); i++) {
        TapulLayingOptions options = place(TAPUL_LAYING_ROLLED, made->middle);
        options.scale = scales[i];
        check_refused(made, options, TAPUL_LAYING_ERROR_VALUE, "scale");
    }
    TapulLayingOptions options = place(TAPUL_LAYING_DEVELOPED, made->middle);
    options.turn_rad = NAN;
    check_refused(made, options, TAPUL_LAYING_ERROR_VALUE, "turn");
    options = place(TAPUL_LAYING_VIEWED, (TapulSpot){-1, {1, 0, 0}});
    check_refused(made, options, TAPUL_LAYING_ERROR_OFF_PLATE, "anchor");

    options = pin(0.5);
    options.n_pins = 2;
    check_refused(made, options, TAPUL_LAYING_ERROR_VALUE, "at least 3");
    options = pin(-1);
    check_refused(made, options, TAPUL_LAYING_ERROR_VALUE, "pick_sd_mm");
    const TapulVec2 on_line[] = {{0, 0}, {10, 10}, {20, 20}, {35, 35}};
    options = pin(0);
    options.n_pins = 4;
    options.pin_print_mm = on_line;
    check_refused(made, options, TAPUL_LAYING_ERROR_VALUE, "one line");
    const TapulVec2 twice[] = {{0, 0}, {10, 0}, {0, 10}, {0, 10}};
    options.pin_print_mm = twice;
    check_refused(made, options, TAPUL_LAYING_ERROR_VALUE, "same print point");
}
END_TEST

int main(void) {
    Suite *suite = suite_create("laying");
    TCase *facts = tcase_create("facts");
    tcase_set_timeout(facts, 120);
    tcase_add_test(facts, rules_have_names);
    tcase_add_test(facts, rolled_keeps_distances_from_its_anchor);
    tcase_add_test(facts, developed_is_rigid_in_the_development);
    tcase_add_test(facts, viewed_lies_where_an_eye_in_front_sees_it);
    tcase_add_test(facts, pinned_passes_through_its_pins);
    tcase_add_test(facts, every_rule_has_its_way_back);
    tcase_add_test(facts, hidden_metal_has_no_view);
    tcase_add_test(facts, reversed_mirrors_the_print);
    tcase_add_test(facts, scale_and_turn_act_about_the_anchor);
    tcase_add_test(facts, stretch_is_that_of_the_closed_forms);
    tcase_add_test(facts, pins_in_mirror_reverse_the_print);
    tcase_add_test(facts, impossible_layings_are_refused);
    suite_add_tcase(suite, facts);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
