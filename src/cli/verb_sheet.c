/* tapul sheet CASE: comparison plates for teaching and publication, or a worksheet. */
#include "cli/verbs.h"

#include <glib/gstdio.h>
#include <string.h>
#include <tapul/comparison.h>

/* Enough draws for what became of the motifs, which is all the pages take of the evidence. */
#define PERMUTATIONS 99
#define BOOTSTRAPS   200

/* More pages than any result has. */
#define MOST_EARLIER_PAGES 60

#define LEAST_DPI 20.0
#define MOST_DPI  1200.0

static char *paper, *upright, *layouts;
static double png_dpi;
static gboolean worksheet, inches, words;

static const GOptionEntry entries[] = {
    {"paper", 0, 0, G_OPTION_ARG_STRING, &paper, "A5, A4, A3, A2 or screen, 16:9 (default A4)",
     "NAME"},
    {"upright", 0, 0, G_OPTION_ARG_STRING, &upright,
     "portrait or landscape (default: as the figures like it)", "WAY"},
    {"layouts", 0, 0, G_OPTION_ARG_STRING, &layouts,
     "which of beside,sequence,details,plate,border (default: all the case has)", "LIST"},
    {"worksheet", 0, 0, G_OPTION_ARG_NONE, &worksheet,
     "a worksheet for students instead, its answers on the last page", NULL},
    {"png", 0, 0, G_OPTION_ARG_DOUBLE, &png_dpi, "also a PNG of each page, at so many dpi",
     "DPI"},
    {"words", 0, 0, G_OPTION_ARG_NONE, &words,
     "also words.yaml: all words of the pages, to be put into another language", NULL},
    {"inches", 0, 0, G_OPTION_ARG_NONE, &inches, "scale bars in inches too", NULL},
    {0},
};

/* --- Options --- */

static gboolean take_paper(TapulComparisonOptions *options, GError **error) {
    for (int i = TAPUL_PAPER_A5; paper && i <= TAPUL_PAPER_SCREEN; i++)
        if (g_ascii_strcasecmp(paper, tapul_paper_name((TapulPaper)i)) == 0) {
            options->paper = (TapulPaper)i;
            return TRUE;
        }
    if (paper)
        g_set_error(error, TAPUL_USAGE_ERROR, 0,
                    "--paper %s: permitted: A5, A4, A3, A2, screen", paper);
    return !paper;
}

static gboolean take_upright(TapulComparisonOptions *options, GError **error) {
    if (!upright)
        return TRUE;
    if (strcmp(upright, "portrait") == 0)
        options->upright = TAPUL_UPRIGHT_PORTRAIT;
    else if (strcmp(upright, "landscape") == 0)
        options->upright = TAPUL_UPRIGHT_LANDSCAPE;
    else
        g_set_error(error, TAPUL_USAGE_ERROR, 0, "--upright %s: permitted: portrait, landscape",
                    upright);
    return options->upright != TAPUL_UPRIGHT_AUTO;
}

static unsigned layout_of(const char *name) {
    for (unsigned layout = 1; layout < TAPUL_LAYOUT_ALL; layout <<= 1)
        if (strcmp(name, tapul_layout_name((TapulLayouts)layout)) == 0)
            return layout;
    return 0;
}

static gboolean take_layouts(TapulComparisonOptions *options, GError **error) {
    if (!layouts)
        return TRUE;
    g_auto(GStrv) names = g_strsplit(layouts, ",", -1);
    options->layouts = 0;
    for (int i = 0; names[i]; i++) {
        unsigned layout = layout_of(g_strstrip(names[i]));
        if (!layout) {
            g_set_error(error, TAPUL_USAGE_ERROR, 0,
                        "--layouts: '%s' is none of beside, sequence, details, plate, border",
                        names[i]);
            return FALSE;
        }
        options->layouts |= layout;
    }
    if (options->layouts == 0)
        g_set_error(error, TAPUL_USAGE_ERROR, 0,
                    "--layouts: at least one of beside, sequence, details, plate, border");
    return options->layouts != 0;
}

static gboolean take_options(TapulComparisonOptions *options, GError **error) {
    *options = tapul_comparison_options_defaults();
    options->inches = inches;
    if (png_dpi != 0 && !(png_dpi >= LEAST_DPI && png_dpi <= MOST_DPI)) {
        g_set_error(error, TAPUL_USAGE_ERROR, 0, "--png %g is not between %g and %g dpi",
                    png_dpi, LEAST_DPI, MOST_DPI);
        return FALSE;
    }
    return take_paper(options, error) && take_upright(options, error) &&
           take_layouts(options, error);
}

/* --- Files --- */

static gboolean write_pictures(const GPtrArray *pages, const char *stem, const char *folder,
                               GPtrArray *files, GError **error) {
    for (guint i = 0; png_dpi > 0 && i < pages->len; i++) {
        tapul_show_progress((double)i / pages->len, "drawing pictures", NULL);
        if (!tapul_page_write_png(g_ptr_array_index(pages, i), png_dpi,
                                  tapul_output_file(files, folder, "%s-%u.png", stem, i + 1),
                                  error))
            return FALSE;
    }
    return TRUE;
}

static gboolean write_pages(const GPtrArray *pages, const char *stem, const char *folder,
                            GPtrArray *files, GError **error) {
    for (guint i = 0; i < pages->len; i++)
        tapul_output_file(files, folder, "%s-%u.svg", stem, i + 1);
    tapul_output_file(files, folder, "%s.pdf", stem);
    tapul_show_progress(0, "writing", NULL);
    return tapul_pages_write((TapulPage *const *)pages->pdata,
                             (const char *const *)files->pdata, (int)pages->len,
                             g_ptr_array_index(files, pages->len), error) &&
           write_pictures(pages, stem, folder, files, error);
}

static gboolean write_html(const TapulComparison *comparison, const char *folder,
                           GPtrArray *files, GError **error) {
    if (worksheet)
        return TRUE;
    tapul_output_file(files, folder, "comparison.html");
    return tapul_comparison_write_html(comparison, g_ptr_array_index(files, files->len - 1),
                                       error);
}

static void append_quoted(GString *text, const char *word) {
    g_string_append_c(text, '"');
    for (const char *c = word; *c; c++) {
        if (*c == '"' || *c == '\\')
            g_string_append_c(text, '\\');
        g_string_append_c(text, *c);
    }
    g_string_append_c(text, '"');
}

/* What stands under `sheet: words` of a case, complete. */
static gboolean write_words(const TapulCase *question, const char *folder, GPtrArray *files,
                            GError **error) {
    g_autoptr(GString) text = g_string_new("# Goes into a case, under sheet: give each line's "
                                           "right side in your language.\nwords:\n");
    if (!words)
        return TRUE;
    for (const char *const *word = tapul_case_words(); *word; word++) {
        g_string_append(text, "  ");
        append_quoted(text, *word);
        g_string_append(text, ": ");
        append_quoted(text, tapul_case_word(question, *word));
        g_string_append_c(text, '\n');
    }
    tapul_output_file(files, folder, "words.yaml");
    return g_file_set_contents(g_ptr_array_index(files, files->len - 1), text->str,
                               (gssize)text->len, error);
}

/* Pages of an earlier result that had more of them would pass for this one's. */
static void remove_earlier(const char *stem, const char *folder, guint pages) {
    static const char *const endings[] = {"svg", "png"};
    for (guint i = 1; i <= MOST_EARLIER_PAGES; i++)
        for (guint e = 0; e < G_N_ELEMENTS(endings); e++) {
            g_autofree char *name = g_strdup_printf("%s-%u.%s", stem, i, endings[e]);
            g_autofree char *path = g_build_filename(folder, name, NULL);
            if (i > pages || (e == 1 && png_dpi == 0))
                g_unlink(path);
        }
}

/* All of a result or nothing. */
static gboolean write_all(const TapulComparison *comparison, const GPtrArray *pages,
                          const char *folder, GPtrArray *files, GError **error) {
    const char *stem = worksheet ? "worksheet" : "sheet";
    g_autofree char *draft = tapul_output_draft(folder, error);
    if (!draft)
        return FALSE;
    gboolean written = write_pages(pages, stem, draft, files, error) &&
                       write_html(comparison, draft, files, error) &&
                       write_words(comparison->question, draft, files, error);
    if (!tapul_output_keep(draft, folder, written ? files : NULL, error))
        return FALSE;
    remove_earlier(stem, folder, pages->len);
    return TRUE;
}

/* --- The report --- */

static void add_pages(JsonBuilder *builder, const GPtrArray *pages) {
    tapul_report_integer(builder, "pages", pages->len);
    json_builder_set_member_name(builder, "titles");
    json_builder_begin_array(builder);
    for (guint i = 0; i < pages->len; i++)
        json_builder_add_string_value(builder, tapul_page_title(g_ptr_array_index(pages, i)));
    json_builder_end_array(builder);
}

static JsonNode *report(const TapulComparison *comparison,
                        const TapulComparisonOptions *options, const GPtrArray *pages,
                        const char *unweighed, GPtrArray *files) {
    const TapulCase *question = comparison->question;
    const TapulPage *first = g_ptr_array_index(pages, 0);
    g_autoptr(GPtrArray) notes = g_ptr_array_new_with_free_func(g_free);
    JsonBuilder *builder = tapul_report_begin("sheet");
    tapul_report_text(builder, "title", question->title);
    tapul_report_text(builder, "plate", tapul_plate_name(question->plate));
    tapul_report_text(builder, "paper", tapul_paper_name(options->paper));
    tapul_report_number(builder, "width_mm", tapul_page_width_mm(first), 3);
    tapul_report_number(builder, "height_mm", tapul_page_height_mm(first), 3);
    tapul_report_text(builder, "language", question->sheet.language);
    add_pages(builder, pages);
    for (guint i = 0; i < question->prints->len; i++) {
        const TapulPrint *print = g_ptr_array_index(question->prints, i);
        tapul_note_size(notes, print->file, print->ink);
        tapul_note_scan(notes, print->file, print->ink);
    }
    tapul_note_fit(notes, question->plate);
    if (unweighed)
        g_ptr_array_add(notes, g_strdup(unweighed));
    tapul_report_notes(builder, notes);
    g_ptr_array_add(files, NULL);
    tapul_report_files(builder, (char *const *)files->pdata);
    return tapul_report_end(builder);
}

/* --- What is shown --- */

/* What became of the motifs is told only where a tracing and pairs tell it; where the pairs are
 * too few or stand badly, why not is noted. */
static gboolean weigh(const TapulCase *question, TapulEvidence **evidence, char **unweighed,
                      GError **error) {
    g_autoptr(GError) why = NULL;
    TapulWeighOptions options = tapul_weigh_options_defaults();
    options.permutations = PERMUTATIONS;
    options.bootstraps = BOOTSTRAPS;
    options.progress = tapul_show_progress;
    if (!question->found || question->pairs->len == 0)
        return TRUE;
    *evidence = tapul_weigh(question, &options, &why);
    if (g_error_matches(why, TAPUL_EVIDENCE_ERROR, TAPUL_EVIDENCE_ERROR_PAIRS))
        *unweighed = g_strdup_printf("the motifs were not weighed: %s", why->message);
    else if (why)
        g_propagate_error(error, g_steal_pointer(&why));
    return *evidence || *unweighed;
}

static gboolean rectify(const TapulCase *question, TapulRectified **rectified, GError **error) {
    TapulRectifyOptions options = tapul_rectify_options_defaults();
    options.progress = tapul_show_progress;
    if (question->photos->len == 0)
        return TRUE;
    *rectified = tapul_rectify(question->plate, question->development, question->finder,
                               (TapulPhoto *const *)question->photos->pdata,
                               (int)question->photos->len, &options, error);
    return *rectified != NULL;
}

static JsonNode *show(const TapulCall *call, const TapulComparison *comparison,
                      const TapulComparisonOptions *options, const char *unweighed,
                      GError **error) {
    g_autoptr(GPtrArray) files = g_ptr_array_new_with_free_func(g_free);
    tapul_show_progress(0, "composing pages", NULL);
    g_autoptr(GPtrArray) pages = worksheet ? tapul_worksheet_pages(comparison, options, error)
                                           : tapul_comparison_pages(comparison, options, error);
    g_autofree char *folder = pages ? tapul_output_folder(call, error) : NULL;
    if (!folder || !write_all(comparison, pages, folder, files, error))
        return NULL;
    return report(comparison, options, pages, unweighed, files);
}

static JsonNode *run(const TapulCall *call, GError **error) {
    TapulComparisonOptions options;
    TapulCaseOptions case_options = tapul_case_options_defaults();
    TapulCaseLayOptions lay_options = tapul_case_lay_options_defaults();
    case_options.progress = lay_options.progress = tapul_show_progress;
    lay_options.pictures = TRUE;
    if (!take_options(&options, error))
        return NULL;
    g_autoptr(TapulCase) question = tapul_case_load(call->file, &case_options, error);
    g_autoptr(GPtrArray) laid = question ? tapul_case_lay(question, &lay_options, error) : NULL;
    g_autoptr(TapulEvidence) evidence = NULL;
    g_autoptr(TapulRectified) rectified = NULL;
    g_autofree char *unweighed = NULL;
    if (!laid || !weigh(question, &evidence, &unweighed, error) ||
        !rectify(question, &rectified, error))
        return NULL;
    TapulComparison comparison = {question, laid, evidence, rectified};
    return show(call, &comparison, &options, unweighed, error);
}

const TapulVerbEntry tapul_verb_sheet = {
    "sheet", "CASE", "draws comparison plates for teaching and publication", entries, run};
