/* The maker's resist, layers for machines and summary: what they hold and say. */
#include "pounce_pages_for_tests.h"

/* --- Resist --- */

static char *words_printed(const Papers *papers, gpointer page) {
    g_autoptr(GPtrArray) one = g_ptr_array_new();
    g_ptr_array_add(one, page);
    g_autofree char *path = write_pages(papers, one);
    g_autofree char *text = read_with("pdftotext", "-raw", path);
    return words_of(text);
}

/* 12 points and 8 points. */
#define LARGE_MM (12 * 25.4 / 72)
#define SMALL_MM (8 * 25.4 / 72)

/* Of the words that begin a caution: how large they are at least. All are level. */
static void find_cautions(const TapulItem *item, const PagePlace *place, gpointer data) {
    double *least_mm = data;
    if (item->kind != TAPUL_ITEM_TEXT || !strstr(item->as.text.text, "Etchants are corrosive"))
        return;
    ck_assert_double_eq_tol(place->to_page.yx, 0, 1e-9);
    ck_assert_double_eq_tol(item->as.text.type.turn_rad, 0, 1e-9);
    *least_mm = fmin(*least_mm, item->as.text.type.size_mm);
}

START_TEST(a_resist_begins_with_every_caution_large) {
    Papers *papers = papers_of[_i];
    const char *const *cautions = tapul_etching_cautions();
    const TapulResist *resist = papers->pounce->resist;
    ck_assert_uint_ge(g_strv_length((char **)cautions), 8);
    for (guint bite = 0; bite < resist->bites->len; bite++) {
        g_autoptr(GPtrArray) pages = tapul_sheet_pounce_resist(&papers->pages, (int)bite);
        g_autofree char *words = words_printed(papers, pages->pdata[0]);
        double least_mm = INFINITY;
        for (int c = 0; cautions[c]; c++)
            ck_assert_msg(strstr(words, cautions[c]) != NULL, "lacks: %s\n%s", cautions[c],
                          words);
        walk_page(pages->pdata[0], find_cautions, &least_mm);
        ck_assert(least_mm >= LARGE_MM && least_mm < 10);
        ck_assert_double_eq(tapul_page_width_mm(pages->pdata[0]), 210);
        ck_assert_double_eq(tapul_page_height_mm(pages->pdata[0]), 297);
        check_page_is_clear(pages->pdata[0], 10, "page of cautions");
    }
}
END_TEST

/* All at a size that is read, or where they are all read; in no case sideways. */
START_TEST(every_tile_of_a_resist_has_cautions) {
    Papers *papers = papers_of[_i];
    const char *const *cautions = tapul_etching_cautions();
    g_autoptr(GPtrArray) pages = resist_tiles(papers, 0);
    for (guint i = 0; i < pages->len; i++) {
        g_autofree char *words = words_printed(papers, pages->pdata[i]);
        double least_mm = INFINITY;
        walk_page(pages->pdata[i], find_cautions, &least_mm);
        ck_assert_msg(!isinf(least_mm), "tile %u", i);
        if (least_mm < SMALL_MM - 1e-9) {
            ck_assert_ptr_nonnull(
                strstr(words, "Etchants are corrosive: gloves, eye protection, changed air."));
            ck_assert_ptr_nonnull(
                strstr(words, "Every caution stands on the page of cautions."));
            continue;
        }
        for (int c = 0; cautions[c]; c++)
            ck_assert_msg(strstr(words, cautions[c]) != NULL, "tile %u lacks: %s\n%s", i,
                          cautions[c], words);
    }
}
END_TEST

START_TEST(a_resist_says_what_to_do_with_it) {
    Papers *papers = papers_of[BITTEN];
    for (int bite = 0; bite < 2; bite++) {
        g_autoptr(GPtrArray) pages = tapul_sheet_pounce_resist(&papers->pages, bite);
        g_autofree char *words = words_printed(papers, pages->pdata[0]);
        const char *deep = bite == 0 ? "bite 1 of 2, 0.05 mm deep" : "bite 2 of 2, 0.1 mm deep";
        ck_assert_msg(strstr(words, deep) != NULL, "%s", words);
        ck_assert_ptr_nonnull(strstr(words, "Black is what the resist covers"));
        ck_assert_ptr_nonnull(strstr(words, "the back, the edges and everything off"));
        ck_assert_int_eq(
            strstr(words, "Stopped out before this bite, and not bitten by it: sheet.") != NULL,
            bite == 1);
        ck_assert_int_eq(strstr(words, "Degrease") != NULL, bite == 0);
        ck_assert_int_eq(strstr(words, "take the resist off") != NULL, bite == 1);
        for (guint i = 1; i < pages->len; i++) {
            g_autofree char *said = words_said_by_page(pages->pdata[i]);
            ck_assert_ptr_nonnull(strstr(said, bite == 0 ? "resist, bite 1 of 2, 0.05 mm"
                                                         : "resist, bite 2 of 2, 0.1 mm"));
        }
    }
}
END_TEST

START_TEST(the_page_of_the_etch_has_its_figures_and_every_caution) {
    Papers *papers = papers_of[_i];
    g_autoptr(GPtrArray) pages = tapul_sheet_pounce_summary(&papers->pages);
    const char *const *cautions = tapul_etching_cautions();
    const TapulResist *resist = papers->pounce->resist;
    g_autofree char *words = words_printed(papers, pages->pdata[pages->len - 1]);
    g_autofree char *steel = g_strdup_printf("%.1f g", resist->steel_g);
    g_autofree char *chloride = g_strdup_printf("%.0f g", resist->iron_chloride_g);
    g_autofree char *closed = g_strdup_printf(
        "closes over %.1f %%", 100 * (1 - resist->bitten_area_mm2 / resist->wanted_area_mm2));
    g_autofree char *closes = g_strdup_printf("narrower than %.3f mm", 2 * resist->undercut_mm);
    ck_assert_msg(strstr(words, closed) != NULL, "no '%s' in %s", closed, words);
    ck_assert_msg(strstr(words, closes) != NULL, "no '%s' in %s", closes, words);
    ck_assert_ptr_nonnull(strstr(words, "used up, at least"));
    ck_assert_ptr_nonnull(strstr(words, steel));
    ck_assert_ptr_nonnull(strstr(words, chloride));
    for (int c = 0; cautions[c]; c++)
        ck_assert_msg(strstr(words, cautions[c]) != NULL, "lacks: %s\n%s", cautions[c], words);
    /* No other page shows figures of the etch. */
    for (guint i = 0; i + 1 < pages->len; i++) {
        g_autofree char *said = words_said_by_page(pages->pdata[i]);
        ck_assert_ptr_null(strstr(said, "ferric"));
    }
}
END_TEST

typedef struct {
    const TapulPouncePages *pages;
    const TapulPounceTile *tile;
} OnMetal;

/* Words on the metal would stand there as resist does. */
static void check_off_metal(const TapulItem *item, const PagePlace *place, gpointer data) {
    const OnMetal *on = data;
    if (item->kind != TAPUL_ITEM_TEXT)
        return;
    TapulVec2 at = affine_point(place->to_page, item->as.text.at);
    TapulBox w = on->tile->window_mm;
    if (at.x < w.min.x || at.y < w.min.y || at.x > w.max.x || at.y > w.max.y)
        return;
    const GPtrArray *pieces = on->pages->pounce->pieces;
    for (guint i = 0; i < pieces->len; i++) {
        const TapulPouncePiece *piece = pieces->pdata[i];
        TapulAffine to_page = tapul_pounce_on_tile(on->pages, on->tile, (int)i);
        TapulBox metal = tapul_affine_box(&to_page, tapul_path_box(piece->outline));
        ck_assert_msg(!(at.x > metal.min.x && at.x < metal.max.x && at.y > metal.min.y &&
                        at.y < metal.max.y),
                      "'%s' stands on piece %u at %g, %g mm", item->as.text.text, i + 1, at.x,
                      at.y);
    }
}

START_TEST(a_resist_page_prints_no_words_on_the_metal) {
    Papers *papers = papers_of[_i];
    g_autoptr(GPtrArray) pages = resist_tiles(papers, 0);
    g_autoptr(GArray) tiles = tapul_pounce_tiles_of(&papers->pages);
    for (guint i = 0; i < pages->len; i++) {
        OnMetal on = {&papers->pages, &g_array_index(tiles, TapulPounceTile, i)};
        walk_page(pages->pdata[i], check_off_metal, &on);
    }
}
END_TEST

/* --- Layers --- */

/* The first path of the SVG's group of that id, as its data. */
static char *path_in(const char *svg, const char *id) {
    g_autofree char *group = g_strdup_printf("<g id=\"%s\"", id);
    const char *at = strstr(svg, group);
    ck_assert_msg(at != NULL, "no group %s", id);
    at = strstr(at, " d=\"");
    ck_assert_ptr_nonnull(at);
    at += strlen(" d=\"");
    return g_strndup(at, strcspn(at, "\""));
}

/* The length of a path of lines as SVG has it: absolute, M L H V Z and their small forms. */
static double length_of(const char *data, gboolean *closed) {
    g_auto(GStrv) ink = NULL;
    TapulVec2 at = {0, 0}, start = {0, 0};
    double length_mm = 0;
    char verb = 'M';
    *closed = FALSE;
    for (const char *c = data; *c;) {
        if (g_ascii_isspace(*c) || *c == ',') {
            c++;
            continue;
        }
        if (g_ascii_isalpha(*c)) {
            verb = *c++;
            if (g_ascii_toupper(verb) == 'Z') {
                length_mm += tapul_vec2_distance(at, start);
                at = start;
                *closed = TRUE;
            }
            continue;
        }
        gboolean relative = g_ascii_islower(verb);
        TapulVec2 to = relative ? tapul_vec2(0, 0) : at;
        char *end;
        if (strchr("MmLlHh", verb))
            to.x = g_ascii_strtod(c, &end), c = end;
        else
            ck_assert_msg(strchr("Vv", verb) != NULL, "verb %c", verb);
        while (g_ascii_isspace(*c) || *c == ',')
            c++;
        if (strchr("MmLlVv", verb))
            to.y = g_ascii_strtod(c, &end), c = end;
        if (relative)
            to = tapul_vec2_add(at, to);
        if (g_ascii_toupper(verb) == 'M') {
            start = to;
            verb = relative ? 'l' : 'L';
        } else
            length_mm += tapul_vec2_distance(at, to);
        at = to;
    }
    return length_mm;
}

START_TEST(layers_are_sorted_for_machines) {
    Papers *papers = papers_of[_i];
    g_autoptr(GPtrArray) pages = tapul_sheet_pounce_layers(&papers->pages);
    ck_assert_uint_eq(pages->len, papers->pounce->pieces->len);
    for (guint i = 0; i < pages->len; i++) {
        const TapulPouncePiece *piece = papers->pounce->pieces->pdata[i];
        TapulBox box = tapul_path_box(piece->cut);
        g_autofree char *path = g_build_filename(papers->folder, "piece.svg", NULL);
        g_autofree char *svg = NULL;
        ck_assert_double_eq_tol(tapul_page_width_mm(pages->pdata[i]),
                                box.max.x - box.min.x + 20, 1e-9);
        ck_assert(tapul_page_write_svg(pages->pdata[i], path, NULL));
        ck_assert(g_file_get_contents(path, &svg, NULL, NULL));
        ck_assert_ptr_nonnull(strstr(
            svg, "<g id=\"cut\" fill=\"none\" stroke=\"#ff0000\" stroke-width=\"0.01\""));
        ck_assert_ptr_nonnull(strstr(svg, "<g id=\"draw\""));
        ck_assert_ptr_nonnull(strstr(svg, "<g id=\"marks\""));
        if (!tapul_path_is_empty(piece->score))
            ck_assert_ptr_nonnull(strstr(
                svg, "<g id=\"score\" fill=\"none\" stroke=\"#0000ff\" stroke-width=\"0.01\""));
        gboolean closed;
        g_autofree char *data = path_in(svg, "cut");
        double length_mm = length_of(data, &closed);
        ck_assert(closed);
        ck_assert_double_eq_tol(length_mm / tapul_path_length(piece->cut), 1, 0.001);
    }
}
END_TEST

START_TEST(layers_hold_each_bite_filled) {
    Papers *papers = papers_of[_i];
    const TapulResist *resist = papers->pounce->resist;
    ck_assert_ptr_nonnull(resist);
    g_autoptr(GPtrArray) pages = tapul_sheet_pounce_layers(&papers->pages);
    for (guint i = 0; i < pages->len; i++) {
        g_autofree char *path = g_build_filename(papers->folder, "piece.svg", NULL);
        g_autofree char *svg = NULL;
        ck_assert(tapul_page_write_svg(pages->pdata[i], path, NULL));
        ck_assert(g_file_get_contents(path, &svg, NULL, NULL));
        for (guint b = 0; b < resist->bites->len; b++) {
            const TapulBite *bite = resist->bites->pdata[b];
            g_autofree char *group = g_strdup_printf("resist-%u", b + 1);
            TapulBox box = box_of_group(pages->pdata[i], group, ANY_COLOUR);
            TapulBox cover = tapul_path_box(bite->cover->pdata[i]);
            if (tapul_box_is_empty(cover))
                continue;
            ck_assert_double_eq_tol(box.max.x - box.min.x, cover.max.x - cover.min.x, 1e-6);
            ck_assert_double_eq_tol(box.max.y - box.min.y, cover.max.y - cover.min.y, 1e-6);
        }
        ck_assert_int_eq(strstr(svg, "<g id=\"dots\"") != NULL, resist->dots > 0);
        for (int c = 0; tapul_etching_cautions()[c]; c++) {
            g_autofree char *said = g_markup_escape_text(tapul_etching_cautions()[c], -1);
            ck_assert_ptr_nonnull(strstr(svg, said));
        }
    }
}
END_TEST

/* --- Summary --- */

START_TEST(the_summary_tells_lengths_seams_and_stretch) {
    Papers *papers = papers_of[_i];
    g_autoptr(GPtrArray) pages = tapul_sheet_pounce_summary(&papers->pages);
    g_autoptr(GString) said = g_string_new(NULL);
    for (guint i = 0; i < pages->len; i++) {
        g_autofree char *here = words_said_by_page(pages->pdata[i]);
        g_string_append(said, here);
        ck_assert_double_eq(tapul_page_width_mm(pages->pdata[i]), 210);
        ck_assert_double_eq(tapul_page_height_mm(pages->pdata[i]), 297);
        ck_assert(((const TapulPage *)pages->pdata[i])->has_parts);
    }
    for (guint i = 0; i < papers->pounce->pieces->len; i++) {
        const TapulPouncePiece *piece = papers->pounce->pieces->pdata[i];
        for (guint k = 0; k < piece->tapes->len; k++) {
            const TapulTapeLength *tape = &g_array_index(piece->tapes, TapulTapeLength, k);
            g_autofree char *row = g_strdup_printf("%d %d \u2013 %d %.1f", piece->number,
                                                   tape->from, tape->to, tape->length_mm);
            ck_assert_msg(strstr(said->str, row) != NULL, "no row %s", row);
        }
    }
    g_autofree char *stretch =
        g_strdup_printf("stretch by %.2f %% at most", 100 * papers->pounce->pattern->stretch);
    g_strdelimit(said->str, "\n", ' ');
    ck_assert_ptr_nonnull(strstr(said->str, stretch));
    if (papers->pounce->pattern->seams->len > 0)
        ck_assert_ptr_nonnull(strstr(said->str, "700.0"));
}
END_TEST

/* Before the steps, so that nobody has begun without them. */
START_TEST(notes_stand_before_what_to_do) {
    Papers *papers = papers_of[_i];
    char *notes[] = {"Piece 1 asks 1.4 %: more than the limit of 1 %.",
                     "55 mm of line lie beyond the plate", "so much line folds", NULL};
    static const char *const sentences[] = {"Piece 1 asks 1.4 %: more than the limit of 1 %.",
                                            "55 mm of line lie beyond the plate.",
                                            "So much line folds."};
    TapulPouncePages with = papers->pages;
    with.notes = notes;
    g_autoptr(GPtrArray) pages = tapul_sheet_pounce_summary(&with);
    g_autofree char *words = words_printed(papers, pages->pdata[0]);
    const char *steps = strstr(words, "1 Print at");
    ck_assert_ptr_nonnull(strstr(words, "Before you begin"));
    ck_assert_ptr_nonnull(steps);
    for (int i = 0; notes[i]; i++) {
        const char *note = strstr(words, sentences[i]);
        ck_assert_msg(note && note < steps, "%s\n%s", sentences[i], words);
    }
    for (guint i = 0; i < pages->len; i++)
        check_page_is_clear(pages->pdata[i], 10, "summary with notes");
    g_autoptr(GPtrArray) without = tapul_sheet_pounce_summary(&papers->pages);
    g_autofree char *said = words_said_by_page(without->pdata[0]);
    ck_assert_ptr_null(strstr(said, "Before you begin"));
}
END_TEST

int main(void) {
    Suite *suite = suite_create("pounce_summary");
    TCase *together = tcase_create("pages");
    tcase_set_timeout(together, 120);
    tcase_add_unchecked_fixture(together, make_papers, drop_papers);
    const TTest *of_kinds[] = {
        layers_are_sorted_for_machines,
        the_summary_tells_lengths_seams_and_stretch,
        notes_stand_before_what_to_do,
    };
    const TTest *of_resists[] = {
        a_resist_begins_with_every_caution_large,
        every_tile_of_a_resist_has_cautions,
        the_page_of_the_etch_has_its_figures_and_every_caution,
        a_resist_page_prints_no_words_on_the_metal,
        layers_hold_each_bite_filled,
    };
    add_tests(together, of_kinds, G_N_ELEMENTS(of_kinds), 0, N_KINDS - 1);
    add_tests(together, of_resists, G_N_ELEMENTS(of_resists), DOTTED, BITTEN);
    tcase_add_test(together, a_resist_says_what_to_do_with_it);
    suite_add_tcase(suite, together);
    SRunner *runner = srunner_create(suite);
    /* The papers are made once, with threads, which do not live on in a fork. */
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
