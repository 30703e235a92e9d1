/* The readers of descriptions and tables: what they take, and how they name what they refuse.
 */
#include "base/document.h"
#include "base/table.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

static TapulDocument *document_of(const char *text) {
    g_autoptr(GError) error = NULL;
    TapulDocument *document = tapul_document_parse("file.yaml", text, strlen(text), &error);
    ck_assert_msg(document != NULL, "%s", error ? error->message : "");
    return document;
}

START_TEST(numbers_are_read_with_their_range) {
    g_autoptr(TapulDocument) document = document_of("a: 12.5\nb: -3e1\n");
    double value = 0;
    ck_assert(tapul_document_number(document, tapul_document_root(document), "a", TRUE, 0, 20,
                                    &value));
    ck_assert_double_eq(value, 12.5);
    ck_assert(!tapul_document_number(document, tapul_document_root(document), "b", TRUE, 0, 20,
                                     &value));
    ck_assert_double_eq(value, 12.5);
    g_autoptr(GError) error = NULL;
    ck_assert(!tapul_document_check(document, &error));
    ck_assert_str_eq(error->message, "file.yaml:2: b: -3e1 is not between 0 and 20");
}
END_TEST

START_TEST(faults_come_in_the_order_of_the_file) {
    static const char *const keys[] = {"a", NULL};
    g_autoptr(TapulDocument) document = document_of("a: x\nc: 1\na: 2\n");
    double value;
    tapul_document_expect_keys(document, tapul_document_root(document), keys);
    tapul_document_number(document, tapul_document_root(document), "a", TRUE, 0, 1, &value);
    g_autoptr(GError) error = NULL;
    ck_assert(!tapul_document_check(document, &error));
    ck_assert_str_eq(error->message, "file.yaml:1: a: 'x' is not a number\n"
                                     "file.yaml:2: unknown key 'c'; permitted here: a\n"
                                     "file.yaml:3: key 'a' is given twice");
}
END_TEST

/* YAML 1.1 (2005), boolean type: y and n alone are left out here, since they are also axes. */
START_TEST(flags_are_those_of_yaml) {
    g_autoptr(TapulDocument) document = document_of("a: yes\nb: off\nc: True\nd: 1\n");
    const TapulNode *root = tapul_document_root(document);
    ck_assert(tapul_document_flag(document, root, "a", FALSE));
    ck_assert(!tapul_document_flag(document, root, "b", TRUE));
    ck_assert(tapul_document_flag(document, root, "c", FALSE));
    ck_assert(tapul_document_flag(document, root, "missing", TRUE));
    ck_assert(!tapul_document_has_faults(document));
    tapul_document_flag(document, root, "d", FALSE);
    ck_assert(tapul_document_has_faults(document));
}
END_TEST

static const char *const unreadable[] = {"",         "a: [1, 2",   "a: 'open",
                                         "\x01\x02", "a: &x [*y]", "- a\nb: c\n"};

START_TEST(what_is_not_yaml_is_refused_with_its_line) {
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(
        tapul_document_parse("file.yaml", unreadable[_i], strlen(unreadable[_i]), &error));
    ck_assert(g_str_has_prefix(error->message, "file.yaml:"));
    ck_assert_ptr_null(strchr(error->message, '\n'));
}
END_TEST

START_TEST(an_alias_to_itself_is_harmless) {
    g_autoptr(TapulDocument) document = document_of("&top\na: *top\n");
    const TapulNode *root = tapul_document_root(document);
    double value;
    ck_assert(!tapul_document_number(document, root, "a", TRUE, 0, 1, &value));
    ck_assert_ptr_null(tapul_document_points(document, root, "a", TRUE, 1, 1));
}
END_TEST

START_TEST(paths_are_relative_to_the_file) {
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulDocument) document =
        tapul_document_parse("cases/one/case.yaml", "a: 1", 4, &error);
    g_autofree char *relative = tapul_document_resolve(document, "../plate.yaml");
    g_autofree char *absolute = tapul_document_resolve(document, "/tmp/plate.yaml");
    ck_assert_str_eq(relative, "cases/one/../plate.yaml");
    ck_assert_str_eq(absolute, "/tmp/plate.yaml");
}
END_TEST

/* RFC 4180 (2005), section 2: quotes, doubled quotes, line breaks in quotes, CRLF. */
START_TEST(tables_follow_rfc_4180) {
    static const char text[] =
        "\xEF\xBB\xBFname,x_mm\r\n\"a, \"\"b\"\"\", 4.5 \r\n\"two\nlines\",-1\r\n\r\nlast,7";
    g_autoptr(TapulTable) table = tapul_table_parse("t.csv", text, strlen(text), NULL);
    double value;
    ck_assert_int_eq(tapul_table_n_rows(table), 3);
    ck_assert_str_eq(tapul_table_text(table, 0, 0), "a, \"b\"");
    ck_assert_str_eq(tapul_table_text(table, 1, 0), "two\nlines");
    ck_assert(tapul_table_number(table, 0, 1, 0, 5, &value));
    ck_assert_double_eq(value, 4.5);
    ck_assert(!tapul_table_number(table, 2, 1, 0, 5, &value));
    g_autoptr(GError) error = NULL;
    ck_assert(!tapul_table_check(table, &error));
    ck_assert_str_eq(error->message, "t.csv:6: x_mm: 7 is not between 0 and 5");
}
END_TEST

START_TEST(tables_at_fault_are_refused) {
    static const char *const texts[] = {"", "\n\n", "a,\"b\n", "a\xff,b\n"};
    for (guint i = 0; i < G_N_ELEMENTS(texts); i++) {
        g_autoptr(GError) error = NULL;
        ck_assert_ptr_null(tapul_table_parse("t.csv", texts[i], strlen(texts[i]), &error));
        ck_assert(g_str_has_prefix(error->message, "t.csv:"));
    }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("readers");
    TCase *tests = tcase_create("readers");
    tcase_add_test(tests, numbers_are_read_with_their_range);
    tcase_add_test(tests, faults_come_in_the_order_of_the_file);
    tcase_add_test(tests, flags_are_those_of_yaml);
    tcase_add_loop_test(tests, what_is_not_yaml_is_refused_with_its_line, 0,
                        (int)G_N_ELEMENTS(unreadable));
    tcase_add_test(tests, an_alias_to_itself_is_harmless);
    tcase_add_test(tests, paths_are_relative_to_the_file);
    tcase_add_test(tests, tables_follow_rfc_4180);
    tcase_add_test(tests, tables_at_fault_are_refused);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
