/* The filled rule: a print stretched over a named field, corners to corners, one-to-one. */
#include <check.h>
#include <stdlib.h>
#include <tapul/laying.h>

#include "grounds_for_tests.h"

/* How far a closed form may be from what a plate of 0.05 mm chord error gives. */
#define CLOSED_FORM_MM 0.05
/* Laid and brought back, a point may be this far off. */
#define ROUND_TRIP_MM 0.02
/* Corners go to corners. */
#define CORNER_MM 0.01

static const TapulVec2 page[] = {{0, 0}, {40, 0}, {40, 60}, {0, 60}};

static TapulLayingOptions fill(int field) {
    TapulLayingOptions options = {.rule = TAPUL_LAYING_FILLED, .scale = 1};
    options.fill.field = field;
    options.fill.n_frame = 4;
    options.fill.frame_mm = page;
    return options;
}

static TapulLaying *laying_of(const TestGround *made, TapulLayingOptions options) {
    g_autoptr(GError) error = NULL;
    TapulLaying *laying = tapul_laying_new(&made->ground, &options, &error);
    ck_assert_msg(laying != NULL, "%s", error ? error->message : "no error given");
    return laying;
}

/* A cylinder with a rectangle, and a field that cannot be filled. */
static TestGround *cylinder(void) {
    TapulPlate *plate =
        good_plate(CYLINDER_SURFACE,
                   "fields:\n"
                   "  - { id: panel, outline_mm: [[60, 80], [60, 200], [-50, 200], "
                   "[-50, 80]] }\n"
                   "  - { id: outside, outline_mm: [[-120, 100], [120, 100], [0, 200]] }\n");
    return test_ground_take(plate, CYLINDER_MIDDLE_MM);
}

/* Not in the very corners: where the outline is smooth the two sides leave them in opposite
 * directions, and have no area between them. */
static void check_one_to_one(const TapulLaying *laying) {
    for (double x = 0.25; x < 40; x += 0.5)
        for (double y = 0.25; y < 60; y += 0.5) {
            double s1, s2;
            gboolean folded;
            ck_assert_msg(tapul_laying_stretch(laying, tapul_vec2(x, y), &s1, &s2, &folded),
                          "%g, %g is not laid", x, y);
            ck_assert_msg(!folded && s2 > 0, "folded at %g, %g", x, y);
        }
}

static void check_round_trip(const TapulLaying *laying) {
    g_autoptr(GRand) random = g_rand_new_with_seed(7);
    for (int i = 0; i < 300; i++) {
        TapulVec2 p = {g_rand_double_range(random, 0, 40), g_rand_double_range(random, 0, 60)};
        TapulVec2 back;
        TapulSpot spot;
        ck_assert_msg(tapul_laying_spot(laying, p, &spot), "%g, %g is not laid", p.x, p.y);
        ck_assert_msg(tapul_laying_print(laying, spot, &back), "no way back from %g, %g", p.x,
                      p.y);
        ck_assert_double_le(tapul_vec2_distance(p, back), ROUND_TRIP_MM);
    }
}

START_TEST(rectangle_of_a_cylinder_is_filled_affinely) {
    g_autoptr(TestGround) made = cylinder();
    double left = 100 * asin(-0.5), right = 100 * asin(0.6);
    for (int reversed = 0; reversed < 2; reversed++) {
        TapulLayingOptions options = fill(0);
        options.reversed = reversed;
        g_autoptr(TapulLaying) laying = laying_of(made, options);
        for (double x = 0; x <= 40; x += 2.5)
            for (double y = 0; y <= 60; y += 5) {
                TapulSpot spot;
                ck_assert(tapul_laying_spot(laying, tapul_vec2(x, y), &spot));
                TapulVec3 at = spot_mm(made, spot);
                double share = reversed ? 1 - x / 40 : x / 40;
                double angle = (left + share * (right - left)) / 100;
                ck_assert_double_eq_tol(at.x, 100 * sin(angle), CLOSED_FORM_MM);
                ck_assert_double_eq_tol(at.y, 80 + 2 * y, CLOSED_FORM_MM);
            }
        check_one_to_one(laying);
        check_round_trip(laying);
    }
}
END_TEST

static int field_named(const TapulPlate *plate, const char *id) {
    for (int i = 0; i < tapul_plate_n_fields(plate); i++)
        if (strcmp(tapul_plate_field(plate, i)->id, id) == 0)
            return i;
    ck_abort_msg("no field %s", id);
}

START_TEST(curved_fields_are_filled_one_to_one) {
    g_autoptr(TestGround) made = test_ground_from_file("shapes/peascod-breastplate.yaml", 200);
    int n = tapul_plate_n_fields(made->plate);
    ck_assert_int_gt(n, 0);
    for (int field = 0; field < n; field++) {
        g_autoptr(TapulLaying) laying = laying_of(made, fill(field));
        check_one_to_one(laying);
        check_round_trip(laying);
    }
}
END_TEST

static TapulVec2 outline_point_near(const TapulPlate *plate, int field, double x, double y) {
    const TapulField *of = tapul_plate_field(plate, field);
    TapulVec2 nearest = of->outline_mm[0];
    for (int i = 1; i < of->n; i++)
        if (tapul_vec2_distance(of->outline_mm[i], tapul_vec2(x, y)) <
            tapul_vec2_distance(nearest, tapul_vec2(x, y)))
            nearest = of->outline_mm[i];
    return nearest;
}

START_TEST(corners_go_where_they_are_sent) {
    g_autoptr(TestGround) made = test_ground_from_file("shapes/peascod-breastplate.yaml", 200);
    int belly = field_named(made->plate, "belly");
    TapulLayingOptions options = fill(belly);
    const TapulVec2 corners[] = {outline_point_near(made->plate, belly, -97, 50),
                                 outline_point_near(made->plate, belly, 97, 50),
                                 outline_point_near(made->plate, belly, 96, 176),
                                 outline_point_near(made->plate, belly, -96, 176)};
    options.fill.has_corners = TRUE;
    for (int k = 0; k < 4; k++)
        options.fill.corners[k] = front_spot(made->plate, corners[k].x, corners[k].y);
    g_autoptr(TapulLaying) laying = laying_of(made, options);
    for (int k = 0; k < 4; k++) {
        TapulVec2 to;
        ck_assert(tapul_laying_developed(laying, page[k], &to));
        ck_assert_double_le(
            tapul_vec2_distance(
                to, tapul_development_point_mm(made->development, options.fill.corners[k])),
            CORNER_MM);
    }
    check_one_to_one(laying);
    /* Turned round: the print lies on its head, still unfolded. */
    TapulSpot first = options.fill.corners[0];
    options.fill.corners[0] = options.fill.corners[2];
    options.fill.corners[2] = first;
    TapulSpot second = options.fill.corners[1];
    options.fill.corners[1] = options.fill.corners[3];
    options.fill.corners[3] = second;
    g_autoptr(TapulLaying) turned = laying_of(made, options);
    TapulVec2 to;
    ck_assert(tapul_laying_developed(turned, page[0], &to));
    ck_assert_double_le(
        tapul_vec2_distance(
            to, tapul_development_point_mm(made->development, options.fill.corners[0])),
        CORNER_MM);
    check_one_to_one(turned);
}
END_TEST

START_TEST(frame_takes_a_part_of_the_print) {
    g_autoptr(TestGround) made = cylinder();
    const TapulVec2 whole[] = {{0, 0}, {40, 0}, {40, 60}, {0, 60}};
    const TapulVec2 part[] = {{10, 10}, {30, 10}, {30, 40}, {10, 40}};
    TapulLayingOptions options = fill(0);
    options.fill.frame_mm = whole;
    g_autoptr(TapulLaying) all = laying_of(made, options);
    options.fill.frame_mm = part;
    g_autoptr(TapulLaying) some = laying_of(made, options);
    TapulVec2 a, b;
    ck_assert(tapul_laying_developed(all, tapul_vec2(20, 30), &a));
    ck_assert(tapul_laying_developed(some, tapul_vec2(20, 25), &b));
    ck_assert_double_le(tapul_vec2_distance(a, b), 1e-6);
    ck_assert(!tapul_laying_developed(some, tapul_vec2(9.9, 25), &b));

    /* An octagon for a frame: its harmonic way to the square and back again. */
    const TapulVec2 octagon[] = {{10, 0},  {30, 0},  {40, 10}, {40, 50},
                                 {30, 60}, {10, 60}, {0, 50},  {0, 10}};
    options.fill.n_frame = 8;
    options.fill.frame_mm = octagon;
    g_autoptr(TapulLaying) cut = laying_of(made, options);
    for (double x = 12; x < 30; x += 3)
        for (double y = 5; y < 56; y += 5) {
            TapulSpot spot;
            TapulVec2 back;
            ck_assert(tapul_laying_spot(cut, tapul_vec2(x, y), &spot));
            ck_assert(tapul_laying_print(cut, spot, &back));
            ck_assert_double_le(tapul_vec2_distance(back, tapul_vec2(x, y)), ROUND_TRIP_MM);
        }
    ck_assert(!tapul_laying_developed(cut, tapul_vec2(2, 2), &b));
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

START_TEST(impossible_fillings_are_refused) {
    g_autoptr(TestGround) made = cylinder();
    check_refused(made, fill(-1), "field -1: the plate has 2");
    check_refused(made, fill(1), "leaves the plate");
    TapulLayingOptions options = fill(0);
    options.fill.n_frame = 3;
    check_refused(made, options, "at least 4");
    const TapulVec2 clockwise[] = {{0, 0}, {0, 60}, {40, 60}, {40, 0}};
    const TapulVec2 crossed[] = {{0, 0}, {40, 0}, {0, 60}, {40, 60}};
    const TapulVec2 flat[] = {{0, 0}, {40, 0}, {50, 0}, {60, 0}};
    const TapulVec2 no_number[] = {{0, 0}, {NAN, 0}, {50, 20}, {0, 30}};
    options = fill(0);
    options.fill.frame_mm = clockwise;
    check_refused(made, options, "counter-clockwise");
    options.fill.frame_mm = crossed;
    check_refused(made, options, "crosses itself");
    options.fill.frame_mm = flat;
    check_refused(made, options, "no area");
    options.fill.frame_mm = no_number;
    check_refused(made, options, "finite");
    options = fill(0);
    options.fill.has_corners = TRUE;
    for (int k = 0; k < 4; k++)
        options.fill.corners[k] = made->middle;
    check_refused(made, options, "from the field's outline");
    for (int k = 0; k < 4; k++)
        options.fill.corners[k] = front_spot(made->plate, k < 2 ? 55 : -45, k % 2 ? 100 : 180);
    check_refused(made, options, "counter-clockwise");
}
END_TEST

int main(void) {
    Suite *suite = suite_create("laying_filled");
    TCase *facts = tcase_create("facts");
    tcase_set_timeout(facts, 120);
    tcase_add_test(facts, rectangle_of_a_cylinder_is_filled_affinely);
    tcase_add_test(facts, curved_fields_are_filled_one_to_one);
    tcase_add_test(facts, corners_go_where_they_are_sent);
    tcase_add_test(facts, frame_takes_a_part_of_the_print);
    tcase_add_test(facts, impossible_fillings_are_refused);
    suite_add_tcase(suite, facts);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
