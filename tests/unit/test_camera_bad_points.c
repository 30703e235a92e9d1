/* Points that spoil a camera: one is set aside and named, others are refused in so many words.
 */
#include "camera_for_tests.h"

#include <string.h>

/* --- One bad point --- */

/* 12 points picked to 0.5 px over a breastplate at 1.2 m. */
#define POINTS     12
#define DRAWN      500
#define BLUNDER_PX 40.0

static void draw_sights(GRand *random, int n, double noise_px, TapulSight *sights) {
    Pinhole pinhole = random_pinhole(random, 1200, 6000, 0);
    random_sights(random, &pinhole, SWELL, n, noise_px, sights);
}

static void displace(GRand *random, TapulSight *sight, double by_px) {
    double angle_rad = g_rand_double_range(random, 0, 2 * G_PI);
    sight->px.x = CLAMP(sight->px.x + by_px * cos(angle_rad), 0, SENSOR_WIDTH_PX);
    sight->px.y = CLAMP(sight->px.y + by_px * sin(angle_rad), 0, SENSOR_HEIGHT_PX);
}

START_TEST(blunder_is_named_and_set_aside) {
    g_autoptr(GRand) random = g_rand_new_with_seed(21);
    int named = 0;
    for (int trial = 0; trial < DRAWN; trial++) {
        TapulSight sights[POINTS];
        TapulCameraFit fit;
        draw_sights(random, POINTS, 0.5, sights);
        int bad = g_rand_int_range(random, 0, POINTS);
        displace(random, &sights[bad], BLUNDER_PX);
        named += tapul_camera_fit(sights, POINTS, SENSOR_WIDTH_PX, SENSOR_HEIGHT_PX, NULL, &fit,
                                  NULL) &&
                 fit.set_aside == bad;
    }
    printf("a blunder of %g px among %d points is named in %d of %d pictures\n", BLUNDER_PX,
           POINTS, named, DRAWN);
    ck_assert_int_ge(named, DRAWN * 99 / 100);
}
END_TEST

START_TEST(good_points_are_hardly_ever_set_aside) {
    const struct {
        int n, trials;
        double noise_px;
    } draws[] = {{8, 500, 0.5}, {12, 500, 0.5}, {20, 200, 0.5}, {9, 100, 3}};
    g_autoptr(GRand) random = g_rand_new_with_seed(22);
    for (guint k = 0; k < G_N_ELEMENTS(draws); k++) {
        int alarms = 0;
        for (int trial = 0; trial < draws[k].trials; trial++) {
            TapulSight sights[MOST_SIGHTS];
            TapulCameraFit fit;
            draw_sights(random, draws[k].n, draws[k].noise_px, sights);
            alarms += !tapul_camera_fit(sights, draws[k].n, SENSOR_WIDTH_PX, SENSOR_HEIGHT_PX,
                                        NULL, &fit, NULL) ||
                      fit.set_aside >= 0;
        }
        printf("%d points picked to %g px: false alarms in %d of %d pictures\n", draws[k].n,
               draws[k].noise_px, alarms, draws[k].trials);
        ck_assert_int_le(alarms, draws[k].trials / 100);
    }
}
END_TEST

START_TEST(camera_is_the_one_without_the_bad_point) {
    g_autoptr(GRand) random = g_rand_new_with_seed(23);
    TapulSight sights[POINTS], rest[POINTS - 1];
    draw_sights(random, POINTS, 0.5, sights);
    memcpy(rest, sights + 1, sizeof rest);
    displace(random, &sights[0], BLUNDER_PX);
    TapulCameraFit fit = good_fit(sights, POINTS, NULL),
                   without = good_fit(rest, POINTS - 1, NULL);
    ck_assert_int_eq(fit.set_aside, 0);
    ck_assert(sights[0].set_aside);
    ck_assert_double_eq_tol(sights[0].residual_px, BLUNDER_PX, 5);
    ck_assert_double_eq(sights[0].loo_px, sights[0].residual_px);
    ck_assert_double_eq_tol(fit.rms_px, without.rms_px, 1e-9);
    ck_assert_double_eq_tol(fit.loo_px, without.loo_px, 1e-9);
    for (int i = 1; i < POINTS; i++) {
        ck_assert(!sights[i].set_aside);
        ck_assert_double_eq_tol(sights[i].loo_px, rest[i - 1].loo_px, 1e-6);
    }
}
END_TEST

/* A slip of a digit puts a point across the picture, where no camera may have it in front. */
START_TEST(gross_slip_is_named_too) {
    g_autoptr(GRand) random = g_rand_new_with_seed(24);
    for (int trial = 0; trial < 50; trial++) {
        TapulSight sights[POINTS];
        draw_sights(random, POINTS, 0.5, sights);
        sights[5].px = tapul_vec2(g_rand_double_range(random, 0, SENSOR_WIDTH_PX),
                                  sights[5].px.y > 2000 ? 100 : 3900);
        ck_assert_int_eq(good_fit(sights, POINTS, NULL).set_aside, 5);
    }
}
END_TEST

/* --- Two --- */

static char *message_of(TapulSight *sights, int n, const TapulCameraOptions *options) {
    GError *error = NULL;
    TapulCameraFit fit;
    gboolean fitted =
        tapul_camera_fit(sights, n, SENSOR_WIDTH_PX, SENSOR_HEIGHT_PX, options, &fit, &error);
    ck_assert_msg(!fitted && error, "fitted to %g px", fit.rms_px);
    ck_assert(g_error_matches(error, TAPUL_PHOTO_ERROR, TAPUL_PHOTO_ERROR_POINTS));
    ck_assert_msg(!strchr(error->message, '\n'), "%s", error->message);
    char *message = g_strdup(error->message);
    g_error_free(error);
    return message;
}

static void expect(const char *message, const char *words) {
    ck_assert_msg(strstr(message, words), "'%s' does not say '%s'", message, words);
}

START_TEST(two_bad_points_are_refused_by_name) {
    g_autoptr(GRand) random = g_rand_new_with_seed(25);
    for (int trial = 0; trial < 60; trial++) {
        TapulSight sights[POINTS];
        draw_sights(random, POINTS, 0.5, sights);
        displace(random, &sights[2], BLUNDER_PX);
        displace(random, &sights[7], trial % 2 ? BLUNDER_PX : 2 * BLUNDER_PX);
        g_autofree char *message = message_of(sights, POINTS, NULL);
        ck_assert_msg(strstr(message, "two bad points, 'c' and 'h'") ||
                          strstr(message, "two bad points, 'h' and 'c'"),
                      "%s", message);
    }
}
END_TEST

START_TEST(exchanged_names_are_told) {
    const int counts[] = {6, 7, 9, 12, 20};
    g_autoptr(GRand) random = g_rand_new_with_seed(26);
    for (int trial = 0; trial < 60; trial++) {
        int n = counts[trial % 5];
        TapulSight sights[MOST_SIGHTS];
        draw_sights(random, n, 0.5, sights);
        TapulVec2 kept = sights[1].px;
        sights[1].px = sights[4].px;
        sights[4].px = kept;
        g_autofree char *message = message_of(sights, n, NULL);
        ck_assert_msg(strstr(message, "'b' and 'e' look exchanged") ||
                          strstr(message, "'e' and 'b' look exchanged"),
                      "%d points: %s", n, message);
    }
}
END_TEST

/* No point is to blame for a focal length that is told wrongly. */
START_TEST(wrong_focal_is_told) {
    g_autoptr(GRand) random = g_rand_new_with_seed(33);
    TapulCameraOptions options = tapul_camera_options_defaults();
    options.focal_px = 9000;
    for (int trial = 0; trial < 30; trial++) {
        TapulSight sights[POINTS];
        draw_sights(random, POINTS, 0.3, sights);
        g_autofree char *message = message_of(sights, POINTS, &options);
        expect(message, "focal_px: with 9000 px the points are");
        double fitted_px = g_ascii_strtod(strstr(message, "of ") + 3, NULL);
        ck_assert_double_eq_tol(fitted_px, 6000, 600);
    }
}
END_TEST

/* --- Refusals --- */

START_TEST(too_few_or_too_many_are_refused) {
    g_autoptr(GRand) random = g_rand_new_with_seed(27);
    static TapulSight many[201];
    TapulSight sights[6];
    draw_sights(random, 6, 0, sights);
    g_autofree char *few = message_of(sights, 5, NULL), *none = message_of(sights, 0, NULL);
    g_autofree char *crowd = message_of(many, 201, NULL);
    expect(few, "5 points given whose place on the plate is known; permitted: 6 to 200");
    expect(none, "0 points");
    expect(crowd, "201 points");
}
END_TEST

START_TEST(impossible_points_are_refused) {
    g_autoptr(GRand) random = g_rand_new_with_seed(28);
    TapulSight good[POINTS], sights[POINTS];
    draw_sights(random, POINTS, 0.5, good);
    const struct {
        TapulSight as;
        const char *words;
    } bad[] = {
        {{.name = (char *)"a", .px = {1, 2}, .xyz_mm = {3, 4, 5}},
         "two points have the name 'a'"},
        {{.name = (char *)"x", .px = good[0].px, .xyz_mm = {3, 4, 5}},
         "'a' and 'x' are one pixel of the picture"},
        {{.name = (char *)"x", .px = {1, 2}, .xyz_mm = good[0].xyz_mm},
         "'a' and 'x' are one point of the plate"},
        {{.name = (char *)"x", .px = {NAN, 2}, .xyz_mm = {3, 4, 5}},
         "'x': its place is not a number"},
        {{.name = (char *)"x", .px = {1, 2}, .xyz_mm = {3, INFINITY, 5}},
         "'x': its place is not a number"},
        {{.name = (char *)"x", .px = {-1, 2}, .xyz_mm = {3, 4, 5}},
         "'x': px_x -1, px_y 2 is outside the picture of 6000 x 4000 px"},
        {{.name = (char *)"x", .px = {1, 4001}, .xyz_mm = {3, 4, 5}}, "is outside the picture"},
    };
    for (guint k = 0; k < G_N_ELEMENTS(bad); k++) {
        memcpy(sights, good, sizeof sights);
        sights[6] = bad[k].as;
        g_autofree char *message = message_of(sights, POINTS, NULL);
        expect(message, bad[k].words);
    }
}
END_TEST

START_TEST(impossible_options_are_refused) {
    g_autoptr(GRand) random = g_rand_new_with_seed(29);
    TapulSight sights[POINTS];
    draw_sights(random, POINTS, 0.5, sights);
    const struct {
        TapulCameraOptions options;
        const char *words;
    } bad[] = {{{-1, 0.5}, "focal_px: -1"},
               {{NAN, 0.5}, "focal_px: nan"},
               {{2e6, 0.5}, "focal_px: 2e+06"},
               {{0, 0}, "pick_sd_px: 0"},
               {{0, NAN}, "pick_sd_px: nan"}};
    for (guint k = 0; k < G_N_ELEMENTS(bad); k++) {
        g_autofree char *message = message_of(sights, POINTS, &bad[k].options);
        expect(message, bad[k].words);
    }
}
END_TEST

/* Points of a line, of a plane, and of a line of the picture, with the focal known too. */
START_TEST(flat_points_are_refused_with_how_flat_they_are) {
    g_autoptr(GRand) random = g_rand_new_with_seed(30);
    const char *const words[] = {"lie on one line of space", "lie in one plane",
                                 "are seen on one line of the picture"};
    for (int trial = 0; trial < 30; trial++) {
        int kind = trial % 3;
        Pinhole pinhole = random_pinhole(random, 1200, 6000, 0);
        TapulSight sights[POINTS];
        random_sights(random, &pinhole, SWELL, POINTS, 0, sights);
        for (int i = 0; i < POINTS; i++) {
            double u = spread(random, 150), v = spread(random, 150);
            TapulVec3 flat = tapul_vec3(u, 200 + v, 50 + 0.3 * u - 0.2 * v);
            TapulVec3 straight = tapul_vec3(u, 200 + 0.4 * u, 50 + 0.3 * u);
            TapulVec3 in_sight = tapul_vec3_add(
                pinhole.eye_mm, tapul_vec3_add(tapul_vec3_scale(pinhole.forward, 1200 + v),
                                               tapul_vec3_scale(pinhole.right, u)));
            sights[i].xyz_mm = kind == 0 ? straight : kind == 1 ? flat : in_sight;
            sights[i].px = pinhole_px(&pinhole, sights[i].xyz_mm);
        }
        /* Points that are all on one line are seen on one, which is noticed first: off it by
         * hand. */
        for (int i = 0; kind == 0 && i < POINTS; i++)
            sights[i].px.y += i % 2 ? 40 : -40;
        TapulCameraOptions options = tapul_camera_options_defaults();
        options.focal_px = trial % 2 ? 6000 : 0;
        g_autofree char *message = message_of(sights, POINTS, &options);
        expect(message, words[kind]);
        expect(message, "at least");
    }
}
END_TEST

/* Six points of a plane and one off it: a camera, but none without that one. */
START_TEST(rest_in_one_plane_has_no_leave_one_out) {
    g_autoptr(GRand) random = g_rand_new_with_seed(34);
    for (int trial = 0; trial < 30; trial++) {
        Pinhole pinhole = random_pinhole(random, 500, 4500, 0);
        TapulSight sights[7];
        random_sights(random, &pinhole, SWELL, 7, 0, sights);
        for (int i = 0; i < 7; i++) {
            double u = i < 6 ? 110 * cos(i) : 0, v = i < 6 ? 110 * sin(i) : 0;
            sights[i].xyz_mm = tapul_vec3(u, 180 + v, i < 6 ? 80 + 0.3 * u - 0.2 * v : 0);
            sights[i].px = pinhole_px(&pinhole, sights[i].xyz_mm);
        }
        good_fit(sights, 7, NULL);
        for (int i = 0; i < 7; i++)
            ck_assert(isnan(sights[i].loo_px) == (i == 6) &&
                      isnan(sights[i].loo_mm) == (i == 6));
        displace(random, &sights[6], 2000);
        g_autofree char *message = message_of(sights, 7, NULL);
        expect(message,
               "without 'g', which does not fit the others, the points lie in one plane");
    }
}
END_TEST

/* Behind the camera a point is seen upside down through the lens: no picture has it. */
START_TEST(points_behind_the_camera_are_refused) {
    g_autoptr(GRand) random = g_rand_new_with_seed(31);
    for (int trial = 0; trial < 20; trial++) {
        TapulSight sights[POINTS];
        /* An eye in the plate's own midst, wide open, so that some points lie behind it. */
        Pinhole pinhole = pinhole_new(tapul_vec3(0, 200, 250),
                                      tapul_vec3(spread(random, 30), 190, 0), 0, 2000, 0);
        random_sights(random, &pinhole, SWELL, POINTS, 0.3, sights);
        for (int i = 0; i < 4; i++) {
            do {
                sights[i].xyz_mm = tapul_vec3(spread(random, 150), 200 + spread(random, 150),
                                              g_rand_double_range(random, 450, 600));
                sights[i].px = pinhole_px(&pinhole, sights[i].xyz_mm);
            } while (sights[i].px.x < 0 || sights[i].px.y < 0 ||
                     sights[i].px.x > SENSOR_WIDTH_PX || sights[i].px.y > SENSOR_HEIGHT_PX);
        }
        g_autofree char *message = message_of(sights, POINTS, NULL);
        expect(message, "no camera fits the points");
        expect(message, "would lie behind the camera");
    }
}
END_TEST

START_TEST(mirror_image_is_told) {
    g_autoptr(GRand) random = g_rand_new_with_seed(32);
    for (int trial = 0; trial < 20; trial++) {
        Pinhole pinhole = random_pinhole(random, 350, 3000, 0);
        TapulSight sights[POINTS];
        random_sights(random, &pinhole, SWELL, POINTS, 0.3, sights);
        for (int i = 0; i < POINTS; i++)
            sights[i].px.x = SENSOR_WIDTH_PX - sights[i].px.x;
        g_autofree char *message = message_of(sights, POINTS, NULL);
        expect(message, "is the picture a mirror image");
    }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("camera_bad_points");
    TCase *facts = tcase_create("facts");
    tcase_set_timeout(facts, 300);
    tcase_add_test(facts, blunder_is_named_and_set_aside);
    tcase_add_test(facts, good_points_are_hardly_ever_set_aside);
    tcase_add_test(facts, camera_is_the_one_without_the_bad_point);
    tcase_add_test(facts, gross_slip_is_named_too);
    tcase_add_test(facts, two_bad_points_are_refused_by_name);
    tcase_add_test(facts, exchanged_names_are_told);
    tcase_add_test(facts, wrong_focal_is_told);
    tcase_add_test(facts, too_few_or_too_many_are_refused);
    tcase_add_test(facts, impossible_points_are_refused);
    tcase_add_test(facts, impossible_options_are_refused);
    tcase_add_test(facts, flat_points_are_refused_with_how_flat_they_are);
    tcase_add_test(facts, rest_in_one_plane_has_no_leave_one_out);
    tcase_add_test(facts, points_behind_the_camera_are_refused);
    tcase_add_test(facts, mirror_image_is_told);
    suite_add_tcase(suite, facts);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
