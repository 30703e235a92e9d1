/* tapul ink FILE: reads a print and tells what ink it holds. */
#include "cli/verbs.h"

#include <tapul/ink.h>

#include <math.h>
#include <stdio.h>

static char *plate_mark, *ruler, *crop, *svg_file;
/* No number that a person gives, nor nan. */
#define NOT_GIVEN (-G_MAXDOUBLE)
static double dpi = NOT_GIVEN, k = NOT_GIVEN, window_mm = NOT_GIVEN, speck_mm = NOT_GIVEN;
static gboolean whole, areas;
static int page = 1;

static const GOptionEntry entries[] = {
    {"plate-mark", 0, 0, G_OPTION_ARG_STRING, &plate_mark,
     "size of the plate mark in mm, e.g. 92x128 (default: the page)", "WxH"},
    {"page", 0, 0, G_OPTION_ARG_INT, &page, "page of a PDF (default 1)", "N"},
    {"svg", 0, 0, G_OPTION_ARG_FILENAME, &svg_file, "write the ink as an SVG, true to size",
     "OUT"},
    {"dpi", 0, 0, G_OPTION_ARG_DOUBLE, &dpi,
     "scan: its pixels to the inch (default: as its file says)", "N"},
    {"ruler", 0, 0, G_OPTION_ARG_STRING, &ruler,
     "scan: two places in pixels, and how many mm lie between them", "X1,Y1,X2,Y2,MM"},
    {"crop", 0, 0, G_OPTION_ARG_STRING, &crop,
     "scan: its plate mark, in pixels (default: it is looked for)", "L,T,R,B"},
    {"whole", 0, 0, G_OPTION_ARG_NONE, &whole, "scan: the whole picture is the print", NULL},
    {"areas", 0, 0, G_OPTION_ARG_NONE, &areas, "scan: outlines of all ink, no centre lines",
     NULL},
    {"k", 0, 0, G_OPTION_ARG_DOUBLE, &k, "scan: Sauvola's k, less finds more ink (default 0.2)",
     "K"},
    {"window", 0, 0, G_OPTION_ARG_DOUBLE, &window_mm,
     "scan: window of the threshold (default 3)", "MM"},
    {"speck", 0, 0, G_OPTION_ARG_DOUBLE, &speck_mm,
     "scan: smaller spots are left out (default 0.1)", "MM"},
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

/* So many numbers with commas between them. */
static gboolean read_numbers(const char *option, const char *text, int n, const char *what,
                             double *numbers, GError **error) {
    g_auto(GStrv) parts = g_strsplit(text, ",", n + 1);
    gboolean good = (int)g_strv_length(parts) == n;
    for (int i = 0; i < n && good; i++) {
        char *end;
        numbers[i] = g_ascii_strtod(parts[i], &end);
        good = *parts[i] && *end == '\0' && isfinite(numbers[i]);
    }
    if (!good)
        g_set_error(error, TAPUL_USAGE_ERROR, 0,
                    "%s '%s': %d numbers with commas were expected, %s", option, text, n, what);
    return good;
}

/* 0 would mean that it was not given. */
static gboolean read_positive(const char *option, double given, double *value, GError **error) {
    if (given <= NOT_GIVEN)
        return TRUE;
    if (given > 0) {
        *value = given;
        return TRUE;
    }
    g_set_error(error, TAPUL_USAGE_ERROR, 0, "%s %g; permitted: more than 0", option, given);
    return FALSE;
}

static gboolean read_scan_options(TapulScanOptions *scan, GError **error) {
    double number[5];
    if (ruler) {
        if (!read_numbers("--ruler", ruler, 5, "x1,y1,x2,y2 in pixels and mm", number, error))
            return FALSE;
        scan->ruler_from_px = tapul_vec2(number[0], number[1]);
        scan->ruler_to_px = tapul_vec2(number[2], number[3]);
        scan->ruler_mm = number[4];
        if (scan->ruler_mm <= 0) {
            g_set_error(error, TAPUL_USAGE_ERROR, 0,
                        "--ruler '%s': %g mm; permitted: more than 0", ruler, number[4]);
            return FALSE;
        }
    }
    if (crop) {
        if (!read_numbers("--crop", crop, 4, "left,top,right,bottom in pixels", number, error))
            return FALSE;
        scan->crop_px = (TapulBox){{number[0], number[1]}, {number[2], number[3]}};
        if (number[0] >= number[2] || number[1] >= number[3]) {
            g_set_error(error, TAPUL_USAGE_ERROR, 0,
                        "--crop '%s' is no box: left,top,right,bottom in pixels", crop);
            return FALSE;
        }
    }
    scan->whole = whole;
    scan->sauvola_k = k <= NOT_GIVEN ? scan->sauvola_k : k;
    scan->speck_mm = speck_mm <= NOT_GIVEN ? scan->speck_mm : speck_mm;
    scan->areas_only = areas;
    return read_positive("--dpi", dpi, &scan->dpi, error) &&
           read_positive("--window", window_mm, &scan->window_mm, error);
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

static void add_vector(JsonBuilder *builder, const char *name, TapulVec2 px) {
    json_builder_set_member_name(builder, name);
    json_builder_begin_array(builder);
    json_builder_add_double_value(builder, round(px.x * 1e5) / 1e5);
    json_builder_add_double_value(builder, round(px.y * 1e5) / 1e5);
    json_builder_end_array(builder);
}

static void add_scan(JsonBuilder *builder, const TapulScan *scan) {
    json_builder_set_member_name(builder, "scan");
    json_builder_begin_object(builder);
    tapul_report_text(builder, "file", scan->path);
    tapul_report_text(builder, "kind", scan->kind);
    tapul_report_text(builder, "converted", scan->converted ? scan->converted : "");
    tapul_report_integer(builder, "pages", scan->pages);
    tapul_report_integer(builder, "width_px", scan->width_px);
    tapul_report_integer(builder, "height_px", scan->height_px);
    tapul_report_text(builder, "mark_from", scan->mark_from);
    tapul_report_text(builder, "scale_from", scan->scale_from);
    tapul_report_number(builder, "dpi", scan->dpi, 3);
    tapul_report_number(builder, "skew_deg", scan->skew_rad * 180 / G_PI, 4);
    add_vector(builder, "origin_px", scan->origin_px);
    add_vector(builder, "px_by_x", scan->px_by_x);
    add_vector(builder, "px_by_y", scan->px_by_y);
    json_builder_set_member_name(builder, "areas_only");
    json_builder_add_boolean_value(builder, scan->areas_only);
    tapul_report_number(builder, "sauvola_k", scan->sauvola_k, 4);
    tapul_report_number(builder, "sauvola_r", scan->sauvola_r, 4);
    tapul_report_integer(builder, "window_px", scan->window_px);
    tapul_report_number(builder, "paper_grey", scan->paper_grey, 4);
    tapul_report_integer(builder, "foxing_spots", scan->foxing_spots);
    tapul_report_integer(builder, "specks", scan->specks);
    json_builder_end_object(builder);
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
    if (!read_scan_options(&options.scan, error))
        return NULL;
    options.progress = tapul_show_progress;
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
    if (ink->scan)
        add_scan(builder, ink->scan);
    g_autoptr(GPtrArray) notes = g_ptr_array_new_with_free_func(g_free);
    tapul_note_size(notes, call->file, ink);
    tapul_note_scan(notes, call->file, ink);
    tapul_report_notes(builder, notes);
    tapul_report_files(builder, files);
    return tapul_report_end(builder);
}

const TapulVerbEntry tapul_verb_ink = {
    "ink", "FILE", "reads a print: its lines, areas and motifs", entries, run};
