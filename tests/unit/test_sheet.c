/* Sheets: paper, scale, lines carried from the plate, words that keep apart, the colour scale.
 */
#include "sheet/carried.h"
#include "sheet/overlay_parts.h"
#include "sheet/page_items.h"
#include "sheet/stretch_scale.h"
#include "sheet/thin.h"
#include "test_sheet_cylinders.h"

#include <stdlib.h>
#include <string.h>
#include <tapul/sheets.h>

#define FIELDS                                                                                 \
    "fields:\n"                                                                                \
    "  - { id: panel, outline_mm: [[-30, 40], [30, 40], [30, 120], [-30, 120]] }\n"            \
    "  - { id: off-the-edge, outline_mm: [[60, 150], [300, 150], [300, 190], [60, 190]] }\n"

/* --- Overlays --- */

static TapulMark *stroke(TapulPath *path) {
    TapulMark *mark = g_new0(TapulMark, 1);
    mark->kind = TAPUL_MARK_STROKE;
    mark->path = path;
    mark->width_mm = 0.3;
    mark->motif = -1;
    return mark;
}

static GPtrArray *some_marks(void) {
    GPtrArray *marks = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_mark_free);
    for (int i = 0; i < 40; i++) {
        TapulPath *path = tapul_path_new();
        tapul_path_move(path, tapul_vec2(-60 + 3 * i, 30));
        tapul_path_curve(path, tapul_vec2(-40 + 3 * i, 60), tapul_vec2(-80 + 3 * i, 100),
                         tapul_vec2(-60 + 3 * i, 130));
        g_ptr_array_add(marks, stroke(path));
    }
    TapulMark *paper = stroke(tapul_path_new());
    paper->kind = TAPUL_MARK_FILL;
    paper->paper = TRUE;
    paper->grey = 1;
    tapul_path_move(paper->path, tapul_vec2(-10, 50));
    tapul_path_line(paper->path, tapul_vec2(10, 50));
    tapul_path_line(paper->path, tapul_vec2(0, 70));
    tapul_path_close(paper->path);
    g_ptr_array_add(marks, paper);
    return marks;
}

typedef struct {
    TapulLaidInk laid;
    TapulInk found;
    TapulOverlayLaying layings[3];
    TapulVec2 pairs[2];
    TapulOverlay overlay;
} Question;

static const char long_caption[] =
    "developed from the point 0 mm across and 260 mm up the medial line; scale 1.0825; turned "
    "−12.5°; reversed, as a print traced straight on to the metal is";

static void fill_question(Question *question, const Cylinder *cylinder, int n_layings) {
    *question = (Question){.laid = {.marks = some_marks(),
                                    .ink_length_mm = 4321,
                                    .laid_length_mm = 4333,
                                    .stretch_min = 0.98,
                                    .stretch_max = 1.04,
                                    .folded_mm = 3,
                                    .beyond_edge_mm = 12,
                                    .beyond_edge_fills = 1},
                           .pairs = {{0, 50}, {40, 90}}};
    question->found.marks = some_marks();
    for (int i = 0; i < 3; i++)
        question->layings[i] = (TapulOverlayLaying){
            .name = "cartouche", .laid = &question->laid, .caption = long_caption};
    question->overlay = (TapulOverlay){.title = "Reed cartouche & <heron> on a cylinder",
                                       .credit = "Invented for the test",
                                       .ground = &cylinder->ground,
                                       .n_layings = n_layings,
                                       .layings = question->layings};
}

static void clear_question(Question *question) {
    g_ptr_array_unref(question->laid.marks);
    g_ptr_array_unref(question->found.marks);
}

/* --- Reading a page --- */

/* The first path drawn in the group of that id. */
static const TapulPath *path_in_group(const TapulPage *page, const char *id) {
    gboolean inside = FALSE;
    for (guint i = 0; i < page->items->len; i++) {
        const TapulItem *item = &g_array_index(page->items, TapulItem, i);
        if (item->kind == TAPUL_ITEM_BEGIN_GROUP && strcmp(item->as.group.id, id) == 0)
            inside = TRUE;
        if (inside && item->kind == TAPUL_ITEM_PATH)
            return item->as.drawn.path;
    }
    ck_abort_msg("no path in group %s", id);
    return NULL;
}

/* The transform of a group of the page. */
static TapulAffine place_of(const TapulPage *page, const char *id) {
    for (guint i = 0; i < page->items->len; i++) {
        const TapulItem *item = &g_array_index(page->items, TapulItem, i);
        if (item->kind == TAPUL_ITEM_BEGIN_GROUP && strcmp(item->as.group.id, id) == 0)
            return item->as.group.transform;
    }
    ck_abort_msg("no group %s", id);
    return (TapulAffine){0};
}

/* Boxes of all words, in page coordinates, from the height of an x to the baseline. Groups with
 * words are shifted, not scaled or turned. */
static GArray *boxes_of_words(const TapulPage *page) {
    GArray *boxes = g_array_new(FALSE, FALSE, sizeof(TapulBox));
    g_autoptr(GArray) shifts = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    TapulVec2 shift = {0, 0};
    for (guint i = 0; i < page->items->len; i++) {
        const TapulItem *item = &g_array_index(page->items, TapulItem, i);
        if (item->kind == TAPUL_ITEM_BEGIN_GROUP) {
            g_array_append_val(shifts, shift);
            if (item->as.group.moved)
                shift = tapul_vec2(shift.x + item->as.group.transform.dx,
                                   shift.y + item->as.group.transform.dy);
        } else if (item->kind == TAPUL_ITEM_END_GROUP) {
            shift = g_array_index(shifts, TapulVec2, shifts->len - 1);
            g_array_set_size(shifts, shifts->len - 1);
        } else if (item->kind == TAPUL_ITEM_TEXT) {
            const TapulType *type = &item->as.text.type;
            double width_mm = tapul_page_text_width_mm(item->as.text.text, type);
            TapulVec2 at = tapul_vec2_add(item->as.text.at, shift);
            at.x -= width_mm * (type->align == TAPUL_ALIGN_CENTRE  ? 0.5
                                : type->align == TAPUL_ALIGN_RIGHT ? 1
                                                                   : 0);
            ck_assert_double_ge(type->size_mm, TAPUL_LEAST_TEXT_MM);
            TapulBox box = {at, {at.x + width_mm, at.y + 0.4 * type->size_mm}};
            g_array_append_val(boxes, box);
        }
    }
    return boxes;
}

static void check_words(const TapulPage *page) {
    g_autoptr(GArray) boxes = boxes_of_words(page);
    ck_assert_uint_gt(boxes->len, 3);
    for (guint i = 0; i < boxes->len; i++) {
        TapulBox a = g_array_index(boxes, TapulBox, i);
        ck_assert_double_ge(a.min.x, 10);
        ck_assert_double_ge(a.min.y, 10);
        ck_assert_double_le(a.max.x, page->width_mm - 10);
        ck_assert_double_le(a.max.y, page->height_mm - 10);
        for (guint j = 0; j < i; j++) {
            TapulBox b = g_array_index(boxes, TapulBox, j);
            ck_assert_msg(a.min.x >= b.max.x || b.min.x >= a.max.x || a.min.y >= b.max.y ||
                              b.min.y >= a.max.y,
                          "words collide at %g, %g mm", a.min.x, a.min.y);
        }
    }
}

/* The box on the page of a picture, or of a path, first drawn in a group that is moved and
 * scaled but not turned. */
static TapulBox box_on_page(const TapulPage *page, const char *id) {
    TapulAffine place = place_of(page, id);
    TapulBox box = tapul_box_empty();
    gboolean inside = FALSE;
    for (guint i = 0; i < page->items->len && tapul_box_is_empty(box); i++) {
        const TapulItem *item = &g_array_index(page->items, TapulItem, i);
        if (item->kind == TAPUL_ITEM_BEGIN_GROUP)
            inside |= strcmp(item->as.group.id, id) == 0;
        if (inside && item->kind == TAPUL_ITEM_PICTURE)
            box = item->as.picture.box;
        if (inside && item->kind == TAPUL_ITEM_PATH)
            box = tapul_path_box(item->as.drawn.path);
    }
    return (TapulBox){{place.xx * box.min.x + place.dx, place.yy * box.min.y + place.dy},
                      {place.xx * box.max.x + place.dx, place.yy * box.max.y + place.dy}};
}

/* Development and views keep apart, for plates whose development is a rectangle. */
static void check_views(const TapulPage *page) {
    static const char *const ids[] = {"development", "front", "three-quarters"};
    for (int i = 0; i < 3; i++) {
        TapulBox a = box_on_page(page, ids[i]);
        ck_assert_msg(a.min.x >= 10 && a.min.y >= 10 && a.max.x <= page->width_mm - 10 &&
                          a.max.y <= page->height_mm - 10,
                      "%s from %g, %g to %g, %g mm", ids[i], a.min.x, a.min.y, a.max.x,
                      a.max.y);
        for (int j = 0; j < i; j++) {
            TapulBox b = box_on_page(page, ids[j]);
            ck_assert_msg(a.min.x >= b.max.x || b.min.x >= a.max.x || a.min.y >= b.max.y ||
                              b.min.y >= a.max.y,
                          "%s over %s", ids[i], ids[j]);
        }
    }
}

/* ISO 216, A4 to A0. */
static const double iso_mm[][2] = {{210, 297}, {297, 420}, {420, 594}, {594, 841}, {841, 1189}};

/* Which of them a page is, either way up; -1: none. */
static int iso_size(const TapulPage *page) {
    for (int i = 0; i < (int)G_N_ELEMENTS(iso_mm); i++)
        if ((page->width_mm == iso_mm[i][0] && page->height_mm == iso_mm[i][1]) ||
            (page->width_mm == iso_mm[i][1] && page->height_mm == iso_mm[i][0]))
            return i;
    return -1;
}

/* --- Scale and paper --- */

START_TEST(development_is_drawn_at_one_to_one) {
    g_autoptr(Cylinder) cylinder = cylinder_new(100, 200, 170, FIELDS);
    g_autoptr(TapulPage) page = tapul_sheet_development(&cylinder->ground);
    TapulAffine place = place_of(page, "development");
    ck_assert(place.xx == 1 && place.yy == 1 && place.xy == 0 && place.yx == 0);
    TapulBox box = tapul_path_box(path_in_group(page, "edge"));
    ck_assert_double_eq_tol(box.max.x - box.min.x, 100 * 170 * G_PI / 180, 1e-6);
    ck_assert_double_eq_tol(box.max.y - box.min.y, 200, 1e-6);
    ck_assert_double_ge(box.min.x + place.dx, 10);
    ck_assert_double_le(box.max.x + place.dx, page->width_mm - 10);
}
END_TEST

START_TEST(scale_bar_is_100_mm_in_tenths) {
    g_autoptr(Cylinder) cylinder = cylinder_new(100, 200, 170, "");
    g_autoptr(TapulPage) page = tapul_sheet_stretch(&cylinder->ground);
    gboolean inside = FALSE;
    TapulBox all = tapul_box_empty();
    for (guint i = 0; i < page->items->len; i++) {
        const TapulItem *item = &g_array_index(page->items, TapulItem, i);
        if (item->kind == TAPUL_ITEM_BEGIN_GROUP)
            inside = strcmp(item->as.group.id, "scale-bar") == 0;
        if (!inside || item->kind != TAPUL_ITEM_PATH)
            continue;
        TapulBox box = tapul_path_box(item->as.drawn.path);
        if (item->as.drawn.pen.fill.alpha > 0)
            ck_assert_double_eq_tol(box.max.x - box.min.x, 10, 1e-9);
        tapul_box_add(&all, box.min);
        tapul_box_add(&all, box.max);
    }
    ck_assert_double_eq_tol(all.max.x - all.min.x, 100, 1e-9);
}
END_TEST

START_TEST(paper_is_the_smallest_iso_size) {
    /* The development is 2.97 R wide (170 degrees) and its height high; it fits no smaller size
     * either way up, and this one with margins and text. */
    static const struct {
        double radius_mm, height_mm;
        int size;
    } cases[] = {{30, 60, 0}, {60, 150, 1}, {100, 250, 2}, {180, 330, 3}, {220, 700, 4}};
    for (guint i = 0; i < G_N_ELEMENTS(cases); i++) {
        g_autoptr(Cylinder) cylinder =
            cylinder_new(cases[i].radius_mm, cases[i].height_mm, 170, "");
        g_autoptr(TapulPage) page = tapul_sheet_development(&cylinder->ground);
        ck_assert_msg(iso_size(page) == cases[i].size, "radius %g: %g x %g mm",
                      cases[i].radius_mm, page->width_mm, page->height_mm);
    }
}
END_TEST

START_TEST(a_plate_beyond_all_paper_still_gets_a_page) {
    g_autoptr(Cylinder) cylinder = cylinder_new(900, 2000, 170, "");
    g_autoptr(TapulPage) page = tapul_sheet_development(&cylinder->ground);
    ck_assert_double_gt(page->width_mm, 900 * 170 * G_PI / 180);
    ck_assert_double_gt(page->height_mm, 2000);
    check_words(page);
}
END_TEST

/* --- Lines of the plate --- */

START_TEST(tape_grid_of_a_cylinder_is_square) {
    g_autoptr(Cylinder) cylinder = cylinder_new(100, 260, 170, "");
    g_autoptr(GPtrArray) grid = tapul_carried_grid(&cylinder->ground, 50);
    int levels = 0, across = 0;
    for (guint i = 0; i < grid->len; i++) {
        const TapulGridLine *line = grid->pdata[i];
        TapulBox box = tapul_path_box(line->path);
        if (line->level) {
            levels++;
            ck_assert_double_eq_tol(box.min.y, line->at_mm, 0.05);
            ck_assert_double_eq_tol(box.max.y, line->at_mm, 0.05);
            ck_assert_double_eq_tol(box.max.x - box.min.x, 100 * 170 * G_PI / 180, 0.2);
        } else {
            across++;
            /* The tape lies on the flat triangles: chords of 0.05 mm error. */
            ck_assert_double_eq_tol(box.min.x, line->at_mm, 0.1);
            ck_assert_double_eq_tol(box.max.x, line->at_mm, 0.1);
            ck_assert_double_eq_tol(box.max.y - box.min.y, 260, 0.2);
        }
    }
    ck_assert_int_eq(levels, 5);
    ck_assert_int_eq(across, 5);
}
END_TEST

START_TEST(a_field_is_carried_and_cut_at_the_plates_edge) {
    g_autoptr(Cylinder) cylinder = cylinder_new(100, 200, 170, FIELDS);
    g_autoptr(TapulPath) whole = tapul_carried_field(&cylinder->ground, 0);
    TapulBox box = tapul_path_box(whole);
    double half_mm = 100 * asin(0.3); /* 30 mm from the middle, as seen from the front */
    ck_assert_double_eq_tol(box.min.x, -half_mm, 0.1);
    ck_assert_double_eq_tol(box.max.x, half_mm, 0.1);
    ck_assert_double_eq_tol(box.min.y, 40, 0.05);
    ck_assert_double_eq_tol(box.max.y, 120, 0.05);
    g_autoptr(TapulPath) cut = tapul_carried_field(&cylinder->ground, 1);
    box = tapul_path_box(cut);
    ck_assert_double_eq_tol(box.min.x, 100 * asin(0.6), 0.1);
    ck_assert_double_le(box.max.x, 100 * 85 * G_PI / 180 + 1e-6);
    ck_assert_double_ge(box.max.x, 100 * 85 * G_PI / 180 - 1);
}
END_TEST

START_TEST(seam_of_a_closed_cylinder_is_both_its_sides) {
    g_autoptr(Cylinder) open = cylinder_new(60, 150, 300, "");
    g_autoptr(TapulPath) none = tapul_carried_seam(&open->ground);
    ck_assert(tapul_path_is_empty(none));
    g_autoptr(Cylinder) closed = cylinder_new(60, 150, 360, "");
    g_autoptr(TapulPath) seam = tapul_carried_seam(&closed->ground);
    ck_assert_double_eq_tol(tapul_path_length(seam), 2 * 150, 0.01);
    TapulBox box = tapul_path_box(seam);
    ck_assert_double_eq_tol(box.max.x - box.min.x, 2 * G_PI * 60, 0.01);
}
END_TEST

/* --- Words --- */

START_TEST(words_keep_apart_and_on_the_page) {
    g_autoptr(Cylinder) cylinder = cylinder_new(100, 200, 170, FIELDS);
    g_autoptr(TapulPage) development = tapul_sheet_development(&cylinder->ground);
    g_autoptr(TapulPage) stretch = tapul_sheet_stretch(&cylinder->ground);
    check_words(development);
    check_words(stretch);
}
END_TEST

START_TEST(overlay_words_keep_apart_whatever_is_on_it) {
    static const double radii_mm[] = {20, 60, 140};
    for (guint i = 0; i < G_N_ELEMENTS(radii_mm); i++)
        for (int n = 0; n <= 3; n++) {
            g_autoptr(Cylinder) cylinder = cylinder_new(radii_mm[i], 200, 160, FIELDS);
            Question question;
            fill_question(&question, cylinder, n);
            if (n == 2) {
                question.overlay.found = &question.found;
                question.overlay.n_pairs = 2;
                question.overlay.pair_developed_mm = question.pairs;
            }
            if (n == 3) {
                question.overlay.etched = TRUE;
                question.overlay.title = long_caption;
                question.overlay.credit = NULL;
            }
            g_autoptr(TapulPage) page = tapul_sheet_overlay(&question.overlay);
            ck_assert_int_ge(iso_size(page), 0);
            check_words(page);
            check_views(page);
            clear_question(&question);
        }
}
END_TEST

START_TEST(overlay_says_what_is_lost) {
    g_autoptr(Cylinder) cylinder = cylinder_new(100, 200, 170, "");
    Question question;
    fill_question(&question, cylinder, 1);
    g_autoptr(TapulPage) page = tapul_sheet_overlay(&question.overlay);
    g_autoptr(GString) words = g_string_new(NULL);
    for (guint i = 0; i < page->items->len; i++) {
        const TapulItem *item = &g_array_index(page->items, TapulItem, i);
        if (item->kind == TAPUL_ITEM_TEXT)
            g_string_append_printf(words, "%s ", item->as.text.text);
    }
    static const char *const said[] = {
        "4.32\u00a0m", "4.33\u00a0m", "0.980",           "1.040",         "12\u00a0mm",
        "3.0\u00a0mm", "fold over",   "beyond the edge", "turned −12.5°", "reversed"};
    for (guint i = 0; i < G_N_ELEMENTS(said); i++)
        ck_assert_msg(strstr(words->str, said[i]) != NULL, "%s not in: %s", said[i],
                      words->str);
    clear_question(&question);
}
END_TEST

START_TEST(figures_are_said_in_a_curators_words) {
    static const struct {
        TapulLaidInk laid;
        gboolean ridge;
        const char *said;
    } cases[] = {
        {{.ink_length_mm = 19469,
          .laid_length_mm = 19460,
          .stretch_min = 0,
          .stretch_max = 1.0035,
          .folded_mm = 19.3},
         TRUE,
         "19.47\u00a0m of line in the print, 19.46\u00a0m on the metal. Stretch at most 1.004; "
         "19\u00a0mm of it fold over, where the sheet would wrinkle at the ridge, and the "
         "stretch falls to 0.000 there. Nothing lies beyond the edge."},
        {{.ink_length_mm = 700,
          .laid_length_mm = 690,
          .stretch_min = 0.4,
          .stretch_max = 1.1,
          .folded_mm = 2.25},
         FALSE,
         "700\u00a0mm of line in the print, 690\u00a0mm on the metal. Stretch at most 1.100; "
         "2.2\u00a0mm of it fold over, and the stretch falls to 0.400 there. Nothing lies "
         "beyond the edge."},
        {{.ink_length_mm = 999.9,
          .laid_length_mm = 900,
          .stretch_min = 0.9,
          .stretch_max = 0.9,
          .beyond_edge_mm = 9.96,
          .beyond_edge_fills = 2},
         TRUE,
         "1.00\u00a0m of line in the print, 900\u00a0mm on the metal. Stretch 0.900 "
         "throughout. "
         "10\u00a0mm of line lie beyond the edge. 2 areas are cut by the edge."},
    };
    for (guint i = 0; i < G_N_ELEMENTS(cases); i++) {
        g_autofree char *said = tapul_laying_figures(&cases[i].laid, cases[i].ridge);
        ck_assert_str_eq(said, cases[i].said);
    }
}
END_TEST

/* --- Views --- */

static TapulPage *overlay_of(double radius_mm, double height_mm, double sweep_deg) {
    g_autoptr(Cylinder) cylinder = cylinder_new(radius_mm, height_mm, sweep_deg, "");
    Question question;
    fill_question(&question, cylinder, 1);
    question.overlay.n_pairs = 2;
    question.overlay.pair_developed_mm = question.pairs;
    TapulPage *page = tapul_sheet_overlay(&question.overlay);
    clear_question(&question);
    return page;
}

START_TEST(views_of_a_wide_plate_stand_below_it_and_large) {
    g_autoptr(TapulPage) page = overlay_of(100, 60, 170);
    TapulBox development = box_on_page(page, "development"), front = box_on_page(page, "front");
    TapulBox turned = box_on_page(page, "three-quarters");
    ck_assert_double_lt(front.max.y, development.min.y);
    ck_assert_double_lt(turned.max.y, development.min.y);
    ck_assert_double_lt(front.max.x, turned.min.x);
    ck_assert_double_ge(place_of(page, "front").xx, 0.5);
    check_views(page);
}
END_TEST

START_TEST(views_of_a_tall_plate_stand_beside_it) {
    g_autoptr(TapulPage) page = overlay_of(20, 200, 170);
    TapulBox development = box_on_page(page, "development"), front = box_on_page(page, "front");
    ck_assert_double_gt(front.min.x, development.max.x);
    check_views(page);
}
END_TEST

START_TEST(views_of_a_small_plate_are_enlarged) {
    g_autoptr(TapulPage) page = overlay_of(15, 30, 170);
    ck_assert_double_ge(place_of(page, "front").xx, 2);
    check_views(page);
}
END_TEST

/* Widths of the strokes drawn in a group, on the page: the least and the greatest. */
static void stroke_widths(const TapulPage *page, const char *id, double *least,
                          double *greatest) {
    gboolean inside = FALSE;
    *least = INFINITY;
    *greatest = 0;
    for (guint i = 0; i < page->items->len; i++) {
        const TapulItem *item = &g_array_index(page->items, TapulItem, i);
        if (item->kind == TAPUL_ITEM_BEGIN_GROUP)
            inside = strcmp(item->as.group.id, id) == 0;
        if (item->kind == TAPUL_ITEM_END_GROUP)
            inside = FALSE;
        if (!inside || item->kind != TAPUL_ITEM_PATH || item->as.drawn.pen.stroke.alpha == 0)
            continue;
        *least = fmin(*least, item->as.drawn.pen.width_mm);
        *greatest = fmax(*greatest, item->as.drawn.pen.width_mm);
    }
}

START_TEST(ink_is_drawn_at_its_own_width_in_every_view) {
    g_autoptr(TapulPage) page = overlay_of(140, 300, 170);
    static const char *const groups[] = {"cartouche-ink", "front-cartouche-ink",
                                         "three-quarters-cartouche-ink"};
    for (guint i = 0; i < G_N_ELEMENTS(groups); i++) {
        double least, greatest;
        stroke_widths(page, groups[i], &least, &greatest);
        ck_assert_double_eq_tol(least, 0.3, 1e-9);
        ck_assert_double_eq_tol(greatest, 0.3, 1e-9);
    }
}
END_TEST

/* The paths that draw pairs in a group of theirs. */
static int count_pair_marks(const TapulPage *page, const char *id, double *widest_mm) {
    gboolean inside = FALSE;
    int n = 0;
    for (guint i = 0; i < page->items->len; i++) {
        const TapulItem *item = &g_array_index(page->items, TapulItem, i);
        if (item->kind == TAPUL_ITEM_BEGIN_GROUP)
            inside = strcmp(item->as.group.id, id) == 0;
        if (item->kind == TAPUL_ITEM_END_GROUP)
            inside = FALSE;
        if (!inside || item->kind != TAPUL_ITEM_PATH)
            continue;
        TapulBox box = tapul_path_box(item->as.drawn.path);
        *widest_mm = fmax(*widest_mm, box.max.x - box.min.x);
        n++;
    }
    return n;
}

START_TEST(marks_of_pairs_shrink_with_the_view_and_then_vanish) {
    g_autoptr(Cylinder) cylinder = cylinder_new(60, 120, 170, "");
    static const TapulVec2 pairs[] = {{0, 50}, {40, 90}};
    TapulOverlay overlay = {
        .ground = &cylinder->ground, .n_pairs = 2, .pair_developed_mm = pairs};
    g_autoptr(TapulView) front = tapul_view_new(&cylinder->ground, 0, 0);
    TapulOverlaySheet sheet = {.overlay = &overlay, .view = {front, NULL}};
    static const struct {
        double scale;
        int paths; /* two for each pair, with its halo */
    } cases[] = {{1, 4}, {0.5, 4}, {0.2, 0}};
    for (guint i = 0; i < G_N_ELEMENTS(cases); i++) {
        double widest_mm = 0;
        g_autoptr(TapulPage) page = tapul_page_new(200, 200, "View", "");
        tapul_overlay_draw_view(page, 0, tapul_vec2(10, 10), cases[i].scale, &sheet);
        ck_assert_int_eq(count_pair_marks(page, "front-pairs", &widest_mm), cases[i].paths);
        ck_assert_double_le(widest_mm * cases[i].scale, 4 * cases[i].scale);
    }
}
END_TEST

START_TEST(a_thinned_path_keeps_its_ends_and_its_tolerance) {
    g_autoptr(TapulPath) path = tapul_path_new();
    tapul_path_move(path, tapul_vec2(0, 0));
    for (int i = 1; i <= 400; i++) /* a quarter circle of 50 mm */
        tapul_path_line(path,
                        tapul_vec2(50 * sin(i * G_PI / 800), 50 - 50 * cos(i * G_PI / 800)));
    tapul_path_curve(path, tapul_vec2(50, 60), tapul_vec2(70, 60), tapul_vec2(70, 50));
    tapul_path_line(path, tapul_vec2(70, 40));
    tapul_path_line(path, tapul_vec2(70, 45)); /* back: a corner that must stay */
    tapul_path_close(path);
    g_autoptr(TapulPath) thin = tapul_path_thinned(path, 0.05);
    ck_assert_uint_lt(thin->points->len, 60);
    TapulPathWalk walk = tapul_path_walk(thin);
    TapulPathPiece piece;
    double lowest = INFINITY;
    int curves = 0;
    while (tapul_path_walk_next(&walk, &piece)) {
        curves += piece.verb == TAPUL_VERB_CURVE;
        lowest = piece.p[3].x == 70 ? fmin(lowest, piece.p[3].y) : lowest;
        TapulVec2 middle = tapul_vec2_mix(piece.p[0], piece.p[3], 0.5);
        if (curves == 0)
            ck_assert_double_eq_tol(tapul_vec2_distance(middle, tapul_vec2(0, 50)), 50, 0.0501);
    }
    ck_assert_int_eq(curves, 1);
    ck_assert_double_eq(lowest, 40);
    ck_assert_double_eq_tol(tapul_path_area(thin), tapul_path_area(path), 50 * 80 * 0.001);
}
END_TEST

START_TEST(a_title_that_runs_to_the_left_stands_at_the_right) {
    g_autoptr(Cylinder) cylinder = cylinder_new(100, 60, 170, "");
    Question question;
    fill_question(&question, cylinder, 1);
    question.overlay.title = "צלחת לדוגמה"; /* Hebrew: a plate for example */
    g_autoptr(TapulPage) page = tapul_sheet_overlay(&question.overlay);
    gboolean found = FALSE;
    for (guint i = 0; i < page->items->len; i++) {
        const TapulItem *item = &g_array_index(page->items, TapulItem, i);
        if (item->kind != TAPUL_ITEM_TEXT || strcmp(item->as.text.text, question.overlay.title))
            continue;
        found = TRUE;
        ck_assert_int_eq(item->as.text.type.align, TAPUL_ALIGN_RIGHT);
        ck_assert_double_gt(item->as.text.at.x, page->width_mm / 2);
    }
    ck_assert(found);
    clear_question(&question);
}
END_TEST

START_TEST(found_design_differs_from_print_by_line_as_well_as_colour) {
    g_autoptr(Cylinder) cylinder = cylinder_new(100, 200, 170, "");
    Question question;
    fill_question(&question, cylinder, 1);
    question.overlay.found = &question.found;
    g_autoptr(TapulPage) page = tapul_sheet_overlay(&question.overlay);
    gboolean found = FALSE;
    int dashed = 0, full = 0;
    for (guint i = 0; i < page->items->len; i++) {
        const TapulItem *item = &g_array_index(page->items, TapulItem, i);
        if (item->kind == TAPUL_ITEM_BEGIN_GROUP)
            found = strstr(item->as.group.id, "found") != NULL;
        if (item->kind == TAPUL_ITEM_END_GROUP)
            found = FALSE;
        if (item->kind != TAPUL_ITEM_PATH || item->as.drawn.pen.stroke.alpha == 0)
            continue;
        double blue = item->as.drawn.pen.stroke.blue, red = item->as.drawn.pen.stroke.red;
        if (found) {
            ck_assert_int_eq(item->as.drawn.pen.n_dash, 2);
            dashed += blue > red;
        } else if (red > 2 * blue && item->as.drawn.pen.n_dash == 0) {
            full++;
        }
    }
    ck_assert_int_ge(dashed, 3 * 40); /* development and two views */
    ck_assert_int_ge(full, 3 * 40);
    clear_question(&question);
}
END_TEST

START_TEST(same_overlay_gives_the_same_bytes) {
    g_autoptr(Cylinder) cylinder = cylinder_new(100, 200, 170, FIELDS);
    g_autofree char *text[2] = {NULL, NULL};
    for (int i = 0; i < 2; i++) {
        Question question;
        fill_question(&question, cylinder, 2);
        g_autoptr(TapulPage) page = tapul_sheet_overlay(&question.overlay);
        g_autofree char *path = NULL;
        int handle = g_file_open_tmp("tapul-XXXXXX.svg", &path, NULL);
        ck_assert_int_ge(handle, 0);
        g_close(handle, NULL);
        ck_assert(tapul_page_write_svg(page, path, NULL));
        ck_assert(g_file_get_contents(path, &text[i], NULL, NULL));
        g_unlink(path);
        clear_question(&question);
    }
    ck_assert_str_eq(text[0], text[1]);
    g_free(text[1]);
}
END_TEST

/* --- The colour scale --- */

static double lightness(TapulRgb c) {
    return 0.2126 * c.red + 0.7152 * c.green + 0.0722 * c.blue; /* enough to order tones */
}

START_TEST(stretch_scale_is_centred_on_1_and_darkens_evenly_to_both_ends) {
    TapulStretchScale scale = {1.1};
    double centre = lightness(tapul_stretch_colour(scale, 1, 1));
    for (int sign = -1; sign <= 1; sign += 2) {
        double before = centre;
        for (int i = 1; i <= 10; i++) {
            double stretch = pow(1.1, sign * i / 10.0);
            double now = lightness(tapul_stretch_colour(scale, stretch, stretch));
            ck_assert_double_lt(now, before);
            ck_assert_double_gt(now,
                                before - 0.12); /* no step much larger than a tenth of all */
            before = now;
        }
        TapulRgb end = tapul_stretch_colour(scale, pow(1.1, sign), pow(1.1, sign));
        TapulRgb beyond = tapul_stretch_colour(scale, pow(1.4, sign), pow(1.4, sign));
        ck_assert_double_eq_tol(lightness(end), lightness(beyond), 1e-9);
    }
    TapulRgb squeezed = tapul_stretch_colour(scale, 0.91, 0.91);
    TapulRgb stretched = tapul_stretch_colour(scale, 1.1, 1.1);
    ck_assert_double_gt(squeezed.blue, squeezed.red);
    ck_assert_double_gt(stretched.red, stretched.blue);
}
END_TEST

START_TEST(stretch_scale_holds_the_farther_stretch) {
    ck_assert_double_eq(tapul_stretch_farther(1.05, 0.99), 1.05);
    ck_assert_double_eq(tapul_stretch_farther(1.01, 0.95), 0.95);
    /* Both ways alike: neither colour alone, and as dark as each. */
    TapulStretchScale scale = {1.1};
    TapulRgb both = tapul_stretch_colour(scale, 1.08, 1 / 1.08);
    double one = lightness(tapul_stretch_colour(scale, 1.08, 1.08));
    double other = lightness(tapul_stretch_colour(scale, 1 / 1.08, 1 / 1.08));
    ck_assert_double_le(lightness(both), fmax(one, other) + 0.03);
    ck_assert_double_ge(lightness(both), fmin(one, other) - 0.03);
    ck_assert_double_lt(fabs(both.red - both.blue), 0.2);
}
END_TEST

START_TEST(a_plate_without_stretch_shows_none) {
    g_autoptr(Cylinder) cylinder = cylinder_new(100, 200, 170, "");
    ck_assert_double_eq(tapul_stretch_scale_for(cylinder->development).limit, 1.005);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("sheet");
    TCase *tests = tcase_create("sheet");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, development_is_drawn_at_one_to_one);
    tcase_add_test(tests, scale_bar_is_100_mm_in_tenths);
    tcase_add_test(tests, paper_is_the_smallest_iso_size);
    tcase_add_test(tests, a_plate_beyond_all_paper_still_gets_a_page);
    tcase_add_test(tests, tape_grid_of_a_cylinder_is_square);
    tcase_add_test(tests, a_field_is_carried_and_cut_at_the_plates_edge);
    tcase_add_test(tests, seam_of_a_closed_cylinder_is_both_its_sides);
    tcase_add_test(tests, words_keep_apart_and_on_the_page);
    tcase_add_test(tests, overlay_words_keep_apart_whatever_is_on_it);
    tcase_add_test(tests, overlay_says_what_is_lost);
    tcase_add_test(tests, figures_are_said_in_a_curators_words);
    tcase_add_test(tests, views_of_a_wide_plate_stand_below_it_and_large);
    tcase_add_test(tests, views_of_a_tall_plate_stand_beside_it);
    tcase_add_test(tests, views_of_a_small_plate_are_enlarged);
    tcase_add_test(tests, ink_is_drawn_at_its_own_width_in_every_view);
    tcase_add_test(tests, marks_of_pairs_shrink_with_the_view_and_then_vanish);
    tcase_add_test(tests, a_thinned_path_keeps_its_ends_and_its_tolerance);
    tcase_add_test(tests, a_title_that_runs_to_the_left_stands_at_the_right);
    tcase_add_test(tests, found_design_differs_from_print_by_line_as_well_as_colour);
    tcase_add_test(tests, same_overlay_gives_the_same_bytes);
    tcase_add_test(tests, stretch_scale_is_centred_on_1_and_darkens_evenly_to_both_ends);
    tcase_add_test(tests, stretch_scale_holds_the_farther_stretch);
    tcase_add_test(tests, a_plate_without_stretch_shows_none);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
