/* The comparison as one HTML file, which asks for no other.
 *
 * html_section.c writes a section a print, html_figures.c draws. html/comparison.css and .js,
 * the document's style and script, are carried in the program. Its policy lets nothing take
 * effect but these, by their SHA-256, and pictures that it holds itself (W3C, Content Security
 * Policy Level 3).
 */
#include "sheet/comparison_words.h"
#include "sheet/html_section.h"
#include "sheet/page_svg.h"

#include <gio/gio.h>
#include <pango/pango.h>

/* --- Style, script and policy --- */

static char *resource(const char *name) {
    g_autofree char *path = g_strconcat("/tapul/html/", name, NULL);
    g_autoptr(GBytes) bytes = g_resources_lookup_data(path, G_RESOURCE_LOOKUP_FLAGS_NONE, NULL);
    g_assert(bytes); /* it is a part of the program */
    return g_strndup(g_bytes_get_data(bytes, NULL), g_bytes_get_size(bytes));
}

/* 'sha256-...' of an element's text. */
static void append_hash(GString *out, const char *text) {
    guint8 digest[32];
    gsize length = sizeof digest;
    g_autoptr(GChecksum) checksum = g_checksum_new(G_CHECKSUM_SHA256);
    g_checksum_update(checksum, (const guchar *)text, -1);
    g_checksum_get_digest(checksum, digest, &length);
    g_autofree char *base64 = g_base64_encode(digest, length);
    g_string_append_printf(out, "'sha256-%s'", base64);
}

static void append_policy(GString *out, const char *style, const char *script) {
    g_string_append(out, "<meta http-equiv=\"Content-Security-Policy\" "
                         "content=\"default-src 'none'; img-src data:; style-src ");
    append_hash(out, style);
    g_string_append(out, "; script-src ");
    append_hash(out, script);
    g_string_append(out, "; base-uri 'none'; form-action 'none'\">\n");
}

/* --- What is laid --- */

static double ink_mm(const TapulComparison *comparison, int laying) {
    const TapulCaseLaid *laid = g_ptr_array_index(comparison->laid, laying);
    return laid->ink->laid_length_mm;
}

static gboolean is_border(const TapulComparison *comparison, int laying) {
    const TapulCaseLaying *asked = g_ptr_array_index(comparison->question->layings, laying);
    return asked->options.rule == TAPUL_LAYING_BORDERED;
}

/* The layings to show, that with most ink first, else in the case's order: borders only where
 * there is nothing else. */
static GArray *shown_layings(const TapulComparison *comparison) {
    GArray *shown = g_array_new(FALSE, FALSE, sizeof(int));
    int main_one = 0;
    for (int borders = 0; borders < 2 && shown->len == 0; borders++)
        for (int i = 0; i < (int)comparison->laid->len; i++)
            if (is_border(comparison, i) == borders)
                g_array_append_val(shown, i);
    for (guint i = 1; i < shown->len; i++)
        if (ink_mm(comparison, g_array_index(shown, int, i)) >
            ink_mm(comparison, g_array_index(shown, int, main_one)))
            main_one = (int)i;
    if (main_one > 0) {
        int laying = g_array_index(shown, int, main_one);
        g_array_remove_index(shown, (guint)main_one);
        g_array_prepend_val(shown, laying);
    }
    return shown;
}

/* --- The document --- */

/* Pango knows a sentence of most languages: its letters tell. */
static gboolean runs_left(const char *language) {
    return tapul_page_text_runs_left(
        pango_language_get_sample_string(pango_language_from_string(language)));
}

static void append_head(GString *out, const TapulCase *question, const char *style,
                        const char *script) {
    const char *author = question->sheet.author;
    g_string_append(out, "<!DOCTYPE html>\n<html lang=\"");
    tapul_html_text(out, question->sheet.language);
    g_string_append_printf(out, "\" dir=\"%s\">\n<head>\n<meta charset=\"utf-8\">\n",
                           runs_left(question->sheet.language) ? "rtl" : "ltr");
    append_policy(out, style, script);
    g_string_append(out, "<meta name=\"viewport\" content=\"width=device-width, "
                         "initial-scale=1\">\n<meta name=\"color-scheme\" content=\"light\">\n"
                         "<title>");
    tapul_html_text(out, question->title);
    g_string_append(out, "</title>\n");
    if (author) {
        g_string_append(out, "<meta name=\"author\" content=\"");
        tapul_html_text(out, author);
        g_string_append(out, "\">\n");
    }
    g_string_append_printf(out, "<style>%s</style>\n</head>\n", style);
}

static void append_header(GString *out, const TapulCase *question) {
    g_string_append(out, "<header>\n");
    tapul_html_line(out, "h1", "title", question->title);
    tapul_html_line(out, "p", "plate-name", tapul_plate_name(question->plate));
    g_string_append(out, "</header>\n");
}

static int print_of(const TapulComparison *comparison, int laying) {
    const TapulCaseLaying *asked = g_ptr_array_index(comparison->question->layings, laying);
    return asked->print;
}

/* The way to the sections, where there are several. A name alone may stand for two of them. */
static void append_contents(TapulHtmlDocument *document, const GArray *layings) {
    GString *out = document->body;
    const TapulComparison *comparison = document->comparison;
    g_autofree char *label = tapul_comparison_capital(comparison, "prints laid");
    if (layings->len < 2)
        return;
    g_string_append(out, "<nav aria-label=\"");
    tapul_html_text(out, label);
    g_string_append(out, "\">\n<ol>\n");
    for (guint i = 0; i < layings->len; i++) {
        int laying = g_array_index(layings, int, i);
        g_autofree char *name =
            tapul_comparison_print_name(comparison, print_of(comparison, laying));
        g_autofree char *laid = tapul_comparison_laying_words(comparison, laying);
        g_string_append_printf(out, "<li><a href=\"#laying-%u\"><span dir=\"auto\">", i + 1);
        tapul_html_text(out, name);
        g_string_append(out, "</span></a> <span class=\"laid\" dir=\"auto\">");
        tapul_html_text(out, laid);
        g_string_append(out, "</span></li>\n");
    }
    g_string_append(out, "</ol>\n</nav>\n");
}

static void append_footer(GString *out, const TapulCase *question) {
    g_string_append(out, "<footer>\n");
    tapul_html_line(out, "p", "credit", question->credit);
    tapul_html_line(out, "p", "rights", question->sheet.rights);
    g_string_append(out, "</footer>\n");
}

/* One exchanges dark and bright; the other turns what is dark of a print into vermilion and
 * what is light into nothing, so that it can be seen together with the plate beneath: alpha
 * becomes 1.3 (alpha - luminance) - 0.12, by which the tone of paper goes too. Luminance by
 * ITU-R BT.709. */
static void append_filters(GString *out) {
    const TapulColour ink = TAPUL_PRINT_INK;
    const double channels[] = {ink.red, ink.green, ink.blue};
    g_string_append(out, "<svg class=\"unseen\" aria-hidden=\"true\" width=\"0\" height=\"0\">"
                         "<filter id=\"in-vermilion\" color-interpolation-filters=\"sRGB\" "
                         "x=\"0\" y=\"0\" width=\"1\" height=\"1\"><feColorMatrix values=\"");
    for (int i = 0; i < 3; i++) {
        g_string_append(out, "0 0 0 0 ");
        tapul_svg_number(out, channels[i]);
        g_string_append(out, "  ");
    }
    g_string_append(out, "-0.276 -0.930 -0.094 1.3 -0.12\"/></filter>\n"
                         "<filter id=\"exchanged\" color-interpolation-filters=\"sRGB\" "
                         "x=\"0\" y=\"0\" width=\"1\" height=\"1\"><feColorMatrix values=\""
                         "-0.213 -0.715 -0.072 0 1  -0.213 -0.715 -0.072 0 1  "
                         "-0.213 -0.715 -0.072 0 1  0 0 0 1 0\"/></filter></svg>\n");
}

static void append_document(GString *out, const TapulComparison *comparison,
                            const GArray *layings) {
    g_autofree char *style = resource("comparison.css");
    g_autofree char *script = resource("comparison.js");
    g_autoptr(TapulHtmlCanvas) canvas = tapul_html_canvas_new();
    g_autoptr(GString) rules = g_string_new(style);
    g_autoptr(GString) body = g_string_new(NULL);
    TapulHtmlDocument document = {comparison, canvas, rules, body};
    append_contents(&document, layings);
    g_string_append(body, "<main>\n");
    for (guint i = 0; i < layings->len; i++)
        tapul_html_section(&document, g_array_index(layings, int, i), (int)i + 1);
    g_string_append(body, "</main>\n");
    append_head(out, comparison->question, rules->str, script);
    g_string_append(out, "<body>\n");
    append_header(out, comparison->question);
    g_string_append_len(out, body->str, (gssize)body->len);
    append_footer(out, comparison->question);
    append_filters(out);
    g_string_append(out, "<p class=\"unseen\" role=\"status\" id=\"said\"></p>\n");
    g_string_append_printf(out, "<script>%s</script>\n</body>\n</html>\n", script);
}

gboolean tapul_comparison_write_html(const TapulComparison *comparison, const char *path,
                                     GError **error) {
    g_autoptr(GArray) layings = shown_layings(comparison);
    g_autoptr(GString) out = g_string_new(NULL);
    if (layings->len == 0) {
        g_set_error(error, TAPUL_COMPARISON_ERROR, TAPUL_COMPARISON_ERROR_NOTHING,
                    "%s: no print is laid ('layings'), and none can be compared",
                    comparison->question->path);
        return FALSE;
    }
    append_document(out, comparison, layings);
    return g_file_set_contents(path, out->str, (gssize)out->len, error);
}
