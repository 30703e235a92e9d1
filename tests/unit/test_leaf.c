/* The leaf of comparison pages: paper, grid, headings, feet, captions. */
#include "leaf_for_tests.h"

#include <stdlib.h>

/* --- Paper and grid --- */

START_TEST(papers_are_those_of_iso_216) {
    /* ISO 216, as check-values.md has them; and a screen's 16 : 9. */
    static const double iso_mm[][2] = {{148, 210}, {210, 297}, {297, 420}, {420, 594}};
    for (int i = 0; i < 4; i++) {
        TapulVec2 upright = tapul_paper_mm((TapulPaper)i, FALSE);
        TapulVec2 turned = tapul_paper_mm((TapulPaper)i, TRUE);
        ck_assert_double_eq(upright.x, iso_mm[i][0]);
        ck_assert_double_eq(upright.y, iso_mm[i][1]);
        ck_assert_double_eq(turned.x, iso_mm[i][1]);
        ck_assert_double_eq(turned.y, iso_mm[i][0]);
    }
    for (int landscape = 0; landscape < 2; landscape++) {
        TapulVec2 screen = tapul_paper_mm(TAPUL_PAPER_SCREEN, landscape);
        ck_assert_double_eq(screen.x, 320);
        ck_assert_double_eq(screen.y, 180);
    }
}
END_TEST

START_TEST(text_suits_where_a_page_is_read) {
    TapulLeaf a5 = tapul_leaf(TAPUL_PAPER_A5, FALSE), a4 = tapul_leaf(TAPUL_PAPER_A4, FALSE),
              a3 = tapul_leaf(TAPUL_PAPER_A3, FALSE), a2 = tapul_leaf(TAPUL_PAPER_A2, FALSE),
              screen = tapul_leaf(TAPUL_PAPER_SCREEN, TRUE);
    ck_assert_double_ge(a5.format.text_mm, 2.5);
    ck_assert_double_le(a5.format.text_mm, 2.8);
    ck_assert_double_lt(a5.format.text_mm, a4.format.text_mm);
    ck_assert_double_lt(a4.format.text_mm, a3.format.text_mm);
    ck_assert_double_lt(a3.format.text_mm, a2.format.text_mm);
    ck_assert_double_eq_tol(screen.format.text_mm, 4.2, 1e-9);
    for (int i = 0; i < N_FORMATS; i++) {
        TapulLeaf leaf = leaf_of(i);
        ck_assert_double_ge(leaf.label_mm, TAPUL_LEAST_TEXT_MM);
        ck_assert_double_ge(leaf.format.text_mm, leaf.label_mm);
        ck_assert_double_gt(leaf.title_mm, 2 * leaf.format.text_mm);
    }
}
END_TEST

START_TEST(columns_fill_the_body_exactly) {
    g_autoptr(Trial) trial = trial_new("");
    TapulLeaf leaf = leaf_of(_i);
    TapulBox body = tapul_leaf_body(&leaf, &trial->comparison, "Title", NULL);
    gboolean wide = leaf.format.width_mm > leaf.format.height_mm;
    ck_assert_int_eq(leaf.columns, wide ? 12 : 6);
    ck_assert_double_eq_tol(tapul_leaf_column_x(&leaf, 0), body.min.x, 1e-9);
    ck_assert_double_eq_tol(tapul_leaf_columns_mm(&leaf, leaf.columns), body.max.x - body.min.x,
                            1e-9);
    for (int i = 0; i + 1 < leaf.columns; i++)
        ck_assert_double_eq_tol(tapul_leaf_column_x(&leaf, i + 1) -
                                    tapul_leaf_column_x(&leaf, i) -
                                    tapul_leaf_columns_mm(&leaf, 1),
                                leaf.gutter_mm, 1e-9);
    ck_assert_double_eq_tol(tapul_leaf_column_x(&leaf, leaf.columns - 1) + leaf.column_mm,
                            body.max.x, 1e-9);
}
END_TEST

START_TEST(a_body_is_a_whole_number_of_steps_high) {
    g_autoptr(Trial) trial = trial_new("");
    TapulLeaf leaf = leaf_of(_i);
    TapulBox plain = tapul_leaf_body(&leaf, &trial->comparison, "Title", NULL);
    TapulBox under = tapul_leaf_body(&leaf, &trial->comparison, "Title", "Subtitle");
    double steps = (plain.max.y - plain.min.y) / leaf.step_mm;
    double fewer = (under.max.y - under.min.y) / leaf.step_mm;
    ck_assert_double_eq_tol(steps, round(steps), 1e-6);
    ck_assert_double_eq_tol(fewer, round(fewer), 1e-6);
    ck_assert_double_eq(plain.min.y, under.min.y);
    ck_assert_double_lt(fewer, steps);
    /* Most of the page is for the figures, a quarter of a slide for its heading. */
    ck_assert_double_gt(under.max.y - under.min.y, 0.55 * leaf.format.height_mm);
}
END_TEST

/* --- Heading and feet --- */

static const struct {
    const char *title, *credit, *rights;
} extremes[] = {
    {"Print to plate", "Workshop", NULL},
    {"Kingfishers among the reeds of the weir, ", "A workshop of many names, ", "Free, "},
    {"Donaudampfschiff", "Kupferstichkabinett", "Vervielfältigung"}, /* without a break */
    {HEBREW_TITLE " ", HEBREW_CREDIT " ", HEBREW_CREDIT " "},
    {"水邊的翠鳥與蘆葦", "水堰巷工坊", NULL},
};

START_TEST(no_heading_or_foot_leaves_the_margins_or_meets_the_body) {
    int format = _i % N_FORMATS, extreme = _i / N_FORMATS;
    g_autofree char *title = long_text(extremes[extreme].title, extreme > 0 ? 300 : 1);
    g_autofree char *credit = long_text(extremes[extreme].credit, extreme > 0 ? 900 : 1);
    g_autofree char *rights =
        extremes[extreme].rights ? long_text(extremes[extreme].rights, 400) : NULL;
    g_autoptr(Trial) trial = trial_new("");
    TapulLeaf leaf = leaf_of(format);
    trial->question.credit = credit;
    trial->question.sheet.rights = rights;
    g_autoptr(TapulPage) page = tapul_leaf_page(&leaf, &trial->comparison, title, title, "");
    g_autoptr(TapulPage) other = tapul_leaf_page(&leaf, &trial->comparison, title, NULL, "");
    TapulBox body = tapul_leaf_body(&leaf, &trial->comparison, title, title);
    guint heading = count_texts(page);
    ck_assert_uint_ge(heading, 2);
    ck_assert_uint_le(heading, 3 + 2);
    g_autoptr(GArray) above = text_boxes(page);
    for (guint i = 0; i < above->len; i++)
        ck_assert_double_gt(g_array_index(above, TapulBox, i).min.y, body.max.y + leaf.step_mm);
    replace_word(trial, "of", extreme == 1 ? title : "of");
    tapul_leaf_feet(&leaf, &trial->comparison, (TapulPage *[]){page, other}, 2);
    g_autoptr(GArray) all = text_boxes(page);
    ck_assert_uint_le(all->len - heading, 2 + 1);
    for (guint i = heading; i < all->len; i++)
        ck_assert_double_lt(g_array_index(all, TapulBox, i).max.y, body.min.y - leaf.step_mm);
    expect_inside(page, margins_of(&leaf));
    expect_apart(page);
}
END_TEST

START_TEST(margins_stay_clean_on_the_rendered_page) {
    g_autoptr(Trial) trial = trial_new("");
    g_autofree char *latin = long_text("Äpfel, Ångström & jagged Quays, ", 300);
    g_autofree char *hebrew = long_text(HEBREW_TITLE " ", 300);
    TapulLeaf leaf = leaf_of(_i % N_FORMATS);
    const char *text = _i < N_FORMATS ? latin : hebrew;
    trial->question.credit = trial->question.sheet.rights = (char *)text;
    TapulPage *pages[2];
    for (int i = 0; i < 2; i++)
        pages[i] = tapul_leaf_page(&leaf, &trial->comparison, text, text, "");
    tapul_leaf_feet(&leaf, &trial->comparison, pages, 2);
    Picture picture = picture_of(pages[1], 72);
    int width = cairo_image_surface_get_width(picture.surface);
    int height = cairo_image_surface_get_height(picture.surface);
    int margin = (int)(leaf.format.margin_mm * picture.px_per_mm) - 1;
    double inked = 0;
    for (int y = 0; y < height; y++)
        for (int x = 0; x < width; x++) {
            gboolean inside =
                x >= margin && x < width - margin && y >= margin && y < height - margin;
            if (inside)
                inked += darkness(&picture, x, y);
            else
                ck_assert_msg(fabs(darkness(&picture, x, y)) < 0.02, "ink at %d, %d px", x, y);
        }
    ck_assert_double_gt(inked, 100); /* and words there are */
    cairo_surface_destroy(picture.surface);
    for (int i = 0; i < 2; i++)
        tapul_page_free(pages[i]);
}
END_TEST

START_TEST(a_title_that_runs_to_the_left_starts_at_the_right) {
    g_autoptr(Trial) trial = trial_new("");
    TapulLeaf leaf = leaf_of(_i);
    g_autoptr(TapulPage) page =
        tapul_leaf_page(&leaf, &trial->comparison, HEBREW_TITLE, HEBREW_CREDIT, "");
    g_autoptr(GArray) boxes = text_boxes(page);
    for (guint i = 0; i < boxes->len; i++)
        ck_assert_double_eq_tol(g_array_index(boxes, TapulBox, i).max.x,
                                leaf.format.width_mm - leaf.format.margin_mm, 1e-6);
}
END_TEST

START_TEST(title_lines_are_about_as_long) {
    g_autoptr(Trial) trial = trial_new("");
    TapulLeaf leaf = tapul_leaf(TAPUL_PAPER_A4, FALSE);
    g_autoptr(TapulPage) page = tapul_leaf_page(
        &leaf, &trial->comparison,
        "The kingfishers of the Weir Lane workshop, laid over the breastplate and etched", NULL,
        "");
    g_autoptr(GArray) boxes = text_boxes(page);
    ck_assert_uint_eq(boxes->len, 2);
    TapulBox first = g_array_index(boxes, TapulBox, 0),
             last = g_array_index(boxes, TapulBox, 1);
    ck_assert_double_gt(last.max.x - last.min.x, 0.7 * (first.max.x - first.min.x));
}
END_TEST

START_TEST(pages_are_numbered_in_the_cases_words_unless_there_is_one) {
    g_autoptr(Trial) trial = trial_new("");
    TapulLeaf leaf = leaf_of(_i);
    replace_word(trial, "page", "Seite");
    replace_word(trial, "of", "von");
    trial->question.sheet.rights = (char *)"All rights with the workshop";
    TapulPage *pages[3];
    for (int i = 0; i < 3; i++)
        pages[i] = tapul_leaf_page(&leaf, &trial->comparison, "Title", NULL, "");
    tapul_leaf_feet(&leaf, &trial->comparison, pages, 2);
    tapul_leaf_feet(&leaf, &trial->comparison, pages + 2, 1);
    ck_assert(has_text(pages[0], "Seite 1 von 2"));
    ck_assert(has_text(pages[1], "Seite 2 von 2"));
    ck_assert(!has_text(pages[2], "Seite"));
    for (int i = 0; i < 3; i++) {
        ck_assert(has_text(pages[i], "Weir Lane workshop, invented"));
        ck_assert(has_text(pages[i], "All rights with the workshop"));
        expect_inside(pages[i], margins_of(&leaf));
        expect_apart(pages[i]);
        tapul_page_free(pages[i]);
    }
}
END_TEST

/* The parts that a page begins, in order. */
static void expect_parts(const TapulPage *page, const TapulPart *parts, guint n) {
    guint found = 0;
    for (guint i = 0; i < page->items->len; i++)
        if (item_of(page, i)->kind == TAPUL_ITEM_BEGIN_PART) {
            ck_assert_uint_lt(found, n);
            ck_assert_int_eq(item_of(page, i)->as.part.part, parts[found++]);
        }
    ck_assert_uint_eq(found, n);
    ck_assert_uint_eq(page->open->len, 0);
}

START_TEST(a_page_tells_who_made_it_and_what_is_read) {
    g_autoptr(Trial) trial = trial_new("");
    TapulLeaf leaf = tapul_leaf(TAPUL_PAPER_A4, FALSE);
    trial->question.sheet.language = (char *)"de-AT";
    trial->question.sheet.author = (char *)"A. Curator";
    g_autoptr(TapulPage) page =
        tapul_leaf_page(&leaf, &trial->comparison, "Title", "Subtitle", "What it shows");
    ck_assert_str_eq(page->language, "de-AT");
    ck_assert_str_eq(page->author, "A. Curator");
    ck_assert_str_eq(page->outline, "Title");
    ck_assert_str_eq(page->title, "Title");
    ck_assert_str_eq(page->description, "What it shows");
    TapulVec2 at = {40, 200};
    tapul_leaf_caption(&leaf, page, at, 80, "1", "Alone", NULL);
    tapul_page_begin_part(page, TAPUL_PART_FIGURE, "A figure");
    tapul_leaf_caption(&leaf, page, at, 80, "2", "In its figure", NULL);
    tapul_page_end_part(page);
    tapul_page_begin_part(page, TAPUL_PART_CAPTION, NULL);
    tapul_leaf_caption(&leaf, page, at, 80, "3", "In the caller's part", NULL);
    tapul_page_end_part(page);
    tapul_leaf_legend(&leaf, page, at, 80, &trial->comparison);
    tapul_leaf_feet(&leaf, &trial->comparison, &page, 1);
    static const TapulPart parts[] = {
        TAPUL_PART_TITLE,   TAPUL_PART_PARAGRAPH, TAPUL_PART_CAPTION,   TAPUL_PART_FIGURE,
        TAPUL_PART_CAPTION, TAPUL_PART_CAPTION,   TAPUL_PART_PARAGRAPH, TAPUL_PART_PARAGRAPH};
    expect_parts(page, parts, G_N_ELEMENTS(parts));
}
END_TEST

/* --- Captions --- */

#define TOLD                                                                                   \
    "Rolled from 0, 260 mm by tape, at its own size. 9.46 m of line in the print, 9.51 m on "  \
    "the metal. Of 14 motifs 11 kept, 2 moved, 1 left out."
#define HEBREW_TOLD                                                                            \
    "Dürer (1500) עבודת יד; ראו 92 × 128 מ״מ. קנה מידה 1 : 2, והציפור השמאלית נוטה מעט."

static const struct {
    const char *number, *label, *text;
} captions[] = {
    {"1", "Laid over the metal", TOLD},
    {"12", NULL, TOLD},
    {"3", "As etched", NULL},
    {"4", NULL, NULL},
    {NULL, NULL, TOLD},
    {"5", "What is this?", "A line\nbroken by its author, and \xff bytes that are no text."},
    {"6", "ההדפס", HEBREW_TOLD},
    {"7", NULL, "水邊的翠鳥與蘆葦，以及水堰巷工坊的鏤刻裝飾，皆為示範而虛構。"},
    {"8", "Ein Wort", "Vervielfältigungsgenehmigungsverfahrensordnungsentwurf"},
};

static const double widths_mm[] = {25, 41.3, 84.5, 170};

START_TEST(captions_measure_as_they_are_drawn) {
    TapulLeaf leaf = leaf_of(_i);
    TapulVec2 at = {20, 140};
    for (guint k = 0; k < G_N_ELEMENTS(captions); k++)
        for (guint w = 0; w < G_N_ELEMENTS(widths_mm); w++) {
            double width_mm = widths_mm[w];
            g_autoptr(TapulPage) page = tapul_page_new(400, 400, "", "");
            double measured = tapul_leaf_caption(&leaf, NULL, at, width_mm, captions[k].number,
                                                 captions[k].label, captions[k].text);
            double drawn = tapul_leaf_caption(&leaf, page, at, width_mm, captions[k].number,
                                              captions[k].label, captions[k].text);
            ck_assert_double_eq_tol(measured, drawn, 1e-9);
            double steps = (at.y - drawn) / leaf.step_mm;
            ck_assert_double_eq_tol(steps, round(steps), 1e-6);
            expect_inside(page, (TapulBox){{at.x, drawn}, {at.x + width_mm, at.y}});
            expect_apart(page);
            /* The last line is there, and nothing stands below it. */
            g_autoptr(GArray) boxes = text_boxes(page);
            double lowest = INFINITY;
            for (guint i = 0; i < boxes->len; i++)
                lowest = fmin(lowest, g_array_index(boxes, TapulBox, i).min.y);
            ck_assert_double_lt(lowest - drawn, leaf.step_mm / 2);
        }
}
END_TEST

/* The page's words in reading order, lines joined by a space. */
static char *read_out(const TapulPage *page) {
    GString *read = g_string_new(NULL);
    double baseline = NAN;
    for (guint i = 0; i < page->items->len; i++) {
        const TapulItem *item = item_of(page, i);
        if (item->kind != TAPUL_ITEM_TEXT)
            continue;
        if (read->len > 0 && item->as.text.at.y != baseline)
            g_string_append_c(read, ' ');
        baseline = item->as.text.at.y;
        g_string_append(read, item->as.text.text);
    }
    return g_string_free(read, FALSE);
}

START_TEST(a_caption_runs_on_in_three_kinds_of_type) {
    TapulLeaf leaf = leaf_of(_i);
    g_autoptr(TapulPage) page = tapul_page_new(400, 400, "", "");
    tapul_leaf_caption(&leaf, page, tapul_vec2(20, 140), 60, "1", "Laid over the metal", TOLD);
    g_autofree char *read = read_out(page);
    ck_assert_str_eq(read, "1\u2002Laid over the metal. " TOLD);
    gboolean told = FALSE, labelled = FALSE;
    for (guint i = 0; i < page->items->len; i++) {
        const TapulItem *item = item_of(page, i);
        if (item->kind != TAPUL_ITEM_TEXT)
            continue;
        const TapulType *type = &item->as.text.type;
        ck_assert_int_eq(type->bold,
                         !labelled && !told && g_ascii_isdigit(*item->as.text.text));
        ck_assert(!(told && (type->bold || type->italic)));
        labelled = labelled || type->italic;
        told = told || (labelled && !type->italic);
        ck_assert_double_eq(type->size_mm, leaf.format.text_mm);
    }
    ck_assert(labelled && told);
}
END_TEST

START_TEST(runs_of_a_line_follow_each_other) {
    TapulLeaf leaf = leaf_of(_i);
    for (int hebrew = 0; hebrew < 2; hebrew++) {
        g_autoptr(TapulPage) page = tapul_page_new(400, 400, "", "");
        TapulVec2 at = {20, 140};
        tapul_leaf_caption(&leaf, page, at, 300, "1", hebrew ? "ההדפס" : "The print",
                           hebrew ? HEBREW_TOLD : TOLD);
        g_autoptr(GArray) boxes = text_boxes(page);
        ck_assert_uint_ge(boxes->len, 3);
        TapulBox first = g_array_index(boxes, TapulBox, 0);
        ck_assert_double_eq_tol(hebrew ? first.max.x : first.min.x, hebrew ? 320 : 20, 1e-6);
        for (guint i = 1; i < 3; i++) {
            TapulBox before = g_array_index(boxes, TapulBox, i - 1);
            TapulBox next = g_array_index(boxes, TapulBox, i);
            ck_assert_double_eq_tol(hebrew ? next.max.x : next.min.x,
                                    hebrew ? before.min.x : before.max.x, 1e-6);
        }
    }
}
END_TEST

START_TEST(a_print_is_told_in_a_curators_words) {
    g_autoptr(Trial) trial = trial_new("");
    TapulInk ink = {.width_mm = 92, .height_mm = 128};
    TapulInk scanned = {.width_mm = 91.64, .height_mm = 127.98};
    TapulPrint titled = {.id = (char *)"cartouche",
                         .title = (char *)"Reed cartouche",
                         .credit = (char *)"Weir Lane workshop, invented",
                         .ink = &ink};
    TapulPrint named = {.id = (char *)"river-trophy", .ink = &scanned};
    g_ptr_array_add(trial->question.prints, &titled);
    g_ptr_array_add(trial->question.prints, &named);
    g_autofree char *first = tapul_leaf_print_words(&trial->comparison, 0);
    g_autofree char *second = tapul_leaf_print_words(&trial->comparison, 1);
    ck_assert_str_eq(first, "Reed cartouche. 92\u00a0\u00d7\u00a0128\u00a0mm. "
                            "Weir Lane workshop, invented.");
    ck_assert_str_eq(second, "River trophy. 91.6\u00a0\u00d7\u00a0128\u00a0mm.");
}
END_TEST

int main(void) {
    Suite *suite = suite_create("leaf");
    TCase *tests = tcase_create("leaf");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, papers_are_those_of_iso_216);
    tcase_add_test(tests, text_suits_where_a_page_is_read);
    tcase_add_loop_test(tests, columns_fill_the_body_exactly, 0, N_FORMATS);
    tcase_add_loop_test(tests, a_body_is_a_whole_number_of_steps_high, 0, N_FORMATS);
    tcase_add_loop_test(tests, no_heading_or_foot_leaves_the_margins_or_meets_the_body, 0,
                        N_FORMATS * (int)G_N_ELEMENTS(extremes));
    tcase_add_loop_test(tests, margins_stay_clean_on_the_rendered_page, 0, 2 * N_FORMATS);
    tcase_add_loop_test(tests, a_title_that_runs_to_the_left_starts_at_the_right, 0, N_FORMATS);
    tcase_add_test(tests, title_lines_are_about_as_long);
    tcase_add_loop_test(tests, pages_are_numbered_in_the_cases_words_unless_there_is_one, 0,
                        N_FORMATS);
    tcase_add_test(tests, a_page_tells_who_made_it_and_what_is_read);
    tcase_add_loop_test(tests, captions_measure_as_they_are_drawn, 0, N_FORMATS);
    tcase_add_loop_test(tests, a_caption_runs_on_in_three_kinds_of_type, 0, N_FORMATS);
    tcase_add_loop_test(tests, runs_of_a_line_follow_each_other, 0, N_FORMATS);
    tcase_add_test(tests, a_print_is_told_in_a_curators_words);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
