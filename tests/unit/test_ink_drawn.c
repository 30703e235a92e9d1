/* Ink beside its print: both are drawn at 300 dots to the inch and compared, and written ink
 * reads back the same. */
#include "prints_for_tests.h"

#include <cairo.h>
#include <librsvg/rsvg.h>
#include <stdlib.h>

#define PIXELS_PER_MM (300 / 25.4)
/* A pixel differs when it is more than a quarter of the way from black to white off: edges may
 * fall otherwise. */
#define DIFFERS 64
/* Shares of all pixels. Half a pixel of rounding on every edge stays under these. */
#define DIFFERING_SHARE 0.002
#define MEAN_DIFFERENCE 1.0

static cairo_surface_t *blank_page(double width_mm, double height_mm) {
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)ceil(width_mm * PIXELS_PER_MM),
                                   (int)ceil(height_mm * PIXELS_PER_MM));
    cairo_t *cairo = cairo_create(surface);
    cairo_set_source_rgb(cairo, 1, 1, 1);
    cairo_paint(cairo);
    cairo_destroy(cairo);
    return surface;
}

static void trace_path(cairo_t *cairo, const TapulPath *path) {
    guint next = 0;
    for (guint i = 0; i < path->verbs->len; i++) {
        const TapulVec2 *p = &g_array_index(path->points, TapulVec2, next);
        switch (g_array_index(path->verbs, guint8, i)) {
        case TAPUL_VERB_MOVE:
            cairo_move_to(cairo, p[0].x, p[0].y);
            next += 1;
            break;
        case TAPUL_VERB_LINE:
            cairo_line_to(cairo, p[0].x, p[0].y);
            next += 1;
            break;
        case TAPUL_VERB_CURVE:
            cairo_curve_to(cairo, p[0].x, p[0].y, p[1].x, p[1].y, p[2].x, p[2].y);
            next += 3;
            break;
        default:
            cairo_close_path(cairo);
        }
    }
}

static void draw_mark(cairo_t *cairo, const TapulMark *mark) {
    static const cairo_line_cap_t caps[] = {CAIRO_LINE_CAP_BUTT, CAIRO_LINE_CAP_ROUND,
                                            CAIRO_LINE_CAP_SQUARE};
    static const cairo_line_join_t joins[] = {CAIRO_LINE_JOIN_MITER, CAIRO_LINE_JOIN_ROUND,
                                              CAIRO_LINE_JOIN_BEVEL};
    trace_path(cairo, mark->path);
    cairo_set_source_rgb(cairo, mark->grey, mark->grey, mark->grey);
    if (mark->kind == TAPUL_MARK_FILL) {
        cairo_set_fill_rule(cairo, mark->even_odd ? CAIRO_FILL_RULE_EVEN_ODD
                                                  : CAIRO_FILL_RULE_WINDING);
        cairo_fill(cairo);
        return;
    }
    cairo_set_line_width(cairo, mark->width_mm);
    cairo_set_line_cap(cairo, caps[mark->cap]);
    cairo_set_line_join(cairo, joins[mark->join]);
    cairo_set_miter_limit(cairo, mark->mitre_limit);
    if (mark->dash_mm)
        cairo_set_dash(cairo, (const double *)(void *)mark->dash_mm->data,
                       (int)mark->dash_mm->len, mark->dash_offset_mm);
    else
        cairo_set_dash(cairo, NULL, 0, 0);
    cairo_stroke(cairo);
}

static cairo_surface_t *draw_ink(const TapulInk *ink) {
    cairo_surface_t *surface = blank_page(ink->width_mm, ink->height_mm);
    cairo_t *cairo = cairo_create(surface);
    cairo_scale(cairo, PIXELS_PER_MM, -PIXELS_PER_MM);
    cairo_translate(cairo, 0, -ink->height_mm);
    for (guint i = 0; i < ink->marks->len; i++)
        draw_mark(cairo, mark_at(ink, i));
    cairo_destroy(cairo);
    cairo_surface_flush(surface);
    return surface;
}

static cairo_surface_t *draw_print(const char *path, const TapulInk *ink) {
    cairo_surface_t *surface = blank_page(ink->width_mm, ink->height_mm);
    RsvgHandle *handle = rsvg_handle_new_from_file(path, NULL);
    ck_assert_ptr_nonnull(handle);
    cairo_t *cairo = cairo_create(surface);
    RsvgRectangle view = {0, 0, ink->width_mm * PIXELS_PER_MM, ink->height_mm * PIXELS_PER_MM};
    ck_assert(rsvg_handle_render_document(handle, cairo, &view, NULL));
    cairo_destroy(cairo);
    g_object_unref(handle);
    cairo_surface_flush(surface);
    return surface;
}

static int grey_of(guint32 pixel) {
    guint red = pixel >> 16 & 255, green = pixel >> 8 & 255, blue = pixel & 255;
    return (int)(0.2126 * red + 0.7152 * green + 0.0722 * blue + 0.5);
}

/* Shares of ink at least, so that two empty pages are no success. */
static void check_alike(cairo_surface_t *a, cairo_surface_t *b, double least_ink) {
    int width = cairo_image_surface_get_width(a), height = cairo_image_surface_get_height(a);
    double differing = 0, difference = 0, dark = 0, pixels = (double)width * height;
    for (int y = 0; y < height; y++) {
        const guint32 *row_a = (const guint32 *)(void *)(cairo_image_surface_get_data(a) +
                                                         y * cairo_image_surface_get_stride(a));
        const guint32 *row_b = (const guint32 *)(void *)(cairo_image_surface_get_data(b) +
                                                         y * cairo_image_surface_get_stride(b));
        for (int x = 0; x < width; x++) {
            int off = abs(grey_of(row_a[x]) - grey_of(row_b[x]));
            differing += off > DIFFERS;
            difference += off;
            dark += grey_of(row_a[x]) < 128;
        }
    }
    printf("%.4f %% of the pixels differ, mean difference %.4f of 255, %.2f %% ink\n",
           100 * differing / pixels, difference / pixels, 100 * dark / pixels);
    ck_assert_double_gt(dark / pixels, least_ink);
    ck_assert_double_lt(differing / pixels, DIFFERING_SHARE);
    ck_assert_double_lt(difference / pixels, MEAN_DIFFERENCE);
}

static void check_print(const char *path, double least_ink) {
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulInk) ink = tapul_ink_read(path, NULL, &error);
    ck_assert_msg(ink != NULL, "%s", error ? error->message : "");
    cairo_surface_t *drawn = draw_ink(ink), *printed = draw_print(path, ink);
    check_alike(drawn, printed, least_ink);
    g_autofree char *copy_path = write_print("", 0);
    ck_assert(tapul_ink_write_svg(ink, copy_path, NULL));
    cairo_surface_t *copied = draw_print(copy_path, ink);
    g_unlink(copy_path);
    check_alike(copied, printed, least_ink);
    cairo_surface_destroy(drawn);
    cairo_surface_destroy(printed);
    cairo_surface_destroy(copied);
}

START_TEST(ink_looks_like_its_print) {
    static const char *const names[] = {"ruler-mm.svg", "iso-128-widths.svg", "ellipses.svg",
                                        "clips.svg", "engraving.svg"};
    g_autofree char *path = print_path(names[_i]);
    check_print(path, 0.002);
}
END_TEST

START_TEST(demonstration_prints_look_like_themselves) {
    static const char *const names[] = {"kingfishers.svg", "reed-cartouche.svg",
                                        "river-trophy.svg"};
    g_autofree char *path = g_build_filename(g_getenv("TAPUL_SOURCE_ROOT"), "demo-prints",
                                             "prints", names[_i], NULL);
    if (g_file_test(path, G_FILE_TEST_EXISTS))
        check_print(path, 0.01);
    else
        printf("SKIP: demonstration_prints_look_like_themselves: no demo-prints/prints/%s\n",
               names[_i]);
}
END_TEST

static void check_same_ink(const TapulInk *a, const TapulInk *b) {
    ck_assert_uint_eq(a->marks->len, b->marks->len);
    ck_assert_uint_eq(a->motifs->len, b->motifs->len);
    for (guint i = 0; i < a->marks->len; i++) {
        const TapulMark *x = mark_at(a, i), *y = mark_at(b, i);
        ck_assert_int_eq(x->kind, y->kind);
        ck_assert_int_eq(x->cap, y->cap);
        ck_assert_int_eq(x->join, y->join);
        ck_assert_int_eq(x->paper, y->paper);
        ck_assert_int_eq(x->motif, y->motif);
        ck_assert_double_eq_tol(x->width_mm, y->width_mm, 1e-4);
        ck_assert_double_eq_tol(x->grey, y->grey, 1.0 / 255);
        ck_assert_double_eq_tol(tapul_path_length(x->path), tapul_path_length(y->path), 1e-3);
        ck_assert_int_eq(count_verbs(x->path, TAPUL_VERB_CURVE),
                         count_verbs(y->path, TAPUL_VERB_CURVE));
    }
}

START_TEST(written_ink_reads_back_the_same) {
    static const char *const names[] = {"kinds.svg", "layers.svg", "clips.svg", "engraving.svg",
                                        "kinds.pdf"};
    g_autoptr(TapulInk) ink = read_print(names[_i]);
    g_autofree char *copy_path = write_print("", 0);
    ck_assert(tapul_ink_write_svg(ink, copy_path, NULL));
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulInk) copy = tapul_ink_read(copy_path, NULL, &error);
    g_unlink(copy_path);
    ck_assert_msg(copy != NULL, "%s", error ? error->message : "");
    check_same_ink(ink, copy);
}
END_TEST

START_TEST(ink_that_cannot_be_written_leaves_nothing) {
    g_autoptr(TapulInk) ink = read_print("ruler-mm.svg");
    g_autoptr(GError) error = NULL;
    ck_assert(!tapul_ink_write_svg(ink, "/nowhere/at/all.svg", &error));
    ck_assert(g_error_matches(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_FILE));
    ck_assert_ptr_nonnull(strstr(error->message, "/nowhere/at/all.svg"));
}
END_TEST

int main(void) {
    Suite *suite = suite_create("ink drawn");
    TCase *core = tcase_create("drawing");
    tcase_set_timeout(core, 120);
    tcase_add_loop_test(core, ink_looks_like_its_print, 0, 5);
    tcase_add_loop_test(core, demonstration_prints_look_like_themselves, 0, 3);
    tcase_add_loop_test(core, written_ink_reads_back_the_same, 0, 5);
    tcase_add_test(core, ink_that_cannot_be_written_leaves_nothing);
    suite_add_tcase(suite, core);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
