/* What a PDF's own text says of its pages: poppler's GLib interface tells neither /UserUnit nor
 * whether a media box was sound. So the objects' text is looked through, object streams (ISO
 * 32000-1, 7.5.7) unpacked, other streams left out; which object is which page is not worked
 * out, and where that would matter the file is refused. Stands before the drawing. */
#include "ink/pdf_text.h"

#include "ink/unpack.h"

#include <string.h>

/* Objects of a print are small beside its drawing. */
#define OBJECT_BYTES_MAX (64u << 20)

void tapul_pdf_text_free(TapulPdfText *text) {
    if (!text)
        return;
    g_byte_array_unref(text->objects);
    g_free(text);
}

static GRegex *pattern(const char *expression) {
    GRegex *regex = g_regex_new(expression, G_REGEX_RAW | G_REGEX_OPTIMIZE, 0, NULL);
    g_assert(regex);
    return regex;
}

/* Where the expression stands first in data[from..to), or -1; *end: behind it. */
static gssize find(const GRegex *regex, const char *data, gsize from, gsize to, gsize *end) {
    g_autoptr(GMatchInfo) match = NULL;
    int starts = -1, ends = -1;
    if (g_regex_match_full(regex, data, (gssize)to, (int)from, 0, &match, NULL))
        g_match_info_fetch_pos(match, 0, &starts, &ends);
    *end = starts >= 0 ? (gsize)ends : to;
    return starts;
}

static void add_objects(TapulPdfText *text, GBytes *stream, gboolean packed) {
    gsize left = OBJECT_BYTES_MAX - MIN(text->objects->len, OBJECT_BYTES_MAX);
    g_autoptr(GBytes) objects =
        packed ? tapul_unpack(stream, G_ZLIB_COMPRESSOR_FORMAT_ZLIB, left, NULL)
               : g_bytes_ref(stream);
    gsize length = 0;
    const guint8 *data = objects ? g_bytes_get_data(objects, &length) : NULL;
    if (!data || length > left)
        text->hidden = TRUE;
    else
        g_byte_array_append(text->objects, data, (guint)length);
}

TapulPdfText *tapul_pdf_text_new(GBytes *file) {
    TapulPdfText *text = g_new0(TapulPdfText, 1);
    text->objects = g_byte_array_new();
    g_autoptr(GRegex) begins = pattern("stream\\r?\\n"), ends = pattern("endstream"),
                      holds_objects = pattern("/ObjStm\\b"), is_packed = pattern("/Filter\\b");
    gsize length, at = 0;
    const char *data = g_bytes_get_data(file, &length);
    while (at < length) {
        gsize inside, behind, unused;
        gssize starts = find(begins, data, at, length, &inside);
        gsize plain_end = starts < 0 ? length : (gsize)starts;
        g_byte_array_append(text->objects, (const guint8 *)data + at, (guint)(plain_end - at));
        if (starts < 0)
            break;
        gssize stops = find(ends, data, inside, length, &behind);
        if (find(holds_objects, data, at, plain_end, &unused) >= 0) {
            gsize size = (stops < 0 ? length : (gsize)stops) - inside;
            g_autoptr(GBytes) stream = g_bytes_new_from_bytes(file, inside, size);
            add_objects(text, stream, find(is_packed, data, at, plain_end, &unused) >= 0);
        }
        at = behind;
    }
    return text;
}

static GMatchInfo *look_for(const TapulPdfText *text, const GRegex *regex) {
    GMatchInfo *match = NULL;
    g_regex_match_full(regex, (const char *)text->objects->data, (gssize)text->objects->len, 0,
                       0, &match, NULL);
    return match;
}

/* A number as PDF writes it: no exponents (ISO 32000-1, 7.3.3). */
static gboolean read_number(const char *word, double *value) {
    char *end = NULL;
    if (!*word || word[strspn(word, "+-.0123456789")])
        return FALSE;
    *value = g_ascii_strtod(word, &end);
    return *end == '\0' && isfinite(*value);
}

static gboolean check_unit(const char *word, double *unit, GError **error) {
    if (read_number(word, unit) && *unit > 0)
        return TRUE;
    g_autofree char *shown = g_strescape(word, NULL);
    g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SIZE,
                "the page's unit is /UserUnit '%s'; permitted: a number above 0, written in "
                "place",
                shown);
    return FALSE;
}

gboolean tapul_pdf_user_unit(const TapulPdfText *text, int pages, double *unit,
                             GError **error) {
    g_autoptr(GRegex) regex =
        pattern("/UserUnit(?![A-Za-z0-9])\\s*([^\\s/<>\\[\\]()]*(?:\\s+\\d+\\s+R\\b)?)");
    g_autoptr(GMatchInfo) match = look_for(text, regex);
    int count = 0;
    double least = INFINITY, most = 0;
    for (; g_match_info_matches(match); g_match_info_next(match, NULL), count++) {
        g_autofree char *word = g_match_info_fetch(match, 1);
        if (!check_unit(word, unit, error))
            return FALSE;
        least = fmin(least, *unit);
        most = fmax(most, *unit);
    }
    /* A page without one has 1, so where fewer are written than there are pages, 1 is among
     * them. */
    if (count < pages) {
        least = fmin(least, 1);
        most = fmax(most, 1);
    }
    *unit = most;
    if (least == most)
        return TRUE;
    g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SIZE,
                "pages have units (/UserUnit) from %g to %g; permitted: the same for all pages "
                "of a file",
                least, most);
    return FALSE;
}

/* What stands elsewhere is left to poppler. */
static gboolean box_is_sound(const char *box) {
    g_autofree char *inside = g_strdup(box);
    g_strdelimit(inside, "[]\t\r\n\f", ' ');
    g_auto(GStrv) words = g_strsplit(inside, " ", -1);
    double v[4];
    int n = 0;
    if (strchr(box, 'R'))
        return TRUE;
    for (char **each = words; *each; each++)
        if (**each && (n == 4 || !read_number(*each, &v[n++])))
            return FALSE;
    return n == 4 && v[0] != v[2] && v[1] != v[3];
}

gboolean tapul_pdf_check_media_boxes(const TapulPdfText *text, GError **error) {
    g_autoptr(GRegex) regex =
        pattern("/MediaBox\\s*(\\[[^\\]]{0,200}\\]?|[^\\s/<>\\[]*(?:\\s+\\d+\\s+R\\b)?)");
    g_autoptr(GMatchInfo) match = look_for(text, regex);
    gboolean found = text->hidden || g_match_info_matches(match);
    for (; g_match_info_matches(match); g_match_info_next(match, NULL)) {
        g_autofree char *box = g_match_info_fetch(match, 1);
        if (box_is_sound(box))
            continue;
        g_autofree char *shown = g_strescape(box, NULL);
        g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SIZE,
                    "the page's size is /MediaBox %s; permitted: [left bottom right top] in "
                    "points, more than 0 wide and high",
                    shown);
        return FALSE;
    }
    if (!found)
        g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SIZE,
                    "the page has no size: no /MediaBox was found");
    return found;
}
