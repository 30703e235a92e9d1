/* The files of `tapul pounce`: papers to print, layers for a cutter, pieces for other software,
 * and the cuts in the case's own form. */
#include "cli/pounce_files.h"
#include "cli/verbs.h"

#include <glib/gstdio.h>
#include <tapul/sheets.h>

/* Cuts are written to this many decimals of a millimetre; a place that the tape gives back
 * this near is written by tape, which a person can follow on the metal. */
#define DECIMALS      3
#define SAME_PLACE_MM 0.01

/* --- Pages --- */

static gboolean write_pdf(const GPtrArray *pages, const char *path, GError **error) {
    return tapul_page_write_pdf((TapulPage *const *)pages->pdata, (int)pages->len, path, error);
}

static gboolean write_papers(const TapulPouncePages *papers, const char *folder,
                             GPtrArray *files, GError **error) {
    g_autoptr(GPtrArray) pages = tapul_sheet_pounce_summary(papers);
    g_ptr_array_extend_and_steal(pages, tapul_sheet_pounce_tiles(papers));
    return write_pdf(pages, tapul_output_file(files, folder, "pounce.pdf"), error);
}

static gboolean write_resist(const TapulPouncePages *papers, const char *folder,
                             GPtrArray *files, GError **error) {
    const TapulResist *resist = papers->pounce->resist;
    for (guint i = 0; resist && i < resist->bites->len; i++) {
        g_autoptr(GPtrArray) pages = tapul_sheet_pounce_resist(papers, (int)i);
        if (!write_pdf(pages, tapul_output_file(files, folder, "resist-%u.pdf", i + 1), error))
            return FALSE;
    }
    return TRUE;
}

static gboolean write_layers(const TapulPouncePages *papers, const char *folder,
                             GPtrArray *files, GError **error) {
    g_autoptr(GPtrArray) pages = tapul_sheet_pounce_layers(papers);
    for (guint i = 0; i < pages->len; i++)
        if (!tapul_page_write_svg(g_ptr_array_index(pages, i),
                                  tapul_output_file(files, folder, "piece-%u.svg", i + 1),
                                  error))
            return FALSE;
    return TRUE;
}

static gboolean write_meshes(const TapulPounce *pounce, const char *folder, GPtrArray *files,
                             GError **error) {
    for (guint i = 0; i < pounce->pieces->len; i++) {
        const TapulPouncePiece *piece = g_ptr_array_index(pounce->pieces, i);
        if (!tapul_mesh_write_obj(
                piece->piece->mesh, piece->piece->development->flat_mm,
                tapul_output_file(files, folder, "piece-%d.obj", piece->number), error))
            return FALSE;
    }
    return TRUE;
}

/* --- Cuts --- */

static double rounded(double value) {
    double power = pow(10, DECIMALS);
    double whole = round(value * power);
    return whole == 0 ? 0 : whole / power; /* no -0 */
}

static TapulVec3 rounded_place(TapulVec3 at_mm) {
    return (TapulVec3){rounded(at_mm.x), rounded(at_mm.y), rounded(at_mm.z)};
}

TapulPouncePlace tapul_pounce_place(const TapulPlate *plate, TapulSpot spot) {
    TapulPouncePlace place = {0};
    TapulSpot again;
    TapulVec3 at_mm = tapul_mesh_smooth_position_mm(tapul_plate_mesh(plate), spot);
    place.xyz_mm = rounded_place(at_mm);
    if (!tapul_plate_tape_from_spot(plate, spot, &place.across_mm, &place.up_mm))
        return place;
    place.across_mm = rounded(place.across_mm);
    place.up_mm = rounded(place.up_mm);
    place.by_tape =
        tapul_plate_spot_from_tape(plate, place.across_mm, place.up_mm, &again, NULL) &&
        tapul_vec3_distance(tapul_mesh_smooth_position_mm(tapul_plate_mesh(plate), again),
                            at_mm) < SAME_PLACE_MM;
    return place;
}

char *tapul_pounce_say_place(const TapulPouncePlace *place) {
    if (place->by_tape)
        return g_strdup_printf("across %.0f, up %.0f mm by tape", place->across_mm,
                               place->up_mm);
    return g_strdup_printf("x %.0f, y %.0f, z %.0f mm", place->xyz_mm.x, place->xyz_mm.y,
                           place->xyz_mm.z);
}

/* A number for YAML, in no language's own way of writing it. */
static void append_number(GString *text, double value) {
    char digits[G_ASCII_DTOSTR_BUF_SIZE];
    g_string_append(text, g_ascii_formatd(digits, sizeof digits, "%.9g", value));
}

static void append_place(GString *text, const TapulPouncePlace *place) {
    if (place->by_tape) {
        g_string_append(text, "{ across_mm: ");
        append_number(text, place->across_mm);
        g_string_append(text, ", up_mm: ");
        append_number(text, place->up_mm);
        g_string_append(text, " }\n");
        return;
    }
    for (int k = 0; k < 3; k++) {
        g_string_append(text, k == 0 ? "{ xyz_mm: [" : ", ");
        append_number(text, (&place->xyz_mm.x)[k]);
    }
    g_string_append(text, "] }\n");
}

static GArray *add_line(GPtrArray *all) {
    GArray *line = g_array_new(FALSE, FALSE, sizeof(TapulPouncePlace));
    g_ptr_array_add(all, line);
    return line;
}

GPtrArray *tapul_pounce_cut_places(const TapulCase *question, const TapulPounce *pounce) {
    GPtrArray *all = g_ptr_array_new_with_free_func((GDestroyNotify)g_array_unref);
    for (guint i = 0; i < question->opening_mm->len; i++) {
        const GArray *given_mm = g_ptr_array_index(question->opening_mm, i);
        GArray *line = add_line(all);
        for (guint k = 0; k < given_mm->len; k++) {
            TapulVec3 at_mm = g_array_index(given_mm, TapulVec3, k);
            TapulPouncePlace place = {.xyz_mm = rounded_place(at_mm)};
            g_array_append_val(line, place);
        }
    }
    for (guint i = 0; i < pounce->cuts->len; i++) {
        const TapulCutLine *found = &g_array_index(pounce->cuts, TapulCutLine, i);
        GArray *line = add_line(all);
        for (int k = 0; k < found->n; k++) {
            TapulPouncePlace place = tapul_pounce_place(question->plate, found->spot[k]);
            g_array_append_val(line, place);
        }
    }
    return all;
}

static gboolean write_cuts(const TapulCase *question, const TapulPounce *pounce,
                           const char *path, GError **error) {
    g_autoptr(GPtrArray) lines = tapul_pounce_cut_places(question, pounce);
    g_autoptr(GString) text = g_string_new(NULL);
    g_string_printf(text,
                    "# Goes into the case in place of its own development: the cuts of its "
                    "papers, to be changed at will.\n"
                    "development:\n  rule: %s\n  cuts:%s\n",
                    tapul_development_rule_name(question->development->rule),
                    lines->len == 0 ? " []" : "");
    for (guint i = 0; i < lines->len; i++) {
        const GArray *line = g_ptr_array_index(lines, i);
        for (guint k = 0; k < line->len; k++) {
            g_string_append(text, k == 0 ? "    - - " : "      - ");
            append_place(text, &g_array_index(line, TapulPouncePlace, k));
        }
    }
    return g_file_set_contents(path, text->str, (gssize)text->len, error);
}

/* --- All --- */

/* Files of the name with numbers from first on, as an earlier run may have left them. */
static void remove_further(const char *folder, const char *format, guint first) {
    for (guint i = first;; i++) {
        g_autofree char *name = g_strdup_printf(format, i);
        g_autofree char *path = g_build_filename(folder, name, NULL);
        if (g_unlink(path) != 0)
            return;
    }
}

static void remove_stale(const TapulPounce *pounce, gboolean mesh, const char *folder) {
    guint pieces = pounce->pieces->len;
    remove_further(folder, "piece-%u.svg", pieces + 1);
    remove_further(folder, "piece-%u.obj", mesh ? pieces + 1 : 1);
    remove_further(folder, "resist-%u.pdf",
                   pounce->resist ? pounce->resist->bites->len + 1 : 1);
}

static gboolean write_all(const TapulPouncePages *pages, gboolean mesh, const char *folder,
                          GPtrArray *files, GError **error) {
    tapul_show_progress(0, "writing", NULL);
    return write_papers(pages, folder, files, error) &&
           write_resist(pages, folder, files, error) &&
           write_layers(pages, folder, files, error) &&
           (!mesh || write_meshes(pages->pounce, folder, files, error)) &&
           write_cuts(pages->question, pages->pounce,
                      tapul_output_file(files, folder, "cuts.yaml"), error);
}

gboolean tapul_write_pounce(const TapulPouncePages *pages, gboolean mesh, const char *folder,
                            GPtrArray *files, GError **error) {
    if (write_all(pages, mesh, folder, files, error)) {
        remove_stale(pages->pounce, mesh, folder);
        return TRUE;
    }
    /* A set of which a part is missing, or of an earlier run, would mislead: all go. */
    for (guint i = 0; i < files->len; i++)
        g_unlink(g_ptr_array_index(files, i));
    return FALSE;
}
