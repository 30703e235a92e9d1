/* The contact sheet: all plates of a folder in name order at one scale, on pages whose words
 * keep apart; a plate that cannot be read is an error, and nothing is written. */
#include "program_for_tests.h"
#include "sheet/page_items.h"
#include "sheet/shortened.h"
#include "test_sheet_cylinders.h"
#include "words_for_tests.h"

#include <tapul/sheets.h>

#define MARGIN_MM 17.0

#define LAME                                                                                   \
    "tapul: plate/1\nname: %s\nsource: invented for the test\n"                                \
    "surface: { kind: cylinder, radius_mm: %d, height_mm: 80, sweep_deg: 150 }\n"

/* --- Pages --- */

/* Heights over widths of the front views, with the scale of each. */
static GArray *scales_of(const GPtrArray *pages) {
    GArray *scales = g_array_new(FALSE, FALSE, sizeof(double));
    for (guint i = 0; i < pages->len; i++) {
        const TapulPage *page = pages->pdata[i];
        for (guint k = 0; k < page->items->len; k++) {
            const TapulItem *item = &g_array_index(page->items, TapulItem, k);
            if (item->kind == TAPUL_ITEM_BEGIN_GROUP && item->as.group.moved)
                g_array_append_val(scales, item->as.group.transform.xx);
        }
    }
    return scales;
}

static void check_pages(const GPtrArray *pages) {
    for (guint i = 0; i < pages->len; i++) {
        ck_assert_double_eq(tapul_page_width_mm(pages->pdata[i]), 420); /* A3, ISO 216 */
        ck_assert_double_eq(tapul_page_height_mm(pages->pdata[i]), 297);
        check_words_of_page(pages->pdata[i], MARGIN_MM);
    }
}

START_TEST(all_plates_stand_at_one_scale_in_order) {
    static const double radii_mm[] = {30, 140, 60, 300, 45, 90, 120, 75};
    enum { N = G_N_ELEMENTS(radii_mm) };
    Cylinder *cylinders[N];
    TapulGround grounds[N];
    for (int i = 0; i < N; i++) {
        cylinders[i] = cylinder_new(radii_mm[i], 100 + 20 * i, 170, "");
        grounds[i] = cylinders[i]->ground;
    }
    g_autoptr(GPtrArray) pages = tapul_sheet_contact("Plates: a test", N, grounds);
    g_autoptr(GArray) scales = scales_of(pages);
    check_pages(pages);
    ck_assert_uint_eq(scales->len, 3 * N);
    for (guint i = 0; i < scales->len; i++)
        ck_assert_double_eq(g_array_index(scales, double, i), g_array_index(scales, double, 0));
    for (int i = 0; i < N; i++)
        cylinder_free(cylinders[i]);
}
END_TEST

START_TEST(a_large_plate_and_a_small_one_fit) {
    static const double radii_mm[] = {2, 700, 4000};
    for (guint i = 0; i < G_N_ELEMENTS(radii_mm); i++) {
        g_autoptr(Cylinder) cylinder = cylinder_new(radii_mm[i], 1.2 * radii_mm[i], 120, "");
        g_autoptr(GPtrArray) pages = tapul_sheet_contact("One plate", 1, &cylinder->ground);
        g_autoptr(GArray) scales = scales_of(pages);
        ck_assert_uint_eq(pages->len, 1);
        check_pages(pages);
        ck_assert_double_le(g_array_index(scales, double, 0) * 1.2 * radii_mm[i], 297 - 2 * 17);
    }
}
END_TEST

START_TEST(the_same_plates_give_the_same_file) {
    g_autoptr(Cylinder) cylinder = cylinder_new(80, 160, 170, "");
    g_autoptr(GPtrArray) first = tapul_sheet_contact("Twice", 1, &cylinder->ground);
    g_autoptr(GPtrArray) second = tapul_sheet_contact("Twice", 1, &cylinder->ground);
    g_autofree char *a = page_as_svg(first->pdata[0]), *b = page_as_svg(second->pdata[0]);
    ck_assert_str_eq(a, b);
}
END_TEST

START_TEST(text_is_shortened_to_its_lines) {
    TapulType type = {.size_mm = 3};
    static const char text[] = "Gorget of a child, its front plate, with the lames of the neck";
    g_autofree char *whole = tapul_text_shortened(text, 500, 1, &type);
    g_autofree char *line = tapul_text_shortened(text, 40, 1, &type);
    ck_assert_str_eq(whole, text);
    ck_assert(g_str_has_suffix(line, "…"));
    ck_assert_double_le(tapul_page_text_width_mm(line, &type), 40);
}
END_TEST

/* --- The program --- */

static char *folder_of_lames(int n) {
    char *folder = new_folder();
    for (int i = 0; i < n; i++) {
        g_autofree char *name = g_strdup_printf("lame-%c.yaml", 'a' + (7 * i) % 26);
        g_autofree char *title =
            g_strdup_printf("Lame <%c> & its neighbour", 'a' + (7 * i) % 26);
        g_autofree char *text = g_strdup_printf(LAME, title, 40 + 10 * i);
        g_autofree char *path = write_file(folder, name, text);
    }
    return folder;
}

START_TEST(the_program_draws_a_folder_in_order_of_names) {
    g_autofree char *folder = folder_of_lames(3), *other = new_folder();
    static const char *const names[] = {"all.pdf", "all.svg", "all.png"};
    for (guint i = 0; i < G_N_ELEMENTS(names); i++) {
        g_autofree char *out = g_build_filename(other, names[i], NULL);
        g_autofree char *text = NULL, *errors = NULL;
        ck_assert_int_eq(run_program(&text, &errors, "plate", folder, "--contact-sheet", out,
                                     "--json", NULL),
                         0);
        g_autoptr(JsonNode) report = parse_report(text);
        JsonObject *root = json_node_get_object(report);
        ck_assert_str_eq(json_object_get_string_member(root, "schema"), "tapul/plate-report/1");
        JsonArray *plates = json_object_get_array_member(root, "plates");
        ck_assert_uint_eq(json_array_get_length(plates), 3);
        for (guint k = 0; k < 3; k++) {
            static const char letters[] = "aho";
            JsonObject *plate = json_array_get_object_element(plates, k);
            g_autofree char *file = g_strdup_printf("lame-%c.yaml", letters[k]);
            ck_assert(g_str_has_suffix(json_object_get_string_member(plate, "file"), file));
            ck_assert_double_eq_tol(json_object_get_double_member(plate, "height_mm"), 80,
                                    0.01);
            ck_assert(json_object_has_member(plate, "area_mm2"));
        }
        JsonArray *files = json_object_get_array_member(root, "files");
        ck_assert_uint_eq(json_array_get_length(files), 1);
        ck_assert(g_file_test(out, G_FILE_TEST_IS_REGULAR));
    }
    remove_folder(folder);
    remove_folder(other);
}
END_TEST

START_TEST(further_pages_of_pictures_are_numbered) {
    g_autofree char *folder = folder_of_lames(20), *other = new_folder();
    g_autofree char *out = g_build_filename(other, "all.svg", NULL);
    g_autofree char *second = g_build_filename(other, "all-2.svg", NULL);
    ck_assert_int_eq(run_program(NULL, NULL, "plate", folder, "--contact-sheet", out, NULL), 0);
    ck_assert(g_file_test(out, G_FILE_TEST_IS_REGULAR));
    ck_assert(g_file_test(second, G_FILE_TEST_IS_REGULAR));
    remove_folder(folder);
    remove_folder(other);
}
END_TEST

static void check_refusal(int status, const char *expected, const char *input,
                          const char *option, const char *out) {
    g_autofree char *errors = NULL, *text = NULL;
    ck_assert_int_eq(run_program(&text, &errors, "plate", input, option, out, NULL), status);
    ck_assert_str_eq(text, "");
    ck_assert_msg(strstr(errors, expected) != NULL, "'%s' does not say '%s'", errors, expected);
    ck_assert_ptr_eq(strchr(errors, '\n'), errors + strlen(errors) - 1);
    ck_assert(!out || !g_file_test(out, G_FILE_TEST_EXISTS));
}

START_TEST(bad_folders_are_one_line_and_write_nothing) {
    g_autofree char *folder = folder_of_lames(2), *other = new_folder();
    g_autofree char *plate = g_build_filename(folder, "lame-a.yaml", NULL);
    g_autofree char *out = g_build_filename(other, "all.pdf", NULL);
    g_autofree char *odd = g_build_filename(other, "all.gif", NULL);
    check_refusal(2, "is a folder", folder, NULL, NULL);
    check_refusal(2, "this is none", plate, "--contact-sheet", out);
    check_refusal(2, "all.gif", folder, "--contact-sheet", odd);
    check_refusal(1, "no plate", other, "--contact-sheet", out);
    g_autofree char *bad = write_file(folder, "zz.yaml", "tapul: plate/1\nodd: 1\nodder: 2\n");
    check_refusal(1, "zz.yaml:", folder, "--contact-sheet", out);
    remove_folder(folder);
    remove_folder(other);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("contact_sheet");
    TCase *tests = tcase_create("contact_sheet");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, all_plates_stand_at_one_scale_in_order);
    tcase_add_test(tests, a_large_plate_and_a_small_one_fit);
    tcase_add_test(tests, the_same_plates_give_the_same_file);
    tcase_add_test(tests, text_is_shortened_to_its_lines);
    tcase_add_test(tests, the_program_draws_a_folder_in_order_of_names);
    tcase_add_test(tests, further_pages_of_pictures_are_numbered);
    tcase_add_test(tests, bad_folders_are_one_line_and_write_nothing);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
