/* How long the whole road takes, as a person meets it: a case with a print of 2,000 strokes on
 * the peascod breastplate, from case file to finished SVG and PDF, by each rule; whole
 * processes, started one after another. */
#include <glib/gstdio.h>
#include <stdio.h>
#include <stdlib.h>

/* Timed runs after one to warm up; their median and spread are told. */
#define RUNS      5
#define STROKES   2000
#define WIDTH_MM  92
#define HEIGHT_MM 128

static void write_print(const char *path) {
    g_autoptr(GString) svg = g_string_new(NULL);
    g_autoptr(GRand) random = g_rand_new_with_seed(1);
    g_string_append_printf(svg,
                           "<svg xmlns='http://www.w3.org/2000/svg' width='%dmm' height='%dmm' "
                           "viewBox='0 0 %d %d'>"
                           "<g id='strokes' fill='none' stroke='black' stroke-width='0.2'>\n",
                           WIDTH_MM, HEIGHT_MM, WIDTH_MM, HEIGHT_MM);
    for (int i = 0; i < STROKES; i++) {
        double x = g_rand_double_range(random, 8, WIDTH_MM - 8),
               y = g_rand_double_range(random, 8, HEIGHT_MM - 8);
        g_string_append_printf(svg, "<path d='M%.3f %.3f", x, y);
        for (int k = 0; k < 6; k++)
            g_string_append_printf(svg, "%s%.3f %.3f", k % 3 == 0 ? " C" : " ",
                                   x + g_rand_double_range(random, -7, 7),
                                   y + g_rand_double_range(random, -7, 7));
        g_string_append(svg, "'/>\n");
    }
    g_string_append(svg, "</g></svg>\n");
    if (!g_file_set_contents(path, svg->str, -1, NULL))
        g_error("%s cannot be written", path);
}

static void write_case(const char *path, const char *rule) {
    g_autofree char *plate = g_build_filename(g_getenv("TAPUL_SOURCE_ROOT"),
                                              "shapes/peascod-breastplate.yaml", NULL);
    g_autofree char *text = g_strdup_printf(
        "tapul: case/1\ntitle: %d strokes\nplate: %s\nprints:\n  - { id: strokes, file: "
        "strokes.svg }\n"
        "layings:\n  - { print: strokes, rule: %s, anchor: { across_mm: 0, up_mm: 200 } }\n",
        STROKES, plate, rule);
    if (!g_file_set_contents(path, text, -1, NULL))
        g_error("%s cannot be written", path);
}

static double run_once(const char *question, const char *out) {
    char *arguments[] = {
        (char *)g_getenv("TAPUL_PROGRAM"), "lay", (char *)question, "--out", (char *)out, NULL};
    int status = 0;
    gint64 start = g_get_monotonic_time();
    if (!g_spawn_sync(NULL, arguments, NULL, G_SPAWN_STDOUT_TO_DEV_NULL, NULL, NULL, NULL, NULL,
                      &status, NULL) ||
        status != 0)
        g_error("the program failed");
    return 1e-6 * (double)(g_get_monotonic_time() - start);
}

static int compare(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

int main(void) {
    static const char *const rules[] = {"rolled", "developed", "viewed"};
    g_autofree char *folder = g_dir_make_tmp("tapul-bench-XXXXXX", NULL);
    g_autofree char *print = g_build_filename(folder, "strokes.svg", NULL);
    g_autofree char *question = g_build_filename(folder, "case.yaml", NULL);
    write_print(print);
    printf("%u processors; %d strokes of two curves, seed 1, on the peascod breastplate\n",
           g_get_num_processors(), STROKES);
    for (guint i = 0; i < G_N_ELEMENTS(rules); i++) {
        double seconds[RUNS];
        write_case(question, rules[i]);
        run_once(question, folder);
        for (int run = 0; run < RUNS; run++)
            seconds[run] = run_once(question, folder);
        qsort(seconds, RUNS, sizeof *seconds, compare);
        printf("case to files, %-10s median %.2f s, %.2f to %.2f\n", rules[i],
               seconds[RUNS / 2], seconds[0], seconds[RUNS - 1]);
    }
    return EXIT_SUCCESS;
}
