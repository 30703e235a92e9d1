/* The sheet verb from case to files: which it writes, what its report says, what it refuses. */
#include "program_for_tests.h"

#include <math.h>
#include <stdlib.h>

/* A print of two motifs on a tube. %s: what the case says under sheet. */
#define PRINT                                                                                  \
    "<svg xmlns='http://www.w3.org/2000/svg' width='60mm' height='40mm' viewBox='0 0 60 40'>"  \
    "<g id='wave'><path d='M5 20 q10 -16 20 0 t20 0' fill='none' stroke='black'/></g>"         \
    "<g id='star'><path d='M50 5 l3 9 l-8 -6 h10 l-8 6 z' fill='black'/></g></svg>"
#define PLATE                                                                                  \
    "tapul: plate/1\nname: Tube\nsurface: { kind: cylinder, radius_mm: 60, height_mm: 120, "   \
    "sweep_deg: 160 }\n"
#define CASE                                                                                   \
    "tapul: case/1\ntitle: A wave on a tube\ncredit: Invented for a test\nplate: plate.yaml\n" \
    "prints:\n  - { id: sea, file: sea.svg, title: Wave and star, credit: Nobody }\n"          \
    "layings:\n  - { print: sea, rule: rolled, anchor: { across_mm: 0, up_mm: 60 } }\n%s"

static char *folder, *out;

static char *made_case(const char *sheet) {
    g_autofree char *print = write_file(folder, "sea.svg", PRINT);
    g_autofree char *plate = write_file(folder, "plate.yaml", PLATE);
    g_autofree char *text = g_strdup_printf(CASE, sheet);
    return write_file(folder, "case.yaml", text);
}

static void set_up(void) {
    folder = new_folder();
    out = g_build_filename(folder, "out", NULL);
}

static void tear_down(void) {
    remove_folder(folder);
    g_free(folder);
    g_free(out);
}

static JsonObject *object_of(JsonNode *report) {
    return json_node_get_object(report);
}

static guint count_files(const char *path) {
    guint n = 0;
    GDir *directory = g_dir_open(path, 0, NULL);
    while (directory && g_dir_read_name(directory))
        n++;
    if (directory)
        g_dir_close(directory);
    return n;
}

/* The files of the report are there, and no others. */
static void check_files(JsonNode *report) {
    JsonArray *files = json_object_get_array_member(object_of(report), "files");
    ck_assert_uint_eq(json_array_get_length(files), count_files(out));
    for (guint i = 0; i < json_array_get_length(files); i++)
        ck_assert(g_file_test(json_array_get_string_element(files, i), G_FILE_TEST_IS_REGULAR));
}

static gboolean has_file(const char *name) {
    g_autofree char *path = g_build_filename(out, name, NULL);
    return g_file_test(path, G_FILE_TEST_IS_REGULAR);
}

START_TEST(pages_are_written_as_pdf_svg_and_html) {
    g_autofree char *question = made_case("");
    g_autofree char *output = NULL;
    ck_assert_int_eq(
        run_program(&output, NULL, "sheet", question, "--out", out, "--json", NULL), 0);
    g_autoptr(JsonNode) report = parse_report(output);
    JsonObject *object = object_of(report);
    guint pages = (guint)json_object_get_int_member(object, "pages");
    ck_assert_str_eq(json_object_get_string_member(object, "schema"), "tapul/sheet-report/1");
    ck_assert_uint_eq(json_array_get_length(json_object_get_array_member(object, "titles")),
                      pages);
    /* Side by side, sequence and the whole plate; there is no border, and on a tube no detail
     * that differs from the print. */
    ck_assert_uint_eq(pages, 3);
    check_files(report);
    ck_assert(has_file("sheet.pdf") && has_file("sheet-3.svg") && has_file("comparison.html"));
}
END_TEST

START_TEST(a_worksheet_takes_the_place_of_the_pages) {
    g_autofree char *question = made_case("");
    g_autofree char *output = NULL;
    ck_assert_int_eq(run_program(&output, NULL, "sheet", question, "--worksheet", "--out", out,
                                 "--json", NULL),
                     0);
    g_autoptr(JsonNode) report = parse_report(output);
    check_files(report);
    ck_assert(has_file("worksheet.pdf") && has_file("worksheet-1.svg"));
    ck_assert(!has_file("sheet.pdf") && !has_file("comparison.html"));
}
END_TEST

/* 320 x 180 mm at 152.4 dpi; PNG (Third Edition) 11.2.1: width and height follow the header. */
START_TEST(a_screen_page_is_1920_by_1080_pixels) {
    g_autofree char *question = made_case("");
    ck_assert_int_eq(run_program(NULL, NULL, "sheet", question, "--paper", "screen", "--png",
                                 "152.4", "--layouts", "beside", "--out", out, NULL),
                     0);
    g_autofree char *path = g_build_filename(out, "sheet-1.png", NULL);
    g_autofree guint8 *bytes = NULL;
    gsize length;
    ck_assert(g_file_get_contents(path, (char **)&bytes, &length, NULL));
    ck_assert_uint_gt(length, 24);
    ck_assert_int_eq(bytes[18] << 8 | bytes[19], 1920);
    ck_assert_int_eq(bytes[22] << 8 | bytes[23], 1080);
}
END_TEST

/* ISO 216, mm. */
START_TEST(papers_are_iso_216) {
    static const struct {
        const char *name;
        double width_mm, height_mm;
    } papers[] = {{"A5", 148, 210}, {"A4", 210, 297}, {"A3", 297, 420}, {"A2", 420, 594}};
    g_autofree char *question = made_case("");
    for (guint i = 0; i < G_N_ELEMENTS(papers); i++) {
        g_autofree char *output = NULL;
        ck_assert_int_eq(run_program(&output, NULL, "sheet", question, "--paper",
                                     papers[i].name, "--upright", "portrait", "--layouts",
                                     "plate", "--out", out, "--json", NULL),
                         0);
        g_autoptr(JsonNode) report = parse_report(output);
        ck_assert_double_eq(report_number(report, "width_mm", NULL), papers[i].width_mm);
        ck_assert_double_eq(report_number(report, "height_mm", NULL), papers[i].height_mm);
    }
}
END_TEST

START_TEST(words_written_are_words_read) {
    g_autofree char *question = made_case("");
    ck_assert_int_eq(run_program(NULL, NULL, "sheet", question, "--words", "--layouts",
                                 "beside", "--out", out, NULL),
                     0);
    g_autofree char *path = g_build_filename(out, "words.yaml", NULL);
    g_autofree char *words = NULL;
    ck_assert(g_file_get_contents(path, &words, NULL, NULL));
    g_auto(GStrv) lines = g_strsplit(words, "\n", -1);
    g_autofree char *indented = g_strjoinv("\n  ", lines);
    g_autofree char *sheet = g_strconcat("sheet:\n  ", indented, "\n", NULL);
    g_autofree char *again = made_case(sheet);
    g_autofree char *errors = NULL;
    int status = run_program(NULL, &errors, "sheet", again, "--out", out, NULL);
    ck_assert_msg(status == 0, "%s", errors);
}
END_TEST

/* Each fault, with the line it stands in. */
START_TEST(faults_of_the_sheet_key_name_their_line) {
    static const struct {
        const char *sheet, *told;
    } faults[] = {
        {"sheet: { language: low_german }\n",
         "case.yaml:9: language: 'low_german' is no language tag"},
        {"sheet: { captions: { side: no } }\n", "case.yaml:9: captions: 'side' is no layout"},
        {"sheet: { motifs: { heron: no } }\n",
         "case.yaml:9: motifs: 'heron' is a motif of no print"},
        {"sheet: { words: { prind: no } }\n", "case.yaml:9: words: 'prind' is no word"},
        {"sheet: { calls: [ { text: no } ] }\n", "case.yaml:9: calls: 'at'"},
        {"sheet: { calls: [ { at: { x_mm: 500, y_mm: 0 }, text: no } ] }\n", "case.yaml:9:"},
        {"sheet: { colour: no }\n", "case.yaml:9: unknown key 'colour'"},
    };
    for (guint i = 0; i < G_N_ELEMENTS(faults); i++) {
        g_autofree char *question = made_case(faults[i].sheet);
        g_autofree char *errors = NULL;
        ck_assert_int_eq(run_program(NULL, &errors, "sheet", question, "--out", out, NULL), 1);
        ck_assert_msg(strstr(errors, faults[i].told) != NULL, "%s where '%s' was expected",
                      errors, faults[i].told);
        ck_assert_uint_eq(count_files(out), 0);
    }
}
END_TEST

START_TEST(wrong_options_are_wrong_usage) {
    static const char *const options[][2] = {{"--paper", "B4"},
                                             {"--upright", "sideways"},
                                             {"--layouts", "beside,sides"},
                                             {"--png", "5"}};
    g_autofree char *question = made_case("");
    for (guint i = 0; i < G_N_ELEMENTS(options); i++) {
        g_autofree char *errors = NULL;
        ck_assert_int_eq(run_program(NULL, &errors, "sheet", question, options[i][0],
                                     options[i][1], "--out", out, NULL),
                         2);
        ck_assert_ptr_nonnull(strstr(errors, options[i][0]));
    }
}
END_TEST

START_TEST(a_layout_with_nothing_to_show_is_refused) {
    g_autofree char *question = made_case("");
    g_autofree char *errors = NULL;
    ck_assert_int_eq(run_program(NULL, &errors, "sheet", question, "--layouts", "border",
                                 "--out", out, NULL),
                     1);
    ck_assert_ptr_nonnull(strstr(errors, "case.yaml: the case holds nothing"));
    ck_assert_uint_eq(count_files(out), 0);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("sheet road");
    TCase *all = tcase_create("all");
    tcase_set_timeout(all, 120);
    tcase_add_checked_fixture(all, set_up, tear_down);
    tcase_add_test(all, pages_are_written_as_pdf_svg_and_html);
    tcase_add_test(all, a_worksheet_takes_the_place_of_the_pages);
    tcase_add_test(all, a_screen_page_is_1920_by_1080_pixels);
    tcase_add_test(all, papers_are_iso_216);
    tcase_add_test(all, words_written_are_words_read);
    tcase_add_test(all, faults_of_the_sheet_key_name_their_line);
    tcase_add_test(all, wrong_options_are_wrong_usage);
    tcase_add_test(all, a_layout_with_nothing_to_show_is_refused);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
