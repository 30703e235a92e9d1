/* Reading prints: true size, widths, curves, motifs, what is skipped, and what is refused. */
#include "prints_for_tests.h"

#include <stdlib.h>

/* What the product promises for lengths and widths. */
#define LENGTH_TOLERANCE_MM 0.01

/* tests/prints/ruler-*: a line of 100 mm from (10, 20), eleven ticks of 5 mm upward, all 0.25
 * mm wide. */
static void check_ruler(const char *name) {
    g_autoptr(TapulInk) ink = read_print(name);
    ck_assert_double_eq_tol(ink->width_mm, 120, LENGTH_TOLERANCE_MM);
    ck_assert_double_eq_tol(ink->height_mm, 40, LENGTH_TOLERANCE_MM);
    ck_assert_int_eq(ink->strokes, 12);
    ck_assert_int_eq(ink->fills, 0);
    for (guint i = 0; i < 12; i++) {
        const TapulMark *mark = mark_at(ink, i);
        ck_assert_double_eq_tol(tapul_path_length(mark->path), i == 0 ? 100 : 5,
                                LENGTH_TOLERANCE_MM);
        ck_assert_double_eq_tol(mark->width_mm, 0.25, LENGTH_TOLERANCE_MM);
        TapulBox box = tapul_path_box(mark->path);
        ck_assert_double_eq_tol(box.min.x, i == 0 ? 10 : 10 * i, LENGTH_TOLERANCE_MM);
        ck_assert_double_eq_tol(box.min.y, 20, LENGTH_TOLERANCE_MM);
        ck_assert_double_eq_tol(box.max.y, i == 0 ? 20 : 25, LENGTH_TOLERANCE_MM);
    }
}

START_TEST(rulers_in_any_unit_are_true_to_size) {
    check_ruler("ruler-mm.svg");
    check_ruler("ruler-px.svg"); /* 96 px to the inch: CSS 2.1, 4.3.2 */
    check_ruler("ruler-pt.svg"); /* 72 pt to the inch */
    check_ruler("ruler-mm.pdf"); /* made from the first by rsvg-convert 2.54 */
}
END_TEST

/* ISO 128-2:2020, table of line widths, mm. */
static void check_iso_widths(const char *name) {
    static const double widths_mm[] = {0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0};
    g_autoptr(TapulInk) ink = read_print(name);
    ck_assert_int_eq(ink->strokes, G_N_ELEMENTS(widths_mm));
    double area_mm2 = 0;
    for (guint i = 0; i < G_N_ELEMENTS(widths_mm); i++) {
        ck_assert_double_eq_tol(mark_at(ink, i)->width_mm, widths_mm[i], LENGTH_TOLERANCE_MM);
        area_mm2 += 50 * widths_mm[i];
    }
    ck_assert_double_eq_tol(ink->ink_length_mm, 450, 9 * LENGTH_TOLERANCE_MM);
    ck_assert_double_eq_tol(ink->ink_area_mm2, area_mm2, 0.05);
}

START_TEST(iso_128_line_widths_come_back) {
    check_iso_widths("iso-128-widths.svg");
    check_iso_widths("iso-128-widths.pdf");
}
END_TEST

/* The girth of an ellipse by the arithmetic-geometric mean (Gauss; Abramowitz & Stegun 17.6,
 * from memory). */
static double ellipse_girth(double a, double b) {
    double x = a, y = b, sum = a * a - 0.5 * (a * a - b * b), power = 0.5;
    while (fabs(x - y) > 1e-14 * x) {
        double next = (x + y) / 2, half = (x - y) / 2;
        y = sqrt(x * y);
        x = next;
        power *= 2;
        sum -= power * half * half;
    }
    return 2 * G_PI * sum / x;
}

START_TEST(ellipses_and_circles_have_their_girth_and_stay_curves) {
    g_autoptr(TapulInk) ink = read_print("ellipses.svg");
    /* Drawn as four cubics, which SVG's renderers take for arcs: 2.7e-4 of the radius off at
     * most (Goldapp 1991, from memory), so the girth is within 3e-4. */
    double girth = ellipse_girth(40, 24);
    /* Ramanujan 1914 for semi-axes 200 and 120: pi (a + b) (1 + 3 h / (10 + sqrt(4 - 3 h))), h
     * = 1/16; in fifths. */
    ck_assert_double_eq_tol(girth, 1021.079955 / 5, 1e-6);
    ck_assert_double_eq_tol(motif_named(ink, "ellipse")->length_mm, girth, 3e-4 * girth);
    ck_assert_double_eq_tol(motif_named(ink, "circle")->length_mm, 20 * G_PI, 3e-4 * 20 * G_PI);
    ck_assert_double_eq_tol(motif_named(ink, "disc")->length_mm, 5 * G_PI, 3e-4 * 5 * G_PI);
    for (guint i = 0; i < 3; i++) {
        ck_assert_int_eq(count_verbs(mark_at(ink, i)->path, TAPUL_VERB_CURVE), 4);
        ck_assert_int_le(count_verbs(mark_at(ink, i)->path, TAPUL_VERB_LINE), 0);
    }
    double disc_mm2 = ink->ink_area_mm2 - ink->ink_length_mm * 0.2;
    ck_assert_double_eq_tol(disc_mm2, 25 * G_PI, 0.03);
}
END_TEST

START_TEST(each_kind_of_drawing_becomes_ink_or_is_counted) {
    g_autoptr(TapulInk) ink = read_print("kinds.svg");
    /* An L of 75 mm2, alone and under an opacity: cairo's script surface fails on both. */
    ck_assert_double_eq_tol(motif_named(ink, "stepped")->length_mm, 20, LENGTH_TOLERANCE_MM);
    const TapulMotif *faded = motif_named(ink, "faded");
    ck_assert_int_eq(faded->fills, 1);
    ck_assert_int_eq(faded->strokes, 1);
    /* 320 mm wide, of which the page shows 20. */
    TapulBox far_box = motif_named(ink, "far")->box_mm;
    ck_assert_double_eq_tol(far_box.min.x, 0, 1e-6);
    ck_assert_double_eq_tol(far_box.max.x, 20, LENGTH_TOLERANCE_MM);
    /* Hatched with tiles of 2 mm: ten by five tiles, each with a line of 2 mm. */
    ck_assert_int_eq(motif_named(ink, "hatched")->strokes, 50);
    ck_assert_double_eq_tol(motif_named(ink, "hatched")->length_mm, 100, 50 * 1e-4);
    ck_assert_ptr_nonnull(motif_named(ink, "soft"));
    ck_assert_ptr_nonnull(motif_named(ink, "windowed"));
    ck_assert_ptr_null(motif_named(ink, "ghost"));
    ck_assert_ptr_null(motif_named(ink, "tone"));
    ck_assert_int_eq(skipped_count(ink, "transparency"), 2);
    ck_assert_int_eq(skipped_count(ink, "gradient"), 1);
    ck_assert_int_eq(skipped_count(ink, "picture"), 1);
    ck_assert_int_eq(skipped_count(ink, "filter"), 1);
    ck_assert_int_eq(skipped_count(ink, "mask"), 1);
    ck_assert_int_eq(skipped_count(ink, "external reference"), 1);
}
END_TEST

START_TEST(paper_covers_but_is_not_counted) {
    g_autoptr(TapulInk) ink = read_print("kinds.svg");
    const TapulMark *sheet = mark_at(ink, 0);
    ck_assert(sheet->paper);
    ck_assert_double_eq_tol(sheet->grey, 1, 1e-6);
    int paper = 0;
    for (guint i = 0; i < ink->marks->len; i++)
        paper += mark_at(ink, i)->paper;
    ck_assert_int_eq(paper, 1);
    ck_assert_int_eq(ink->strokes + ink->fills + paper, (int)ink->marks->len);
}
END_TEST

START_TEST(dashes_caps_and_joins_come_through) {
    g_autoptr(TapulInk) ink = read_elements(
        "<path d='M10 80H40' stroke='black' stroke-width='0.3' stroke-dasharray='2 "
        "1' stroke-dashoffset='0.5' stroke-linecap='round' stroke-linejoin='bevel'/>"
        "<path d='M10 80H40L20 20' fill='none' stroke='black' "
        "stroke-linecap='square' stroke-miterlimit='7'/>");
    const TapulMark *dashed = mark_at(ink, 0), *mitred = mark_at(ink, 1);
    ck_assert_uint_eq(dashed->dash_mm->len, 2);
    ck_assert_double_eq_tol(g_array_index(dashed->dash_mm, double, 0), 2, 1e-4);
    ck_assert_double_eq_tol(g_array_index(dashed->dash_mm, double, 1), 1, 1e-4);
    ck_assert_double_eq_tol(dashed->dash_offset_mm, 0.5, 1e-4);
    ck_assert_int_eq(dashed->cap, TAPUL_CAP_ROUND);
    ck_assert_int_eq(dashed->join, TAPUL_JOIN_BEVEL);
    ck_assert_int_eq(mitred->cap, TAPUL_CAP_SQUARE);
    ck_assert_int_eq(mitred->join, TAPUL_JOIN_MITRE);
    ck_assert_double_eq(mitred->mitre_limit, 7);
    ck_assert_ptr_null(mitred->dash_mm);
}
END_TEST

START_TEST(a_turned_and_scaled_pen_has_its_scaled_width) {
    g_autoptr(TapulInk) ink = read_elements(
        "<g transform='translate(50 50) rotate(33) scale(2)'>"
        "<path d='M0 0H10' stroke='black' stroke-width='0.25'/></g>"
        "<path transform='scale(4 1)' d='M2 20H10' stroke='black' stroke-width='0.25'/>");
    ck_assert_double_eq_tol(mark_at(ink, 0)->width_mm, 0.5, 1e-5);
    ck_assert_double_eq_tol(tapul_path_length(mark_at(ink, 0)->path), 20, 1e-3);
    ck_assert_double_eq_tol(mark_at(ink, 1)->width_mm, 0.5, 1e-5); /* the mean of 1 and 0.25 */
    ck_assert_int_eq(skipped_count(ink, "uneven pen's own width"), 1);
}
END_TEST

START_TEST(greys_are_the_luma_of_colours_over_white) {
    /* ITU-R BT.709-6, 3.2: 0.2126 R + 0.7152 G + 0.0722 B. */
    g_autoptr(TapulInk) ink = read_elements(
        "<path d='M0 10H10' stroke='#ff0000'/><path d='M0 20H10' stroke='#0000ff'/>"
        "<path d='M0 30H10' stroke='black' stroke-opacity='0.5'/>"
        "<g opacity='0.5'><path d='M0 40H10' stroke='black'/></g>");
    ck_assert_double_eq_tol(mark_at(ink, 0)->grey, 0.2126, 1e-3);
    ck_assert_double_eq_tol(mark_at(ink, 1)->grey, 0.0722, 1e-3);
    ck_assert_double_eq_tol(mark_at(ink, 2)->grey, 0.5, 0.5 / 255 + 1e-6);
    ck_assert_double_eq_tol(mark_at(ink, 3)->grey, 0.5, 0.5 / 255 + 1e-6);
}
END_TEST

START_TEST(transparent_white_stays_white) {
    g_autoptr(TapulInk) ink =
        read_elements("<path d='M0 10H10' stroke='black'/>"
                      "<rect width='5' height='50' fill='white' fill-opacity='0.7'/>");
    ck_assert_int_eq(ink->fills, 0);
    ck_assert(mark_at(ink, 1)->paper);
}
END_TEST

START_TEST(areas_follow_the_fill_rule) {
    /* A ring of two squares wound alike: 100 mm2 whole, 75 mm2 with its hole; and a bow tie of
     * two triangles. */
    g_autoptr(TapulInk) whole =
        read_elements("<path d='M0 0H10V10H0Z M2.5 2.5H7.5V7.5H2.5Z'/>");
    g_autoptr(TapulInk) holed =
        read_elements("<path fill-rule='evenodd' d='M0 0H10V10H0Z M2.5 2.5H7.5V7.5H2.5Z'/>");
    g_autoptr(TapulInk) tie = read_elements("<path d='M20 0L30 10V0L20 10Z'/>");
    ck_assert_double_eq_tol(whole->ink_area_mm2, 100, 1e-3);
    ck_assert_double_eq_tol(holed->ink_area_mm2, 75, 1e-3);
    ck_assert_double_eq_tol(tie->ink_area_mm2, 50, 1e-3);
}
END_TEST

START_TEST(letters_become_outlines) {
    g_autoptr(TapulInk) ink =
        read_elements("<text x='5' y='50' font-size='4'>HI</text>"
                      "<text x='5' y='90' font-size='40' font-weight='bold'>HI</text>");
    ck_assert_int_gt(ink->fills, 0);
    ck_assert_int_eq(skipped_count(ink, "text"), 0);
    TapulBox box = tapul_path_box(mark_at(ink, ink->marks->len - 1)->path);
    /* A capital is 0.6 to 0.8 of its size high in any face (common practice, no source). */
    ck_assert_double_gt(box.max.y - box.min.y, 24);
    ck_assert_double_lt(box.max.y - box.min.y, 32);
}
END_TEST

START_TEST(a_small_view_box_is_as_true_as_a_large_one) {
    static const double sides[] = {1, 0.01, 1e6};
    for (guint i = 0; i < G_N_ELEMENTS(sides); i++) {
        double side = sides[i];
        g_autofree char *text = g_strdup_printf(
            "<svg xmlns='http://www.w3.org/2000/svg' width='80mm' height='80mm' viewBox='0 0 "
            "%g %g'>"
            "<g id='line'><path d='M0 0L%g %g' stroke='black' stroke-width='%g'/></g></svg>",
            side, side, side, side, side / 100);
        g_autoptr(TapulInk) ink = read_text(text, NULL);
        ck_assert_ptr_nonnull(ink);
        ck_assert_double_eq_tol(ink->ink_length_mm, 80 * sqrt(2), LENGTH_TOLERANCE_MM);
        ck_assert_double_eq_tol(mark_at(ink, 0)->width_mm, 0.8, 1e-4);
        ck_assert_ptr_nonnull(motif_named(ink, "line"));
    }
}
END_TEST

START_TEST(a_stroke_from_far_off_the_page_is_cut_at_its_edge) {
    g_autoptr(TapulInk) ink = read_elements("<path d='M-200000 50H200000' stroke='black'/>");
    ck_assert_double_eq_tol(ink->ink_length_mm, 100, LENGTH_TOLERANCE_MM);
    g_autoptr(TapulInk) half = read_elements("<path d='M50 20H900' stroke='black'/>");
    ck_assert_double_eq_tol(half->ink_length_mm, 50, LENGTH_TOLERANCE_MM);
    g_autoptr(TapulInk) border =
        read_elements("<rect width='100' height='100' fill='none' stroke='black'/>");
    ck_assert_double_eq_tol(border->ink_length_mm, 400, LENGTH_TOLERANCE_MM);
}
END_TEST

START_TEST(a_pdf_is_read_as_its_crop_box_and_turn_say) {
    /* A page of 100 x 50 mm within a larger one, turned by 90 degrees; on it a hairline and a
     * line of 100 pt, 10 pt from the crop box's edges, a square of 50 pt under a blending, five
     * letters, and a line of 150 pt of which a clip shows 50. */
    g_autoptr(TapulInk) ink = read_print("cropped-and-turned.pdf");
    const double point_mm = 25.4 / 72;
    ck_assert_double_eq_tol(ink->width_mm, 50, 1e-4);
    ck_assert_double_eq_tol(ink->height_mm, 100, 1e-4);
    ck_assert_int_eq(ink->strokes, 3);
    ck_assert_int_eq(ink->fills, 6);
    TapulBox hairline = tapul_path_box(mark_at(ink, 0)->path);
    ck_assert_double_eq_tol(hairline.min.x, 10 * point_mm, LENGTH_TOLERANCE_MM);
    ck_assert_double_eq_tol(hairline.max.y, 100 - 10 * point_mm, LENGTH_TOLERANCE_MM);
    ck_assert_double_eq_tol(hairline.max.y - hairline.min.y, 100 * point_mm,
                            LENGTH_TOLERANCE_MM);
    ck_assert_double_eq_tol(mark_at(ink, 0)->width_mm, 25.4 / 600, 1e-6);
    ck_assert_int_eq(skipped_count(ink, "hairline's own width"), 1);
    ck_assert_double_eq_tol(mark_at(ink, 1)->width_mm, point_mm, LENGTH_TOLERANCE_MM);
    ck_assert_double_eq_tol(fabs(tapul_path_area(mark_at(ink, 2)->path)), pow(50 * point_mm, 2),
                            0.1);
    ck_assert_double_eq_tol(tapul_path_length(mark_at(ink, 8)->path), 50 * point_mm,
                            LENGTH_TOLERANCE_MM);
}
END_TEST

START_TEST(the_plate_mark_scales_the_print) {
    g_autofree char *path = print_path("ruler-mm.svg");
    TapulInkOptions options = tapul_ink_options_defaults();
    options.plate_mark_width_mm = 240;
    options.plate_mark_height_mm = 80.8; /* 1 % more than the page's proportions ask */
    g_autoptr(TapulInk) ink = tapul_ink_read(path, &options, NULL);
    ck_assert_ptr_nonnull(ink);
    ck_assert_double_eq(ink->width_mm, 240);
    ck_assert_double_eq(ink->height_mm, 80.8);
    ck_assert_double_eq_tol(tapul_path_length(mark_at(ink, 0)->path), 200, LENGTH_TOLERANCE_MM);
    ck_assert_double_eq_tol(tapul_path_length(mark_at(ink, 1)->path), 10.1,
                            LENGTH_TOLERANCE_MM);
    ck_assert_double_eq_tol(mark_at(ink, 0)->width_mm, 0.25 * sqrt(2 * 2.02), 1e-4);
    options.plate_mark_height_mm = 82;
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(tapul_ink_read(path, &options, &error));
    ck_assert(g_error_matches(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SIZE));
    ck_assert_ptr_nonnull(strstr(error->message, "permitted: 2 %"));
}
END_TEST

START_TEST(curves_that_were_given_are_given_back) {
    g_autoptr(TapulInk) ink = read_elements(
        "<path d='M10 10C20 0 30 20 40 10S60 20 70 10' fill='none' stroke='black'/>");
    const TapulPath *path = mark_at(ink, 0)->path;
    static const TapulVec2 expected[] = {{10, 90},  {20, 100}, {30, 80}, {40, 90},
                                         {50, 100}, {60, 80},  {70, 90}};
    ck_assert_int_eq(count_verbs(path, TAPUL_VERB_CURVE), 2);
    ck_assert_uint_eq(path->points->len, G_N_ELEMENTS(expected));
    for (guint i = 0; i < G_N_ELEMENTS(expected); i++)
        /* cairo's rounding: 1/256 of 1/100 mm. */
        ck_assert_double_lt(
            tapul_vec2_distance(g_array_index(path->points, TapulVec2, i), expected[i]), 1e-4);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("ink");
    TCase *core = tcase_create("reading");
    tcase_set_timeout(core, 60);
    tcase_add_test(core, rulers_in_any_unit_are_true_to_size);
    tcase_add_test(core, iso_128_line_widths_come_back);
    tcase_add_test(core, ellipses_and_circles_have_their_girth_and_stay_curves);
    tcase_add_test(core, each_kind_of_drawing_becomes_ink_or_is_counted);
    tcase_add_test(core, paper_covers_but_is_not_counted);
    tcase_add_test(core, dashes_caps_and_joins_come_through);
    tcase_add_test(core, a_turned_and_scaled_pen_has_its_scaled_width);
    tcase_add_test(core, greys_are_the_luma_of_colours_over_white);
    tcase_add_test(core, transparent_white_stays_white);
    tcase_add_test(core, areas_follow_the_fill_rule);
    tcase_add_test(core, letters_become_outlines);
    tcase_add_test(core, a_small_view_box_is_as_true_as_a_large_one);
    tcase_add_test(core, a_stroke_from_far_off_the_page_is_cut_at_its_edge);
    tcase_add_test(core, a_pdf_is_read_as_its_crop_box_and_turn_say);
    tcase_add_test(core, the_plate_mark_scales_the_print);
    tcase_add_test(core, curves_that_were_given_are_given_back);
    suite_add_tcase(suite, core);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
