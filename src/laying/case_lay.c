/* Lays everything a case lays, in the order it is written. */
#include "laying/case_internal.h"

/* The word between a rule and the place it lays at. */
static const char *place_word(TapulLayingRule rule) {
    switch (rule) {
    case TAPUL_LAYING_PINNED:
        return "through";
    case TAPUL_LAYING_BORDERED:
        return "along";
    case TAPUL_LAYING_FILLED:
        return "into";
    default:
        return "from";
    }
}

static char *caption_of(const TapulCaseLaying *laying, const TapulLaidInk *ink) {
    const TapulLayingOptions *options = &laying->options;
    GString *caption = g_string_new(NULL);
    g_string_append_printf(caption, "%s %s %s", tapul_laying_rule_name(options->rule),
                           place_word(options->rule), laying->place);
    if (options->rule == TAPUL_LAYING_PINNED)
        return g_string_free(caption, FALSE);
    if (options->rule == TAPUL_LAYING_BORDERED)
        g_string_append_printf(caption, "; %d repeats", ink->repeats);
    if (options->rule != TAPUL_LAYING_FILLED)
        g_string_append_printf(caption, "; scale %g", options->scale);
    if (options->turn_rad != 0)
        g_string_append_printf(caption, "; turned %g\u00b0", options->turn_rad * 180 / G_PI);
    g_string_append(caption, options->reversed ? "; reversed" : "; direct");
    return g_string_free(caption, FALSE);
}

TapulCaseLayOptions tapul_case_lay_options_defaults(void) {
    return (TapulCaseLayOptions){.tolerance_mm = tapul_lay_ink_options_defaults().tolerance_mm};
}

static void laid_free(gpointer data) {
    TapulCaseLaid *laid = data;
    tapul_laying_free(laid->map);
    tapul_laid_ink_free(laid->ink);
    tapul_laid_picture_free(laid->picture);
    g_free(laid->caption);
    g_free(laid);
}

static void show_picture_progress(double fraction, gpointer data) {
    const TapulCaseLayOptions *options = data;
    options->progress(fraction, "laying a picture", options->progress_data);
}

static gboolean lay_picture(TapulCaseLaid *laid, const TapulInk *ink,
                            const TapulCaseLayOptions *options, GError **error) {
    TapulLayPictureOptions asked = tapul_lay_picture_options_defaults();
    asked.ink_only = options->picture_ink_only;
    asked.progress = options->progress ? show_picture_progress : NULL;
    asked.progress_data = (gpointer)options;
    laid->picture = tapul_lay_picture(laid->map, ink, &asked, error);
    return laid->picture != NULL;
}

static gboolean lay_one(const TapulCase *question, const TapulCaseLaying *laying,
                        TapulCaseLaid *laid, const TapulCaseLayOptions *options,
                        GError **error) {
    const TapulPrint *print = g_ptr_array_index(question->prints, laying->print);
    TapulLayInkOptions asked = tapul_lay_ink_options_defaults();
    asked.tolerance_mm = options->tolerance_mm;
    laid->map = tapul_laying_new(&question->ground, &laying->options, error);
    laid->ink = laid->map ? tapul_lay_ink(laid->map, print->ink, &asked, error) : NULL;
    if (!laid->ink)
        return FALSE;
    laid->caption = caption_of(laying, laid->ink);
    return !options->pictures || laying->show == TAPUL_SHOW_INK ||
           lay_picture(laid, print->ink, options, error);
}

GPtrArray *tapul_case_lay(const TapulCase *question, const TapulCaseLayOptions *options,
                          GError **error) {
    TapulCaseLayOptions defaults = tapul_case_lay_options_defaults();
    if (!options)
        options = &defaults;
    g_autoptr(GPtrArray) all = g_ptr_array_new_with_free_func(laid_free);
    for (guint i = 0; i < question->layings->len; i++) {
        const TapulCaseLaying *laying = g_ptr_array_index(question->layings, i);
        const TapulPrint *print = g_ptr_array_index(question->prints, laying->print);
        TapulCaseLaid *laid = g_new0(TapulCaseLaid, 1);
        g_ptr_array_add(all, laid);
        if (!lay_one(question, laying, laid, options, error)) {
            g_prefix_error(error, "%s: laying %u (%s): ", question->path, i + 1, print->id);
            return NULL;
        }
        if (options->progress)
            options->progress((i + 1.0) / question->layings->len, "laying",
                              options->progress_data);
    }
    return g_steal_pointer(&all);
}
