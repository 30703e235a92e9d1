/* The comparison's page for a browser, for all its readers: on any screen and on paper, heard,
 * seen with weak eyes, without motion; and its size.
 *
 * Contrast and its limits: W3C, Web Content Accessibility Guidelines 2.2, 1.4.3, 1.4.11 and the
 * definition of relative luminance.
 */
#include "comparison_html_for_tests.h"

#define TEXT_CONTRAST 4.5
#define LINE_CONTRAST 3.0
/* Of the demonstration's largest case; what a class of pupils can load at once. */
#define MOST_BYTES 4e6

static char *folder, *program;

static void make_folder(void) {
    folder = new_folder();
    program = browser_or_skip("test_comparison_html_readers");
}

static void remove_all(void) {
    remove_folder(folder);
    g_free(folder);
    g_free(program);
}

/* Two prints laid, so that all parts of a page are there. */
static char *small_page(void) {
    TestComparison made = test_comparison(
        folder, "Two rivers on a cylinder",
        "layings:\n  - { print: river, rule: developed, anchor: { x_mm: -40, y_mm: 150 } }\n"
        "  - { print: river, rule: rolled, anchor: { x_mm: 50, y_mm: 80 }, reversed: true, "
        "scale: 0.8 }\n"
        "sheet: { language: en-GB, author: A tester, rights: Free for tests }\n");
    test_comparison_weigh(&made);
    char *page = test_comparison_page(&made, folder, "page.html");
    test_comparison_clear(&made);
    return page;
}

static void check_text(Browser *browser, const char *expression, const char *expected) {
    g_autofree char *text = browser_text(browser, expression);
    ck_assert_msg(strcmp(text, expected) == 0, "%s is '%s', not '%s'", expression, text,
                  expected);
}

START_TEST(the_head_says_what_it_is) {
    if (!program)
        return;
    g_autofree char *page = small_page();
    g_autoptr(Browser) browser = browser_with(program, folder, page, 1280, 900);
    check_text(browser, "document.title", "Two rivers on a cylinder");
    check_text(browser, "document.documentElement.lang + ' ' + document.dir", "en-GB ltr");
    check_text(browser, "document.characterSet + ' ' + document.compatMode",
               "UTF-8 CSS1Compat");
    check_text(browser, "document.querySelector('meta[name=author]').content", "A tester");
    check_text(browser,
               "[...document.querySelectorAll('h1,h2,h3,h4')].map("
               "h => h.tagName[1]).join('')",
               "1234234");
    ck_assert(browser_is(browser, "document.body.innerText.includes('invented for a test')"));
    ck_assert(browser_is(browser, "document.body.innerText.includes('Free for tests')"));
    check_content(browser, page);
}
END_TEST

START_TEST(ids_are_unique_and_links_lead_somewhere) {
    if (!program)
        return;
    g_autofree char *page = small_page();
    g_autoptr(Browser) browser = browser_with(program, folder, page, 1280, 900);
    check_text(browser,
               "(all => all.filter((id, i) => all.indexOf(id) !== i).join())"
               "([...document.querySelectorAll('[id]')].map(e => e.id))",
               "");
    check_text(
        browser,
        "[...document.querySelectorAll('[href], [for], [aria-labelledby]')].flatMap(e => "
        "[e.getAttribute('href'), e.htmlFor && '#' + e.htmlFor, "
        "e.getAttribute('aria-labelledby') && '#' + e.getAttribute('aria-labelledby')])"
        ".filter(h => h && h[0] === '#' && !document.querySelector(h)).join()",
        "");
    ck_assert_double_eq(browser_number(browser, "document.querySelectorAll('nav a').length"),
                        2);
}
END_TEST

START_TEST(no_width_makes_it_scroll_sideways) {
    static const int widths_px[] = {360, 390, 640, 768, 1280, 1920};
    if (!program)
        return;
    g_autofree char *page = small_page();
    g_autoptr(Browser) browser = browser_with(program, folder, page, 1280, 900);
    for (guint i = 0; i < G_N_ELEMENTS(widths_px); i++) {
        browser_resize(browser, widths_px[i], 800);
        double width_px = browser_number(browser, "document.documentElement.scrollWidth");
        ck_assert_msg(width_px <= widths_px[i], "%g px at %d", width_px, widths_px[i]);
        /* The figure with its slider fits into the window. */
        ck_assert(browser_is(browser, "document.querySelector('.stage').clientHeight < 0.73 * "
                                      "innerHeight"));
    }
}
END_TEST

START_TEST(the_slider_is_seen_at_once) {
    if (!program)
        return;
    g_autofree char *page = small_page();
    g_autoptr(Browser) browser = browser_with(program, folder, page, 1280, 720);
    ck_assert(browser_is(browser, "document.querySelector('input[type=range]')"
                                  ".getBoundingClientRect().bottom < 0.75 * innerHeight"));
}
END_TEST

/* Beside the list where there is room, else above it: a motif that is chosen there is seen. */
START_TEST(figures_stay_in_view_beside_their_list) {
    static const int widths_px[] = {360, 390, 800, 1280, 1920};
    if (!program)
        return;
    g_autofree char *page = small_page();
    g_autoptr(Browser) browser = browser_with(program, folder, page, 1280, 720);
    for (guint i = 0; i < G_N_ELEMENTS(widths_px); i++) {
        gboolean wide = widths_px[i] >= 1024;
        browser_resize(browser, widths_px[i], 720);
        browser_tap(browser, "#laying-2 .motifs li:last-child button");
        ck_assert_msg(browser_is(browser,
                                 "(b => b.top > -1 && b.bottom <= innerHeight)(document"
                                 ".querySelector('#laying-2 .in-view')"
                                 ".getBoundingClientRect())"),
                      "at %d px the figures are out of view", widths_px[i]);
        ck_assert(browser_is(browser, "(([f, l]) => l.left > f.right)(['.pair', '.motifs'].map("
                                      "q => document.querySelector('#laying-2 ' + q)"
                                      ".getBoundingClientRect()))") == wide);
    }
    check_content(browser, page);
}
END_TEST

/* Pixels for a mm of the canvas. */
static double scale_of(Browser *browser, const char *part) {
    g_autofree char *expression =
        g_strdup_printf("(s => s.getBoundingClientRect().width / s.viewBox.baseVal.width)"
                        "(document.querySelector('#laying-2 .%s .side'))",
                        part);
    return browser_number(browser, expression);
}

START_TEST(print_and_plate_are_of_one_scale) {
    static const int widths_px[] = {360, 800, 1280, 1920};
    if (!program)
        return;
    g_autofree char *page = small_page();
    g_autoptr(Browser) browser = browser_with(program, folder, page, 1280, 900);
    for (guint i = 0; i < G_N_ELEMENTS(widths_px); i++) {
        browser_resize(browser, widths_px[i], 1000);
        double print = scale_of(browser, "print"), plate = scale_of(browser, "plate");
        /* Its print is laid at 0.8, and drawn so on the canvas; here it has its own size. */
        ck_assert_double_eq_tol(print / plate, 1 / 0.8, 0.001);
        /* The bar says a length of the plate, which is as wide on the canvas as it is drawn. */
        double bar =
            browser_number(browser, "(b => b.getBoundingClientRect().width / b.closest('.bar')"
                                    ".querySelector('svg').viewBox.baseVal.width)"
                                    "(document.querySelector('#laying-2 .plate .bar svg'))");
        ck_assert_double_eq_tol(bar / plate, 1, 0.001);
    }
}
END_TEST

/* --- Heard --- */

START_TEST(every_control_and_picture_has_a_name) {
    static const char *const roles[] = {"button", "slider", "checkbox",   "link", "image",
                                        "img",    "region", "navigation", NULL};
    if (!program)
        return;
    g_autofree char *page = small_page();
    g_autoptr(Browser) browser = browser_with(program, folder, page, 1280, 900);
    g_autoptr(JsonNode) tree = browser_call(browser, "Accessibility.getFullAXTree", NULL);
    JsonArray *nodes = json_object_get_array_member(json_node_get_object(tree), "nodes");
    int counted = 0;
    for (guint i = 0; i < json_array_get_length(nodes); i++) {
        JsonObject *node = json_array_get_object_element(nodes, i);
        if (json_object_get_boolean_member_with_default(node, "ignored", FALSE) ||
            !json_object_has_member(node, "role"))
            continue;
        const char *role =
            json_object_get_string_member(json_object_get_object_member(node, "role"), "value");
        if (!g_strv_contains(roles, role))
            continue;
        JsonObject *name = json_object_has_member(node, "name")
                               ? json_object_get_object_member(node, "name")
                               : NULL;
        const char *value =
            name ? json_object_get_string_member_with_default(name, "value", "") : "";
        ck_assert_msg(*value != '\0', "a %s has no name", role);
        counted++;
    }
    /* Two sections of a slider, a checkbox, three motifs, four pictures; two links. */
    ck_assert_int_ge(counted, 2 * (1 + 1 + 3 + 4) + 2);
}
END_TEST

/* --- Seen --- */

/* The least contrast of any text with the nearest ground behind it. */
#define LUMINANCE                                                                              \
    "const lum = c => { const [r, g, b] = c.match(/[\\d.]+/g).slice(0, 3).map(v => (v /= 255)" \
    " <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);"                                 \
    " return 0.2126 * r + 0.7152 * g + 0.0722 * b; };"                                         \
    "const ratio = (a, b) => { const [x, y] = [lum(a), lum(b)].sort((p, q) => q - p);"         \
    " return (x + 0.05) / (y + 0.05); };"                                                      \
    "const ground = e => { for (; e; e = e.parentElement) { const c = getComputedStyle(e)"     \
    ".backgroundColor; if (!/, 0\\)$/.test(c) && c !== 'transparent') return c; }"             \
    " return 'rgb(255, 255, 255)'; };"

static double least_contrast(Browser *browser) {
    return browser_number(
        browser,
        "(() => { " LUMINANCE
        " const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);"
        " let least = 21; while (walk.nextNode()) { const e = walk.currentNode"
        ".parentElement; if (!walk.currentNode.data.trim() || e.closest('svg, script'))"
        " continue; least = Math.min(least, ratio(getComputedStyle(e).color, ground(e)));"
        " } return least; })()");
}

START_TEST(contrast_is_enough) {
    if (!program)
        return;
    g_autofree char *page = small_page();
    g_autoptr(Browser) browser = browser_with(program, folder, page, 1280, 900);
    ck_assert_double_ge(least_contrast(browser), TEXT_CONTRAST);
    browser_click(browser, ".motifs li:nth-child(2) button");
    ck_assert_double_ge(least_contrast(browser), TEXT_CONTRAST);
    double lines = browser_number(
        browser, "(() => { " LUMINANCE " const style = (q, k) => getComputedStyle(document."
                 "querySelector(q))[k]; const paper = ground(document.body);"
                 " return Math.min(ratio(style('.edge', 'backgroundColor'), paper),"
                 " ratio(style('.bar path', 'stroke'), paper),"
                 " ratio(style('.ring:not(.about)', 'stroke'), style('.ring.about', 'stroke')),"
                 " ratio(style('.motifs .lit', 'borderInlineStartColor'), paper)); })()");
    ck_assert_double_ge(lines, LINE_CONTRAST);
}
END_TEST

START_TEST(the_focus_is_seen_and_controls_are_large) {
    if (!program)
        return;
    g_autofree char *page = small_page();
    g_autoptr(Browser) browser = browser_with(program, folder, page, 360, 740);
    int seen = 0;
    for (int i = 0; i < 12; i++) {
        browser_press(browser, "Tab");
        if (browser_is(browser, "document.activeElement === document.body"))
            break;
        ck_assert(browser_is(browser, "(s => s.outlineStyle !== 'none' && "
                                      "parseFloat(s.outlineWidth) >= 2)"
                                      "(getComputedStyle(document.activeElement))"));
        /* 24 px each way are the least for a finger (WCAG 2.2, 2.5.8); a label counts with its
         * control. */
        ck_assert(browser_is(browser, "(b => b.height >= 24 && b.width >= 24)((e => e.closest("
                                      "'label') ?? e)(document.activeElement)"
                                      ".getBoundingClientRect())"));
        seen++;
    }
    ck_assert_int_eq(seen, 12);
}
END_TEST

START_TEST(nothing_moves_where_motion_is_not_wanted) {
    if (!program)
        return;
    g_autofree char *page = small_page();
    g_autoptr(Browser) browser = browser_with(program, folder, page, 1280, 900);
    for (int wanted = 0; wanted < 2; wanted++) {
        browser_set_medium(browser, "", "prefers-reduced-motion",
                           wanted ? "no-preference" : "reduce");
        browser_click(browser, wanted ? ".motifs li:nth-child(2) button" : ".motifs button");
        check_text(browser, "getComputedStyle(document.querySelector('.veil')).animationName",
                   wanted ? "light" : "none");
    }
}
END_TEST

START_TEST(on_paper_both_figures_stand_without_controls) {
    if (!program)
        return;
    g_autofree char *page = small_page();
    g_autoptr(Browser) browser = browser_with(program, folder, page, 700, 1000);
    browser_set_medium(browser, "print", "prefers-color-scheme", "dark");
    ck_assert(browser_is(browser, "[...document.querySelectorAll('input')].every("
                                  "e => !e.checkVisibility())"));
    ck_assert(browser_is(browser, "[...document.querySelectorAll('.stage svg, .side')].every("
                                  "e => e.checkVisibility() && e.clientHeight > 50)"));
    /* Both on one page of A4, 297 mm high: CSS counts 96 px to the inch. */
    ck_assert_double_lt(browser_number(browser, "['.stage', '.pair'].reduce((sum, q) => sum + "
                                                "document.querySelector(q).clientHeight, 0)"),
                        (297 - 50) / 25.4 * 96);
    check_text(browser, "getComputedStyle(document.documentElement).colorScheme", "light");
}
END_TEST

/* --- Of the demonstration --- */

START_TEST(the_largest_case_is_light_enough) {
    g_autofree char *path = source_file("demo-prints/breastplate/case.yaml");
    g_autoptr(GError) error = NULL;
    TapulCaseOptions options = tapul_case_options_defaults();
    TapulCaseLayOptions lay = tapul_case_lay_options_defaults();
    GStatBuf found;
    TestComparison made = {.question = tapul_case_load(path, &options, &error)};
    ck_assert_msg(made.question != NULL, "%s", error ? error->message : "");
    made.laid = tapul_case_lay(made.question, &lay, &error);
    ck_assert_msg(made.laid != NULL, "%s", error ? error->message : "");
    g_autofree char *page = test_comparison_page(&made, folder, "breastplate.html");
    ck_assert_int_eq(g_stat(page, &found), 0);
    ck_assert_msg((double)found.st_size < MOST_BYTES, "%g bytes", (double)found.st_size);
    if (program) {
        g_autoptr(Browser) browser = browser_with(program, folder, page, 1280, 900);
        ck_assert_double_eq(browser_number(browser,
                                           "document.querySelectorAll('main > section')"
                                           ".length"),
                            4);
        check_content(browser, page);
    }
    test_comparison_clear(&made);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("comparison_html_readers");
    TCase *readers = tcase_create("readers");
    tcase_set_timeout(readers, 60);
    tcase_add_unchecked_fixture(readers, make_folder, remove_all);
    tcase_add_test(readers, the_head_says_what_it_is);
    tcase_add_test(readers, ids_are_unique_and_links_lead_somewhere);
    tcase_add_test(readers, no_width_makes_it_scroll_sideways);
    tcase_add_test(readers, the_slider_is_seen_at_once);
    tcase_add_test(readers, figures_stay_in_view_beside_their_list);
    tcase_add_test(readers, print_and_plate_are_of_one_scale);
    tcase_add_test(readers, every_control_and_picture_has_a_name);
    tcase_add_test(readers, contrast_is_enough);
    tcase_add_test(readers, the_focus_is_seen_and_controls_are_large);
    tcase_add_test(readers, nothing_moves_where_motion_is_not_wanted);
    tcase_add_test(readers, on_paper_both_figures_stand_without_controls);
    tcase_add_test(readers, the_largest_case_is_light_enough);
    suite_add_tcase(suite, readers);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
