/* Pages for those who have them read out, as PDF: what poppler and libqpdf find in the files.
 */
#include "access_pages_for_tests.h"

#include <poppler.h>
#include <qpdf/qpdf-c.h>
#include <stdlib.h>

static const char all_parts[] = "1:H1 1:H2 1:Figure 1:Caption 1:H2 1:Table 2:TR 3:TD 3:TD 2:TR "
                                "3:TD 3:TD 1:P";

static PopplerDocument *open_pdf(const char *path) {
    g_autofree char *uri = g_filename_to_uri(path, NULL, NULL);
    PopplerDocument *document = poppler_document_new_from_file(uri, NULL, NULL);
    ck_assert_ptr_nonnull(document);
    return document;
}

/* --- Readers of the structure --- */

static const char *text_value(qpdf_data pdf, qpdf_oh dictionary, const char *key) {
    return qpdf_oh_get_utf8_value(pdf, qpdf_oh_get_key(pdf, dictionary, key));
}

static gboolean flag(qpdf_data pdf, qpdf_oh owner, const char *dictionary, const char *key) {
    qpdf_oh found = qpdf_oh_get_key(pdf, owner, dictionary);
    return qpdf_oh_is_dictionary(pdf, found) &&
           qpdf_oh_get_bool_value(pdf, qpdf_oh_get_key(pdf, found, key));
}

static qpdf_data read_pdf(const char *path) {
    qpdf_data pdf = qpdf_init();
    ck_assert_int_eq(qpdf_read(pdf, path, NULL), QPDF_SUCCESS);
    ck_assert_int_eq(qpdf_check_pdf(pdf), QPDF_SUCCESS);
    return pdf;
}

/* The structure below an element as "1:H1 1:Figure ...", and the elements of a kind. */
static void add_structure(qpdf_data pdf, qpdf_oh element, int depth, GString *kinds,
                          const char *wanted, GArray *found) {
    if (!qpdf_oh_is_dictionary(pdf, element))
        return;
    qpdf_oh kind = qpdf_oh_get_key(pdf, element, "/S");
    if (qpdf_oh_is_name(pdf, kind)) {
        if (wanted && qpdf_oh_is_name_and_equals(pdf, kind, wanted))
            g_array_append_val(found, element);
        g_string_append_printf(kinds, "%s%d:%s", kinds->len > 0 ? " " : "", depth,
                               qpdf_oh_get_name(pdf, kind) + 1);
    }
    qpdf_oh below = qpdf_oh_get_key(pdf, element, "/K");
    if (!qpdf_oh_is_array(pdf, below)) {
        add_structure(pdf, below, depth + 1, kinds, wanted, found);
        return;
    }
    for (int i = 0; i < qpdf_oh_get_array_n_items(pdf, below); i++)
        add_structure(pdf, qpdf_oh_get_array_item(pdf, below, i), depth + 1, kinds, wanted,
                      found);
}

static qpdf_oh structure_of(qpdf_data pdf) {
    return qpdf_oh_get_key(pdf, qpdf_get_root(pdf), "/StructTreeRoot");
}

/* The elements of a kind; a GArray of qpdf_oh. */
static GArray *elements_of_kind(qpdf_data pdf, const char *kind) {
    GArray *found = g_array_new(FALSE, FALSE, sizeof(qpdf_oh));
    GString *kinds = g_string_new(NULL);
    add_structure(pdf, structure_of(pdf), -1, kinds, kind, found);
    g_string_free(kinds, TRUE);
    return found;
}

/* Element n of an array of four numbers: a box in points. */
static double side_pt(qpdf_data pdf, qpdf_oh element, int n) {
    qpdf_oh layout = qpdf_oh_get_key(pdf, element, "/A");
    ck_assert(qpdf_oh_is_name_and_equals(pdf, qpdf_oh_get_key(pdf, layout, "/O"), "/Layout"));
    qpdf_oh box = qpdf_oh_get_key(pdf, layout, "/BBox");
    ck_assert_int_eq(qpdf_oh_get_array_n_items(pdf, box), 4);
    return qpdf_oh_get_numeric_value(pdf, qpdf_oh_get_array_item(pdf, box, n));
}

/* The words of the structure's elements in order, as poppler gives them, one a line. */
static char *words_of(const char *path) {
    g_autofree char *said =
        run((const char *[]){"pdfinfo", "-struct-text", "-enc", "UTF-8", path, NULL});
    g_auto(GStrv) lines = g_strsplit(said, "\n", -1);
    GString *words = g_string_new(NULL);
    for (int i = 0; lines[i]; i++) {
        char *line = g_strstrip(lines[i]);
        gsize length = strlen(line);
        if (length >= 2 && line[0] == '"' && line[length - 1] == '"')
            g_string_append_printf(words, "%.*s\n", (int)length - 2, line + 1);
    }
    return g_string_free(words, FALSE);
}

/* --- What is found --- */

START_TEST(pdfinfo_shows_title_author_tags_and_a_size_that_is_a4) {
    g_autoptr(TapulPage) page = read_page("Reed cartouche");
    g_autofree char *path = write_pdf(&page, 1, "page.pdf");
    g_autofree char *said = run((const char *[]){"pdfinfo", "-enc", "UTF-8", path, NULL});
    ck_assert_ptr_nonnull(strstr(said, "Title:           Reed cartouche\n"));
    ck_assert_ptr_nonnull(strstr(said, "Subject:         Print and plate.\n"));
    ck_assert_ptr_nonnull(strstr(said, "Author:          Ada L\u00f6we & S\u00f6hne\n"));
    ck_assert_ptr_nonnull(strstr(said, "Tagged:          yes\n"));
    /* 210 x 297 mm (ISO 216) of 72/25.4 points each (ISO 32000-1, 8.3.2.1) */
    ck_assert_ptr_nonnull(strstr(said, "Page size:       595.276 x 841.89 pts (A4)\n"));
    ck_assert_ptr_null(strstr(said, "Date:"));
}
END_TEST

START_TEST(tagged_pages_keep_their_size) {
    /* ISO 216, and the same in points of 1/72 in */
    static const double sizes[][4] = {{148, 210, 419.528, 595.276},
                                      {210, 297, 595.276, 841.890},
                                      {297, 420, 841.890, 1190.551},
                                      {420, 594, 1190.551, 1683.780}};
    for (guint i = 0; i < G_N_ELEMENTS(sizes); i++) {
        g_autoptr(TapulPage) page = tapul_page_new(sizes[i][0], sizes[i][1], "Size", "");
        draw_part(page, TAPUL_PART_TITLE, tapul_vec2(10, 100), "Size");
        g_autofree char *path = write_pdf(&page, 1, "size.pdf");
        PopplerDocument *document = open_pdf(path);
        PopplerPage *read = poppler_document_get_page(document, 0);
        double width_pt, height_pt;
        poppler_page_get_size(read, &width_pt, &height_pt);
        ck_assert_double_eq_tol(width_pt, sizes[i][2], 0.01);
        ck_assert_double_eq_tol(height_pt, sizes[i][3], 0.01);
        g_object_unref(read);
        g_object_unref(document);
    }
}
END_TEST

START_TEST(structure_has_the_parts_in_the_order_of_the_calls) {
    g_autoptr(TapulPage) first = read_page("First"), plain = plain_page(),
                         last = read_page("Last");
    TapulPage *pages[] = {first, plain, last};
    g_autofree char *path = write_pdf(pages, 3, "pages.pdf");
    qpdf_data pdf = read_pdf(path);
    g_autoptr(GArray) none = g_array_new(FALSE, FALSE, sizeof(qpdf_oh));
    GString *kinds = g_string_new(NULL);
    add_structure(pdf, structure_of(pdf), -1, kinds, NULL, none);
    g_autofree char *expected = g_strdup_printf("0:Document %s %s", all_parts, all_parts);
    ck_assert_str_eq(kinds->str, expected);
    g_string_free(kinds, TRUE);
    qpdf_cleanup(&pdf);
}
END_TEST

START_TEST(figures_say_what_they_show_and_where_they_lie) {
    g_autoptr(TapulPage) first = read_page("First"), second = read_page("Second");
    TapulPage *pages[] = {first, second};
    g_autofree char *path = write_pdf(pages, 2, "pages.pdf");
    qpdf_data pdf = read_pdf(path);
    g_autoptr(GArray) figures = elements_of_kind(pdf, "/Figure");
    g_autoptr(GArray) tables = elements_of_kind(pdf, "/Table");
    ck_assert_uint_eq(figures->len, 2);
    ck_assert_uint_eq(tables->len, 2);
    for (guint i = 0; i < 2; i++) {
        qpdf_oh figure = g_array_index(figures, qpdf_oh, i);
        qpdf_oh table = g_array_index(tables, qpdf_oh, i);
        ck_assert_str_eq(text_value(pdf, figure, "/Alt"), described);
        ck_assert(!qpdf_oh_has_key(pdf, table, "/Alt"));
        /* A line 1 mm wide, drawn twice as large, from 110, 220 mm, cut at 30 mm of its 40. */
        static const double box_mm[] = {110, 219, 140, 221};
        for (int side = 0; side < 4; side++)
            ck_assert_double_eq_tol(side_pt(pdf, figure, side), box_mm[side] * 72 / 25.4, 0.01);
        ck_assert_double_eq_tol(side_pt(pdf, table, 0), 20 * 72 / 25.4, 0.01);
        ck_assert_double_gt(side_pt(pdf, table, 3), 222 * 72 / 25.4);
    }
    qpdf_cleanup(&pdf);
}
END_TEST

START_TEST(figures_without_words_or_without_anything_drawn_are_figures) {
    g_autoptr(TapulPage) page = tapul_page_new(100, 100, "Few", "");
    tapul_page_begin_part(page, TAPUL_PART_FIGURE, NULL);
    draw_bar(page, 10, 10, 10);
    tapul_page_end_part(page);
    tapul_page_begin_part(page, TAPUL_PART_FIGURE, "Nothing");
    tapul_page_end_part(page);
    g_autofree char *path = write_pdf(&page, 1, "page.pdf");
    qpdf_data pdf = read_pdf(path);
    g_autoptr(GArray) figures = elements_of_kind(pdf, "/Figure");
    ck_assert_uint_eq(figures->len, 2);
    ck_assert(!qpdf_oh_has_key(pdf, g_array_index(figures, qpdf_oh, 0), "/Alt"));
    qpdf_oh nothing = g_array_index(figures, qpdf_oh, 1);
    ck_assert_str_eq(text_value(pdf, nothing, "/Alt"), "Nothing");
    ck_assert(!qpdf_oh_has_key(pdf, nothing, "/A"));
    qpdf_cleanup(&pdf);
}
END_TEST

/* Words at line ends stay apart; ligatures and small capitals are letters; a line of two
 * scripts is in its order. */
START_TEST(elements_hold_their_words) {
    g_autoptr(TapulPage) page = read_page("Reed cartouche");
    g_autofree char *path = write_pdf(&page, 1, "page.pdf");
    g_autofree char *words = words_of(path);
    /* Of the figure, which has no words, an empty line. */
    g_autofree char *expected =
        g_strdup_printf("Reed cartouche \nWhat Motifs Show \n\n%s \nThe Print \nheron \nkept \n"
                        "reeds \nleft out \n%s \n",
                        english, hebrew);
    ck_assert_str_eq(words, expected);
}
END_TEST

/* The small cut of the face has no such space of its own. */
START_TEST(a_narrow_space_neither_breaks_nor_ends_a_part) {
    static const char words[] = "Reduced to 90\u202f% of its size";
    TapulType small = text_type;
    small.size_mm = 3;
    for (double width_mm = 12; width_mm < 40; width_mm++) {
        g_autoptr(GPtrArray) lines = tapul_page_break_lines(words, width_mm, &small);
        for (guint i = 0; i < lines->len; i++)
            ck_assert(!g_str_has_prefix(lines->pdata[i], "%"));
    }
    g_autoptr(TapulPage) page = tapul_page_new(100, 100, "Narrow", "");
    tapul_page_begin_part(page, TAPUL_PART_PARAGRAPH, NULL);
    tapul_page_paragraph(page, tapul_vec2(10, 50), 80, words, &small);
    tapul_page_end_part(page);
    g_autofree char *path = write_pdf(&page, 1, "page.pdf");
    g_autofree char *found = words_of(path);
    ck_assert_str_eq(found, "Reduced to 90\u2009% of its size \n");
}
END_TEST

START_TEST(text_is_extracted_in_the_order_of_the_calls) {
    static const char *const in_order[] = {"Ornament",
                                           "Reed cartouche\n",
                                           "What Motifs Show",
                                           "afflicted",
                                           "The Print",
                                           "heron",
                                           "kept",
                                           "reeds",
                                           "left out"};
    g_autoptr(TapulPage) page = read_page("Reed cartouche");
    g_autofree char *path = write_pdf(&page, 1, "page.pdf");
    g_autofree char *text =
        run((const char *[]){"pdftotext", "-raw", "-enc", "UTF-8", path, "-", NULL});
    const char *from = text;
    for (guint i = 0; i < G_N_ELEMENTS(in_order); i++) {
        from = strstr(from, in_order[i]);
        ck_assert_msg(from, "%s in %s", in_order[i], text);
    }
}
END_TEST

START_TEST(catalogue_says_language_and_that_the_title_is_shown) {
    g_autoptr(TapulPage) tagged = read_page("Tagged"), plain = plain_page();
    TapulPage *pages[] = {tagged, plain};
    for (int i = 0; i < 2; i++) {
        g_autofree char *path = write_pdf(&pages[i], 1, "page.pdf");
        qpdf_data pdf = read_pdf(path);
        qpdf_oh catalogue = qpdf_get_root(pdf);
        ck_assert_str_eq(text_value(pdf, catalogue, "/Lang"), i == 0 ? "en-GB" : "en");
        ck_assert(flag(pdf, catalogue, "/ViewerPreferences", "/DisplayDocTitle"));
        ck_assert_int_eq(flag(pdf, catalogue, "/MarkInfo", "/Marked"), i == 0);
        ck_assert_int_eq(qpdf_oh_has_key(pdf, catalogue, "/StructTreeRoot"), i == 0);
        ck_assert_ptr_null(qpdf_get_info_key(pdf, "/CreationDate"));
        ck_assert_ptr_null(qpdf_get_info_key(pdf, "/ModDate"));
        ck_assert(!qpdf_oh_has_key(pdf, qpdf_get_page_n(pdf, 0), "/UserUnit"));
        qpdf_cleanup(&pdf);
    }
}
END_TEST

START_TEST(text_outside_parts_comes_out) {
    g_autoptr(TapulPage) page = plain_page();
    g_autofree char *path = write_pdf(&page, 1, "page.pdf");
    g_autofree char *text = run((const char *[]){"pdftotext", path, "-", NULL});
    ck_assert_str_eq(g_strchomp(text), "Words");
}
END_TEST

START_TEST(several_pages_have_an_outline_and_one_has_none) {
    g_autoptr(TapulPage) first = read_page("First"), second = read_page("Second");
    TapulPage *pages[] = {first, second};
    tapul_page_set_outline(second, "פריט & motifs");
    static const char *const entries[] = {"First", "פריט & motifs"};
    g_autofree char *alone = write_pdf(pages, 1, "one.pdf");
    PopplerDocument *document = open_pdf(alone);
    ck_assert_ptr_null(poppler_index_iter_new(document));
    g_object_unref(document);
    g_autofree char *path = write_pdf(pages, 2, "two.pdf");
    document = open_pdf(path);
    PopplerIndexIter *iter = poppler_index_iter_new(document);
    ck_assert_ptr_nonnull(iter);
    for (int i = 0; i < 2; i++) {
        PopplerAction *action = poppler_index_iter_get_action(iter);
        ck_assert_str_eq(action->any.title, entries[i]);
        ck_assert_int_eq(action->type, POPPLER_ACTION_GOTO_DEST);
        ck_assert_int_eq(action->goto_dest.dest->page_num, i + 1);
        poppler_action_free(action);
        ck_assert_int_eq(poppler_index_iter_next(iter), i == 0);
    }
    poppler_index_iter_free(iter);
    g_object_unref(document);
}
END_TEST

START_TEST(two_writings_give_the_same_bytes) {
    char *bytes[2] = {NULL, NULL};
    gsize length[2];
    for (int i = 0; i < 2; i++) {
        g_autoptr(TapulPage) first = read_page("First"), second = read_page("Second");
        TapulPage *pages[] = {first, second};
        g_autofree char *path = write_pdf(pages, 2, i ? "one.pdf" : "other.pdf");
        ck_assert(g_file_get_contents(path, &bytes[i], &length[i], NULL));
    }
    ck_assert_uint_eq(length[0], length[1]);
    ck_assert_mem_eq(bytes[0], bytes[1], length[0]);
    g_free(bytes[0]);
    g_free(bytes[1]);
}
END_TEST

int main(void) {
    const TTest *const tests[] = {
        pdfinfo_shows_title_author_tags_and_a_size_that_is_a4,
        tagged_pages_keep_their_size,
        structure_has_the_parts_in_the_order_of_the_calls,
        figures_say_what_they_show_and_where_they_lie,
        figures_without_words_or_without_anything_drawn_are_figures,
        elements_hold_their_words,
        a_narrow_space_neither_breaks_nor_ends_a_part,
        text_is_extracted_in_the_order_of_the_calls,
        catalogue_says_language_and_that_the_title_is_shown,
        text_outside_parts_comes_out,
        several_pages_have_an_outline_and_one_has_none,
        two_writings_give_the_same_bytes,
    };
    return run_in_folders("page_access", tests, G_N_ELEMENTS(tests));
}
