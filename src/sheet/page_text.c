/* Text in one serif face: measured and broken into lines with Pango.
 *
 * Page layout asks it for widths before anything is drawn; page_cairo.c draws with the same
 * layouts.
 */
#include "sheet/page_text.h"

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

PangoLayout *tapul_text_layout(cairo_t *cr, const char *text, const TapulType *type) {
    PangoContext *context = new_context(cr);
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
    pango_layout_set_text(layout, text, -1);
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

GPtrArray *tapul_page_break_lines(const char *text, double width_mm, const TapulType *type) {
    GPtrArray *lines = g_ptr_array_new_with_free_func(g_free);
    g_autofree char *valid = g_utf8_make_valid(text, -1);
    PangoLayout *layout = tapul_text_layout(NULL, valid, type);
    /* Pango takes a negative width for no limit. */
    pango_layout_set_width(layout,
                           (int)(fmax(width_mm, 0) * TAPUL_LAYOUT_UNITS_PER_MM * PANGO_SCALE));
    pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    for (GSList *l = pango_layout_get_lines_readonly(layout); l; l = l->next) {
        const PangoLayoutLine *line = l->data;
        char *piece = g_strndup(valid + line->start_index, (gsize)line->length);
        g_ptr_array_add(lines, g_strchomp(piece));
    }
    g_object_unref(layout);
    return lines;
}
