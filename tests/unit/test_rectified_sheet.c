/* The rectified sheet and its resolution page, and the verb that writes them. */
#include <stdlib.h>

#include "program_for_tests.h"
#include "rendered_for_tests.h"
#include "words_for_tests.h"

#include <tapul/case.h>
#include <tapul/sheets.h>

static const DottedCylinder usual = {200, 40};

#define N_POINTS 12

/* Points of the front, by x and y as seen from there; the last is picked wrongly in a.png. */
static TapulVec2 point_mm(int i) {
    return tapul_vec2(-60 + 40.0 * (i % 4), 40 + 110.0 * (i / 4) - 7 * (i % 3));
}

/* A photograph of the dotted cylinder and its table of points, each off by up to half a pixel.
 */
static void write_photo(const char *folder, const char *name, double turn_deg,
                        gboolean bad_point) {
    double turn = turn_deg * G_PI / 180;
    TapulCamera camera = camera_looking(tapul_vec3(700 * sin(turn), 240, 700 * cos(turn)),
                                        tapul_vec3(0, 150, 40), 1500, 900, 1100);
    g_autoptr(TapulPixels) pixels = render(&camera, cylinder_light, &usual, 0, 1);
    g_autofree char *png = g_strdup_printf("%s/%s.png", folder, name);
    g_autofree char *csv_name = g_strdup_printf("%s.csv", name);
    g_autoptr(GString) table = g_string_new("name,px_x,px_y,plate_x_mm,plate_y_mm\n");
    g_autoptr(GRand) random = g_rand_new_with_seed(7);
    ck_assert(tapul_pixels_write_png(pixels, 96, png, NULL));
    for (int i = 0; i < N_POINTS; i++) {
        TapulVec2 at = point_mm(i), px;
        TapulVec3 place = {at.x, at.y, sqrt(100.0 * 100.0 - at.x * at.x)};
        double slip = bad_point && i == N_POINTS - 1 ? 60 : 0;
        ck_assert(tapul_camera_pixel(&camera, place, &px));
        g_string_append_printf(table, "mark %d,%.3f,%.3f,%.1f,%.1f\n", i + 1,
                               px.x + slip + g_rand_double_range(random, -0.5, 0.5),
                               px.y + g_rand_double_range(random, -0.5, 0.5), at.x, at.y);
    }
    g_autofree char *csv = write_file(folder, csv_name, table->str);
}

/* A case with a small print of one square; more is added to its YAML. */
static char *write_case(const char *folder, const char *more) {
    g_autofree char *plate =
        write_file(folder, "plate.yaml",
                   "tapul: plate/1\nname: Test cylinder\nsurface: { kind: cylinder, radius_mm: "
                   "100, height_mm: 300, sweep_deg: 170 }\n");
    g_autofree char *print = write_file(
        folder, "square.svg",
        "<svg xmlns='http://www.w3.org/2000/svg' width='40mm' height='40mm' viewBox='0 0 40 "
        "40'>"
        "<path d='M5 5H35V35H5Z' fill='none' stroke='black' stroke-width='0.5'/></svg>");
    g_autofree char *text = g_strdup_printf(
        "tapul: case/1\ntitle: A cylinder photographed\ncredit: invented for a test\n"
        "plate: plate.yaml\nprints: [{ id: square, file: square.svg }]\n"
        "layings: [{ print: square, rule: rolled, anchor: { x_mm: 0, y_mm: 150 } }]\n%s",
        more);
    return write_file(folder, "case.yaml", text);
}

static char *two_photos(const char *folder) {
    write_photo(folder, "a", -5, TRUE);
    write_photo(folder, "b", 10, FALSE);
    return write_case(folder, "photos:\n  - { file: a.png, points: a.csv }\n"
                              "  - { file: b.png, points: b.csv }\n");
}

/* --- The sheets --- */

typedef struct {
    char *folder;
    TapulCase *question;
    TapulRectified *rectified;
    TapulPage *first, *second;
} Made;

static Made make(gboolean with_print) {
    Made made = {.folder = new_folder()};
    g_autofree char *path = two_photos(made.folder);
    TapulCaseOptions options = tapul_case_options_defaults();
    TapulRectifyOptions rectify = tapul_rectify_options_defaults();
    g_autoptr(GError) error = NULL;
    made.question = tapul_case_load(path, &options, &error);
    ck_assert_msg(made.question != NULL, "%s", error ? error->message : "");
    TapulPhoto *const *photos = (TapulPhoto *const *)made.question->photos->pdata;
    rectify.pixel_mm = 0.5;
    made.rectified = tapul_rectify(made.question->plate, made.question->development,
                                   made.question->finder, photos, 2, &rectify, &error);
    ck_assert_msg(made.rectified != NULL, "%s", error ? error->message : "");
    const TapulPrint *print = g_ptr_array_index(made.question->prints, 0);
    const TapulCaseLaying *asked = g_ptr_array_index(made.question->layings, 0);
    TapulLayInkOptions lay = tapul_lay_ink_options_defaults();
    g_autoptr(TapulLaying) map =
        tapul_laying_new(&made.question->ground, &asked->options, NULL);
    g_autoptr(TapulLaidInk) laid = tapul_lay_ink(map, print->ink, &lay, NULL);
    TapulOverlayLaying layings[] = {
        {.name = "square", .ink = print->ink, .laid = laid, .caption = "rolled, 0, -3 mm"}};
    TapulRectifiedSheet sheet = {.title = made.question->title,
                                 .credit = made.question->credit,
                                 .ground = &made.question->ground,
                                 .rectified = made.rectified,
                                 .n_photos = 2,
                                 .photos = photos,
                                 .n_layings = with_print,
                                 .layings = layings};
    made.first = tapul_sheet_rectified(&sheet);
    made.second = tapul_sheet_resolution(&sheet);
    return made;
}

static void made_clear(Made *made) {
    tapul_page_free(made->first);
    tapul_page_free(made->second);
    tapul_rectified_free(made->rectified);
    tapul_case_free(made->question);
    remove_folder(made->folder);
    g_free(made->folder);
}

/* Labels stand in the figure's own group, where words_of_page does not read. */
static gboolean page_says(const TapulPage *page, const char *text) {
    g_autofree char *svg = page_as_svg(page);
    return strstr(svg, text) != NULL;
}

START_TEST(table_names_every_point_and_what_was_set_aside) {
    Made made = make(TRUE);
    for (int i = 0; i < N_POINTS - 1; i++) {
        g_autofree char *name = g_strdup_printf(">%d  mark %d<", i + 1, i + 1);
        ck_assert(page_says(made.second, name));
    }
    ck_assert(page_says(made.second, ">12  mark 12 (set aside)<"));
    ck_assert(page_says(made.second, "a.png"));
    ck_assert(page_says(made.second, "b.png"));
    made_clear(&made);
}
END_TEST

START_TEST(photographs_lie_at_one_to_one_with_prints_and_points) {
    Made made = make(TRUE);
    g_autofree char *svg = page_as_svg(made.first);
    /* The figure is moved, not scaled; the photograph alone beside it is. */
    ck_assert_ptr_nonnull(strstr(svg, "id=\"development\""));
    ck_assert_ptr_nonnull(strstr(svg, "id=\"alone\""));
    ck_assert_ptr_nonnull(strstr(svg, "id=\"square\""));
    ck_assert_ptr_nonnull(strstr(svg, "id=\"grazing\""));
    ck_assert_ptr_nonnull(strstr(svg, "id=\"scale-bar\""));
    ck_assert(page_says(made.first, "#D55E00") || page_says(made.first, "#d55e00"));
    ck_assert(page_says(made.first, ">1<"));
    ck_assert(page_says(made.first, ">12<"));
    made_clear(&made);
}
END_TEST

START_TEST(without_prints_nothing_is_said_of_them) {
    Made made = make(FALSE);
    g_autofree char *svg = page_as_svg(made.first);
    ck_assert_ptr_null(strstr(svg, "id=\"alone\""));
    ck_assert_ptr_null(strstr(svg, "the print as laid"));
    ck_assert_ptr_null(strstr(svg, "with the prints"));
    made_clear(&made);
}
END_TEST

/* --- The verb --- */

static const char *report_text(JsonNode *report, const char *name) {
    return json_object_get_string_member(json_node_get_object(report), name);
}

START_TEST(verb_reports_cameras_and_writes_its_files) {
    static const char *const names[] = {"rectified.png", "rectified.pgw", "rectified.svg",
                                        "resolution.svg", "rectified.pdf"};
    g_autofree char *folder = new_folder();
    g_autofree char *path = two_photos(folder);
    g_autofree char *out = g_build_filename(folder, "out", NULL);
    g_autofree char *text = NULL, *errors = NULL;
    int status = run_program(&text, &errors, "rectify", path, "--json", "--pixel", "0.5", "-o",
                             out, NULL);
    ck_assert_msg(status == 0, "%s", errors);
    g_autoptr(JsonNode) report = parse_report(text);
    ck_assert_str_eq(report_text(report, "schema"), "tapul/rectify-report/1");
    ck_assert_double_eq_tol(report_number(report, "camera", "focal_px", NULL), 1500, 60);
    ck_assert_double_lt(report_number(report, "rms_px", NULL), 1);
    ck_assert_double_gt(report_number(report, "loo_px", NULL), 0);
    ck_assert_double_lt(report_number(report, "loo_mm", NULL), 1);
    ck_assert_double_gt(report_number(report, "seen_share", NULL), 0.8);
    ck_assert_double_eq_tol(report_number(report, "pixel_mm", NULL), 0.5, 1e-9);
    JsonArray *photos = json_object_get_array_member(json_node_get_object(report), "photos");
    ck_assert_uint_eq(json_array_get_length(photos), 2);
    ck_assert_str_eq(
        json_object_get_string_member(json_array_get_object_element(photos, 0), "set_aside"),
        "mark 12");
    ck_assert(
        json_object_get_null_member(json_array_get_object_element(photos, 1), "set_aside"));
    for (guint i = 0; i < G_N_ELEMENTS(names); i++) {
        g_autofree char *file = g_build_filename(out, names[i], NULL);
        ck_assert_msg(g_file_test(file, G_FILE_TEST_IS_REGULAR), "%s is missing", names[i]);
    }
    remove_folder(folder);
}
END_TEST

/* One line that holds all of a NULL-ended list. */
static void check_refusal(int wanted, const char *path, const char *option, const char *value,
                          const char *says) {
    g_autofree char *out = g_strconcat(path, "-out", NULL);
    g_autofree char *errors = NULL;
    int status =
        option ? run_program(NULL, &errors, "rectify", path, "-o", out, option, value, NULL)
               : run_program(NULL, &errors, "rectify", path, "-o", out, NULL);
    ck_assert_msg(status == wanted, "status %d: %s", status, errors);
    ck_assert_msg(strstr(errors, says) != NULL, "'%s' does not say '%s'", errors, says);
    ck_assert_ptr_eq(strchr(errors, '\n'), errors + strlen(errors) - 1);
    ck_assert(!g_file_test(out, G_FILE_TEST_EXISTS));
}

START_TEST(verb_refuses_with_one_line_and_writes_nothing) {
    g_autofree char *folder = new_folder();
    write_photo(folder, "a", 0, FALSE);
    g_autofree char *bare = write_case(folder, "");
    check_refusal(1, bare, NULL, NULL, "case.yaml: the case has no photograph");
    g_autofree char *path = write_case(folder, "photo: { file: a.png, points: a.csv }\n");
    check_refusal(2, path, "--pixel", "0", "--pixel 0 is not between 0.01 and 10 mm");
    check_refusal(2, path, "--pixel", "-1", "--pixel -1 is not between");
    check_refusal(2, path, "--pixel", "nan", "is not between");
    check_refusal(2, path, "--format", "gif", "--format gif: permitted: png, tiff");
    check_refusal(1, path, "--pixel", "0.01", "megapixels");
    g_autofree char *missing = write_case(folder, "photo: { file: b.png, points: a.csv }\n");
    check_refusal(1, missing, NULL, NULL, "b.png");
    remove_folder(folder);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("rectified_sheet");
    TCase *tests = tcase_create("rectified_sheet");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, table_names_every_point_and_what_was_set_aside);
    tcase_add_test(tests, photographs_lie_at_one_to_one_with_prints_and_points);
    tcase_add_test(tests, without_prints_nothing_is_said_of_them);
    tcase_add_test(tests, verb_reports_cameras_and_writes_its_files);
    tcase_add_test(tests, verb_refuses_with_one_line_and_writes_nothing);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
