/* Pages for those who have them read out, as SVG; and the resolution of a PNG. */
#include "access_pages_for_tests.h"

#include <stdlib.h>

typedef struct {
    char *root_language, *root_xml_language, *root_role, *creator, *label; /* owned */
    int depth, figure_depth; /* figure_depth 0: in none */
    int figures, texts_in_figures;
} SvgSeen;

static void see_attribute(SvgSeen *seen, const char *name, const char *value) {
    char **kept = strcmp(name, "dc:creator") == 0   ? &seen->creator
                  : strcmp(name, "aria-label") == 0 ? &seen->label
                  : seen->depth > 1                 ? NULL
                  : strcmp(name, "lang") == 0       ? &seen->root_language
                  : strcmp(name, "xml:lang") == 0   ? &seen->root_xml_language
                  : strcmp(name, "role") == 0       ? &seen->root_role
                                                    : NULL;
    if (kept) {
        g_free(*kept);
        *kept = g_strdup(value);
    }
    if (seen->depth > 1 && strcmp(name, "role") == 0 && strcmp(value, "img") == 0) {
        seen->figures++;
        seen->figure_depth = seen->depth;
    }
}

static void start_element(GMarkupParseContext *context, const char *element, const char **names,
                          const char **values, gpointer data, GError **error) {
    (void)context;
    (void)error;
    SvgSeen *seen = data;
    seen->depth++;
    if (strcmp(element, "text") == 0 && seen->figure_depth > 0)
        seen->texts_in_figures++;
    for (int i = 0; names[i]; i++)
        see_attribute(seen, names[i], values[i]);
}

static void end_element(GMarkupParseContext *context, const char *element, gpointer data,
                        GError **error) {
    (void)context;
    (void)element;
    (void)error;
    SvgSeen *seen = data;
    if (seen->figure_depth == seen->depth)
        seen->figure_depth = 0;
    seen->depth--;
}

static SvgSeen read_svg(const TapulPage *page) {
    static const GMarkupParser parser = {start_element, end_element, NULL, NULL, NULL};
    g_autofree char *path = in_folder("page.svg"), *text = NULL;
    ck_assert(tapul_page_write_svg(page, path, NULL));
    ck_assert(g_file_get_contents(path, &text, NULL, NULL));
    SvgSeen seen = {.depth = 0};
    GMarkupParseContext *context = g_markup_parse_context_new(&parser, 0, &seen, NULL);
    ck_assert(g_markup_parse_context_parse(context, text, -1, NULL));
    ck_assert(g_markup_parse_context_end_parse(context, NULL));
    g_markup_parse_context_free(context);
    ck_assert_int_eq(seen.depth, 0);
    return seen;
}

static void clear_svg(SvgSeen *seen) {
    g_free(seen->root_language);
    g_free(seen->root_xml_language);
    g_free(seen->root_role);
    g_free(seen->creator);
    g_free(seen->label);
}

START_TEST(svg_of_a_page_with_parts_is_a_document_whose_figures_are_pictures) {
    g_autoptr(TapulPage) page = read_page("Parts");
    SvgSeen seen = read_svg(page);
    ck_assert_str_eq(seen.root_language, "en-GB");
    ck_assert_str_eq(seen.root_xml_language, "en-GB");
    /* Graphics-ARIA 1.0; nothing within an img would be read (WAI-ARIA 1.2, 5.2.8) */
    ck_assert_str_eq(seen.root_role, "graphics-document document");
    ck_assert_str_eq(seen.creator, "Ada L\u00f6we & S\u00f6hne");
    ck_assert_int_eq(seen.figures, 1);
    ck_assert_str_eq(seen.label, described);
    ck_assert_int_eq(seen.texts_in_figures, 0); /* its caption follows it */
    clear_svg(&seen);
}
END_TEST

START_TEST(svg_of_a_page_without_parts_is_one_picture) {
    g_autoptr(TapulPage) page = plain_page();
    SvgSeen seen = read_svg(page);
    ck_assert_str_eq(seen.root_language, "en");
    ck_assert_str_eq(seen.root_role, "img");
    ck_assert_ptr_null(seen.creator);
    ck_assert_int_eq(seen.figures, 0);
    clear_svg(&seen);
}
END_TEST

START_TEST(png_says_its_resolution) {
    g_autoptr(TapulPage) page = plain_page();
    g_autofree char *path = in_folder("page.png");
    ck_assert(tapul_page_write_png(page, 300, path, NULL));
    char *bytes = NULL;
    gsize length;
    ck_assert(g_file_get_contents(path, &bytes, &length, NULL));
    /* PNG (ISO 15948), 11.3.5.3: pixels a metre across and up, big-endian, unit 1; 300 dpi are
     * 11811.02 */
    static const guint8 expected[] = {'p',  'H', 'Y', 's',  0,    0, 0x2e,
                                      0x23, 0,   0,   0x2e, 0x23, 1};
    gboolean found = FALSE;
    for (gsize i = 0; i + sizeof expected < length && !found; i++)
        found = memcmp(bytes + i, expected, sizeof expected) == 0;
    ck_assert(found);
    g_free(bytes);
}
END_TEST

int main(void) {
    const TTest *const tests[] = {
        svg_of_a_page_with_parts_is_a_document_whose_figures_are_pictures,
        svg_of_a_page_without_parts_is_one_picture,
        png_says_its_resolution,
    };
    return run_in_folders("page_access_svg", tests, G_N_ELEMENTS(tests));
}
