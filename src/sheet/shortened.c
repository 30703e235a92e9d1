/* Shortens names and titles that people gave to the room that a form or a caption has.
 *
 * The measuring and contact sheets pass what they set of a plate's own words through it.
 */
#include "sheet/shortened.h"

#include "sheet/page_items.h"

/* More of a text than this never fits a page: breaking it into lines would only take time. */
#define MOST_LETTERS 2000

/* A line with an ellipsis, without the letters that no longer fit. */
static char *with_ellipsis(const char *line, double width_mm, const TapulType *type) {
    for (glong n = g_utf8_strlen(line, -1); n > 0; n--) {
        g_autofree char *part = g_utf8_substring(line, 0, n);
        g_autofree char *whole = g_strconcat(g_strchomp(part), "\u2026", NULL);
        if (tapul_page_text_width_mm(whole, type) <= width_mm)
            return g_steal_pointer(&whole);
    }
    return g_strdup("\u2026");
}

char *tapul_text_shortened(const char *text, double width_mm, guint most_lines,
                           const TapulType *type) {
    g_autofree char *valid = g_utf8_make_valid(text, -1);
    glong letters = g_utf8_strlen(valid, -1);
    g_autofree char *start = g_utf8_substring(valid, 0, MIN(letters, MOST_LETTERS));
    g_autoptr(GPtrArray) lines = tapul_page_break_lines(start, width_mm, type);
    if (lines->len <= most_lines && letters <= MOST_LETTERS)
        return g_steal_pointer(&start);
    GString *kept = g_string_new(NULL);
    for (guint i = 0; i + 1 < MIN(most_lines, lines->len); i++)
        g_string_append_printf(kept, "%s ", (const char *)lines->pdata[i]);
    g_autofree char *last =
        with_ellipsis(lines->pdata[MIN(most_lines, lines->len) - 1], width_mm, type);
    g_string_append(kept, last);
    return g_string_free(kept, FALSE);
}
