/* What the worksheet's table of answers says of a motif: from its laying and, where it was
 * weighed, from what was found. */
#include "sheet/comparison_words.h"
#include "sheet/worksheet_parts.h"

/* Sizes that differ by less look alike to an eye that compares two drawings (by eye). */
#define ALIKE 0.10
/* Places across a motif, and up it, at which its size is taken, each over twice so many mm of
 * the print: short against any curve of a plate. */
#define SIZE_SAMPLES 5
#define PROBE_MM     0.2
#define NONE         "–"

gboolean tapul_worksheet_is_missing(const TapulShownMotif *motif) {
    return tapul_box_is_empty(motif->developed_mm) ||
           (motif->finding && motif->finding->fate == TAPUL_MOTIF_LEFT_OUT);
}

/* A tracing that was not weighed against the print: the laying says where to look, no more. */
static gboolean is_unweighed(const TapulWorksheet *worksheet, const TapulShownMotif *motif) {
    return !motif->finding && worksheet->comparison->question->found;
}

static char *found_words(const TapulWorksheet *worksheet, const TapulShownMotif *motif) {
    if (motif->finding && motif->finding->fate == TAPUL_MOTIF_UNDECIDED)
        return tapul_comparison_capital(worksheet->comparison, "undecided");
    if (!motif->finding && tapul_worksheet_is_missing(motif))
        return tapul_comparison_capital(worksheet->comparison, "beyond the plate's edge");
    if (is_unweighed(worksheet, motif))
        return tapul_comparison_capital(worksheet->comparison, "not weighed");
    return tapul_comparison_capital(worksheet->comparison,
                                    tapul_worksheet_is_missing(motif) ? "no" : "yes");
}

static const TapulLaying *map_of(const TapulWorksheet *worksheet,
                                 const TapulShownMotif *motif) {
    const GPtrArray *laid = worksheet->comparison->laid;
    return ((const TapulCaseLaid *)g_ptr_array_index(laid, motif->laying))->map;
}

static char *way_words(const TapulWorksheet *worksheet, const TapulShownMotif *motif) {
    double scale, turn_rad;
    gboolean reversed;
    tapul_laying_placement(map_of(worksheet, motif), &scale, &turn_rad, &reversed);
    gboolean alone = motif->finding && motif->finding->fate == TAPUL_MOTIF_REVERSED;
    return tapul_comparison_capital(worksheet->comparison,
                                    reversed != alone ? "mirrored" : "the same");
}

/* How much larger the area about a print point is on the plate laid flat; FALSE where the print
 * folds over there, or leaves the plate. */
static gboolean area_ratio(const TapulLaying *map, TapulVec2 at_mm, double *ratio) {
    TapulVec2 along = {PROBE_MM, 0}, up = {0, PROBE_MM}, left, right, below, above;
    double s1, s2;
    gboolean folded;
    if (!tapul_laying_stretch(map, at_mm, &s1, &s2, &folded) || folded ||
        !tapul_laying_developed(map, tapul_vec2_sub(at_mm, along), &left) ||
        !tapul_laying_developed(map, tapul_vec2_add(at_mm, along), &right) ||
        !tapul_laying_developed(map, tapul_vec2_sub(at_mm, up), &below) ||
        !tapul_laying_developed(map, tapul_vec2_add(at_mm, up), &above))
        return FALSE;
    *ratio = fabs(tapul_vec2_cross(tapul_vec2_sub(right, left), tapul_vec2_sub(above, below))) /
             (4 * PROBE_MM * PROBE_MM);
    return *ratio > 0;
}

/* How large a motif is on the plate laid flat, where a pupil measures it: the mean over its box
 * (geometric), as a length; 0 where it does not lie there. */
static double size_of(const TapulLaying *map, TapulBox print_mm) {
    TapulVec2 step =
        tapul_vec2_scale(tapul_vec2_sub(print_mm.max, print_mm.min), 1.0 / SIZE_SAMPLES);
    double sum = 0;
    int n = 0;
    for (int i = 0; i < SIZE_SAMPLES * SIZE_SAMPLES; i++) {
        TapulVec2 offset = {(i % SIZE_SAMPLES + 0.5) * step.x,
                            (i / SIZE_SAMPLES + 0.5) * step.y};
        double ratio;
        if (!area_ratio(map, tapul_vec2_add(print_mm.min, offset), &ratio))
            continue;
        sum += log(ratio) / 2;
        n++;
    }
    return n > 0 ? exp(sum / n) : 0;
}

static char *size_words(const TapulWorksheet *worksheet, const TapulShownMotif *motif) {
    double size = size_of(map_of(worksheet, motif), motif->print_mm);
    if (size <= 0)
        return g_strdup(NONE);
    if (motif->finding && motif->finding->fate == TAPUL_MOTIF_RESIZED)
        size *= motif->finding->resized;
    g_autofree char *word =
        tapul_comparison_capital(worksheet->comparison, size > 1 + ALIKE   ? "larger"
                                                        : size < 1 - ALIKE ? "smaller"
                                                                           : "yes");
    return g_strdup_printf("%s, %.0f\u00a0%%", word, 100 * size);
}

static char *moved_words(const TapulWorksheet *worksheet, const TapulShownMotif *motif) {
    if (is_unweighed(worksheet, motif) ||
        (motif->finding && motif->finding->fate == TAPUL_MOTIF_UNDECIDED))
        return g_strdup(NONE);
    if (motif->finding && (motif->finding->fate == TAPUL_MOTIF_MOVED ||
                           motif->finding->fate == TAPUL_MOTIF_TURNED))
        return tapul_motif_fate_words(worksheet->comparison, motif);
    return tapul_comparison_capital(worksheet->comparison, "no");
}

char *tapul_worksheet_answer(const TapulWorksheet *worksheet, const TapulShownMotif *motif,
                             TapulWorksheetColumn column) {
    if (column == TAPUL_COLUMN_FOUND)
        return found_words(worksheet, motif);
    if (tapul_worksheet_is_missing(motif))
        return g_strdup(NONE);
    switch (column) {
    case TAPUL_COLUMN_SQUARE:
        return tapul_squares_names(&worksheet->squares, motif->mark_developed_mm,
                                   motif->developed_mm);
    case TAPUL_COLUMN_WAY:
        return way_words(worksheet, motif);
    case TAPUL_COLUMN_SIZE:
        return size_words(worksheet, motif);
    default:
        return moved_words(worksheet, motif);
    }
}
