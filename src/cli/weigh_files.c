/* The files of `tapul weigh`: two pages for each print that was weighed, the residuals as a
 * table, the motifs as annotations. */
#include "cli/weigh_files.h"
#include "cli/verbs.h"

#include "evidence/annotation.h"
#include "evidence/residual_table.h"

#include <glib/gstdio.h>
#include <tapul/sheets.h>

static gboolean was_weighed(const TapulPrintEvidence *found) {
    return found->hypotheses->len > 0;
}

static gboolean write_pages(const TapulCase *question, const TapulEvidence *evidence,
                            const char *folder, GPtrArray *files, GError **error) {
    g_autoptr(GPtrArray) pages =
        g_ptr_array_new_with_free_func((GDestroyNotify)tapul_page_free);
    guint first = files->len;
    for (guint i = 0; i < evidence->prints->len; i++) {
        if (!was_weighed(g_ptr_array_index(evidence->prints, i)))
            continue;
        TapulEvidenceSheet sheet = {question, evidence, (int)i};
        g_ptr_array_add(pages, tapul_sheet_evidence(&sheet));
        g_ptr_array_add(pages, tapul_sheet_evidence_figures(&sheet));
    }
    for (guint page = 1; page <= pages->len; page++)
        tapul_output_file(files, folder, "evidence-%u.svg", page);
    const char *pdf = tapul_output_file(files, folder, "evidence.pdf");
    return tapul_pages_write((TapulPage *const *)pages->pdata,
                             (const char *const *)files->pdata + first, (int)pages->len, pdf,
                             error);
}

static gboolean write_residuals(const TapulCase *question, const TapulEvidence *evidence,
                                const char *folder, GPtrArray *files, GError **error) {
    g_autofree char *text = tapul_residual_table(question, evidence);
    return g_file_set_contents(tapul_output_file(files, folder, "residuals.csv"), text, -1,
                               error);
}

static gboolean write_annotations(const TapulCase *question, const TapulEvidence *evidence,
                                  const char *image, const char *folder, GPtrArray *files,
                                  GError **error) {
    for (guint i = 0; i < evidence->prints->len; i++) {
        const TapulPrintEvidence *found = g_ptr_array_index(evidence->prints, i);
        const TapulPrint *print = g_ptr_array_index(question->prints, (guint)found->print);
        if (found->motifs->len == 0)
            continue;
        g_autoptr(JsonNode) page = tapul_annotations_new(question, found, image);
        g_autofree char *text = json_to_string(page, TRUE);
        const char *path = tapul_output_file(files, folder, "annotations-%s.json", print->id);
        if (!g_file_set_contents(path, text, -1, error))
            return FALSE;
    }
    return TRUE;
}

gboolean tapul_write_weighed(const TapulCase *question, const TapulEvidence *evidence,
                             const char *image, const char *folder, GPtrArray *files,
                             GError **error) {
    if (write_pages(question, evidence, folder, files, error) &&
        write_residuals(question, evidence, folder, files, error) &&
        write_annotations(question, evidence, image, folder, files, error))
        return TRUE;
    /* A set of which a part is missing, or of an earlier run, would mislead: all go. */
    for (guint i = 0; i < files->len; i++)
        g_unlink(g_ptr_array_index(files, i));
    return FALSE;
}
