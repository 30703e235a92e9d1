/* Scans that cannot become ink, and what cannot be asked of them: each refused with one line
 * that names the file, the value and what is permitted. */
#include "picture_files_for_tests.h"
#include "program_for_tests.h"

#include <stdlib.h>

static char *scan_file;

/* One for all tests: drawing takes the most time. */
static void set_up(void) {
    const ScanPlan plan = plain_plan();
    g_autoptr(TapulPixels) pixels = draw_scan(&plan);
    g_autoptr(GError) error = NULL;
    scan_file = scan_path("scan.png");
    ck_assert(tapul_pixels_write_png(pixels, 300, scan_file, &error));
}

static void tear_down(void) {
    g_unlink(scan_file);
    g_free(scan_file);
}

static void check_refused(const char *path, const TapulInkOptions *options, int code,
                          const char *said) {
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulInk) ink = tapul_ink_read(path, options, &error);
    ck_assert_msg(ink == NULL, "%s is read, where '%s' was expected", path, said);
    ck_assert_msg(error->domain == TAPUL_INK_ERROR && error->code == code, "%d: %s",
                  error->code, error->message);
    g_autofree char *named = g_strdup_printf("%s: ", path);
    ck_assert_msg(g_str_has_prefix(error->message, named), "%s", error->message);
    /* The file is named once. */
    ck_assert_msg(!strstr(error->message + strlen(named), path), "%s", error->message);
    ck_assert_msg(strstr(error->message, said) != NULL, "%s", error->message);
    ck_assert_ptr_null(strchr(error->message, '\n'));
}

START_TEST(what_cannot_be_asked_is_refused) {
    static const struct {
        TapulScanOptions scan;
        double width_mm, height_mm;
        int page;
        const char *said;
    } cases[] = {
        {{.dpi = 5}, 0, 0, 1, "dpi 5; permitted: 20 to 10000"},
        {{.dpi = 1e6}, 0, 0, 1, "permitted: 20 to 10000"},
        {{.dpi = NAN}, 0, 0, 1, "permitted: 20 to 10000"},
        {{.dpi = 300},
         60,
         46,
         1,
         "2 of plate mark, dpi and ruler give a scale; permitted: one"},
        {{.ruler_mm = 1e5, .ruler_to_px = {300, 300}},
         0,
         0,
         1,
         "ruler 100000 mm; permitted: 0.1 to 3000 mm"},
        {{.ruler_mm = 10, .ruler_to_px = {3, 4}},
         0,
         0,
         1,
         "5 pixels apart; permitted: at least 20"},
        {{.ruler_mm = 10, .ruler_to_px = {300, 40000}},
         0,
         0,
         1,
         "300, 40000 lies outside the picture"},
        {{.ruler_mm = 3000, .ruler_to_px = {30, 0}},
         0,
         0,
         1,
         "pixels to the inch; permitted: 20 to 10000"},
        {{.crop_px = {{9, 9}, {9000, 90}}},
         0,
         0,
         1,
         "9000, 90 lies outside the picture; permitted: 0 to 1039"},
        {{.crop_px = {{90, 9}, {9, 90}}}, 0, 0, 1, "is no box"},
        {{.crop_px = {{9, 9}, {90, 90}}, .whole = TRUE}, 0, 0, 1, "permitted: one"},
        {{.sauvola_k = 2}, 0, 0, 1, "k 2; permitted: 0.01 to 0.9"},
        {{.window_mm = 100}, 0, 0, 1, "window 100 mm; permitted: 0.1 to 50 mm"},
        {{.speck_mm = -1}, 0, 0, 1, "speck -1 mm; permitted: 0 to 5 mm"},
        {{.dpi = 0}, 46, 60, 1, "other proportions than the scan's"},
        {{.whole = TRUE},
         60,
         46,
         1,
         "other proportions than the scan's (the whole picture, as asked)"},
        {{.dpi = 0}, -60, 46, 1, "plate mark: the page is -60 mm wide"},
        {{.dpi = 0}, 60, 0, 1, "plate mark: the page is 60 mm wide and 0 mm high"},
        {{.dpi = 0}, 0, 0, 2, "page 2; permitted: 1, the file is no PDF"},
    };
    for (guint i = 0; i < G_N_ELEMENTS(cases); i++) {
        TapulInkOptions options = tapul_ink_options_defaults();
        double k = options.scan.sauvola_k;
        options.scan = cases[i].scan;
        options.scan.sauvola_k = options.scan.sauvola_k == 0 ? k : options.scan.sauvola_k;
        options.plate_mark_width_mm = cases[i].width_mm;
        options.plate_mark_height_mm = cases[i].height_mm;
        options.page = cases[i].page;
        check_refused(scan_file, &options, TAPUL_INK_ERROR_SCAN, cases[i].said);
    }
}
END_TEST

START_TEST(an_unknown_scale_is_refused) {
    const ScanPlan plan = plain_plan();
    g_autoptr(TapulPixels) pixels = draw_scan(&plan);
    g_autofree char *path = scan_path("scan.png");
    ck_assert(tapul_pixels_write_png(pixels, 72, path, NULL));
    check_refused(path, NULL, TAPUL_INK_ERROR_SCAN,
                  "give the plate mark's size, dpi or a ruler");
    g_unlink(path);
}
END_TEST

/* Even paper of one tone, without anything on it. */
static char *blank_paper(int width, int height, guint8 tone) {
    g_autoptr(TapulPixels) pixels = tapul_pixels_new(width, height, 1);
    memset(pixels->data, tone, (gsize)width * (gsize)height);
    char *path = scan_path("blank.png");
    ck_assert(tapul_pixels_write_png(pixels, 300, path, NULL));
    return path;
}

START_TEST(a_picture_without_ink_is_refused) {
    static const struct {
        int width, height;
        guint8 tone;
        int code;
        const char *said;
    } cases[] = {
        {400, 300, 255, TAPUL_INK_ERROR_EMPTY, "no ink is found"},
        {400, 300, 128, TAPUL_INK_ERROR_EMPTY, "no ink"},
        {400, 300, 0, TAPUL_INK_ERROR_SCAN, "dark throughout"},
        {16, 16, 200, TAPUL_INK_ERROR_EMPTY, "no ink"},
        {15, 300, 200, TAPUL_INK_ERROR_SIZE, "too few"},
        {1, 1, 0, TAPUL_INK_ERROR_SIZE, "too few"},
        {3000, 17, 200, TAPUL_INK_ERROR_EMPTY, "no ink"},
        {17, 3000, 200, TAPUL_INK_ERROR_EMPTY, "no ink"},
    };
    for (guint i = 0; i < G_N_ELEMENTS(cases); i++) {
        g_autofree char *path = blank_paper(cases[i].width, cases[i].height, cases[i].tone);
        check_refused(path, NULL, cases[i].code, cases[i].said);
        g_unlink(path);
    }
}
END_TEST

START_TEST(noise_is_read_or_refused_but_never_hangs) {
    g_autoptr(GRand) random = g_rand_new_with_seed(1536);
    for (int spread = 4; spread <= 256; spread *= 4) {
        g_autoptr(TapulPixels) pixels = tapul_pixels_new(300, 200, 3);
        for (gsize i = 0; i < 300 * 200 * 3; i++)
            pixels->data[i] = (guint8)(256 - spread + g_rand_int_range(random, 0, spread));
        g_autofree char *path = scan_path("noise.png");
        ck_assert(tapul_pixels_write_png(pixels, 300, path, NULL));
        g_autoptr(GError) error = NULL;
        g_autoptr(TapulInk) ink = tapul_ink_read(path, NULL, &error);
        g_unlink(path);
        ck_assert_msg(ink || error->code == TAPUL_INK_ERROR_EMPTY, "%s",
                      error ? error->message : "");
    }
}
END_TEST

START_TEST(broken_files_name_what_is_wrong) {
    g_autofree char *bytes = NULL;
    gsize length;
    ck_assert(g_file_get_contents(scan_file, &bytes, &length, NULL));
    g_autofree char *path = scan_path("half.png");
    ck_assert(g_file_set_contents(path, bytes, (gssize)length / 2, NULL));
    check_refused(path, NULL, TAPUL_INK_ERROR_SYNTAX, "is truncated or damaged");
    ck_assert(g_file_set_contents(path, bytes, 8, NULL));
    check_refused(path, NULL, TAPUL_INK_ERROR_SYNTAX, "begins as a PNG");
    g_unlink(path);
}
END_TEST

START_TEST(vector_prints_bear_no_options_of_scans) {
    g_autofree char *path = source_file("tests/prints/ruler-mm.svg");
    TapulInkOptions options = tapul_ink_options_defaults();
    options.scan.dpi = 300;
    check_refused(path, &options, TAPUL_INK_ERROR_SCAN, "is no scan");
    options = tapul_ink_options_defaults();
    options.scan.areas_only = TRUE;
    check_refused(path, &options, TAPUL_INK_ERROR_SCAN, "is no scan");
}
END_TEST

/* --- The program --- */

START_TEST(the_program_tells_wrong_usage_from_wrong_input) {
    static const struct {
        const char *option, *value;
        int status;
        const char *said;
    } cases[] = {
        {"--dpi", "0", 2, "permitted: more than 0"},
        {"--crop", "1,2,3", 2, "4 numbers with commas were expected"},
        {"--crop", "9,9,1,1", 2, "is no box"},
        {"--ruler", "1,2,3,4,five", 2, "5 numbers with commas were expected"},
        {"--ruler", "0,0,300,0,0", 2, "permitted: more than 0"},
        {"--k", "3", 1, "k 3; permitted: 0.01 to 0.9"},
        {"--plate-mark", "46x60", 1, "other proportions"},
    };
    for (guint i = 0; i < G_N_ELEMENTS(cases); i++) {
        g_autofree char *output = NULL, *errors = NULL;
        int status = run_program(&output, &errors, "ink", scan_file, cases[i].option,
                                 cases[i].value, NULL);
        ck_assert_msg(status == cases[i].status && strstr(errors, cases[i].said),
                      "%s %s: %d, %s", cases[i].option, cases[i].value, status, errors);
        ck_assert_str_eq(output, "");
    }
}
END_TEST

START_TEST(the_report_tells_how_the_scan_was_read) {
    g_autofree char *output = NULL, *errors = NULL;
    ck_assert_int_eq(run_program(&output, &errors, "ink", scan_file, "--plate-mark", "60x46",
                                 "--json", NULL),
                     0);
    JsonNode *report = parse_report(output);
    JsonObject *scan = json_object_get_object_member(json_node_get_object(report), "scan");
    ck_assert_str_eq(errors, "");
    ck_assert_str_eq(json_object_get_string_member(scan, "mark_from"), "found");
    ck_assert_str_eq(json_object_get_string_member(scan, "scale_from"), "plate_mark_mm");
    ck_assert_int_eq(json_object_get_int_member(scan, "window_px"), 35);
    ck_assert_double_eq_tol(report_number(report, "scan", "dpi", NULL), 300, 1);
    ck_assert_double_eq_tol(report_number(report, "scan", "sauvola_k", NULL), 0.2, 1e-12);
    JsonArray *notes = json_object_get_array_member(json_node_get_object(report), "notes");
    ck_assert_int_eq(json_array_get_length(notes), 1);
    ck_assert_ptr_nonnull(strstr(json_array_get_string_element(notes, 0),
                                 "300 dpi is coarse for engraved lines"));
    json_node_unref(report);
}
END_TEST

START_TEST(a_scan_taken_whole_is_noted) {
    g_autofree char *output = NULL, *errors = NULL;
    ck_assert_int_eq(run_program(&output, &errors, "ink", scan_file, "--whole", "--json", NULL),
                     0);
    ck_assert_ptr_null(strstr(output, "no plate mark is found"));
    ScanPlan plan = plain_plan();
    plan.dent = 0;
    g_autoptr(TapulPixels) pixels = draw_scan(&plan);
    g_autofree char *path = scan_path("scan.png"), *again = NULL, *more = NULL;
    ck_assert(tapul_pixels_write_png(pixels, 300, path, NULL));
    ck_assert_int_eq(run_program(&again, &more, "ink", path, "--json", NULL), 0);
    g_unlink(path);
    ck_assert_ptr_nonnull(strstr(again, "no plate mark is found with confidence"));
}
END_TEST

int main(void) {
    Suite *suite = suite_create("scan_refusals");
    TCase *tests = tcase_create("scan_refusals");
    tcase_set_timeout(tests, 300);
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, what_cannot_be_asked_is_refused);
    tcase_add_test(tests, an_unknown_scale_is_refused);
    tcase_add_test(tests, a_picture_without_ink_is_refused);
    tcase_add_test(tests, noise_is_read_or_refused_but_never_hangs);
    tcase_add_test(tests, broken_files_name_what_is_wrong);
    tcase_add_test(tests, vector_prints_bear_no_options_of_scans);
    tcase_add_test(tests, the_program_tells_wrong_usage_from_wrong_input);
    tcase_add_test(tests, the_report_tells_how_the_scan_was_read);
    tcase_add_test(tests, a_scan_taken_whole_is_noted);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
