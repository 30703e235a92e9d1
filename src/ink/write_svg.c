/* Ink written as SVG, true to size, for people and editors: one group for each motif, in
 * drawing order. cairo would lose the ids, so the text is written here. Stands at the end of
 * `tapul ink` and `tapul lift`. */
#include <tapul/ink.h>

#include <string.h>

/* Ten nanometres: far under any line, and short to read. */
#define NUMBER_FORMAT "%.5f"

static void append_number(GString *text, double value) {
    char digits[G_ASCII_DTOSTR_BUF_SIZE];
    g_ascii_formatd(digits, sizeof digits, NUMBER_FORMAT, value);
    gsize length = strlen(digits);
    while (digits[length - 1] == '0')
        length--;
    if (digits[length - 1] == '.')
        length--;
    g_string_append_len(text, digits, (gssize)length);
}

static void append_property(GString *text, const char *name, double value) {
    g_string_append_printf(text, " %s=\"", name);
    append_number(text, value);
    g_string_append_c(text, '"');
}

static void append_path(GString *text, const TapulPath *path, double height_mm) {
    static const struct {
        char letter;
        int points;
    } verbs[] = {[TAPUL_VERB_MOVE] = {'M', 1},
                 [TAPUL_VERB_LINE] = {'L', 1},
                 [TAPUL_VERB_CURVE] = {'C', 3},
                 [TAPUL_VERB_CLOSE] = {'Z', 0}};
    guint next = 0;
    g_string_append(text, " d=\"");
    for (guint i = 0; i < path->verbs->len; i++) {
        guint8 verb = g_array_index(path->verbs, guint8, i);
        g_string_append_c(text, verbs[verb].letter);
        for (int k = 0; k < verbs[verb].points; k++, next++) {
            TapulVec2 point = g_array_index(path->points, TapulVec2, next);
            if (k > 0)
                g_string_append_c(text, ' ');
            append_number(text, point.x);
            g_string_append_c(text, ' ');
            append_number(text, height_mm - point.y);
        }
    }
    g_string_append_c(text, '"');
}

static void append_grey(GString *text, const char *name, double grey) {
    guint step = (guint)lround(CLAMP(grey, 0, 1) * 255);
    g_string_append_printf(text, " %s=\"#%02x%02x%02x\"", name, step, step, step);
}

static void append_stroke(GString *text, const TapulMark *mark) {
    static const char *const caps[] = {"butt", "round", "square"};
    static const char *const joins[] = {"miter", "round", "bevel"};
    g_string_append(text, " fill=\"none\"");
    append_grey(text, "stroke", mark->grey);
    append_property(text, "stroke-width", mark->width_mm);
    g_string_append_printf(text, " stroke-linecap=\"%s\" stroke-linejoin=\"%s\"",
                           caps[mark->cap], joins[mark->join]);
    append_property(text, "stroke-miterlimit", mark->mitre_limit);
    if (!mark->dash_mm)
        return;
    g_string_append(text, " stroke-dasharray=\"");
    for (guint i = 0; i < mark->dash_mm->len; i++) {
        if (i > 0)
            g_string_append_c(text, ' ');
        append_number(text, g_array_index(mark->dash_mm, double, i));
    }
    g_string_append_c(text, '"');
    append_property(text, "stroke-dashoffset", mark->dash_offset_mm);
}

static void append_mark(GString *text, const TapulMark *mark, double height_mm) {
    g_string_append(text, "<path");
    if (mark->kind == TAPUL_MARK_STROKE) {
        append_stroke(text, mark);
    } else {
        append_grey(text, "fill", mark->grey);
        if (mark->even_odd)
            g_string_append(text, " fill-rule=\"evenodd\"");
    }
    append_path(text, mark->path, height_mm);
    g_string_append(text, "/>\n");
}

/* Marks of one group stand together: those of a motif, or of a scan's the areas and the lines
 * that are in none, which a person edits apart. -1: no group. */
static int group_of(const TapulInk *ink, const TapulMark *mark) {
    if (mark->motif >= 0 || !ink->scan)
        return mark->motif;
    return (int)ink->motifs->len + (mark->kind == TAPUL_MARK_STROKE);
}

/* Drawing order may leave a group and come back to it; an id may stand only once, so later
 * groups carry the name as a class. */
static void open_group(GString *text, const TapulInk *ink, int group, gboolean *seen) {
    static const char *const kinds[] = {"areas", "lines"};
    int motifs = (int)ink->motifs->len;
    const TapulMotif *motif =
        group < motifs ? g_ptr_array_index(ink->motifs, (guint)group) : NULL;
    g_autofree char *name = g_markup_escape_text(motif ? motif->id : kinds[group - motifs], -1);
    g_string_append_printf(text, "<g %s=\"%s\">\n", seen[group] ? "class" : "id", name);
    seen[group] = TRUE;
}

static GString *compose(const TapulInk *ink) {
    GString *text = g_string_new("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                                 "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"");
    append_number(text, ink->width_mm);
    g_string_append(text, "mm\" height=\"");
    append_number(text, ink->height_mm);
    g_string_append(text, "mm\" viewBox=\"0 0 ");
    append_number(text, ink->width_mm);
    g_string_append_c(text, ' ');
    append_number(text, ink->height_mm);
    g_string_append(text, "\">\n");
    g_autofree gboolean *seen = g_new0(gboolean, ink->motifs->len + 2);
    int open = -1;
    for (guint i = 0; i < ink->marks->len; i++) {
        const TapulMark *mark = g_ptr_array_index(ink->marks, i);
        int group = group_of(ink, mark);
        if (group != open) {
            if (open >= 0)
                g_string_append(text, "</g>\n");
            if (group >= 0)
                open_group(text, ink, group, seen);
            open = group;
        }
        append_mark(text, mark, ink->height_mm);
    }
    g_string_append(text, open >= 0 ? "</g>\n</svg>\n" : "</svg>\n");
    return text;
}

gboolean tapul_ink_write_svg(const TapulInk *ink, const char *path, GError **error) {
    /* Renaming a new file onto a device or a folder would replace or fail, never write. */
    if (g_file_test(path, G_FILE_TEST_EXISTS) && !g_file_test(path, G_FILE_TEST_IS_REGULAR)) {
        g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_FILE,
                    "%s: cannot be written: is there already, and is no file", path);
        return FALSE;
    }
    GString *text = compose(ink);
    g_autoptr(GError) refused = NULL;
    /* GLib writes to a temporary name and renames. */
    gboolean written = g_file_set_contents(path, text->str, (gssize)text->len, &refused);
    g_string_free(text, TRUE);
    if (!written)
        g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_FILE, "%s: cannot be written: %s",
                    path, refused->message);
    return written;
}
