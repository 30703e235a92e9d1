/* The legend of comparison pages: what the lines of an overlay are.
 *
 * Samples stand in one row where it has room for them, and else in even columns. The words say
 * what the line looks like where two designs must be told apart: colour alone never does.
 */
#include "sheet/carried.h"
#include "sheet/figure.h"
#include "sheet/leaf_parts.h"
#include "sheet/plate_lines.h"

/* A sample's line with the gap to its words, the gap alone, by how much the line is drawn
 * inside its place, and the clear space between two samples of a row and two rows; ems. */
#define SAMPLE_EMS     4.3
#define GAP_EMS        0.7
#define LINE_INSET_EMS 0.3
#define BETWEEN_EMS    1.8
#define ROWS_EMS       0.15
/* Words that are as wide as their room still stand in one line. */
#define ROUNDING_MM 0.1

#define MOST_SAMPLES (2 + TAPUL_MOST_PLATE_SAMPLES)

static gboolean enters_any(const TapulPath *path, const TapulBox *boxes, int n) {
    for (int i = 0; i < n; i++)
        if (tapul_path_enters(path, boxes[i]))
            return TRUE;
    return FALSE;
}

static gboolean found_enters(const TapulInk *found, const TapulBox *shown_mm, int n_shown) {
    for (guint i = 0; found && n_shown > 0 && i < found->marks->len; i++) {
        const TapulMark *mark = g_ptr_array_index(found->marks, i);
        if (enters_any(mark->path, shown_mm, n_shown))
            return TRUE;
    }
    return found && n_shown == 0;
}

/* Whether figures of those boxes show a line of the plate. */
static gboolean shows_line(const TapulGround *ground, const char *name,
                           const TapulBox *shown_mm, int n_shown) {
    if (n_shown == 0)
        return TRUE;
    g_autoptr(TapulPath) line = g_str_equal(name, "edge of the plate")
                                    ? tapul_carried_edge(ground)
                                : g_str_has_prefix(name, "seam") ? tapul_carried_seam(ground)
                                                                 : tapul_carried_medial(ground);
    return enters_any(line, shown_mm, n_shown);
}

/* The plate's own lines in those boxes; fields are not drawn on comparison pages. */
static int list_plate(const TapulGround *ground, const TapulBox *shown_mm, int n_shown,
                      TapulSample *samples) {
    TapulSample all[TAPUL_MOST_PLATE_SAMPLES];
    int n = tapul_plate_samples(ground, TAPUL_BLACK, TAPUL_NO_COLOUR, all), shown = 0;
    for (int i = 0; i < n; i++)
        if (!g_str_equal(all[i].text, "field") &&
            shows_line(ground, all[i].text, shown_mm, n_shown))
            samples[shown++] = all[i];
    return shown;
}

/* Texts in the case's words; returns how many. */
static int list_samples(const TapulCase *question, const TapulBox *shown_mm, int n_shown,
                        TapulSample *samples) {
    TapulPen print = {.stroke = TAPUL_PRINT_INK, .width_mm = 0.35};
    TapulPen found = {
        .stroke = TAPUL_PLATE_INK, .width_mm = 0.35, .n_dash = 2, .dash_mm = {1.6, 0.72}};
    gboolean found_shown = found_enters(question->found, shown_mm, n_shown);
    int n = 0;
    samples[n++] =
        (TapulSample){.kind = TAPUL_SAMPLE_FLOURISH,
                      .pen = print,
                      .text = found_shown ? "print as laid, full line" : "print as laid"};
    if (found_shown)
        samples[n++] = (TapulSample){
            .kind = TAPUL_SAMPLE_FLOURISH, .pen = found, .text = "design found, dashed"};
    n += list_plate(&question->ground, shown_mm, n_shown, samples + n);
    for (int i = 0; i < n; i++)
        samples[i].text = tapul_case_word(question, samples[i].text);
    return n;
}

/* Sets a sample in width_mm, its line at the side where reading begins; returns the y below. */
static double set_sample(TapulPage *page, TapulVec2 at, double width_mm, TapulSample sample,
                         const TapulFormat *format) {
    gboolean left = tapul_page_text_runs_left(sample.text);
    double indent_mm = SAMPLE_EMS * format->text_mm, beside_mm = width_mm - indent_mm;
    TapulType type = {.size_mm = format->text_mm, .colour = TAPUL_BLACK};
    TapulVec2 text_at = {at.x + (left ? 0 : indent_mm), at.y};
    double line_mm =
        (left ? beside_mm + GAP_EMS * format->text_mm : 0) - LINE_INSET_EMS * format->text_mm;
    const char *text = sample.text;
    sample.text = "";
    tapul_set_sample(page, tapul_vec2(at.x + line_mm, at.y), indent_mm, sample, format);
    return tapul_set_paragraph(page, text_at, beside_mm, text, &type);
}

/* How wide a sample with its words is, in a room of width_mm. */
static double sample_mm(const TapulSample *sample, double width_mm, const TapulFormat *format) {
    TapulType type = {.size_mm = format->text_mm};
    double text_mm = tapul_page_text_width_mm(sample->text, &type) + ROUNDING_MM;
    return fmin(SAMPLE_EMS * format->text_mm + text_mm, width_mm);
}

/* How many samples stand in a row, all n or as many columns as make rows about as full. */
static int per_row(const TapulSample *samples, int n, double width_mm,
                   const TapulFormat *format) {
    double between_mm = BETWEEN_EMS * format->text_mm, all_mm = -between_mm, widest_mm = 0;
    for (int i = 0; i < n; i++) {
        double own_mm = sample_mm(&samples[i], width_mm, format);
        all_mm += own_mm + between_mm;
        widest_mm = fmax(widest_mm, own_mm);
    }
    if (all_mm <= width_mm)
        return n;
    int columns = (int)((width_mm + between_mm) / (widest_mm + between_mm));
    int rows = (n + columns - 1) / columns;
    return (n + rows - 1) / rows;
}

static double set_samples(TapulPage *page, TapulVec2 at, double width_mm,
                          const TapulFormat *format, const TapulSample *samples, int n) {
    gboolean left = tapul_page_text_runs_left(samples[0].text);
    double between_mm = BETWEEN_EMS * format->text_mm;
    int in_row = per_row(samples, n, width_mm, format);
    double column_mm = (width_mm + between_mm) / in_row;
    double x_mm = 0, y = at.y, below = at.y; /* x from where reading begins */
    for (int i = 0; i < n; i++) {
        double own_mm = sample_mm(&samples[i], width_mm, format);
        if (i > 0 && i % in_row == 0) {
            x_mm = 0;
            y = below - ROWS_EMS * format->text_mm;
        }
        TapulVec2 place = {at.x + (left ? width_mm - x_mm - own_mm : x_mm), y};
        below = fmin(below, set_sample(page, place, own_mm, samples[i], format));
        x_mm += in_row == n ? own_mm + between_mm : column_mm;
    }
    return below;
}

double tapul_leaf_legend(const TapulLeaf *leaf, TapulPage *page, TapulVec2 at, double width_mm,
                         const TapulComparison *comparison) {
    return tapul_leaf_legend_of(leaf, page, at, width_mm, comparison, NULL, 0);
}

double tapul_leaf_legend_of(const TapulLeaf *leaf, TapulPage *page, TapulVec2 at,
                            double width_mm, const TapulComparison *comparison,
                            const TapulBox *shown_mm, int n_shown) {
    TapulSample samples[MOST_SAMPLES];
    int n = list_samples(comparison->question, shown_mm, n_shown, samples);
    TapulFormat format = leaf->format;
    format.text_mm = leaf->label_mm;
    if (!page)
        return set_samples(NULL, at, width_mm, &format, samples, n);
    gboolean begun = tapul_leaf_begin_part(page, TAPUL_PART_PARAGRAPH);
    tapul_page_begin_group(page, "legend", "Legend", NULL);
    double below = set_samples(page, at, width_mm, &format, samples, n);
    tapul_page_end_group(page);
    if (begun)
        tapul_page_end_part(page);
    return below;
}
