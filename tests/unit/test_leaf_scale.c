/* The leaf's scales and their bars, measured on rendered pages; its legend; and the contrast of
 * all that it draws. */
#include "leaf_for_tests.h"
#include "sheet/plate_lines.h"

#include <stdlib.h>

/* --- Round scales --- */

START_TEST(scales_are_the_round_ones_and_say_so) {
    static const struct {
        double size_mm, room_mm, scale;
        const char *words;
    } cases[] = {
        {10, 100, 10, "10\u00a0:\u00a01"},        {1, 100, 10, "10\u00a0:\u00a01"},
        {10, 99, 8, "8\u00a0:\u00a01"},           {10, 20, 2, "2\u00a0:\u00a01"},
        {10, 19.9, 1.5, "3\u00a0:\u00a02"},       {50, 50, 1, "1\u00a0:\u00a01"},
        {50, 49.9, 0.8, "4\u00a0:\u00a05"},       {50, 39.9, 0.75, "3\u00a0:\u00a04"},
        {50, 37.4, 2 / 3.0, "2\u00a0:\u00a03"},   {50, 33.3, 0.6, "3\u00a0:\u00a05"},
        {50, 29.9, 0.5, "1\u00a0:\u00a02"},       {100, 50, 0.5, "1\u00a0:\u00a02"},
        {100, 49.9, 0.4, "1\u00a0:\u00a02.5"},    {100, 33.4, 1 / 3.0, "1\u00a0:\u00a03"},
        {100, 33.3, 0.25, "1\u00a0:\u00a04"},     {100, 14, 0.125, "1\u00a0:\u00a08"},
        {1000, 50, 0.05, "1\u00a0:\u00a020"},     {1000, 49, 0.04, "1\u00a0:\u00a025"},
        {1000, 23, 1 / 45.0, "1\u00a0:\u00a045"}, {1000, 20, 0.02, "1\u00a0:\u00a050"},
        {1000, 19, 1 / 60.0, "1\u00a0:\u00a060"},
    };
    for (guint i = 0; i < G_N_ELEMENTS(cases); i++) {
        /* The narrower way decides, whichever it is. */
        TapulVec2 wide = {cases[i].size_mm, 1e-3}, tall = {1e-3, cases[i].size_mm};
        TapulVec2 room = {cases[i].room_mm, cases[i].room_mm};
        g_autofree char *words = tapul_leaf_scale_words(cases[i].scale);
        ck_assert_double_eq_tol(tapul_leaf_scale(wide, room), cases[i].scale, 1e-12);
        ck_assert_double_eq_tol(tapul_leaf_scale(tall, room), cases[i].scale, 1e-12);
        ck_assert_str_eq(words, cases[i].words);
    }
}
END_TEST

/* No scale of the list is skipped by more than this: from 1.5 to 1. */
#define WIDEST_STEP 1.5

START_TEST(a_scale_fits_and_none_is_much_larger) {
    g_autoptr(GRand) random = g_rand_new_with_seed(216);
    for (int i = 0; i < 20000; i++) {
        TapulVec2 size = {exp(g_rand_double_range(random, 1, 7)),
                          exp(g_rand_double_range(random, 1, 7))};
        TapulVec2 room = {g_rand_double_range(random, 30, 400),
                          g_rand_double_range(random, 30, 400)};
        double exact = fmin(room.x / size.x, room.y / size.y);
        double scale = tapul_leaf_scale(size, room);
        ck_assert_double_le(scale, exact * (1 + 1e-8));
        ck_assert(scale == 10 || scale * WIDEST_STEP > exact * (1 - 1e-8));
    }
}
END_TEST

START_TEST(figures_without_size_or_room_get_a_scale) {
    static const TapulVec2 sizes[] = {{0, 0}, {100, 100}, {1e6, 3}};
    static const TapulVec2 rooms[] = {{0, 0}, {-5, 20}, {20, -1e9}, {50, 50}};
    for (guint i = 0; i < G_N_ELEMENTS(sizes); i++)
        for (guint k = 0; k < G_N_ELEMENTS(rooms); k++) {
            double scale = tapul_leaf_scale(sizes[i], rooms[k]);
            ck_assert_double_ge(scale, 0.001);
            ck_assert_double_le(scale, 10);
        }
    ck_assert_double_eq(tapul_leaf_scale(sizes[0], rooms[3]), 10);
    ck_assert_double_eq(tapul_leaf_scale(sizes[1], rooms[0]), 0.001);
}
END_TEST

/* --- Bars --- */

static const double bar_scales[] = {10,  3,   2,    1.5,   1,    2 / 3.0,
                                    0.5, 0.4, 0.25, 0.125, 0.05, 0.02};
#define N_BAR_SCALES (int)G_N_ELEMENTS(bar_scales)

/* A small page with a bar whose upper left is at AT. */
#define BAR_PAGE_WIDTH_MM 210.0
static const TapulVec2 bar_at = {15, 26};

static TapulPage *bar_page(const TapulLeaf *leaf, double width_mm, double scale,
                           double *below) {
    TapulPage *page = tapul_page_new(BAR_PAGE_WIDTH_MM, 30, "", "");
    g_autoptr(TapulPath) paper = tapul_box_path((TapulBox){{0, 0}, {BAR_PAGE_WIDTH_MM, 30}});
    tapul_page_path(page, paper, &(TapulPen){.fill = TAPUL_WARM_WHITE});
    *below = tapul_leaf_scale_bar(leaf, page, bar_at, width_mm, scale, TRUE);
    return page;
}

/* What a bar says that it is: its last figure, before the unit. */
static double said_length(const TapulPage *page, const char *unit) {
    static const struct {
        const char *figure;
        double length;
    } fractions[] = {{"\u00bc", 0.25}, {"\u00bd", 0.5}};
    const char *before = NULL;
    for (guint i = 0; i < page->items->len; i++) {
        if (item_of(page, i)->kind != TAPUL_ITEM_TEXT)
            continue;
        if (strcmp(item_of(page, i)->as.text.text, unit) == 0)
            break;
        before = item_of(page, i)->as.text.text;
    }
    ck_assert_ptr_nonnull(before);
    for (guint i = 0; i < G_N_ELEMENTS(fractions); i++)
        if (strcmp(before, fractions[i].figure) == 0)
            return fractions[i].length;
    return g_ascii_strtod(before, NULL);
}

/* The middle height of the n-th bar. */
static double bar_middle_mm(const TapulPage *page, int n) {
    for (guint i = 1; i < page->items->len; i++)
        if (item_of(page, i)->kind == TAPUL_ITEM_PATH && n-- == 0) {
            TapulBox box = tapul_path_box(item_of(page, i)->as.drawn.path);
            return (box.min.y + box.max.y) / 2;
        }
    ck_abort_msg("no such bar");
    return NAN;
}

/* Where the ink of a row begins and ends, mm; pixels that are partly inked count by their
 * darkness. */
static void measure_row(const Picture *picture, double y_mm, double *left_mm,
                        double *right_mm) {
    int y = (int)floor((picture->height_mm - y_mm) * picture->px_per_mm);
    int width = cairo_image_surface_get_width(picture->surface);
    *left_mm = *right_mm = NAN;
    for (int x = 0; x < width; x++) {
        double ink = fmin(darkness(picture, x, y), 1);
        if (ink < 0.03)
            continue;
        if (isnan(*left_mm))
            *left_mm = (x + 1 - ink) / picture->px_per_mm;
        *right_mm = (x + ink) / picture->px_per_mm;
    }
}

START_TEST(bars_are_true_to_a_thousandth_on_the_rendered_page) {
    static const double widths_mm[] = {70, 123, 170};
    double scale = bar_scales[_i];
    TapulLeaf leaf = leaf_of(_i % N_FORMATS);
    for (guint w = 0; w < G_N_ELEMENTS(widths_mm); w++) {
        double below;
        g_autoptr(TapulPage) page = bar_page(&leaf, widths_mm[w], scale, &below);
        Picture picture = picture_of(page, 300);
        for (int bar = 0; bar < 2; bar++) {
            double left_mm, right_mm;
            double said_mm =
                bar == 0 ? said_length(page, "mm") : 25.4 * said_length(page, "in");
            measure_row(&picture, bar_middle_mm(page, bar), &left_mm, &right_mm);
            ck_assert_msg(fabs((right_mm - left_mm) / (said_mm * scale) - 1) < 0.001,
                          "%g mm at %g came out %.4f mm long", said_mm, scale,
                          right_mm - left_mm);
            ck_assert_double_eq_tol(left_mm, bar_at.x, 0.01);
        }
        cairo_surface_destroy(picture.surface);
    }
}
END_TEST

START_TEST(a_bar_fills_a_quarter_to_three_fifths_of_its_room_where_a_round_one_does) {
    static const double lengths_mm[] = {1, 2, 5, 10, 20, 50, 100, 200, 500};
    TapulLeaf leaf = tapul_leaf(TAPUL_PAPER_A4, FALSE);
    for (double width_mm = 20; width_mm < 180; width_mm += 3.7) {
        double below, share = 0;
        g_autoptr(TapulPage) page = bar_page(&leaf, width_mm, bar_scales[_i], &below);
        gboolean one_does = FALSE, round = FALSE;
        for (guint i = 0; i < G_N_ELEMENTS(lengths_mm); i++) {
            share = lengths_mm[i] * bar_scales[_i] / width_mm;
            one_does = one_does || (share >= 0.25 && share <= 0.6);
            round = round || lengths_mm[i] == said_length(page, "mm");
        }
        share = said_length(page, "mm") * bar_scales[_i] / width_mm;
        ck_assert(round);
        ck_assert_msg(!one_does || (share >= 0.25 && share <= 0.6), "%g of %g mm at %g", share,
                      width_mm, bar_scales[_i]);
    }
}
END_TEST

START_TEST(parts_of_a_bar_alternate) {
    double below, left_mm, right_mm;
    TapulLeaf leaf = tapul_leaf(TAPUL_PAPER_A4, FALSE);
    g_autoptr(TapulPage) page = bar_page(&leaf, 170, 1, &below);
    Picture picture = picture_of(page, 300);
    double middle_mm = bar_middle_mm(page, 0);
    ck_assert_double_eq(said_length(page, "mm"), 100);
    measure_row(&picture, middle_mm, &left_mm, &right_mm);
    int y = (int)((picture.height_mm - middle_mm) * picture.px_per_mm);
    for (int i = 0; i < 10; i++)
        for (double within = 0.5; within < 10; within += 3) {
            int x = (int)((left_mm + 10 * i + within) * picture.px_per_mm);
            ck_assert_double_eq_tol(darkness(&picture, x, y), i % 2 == 0, 0.02);
        }
    cairo_surface_destroy(picture.surface);
}
END_TEST

START_TEST(bars_measure_as_they_are_drawn_and_their_figures_keep_apart) {
    for (int i = 0; i < N_BAR_SCALES; i++)
        for (double width_mm = 25; width_mm < 180; width_mm += 31) {
            double below;
            TapulLeaf leaf = leaf_of(_i);
            g_autoptr(TapulPage) page = bar_page(&leaf, width_mm, bar_scales[i], &below);
            ck_assert_double_eq(
                tapul_leaf_scale_bar(&leaf, NULL, bar_at, width_mm, bar_scales[i], TRUE),
                below);
            expect_apart(page);
            expect_inside(page, (TapulBox){{bar_at.x, below}, {BAR_PAGE_WIDTH_MM, bar_at.y}});
        }
}
END_TEST

/* --- Legend --- */

START_TEST(the_legend_has_what_the_case_has) {
    TapulLeaf leaf = tapul_leaf(TAPUL_PAPER_A4, FALSE);
    g_autoptr(Trial) plain = trial_new("");
    g_autoptr(Trial) full = trial_new("fields:\n  - { id: belly, outline_mm: [[-30, 60], [30, "
                                      "60], [30, 120], [-30, 120]] }\n");
    g_autoptr(TapulPage) first = tapul_page_new(210, 297, "", "");
    g_autoptr(TapulPage) second = tapul_page_new(210, 297, "", "");
    full->question.found = &full->found;
    replace_word(full, "edge of the plate", "Plattenrand");
    tapul_leaf_legend(&leaf, first, tapul_vec2(20, 200), 170, &plain->comparison);
    tapul_leaf_legend(&leaf, second, tapul_vec2(20, 200), 170, &full->comparison);
    ck_assert(has_text(first, "print as laid") && has_text(first, "edge of the plate"));
    ck_assert(!has_text(first, "design found") && !has_text(first, "field"));
    ck_assert(has_text(second, "print as laid, full line"));
    ck_assert(has_text(second, "design found, dashed") && !has_text(second, "field"));
    ck_assert(has_text(second, "Plattenrand"));
    int full_lines = 0, dashed = 0;
    for (guint i = 0; i < second->items->len; i++) {
        if (item_of(second, i)->kind != TAPUL_ITEM_PATH)
            continue;
        const TapulPen *pen = &item_of(second, i)->as.drawn.pen;
        full_lines += tapul_same_colour(pen->stroke, TAPUL_PRINT_INK) && pen->n_dash == 0;
        dashed += tapul_same_colour(pen->stroke, TAPUL_PLATE_INK) && pen->n_dash > 0;
    }
    ck_assert_int_eq(full_lines, 1);
    ck_assert_int_eq(dashed, 1);
}
END_TEST

START_TEST(the_legend_wraps_where_its_room_is_narrow) {
    TapulLeaf leaf = leaf_of(_i);
    static const char *const words[] = {"print as laid, full line", "ההדפס כפי שהונח, קו מלא"};
    for (guint k = 0; k < G_N_ELEMENTS(words); k++) {
        g_autoptr(Trial) trial = trial_new("");
        trial->question.found = &trial->found;
        replace_word(trial, "print as laid, full line", words[k]);
        double narrow = 32, wide = 300;
        TapulVec2 at = {20, 100};
        g_autoptr(TapulPage) page = tapul_page_new(400, 120, "", "");
        double one_row = tapul_leaf_legend(&leaf, NULL, at, wide, &trial->comparison);
        double rows = tapul_leaf_legend(&leaf, page, at, narrow, &trial->comparison);
        ck_assert_double_eq_tol(at.y - one_row, TAPUL_LEADING * leaf.label_mm, 1e-6);
        ck_assert_double_gt(at.y - rows, 3 * TAPUL_LEADING * leaf.label_mm);
        ck_assert_double_eq_tol(
            rows, tapul_leaf_legend(&leaf, NULL, at, narrow, &trial->comparison), 1e-9);
        expect_inside(page, (TapulBox){{at.x, rows}, {at.x + narrow, at.y}});
        expect_apart(page);
    }
}
END_TEST

/* --- Contrast --- */

/* WCAG 2.1, relative luminance and contrast ratio. */
static double luminance(TapulColour colour) {
    double part[] = {colour.red, colour.green, colour.blue};
    for (int i = 0; i < 3; i++)
        part[i] = part[i] <= 0.04045 ? part[i] / 12.92 : pow((part[i] + 0.055) / 1.055, 2.4);
    return 0.2126 * part[0] + 0.7152 * part[1] + 0.0722 * part[2];
}

static double contrast(TapulColour a, TapulColour b) {
    double one = luminance(a) + 0.05, other = luminance(b) + 0.05;
    return fmax(one, other) / fmin(one, other);
}

static TapulColour colour_of(guint32 rgb) {
    return (TapulColour){(rgb >> 16) / 255.0, ((rgb >> 8) & 255) / 255.0, (rgb & 255) / 255.0,
                         1};
}

START_TEST(contrast_agrees_with_published_figures) {
    /* Okabe & Ito's colours and the two greys beside the limit, on white: check-values.md. */
    static const struct {
        guint32 rgb;
        double ratio, tolerance;
    } figures[] = {
        {0x000000, 21, 0.0005},      {0xE69F00, 2.252, 0.0005}, {0x56B4E9, 2.307, 0.0005},
        {0x009E73, 3.421, 0.0005},   {0xF0E442, 1.322, 0.0005}, {0x0072B2, 5.185, 0.0005},
        {0xD55E00, 3.867, 0.0005},   {0xCC79A7, 3.061, 0.0005}, {0x767676, 4.5422, 0.00005},
        {0x777777, 4.4781, 0.00005},
    };
    for (guint i = 0; i < G_N_ELEMENTS(figures); i++)
        ck_assert_double_eq_tol(contrast(colour_of(figures[i].rgb), colour_of(0xFFFFFF)),
                                figures[i].ratio, figures[i].tolerance);
}
END_TEST

/* WCAG 2.1, success criteria 1.4.3 and 1.4.11. */
#define LEAST_TEXT_CONTRAST 4.5
#define LEAST_LINE_CONTRAST 3.0

START_TEST(all_that_a_leaf_draws_stands_out_from_paper_and_plate) {
    const TapulColour grounds[] = {TAPUL_WARM_WHITE, TAPUL_PLATE_TINT};
    TapulLeaf leaf = leaf_of(_i);
    g_autoptr(Trial) trial = trial_new("fields:\n  - { id: belly, outline_mm: [[-30, 60], [30, "
                                       "60], [30, 120], [-30, 120]] }\n");
    trial->question.found = &trial->found;
    TapulPage *pages[2];
    for (int i = 0; i < 2; i++) {
        pages[i] = tapul_leaf_page(&leaf, &trial->comparison, "Title", "Subtitle", "");
        tapul_leaf_caption(&leaf, pages[i], tapul_vec2(30, 100), 80, "1", "Label", "Text.");
        tapul_leaf_scale_bar(&leaf, pages[i], tapul_vec2(30, 80), 80, 1, TRUE);
        tapul_leaf_legend(&leaf, pages[i], tapul_vec2(30, 60), 100, &trial->comparison);
    }
    tapul_leaf_feet(&leaf, &trial->comparison, pages, 2);
    int looked_at = 0;
    for (guint i = 0; i < pages[0]->items->len; i++) {
        const TapulItem *item = item_of(pages[0], i);
        for (guint g = 0; g < G_N_ELEMENTS(grounds); g++) {
            if (item->kind == TAPUL_ITEM_TEXT) {
                ck_assert_double_ge(contrast(item->as.text.type.colour, grounds[g]),
                                    LEAST_TEXT_CONTRAST);
                ck_assert_double_ge(item->as.text.type.size_mm, TAPUL_LEAST_TEXT_MM);
                looked_at++;
            }
            const TapulPen *pen = item->kind == TAPUL_ITEM_PATH ? &item->as.drawn.pen : NULL;
            if (pen && pen->fill.alpha > 0 && !tapul_same_colour(pen->fill, TAPUL_WARM_WHITE))
                ck_assert_double_ge(contrast(pen->fill, grounds[g]), LEAST_LINE_CONTRAST);
            if (pen && pen->stroke.alpha > 0)
                ck_assert_double_ge(contrast(pen->stroke, grounds[g]), LEAST_LINE_CONTRAST);
            looked_at += pen != NULL;
        }
    }
    ck_assert_int_gt(looked_at, 40);
    for (int i = 0; i < 2; i++)
        tapul_page_free(pages[i]);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("leaf_scale");
    TCase *tests = tcase_create("leaf_scale");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, scales_are_the_round_ones_and_say_so);
    tcase_add_test(tests, a_scale_fits_and_none_is_much_larger);
    tcase_add_test(tests, figures_without_size_or_room_get_a_scale);
    tcase_add_loop_test(tests, bars_are_true_to_a_thousandth_on_the_rendered_page, 0,
                        N_BAR_SCALES);
    tcase_add_loop_test(
        tests, a_bar_fills_a_quarter_to_three_fifths_of_its_room_where_a_round_one_does, 0,
        N_BAR_SCALES);
    tcase_add_test(tests, parts_of_a_bar_alternate);
    tcase_add_loop_test(tests, bars_measure_as_they_are_drawn_and_their_figures_keep_apart, 0,
                        N_FORMATS);
    tcase_add_test(tests, the_legend_has_what_the_case_has);
    tcase_add_loop_test(tests, the_legend_wraps_where_its_room_is_narrow, 0, N_FORMATS);
    tcase_add_test(tests, contrast_agrees_with_published_figures);
    tcase_add_loop_test(tests, all_that_a_leaf_draws_stands_out_from_paper_and_plate, 0,
                        N_FORMATS);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
