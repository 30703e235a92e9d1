/* Photometric stereo and local contrast, against light computed from known normals. */
#include <stdlib.h>

#include "grounds_for_tests.h"
#include "photo/contrast.h"
#include "photo/relief.h"
#include "program_for_tests.h"
#include "rendered_for_tests.h"

#define N_LAMPS 4

/* 45 degrees off the upright, to the four sides. */
static void four_lamps(TapulVec3 towards[N_LAMPS]) {
    for (int i = 0; i < N_LAMPS; i++) {
        double around = i * G_PI / 2 + 0.3;
        towards[i] = tapul_vec3_unit(tapul_vec3(cos(around), sin(around), 1));
    }
}

static TapulRelief *relief_of_four(void) {
    TapulVec3 towards[N_LAMPS];
    four_lamps(towards);
    TapulRelief *relief = tapul_relief_new(towards, N_LAMPS, NULL);
    ck_assert_ptr_nonnull(relief);
    return relief;
}

/* Lambert's law; what lies in its own shadow is black. */
static void lambert(TapulVec3 normal, double albedo, float light[N_LAMPS]) {
    TapulVec3 towards[N_LAMPS];
    four_lamps(towards);
    for (int i = 0; i < N_LAMPS; i++)
        light[i] = (float)(albedo * fmax(tapul_vec3_dot(normal, towards[i]), 0));
}

static double angle_deg(TapulVec3 a, TapulVec3 b) {
    return acos(CLAMP(tapul_vec3_dot(a, b), -1, 1)) * 180 / G_PI;
}

/* --- Normals --- */

START_TEST(sphere_gives_back_its_normals) {
    g_autoptr(TapulRelief) relief = relief_of_four();
    int n = 0, n_shadowed = 0;
    for (double y = -0.95; y <= 0.95; y += 0.05)
        for (double x = -0.95; x <= 0.95; x += 0.05) {
            if (hypot(x, y) > 0.9)
                continue;
            TapulVec3 truly = {x, y, sqrt(1 - x * x - y * y)}, found;
            float light[N_LAMPS];
            double albedo;
            int dark = 0;
            lambert(truly, 0.8, light);
            float brightest = MAX(MAX(light[0], light[1]), MAX(light[2], light[3]));
            for (int i = 0; i < N_LAMPS; i++)
                dark += light[i] <= 0.05f * brightest;
            n_shadowed += dark == 1;
            if (!tapul_relief_solve(relief, light, &found, &albedo)) {
                ck_assert_int_ge(dark, 2); /* too few are left, at the rim */
                continue;
            }
            n++;
            /* Woodham 1980: noise-free light gives the normal itself. */
            ck_assert_double_lt(angle_deg(truly, found), 0.5);
            ck_assert_double_eq_tol(albedo, 0.8, 1e-3);
        }
    ck_assert_int_gt(n, 900);
    ck_assert_int_gt(n_shadowed, 50);
}
END_TEST

START_TEST(eight_bits_cost_less_than_half_a_degree) {
    g_autoptr(TapulRelief) relief = relief_of_four();
    double sum = 0;
    int n = 0;
    for (double y = -0.4; y <= 0.4; y += 0.02)
        for (double x = -0.4; x <= 0.4; x += 0.02) {
            TapulVec3 truly = {x, y, sqrt(1 - x * x - y * y)}, found;
            float light[N_LAMPS];
            double albedo;
            lambert(truly, 0.8, light);
            for (int i = 0; i < N_LAMPS; i++)
                light[i] = (float)(round(light[i] * 255) / 255);
            ck_assert(tapul_relief_solve(relief, light, &found, &albedo));
            sum += pow(angle_deg(truly, found), 2);
            n++;
        }
    ck_assert_double_lt(sqrt(sum / n), 0.5);
}
END_TEST

START_TEST(shadows_and_highlights_are_left_out) {
    g_autoptr(TapulRelief) relief = relief_of_four();
    TapulVec3 truly = tapul_vec3_unit(tapul_vec3(0.2, -0.1, 1)), found;
    float light[N_LAMPS];
    double albedo;
    for (int spoilt = 0; spoilt < N_LAMPS; spoilt++) {
        lambert(truly, 0.8, light);
        light[spoilt] = spoilt % 2 ? 1 : 0.001f;
        ck_assert(tapul_relief_solve(relief, light, &found, &albedo));
        ck_assert_double_lt(angle_deg(truly, found), 0.01);
    }
    light[0] = light[1] = 1; /* two are left */
    ck_assert(!tapul_relief_solve(relief, light, &found, &albedo));
}
END_TEST

START_TEST(lamps_that_tell_nothing_are_refused) {
    TapulVec3 line[] = {{0, 0, 1}, {0.6, 0, 0.8}, {-0.6, 0, 0.8}};
    TapulVec3 many[TAPUL_RELIEF_MOST_LAMPS + 1] = {{0, 0, 0}};
    g_autoptr(GError) plane = NULL;
    g_autoptr(GError) few = NULL;
    g_autoptr(GError) too_many = NULL;
    ck_assert_ptr_null(tapul_relief_new(line, 3, &plane));
    ck_assert_ptr_nonnull(strstr(plane->message, "one plane"));
    ck_assert_ptr_null(tapul_relief_new(line, 2, &few));
    ck_assert_ptr_nonnull(strstr(few->message, "2 lamps"));
    ck_assert_ptr_null(tapul_relief_new(many, TAPUL_RELIEF_MOST_LAMPS + 1, &too_many));
    ck_assert_ptr_nonnull(strstr(too_many->message, "13 lamps"));
}
END_TEST

/* --- A flat plate with worn grooves, through the whole road --- */

#define GROOVE_STEP_MM  8.0
#define GROOVE_WIDTH_MM 0.8
#define GROOVE_SLOPE    0.12 /* worn: 7 degrees at the steepest */
#define FLAT_MM         60.0

static const char flat_obj[] =
    "v -60 0 0\nv 60 0 0\nv 60 120 0\nv -60 120 0\nf 1 2 3\nf 1 3 4\n";

/* Grooves run across in the lower half and up in the upper half, so that no one lamp shows all.
 */
static TapulVec3 groove_normal(double x_mm, double y_mm) {
    gboolean across = y_mm < FLAT_MM;
    double at = across ? y_mm : x_mm;
    double off = at - GROOVE_STEP_MM * round(at / GROOVE_STEP_MM);
    double slope =
        fabs(off) < GROOVE_WIDTH_MM ? GROOVE_SLOPE * sin(G_PI * off / GROOVE_WIDTH_MM) : 0;
    return tapul_vec3_unit(tapul_vec3(across ? 0 : -slope, across ? -slope : 0, 1));
}

static gboolean in_groove(double x_mm, double y_mm) {
    double at = y_mm < FLAT_MM ? y_mm : x_mm;
    double off = fabs(at - GROOVE_STEP_MM * round(at / GROOVE_STEP_MM));
    return fabs(off - GROOVE_WIDTH_MM / 2) < 0.2; /* the flanks */
}

/* Light as a camera codes it: IEC 61966-2-1. */
static double coded(double light) {
    return 255 * (light <= 0.0031308 ? 12.92 * light : 1.055 * pow(light, 1 / 2.4) - 0.055);
}

static double grooved_light(TapulVec3 eye, TapulVec3 sight, gconstpointer data) {
    const TapulVec3 *towards = data;
    double t = -eye.z / sight.z, x = eye.x + t * sight.x, y = eye.y + t * sight.y;
    if (fabs(x) > 60 || y < 0 || y > 120)
        return BESIDE;
    /* Uneven metal: a slow change of albedo. */
    double albedo = 0.55 + 0.15 * sin(x / 20) * cos(y / 25);
    return coded(albedo * fmax(tapul_vec3_dot(groove_normal(x, y), *towards), 0));
}

/* How far flanks lie from the ground, lighter or darker, in standard deviations of the ground:
 * near 1 where they drown in its unevenness. */
static double contrast_of(const TapulRectified *r) {
    double sum[2] = {0}, squares[2] = {0};
    int n[2] = {0};
    for (int y = 0; y < r->height_px; y++)
        for (int x = 0; x < r->width_px; x++) {
            gsize i = (gsize)y * (gsize)r->width_px + (gsize)x;
            double x_mm = r->box_mm.min.x + (x + 0.5) * r->pixel_mm;
            double y_mm = r->box_mm.max.y - (y + 0.5) * r->pixel_mm + FLAT_MM;
            TapulVec3 normal = groove_normal(x_mm, y_mm);
            gboolean flank = in_groove(x_mm, y_mm);
            if (r->rgba[4 * i + 3] == 0 || fabs(x_mm) > 56 || y_mm < 4 || y_mm > 116 ||
                fabs(y_mm - FLAT_MM) < 2 || (!flank && normal.z < 1))
                continue;
            double grey = r->rgba[4 * i];
            sum[flank] += grey;
            squares[flank] += grey * grey;
            n[flank]++;
        }
    ck_assert_int_gt(n[0], 1000);
    ck_assert_int_gt(n[1], 1000);
    double ground = sum[0] / n[0];
    double flanks = squares[1] / n[1] - 2 * ground * sum[1] / n[1] + ground * ground;
    return sqrt(flanks / (squares[0] / n[0] - ground * ground));
}

typedef struct {
    TestGround *made;
    TapulPhoto *photo;
    char *folder;
} Grooved;

static Grooved grooved(void) {
    Grooved g = {.folder = new_folder()};
    g_autofree char *obj = write_file(g.folder, "flat.obj", flat_obj);
    TapulVec3 towards[N_LAMPS];
    four_lamps(towards);
    TapulPlate *plate = tapul_plate_load(obj, NULL, NULL);
    ck_assert_ptr_nonnull(plate);
    g.made = test_ground_take(plate, FLAT_MM);
    TapulCamera camera =
        camera_looking(tapul_vec3(80, 100, 500), tapul_vec3(0, 60, 0), 3200, 1000, 1000);
    for (int i = 0; i < N_LAMPS; i++) {
        g_autofree char *name = g_strdup_printf("lamp%d.png", i);
        g_autofree char *path = g_build_filename(g.folder, name, NULL);
        g_autoptr(TapulPixels) pixels =
            render(&camera, grooved_light, &towards[i], 0.7, (guint32)i);
        TapulPhoto *lit = photo_of(&camera, pixels, path);
        if (i == 0) {
            g.photo = lit;
        } else {
            tapul_photo_free(lit);
        }
        TapulLamp *lamp = g_new0(TapulLamp, 1);
        lamp->file = g_strdup(path);
        lamp->towards = towards[i];
        g_ptr_array_add(g.photo->lamps, lamp);
    }
    return g;
}

static void grooved_clear(Grooved *g) {
    remove_folder(g->folder);
    g_free(g->folder);
    test_ground_free(g->made);
    tapul_photo_free(g->photo);
}

static TapulRectified *rectified(const Grooved *g, gboolean enhance) {
    TapulRectifyOptions options = tapul_rectify_options_defaults();
    options.pixel_mm = 0.15;
    options.enhance = enhance;
    TapulRectified *r = tapul_rectify(g->made->plate, g->made->development, g->made->finder,
                                      &g->photo, 1, &options, NULL);
    ck_assert_ptr_nonnull(r);
    return r;
}

START_TEST(relief_shows_grooves_better_than_any_one_lamp) {
    Grooved g = grooved();
    g_autoptr(TapulRectified) relief = rectified(&g, TRUE);
    double by_relief = contrast_of(relief), best = 0;
    g_autofree char *first = g_strdup(g.photo->file);
    for (int i = 0; i < N_LAMPS; i++) {
        g_free(g.photo->file);
        g.photo->file = g_strdup(((TapulLamp *)g.photo->lamps->pdata[i])->file);
        g_autoptr(TapulRectified) lit = rectified(&g, FALSE);
        best = fmax(best, contrast_of(lit));
    }
    ck_assert_msg(by_relief > 3 * best, "relief %.3f, best lamp %.3f", by_relief, best);
    grooved_clear(&g);
}
END_TEST

START_TEST(relief_is_light_where_the_metal_is_the_plates) {
    Grooved g = grooved();
    g_autoptr(TapulRectified) relief = rectified(&g, TRUE);
    /* The middle of the ground between two grooves. */
    int x = (int)((4 - relief->box_mm.min.x) / relief->pixel_mm);
    int y = (int)((relief->box_mm.max.y - 36) / relief->pixel_mm);
    gsize i = (gsize)y * (gsize)relief->width_px + (gsize)x;
    ck_assert_int_gt(relief->rgba[4 * i], 200);
    ck_assert_int_eq(relief->rgba[4 * i], relief->rgba[4 * i + 2]);
    grooved_clear(&g);
}
END_TEST

/* --- Local contrast --- */

START_TEST(local_contrast_makes_faint_lines_as_strong_as_fresh_ones) {
    enum { WIDTH = 600, HEIGHT = 200 };
    g_autoptr(TapulPixels) picture = tapul_pixels_new(WIDTH, HEIGHT, 4);
    g_autofree guint8 *kept = g_new(guint8, WIDTH * HEIGHT);
    /* Lines every 10 px; from left to right the light falls to a third and the lines fade. */
    for (int y = 0; y < HEIGHT; y++)
        for (int x = 0; x < WIDTH; x++) {
            gsize i = (gsize)y * WIDTH + (gsize)x;
            double light = 210 - 140.0 * x / WIDTH, depth = 0.5 - 0.3 * x / WIDTH;
            double value = y % 10 < 3 ? light * (1 - depth) : light;
            kept[i] = x >= 20 && x < 580 ? 3 : 1;
            for (int k = 0; k < 3; k++)
                picture->data[4 * i + (gsize)k] = kept[i] == 3 ? (guint8)lround(value) : 255;
            picture->data[4 * i + 3] = 255;
        }
    ck_assert(tapul_contrast_even(picture, kept, 3, 0.2, NULL));
    double least = 255, most = 0;
    for (int x = 30; x < 570; x += 30) {
        gsize line = 101 * WIDTH + (gsize)x, ground = 106 * WIDTH + (gsize)x;
        double step = picture->data[4 * ground] - picture->data[4 * line];
        least = fmin(least, step);
        most = fmax(most, step);
    }
    ck_assert_double_gt(least, 80);
    ck_assert_double_lt(most, 1.25 * least); /* they went in as 105 to 14 levels */
    ck_assert_int_eq(picture->data[0], 255); /* beside the metal nothing is touched */
}
END_TEST

int main(void) {
    Suite *suite = suite_create("relief");
    TCase *tests = tcase_create("relief");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, sphere_gives_back_its_normals);
    tcase_add_test(tests, eight_bits_cost_less_than_half_a_degree);
    tcase_add_test(tests, shadows_and_highlights_are_left_out);
    tcase_add_test(tests, lamps_that_tell_nothing_are_refused);
    tcase_add_test(tests, relief_shows_grooves_better_than_any_one_lamp);
    tcase_add_test(tests, relief_is_light_where_the_metal_is_the_plates);
    tcase_add_test(tests, local_contrast_makes_faint_lines_as_strong_as_fresh_ones);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
