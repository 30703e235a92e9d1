/* Cases on a cylinder, whose development keeps all lengths, made on the spot; their comparison
 * pages on every paper; and lengths measured on rendered pages. */
#ifndef TAPUL_TESTS_COMPARISONS_FOR_TESTS_H
#define TAPUL_TESTS_COMPARISONS_FOR_TESTS_H

#include "program_for_tests.h"
#include "test_page_clear.h"

#include <cairo.h>
#include <stdlib.h>
#include <tapul/comparison.h>

static const struct {
    TapulPaper paper;
    TapulUpright upright;
} comparison_formats[] = {
    {TAPUL_PAPER_A4, TAPUL_UPRIGHT_LANDSCAPE},     {TAPUL_PAPER_A4, TAPUL_UPRIGHT_PORTRAIT},
    {TAPUL_PAPER_A5, TAPUL_UPRIGHT_PORTRAIT},      {TAPUL_PAPER_A5, TAPUL_UPRIGHT_LANDSCAPE},
    {TAPUL_PAPER_A3, TAPUL_UPRIGHT_PORTRAIT},      {TAPUL_PAPER_A3, TAPUL_UPRIGHT_LANDSCAPE},
    {TAPUL_PAPER_A2, TAPUL_UPRIGHT_PORTRAIT},      {TAPUL_PAPER_A2, TAPUL_UPRIGHT_LANDSCAPE},
    {TAPUL_PAPER_SCREEN, TAPUL_UPRIGHT_LANDSCAPE},
};
#define COMPARISON_FORMATS ((int)G_N_ELEMENTS(comparison_formats))
#define A4_LANDSCAPE       0

/* --- Cases --- */

typedef struct {
    TapulCase *question;
    GPtrArray *laid;
    TapulComparison comparison;
    char *folder; /* NULL: of the demonstration */
} TestCase;

static inline void test_case_free(TestCase *made) {
    g_ptr_array_unref(made->laid);
    tapul_case_free(made->question);
    if (made->folder)
        remove_folder(made->folder);
    g_free(made->folder);
    g_free(made);
}
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TestCase, test_case_free)

static inline TestCase *test_case_load(const char *path) {
    g_autoptr(GError) error = NULL;
    TapulCaseOptions options = tapul_case_options_defaults();
    TapulCaseLayOptions lay_options = tapul_case_lay_options_defaults();
    TestCase *made = g_new0(TestCase, 1);
    made->question = tapul_case_load(path, &options, &error);
    ck_assert_msg(made->question != NULL, "%s", error ? error->message : "");
    made->laid = tapul_case_lay(made->question, &lay_options, &error);
    ck_assert_msg(made->laid != NULL, "%s", error ? error->message : "");
    made->comparison = (TapulComparison){.question = made->question, .laid = made->laid};
    return made;
}

static inline TestCase *test_case_of_demonstration(const char *name) {
    g_autofree char *relative = g_strdup_printf("demo-prints/%s/case.yaml", name);
    g_autofree char *path = source_file(relative);
    return test_case_load(path);
}

#define TEST_RADIUS_MM 100.0

/* The print 'sheet' (an SVG) on a cylinder of TEST_RADIUS_MM, 300 mm high; layings and what
 * else the case holds as YAML. */
static inline TestCase *test_case_new(const char *svg, const char *yaml) {
    char *folder = new_folder();
    g_autofree char *plate =
        write_file(folder, "plate.yaml",
                   "tapul: plate/1\nname: Test cylinder\nsurface: { kind: cylinder, radius_mm: "
                   "100, height_mm: 300, sweep_deg: 170 }\n");
    g_autofree char *print = write_file(folder, "sheet.svg", svg);
    g_autofree char *text =
        g_strconcat("tapul: case/1\ntitle: A case for a test\ncredit: Invented for a test\n"
                    "plate: plate.yaml\nprints: [{ id: sheet, file: sheet.svg }]\n",
                    yaml, NULL);
    g_autofree char *path = write_file(folder, "case.yaml", text);
    TestCase *made = test_case_load(path);
    made->folder = folder;
    return made;
}

/* NULL where the case holds nothing for them. */
static inline GPtrArray *test_case_pages(const TestCase *made, int format, unsigned layouts) {
    g_autoptr(GError) error = NULL;
    TapulComparisonOptions options = tapul_comparison_options_defaults();
    options.paper = comparison_formats[format].paper;
    options.upright = comparison_formats[format].upright;
    options.layouts = layouts;
    options.inches = format % 2 == 1;
    GPtrArray *pages = tapul_comparison_pages(&made->comparison, &options, &error);
    ck_assert(pages ||
              g_error_matches(error, TAPUL_COMPARISON_ERROR, TAPUL_COMPARISON_ERROR_NOTHING));
    return pages;
}

/* Text leaves no page's edge, and none stands on another. */
static inline void check_pages_on_every_paper(const TestCase *made, unsigned layouts,
                                              const char *name) {
    for (int format = 0; format < COMPARISON_FORMATS; format++) {
        g_autoptr(GPtrArray) pages = test_case_pages(made, format, layouts);
        ck_assert_msg(pages != NULL, "%s: no page in format %d", name, format);
        for (guint i = 0; i < pages->len; i++) {
            g_autofree char *which = g_strdup_printf("%s, format %d, page %u", name, format, i);
            check_page_is_clear(pages->pdata[i], 5, which);
        }
    }
}

/* The first scale that a page says, "2 : 3" in thin spaces; of a screen that of its bar. */
static inline double scale_said(const TapulPage *page) {
    g_autofree char *said = words_said_by_page(page);
    if (tapul_page_width_mm(page) == tapul_paper_mm(TAPUL_PAPER_SCREEN, TRUE).x)
        return scale_of_bar(page);
    g_autoptr(GRegex) ratio =
        g_regex_new("Scale\\s*([0-9.]+)\\s*:\\s*([0-9.]+)", G_REGEX_OPTIMIZE, 0, NULL);
    g_autoptr(GMatchInfo) match = NULL;
    ck_assert_msg(g_regex_match(ratio, said, 0, &match), "no scale is said in: %s", said);
    g_autofree char *of_page = g_match_info_fetch(match, 1);
    g_autofree char *own = g_match_info_fetch(match, 2);
    return g_ascii_strtod(of_page, NULL) / g_ascii_strtod(own, NULL);
}

/* --- Pixels --- */

#define RENDER_DPI 300.0

typedef struct {
    cairo_surface_t *surface;
    int width_px, height_px;
    double per_mm;
} Rendered;

static inline void rendered_clear(Rendered *rendered) {
    cairo_surface_destroy(rendered->surface);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(Rendered, rendered_clear)

static inline Rendered render_page(const TapulPage *page) {
    g_autofree char *folder = new_folder();
    g_autofree char *path = g_build_filename(folder, "page.png", NULL);
    g_autoptr(GError) error = NULL;
    ck_assert_msg(tapul_page_write_png(page, RENDER_DPI, path, &error), "%s",
                  error ? error->message : "");
    cairo_surface_t *surface = cairo_image_surface_create_from_png(path);
    remove_folder(folder);
    ck_assert_int_eq(cairo_surface_status(surface), CAIRO_STATUS_SUCCESS);
    return (Rendered){surface, cairo_image_surface_get_width(surface),
                      cairo_image_surface_get_height(surface), RENDER_DPI / 25.4};
}

/* Darkness of a pixel by its green, 0 white to 1 black. */
static inline double darkness(const Rendered *rendered, int x_px, int y_px) {
    ck_assert(x_px >= 0 && y_px >= 0 && x_px < rendered->width_px &&
              y_px < rendered->height_px);
    const guint8 *row = cairo_image_surface_get_data(rendered->surface) +
                        (gsize)y_px * (gsize)cairo_image_surface_get_stride(rendered->surface);
    return 1 - ((((const guint32 *)(gconstpointer)row)[x_px] >> 8) & 0xff) / 255.0;
}

/* Between ink and paper: an edge of ink lies where a pixel is as dark as this. */
#define MIDDLE_DARKNESS 0.49

/* The dark runs that a level line of the page at y_mm crosses between two x, each from edge to
 * edge to a part of a pixel, a grey pixel standing for its share; GArray of TapulVec2 (start,
 * end), page mm. A pixel is of a run from a darkness of `least` on. */
static inline GArray *dark_runs(const Rendered *rendered, double y_mm, double from_mm,
                                double to_mm, double least) {
    GArray *runs = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    int y_px = (int)floor(rendered->height_px - y_mm * rendered->per_mm);
    int first = (int)floor(from_mm * rendered->per_mm),
        last = (int)ceil(to_mm * rendered->per_mm);
    double start = NAN;
    for (int x = first + 1; x <= last; x++) {
        double before = darkness(rendered, x - 1, y_px), here = darkness(rendered, x, y_px);
        /* The edge lies where the line between the two pixels' middles crosses. */
        double cross = (x - 0.5 + (least - before) / (here - before)) / rendered->per_mm;
        if (before < least && here >= least)
            start = cross;
        if (before >= least && here < least && !isnan(start)) {
            TapulVec2 run = {start, cross};
            g_array_append_val(runs, run);
            start = NAN;
        }
    }
    return runs;
}

#endif
