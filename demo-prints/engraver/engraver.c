/* The engraver: draws the invented ornament prints of the demonstration as SVG files.
 * Usage: engraver OUT_DIR [NAME]. The true-size PDFs (river-trophy, canopy-figure,
 * braided-border) are made from their SVGs by
 *     SOURCE_DATE_EPOCH=0 rsvg-convert -f pdf -o river-trophy.pdf river-trophy.svg
 * which keeps them vector and, by the fixed date, the same every time. */
#include <stdio.h>

#include "prints.h"

typedef struct Print {
    const char *name;
    double width;
    double height;
    double coarseness; /* see Sheet */
    const char *title;
    const char *note; /* added to the description */
    void (*draw)(Sheet *sheet);
} Print;

static const Print prints[] = {
    {"reed-cartouche", 92, 128, 1.32, "Strapwork cartouche with a heron", "",
     print_reed_cartouche},
    {"river-trophy", 74, 140, 1.34, "River trophy", "", print_river_trophy},
    {"kingfishers", 120, 86, 1, "Kingfishers among bulrushes", "", print_kingfishers},
    {"scrolled-frieze", 150, 40, 1.15, "Scrolled frieze with acanthus", "",
     print_scrolled_frieze},
    {"grotesque-panel", 60, 150, 1.18, "Grotesque panel", "", print_grotesque_panel},
    {"braided-border", 160, 24, 1.15, "Braided border", " It repeats every 20 mm.",
     print_braided_border},
    {"roped-border", 160, 16, 1.15, "Roped border", " It repeats every 32 mm.",
     print_roped_border},
    {"mask-drapery", 80, 80, 1.15, "Mask and drapery", "", print_mask_drapery},
    {"canopy-figure", 64, 110, 1.36, "Figure under a canopy", "", print_canopy_figure},
    {"small-motifs", 110, 110, 1.15, "Nine small motifs", "", print_small_motifs},
};

static const char description[] =
    "An invented ornament print, in the manner of the late sixteenth century, drawn for the "
    "demonstration of tapul by no engraver in particular.";

static bool engrave(const Print *print, guint number, const char *directory) {
    Sheet *sheet = sheet_new(print->width, print->height, 1590 + number * 7);
    sheet->coarseness = print->coarseness;
    print->draw(sheet);
    sheet_carry_on_lines(sheet);
    char *file = g_strdup_printf("%s.svg", print->name);
    char *path = g_build_filename(directory, file, NULL);
    GError *error = NULL;
    char *described = g_strconcat(description, print->note, NULL);
    bool written = sheet_write(sheet, path, print->title, described, &error);
    if (written) {
        printf("%s: %u strokes\n", print->name, sheet_count_strokes(sheet));
    } else {
        fprintf(stderr, "engraver: %s\n", error->message);
        g_error_free(error);
    }
    g_free(described);
    g_free(path);
    g_free(file);
    sheet_free(sheet);
    return written;
}

int main(int argument_count, char **arguments) {
    if (argument_count < 2 || argument_count > 3) {
        fprintf(stderr, "usage: engraver OUT_DIR [NAME]\n");
        return 2;
    }
    bool found = false, all_written = true;
    for (guint i = 0; i < G_N_ELEMENTS(prints); i++) {
        if (argument_count == 3 && g_strcmp0(arguments[2], prints[i].name) != 0)
            continue;
        found = true;
        all_written = engrave(&prints[i], i, arguments[1]) && all_written;
    }
    if (!found)
        fprintf(stderr, "engraver: no print is named %s\n", arguments[2]);
    return found && all_written ? 0 : 1;
}
