/* The files of `tapul lift`: each sheet alone, for those who look for the print, and the pages
 * that tell about it. */
#include "cli/lift_files.h"
#include "cli/verbs.h"

#include <glib/gstdio.h>

/* Fine enough for the hatching of an engraving; and at most so many pixels, an A4 sheet's. */
#define PICTURE_DPI 600.0
#define MOST_PIXELS 35e6

static double dpi_for(const TapulLifted *lifted) {
    double area_inch2 = lifted->width_mm * lifted->height_mm / (25.4 * 25.4);
    return fmin(PICTURE_DPI, sqrt(MOST_PIXELS / area_inch2));
}

static gboolean write_vectors(const TapulLifted *lifted, const char *name, gboolean reversed,
                              const char *folder, GPtrArray *files, GError **error) {
    g_autoptr(TapulInk) mirrored = reversed ? tapul_lifted_reversed(lifted) : NULL;
    const TapulInk *ink = reversed ? mirrored : lifted->ink;
    return !ink || tapul_ink_write_svg(
                       ink, tapul_output_file(files, folder, "lifted-%s.svg", name), error);
}

/* One sheet alone: its ink as vectors, and a picture of it. */
static gboolean write_alone(const TapulLifted *lifted, gboolean reversed, const char *folder,
                            GPtrArray *files, GError **error) {
    g_autofree char *name =
        g_strconcat(tapul_laying_rule_name(lifted->rule), reversed ? "-reversed" : "", NULL);
    if (!write_vectors(lifted, name, reversed, folder, files, error))
        return FALSE;
    g_autoptr(TapulPage) page = tapul_sheet_lifted_alone(lifted, reversed);
    return tapul_page_write_png(page, dpi_for(lifted),
                                tapul_output_file(files, folder, "lifted-%s.png", name), error);
}

static gboolean write_pages(const TapulLiftSheet *sheet, const char *folder, GPtrArray *files,
                            GError **error) {
    g_autoptr(GPtrArray) pages =
        g_ptr_array_new_with_free_func((GDestroyNotify)tapul_page_free);
    guint first = files->len;
    for (int i = 0; i < sheet->n; i++) {
        g_ptr_array_add(pages, tapul_sheet_lifted(sheet, i));
        tapul_output_file(files, folder, "lifted-%s-page.svg",
                          tapul_laying_rule_name(sheet->lifted[i]->rule));
    }
    if (sheet->n > 1) {
        g_ptr_array_add(pages, tapul_sheet_lift_comparison(sheet));
        tapul_output_file(files, folder, "lifted-comparison.svg");
    }
    const char *pdf = tapul_output_file(files, folder, "lifted.pdf");
    return tapul_pages_write((TapulPage *const *)pages->pdata,
                             (const char *const *)files->pdata + first, (int)pages->len, pdf,
                             error);
}

static gboolean write_all(const TapulLiftSheet *sheet, const char *folder, GPtrArray *files,
                          GError **error) {
    for (int i = 0; i < sheet->n; i++)
        for (int reversed = FALSE; reversed <= TRUE; reversed++)
            if (!write_alone(sheet->lifted[i], reversed, folder, files, error))
                return FALSE;
    return write_pages(sheet, folder, files, error);
}

gboolean tapul_write_lifted(const TapulLiftSheet *sheet, const char *folder, GPtrArray *files,
                            GError **error) {
    if (write_all(sheet, folder, files, error))
        return TRUE;
    /* A set of which a part is missing, or of an earlier run, would mislead: all go. */
    for (guint i = 0; i < files->len; i++)
        g_unlink(g_ptr_array_index(files, i));
    return FALSE;
}
