/* Text in one serif face: measured and broken into lines with Pango.
 *
 * Page layout asks it for widths before anything is drawn; page_cairo.c draws with the same
 * layouts.
 */
#include "sheet/page_text.h"

#include <string.h>

static PangoContext *new_context(cairo_t *cr) {
    PangoContext *context =
        cr ? pango_cairo_create_context(cr)
           : pango_font_map_create_context(pango_cairo_font_map_get_default());
    /* Hinting would fit the letters to one raster; the page is true at every size. */
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    pango_cairo_context_set_font_options(context, options);
    cairo_font_options_destroy(options);
    pango_context_set_round_glyph_positions(context, FALSE);
    return context;
}

/* What stands for a character that no font here has. */
#define MISSING "\u25a1"

/* Replaces what no font has: Pango would draw its code in a box of its own size. */
static void replace_unknown(PangoLayout *layout, const char *text) {
    GString *known = g_string_new(NULL);
    for (const char *c = text; *c; c = g_utf8_next_char(c)) {
        int bytes = (int)(g_utf8_next_char(c) - c);
        pango_layout_set_text(layout, c, bytes);
        if (pango_layout_get_unknown_glyphs_count(layout) == 0)
            g_string_append_len(known, c, bytes);
        else
            g_string_append(known, MISSING);
    }
    pango_layout_set_text(layout, MISSING, -1);
    gboolean boxed = pango_layout_get_unknown_glyphs_count(layout) == 0;
    if (!boxed)
        g_string_replace(known, MISSING, "?", 0);
    pango_layout_set_text(layout, known->str, (int)known->len);
    g_string_free(known, TRUE);
}

/* Marks that are seen only in the order of what stands beside them (Unicode annex 9, 2.6). */
#define LEFT_TO_RIGHT_MARK 0x200e
#define RIGHT_TO_LEFT_MARK 0x200f

/* As the first strong letter has it (Unicode annex 9, rule P2), asked of GLib alone: the writer
 * of SVG runs without Pango. */
gboolean tapul_page_text_runs_left(const char *text) {
    for (const char *c = text; *c; c = g_utf8_next_char(c)) {
        gunichar letter = g_utf8_get_char(c);
        if (letter == LEFT_TO_RIGHT_MARK || letter == RIGHT_TO_LEFT_MARK)
            return letter == RIGHT_TO_LEFT_MARK;
        if (!g_unichar_isalpha(letter))
            continue;
        switch (g_unichar_get_script(letter)) {
        case G_UNICODE_SCRIPT_ARABIC:
        case G_UNICODE_SCRIPT_HEBREW:
        case G_UNICODE_SCRIPT_SYRIAC:
        case G_UNICODE_SCRIPT_THAANA:
        case G_UNICODE_SCRIPT_NKO:
            return TRUE;
        default:
            return FALSE;
        }
    }
    return FALSE;
}

/* The cut of the face for small sizes has no narrow space that does not break, and a PDF would
 * say apart from its letters what the space stands for, at which poppler takes the part that it
 * is in for ended. The thin space looks the same; the attributes keep it from breaking. */
#define NARROW_SPACE "\u202f"
#define THIN_SPACE   "\u2009"

static char *with_thin_spaces(const char *text, PangoAttrList *attributes) {
    char *thin = g_strdup(text);
    for (char *c = thin; (c = strstr(c, NARROW_SPACE));) {
        memcpy(c, THIN_SPACE, strlen(THIN_SPACE));
        PangoAttribute *together = pango_attr_allow_breaks_new(FALSE);
        together->start_index = (guint)(c - thin);
        c += strlen(THIN_SPACE);
        together->end_index = (guint)(c - thin) + (*c ? (guint)g_utf8_skip[(guchar)*c] : 0);
        pango_attr_list_insert(attributes, together);
    }
    return thin;
}

PangoLayout *tapul_text_layout(cairo_t *cr, const char *text, const TapulType *type) {
    PangoContext *context = new_context(cr);
    /* Never the language of whoever runs the program. */
    pango_context_set_language(
        context, pango_language_from_string(type->language ? type->language : "en"));
    PangoLayout *layout = pango_layout_new(context);
    g_object_unref(context);
    PangoFontDescription *font = pango_font_description_new();
    pango_font_description_set_family_static(font, type->size_mm < TAPUL_TITLE_FROM_MM
                                                       ? TAPUL_FONT_FAMILY
                                                       : TAPUL_TITLE_FONT_FAMILY);
    pango_font_description_set_absolute_size(font, type->size_mm * TAPUL_LAYOUT_UNITS_PER_MM *
                                                       PANGO_SCALE);
    if (type->italic)
        pango_font_description_set_style(font, PANGO_STYLE_ITALIC);
    if (type->bold)
        pango_font_description_set_weight(font, PANGO_WEIGHT_BOLD);
    if (type->small_capitals)
        pango_font_description_set_variant(font, PANGO_VARIANT_SMALL_CAPS);
    pango_layout_set_font_description(layout, font);
    pango_font_description_free(font);
    /* Lining figures: the old-style 1 of this face is easily read as a capital I. In a PDF the
     * italic's ligatures, which overlap themselves, come out struck twice. */
    const char *features = type->italic ? "lnum=1,liga=0" : "lnum=1";
    PangoAttrList *attributes = pango_attr_list_new();
    pango_attr_list_insert(attributes, pango_attr_font_features_new(features));
    g_autofree char *thin = with_thin_spaces(text, attributes);
    pango_layout_set_attributes(layout, attributes);
    pango_attr_list_unref(attributes);
    pango_layout_set_text(layout, thin, -1);
    if (pango_layout_get_unknown_glyphs_count(layout) > 0)
        replace_unknown(layout, thin);
    return layout;
}

static double to_mm(int pango_units) {
    return pango_units / (PANGO_SCALE * TAPUL_LAYOUT_UNITS_PER_MM);
}

double tapul_page_text_width_mm(const char *text, const TapulType *type) {
    g_autofree char *valid = g_utf8_make_valid(text, -1);
    PangoLayout *layout = tapul_text_layout(NULL, valid, type);
    PangoRectangle logical;
    pango_layout_get_extents(layout, NULL, &logical);
    g_object_unref(layout);
    return to_mm(logical.width);
}

/* The part of text, owned, that a line of its layout shows; the layout may have other
 * characters in it, but as many. */
static char *same_part(const char *text, PangoLayout *layout, const PangoLayoutLine *line) {
    const char *shown = pango_layout_get_text(layout), *from = shown + line->start_index;
    glong start = g_utf8_pointer_to_offset(shown, from);
    return g_utf8_substring(text, start,
                            start + g_utf8_pointer_to_offset(from, from + line->length));
}

/* A line on its own, which runs as its paragraph does: where its own letters would not say so,
 * a mark at its start does. */
static char *running_as(gboolean left, char *line) {
    g_strchomp(line);
    if (!*line || tapul_page_text_runs_left(line) == left)
        return line;
    char mark[7] = "";
    g_unichar_to_utf8(left ? RIGHT_TO_LEFT_MARK : LEFT_TO_RIGHT_MARK, mark);
    char *marked = g_strconcat(mark, line, NULL);
    g_free(line);
    return marked;
}

GPtrArray *tapul_page_break_lines(const char *text, double width_mm, const TapulType *type) {
    GPtrArray *lines = g_ptr_array_new_with_free_func(g_free);
    g_autofree char *valid = g_utf8_make_valid(text, -1);
    PangoLayout *layout = tapul_text_layout(NULL, valid, type);
    /* Pango takes a negative width for no limit. */
    pango_layout_set_width(layout,
                           (int)(fmax(width_mm, 0) * TAPUL_LAYOUT_UNITS_PER_MM * PANGO_SCALE));
    pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    gboolean left = tapul_page_text_runs_left(valid);
    for (GSList *l = pango_layout_get_lines_readonly(layout); l; l = l->next) {
        const PangoLayoutLine *line = l->data;
        g_ptr_array_add(lines, running_as(left, same_part(valid, layout, line)));
    }
    g_object_unref(layout);
    return lines;
}
