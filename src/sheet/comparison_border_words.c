/* What is said of borders on comparison pages, in the case's own words.
 *
 * comparison_border.c sets it below the figures.
 */
#include "sheet/comparison_border.h"
#include "sheet/comparison_words.h"

/* What TapulBorderOptions says of an offset that is not given: along the edge the border stands
 * off by this. */
#define EDGE_MARGIN_MM 3.0
/* Less than this, in per cent, is no stretch worth words. */
#define LEAST_PERCENT 0.05
/* A corner's rounding shorter than this is none that one sees. */
#define LEAST_ROUNDED_MM 1.0

static const char *word(const TapulBorderLine *line, const char *english) {
    return tapul_case_word(line->comparison->question, english);
}

static const TapulCaseLaying *asked_of(const TapulBorderLine *line) {
    return g_ptr_array_index(line->comparison->question->layings, line->laying);
}

static TapulLayingRun run_of(const TapulBorderLine *line) {
    const TapulCaseLaid *laid = g_ptr_array_index(line->comparison->laid, line->laying);
    return tapul_laying_run(laid->map);
}

/* Millimetres to a tenth where there is one. */
static char *length_words(double length_mm) {
    double tenths = round(10 * length_mm) / 10;
    return g_strdup_printf(length_mm < 100 && tenths != round(tenths) ? "%.1f\u00a0mm"
                                                                      : "%.0f\u00a0mm",
                           length_mm);
}

char *tapul_border_print_dimension(const TapulBorderLine *line) {
    return length_words(line->repeat_mm);
}

double tapul_border_laid_repeat_mm(const TapulBorderLine *line) {
    TapulLayingRun run = run_of(line);
    return run.run_mm / run.repeats;
}

char *tapul_border_laid_dimension(const TapulBorderLine *line) {
    return length_words(tapul_border_laid_repeat_mm(line));
}

char *tapul_border_scale_words(const TapulBorderLine *line, const TapulLeaf *leaf,
                               double scale) {
    g_autofree char *capital = tapul_comparison_capital(line->comparison, "scale");
    return tapul_leaf_scale_sentence(leaf, capital, scale);
}

/* --- The print --- */

char *tapul_border_print_words(const TapulBorderLine *line, const TapulLeaf *leaf, int n,
                               double scale) {
    GString *text = g_string_new(NULL);
    if (n > 1)
        g_string_append_printf(text, "%d %s.", n, word(line, "repeats side by side"));
    tapul_comparison_add_take(text,
                              tapul_leaf_print_words(line->comparison, asked_of(line)->print));
    tapul_comparison_add_take(text, tapul_border_scale_words(line, leaf, scale));
    return g_string_free(text, FALSE);
}

/* --- As laid --- */

static void add_stretch(const TapulBorderLine *line, GString *text, double along) {
    double percent = 100 * (along - 1);
    if (fabs(percent) < LEAST_PERCENT)
        return;
    g_string_append_printf(text, ", %s %.1f\u00a0%%",
                           word(line, percent > 0 ? "each stretched by" : "each shortened by"),
                           fabs(percent));
}

/* "84 repeats of 14.2 mm, 1193 mm in all, each stretched by 1.3 %." */
static char *run_words(const TapulBorderLine *line) {
    TapulLayingRun run = run_of(line);
    GString *text = g_string_new(NULL);
    g_autofree char *repeat = tapul_border_laid_dimension(line);
    g_autofree char *whole = length_words(run.run_mm);
    if (run.repeats == 1)
        g_string_append_printf(text, "%s %s", word(line, "one repeat of"), repeat);
    else
        g_string_append_printf(text, "%d %s %s, %s %s", run.repeats, word(line, "repeats of"),
                               repeat, whole, word(line, "in all"));
    add_stretch(line, text, run.along);
    g_string_append_c(text, '.');
    return g_string_free(text, FALSE);
}

static char *offset_words(const TapulBorderLine *line) {
    const TapulBorderOptions *border = &asked_of(line)->options.border;
    gboolean edge = border->n_points == 0;
    double offset_mm = border->offset_mm;
    if (isnan(offset_mm))
        offset_mm = edge ? line->height_mm / 2 * line->scale + EDGE_MARGIN_MM : 0;
    if (!edge && offset_mm == 0)
        return NULL;
    g_autofree char *capital = tapul_comparison_capital(line->comparison, "its middle runs");
    g_autofree char *length = length_words(fabs(offset_mm));
    return g_strdup_printf(
        "%s %s %s.", capital, length,
        word(line, edge ? "from the plate's edge" : "beside the line given"));
}

char *tapul_border_laid_words(const TapulBorderLine *line, gboolean again) {
    GString *text = g_string_new(NULL);
    if (again)
        tapul_comparison_add_take(
            text, tapul_comparison_sentence(line->comparison,
                                            "the same print is laid a second time"));
    tapul_comparison_add_take(text,
                              tapul_comparison_laying_words(line->comparison, line->laying));
    tapul_comparison_add_take(text, run_words(line));
    tapul_comparison_add_take(text, offset_words(line));
    return g_string_free(text, FALSE);
}

/* --- The corner --- */

char *tapul_border_corner_words(const TapulBorderLine *line, const TapulLeaf *leaf,
                                double turn_rad, double scale) {
    TapulLayingRun run = run_of(line);
    GString *text = g_string_new(NULL);
    g_autofree char *turns = tapul_comparison_capital(line->comparison, "it turns by");
    g_string_append_printf(text, "%s %.0f\u00b0 %s.", turns, turn_rad * 180 / G_PI,
                           word(line, "over its own height"));
    if (run.off_edge_mm >= LEAST_ROUNDED_MM) {
        g_autofree char *length = length_words(run.off_edge_mm);
        g_autofree char *where = tapul_comparison_capital(line->comparison, "at tight corners");
        g_string_append_printf(text, " %s, %s %s, %s.", where, length, word(line, "in all"),
                               word(line, "the border is rounded off"));
    }
    tapul_comparison_add_take(text, tapul_border_scale_words(line, leaf, scale));
    return g_string_free(text, FALSE);
}
