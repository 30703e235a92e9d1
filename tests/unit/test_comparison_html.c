/* The comparison's page for a browser, used in one: with keys, a mouse and a finger. */
#include "comparison_html_for_tests.h"

#include "base/picture.h"

static char *folder, *program;

/* Everything is made in a test's own process: threads of an earlier one would be missing there.
 */
static char *make_page(const char *name, const char *title, const char *more,
                       gboolean weighed) {
    g_autofree char *sources = g_build_filename(folder, name, NULL);
    ck_assert_int_eq(g_mkdir_with_parents(sources, 0700), 0);
    g_autofree char *file = g_strconcat(name, ".html", NULL);
    TestComparison made = test_comparison(sources, title, more);
    if (weighed)
        test_comparison_weigh(&made);
    char *path = test_comparison_page(&made, folder, file);
    test_comparison_clear(&made);
    return path;
}

static char *etched_page(void) {
    return make_page("etched", "A river on a cylinder", TEST_LAYING, FALSE);
}

static char *hebrew_page(void) {
    return make_page(
        "hebrew", "נהר על גליל",
        TEST_LAYING "sheet: { language: he, words: { print: הדפס, plate: לוח } }\n", FALSE);
}

static char *traced_page(void) {
    g_autofree char *tracing = write_file(
        folder, "tracing.svg",
        "<svg xmlns='http://www.w3.org/2000/svg' width='300mm' height='300mm' "
        "viewBox='0 0 300 300'><path d='M120 150L170 152L160 130' fill='none' stroke='black' "
        "stroke-width='0.5'/></svg>");
    return make_page("traced", "A river, weighed",
                     TEST_LAYING "found: { file: ../tracing.svg, frame: developed }\n", TRUE);
}

static void make_folder(void) {
    folder = new_folder();
    program = browser_or_skip("test_comparison_html");
}

static void remove_all(void) {
    remove_folder(folder);
    g_free(folder);
    g_free(program);
}

static void press_times(Browser *browser, const char *key, int times) {
    for (int i = 0; i < times; i++)
        browser_press(browser, key);
}

static void check_text(Browser *browser, const char *expression, const char *expected) {
    g_autofree char *text = browser_text(browser, expression);
    ck_assert_msg(strcmp(text, expected) == 0, "%s is '%s', not '%s'", expression, text,
                  expected);
}

/* --- The file --- */

START_TEST(names_nothing_outside_itself) {
    g_autofree char *text = NULL, *page = etched_page();
    ck_assert(g_file_get_contents(page, &text, NULL, NULL));
    ck_assert(strstr(text, "default-src 'none'; img-src data:; style-src 'sha256-") != NULL);
    ck_assert(strstr(text, "; script-src 'sha256-") != NULL);
    /* The one address is a name: that of SVG's elements, for the script to make some. */
    const char *address = strstr(text, "://");
    ck_assert(address != NULL && strstr(address + 1, "://") == NULL);
    ck_assert(g_str_has_prefix(address, "://www.w3.org/2000/svg'"));
}
END_TEST

START_TEST(without_a_laying_nothing_is_written) {
    g_autofree char *sources = g_build_filename(folder, "bare", NULL);
    g_autofree char *path = g_build_filename(folder, "bare.html", NULL);
    g_autoptr(GError) error = NULL;
    ck_assert_int_eq(g_mkdir(sources, 0700), 0);
    TestComparison made = test_comparison(sources, "Bare", "");
    TapulComparison comparison = {made.question, made.laid, NULL, NULL};
    ck_assert(!tapul_comparison_write_html(&comparison, path, &error));
    ck_assert(g_error_matches(error, TAPUL_COMPARISON_ERROR, TAPUL_COMPARISON_ERROR_NOTHING));
    ck_assert(g_str_has_prefix(error->message, made.question->path));
    ck_assert(!strchr(error->message, '\n'));
    ck_assert(!g_file_test(path, G_FILE_TEST_EXISTS));
    test_comparison_clear(&made);
}
END_TEST

START_TEST(hostile_texts_are_only_text) {
    const char *title = "</script><b id=bold>\\\" & ' <img src=x onerror=document.title=1>";
    const char *more = TEST_LAYING
        "sheet:\n  author: '\"><script>document.title=2</script>'\n"
        "  rights: '</style><i>'\n  motifs: { heron: '</title></svg><b id=bold>' }\n"
        "  words: { print: '\"><b id=bold>', motifs: '<b id=bold>' }\n"
        "  captions: { beside: '<b id=bold>' }\n";
    if (!program)
        return;
    g_autofree char *page = make_page("hostile", title, more, FALSE);
    g_autoptr(Browser) browser = browser_with(program, folder, page, 800, 600);
    check_text(browser, "document.title",
               "</script><b id=bold>\" & ' <img src=x onerror=document.title=1>");
    check_text(browser, "document.querySelector('h1').textContent",
               "</script><b id=bold>\" & ' <img src=x onerror=document.title=1>");
    ck_assert(browser_is(browser, "document.querySelector('#bold, img, i') === null"));
    check_text(browser, "document.querySelector('[data-print]').dataset.print",
               "\"><b id=bold>");
    ck_assert(browser_is(browser, "[...document.querySelectorAll('.motifs button')].some("
                                  "b => b.textContent === '</title></svg><b id=bold>')"));
    check_content(browser, page);
}
END_TEST

/* --- One over the other --- */

/* Where the path of a motif begins on the screen, in one of the layers. */
static TapulVec2 start_of(Browser *browser, const char *layer, int motif) {
    TapulVec2 at;
    for (int i = 0; i < 2; i++) {
        g_autofree char *expression =
            g_strdup_printf("(p => p.getPointAtLength(0).matrixTransform(p.getScreenCTM()).%s)"
                            "(document.querySelector('#%s-1 [data-motif=\"%d\"] path'))",
                            i == 0 ? "x" : "y", layer, motif);
        *(i == 0 ? &at.x : &at.y) = browser_number(browser, expression);
    }
    return at;
}

/* Reversed, turned and reduced as it is. Within 0.1 % of the figure, which is what the pages of
 * paper are held to as well. */
START_TEST(the_flat_print_lies_where_it_is_laid) {
    if (!program)
        return;
    g_autofree char *page = etched_page();
    g_autoptr(Browser) browser = browser_with(program, folder, page, 1280, 900);
    double width_px = browser_number(browser, "document.querySelector('.stage').clientWidth");
    ck_assert_double_gt(width_px, 500);
    for (int motif = 0; motif < 3; motif++) {
        TapulVec2 print = start_of(browser, "print", motif);
        TapulVec2 plate = start_of(browser, "plate", motif);
        ck_assert_double_le(tapul_vec2_distance(print, plate), 0.001 * width_px);
    }
    ck_assert_double_gt(
        tapul_vec2_distance(start_of(browser, "print", 0), start_of(browser, "print", 1)),
        0.2 * width_px);
}
END_TEST

static double seen_share(Browser *browser) {
    return browser_number(
        browser, "100 - parseFloat(getComputedStyle(document.querySelector('.stage .print'))"
                 ".clipPath.split(' ')[1])");
}

START_TEST(the_slider_goes_by_keys) {
    if (!program)
        return;
    g_autofree char *page = etched_page();
    g_autoptr(Browser) browser = browser_with(program, folder, page, 1280, 900);
    check_text(browser, "document.querySelector('.controls').checkVisibility() ? 'seen' : ''",
               "seen");
    browser_press(browser, "Tab");
    check_text(browser, "document.activeElement.type", "range");
    check_text(browser, "document.activeElement.ariaValueText", "50 % print, 50 % plate");
    ck_assert_double_eq_tol(seen_share(browser), 50, 0.01);
    press_times(browser, "ArrowRight", 3);
    check_text(browser, "document.activeElement.ariaValueText", "53 % print, 47 % plate");
    ck_assert_double_eq_tol(seen_share(browser), 53, 0.01);
    browser_press(browser, "Home");
    ck_assert_double_eq_tol(seen_share(browser), 0, 0.01);
    browser_press(browser, "End");
    check_text(browser, "document.activeElement.ariaValueText", "100 % print, 0 % plate");
    ck_assert_double_eq_tol(seen_share(browser), 100, 0.01);
    check_content(browser, page);
}
END_TEST

/* The line between print and plate stands where the thumb's middle is, and where the mouse is.
 */
START_TEST(the_figure_is_wiped_by_dragging) {
    if (!program)
        return;
    g_autofree char *page = etched_page();
    g_autoptr(Browser) browser = browser_with(program, folder, page, 1280, 900);
    browser_drag(browser, ".stage", 0.5, 0.25);
    check_text(browser, "document.querySelector('input').value", "25");
    ck_assert_double_eq_tol(seen_share(browser), 25, 0.01);
    ck_assert(browser_is(
        browser,
        "(([s, e]) => Math.abs(e.left + e.width / 2 - s.left - s.width / 4) < 1)("
        "['.stage', '.edge'].map(q => document.querySelector(q).getBoundingClientRect()))"));
    browser_drag(browser, "input[type=range]", 0.5, 0.9);
    ck_assert_double_gt(seen_share(browser), 85);
}
END_TEST

/* How many pixels of what is seen have the colour of print ink, #D55E00, within what a screen's
 * smoothing makes of a line's middle. */
static int vermilion_px(Browser *browser) {
    g_autofree char *path = g_build_filename(folder, "seen.png", NULL);
    browser_screenshot(browser, path);
    g_autoptr(TapulPixels) seen = tapul_pixels_load(path, NULL);
    int count = 0;
    ck_assert(seen != NULL && seen->bands >= 3);
    for (int i = 0; i < seen->width_px * seen->height_px; i++) {
        const guint8 *level = seen->data + (gsize)i * (gsize)seen->bands;
        count += abs(level[0] - 0xD5) < 24 && abs(level[1] - 0x5E) < 24 && level[2] < 32;
    }
    return count;
}

START_TEST(both_are_seen_at_once_on_request) {
    if (!program)
        return;
    g_autofree char *page = etched_page();
    g_autoptr(Browser) browser = browser_with(program, folder, page, 1280, 900);
    press_times(browser, "Tab", 2);
    check_text(browser, "document.activeElement.type", "checkbox");
    ck_assert_int_eq(vermilion_px(browser), 0);
    browser_press(browser, " ");
    /* The frame alone is over 1000 px of line, more than a pixel wide. */
    ck_assert_int_gt(vermilion_px(browser), 1000);
    check_text(browser, "getComputedStyle(document.querySelector('.stage .print')).clipPath",
               "none");
    check_text(browser, "getComputedStyle(document.querySelector('.stage .print')).filter",
               "url(\"#in-vermilion\")");
    ck_assert(browser_is(browser, "document.querySelector('input').disabled"));
    browser_press(browser, " ");
    ck_assert_double_eq_tol(seen_share(browser), 50, 0.01);
    ck_assert(browser_is(browser, "!document.querySelector('input').disabled"));
}
END_TEST

/* A cylinder's development keeps lengths: the print as laid lies where the flat one does. */
START_TEST(the_print_as_laid_lies_over_what_was_traced) {
    if (!program)
        return;
    g_autofree char *page = traced_page();
    g_autoptr(Browser) browser = browser_with(program, folder, page, 1280, 900);
    double width_px = browser_number(browser, "document.querySelector('.stage').clientWidth");
    for (int motif = 0; motif < 3; motif++)
        ck_assert_double_le(tapul_vec2_distance(start_of(browser, "print", motif),
                                                start_of(browser, "laid", motif)),
                            0.001 * width_px);
}
END_TEST

START_TEST(the_print_is_shown_as_laid_or_flat) {
    static const char *const layers[] = {"laid", "flat"};
    if (!program)
        return;
    g_autofree char *page = etched_page();
    g_autoptr(Browser) browser = browser_with(program, folder, page, 1280, 900);
    press_times(browser, "Tab", 3);
    check_text(browser, "document.activeElement.className", "flat");
    for (int flat = 0; flat < 2; flat++) {
        for (int i = 0; i < 2; i++) {
            g_autofree char *drawn = g_strdup_printf(
                "getComputedStyle(document.querySelector('.stage .%s')).opacity", layers[i]);
            g_autofree char *said = g_strdup_printf(
                "getComputedStyle(document.querySelector('figcaption .%s')).display",
                layers[i]);
            g_autofree char *hidden =
                g_strdup_printf("document.querySelector('.stage .%s').ariaHidden", layers[i]);
            check_text(browser, drawn, i == flat ? "1" : "0");
            check_text(browser, hidden, i == flat ? "false" : "true");
            check_text(browser, said, i == flat ? "block" : "none");
        }
        browser_press(browser, " ");
    }
    check_content(browser, page);
}
END_TEST

START_TEST(right_to_left_the_print_comes_from_the_right) {
    if (!program)
        return;
    g_autofree char *page = hebrew_page();
    g_autoptr(Browser) browser = browser_with(program, folder, page, 1280, 900);
    check_text(browser, "document.documentElement.lang", "he");
    check_text(browser, "document.dir", "rtl");
    browser_press(browser, "Tab");
    browser_press(browser, "Home");
    press_times(browser, "ArrowLeft", 20);
    check_text(browser, "document.activeElement.ariaValueText", "20 % הדפס, 80 % לוח");
    check_text(browser, "getComputedStyle(document.querySelector('.stage .print')).clipPath",
               "inset(0px 0px 0px 80%)");
    browser_drag(browser, ".stage", 0.5, 0.9);
    check_text(browser, "document.querySelector('input').value", "10");
    check_content(browser, page);
}
END_TEST

/* --- Motifs --- */

/* The name shown, and how many rings there are on print and plate. */
static void check_lit(Browser *browser, const char *name, int on_print, int on_plate) {
    check_text(browser, "document.querySelector('.lit-name').textContent", name);
    const char *const parts[] = {"print", "plate"};
    const int rings[] = {on_print, on_plate};
    for (int i = 0; i < 2; i++) {
        g_autofree char *counts =
            g_strdup_printf("['.ring:not(.about)', '.veil'].map(q => "
                            "document.querySelectorAll('.pair .%s ' + q).length).join()",
                            parts[i]);
        g_autofree char *expected = g_strdup_printf("%d,%d", rings[i], *name ? 1 : 0);
        check_text(browser, counts, expected);
    }
}

START_TEST(a_motif_lights_up_by_keys) {
    if (!program)
        return;
    g_autofree char *page = etched_page();
    g_autoptr(Browser) browser = browser_with(program, folder, page, 1280, 900);
    check_lit(browser, "", 0, 0);
    press_times(browser, "Tab", 4);
    check_lit(browser, "Heron", 1, 1);
    check_text(browser, "document.activeElement.ariaPressed", "false");
    browser_press(browser, "Tab");
    check_lit(browser, "Tall reed", 1, 1);
    browser_press(browser, "Enter");
    check_text(browser, "document.activeElement.ariaPressed", "true");
    check_text(browser, "document.getElementById('said').textContent", "Tall reed");
    browser_press(browser, "Tab");
    check_lit(browser, "Snail", 1, 1);
    browser_press(browser, "Tab");
    check_lit(browser, "Tall reed", 1, 1); /* chosen, it stays */
    browser_press(browser, "Escape");
    check_lit(browser, "", 0, 0);
    check_text(browser, "document.querySelectorAll('[aria-pressed=true]').length + ''", "0");
    check_content(browser, page);
}
END_TEST

/* A reversed print is shown in the hand of its plate: the heron to the right on both. */
START_TEST(a_motif_lights_up_by_mouse_and_finger) {
    if (!program)
        return;
    g_autofree char *page = etched_page();
    g_autoptr(Browser) browser = browser_with(program, folder, page, 1280, 900);
    browser_point(browser, ".pair .plate .place[data-motif=\"0\"]");
    check_lit(browser, "Heron", 1, 1);
    for (int i = 0; i < 2; i++) {
        g_autofree char *right = g_strdup_printf(
            "(([s, r]) => r.left > s.left + s.width / 2)(['', ' .ring'].map(q => document."
            "querySelector('.pair .%s .side' + q).getBoundingClientRect()))",
            i == 0 ? "print" : "plate");
        ck_assert_msg(browser_is(browser, right), "%s", right);
    }
    browser_point(browser, "h1");
    check_lit(browser, "", 0, 0);
    browser_click(browser, ".pair .print .place[data-motif=\"1\"]");
    browser_point(browser, "h1");
    check_lit(browser, "Tall reed", 1, 1);
    browser_click(browser, ".pair .print .place[data-motif=\"1\"]");
    browser_point(browser, "h1");
    check_lit(browser, "", 0, 0);
    browser_tap(browser, ".pair .plate .place[data-motif=\"2\"]");
    check_lit(browser, "Snail", 1, 1);
    browser_tap(browser, ".motifs li:first-child button");
    check_lit(browser, "Heron", 1, 1);
    check_content(browser, page);
}
END_TEST

/* Its lines are drawn again above the veil, in the same place, colour and width. */
START_TEST(a_lit_motif_keeps_its_lines) {
    if (!program)
        return;
    g_autofree char *page = etched_page();
    g_autoptr(Browser) browser = browser_with(program, folder, page, 1280, 900);
    browser_point(browser, ".motifs li:first-child button");
    for (int i = 0; i < 2; i++) {
        const char *part = i == 0 ? "print" : "plate";
        g_autofree char *apart = g_strdup_printf(
            "(([a, b]) => Math.max(Math.abs(a.left - b.left), Math.abs(a.top - b.top),"
            " Math.abs(a.width - b.width), Math.abs(a.height - b.height)))"
            "(['.lamp use', '.place[data-motif=\"0\"]'].map(q => document.querySelector("
            "'.pair .%s ' + q).getBoundingClientRect()))",
            part);
        g_autofree char *stroke = g_strdup_printf(
            "(([u, g]) => u.stroke === g.stroke && u.strokeWidth === g.strokeWidth)("
            "['.pair .%s .lamp use', '#%s-1 [data-motif=\"0\"]'].map(q => "
            "getComputedStyle(document.querySelector(q))))",
            part, part);
        /* The place is a millimetre of the canvas larger each way, of 100 the figure is wide.
         */
        ck_assert_double_le(browser_number(browser, apart), 25);
        ck_assert_msg(browser_is(browser, stroke), "%s", stroke);
    }
}
END_TEST

START_TEST(fates_are_told_and_what_is_left_out_has_no_place) {
    if (!program)
        return;
    g_autofree char *page = traced_page();
    g_autoptr(Browser) browser = browser_with(program, folder, page, 1280, 900);
    check_text(browser,
               "[...document.querySelectorAll('.motifs button')].map("
               "b => b.textContent).join('; ')",
               "Heron, kept; Tall reed, moved 8\u00a0mm; Snail, left out");
    browser_click(browser, ".motifs li:nth-child(3) button");
    check_lit(browser, "Snail, left out", 1, 0);
    browser_click(browser, ".motifs li:nth-child(2) button");
    check_lit(browser, "Tall reed, moved 8\u00a0mm", 1, 1);
    /* Of a tracing the part in its place is shown. */
    ck_assert(browser_is(browser, "document.querySelector('.pair .plate .lamp use')"
                                  ".getAttribute('clip-path') === 'url(#window-plate-1)'"));
    check_content(browser, page);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("comparison_html");
    TCase *html = tcase_create("html");
    tcase_set_timeout(html, 60);
    tcase_add_unchecked_fixture(html, make_folder, remove_all);
    tcase_add_test(html, names_nothing_outside_itself);
    tcase_add_test(html, without_a_laying_nothing_is_written);
    tcase_add_test(html, hostile_texts_are_only_text);
    tcase_add_test(html, the_flat_print_lies_where_it_is_laid);
    tcase_add_test(html, the_slider_goes_by_keys);
    tcase_add_test(html, the_figure_is_wiped_by_dragging);
    tcase_add_test(html, both_are_seen_at_once_on_request);
    tcase_add_test(html, the_print_as_laid_lies_over_what_was_traced);
    tcase_add_test(html, the_print_is_shown_as_laid_or_flat);
    tcase_add_test(html, right_to_left_the_print_comes_from_the_right);
    tcase_add_test(html, a_motif_lights_up_by_keys);
    tcase_add_test(html, a_motif_lights_up_by_mouse_and_finger);
    tcase_add_test(html, a_lit_motif_keeps_its_lines);
    tcase_add_test(html, fates_are_told_and_what_is_left_out_has_no_place);
    suite_add_tcase(suite, html);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
