/* Border pages: repeats as long on the page as the scale says, the straightest stretch and the
 * tightest turn where they are, what is said of them true, and texts clear on every paper. */
#include "comparisons_for_tests.h"
#include "sheet/comparison_border.h"

#define TRUE_SCALE 0.001 /* of a length on the page: the share by which it may be off */

/* Four repeats of 20 mm, each a block of 8 mm with a foot, on 80 x 10 mm. */
#define REPEAT_MM 20.0
#define BLOCK_MM  8.0
#define BLOCK(x)                                                                               \
    "<rect x='" x "' y='2' width='8' height='5'/><rect x='" x "' y='7' width='2' height='1'/>"
#define BORDER_SVG                                                                             \
    "<svg xmlns='http://www.w3.org/2000/svg' width='80mm' height='10mm' viewBox='0 0 80 10'>"  \
    "<g id='blocks'>" BLOCK("3") BLOCK("23") BLOCK("43") BLOCK("63") "</g></svg>"

/* A level cut of 200 mm, on a cylinder straight in the development. */
#define LEVEL                                                                                  \
    "{ print: sheet, rule: bordered, along: [{ across_mm: -100, up_mm: 150 }, "                \
    "{ across_mm: 100, up_mm: 150 }], repeat_mm: 20"
/* Up the metal, and level from there to the right. */
#define BENT                                                                                   \
    "{ print: sheet, rule: bordered, along: [{ across_mm: -80, up_mm: 60 }, "                  \
    "{ across_mm: -80, up_mm: 200 }, { across_mm: 100, up_mm: 200 }], repeat_mm: 20"
#define EDGE "{ print: sheet, rule: bordered, along: edge, repeat_mm: 20"

static TestCase *laid(const char *first, const char *more) {
    g_autofree char *yaml = g_strdup_printf("layings:\n  - %s }\n%s", first, more);
    return test_case_new(BORDER_SVG, yaml);
}

static TapulLayingRun run_of(const TestCase *made) {
    return tapul_laying_run(((const TapulCaseLaid *)made->laid->pdata[0])->map);
}

/* --- Scale --- */

/* The blocks of one strip on a level line through them, by the pixels. */
static GArray *blocks_of(const TapulPage *page, const Rendered *rendered, const char *group,
                         double up) {
    TapulBox ink = box_of_group(page, group, ANY_COLOUR);
    double y = ink.min.y + up * (ink.max.y - ink.min.y);
    return dark_runs(rendered, y, ink.min.x - 0.5, ink.max.x + 0.5, MIDDLE_DARKNESS);
}

static TapulVec2 block(const GArray *blocks, guint i) {
    return g_array_index(blocks, TapulVec2, i);
}

START_TEST(repeats_are_as_long_in_pixels_as_the_scale_says) {
    g_autoptr(TestCase) made = laid(LEVEL, "");
    g_autoptr(GPtrArray) pages = test_case_pages(made, _i, TAPUL_LAYOUT_BORDER);
    ck_assert_uint_eq(pages->len, 1);
    const TapulPage *page = pages->pdata[0];
    double scale = scale_said(page);
    g_auto(Rendered) rendered = render_page(page);
    /* The strip is 10 mm high; its blocks lie from 3 to 8 mm up. */
    g_autoptr(GArray) blocks = blocks_of(page, &rendered, "border-print", 0.5);
    ck_assert_uint_ge(blocks->len, 2);
    ck_assert_uint_le(blocks->len, 3);
    for (guint i = 0; i < blocks->len; i++) {
        double width = block(blocks, i).y - block(blocks, i).x;
        /* A repeat is long enough to be true to a part of a pixel; a block to half a one. */
        ck_assert_double_eq_tol(width, scale * BLOCK_MM, 0.5 / rendered.per_mm);
        if (i > 0)
            ck_assert_double_eq_tol(block(blocks, i).x - block(blocks, i - 1).x,
                                    scale * REPEAT_MM, TRUE_SCALE * scale * REPEAT_MM);
    }
}
END_TEST

START_TEST(repeats_laid_are_as_long_as_over_the_metal) {
    g_autoptr(TestCase) made = laid(LEVEL, "");
    TapulLayingRun run = run_of(made);
    g_autoptr(TapulBorderLine) line = tapul_border_line_new(&made->comparison, 0);
    g_autoptr(TapulPage) page = tapul_page_new(200, 60, "A strip", "A strip");
    int first = tapul_border_straightest(line, 3);
    TapulBorderStretch stretch = tapul_border_stretch(line, first, 3, 4);
    double scale = 1.5, repeat_mm = scale * run.run_mm / run.repeats;
    tapul_border_draw_stretch(line, &stretch, page, tapul_vec2(20, 20), scale, "strip", NULL);
    g_auto(Rendered) rendered = render_page(page);
    double y = tapul_border_stretch_point(line, &stretch, first, tapul_vec2(20, 20), scale).y;
    g_autoptr(GArray) blocks = dark_runs(&rendered, y, 19, 180, MIDDLE_DARKNESS);
    ck_assert_uint_eq(blocks->len, 3);
    for (guint i = 1; i < 3; i++)
        ck_assert_double_eq_tol(block(blocks, i).x - block(blocks, i - 1).x, repeat_mm,
                                TRUE_SCALE * repeat_mm);
    ck_assert_double_eq_tol(tapul_border_stretch_point(line, &stretch, first + line->per_repeat,
                                                       tapul_vec2(20, 20), scale)
                                    .x -
                                20,
                            repeat_mm, TRUE_SCALE * repeat_mm);
}
END_TEST

START_TEST(dimension_spans_what_it_measures) {
    g_autoptr(TapulPage) page = tapul_page_new(100, 40, "A dimension", "A dimension");
    TapulLeaf leaf = tapul_leaf(TAPUL_PAPER_A4, FALSE);
    tapul_border_dimension(page, &leaf, tapul_vec2(20, 30), 47, "47 mm");
    g_auto(Rendered) rendered = render_page(page);
    /* Above its line its two ends are all there is. */
    double ends_top_mm = 30 - 0.7 * leaf.label_mm;
    g_autoptr(GArray) ends = dark_runs(&rendered, ends_top_mm, 10, 90, 0.3);
    ck_assert_uint_eq(ends->len, 2);
    double middle[2];
    for (guint i = 0; i < 2; i++)
        middle[i] = (block(ends, i).x + block(ends, i).y) / 2;
    ck_assert_double_eq_tol(middle[1] - middle[0], 47, TRUE_SCALE * 47);
    ck_assert_double_ge(30 - tapul_border_dimension_mm(&leaf), 20);
}
END_TEST

/* --- Places --- */

START_TEST(straightest_stretch_keeps_off_a_bend_and_the_tightest_turn_is_there) {
    g_autoptr(TestCase) made = laid(BENT, "");
    g_autoptr(TapulBorderLine) line = tapul_border_line_new(&made->comparison, 0);
    double turn_rad;
    int first = tapul_border_straightest(line, 2), at = tapul_border_tightest(line, &turn_rad);
    ck_assert_int_ge(first, 0);
    const TapulBorderPoint *from = tapul_border_point(line, first);
    const TapulBorderPoint *to = tapul_border_point(line, first + 2 * line->per_repeat);
    ck_assert_double_eq_tol(to->turned_rad, from->turned_rad, 0.01);
    /* The corner of the line lies at -80, 200 over the metal; the development's x and y there.
     */
    TapulSpot spot;
    ck_assert(tapul_plate_spot_from_tape(made->question->plate, -80, 200, &spot, NULL));
    TapulVec2 corner = tapul_development_point_mm(made->question->development, spot);
    ck_assert_int_ge(at, 0);
    ck_assert_double_le(tapul_vec2_distance(tapul_border_point(line, at)->developed_mm, corner),
                        10);
    ck_assert_double_gt(turn_rad, 45 * G_PI / 180);
}
END_TEST

START_TEST(straight_border_has_no_corner_and_a_looped_one_has) {
    double turn_rad;
    g_autoptr(TestCase) made = laid(LEVEL, "");
    g_autoptr(TapulBorderLine) level = tapul_border_line_new(&made->comparison, 0);
    tapul_border_tightest(level, &turn_rad);
    ck_assert_double_lt(turn_rad, 0.01);
    g_autoptr(TestCase) round = laid(EDGE, "");
    g_autoptr(TapulBorderLine) edge = tapul_border_line_new(&round->comparison, 0);
    int at = tapul_border_tightest(edge, &turn_rad);
    ck_assert_double_gt(turn_rad, 45 * G_PI / 180);
    /* The plate is a rectangle of 170 degrees by 300 mm. */
    TapulVec2 corner = {85 * G_PI / 180 * TEST_RADIUS_MM, 150};
    TapulVec2 place = tapul_border_point(edge, at)->developed_mm;
    ck_assert_double_eq_tol(fabs(place.x), corner.x, 20);
    ck_assert_double_eq_tol(fabs(place.y - 150), corner.y, 20);
}
END_TEST

START_TEST(strips_read_with_the_print_s_top_above) {
    g_autofree char *reversed = g_strconcat(LEVEL, ", reversed: true", NULL);
    g_autoptr(TestCase) made = laid(_i ? reversed : LEVEL, "");
    g_autoptr(TapulBorderLine) line = tapul_border_line_new(&made->comparison, 0);
    TapulBorderStretch stretch = tapul_border_stretch(line, 0, 2, 0);
    TapulVec2 low, high;
    ck_assert(tapul_border_rim(line, 5, 0, &low) && tapul_border_rim(line, 5, 1, &high));
    TapulVec2 up = tapul_vec2_turn(tapul_vec2_sub(high, low), stretch.turn_rad);
    ck_assert_double_gt(up.y, 9);
    ck_assert_double_eq_tol(up.x, 0, 0.01);
}
END_TEST

/* --- What is said --- */

START_TEST(what_is_said_of_a_border_is_what_its_run_is) {
    g_autoptr(TestCase) made = laid(EDGE, "");
    TapulLayingRun run = run_of(made);
    g_autoptr(GPtrArray) pages = test_case_pages(made, A4_LANDSCAPE, TAPUL_LAYOUT_BORDER);
    g_autofree char *said = words_said_by_page(pages->pdata[0]);
    g_autofree char *repeats = g_strdup_printf("%d repeats of", run.repeats);
    ck_assert_msg(strstr(said, repeats), "%s", said);
    ck_assert_msg(strstr(said, "20\u00a0mm"), "%s", said);
    /* Half the border and 3 mm, as laying.h says; and so it lies in the development, which is
     * the metal's own geometry here. */
    ck_assert_msg(strstr(said, "8\u00a0mm from the plate's edge"), "%s", said);
    g_autoptr(TapulBorderLine) line = tapul_border_line_new(&made->comparison, 0);
    TapulVec2 place = tapul_border_point(line, tapul_border_straightest(line, 3))->developed_mm;
    double across = 85 * G_PI / 180 * TEST_RADIUS_MM - fabs(place.x);
    double up = 150 - fabs(place.y - 150);
    ck_assert_double_eq_tol(fmin(across, up), 8, 0.05);
}
END_TEST

START_TEST(a_print_laid_along_two_lines_has_one_page) {
    g_autoptr(TestCase) made = laid(LEVEL, "  - " BENT ", reversed: true }\n");
    g_autoptr(GPtrArray) pages = test_case_pages(made, A4_LANDSCAPE, TAPUL_LAYOUT_BORDER);
    ck_assert_uint_eq(pages->len, 1);
    g_autofree char *said = words_said_by_page(pages->pdata[0]);
    ck_assert_msg(strstr(said, "The same print is laid a second time."), "%s", said);
    ck_assert_msg(strstr(said, "reversed"), "%s", said);
}
END_TEST

START_TEST(a_case_without_a_border_has_no_page) {
    g_autoptr(TestCase) made =
        laid("{ print: sheet, rule: developed, anchor: { x_mm: 0, y_mm: 150 }", "");
    ck_assert_ptr_null(test_case_pages(made, A4_LANDSCAPE, TAPUL_LAYOUT_BORDER));
}
END_TEST

/* --- Words --- */

START_TEST(texts_are_clear_on_every_paper) {
    g_autoptr(TestCase) made = laid(
        EDGE,
        "  - " BENT ", reversed: true }\n"
        "sheet:\n  captions: { border: \"The same border runs round all pieces of the\n"
        "    group, which shows the workshop and not that they were worn together.\" }\n"
        "  words: { as engraved: \"\u05db\u05e4\u05d9 \u05e9\u05e0\u05d7\u05e8\u05ea\" }\n");
    check_pages_on_every_paper(made, TAPUL_LAYOUT_BORDER, "border");
    g_autoptr(GPtrArray) pages = test_case_pages(made, A4_LANDSCAPE, TAPUL_LAYOUT_BORDER);
    g_autofree char *said = words_said_by_page(pages->pdata[0]);
    ck_assert_ptr_nonnull(strstr(said, "worn together."));
    ck_assert_ptr_null(strstr(said, "As engraved"));
}
END_TEST

START_TEST(texts_are_clear_in_the_demonstration) {
    static const char *const names[] = {"whole-scheme", "cannon", "gorget", "cuff"};
    g_autoptr(TestCase) made = test_case_of_demonstration(names[_i]);
    check_pages_on_every_paper(made, TAPUL_LAYOUT_BORDER, names[_i]);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("comparison_border");
    TCase *tests = tcase_create("border");
    tcase_set_timeout(tests, 240);
    tcase_add_loop_test(tests, repeats_are_as_long_in_pixels_as_the_scale_says, 0,
                        COMPARISON_FORMATS);
    tcase_add_test(tests, repeats_laid_are_as_long_as_over_the_metal);
    tcase_add_test(tests, dimension_spans_what_it_measures);
    tcase_add_test(tests, straightest_stretch_keeps_off_a_bend_and_the_tightest_turn_is_there);
    tcase_add_test(tests, straight_border_has_no_corner_and_a_looped_one_has);
    tcase_add_loop_test(tests, strips_read_with_the_print_s_top_above, 0, 2);
    tcase_add_test(tests, what_is_said_of_a_border_is_what_its_run_is);
    tcase_add_test(tests, a_print_laid_along_two_lines_has_one_page);
    tcase_add_test(tests, a_case_without_a_border_has_no_page);
    tcase_add_test(tests, texts_are_clear_on_every_paper);
    tcase_add_loop_test(tests, texts_are_clear_in_the_demonstration, 0, 4);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
