/* Side-by-side pages and the sequence: true to the scale they state, their texts clear, and as
 * the pictures kept of them. */
#include "program_for_tests.h"
#include "test_page_clear.h"

#include <cairo.h>
#include <stdlib.h>
#include <tapul/comparison.h>

#define SIDE_BY_SIDE (TAPUL_LAYOUT_BESIDE | TAPUL_LAYOUT_SEQUENCE)

static const struct {
    TapulPaper paper;
    TapulUpright upright;
} formats[] = {
    {TAPUL_PAPER_A5, TAPUL_UPRIGHT_PORTRAIT},      {TAPUL_PAPER_A5, TAPUL_UPRIGHT_LANDSCAPE},
    {TAPUL_PAPER_A4, TAPUL_UPRIGHT_PORTRAIT},      {TAPUL_PAPER_A4, TAPUL_UPRIGHT_LANDSCAPE},
    {TAPUL_PAPER_A3, TAPUL_UPRIGHT_PORTRAIT},      {TAPUL_PAPER_A3, TAPUL_UPRIGHT_LANDSCAPE},
    {TAPUL_PAPER_A2, TAPUL_UPRIGHT_PORTRAIT},      {TAPUL_PAPER_A2, TAPUL_UPRIGHT_LANDSCAPE},
    {TAPUL_PAPER_SCREEN, TAPUL_UPRIGHT_LANDSCAPE},
};

/* --- Cases --- */

typedef struct {
    TapulCase *question;
    GPtrArray *laid;
    TapulComparison comparison;
} Shown;

static void shown_free(Shown *shown) {
    g_ptr_array_unref(shown->laid);
    tapul_case_free(shown->question);
    g_free(shown);
}
G_DEFINE_AUTOPTR_CLEANUP_FUNC(Shown, shown_free)

static Shown *show_case(const char *path) {
    g_autoptr(GError) error = NULL;
    TapulCaseOptions options = tapul_case_options_defaults();
    TapulCaseLayOptions lay_options = tapul_case_lay_options_defaults();
    Shown *shown = g_new0(Shown, 1);
    shown->question = tapul_case_load(path, &options, &error);
    ck_assert_msg(shown->question != NULL, "%s", error ? error->message : "");
    shown->laid = tapul_case_lay(shown->question, &lay_options, &error);
    ck_assert_msg(shown->laid != NULL, "%s", error ? error->message : "");
    shown->comparison = (TapulComparison){.question = shown->question, .laid = shown->laid};
    return shown;
}

static Shown *show_demonstration(const char *name) {
    g_autofree char *relative = g_strdup_printf("demo-prints/%s/case.yaml", name);
    g_autofree char *path = source_file(relative);
    return show_case(path);
}

/* A bar BAR_MM long, square on a print of 100 x 60 mm. */
#define BAR_MM 90.0
#define BAR_SVG                                                                                \
    "<svg xmlns='http://www.w3.org/2000/svg' width='100mm' height='60mm' viewBox='0 0 100 "    \
    "60'><rect id='bar' x='5' y='25' width='90' height='10'/></svg>"

/* A cylinder with a print of the bar, laid as the lines say; more goes below. */
static Shown *show_bar(const char *folder, const char *layings, const char *more) {
    g_autofree char *plate =
        write_file(folder, "plate.yaml",
                   "tapul: plate/1\nname: Test cylinder\nsurface: { kind: cylinder, radius_mm: "
                   "100, height_mm: 200, sweep_deg: 170 }\n");
    g_autofree char *svg = write_file(folder, "bar.svg", BAR_SVG);
    g_autofree char *same = write_file(folder, "same.svg", BAR_SVG);
    g_autofree char *yaml = g_strdup_printf(
        "tapul: case/1\ntitle: A bar on a cylinder\ncredit: Invented for a test\n"
        "plate: plate.yaml\nprints:\n  - { id: bar, file: bar.svg }\n"
        "  - { id: again, file: bar.svg }\n  - { id: other, file: same.svg }\n"
        "layings:\n%s%s",
        layings, more);
    g_autofree char *path = write_file(folder, "case.yaml", yaml);
    return show_case(path);
}

#define LAID_FLAT "  - { print: bar, rule: developed, anchor: { across_mm: 0, up_mm: 100 } }\n"

static GPtrArray *pages_of(const Shown *shown, int format, unsigned layouts) {
    g_autoptr(GError) error = NULL;
    TapulComparisonOptions options = tapul_comparison_options_defaults();
    options.paper = formats[format].paper;
    options.upright = formats[format].upright;
    options.layouts = layouts;
    options.inches = format % 2 == 0;
    GPtrArray *pages = tapul_comparison_pages(&shown->comparison, &options, &error);
    ck_assert_msg(pages != NULL, "%s", error ? error->message : "");
    return pages;
}

/* The scale that a page says after the words, "2 : 3" in thin spaces. */
static double stated_scale(const TapulPage *page, const char *words) {
    g_autofree char *said = words_said_by_page(page);
    const char *at = strstr(said, words);
    double figures[2] = {0};
    ck_assert_msg(at != NULL, "'%s' is not said in: %s", words, said);
    at += strlen(words);
    for (int i = 0; i < 2; i++) {
        while (*at && !g_ascii_isdigit(*at))
            at++;
        char *end;
        figures[i] = g_ascii_strtod(at, &end);
        at = end;
    }
    ck_assert_double_gt(figures[1], 0);
    return figures[0] / figures[1];
}

/* --- Scale --- */

#define TRUE_SCALE 0.001 /* of a length on the page: the share by which it may be off */

static double width_mm(TapulBox box) {
    return box.max.x - box.min.x;
}

START_TEST(print_overlay_and_plate_are_at_the_scale_that_is_said) {
    g_autofree char *folder = new_folder();
    g_autoptr(Shown) shown = show_bar(folder, LAID_FLAT, "");
    for (int i = 0; i < (int)G_N_ELEMENTS(formats); i++) {
        g_autoptr(GPtrArray) pages = pages_of(shown, i, TAPUL_LAYOUT_BESIDE);
        const TapulPage *page = g_ptr_array_index(pages, 0);
        gboolean screen = formats[i].paper == TAPUL_PAPER_SCREEN;
        double bar_mm =
            BAR_MM * (screen ? scale_of_bar(page) : stated_scale(page, "Scale of all three"));
        double print = width_mm(box_of_group(page, "print-bar", TAPUL_BLACK));
        double overlay = width_mm(box_of_group(page, "overlay", TAPUL_PRINT_INK));
        ck_assert_double_eq_tol(print, bar_mm, TRUE_SCALE * bar_mm);
        ck_assert_double_eq_tol(overlay, bar_mm, TRUE_SCALE * bar_mm);
    }
    remove_folder(folder);
}
END_TEST

static double luminance_at(const guchar *row, int x) {
    const guchar *pixel = row + 4 * x;
    return (0.114 * pixel[0] + 0.587 * pixel[1] + 0.299 * pixel[2]) / 255;
}

/* The bar's length in pixels of a row through it: pixels that it half covers count by how dark
 * they are. */
static double dark_px(cairo_surface_t *surface, int y, int from, int to) {
    cairo_surface_flush(surface);
    const guchar *row = cairo_image_surface_get_data(surface) +
                        (gsize)y * (gsize)cairo_image_surface_get_stride(surface);
    double paper = luminance_at(row, from), ink = luminance_at(row, (from + to) / 2), sum = 0;
    ck_assert_double_gt(paper - ink, 0.5);
    for (int x = from; x <= to; x++)
        sum += (paper - luminance_at(row, x)) / (paper - ink);
    return sum;
}

static cairo_surface_t *picture_of(const TapulPage *page, double dpi) {
    g_autofree char *folder = new_folder();
    g_autofree char *path = g_build_filename(folder, "page.png", NULL);
    ck_assert(tapul_page_write_png(page, dpi, path, NULL));
    cairo_surface_t *surface = cairo_image_surface_create_from_png(path);
    ck_assert_int_eq(cairo_surface_status(surface), CAIRO_STATUS_SUCCESS);
    remove_folder(folder);
    return surface;
}

START_TEST(print_is_as_large_in_pixels_as_the_scale_says) {
    const double dpi = 300, beside_mm = 1;
    g_autofree char *folder = new_folder();
    g_autoptr(Shown) shown = show_bar(folder, LAID_FLAT, "");
    for (int i = 2; i < 4; i++) {
        g_autoptr(GPtrArray) pages = pages_of(shown, i, TAPUL_LAYOUT_BESIDE);
        const TapulPage *page = g_ptr_array_index(pages, 0);
        double px = dpi / 25.4, scale = stated_scale(page, "Scale of all three");
        TapulBox bar = box_of_group(page, "print-bar", TAPUL_BLACK);
        cairo_surface_t *surface = picture_of(page, dpi);
        int y = (int)((tapul_page_height_mm(page) - (bar.min.y + bar.max.y) / 2) * px);
        double length = dark_px(surface, y, (int)((bar.min.x - beside_mm) * px),
                                (int)((bar.max.x + beside_mm) * px));
        ck_assert_double_eq_tol(length / px, BAR_MM * scale, TRUE_SCALE * BAR_MM * scale);
        cairo_surface_destroy(surface);
    }
    remove_folder(folder);
}
END_TEST

START_TEST(figures_of_a_row_stand_on_one_base_line) {
    static const char *const rows[2][3] = {{"print", "overlay", "plate"},
                                           {"as-engraved", "laid", "as-etched"}};
    g_autofree char *folder = new_folder();
    g_autoptr(Shown) shown = show_bar(folder, LAID_FLAT, "");
    g_autoptr(GPtrArray) pages = pages_of(shown, 3, SIDE_BY_SIDE);
    ck_assert_uint_eq(pages->len, 2);
    for (int i = 0; i < 2; i++)
        for (int j = 1; j < 3; j++) {
            TapulBox print = box_of_group(pages->pdata[i], rows[i][0], ANY_COLOUR);
            TapulBox other = box_of_group(pages->pdata[i], rows[i][j], ANY_COLOUR);
            /* A view's box has some air about the plate for its edge's width. */
            ck_assert_double_eq_tol(print.min.y, other.min.y, (i == 0 ? 0.01 : 0.5));
            ck_assert_double_gt(other.min.x, print.max.x);
        }
    remove_folder(folder);
}
END_TEST

/* --- Which pages there are --- */

static guint n_beside(const char *layings) {
    g_autofree char *folder = new_folder();
    g_autoptr(Shown) shown = show_bar(folder, layings, "");
    g_autoptr(GPtrArray) pages = pages_of(shown, 2, TAPUL_LAYOUT_BESIDE);
    guint n = pages->len;
    remove_folder(folder);
    return n;
}

#define AT(print, rule, up, more)                                                              \
    "  - { print: " print ", rule: " rule ", anchor: { across_mm: 0, up_mm: " up " }" more     \
    " }\n"

START_TEST(a_print_has_a_page_for_each_way_it_is_laid) {
    ck_assert_uint_eq(
        n_beside(AT("bar", "developed", "60", "") AT("bar", "developed", "140", "")), 1);
    ck_assert_uint_eq(
        n_beside(AT("bar", "developed", "60", "") AT("again", "developed", "140", "")),
        1); /* the same file under another name */
    ck_assert_uint_eq(
        n_beside(AT("bar", "developed", "60", "") AT("other", "developed", "140", "")),
        2); /* another file */
    ck_assert_uint_eq(n_beside(AT("bar", "developed", "60", "") AT("bar", "viewed", "140", "")),
                      2);
    ck_assert_uint_eq(n_beside(AT("bar", "developed", "60", "")
                                   AT("bar", "developed", "140", ", reversed: true")),
                      2);
}
END_TEST

START_TEST(a_page_for_two_names_both_places) {
    g_autofree char *folder = new_folder();
    g_autoptr(Shown) shown = show_bar(
        folder, AT("bar", "developed", "60", "") AT("bar", "developed", "140", ""), "");
    g_autoptr(GPtrArray) pages = pages_of(shown, 2, TAPUL_LAYOUT_BESIDE);
    g_autofree char *said = words_said_by_page(pages->pdata[0]);
    ck_assert_msg(strstr(said, "Also laid from") != NULL, "%s", said);
    ck_assert_msg(strstr(said, "140") != NULL, "%s", said);
    remove_folder(folder);
}
END_TEST

static gboolean has_group(const TapulPage *page, const char *id) {
    return !tapul_box_is_empty(box_of_group(page, id, ANY_COLOUR));
}

START_TEST(sequence_turns_the_print_over_only_where_it_was_laid_reversed) {
    for (int reversed = 0; reversed < 2; reversed++) {
        g_autofree char *folder = new_folder();
        g_autoptr(Shown) shown = show_bar(
            folder, reversed ? AT("bar", "rolled", "100", ", reversed: true") : LAID_FLAT, "");
        g_autoptr(GPtrArray) pages = pages_of(shown, 3, TAPUL_LAYOUT_SEQUENCE);
        ck_assert_uint_eq(pages->len, 1);
        const TapulPage *page = pages->pdata[0];
        ck_assert(has_group(page, "as-engraved"));
        ck_assert_int_eq(has_group(page, "reversed"), reversed);
        ck_assert(has_group(page, "laid"));
        ck_assert(has_group(page, "as-etched"));
        remove_folder(folder);
    }
}
END_TEST

START_TEST(figures_are_numbered_on_over_the_pages) {
    g_autofree char *folder = new_folder();
    g_autoptr(Shown) shown =
        show_bar(folder, AT("bar", "developed", "60", "") AT("bar", "viewed", "140", ""), "");
    g_autoptr(GPtrArray) pages = pages_of(shown, 3, SIDE_BY_SIDE);
    int next = 1;
    for (guint i = 0; i < pages->len; i++) {
        const TapulPage *page = pages->pdata[i];
        for (guint j = 0; j < page->items->len; j++) {
            const TapulItem *item = &g_array_index(page->items, TapulItem, j);
            if (item->kind != TAPUL_ITEM_TEXT || !item->as.text.type.bold)
                continue;
            ck_assert_int_eq(atoi(item->as.text.text), next);
            next++;
        }
    }
    ck_assert_int_eq(next, 3 + 3 + 3 + 1);
    remove_folder(folder);
}
END_TEST

/* --- Texts --- */

static void check_all_are_clear(const Shown *shown, const char *name) {
    for (int i = 0; i < (int)G_N_ELEMENTS(formats); i++) {
        g_autoptr(GPtrArray) pages = pages_of(shown, i, SIDE_BY_SIDE);
        for (guint j = 0; j < pages->len; j++) {
            g_autofree char *page = g_strdup_printf("%s, %s, page %u", name,
                                                    tapul_paper_name(formats[i].paper), j + 1);
            const TapulPage *drawn = pages->pdata[j];
            double margin_mm = fmin(drawn->width_mm, drawn->height_mm) / 12;
            check_page_is_clear(drawn, margin_mm, page);
        }
    }
}

START_TEST(texts_are_clear_of_each_other_on_every_paper) {
    static const char *const names[] = {"gorget", "teaching", "cuff", "over-the-metal"};
    g_autoptr(Shown) shown = show_demonstration(names[_i]);
    check_all_are_clear(shown, names[_i]);
}
END_TEST

START_TEST(long_captions_and_words_of_any_script_leave_the_page_clear) {
    g_autofree char *folder = new_folder();
    g_autoptr(GString) text = g_string_new("sheet:\n  language: he\n  captions:\n    beside: ");
    /* About as long as a caption may be. */
    for (int i = 0; i < 180; i++)
        g_string_append(text, "many words ");
    g_string_append(
        text, "\n  words:\n    print: \u05d4\u05d3\u05e4\u05e1\n"
              "    plate: \u05dc\u05d5\u05d7\n    overlay: \u05db\u05d9\u05e1\u05d5\u05d9\n"
              "    as engraved: \u05db\u05e4\u05d9 \u05e9\u05e0\u05d7\u05e7\u05e7\n");
    g_autoptr(Shown) shown = show_bar(
        folder, AT("bar", "rolled", "100", ", reversed: true, turn_deg: -7"), text->str);
    check_all_are_clear(shown, "many words");
    g_autoptr(GPtrArray) pages = pages_of(shown, 2, TAPUL_LAYOUT_BESIDE);
    ck_assert_uint_eq(pages->len, 1);
    remove_folder(folder);
}
END_TEST

/* --- Kept pictures --- */

/* Set to anything, the pictures are made anew instead of compared: look at each before it is
 * kept. */
#define KEEP_ANEW "TAPUL_KEEP_SHEETS"

#define KEPT_DPI 40.0
/* Versions of cairo, pango and the face place and smooth letters and lines a little otherwise:
 * at this size that changes few pixels by much. Of 255, in the mean over the page and over each
 * figure's box; and the share of the page's pixels that are off by more than OFF_BY. */
#define MOST_MEAN_OFF        1.5
#define MOST_FIGURE_MEAN_OFF 4.0
#define OFF_BY               48.0
#define MOST_OFF_SHARE       0.01

typedef struct {
    double mean, share;
} Difference;

/* Between two pictures of a page, within a box of it, mm. */
static Difference difference(const TapulPage *page, cairo_surface_t *a, cairo_surface_t *b,
                             TapulBox box_mm) {
    double px = KEPT_DPI / 25.4, sum = 0, off = 0, n = 0;
    int width = cairo_image_surface_get_width(a), height = cairo_image_surface_get_height(a);
    int stride = cairo_image_surface_get_stride(a);
    ck_assert_int_eq(cairo_image_surface_get_width(b), width);
    ck_assert_int_eq(cairo_image_surface_get_height(b), height);
    ck_assert_int_eq(cairo_image_surface_get_stride(b), stride);
    cairo_surface_flush(a);
    cairo_surface_flush(b);
    for (int y = MAX(0, (int)((page->height_mm - box_mm.max.y) * px));
         y < MIN(height, (int)((page->height_mm - box_mm.min.y) * px)); y++)
        for (int x = MAX(0, (int)(box_mm.min.x * px)); x < MIN(width, (int)(box_mm.max.x * px));
             x++) {
            gsize row = (gsize)y * (gsize)stride;
            double by = 255 * fabs(luminance_at(cairo_image_surface_get_data(a) + row, x) -
                                   luminance_at(cairo_image_surface_get_data(b) + row, x));
            sum += by;
            off += by > OFF_BY;
            n++;
        }
    ck_assert_double_gt(n, 0);
    return (Difference){sum / n, off / n};
}

/* The page without what stands in a box of it. */
static cairo_surface_t *without(const TapulPage *page, cairo_surface_t *whole, TapulBox box) {
    double px = KEPT_DPI / 25.4;
    TapulColour paper = TAPUL_WARM_WHITE;
    cairo_surface_t *surface = cairo_image_surface_create(
        cairo_image_surface_get_format(whole), cairo_image_surface_get_width(whole),
        cairo_image_surface_get_height(whole));
    cairo_t *cr = cairo_create(surface);
    cairo_set_source_surface(cr, whole, 0, 0);
    cairo_paint(cr);
    cairo_set_source_rgb(cr, paper.red, paper.green, paper.blue);
    cairo_rectangle(cr, box.min.x * px, (page->height_mm - box.max.y) * px,
                    (box.max.x - box.min.x) * px, (box.max.y - box.min.y) * px);
    cairo_fill(cr);
    cairo_destroy(cr);
    return surface;
}

static void check_figure_kept(const TapulPage *page, cairo_surface_t *drawn,
                              cairo_surface_t *kept_picture, const char *figure,
                              const char *name) {
    TapulBox box = box_of_group(page, figure, ANY_COLOUR);
    Difference by = difference(page, drawn, kept_picture, box);
    ck_assert_msg(by.mean <= MOST_FIGURE_MEAN_OFF, "%s, %s: off by %.2f of 255 in the mean",
                  name, figure, by.mean);
    cairo_surface_t *lacking = without(page, drawn, box);
    by = difference(page, lacking, kept_picture, box);
    ck_assert_msg(by.mean > MOST_FIGURE_MEAN_OFF, "%s, %s: it would not be missed (%.2f)", name,
                  figure, by.mean);
    cairo_surface_destroy(lacking);
}

/* A page against its kept picture, and that each of its figures would be missed. */
static void check_kept(const TapulPage *page, const char *name, const char *const *figures) {
    g_autofree char *relative = g_strdup_printf("tests/golden/sheets/%s.png", name);
    g_autofree char *path = source_file(relative);
    TapulBox all = {{0, 0}, {page->width_mm, page->height_mm}};
    if (g_getenv(KEEP_ANEW))
        ck_assert(tapul_page_write_png(page, KEPT_DPI, path, NULL));
    cairo_surface_t *drawn = picture_of(page, KEPT_DPI);
    cairo_surface_t *picture = cairo_image_surface_create_from_png(path);
    ck_assert_msg(cairo_surface_status(picture) == CAIRO_STATUS_SUCCESS, "%s cannot be read",
                  path);
    Difference by = difference(page, drawn, picture, all);
    ck_assert_msg(by.mean <= MOST_MEAN_OFF && by.share <= MOST_OFF_SHARE,
                  "%s: off by %.2f of 255 in the mean, %.2f %% of pixels off", name, by.mean,
                  100 * by.share);
    for (int i = 0; figures[i]; i++)
        check_figure_kept(page, drawn, picture, figures[i], name);
    cairo_surface_destroy(picture);
    cairo_surface_destroy(drawn);
}

static const struct {
    const char *demonstration, *name;
    int format;
} kept[] = {
    {"gorget", "gorget-landscape", 3},
    {"over-the-metal", "over-the-metal-portrait", 2},
    {"cuff", "cuff-screen", 8},
};

START_TEST(pages_are_as_the_pictures_kept_of_them) {
    static const char *const figures[2][5] = {{"print", "overlay", "plate"},
                                              {"as-engraved", "laid", "as-etched"}};
    g_autoptr(Shown) shown = show_demonstration(kept[_i].demonstration);
    g_autoptr(GPtrArray) pages = pages_of(shown, kept[_i].format, SIDE_BY_SIDE);
    ck_assert_uint_eq(pages->len, 2);
    for (int i = 0; i < 2; i++) {
        g_autofree char *name =
            g_strdup_printf("%s-%s", kept[_i].name, i == 0 ? "beside" : "sequence");
        check_kept(pages->pdata[i], name, figures[i]);
    }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("comparison_pages");
    TCase *tests = tcase_create("pages");
    tcase_set_timeout(tests, 240);
    tcase_add_test(tests, print_overlay_and_plate_are_at_the_scale_that_is_said);
    tcase_add_test(tests, print_is_as_large_in_pixels_as_the_scale_says);
    tcase_add_test(tests, figures_of_a_row_stand_on_one_base_line);
    tcase_add_test(tests, a_print_has_a_page_for_each_way_it_is_laid);
    tcase_add_test(tests, a_page_for_two_names_both_places);
    tcase_add_test(tests, sequence_turns_the_print_over_only_where_it_was_laid_reversed);
    tcase_add_test(tests, figures_are_numbered_on_over_the_pages);
    tcase_add_loop_test(tests, texts_are_clear_of_each_other_on_every_paper, 0, 4);
    tcase_add_test(tests, long_captions_and_words_of_any_script_leave_the_page_clear);
    tcase_add_loop_test(tests, pages_are_as_the_pictures_kept_of_them, 0,
                        (int)G_N_ELEMENTS(kept));
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
