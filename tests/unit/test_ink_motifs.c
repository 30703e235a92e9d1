/* Motifs: which groups of an SVG are named, in what order, and how scans and PDFs are named by
 * polygons. */
#include "prints_for_tests.h"

#include <stdlib.h>

#define LINE(y) "<path d='M0 " y "H10' stroke='black'/>"

static void check_motifs(const TapulInk *ink, const char *const *expected) {
    guint n = g_strv_length((char **)expected);
    ck_assert_uint_eq(ink->motifs->len, n);
    for (guint i = 0; i < n; i++)
        ck_assert_str_eq(((TapulMotif *)g_ptr_array_index(ink->motifs, i))->id, expected[i]);
}

START_TEST(outermost_named_groups_are_motifs_in_drawing_order) {
    g_autoptr(TapulInk) ink = read_elements(LINE("1") "<g id='heron'><g id='eye'>" LINE(
        "2") "</g></g>" LINE("3") "<g><g id='reeds'>" LINE("4") LINE("5") "</g></g>");
    check_motifs(ink, (const char *const[]){"heron", "reeds", NULL});
    static const int expected[] = {-1, 0, -1, 1, 1};
    for (guint i = 0; i < G_N_ELEMENTS(expected); i++) {
        ck_assert_int_eq(mark_at(ink, i)->motif, expected[i]);
        ck_assert_double_eq_tol(tapul_path_box(mark_at(ink, i)->path).min.y, 99.0 - i, 1e-3);
    }
    ck_assert_double_eq_tol(motif_named(ink, "reeds")->length_mm, 20, 0.01);
    ck_assert_int_eq(motif_named(ink, "reeds")->strokes, 2);
}
END_TEST

START_TEST(a_group_that_holds_everything_is_a_wrapper) {
    g_autoptr(TapulInk) layered =
        read_elements("<g id='layer'><g id='inner-layer'><g id='heron'>" LINE(
            "1") "</g><g id='reeds'>" LINE("2") "</g></g></g>");
    check_motifs(layered, (const char *const[]){"heron", "reeds", NULL});
    g_autoptr(TapulInk) alone = read_elements("<g id='heron'>" LINE("1") "</g>");
    check_motifs(alone, (const char *const[]){"heron", NULL});
    g_autoptr(TapulInk) not_all =
        read_elements(LINE("9") "<g id='layer'><g id='heron'>" LINE("1") "</g></g>");
    check_motifs(not_all, (const char *const[]){"layer", NULL});
}
END_TEST

START_TEST(a_layer_moved_and_turned_keeps_its_motifs) {
    g_autoptr(TapulInk) ink = read_print("layers.svg");
    check_motifs(ink, (const char *const[]){"heron", "reeds", NULL});
    /* A line of 10 under a scale of 1/2, and a disc of radius 1 whose girth counts by half. */
    ck_assert_double_eq_tol(motif_named(ink, "heron")->length_mm, 5 + G_PI / 2, 0.005);
    ck_assert_double_eq_tol(motif_named(ink, "reeds")->length_mm, 10, 0.005);
    ck_assert_int_eq(ink->strokes, 5);
}
END_TEST

START_TEST(one_name_twice_is_one_motif) {
    g_autoptr(TapulInk) ink = read_elements(
        "<g id='bird'>" LINE("1") "</g>" LINE("2") "<g id='bird'>" LINE("3") "</g>");
    check_motifs(ink, (const char *const[]){"bird", NULL});
    ck_assert_int_eq(motif_named(ink, "bird")->strokes, 2);
}
END_TEST

START_TEST(style_sheets_cannot_hide_the_signs) {
    g_autoptr(TapulInk) ink =
        read_elements("<style>path { display: inline; stroke: red !important; stroke-width: "
                      "0.1px !important; "
                      "stroke-miterlimit: 3 !important } g { opacity: 0.5 }</style>"
                      "<g id='a'>" LINE("1") "</g><g clip-path='url(#c)' id='b'>" LINE(
                          "2") "</g>"
                               "<clipPath id='c'><rect width='5' height='50'/></clipPath>");
    check_motifs(ink, (const char *const[]){"a", "b", NULL});
    ck_assert_int_eq(ink->strokes, 2);
    ck_assert_double_eq_tol(ink->ink_length_mm, 15, 0.01);
}
END_TEST

START_TEST(signs_are_never_ink) {
    g_autoptr(TapulInk) ink = read_elements("<g id='a' display='none'>" LINE("1") "</g>" LINE(
        "2") "<switch><g id='b'>" LINE("3") "</g></switch>");
    ck_assert_int_eq(ink->strokes, 2);
    ck_assert_uint_eq(ink->motifs->len, 0);
}
END_TEST

START_TEST(polygons_name_what_lies_mostly_inside) {
    g_autoptr(TapulInk) ink =
        read_elements("<path d='M10 50H30' stroke='black'/><path d='M10 52H52' "
                      "stroke='black'/><rect x='10' y='60' width='5' "
                      "height='5'/><rect x='28' y='60' width='12' height='5'/><g "
                      "id='named'><path d='M10 54H30' stroke='black'/></g>");
    static const TapulVec2 left[] = {{5, 20}, {30, 20}, {30, 60}, {5, 60}};
    static const TapulVec2 right[] = {{60, 20}, {30, 20}, {30, 60}, {60, 60}};
    tapul_ink_name_motif(ink, "left", left, 4);
    tapul_ink_name_motif(ink, "right", right, 4);
    check_motifs(ink, (const char *const[]){"left", "right", "named", NULL});
    const TapulMotif *a = motif_named(ink, "left"), *b = motif_named(ink, "right");
    ck_assert_int_eq(a->strokes, 1); /* 20 of 20 mm */
    ck_assert_int_eq(b->strokes, 1); /* 22 of 42 mm */
    ck_assert_int_eq(a->fills, 1);
    ck_assert_int_eq(b->fills, 1); /* 50 of 60 mm2 */
    ck_assert_int_eq(motif_named(ink, "named")->strokes, 1);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("motifs");
    TCase *core = tcase_create("naming");
    tcase_set_timeout(core, 60);
    tcase_add_test(core, outermost_named_groups_are_motifs_in_drawing_order);
    tcase_add_test(core, a_group_that_holds_everything_is_a_wrapper);
    tcase_add_test(core, a_layer_moved_and_turned_keeps_its_motifs);
    tcase_add_test(core, one_name_twice_is_one_motif);
    tcase_add_test(core, style_sheets_cannot_hide_the_signs);
    tcase_add_test(core, signs_are_never_ink);
    tcase_add_test(core, polygons_name_what_lies_mostly_inside);
    suite_add_tcase(suite, core);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
