/* How large a print is: sides given and left out, units of PDF pages, and sizes that are none.
 */
#include "prints_for_tests.h"

#include "ink/region.h"
#include "ink/tangle.h"

#include <stdlib.h>

#define LENGTH_TOLERANCE_MM 0.01

typedef struct {
    const char *attributes;
    double width_mm, height_mm;
    gboolean assumed;
} Size;

/* CSS 2.1, 10.3.2 and 10.6.2: a side that is auto follows the given one by the ratio; 96 px to
 * the inch: 4.3.2. All have viewBox='0 0 40 20'. */
static const Size sizes[] = {
    {"width='40mm'", 40, 20, FALSE},
    {"width='40mm' height='auto'", 40, 20, FALSE},
    {"width='40mm' height='100%'", 40, 20, FALSE},
    {"height='2cm'", 40, 20, FALSE},
    {"width='100%' height='20mm'", 40, 20, FALSE},
    {"style='width:4cm;height:auto'", 40, 20, FALSE},
    {"width='1in'", 25.4, 12.7, FALSE},
    {"width='80mm' height='40mm'", 80, 40, FALSE},
    {"width='96px'", 25.4, 12.7, TRUE},
    {"width='96'", 25.4, 12.7, TRUE},
    {"font-size='48' width='2em'", 25.4, 12.7, TRUE},
    {"", 40 * 25.4 / 96, 20 * 25.4 / 96, TRUE},
    {"width='100%' height='100%'", 40 * 25.4 / 96, 20 * 25.4 / 96, TRUE},
};

START_TEST(a_side_left_out_follows_the_view_box) {
    const Size *size = &sizes[_i];
    g_autofree char *text =
        g_strdup_printf("<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 40 20' %s>"
                        "<path d='M0 10H40' stroke='black'/></svg>",
                        size->attributes);
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulInk) ink = read_text(text, &error);
    ck_assert_msg(ink != NULL, "%s: %s", size->attributes, error ? error->message : "");
    ck_assert_double_eq_tol(ink->width_mm, size->width_mm, 1e-6);
    ck_assert_double_eq_tol(ink->height_mm, size->height_mm, 1e-6);
    ck_assert_double_eq_tol(ink->ink_length_mm, size->width_mm, LENGTH_TOLERANCE_MM);
    ck_assert_int_eq(ink->size_assumed, size->assumed);
}
END_TEST

/* A PDF of pages with a line of 100 units each, told apart by their entries. Without a table of
 * cross references, which readers make anew. */
static char *pdf_of(const char *const *entries) {
    static const char line[] = "10 20 m 110 20 l S";
    GString *text = g_string_new("%PDF-1.6\n1 0 obj <</Type/Catalog/Pages 2 0 R>> endobj\n");
    g_autoptr(GString) kids = g_string_new(NULL);
    int count = 0;
    for (; entries[count]; count++) {
        int number = 10 + 2 * count;
        g_string_append_printf(kids, "%d 0 R ", number);
        g_string_append_printf(
            text, "%d 0 obj <</Type/Page/Parent 2 0 R/Contents %d 0 R %s>> endobj\n", number,
            number + 1, entries[count]);
        g_string_append_printf(text, "%d 0 obj <</Length %d>>\nstream\n%s\nendstream\nendobj\n",
                               number + 1, (int)strlen(line), line);
    }
    g_string_append_printf(text,
                           "2 0 obj <</Type/Pages/Count %d/Kids[%s]>> endobj\n"
                           "trailer <</Root 1 0 R>>\n%%%%EOF\n",
                           count, kids->str);
    return g_string_free(text, FALSE);
}

typedef struct {
    const char *entries[3];
    double width_mm;  /* 0: refused */
    const char *said; /* in refusing */
} Page;

#define POINT_MM (25.4 / 72)
#define BOX      "/MediaBox[0 0 200 100]"

/* ISO 32000-1, table 30: UserUnit is the size of a unit in 1/72 inch, 1 where it is left out.
 */
static const Page pages[] = {
    {{BOX}, 200 * POINT_MM, NULL},
    {{BOX "/UserUnit 2"}, 400 * POINT_MM, NULL},
    {{BOX "/UserUnit 2.5", BOX "/UserUnit 2.50"}, 500 * POINT_MM, NULL},
    {{BOX "/UserUnit 2", BOX}, 0, "units (/UserUnit) from 1 to 2"},
    {{BOX "/UserUnit -1"}, 0, "/UserUnit '-1'"},
    {{BOX "/UserUnit 0"}, 0, "/UserUnit '0'"},
    {{BOX "/UserUnit 7 0 R"}, 0, "/UserUnit '7 0 R'"},
    {{"/MediaBox[0 0 612 792]"}, 612 * POINT_MM, NULL},
    {{"/MediaBox[200 100 0 0]"}, 200 * POINT_MM, NULL},
    {{"/MediaBox[0 0 0 0]"}, 0, "/MediaBox [0 0 0 0]"},
    {{"/MediaBox[0 0 200]"}, 0, "/MediaBox [0 0 200]"},
    {{"/MediaBox[a b c d]"}, 0, "/MediaBox [a b c d]"},
    {{"/MediaBox[0 0 1e9 1e9]"}, 0, "/MediaBox [0 0 1e9 1e9]"},
    {{"/MediaBox[0 0 1000000000 1000000000]"}, 0, "permitted: 0.01 to 20000 mm"},
    {{"/Rotate 0"}, 0, "no /MediaBox"},
};

START_TEST(a_pdf_page_has_the_size_it_says_or_none) {
    const Page *page = &pages[_i];
    g_autofree char *text = pdf_of(page->entries);
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulInk) ink = read_text(text, &error);
    ck_assert_msg((ink != NULL) == (page->width_mm > 0), "%s: %s", page->entries[0],
                  error ? error->message : "read");
    if (!ink) {
        ck_assert_int_eq(error->code, TAPUL_INK_ERROR_SIZE);
        ck_assert_msg(strstr(error->message, page->said) != NULL, "%s", error->message);
        ck_assert_ptr_null(strchr(error->message, '\n'));
        return;
    }
    double unit_mm = page->width_mm / (page->width_mm == 612 * POINT_MM ? 612 : 200);
    ck_assert_double_eq_tol(ink->width_mm, page->width_mm, 1e-6);
    ck_assert_double_eq_tol(ink->ink_length_mm, 100 * unit_mm, LENGTH_TOLERANCE_MM);
    ck_assert_double_eq_tol(mark_at(ink, 0)->width_mm, unit_mm, LENGTH_TOLERANCE_MM);
}
END_TEST

START_TEST(a_unit_packed_in_an_object_stream_is_found) {
    g_autoptr(TapulInk) ink = read_print("user-unit-packed.pdf");
    ck_assert_double_eq_tol(ink->width_mm, 400 * POINT_MM, 1e-6);
    ck_assert_double_eq_tol(ink->ink_length_mm, 200 * POINT_MM, LENGTH_TOLERANCE_MM);
}
END_TEST

START_TEST(an_area_drawn_in_dots_is_near_the_exact_one) {
    g_autoptr(TapulPath) path = tapul_path_new();
    g_autoptr(GRand) lots = g_rand_new_with_seed(3);
    for (int i = 0; i < 120; i++) {
        TapulVec2 corner = {g_rand_double_range(lots, 0, 80), g_rand_double_range(lots, 0, 30)};
        if (i == 0)
            tapul_path_move(path, corner);
        else
            tapul_path_line(path, corner);
    }
    tapul_path_close(path);
    g_autoptr(GPtrArray) rings = tapul_rings_new(path);
    TapulRegions regions = tapul_regions_begin();
    for (int even_odd = 0; even_odd < 2; even_odd++) {
        gboolean estimated;
        double exact = tapul_filled_area_mm2(&regions, path, even_odd, &estimated);
        ck_assert(!estimated);
        ck_assert_double_eq_tol(tapul_rings_coverage_mm2(rings, even_odd), exact,
                                0.005 * exact);
    }
    regions.work_left = 0;
    gboolean estimated;
    tapul_filled_area_mm2(&regions, path, FALSE, &estimated);
    ck_assert(estimated);
    tapul_regions_end(&regions);
}
END_TEST

/* A hatch of 30 lines over 30. */
START_TEST(crossings_are_counted) {
    g_autoptr(TapulPath) path = tapul_path_new();
    for (int i = 0; i < 60; i++) {
        double at = 1 + i % 30;
        tapul_path_move(path, i < 30 ? tapul_vec2(at, 0) : tapul_vec2(0, at));
        tapul_path_line(path, i < 30 ? tapul_vec2(at, 40) : tapul_vec2(40, at));
    }
    g_autoptr(GPtrArray) rings = tapul_rings_new(path);
    ck_assert_double_eq(tapul_rings_crossings(rings, 1e6), 900);
    ck_assert(isinf(tapul_rings_crossings(rings, 100)));
}
END_TEST

int main(void) {
    Suite *suite = suite_create("ink sizes");
    TCase *core = tcase_create("measuring");
    tcase_set_timeout(core, 60);
    tcase_add_loop_test(core, a_side_left_out_follows_the_view_box, 0,
                        (int)G_N_ELEMENTS(sizes));
    tcase_add_loop_test(core, a_pdf_page_has_the_size_it_says_or_none, 0,
                        (int)G_N_ELEMENTS(pages));
    tcase_add_test(core, a_unit_packed_in_an_object_stream_is_found);
    tcase_add_test(core, an_area_drawn_in_dots_is_near_the_exact_one);
    tcase_add_test(core, crossings_are_counted);
    suite_add_tcase(suite, core);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
