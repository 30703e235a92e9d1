/* Scripts that run to the left: lines, order and place; and that parts change nothing of what
 * is seen. */
#include "access_pages_for_tests.h"

#include <cairo.h>
#include <stdlib.h>

/* Text with the marks taken out that only order it. */
static char *without_marks(const char *text) {
    GString *bare = g_string_new(NULL);
    for (const char *c = text; *c; c = g_utf8_next_char(c)) {
        gunichar letter = g_utf8_get_char(c);
        if (letter != 0x200e && letter != 0x200f && !(letter >= 0x202a && letter <= 0x202e))
            g_string_append_unichar(bare, letter);
    }
    return g_string_free(bare, FALSE);
}

START_TEST(lines_run_as_their_paragraph_does) {
    static const char english_with_hebrew[] = "The title of this plate is in Hebrew, and it is "
                                              "לוח החזה המצויר, as it says.";
    static const char *const texts[] = {hebrew, english_with_hebrew};
    for (int i = 0; i < 2; i++)
        /* At some widths a line begins with the other script. */
        for (double width_mm = 30; width_mm < 80; width_mm += 5) {
            g_autoptr(GPtrArray) lines = tapul_page_break_lines(texts[i], width_mm, &text_type);
            g_ptr_array_add(lines, NULL);
            for (int line = 0; lines->pdata[line]; line++)
                ck_assert_int_eq(tapul_page_text_runs_left(lines->pdata[line]), i == 0);
            g_autofree char *joined = g_strjoinv(" ", (char **)lines->pdata);
            g_autofree char *bare = without_marks(joined);
            ck_assert_str_eq(bare, texts[i]);
        }
}
END_TEST

START_TEST(hebrew_and_arabic_come_out_in_their_order) {
    static const char *const words[] = {"לוח החזה המצויר", "درع الصدر"};
    for (int i = 0; i < 2; i++) {
        g_autoptr(TapulPage) page = tapul_page_new(100, 40, "Left", "");
        draw_part(page, TAPUL_PART_PARAGRAPH, tapul_vec2(10, 20), words[i]);
        g_autofree char *path = write_pdf(&page, 1, "left.pdf");
        g_autofree char *text =
            run((const char *[]){"pdftotext", "-enc", "UTF-8", path, "-", NULL});
        g_autofree char *bare = without_marks(text);
        ck_assert_str_eq(g_strchomp(bare), words[i]);
    }
}
END_TEST

static cairo_surface_t *render(const TapulPage *page) {
    g_autofree char *path = in_folder("page.png");
    ck_assert(tapul_page_write_png(page, 127, path, NULL)); /* 5 px a mm */
    return cairo_image_surface_create_from_png(path);
}

/* Columns of pixels that have ink in them: the first and the last. */
static void find_ink(const TapulPage *page, int *first_px, int *last_px) {
    cairo_surface_t *surface = render(page);
    int width = cairo_image_surface_get_width(surface);
    int height = cairo_image_surface_get_height(surface);
    int stride = cairo_image_surface_get_stride(surface);
    const guint8 *data = cairo_image_surface_get_data(surface);
    *first_px = width;
    *last_px = -1;
    for (int y = 0; y < height; y++)
        for (int x = 0; x < width; x++)
            if (data[y * stride + x * 4 + 1] < 128) {
                *first_px = MIN(*first_px, x);
                *last_px = MAX(*last_px, x);
            }
    cairo_surface_destroy(surface);
}

START_TEST(a_paragraph_that_runs_to_the_left_stands_at_its_right) {
    static const struct {
        TapulAlign align;
        double x_mm; /* of the point given */
    } set[] = {{TAPUL_ALIGN_LEFT, 10}, {TAPUL_ALIGN_RIGHT, 90}};
    for (int i = 0; i < 2; i++) {
        TapulType type = text_type;
        type.align = set[i].align;
        g_autoptr(TapulPage) page = tapul_page_new(100, 60, "Left", "");
        tapul_page_paragraph(page, tapul_vec2(set[i].x_mm, 50), 80, "לוח החזה", &type);
        int first_px, last_px;
        find_ink(page, &first_px, &last_px);
        /* 90 mm; a letter's side bearing is within half a mm at this size */
        ck_assert_int_ge(last_px, 5 * 90 - 3);
        ck_assert_int_le(last_px, 5 * 90 + 1);
        ck_assert_int_gt(first_px, 5 * 60);
    }
}
END_TEST

START_TEST(parts_change_nothing_that_is_seen) {
    static const TapulAlign align[] = {TAPUL_ALIGN_LEFT, TAPUL_ALIGN_CENTRE, TAPUL_ALIGN_RIGHT};
    for (guint i = 0; i < G_N_ELEMENTS(align); i++) {
        int ink[2][2];
        for (int tagged = 0; tagged < 2; tagged++) {
            TapulType type = text_type;
            type.align = align[i];
            g_autoptr(TapulPage) page = tapul_page_new(100, 60, "Seen", "");
            if (tagged)
                tapul_page_begin_part(page, TAPUL_PART_PARAGRAPH, NULL);
            tapul_page_text(page, tapul_vec2(50, 40), "Reed cartouche", &type);
            tapul_page_text(page, tapul_vec2(50, 20), "לוח החזה", &type);
            if (tagged)
                tapul_page_end_part(page);
            find_ink(page, &ink[tagged][0], &ink[tagged][1]);
        }
        ck_assert_mem_eq(ink[0], ink[1], sizeof ink[0]);
    }
}
END_TEST

int main(void) {
    const TTest *const tests[] = {
        lines_run_as_their_paragraph_does,
        hebrew_and_arabic_come_out_in_their_order,
        a_paragraph_that_runs_to_the_left_stands_at_its_right,
        parts_change_nothing_that_is_seen,
    };
    return run_in_folders("page_scripts", tests, G_N_ELEMENTS(tests));
}
