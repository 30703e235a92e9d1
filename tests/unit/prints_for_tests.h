/* Prints for the tests of ink: reading those of tests/prints, and small ones written on the
 * spot. */
#ifndef PRINTS_FOR_TESTS_H
#define PRINTS_FOR_TESTS_H

#include <check.h>
#include <glib/gstdio.h>
#include <string.h>
#include <tapul/ink.h>

static inline char *print_path(const char *name) {
    return g_build_filename(g_getenv("TAPUL_SOURCE_ROOT"), "tests", "prints", name, NULL);
}

static inline TapulInk *read_print(const char *name) {
    g_autofree char *path = print_path(name);
    g_autoptr(GError) error = NULL;
    TapulInk *ink = tapul_ink_read(path, NULL, &error);
    ck_assert_msg(ink != NULL, "%s", error ? error->message : name);
    return ink;
}

/* A file of these bytes, whose path the caller frees and unlinks. */
static inline char *write_print(const char *bytes, gssize length) {
    char *path = NULL;
    int handle = g_file_open_tmp("tapul-print-XXXXXX", &path, NULL);
    ck_assert_int_ge(handle, 0);
    ck_assert(g_close(handle, NULL) && g_file_set_contents(path, bytes, length, NULL));
    return path;
}

static inline TapulInk *read_text(const char *text, GError **error) {
    g_autofree char *path = write_print(text, -1);
    TapulInk *ink = tapul_ink_read(path, NULL, error);
    g_unlink(path);
    return ink;
}

/* An SVG of 100 x 100 mm, in mm, around some elements. */
static inline char *svg_around(const char *elements) {
    return g_strdup_printf("<svg xmlns='http://www.w3.org/2000/svg' "
                           "xmlns:xlink='http://www.w3.org/1999/xlink' width='100mm' "
                           "height='100mm' viewBox='0 0 100 100'>%s</svg>",
                           elements);
}

static inline TapulInk *read_elements(const char *elements) {
    g_autofree char *text = svg_around(elements);
    g_autoptr(GError) error = NULL;
    TapulInk *ink = read_text(text, &error);
    ck_assert_msg(ink != NULL, "%s", error ? error->message : "");
    return ink;
}

static inline const TapulMark *mark_at(const TapulInk *ink, guint i) {
    ck_assert_uint_lt(i, ink->marks->len);
    return g_ptr_array_index(ink->marks, i);
}

static inline const TapulMotif *motif_named(const TapulInk *ink, const char *id) {
    for (guint i = 0; i < ink->motifs->len; i++) {
        const TapulMotif *motif = g_ptr_array_index(ink->motifs, i);
        if (strcmp(motif->id, id) == 0)
            return motif;
    }
    return NULL;
}

static inline int skipped_count(const TapulInk *ink, const char *what) {
    for (guint i = 0; i < ink->skipped->len; i++) {
        const TapulSkipped *skipped = g_ptr_array_index(ink->skipped, i);
        if (strcmp(skipped->what, what) == 0)
            return skipped->count;
    }
    return 0;
}

static inline int count_verbs(const TapulPath *path, TapulVerb verb) {
    int count = 0;
    for (guint i = 0; i < path->verbs->len; i++)
        count += g_array_index(path->verbs, guint8, i) == verb;
    return count;
}

#endif
