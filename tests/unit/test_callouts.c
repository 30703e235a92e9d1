/* Numbered calls: over thousands of sets of places no leaders cross, labels do not overlap and
 * stay in their room; and the order of the calls does not matter. */
#include "sheet/callouts.h"
#include "sheet/page_items.h"

#include <cairo.h>
#include <check.h>
#include <glib/gstdio.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MOST_CALLS 40
#define TRIALS     4000

/* Of the whole micrometres that places and stands count to. */
#define UM_MM 0.001

static double um(double mm) {
    return round(mm / UM_MM) * UM_MM;
}

/* --- Random sets --- */

typedef struct {
    TapulBox figure, room;
    double step_mm;
    int n;
    TapulCallout calls[MOST_CALLS];
    TapulCalloutStand stands[MOST_CALLS];
} Set;

static TapulVec2 anywhere(GRand *random, TapulBox box) {
    return tapul_vec2(um(g_rand_double_range(random, box.min.x, box.max.x)),
                      um(g_rand_double_range(random, box.min.y, box.max.y)));
}

static TapulVec2 on_border(GRand *random, TapulBox box) {
    TapulVec2 at = anywhere(random, box);
    switch (g_rand_int_range(random, 0, 4)) {
    case 0:
        at.x = box.min.x;
        break;
    case 1:
        at.x = box.max.x;
        break;
    case 2:
        at.y = box.min.y;
        break;
    default:
        at.y = box.max.y;
    }
    return at;
}

static TapulVec2 clamped(TapulVec2 at, TapulBox box) {
    return tapul_vec2(um(CLAMP(at.x, box.min.x, box.max.x)),
                      um(CLAMP(at.y, box.min.y, box.max.y)));
}

typedef enum {
    ANYWHERE,
    CLUSTERED,
    LEVEL,
    UPRIGHT,
    SLANTED,
    COINCIDENT,
    BORDER,
    GRID,
    KINDS
} Kind;

static void add_calls(GRand *random, Set *set, Kind kind) {
    TapulVec2 a = anywhere(random, set->figure), b = anywhere(random, set->figure);
    TapulVec2 size = tapul_vec2_sub(set->figure.max, set->figure.min);
    for (int i = 0; i < set->n; i++) {
        TapulVec2 at = anywhere(random, set->figure);
        double t = g_rand_int_range(random, 0, 33) / 32.0;
        if (kind == CLUSTERED)
            at = clamped(tapul_vec2_mix(i & 1 ? a : b, at, 0.03), set->figure);
        else if (kind == LEVEL)
            at.y = a.y;
        else if (kind == UPRIGHT)
            at.x = a.x;
        else if (kind == SLANTED) /* along the figure's diagonal, exactly */
            at = tapul_vec2_add(set->figure.min, tapul_vec2_scale(size, t));
        else if (kind == COINCIDENT)
            at = i % 3 == 0 ? a : i % 3 == 1 ? b : at;
        else if (kind == BORDER)
            at = on_border(random, set->figure);
        else if (kind == GRID)
            at = tapul_vec2(set->figure.min.x + floor(t * 4) / 4 * size.x,
                            set->figure.min.y + g_rand_int_range(random, 0, 5) / 4.0 * size.y);
        set->calls[i] = (TapulCallout){at, i + 1, NULL};
    }
}

/* A figure of whole multiples of 4 mm, so that fractions of it are whole micrometres, with a
 * strip on the left, on the right or on both sides. */
static Set random_set(GRand *random, Kind kind) {
    Set set = {
        .figure.min = {g_rand_int_range(random, 20, 60), g_rand_int_range(random, 20, 60)}};
    int sides = g_rand_int_range(random, 1, 4);
    set.figure.max = tapul_vec2(set.figure.min.x + 4 * g_rand_int_range(random, 5, 40),
                                set.figure.min.y + 4 * g_rand_int_range(random, 10, 60));
    set.step_mm = um(g_rand_double_range(random, 4, 7));
    set.room = set.figure;
    set.room.min.x -= sides & 1 ? set.step_mm + 20 * g_rand_double(random) : 0;
    set.room.max.x += sides & 2 ? set.step_mm + 20 * g_rand_double(random) : 0;
    double high = set.room.max.y - set.room.min.y;
    int most = (sides == 3 ? 2 : 1) * (int)floor(high / set.step_mm);
    set.n = g_rand_int_range(random, 1, MIN(most, MOST_CALLS) + 1);
    add_calls(random, &set, kind);
    return set;
}

static void place(Set *set) {
    ck_assert(tapul_callouts_place(set->calls, set->n, set->figure, set->room, set->step_mm,
                                   set->stands));
}

/* --- Leaders --- */

typedef struct {
    gint64 x, y;
} Um;

static Um to_um(TapulVec2 mm) {
    return (Um){llround(mm.x / UM_MM), llround(mm.y / UM_MM)};
}

/* Twice the area of a triangle, exact. */
static gint64 area(Um a, Um b, Um c) {
    return (b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y);
}

static gboolean between(Um a, Um b, Um p) {
    return MIN(a.x, b.x) <= p.x && p.x <= MAX(a.x, b.x) && MIN(a.y, b.y) <= p.y &&
           p.y <= MAX(a.y, b.y);
}

static gboolean lies_on(Um a, Um b, Um p) {
    return area(a, b, p) == 0 && between(a, b, p);
}

static gboolean opposite(gint64 a, gint64 b) {
    return (a > 0 && b < 0) || (a < 0 && b > 0);
}

/* Segments a b and c d have a point in common: they cross, or an end of one lies on the other.
 */
static gboolean meet(Um a, Um b, Um c, Um d) {
    return (opposite(area(a, b, c), area(a, b, d)) && opposite(area(c, d, a), area(c, d, b))) ||
           lies_on(a, b, c) || lies_on(a, b, d) || lies_on(c, d, a) || lies_on(c, d, b);
}

static void check_leaders(const Set *set) {
    for (int i = 0; i < set->n; i++)
        for (int j = 0; j < i; j++) {
            Um p = to_um(set->calls[i].at_mm), q = to_um(set->calls[j].at_mm);
            gboolean one_place = p.x == q.x && p.y == q.y;
            ck_assert_msg(one_place || !meet(p, to_um(set->stands[i].port_mm), q,
                                             to_um(set->stands[j].port_mm)),
                          "the leaders of %d and %d meet", i, j);
        }
}

static void check_stands(const Set *set) {
    for (int i = 0; i < set->n; i++) {
        TapulCalloutStand a = set->stands[i];
        ck_assert(a.left ? a.port_mm.x < set->figure.min.x && a.port_mm.x > set->room.min.x
                         : a.port_mm.x > set->figure.max.x && a.port_mm.x < set->room.max.x);
        ck_assert_double_ge(a.port_mm.y - set->step_mm / 2, set->room.min.y - UM_MM);
        ck_assert_double_le(a.port_mm.y + set->step_mm / 2, set->room.max.y + UM_MM);
        for (int j = 0; j < i; j++)
            ck_assert(set->stands[j].left != a.left ||
                      fabs(set->stands[j].port_mm.y - a.port_mm.y) > set->step_mm - 2 * UM_MM);
    }
}

START_TEST(leaders_never_cross) {
    g_autoptr(GRand) random = g_rand_new_with_seed(1955);
    for (int trial = 0; trial < TRIALS; trial++) {
        Set set = random_set(random, (Kind)(trial % KINDS));
        place(&set);
        check_leaders(&set);
        check_stands(&set);
    }
}
END_TEST

/* Kinds of set in which rings need not be in the way, and the share of leaders that run into
 * one: leaders that do are still read, but badly. */
START_TEST(leaders_keep_off_rings) {
    const double ring_steps = 0.2, most_share = 0.02;
    g_autoptr(GRand) random = g_rand_new_with_seed(1987);
    int leaders = 0, run_into = 0;
    for (int trial = 0; trial < TRIALS / 4; trial++) {
        Set set = random_set(random, ANYWHERE);
        set.n = MIN(set.n, 20);
        place(&set);
        leaders += set.n;
        for (int i = 0; i < set.n; i++) {
            TapulVec2 at = set.calls[i].at_mm;
            TapulVec2 along = tapul_vec2_sub(set.stands[i].port_mm, at);
            gboolean into = FALSE;
            for (int j = 0; j < set.n; j++) {
                TapulVec2 to = tapul_vec2_sub(set.calls[j].at_mm, at);
                double share = tapul_vec2_dot(to, along) / tapul_vec2_dot(along, along);
                double off =
                    tapul_vec2_distance(to, tapul_vec2_scale(along, CLAMP(share, 0, 1)));
                into |= off < ring_steps * set.step_mm &&
                        tapul_vec2_length(to) >= ring_steps * set.step_mm;
            }
            run_into += into;
        }
    }
    printf("of %d leaders %d run into another call's ring\n", leaders, run_into);
    ck_assert_double_le((double)run_into / leaders, most_share);
}
END_TEST

/* Where no rings are in the way the leaders are as short as any: here between two columns whose
 * stands are known. */
START_TEST(nearest_stands_are_taken) {
    TapulCallout calls[] = {{{30, 85}, 1, NULL}, {{30, 15}, 2, NULL}, {{70, 45}, 3, NULL}};
    TapulCalloutStand stands[3];
    TapulBox figure = {{20, 0}, {80, 100}}, room = {{0, 0}, {100, 100}};
    ck_assert(tapul_callouts_place(calls, 3, figure, room, 10, stands));
    for (int i = 0; i < 3; i++) {
        ck_assert_double_eq(stands[i].port_mm.y, calls[i].at_mm.y);
        ck_assert_double_eq(stands[i].port_mm.x, i < 2 ? 15 : 85);
        ck_assert_int_eq(stands[i].left, i < 2);
    }
}
END_TEST

START_TEST(order_of_calls_does_not_matter) {
    g_autoptr(GRand) random = g_rand_new_with_seed(7);
    for (int trial = 0; trial < TRIALS / 4; trial++) {
        Set set = random_set(random, (Kind)(trial % KINDS)), other = set;
        int from[MOST_CALLS];
        for (int i = 0; i < set.n; i++)
            from[i] = i;
        for (int i = set.n - 1; i > 0; i--) {
            int j = g_rand_int_range(random, 0, i + 1), kept = from[i];
            from[i] = from[j];
            from[j] = kept;
        }
        for (int i = 0; i < set.n; i++)
            other.calls[i] = set.calls[from[i]];
        place(&set);
        place(&other);
        for (int i = 0; i < set.n; i++)
            ck_assert_mem_eq(&other.stands[i].port_mm, &set.stands[from[i]].port_mm,
                             sizeof(TapulVec2));
    }
}
END_TEST

START_TEST(too_many_do_not_fit) {
    TapulCallout calls[5] = {0};
    TapulCalloutStand stands[5];
    TapulBox figure = {{0, 0}, {10, 10}}, room = {{-10, 0}, {20, 10}};
    for (int i = 0; i < 5; i++)
        calls[i] = (TapulCallout){{5, 5}, i + 1, NULL};
    ck_assert(tapul_callouts_place(calls, 4, figure, room, 5, stands));
    ck_assert(!tapul_callouts_place(calls, 5, figure, room, 5, stands));
    ck_assert(!tapul_callouts_place(calls, 1, figure, figure, 5, stands)); /* no strips */
    ck_assert(!tapul_callouts_place(calls, 1, figure, room, 11, stands));
    ck_assert(tapul_callouts_place(calls, 0, figure, figure, 5, stands));
}
END_TEST

/* --- Labels --- */

static const char *const words[] = {"Heron",
                                    "Reed cartouche, pressed on over the metal, reversed",
                                    "Trophy of oars, nets and a long-handled spear",
                                    "\u05d7\u05e1\u05d9\u05d3\u05d4",
                                    "A mask",
                                    "\u0130\u015flemeli z\u0131rh"};

static TapulBox box_of_text(const TapulItem *item) {
    TapulVec2 at = item->as.text.at;
    const TapulType *type = &item->as.text.type;
    double width_mm = tapul_page_text_width_mm(item->as.text.text, type);
    double x = at.x - width_mm * (type->align == TAPUL_ALIGN_RIGHT    ? 1
                                  : type->align == TAPUL_ALIGN_CENTRE ? 0.5
                                                                      : 0);
    /* From the foot of a p to the head of a b; lines set closer would touch. */
    return (TapulBox){{x, at.y - 0.28 * type->size_mm},
                      {x + width_mm, at.y + 0.72 * type->size_mm}};
}

static void check_texts(const TapulPage *page, TapulBox room, TapulBox figure) {
    g_autoptr(GArray) boxes = g_array_new(FALSE, FALSE, sizeof(TapulBox));
    for (guint i = 0; i < page->items->len; i++) {
        const TapulItem *item = &g_array_index(page->items, TapulItem, i);
        if (item->kind != TAPUL_ITEM_TEXT)
            continue;
        TapulBox box = box_of_text(item);
        ck_assert_msg(box.min.x >= room.min.x - UM_MM && box.max.x <= room.max.x + UM_MM &&
                          box.min.y >= room.min.y - UM_MM && box.max.y <= room.max.y + UM_MM,
                      "'%s' leaves its room", item->as.text.text);
        ck_assert(!tapul_boxes_overlap(box, figure));
        for (guint j = 0; j < boxes->len; j++)
            ck_assert_msg(!tapul_boxes_overlap(box, g_array_index(boxes, TapulBox, j)),
                          "'%s' overlaps another text", item->as.text.text);
        g_array_append_val(boxes, box);
    }
    ck_assert_uint_gt(boxes->len, 0);
}

START_TEST(labels_do_not_overlap) {
    g_autoptr(GRand) random = g_rand_new_with_seed(3);
    for (int trial = 0; trial < 40; trial++) {
        TapulLeaf leaf = tapul_leaf((TapulPaper)(trial % 5), trial & 1);
        Set set = {.n = 1 + trial % 12, .figure = {{70, 40}, {leaf.format.width_mm - 70, 140}}};
        set.room = (TapulBox){{10, 30}, {leaf.format.width_mm - 10, 150}};
        add_calls(random, &set, (Kind)(trial % KINDS));
        for (int i = 0; i < set.n; i++)
            set.calls[i].text = words[(guint)(i + trial) % G_N_ELEMENTS(words)];
        TapulCalloutRoom labels = tapul_callouts_room(&leaf, set.calls, set.n, 60);
        if (labels.step_mm == 0) /* these words are too long for strips of 60 mm on a wall */
            continue;
        set.step_mm = labels.step_mm;
        set.room.min.x = set.figure.min.x - labels.strip_mm;
        set.room.max.x = set.figure.max.x + labels.strip_mm;
        g_autoptr(TapulPage) page = tapul_page_new(leaf.format.width_mm, leaf.format.height_mm,
                                                   "Labels", "A test page");
        place(&set);
        tapul_callouts_draw(page, &leaf, set.calls, set.stands, set.n, set.room);
        check_texts(page, set.room, set.figure);
    }
}
END_TEST

/* Every word is set in full where tapul_callouts_room says that it fits; a strip too narrow for
 * it is refused there, and shortens it. */
START_TEST(texts_are_whole_or_shortened) {
    TapulLeaf leaf = tapul_leaf(TAPUL_PAPER_A4, FALSE);
    TapulCallout call = {{50, 50}, 1, words[1]};
    TapulCalloutRoom wide = tapul_callouts_room(&leaf, &call, 1, 100);
    TapulCalloutRoom narrow = tapul_callouts_room(&leaf, &call, 1, 0.7 * wide.strip_mm);
    ck_assert_double_gt(narrow.step_mm, wide.step_mm);
    ck_assert_double_le(narrow.strip_mm, 0.7 * wide.strip_mm);
    ck_assert_double_eq(tapul_callouts_room(&leaf, &call, 1, 20).step_mm, 0);
    for (int whole = 0; whole < 2; whole++) {
        g_autoptr(TapulPage) page = tapul_page_new(200, 100, "One", "A test page");
        TapulCalloutStand stand = {{60, 50}, FALSE};
        TapulBox room = {{0, 0}, {60 + (whole ? narrow.strip_mm : 20), 100}};
        g_autoptr(GString) text = g_string_new(NULL);
        tapul_callouts_draw(page, &leaf, &call, &stand, 1, room);
        for (guint i = 0; i < page->items->len; i++) {
            const TapulItem *item = &g_array_index(page->items, TapulItem, i);
            if (item->kind == TAPUL_ITEM_TEXT && strcmp(item->as.text.text, "1") != 0)
                g_string_append_printf(text, "%s ", item->as.text.text);
        }
        g_strchomp(text->str);
        ck_assert_int_eq(strcmp(text->str, words[1]) == 0, whole);
        ck_assert_int_eq(strstr(text->str, "\u2026") == NULL, whole);
    }
}
END_TEST

/* --- Contrast --- */

/* Relative luminance and contrast, WCAG 2.2, 'contrast ratio'. */
static double linear(double channel) {
    return channel <= 0.04045 ? channel / 12.92 : pow((channel + 0.055) / 1.055, 2.4);
}

static double luminance(const guint8 *bgra) {
    return 0.0722 * linear(bgra[0] / 255.0) + 0.7152 * linear(bgra[1] / 255.0) +
           0.2126 * linear(bgra[2] / 255.0);
}

/* The greatest contrast between neighbours within reach_px down a column of a rendered page:
 * what an eye following the column meets where it crosses a leader. */
static double contrast_down(cairo_surface_t *surface, int x, int reach_px) {
    const guint8 *data = cairo_image_surface_get_data(surface);
    int stride = cairo_image_surface_get_stride(surface);
    int height = cairo_image_surface_get_height(surface);
    double most = 1;
    for (int y = 0; y + reach_px < height; y++) {
        double a = luminance(data + y * stride + 4 * x);
        double b = luminance(data + (y + reach_px) * stride + 4 * x);
        most = fmax(most, (fmax(a, b) + 0.05) / (fmin(a, b) + 0.05));
    }
    return most;
}

/* On blackened metal, on bright metal, on paper and on the print's vermilion. */
START_TEST(leaders_read_on_dark_and_light) {
    const TapulColour grounds[] = {{0.05, 0.05, 0.05, 1},
                                   {0.45, 0.45, 0.45, 1},
                                   {0.80, 0.80, 0.80, 1},
                                   TAPUL_WARM_WHITE,
                                   TAPUL_PRINT_INK};
    const double least = 3; /* WCAG 2.2, 1.4.11 */
    const double dpi = 600, reach_mm = 0.25;
    TapulLeaf leaf = tapul_leaf(TAPUL_PAPER_A4, FALSE);
    for (guint i = 0; i < G_N_ELEMENTS(grounds); i++) {
        g_autoptr(TapulPage) page = tapul_page_new(30, 10, "Leader", "A test page");
        g_autoptr(TapulPath) all = tapul_box_path((TapulBox){{0, 0}, {30, 10}});
        TapulCallout call = {{3, 5}, 1, NULL};
        TapulCalloutStand stand = {{24, 5}, FALSE};
        tapul_page_path(page, all, &(TapulPen){.fill = grounds[i]});
        tapul_callouts_draw(page, &leaf, &call, &stand, 1, (TapulBox){{0, 0}, {30, 10}});
        g_autofree char *file = NULL;
        g_close(g_file_open_tmp("tapul-leader-XXXXXX.png", &file, NULL), NULL);
        ck_assert(tapul_page_write_png(page, dpi, file, NULL));
        cairo_surface_t *surface = cairo_image_surface_create_from_png(file);
        ck_assert_int_eq(cairo_surface_status(surface), CAIRO_STATUS_SUCCESS);
        int reach_px = (int)lround(reach_mm * dpi / 25.4);
        ck_assert_double_ge(contrast_down(surface, (int)(12 * dpi / 25.4), reach_px), least);
        cairo_surface_destroy(surface);
        g_unlink(file);
    }
}
END_TEST

/* --- Numbers without leaders --- */

START_TEST(numbers_come_apart) {
    g_autoptr(GRand) random = g_rand_new_with_seed(11);
    const double radius_mm = 2;
    for (int trial = 0; trial < TRIALS / 4; trial++) {
        Set set = random_set(random, (Kind)(trial % KINDS));
        TapulVec2 size = tapul_vec2_sub(set.figure.max, set.figure.min);
        /* Half of the figure stays clear. */
        set.n = MIN(set.n, (int)(size.x * size.y / 2 / (4 * radius_mm * radius_mm)));
        tapul_numbers_part(set.calls, set.n, radius_mm, set.figure);
        for (int i = 0; i < set.n; i++) {
            TapulVec2 at = set.calls[i].at_mm;
            ck_assert(at.x >= set.figure.min.x + radius_mm - UM_MM &&
                      at.x <= set.figure.max.x - radius_mm + UM_MM &&
                      at.y >= set.figure.min.y + radius_mm - UM_MM &&
                      at.y <= set.figure.max.y - radius_mm + UM_MM);
            for (int j = 0; j < i; j++)
                ck_assert_msg(tapul_vec2_distance(at, set.calls[j].at_mm) >=
                                  2 * radius_mm - UM_MM,
                              "of %d in kind %d, %d and %d touch", set.n, trial % KINDS, i, j);
        }
    }
}
END_TEST

START_TEST(numbers_apart_stay) {
    TapulCallout calls[] = {{{10, 10}, 1, NULL}, {{20, 10}, 2, NULL}, {{10, 16}, 3, NULL}};
    TapulCallout before[3];
    memcpy(before, calls, sizeof calls);
    tapul_numbers_part(calls, 3, 2, (TapulBox){{0, 0}, {40, 40}});
    for (int i = 0; i < 3; i++)
        ck_assert_double_eq(tapul_vec2_distance(calls[i].at_mm, before[i].at_mm), 0);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("callouts");
    TCase *tcase = tcase_create("callouts");
    tcase_set_timeout(tcase, 60);
    tcase_add_test(tcase, leaders_never_cross);
    tcase_add_test(tcase, leaders_keep_off_rings);
    tcase_add_test(tcase, nearest_stands_are_taken);
    tcase_add_test(tcase, order_of_calls_does_not_matter);
    tcase_add_test(tcase, too_many_do_not_fit);
    tcase_add_test(tcase, labels_do_not_overlap);
    tcase_add_test(tcase, texts_are_whole_or_shortened);
    tcase_add_test(tcase, leaders_read_on_dark_and_light);
    tcase_add_test(tcase, numbers_come_apart);
    tcase_add_test(tcase, numbers_apart_stay);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
