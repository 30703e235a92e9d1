/* tapul pounce CASE: the maker's papers: patterns that lie flat on the metal, the design on
 * them at 1:1, and the resist for etching it. */
#include "cli/pounce_files.h"
#include "cli/pounce_report.h"

#include <string.h>

static char *paper, *cuts;
static gboolean reversed, mesh;

static const GOptionEntry entries[] = {
    {"paper", 0, 0, G_OPTION_ARG_STRING, &paper, "A4, A3 or roll, over the case's own", "NAME"},
    {"reversed", 0, 0, G_OPTION_ARG_NONE, &reversed,
     "papers to be laid on face down, whatever the case says", NULL},
    {"cuts", 0, 0, G_OPTION_ARG_STRING, &cuts,
     "auto: find cuts, whatever the case gives; none: one paper, whatever it stretches", "HOW"},
    {"mesh", 0, 0, G_OPTION_ARG_NONE, &mesh,
     "also each piece as OBJ: v the plate, vt the paper, in mm", NULL},
    {0},
};

static gboolean is_one_of(const char *option, const char *value, const char *const *words,
                          GError **error) {
    g_autofree char *permitted = NULL;
    if (!value || g_strv_contains(words, value))
        return TRUE;
    permitted = g_strjoinv(", ", (char **)words);
    g_set_error(error, TAPUL_USAGE_ERROR, 0, "--%s %s: permitted: %s", option, value,
                permitted);
    return FALSE;
}

static gboolean check_options(GError **error) {
    static const char *const papers[] = {"A4", "A3", "roll", NULL};
    static const char *const ways[] = {"auto", "none", NULL};
    return is_one_of("paper", paper, papers, error) && is_one_of("cuts", cuts, ways, error);
}

/* The options of the call instead of what the case says. */
static void take_options(TapulCase *question) {
    TapulCasePounce *asked = &question->pounce;
    if (paper) {
        g_free(asked->paper);
        asked->paper = g_strdup(paper);
    }
    if (reversed)
        asked->face_down = TRUE;
    if (cuts)
        g_ptr_array_set_size(question->cuts, 0);
    asked->uncut = cuts && strcmp(cuts, "none") == 0;
}

static JsonNode *make(const TapulCall *call, const TapulCase *question, GError **error) {
    TapulPounceProgress progress = {tapul_show_progress, NULL};
    g_autoptr(GPtrArray) files = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(TapulPounce) pounce = tapul_pounce_new(question, &progress, error);
    if (!pounce)
        return NULL;
    g_autoptr(GPtrArray) notes = tapul_pounce_notes(question, pounce);
    g_autofree char *folder = tapul_output_folder(call, error);
    g_ptr_array_add(notes, NULL);
    TapulPouncePages pages = {question, pounce, (char *const *)notes->pdata};
    if (!folder || !tapul_write_pounce(&pages, mesh, folder, files, error))
        return NULL;
    return tapul_pounce_report(&pages, !call->json, files);
}

static JsonNode *run(const TapulCall *call, GError **error) {
    TapulCaseOptions options = tapul_case_options_defaults();
    options.progress = tapul_show_progress;
    options.leave_cuts = TRUE;
    if (!check_options(error))
        return NULL;
    g_autoptr(TapulCase) question = tapul_case_load(call->file, &options, error);
    if (!question)
        return NULL;
    take_options(question);
    return make(call, question, error);
}

const TapulVerbEntry tapul_verb_pounce = {
    "pounce", "CASE", "makes the maker's papers: patterns that lie flat, resist, tiles",
    entries, run};
