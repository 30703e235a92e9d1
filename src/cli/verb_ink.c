/* tapul ink FILE: reads a print and tells what ink it holds. */
#include "cli/verbs.h"

#include <tapul/ink.h>

#include <stdio.h>

static char *plate_mark, *svg_file;
static int page = 1;

static const GOptionEntry entries[] = {
    {"plate-mark", 0, 0, G_OPTION_ARG_STRING, &plate_mark,
     "size of the plate mark in mm, e.g. 92x128 (default: the page)", "WxH"},
    {"page", 0, 0, G_OPTION_ARG_INT, &page, "page of a PDF (default 1)", "N"},
    {"svg", 0, 0, G_OPTION_ARG_FILENAME, &svg_file, "write the ink as an SVG, true to size",
     "OUT"},
    {0},
};

static gboolean read_plate_mark(const char *text, TapulInkOptions *options, GError **error) {
    g_auto(GStrv) parts = g_strsplit(text, "x", 3);
    char *end_width = NULL, *end_height = NULL;
    if (g_strv_length(parts) == 2) {
        options->plate_mark_width_mm = g_ascii_strtod(parts[0], &end_width);
        options->plate_mark_height_mm = g_ascii_strtod(parts[1], &end_height);
        if (*parts[0] && *parts[1] && *end_width == '\0' && *end_height == '\0' &&
            options->plate_mark_width_mm >= 1 && options->plate_mark_width_mm <= 3000 &&
            options->plate_mark_height_mm >= 1 && options->plate_mark_height_mm <= 3000)
            return TRUE;
    }
    g_set_error(error, TAPUL_USAGE_ERROR, 0,
                "--plate-mark '%s': width x height in mm was expected, each between 1 and "
                "3000, as in 92x128",
                text);
    return FALSE;
}

static void add_motifs(JsonBuilder *builder, const TapulInk *ink) {
    json_builder_set_member_name(builder, "motifs");
    json_builder_begin_array(builder);
    for (guint i = 0; i < ink->motifs->len; i++) {
        const TapulMotif *motif = g_ptr_array_index(ink->motifs, i);
        json_builder_begin_object(builder);
        tapul_report_text(builder, "id", motif->id);
        tapul_report_integer(builder, "strokes", motif->strokes);
        tapul_report_integer(builder, "fills", motif->fills);
        tapul_report_number(builder, "length_mm", motif->length_mm, 3);
        tapul_report_box(builder, "box_mm", motif->box_mm);
        json_builder_end_object(builder);
    }
    json_builder_end_array(builder);
}

static void add_skipped(JsonBuilder *builder, const TapulInk *ink) {
    json_builder_set_member_name(builder, "skipped");
    json_builder_begin_array(builder);
    for (guint i = 0; i < ink->skipped->len; i++) {
        const TapulSkipped *skipped = g_ptr_array_index(ink->skipped, i);
        json_builder_begin_object(builder);
        tapul_report_text(builder, "what", skipped->what);
        tapul_report_integer(builder, "count", skipped->count);
        tapul_report_box(builder, "box_mm", skipped->box_mm);
        json_builder_end_object(builder);
    }
    json_builder_end_array(builder);
}

static JsonNode *run(const TapulCall *call, GError **error) {
    TapulInkOptions options = tapul_ink_options_defaults();
    if (plate_mark && !read_plate_mark(plate_mark, &options, error))
        return NULL;
    if (page < 1) {
        g_set_error(error, TAPUL_USAGE_ERROR, 0, "--page %d is not a page number", page);
        return NULL;
    }
    options.page = page;
    g_autoptr(TapulInk) ink = tapul_ink_read(call->file, &options, error);
    if (!ink || (svg_file && !tapul_ink_write_svg(ink, svg_file, error)))
        return NULL;

    char *const files[] = {svg_file, NULL};
    JsonBuilder *builder = tapul_report_begin("ink");
    tapul_report_number(builder, "width_mm", ink->width_mm, 4);
    tapul_report_number(builder, "height_mm", ink->height_mm, 4);
    tapul_report_integer(builder, "strokes", ink->strokes);
    tapul_report_integer(builder, "fills", ink->fills);
    tapul_report_number(builder, "ink_length_mm", ink->ink_length_mm, 3);
    tapul_report_number(builder, "ink_area_mm2", ink->ink_area_mm2, 3);
    add_motifs(builder, ink);
    add_skipped(builder, ink);
    g_autoptr(GPtrArray) notes = g_ptr_array_new_with_free_func(g_free);
    tapul_note_size(notes, call->file, ink);
    tapul_report_notes(builder, notes);
    tapul_report_files(builder, files);
    return tapul_report_end(builder);
}

const TapulVerbEntry tapul_verb_ink = {
    "ink", "FILE", "reads a print: its lines, areas and motifs", entries, run};
