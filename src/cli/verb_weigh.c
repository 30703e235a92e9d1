/* tapul weigh CASE: what pairs, lines and motifs say about whether a print was the source of
 * the design on a case's plate. */
#include "cli/verbs.h"
#include "cli/weigh_files.h"
#include "cli/weigh_report.h"

/* Fewer draws tell no p of 0.01, no interval's ends; more take minutes and change no word. */
#define FEWEST_PERMUTATIONS 99
#define FEWEST_BOOTSTRAPS   200
#define MOST_DRAWS          1000000

static char *pool, *image;
static int permutations = 10000, bootstraps = 2000;
static gint64 seed = 1;

static const GOptionEntry entries[] = {
    {"pool", 0, 0, G_OPTION_ARG_FILENAME, &pool, "unrelated prints, for a likelihood ratio",
     "FOLDER"},
    {"permutations", 0, 0, G_OPTION_ARG_INT, &permutations,
     "relabellings of the pairs (default 10000)", "N"},
    {"bootstraps", 0, 0, G_OPTION_ARG_INT, &bootstraps, "draws of each interval (default 2000)",
     "N"},
    {"seed", 0, 0, G_OPTION_ARG_INT64, &seed, "of all random draws (default 1)", "N"},
    {"image", 0, 0, G_OPTION_ARG_STRING, &image,
     "what the annotations point to (default: the print's file)", "IRI"},
    {0},
};

static gboolean take_draws(const char *name, int given, int fewest, int *draws,
                           GError **error) {
    if (given < fewest || given > MOST_DRAWS) {
        g_set_error(error, TAPUL_USAGE_ERROR, 0, "%s %d: %d to %d is permitted", name, given,
                    fewest, MOST_DRAWS);
        return FALSE;
    }
    *draws = given;
    return TRUE;
}

/* Told before the long work, and without a tracing too, when the pool is not read. */
static gboolean check_pool(GError **error) {
    if (!pool || g_file_test(pool, G_FILE_TEST_IS_DIR))
        return TRUE;
    g_set_error(error, G_FILE_ERROR, G_FILE_ERROR_NOENT, "%s: --pool: there is no such folder",
                pool);
    return FALSE;
}

static gboolean take_options(TapulWeighOptions *options, GError **error) {
    *options = tapul_weigh_options_defaults();
    options->pool = pool;
    options->progress = tapul_show_progress;
    if (seed < 0 || seed > G_MAXUINT32) {
        g_set_error(error, TAPUL_USAGE_ERROR, 0,
                    "--seed %" G_GINT64_FORMAT ": 0 to %u is permitted", seed, G_MAXUINT32);
        return FALSE;
    }
    options->seed = (guint64)seed;
    return check_pool(error) &&
           take_draws("--permutations", permutations, FEWEST_PERMUTATIONS,
                      &options->permutations, error) &&
           take_draws("--bootstraps", bootstraps, FEWEST_BOOTSTRAPS, &options->bootstraps,
                      error);
}

/* Why a print has no verdict, or no likelihood ratio. */
static void note_print(GPtrArray *notes, const TapulCase *question,
                       const TapulPrintEvidence *found) {
    const TapulPrint *print = g_ptr_array_index(question->prints, (guint)found->print);
    const TapulLikelihoodRatio *ratio = &found->likelihood_ratio;
    tapul_note_size(notes, print->id, print->ink);
    if (found->hypotheses->len == 0)
        g_ptr_array_add(notes, g_strdup(found->verdict));
    else if (!ratio->has && ratio->words)
        g_ptr_array_add(notes, g_strdup_printf("print '%s': likelihood ratio: %s", print->id,
                                               ratio->words));
}

static void note_missing(GPtrArray *notes, const TapulCase *question,
                         const TapulEvidence *evidence) {
    for (guint i = 0; i < evidence->prints->len; i++)
        note_print(notes, question, g_ptr_array_index(evidence->prints, i));
    if (!question->found)
        g_ptr_array_add(notes, g_strdup("the case has no tracing ('found'): lines and motifs "
                                        "are not compared, and there is no likelihood ratio"));
    else if (!pool)
        g_ptr_array_add(notes, g_strdup("no pool of unrelated prints is given (--pool): there "
                                        "is no likelihood ratio"));
}

static JsonNode *report(const TapulCase *question, const TapulEvidence *evidence,
                        GPtrArray *files) {
    g_autoptr(GPtrArray) notes = g_ptr_array_new_with_free_func(g_free);
    JsonBuilder *builder = tapul_report_begin("weigh");
    tapul_report_text(builder, "title", question->title);
    tapul_report_text(builder, "plate", tapul_plate_name(question->plate));
    tapul_report_number(builder, "pick_sd_mm", question->pick_sd_mm, 3);
    tapul_report_evidence(builder, question, evidence);
    note_missing(notes, question, evidence);
    tapul_note_fit(notes, question->plate);
    tapul_report_notes(builder, notes);
    g_ptr_array_add(files, NULL);
    tapul_report_files(builder, (char *const *)files->pdata);
    return tapul_report_end(builder);
}

static JsonNode *run(const TapulCall *call, GError **error) {
    TapulWeighOptions options;
    TapulCaseOptions case_options = tapul_case_options_defaults();
    case_options.progress = tapul_show_progress;
    if (!take_options(&options, error))
        return NULL;
    g_autoptr(TapulCase) question = tapul_case_load(call->file, &case_options, error);
    g_autoptr(TapulEvidence) evidence =
        question ? tapul_weigh(question, &options, error) : NULL;
    g_autoptr(GPtrArray) files = g_ptr_array_new_with_free_func(g_free);
    g_autofree char *folder = evidence ? tapul_output_folder(call, error) : NULL;
    if (!folder || !tapul_write_weighed(question, evidence, image, folder, files, error))
        return NULL;
    return report(question, evidence, files);
}

const TapulVerbEntry tapul_verb_weigh = {
    "weigh", "CASE", "weighs whether a print was the source of a design", entries, run};
