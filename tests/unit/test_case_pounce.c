/* What a case says of the maker's papers: read as written, defaults where nothing is said, and
 * every key refused where it is of the wrong kind or out of range. */
#include "program_for_tests.h"

#include <stdlib.h>
#include <tapul/case.h>

static const char plate[] =
    "tapul: plate/1\nname: for a test\nsurface: { kind: cylinder, radius_mm: 50, height_mm: 60 "
    "}\nthickness_mm: 1.2\n";
static const char print[] =
    "<svg xmlns='http://www.w3.org/2000/svg' width='40mm' height='40mm' viewBox='0 0 40 40'>"
    "<g id='bar'><path d='M 5 20 H 35' stroke='black' stroke-width='1'/></g></svg>";

/* The lines of a case; `pounce:` follows on line 5. */
#define HEAD                                                                                   \
    "tapul: case/1\ntitle: for a test\nplate: plate.yaml\n"                                    \
    "prints: [ { id: heron, file: print.svg } ]\n"

static TapulCase *load(const char *folder, const char *pounce, GError **error) {
    g_autofree char *text = g_strconcat(HEAD, pounce, NULL);
    g_free(write_file(folder, "plate.yaml", plate));
    g_free(write_file(folder, "print.svg", print));
    g_autofree char *path = write_file(folder, "case.yaml", text);
    return tapul_case_load(path, NULL, error);
}

START_TEST(nothing_said_gives_the_usual_figures) {
    g_autofree char *folder = new_folder();
    g_autoptr(TapulCase) question = load(folder, "", NULL);
    ck_assert_ptr_nonnull(question);
    const TapulCasePounce *asked = &question->pounce;
    ck_assert_double_eq(asked->stretch_limit, 0.01);
    ck_assert_double_eq(asked->allowance_mm, 5);
    ck_assert(!asked->face_down && !asked->uncut);
    ck_assert_str_eq(asked->paper, "A4");
    ck_assert_double_eq(asked->roll_width_mm, 610);
    ck_assert_double_eq(asked->overlap_mm, 10);
    ck_assert_int_eq(asked->resist, 0);
    ck_assert_double_eq(asked->depth_mm, 0.12);
    ck_assert_double_eq(asked->etch_factor, 2);
    ck_assert_double_eq(asked->finest_mm, 0.3);
    ck_assert_double_eq(asked->dot_mm, 0);
    ck_assert_double_eq(asked->working_share, 0.5);
    ck_assert_uint_eq(asked->bites->len, 0);
    remove_folder(folder);
}
END_TEST

START_TEST(every_key_is_read) {
    g_autofree char *folder = new_folder();
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulCase) question =
        load(folder,
             "pounce:\n  stretch_percent: 1.5\n  allowance_mm: 4\n  face: down\n  paper: roll\n"
             "  roll_width_mm: 500\n  overlap_mm: 12\n  resist: ground\n  etch_factor: 2.5\n"
             "  finest_mm: 0.4\n  working_share: 0.25\n"
             "  dots: { size_mm: 0.8, spacing_mm: 2, clear_mm: 0.5 }\n"
             "  bites: [ { depth_mm: 0.1 }, { depth_mm: 0.05, stop_out: [heron/bar, heron] } "
             "]\n",
             &error);
    ck_assert_msg(question != NULL, "%s", error ? error->message : "");
    const TapulCasePounce *asked = &question->pounce;
    ck_assert_double_eq_tol(asked->stretch_limit, 0.015, 1e-12);
    ck_assert_double_eq(asked->allowance_mm, 4);
    ck_assert(asked->face_down);
    ck_assert_str_eq(asked->paper, "roll");
    ck_assert_double_eq(asked->roll_width_mm, 500);
    ck_assert_double_eq(asked->overlap_mm, 12);
    ck_assert_int_eq(asked->resist, 1);
    ck_assert_double_eq(asked->etch_factor, 2.5);
    ck_assert_double_eq(asked->finest_mm, 0.4);
    ck_assert_double_eq(asked->working_share, 0.25);
    ck_assert_double_eq(asked->dot_mm, 0.8);
    ck_assert_double_eq(asked->dot_spacing_mm, 2);
    ck_assert_double_eq(asked->dot_clear_mm, 0.5);
    ck_assert_uint_eq(asked->bites->len, 2);
    const TapulCaseBite *second = &g_array_index(asked->bites, TapulCaseBite, 1);
    ck_assert_double_eq(second->depth_mm, 0.05);
    ck_assert_str_eq(second->stop_out[0], "heron/bar");
    ck_assert_str_eq(second->stop_out[1], "heron");
    ck_assert_ptr_null(second->stop_out[2]);
    ck_assert_double_eq(g_array_index(asked->bites, TapulCaseBite, 0).depth_mm, 0.1);
    remove_folder(folder);
}
END_TEST

/* What stands under pounce on line 6, and what is said of it. */
static const struct {
    const char *text, *expected;
} refusals[] = {
    {"stretch_percent: 0.1", "stretch_percent: 0.1 is not between 0.2 and 20"},
    {"stretch_percent: much", "stretch_percent: 'much' is not a number"},
    {"stretch_percent: [1]", "stretch_percent"},
    {"allowance_mm: -1", "allowance_mm: -1 is not between 0 and 30"},
    {"allowance_mm: wide", "allowance_mm: 'wide' is not a number"},
    {"face: 2", "face: '2' is none of: up, down"},
    {"paper: A5", "paper: 'A5' is none of: A4, A3, roll"},
    {"paper: [A4]", "paper"},
    {"roll_width_mm: 50", "roll_width_mm: 50 is not between 100 and 2000"},
    {"roll_width_mm: {}", "roll_width_mm"},
    {"overlap_mm: 51", "overlap_mm: 51 is not between 0 and 50"},
    {"overlap_mm: x", "overlap_mm: 'x' is not a number"},
    {"resist: wax", "resist: 'wax' is none of: none, ground, lines"},
    {"depth_mm: .nan", "depth_mm: '.nan' is not a number"},
    {"depth_mm: 3", "depth_mm: 3 is not between 0.005 and 2"},
    {"etch_factor: 0", "etch_factor: 0 is not between 0.5 and 20"},
    {"etch_factor: deep", "etch_factor: 'deep' is not a number"},
    {"finest_mm: 0", "finest_mm: 0 is not between 0.01 and 10"},
    {"finest_mm: fine", "finest_mm: 'fine' is not a number"},
    {"working_share: 1.1", "working_share: 1.1 is not between 0.05 and 1"},
    {"working_share: half", "working_share: 'half' is not a number"},
    {"dots: 4", "a map with the keys size_mm, spacing_mm, clear_mm was expected"},
    {"{ resist: ground, dots: { spacing_mm: 2 } }", "size_mm"},
    {"{ resist: ground, dots: { size_mm: 20 } }", "size_mm: 20 is not between 0.1 and 10"},
    {"{ resist: ground, dots: { size_mm: 1, spacing_mm: 1 } }",
     "spacing_mm: 1 is not between 1.2 and 50"},
    {"{ resist: ground, dots: { size_mm: 1, clear_mm: -1 } }",
     "clear_mm: -1 is not between 0 and 50"},
    {"{ resist: ground, dots: { size_mm: 0.1 } }",
     "dots: 0.2 mm apart they run together: to stand 0.1 mm wide they are painted 0.22 mm "
     "wide"},
    {"{ resist: lines, dots: { size_mm: 1 } }",
     "dots: only a bitten ground is dotted: resist: ground"},
    {"bites: 3", "bites: a single value where a list was expected"},
    {"{ resist: lines, bites: [ {} ] }", "depth_mm"},
    {"{ resist: lines, bites: [ { depth_mm: 5 } ] }", "depth_mm: 5 is not between 0.005 and 2"},
    {"{ resist: lines, bites: [ { depth_mm: 0.1, stop_out: [ibis] } ] }",
     "stop_out: 'ibis' is neither a print of the case nor print/motif"},
    {"{ resist: lines, bites: [ { depth_mm: 0.1, stop_out: [heron/beak] } ] }",
     "stop_out: 'heron/beak' is neither"},
    {"{ resist: lines, bites: [ { depth_mm: 0.1, stop_out: heron } ] }", "stop_out"},
    {"{ resist: lines, bites: [ { depth_mm: 0.1, keep: 1 } ] }", "unknown key 'keep'"},
    {"bites: [ { depth_mm: 0.1 } ]", "bites: nothing is bitten without resist"},
    {"{ resist: lines, depth_mm: 0.1, bites: [ { depth_mm: 0.1 } ] }",
     "depth_mm: the bites give depths of their own"},
    {"{ resist: lines, bites: [ { depth_mm: 0.6 }, { depth_mm: 0.6 } ] }",
     "depth_mm: 1.2 mm in all goes through the metal; permitted: less than its 1.2 mm"},
    {"colour: red", "unknown key 'colour'"},
};

START_TEST(bad_value_is_told_with_file_and_line) {
    g_autofree char *folder = new_folder();
    g_autoptr(GError) error = NULL;
    g_autofree char *text = g_strdup_printf("pounce:\n  %s\n", refusals[_i].text);
    g_autoptr(TapulCase) question = load(folder, text, &error);
    ck_assert_msg(question == NULL, "taken: %s", refusals[_i].text);
    ck_assert_msg(strstr(error->message, "case.yaml:6: ") != NULL, "%s", error->message);
    ck_assert_msg(strstr(error->message, refusals[_i].expected) != NULL, "%s: %s",
                  refusals[_i].text, error->message);
    remove_folder(folder);
}
END_TEST

START_TEST(seventh_bite_is_refused) {
    g_autofree char *folder = new_folder();
    g_autoptr(GError) error = NULL;
    g_autoptr(GString) text = g_string_new("pounce:\n  resist: lines\n  bites:\n");
    for (int i = 0; i < 7; i++)
        g_string_append(text, "    - { depth_mm: 0.01 }\n");
    g_autoptr(TapulCase) question = load(folder, text->str, &error);
    ck_assert_ptr_null(question);
    ck_assert_msg(strstr(error->message, "bites: 7 are more than the 6 permitted") != NULL,
                  "%s", error->message);
    remove_folder(folder);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("case_pounce");
    TCase *tests = tcase_create("case_pounce");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, nothing_said_gives_the_usual_figures);
    tcase_add_test(tests, every_key_is_read);
    tcase_add_loop_test(tests, bad_value_is_told_with_file_and_line, 0,
                        (int)G_N_ELEMENTS(refusals));
    tcase_add_test(tests, seventh_bite_is_refused);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
