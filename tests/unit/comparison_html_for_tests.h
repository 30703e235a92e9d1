/* Comparison pages for a browser, of small cases made on the spot, and a browser to open them.
 */
#ifndef TAPUL_TESTS_COMPARISON_HTML_FOR_TESTS_H
#define TAPUL_TESTS_COMPARISON_HTML_FOR_TESTS_H

#include <stdlib.h>

#include "browser.h"
#include "program_for_tests.h"

#include <tapul/comparison.h>

/* Two motifs within a frame, which is too large to be one, and a third that was left out. */
#define TEST_PRINT                                                                             \
    "<svg xmlns='http://www.w3.org/2000/svg' width='60mm' height='40mm' viewBox='0 0 60 40'>"  \
    "<g fill='none' stroke='black' stroke-width='0.4'><path d='M2 2H58V38H2Z'/>"               \
    "<g id='heron'><path d='M8 8L22 10L20 30L10 28Z'/><path d='M12 14L18 20'/></g>"            \
    "<g id='tall-reed'><path d='M40 6L50 8L52 34'/></g>"                                       \
    "<g id='snail'><path d='M26 30L34 31L33 36Z'/></g></g></svg>"

/* A cylinder's development keeps all lengths: print and plate must lie on one another exactly.
 */
#define TEST_LAYING                                                                            \
    "layings: [{ print: river, rule: developed, anchor: { x_mm: 5, y_mm: 150 }, "              \
    "scale: 0.9, turn_deg: 10, reversed: true }]\n"

typedef struct {
    TapulCase *question;
    GPtrArray *laid;
    TapulEvidence *evidence;
} TestComparison;

/* A case whose title and further YAML are given. */
static inline TestComparison test_comparison(const char *folder, const char *title,
                                             const char *more) {
    TestComparison made = {0};
    g_autoptr(GError) error = NULL;
    TapulCaseOptions options = tapul_case_options_defaults();
    TapulCaseLayOptions lay = tapul_case_lay_options_defaults();
    g_autofree char *plate =
        write_file(folder, "plate.yaml",
                   "tapul: plate/1\nname: Test cylinder\nsurface: { kind: cylinder, radius_mm: "
                   "100, height_mm: 300, sweep_deg: 170 }\n");
    g_autofree char *print = write_file(folder, "river.svg", TEST_PRINT);
    g_autofree char *text = g_strdup_printf(
        "tapul: case/1\ntitle: \"%s\"\ncredit: invented for a test\nplate: plate.yaml\n"
        "prints: [{ id: river, file: river.svg, title: A river }]\n%s",
        title, more);
    g_autofree char *path = write_file(folder, "case.yaml", text);
    made.question = tapul_case_load(path, &options, &error);
    ck_assert_msg(made.question != NULL, "%s", error ? error->message : "");
    made.laid = tapul_case_lay(made.question, &lay, &error);
    ck_assert_msg(made.laid != NULL, "%s", error ? error->message : "");
    return made;
}

/* As if weighed: the heron kept, the reed moved 8 mm to the right, the snail left out. */
static inline void test_comparison_weigh(TestComparison *made) {
    const TapulPrint *print = g_ptr_array_index(made->question->prints, 0);
    TapulPrintEvidence *found = g_new0(TapulPrintEvidence, 1);
    made->evidence = g_new0(TapulEvidence, 1);
    made->evidence->prints = g_ptr_array_new();
    g_ptr_array_add(made->evidence->prints, found);
    found->motifs = g_array_new(FALSE, TRUE, sizeof(TapulMotifFinding));
    for (guint i = 0; i < print->ink->motifs->len; i++) {
        const TapulMotif *motif = print->ink->motifs->pdata[i];
        TapulMotifFinding finding = {.motif = (int)i, .resized = 1};
        finding.box_mm = (TapulBox){{20, 0}, {30, 25}};
        finding.fate = strcmp(motif->id, "snail") == 0       ? TAPUL_MOTIF_LEFT_OUT
                       : strcmp(motif->id, "tall-reed") == 0 ? TAPUL_MOTIF_MOVED
                                                             : TAPUL_MOTIF_KEPT;
        finding.moved_mm.x = finding.fate == TAPUL_MOTIF_MOVED ? 8 : 0;
        g_array_append_val(found->motifs, finding);
    }
}

static inline void test_comparison_clear(TestComparison *made) {
    if (made->evidence) {
        TapulPrintEvidence *found = g_ptr_array_index(made->evidence->prints, 0);
        g_array_unref(found->motifs);
        g_free(found);
        g_ptr_array_unref(made->evidence->prints);
        g_free(made->evidence);
    }
    g_ptr_array_unref(made->laid);
    tapul_case_free(made->question);
}

/* Its page as a file of a folder; owned. */
static inline char *test_comparison_page(const TestComparison *made, const char *folder,
                                         const char *name) {
    char *path = g_build_filename(folder, name, NULL);
    g_autoptr(GError) error = NULL;
    TapulComparison comparison = {made->question, made->laid, made->evidence, NULL};
    ck_assert_msg(tapul_comparison_write_html(&comparison, path, &error), "%s",
                  error ? error->message : "");
    return path;
}

/* --- The browser --- */

/* Says so where there is none. */
static inline char *browser_or_skip(const char *test) {
    char *program = browser_program();
    if (!program)
        printf("SKIP: %s: chromium is not installed\n", test);
    fflush(stdout);
    return program;
}

/* A page opened in a new browser of a window's size. */
static inline Browser *browser_with(const char *program, const char *folder, const char *page,
                                    int width_px, int height_px) {
    g_autofree char *own = g_build_filename(folder, "browser", NULL);
    Browser *browser = browser_start(program, own, width_px, height_px);
    browser_open(browser, page);
    return browser;
}

/* Nothing went wrong in the page, and it asked for nothing but its own file. */
static inline void check_content(const Browser *browser, const char *page) {
    g_autofree char *address = g_filename_to_uri(page, NULL, NULL);
    const GPtrArray *complaints = browser_complaints(browser);
    const GPtrArray *requests = browser_requests(browser);
    for (guint i = 0; i < complaints->len; i++)
        ck_abort_msg("the console says: %s", (char *)g_ptr_array_index(complaints, i));
    ck_assert_uint_eq(requests->len, 1);
    ck_assert_str_eq(g_ptr_array_index(requests, 0), address);
}

#endif
