/* tapul rectify CASE: brings a case's photographs on to its plate's development, with the
 * prints laid over them. */
#include "cli/verbs.h"

#include <glib/gstdio.h>
#include <string.h>
#include <tapul/case.h>
#include <tapul/sheets.h>

#define AS_THE_PHOTOGRAPHS -1e9 /* no --pixel was given */

static double pixel_mm = AS_THE_PHOTOGRAPHS;
static gboolean enhance;
static char *format;

/* Points that are this many picking errors off as a whole tell that something else is wrong;
 * the rounding of tape readings alone comes to some (common practice, no source). */
#define MANY_SDS 4.0

static const GOptionEntry entries[] = {
    {"pixel", 0, 0, G_OPTION_ARG_DOUBLE, &pixel_mm,
     "size of the picture's pixels on the metal, mm (default: as fine as the photographs bear)",
     "MM"},
    {"enhance", 0, 0, G_OPTION_ARG_NONE, &enhance,
     "bring out worn etching: by local contrast, or by the relief where lamps are given", NULL},
    {"format", 0, 0, G_OPTION_ARG_STRING, &format, "png or tiff (default png)", "F"},
    {0},
};

static gboolean check_options(GError **error) {
    if (pixel_mm != AS_THE_PHOTOGRAPHS && !(pixel_mm >= 0.01 && pixel_mm <= 10)) {
        g_set_error(error, TAPUL_USAGE_ERROR, 0, "--pixel %g is not between 0.01 and 10 mm",
                    pixel_mm);
        return FALSE;
    }
    if (format && strcmp(format, "png") != 0 && strcmp(format, "tiff") != 0) {
        g_set_error(error, TAPUL_USAGE_ERROR, 0, "--format %s: permitted: png, tiff", format);
        return FALSE;
    }
    return TRUE;
}

/* --- Files --- */

static gboolean draw(const TapulCase *question, const TapulRectified *rectified,
                     const GPtrArray *laid, const char *folder, GPtrArray *files,
                     GError **error) {
    g_autoptr(GArray) layings = tapul_overlay_layings(question, laid);
    TapulRectifiedSheet sheet = {
        .title = question->title,
        .credit = question->credit,
        .ground = &question->ground,
        .rectified = rectified,
        .enhanced = enhance,
        .n_photos = (int)question->photos->len,
        .photos = (TapulPhoto *const *)question->photos->pdata,
        .n_layings = (int)layings->len,
        .layings = (const TapulOverlayLaying *)(const void *)layings->data,
    };
    g_autoptr(TapulPage) first = tapul_sheet_rectified(&sheet);
    g_autoptr(TapulPage) second = tapul_sheet_resolution(&sheet);
    TapulPage *pages[] = {first, second};
    guint drawn = files->len;
    g_ptr_array_add(files, g_build_filename(folder, "rectified.svg", NULL));
    g_ptr_array_add(files, g_build_filename(folder, "resolution.svg", NULL));
    g_ptr_array_add(files, g_build_filename(folder, "rectified.pdf", NULL));
    return tapul_pages_write(pages, (const char *const *)files->pdata + drawn, 2,
                             g_ptr_array_index(files, drawn + 2), error);
}

static gboolean write_all(const TapulCase *question, const TapulRectified *rectified,
                          const GPtrArray *laid, const char *folder, GPtrArray *files,
                          GError **error) {
    gboolean tiff = format && strcmp(format, "tiff") == 0;
    const char *names[] = {tiff ? "rectified.tiff" : "rectified.png",
                           tiff ? "rectified.tfw" : "rectified.pgw"};
    for (guint i = 0; i < G_N_ELEMENTS(names); i++)
        g_ptr_array_add(files, g_build_filename(folder, names[i], NULL));
    tapul_show_progress(0, "writing", NULL);
    if (!tapul_rectified_write(rectified, g_ptr_array_index(files, 0), error))
        return FALSE;
    if (draw(question, rectified, laid, folder, files, error))
        return TRUE;
    /* Half of a result would pass for the whole. */
    for (guint i = 0; i < G_N_ELEMENTS(names); i++)
        g_unlink(g_ptr_array_index(files, i));
    return FALSE;
}

/* --- The report --- */

static void add_camera(JsonBuilder *builder, const TapulPhoto *photo) {
    json_builder_set_member_name(builder, "camera");
    json_builder_begin_object(builder);
    tapul_report_number(builder, "focal_px", photo->fit.camera.focal_px, 2);
    tapul_report_number(builder, "k1", photo->fit.camera.k1, 6);
    json_builder_end_object(builder);
    tapul_report_number(builder, "rms_px", photo->fit.rms_px, 4);
    tapul_report_number(builder, "loo_px", photo->fit.loo_px, 4);
    tapul_report_number(builder, "loo_mm", photo->fit.loo_mm, 4);
}

static const TapulSight *bad_sight(const TapulPhoto *photo) {
    return photo->fit.set_aside >= 0
               ? &g_array_index(photo->sights, TapulSight, photo->fit.set_aside)
               : NULL;
}

static void add_photo(JsonBuilder *builder, const TapulPhoto *photo) {
    const TapulSight *bad = bad_sight(photo);
    json_builder_begin_object(builder);
    tapul_report_text(builder, "file", photo->file);
    tapul_report_integer(builder, "points", photo->sights->len);
    add_camera(builder, photo);
    tapul_report_text(builder, "set_aside", bad ? bad->name : NULL);
    json_builder_end_object(builder);
}

static void add_notes(GPtrArray *notes, const TapulCase *question) {
    for (guint i = 0; i < question->photos->len; i++) {
        const TapulPhoto *photo = g_ptr_array_index(question->photos, i);
        const TapulSight *bad = bad_sight(photo);
        if (bad)
            g_ptr_array_add(
                notes, g_strdup_printf("%s: the point '%s' is %.1f px from where the camera "
                                       "of the others sees it, and was set aside",
                                       photo->file, bad->name, bad->residual_px));
        if (photo->fit.rms_px > MANY_SDS * photo->options.pick_sd_px)
            g_ptr_array_add(
                notes, g_strdup_printf(
                           "%s: the points agree to %.1f px only, where %.1f px of picking "
                           "was expected (pick_sd_px): points misnamed, or a plate of "
                           "another size or form? What is shown may be off by as much",
                           photo->file, photo->fit.rms_px, photo->options.pick_sd_px));
        if (enhance)
            g_ptr_array_add(
                notes, g_strdup_printf(
                           "%s: enhanced by %s; the greys are not the metal's own", photo->file,
                           photo->lamps->len > 0
                               ? "the relief that its lamps show (photometric stereo)"
                               : "local contrast"));
    }
    tapul_note_fit(notes, question->plate);
    for (guint i = 0; i < question->layings->len; i++)
        if (((const TapulCaseLaying *)g_ptr_array_index(question->layings, i))->show !=
            TAPUL_SHOW_INK)
            g_ptr_array_add(notes, g_strdup_printf("laying %u: drawn by its lines here, its "
                                                   "picture is shown by tapul lay",
                                                   i + 1));
}

static JsonNode *report(const TapulCase *question, const TapulRectified *rectified,
                        GPtrArray *files) {
    g_autoptr(GPtrArray) notes = g_ptr_array_new_with_free_func(g_free);
    JsonBuilder *builder = tapul_report_begin("rectify");
    tapul_report_text(builder, "title", question->title);
    tapul_report_text(builder, "plate", tapul_plate_name(question->plate));
    tapul_report_fit(builder, question->plate);
    tapul_report_text(builder, "development",
                      tapul_development_rule_name(question->development->rule));
    add_camera(builder, g_ptr_array_index(question->photos, 0));
    json_builder_set_member_name(builder, "photos");
    json_builder_begin_array(builder);
    for (guint i = 0; i < question->photos->len; i++)
        add_photo(builder, g_ptr_array_index(question->photos, i));
    json_builder_end_array(builder);
    tapul_report_number(builder, "seen_share", rectified->seen_share, 5);
    tapul_report_number(builder, "grazing_share", rectified->grazing_share, 5);
    tapul_report_number(builder, "pixel_mm", rectified->pixel_mm, 6);
    tapul_report_integer(builder, "width_px", rectified->width_px);
    tapul_report_integer(builder, "height_px", rectified->height_px);
    add_notes(notes, question);
    tapul_report_notes(builder, notes);
    g_ptr_array_add(files, NULL);
    tapul_report_files(builder, (char *const *)files->pdata);
    return tapul_report_end(builder);
}

static JsonNode *rectify(const TapulCall *call, const TapulCase *question, GError **error) {
    TapulCaseLayOptions lay_options = tapul_case_lay_options_defaults();
    lay_options.progress = tapul_show_progress;
    TapulRectifyOptions options = tapul_rectify_options_defaults();
    options.pixel_mm = pixel_mm == AS_THE_PHOTOGRAPHS ? 0 : pixel_mm;
    options.enhance = enhance;
    options.progress = tapul_show_progress;
    g_autoptr(GPtrArray) files = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GPtrArray) laid = tapul_case_lay(question, &lay_options, error);
    if (!laid)
        return NULL;
    g_autoptr(TapulRectified) rectified =
        tapul_rectify(question->plate, question->development, question->finder,
                      (TapulPhoto *const *)question->photos->pdata, (int)question->photos->len,
                      &options, error);
    g_autofree char *folder = rectified ? tapul_output_folder(call, error) : NULL;
    if (!folder || !write_all(question, rectified, laid, folder, files, error))
        return NULL;
    return report(question, rectified, files);
}

static JsonNode *run(const TapulCall *call, GError **error) {
    TapulCaseOptions options = tapul_case_options_defaults();
    options.progress = tapul_show_progress;
    if (!check_options(error))
        return NULL;
    g_autoptr(TapulCase) question = tapul_case_load(call->file, &options, error);
    if (!question)
        return NULL;
    if (question->photos->len == 0) {
        g_set_error(error, TAPUL_CASE_ERROR, TAPUL_CASE_ERROR_FILE,
                    "%s: the case has no photograph: 'photo' or 'photos' is missing",
                    call->file);
        return NULL;
    }
    return rectify(call, question, error);
}

const TapulVerbEntry tapul_verb_rectify = {
    "rectify", "CASE", "brings a case's photographs on to its plate laid flat", entries, run};
