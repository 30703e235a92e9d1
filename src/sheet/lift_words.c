/* The words of the lifted sheets: what was lifted and how, how large it came out, where rules
 * differ, and the legends.
 *
 * layout.c sets them beside or below the sheets.
 */
#include "sheet/lift_parts.h"

#include "sheet/columns.h"
#include "sheet/furniture.h"
#include "sheet/plate_lines.h"

const TapulPen tapul_lift_mark_pen = {.stroke = {0.40, 0.38, 0.36, 1},
                                      .width_mm = TAPUL_HAIRLINE_MM,
                                      .n_dash = 4,
                                      .dash_mm = {4, 0.8, 0.8, 0.8}};

const TapulPen tapul_lift_apart_pen = {.stroke = {0.08, 0.07, 0.06, 1},
                                       .width_mm = TAPUL_HAIRLINE_MM};

/* Okabe-Ito's bluish green is the third. Widths of ISO 128. */
const TapulRuleLine *tapul_lift_rule_line(TapulLayingRule rule) {
    static const TapulRuleLine lines[] = {
        [TAPUL_LAYING_ROLLED] = {{.stroke = {0xD5 / 255.0, 0x5E / 255.0, 0, 1},
                                  .width_mm = 0.25},
                                 "full line"},
        [TAPUL_LAYING_DEVELOPED] = {{.stroke = {0, 0x72 / 255.0, 0xB2 / 255.0, 1},
                                     .width_mm = 0.25,
                                     .n_dash = 2,
                                     .dash_mm = {2.4, 1}},
                                    "dashed"},
        [TAPUL_LAYING_VIEWED] = {{.stroke = {0, 0x9E / 255.0, 0x73 / 255.0, 1},
                                  .width_mm = 0.35,
                                  .n_dash = 2,
                                  .dash_mm = {0.5, 0.6}},
                                 "dotted"},
    };
    g_assert((guint)rule < G_N_ELEMENTS(lines));
    return &lines[rule];
}

const char *tapul_lift_if(TapulLayingRule rule) {
    static const char *const words[] = {
        [TAPUL_LAYING_ROLLED] = "if it was pressed on from its anchor outward (rolled)",
        [TAPUL_LAYING_DEVELOPED] = "if it was put down on the plate laid flat (developed)",
        [TAPUL_LAYING_VIEWED] =
            "if it was placed as an eye in front of the plate sees it (viewed)",
    };
    g_assert((guint)rule < G_N_ELEMENTS(words));
    return words[rule];
}

static double paragraph(TapulPage *page, TapulVec2 at, double width_mm,
                        const TapulFormat *format, gboolean italic, const char *text) {
    TapulType type = {.size_mm = format->text_mm, .italic = italic, .colour = TAPUL_BLACK};
    return tapul_set_paragraph(page, at, width_mm, text, &type);
}

/* --- What it is --- */

/* On every page, since it may go round without its report. */
#define CAUTION                                                                                \
    "A sheet to look for, not one that is known: the design may have been drawn on the plate " \
    "by hand, put together from several sheets, or fitted to the plate by eye."

static double design_block(TapulPage *page, TapulVec2 at, double width_mm,
                           const TapulFormat *format, gconstpointer data) {
    const TapulLiftSheet *sheet = ((const TapulLiftWords *)data)->sheet;
    const TapulLifted *first = sheet->lifted[0];
    g_autoptr(GString) text = g_string_new(NULL);
    g_string_append_printf(text, "Lifted from %s, %s", tapul_plate_name(sheet->ground->plate),
                           first->ink ? "by its tracing" : "by its photographs");
    if (first->ink && first->rgba)
        g_string_append(text, ", with what its photographs show");
    if (sheet->region_name)
        g_string_append_printf(text, "; only what lies within %s", sheet->region_name);
    g_string_append_printf(text, ". Anchor on the plate: %s.", sheet->place);
    double y = tapul_set_heading(page, at, width_mm, "The design", format);
    y = paragraph(page, tapul_vec2(at.x, y), width_mm, format, FALSE, text->str);
    if (sheet->credit && *sheet->credit)
        y = paragraph(page, tapul_vec2(at.x, y), width_mm, format, FALSE, sheet->credit);
    y = tapul_fit_caution(page, tapul_vec2(at.x, y), width_mm, format, sheet->ground->plate);
    return paragraph(page, tapul_vec2(at.x, y), width_mm, format, TRUE, CAUTION);
}

/* --- How large it is --- */

static double size_rows(TapulPage *page, TapulVec2 at, double width_mm,
                        const TapulFormat *format, const TapulLifted *lifted) {
    double x = at.x, y = at.y, edges_mm = 2 * lifted->margin_mm;
    y = tapul_set_figure(page, tapul_vec2(x, y), width_mm, format, "the design",
                         "%.1f × %.1f mm", lifted->width_mm - edges_mm,
                         lifted->height_mm - edges_mm);
    y = tapul_set_figure(page, tapul_vec2(x, y), width_mm, format, "likely plate mark",
                         "%.0f × %.0f mm", lifted->width_mm, lifted->height_mm);
    y = tapul_set_figure(page, tapul_vec2(x, y), width_mm, format, "stretch, sheet to metal",
                         "%.3f–%.3f", lifted->stretch_min, lifted->stretch_max);
    if (!lifted->ink)
        return y;
    y = tapul_set_figure(page, tapul_vec2(x, y), width_mm, format, "length of its lines",
                         "%.0f mm", lifted->ink->ink_length_mm);
    return tapul_set_figure(page, tapul_vec2(x, y), width_mm, format, "line not brought back",
                            "%.1f mm", lifted->lost_mm);
}

#define MARGIN_WORDS                                                                           \
    "The plate mark is guessed: the design and a margin of 3 % of its larger side, at least "  \
    "2 mm (common practice, no source), upright as the sheet lay on its anchor."

static double size_block(TapulPage *page, TapulVec2 at, double width_mm,
                         const TapulFormat *format, gconstpointer data) {
    const TapulLiftWords *words = data;
    double y = tapul_set_heading(page, at, width_mm, "Its size", format);
    y = size_rows(page, tapul_vec2(at.x, y), width_mm, format,
                  words->sheet->lifted[words->lifted]);
    return paragraph(page, tapul_vec2(at.x, y), width_mm, format, TRUE, MARGIN_WORDS);
}

static double all_sizes_block(TapulPage *page, TapulVec2 at, double width_mm,
                              const TapulFormat *format, gconstpointer data) {
    const TapulLiftSheet *sheet = ((const TapulLiftWords *)data)->sheet;
    double y = tapul_set_heading(page, at, width_mm, "Sizes", format);
    for (int i = 0; i < sheet->n; i++) {
        TapulType type = {.size_mm = format->text_mm, .bold = TRUE, .colour = TAPUL_BLACK};
        const char *name = tapul_laying_rule_name(sheet->lifted[i]->rule);
        double gap_mm = i > 0 ? 0.5 * format->text_mm : 0;
        y = tapul_set_paragraph(page, tapul_vec2(at.x, y - gap_mm), width_mm, name, &type);
        y = size_rows(page, tapul_vec2(at.x, y), width_mm, format, sheet->lifted[i]);
    }
    return paragraph(page, tapul_vec2(at.x, y), width_mm, format, TRUE, MARGIN_WORDS);
}

/* --- Where rules differ --- */

static double difference_block(TapulPage *page, TapulVec2 at, double width_mm,
                               const TapulFormat *format, gconstpointer data) {
    const TapulLiftSheet *sheet = ((const TapulLiftWords *)data)->sheet;
    const TapulLiftComparison *comparison = sheet->comparison;
    double y = tapul_set_heading(page, at, width_mm, "Where the rules differ", format);
    g_autofree char *text = g_strdup_printf(
        "The sheets are turned and shifted to lie on the first as nearly as can be. They put "
        "one "
        "point of the design at most %.1f mm apart, %.0f mm from the left and %.0f mm from the "
        "foot of the %s sheet's plate mark. %s",
        comparison->max_mm, comparison->at_mm.x, comparison->at_mm.y,
        tapul_laying_rule_name(sheet->lifted[0]->rule),
        comparison->apart->len == 0
            ? "Nowhere do they differ by more than 1 mm: the answer does not depend on the "
              "rule."
            : "Thin bars join what they put more than 1 mm apart: there a print that fits one "
              "rule speaks against the others.");
    return paragraph(page, tapul_vec2(at.x, y), width_mm, format, FALSE, text);
}

/* --- Legends --- */

static double mark_sample(TapulPage *page, TapulVec2 at, double width_mm,
                          const TapulFormat *format, const char *text) {
    TapulSample sample = {.pen = tapul_lift_mark_pen, .text = text};
    return tapul_set_sample(page, at, width_mm, sample, format);
}

static double legend_block(TapulPage *page, TapulVec2 at, double width_mm,
                           const TapulFormat *format, gconstpointer data) {
    const TapulLiftWords *words = data;
    const TapulLifted *lifted = words->sheet->lifted[words->lifted];
    TapulSample ink = {
        .kind = TAPUL_SAMPLE_FLOURISH,
        .pen = {.stroke = lifted->rgba ? TAPUL_PRINT_INK : TAPUL_BLACK, .width_mm = 0.35},
        .ground = TAPUL_SHEET_PAPER,
        .text = lifted->rgba ? "the tracing, over the photographs" : "the design as lifted"};
    double y = tapul_set_heading(page, at, width_mm, "Legend", format);
    if (lifted->ink)
        y = tapul_set_sample(page, tapul_vec2(at.x, y), width_mm, ink, format);
    return mark_sample(page, tapul_vec2(at.x, y), width_mm, format, "likely plate mark");
}

/* The lines of each rule; returns the y below. */
static double rule_samples(TapulPage *page, TapulVec2 at, double width_mm,
                           const TapulFormat *format, const TapulLiftSheet *sheet) {
    for (int i = 0; i < sheet->n; i++) {
        const TapulRuleLine *line = tapul_lift_rule_line(sheet->lifted[i]->rule);
        g_autofree char *text = g_strdup_printf(
            "%s, %s", tapul_laying_rule_name(sheet->lifted[i]->rule), line->line);
        TapulSample sample = {.kind = TAPUL_SAMPLE_FLOURISH,
                              .pen = line->pen,
                              .ground = TAPUL_SHEET_PAPER,
                              .text = text};
        at.y = tapul_set_sample(page, at, width_mm, sample, format);
    }
    return at.y;
}

static double rules_legend_block(TapulPage *page, TapulVec2 at, double width_mm,
                                 const TapulFormat *format, gconstpointer data) {
    const TapulLiftSheet *sheet = ((const TapulLiftWords *)data)->sheet;
    const char *first = tapul_laying_rule_name(sheet->lifted[0]->rule);
    g_autofree char *mark = g_strdup_printf("likely plate mark, %s", first);
    g_autofree char *shown = g_strdup_printf("What the photographs show stands as %s.", first);
    double y = tapul_set_heading(page, at, width_mm, "Legend", format);
    y = sheet->lifted[0]->ink
            ? rule_samples(page, tapul_vec2(at.x, y), width_mm, format, sheet)
            : paragraph(page, tapul_vec2(at.x, y), width_mm, format, FALSE, shown);
    TapulSample apart = {.pen = tapul_lift_apart_pen,
                         .text = "one point of the design, more than 1 mm apart"};
    if (sheet->comparison->apart->len > 0)
        y = tapul_set_sample(page, tapul_vec2(at.x, y), width_mm, apart, format);
    return mark_sample(page, tapul_vec2(at.x, y), width_mm, format, mark);
}

TapulFit tapul_lift_words(TapulPage *page, TapulBox space, const TapulFormat *format,
                          gconstpointer data) {
    static const TapulBlock blocks[] = {design_block, size_block, legend_block};
    return tapul_set_columns(page, space, format, blocks, (int)G_N_ELEMENTS(blocks), data);
}

TapulFit tapul_lift_comparison_words(TapulPage *page, TapulBox space, const TapulFormat *format,
                                     gconstpointer data) {
    static const TapulBlock blocks[] = {design_block, difference_block, all_sizes_block,
                                        rules_legend_block};
    return tapul_set_columns(page, space, format, blocks, (int)G_N_ELEMENTS(blocks), data);
}
