/* What the tests of the leaf share: a case to compose pages for, the texts that a page holds
 * with their boxes, and the picture of a page. */
#ifndef TAPUL_TESTS_LEAF_FOR_TESTS_H
#define TAPUL_TESTS_LEAF_FOR_TESTS_H

#include "sheet/leaf_parts.h"
#include "test_sheet_cylinders.h"

#include <cairo.h>
#include <check.h>
#include <glib/gstdio.h>
#include <string.h>

/* Every paper, both ways up where it has two. */
static const struct {
    TapulPaper paper;
    gboolean landscape;
} formats[] = {
    {TAPUL_PAPER_A5, FALSE}, {TAPUL_PAPER_A5, TRUE},  {TAPUL_PAPER_A4, FALSE},
    {TAPUL_PAPER_A4, TRUE},  {TAPUL_PAPER_A3, FALSE}, {TAPUL_PAPER_A3, TRUE},
    {TAPUL_PAPER_A2, FALSE}, {TAPUL_PAPER_A2, TRUE},  {TAPUL_PAPER_SCREEN, TRUE},
};
#define N_FORMATS (int)G_N_ELEMENTS(formats)

static inline TapulLeaf leaf_of(int format) {
    return tapul_leaf(formats[format].paper, formats[format].landscape);
}

/* --- A case to compose pages for --- */

typedef struct {
    TapulCase question;
    TapulComparison comparison;
    Cylinder *cylinder;
    TapulInk found; /* only whether there is one is looked at */
} Trial;

static inline void trial_free(Trial *trial) {
    g_hash_table_unref(trial->question.sheet.words);
    g_ptr_array_unref(trial->question.prints);
    cylinder_free(trial->cylinder);
    g_free(trial);
}
G_DEFINE_AUTOPTR_CLEANUP_FUNC(Trial, trial_free)

/* Texts are borrowed. */
static inline Trial *trial_new(const char *more) {
    Trial *trial = g_new0(Trial, 1);
    trial->cylinder = cylinder_new(100, 200, 170, more);
    trial->question.plate = trial->cylinder->plate;
    trial->question.ground = trial->cylinder->ground;
    trial->question.credit = (char *)"Weir Lane workshop, invented";
    trial->question.prints = g_ptr_array_new();
    trial->question.sheet.language = (char *)"en";
    trial->question.sheet.words = g_hash_table_new(g_str_hash, g_str_equal);
    trial->comparison.question = &trial->question;
    return trial;
}

static inline void replace_word(Trial *trial, const char *word, const char *by) {
    g_hash_table_insert(trial->question.sheet.words, (char *)word, (char *)by);
}

#define HEBREW_TITLE  "מן ההדפס אל השריון: עיטורי הציפורים של Weir Lane ומקורותיהם"
#define HEBREW_CREDIT "סדנת ויר ליין, הומצאה לצורך ההדגמה"

/* As long as the text is asked to be at least, in words or, without a break, in letters. */
static inline char *long_text(const char *part, gsize bytes) {
    GString *text = g_string_new(NULL);
    while (text->len < bytes)
        g_string_append(text, part);
    return g_string_free(text, FALSE);
}

/* --- What a page holds --- */

static inline const TapulItem *item_of(const TapulPage *page, guint i) {
    return &g_array_index(page->items, TapulItem, i);
}

/* From the top of its accents to its descenders. */
static inline TapulBox text_box(const TapulItem *item) {
    const TapulType *type = &item->as.text.type;
    TapulVec2 at = item->as.text.at;
    double width_mm = tapul_page_text_width_mm(item->as.text.text, type);
    at.x -= width_mm * (double)type->align / 2;
    return (TapulBox){{at.x, at.y - TAPUL_LEAF_DESCENT * type->size_mm},
                      {at.x + width_mm, at.y + TAPUL_LEAF_ASCENT * type->size_mm}};
}

/* Of TapulBox. */
static inline GArray *text_boxes(const TapulPage *page) {
    GArray *boxes = g_array_new(FALSE, FALSE, sizeof(TapulBox));
    for (guint i = 0; i < page->items->len; i++)
        if (item_of(page, i)->kind == TAPUL_ITEM_TEXT) {
            TapulBox box = text_box(item_of(page, i));
            g_array_append_val(boxes, box);
        }
    return boxes;
}

static inline guint count_texts(const TapulPage *page) {
    g_autoptr(GArray) boxes = text_boxes(page);
    return boxes->len;
}

/* Of words that lines are broken at and set by; a hair against what they are read from. */
#define TEXT_ROUNDING_MM 0.05

static inline void expect_inside(const TapulPage *page, TapulBox room) {
    g_autoptr(GArray) boxes = text_boxes(page);
    for (guint i = 0; i < boxes->len; i++) {
        TapulBox box = g_array_index(boxes, TapulBox, i);
        ck_assert_double_ge(box.min.x, room.min.x - TEXT_ROUNDING_MM);
        ck_assert_double_ge(box.min.y, room.min.y - TEXT_ROUNDING_MM);
        ck_assert_double_le(box.max.x, room.max.x + TEXT_ROUNDING_MM);
        ck_assert_double_le(box.max.y, room.max.y + TEXT_ROUNDING_MM);
    }
}

static inline void expect_apart(const TapulPage *page) {
    g_autoptr(GArray) boxes = text_boxes(page);
    for (guint i = 0; i < boxes->len; i++)
        for (guint k = 0; k < i; k++) {
            TapulBox a = g_array_index(boxes, TapulBox, i),
                     b = g_array_index(boxes, TapulBox, k);
            double over_x = fmin(a.max.x, b.max.x) - fmax(a.min.x, b.min.x);
            double over_y = fmin(a.max.y, b.max.y) - fmax(a.min.y, b.min.y);
            ck_assert_msg(over_x < TEXT_ROUNDING_MM || over_y < TEXT_ROUNDING_MM,
                          "texts %u and %u overlap by %g x %g mm", k, i, over_x, over_y);
        }
}

static inline TapulBox margins_of(const TapulLeaf *leaf) {
    double margin = leaf->format.margin_mm;
    return (TapulBox){{margin, margin},
                      {leaf->format.width_mm - margin, leaf->format.height_mm - margin}};
}

static inline gboolean has_text(const TapulPage *page, const char *text) {
    for (guint i = 0; i < page->items->len; i++)
        if (item_of(page, i)->kind == TAPUL_ITEM_TEXT &&
            strstr(item_of(page, i)->as.text.text, text))
            return TRUE;
    return FALSE;
}

/* --- Pictures of pages --- */

typedef struct {
    cairo_surface_t *surface;
    double px_per_mm, height_mm;
} Picture;

static inline Picture picture_of(const TapulPage *page, double dpi) {
    g_autofree char *folder = g_dir_make_tmp("tapul-leaf-XXXXXX", NULL);
    g_autofree char *path = g_build_filename(folder, "page.png", NULL);
    g_autoptr(GError) error = NULL;
    ck_assert_msg(tapul_page_write_png(page, dpi, path, &error), "%s",
                  error ? error->message : "");
    Picture picture = {cairo_image_surface_create_from_png(path), dpi / 25.4, page->height_mm};
    ck_assert_int_eq(cairo_surface_status(picture.surface), CAIRO_STATUS_SUCCESS);
    g_remove(path);
    g_rmdir(folder);
    return picture;
}

/* 0 on the ground, 1 in TAPUL_BLACK. */
static inline double darkness(const Picture *picture, int x_px, int y_px) {
    const guint8 *data = cairo_image_surface_get_data(picture->surface);
    int stride = cairo_image_surface_get_stride(picture->surface);
    double ground = 255 * TAPUL_WARM_WHITE.green, ink = 255 * TAPUL_BLACK.green;
    return (ground - data[y_px * stride + 4 * x_px + 1]) / (ground - ink);
}

#endif
