/* How long the maker's papers take, as a person meets them: the demonstration's peascod
 * breastplate with its whole design, from case file to finished tiles, cuts to be found; whole
 * processes, started one after another. Then the stages, by the library in this process,
 * without and with the resist of a dotted ground. */
#include <glib/gstdio.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <tapul/sheets.h>

/* Timed runs after one to warm up; their median and spread are told. */
#define RUNS 3

static int compare(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double run_once(const char *question, const char *out) {
    char *arguments[] = {(char *)g_getenv("TAPUL_PROGRAM"),
                         "pounce",
                         (char *)question,
                         "--out",
                         (char *)out,
                         NULL};
    int status = 0;
    gint64 start = g_get_monotonic_time();
    if (!g_spawn_sync(NULL, arguments, NULL, G_SPAWN_STDOUT_TO_DEV_NULL, NULL, NULL, NULL, NULL,
                      &status, NULL) ||
        status != 0)
        g_error("the program failed");
    return 1e-6 * (double)(g_get_monotonic_time() - start);
}

/* The demonstration's case with its paths made absolute, with or without its resist. */
static void write_case(const char *path, gboolean etched) {
    g_autofree char *root = g_strdup(g_getenv("TAPUL_SOURCE_ROOT"));
    g_autofree char *source =
        g_build_filename(root, "demo-prints/reproduction/case.yaml", NULL);
    g_autofree char *shapes = g_strconcat("plate: ", root, "/shapes/", NULL);
    g_autofree char *prints = g_strconcat("file: ", root, "/demo-prints/prints/", NULL);
    g_autoptr(GError) error = NULL;
    char *given;
    if (!g_file_get_contents(source, &given, NULL, &error))
        g_error("%s", error->message);
    g_autoptr(GString) text = g_string_new(given);
    g_free(given);
    g_string_replace(text, "plate: ../../shapes/", shapes, 0);
    g_string_replace(text, "file: ../prints/", prints, 0);
    if (!etched)
        g_string_truncate(text, (gsize)(strstr(text->str, "pounce:") - text->str));
    if (!g_file_set_contents(path, text->str, -1, &error))
        g_error("%s", error->message);
}

static void time_process(const char *question, const char *out, const char *what) {
    double seconds[RUNS];
    run_once(question, out);
    for (int run = 0; run < RUNS; run++)
        seconds[run] = run_once(question, out);
    qsort(seconds, RUNS, sizeof *seconds, compare);
    printf("case to tiles, %-24s median %.2f s, %.2f to %.2f\n", what, seconds[RUNS / 2],
           seconds[0], seconds[RUNS - 1]);
}

/* --- Stages --- */

typedef struct {
    char stage[64];
    gint64 start_us;
} Watch;

/* Tells how long the stage before took, and starts the next; NULL: none. */
static void tick(Watch *watch, const char *stage) {
    gint64 now_us = g_get_monotonic_time();
    if (stage && strcmp(stage, watch->stage) == 0)
        return;
    if (watch->stage[0])
        printf("  %-30s %7.2f s\n", watch->stage, 1e-6 * (double)(now_us - watch->start_us));
    g_strlcpy(watch->stage, stage ? stage : "", sizeof watch->stage);
    watch->start_us = now_us;
}

static void show(double fraction, const char *stage, gpointer data) {
    (void)fraction;
    tick(data, stage);
}

static void write_pages(GPtrArray *pages_taken, const char *folder) {
    g_autoptr(GPtrArray) pages = pages_taken;
    g_autofree char *path = g_build_filename(folder, "stage.pdf", NULL);
    g_autoptr(GError) error = NULL;
    if (!tapul_page_write_pdf((TapulPage *const *)pages->pdata, (int)pages->len, path, &error))
        g_error("%s", error->message);
}

static void time_stages(const char *path, const char *folder) {
    gint64 start_us = g_get_monotonic_time();
    Watch watch = {"", 0};
    TapulCaseOptions options = tapul_case_options_defaults();
    TapulPounceProgress progress = {show, &watch};
    g_autoptr(GError) error = NULL;
    options.leave_cuts = TRUE;
    tick(&watch, "reading and developing");
    g_autoptr(TapulCase) question = tapul_case_load(path, &options, &error);
    tick(&watch, "finding cuts, laying beside it");
    g_autoptr(TapulPounce) pounce =
        question ? tapul_pounce_new(question, &progress, &error) : NULL;
    if (!pounce)
        g_error("%s", error->message);
    TapulPouncePages pages = {question, pounce, NULL};
    tick(&watch, "summary");
    write_pages(tapul_sheet_pounce_summary(&pages), folder);
    tick(&watch, "tiles");
    write_pages(tapul_sheet_pounce_tiles(&pages), folder);
    for (guint i = 0; pounce->resist && i < pounce->resist->bites->len; i++) {
        tick(&watch, i == 0 ? "resist, first bite" : "resist, further bites");
        write_pages(tapul_sheet_pounce_resist(&pages, (int)i), folder);
    }
    tick(&watch, "layers");
    g_ptr_array_unref(tapul_sheet_pounce_layers(&pages));
    tick(&watch, NULL);
    printf("  %-30s %7.2f s\n", "together", 1e-6 * (double)(g_get_monotonic_time() - start_us));
    printf("  %u papers, %u tiles, stretch %.2f %%\n", pounce->pieces->len,
           pounce->tiling->used->len, 100 * pounce->pattern->stretch);
}

static void remove_all(const char *folder) {
    GDir *directory = g_dir_open(folder, 0, NULL);
    for (const char *name; directory && (name = g_dir_read_name(directory));) {
        g_autofree char *path = g_build_filename(folder, name, NULL);
        g_unlink(path);
    }
    if (directory)
        g_dir_close(directory);
    g_rmdir(folder);
}

int main(void) {
    g_autofree char *folder = g_dir_make_tmp("tapul-bench-XXXXXX", NULL);
    g_autofree char *question = g_build_filename(folder, "case.yaml", NULL);
    printf("%u processors; the peascod breastplate with border, bands, cartouche and birds\n",
           g_get_num_processors());
    write_case(question, FALSE);
    time_process(question, folder, "patterns");
    for (int etched = FALSE; etched <= TRUE; etched++) {
        printf("%s\n", etched ? "stages, with the resist:" : "stages:");
        write_case(question, etched);
        time_stages(question, folder);
    }
    remove_all(folder);
    return EXIT_SUCCESS;
}
