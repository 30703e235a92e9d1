/* Where a verb writes, and how it shows that it is at work. */
#include "cli/verbs.h"

#include <errno.h>
#include <glib/gstdio.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

static gboolean progress_shown;

static char *own_name(const char *file) {
    g_autofree char *base = g_path_get_basename(file);
    if (strcmp(base, "case.yaml") == 0) {
        g_autofree char *whole = g_canonicalize_filename(file, NULL);
        g_autofree char *folder = g_path_get_dirname(whole);
        return g_path_get_basename(folder);
    }
    char *dot = strrchr(base, '.');
    if (dot && dot != base)
        *dot = '\0';
    return g_steal_pointer(&base);
}

char *tapul_output_folder(const TapulCall *call, GError **error) {
    g_autofree char *name = own_name(call->file);
    g_autofree char *folder =
        call->out ? g_strdup(call->out) : g_build_filename("output", name, NULL);
    if (g_mkdir_with_parents(folder, 0777) != 0) {
        g_set_error(error, G_FILE_ERROR, g_file_error_from_errno(errno),
                    "%s: the folder cannot be made (%s)", folder, g_strerror(errno));
        return NULL;
    }
    return g_steal_pointer(&folder);
}

const char *tapul_output_file(GPtrArray *files, const char *folder, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    g_autofree char *name = g_strdup_vprintf(format, arguments);
    va_end(arguments);
    g_ptr_array_add(files, g_build_filename(folder, name, NULL));
    return g_ptr_array_index(files, files->len - 1);
}

char *tapul_output_draft(const char *folder, GError **error) {
    char *draft = g_build_filename(folder, ".draft-XXXXXX", NULL);
    if (g_mkdtemp(draft))
        return draft;
    g_set_error(error, G_FILE_ERROR, g_file_error_from_errno(errno),
                "%s: cannot be written to: %s", folder, g_strerror(errno));
    g_free(draft);
    return NULL;
}

static void remove_draft(const char *draft) {
    GDir *directory = g_dir_open(draft, 0, NULL);
    for (const char *name; directory && (name = g_dir_read_name(directory));) {
        g_autofree char *path = g_build_filename(draft, name, NULL);
        g_unlink(path);
    }
    if (directory)
        g_dir_close(directory);
    g_rmdir(draft);
}

gboolean tapul_output_keep(const char *draft, const char *folder, GPtrArray *files,
                           GError **error) {
    gboolean moved = TRUE;
    for (guint i = 0; files && moved && i < files->len; i++) {
        char *from = g_ptr_array_index(files, i);
        g_autofree char *name = g_path_get_basename(from);
        char *to = g_build_filename(folder, name, NULL);
        moved = g_rename(from, to) == 0;
        if (!moved)
            g_set_error(error, G_FILE_ERROR, g_file_error_from_errno(errno),
                        "%s: cannot be replaced: %s", to, g_strerror(errno));
        g_ptr_array_index(files, i) = to;
        g_free(from);
    }
    remove_draft(draft);
    return moved && files;
}

void tapul_show_progress(double fraction, const char *stage, gpointer data) {
    (void)data;
    if (!isatty(STDERR_FILENO))
        return;
    fprintf(stderr, "\r%-28s %3.0f %%", stage, 100 * fraction);
    fflush(stderr);
    progress_shown = TRUE;
}

void tapul_end_progress(void) {
    if (progress_shown)
        fprintf(stderr, "\r%40s\r", "");
    progress_shown = FALSE;
}
