/* Photographs brought on to the development, against a cylinder's closed forms. */
#include <stdlib.h>

#include "grounds_for_tests.h"
#include "program_for_tests.h"
#include "rendered_for_tests.h"

#define RADIUS_MM   100.0
#define HALF_MM     150.0 /* of the height */
#define EDGE_RAD    (85 * G_PI / 180)
#define GRAZING_RAD (75 * G_PI / 180)
#define FOCAL_PX    2600.0
#define WIDTH_PX    1400
#define HEIGHT_PX   1900

static const DottedCylinder usual = {200, 40};

/* 600 mm off the axis, turned to the viewer's right and 100 mm above the middle. */
static TapulVec3 eye_at(double turn_deg) {
    double turn = turn_deg * G_PI / 180;
    return tapul_vec3(600 * sin(turn), 250, 600 * cos(turn));
}

static TapulPhoto *photo_from(double turn_deg, const DottedCylinder *cylinder, double noise_sd,
                              const char *folder, const char *name) {
    TapulCamera camera =
        camera_looking(eye_at(turn_deg), tapul_vec3(0, 150, 40), FOCAL_PX, WIDTH_PX, HEIGHT_PX);
    g_autoptr(TapulPixels) pixels =
        render(&camera, cylinder_light, cylinder, noise_sd, (guint32)(turn_deg + 1000));
    g_autofree char *path = g_build_filename(folder, name, NULL);
    return photo_of(&camera, pixels, path);
}

static TestGround *cylinder(void) {
    return test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
}

static TapulRectified *rectified(const TestGround *made, TapulPhoto *const *photos, int n,
                                 double pixel_mm, GError **error) {
    TapulRectifyOptions options = tapul_rectify_options_defaults();
    options.pixel_mm = pixel_mm;
    return tapul_rectify(made->plate, made->development, made->finder, photos, n, &options,
                         error);
}

static TapulRectified *good_rectified(const TestGround *made, TapulPhoto *const *photos, int n,
                                      double pixel_mm) {
    g_autoptr(GError) error = NULL;
    TapulRectified *result = rectified(made, photos, n, pixel_mm, &error);
    ck_assert_msg(result != NULL, "%s", error ? error->message : "no picture and no error");
    return result;
}

/* --- Closed forms --- */

/* Cosine between the normal and the line of sight at an arc from the front and a height. */
static double cosine_at(TapulVec3 eye, double arc_mm, double y_mm) {
    double turn = arc_mm / RADIUS_MM;
    TapulVec3 normal = {sin(turn), 0, cos(turn)};
    TapulVec3 at = {RADIUS_MM * normal.x, y_mm + HALF_MM, RADIUS_MM * normal.z};
    return tapul_vec3_dot(normal, tapul_vec3_unit(tapul_vec3_sub(eye, at)));
}

static TapulSeen truly_seen(TapulVec3 eye, TapulVec2 at_mm) {
    if (fabs(at_mm.x) > RADIUS_MM * EDGE_RAD || fabs(at_mm.y) > HALF_MM)
        return TAPUL_SEEN_OFF;
    double cosine = cosine_at(eye, at_mm.x, at_mm.y);
    return cosine <= 0                 ? TAPUL_SEEN_HIDDEN
           : cosine < cos(GRAZING_RAD) ? TAPUL_SEEN_GRAZING
                                       : TAPUL_SEEN_WELL;
}

static TapulVec2 centre_mm(const TapulRectified *r, int x, int y) {
    return tapul_vec2(r->box_mm.min.x + (x + 0.5) * r->pixel_mm,
                      r->box_mm.max.y - (y + 0.5) * r->pixel_mm);
}

/* How far the middle of a dot is from its place, mm; -1: not all of it is seen well. */
static double dot_error_mm(const TapulRectified *r, TapulVec2 dot_mm, double ground) {
    double reach_mm = DOT_RADIUS_MM + 1, sum = 0, sum_x = 0, sum_y = 0;
    for (int y = 0; y < r->height_px; y++)
        for (int x = 0; x < r->width_px; x++) {
            TapulVec2 at = centre_mm(r, x, y);
            if (fabs(at.y - dot_mm.y) > reach_mm) /* the whole row */
                break;
            if (tapul_vec2_distance(at, dot_mm) > reach_mm)
                continue;
            gsize i = (gsize)y * (gsize)r->width_px + (gsize)x;
            if (r->rgba[4 * i + 3] == 0)
                return -1;
            double dark = ground - r->rgba[4 * i];
            sum += dark;
            sum_x += dark * (at.x - dot_mm.x);
            sum_y += dark * (at.y - dot_mm.y);
        }
    return sum > 0 ? hypot(sum_x / sum, sum_y / sum) : -1;
}

/* The largest of all dots' errors, and how many were seen. */
static double worst_dot_mm(const TapulRectified *r, double ground, int *n) {
    double worst = 0;
    *n = 0;
    for (double y = -135; y <= 135; y += DOT_STEP_MM)
        for (double x = -135; x <= 135; x += DOT_STEP_MM) {
            double error_mm = dot_error_mm(r, tapul_vec2(x, y), ground);
            *n += error_mm >= 0;
            worst = fmax(worst, error_mm);
        }
    return worst;
}

/* --- One photograph --- */

START_TEST(dots_come_to_their_places) {
    g_autofree char *folder = new_folder();
    g_autoptr(TestGround) made = cylinder();
    g_autoptr(TapulPhoto) photo = photo_from(20, &usual, 0, folder, "a.png");
    g_autoptr(TapulRectified) r = good_rectified(made, &photo, 1, 0.2);
    int n;
    double worst_mm = worst_dot_mm(r, usual.ground, &n);
    /* A tenth of a pixel where the photograph is finest, about 5 px a mm. */
    ck_assert_msg(worst_mm < 0.02, "a dot is %.4f mm off", worst_mm);
    ck_assert_int_gt(n, 200);
    remove_folder(folder);
}
END_TEST

/* Twelve known places over the part that is seen, picked with an error of half a pixel each
 * way. */
static void fit_camera(const TestGround *made, TapulPhoto *photo, guint32 seed) {
    g_autoptr(GRand) random = g_rand_new_with_seed(seed);
    g_autoptr(GError) error = NULL;
    TapulCameraOptions options = tapul_camera_options_defaults();
    for (int i = 0; i < 12; i++) {
        double turn = (20 - 66 + 44 * (i % 4)) * G_PI / 180,
               y_mm = 25 + 120 * (i / 4) + 5 * (i % 3);
        TapulSight sight = {.name = g_strdup_printf("%d", i),
                            .xyz_mm = {RADIUS_MM * sin(turn), y_mm, RADIUS_MM * cos(turn)}};
        double noise[2] = {0, 0};
        for (int k = 0; k < 24;
             k++) /* twelve of variance 1/12 make a standard deviation of 1 */
            noise[k % 2] += 0.5 * (g_rand_double(random) - 0.5);
        tapul_mesh_tree_nearest(tapul_plate_tree(made->plate), sight.xyz_mm, &sight.spot);
        ck_assert(tapul_camera_pixel(&photo->fit.camera, sight.xyz_mm, &sight.px));
        sight.px = tapul_vec2_add(sight.px, tapul_vec2(noise[0], noise[1]));
        g_array_append_val(photo->sights, sight);
    }
    ck_assert_msg(tapul_camera_fit((TapulSight *)(void *)photo->sights->data, 12,
                                   photo->width_px, photo->height_px, &options, &photo->fit,
                                   &error),
                  "%s", error ? error->message : "");
}

START_TEST(half_a_pixel_of_picking_costs_less_than_half_a_millimetre) {
    g_autofree char *folder = new_folder();
    g_autoptr(TestGround) made = cylinder();
    for (guint32 seed = 1; seed <= 3; seed++) {
        g_autoptr(TapulPhoto) photo = photo_from(20, &usual, 0, folder, "a.png");
        fit_camera(made, photo, seed);
        g_autoptr(TapulRectified) r = good_rectified(made, &photo, 1, 0.25);
        int n;
        double worst_mm = worst_dot_mm(r, usual.ground, &n);
        ck_assert_msg(worst_mm < 0.5, "a dot is %.4f mm off", worst_mm);
        ck_assert_int_gt(n, 200);
    }
    remove_folder(folder);
}
END_TEST

START_TEST(masks_end_at_the_horizon_and_at_75_degrees) {
    g_autofree char *folder = new_folder();
    g_autoptr(TestGround) made = cylinder();
    g_autoptr(TapulPhoto) photo = photo_from(25, &usual, 0, folder, "a.png");
    g_autoptr(TapulRectified) r = good_rectified(made, &photo, 1, 0.2);
    gsize wrong = 0, far = 0, on = 0;
    for (int y = 0; y < r->height_px; y++)
        for (int x = 0; x < r->width_px; x++) {
            TapulVec2 at = centre_mm(r, x, y);
            TapulSeen truly = truly_seen(eye_at(25), at);
            TapulSeen seen = r->seen[(gsize)y * (gsize)r->width_px + (gsize)x];
            on += truly != TAPUL_SEEN_OFF;
            if (seen == truly)
                continue;
            wrong++;
            /* Off by more than a pixel: the pixels to both sides are truly otherwise too. */
            far += truly_seen(eye_at(25), tapul_vec2(at.x - r->pixel_mm, at.y)) != seen &&
                   truly_seen(eye_at(25), tapul_vec2(at.x + r->pixel_mm, at.y)) != seen &&
                   truly_seen(eye_at(25), tapul_vec2(at.x, at.y - r->pixel_mm)) != seen &&
                   truly_seen(eye_at(25), tapul_vec2(at.x, at.y + r->pixel_mm)) != seen;
        }
    ck_assert_msg(far == 0, "%zu pixels are wrong by more than a pixel", far);
    ck_assert_msg((double)wrong < 2e-3 * (double)on, "%zu of %zu pixels are wrong", wrong, on);
    remove_folder(folder);
}
END_TEST

START_TEST(shares_and_resolution_have_their_closed_forms) {
    g_autofree char *folder = new_folder();
    g_autoptr(TestGround) made = cylinder();
    g_autoptr(TapulPhoto) photo = photo_from(25, &usual, 0, folder, "a.png");
    g_autoptr(TapulRectified) r = good_rectified(made, &photo, 1, 0.2);
    double count[4] = {0};
    for (double y = -HALF_MM + 0.05; y < HALF_MM; y += 0.1)
        for (double s = -RADIUS_MM * EDGE_RAD + 0.05; s < RADIUS_MM * EDGE_RAD; s += 0.1)
            count[truly_seen(eye_at(25), tapul_vec2(s, y))]++;
    double all = count[1] + count[2] + count[3];
    /* The horizon runs along a column of pixels: the masks' own step is a share of 0.0007. */
    ck_assert_double_eq_tol(r->seen_share, count[TAPUL_SEEN_WELL] / all, 0.0005);
    double grazing = count[TAPUL_SEEN_GRAZING] / all;
    ck_assert_double_eq_tol(r->grazing_share, grazing, 0.01 * grazing);
    /* Level with the eye, a small square facing it at a slant of cosine c and a distance d
     * shows by focal / d one way and focal c / d the other. */
    double s = RADIUS_MM * (25 - 40) * G_PI / 180, y = 100 - 0.25;
    int column = (int)((s - r->box_mm.min.x) / r->pixel_mm);
    int row = (int)((r->box_mm.max.y - y) / r->pixel_mm);
    TapulVec2 at = centre_mm(r, column, row);
    double turn = at.x / RADIUS_MM;
    TapulVec3 place = {RADIUS_MM * sin(turn), at.y + HALF_MM, RADIUS_MM * cos(turn)};
    double cosine = cosine_at(eye_at(25), at.x, at.y);
    double expected = FOCAL_PX * cosine / tapul_vec3_distance(eye_at(25), place);
    double found = r->px_per_mm[(gsize)row * (gsize)r->width_px + (gsize)column];
    /* The line of sight leaves the optical axis by less than 10 degrees: by 1 / cos^2 of it. */
    ck_assert_double_gt(found, 0.99 * expected);
    ck_assert_double_lt(found, 1.04 * expected);
    remove_folder(folder);
}
END_TEST

START_TEST(pixel_follows_the_photograph) {
    g_autofree char *folder = new_folder();
    g_autoptr(TestGround) made = cylinder();
    g_autoptr(TapulPhoto) photo = photo_from(0, &usual, 0, folder, "a.png");
    g_autoptr(TapulRectified) r = good_rectified(made, &photo, 1, 0);
    /* Square on at 500 mm and a little more: 2600 / 510 = 5.1 px a mm. */
    ck_assert_double_gt(r->pixel_mm, 0.18);
    ck_assert_double_lt(r->pixel_mm, 0.22);
    ck_assert_double_eq_tol(r->box_mm.max.x - r->box_mm.min.x, r->width_px * r->pixel_mm, 1e-9);
    remove_folder(folder);
}
END_TEST

/* --- What stands before other metal --- */

/* Floor, wall and upper floor; the wall faces to the left. */
static const char step_obj[] = "v -100 0 0\nv 0 0 0\nv 0 0 40\nv 50 0 40\n"
                               "v -100 100 0\nv 0 100 0\nv 0 100 40\nv 50 100 40\n"
                               "f 1 2 6\nf 1 6 5\nf 2 3 7\nf 2 7 6\nf 3 4 8\nf 3 8 7\n";

START_TEST(step_hides_the_floor_behind_it) {
    g_autofree char *folder = new_folder();
    g_autofree char *obj = write_file(folder, "step.obj", step_obj);
    g_autofree char *path = g_build_filename(folder, "a.png", NULL);
    TapulPlate *plate = tapul_plate_load(obj, NULL, NULL);
    ck_assert_ptr_nonnull(plate);
    g_autoptr(TestGround) made = test_ground_take(plate, 50);
    TapulCamera camera =
        camera_looking(tapul_vec3(300, 50, 300), tapul_vec3(0, 50, 0), 1000, 1000, 1000);
    g_autoptr(TapulPixels) blank = tapul_pixels_new(1000, 1000, 1);
    g_autoptr(TapulPhoto) photo = photo_of(&camera, blank, path);
    g_autoptr(TapulRectified) r = good_rectified(made, &photo, 1, 0.25);
    /* The sight line from the eye over the edge (0, 40) meets the floor at -46.154 mm: of the
     * 190 mm of strip 53.846 of floor and 50 of upper floor are seen. */
    ck_assert_double_eq_tol(r->seen_share, (100 - 46.1538 + 50) / 190, 0.002);
    ck_assert_double_eq_tol(r->grazing_share, 0, 0.001);
    remove_folder(folder);
}
END_TEST

/* --- Several photographs --- */

/* Means of two-millimetre columns of bare ground between the dots, for arcs to both sides. */
static double worst_ground_step(const TapulRectified *r, double *lowest, double *highest) {
    double before = NAN, worst = 0;
    *lowest = 255;
    *highest = 0;
    for (double left = -125; left < 125; left += 2) {
        double sum = 0;
        int n = 0;
        for (int y = 0; y < r->height_px; y++)
            for (int x = (int)((left - r->box_mm.min.x) / r->pixel_mm);
                 x < (int)((left + 2 - r->box_mm.min.x) / r->pixel_mm); x++) {
                TapulVec2 at = centre_mm(r, x, y);
                gsize i = (gsize)y * (gsize)r->width_px + (gsize)x;
                if (fabs(at.y) > 130 || dotted(at.x, at.y, &usual) != usual.ground ||
                    dotted(at.x, at.y + 0.5, &usual) != usual.ground ||
                    dotted(at.x, at.y - 0.5, &usual) != usual.ground ||
                    dotted(at.x + 0.5, at.y, &usual) != usual.ground ||
                    dotted(at.x - 0.5, at.y, &usual) != usual.ground || r->rgba[4 * i + 3] == 0)
                    continue;
                sum += r->rgba[4 * i];
                n++;
            }
        ck_assert_int_gt(n, 100);
        if (!isnan(before))
            worst = fmax(worst, fabs(sum / n - before));
        before = sum / n;
        *lowest = fmin(*lowest, before);
        *highest = fmax(*highest, before);
    }
    return worst;
}

START_TEST(blended_photographs_show_no_seam) {
    g_autofree char *folder = new_folder();
    g_autoptr(TestGround) made = cylinder();
    const DottedCylinder darker = {140, 28}; /* seven tenths of the light */
    const double noise_sd = 2;
    TapulPhoto *photos[] = {photo_from(-35, &usual, noise_sd, folder, "a.png"),
                            photo_from(35, &darker, noise_sd, folder, "b.png")};
    g_autoptr(TapulRectified) one = good_rectified(made, photos, 1, 0.2);
    g_autoptr(TapulRectified) both = good_rectified(made, photos, 2, 0.2);
    double lowest, highest;
    double step = worst_ground_step(both, &lowest, &highest);
    ck_assert_msg(step < noise_sd / 2, "a step of %.3f levels", step);
    ck_assert_double_gt(lowest, usual.ground - noise_sd / 2);
    ck_assert_double_lt(highest, usual.ground + noise_sd / 2);
    int n_one, n_both;
    double worst_mm = worst_dot_mm(one, usual.ground, &n_one);
    ck_assert_double_lt(worst_mm, 0.05);
    worst_mm = worst_dot_mm(both, usual.ground, &n_both);
    ck_assert_double_lt(worst_mm, 0.05);
    ck_assert_int_gt(n_both, n_one + 50);
    ck_assert_double_gt(both->seen_share, one->seen_share + 0.2);
    tapul_photo_free(photos[0]);
    tapul_photo_free(photos[1]);
    remove_folder(folder);
}
END_TEST

/* --- Files --- */

START_TEST(world_file_gives_millimetres) {
    static const char *const names[] = {"r.png", "r.tiff"}, *const worlds[] = {"r.pgw",
                                                                               "r.tfw"};
    g_autofree char *folder = new_folder();
    guint8 rgba[3 * 2 * 4];
    memset(rgba, 255, sizeof rgba);
    TapulRectified r = {.box_mm = {{-10, -20}, {-9.25, -19.5}},
                        .pixel_mm = 0.25,
                        .width_px = 3,
                        .height_px = 2,
                        .rgba = rgba};
    for (int i = 0; i < 2; i++) {
        g_autofree char *path = g_build_filename(folder, names[i], NULL);
        g_autofree char *world = g_build_filename(folder, worlds[i], NULL);
        g_autofree char *text = NULL;
        ck_assert(tapul_rectified_write(&r, path, NULL));
        ck_assert(g_file_get_contents(world, &text, NULL, NULL));
        g_auto(GStrv) lines = g_strsplit(g_strstrip(text), "\n", -1);
        /* Order and pixel-centre convention: GDAL documentation, 'WLD -- ESRI World File' [V].
         */
        const double expected[] = {0.25, 0, 0, -0.25, -9.875, -19.625};
        ck_assert_uint_eq(g_strv_length(lines), 6);
        for (int k = 0; k < 6; k++)
            ck_assert_double_eq_tol(g_ascii_strtod(lines[k], NULL), expected[k], 1e-9);
        g_autoptr(TapulPicture) picture = tapul_picture_open(path, NULL);
        ck_assert_ptr_nonnull(picture);
        ck_assert_double_eq_tol(picture->dpi_x, 25.4 / 0.25, 0.02);
        ck_assert_double_eq_tol(picture->dpi_y, 25.4 / 0.25, 0.02);
    }
    g_autofree char *other = g_build_filename(folder, "r.gif", NULL);
    g_autoptr(GError) error = NULL;
    ck_assert(!tapul_rectified_write(&r, other, &error));
    ck_assert_ptr_nonnull(strstr(error->message, ".png"));
    remove_folder(folder);
}
END_TEST

/* --- Refusals --- */

static void check_refused(TestGround *made, TapulPhoto *photo, gboolean enhance,
                          double pixel_mm, const char *says) {
    TapulRectifyOptions options = tapul_rectify_options_defaults();
    g_autoptr(GError) error = NULL;
    options.enhance = enhance;
    options.pixel_mm = pixel_mm;
    TapulRectified *r = tapul_rectify(made->plate, made->development, made->finder, &photo, 1,
                                      &options, &error);
    ck_assert_ptr_null(r);
    ck_assert_ptr_nonnull(error);
    ck_assert_msg(strstr(error->message, says) != NULL, "'%s' does not say '%s'",
                  error->message, says);
    ck_assert_msg(strstr(error->message, ".png:") != NULL, "no file: %s", error->message);
    ck_assert_ptr_null(strchr(error->message, '\n'));
}

static void add_lamp(TapulPhoto *photo, const char *file, double x, double y) {
    TapulLamp *lamp = g_new0(TapulLamp, 1);
    lamp->file = g_strdup(file);
    lamp->towards = tapul_vec3_unit(tapul_vec3(x, y, 1));
    g_ptr_array_add(photo->lamps, lamp);
}

START_TEST(unfit_photographs_are_refused) {
    g_autofree char *folder = new_folder();
    g_autoptr(TestGround) made = cylinder();
    g_autofree char *path = g_build_filename(folder, "a.png", NULL);
    g_autofree char *small_path = g_build_filename(folder, "small.png", NULL);
    TapulCamera camera =
        camera_looking(tapul_vec3(0, 150, 600), tapul_vec3(0, 150, 0), 400, 200, 200);
    g_autoptr(TapulPixels) blank = tapul_pixels_new(200, 200, 1);
    g_autoptr(TapulPixels) small = tapul_pixels_new(100, 150, 1);
    g_autoptr(TapulPhoto) photo = photo_of(&camera, blank, path);
    ck_assert(tapul_pixels_write_png(small, 96, small_path, NULL));

    check_refused(made, photo, FALSE, 0.01, "megapixels");
    check_refused(made, photo, FALSE, 30, "a pixel of 30 mm is too large");
    add_lamp(photo, path, 0, 0);
    add_lamp(photo, path, 0.5, 0);
    check_refused(made, photo, TRUE, 1, "2 lamps");
    add_lamp(photo, path, -0.5, 0);
    check_refused(made, photo, TRUE, 1, "in one plane");
    add_lamp(photo, small_path, 0, 0.5);
    check_refused(made, photo, TRUE, 1, "100 x 150 px, must have the shape of");
    ck_assert(tapul_pixels_write_png(small, 96, path, NULL));
    check_refused(made, photo, FALSE, 1, "100 x 150 px, must have the shape of");
    g_unlink(path);
    check_refused(made, photo, FALSE, 1, "a.png");
    photo->fit.camera =
        camera_looking(tapul_vec3(0, 150, -600), tapul_vec3(0, 150, 0), 400, 200, 200);
    check_refused(made, photo, FALSE, 1, "no part of the plate is seen");
    remove_folder(folder);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("rectify");
    TCase *tests = tcase_create("rectify");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, dots_come_to_their_places);
    tcase_add_test(tests, half_a_pixel_of_picking_costs_less_than_half_a_millimetre);
    tcase_add_test(tests, masks_end_at_the_horizon_and_at_75_degrees);
    tcase_add_test(tests, shares_and_resolution_have_their_closed_forms);
    tcase_add_test(tests, pixel_follows_the_photograph);
    tcase_add_test(tests, step_hides_the_floor_behind_it);
    tcase_add_test(tests, blended_photographs_show_no_seam);
    tcase_add_test(tests, world_file_gives_millimetres);
    tcase_add_test(tests, unfit_photographs_are_refused);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
