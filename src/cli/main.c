/* tapul VERB FILE [options]: finds the verb, reads its options, runs it, prints its report.
 * Exit status: 0 done, 1 the input is at fault, 2 wrong usage, 3 a fault of the program's own.
 */
#include "cli/verbs.h"

#include <locale.h>
#include <stdio.h>
#include <string.h>

G_DEFINE_QUARK(tapul - usage - error - quark, tapul_usage_error)

enum { EXIT_DONE, EXIT_INPUT, EXIT_USAGE, EXIT_OURS };

static const TapulVerbEntry *const verbs[] = {
    &tapul_verb_plate, &tapul_verb_develop, &tapul_verb_ink,
    &tapul_verb_lay,   &tapul_verb_lift,    &tapul_verb_rectify,
    &tapul_verb_weigh, &tapul_verb_sheet,   &tapul_verb_pounce};

static void print_help(FILE *stream) {
    fprintf(stream, "tapul VERB FILE [options]\n\n"
                    "Takes a flat engraved print to the curved plate that carries its design, "
                    "and back.\n\n");
    for (guint i = 0; i < G_N_ELEMENTS(verbs); i++)
        fprintf(stream, "  %-8s %-5s %s\n", verbs[i]->name, verbs[i]->argument,
                verbs[i]->summary);
    fprintf(stream, "\n  tapul VERB --help   the options of a verb\n"
                    "  tapul --version     the version\n\n"
                    "Lengths are in mm. Exit status: 0 done, 1 the input is at fault, 2 wrong "
                    "usage, 3 a fault of "
                    "tapul's own.\nThe manual page tapul(1) tells the file formats and the "
                    "fields of all reports.\n");
}

static const TapulVerbEntry *find_verb(const char *name) {
    for (guint i = 0; i < G_N_ELEMENTS(verbs); i++)
        if (strcmp(verbs[i]->name, name) == 0)
            return verbs[i];
    return NULL;
}

static void call_clear(TapulCall *call) {
    g_free(call->file);
    g_free(call->out);
}

static gboolean read_call(const TapulVerbEntry *verb, int *argc, char ***argv, TapulCall *call,
                          GError **error) {
    g_auto(GStrv) rest = NULL;
    const GOptionEntry common[] = {
        {"out", 'o', 0, G_OPTION_ARG_FILENAME, &call->out,
         "write to this folder (default output/<name>)", "DIR"},
        {"json", 0, 0, G_OPTION_ARG_NONE, &call->json,
         "print the report as JSON, and nothing else", NULL},
        {G_OPTION_REMAINING, 0, 0, G_OPTION_ARG_FILENAME_ARRAY, &rest, NULL, verb->argument},
        {0},
    };
    g_autoptr(GOptionContext) context = g_option_context_new(NULL);
    g_autofree char *summary = g_strdup_printf("tapul %s: %s", verb->name, verb->summary);
    g_option_context_set_summary(context, summary);
    if (verb->entries)
        g_option_context_add_main_entries(context, verb->entries, NULL);
    g_option_context_add_main_entries(context, common, NULL);
    if (!g_option_context_parse(context, argc, argv, error))
        return FALSE;
    if (!rest || !rest[0] || rest[1]) {
        g_set_error(error, TAPUL_USAGE_ERROR, 0,
                    "%s takes one %s, %u were given; see 'tapul %s --help'", verb->name,
                    verb->argument, rest ? g_strv_length(rest) : 0, verb->name);
        return FALSE;
    }
    call->file = g_strdup(rest[0]);
    return TRUE;
}

/* Each line of a message names its own file and line. */
static void print_error(const GError *error) {
    g_auto(GStrv) lines = g_strsplit(error->message, "\n", -1);
    for (guint i = 0; lines[i]; i++)
        fprintf(stderr, "tapul: %s\n", lines[i]);
}

static int exit_status(const GError *error) {
    if (error->domain == G_OPTION_ERROR || error->domain == TAPUL_USAGE_ERROR)
        return EXIT_USAGE;
    if (g_error_matches(error, TAPUL_DEVELOP_ERROR, TAPUL_DEVELOP_ERROR_NUMERIC))
        return EXIT_OURS;
    return EXIT_INPUT;
}

static int run_verb(const TapulVerbEntry *verb, int argc, char **argv) {
    TapulCall call = {0};
    g_autoptr(GError) error = NULL;
    JsonNode *report = NULL;

    g_autofree char *name = g_strdup_printf("tapul %s", verb->name);
    g_set_prgname(name);
    if (read_call(verb, &argc, &argv, &call, &error))
        report = verb->run(&call, &error);
    tapul_end_progress();
    if (report) {
        tapul_report_print(report, call.json);
        json_node_unref(report);
    }
    call_clear(&call);
    if (!error)
        return EXIT_DONE;
    print_error(error);
    return exit_status(error);
}

int main(int argc, char **argv) {
    setlocale(LC_CTYPE, "");
    if (argc < 2) {
        print_help(stderr);
        return EXIT_USAGE;
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0 ||
        strcmp(argv[1], "help") == 0) {
        print_help(stdout);
        return EXIT_DONE;
    }
    if (strcmp(argv[1], "--version") == 0) {
        printf("tapul %s\n", TAPUL_VERSION);
        return EXIT_DONE;
    }
    const TapulVerbEntry *verb = find_verb(argv[1]);
    if (!verb) {
        fprintf(stderr, "tapul: there is no verb '%s'; 'tapul --help' lists them\n", argv[1]);
        return EXIT_USAGE;
    }
    return run_verb(verb, argc - 1, argv + 1);
}
