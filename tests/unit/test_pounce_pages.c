/* The maker's tiles: paper, scale, joints, what stands on each. */
#include "pounce_pages_for_tests.h"

/* Where the first and the last dark pixel of a level or upright line of the page lie, to a part
 * of a pixel, between two places along it. */
static double extent_mm(const Rendered *rendered, gboolean upright, double at_mm,
                        double from_mm, double to_mm, double *first_mm) {
    double height = rendered->height_px, start = NAN, end = NAN;
    int across =
        (int)floor(upright ? at_mm * rendered->per_mm : height - at_mm * rendered->per_mm);
    int first = (int)floor(from_mm * rendered->per_mm);
    int last = (int)ceil(to_mm * rendered->per_mm);
    for (int along = first; along <= last; along++) {
        double dark = upright ? darkness(rendered, across, (int)height - 1 - along)
                              : darkness(rendered, along, across);
        if (dark < 0.03)
            continue;
        if (isnan(start))
            start = along + 1 - dark;
        end = along + dark;
    }
    *first_mm = start / rendered->per_mm;
    return (end - start) / rendered->per_mm;
}

/* --- Paper --- */

START_TEST(tiles_are_sheets_of_iso_216) {
    Papers *papers = papers_of[_i];
    g_autoptr(GPtrArray) pages = all_tiles(papers);
    g_autofree char *path = write_pages(papers, pages);
    g_autofree char *bytes = NULL;
    g_autofree char *info = read_with("pdfinfo", "-box", path);
    gsize length;
    double width = kinds[_i].width_mm, height = kinds[_i].height_mm, wide_pt, high_pt;
    if (width == 0) { /* ISO 216 has no rolls */
        width = 610;
        height = papers->pounce->tiling->tile_height_mm;
    }
    const char *box = strstr(info, "MediaBox:");
    ck_assert_ptr_nonnull(box);
    ck_assert_int_eq(sscanf(box, "MediaBox: %*f %*f %lf %lf", &wide_pt, &high_pt), 2);
    if ((wide_pt > high_pt) != (width > height)) {
        double turned = width;
        width = height;
        height = turned;
    }
    /* A4 595.276 x 841.890, A3 841.890 x 1190.551 pt: check-values.md, ISO 216 [V]. */
    ck_assert_double_eq_tol(wide_pt, width * 72 / 25.4, 0.01);
    ck_assert_double_eq_tol(high_pt, height * 72 / 25.4, 0.01);
    ck_assert(g_file_get_contents(path, &bytes, &length, NULL));
    ck_assert_ptr_null(g_strstr_len(bytes, (gssize)length, "/UserUnit"));
    for (guint i = 1; i < pages->len; i++) {
        ck_assert_double_eq(tapul_page_width_mm(pages->pdata[i]),
                            tapul_page_width_mm(pages->pdata[0]));
        ck_assert_double_eq(tapul_page_height_mm(pages->pdata[i]),
                            tapul_page_height_mm(pages->pdata[0]));
    }
}
END_TEST

START_TEST(nothing_stands_where_printers_do_not_print) {
    Papers *papers = papers_of[_i];
    g_autoptr(GPtrArray) pages = all_tiles(papers);
    for (guint i = 0; i < pages->len; i += MAX(1, pages->len / 2)) {
        g_auto(Rendered) rendered = render_page(pages->pdata[i]);
        int edge = (int)(5 * rendered.per_mm) - 1;
        for (int y = 0; y < rendered.height_px; y++)
            for (int x = 0; x < rendered.width_px; x++) {
                gboolean inside = x >= edge && y >= edge && x < rendered.width_px - edge &&
                                  y < rendered.height_px - edge;
                if (inside && y > edge && y < rendered.height_px - edge - 1)
                    x = MAX(x, rendered.width_px - edge - 1); /* on to the other side */
                else if (!inside)
                    ck_assert_msg(darkness(&rendered, x, y) < 0.02, "page %u: ink at %d, %d px",
                                  i, x, y);
            }
    }
}
END_TEST

/* --- Measures --- */

START_TEST(the_bar_is_100_mm_to_a_thousandth) {
    Papers *papers = papers_of[_i];
    g_autoptr(GPtrArray) pages = all_tiles(papers);
    for (guint i = 0; i < pages->len; i += MAX(1, pages->len / 2)) {
        TapulBox box = box_of_group(pages->pdata[i], "bar", ANY_COLOUR);
        g_auto(Rendered) rendered = render_page(pages->pdata[i]);
        double first_mm;
        ck_assert_msg(!tapul_box_is_empty(box), "tile %u has no bar", i);
        double long_mm = extent_mm(&rendered, FALSE, box.min.y + 0.3, box.min.x - 0.8,
                                   box.max.x + 0.8, &first_mm);
        ck_assert_msg(fabs(long_mm / 100 - 1) < 0.001, "tile %u: %g mm", i, long_mm);
    }
}
END_TEST

START_TEST(the_square_is_50_mm_both_ways_to_a_thousandth) {
    Papers *papers = papers_of[_i];
    g_autoptr(GPtrArray) pages = all_tiles(papers);
    for (guint i = 0; i < pages->len; i += MAX(1, pages->len / 2)) {
        TapulBox box = box_of_group(pages->pdata[i], "square", ANY_COLOUR);
        g_auto(Rendered) rendered = render_page(pages->pdata[i]);
        ck_assert_msg(!tapul_box_is_empty(box), "tile %u has no square", i);
        for (int upright = 0; upright < 2; upright++) {
            double along = upright ? box.min.y : box.min.x, first_mm;
            double across = (upright ? box.min.x : box.min.y) + 0.125;
            double side_mm = extent_mm(&rendered, upright != 0, across, along - 0.45,
                                       along + 50.45, &first_mm);
            ck_assert_msg(fabs(side_mm / 50 - 1) < 0.001, "tile %u, way %d: %g mm", i, upright,
                          side_mm);
        }
    }
}
END_TEST

START_TEST(every_tile_has_bar_square_and_label) {
    Papers *papers = papers_of[_i];
    g_autoptr(GPtrArray) pages = all_tiles(papers);
    guint n = papers->pounce->tiling->used->len;
    for (guint i = 0; i < pages->len; i++) {
        g_autofree char *said = words_said_by_page(pages->pdata[i]);
        g_autofree char *label = g_strdup_printf("tile %u of %u", i % n + 1, n);
        TapulBox bar = box_of_group(pages->pdata[i], "bar", ANY_COLOUR);
        TapulBox square = box_of_group(pages->pdata[i], "square", ANY_COLOUR);
        ck_assert_double_eq_tol(bar.max.x - bar.min.x, 100, 1e-9);
        ck_assert_double_eq_tol(square.max.x - square.min.x, 50, 1e-9);
        ck_assert_double_eq_tol(square.max.y - square.min.y, 50, 1e-9);
        ck_assert_msg(strstr(said, label) != NULL, "'%s' not in: %s", label, said);
        ck_assert_ptr_nonnull(strstr(said, "measure: 100 mm"));
        ck_assert_ptr_nonnull(strstr(said, "measure: 50 mm both ways"));
        ck_assert_ptr_nonnull(strstr(said, "piece"));
    }
}
END_TEST

/* --- Joints --- */

/* Middles of the level lines of the design that cross an upright line of the page. */
static GArray *lines_at(const Rendered *rendered, double x_mm, double from_mm, double to_mm) {
    GArray *middles = g_array_new(FALSE, FALSE, sizeof(double));
    int x = (int)floor(x_mm * rendered->per_mm);
    double sum = 0, weight = 0;
    for (double y_mm = from_mm; y_mm < to_mm; y_mm += 1 / rendered->per_mm) {
        int y = rendered->height_px - 1 - (int)floor(y_mm * rendered->per_mm);
        double dark = darkness(rendered, x, y);
        if (dark > 0.03) {
            sum += dark * (rendered->height_px - y - 0.5) / rendered->per_mm;
            weight += dark;
        } else if (weight > 0) {
            double middle = sum / weight, wide_mm = weight / rendered->per_mm;
            if (fabs(wide_mm - LINE_MM) < 0.06)
                g_array_append_val(middles, middle);
            sum = weight = 0;
        }
    }
    return middles;
}

/* How many lines cross the same upright line of the sheet on both tiles, each at the same
 * height. */
static guint check_same(const Rendered *first, double first_x_mm, const Rendered *second,
                        double second_x_mm, double high_mm) {
    g_autoptr(GArray) a = lines_at(first, first_x_mm, 70, high_mm - 14);
    g_autoptr(GArray) b = lines_at(second, second_x_mm, 70, high_mm - 14);
    guint same = 0;
    for (guint i = 0; i < a->len; i++)
        for (guint k = 0; k < b->len; k++) {
            double apart_mm = fabs(g_array_index(a, double, i) - g_array_index(b, double, k));
            /* Further apart they are not the same line. */
            if (apart_mm > 1)
                continue;
            ck_assert_double_lt(apart_mm, 0.1);
            same++;
        }
    return same;
}

START_TEST(a_line_goes_on_over_the_joint_of_two_tiles) {
    Papers *papers = papers_of[PLAIN];
    g_autoptr(GPtrArray) pages = all_tiles(papers);
    g_autoptr(GArray) tiles = tapul_pounce_tiles_of(&papers->pages);
    int joints = 0;
    for (guint i = 0; i + 1 < tiles->len; i++) {
        const TapulPounceTile *left = &g_array_index(tiles, TapulPounceTile, i);
        const TapulPounceTile *right = &g_array_index(tiles, TapulPounceTile, i + 1);
        if (right->row != left->row || right->column != left->column + 1 || joints > 1)
            continue;
        g_auto(Rendered) first = render_page(pages->pdata[i]);
        g_auto(Rendered) second = render_page(pages->pdata[i + 1]);
        /* Three upright lines of the sheet, in the overlap: one may run along a line. */
        guint crossings = 0;
        for (double off = -2.7; off < 3; off += 2.7)
            crossings += check_same(&first, left->size_mm.x - 10 - left->overlap_mm / 2 + off,
                                    &second, 10 + left->overlap_mm / 2 + off, left->size_mm.y);
        ck_assert_uint_gt(crossings, 8);
        joints++;
    }
    ck_assert_int_gt(joints, 0);
}
END_TEST

START_TEST(the_design_is_drawn_at_its_size) {
    Papers *papers = papers_of[PLAIN];
    g_autoptr(GPtrArray) pages = all_tiles(papers);
    int measured = 0;
    for (guint i = 0; i < pages->len; i++) {
        g_auto(Rendered) rendered = render_page(pages->pdata[i]);
        g_autoptr(GArray) lines = lines_at(&rendered, 100 + 3.7 * (i % 3), 70,
                                           tapul_page_height_mm(pages->pdata[i]) - 14);
        for (guint k = 0; k + 5 < lines->len; k++) {
            double five_mm =
                g_array_index(lines, double, k + 5) - g_array_index(lines, double, k);
            double steps = round(five_mm / LINE_STEP_MM);
            ck_assert_double_eq_tol(five_mm, steps * LINE_STEP_MM, 0.001 * five_mm);
            measured++;
        }
    }
    ck_assert_int_gt(measured, 10);
}
END_TEST

/* The number of the tile in a column and row; 0: none is printed there. */
static int number_at(const GArray *tiles, int column, int row) {
    for (guint i = 0; i < tiles->len; i++) {
        const TapulPounceTile *tile = &g_array_index(tiles, TapulPounceTile, i);
        if (tile->column == column && tile->row == row)
            return (int)i + 1;
    }
    return 0;
}

START_TEST(tiles_say_what_they_join) {
    Papers *papers = papers_of[PLAIN];
    g_autoptr(GPtrArray) pages = all_tiles(papers);
    g_autoptr(GArray) tiles = tapul_pounce_tiles_of(&papers->pages);
    static const struct {
        int columns, rows;
        const char *how;
    } sides[TAPUL_SIDES] = {{-1, 0, "trim"}, {1, 0, "glue"}, {0, -1, "trim"}, {0, 1, "glue"}};
    for (guint i = 0; i < tiles->len; i++) {
        const TapulPounceTile *tile = &g_array_index(tiles, TapulPounceTile, i);
        g_autofree char *said = words_said_by_page(pages->pdata[i]);
        int joints = 0, said_joints = 0;
        ck_assert_int_eq(tile->number, (int)i + 1);
        for (int side = 0; side < TAPUL_SIDES; side++) {
            int other = number_at(tiles, tile->column + sides[side].columns,
                                  tile->row + sides[side].rows);
            g_autofree char *joins =
                g_strdup_printf("tile %d joins here: %s", other, sides[side].how);
            ck_assert_int_eq(tile->joins[side], other);
            ck_assert_msg(other == 0 || strstr(said, joins) != NULL, "no '%s'", joins);
            joints += other > 0;
        }
        for (const char *at = said; (at = strstr(at, "joins here")); at++)
            said_joints++;
        ck_assert_int_eq(said_joints, joints);
    }
    ck_assert_uint_gt(tiles->len, 4);
}
END_TEST

/* "A3" on a tile would be taken for a size of paper. */
START_TEST(no_tile_or_notch_is_named_like_a_size_of_paper) {
    Papers *papers = papers_of[_i];
    g_autoptr(GPtrArray) pages = all_tiles(papers);
    g_autoptr(GRegex) size = g_regex_new("\\b[A-C][0-9]+\\b", 0, 0, NULL);
    for (guint i = 0; i < pages->len; i++) {
        g_autofree char *said = words_said_by_page(pages->pdata[i]);
        ck_assert_msg(!g_regex_match(size, said, 0, NULL), "%s", said);
    }
}
END_TEST

START_TEST(seams_have_letters_that_are_no_figures) {
    static const struct {
        int seam;
        const char *name;
    } cases[] = {{0, "a"}, {10, "k"}, {11, "m"}, {13, "p"}, {23, "z"}, {24, "aa"}, {48, "ba"}};
    for (guint i = 0; i < G_N_ELEMENTS(cases); i++) {
        g_autofree char *name = tapul_pounce_seam_name(cases[i].seam);
        ck_assert_str_eq(name, cases[i].name);
    }
}
END_TEST

/* The bar has the margin to stand in, so that it never lies on a piece. */
START_TEST(the_bar_stands_off_every_piece) {
    Papers *papers = papers_of[_i];
    g_autoptr(GPtrArray) pages = all_tiles(papers);
    g_autoptr(GArray) tiles = tapul_pounce_tiles_of(&papers->pages);
    for (guint i = 0; i < pages->len; i++) {
        const TapulPounceTile *tile = &g_array_index(tiles, TapulPounceTile, i % tiles->len);
        TapulBox bar = box_of_group(pages->pdata[i], "bar", ANY_COLOUR);
        for (int p = 0; p < (int)papers->pounce->pieces->len; p++) {
            const TapulPouncePiece *piece = papers->pounce->pieces->pdata[p];
            TapulAffine to_page = tapul_pounce_on_tile(&papers->pages, tile, p);
            TapulBox cut = tapul_affine_box(&to_page, tapul_path_box(piece->cut));
            gboolean in_margin = bar.max.y < tile->window_mm.min.y;
            /* The pieces of a cylinder fill their boxes. */
            ck_assert_msg(in_margin || !tapul_boxes_overlap(cut, bar), "tile %u, piece %d", i,
                          p + 1);
        }
    }
}
END_TEST

START_TEST(every_tile_has_the_title) {
    Papers *papers = papers_of[_i];
    g_autoptr(GPtrArray) pages = all_tiles(papers);
    for (guint i = 0; i < pages->len; i++) {
        g_autofree char *said = words_said_by_page(pages->pdata[i]);
        ck_assert_msg(strstr(said, "Lines on a c") != NULL, "tile %u: %s", i, said);
    }
}
END_TEST

/* --- Words --- */

START_TEST(no_words_stand_on_words_or_leave_the_paper) {
    Papers *papers = papers_of[_i];
    g_autoptr(GPtrArray) pages = all_tiles(papers);
    g_autoptr(GPtrArray) summary = tapul_sheet_pounce_summary(&papers->pages);
    for (guint i = 0; i < pages->len; i++) {
        g_autofree char *name = g_strdup_printf("kind %d, tile %u", _i, i);
        check_page_is_clear(pages->pdata[i], TAPUL_UNPRINTED_MM, name);
    }
    for (guint i = 0; i < summary->len; i++) {
        g_autofree char *name = g_strdup_printf("kind %d, summary %u", _i, i);
        check_page_is_clear(summary->pdata[i], 10, name);
    }
}
END_TEST

static void note_mirrored(const TapulItem *item, const PagePlace *place, gpointer data) {
    TapulAffine m = place->to_page;
    double turned_over = m.xx * m.yy - m.xy * m.yx;
    if (item->kind == TAPUL_ITEM_TEXT)
        ck_assert_double_gt(turned_over, 0);
    else if (item->kind == TAPUL_ITEM_PATH && stands_in(place->groups, "piece-1"))
        *(gboolean *)data = turned_over < 0;
}

START_TEST(face_down_the_design_is_mirrored_and_words_are_not) {
    Papers *papers = papers_of[_i];
    gboolean down = papers->question->pounce.face_down, mirrored = FALSE;
    g_autoptr(GPtrArray) pages = all_tiles(papers);
    for (guint i = 0; i < pages->len; i++) {
        g_autofree char *said = words_said_by_page(pages->pdata[i]);
        walk_page(pages->pdata[i], note_mirrored, &mirrored);
        ck_assert_int_eq(strstr(said, "face down") != NULL, down);
    }
    ck_assert_int_eq(mirrored, down);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("pounce_pages");
    TCase *together = tcase_create("pages");
    tcase_set_timeout(together, 120);
    tcase_add_unchecked_fixture(together, make_papers, drop_papers);
    const TTest *of_kinds[] = {
        tiles_are_sheets_of_iso_216,
        nothing_stands_where_printers_do_not_print,
        the_bar_is_100_mm_to_a_thousandth,
        the_square_is_50_mm_both_ways_to_a_thousandth,
        every_tile_has_bar_square_and_label,
        the_bar_stands_off_every_piece,
        every_tile_has_the_title,
        no_tile_or_notch_is_named_like_a_size_of_paper,
        no_words_stand_on_words_or_leave_the_paper,
        face_down_the_design_is_mirrored_and_words_are_not,
    };
    add_tests(together, of_kinds, G_N_ELEMENTS(of_kinds), 0, N_KINDS - 1);
    tcase_add_test(together, a_line_goes_on_over_the_joint_of_two_tiles);
    tcase_add_test(together, the_design_is_drawn_at_its_size);
    tcase_add_test(together, tiles_say_what_they_join);
    tcase_add_test(together, seams_have_letters_that_are_no_figures);
    suite_add_tcase(suite, together);
    SRunner *runner = srunner_create(suite);
    /* The papers are made once, with threads, which do not live on in a fork. */
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
