/* Pages with parts, and readers of what is written of them. */
#ifndef TAPUL_TESTS_ACCESS_PAGES_FOR_TESTS_H
#define TAPUL_TESTS_ACCESS_PAGES_FOR_TESTS_H

#include "program_for_tests.h"
#include "sheet/page_items.h"

static const TapulType text_type = {.size_mm = 4, .colour = {0, 0, 0, 1}};
static const char english[] =
    "Reed cartouche: the afflicted officer\u2019s final flourish, 92 \u00d7 128 mm, as it was "
    "engraved.";
/* Mixed: the Latin name begins the second line at the width used. */
static const char hebrew[] = "הכרזה המצוירת על לוח החזה מן המאה "
                             "Reed cartouche (London 1592), והועתקה אל הפלדה בקנה מידה 1 : 1.";
static const char described[] = "The print, a \u201creed\u201d & heron, black on <paper>";

static char *folder;

static inline void make_folder(void) {
    folder = new_folder();
}

static inline void drop_folder(void) {
    remove_folder(folder);
    g_free(folder);
}

static inline char *in_folder(const char *name) {
    return g_build_filename(folder, name, NULL);
}

/* --- Pages --- */

static inline void draw_bar(TapulPage *page, double x_mm, double y_mm, double width_mm) {
    g_autoptr(TapulPath) path = tapul_path_new();
    tapul_path_move(path, tapul_vec2(x_mm, y_mm));
    tapul_path_line(path, tapul_vec2(x_mm + width_mm, y_mm));
    tapul_page_path(page, path, &(TapulPen){.stroke = TAPUL_BLACK, .width_mm = 1});
}

static inline void draw_part(TapulPage *page, TapulPart part, TapulVec2 at, const char *text) {
    TapulType type = text_type;
    type.small_capitals = part == TAPUL_PART_HEADING;
    tapul_page_begin_part(page, part, NULL);
    tapul_page_paragraph(page, at, 80, text, &type);
    tapul_page_end_part(page);
}

/* The drawing is 40 mm wide, cut to 30, its middle line at y. */
static inline void draw_figure(TapulPage *page, TapulVec2 at) {
    g_autoptr(TapulPath) cut = tapul_path_new();
    tapul_path_move(cut, tapul_vec2(0, -20));
    tapul_path_line(cut, tapul_vec2(15, -20));
    tapul_path_line(cut, tapul_vec2(15, 20));
    tapul_path_line(cut, tapul_vec2(0, 20));
    tapul_path_close(cut);
    tapul_page_begin_part(page, TAPUL_PART_FIGURE, described);
    tapul_page_begin_group(page, "print", "Print", &(TapulAffine){2, 0, 0, 2, at.x, at.y});
    tapul_page_begin_clip(page, cut);
    draw_bar(page, 0, 0, 20);
    tapul_page_end_clip(page);
    tapul_page_end_group(page);
    draw_part(page, TAPUL_PART_CAPTION, tapul_vec2(at.x, at.y - 10), english);
    tapul_page_end_part(page);
}

static inline void draw_table(TapulPage *page, TapulVec2 at) {
    static const char *const words[2][2] = {{"heron", "kept"}, {"reeds", "left out"}};
    tapul_page_begin_part(page, TAPUL_PART_TABLE, NULL);
    for (int row = 0; row < 2; row++) {
        tapul_page_begin_part(page, TAPUL_PART_ROW, NULL);
        for (int column = 0; column < 2; column++)
            draw_part(page, TAPUL_PART_CELL, tapul_vec2(at.x + 30 * column, at.y - 6 * row),
                      words[row][column]);
        tapul_page_end_part(page);
    }
    tapul_page_end_part(page);
}

/* Read from the right column to the left, which is not how it lies. */
static inline TapulPage *read_page(const char *title) {
    TapulPage *page = tapul_page_new(210, 297, title, "Print and plate.");
    tapul_page_set_language(page, "en-GB");
    tapul_page_set_author(page, "Ada L\u00f6we & S\u00f6hne");
    tapul_page_text(page, tapul_vec2(20, 10), "Ornament", &text_type);
    draw_part(page, TAPUL_PART_TITLE, tapul_vec2(20, 270), title);
    draw_part(page, TAPUL_PART_HEADING, tapul_vec2(110, 240), "What Motifs Show");
    draw_figure(page, tapul_vec2(110, 220));
    draw_part(page, TAPUL_PART_HEADING, tapul_vec2(20, 240), "The Print");
    draw_table(page, tapul_vec2(20, 220));
    draw_part(page, TAPUL_PART_PARAGRAPH, tapul_vec2(20, 150), hebrew);
    return page;
}

static inline TapulPage *plain_page(void) {
    TapulPage *page = tapul_page_new(100, 100, "Plain", "A picture");
    tapul_page_text(page, tapul_vec2(10, 50), "Words", &text_type);
    return page;
}

static inline char *write_pdf(TapulPage *const *pages, int n, const char *name) {
    char *path = in_folder(name);
    g_autoptr(GError) error = NULL;
    gboolean written = tapul_page_write_pdf(pages, n, path, &error);
    ck_assert_msg(written, "%s", error ? error->message : "");
    return path;
}

/* --- Readers --- */

static inline char *run(const char *const *arguments) {
    char *output = NULL, *errors = NULL;
    g_autoptr(GError) error = NULL;
    int status = -1;
    gboolean ran = g_spawn_sync(NULL, (char **)arguments, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL,
                                &output, &errors, &status, &error);
    ck_assert_msg(ran && status == 0, "%s: %s", arguments[0], error ? error->message : errors);
    ck_assert_str_eq(errors, "");
    g_free(errors);
    return output;
}

/* Runs the tests, each with a folder of its own. */
static inline int run_in_folders(const char *name, const TTest *const *tests, guint n) {
    Suite *suite = suite_create(name);
    TCase *together = tcase_create(name);
    tcase_add_checked_fixture(together, make_folder, drop_folder);
    tcase_set_timeout(together, 60);
    for (guint i = 0; i < n; i++)
        tcase_add_test(together, tests[i]);
    suite_add_tcase(suite, together);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

#endif
