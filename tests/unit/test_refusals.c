/* Bad input: each ends in lines that name file and fault, exit status 1, and nothing written.
 */
#include "program_for_tests.h"

#include <stdlib.h>
#include <sys/wait.h>

static const char good_print[] =
    "<svg xmlns='http://www.w3.org/2000/svg' width='40mm' height='40mm' viewBox='0 0 40 40'>"
    "<path d='M 5 5 L 35 35' stroke='black' stroke-width='0.3' fill='none'/></svg>";
static const char good_plate[] = "tapul: plate/1\nname: for a test\nsurface: { kind: sphere, "
                                 "radius_mm: 150, half_angle_deg: 40 }\n";

#define CASE_HEAD "tapul: case/1\ntitle: for a test\nplate: plate.yaml\n"
#define PRINTS    "prints:\n  - { id: plain, file: plain.svg }\n"
#define ROLLED                                                                                 \
    "layings:\n  - { print: plain, rule: rolled, anchor: { across_mm: 0, up_mm: 100 } }\n"

static const struct {
    const char *verb, *file, *text, *expected;
} refusals[] = {
    /* cases */
    {"lay", "case.yaml", CASE_HEAD PRINTS "layings:\n  - { print: other, rule: rolled }\n",
     "case.yaml:7: print: 'other' is none of the case's prints"},
    {"lay", "case.yaml", CASE_HEAD PRINTS "layings:\n  - { print: plain, rule: rolled }\n",
     "the key 'anchor' is missing"},
    {"lay", "case.yaml",
     CASE_HEAD PRINTS
     "layings:\n  - { print: plain, rule: rolled, anchor: { across_mm: 900, up_mm: 100 } }\n",
     "across_mm 900 is off the plate: 100 mm up, it reaches from"},
    {"lay", "case.yaml",
     CASE_HEAD PRINTS "layings:\n  - { print: plain, rule: rolled, anchor: { across_mm: 0, "
                      "up_mm: 100 }, scale: -1 }\n",
     "scale: -1 is not between"},
    {"lay", "case.yaml",
     CASE_HEAD PRINTS "layings:\n  - { print: plain, rule: rolled, anchor: { across_mm: 0, "
                      "up_mm: 100 }, print_anchor_mm: [900, 0] }\n",
     "laying 1 (plain)"},
    {"lay", "case.yaml",
     CASE_HEAD PRINTS
     "layings:\n  - { print: plain, rule: glued, anchor: { across_mm: 0, up_mm: 1 } }\n",
     "rule: 'glued' is none of: rolled, developed, viewed, pinned"},
    {"lay", "case.yaml", CASE_HEAD PRINTS "layings:\n  - { print: plain, rule: pinned }\n",
     "pinned needs at least 3 pairs"},
    {"lay", "case.yaml", CASE_HEAD PRINTS, "lays no print"},
    {"lay", "case.yaml", CASE_HEAD "prints: []\n" ROLLED, "is none of the case's prints"},
    {"lay", "case.yaml", CASE_HEAD "prints:\n  - { id: plain, file: missing.svg }\n" ROLLED,
     "missing.svg"},
    {"lay", "case.yaml",
     CASE_HEAD "prints:\n  - { id: plain, file: plain.svg, dpi: 600 }\n" ROLLED, "is no scan"},
    {"lay", "case.yaml",
     CASE_HEAD "prints:\n  - { id: plain, file: plain.svg, plate_mark_mm: [40, 80] }\n" ROLLED,
     "plain.svg"},
    {"lay", "case.yaml", "tapul: case/2\ntitle: t\nplate: plate.yaml\n" PRINTS ROLLED,
     "'case/2' where 'case/1'"},
    {"lay", "case.yaml", "tapul: case/1\ntitle: t\nplate: nowhere.yaml\n" PRINTS ROLLED,
     "nowhere.yaml: there is no such file"},
    {"lay", "case.yaml", CASE_HEAD PRINTS ROLLED "pairs: nowhere.csv\n",
     "nowhere.csv: there is no such file"},
    {"lay", "case.yaml",
     CASE_HEAD PRINTS ROLLED "found: { file: plain.svg, frame: sideways }\n",
     "'sideways' is none of"},
    {"lay", "case.yaml",
     CASE_HEAD PRINTS ROLLED "photo: { file: front.jpg, points: points.csv }\n", "front.jpg"},
    {"lay", "case.yaml", CASE_HEAD PRINTS ROLLED "colour: red\n", "unknown key 'colour'"},
    /* plates */
    {"plate", "ball.obj",
     "v 0 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\nf 1 3 2\nf 1 2 4\nf 2 3 4\nf 1 4 3\n", "closed"},
    {"plate", "two.obj",
     "v 0 0 0\nv 1 0 0\nv 0 1 0\nv 5 0 0\nv 6 0 0\nv 5 1 0\nf 1 2 3\nf 4 5 6\n", "pieces"},
    {"plate", "three.obj",
     "v 0 0 0\nv 1 0 0\nv 0 1 0\nv 0 -1 0\nv 0 0 1\nf 1 2 3\nf 2 1 4\nf 1 2 5\n", "three.obj"},
    {"plate", "none.obj", "v 0 0 0\nv 1 0 0\nv 0 1 0\n", "none.obj"},
    {"plate", "nan.obj", "v 0 0 nan\nv 1 0 0\nv 0 1 0\nf 1 2 3\n", "nan.obj:1"},
    {"plate", "range.obj", "v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 9\n", "range.obj:4"},
    {"develop", "ball.obj",
     "v 0 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\nf 1 3 2\nf 1 2 4\nf 2 3 4\nf 1 4 3\n", "closed"},
    /* prints */
    {"ink", "empty.svg", "<svg xmlns='http://www.w3.org/2000/svg' width='40mm' height='40mm'/>",
     "empty.svg"},
    {"ink", "broken.svg", "<svg xmlns='http://www.w3.org/2000/svg' width='40mm'", "broken.svg"},
    {"ink", "outside.svg",
     "<svg xmlns='http://www.w3.org/2000/svg' xmlns:xlink='http://www.w3.org/1999/xlink' "
     "width='40mm' height='40mm'>"
     "<image xlink:href='http://127.0.0.1:1/picture.png' width='40' height='40'/></svg>",
     "outside.svg"},
    {"ink", "text.pdf", "%PDF-1.4 and then nothing", "text.pdf"},
};

START_TEST(bad_input_is_refused_in_one_line_and_leaves_nothing) {
    g_autofree char *folder = new_folder();
    g_autofree char *plate = write_file(folder, "plate.yaml", good_plate);
    g_autofree char *print = write_file(folder, "plain.svg", good_print);
    g_autofree char *file = write_file(folder, refusals[_i].file, refusals[_i].text);
    g_autofree char *out = g_build_filename(folder, "out", NULL);
    g_autofree char *output = NULL;
    g_autofree char *errors = NULL;
    int status = run_program(&output, &errors, refusals[_i].verb, file, "--out", out, NULL);
    ck_assert_msg(status == 1, "%s %s ended with %d: %s", refusals[_i].verb, refusals[_i].file,
                  status, errors);
    ck_assert_msg(strstr(errors, refusals[_i].expected) != NULL, "'%s' lacks '%s'", errors,
                  refusals[_i].expected);
    /* Either one line, or one for each of a file's faults, all with the file's name. */
    g_auto(GStrv) lines = g_strsplit(errors, "\n", -1);
    for (guint i = 0; lines[i] && *lines[i]; i++)
        ck_assert_msg(g_str_has_prefix(lines[i], "tapul: ") && strstr(lines[i], folder), "%s",
                      lines[i]);
    ck_assert_str_eq(output, "");
    g_autoptr(GDir) directory = g_dir_open(out, 0, NULL);
    ck_assert_msg(!directory || !g_dir_read_name(directory), "something was written");
    remove_folder(folder);
}
END_TEST

START_TEST(half_a_result_is_taken_back) {
    g_autofree char *folder = new_folder();
    g_autofree char *plate = write_file(folder, "plate.yaml", good_plate);
    g_autofree char *print = write_file(folder, "plain.svg", good_print);
    g_autofree char *question = write_file(folder, "case.yaml", CASE_HEAD PRINTS ROLLED);
    /* A folder stands where the PDF should go. */
    g_autofree char *in_the_way = g_build_filename(folder, "out", "overlay.pdf", NULL);
    g_autofree char *svg = g_build_filename(folder, "out", "overlay.svg", NULL);
    g_autofree char *out = g_path_get_dirname(svg);
    ck_assert_int_eq(g_mkdir_with_parents(in_the_way, 0777), 0);
    ck_assert_int_eq(run_program(NULL, NULL, "lay", question, "--out", out, NULL), 1);
    ck_assert(!g_file_test(svg, G_FILE_TEST_EXISTS));
    remove_folder(folder);
}
END_TEST

START_TEST(wrong_usage_ends_with_2) {
    ck_assert_int_eq(run_program(NULL, NULL, "frobnicate", "x", NULL), 2);
    ck_assert_int_eq(run_program(NULL, NULL, "plate", NULL), 2);
    ck_assert_int_eq(run_program(NULL, NULL, "plate", "a", "b", NULL), 2);
    ck_assert_int_eq(run_program(NULL, NULL, "plate", "a", "--no-such-option", NULL), 2);
    ck_assert_int_eq(run_program(NULL, NULL, "ink", "a", "--plate-mark", "12", NULL), 2);
    ck_assert_int_eq(run_program(NULL, NULL, "--version", NULL), 0);
    ck_assert_int_eq(run_program(NULL, NULL, "lay", "--help", NULL), 0);
}
END_TEST

/* The mesh files of other projects' tests: each is read or refused, none ends the program by a
 * signal. */
START_TEST(hostile_meshes_are_read_or_refused) {
    static const char *const folders[] = {"mesh_trimesh", "mesh_assimp"};
    g_autofree char *hostile = source_file("../shared/data/hostile");
    if (!g_file_test(hostile, G_FILE_TEST_IS_DIR)) {
        printf("SKIP: hostile meshes are not beside the tree\n");
        return;
    }
    int n = 0;
    for (guint k = 0; k < G_N_ELEMENTS(folders); k++) {
        g_autofree char *folder = g_build_filename(hostile, folders[k], NULL);
        g_autoptr(GDir) directory = g_dir_open(folder, 0, NULL);
        for (const char *name; directory && (name = g_dir_read_name(directory));) {
            g_autofree char *lower = g_ascii_strdown(name, -1);
            if (!g_str_has_suffix(lower, ".obj") && !g_str_has_suffix(lower, ".ply") &&
                !g_str_has_suffix(lower, ".stl") && !g_str_has_suffix(lower, ".off"))
                continue;
            g_autofree char *path = g_build_filename(folder, name, NULL);
            g_autofree char *errors = NULL;
            int status = run_program(NULL, &errors, "plate", path, NULL);
            ck_assert_msg(status == 0 || status == 1, "%s ended with %d", name, status);
            ck_assert_msg(status == 0 ||
                              (g_str_has_prefix(errors, "tapul: ") && strstr(errors, name)),
                          "%s: %s", name, errors);
            n++;
        }
    }
    ck_assert_int_gt(n, 30);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("refusals");
    TCase *tests = tcase_create("refusals");
    tcase_set_timeout(tests, 120);
    tcase_add_loop_test(tests, bad_input_is_refused_in_one_line_and_leaves_nothing, 0,
                        (int)G_N_ELEMENTS(refusals));
    tcase_add_test(tests, half_a_result_is_taken_back);
    tcase_add_test(tests, wrong_usage_ends_with_2);
    tcase_add_test(tests, hostile_meshes_are_read_or_refused);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
