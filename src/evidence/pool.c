/* Reads the prints of a pool, each once, and brings them to one size. */
#include "evidence/pool.h"

#include <string.h>

/* A print with more times the ink of the one in question, or less, is of another manner: ink
 * finds ink by chance the more of it there is, and the scores would tell of that. Nine of the
 * ten engravings of the demonstration lie within it of each other. */
#define COMPARABLE_INK 3.0
/* A scan that does not say its resolution is taken at this: it is scaled afterwards. */
#define ANY_DPI 300

static gboolean is_print(const char *name) {
    static const char *const endings[] = {".svg", ".svgz", ".pdf", ".png",
                                          ".jpg", ".jpeg", ".tif", ".tiff"};
    g_autofree char *lower = g_ascii_strdown(name, -1);
    for (guint i = 0; i < G_N_ELEMENTS(endings); i++)
        if (g_str_has_suffix(lower, endings[i]))
            return TRUE;
    return FALSE;
}

static int by_name(gconstpointer a, gconstpointer b) {
    return strcmp(*(char *const *)a, *(char *const *)b);
}

/* Paths of the folder's prints, by name. */
static GPtrArray *list_prints(const char *folder, GError **error) {
    GPtrArray *paths = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GError) why = NULL;
    GDir *dir = g_dir_open(folder, 0, &why);
    if (!dir) {
        g_set_error(error, TAPUL_EVIDENCE_ERROR, TAPUL_EVIDENCE_ERROR_POOL,
                    "%s: the pool cannot be read: %s", folder, why->message);
        g_ptr_array_unref(paths);
        return NULL;
    }
    for (const char *name; (name = g_dir_read_name(dir));)
        if (is_print(name))
            g_ptr_array_add(paths, g_build_filename(folder, name, NULL));
    g_dir_close(dir);
    g_ptr_array_sort(paths, by_name);
    return paths;
}

/* Drawings seen so far: names without ending, and sums of contents. */
static gboolean is_new(GHashTable *seen, const char *path) {
    g_autofree char *name = g_path_get_basename(path), *contents = NULL;
    gsize length = 0;
    char *ending = strrchr(name, '.');
    if (ending)
        *ending = '\0';
    /* What cannot be read is told by who reads it as a print. */
    gboolean read = g_file_get_contents(path, &contents, &length, NULL);
    char *sum = g_compute_checksum_for_data(G_CHECKSUM_SHA256, (const guchar *)contents,
                                            read ? length : 0);
    gboolean fresh = g_hash_table_add(seen, g_strdup(name));
    fresh = (g_hash_table_add(seen, sum) || !read) && fresh;
    return fresh;
}

static TapulInk *read_any(const char *path, GError **error) {
    TapulInkOptions options = tapul_ink_options_defaults();
    g_autoptr(GError) why = NULL;
    TapulInk *ink = tapul_ink_read(path, &options, &why);
    if (!ink && g_error_matches(why, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SCAN)) {
        g_clear_error(&why);
        options.scan.dpi = ANY_DPI;
        ink = tapul_ink_read(path, &options, &why);
    }
    if (!ink)
        g_propagate_error(error, g_steal_pointer(&why));
    return ink;
}

/* The print with a plate mark of area_mm2 and its own proportions. */
static TapulInk *read_scaled(const char *path, double area_mm2, GError **error) {
    g_autoptr(TapulInk) as_is = read_any(path, error);
    if (!as_is)
        return NULL;
    TapulInkOptions options = tapul_ink_options_defaults();
    double scale = sqrt(area_mm2 / (as_is->width_mm * as_is->height_mm));
    options.plate_mark_width_mm = as_is->width_mm * scale;
    options.plate_mark_height_mm = as_is->height_mm * scale;
    return tapul_ink_read(path, &options, error);
}

static double ink_mm(const TapulInk *ink) {
    g_autoptr(GArray) nodes = tapul_ink_nodes(ink);
    g_autoptr(GArray) samples = tapul_ink_samples(nodes);
    double sum = 0;
    for (guint i = 0; i < samples->len; i++)
        sum += g_array_index(samples, TapulInkSample, i).weight_mm;
    return sum;
}

static gboolean is_comparable(double ink, double asked) {
    return ink <= asked * COMPARABLE_INK && ink >= asked / COMPARABLE_INK;
}

static void free_ink(gpointer data) {
    tapul_ink_free(data);
}

GPtrArray *tapul_pool_read(const char *folder, const TapulCase *question, int print,
                           GError **error) {
    const TapulInk *asked =
        ((const TapulPrint *)g_ptr_array_index(question->prints, (guint)print))->ink;
    double asked_mm = ink_mm(asked);
    g_autoptr(GHashTable) seen = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    g_autoptr(GPtrArray) pool = g_ptr_array_new_with_free_func(free_ink);
    g_autoptr(GPtrArray) paths = list_prints(folder, error);
    if (!paths)
        return NULL;
    for (guint i = 0; i < question->prints->len; i++)
        is_new(seen, ((const TapulPrint *)g_ptr_array_index(question->prints, i))->file);
    for (guint i = 0; i < paths->len; i++) {
        const char *path = g_ptr_array_index(paths, i);
        if (!is_new(seen, path))
            continue;
        TapulInk *ink = read_scaled(path, asked->width_mm * asked->height_mm, error);
        if (!ink)
            return NULL;
        if (is_comparable(ink_mm(ink), asked_mm))
            g_ptr_array_add(pool, ink);
        else
            tapul_ink_free(ink);
    }
    return g_steal_pointer(&pool);
}
