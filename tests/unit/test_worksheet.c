/* The worksheet: nothing before its answers gives them away, every motif asked for is answered,
 * and in the square where the laying puts it. */
#include "program_for_tests.h"
#include "sheet/leaf.h"
#include "sheet/worksheet_parts.h"
#include "test_page_clear.h"

#include <cairo.h>
#include <stdlib.h>

static const struct {
    TapulPaper paper;
    TapulUpright upright;
} formats[] = {
    {TAPUL_PAPER_A4, TAPUL_UPRIGHT_AUTO},          {TAPUL_PAPER_A3, TAPUL_UPRIGHT_AUTO},
    {TAPUL_PAPER_A5, TAPUL_UPRIGHT_PORTRAIT},      {TAPUL_PAPER_A5, TAPUL_UPRIGHT_LANDSCAPE},
    {TAPUL_PAPER_A4, TAPUL_UPRIGHT_LANDSCAPE},     {TAPUL_PAPER_A3, TAPUL_UPRIGHT_PORTRAIT},
    {TAPUL_PAPER_A2, TAPUL_UPRIGHT_PORTRAIT},      {TAPUL_PAPER_A2, TAPUL_UPRIGHT_LANDSCAPE},
    {TAPUL_PAPER_SCREEN, TAPUL_UPRIGHT_LANDSCAPE},
};

/* All text stands within margins of this share of a page's shorter side, as leaf.c says. */
#define MARGIN_SHARE (1 / 12.0)

/* --- Cases --- */

/* From the smallest to the largest by ink. */
static const char *const trees[] = {"Alder",  "Ash",   "Aspen", "Beech", "Birch", "Cedar",
                                    "Cherry", "Elm",   "Fir",   "Hazel", "Holly", "Larch",
                                    "Lime",   "Maple", "Oak",   "Willow"};
#define TREES ((int)G_N_ELEMENTS(trees))

typedef struct {
    TapulCase *question;
    GPtrArray *laid;
    TapulEvidence evidence;
    TapulComparison comparison;
} Shown;

static void shown_free(Shown *shown) {
    for (guint i = 0; shown->evidence.prints && i < shown->evidence.prints->len; i++) {
        TapulPrintEvidence *print = g_ptr_array_index(shown->evidence.prints, i);
        g_ptr_array_unref(print->hypotheses);
        g_array_unref(print->motifs);
        g_free(print);
    }
    g_clear_pointer(&shown->evidence.prints, g_ptr_array_unref);
    g_clear_pointer(&shown->evidence.added, g_array_unref);
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

/* A print of 100 x 60 mm, a motif a tree, each larger than the one before, no two alike in
 * their squares. */
static char *trees_svg(void) {
    GString *svg =
        g_string_new("<svg xmlns='http://www.w3.org/2000/svg' width='100mm' height='60mm' "
                     "viewBox='0 0 100 60' fill='none' stroke='black' stroke-width='0.3'>");
    for (int i = 0; i < TREES; i++) {
        g_autofree char *id = g_ascii_strdown(trees[i], -1);
        g_string_append_printf(
            svg, "<g id='%s'><rect x='%d' y='%d' width='%.1f' height='%.1f'/></g>", id,
            4 + i % 4 * 24, 3 + i / 4 * 14, 6 + 0.5 * i, 6 + 0.25 * i);
    }
    return g_string_free(g_string_append(svg, "</svg>"), FALSE);
}

#define PLATE                                                                                  \
    "tapul: plate/1\nname: Test cap\nsurface: { kind: sphere, radius_mm: 120, "                \
    "half_angle_deg: 60 }\n"

#define ROLLED                                                                                 \
    "  - { print: trees, rule: rolled, anchor: { across_mm: 9, up_mm: 130 }, turn_deg: 7 }\n"
#define REVERSED                                                                               \
    "  - { print: trees, rule: viewed, anchor: { x_mm: -8, y_mm: 105 }, reversed: true }\n"

/* The trees laid on a cap of a sphere as the lines say; more goes below. */
static Shown *show_trees(const char *layings, const char *more) {
    g_autofree char *folder = new_folder();
    g_autofree char *svg = trees_svg();
    g_autofree char *print = write_file(folder, "trees.svg", svg);
    g_autofree char *other = write_file(folder, "other.svg", svg);
    g_autofree char *bare = write_file(
        folder, "bare.svg",
        "<svg xmlns='http://www.w3.org/2000/svg' width='60mm' height='8mm' viewBox='0 0 60 8'>"
        "<path d='M0 4h60' stroke='black'/></svg>");
    g_autofree char *plate = write_file(folder, "plate.yaml", PLATE);
    g_autofree char *yaml = g_strdup_printf(
        "tapul: case/1\ntitle: Trees pressed on reversed\ncredit: Invented for a test\n"
        "plate: plate.yaml\nprints:\n"
        "  - { id: trees, file: trees.svg, title: A wood, credit: Invented }\n"
        "  - { id: again, file: trees.svg }\n  - { id: other, file: other.svg }\n"
        "  - { id: bare, file: bare.svg }\nlayings:\n%s%s",
        layings, more);
    g_autofree char *path = write_file(folder, "case.yaml", yaml);
    Shown *shown = show_case(path);
    remove_folder(folder);
    return shown;
}

static Shown *show_demonstration(const char *name) {
    g_autofree char *relative = g_strdup_printf("demo-prints/%s/case.yaml", name);
    g_autofree char *path = source_file(relative);
    return show_case(path);
}

static GPtrArray *pages_of(const Shown *shown, int format) {
    g_autoptr(GError) error = NULL;
    TapulComparisonOptions options = tapul_comparison_options_defaults();
    options.paper = formats[format].paper;
    options.upright = formats[format].upright;
    options.inches = format % 2 == 1;
    GPtrArray *pages = tapul_worksheet_pages(&shown->comparison, &options, &error);
    ck_assert_msg(pages != NULL, "%s", error ? error->message : "");
    return pages;
}

static int motif_of(const Shown *shown, const char *name) {
    const TapulPrint *print = g_ptr_array_index(shown->question->prints, 0);
    for (guint i = 0; i < print->ink->motifs->len; i++)
        if (g_ascii_strcasecmp(
                ((const TapulMotif *)g_ptr_array_index(print->ink->motifs, i))->id, name) == 0)
            return (int)i;
    ck_abort_msg("no motif %s", name);
    return -1;
}

/* Evidence that says so of that motif; of the others nothing. */
static void add_finding(Shown *shown, const char *name, TapulMotifFinding finding) {
    if (!shown->evidence.prints) {
        TapulPrintEvidence *print = g_new0(TapulPrintEvidence, 1);
        print->hypotheses = g_ptr_array_new();
        print->motifs = g_array_new(FALSE, FALSE, sizeof(TapulMotifFinding));
        shown->evidence.prints = g_ptr_array_new();
        shown->evidence.added = g_array_new(FALSE, FALSE, sizeof(TapulAdded));
        g_ptr_array_add(shown->evidence.prints, print);
        shown->comparison.evidence = &shown->evidence;
    }
    TapulPrintEvidence *print = g_ptr_array_index(shown->evidence.prints, 0);
    finding.motif = motif_of(shown, name);
    if (finding.resized == 0)
        finding.resized = 1;
    g_array_append_val(print->motifs, finding);
}

/* --- Pages --- */

static gboolean is_answers(const TapulPage *page) {
    return strcmp(tapul_page_title(page), "Answers") == 0;
}

static void check_is_clear(const TapulPage *page, const char *name) {
    check_page_is_clear(page, MARGIN_SHARE * fmin(page->width_mm, page->height_mm), name);
}

static const TapulPage *last_of(const GPtrArray *pages) {
    return g_ptr_array_index(pages, pages->len - 1);
}

/* The page whose group of that id is drawn. */
static const TapulPage *page_with(const GPtrArray *pages, const char *group) {
    for (guint i = 0; i < pages->len; i++)
        if (!tapul_box_is_empty(box_of_group(g_ptr_array_index(pages, i), group, ANY_COLOUR)))
            return g_ptr_array_index(pages, i);
    ck_abort_msg("group %s is on no page", group);
    return NULL;
}

/* How often a text is set, as a whole, on pages that are answers or are not. */
static int times_set(const GPtrArray *pages, gboolean answers, const char *text) {
    int times = 0;
    for (guint i = 0; i < pages->len; i++) {
        const TapulPage *page = g_ptr_array_index(pages, i);
        g_autoptr(GArray) texts = texts_of_page(page);
        for (guint k = 0; is_answers(page) == answers && k < texts->len; k++)
            times += strcmp(g_array_index(texts, PageText, k).text, text) == 0;
    }
    return times;
}

/* The text that follows, `after` texts on, the name in the answers' table. */
static char *answer_of(const GPtrArray *pages, const char *name, guint after) {
    g_autoptr(GArray) texts = texts_of_page(last_of(pages));
    for (guint i = 0; i + after < texts->len; i++)
        if (strcmp(g_array_index(texts, PageText, i).text, name) == 0)
            return g_strdup(g_array_index(texts, PageText, i + after).text);
    ck_abort_msg("%s is not answered", name);
    return NULL;
}

/* --- Nothing is given away --- */

static gboolean is_square(const char *word) {
    return g_ascii_isupper(word[0]) && g_ascii_isdigit(word[1]);
}

static void check_text_tells_nothing(const char *text, const char *title) {
    static const char *const answers[] = {
        "kept",  "moved",   "turned by", "resized", "reversed", "left out", "undecided",
        "added", "pressed", "drawn as",  "suppose", "weigh",    "%"};
    g_autofree char *small = g_utf8_strdown(text, -1);
    g_auto(GStrv) words = g_strsplit_set(text, " (,;.", -1);
    for (guint i = 0; i < G_N_ELEMENTS(answers); i++)
        ck_assert_msg(!strstr(small, answers[i]), "'%s' is told in: %s", answers[i], text);
    ck_assert_msg(!strstr(text, title), "the case's title is told in: %s", text);
    for (int i = 0; words[i]; i++)
        ck_assert_msg(!is_square(words[i]), "the square %s is told in: %s", words[i], text);
}

static gboolean is_coloured(TapulColour colour) {
    return colour.alpha > 0 && (tapul_same_colour(colour, TAPUL_PRINT_INK) ||
                                tapul_same_colour(colour, TAPUL_PLATE_INK));
}

static gboolean has_colour(const TapulPage *page) {
    for (guint i = 0; i < page->items->len; i++) {
        const TapulItem *item = &g_array_index(page->items, TapulItem, i);
        if (item->kind == TAPUL_ITEM_PATH &&
            (is_coloured(item->as.drawn.pen.fill) || is_coloured(item->as.drawn.pen.stroke)))
            return TRUE;
    }
    return FALSE;
}

static void check_page_tells_nothing(const TapulPage *page, const char *title) {
    g_autofree char *said = words_said_by_page(page);
    check_text_tells_nothing(said, title);
    check_text_tells_nothing(page->description, title);
    check_text_tells_nothing(page->document, title);
    for (guint i = 0; i < page->items->len; i++) {
        const TapulItem *item = &g_array_index(page->items, TapulItem, i);
        if (item->kind == TAPUL_ITEM_BEGIN_PART && item->as.part.alternative)
            check_text_tells_nothing(item->as.part.alternative, title);
    }
    ck_assert_msg(!has_colour(page), "the page '%s' has coloured ink", page->title);
}

/* Answers come last, all together, and what comes before tells none of them. */
static void check_answers_come_last(const Shown *shown, const GPtrArray *pages) {
    gboolean answers = FALSE;
    ck_assert(!is_answers(g_ptr_array_index(pages, 0)));
    for (guint i = 0; i < pages->len; i++) {
        const TapulPage *page = g_ptr_array_index(pages, i);
        ck_assert_msg(is_answers(page) || !answers, "page %u follows the answers", i + 1);
        answers = is_answers(page);
        if (!answers)
            check_page_tells_nothing(page, shown->question->title);
    }
    ck_assert(answers);
    ck_assert(has_colour(page_with(pages, "overlay")));
    ck_assert(is_answers(page_with(pages, "overlay")));
}

START_TEST(pages_before_the_answers_tell_nothing) {
    g_autoptr(Shown) shown = show_trees(REVERSED, "");
    add_finding(shown, "Oak", (TapulMotifFinding){.fate = TAPUL_MOTIF_LEFT_OUT});
    add_finding(shown, "Elm", (TapulMotifFinding){.fate = TAPUL_MOTIF_UNDECIDED});
    add_finding(shown, "Fir",
                (TapulMotifFinding){.fate = TAPUL_MOTIF_MOVED,
                                    .moved_mm = {8, 0},
                                    .box_mm = {{20, 100}, {30, 110}}});
    for (int i = 0; i < (int)G_N_ELEMENTS(formats); i++) {
        g_autoptr(GPtrArray) pages = pages_of(shown, i);
        check_answers_come_last(shown, pages);
    }
}
END_TEST

static double redness(const guchar *pixel) {
    return (pixel[2] - pixel[0]) / 255.0;
}

/* The largest difference of red from blue on a page as it is printed. */
static double reddest(const TapulPage *page) {
    g_autofree char *folder = new_folder();
    g_autofree char *path = g_build_filename(folder, "page.png", NULL);
    double most = 0;
    ck_assert(tapul_page_write_png(page, 60, path, NULL));
    cairo_surface_t *surface = cairo_image_surface_create_from_png(path);
    ck_assert_int_eq(cairo_surface_status(surface), CAIRO_STATUS_SUCCESS);
    const guchar *data = cairo_image_surface_get_data(surface);
    for (int y = 0; y < cairo_image_surface_get_height(surface); y++)
        for (int x = 0; x < cairo_image_surface_get_width(surface); x++)
            most =
                fmax(most, redness(data + y * cairo_image_surface_get_stride(surface) + 4 * x));
    cairo_surface_destroy(surface);
    remove_folder(folder);
    return most;
}

/* Warm white and the print's paper are a little red. */
#define WARM 0.12

START_TEST(pages_before_the_answers_need_no_colour) {
    g_autoptr(Shown) shown = show_trees(ROLLED, "");
    g_autoptr(GPtrArray) pages = pages_of(shown, 0);
    for (guint i = 0; i < pages->len; i++) {
        const TapulPage *page = g_ptr_array_index(pages, i);
        if (!is_answers(page))
            ck_assert_double_lt(reddest(page), WARM);
    }
    ck_assert_double_gt(reddest(page_with(pages, "overlay")), 2 * WARM);
}
END_TEST

/* --- Every motif --- */

START_TEST(the_largest_motifs_are_asked_for_and_answered) {
    g_autoptr(Shown) shown = show_trees(ROLLED, "");
    for (int f = 0; f < (int)G_N_ELEMENTS(formats); f++) {
        g_autoptr(GPtrArray) pages = pages_of(shown, f);
        for (int i = 0; i < TREES; i++) {
            int wanted = i >= TREES - TAPUL_WORKSHEET_MOST_ROWS;
            ck_assert_int_eq(times_set(pages, FALSE, trees[i]), wanted);
            ck_assert_int_eq(times_set(pages, TRUE, trees[i]), wanted);
        }
        for (int i = 1; i <= TAPUL_WORKSHEET_MOST_ROWS; i++) {
            g_autofree char *number = g_strdup_printf("%d", i);
            /* On the print and in the table; on the overlay and in its table. */
            ck_assert_int_ge(times_set(pages, FALSE, number), 2);
            ck_assert_int_ge(times_set(pages, TRUE, number), 2);
        }
    }
}
END_TEST

START_TEST(two_prints_share_the_motifs) {
    g_autoptr(Shown) shown =
        show_trees(ROLLED "  - { print: other, rule: viewed, anchor: { x_mm: 0, y_mm: 40 }, "
                          "scale: 0.7 }\n",
                   "");
    g_autoptr(GPtrArray) prints = tapul_sought_prints(&shown->comparison);
    int number = 0;
    ck_assert_uint_eq(prints->len, 2);
    for (guint i = 0; i < prints->len; i++) {
        const TapulSoughtPrint *print = g_ptr_array_index(prints, i);
        ck_assert_uint_eq(print->motifs->len, TAPUL_WORKSHEET_MOST_ROWS / 2);
        for (guint k = 0; k < print->motifs->len; k++)
            ck_assert_int_eq(
                ((const TapulSoughtMotif *)g_ptr_array_index(print->motifs, k))->number,
                ++number);
    }
    for (int i = 0; i < (int)G_N_ELEMENTS(formats); i++) {
        g_autoptr(GPtrArray) pages = pages_of(shown, i);
        check_answers_come_last(shown, pages);
        ck_assert_int_eq(times_set(pages, FALSE, "Willow"), 2);
    }
}
END_TEST

START_TEST(a_print_without_motifs_is_asked_for_as_a_whole) {
    g_autoptr(Shown) shown = show_trees(
        ROLLED "  - { print: other, rule: viewed, anchor: { x_mm: 0, y_mm: 40 }, scale: 0.7 }\n"
               "  - { print: bare, rule: rolled, anchor: { across_mm: 0, up_mm: 60 } }\n",
        "");
    g_autoptr(GPtrArray) prints = tapul_sought_prints(&shown->comparison);
    ck_assert_uint_eq(prints->len, 3);
    for (int f = 0; f < 2; f++) {
        g_autoptr(GPtrArray) pages = pages_of(shown, f);
        check_answers_come_last(shown, pages);
        /* As a heading on small paper, and in the table. */
        ck_assert_int_ge(times_set(pages, FALSE, "Bare"), 1);
        ck_assert_int_eq(times_set(pages, TRUE, "Bare"), 1);
    }
}
END_TEST

START_TEST(what_tells_most_is_asked_for_before_what_is_large) {
    g_autoptr(Shown) shown = show_trees(ROLLED, "");
    add_finding(shown, "Alder", (TapulMotifFinding){.fate = TAPUL_MOTIF_LEFT_OUT});
    add_finding(shown, "Willow", (TapulMotifFinding){.fate = TAPUL_MOTIF_UNDECIDED});
    g_autoptr(GPtrArray) pages = pages_of(shown, 0);
    ck_assert_int_eq(times_set(pages, FALSE, "Alder"), 1);
    ck_assert_int_eq(times_set(pages, FALSE, "Ash"), 0);
    ck_assert_int_eq(times_set(pages, FALSE, "Willow"), 0);
}
END_TEST

/* Of what the tracing does not tell no more is asked than makes a worksheet, and nothing is
 * claimed. */
START_TEST(what_the_tracing_does_not_tell_is_not_claimed) {
    g_autoptr(Shown) shown = show_trees(ROLLED, "");
    for (int i = 0; i < TREES; i++)
        add_finding(shown, trees[i],
                    (TapulMotifFinding){.fate = TAPUL_MOTIF_UNDECIDED,
                                        .share_in_place = i % 4 == 0 ? 0.5 : 0.1});
    g_autoptr(GPtrArray) pages = pages_of(shown, 1);
    for (int i = 0; i < TREES; i++)
        ck_assert_int_eq(times_set(pages, FALSE, trees[i]), i % 4 == 0);
    ck_assert_int_eq(times_set(pages, TRUE, "The same"), 0);
    ck_assert_int_eq(times_set(pages, TRUE, "Yes"), 0);
    ck_assert_int_eq(times_set(pages, TRUE, "No"), 0);
    for (int i = 0; i < TREES; i += 4) {
        g_autofree char *answer = answer_of(pages, trees[i], 1);
        ck_assert_msg(g_str_has_prefix("The tracing does not tell", answer), "%s", answer);
    }
}
END_TEST

START_TEST(what_only_fills_is_not_asked_for) {
    static const struct {
        const char *motif;
        gboolean asked;
    } expected[] = {{"sky", FALSE},    {"water", FALSE},     {"far-bank", FALSE},
                    {"ground", FALSE}, {"ripples", FALSE},   {"grasses", FALSE},
                    {"heron", TRUE},   {"mask", TRUE},       {"fruit-left", TRUE},
                    {"reeds", TRUE},   {"reeds-left", TRUE}, {"kingfisher-diving", TRUE},
                    {"lilies", TRUE},  {"oval-frame", TRUE}, {"volute-upper-left", TRUE},
                    {"branch", TRUE},  {"dragonfly", TRUE},  {"snail", TRUE}};
    g_autoptr(Shown) shown = show_demonstration("breastplate");
    int checked = 0;
    for (guint p = 0; p < shown->question->prints->len; p++) {
        const TapulInk *ink =
            ((const TapulPrint *)g_ptr_array_index(shown->question->prints, p))->ink;
        for (guint m = 0; m < ink->motifs->len; m++)
            for (guint i = 0; i < G_N_ELEMENTS(expected); i++) {
                const TapulMotif *motif = g_ptr_array_index(ink->motifs, m);
                /* The cartouche's are a few short strokes that rank below all else. */
                gboolean few = strcmp(motif->id, "ripples") == 0 && motif->length_mm < 50;
                if (few || strcmp(motif->id, expected[i].motif) != 0)
                    continue;
                ck_assert_msg(tapul_sought_stands_out(ink, (int)m) == expected[i].asked, "%s",
                              motif->id);
                checked++;
            }
    }
    ck_assert_int_ge(checked, (int)G_N_ELEMENTS(expected));
}
END_TEST

static gboolean has_found_ink(const TapulPage *page) {
    for (guint i = 0; i < page->items->len; i++) {
        const TapulItem *item = &g_array_index(page->items, TapulItem, i);
        if (item->kind == TAPUL_ITEM_PATH &&
            tapul_same_colour(item->as.drawn.pen.stroke, TAPUL_PLATE_INK))
            return TRUE;
    }
    return FALSE;
}

/* The answers are about what the class sees: a tracing of which nothing is known is kept back.
 */
START_TEST(a_tracing_that_was_not_weighed_is_not_shown) {
    g_autoptr(Shown) shown = show_demonstration("backplate");
    ck_assert_ptr_nonnull(shown->question->found);
    g_autoptr(GPtrArray) pages = pages_of(shown, 0);
    for (guint i = 0; i < pages->len; i++)
        ck_assert(!has_found_ink(g_ptr_array_index(pages, i)));
    ck_assert_int_eq(times_set(pages, TRUE, "Mirrored"), 9);
    ck_assert_int_eq(times_set(pages, TRUE, "Yes"), 9);
}
END_TEST

START_TEST(one_print_laid_twice_is_asked_for_once_a_copy) {
    g_autoptr(Shown) shown =
        show_trees(ROLLED "  - { print: again, rule: viewed, anchor: { x_mm: 0, y_mm: 40 }, "
                          "reversed: true }\n",
                   "");
    g_autoptr(GPtrArray) prints = tapul_sought_prints(&shown->comparison);
    ck_assert_uint_eq(prints->len, 1);
    const TapulSoughtPrint *print = g_ptr_array_index(prints, 0);
    for (guint k = 0; k < print->motifs->len; k++)
        ck_assert_uint_eq(
            ((const TapulSoughtMotif *)g_ptr_array_index(print->motifs, k))->places->len, 2);
    g_autoptr(GPtrArray) pages = pages_of(shown, 0);
    check_answers_come_last(shown, pages);
    for (int answers = 0; answers < 2; answers++) {
        ck_assert_int_eq(times_set(pages, answers, "Willow, upper copy"), 1);
        ck_assert_int_eq(times_set(pages, answers, "Willow, lower copy"), 1);
    }
    ck_assert_int_eq(times_set(pages, TRUE, "The same"), TAPUL_WORKSHEET_MOST_ROWS / 2);
    ck_assert_int_eq(times_set(pages, TRUE, "Mirrored"), TAPUL_WORKSHEET_MOST_ROWS / 2);
    g_autofree char *said = words_said_by_page(last_of(pages));
    ck_assert_ptr_nonnull(strstr(said, "(lower copy) Drawn as"));
    ck_assert_ptr_nonnull(strstr(said, "A sheet turned over gives the mirror image"));
}
END_TEST

/* --- Squares --- */

typedef struct {
    TapulVec2 at_mm;
    char column, row;
    double column_off_mm, row_off_mm;
} NearestLabels;

static void look_at_label(const TapulItem *item, const PagePlace *place, gpointer data) {
    NearestLabels *nearest = data;
    if (item->kind != TAPUL_ITEM_TEXT || !stands_in(place->groups, "squares"))
        return;
    const char *text = item->as.text.text;
    TapulVec2 at = affine_point(place->to_page, item->as.text.at);
    double x_off = fabs(at.x - nearest->at_mm.x);
    /* A figure's middle is above its base line. */
    double y_off = fabs(at.y + 0.3 * item->as.text.type.size_mm - nearest->at_mm.y);
    ck_assert_uint_eq(strlen(text), 1);
    if (g_ascii_isupper(text[0]) && x_off < nearest->column_off_mm) {
        nearest->column = text[0];
        nearest->column_off_mm = x_off;
    }
    if (g_ascii_isdigit(text[0]) && y_off < nearest->row_off_mm) {
        nearest->row = text[0];
        nearest->row_off_mm = y_off;
    }
}

/* The square of a place on the plate by the letters and numbers printed nearest to it. */
static char *square_on_page(const TapulPage *page, const Shown *shown, TapulVec2 developed_mm) {
    TapulSquares squares = tapul_squares(tapul_sought_region(&shown->comparison));
    g_autoptr(TapulFigure) figure =
        tapul_figure_development(&shown->comparison, squares.box_mm, TAPUL_SHOWN_LAID, -1);
    TapulBox own = tapul_figure_box_mm(figure),
             drawn = box_of_group(page, "squares", ANY_COLOUR);
    double scale = (drawn.max.x - drawn.min.x) / (own.max.x - own.min.x);
    TapulVec2 at = tapul_vec2_add(
        drawn.min, tapul_vec2_scale(tapul_vec2_sub(developed_mm, own.min), scale));
    NearestLabels nearest = {at, '?', '?', INFINITY, INFINITY};
    walk_page(page, look_at_label, &nearest);
    return g_strdup_printf("%c%c", nearest.column, nearest.row);
}

/* The middle of a tree on the plate laid flat: its ink is the rim of its box. */
static TapulVec2 middle_on_plate(const Shown *shown, const TapulLaying *map, TapulBox rim_mm) {
    const int n = 200;
    TapulBox box = tapul_box_empty();
    for (int i = 0; i < 4 * n; i++) {
        double along = (double)(i % n) / n;
        TapulVec2 from = {i / n == 1 || i / n == 2 ? rim_mm.max.x : rim_mm.min.x,
                          i / n >= 2 ? rim_mm.max.y : rim_mm.min.y};
        TapulVec2 to = {i / n < 2 ? rim_mm.max.x : rim_mm.min.x,
                        i / n == 1 || i / n == 2 ? rim_mm.max.y : rim_mm.min.y};
        TapulSpot spot;
        ck_assert(tapul_laying_spot(map, tapul_vec2_mix(from, to, along), &spot));
        tapul_box_add(&box, tapul_development_point_mm(shown->question->development, spot));
    }
    return tapul_vec2_mix(box.min, box.max, 0.5);
}

static void check_squares(const Shown *shown, int format) {
    const TapulCaseLaid *laid = g_ptr_array_index(shown->laid, 0);
    g_autoptr(GPtrArray) pages = pages_of(shown, format);
    g_autoptr(GPtrArray) motifs = tapul_shown_motifs(&shown->comparison, 0);
    int checked = 0;
    for (guint i = 0; i < motifs->len; i++) {
        const TapulShownMotif *motif = g_ptr_array_index(motifs, i);
        if (times_set(pages, TRUE, motif->name) == 0)
            continue;
        g_autofree char *square =
            square_on_page(page_with(pages, "overlay"), shown,
                           middle_on_plate(shown, laid->map, motif->print_mm));
        g_autofree char *answer = answer_of(pages, motif->name, 2);
        ck_assert_msg(g_str_has_prefix(answer, square) && !g_ascii_isdigit(answer[2]),
                      "%s lies in %s; the answer is %s", motif->name, square, answer);
        checked++;
    }
    ck_assert_int_eq(checked, TAPUL_WORKSHEET_MOST_ROWS);
}

START_TEST(answers_name_the_square_where_the_laying_puts_a_motif) {
    g_autoptr(Shown) rolled = show_trees(ROLLED, "");
    g_autoptr(Shown) reversed = show_trees(REVERSED, "");
    check_squares(rolled, 0);
    check_squares(rolled, 1);
    check_squares(reversed, 0);
}
END_TEST

START_TEST(squares_are_named_as_on_a_map) {
    TapulSquares squares = tapul_squares((TapulBox){{0, 0}, {95, 45}});
    /* 95 mm and its air in at most ten squares of a round size. */
    ck_assert_double_eq(squares.cell_mm, 15);
    ck_assert_int_eq(squares.columns, 7);
    ck_assert_int_eq(squares.rows, 4);
    ck_assert_double_eq(squares.box_mm.max.x - squares.box_mm.min.x, 105);
    ck_assert_double_eq_tol(squares.box_mm.min.x, -5, 1e-9);
    ck_assert_double_eq_tol(squares.box_mm.max.y, 52.5, 1e-9);
    g_autofree char *first = tapul_squares_name(&squares, tapul_vec2(-4, 52));
    g_autofree char *middle = tapul_squares_name(&squares, tapul_vec2(47, 22));
    g_autofree char *beyond = tapul_squares_name(&squares, tapul_vec2(1e6, -1e6));
    g_autofree char *within = tapul_squares_names(&squares, (TapulBox){{45, 20}, {50, 22}});
    g_autofree char *across = tapul_squares_names(&squares, (TapulBox){{20, 10}, {60, 40}});
    ck_assert_str_eq(first, "A1");
    ck_assert_str_eq(middle, "D3");
    ck_assert_str_eq(beyond, "G4");
    ck_assert_str_eq(within, "D3");
    ck_assert_str_eq(across, "D2 (B1–E3)");
}
END_TEST

START_TEST(squares_cover_what_they_are_for) {
    g_autoptr(GRand) random = g_rand_new_with_seed(5);
    for (int i = 0; i < 2000; i++) {
        TapulVec2 from = {g_rand_double_range(random, -500, 500),
                          g_rand_double_range(random, -500, 500)};
        TapulVec2 size = {exp(g_rand_double_range(random, 0, 8)),
                          exp(g_rand_double_range(random, 0, 8))};
        TapulBox box = {from, tapul_vec2_add(from, size)};
        TapulSquares squares = tapul_squares(box);
        ck_assert(squares.box_mm.min.x < box.min.x && squares.box_mm.max.x > box.max.x);
        ck_assert(squares.box_mm.min.y < box.min.y && squares.box_mm.max.y > box.max.y);
        ck_assert(squares.columns >= 1 && squares.columns <= 10);
        ck_assert(squares.rows >= 1 && squares.rows <= 10);
    }
}
END_TEST

/* --- What the findings say --- */

/* Whole per cent of the answered width. */
static double percent_of(const GPtrArray *pages, const char *name) {
    g_autofree char *answer = answer_of(pages, name, 4);
    const char *figure = strstr(answer, "width ");
    ck_assert_msg(figure != NULL, "no size in '%s'", answer);
    return g_ascii_strtod(figure + strlen("width "), NULL);
}

START_TEST(findings_are_answered) {
    g_autoptr(Shown) plain = show_trees(ROLLED, "");
    g_autoptr(Shown) shown = show_trees(ROLLED, "");
    TapulBox place = {{-30, 100}, {-20, 110}};
    TapulMotifFinding moved = {.fate = TAPUL_MOTIF_MOVED, .moved_mm = {8, 0}, .box_mm = place};
    TapulMotifFinding resized = {
        .fate = TAPUL_MOTIF_RESIZED, .resized = 0.5, .box_mm = {{0, 100}, {5, 105}}};
    TapulMotifFinding turned_over = {.fate = TAPUL_MOTIF_REVERSED,
                                     .box_mm = {{0, 100}, {5, 105}}};
    add_finding(shown, "Oak", (TapulMotifFinding){.fate = TAPUL_MOTIF_LEFT_OUT});
    add_finding(shown, "Elm", (TapulMotifFinding){.fate = TAPUL_MOTIF_UNDECIDED});
    add_finding(shown, "Fir", moved);
    add_finding(shown, "Maple", resized);
    add_finding(shown, "Lime", turned_over);
    g_autoptr(GPtrArray) pages = pages_of(shown, 0);
    static const struct {
        const char *name;
        guint after;
        const char *answer; /* what it begins with */
    } expected[] = {{"Oak", 1, "No"},         {"Oak", 2, "–"},      {"Oak", 4, "–"},
                    {"Fir", 1, "Yes"},        {"Maple", 4, "No:"},  {"Lime", 3, "Mirrored"},
                    {"Hazel", 3, "The same"}, {"Hazel", 4, "Yes:"}, {"Hazel", 5, "No"}};
    for (guint i = 0; i < G_N_ELEMENTS(expected); i++) {
        g_autofree char *answer = answer_of(pages, expected[i].name, expected[i].after);
        ck_assert_msg(g_str_has_prefix(answer, expected[i].answer), "%s: %s, not %s",
                      expected[i].name, answer, expected[i].answer);
    }
    add_finding(plain, "Oak", (TapulMotifFinding){.fate = TAPUL_MOTIF_KEPT});
    g_autoptr(GPtrArray) plain_pages = pages_of(plain, 0);
    ck_assert_double_eq_tol(percent_of(pages, "Maple"), 0.5 * percent_of(plain_pages, "Maple"),
                            1);
    g_autofree char *fate = answer_of(pages, "Fir", 5);
    ck_assert_msg(strstr(fate, "oved") && strstr(fate, "8"), "moved by: %s", fate);
    g_autofree char *square = square_on_page(page_with(pages, "overlay"), shown,
                                             tapul_vec2_mix(place.min, place.max, 0.5));
    g_autofree char *answer = answer_of(pages, "Fir", 2);
    ck_assert_msg(g_str_has_prefix(answer, square), "%s, not %s", answer, square);
    g_autofree char *said = words_said_by_page(last_of(pages));
    ck_assert_ptr_nonnull(strstr(said, "Not found:"));
    ck_assert_ptr_nonnull(strstr(said, "Found changed:"));
}
END_TEST

START_TEST(the_hand_is_answered_from_the_laying) {
    g_autoptr(Shown) direct = show_trees(ROLLED, "");
    g_autoptr(Shown) reversed = show_trees(REVERSED, "");
    g_autoptr(GPtrArray) direct_pages = pages_of(direct, 0);
    g_autoptr(GPtrArray) reversed_pages = pages_of(reversed, 0);
    g_autofree char *no = words_said_by_page(last_of(direct_pages));
    g_autofree char *yes = words_said_by_page(last_of(reversed_pages));
    ck_assert_ptr_nonnull(strstr(no, "No: the laying supposes"));
    ck_assert_ptr_nonnull(strstr(yes, "Yes: the laying supposes"));
    ck_assert_int_eq(times_set(direct_pages, TRUE, "Mirrored"), 0);
    ck_assert_int_eq(times_set(reversed_pages, TRUE, "Mirrored"), TAPUL_WORKSHEET_MOST_ROWS);
}
END_TEST

/* --- Room to write --- */

static void add_rule(const TapulItem *item, const PagePlace *place, gpointer data) {
    if (item->kind != TAPUL_ITEM_PATH)
        return;
    TapulBox box = affine_box(place->to_page, tapul_path_box(item->as.drawn.path));
    if (box.max.y - box.min.y < 1e-6 && box.max.x - box.min.x > 50)
        g_array_append_val((GArray *)data, box);
}

START_TEST(rows_and_lines_leave_room_to_write) {
    const double least_mm = 8;
    g_autoptr(Shown) shown = show_trees(ROLLED, "");
    for (int f = 0; f < (int)G_N_ELEMENTS(formats); f++) {
        g_autoptr(GPtrArray) pages = pages_of(shown, f);
        guint rules = 0;
        for (guint i = 0; i < pages->len; i++) {
            const TapulPage *page = g_ptr_array_index(pages, i);
            if (strcmp(tapul_page_title(page), "What do you find?") != 0)
                continue;
            g_autoptr(GArray) found = g_array_new(FALSE, FALSE, sizeof(TapulBox));
            walk_page(page, add_rule, found);
            rules += found->len;
            for (guint a = 0; a < found->len; a++)
                for (guint b = 0; b < a; b++) {
                    TapulBox upper = g_array_index(found, TapulBox, b);
                    TapulBox lower = g_array_index(found, TapulBox, a);
                    ck_assert(upper.max.x <= lower.min.x || lower.max.x <= upper.min.x ||
                              fabs(upper.min.y - lower.min.y) >= least_mm - 1e-9);
                }
        }
        /* Below the heads and each row; two lines at least a question. */
        ck_assert_uint_ge(rules, 1 + TAPUL_WORKSHEET_MOST_ROWS + 2 * 3);
    }
}
END_TEST

START_TEST(texts_keep_clear_and_papers_are_as_asked) {
    g_autoptr(Shown) shown = show_trees(REVERSED, "");
    for (int f = 0; f < (int)G_N_ELEMENTS(formats); f++) {
        g_autoptr(GPtrArray) pages = pages_of(shown, f);
        gboolean landscape =
            formats[f].upright == TAPUL_UPRIGHT_LANDSCAPE ||
            (formats[f].upright == TAPUL_UPRIGHT_AUTO && formats[f].paper == TAPUL_PAPER_A3);
        TapulVec2 size = tapul_paper_mm(formats[f].paper, landscape);
        for (guint i = 0; i < pages->len; i++) {
            const TapulPage *page = g_ptr_array_index(pages, i);
            g_autofree char *name = g_strdup_printf("format %d, page %u", f, i + 1);
            ck_assert_double_eq(tapul_page_width_mm(page), size.x);
            ck_assert_double_eq(tapul_page_height_mm(page), size.y);
            check_is_clear(page, name);
        }
    }
}
END_TEST

START_TEST(large_paper_has_print_and_plate_on_one_page) {
    g_autoptr(Shown) shown = show_trees(ROLLED, "");
    g_autoptr(GPtrArray) large = pages_of(shown, 1);
    g_autoptr(GPtrArray) small = pages_of(shown, 0);
    ck_assert_ptr_eq(page_with(large, "print"), page_with(large, "plate"));
    ck_assert_ptr_ne(page_with(small, "print"), page_with(small, "plate"));
    ck_assert_uint_eq(small->len, 4);
}
END_TEST

/* --- The case's own words --- */

START_TEST(the_case_gives_the_words) {
    g_autoptr(Shown) shown = show_trees(
        ROLLED,
        "sheet:\n  language: de\n  words: { find the motifs: suche die Bilder, mirrored: "
        "gespiegelt, \"yes\": ja }\n  motifs: { oak: Eiche }\n");
    g_autoptr(GPtrArray) pages = pages_of(shown, 0);
    ck_assert_str_eq(tapul_page_title(g_ptr_array_index(pages, 0)), "Suche die Bilder");
    ck_assert_int_eq(times_set(pages, FALSE, "Eiche"), 1);
    ck_assert_int_eq(times_set(pages, FALSE, "gespiegelt"), 1);
    ck_assert_int_eq(times_set(pages, TRUE, "Ja"), TAPUL_WORKSHEET_MOST_ROWS);
}
END_TEST

/* --- Nothing to ask --- */

static void check_refused(const Shown *shown) {
    g_autoptr(GError) error = NULL;
    TapulComparisonOptions options = tapul_comparison_options_defaults();
    g_autoptr(GPtrArray) pages = tapul_worksheet_pages(&shown->comparison, &options, &error);
    ck_assert_ptr_null(pages);
    ck_assert_msg(
        g_error_matches(error, TAPUL_COMPARISON_ERROR, TAPUL_COMPARISON_ERROR_NOTHING), "%s",
        error ? error->message : "no error");
    ck_assert_msg(g_str_has_prefix(error->message, shown->question->path), "%s",
                  error->message);
    ck_assert_ptr_null(strchr(error->message, '\n'));
}

START_TEST(a_case_without_motifs_is_refused) {
    g_autoptr(Shown) bare = show_trees(
        "  - { print: bare, rule: rolled, anchor: { across_mm: 0, up_mm: 120 } }\n", "");
    g_autoptr(Shown) border =
        show_trees("  - { print: trees, rule: bordered, along: edge, scale: 0.4 }\n", "");
    check_refused(bare);
    check_refused(border);
}
END_TEST

/* --- The demonstration --- */

static const char *const demonstrations[] = {
    "whole-scheme", "breastplate", "gorget",         "cannon",        "backplate",
    "teaching",     "cuff",        "over-the-metal", "drawn-as-seen", "convention-only"};

START_TEST(worksheets_of_the_demonstration_are_in_order) {
    g_autoptr(Shown) shown = show_demonstration(demonstrations[_i]);
    for (int f = 0; f < 2; f++) {
        g_autoptr(GPtrArray) pages = pages_of(shown, f);
        check_answers_come_last(shown, pages);
        for (guint i = 0; i < pages->len; i++)
            check_is_clear(g_ptr_array_index(pages, i), demonstrations[_i]);
    }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("worksheet");
    TCase *tests = tcase_create("worksheet");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, pages_before_the_answers_tell_nothing);
    tcase_add_test(tests, pages_before_the_answers_need_no_colour);
    tcase_add_test(tests, the_largest_motifs_are_asked_for_and_answered);
    tcase_add_test(tests, two_prints_share_the_motifs);
    tcase_add_test(tests, a_print_without_motifs_is_asked_for_as_a_whole);
    tcase_add_test(tests, what_tells_most_is_asked_for_before_what_is_large);
    tcase_add_test(tests, what_the_tracing_does_not_tell_is_not_claimed);
    tcase_add_test(tests, what_only_fills_is_not_asked_for);
    tcase_add_test(tests, a_tracing_that_was_not_weighed_is_not_shown);
    tcase_add_test(tests, one_print_laid_twice_is_asked_for_once_a_copy);
    tcase_add_test(tests, answers_name_the_square_where_the_laying_puts_a_motif);
    tcase_add_test(tests, squares_are_named_as_on_a_map);
    tcase_add_test(tests, squares_cover_what_they_are_for);
    tcase_add_test(tests, findings_are_answered);
    tcase_add_test(tests, the_hand_is_answered_from_the_laying);
    tcase_add_test(tests, rows_and_lines_leave_room_to_write);
    tcase_add_test(tests, texts_keep_clear_and_papers_are_as_asked);
    tcase_add_test(tests, large_paper_has_print_and_plate_on_one_page);
    tcase_add_test(tests, the_case_gives_the_words);
    tcase_add_test(tests, a_case_without_motifs_is_refused);
    tcase_add_loop_test(tests, worksheets_of_the_demonstration_are_in_order, 0,
                        (int)G_N_ELEMENTS(demonstrations));
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
