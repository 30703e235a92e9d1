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
