/* The way back, end to end by the program: a found design lifted, its files read and laid
 * again, a photograph lifted by its pixels; and what is refused. */
#include "curves_for_tests.h"
#include "sphere_photo_for_tests.h"

#include <stdlib.h>
#include <tapul/case.h>

/* What is promised of laying what was lifted. */
#define AGAIN_MM 0.05

static const char plate[] = SPHERE_PLATE
    "fields:\n"
    "  - { id: left, outline_mm: [[-80, 90], [-10, 90], [-10, 190], [-80, 190]] }\n"
    "  - { id: low, outline_mm: [[-30, 20], [30, 20], [30, 40], [-30, 40]] }\n";

/* A page of 160 x 160 mm whose middle lies on the sphere's pole. */
static const char tracing[] =
    "<svg xmlns='http://www.w3.org/2000/svg' width='160mm' height='160mm' "
    "viewBox='0 0 160 160'>\n"
    "<g fill='none' stroke='black' stroke-width='0.5'>\n"
    "<g id='wave'><path d='M20 40 C60 10 90 80 140 30'/></g>\n"
    "<g id='ring'><path d='M30 100 C30 80 70 80 70 100 C70 125 30 125 30 100 Z'/></g>\n"
    "</g>\n"
    "<path d='M100 90 C120 80 140 100 130 130 C110 130 95 110 100 90 Z'/></svg>\n";

#define FOUND "found: { file: tracing.svg, frame: viewed, origin_mm: [80, -49.904] }\n"

static char *write_case(const char *folder, const char *more) {
    g_autofree char *text = g_strdup_printf(
        "tapul: case/1\ntitle: for a test\ncredit: invented\nplate: plate.yaml\n%s", more);
    g_free(write_file(folder, "plate.yaml", plate));
    g_free(write_file(folder, "tracing.svg", tracing));
    return write_file(folder, "case.yaml", text);
}

static gboolean same_place(TapulVec2 from, TapulVec2 *to, gpointer data) {
    (void)data;
    *to = from;
    return TRUE;
}

static TapulPath *strokes_of(const GPtrArray *marks) {
    TapulPath *whole = tapul_path_new();
    for (guint i = 0; i < marks->len; i++) {
        const TapulPath *part = ((const TapulMark *)g_ptr_array_index(marks, i))->path;
        g_array_append_vals(whole->verbs, part->verbs->data, part->verbs->len);
        g_array_append_vals(whole->points, part->points->data, part->points->len);
    }
    return whole;
}

static JsonNode *lift(const char *path, const char *out, const char *option,
                      const char *value) {
    g_autofree char *output = NULL, *errors = NULL;
    int status = run_program(&output, &errors, "lift", path, "--json", "--out", out, option,
                             value, NULL);
    ck_assert_msg(status == 0, "exit status %d: %s", status, errors);
    return parse_report(output);
}

static JsonObject *lifted_at(JsonNode *report, guint i) {
    JsonArray *lifted = json_object_get_array_member(json_node_get_object(report), "lifted");
    ck_assert_uint_lt(i, json_array_get_length(lifted));
    return json_array_get_object_element(lifted, i);
}

/* --- Ink --- */

/* Lays a lifted file by its rule as a person would, with what the report says of it, beside the
 * tracing it came from. */
static void check_laid_again(const char *folder, const char *out, JsonObject *lifted) {
    const char *rule = json_object_get_string_member(lifted, "rule");
    JsonArray *anchor = json_object_get_array_member(lifted, "print_anchor_mm");
    g_autofree char *more = g_strdup_printf(
        "prints:\n  - { id: again, file: '%s/lifted-%s.svg' }\nlayings:\n  - { print: again, "
        "rule: "
        "%s, anchor: { x_mm: 5, y_mm: 120 }, print_anchor_mm: [%.17g, %.17g] }\n" FOUND,
        out, rule, rule, json_array_get_double_element(anchor, 0),
        json_array_get_double_element(anchor, 1));
    g_autofree char *path = write_case(folder, more);
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulCase) question = tapul_case_load(path, NULL, &error);
    ck_assert_msg(question != NULL, "%s", error ? error->message : "no case");
    const TapulCaseLaying *laying = g_ptr_array_index(question->layings, 0);
    const TapulPrint *print = g_ptr_array_index(question->prints, 0);
    g_autoptr(TapulLaying) map = tapul_laying_new(&question->ground, &laying->options, &error);
    TapulLayInkOptions options = tapul_lay_ink_options_defaults();
    g_autoptr(TapulLaidInk) laid = tapul_lay_ink(map, print->ink, &options, &error);
    ck_assert_msg(laid != NULL, "%s", error ? error->message : "nothing laid");
    g_autoptr(TapulPath) found = strokes_of(question->found->marks);
    g_autoptr(TapulPath) again = strokes_of(laid->marks);
    ck_assert_double_le(worst_distance(found, same_place, NULL, again), AGAIN_MM);
    ck_assert_double_le(worst_distance(again, same_place, NULL, found), AGAIN_MM);
    ck_assert_double_eq_tol(print->ink->width_mm,
                            json_object_get_double_member(lifted, "width_mm"), 2e-3);
    ck_assert_uint_eq(print->ink->motifs->len, 2);
}

START_TEST(lifted_files_are_laid_again) {
    g_autofree char *folder = new_folder();
    g_autofree char *out = g_build_filename(folder, "out", NULL);
    g_autofree char *path =
        write_case(folder, FOUND "lift: { anchor: { x_mm: 5, y_mm: 120 } }\n");
    JsonNode *report = lift(path, out, NULL, NULL);
    JsonObject *top = json_node_get_object(report);
    ck_assert_str_eq(json_object_get_string_member(top, "schema"), "tapul/lift-report/1");
    ck_assert_str_eq(json_object_get_string_member(top, "rule"), "rolled");
    static const char *const rules[] = {"rolled", "developed", "viewed"};
    for (guint i = 0; i < 3; i++) {
        ck_assert_str_eq(json_object_get_string_member(lifted_at(report, i), "rule"), rules[i]);
        ck_assert_double_eq(json_object_get_double_member(lifted_at(report, i), "lost_mm"), 0);
        check_laid_again(folder, out, lifted_at(report, i));
    }
    ck_assert_double_eq(report_number(report, "width_mm", NULL),
                        json_object_get_double_member(lifted_at(report, 0), "width_mm"));
    ck_assert_double_ge(report_number(report, "stretch", "max", NULL), 1);
    ck_assert_double_gt(report_number(report, "rules_differ_mm", "max", NULL), 1);
    ck_assert_double_gt(report_number(report, "rules_differ_mm", "at", "up_mm", NULL), 0);
    JsonArray *files = json_object_get_array_member(top, "files");
    ck_assert_uint_eq(json_array_get_length(files), 17);
    for (guint i = 0; i < json_array_get_length(files); i++)
        ck_assert(g_file_test(json_array_get_string_element(files, i), G_FILE_TEST_IS_REGULAR));
    json_node_unref(report);
    remove_folder(folder);
}
END_TEST

/* Viewed, the tracing is its own sheet: nothing but the frame changes. */
START_TEST(viewed_tracing_is_its_own_sheet) {
    g_autofree char *folder = new_folder();
    g_autofree char *out = g_build_filename(folder, "out", NULL);
    g_autofree char *path = write_case(folder, FOUND);
    JsonNode *report = lift(path, out, "--rule", "viewed");
    ck_assert_uint_eq(json_array_get_length(
                          json_object_get_array_member(json_node_get_object(report), "lifted")),
                      1);
    ck_assert(!json_object_has_member(json_node_get_object(report), "rules_differ_mm"));
    g_autofree char *drawn = g_build_filename(folder, "tracing.svg", NULL);
    g_autofree char *again = g_build_filename(out, "lifted-viewed.svg", NULL);
    g_autofree char *mirrored = g_build_filename(out, "lifted-viewed-reversed.svg", NULL);
    TapulInk *before = tapul_ink_read(drawn, NULL, NULL);
    TapulInk *after = tapul_ink_read(again, NULL, NULL);
    TapulInk *reversed = tapul_ink_read(mirrored, NULL, NULL);
    ck_assert(before && after && reversed);
    ck_assert_double_eq_tol(after->ink_length_mm, before->ink_length_mm, AGAIN_MM);
    ck_assert_double_eq_tol(after->ink_area_mm2, before->ink_area_mm2,
                            0.01 * before->ink_area_mm2);
    ck_assert_double_eq_tol(reversed->ink_length_mm, after->ink_length_mm, 1e-3);
    tapul_ink_free(before);
    tapul_ink_free(after);
    tapul_ink_free(reversed);
    json_node_unref(report);
    remove_folder(folder);
}
END_TEST

START_TEST(field_is_lifted_alone) {
    g_autofree char *folder = new_folder();
    g_autofree char *out = g_build_filename(folder, "out", NULL);
    g_autofree char *path = write_case(folder, FOUND);
    JsonNode *report = lift(path, out, "--region", "left");
    g_autofree char *file = g_build_filename(out, "lifted-viewed.svg", NULL);
    TapulInk *ink = tapul_ink_read(file, NULL, NULL);
    ck_assert_ptr_nonnull(ink);
    /* The ring, and of the wave what lies left of x = -10. */
    ck_assert_uint_eq(ink->motifs->len, 2);
    ck_assert_double_le(ink->width_mm, 70 + 2 * 4);
    tapul_ink_free(ink);
    json_node_unref(report);
    remove_folder(folder);
}
END_TEST

/* At the back of a tube, which cannot be seen from the front, viewed lifts nothing; the others
 * do, and the report says so. */
START_TEST(rule_that_cannot_lift_is_noted) {
    g_autofree char *folder = new_folder();
    g_autofree char *out = g_build_filename(folder, "out", NULL);
    g_autofree char *path = write_case(
        folder, "found: { file: tracing.svg, frame: developed, origin_mm: [-120, 0] }\n");
    g_free(write_file(folder, "plate.yaml",
                      "tapul: plate/1\nname: tube\nsurface: { kind: cylinder, radius_mm: 100, "
                      "height_mm: 200, sweep_deg: 350 }\n"));
    JsonNode *report = lift(path, out, NULL, NULL);
    JsonObject *top = json_node_get_object(report);
    ck_assert_uint_eq(json_array_get_length(json_object_get_array_member(top, "lifted")), 2);
    JsonArray *notes = json_object_get_array_member(top, "notes");
    ck_assert_uint_eq(json_array_get_length(notes), 1);
    ck_assert_ptr_nonnull(strstr(json_array_get_string_element(notes, 0), "lift, viewed: "));
    ck_assert_double_le(report_number(report, "rules_differ_mm", "max", NULL), 2 * AGAIN_MM);
    json_node_unref(report);
    g_autofree char *errors = NULL;
    ck_assert_int_eq(
        run_program(NULL, &errors, "lift", path, "--out", out, "--rule", "viewed", NULL), 1);
    ck_assert_ptr_nonnull(strstr(errors, "cannot be seen from the front"));
    remove_folder(folder);
}
END_TEST

/* --- Photographs --- */

/* Dots of a sheet rolled on to the sphere's pole, from there. */
static const TapulVec2 dots_mm[] = {{0, 0}, {60, 10}, {-50, 45}, {20, -60}, {-65, -40}};
/* A dot is some 5 mm wide and its photograph has 0.4 mm to the pixel. */
#define DOT_MM 0.1

/* Where a sheet pressed on from the pole puts its points (Snyder 1987, 195). */
static TapulVec3 rolled_on(TapulVec2 sheet_mm) {
    double length_mm = tapul_vec2_length(sheet_mm), angle_rad = length_mm / RADIUS_MM;
    double shrink = length_mm > 0 ? RADIUS_MM * sin(angle_rad) / length_mm : 1;
    return tapul_vec3(sheet_mm.x * shrink, MIDDLE_MM + sheet_mm.y * shrink,
                      RADIUS_MM * cos(angle_rad));
}

/* The middle of what is darker than the metal near a place of a lifted picture. */
static TapulVec2 dark_middle(cairo_surface_t *picture, double mm_per_px, TapulVec2 about_mm) {
    TapulVec2 sum = {0, 0};
    double dark = 0;
    int width = cairo_image_surface_get_width(picture);
    int height = cairo_image_surface_get_height(picture);
    for (int y = 0; y < height; y++) {
        const guint32 *row =
            (const guint32 *)(gconstpointer)(cairo_image_surface_get_data(picture) +
                                             (gsize)y * (gsize)cairo_image_surface_get_stride(
                                                            picture));
        for (int x = 0; x < width; x++) {
            TapulVec2 at = {(x + 0.5) * mm_per_px, (height - y - 0.5) * mm_per_px};
            double darkness = fmax(0, 204 - (double)(row[x] >> 8 & 255)) / 204;
            if (tapul_vec2_distance(at, about_mm) > 5)
                continue;
            sum = tapul_vec2_add(sum, tapul_vec2_scale(at, darkness));
            dark += darkness;
        }
    }
    ck_assert_double_gt(dark, 0);
    return tapul_vec2_scale(sum, 1 / dark);
}

START_TEST(photograph_is_lifted) {
    g_autofree char *folder = new_folder();
    g_autofree char *out = g_build_filename(folder, "out", NULL);
    g_autofree char *anchored =
        g_strdup_printf(SPHERE_PHOTO "lift: { anchor: { x_mm: 0, y_mm: %.6f } }\n", MIDDLE_MM);
    g_autofree char *path = write_case(folder, anchored);
    TapulVec3 points[G_N_ELEMENTS(dots_mm)];
    for (guint i = 0; i < G_N_ELEMENTS(dots_mm); i++)
        points[i] = rolled_on(dots_mm[i]);
    write_picture(folder, G_N_ELEMENTS(points), points);
    write_sights(folder);
    JsonNode *report = lift(path, out, "--rule", "rolled");
    JsonObject *top = json_node_get_object(report);
    ck_assert(json_object_get_null_member(top, "ink_length_mm"));
    ck_assert_double_gt(report_number(report, "pixel_mm", NULL), 0);
    /* Picture and reversed picture, page and PDF: of lines there are none. */
    ck_assert_uint_eq(json_array_get_length(json_object_get_array_member(top, "files")), 4);
    g_autofree char *file = g_build_filename(out, "lifted-rolled.png", NULL);
    cairo_surface_t *picture = cairo_image_surface_create_from_png(file);
    ck_assert_int_eq(cairo_surface_status(picture), CAIRO_STATUS_SUCCESS);
    double mm_per_px =
        report_number(report, "width_mm", NULL) / cairo_image_surface_get_width(picture);
    JsonArray *anchor = json_object_get_array_member(top, "print_anchor_mm");
    for (guint i = 0; i < G_N_ELEMENTS(dots_mm); i++) {
        TapulVec2 expected = {json_array_get_double_element(anchor, 0) + dots_mm[i].x,
                              json_array_get_double_element(anchor, 1) + dots_mm[i].y};
        double away_mm =
            tapul_vec2_distance(dark_middle(picture, mm_per_px, expected), expected);
        ck_assert_msg(away_mm <= DOT_MM, "dot %u: %.3f mm off", i, away_mm);
    }
    cairo_surface_destroy(picture);
    json_node_unref(report);
    remove_folder(folder);
}
END_TEST

/* --- Refusals --- */

static void check_refusal(const char *more, const char *option, const char *value, int status,
                          const char *expected) {
    g_autofree char *folder = new_folder();
    g_autofree char *out = g_build_filename(folder, "out", NULL);
    g_autofree char *path = write_case(folder, more);
    g_autofree char *errors = NULL;
    ck_assert_int_eq(
        run_program(NULL, &errors, "lift", path, "--out", out, option, value, NULL), status);
    ck_assert_msg(strstr(errors, expected) != NULL, "'%s' is not in: %s", expected, errors);
    ck_assert_msg(strchr(errors, '\n') == errors + strlen(errors) - 1,
                  "more lines than one: %s", errors);
    ck_assert(!g_file_test(out, G_FILE_TEST_EXISTS));
    remove_folder(folder);
}

START_TEST(bad_input_is_refused_in_one_line) {
    check_refusal("", NULL, NULL, 1, "case.yaml: the case has no design to lift");
    check_refusal(FOUND, "--region", "nape", 1,
                  "'nape' is none of the plate's fields: left, low");
    check_refusal(FOUND "lift: { field: nape }\n", NULL, NULL, 1,
                  "field: 'nape' is none of the plate's fields: left, low");
    check_refusal(FOUND, "--region", "low", 1,
                  "nothing of the design lies within the field low");
    check_refusal(FOUND "lift: { region_mm: [[500, 0], [600, 0], [600, 50]] }\n", NULL, NULL, 1,
                  "region_mm: the region, x 500 to 600");
    check_refusal(FOUND "lift: { region_mm: [[0, 0], [60, 0]] }\n", NULL, NULL, 1, "region_mm");
    check_refusal(FOUND "lift: { field: left, region_mm: [[0, 0], [60, 0], [0, 60]] }\n", NULL,
                  NULL, 1, "given as a field already");
    check_refusal(FOUND "lift: { rule: pinned }\n", NULL, NULL, 1, "pinned");
    check_refusal(FOUND "lift: { anchor: { x_mm: 900, y_mm: 0 } }\n", NULL, NULL, 1, "900");
    check_refusal(FOUND "lift: { depth: 3 }\n", NULL, NULL, 1, "depth");
    check_refusal(FOUND, "--rule", "pinned", 2,
                  "--rule pinned: permitted: rolled, developed, viewed");
}
END_TEST

static Suite *suite(void) {
    Suite *suite = suite_create("lift_road");
    TCase *road = tcase_create("road");
    tcase_set_timeout(road, 300);
    tcase_add_test(road, lifted_files_are_laid_again);
    tcase_add_test(road, viewed_tracing_is_its_own_sheet);
    tcase_add_test(road, field_is_lifted_alone);
    tcase_add_test(road, rule_that_cannot_lift_is_noted);
    tcase_add_test(road, photograph_is_lifted);
    tcase_add_test(road, bad_input_is_refused_in_one_line);
    suite_add_tcase(suite, road);
    return suite;
}

int main(void) {
    SRunner *runner = srunner_create(suite());
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
