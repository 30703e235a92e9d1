/* Plates opened along cuts: by themselves, in cases, by the program. */
#include "cuts_for_tests.h"
#include "plates_for_tests.h"
#include "program_for_tests.h"

#include <stdlib.h>
#include <tapul/case.h>

static void check_open(TapulPlate *plate, const GArray *lines) {
    g_autoptr(GError) error = NULL;
    gboolean opened = tapul_plate_open(plate, lines_in(lines), (int)lines->len, NULL, &error);
    ck_assert_msg(opened, "%s", error ? error->message : "");
    ck_assert(tapul_mesh_check_disc(tapul_plate_mesh(plate), NULL));
    ck_assert(tapul_plate_has_seam(plate));
}

/* A spot a tape's way along and up, in space. */
static TapulVec3 taped(const TapulPlate *plate, double across_mm, double up_mm) {
    g_autoptr(GError) error = NULL;
    TapulSpot spot;
    gboolean found = tapul_plate_spot_from_tape(plate, across_mm, up_mm, &spot, &error);
    ck_assert_msg(found, "%s", error ? error->message : "");
    return tapul_mesh_flat_position_mm(tapul_plate_mesh(plate), spot);
}

/* The tape runs over a cut along the medial line and over one beside it as over whole metal. */
START_TEST(tapes_run_over_cuts) {
    static const double x_mm[] = {0, 14};
    const char *surface = "{ kind: sphere, radius_mm: 100, half_angle_deg: 40 }";
    g_autoptr(TapulPlate) whole = good_plate(surface, "");
    g_autoptr(TapulPlate) plate = good_plate(surface, "");
    g_autoptr(GArray) lines = tapul_cut_lines_new();
    double x = x_mm[_i];
    add_straight(lines, tapul_plate_tree(plate), tapul_vec3(x, 128, 77), tapul_vec3(x, 45, 97),
                 12);
    check_open(plate, lines);
    for (int across_mm = -40; across_mm <= 40; across_mm += 8)
        for (int up_mm = 20; up_mm <= 108; up_mm += 11) {
            TapulVec3 is = taped(plate, across_mm, up_mm), was = taped(whole, across_mm, up_mm);
            ck_assert_double_lt(tapul_vec3_distance(is, was), 1e-3);
        }
    TapulSpot spot;
    double across_mm, up_mm;
    ck_assert(tapul_plate_spot_from_front(plate, 30, 90, &spot, NULL));
    ck_assert(tapul_plate_tape_from_spot(plate, spot, &across_mm, &up_mm));
    TapulVec3 there = taped(plate, across_mm, up_mm);
    ck_assert_double_lt(hypot(there.x - 30, there.y - 90), 0.05);
}
END_TEST

START_TEST(cuts_that_divide_the_plate_are_refused_and_leave_it_as_it_was) {
    g_autoptr(TapulPlate) plate =
        good_plate("{ kind: cylinder, radius_mm: 50, height_mm: 100, sweep_deg: 120 }", "");
    const TapulMesh *mesh = tapul_plate_mesh(plate);
    g_autoptr(GArray) lines = tapul_cut_lines_new();
    for (int i = 0; i < 2; i++)
        add_straight(lines, tapul_plate_tree(plate), tapul_vec3(20 - 40 * i, 0, 46),
                     tapul_vec3(20 - 40 * i, 100, 46), 5);
    g_autoptr(GError) error = NULL;
    int at_fault = 5;
    ck_assert(!tapul_plate_open(plate, lines_in(lines), 2, &at_fault, &error));
    ck_assert_str_eq(error->message, "these cuts divide the plate in 3 pieces: tapul pounce "
                                     "lays pieces out, develop needs one");
    ck_assert_int_eq(at_fault, -1);
    ck_assert_ptr_eq(tapul_plate_mesh(plate), mesh);
    ck_assert(!tapul_plate_has_seam(plate));
}
END_TEST

/* A closed plate has a seam at its back already: a cut from the lower edge to it is a second.
 */
START_TEST(a_cut_may_meet_the_seam) {
    g_autoptr(TapulPlate) plate =
        good_plate("{ kind: cylinder, radius_mm: 50, height_mm: 100, sweep_deg: 360 }", "");
    g_autoptr(GArray) lines = tapul_cut_lines_new();
    TapulVec3 corner[] = {{40, 0, -30}, {40, 40, -30}, {20, 50, -46}, {2, 50, -50}};
    add_line(lines, tapul_plate_tree(plate), 4, corner);
    g_autoptr(GError) error = NULL;
    ck_assert(!tapul_plate_open(plate, lines_in(lines), 1, NULL, &error));
    ck_assert_msg(strstr(error->message, "divide the plate in 2 pieces") != NULL, "%s",
                  error->message);
    g_autoptr(GArray) dart = tapul_cut_lines_new();
    add_line(dart, tapul_plate_tree(plate), 2, (TapulVec3[]){{30, 60, -40}, {2, 60, -50}});
    check_open(plate, dart);
    ck_assert_double_eq_tol(taped(plate, 60, 60).y, 60, 1e-6);
}
END_TEST

/* --- Cases --- */

/* A tube, 60 mm wide, of 24 sides: no disc. */
static char *write_tube(const char *folder) {
    g_autoptr(GString) text = g_string_new("");
    for (int j = 0; j <= 10; j++)
        for (int i = 0; i < 24; i++)
            g_string_append_printf(text, "v %.6f %d %.6f\n", 30 * sin(i * G_PI / 12), 8 * j,
                                   30 * cos(i * G_PI / 12));
    for (int j = 0; j < 10; j++)
        for (int i = 0; i < 24; i++) {
            int a = 24 * j + i + 1, b = 24 * j + (i + 1) % 24 + 1;
            g_string_append_printf(text, "f %d %d %d\nf %d %d %d\n", a, b, b + 24, a, b + 24,
                                   a + 24);
        }
    return write_file(folder, "tube.obj", text->str);
}

static char *write_case(const char *folder, const char *cuts) {
    g_autofree char *text = g_strdup_printf(
        "tapul: case/1\ntitle: A tube\nplate: tube.obj\ndevelopment:\n  rule: evened\n"
        "  cuts: %s\n",
        cuts);
    return write_file(folder, "case.yaml", text);
}

static const char back_cut[] = "[[{ xyz_mm: [0, 1, -30] }, { xyz_mm: [0, 79, -30] }]]";

/* Of a regular prism of 24 sides the length round is 48 r sin(pi / 24). */
START_TEST(a_tube_is_opened_by_a_case_and_developed_to_its_rectangle) {
    g_autofree char *folder = new_folder(), *tube = write_tube(folder);
    g_autofree char *path = write_case(folder, back_cut);
    g_autofree char *out = g_build_filename(folder, "out", NULL), *text = NULL, *why = NULL;
    ck_assert_int_eq(run_program(NULL, &why, "develop", tube, "--out", out, NULL), 1);
    ck_assert_msg(strstr(why, "development: {cuts: ...}") != NULL, "%s", why);
    ck_assert_int_eq(run_program(&text, NULL, "develop", path, "--json", "--out", out, NULL),
                     0);
    g_autoptr(JsonNode) report = parse_report(text);
    double round_mm = 48 * 30 * sin(G_PI / 24);
    ck_assert_double_eq_tol(report_number(report, "developed_area_mm2", NULL), round_mm * 80,
                            0.01);
    ck_assert_double_eq_tol(report_number(report, "stretch", "max", NULL), 1, 1e-6);
    ck_assert_str_eq(json_object_get_string_member(json_node_get_object(report), "rule"),
                     "evened");
    g_autofree char *by_rule = NULL;
    ck_assert_int_eq(run_program(&by_rule, NULL, "develop", path, "--json", "--rule",
                                 "conformal", "--out", out, NULL),
                     0);
    ck_assert(strstr(by_rule, "conformal") != NULL);
    remove_folder(folder);
}
END_TEST

/* Faulty cuts, the line of the file that is blamed, and words of the message. */
static const struct {
    const char *cuts, *line, *words;
} faulty[] = {
    {"\n    - [{ xyz_mm: [0, 1, -30] }, { xyz_mm: [0, 79, -30] }]\n"
     "    - [{ xyz_mm: [20, 30, 22] }, { xyz_mm: [20, 50, 22] }]",
     "case.yaml:8:", "cut 2 ends inside the metal at both ends"},
    {"\n    - [{ xyz_mm: [0, 1, -30] }, { xyz_mm: [0, 79, -30] }]\n"
     "    - [{ xyz_mm: [20, 1, 22] }, { xyz_mm: [20, 79, 22] }]",
     "case.yaml:7:", "these cuts divide the plate in 2 pieces"},
    {"\n    - [{ xyz_mm: [0, 30, 30] }]", "case.yaml:7:", "at least two points"},
    {"\n    - []", "case.yaml:7:", "at least two points"},
    {"\n    - [{ xyz_mm: [0, 30, 30] }, { xyz_mm: [0, 30, 90] }]",
     "case.yaml:7:", "is 60.0 mm from the plate; at most 5 mm is permitted"},
    {"7", "case.yaml:6:", "cuts"},
};

START_TEST(faulty_cuts_are_told_with_their_line) {
    g_autofree char *folder = new_folder(), *tube = write_tube(folder);
    g_autofree char *path = write_case(folder, faulty[_i].cuts);
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulCase) question = tapul_case_load(path, NULL, &error);
    ck_assert_ptr_null(question);
    ck_assert_msg(strstr(error->message, faulty[_i].line) != NULL, "%s", error->message);
    ck_assert_msg(strstr(error->message, faulty[_i].words) != NULL, "%s", error->message);
    remove_folder(folder);
}
END_TEST

/* For the papers a plate is opened only as far as it must be. */
START_TEST(cuts_are_left_where_the_plate_is_a_disc_without_them) {
    g_autofree char *folder = new_folder(), *tube = write_tube(folder);
    g_autofree char *path =
        write_case(folder, "[[{ xyz_mm: [0, 1, -30] }, { xyz_mm: [0, 79, -30] }],"
                           " [{ xyz_mm: [20, 1, 22] }, { xyz_mm: [20, 79, 22] }]]");
    TapulCaseOptions options = tapul_case_options_defaults();
    options.leave_cuts = TRUE;
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulCase) question = tapul_case_load(path, &options, &error);
    ck_assert_msg(question != NULL, "%s", error ? error->message : "");
    ck_assert_uint_eq(question->cuts->len, 1);
    ck_assert(tapul_mesh_check_disc(tapul_plate_mesh(question->plate), NULL));
    remove_folder(folder);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("plate_open");
    TCase *tests = tcase_create("plate_open");
    suite_add_tcase(suite, tests);
    tcase_set_timeout(tests, 60);
    tcase_add_loop_test(tests, tapes_run_over_cuts, 0, 2);
    tcase_add_test(tests, cuts_that_divide_the_plate_are_refused_and_leave_it_as_it_was);
    tcase_add_test(tests, a_cut_may_meet_the_seam);
    tcase_add_test(tests, a_tube_is_opened_by_a_case_and_developed_to_its_rectangle);
    tcase_add_loop_test(tests, faulty_cuts_are_told_with_their_line, 0, G_N_ELEMENTS(faulty));
    tcase_add_test(tests, cuts_are_left_where_the_plate_is_a_disc_without_them);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int n_failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return n_failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
