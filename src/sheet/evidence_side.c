/* Beside the evidence sheet's overlay: its legend, and the table of pairs with how far each is
 * off. */
#include "sheet/evidence_parts.h"

#include "evidence/verdict_words.h"
#include "sheet/furniture.h"
#include "sheet/page_items.h"
#include "sheet/plate_lines.h"
#include "sheet/rows.h"

/* The middle of a legend's sample, and half its length, as tapul_set_sample has them, in ems.
 */
#define SAMPLE_MIDDLE_EMS 2.1
#define SAMPLE_HALF_EMS   1.8
#define SAMPLE_DROP_EMS   0.59

static double set_arrow(TapulPage *page, TapulVec2 at, double width_mm,
                        const TapulEvidenceParts *parts) {
    double em = parts->format.text_mm;
    g_autofree char *times = parts->magnification == 1
                                 ? g_strdup("to the drawing's scale")
                                 : g_strdup_printf("%g times as long", parts->magnification);
    g_autofree char *text = g_strdup_printf(
        "residual: from where the print puts the point to where it was found, drawn %s", times);
    TapulVec2 middle = {at.x + SAMPLE_MIDDLE_EMS * em, at.y - SAMPLE_DROP_EMS * em};
    double y =
        tapul_set_sample(page, at, width_mm, (TapulSample){.text = text}, &parts->format);
    tapul_evidence_arrow(page, tapul_vec2(middle.x - SAMPLE_HALF_EMS * em, middle.y),
                         tapul_vec2(middle.x + SAMPLE_HALF_EMS * em, middle.y));
    return y;
}

double tapul_evidence_legend(TapulPage *page, TapulBox room, const TapulEvidenceParts *parts) {
    const TapulFormat *format = &parts->format;
    double x = room.min.x, width_mm = room.max.x - room.min.x;
    tapul_page_begin_group(page, "legend", "Legend", NULL);
    double y = tapul_set_heading(page, tapul_vec2(x, room.max.y), width_mm, "Legend", format);
    TapulSample print = {.kind = TAPUL_SAMPLE_FLOURISH,
                         .pen = {.stroke = TAPUL_PRINT_INK, .width_mm = 0.35},
                         .text = "the print, full line"};
    TapulSample traced = {.kind = TAPUL_SAMPLE_FLOURISH,
                          .pen = {.stroke = TAPUL_PLATE_INK,
                                  .width_mm = 0.35,
                                  .n_dash = 2,
                                  .dash_mm = {1.6, 0.72}},
                          .text = "the design found, dashed"};
    TapulSample pair = {.kind = TAPUL_SAMPLE_PAIR,
                        .pen = {.stroke = TAPUL_PLATE_INK},
                        .ground = TAPUL_NO_COLOUR,
                        .text = "pair, where found on the plate"};
    y = tapul_set_sample(page, tapul_vec2(x, y), width_mm, print, format);
    if (parts->sheet->question->found)
        y = tapul_set_sample(page, tapul_vec2(x, y), width_mm, traced, format);
    y = tapul_set_sample(page, tapul_vec2(x, y), width_mm, pair, format);
    y = set_arrow(page, tapul_vec2(x, y), width_mm, parts);
    y = tapul_plate_legend(page, tapul_vec2(x, y), width_mm, format,
                           &parts->sheet->question->ground, TAPUL_QUIET, TAPUL_NO_COLOUR);
    tapul_page_end_group(page);
    return y;
}

static double set_pair(const TapulRows *rows, double y, const TapulEvidenceParts *parts,
                       int k) {
    const TapulPrintEvidence *found = parts->found;
    g_autofree char *label = tapul_pair_label(parts->sheet->question, found, k);
    g_autofree char *number = g_strdup_printf("%d", k + 1);
    g_autofree char *name =
        k == found->suspect ? g_strconcat("? ", label, NULL) : g_strdup(label);
    g_autofree char *residual = g_strdup_printf("%.2f", parts->best->residual_mm[k]);
    double loo_mm = parts->best->loo_residual_mm[k];
    g_autofree char *loo = isfinite(loo_mm) ? g_strdup_printf("%.2f", loo_mm) : g_strdup("–");
    char *cells[] = {number, name, residual, loo};
    return tapul_rows_add(rows, y, k == found->suspect, cells);
}

/* As many pairs from *first on as one column has room for; returns the y below. */
static double set_column(TapulPage *page, TapulBox room, const TapulEvidenceParts *parts,
                         int most, int *first) {
    static const TapulColumn columns[] = {{"", 0.10, TAPUL_ALIGN_LEFT},
                                          {"pair", 0.56, TAPUL_ALIGN_LEFT},
                                          {"off", 0.17, TAPUL_ALIGN_RIGHT},
                                          {"alone", 0.17, TAPUL_ALIGN_RIGHT}};
    TapulRows rows = {page,
                      room.min.x,
                      room.max.x - room.min.x,
                      TAPUL_TABLE_TEXT_MM,
                      (int)G_N_ELEMENTS(columns),
                      columns};
    double y = tapul_rows_heads(&rows, room.max.y);
    for (int set = 0; set < most && *first < parts->found->n_pairs; set++)
        y = set_pair(&rows, y, parts, (*first)++);
    return y;
}

double tapul_evidence_pairs(TapulPage *page, TapulBox room, int columns,
                            const TapulEvidenceParts *parts) {
    static const char words[] =
        "In mm over the metal; alone: with the placement found from the other pairs.";
    TapulType quiet = {.size_mm = TAPUL_TABLE_TEXT_MM, .italic = TRUE, .colour = TAPUL_BLACK};
    double width_mm = room.max.x - room.min.x, gap_mm = 2 * TAPUL_TABLE_TEXT_MM;
    double column_mm = (width_mm - (columns - 1) * gap_mm) / columns;
    double row_mm = TAPUL_LEADING * TAPUL_TABLE_TEXT_MM, lowest = room.max.y;
    int n = parts->found->n_pairs, set = 0;
    tapul_page_begin_group(page, "pair-table", "How far each pair is off", NULL);
    double y = tapul_set_heading(page, tapul_vec2(room.min.x, room.max.y), width_mm,
                                 "How far each pair is off", &parts->format);
    /* Room is kept for the heads, a row of more and two lines of words. */
    int most = MAX((int)floor((y - room.min.y) / row_mm) - 5, 1);
    most = MIN(most, (n + columns - 1) / columns);
    for (int i = 0; i < columns && set < n; i++) {
        double left = room.min.x + i * (column_mm + gap_mm);
        TapulBox column = {{left, room.min.y}, {left + column_mm, y}};
        lowest = fmin(lowest, set_column(page, column, parts, most, &set));
    }
    g_autofree char *note =
        set < n ? g_strdup_printf("%d more are in residuals.csv. %s", n - set, words)
                : g_strdup(words);
    y = tapul_set_paragraph(page, tapul_vec2(room.min.x, lowest - 0.4 * TAPUL_TABLE_TEXT_MM),
                            width_mm, note, &quiet);
    tapul_page_end_group(page);
    return y;
}
