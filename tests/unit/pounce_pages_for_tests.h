/* Papers of a large cylinder with a design of lines, for tests of the maker's pages. */
#ifndef TAPUL_TESTS_POUNCE_PAGES_FOR_TESTS_H
#define TAPUL_TESTS_POUNCE_PAGES_FOR_TESTS_H

#include "comparisons_for_tests.h"

#include "sheet/pounce_parts.h"

#include <tapul/sheets.h>

/* --- Papers --- */

/* A plate that no A4 tile holds, so large that one tile lies within the metal all around; a
 * design of level and upright lines 20 mm apart and a filled square, laid without stretch. The
 * cut is where cuts says. */
#define SWEEP_MM  (150 * G_PI * 200 / 180)
#define HEIGHT_MM 700.0

static const char plate_yaml[] =
    "tapul: plate/1\nname: Test cylinder\nsurface: { kind: cylinder, radius_mm: 150, "
    "height_mm: 700, sweep_deg: 200 }\n";

#define LINE_STEP_MM 20.0
#define LINE_MM      0.4

typedef struct {
    char *folder;
    TapulCase *question;
    TapulPounce *pounce;
    TapulPouncePages pages;
} Papers;

static inline char *design_svg(void) {
    GString *svg = g_string_new(
        "<svg xmlns='http://www.w3.org/2000/svg' width='500mm' height='680mm' viewBox='0 0 500 "
        "680'><rect x='200' y='300' width='50' height='50'/><g fill='none' stroke='black' "
        "stroke-width='0.4'>");
    for (double y = LINE_STEP_MM / 2; y < 680; y += LINE_STEP_MM)
        g_string_append_printf(svg, "<path d='M0 %g H500'/>", y);
    for (double x = LINE_STEP_MM / 2; x < 500; x += LINE_STEP_MM)
        g_string_append_printf(svg, "<path d='M%g 0 V680'/>", x);
    g_string_append(svg, "</g></svg>");
    return g_string_free(svg, FALSE);
}

/* asked: lines below `pounce:` and others of the case. */
static inline Papers *papers_new(const char *asked) {
    g_autoptr(GError) error = NULL;
    Papers *papers = g_new0(Papers, 1);
    TapulCaseOptions options = tapul_case_options_defaults();
    papers->folder = new_folder();
    g_autofree char *svg = design_svg();
    g_autofree char *plate = write_file(papers->folder, "plate.yaml", plate_yaml);
    g_autofree char *print = write_file(papers->folder, "sheet.svg", svg);
    g_autofree char *text = g_strconcat(
        "tapul: case/1\ntitle: Lines on a cylinder\ncredit: Invented for a test\nplate: "
        "plate.yaml\nprints: [{ id: sheet, file: sheet.svg }]\nlayings:\n  - { print: sheet, "
        "rule: developed, anchor: { across_mm: 0, up_mm: 350 } }\n",
        asked, NULL);
    g_autofree char *path = write_file(papers->folder, "case.yaml", text);
    options.leave_cuts = TRUE;
    papers->question = tapul_case_load(path, &options, &error);
    ck_assert_msg(papers->question != NULL, "%s", error ? error->message : "");
    papers->pounce = tapul_pounce_new(papers->question, NULL, &error);
    ck_assert_msg(papers->pounce != NULL, "%s", error ? error->message : "");
    papers->pages = (TapulPouncePages){papers->question, papers->pounce, NULL};
    return papers;
}

static inline void papers_free(Papers *papers) {
    tapul_pounce_free(papers->pounce);
    tapul_case_free(papers->question);
    remove_folder(papers->folder);
    g_free(papers->folder);
    g_free(papers);
}

#define TWO_PIECES                                                                             \
    "development: { cuts: [[{ across_mm: 40, up_mm: 0 }, { across_mm: 40, up_mm: 700 }]] }\n"

static const struct {
    const char *asked;
    double width_mm, height_mm; /* ISO 216; 0: a roll */
} kinds[] = {
    {"pounce: { paper: A4 }\n", 210, 297},
    {TWO_PIECES "pounce: { paper: A3, face: down, overlap_mm: 15 }\n", 297, 420},
    {TWO_PIECES "pounce: { paper: A4, overlap_mm: 0 }\n", 210, 297},
    {TWO_PIECES "pounce: { paper: roll, roll_width_mm: 610 }\n", 0, 0},
    {TWO_PIECES "pounce: { paper: A4, face: down }\n", 210, 297},
    {"pounce: { resist: ground, dots: { size_mm: 3, spacing_mm: 9 } }\n", 210, 297},
    {TWO_PIECES "pounce: { resist: lines, bites: [{ depth_mm: 0.05 }, { depth_mm: 0.1, "
                "stop_out: [sheet] }] }\n",
     210, 297},
};
#define N_KINDS ((int)G_N_ELEMENTS(kinds))
#define PLAIN   0 /* one piece on A4 */
#define DOTTED  5
#define BITTEN  6

/* Made once, for all tests. */
static Papers *papers_of[N_KINDS];

static inline void make_papers(void) {
    for (int i = 0; i < N_KINDS; i++)
        papers_of[i] = papers_new(kinds[i].asked);
}

static inline void drop_papers(void) {
    for (int i = 0; i < N_KINDS; i++)
        papers_free(papers_of[i]);
}

/* Runs tests[n], of all kinds of papers from the first to the last. */
static inline void add_tests(TCase *together, const TTest *const *tests, guint n, int first,
                             int last) {
    for (guint i = 0; i < n; i++)
        tcase_add_loop_test(together, tests[i], first, last + 1);
}

/* A bite's tiles, without the page of cautions that they begin with. */
static inline GPtrArray *resist_tiles(const Papers *papers, int bite) {
    GPtrArray *pages = tapul_sheet_pounce_resist(&papers->pages, bite);
    ck_assert_uint_eq(pages->len, papers->pounce->tiling->used->len + 1);
    g_ptr_array_remove_index(pages, 0);
    return pages;
}

/* All its pages that show tiles: those of the design, and of each bite. */
static inline GPtrArray *all_tiles(const Papers *papers) {
    GPtrArray *all = tapul_sheet_pounce_tiles(&papers->pages);
    const TapulResist *resist = papers->pounce->resist;
    for (guint i = 0; resist && i < resist->bites->len; i++)
        g_ptr_array_extend_and_steal(all, resist_tiles(papers, (int)i));
    return all;
}

/* --- Readers --- */

static inline char *read_with(const char *program, const char *option, const char *path) {
    const char *arguments[] = {program, option, path,
                               g_str_equal(program, "pdfinfo") ? NULL : "-", NULL};
    g_autofree char *output = NULL;
    int status = -1;
    g_autoptr(GError) error = NULL;
    gboolean ran = g_spawn_sync(NULL, (char **)arguments, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL,
                                &output, NULL, &status, &error);
    ck_assert_msg(ran && status == 0, "%s: %s", program, error ? error->message : "failed");
    return g_strdup(output);
}

static inline char *write_pages(const Papers *papers, const GPtrArray *pages) {
    char *path = g_build_filename(papers->folder, "pages.pdf", NULL);
    g_autoptr(GError) error = NULL;
    ck_assert_msg(
        tapul_page_write_pdf((TapulPage *const *)pages->pdata, (int)pages->len, path, &error),
        "%s", error ? error->message : "");
    return path;
}

/* The text with all space between words one blank. */
static inline char *words_of(const char *text) {
    g_autoptr(GRegex) space = g_regex_new("\\s+", 0, 0, NULL);
    return g_regex_replace_literal(space, text, -1, 0, " ", 0, NULL);
}

#endif
