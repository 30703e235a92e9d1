/* What the worksheet's table of answers says of a motif: from its laying and, where it was
 * weighed, from what was found. */
#include "sheet/comparison_words.h"
#include "sheet/worksheet_parts.h"

/* Lengths that differ by less look alike to an eye that compares two drawings (by eye). */
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

static char *found_words(const TapulWorksheet *worksheet, const TapulShownMotif *motif) {
    const char *word = tapul_sought_is_undecided(worksheet->comparison, motif)
                           ? "the tracing does not tell"
                       : !tapul_worksheet_is_missing(motif) ? "yes"
                       : motif->finding                     ? "no"
                                                            : "beyond the plate's edge";
    return tapul_comparison_capital(worksheet->comparison, word);
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

/* How long a line of the print through a point is on the plate laid flat, of its own length;
 * FALSE where the print folds over there, or leaves the plate. */
static gboolean length_ratio(const TapulLaying *map, TapulVec2 at_mm, TapulVec2 half_mm,
                             double *ratio) {
    TapulVec2 from, to;
    double s1, s2;
    gboolean folded;
    if (!tapul_laying_stretch(map, at_mm, &s1, &s2, &folded) || folded ||
        !tapul_laying_developed(map, tapul_vec2_sub(at_mm, half_mm), &from) ||
        !tapul_laying_developed(map, tapul_vec2_add(at_mm, half_mm), &to))
        return FALSE;
    *ratio = tapul_vec2_distance(from, to) / (2 * tapul_vec2_length(half_mm));
    return *ratio > 0;
}

/* How long the motif's own level or upright lines (as half_mm runs) are on the plate laid flat,
 * where a pupil measures them: the mean over its box (geometric), of their length in the print;
 * 0 where it does not lie there. */
static double size_of(const TapulLaying *map, TapulBox print_mm, TapulVec2 half_mm) {
    TapulVec2 step =
        tapul_vec2_scale(tapul_vec2_sub(print_mm.max, print_mm.min), 1.0 / SIZE_SAMPLES);
    double sum = 0;
    int n = 0;
    for (int i = 0; i < SIZE_SAMPLES * SIZE_SAMPLES; i++) {
        TapulVec2 offset = {(i % SIZE_SAMPLES + 0.5) * step.x,
                            (i / SIZE_SAMPLES + 0.5) * step.y};
        double ratio;
        if (!length_ratio(map, tapul_vec2_add(print_mm.min, offset), half_mm, &ratio))
            continue;
        sum += log(ratio);
        n++;
    }
    return n > 0 ? exp(sum / n) : 0;
}

static gboolean is_alike(double size) {
    return fabs(size - 1) <= ALIKE;
}

/* "No: width 100 %, height 75 %." */
static char *size_words(const TapulWorksheet *worksheet, const TapulShownMotif *motif) {
    const TapulCase *question = worksheet->comparison->question;
    const TapulLaying *map = map_of(worksheet, motif);
    double width = size_of(map, motif->print_mm, tapul_vec2(PROBE_MM, 0));
    double height = size_of(map, motif->print_mm, tapul_vec2(0, PROBE_MM));
    if (width <= 0 || height <= 0)
        return g_strdup(NONE);
    if (motif->finding && motif->finding->fate == TAPUL_MOTIF_RESIZED) {
        width *= motif->finding->resized;
        height *= motif->finding->resized;
    }
    g_autofree char *word = tapul_comparison_capital(
        worksheet->comparison, is_alike(width) && is_alike(height) ? "yes" : "no");
    return g_strdup_printf("%s: %s %.0f\u00a0%%, %s %.0f\u00a0%%", word,
                           tapul_case_word(question, "width"), 100 * width,
                           tapul_case_word(question, "height"), 100 * height);
}

static char *moved_words(const TapulWorksheet *worksheet, const TapulShownMotif *motif) {
    if (motif->finding && (motif->finding->fate == TAPUL_MOTIF_MOVED ||
                           motif->finding->fate == TAPUL_MOTIF_TURNED))
        return tapul_motif_fate_words(worksheet->comparison, motif);
    return tapul_comparison_capital(worksheet->comparison, "no");
}

char *tapul_worksheet_answer(const TapulWorksheet *worksheet, const TapulShownMotif *motif,
                             TapulWorksheetColumn column) {
    if (column == TAPUL_COLUMN_FOUND)
        return found_words(worksheet, motif);
    if (tapul_sought_is_undecided(worksheet->comparison, motif))
        return g_strdup("");
    if (tapul_worksheet_is_missing(motif))
        return g_strdup(NONE);
    switch (column) {
    case TAPUL_COLUMN_SQUARE:
        return tapul_squares_names(&worksheet->squares, motif->developed_mm);
    case TAPUL_COLUMN_WAY:
        return way_words(worksheet, motif);
    case TAPUL_COLUMN_SIZE:
        return size_words(worksheet, motif);
    default:
        return moved_words(worksheet, motif);
    }
}
