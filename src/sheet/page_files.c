/* Writes a set of pages as files, SVG and PDF at the same time: each writer only reads the
 * pages and has all else to itself.
 *
 * The verbs end with it.
 */
#include <tapul/page.h>

#include <glib/gstdio.h>

typedef struct {
    TapulPage *const *pages;
    const char *const *paths;
    int n, n_written;
    GError *error;
} SvgTask;

static gpointer write_all_svg(gpointer data) {
    SvgTask *task = data;
    gboolean written = TRUE;
    for (int i = 0; i < task->n && written; i++) {
        written = tapul_page_write_svg(task->pages[i], task->paths[i], &task->error);
        task->n_written += written;
    }
    return GINT_TO_POINTER(written);
}

/* A set of which a part is missing, or of an earlier run, would mislead: all go. */
static void take_back(const SvgTask *task, gboolean pdf_written, const char *pdf_path) {
    for (int i = 0; i < task->n_written; i++)
        g_unlink(task->paths[i]);
    if (pdf_written)
        g_unlink(pdf_path);
}

/* The PDF stays on this thread, whose fonts Pango has ready; SVG needs none. */
gboolean tapul_pages_write(TapulPage *const *pages, const char *const *svg_paths, int n_pages,
                           const char *pdf_path, GError **error) {
    SvgTask task = {pages, svg_paths, n_pages, 0, NULL};
    GThread *svg = g_thread_new("svg", write_all_svg, &task);
    gboolean pdf_written = tapul_page_write_pdf(pages, n_pages, pdf_path, error);
    gboolean svg_written = GPOINTER_TO_INT(g_thread_join(svg));
    if (pdf_written && !svg_written)
        g_propagate_error(error, task.error);
    else
        g_clear_error(&task.error);
    if (!pdf_written || !svg_written)
        take_back(&task, pdf_written, pdf_path);
    return pdf_written && svg_written;
}
