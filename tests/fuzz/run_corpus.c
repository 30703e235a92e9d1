/* Runs a fuzz target on every file of the folders named, and on mutations of each:
 * run_corpus [--mutations N] [--keep FILE] FOLDER... The seed is fixed, so that a failure comes
 * again; with --keep each input is written to FILE before it is run, and the last is there
 * after a crash. */
#include <glib.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

#define SEED            1536
#define CHANGES_AT_MOST 8

/* Numbers that readers stumble over. */
static const char *const snippet[] = {"-1",         "0",  "nan", "1e999",  "4294967295",
                                      "2147483648", "\n", "\r",  "1e-320", "#",
                                      "\\\n",       "f ", "v ",  "/"};

static void overwrite(GByteArray *bytes, GRand *random) {
    bytes->data[g_rand_int_range(random, 0, (gint32)bytes->len)] =
        (guint8)g_rand_int_range(random, 0, 256);
}

static void flip_bit(GByteArray *bytes, GRand *random) {
    bytes->data[g_rand_int_range(random, 0, (gint32)bytes->len)] ^=
        (guint8)(1u << g_rand_int_range(random, 0, 8));
}

static void insert(GByteArray *bytes, GRand *random, const guint8 *piece, guint length) {
    guint at = (guint)g_rand_int_range(random, 0, (gint32)bytes->len + 1),
          behind = bytes->len - at;
    g_byte_array_set_size(bytes, bytes->len + length);
    memmove(bytes->data + at + length, bytes->data + at, behind);
    memcpy(bytes->data + at, piece, length);
}

static void insert_snippet(GByteArray *bytes, GRand *random) {
    const char *piece = snippet[g_rand_int_range(random, 0, G_N_ELEMENTS(snippet))];
    insert(bytes, random, (const guint8 *)piece, (guint)strlen(piece));
}

static void remove_piece(GByteArray *bytes, GRand *random) {
    guint from = (guint)g_rand_int_range(random, 0, (gint32)bytes->len);
    guint most = MIN(bytes->len - from, 64);
    g_byte_array_remove_range(bytes, from,
                              (guint)g_rand_int_range(random, 1, (gint32)most + 1));
}

static void repeat_piece(GByteArray *bytes, GRand *random) {
    guint from = (guint)g_rand_int_range(random, 0, (gint32)bytes->len);
    guint most = MIN(bytes->len - from, 64);
    guint length = (guint)g_rand_int_range(random, 1, (gint32)most + 1);
    g_autofree guint8 *piece = g_memdup2(bytes->data + from, length);
    insert(bytes, random, piece, length);
}

static void cut_short(GByteArray *bytes, GRand *random) {
    g_byte_array_set_size(bytes, (guint)g_rand_int_range(random, 0, (gint32)bytes->len));
}

static void mutate(GByteArray *bytes, GRand *random) {
    static void (*const change[])(GByteArray *, GRand *) = {
        overwrite,    flip_bit,     overwrite, insert_snippet,
        remove_piece, repeat_piece, flip_bit,  cut_short};
    int n = g_rand_int_range(random, 1, CHANGES_AT_MOST + 1);
    for (int i = 0; i < n && bytes->len > 0; i++)
        change[g_rand_int_range(random, 0, G_N_ELEMENTS(change))](bytes, random);
}

/* Where each input is kept before it is run, or NULL. */
static char *keep_path;

/* An exact copy on the heap, so that a sanitizer sees the first byte read behind it. */
static void run_one(const guint8 *data, gsize size) {
    g_autofree guint8 *copy = g_malloc(size ? size : 1);
    if (size)
        memcpy(copy, data, size);
    if (keep_path)
        g_file_set_contents_full(keep_path, (const char *)copy, (gssize)size,
                                 G_FILE_SET_CONTENTS_NONE, 0644, NULL);
    LLVMFuzzerTestOneInput(copy, size);
}

static gboolean run_file(const char *path, int n_mutations, gint64 *n_runs) {
    g_autofree char *contents = NULL;
    gsize size;
    g_autoptr(GError) error = NULL;
    if (!g_file_get_contents(path, &contents, &size, &error)) {
        fprintf(stderr, "%s\n", error->message);
        return FALSE;
    }
    run_one((const guint8 *)contents, size);
    ++*n_runs;
    for (int i = 0; i < n_mutations && size > 0; i++) {
        /* Each mutation has its own seed: number i can be run again alone. */
        g_autoptr(GRand) random = g_rand_new_with_seed(SEED + (guint32)i);
        g_autoptr(GByteArray) bytes = g_byte_array_new();
        g_byte_array_append(bytes, (const guint8 *)contents, (guint)size);
        mutate(bytes, random);
        run_one(bytes->data, bytes->len);
        ++*n_runs;
    }
    return TRUE;
}

static gboolean run_folder(const char *folder, int n_mutations, gint64 *n_runs) {
    g_autoptr(GError) error = NULL;
    g_autoptr(GDir) dir = g_dir_open(folder, 0, &error);
    if (!dir) {
        fprintf(stderr, "%s\n", error->message);
        return FALSE;
    }
    gboolean good = TRUE;
    g_autoptr(GPtrArray) paths = g_ptr_array_new_with_free_func(g_free);
    for (const char *name; (name = g_dir_read_name(dir));)
        g_ptr_array_add(paths, g_build_filename(folder, name, NULL));
    g_ptr_array_sort(paths, (GCompareFunc)(void (*)(void))g_strcmp0);
    for (guint i = 0; i < paths->len; i++)
        if (g_file_test(g_ptr_array_index(paths, i), G_FILE_TEST_IS_REGULAR))
            good &= run_file(g_ptr_array_index(paths, i), n_mutations, n_runs);
    return good;
}

int main(int argc, char **argv) {
    int n_mutations = 0;
    GOptionEntry entries[] = {
        {"mutations", 0, 0, G_OPTION_ARG_INT, &n_mutations, "Mutations of each file", "N"},
        {"keep", 0, 0, G_OPTION_ARG_FILENAME, &keep_path, "Write each input before it is run",
         "FILE"},
        G_OPTION_ENTRY_NULL};
    g_autoptr(GOptionContext) context = g_option_context_new("FOLDER...");
    g_option_context_add_main_entries(context, entries, NULL);
    g_autoptr(GError) error = NULL;
    if (!g_option_context_parse(context, &argc, &argv, &error) || argc < 2) {
        fprintf(stderr, "%s\n", error ? error->message : "no folder is named");
        return 2;
    }
    gint64 n_runs = 0;
    gboolean good = TRUE;
    for (int i = 1; i < argc; i++)
        good &= run_folder(argv[i], n_mutations, &n_runs);
    printf("%" G_GINT64_FORMAT " inputs run\n", n_runs);
    return good && n_runs > 0 ? 0 : 1;
}
