/* Scans laid as pictures: dots of a scan against the closed forms of cylinder and sphere,
 * against the laid ink of the same print, and the lattice against the rules' own inverses. */
#include "base/picture.h"
#include "laying/lattice.h"

#include <check.h>
#include <glib/gstdio.h>
#include <omp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <tapul/laying.h>

#include "grounds_for_tests.h"

/* --- A scan made here --- */

/* Dots of 1 mm radius on paper, at whole 10 mm of a print of 80 x 60 mm that lies turned in its
 * scan. */
#define PX_PER_MM      10.0
#define WIDTH_MM       80.0
#define HEIGHT_MM      60.0
#define SKEW_RAD       0.03
#define DOT_MM         1.0
#define PAPER          220
#define INK            25
#define SCAN_WIDTH_PX  900
#define SCAN_HEIGHT_PX 700

typedef struct {
    TapulInk *ink;
    char *path;
} TestScan;

static gboolean is_dot(int x_mm, int y_mm) {
    return x_mm % 10 == 0 && y_mm % 10 == 0 && x_mm > 0 && x_mm < WIDTH_MM && y_mm > 0 &&
           y_mm < HEIGHT_MM;
}

/* How much of a pixel's middle parts lies on the dot nearest to it. */
static guint8 tone_at(const TapulScan *scan, int x, int y) {
    double inked = 0;
    for (int k = 0; k < 64; k++) {
        TapulVec2 px = {x + (k % 8 + 0.5) / 8, y + ((double)(k / 8) + 0.5) / 8};
        TapulVec2 apart = tapul_vec2_sub(px, scan->origin_px);
        double determinant = tapul_vec2_cross(scan->px_by_x, scan->px_by_y);
        TapulVec2 mm = {tapul_vec2_cross(apart, scan->px_by_y) / determinant,
                        tapul_vec2_cross(scan->px_by_x, apart) / determinant};
        int near_x = 10 * (int)lround(mm.x / 10), near_y = 10 * (int)lround(mm.y / 10);
        inked += is_dot(near_x, near_y) && hypot(mm.x - near_x, mm.y - near_y) <= DOT_MM;
    }
    return (guint8)lround(PAPER + (INK - PAPER) * inked / 64);
}

static TestScan *scan_new(void) {
    TestScan *made = g_new0(TestScan, 1);
    TapulScan *scan = g_new0(TapulScan, 1);
    int handle = g_file_open_tmp("tapul-XXXXXX.png", &made->path, NULL);
    ck_assert(handle >= 0 && g_close(handle, NULL));
    scan->path = made->path;
    scan->width_px = SCAN_WIDTH_PX;
    scan->height_px = SCAN_HEIGHT_PX;
    scan->origin_px = tapul_vec2(45, 645);
    scan->px_by_x = tapul_vec2_turn(tapul_vec2(PX_PER_MM, 0), -SKEW_RAD);
    scan->px_by_y = tapul_vec2_turn(tapul_vec2(0, -PX_PER_MM), -SKEW_RAD);
    made->ink = test_ink_new();
    made->ink->width_mm = WIDTH_MM;
    made->ink->height_mm = HEIGHT_MM;
    made->ink->scan = scan;
    g_autoptr(TapulPixels) pixels = tapul_pixels_new(SCAN_WIDTH_PX, SCAN_HEIGHT_PX, 1);
    for (int y = 0; y < SCAN_HEIGHT_PX; y++)
        for (int x = 0; x < SCAN_WIDTH_PX; x++)
            pixels->data[y * SCAN_WIDTH_PX + x] = tone_at(scan, x, y);
    ck_assert(tapul_pixels_write_png(pixels, 25.4 * PX_PER_MM, made->path, NULL));
    return made;
}

static void scan_free(TestScan *made) {
    g_unlink(made->path);
    g_free(made->path);
    g_free(made->ink->scan);
    test_ink_free(made->ink);
    g_free(made);
}
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TestScan, scan_free)

/* --- Laying and looking --- */

static TapulLaying *rolled_on(const TestGround *made, double turn_rad, gboolean reversed) {
    TapulLayingOptions options = {.rule = TAPUL_LAYING_ROLLED,
                                  .anchor = made->middle,
                                  .print_anchor_mm = {40, 30},
                                  .scale = 1,
                                  .turn_rad = turn_rad,
                                  .reversed = reversed};
    g_autoptr(GError) error = NULL;
    TapulLaying *laying = tapul_laying_new(&made->ground, &options, &error);
    ck_assert_msg(laying != NULL, "%s", error ? error->message : "no error given");
    return laying;
}

static TapulLaidPicture *picture_of(const TapulLaying *laying, const TestScan *scan,
                                    const TapulLayPictureOptions *options) {
    g_autoptr(GError) error = NULL;
    TapulLaidPicture *picture = tapul_lay_picture(laying, scan->ink, options, &error);
    ck_assert_msg(picture != NULL, "%s", error ? error->message : "no error given");
    return picture;
}

/* Where a place of the development lies in the picture. */
static TapulVec2 px_of(const TapulLaidPicture *picture, TapulVec2 mm) {
    return tapul_vec2((mm.x - picture->box_mm.min.x) / picture->pixel_mm,
                      (picture->box_mm.max.y - mm.y) / picture->pixel_mm);
}

/* The middle of the darkness within 2 mm of a place, px. */
static TapulVec2 dot_near(const TapulLaidPicture *picture, TapulVec2 px) {
    double sum = 0, reach_px = 2 / picture->pixel_mm;
    TapulVec2 middle = {0, 0};
    for (int y = (int)(px.y - reach_px); y <= (int)(px.y + reach_px); y++)
        for (int x = (int)(px.x - reach_px); x <= (int)(px.x + reach_px); x++) {
            ck_assert(x >= 0 && y >= 0 && x < picture->width_px && y < picture->height_px);
            const guint8 *pixel = picture->rgba + 4 * (y * picture->width_px + x);
            ck_assert_int_eq(pixel[3], 255);
            double dark = PAPER - pixel[0];
            sum += dark;
            middle.x += dark * (x + 0.5);
            middle.y += dark * (y + 0.5);
        }
    ck_assert_double_gt(sum, 1000);
    return tapul_vec2_scale(middle, 1 / sum);
}

/* The furthest any dot lies from where `place` puts it, px. */
static double worst_dot_px(const TapulLaidPicture *picture,
                           TapulVec2 (*place)(TapulVec2, double), double turn_rad) {
    double worst_px = 0;
    for (int x = 10; x < WIDTH_MM; x += 10)
        for (int y = 10; y < HEIGHT_MM; y += 10) {
            TapulVec2 expected = px_of(picture, place(tapul_vec2(x - 40, y - 30), turn_rad));
            worst_px =
                fmax(worst_px, tapul_vec2_distance(dot_near(picture, expected), expected));
        }
    return worst_px;
}

/* A cylinder laid flat: the print as it is, about the anchor, which lies at the origin. */
static TapulVec2 on_cylinder(TapulVec2 q, double turn_rad) {
    return tapul_vec2_turn(q, turn_rad);
}

static TapulVec2 on_cylinder_reversed(TapulVec2 q, double turn_rad) {
    return tapul_vec2_turn(tapul_vec2(-q.x, q.y), turn_rad);
}

START_TEST(dots_on_a_cylinder_lie_where_the_closed_form_has_them) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    g_autoptr(TestScan) scan = scan_new();
    for (int reversed = 0; reversed <= 1; reversed++) {
        g_autoptr(TapulLaying) laying = rolled_on(made, 0.4, reversed);
        TapulLayPictureOptions options = tapul_lay_picture_options_defaults();
        g_autoptr(TapulLaidPicture) picture = picture_of(laying, scan, &options);
        /* The scan's own resolution, since nothing is stretched. */
        ck_assert_double_eq_tol(picture->pixel_mm, 1 / PX_PER_MM, 1e-5);
        double worst_px =
            worst_dot_px(picture, reversed ? on_cylinder_reversed : on_cylinder, 0.4);
        ck_assert_msg(worst_px <= 0.1, "%g px", worst_px);
    }
}
END_TEST

/* On a sphere rolled is the azimuthal equidistant map (Snyder 1987, 191), and so is the even
 * development about the pole but for its scale along a radius, which the development itself
 * tells. */
static const TestGround *sphere_ground;

static TapulVec2 on_sphere(TapulVec2 q, double turn_rad) {
    TapulVec2 p = tapul_vec2_turn(q, turn_rad);
    double r = tapul_vec2_length(p), angle = r / 150;
    TapulVec2 front = {0, SPHERE_MIDDLE_MM};
    if (r > 0)
        front = tapul_vec2_add(front, tapul_vec2_scale(p, 150 * sin(angle) / r));
    TapulSpot spot = front_spot(sphere_ground->plate, front.x, front.y);
    return tapul_development_point_mm(sphere_ground->development, spot);
}

START_TEST(dots_on_a_sphere_lie_where_the_closed_form_has_them) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    g_autoptr(TestScan) scan = scan_new();
    g_autoptr(TapulLaying) laying = rolled_on(made, -0.7, FALSE);
    TapulLayPictureOptions options = tapul_lay_picture_options_defaults();
    g_autoptr(TapulLaidPicture) picture = picture_of(laying, scan, &options);
    sphere_ground = made;
    double worst_px = worst_dot_px(picture, on_sphere, -0.7);
    ck_assert_msg(worst_px <= 0.1, "%g px", worst_px);
}
END_TEST

/* The dots again, as ink: a filled disc each, laid by the same laying. Half a pixel is asked.
 */
START_TEST(picture_and_ink_agree) {
    g_autoptr(TestGround) made = test_ground_from_file("shapes/peascod-breastplate.yaml", 200);
    g_autoptr(TestScan) scan = scan_new();
    for (int x = 10; x < WIDTH_MM; x += 10)
        for (int y = 10; y < HEIGHT_MM; y += 10) {
            TapulPath *disc = tapul_path_new();
            for (int k = 0; k < 48; k++) {
                TapulVec2 p = tapul_vec2_turn(tapul_vec2(DOT_MM, 0), k * G_PI / 24);
                p = tapul_vec2_add(p, tapul_vec2(x, y));
                k ? tapul_path_line(disc, p) : tapul_path_move(disc, p);
            }
            tapul_path_close(disc);
            test_ink_take(scan->ink, TAPUL_MARK_FILL, disc);
        }
    g_autoptr(TapulLaying) laying = rolled_on(made, 0.2, FALSE);
    TapulLayPictureOptions options = tapul_lay_picture_options_defaults();
    g_autoptr(TapulLaidPicture) picture = picture_of(laying, scan, &options);
    TapulLayInkOptions how = tapul_lay_ink_options_defaults();
    g_autoptr(TapulLaidInk) laid = tapul_lay_ink(laying, scan->ink, &how, NULL);
    ck_assert_int_eq(laid->marks->len, 35);
    for (guint i = 0; i < laid->marks->len; i++) {
        TapulBox box = tapul_path_box(((TapulMark *)laid->marks->pdata[i])->path);
        TapulVec2 middle = px_of(picture, tapul_vec2_mix(box.min, box.max, 0.5));
        double apart_px = tapul_vec2_distance(dot_near(picture, middle), middle);
        ck_assert_msg(apart_px <= 0.5, "%g px", apart_px);
    }
}
END_TEST

START_TEST(ink_alone_leaves_the_paper_clear) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    g_autoptr(TestScan) scan = scan_new();
    g_autoptr(TapulLaying) laying = rolled_on(made, 0, FALSE);
    TapulLayPictureOptions options = tapul_lay_picture_options_defaults();
    options.ink_only = TRUE;
    g_autoptr(TapulLaidPicture) picture = picture_of(laying, scan, &options);
    for (int x = 5; x < WIDTH_MM; x += 5)
        for (int y = 5; y < HEIGHT_MM; y += 5) {
            TapulVec2 px = px_of(picture, tapul_vec2(x - 40, y - 30));
            const guint8 *pixel =
                picture->rgba + 4 * ((int)px.y * picture->width_px + (int)px.x);
            ck_assert_int_eq(pixel[0] + pixel[1] + pixel[2], 0);
            if (is_dot(x, y)) /* 25 of 220 is what the ink sends back */
                ck_assert_int_ge(pixel[3], 255 - 25 * 255 / 220 - 8);
            else
                ck_assert_int_eq(pixel[3], 0);
        }
}
END_TEST

/* --- The lattice --- */

/* The inverse asked at whole millimetres of the print: within a quarter of the 0.1 px asked of
 * the picture at 600 dpi. */
START_TEST(lattice_agrees_with_the_rules) {
    const TapulLayingRule rules[] = {TAPUL_LAYING_ROLLED, TAPUL_LAYING_DEVELOPED,
                                     TAPUL_LAYING_VIEWED};
    g_autoptr(TestGround) made = test_ground_from_file("shapes/peascod-breastplate.yaml", 200);
    TapulLayingOptions options = {.rule = rules[_i],
                                  .anchor = made->middle,
                                  .print_anchor_mm = {40, 30},
                                  .scale = 0.9,
                                  .turn_rad = 0.3};
    g_autoptr(TapulLaying) laying = tapul_laying_new(&made->ground, &options, NULL);
    g_autoptr(TapulLattice) lattice =
        tapul_lattice_new(laying, tapul_vec2(WIDTH_MM, HEIGHT_MM), NULL, NULL);
    double worst_mm = 0;
    for (int i = 1; i < 80 * 60; i += 7) {
        TapulVec2 print = {i % 80 + 0.37, (double)(i / 80) + 0.41}, developed, back;
        ck_assert(tapul_laying_developed(laying, print, &developed));
        ck_assert(tapul_lattice_print(lattice, developed, &back));
        worst_mm = fmax(worst_mm, tapul_vec2_distance(print, back));
    }
    ck_assert_msg(worst_mm <= 0.1 * 25.4 / 600, "%g mm", worst_mm);
}
END_TEST

/* A print twice as wide as a plate: what lies beyond is clear, and no more than a hair of what
 * lies on it. */
START_TEST(the_plate_s_edge_is_kept) {
    g_autoptr(TestGround) made =
        test_ground_new("{ kind: cylinder, radius_mm: 40, height_mm: 50, sweep_deg: 100 }", 25);
    TapulLayingOptions options = {.rule = TAPUL_LAYING_ROLLED,
                                  .anchor = made->middle,
                                  .print_anchor_mm = {70, 50},
                                  .scale = 1,
                                  .turn_rad = 0.35};
    g_autoptr(TapulLaying) laying = tapul_laying_new(&made->ground, &options, NULL);
    g_autoptr(TapulLattice) lattice =
        tapul_lattice_new(laying, tapul_vec2(140, 100), NULL, NULL);
    double half_mm = 40 * 50 * G_PI / 180, margin_mm = 0.1;
    for (int k = 0; k <= 400; k++) {
        TapulVec2 print, side = {half_mm, 50.0 * k / 400 - 25};
        side.y *= 0.99;
        side.x += margin_mm;
        ck_assert(!tapul_lattice_print(lattice, side, &print));
        side.x -= 2 * margin_mm;
        ck_assert(tapul_lattice_print(lattice, side, &print));
    }
}
END_TEST

/* --- Refusals, threads --- */

START_TEST(a_print_beside_the_plate_is_refused) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    g_autoptr(TestScan) scan = scan_new();
    g_autoptr(GError) error = NULL;
    TapulLayingOptions options = {.rule = TAPUL_LAYING_ROLLED,
                                  .anchor = made->middle,
                                  .print_anchor_mm = {4000, 30},
                                  .scale = 1};
    TapulLayPictureOptions how = tapul_lay_picture_options_defaults();
    g_autoptr(TapulLaying) laying = tapul_laying_new(&made->ground, &options, NULL);
    ck_assert_ptr_null(tapul_lay_picture(laying, scan->ink, &how, &error));
    ck_assert(g_error_matches(error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_OFF_PLATE));
    ck_assert(g_str_has_prefix(error->message, scan->path));
}
END_TEST

START_TEST(a_scan_changed_since_it_was_read_is_refused) {
    g_autoptr(TestGround) made = test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM);
    g_autoptr(TestScan) scan = scan_new();
    g_autoptr(TapulLaying) laying = rolled_on(made, 0, FALSE);
    TapulLayPictureOptions how = tapul_lay_picture_options_defaults();
    g_autoptr(GError) other_size = NULL, missing = NULL;
    scan->ink->scan->width_px++;
    ck_assert_ptr_null(tapul_lay_picture(laying, scan->ink, &how, &other_size));
    ck_assert(g_error_matches(other_size, TAPUL_PICTURE_ERROR, TAPUL_PICTURE_ERROR_SIZE));
    ck_assert(strstr(other_size->message, "900 x 700") != NULL);
    g_unlink(scan->path);
    ck_assert_ptr_null(tapul_lay_picture(laying, scan->ink, &how, &missing));
    ck_assert(g_error_matches(missing, TAPUL_PICTURE_ERROR, TAPUL_PICTURE_ERROR_FILE));
}
END_TEST

START_TEST(threads_do_not_change_it) {
    g_autoptr(TestGround) made = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    g_autoptr(TestScan) scan = scan_new();
    g_autoptr(TapulLaying) laying = rolled_on(made, 0.1, FALSE);
    TapulLayPictureOptions options = tapul_lay_picture_options_defaults();
    options.pixel_mm = 0.23;
    omp_set_num_threads(1);
    g_autoptr(TapulLaidPicture) one = picture_of(laying, scan, &options);
    omp_set_num_threads(2);
    g_autoptr(TapulLaidPicture) two = picture_of(laying, scan, &options);
    ck_assert_int_eq(one->width_px, two->width_px);
    ck_assert_double_eq(one->pixel_mm, 0.23);
    ck_assert_mem_eq(one->rgba, two->rgba, (gsize)(4 * one->width_px * one->height_px));
}
END_TEST

static Suite *lay_picture_suite(void) {
    Suite *suite = suite_create("lay_picture");
    TCase *cases = tcase_create("all");
    tcase_set_timeout(cases, 300);
    tcase_add_test(cases, dots_on_a_cylinder_lie_where_the_closed_form_has_them);
    tcase_add_test(cases, dots_on_a_sphere_lie_where_the_closed_form_has_them);
    tcase_add_test(cases, picture_and_ink_agree);
    tcase_add_test(cases, ink_alone_leaves_the_paper_clear);
    tcase_add_loop_test(cases, lattice_agrees_with_the_rules, 0, 3);
    tcase_add_test(cases, the_plate_s_edge_is_kept);
    tcase_add_test(cases, a_print_beside_the_plate_is_refused);
    tcase_add_test(cases, a_scan_changed_since_it_was_read_is_refused);
    tcase_add_test(cases, threads_do_not_change_it);
    suite_add_tcase(suite, cases);
    return suite;
}

int main(void) {
    SRunner *runner = srunner_create(lay_picture_suite());
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
