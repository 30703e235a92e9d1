/* The trace's words and its walk, on texts no renderer would write, and the first reading of an
 * SVG. */
#include "ink/attribute.h"
#include "ink/shade.h"
#include "ink/svg_source.h"
#include "ink/trace.h"

#include "prints_for_tests.h"

#include <stdlib.h>

static const TapulTracePage page = {.width_mm = 100, .height_mm = 50, .units_per_mm = 100};

static TapulTrace *read_trace(const char *elements) {
    g_autofree char *text =
        g_strdup_printf("<svg xmlns='http://www.w3.org/2000/svg' "
                        "xmlns:xlink='http://www.w3.org/1999/xlink'>%s</svg>",
                        elements);
    g_autoptr(GError) error = NULL;
    TapulTrace *trace = tapul_trace_read(text, strlen(text), &page, &error);
    ck_assert_msg(trace != NULL, "%s", error ? error->message : "");
    return trace;
}

/* SVG 1.1, 7.6: what each transform does to the point (2, 3). */
static const struct {
    const char *text;
    double x, y;
} transforms[] = {
    {"", 2, 3},
    {"translate(10)", 12, 3},
    {"translate(10,20)", 12, 23},
    {"scale(2)", 4, 6},
    {"scale(2 -1)", 4, -3},
    {"rotate(90)", -3, 2},
    {"rotate(180 1 1)", 0, -1},
    {"skewX(45)", 5, 3},
    {"skewY(45)", 2, 5},
    {"matrix(1,2,3,4,5,6)", 16, 22},
    {" translate(10 0), scale(2) ", 14, 6},
    {"scale(2)translate(10 0)", 24, 6},
};

START_TEST(transforms_do_what_svg_says) {
    cairo_matrix_t matrix;
    ck_assert(tapul_attribute_matrix(transforms[_i].text, &matrix));
    double x = 2, y = 3;
    cairo_matrix_transform_point(&matrix, &x, &y);
    ck_assert_double_eq_tol(x, transforms[_i].x, 1e-12);
    ck_assert_double_eq_tol(y, transforms[_i].y, 1e-12);
}
END_TEST

START_TEST(wrong_transforms_are_refused) {
    static const char *const wrong[] = {"matrix(1,2,3)",  "turn(3)",     "scale",
                                        "scale(",         "scale(1",     "scale()",
                                        "translate(nan)", "scale(1e99)", "rotate(0x10)"};
    cairo_matrix_t matrix;
    ck_assert(!tapul_attribute_matrix(wrong[_i], &matrix));
}
END_TEST

START_TEST(wrong_path_data_are_refused) {
    static const char *const wrong[] = {"L 1 1",
                                        "M 1",
                                        "M 1 1 C 1 1 2 2 3",
                                        "M 1 1 A 1 1 0 0 0 2 2",
                                        "M inf 1",
                                        "M 1 1 L 1e99 1",
                                        "Z",
                                        "m 1 1"};
    cairo_matrix_t identity;
    cairo_matrix_init_identity(&identity);
    g_autoptr(TapulPath) path = tapul_path_new();
    ck_assert(!tapul_attribute_path(wrong[_i], &identity, path));
}
END_TEST

START_TEST(styles_change_only_what_they_name) {
    TapulStyle style = tapul_style_defaults();
    tapul_style_apply(
        &style,
        "fill:rgb(100%,50%,0%);stroke-width:3;stroke-dasharray:1,2,3;nonsense;:;stroke:none");
    ck_assert_double_eq(style.fill.red, 1);
    ck_assert_double_eq(style.fill.green, 0.5);
    ck_assert_double_eq(style.stroke_width, 3);
    ck_assert_uint_eq(style.dashes, 3);
    ck_assert_int_eq(style.stroke.kind, TAPUL_PAINT_NONE);
    tapul_style_apply(&style, "stroke:url(#linear0);fill-opacity:0.25");
    ck_assert_int_eq(style.stroke.kind, TAPUL_PAINT_SERVER);
    ck_assert_str_eq(style.stroke.server, "linear0");
    ck_assert_double_eq(style.fill.opacity, 0.25);
    ck_assert_double_eq(style.fill.red, 1);
    ck_assert_double_eq(style.stroke_width, 3);
}
END_TEST

START_TEST(groups_that_use_themselves_end) {
    const char *text = "<svg><g id='a'><use href='#b'/><use href='#b'/></g>"
                       "<g id='b'><use href='#a'/><use href='#a'/></g></svg>";
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(tapul_trace_read(text, strlen(text), &page, &error));
    ck_assert(g_error_matches(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SYNTAX));
}
END_TEST

START_TEST(what_is_no_trace_is_an_error) {
    static const char *const texts[] = {"", "<", "<svg>", "plain"};
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(tapul_trace_read(texts[_i], strlen(texts[_i]), &page, &error));
    ck_assert(g_error_matches(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SYNTAX));
}
END_TEST

START_TEST(a_colour_poured_through_a_mask_is_the_masks_shapes) {
    g_autoptr(TapulTrace) trace = read_trace(
        "<defs><g id='shape'><path style='fill:rgb(100%,100%,100%)' d='M 100 100 L 900 100 L "
        "900 900 Z'/></g>"
        "<mask id='m'><g><use xlink:href='#shape'/></g></mask></defs>"
        "<rect width='10000' height='5000' style='fill:rgb(0%,0%,0%)' mask='url(#m)'/>");
    ck_assert_uint_eq(trace->marks->len, 1);
    const TapulMark *mark = g_ptr_array_index(trace->marks, 0);
    ck_assert_double_eq(mark->grey, 0);
    ck_assert_double_eq_tol(fabs(tapul_path_area(mark->path)), 32, 1e-9);
}
END_TEST

START_TEST(operators_that_take_away_are_counted) {
    g_autoptr(TapulTrace) trace = read_trace(
        "<path comp-op='clear' d='M 0 0 L 900 0 L 900 900 Z'/>"
        "<path comp-op='multiply' style='fill:rgb(0%,0%,0%)' d='M 0 0 L 900 0 L 900 900 Z'/>");
    ck_assert_uint_eq(trace->marks->len, 1);
    ck_assert_str_eq(((TapulSkipped *)g_ptr_array_index(trace->skipped, 0))->what, "blending");
}
END_TEST

START_TEST(bitmap_letters_are_counted_as_such) {
    g_autoptr(TapulTrace) trace = read_trace("<defs><symbol id='glyph0-1'><image width='8' "
                                             "height='8' xlink:href='data:image/png;base64,'/>"
                                             "</symbol></defs><use xlink:href='#glyph0-1' "
                                             "x='100' y='100'/><use xlink:href='#glyph0-1' "
                                             "x='200' y='100'/>");
    const TapulSkipped *skipped = g_ptr_array_index(trace->skipped, 0);
    ck_assert_str_eq(skipped->what, "bitmap glyph");
    ck_assert_int_eq(skipped->count, 2);
    ck_assert_double_eq_tol(skipped->box_mm.min.x, 1, 1e-9);
    ck_assert_double_eq_tol(skipped->box_mm.max.x, 2.08, 1e-9);
}
END_TEST

START_TEST(shades_are_told_apart) {
    TapulPaint paint = {.kind = TAPUL_PAINT_COLOUR, .opacity = 1};
    double grey;
    ck_assert_int_eq(tapul_shade(&paint, 1, &grey), TAPUL_SHADE_INK);
    ck_assert_int_eq(tapul_shade(&paint, 0.1, &grey), TAPUL_SHADE_FAINT);
    ck_assert_int_eq(tapul_shade(&paint, 0, &grey), TAPUL_SHADE_INVISIBLE);
    paint.red = paint.green = paint.blue = 1;
    ck_assert_int_eq(tapul_shade(&paint, 1, &grey), TAPUL_SHADE_PAPER);
    ck_assert_int_eq(tapul_shade(&paint, 0.3, &grey), TAPUL_SHADE_FAINT);
    paint.kind = TAPUL_PAINT_NONE;
    ck_assert_int_eq(tapul_shade(&paint, 1, &grey), TAPUL_SHADE_INVISIBLE);
}
END_TEST

START_TEST(units_are_fine_but_never_overflow) {
    TapulTracePage small = {.width_mm = 5, .height_mm = 5},
                   usual = {.width_mm = 100, .height_mm = 140};
    TapulTracePage wide = {.width_mm = 20000, .height_mm = 100},
                   far_off = {.width_mm = 100, .height_mm = 100};
    ck_assert(tapul_trace_choose_units(&small, 0, NULL));
    ck_assert(tapul_trace_choose_units(&usual, 150, NULL));
    ck_assert(tapul_trace_choose_units(&wide, 0, NULL));
    ck_assert_double_eq(small.units_per_mm, 1000);
    ck_assert_double_eq(usual.units_per_mm, 100);
    ck_assert_double_eq(wide.units_per_mm, 100);
    ck_assert(tapul_trace_choose_units(&far_off, 600000, NULL));
    ck_assert_double_eq(far_off.units_per_mm, 10);
    g_autoptr(GError) error = NULL;
    ck_assert(!tapul_trace_choose_units(&far_off, 1e9, &error));
    ck_assert(g_error_matches(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SIZE));
}
END_TEST

START_TEST(letters_are_measured_before_they_are_set) {
    static const struct {
        const char *elements;
        double tallest;
    } cases[] = {
        {"<path d='M0 0'/>", 0},
        {"<text>a</text>", 12},
        {"<g font-size='20'><text>a</text></g>", 20},
        {"<g transform='scale(3)'><text font-size='2em'>a</text></g>", 24 * 9},
        {"<text style='fill:red;font-size: 30px'>a</text>", 30},
        {"<style>.a { font: bold 72pt/1 serif }</style><text class='a'>a</text>", 96},
        {"<text font-size='10'><tspan font-size='150%'>a</tspan></text>", 15},
    };
    for (guint i = 0; i < G_N_ELEMENTS(cases); i++) {
        g_autofree char *text = svg_around(cases[i].elements);
        g_autoptr(TapulSvgSource) source = tapul_svg_source_new(text, strlen(text), NULL);
        ck_assert_ptr_nonnull(source);
        ck_assert_double_eq_tol(source->tallest_text, cases[i].tallest, 1e-9);
    }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("trace");
    TCase *core = tcase_create("words and walk");
    tcase_set_timeout(core, 60);
    tcase_add_loop_test(core, transforms_do_what_svg_says, 0, (int)G_N_ELEMENTS(transforms));
    tcase_add_loop_test(core, wrong_transforms_are_refused, 0, 9);
    tcase_add_loop_test(core, wrong_path_data_are_refused, 0, 8);
    tcase_add_test(core, styles_change_only_what_they_name);
    tcase_add_test(core, groups_that_use_themselves_end);
    tcase_add_loop_test(core, what_is_no_trace_is_an_error, 0, 4);
    tcase_add_test(core, a_colour_poured_through_a_mask_is_the_masks_shapes);
    tcase_add_test(core, operators_that_take_away_are_counted);
    tcase_add_test(core, bitmap_letters_are_counted_as_such);
    tcase_add_test(core, shades_are_told_apart);
    tcase_add_test(core, units_are_fine_but_never_overflow);
    tcase_add_test(core, letters_are_measured_before_they_are_set);
    suite_add_tcase(suite, core);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
