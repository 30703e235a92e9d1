/* How long finding cuts takes on the plates of the shelf, with what is found; beside it, on the
 * same plates, developing them whole (evened), which one pattern costs at the least. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include <tapul/case.h>
#include <tapul/pattern.h>

static double user_seconds(void) {
    return (double)clock() / CLOCKS_PER_SEC;
}

static double cut_length_mm(const TapulDevelopment *base, const GArray *cuts) {
    double sum_mm = 0;
    for (guint i = 0; i < cuts->len; i++) {
        const TapulCutLine *line = &g_array_index(cuts, TapulCutLine, i);
        for (int k = 1; k < line->n; k++)
            sum_mm += tapul_vec2_distance(tapul_development_point_mm(base, line->spot[k - 1]),
                                          tapul_development_point_mm(base, line->spot[k]));
    }
    return sum_mm;
}

static TapulDevelopment *develop(const TapulPlate *plate, TapulDevelopmentRule rule) {
    g_autoptr(GError) error = NULL;
    TapulDevelopOptions options = {.rule = rule};
    TapulDevelopment *development = tapul_develop(tapul_plate_mesh(plate), &options, &error);
    if (!development)
        g_error("%s", error->message);
    return development;
}

static void find(const char *path) {
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulPlate) plate = tapul_plate_load(path, NULL, &error);
    if (!plate)
        g_error("%s", error->message);
    double begun = user_seconds();
    g_autoptr(TapulDevelopment) evened = develop(plate, TAPUL_DEVELOP_EVENED);
    double developed = user_seconds();
    g_autoptr(TapulDevelopment) base = develop(plate, TAPUL_DEVELOP_LEAST_STRETCH);
    tapul_ground_place(plate, base);
    g_autoptr(TapulDevelopmentFinder) finder = tapul_development_finder_new(base);
    TapulCutOptions options = tapul_cut_options_defaults();
    g_autoptr(GArray) cuts = NULL;
    double start = user_seconds();
    g_autoptr(TapulPattern) pattern = tapul_pattern_find(base, finder, &options, &cuts, &error);
    double seconds = user_seconds() - start;
    if (!pattern)
        g_error("%s: %s", path, error->message);
    printf("%-28s %6d triangles: %2u cuts of %5.0f mm, %2u pieces, %.2f %%, %6.2f s (evened "
           "whole %.2f s)\n",
           strrchr(path, '/') + 1, base->mesh->n_triangles, cuts->len,
           cut_length_mm(base, cuts), pattern->pieces->len, 100 * pattern->stretch, seconds,
           developed - begun);
    fflush(stdout);
}

static int compare_names(gconstpointer a, gconstpointer b) {
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

int main(int argc, char **argv) {
    g_autofree char *shelf = g_build_filename(g_getenv("TAPUL_SOURCE_ROOT"), "shapes", NULL);
    g_autoptr(GPtrArray) names = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GDir) folder = g_dir_open(shelf, 0, NULL);
    for (const char *name; folder && (name = g_dir_read_name(folder));)
        g_ptr_array_add(names, g_build_filename(shelf, name, NULL));
    g_ptr_array_sort(names, compare_names);
    for (int i = 1; i < argc; i++)
        find(argv[i]);
    for (guint i = 0; argc == 1 && i < names->len; i++)
        find(g_ptr_array_index(names, i));
    return EXIT_SUCCESS;
}
