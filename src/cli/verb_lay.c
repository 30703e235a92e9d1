/* tapul lay CASE: lays a case's prints on its plate, and draws the overlay. */
#include "base/picture.h"
#include "cli/laid_points.h"
#include "cli/verbs.h"

#include <glib/gstdio.h>
#include <tapul/case.h>
#include <tapul/sheets.h>

#define MM_PER_INCH 25.4

static char *points_file;
static gboolean etched;
static double tolerance_mm = 0.02;

static const GOptionEntry entries[] = {
    {"points", 0, 0, G_OPTION_ARG_FILENAME, &points_file,
     "also lay the points of a table (print,x_mm,y_mm); writes laid-points.csv", "IN.csv"},
    {"etched", 0, 0, G_OPTION_ARG_NONE, &etched, "show the design bright on blackened ground",
     NULL},
    {"tolerance", 0, 0, G_OPTION_ARG_DOUBLE, &tolerance_mm,
     "how far laid curves may be off, mm (default 0.02)", "MM"},
    {0},
};

static gboolean draw(const TapulCase *question, const GPtrArray *laid, const char *folder,
                     GPtrArray *files, GError **error) {
    g_autoptr(GArray) layings = tapul_overlay_layings(question, laid);
    g_autofree TapulVec2 *pairs = g_new0(TapulVec2, question->pairs->len);
    for (guint i = 0; i < question->pairs->len; i++)
        pairs[i] = ((const TapulPair *)g_ptr_array_index(question->pairs, i))->developed_mm;
    TapulOverlay overlay = {
        .title = question->title,
        .credit = question->credit,
        .ground = &question->ground,
        .n_layings = (int)layings->len,
        .layings = (const TapulOverlayLaying *)(const void *)layings->data,
        .found = question->found,
        .n_pairs = (int)question->pairs->len,
        .pair_developed_mm = pairs,
        .etched = etched,
    };
    g_autoptr(TapulPage) page = tapul_sheet_overlay(&overlay);
    TapulPage *pages[] = {page};
    g_ptr_array_add(files, g_build_filename(folder, "overlay.svg", NULL));
    g_ptr_array_add(files, g_build_filename(folder, "overlay.pdf", NULL));
    return tapul_pages_write(pages, (const char *const *)files->pdata, 1,
                             g_ptr_array_index(files, 1), error);
}

/* laid-<print>-<n>.png, n counting the case's layings. */
static gboolean write_pictures(const TapulCase *question, const GPtrArray *laid,
                               const char *folder, GPtrArray *files, GError **error) {
    for (guint i = 0; i < laid->len; i++) {
        const TapulCaseLaying *laying = g_ptr_array_index(question->layings, i);
        const TapulPrint *print = g_ptr_array_index(question->prints, laying->print);
        const TapulLaidPicture *picture =
            ((TapulCaseLaid *)g_ptr_array_index(laid, i))->picture;
        if (!picture)
            continue;
        g_autofree char *id = g_strdelimit(g_strdup(print->id), "/\\", '-');
        g_autofree char *name = g_strdup_printf("laid-%s-%u.png", id, i + 1);
        g_autofree char *path = g_build_filename(folder, name, NULL);
        TapulPixels pixels = {picture->width_px, picture->height_px, 4, picture->rgba};
        if (!tapul_pixels_write_png(&pixels, MM_PER_INCH / picture->pixel_mm, path, error))
            return FALSE;
        g_ptr_array_add(files, g_steal_pointer(&path));
    }
    return TRUE;
}

/* All of a result or nothing. */
static gboolean write_all(const TapulCase *question, const GPtrArray *laid, const char *points,
                          const char *folder, GPtrArray *files, GError **error) {
    gboolean written = draw(question, laid, folder, files, error) &&
                       write_pictures(question, laid, folder, files, error);
    if (written && points) {
        g_ptr_array_add(files, g_build_filename(folder, "laid-points.csv", NULL));
        written =
            g_file_set_contents(g_ptr_array_index(files, files->len - 1), points, -1, error);
    }
    for (guint i = 0; !written && i < files->len; i++)
        g_unlink(g_ptr_array_index(files, i));
    return written;
}

static void add_picture_figures(JsonBuilder *builder, const TapulLaidPicture *picture) {
    json_builder_set_member_name(builder, "picture");
    json_builder_begin_object(builder);
    tapul_report_integer(builder, "width_px", picture->width_px);
    tapul_report_integer(builder, "height_px", picture->height_px);
    tapul_report_number(builder, "dpi", MM_PER_INCH / picture->pixel_mm, 3);
    tapul_report_box(builder, "box_mm", picture->box_mm);
    json_builder_end_object(builder);
}

static void add_run(JsonBuilder *builder, TapulLayingRun run) {
    tapul_report_integer(builder, "repeats", run.repeats);
    tapul_report_number(builder, "run_mm", run.run_mm, 3);
    tapul_report_number(builder, "repeat_stretch", run.along, 6);
    tapul_report_number(builder, "off_edge_mm", run.off_edge_mm, 3);
}

static void add_laying(JsonBuilder *builder, const TapulCase *question, const GPtrArray *laid,
                       guint i) {
    const TapulCaseLaying *laying = g_ptr_array_index(question->layings, i);
    const TapulPrint *print = g_ptr_array_index(question->prints, laying->print);
    const TapulCaseLaid *one = g_ptr_array_index(laid, i);
    const TapulLaidInk *ink = one->ink;
    json_builder_begin_object(builder);
    tapul_report_text(builder, "print", print->id);
    tapul_report_text(builder, "rule", tapul_laying_rule_name(laying->options.rule));
    tapul_report_text(builder, "place", laying->place);
    double scale, turn_rad;
    gboolean reversed;
    tapul_laying_placement(one->map, &scale, &turn_rad, &reversed);
    tapul_report_number(builder, "scale", scale, 6);
    tapul_report_number(builder, "turn_deg", turn_rad * 180 / G_PI, 4);
    json_builder_set_member_name(builder, "reversed");
    json_builder_add_boolean_value(builder, reversed);
    if (laying->options.rule == TAPUL_LAYING_BORDERED)
        add_run(builder, tapul_laying_run(one->map));
    tapul_report_number(builder, "ink_length_mm", ink->ink_length_mm, 3);
    tapul_report_number(builder, "laid_length_mm", ink->laid_length_mm, 3);
    json_builder_set_member_name(builder, "stretch");
    json_builder_begin_object(builder);
    tapul_report_number(builder, "min", ink->stretch_min, 6);
    tapul_report_number(builder, "max", ink->stretch_max, 6);
    json_builder_end_object(builder);
    tapul_report_number(builder, "folded_mm", ink->folded_mm, 3);
    tapul_report_number(builder, "beyond_edge_mm", ink->beyond_edge_mm, 3);
    tapul_report_integer(builder, "folded_fills", ink->folded_fills);
    tapul_report_integer(builder, "beyond_edge_fills", ink->beyond_edge_fills);
    if (one->picture)
        add_picture_figures(builder, one->picture);
    json_builder_end_object(builder);
}

static JsonNode *report(const TapulCase *question, const GPtrArray *laid, GPtrArray *files) {
    JsonBuilder *builder = tapul_report_begin("lay");
    tapul_report_text(builder, "title", question->title);
    tapul_report_text(builder, "plate", tapul_plate_name(question->plate));
    tapul_report_fit(builder, question->plate);
    tapul_report_text(builder, "development",
                      tapul_development_rule_name(question->development->rule));
    json_builder_set_member_name(builder, "layings");
    json_builder_begin_array(builder);
    for (guint i = 0; i < question->layings->len; i++)
        add_laying(builder, question, laid, i);
    json_builder_end_array(builder);
    g_autoptr(GPtrArray) notes = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < question->prints->len; i++) {
        const TapulPrint *print = g_ptr_array_index(question->prints, i);
        tapul_note_size(notes, print->file, print->ink);
        tapul_note_scan(notes, print->file, print->ink);
    }
    tapul_note_fit(notes, question->plate);
    tapul_report_notes(builder, notes);
    if (question->found)
        tapul_report_number(builder, "found_beyond_edge_mm", question->found_lost_mm, 3);
    g_ptr_array_add(files, NULL);
    tapul_report_files(builder, (char *const *)files->pdata);
    return tapul_report_end(builder);
}

static JsonNode *lay(const TapulCall *call, const TapulCase *question, GError **error) {
    TapulCaseLayOptions options = tapul_case_lay_options_defaults();
    options.tolerance_mm = tolerance_mm;
    options.pictures = TRUE;
    options.picture_ink_only = etched; /* on blackened ground it is shown bright */
    options.progress = tapul_show_progress;
    g_autoptr(GPtrArray) files = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GPtrArray) laid = tapul_case_lay(question, &options, error);
    if (!laid)
        return NULL;
    g_autofree char *points =
        points_file ? tapul_lay_points(question, laid, points_file, error) : NULL;
    if (points_file && !points)
        return NULL;
    g_autofree char *folder = tapul_output_folder(call, error);
    if (!folder || !write_all(question, laid, points, folder, files, error))
        return NULL;
    return report(question, laid, files);
}

static JsonNode *run(const TapulCall *call, GError **error) {
    TapulCaseOptions options = tapul_case_options_defaults();
    options.progress = tapul_show_progress;
    if (!(tolerance_mm >= 0.001 && tolerance_mm <= 1)) {
        g_set_error(error, TAPUL_USAGE_ERROR, 0, "--tolerance %g is not between 0.001 and 1 mm",
                    tolerance_mm);
        return NULL;
    }
    g_autoptr(TapulCase) question = tapul_case_load(call->file, &options, error);
    if (!question)
        return NULL;
    if (question->layings->len == 0) {
        g_set_error(error, TAPUL_CASE_ERROR, TAPUL_CASE_ERROR_FILE,
                    "%s: the case lays no print: 'layings' is empty", call->file);
        return NULL;
    }
    return lay(call, question, error);
}

const TapulVerbEntry tapul_verb_lay = {
    "lay", "CASE", "lays a case's prints on its plate and draws the overlay", entries, run};
