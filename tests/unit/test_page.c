/* Pages: size, scale and position as measured on the written files; text, groups, clips; files
 * whole. */
#include "sheet/page_items.h"

#include <check.h>
#include <glib/gstdio.h>
#include <librsvg/rsvg.h>
#include <poppler.h>
#include <stdlib.h>
#include <string.h>

static char *folder;

static void make_folder(void) {
    folder = g_dir_make_tmp("tapul-page-XXXXXX", NULL);
    ck_assert_ptr_nonnull(folder);
}

static void remove_folder(void) {
    GDir *dir = g_dir_open(folder, 0, NULL);
    for (const char *name; (name = g_dir_read_name(dir));) {
        g_autofree char *path = g_build_filename(folder, name, NULL);
        g_remove(path);
    }
    g_dir_close(dir);
    g_rmdir(folder);
    g_free(folder);
}

static char *in_folder(const char *name) {
    return g_build_filename(folder, name, NULL);
}

static TapulPath *box_path(double x0, double y0, double x1, double y1) {
    TapulPath *path = tapul_path_new();
    tapul_path_move(path, tapul_vec2(x0, y0));
    tapul_path_line(path, tapul_vec2(x1, y0));
    tapul_path_line(path, tapul_vec2(x1, y1));
    tapul_path_line(path, tapul_vec2(x0, y1));
    tapul_path_close(path);
    return path;
}

static void draw_box(TapulPage *page, double x0, double y0, double x1, double y1) {
    g_autoptr(TapulPath) path = box_path(x0, y0, x1, y1);
    tapul_page_path(page, path, &(TapulPen){.fill = TAPUL_BLACK});
}

/* --- Rasters of the three kinds of file --- */

typedef enum { SVG, PDF, PNG } Kind;
static const char *const kind_names[] = {"page.svg", "page.pdf", "page.png"};

static char *write_page(TapulPage *page, Kind kind, double dpi) {
    char *path = in_folder(kind_names[kind]);
    g_autoptr(GError) error = NULL;
    gboolean written = kind == SVG   ? tapul_page_write_svg(page, path, &error)
                       : kind == PDF ? tapul_page_write_pdf(&page, 1, path, &error)
                                     : tapul_page_write_png(page, dpi, path, &error);
    ck_assert_msg(written, "%s", error ? error->message : "");
    return path;
}

static void render_svg(const char *path, cairo_t *cr, double width_px, double height_px) {
    RsvgHandle *handle = rsvg_handle_new_from_file(path, NULL);
    ck_assert_ptr_nonnull(handle);
    RsvgRectangle viewport = {0, 0, width_px, height_px};
    ck_assert(rsvg_handle_render_document(handle, cr, &viewport, NULL));
    g_object_unref(handle);
}

static PopplerDocument *open_pdf(const char *path) {
    g_autofree char *uri = g_filename_to_uri(path, NULL, NULL);
    PopplerDocument *document = poppler_document_new_from_file(uri, NULL, NULL);
    ck_assert_ptr_nonnull(document);
    return document;
}

static void render_pdf(const char *path, cairo_t *cr, double dpi) {
    PopplerDocument *document = open_pdf(path);
    PopplerPage *page = poppler_document_get_page(document, 0);
    cairo_scale(cr, dpi / 72, dpi / 72);
    poppler_page_render(page, cr);
    g_object_unref(page);
    g_object_unref(document);
}

static cairo_surface_t *render(TapulPage *page, Kind kind, double dpi) {
    g_autofree char *path = write_page(page, kind, dpi);
    if (kind == PNG)
        return cairo_image_surface_create_from_png(path);
    int width_px = (int)lround(tapul_page_width_mm(page) * dpi / 25.4);
    int height_px = (int)lround(tapul_page_height_mm(page) * dpi / 25.4);
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, width_px, height_px);
    cairo_t *cr = cairo_create(surface);
    cairo_set_source_rgb(cr, 1, 1, 1);
    cairo_paint(cr);
    if (kind == SVG)
        render_svg(path, cr, width_px, height_px);
    else
        render_pdf(path, cr, dpi);
    cairo_destroy(cr);
    return surface;
}

typedef struct {
    double left, right, top,
        bottom;  /* px from the upper left, half-dark pixels counted by their darkness */
    double dark; /* px2 */
} Dark;

/* Where the dark is: edges from the darkness of the rows and columns that hold it. */
static Dark find_dark(cairo_surface_t *surface) {
    cairo_surface_flush(surface);
    int width = cairo_image_surface_get_width(surface);
    int height = cairo_image_surface_get_height(surface);
    int stride = cairo_image_surface_get_stride(surface);
    const guint8 *data = cairo_image_surface_get_data(surface);
    Dark dark = {width, 0, height, 0, 0};
    for (int y = 0; y < height; y++)
        for (int x = 0; x < width; x++) {
            double ink =
                (255 - data[y * stride + x * 4 + 1]) / 238.0; /* TAPUL_BLACK's green: 18 */
            dark.dark += ink;
            if (ink < 0.05)
                continue;
            dark.left = fmin(dark.left, x + 1 - fmin(ink, 1));
            dark.right = fmax(dark.right, x + fmin(ink, 1));
            dark.top = fmin(dark.top, y + 1 - fmin(ink, 1));
            dark.bottom = fmax(dark.bottom, y + fmin(ink, 1));
        }
    return dark;
}

static Dark dark_of(TapulPage *page, Kind kind, double dpi) {
    cairo_surface_t *surface = render(page, kind, dpi);
    Dark dark = find_dark(surface);
    cairo_surface_destroy(surface);
    return dark;
}

/* --- Size and scale --- */

START_TEST(drawn_bar_measures_true_at_600_dpi) {
    g_autoptr(TapulPage) page = tapul_page_new(120, 30, "Bar", "");
    draw_box(page, 10, 12, 110, 17);
    Dark dark = dark_of(page, (Kind)_i, 600);
    /* 0.1 % of 100 mm */
    ck_assert_double_eq_tol((dark.right - dark.left) * 25.4 / 600, 100, 0.1);
    ck_assert_double_eq_tol((dark.bottom - dark.top) * 25.4 / 600, 5, 0.05);
    ck_assert_double_eq_tol(dark.left * 25.4 / 600, 10, 0.05);
    ck_assert_double_eq_tol(dark.top * 25.4 / 600, 30 - 17, 0.05);
}
END_TEST

START_TEST(pdf_page_has_the_iso_size_in_points) {
    /* ISO 216: A4 210 x 297 mm, A3 297 x 420 mm; 1/72 in units (ISO 32000-1, 8.3.2.1): 595.276
     * x 841.890 and 841.890 x 1190.551 (recomputed). */
    g_autoptr(TapulPage) a4 = tapul_page_new(210, 297, "A4", "");
    g_autoptr(TapulPage) a3 = tapul_page_new(297, 420, "A3", "");
    TapulPage *pages[] = {a4, a3};
    g_autofree char *path = in_folder("two.pdf");
    ck_assert(tapul_page_write_pdf(pages, 2, path, NULL));
    PopplerDocument *document = open_pdf(path);
    ck_assert_int_eq(poppler_document_get_n_pages(document), 2);
    const double expected_pt[2][2] = {{595.276, 841.890}, {841.890, 1190.551}};
    for (int i = 0; i < 2; i++) {
        PopplerPage *page = poppler_document_get_page(document, i);
        double width_pt, height_pt;
        poppler_page_get_size(page, &width_pt, &height_pt);
        ck_assert_double_eq_tol(width_pt, expected_pt[i][0], 0.001);
        ck_assert_double_eq_tol(height_pt, expected_pt[i][1], 0.001);
        g_object_unref(page);
    }
    g_object_unref(document);
}
END_TEST

START_TEST(png_has_the_pixels_of_its_dpi) {
    g_autoptr(TapulPage) page = tapul_page_new(210, 297, "A4", "");
    cairo_surface_t *surface = render(page, PNG, 100);
    ck_assert_int_eq(cairo_image_surface_get_width(surface), 827);
    ck_assert_int_eq(cairo_image_surface_get_height(surface), 1169);
    cairo_surface_destroy(surface);
}
END_TEST

START_TEST(svg_gives_its_size_in_millimetres) {
    g_autoptr(TapulPage) page = tapul_page_new(210, 297.5, "A4", "");
    g_autofree char *path = write_page(page, SVG, 0), *text = NULL;
    ck_assert(g_file_get_contents(path, &text, NULL, NULL));
    ck_assert_ptr_nonnull(
        strstr(text, "width=\"210mm\" height=\"297.5mm\" viewBox=\"0 0 210 297.5\""));
}
END_TEST

/* --- Groups and clips --- */

START_TEST(nested_groups_put_a_box_where_their_transforms_say) {
    g_autoptr(TapulPage) page = tapul_page_new(100, 80, "Groups", "");
    /* A quarter turn about (50, 40), then twice the size from there: (x, y) -> (50 - 2 y, 40 +
     * 2 x). */
    TapulAffine shift = {1, 0, 0, 1, 50, 40}, turn = {0, -2, 2, 0, 0, 0};
    tapul_page_begin_group(page, "outer", NULL, &shift);
    tapul_page_begin_group(page, "plain", NULL, NULL);
    tapul_page_begin_group(page, "inner", NULL, &turn);
    draw_box(page, 5, -10, 15, -8);
    tapul_page_end_group(page);
    tapul_page_end_group(page);
    tapul_page_end_group(page);
    Dark dark = dark_of(page, (Kind)_i, 254);
    ck_assert_double_eq_tol(dark.left / 10, 66, 0.06);
    ck_assert_double_eq_tol(dark.right / 10, 70, 0.06);
    ck_assert_double_eq_tol(dark.top / 10, 80 - 70, 0.06);
    ck_assert_double_eq_tol(dark.bottom / 10, 80 - 50, 0.06);
}
END_TEST

START_TEST(clip_hides_what_lies_outside) {
    g_autoptr(TapulPage) page = tapul_page_new(50, 50, "Clip", "");
    g_autoptr(TapulPath) window = box_path(10, 10, 20, 30);
    tapul_page_begin_clip(page, window);
    draw_box(page, 0, 0, 50, 50);
    tapul_page_end_clip(page);
    draw_box(page, 40, 40, 42, 42);
    Dark dark = dark_of(page, (Kind)_i, 254);
    ck_assert_double_eq_tol(dark.dark / 100, 10 * 20 + 2 * 2, 1);
}
END_TEST

START_TEST(picture_fills_its_box_and_is_upright) {
    /* Upper row black, lower row clear. */
    static const guint8 rgba[16] = {20, 18, 15, 255, 20, 18, 15, 255, 0, 0, 0, 0, 0, 0, 0, 0};
    g_autoptr(TapulPage) page = tapul_page_new(50, 50, "Picture", "");
    g_autoptr(TapulPath) window = box_path(0, 35, 50, 50); /* clear of smoothing between rows */
    tapul_page_begin_clip(page, window);
    tapul_page_picture(page, (TapulBox){{10, 0}, {30, 40}}, 2, 2, rgba);
    tapul_page_end_clip(page);
    Dark dark = dark_of(page, (Kind)_i, 254);
    ck_assert_double_eq_tol(dark.left / 10, 10, 0.3);
    ck_assert_double_eq_tol(dark.right / 10, 30, 0.3);
    ck_assert_double_eq_tol(dark.top / 10, 10, 0.3);
    ck_assert_double_eq_tol(dark.bottom / 10, 15, 0.3);
}
END_TEST

/* --- XML --- */

typedef struct {
    GHashTable *ids;
    GString *title, *text;
    int depth, texts;
    char *inside;
} Seen;

static void start_element(GMarkupParseContext *context, const char *element, const char **names,
                          const char **values, gpointer data, GError **error) {
    (void)context;
    (void)error;
    Seen *seen = data;
    g_free(seen->inside);
    seen->inside = g_strdup(element);
    seen->depth++;
    seen->texts += strcmp(element, "text") == 0;
    for (int i = 0; names[i]; i++)
        if (strcmp(names[i], "id") == 0)
            ck_assert_msg(g_hash_table_add(seen->ids, g_strdup(values[i])), "id twice: %s",
                          values[i]);
}

static void end_element(GMarkupParseContext *context, const char *element, gpointer data,
                        GError **error) {
    (void)context;
    (void)element;
    (void)error;
    Seen *seen = data;
    seen->depth--;
    g_clear_pointer(&seen->inside, g_free);
}

static void read_text(GMarkupParseContext *context, const char *text, gsize length,
                      gpointer data, GError **error) {
    (void)context;
    (void)error;
    Seen *seen = data;
    if (seen->inside && strcmp(seen->inside, "title") == 0)
        g_string_append_len(seen->title, text, (gssize)length);
    if (seen->inside && strcmp(seen->inside, "text") == 0)
        g_string_append_len(seen->text, text, (gssize)length);
}

static Seen parse_svg(TapulPage *page) {
    static const GMarkupParser parser = {start_element, end_element, read_text, NULL, NULL};
    Seen seen = {.ids = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL),
                 .title = g_string_new(NULL),
                 .text = g_string_new(NULL)};
    g_autofree char *path = write_page(page, SVG, 0), *text = NULL;
    g_autoptr(GError) error = NULL;
    ck_assert(g_file_get_contents(path, &text, NULL, NULL));
    GMarkupParseContext *context = g_markup_parse_context_new(&parser, 0, &seen, NULL);
    ck_assert_msg(g_markup_parse_context_parse(context, text, -1, &error) &&
                      g_markup_parse_context_end_parse(context, &error),
                  "%s", error ? error->message : "");
    g_markup_parse_context_free(context);
    ck_assert_int_eq(seen.depth, 0);
    return seen;
}

static void clear_seen(Seen *seen) {
    g_hash_table_unref(seen->ids);
    g_string_free(seen->title, TRUE);
    g_string_free(seen->text, TRUE);
    g_free(seen->inside);
}

START_TEST(svg_is_well_formed_whatever_the_words) {
    g_autoptr(TapulPage) page =
        tapul_page_new(100, 100, "Reeds & <rushes> \"a\" 'b'", "ends]]> -- \x01\x1b\xff");
    TapulType type = {.size_mm = 4, .colour = TAPUL_BLACK};
    tapul_page_begin_group(page, "a<b>&\"c'", "<g> & 'so on'", NULL);
    tapul_page_text(page, tapul_vec2(5, 50), "1 < 2 & 3 > 2\x02 čáp", &type);
    tapul_page_end_group(page);
    Seen seen = parse_svg(page);
    ck_assert_ptr_nonnull(strstr(seen.title->str, "Reeds & <rushes> \"a\" 'b'"));
    ck_assert_ptr_nonnull(strstr(seen.title->str, "<g> & 'so on'"));
    ck_assert_str_eq(seen.text->str, "1 < 2 & 3 > 2  čáp");
    clear_seen(&seen);
}
END_TEST

START_TEST(ids_are_made_unique_and_valid) {
    g_autoptr(TapulPage) page = tapul_page_new(100, 100, "Ids", "");
    static const char *const wanted[] = {"heron",   "heron", "heron-2",
                                         "9 lives", "",      "reiher ä"};
    for (guint i = 0; i < G_N_ELEMENTS(wanted); i++) {
        tapul_page_begin_group(page, wanted[i], NULL, NULL);
        tapul_page_end_group(page);
    }
    Seen seen = parse_svg(page);
    ck_assert_uint_eq(g_hash_table_size(seen.ids), G_N_ELEMENTS(wanted));
    static const char *const expected[] = {"heron",    "heron-2", "heron-2-2",
                                           "_9-lives", "group",   "reiher-ä"};
    for (guint i = 0; i < G_N_ELEMENTS(expected); i++)
        ck_assert_msg(g_hash_table_contains(seen.ids, expected[i]), "%s", expected[i]);
    clear_seen(&seen);
}
END_TEST

START_TEST(picture_drawn_again_is_stored_once) {
    static const guint8 rgba[4] = {20, 18, 15, 255};
    g_autoptr(TapulPage) page = tapul_page_new(50, 50, "Again", "");
    int number = tapul_page_keep_picture(page, 1, 1, rgba);
    TapulAffine shift = {1, 0, 0, 1, 20, 10};
    tapul_page_draw_picture(page, (TapulBox){{5, 5}, {9, 9}}, number);
    tapul_page_begin_group(page, "again", NULL, &shift);
    tapul_page_draw_picture(page, (TapulBox){{5, 5}, {13, 11}}, number); /* larger, elsewhere */
    tapul_page_end_group(page);
    Dark dark = dark_of(page, (Kind)_i, 254);
    ck_assert_double_eq_tol(dark.left / 10, 5, 0.1);
    ck_assert_double_eq_tol(dark.right / 10, 33, 0.1);
    ck_assert_double_eq_tol(dark.top / 10, 50 - 21, 0.1);
    ck_assert_double_eq_tol(dark.dark / 100, 16 + 48, 1);
    g_autofree char *path = write_page(page, SVG, 0), *text = NULL;
    ck_assert(g_file_get_contents(path, &text, NULL, NULL));
    ck_assert_ptr_eq(strstr(text, "base64"), g_strrstr(text, "base64"));
}
END_TEST

/* The numbers of the first path data in a text, in order. */
static GArray *path_numbers(const char *text) {
    GArray *numbers = g_array_new(FALSE, FALSE, sizeof(double));
    const char *c = strstr(text, " d=\"");
    ck_assert_ptr_nonnull(c);
    for (c += 4; *c != '"';) {
        char *end;
        double number = g_ascii_strtod(c, &end);
        if (end != c)
            g_array_append_val(numbers, number);
        c = end == c ? c + 1 : end;
    }
    return numbers;
}

START_TEST(roundings_of_path_data_do_not_add_up) {
    g_autoptr(TapulPage) page = tapul_page_new(60, 60, "Steps", "");
    g_autoptr(TapulPath) steps = tapul_path_new();
    const int n = 4000;
    tapul_path_move(steps, tapul_vec2(5.0004, 50));
    for (int i = 1; i <= n; i++)
        tapul_path_line(steps, tapul_vec2(5.0004 + 0.0104 * i, 50 - 0.0003 * i));
    tapul_page_path(page, steps, &(TapulPen){.stroke = TAPUL_BLACK, .width_mm = 0.5});
    g_autofree char *path = write_page(page, SVG, 0), *text = NULL;
    ck_assert(g_file_get_contents(path, &text, NULL, NULL));
    g_autoptr(GArray) numbers = path_numbers(text);
    ck_assert_uint_eq(numbers->len, 2 * (n + 1));
    double x = 0, y = 0;
    for (guint i = 0; i < numbers->len; i += 2) {
        x += g_array_index(numbers, double, i);
        y += g_array_index(numbers, double, i + 1);
        ck_assert_double_eq_tol(x, 5.0004 + 0.0104 * i / 2, 0.0005001);
        ck_assert_double_eq_tol(y, 10 + 0.0003 * i / 2, 0.0005001);
    }
}
END_TEST

START_TEST(path_data_has_the_decimals_that_show) {
    static const double scales[] = {1, 0.5, 0.04};
    static const char *const expected[] = {"d=\"M3.142-2.718l-.1.05\"",
                                           "d=\"M3.14-2.72l-.1.05\"", "d=\"M3.1-2.7l-.1 0\""};
    for (guint i = 0; i < G_N_ELEMENTS(scales); i++) {
        g_autoptr(TapulPage) page = tapul_page_new(60, 60, "Decimals", "");
        g_autoptr(TapulPath) line = tapul_path_new();
        tapul_path_move(line, tapul_vec2(3.14159, 2.71828));
        tapul_path_line(line, tapul_vec2(3.04159, 2.66828));
        TapulAffine place = {scales[i], 0, 0, scales[i], 30, 30};
        tapul_page_begin_group(page, "g", NULL, &place);
        tapul_page_path(page, line, &(TapulPen){.stroke = TAPUL_BLACK, .width_mm = 0.5});
        tapul_page_end_group(page);
        g_autofree char *path = write_page(page, SVG, 0), *text = NULL;
        ck_assert(g_file_get_contents(path, &text, NULL, NULL));
        ck_assert_msg(strstr(text, expected[i]) != NULL, "%s not in %s", expected[i], text);
    }
}
END_TEST

START_TEST(strokes_areas_and_words_of_one_group_keep_their_pens) {
    TapulType type = {.size_mm = 12, .colour = TAPUL_BLACK};
    g_autoptr(TapulPage) words = tapul_page_new(100, 60, "Words", "");
    tapul_page_text(words, tapul_vec2(50, 10), "HEH", &type);
    double words_px = dark_of(words, (Kind)_i, 254).dark;
    g_autoptr(TapulPage) page = tapul_page_new(100, 60, "Pens", "");
    g_autoptr(TapulPath) line = tapul_path_new();
    tapul_path_move(line, tapul_vec2(10, 50));
    tapul_path_line(line, tapul_vec2(40, 50));
    tapul_page_begin_group(page, "g", NULL, NULL);
    tapul_page_path(page, line, &(TapulPen){.stroke = TAPUL_BLACK, .width_mm = 2});
    draw_box(page, 10, 20, 20, 30); /* a fill among strokes */
    tapul_page_text(page, tapul_vec2(50, 10), "HEH", &type);
    tapul_page_begin_group(page, "inner", NULL, NULL);
    g_autoptr(TapulPath) other = box_path(60, 30, 70, 40);
    tapul_page_path(page, other,
                    &(TapulPen){.fill = TAPUL_BLACK, .stroke = TAPUL_BLACK, .width_mm = 1});
    tapul_page_end_group(page);
    tapul_page_path(page, line, /* over the first */
                    &(TapulPen){.stroke = TAPUL_BLACK, .width_mm = 3, .cap = TAPUL_CAP_SQUARE});
    tapul_page_end_group(page);
    double expected_mm2 = 33 * 3 + 100 + 121;
    ck_assert_double_eq_tol(dark_of(page, (Kind)_i, 254).dark / 100,
                            expected_mm2 + words_px / 100, 2);
}
END_TEST

/* --- Text --- */

static const char long_text[] =
    "The sheet is pressed on from its anchor outward, and where the metal turns away the line "
    "is "
    "cut; what lies beyond the edge is counted, in millimetres, and said.";

START_TEST(paragraph_keeps_to_its_width_and_returns_the_next_baseline) {
    g_autoptr(TapulPage) page = tapul_page_new(100, 100, "Text", "");
    TapulType type = {.size_mm = 4, .colour = TAPUL_BLACK};
    double y = tapul_page_paragraph(page, tapul_vec2(20, 90), 50, long_text, &type);
    Seen seen = parse_svg(page);
    ck_assert_int_gt(seen.texts, 3);
    ck_assert_double_gt(seen.texts * 50.0, tapul_page_text_width_mm(long_text, &type));
    double leading = (90 - y) / seen.texts;
    ck_assert_double_gt(leading, 1.1 * 4);
    ck_assert_double_lt(leading, 1.6 * 4);
    clear_seen(&seen);
    Dark dark = dark_of(page, PDF, 254);
    ck_assert_double_ge(dark.left / 10,
                        19.5); /* letters may reach a little before their origin */
    ck_assert_double_le(dark.right / 10, 70.5);
}
END_TEST

START_TEST(text_stands_on_its_point_by_its_alignment) {
    static const TapulAlign align[] = {TAPUL_ALIGN_LEFT, TAPUL_ALIGN_CENTRE, TAPUL_ALIGN_RIGHT};
    static const double share[] = {0, 0.5, 1};
    for (int i = 0; i < 3; i++) {
        TapulType type = {.size_mm = 10, .align = align[i], .colour = TAPUL_BLACK};
        g_autoptr(TapulPage) page = tapul_page_new(200, 40, "Text", "");
        tapul_page_text(page, tapul_vec2(100, 20), "HEH", &type);
        double width_mm = tapul_page_text_width_mm("HEH", &type);
        Dark dark = dark_of(page, (Kind)_i, 254);
        /* The letters' own side bearings are within a tenth of an em. */
        ck_assert_double_eq_tol(dark.left / 10, 100 - share[i] * width_mm, 1);
        ck_assert_double_eq_tol(dark.right / 10, 100 + (1 - share[i]) * width_mm, 1);
        ck_assert_double_eq_tol(dark.bottom / 10, 20, 0.3); /* baseline */
    }
}
END_TEST

START_TEST(turned_text_runs_up_the_page) {
    TapulType type = {.size_mm = 10, .turn_rad = G_PI / 2, .colour = TAPUL_BLACK};
    g_autoptr(TapulPage) page = tapul_page_new(60, 100, "Text", "");
    tapul_page_text(page, tapul_vec2(30, 20), "HEH", &type);
    double width_mm = tapul_page_text_width_mm("HEH", &type);
    Dark dark = dark_of(page, (Kind)_i, 254);
    ck_assert_double_eq_tol(dark.right / 10, 30, 0.3);
    ck_assert_double_eq_tol(dark.bottom / 10, 80, 1);
    ck_assert_double_eq_tol(dark.top / 10, 80 - width_mm, 1);
}
END_TEST

START_TEST(text_measures_grow_with_size) {
    TapulType small = {.size_mm = 2.5}, large = {.size_mm = 250};
    ck_assert_double_gt(tapul_page_text_width_mm("Ornament", &small), 2.5);
    ck_assert_double_eq(tapul_page_text_width_mm("", &small), 0);
    /* The face has a cut for small sizes, so that widths are not quite in proportion. */
    ck_assert_double_eq_tol(tapul_page_text_width_mm("Ornament", &large) /
                                tapul_page_text_width_mm("Ornament", &small),
                            100, 15);
}
END_TEST

START_TEST(a_character_that_no_font_has_is_one_small_box) {
    /* U+F0000, for private use: no font of a plain system has it. */
    static const char *const text = "\xf3\xb0\x80\x80";
    TapulType type = {.size_mm = 10, .colour = TAPUL_BLACK};
    ck_assert_double_lt(tapul_page_text_width_mm(text, &type), 15);
    g_autoptr(TapulPage) page = tapul_page_new(60, 60, "Missing", "");
    tapul_page_text(page, tapul_vec2(20, 20), text, &type);
    Dark dark = dark_of(page, PDF, 254);
    ck_assert_double_gt(dark.dark, 0);
    ck_assert_double_lt(dark.right - dark.left, 120);
    ck_assert_double_lt(dark.bottom - dark.top, 120);
    /* Lines are broken without losing it: the reader of the SVG may have the font. */
    g_autoptr(GPtrArray) lines = tapul_page_break_lines(text, 100, &type);
    ck_assert_uint_eq(lines->len, 1);
    ck_assert_str_eq(lines->pdata[0], text);
}
END_TEST

START_TEST(text_that_runs_to_the_left_is_said_to) {
    ck_assert(tapul_page_text_runs_left("12 العربية abc"));
    ck_assert(tapul_page_text_runs_left("שלום"));
    ck_assert(!tapul_page_text_runs_left("abc العربية"));
    ck_assert(!tapul_page_text_runs_left("12 – 13"));
    TapulType type = {.size_mm = 10, .align = (TapulAlign)_i, .colour = TAPUL_BLACK};
    g_autoptr(TapulPage) page = tapul_page_new(200, 40, "Left", "");
    tapul_page_text(page, tapul_vec2(100, 20), "שלום", &type);
    Dark svg = dark_of(page, SVG, 254), pdf = dark_of(page, PDF, 254);
    ck_assert_double_eq_tol(svg.left, pdf.left, 5);
    ck_assert_double_eq_tol(svg.right, pdf.right, 5);
}
END_TEST

/* --- Files --- */

static TapulPage *rich_page(void) {
    static const guint8 rgba[8] = {200, 10, 10, 255, 10, 200, 10, 128};
    TapulPage *page = tapul_page_new(100, 100, "Rich", "Everything");
    TapulType type = {.size_mm = 4, .italic = TRUE, .colour = TAPUL_PRINT_INK};
    tapul_page_begin_group(page, "g", "G", &(TapulAffine){0.5, 0, 0, 0.5, 3, 4});
    draw_box(page, 10, 10, 20, 20);
    tapul_page_picture(page, (TapulBox){{0, 0}, {8, 8}}, 2, 1, rgba);
    tapul_page_end_group(page);
    tapul_page_paragraph(page, tapul_vec2(10, 90), 60, long_text, &type);
    return page;
}

START_TEST(same_page_gives_the_same_bytes) {
    g_autofree char *before = NULL, *after = NULL;
    gsize n_before, n_after;
    for (int run = 0; run < 2; run++) {
        g_autoptr(TapulPage) page = rich_page();
        g_autofree char *path = write_page(page, (Kind)_i, 100);
        ck_assert(g_file_get_contents(path, run ? &after : &before, run ? &n_after : &n_before,
                                      NULL));
        if (run == 0)
            g_usleep(1100000); /* a date in seconds would differ */
    }
    ck_assert_uint_eq(n_before, n_after);
    ck_assert_mem_eq(before, after, n_before);
}
END_TEST

START_TEST(pdf_says_its_title_and_subject_and_no_author) {
    g_autoptr(TapulPage) page = rich_page();
    g_autofree char *path = write_page(page, PDF, 0);
    PopplerDocument *document = open_pdf(path);
    g_autofree char *title = poppler_document_get_title(document);
    g_autofree char *subject = poppler_document_get_subject(document);
    g_autofree char *author = poppler_document_get_author(document);
    ck_assert_str_eq(title, "Rich");
    ck_assert_str_eq(subject, "Everything");
    ck_assert_ptr_null(author);
    g_object_unref(document);
}
END_TEST

START_TEST(a_file_that_cannot_be_written_is_an_error_and_leaves_nothing) {
    g_autoptr(TapulPage) page = rich_page();
    g_autofree char *path = g_build_filename(folder, "no", "such", kind_names[_i], NULL);
    g_autoptr(GError) error = NULL;
    gboolean written = _i == SVG   ? tapul_page_write_svg(page, path, &error)
                       : _i == PDF ? tapul_page_write_pdf(&page, 1, path, &error)
                                   : tapul_page_write_png(page, 50, path, &error);
    ck_assert(!written);
    ck_assert_ptr_nonnull(strstr(error->message, "such"));
    ck_assert_ptr_null(strchr(error->message, '\n'));
    ck_assert(!g_file_test(path, G_FILE_TEST_EXISTS));
}
END_TEST

START_TEST(pages_written_at_once_are_the_pages_written_one_by_one) {
    g_autoptr(TapulPage) first = rich_page(), second = rich_page();
    TapulPage *pages[] = {first, second};
    g_autofree char *svg_1 = in_folder("1.svg"), *svg_2 = in_folder("2.svg");
    g_autofree char *pdf = in_folder("both.pdf");
    const char *svg[] = {svg_1, svg_2};
    g_autoptr(GError) error = NULL;
    ck_assert(tapul_pages_write(pages, svg, 2, pdf, &error));
    g_autofree char *alone = write_page(second, SVG, 0), *a = NULL, *b = NULL;
    ck_assert(g_file_get_contents(alone, &a, NULL, NULL));
    ck_assert(g_file_get_contents(svg_2, &b, NULL, NULL));
    ck_assert_str_eq(a, b);
    PopplerDocument *document = open_pdf(pdf);
    ck_assert_int_eq(poppler_document_get_n_pages(document), 2);
    g_object_unref(document);
    svg[1] = "/no/such/folder/2.svg";
    ck_assert(!tapul_pages_write(pages, svg, 2, pdf, &error));
    ck_assert_ptr_nonnull(strstr(error->message, "2.svg"));
    g_clear_error(&error);
    ck_assert(!tapul_pages_write(pages, svg, 2, "/no/such/folder/both.pdf", &error));
    ck_assert_ptr_nonnull(strstr(error->message, "both.pdf"));
}
END_TEST

START_TEST(a_png_too_large_or_empty_is_refused_with_its_size) {
    static const double dpi[] = {100000, 0.01, -5, NAN};
    g_autoptr(TapulPage) page = rich_page();
    for (guint i = 0; i < G_N_ELEMENTS(dpi); i++) {
        g_autofree char *path = in_folder("huge.png");
        g_autoptr(GError) error = NULL;
        ck_assert(!tapul_page_write_png(page, dpi[i], path, &error));
        ck_assert_ptr_nonnull(strstr(error->message, "32767"));
        ck_assert(!g_file_test(path, G_FILE_TEST_EXISTS));
    }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("page");
    TCase *tests = tcase_create("page");
    tcase_add_checked_fixture(tests, make_folder, remove_folder);
    tcase_set_timeout(tests, 60);
    tcase_add_loop_test(tests, drawn_bar_measures_true_at_600_dpi, SVG, PNG + 1);
    tcase_add_test(tests, pdf_page_has_the_iso_size_in_points);
    tcase_add_test(tests, png_has_the_pixels_of_its_dpi);
    tcase_add_test(tests, svg_gives_its_size_in_millimetres);
    tcase_add_loop_test(tests, nested_groups_put_a_box_where_their_transforms_say, SVG,
                        PNG + 1);
    tcase_add_loop_test(tests, clip_hides_what_lies_outside, SVG, PNG + 1);
    tcase_add_loop_test(tests, picture_fills_its_box_and_is_upright, SVG, PNG + 1);
    tcase_add_test(tests, svg_is_well_formed_whatever_the_words);
    tcase_add_test(tests, ids_are_made_unique_and_valid);
    tcase_add_loop_test(tests, picture_drawn_again_is_stored_once, SVG, PNG + 1);
    tcase_add_test(tests, roundings_of_path_data_do_not_add_up);
    tcase_add_test(tests, path_data_has_the_decimals_that_show);
    tcase_add_loop_test(tests, strokes_areas_and_words_of_one_group_keep_their_pens, SVG,
                        PNG + 1);
    tcase_add_test(tests, paragraph_keeps_to_its_width_and_returns_the_next_baseline);
    tcase_add_loop_test(tests, text_stands_on_its_point_by_its_alignment, SVG, PNG + 1);
    tcase_add_loop_test(tests, turned_text_runs_up_the_page, SVG, PNG + 1);
    tcase_add_test(tests, text_measures_grow_with_size);
    tcase_add_test(tests, a_character_that_no_font_has_is_one_small_box);
    tcase_add_loop_test(tests, text_that_runs_to_the_left_is_said_to, TAPUL_ALIGN_LEFT,
                        TAPUL_ALIGN_RIGHT + 1);
    tcase_add_loop_test(tests, same_page_gives_the_same_bytes, SVG, PNG + 1);
    tcase_add_test(tests, pdf_says_its_title_and_subject_and_no_author);
    tcase_add_loop_test(tests, a_file_that_cannot_be_written_is_an_error_and_leaves_nothing,
                        SVG, PNG + 1);
    tcase_add_test(tests, pages_written_at_once_are_the_pages_written_one_by_one);
    tcase_add_test(tests, a_png_too_large_or_empty_is_refused_with_its_size);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
