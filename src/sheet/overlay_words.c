/* The overlay sheet's words: the plate, what each laying came to, and the legend.
 *
 * layout.c sets them beside or below the development.
 */
#include "sheet/overlay_parts.h"

#include "sheet/columns.h"
#include "sheet/furniture.h"
#include "sheet/plate_lines.h"
#include "sheet/rows.h"

/* --- Figures in words --- */

/* A length as it is said: metres with two decimals, whole millimetres, tenths of a few. */
static void append_length(GString *text, double length_mm) {
    if (length_mm >= 999.5)
        g_string_append_printf(text, "%.2f\u00a0m", length_mm / 1000);
    else
        g_string_append_printf(text, length_mm < 9.95 ? "%.1f\u00a0mm" : "%.0f\u00a0mm",
                               length_mm);
}

static void append_lost(GString *text, const TapulLaidInk *laid) {
    if (laid->beyond_edge_mm <= 0 && laid->beyond_edge_fills == 0) {
        g_string_append(text, " Nothing lies beyond the edge.");
        return;
    }
    if (laid->beyond_edge_mm > 0) {
        g_string_append_c(text, ' ');
        append_length(text, laid->beyond_edge_mm);
        g_string_append(text, " of line lie beyond the edge.");
    }
    if (laid->beyond_edge_fills > 0)
        g_string_append_printf(text, " %d area%s cut by the edge.", laid->beyond_edge_fills,
                               laid->beyond_edge_fills == 1 ? " is" : "s are");
}

/* Where a sheet folds over its stretch falls towards nothing: that least is the fold's. */
static void append_stretch(GString *text, const TapulLaidInk *laid, gboolean ridge) {
    if (laid->folded_mm <= 0 && laid->folded_fills == 0) {
        g_autofree char *least = g_strdup_printf("%.3f", laid->stretch_min);
        g_autofree char *greatest = g_strdup_printf("%.3f", laid->stretch_max);
        if (g_str_equal(least, greatest))
            g_string_append_printf(text, " Stretch %s throughout.", least);
        else
            g_string_append_printf(text, " Stretch %s–%s.", least, greatest);
        return;
    }
    g_string_append_printf(text, " Stretch at most %.3f; ", laid->stretch_max);
    if (laid->folded_mm > 0)
        append_length(text, laid->folded_mm);
    else
        g_string_append_printf(text, "%d areas", laid->folded_fills);
    g_string_append_printf(text, " of it fold over%s, and the stretch falls to %.3f there.",
                           ridge ? ", where the sheet would wrinkle at the ridge" : "",
                           laid->stretch_min);
}

char *tapul_laying_figures(const TapulLaidInk *laid, gboolean ridge) {
    GString *text = g_string_new(NULL);
    if (laid->ink_length_mm > 0) {
        append_length(text, laid->ink_length_mm);
        g_string_append(text, " of line in the print, ");
        append_length(text, laid->laid_length_mm);
        g_string_append(text, " on the metal.");
    } else
        g_string_append(text, "Areas only, no lines.");
    append_stretch(text, laid, ridge);
    append_lost(text, laid);
    return g_string_free(text, FALSE);
}

/* --- Blocks --- */

/* On every overlay, since the page may go round without its report. */
#define CAUTION                                                                                \
    "A laying shows where a print would fall; a good fit alone does not prove it the source."

static double ground_block(TapulPage *page, TapulVec2 at, double width_mm,
                           const TapulFormat *format, gconstpointer data) {
    const TapulGround *ground = ((const TapulOverlaySheet *)data)->overlay->ground;
    TapulType type = {.size_mm = format->text_mm, .colour = TAPUL_BLACK};
    g_autofree char *text =
        g_strdup_printf("%s, laid flat at true scale (1\u00a0:\u00a01) by the rule %s.",
                        tapul_plate_name(ground->plate),
                        tapul_development_rule_name(ground->development->rule));
    double y = tapul_set_heading(page, at, width_mm, "The plate", format);
    y = tapul_set_paragraph(page, tapul_vec2(at.x, y), width_mm, text, &type);
    if (*tapul_plate_source(ground->plate)) {
        g_autofree char *source =
            g_strdup_printf("Plate: %s.", tapul_plate_source(ground->plate));
        y = tapul_set_paragraph(page, tapul_vec2(at.x, y), width_mm, source, &type);
    }
    y = tapul_fit_caution(page, tapul_vec2(at.x, y), width_mm, format, ground->plate);
    type.italic = TRUE;
    return tapul_set_paragraph(page, tapul_vec2(at.x, y), width_mm, CAUTION, &type);
}

static double print_block(TapulPage *page, TapulVec2 at, double width_mm,
                          const TapulFormat *format, gconstpointer data) {
    const TapulOverlay *overlay = ((const TapulOverlaySheet *)data)->overlay;
    double em = format->text_mm, x = at.x;
    TapulType name = {.size_mm = em, .italic = TRUE, .colour = TAPUL_BLACK};
    TapulType text = {.size_mm = em, .colour = TAPUL_BLACK};
    double y = tapul_set_heading(page, at, width_mm,
                                 overlay->n_layings == 1 ? "The print" : "The prints", format);
    if (overlay->n_layings == 0)
        y = tapul_set_paragraph(page, tapul_vec2(x, y), width_mm, "No print is laid.", &text);
    for (int i = 0; i < overlay->n_layings; i++) {
        const TapulOverlayLaying *laying = &overlay->layings[i];
        g_autofree char *figures =
            tapul_laying_figures(laying->laid, tapul_plate_has_ridge(overlay->ground->plate));
        g_autofree char *caption = tapul_minus_signs(laying->caption);
        g_autofree char *title = g_strdup_printf("%s: %s", laying->name, caption);
        y = tapul_set_paragraph(page, tapul_vec2(x, y - (i > 0 ? 0.6 * em : 0)), width_mm,
                                title, &name);
        y = tapul_set_paragraph(page, tapul_vec2(x, y), width_mm, figures, &text);
    }
    return y;
}

/* A scan's paper, as the legend's sample of it. */
#define PAPER_TONE ((TapulColour){0.91, 0.87, 0.78, 1})

static double legend_block(TapulPage *page, TapulVec2 at, double width_mm,
                           const TapulFormat *format, gconstpointer data) {
    const TapulOverlaySheet *sheet = data;
    const TapulOverlay *overlay = sheet->overlay;
    TapulColour under = overlay->etched ? sheet->colours.ground : TAPUL_NO_COLOUR;
    TapulShownPictures shown = tapul_overlay_pictures(overlay);
    TapulSample picture = {
        .kind = TAPUL_SAMPLE_PICTURE,
        .pen = {.stroke = overlay->etched ? sheet->colours.line : TAPUL_BLACK,
                .width_mm = 0.18},
        .ground = overlay->etched ? under : PAPER_TONE,
        .text = shown.under_lines ? "scan laid as a picture, under its lines"
                                  : "scan laid as a picture; small views: its lines"};
    TapulSample print = {.kind = TAPUL_SAMPLE_FLOURISH,
                         .pen = {.stroke = sheet->colours.print, .width_mm = 0.35},
                         .ground = under,
                         .text = overlay->found ? "the print as laid, full line"
                                                : "the print as laid"};
    TapulSample found = {.kind = TAPUL_SAMPLE_FLOURISH,
                         .pen = {.stroke = sheet->colours.found,
                                 .width_mm = 0.35,
                                 .n_dash = 2,
                                 .dash_mm = {1.6, 0.72}},
                         .ground = under,
                         .text = "the design found on the plate, dashed"};
    TapulSample pair = {.kind = TAPUL_SAMPLE_PAIR,
                        .pen = {.stroke = sheet->colours.found},
                        .ground = under,
                        .text = "pair picked on print and plate"};
    double x = at.x;
    double y = tapul_set_heading(page, at, width_mm, "Legend", format);
    if (shown.any)
        y = tapul_set_sample(page, tapul_vec2(x, y), width_mm, picture, format);
    y = tapul_set_sample(page, tapul_vec2(x, y), width_mm, print, format);
    if (overlay->found)
        y = tapul_set_sample(page, tapul_vec2(x, y), width_mm, found, format);
    if (overlay->n_pairs > 0)
        y = tapul_set_sample(page, tapul_vec2(x, y), width_mm, pair, format);
    return tapul_plate_legend(page, tapul_vec2(x, y), width_mm, format, overlay->ground,
                              sheet->colours.line, under);
}

TapulFit tapul_overlay_words(TapulPage *page, TapulBox space, const TapulFormat *format,
                             gconstpointer data) {
    static const TapulBlock blocks[] = {ground_block, print_block, legend_block};
    return tapul_set_columns(page, space, format, blocks, (int)G_N_ELEMENTS(blocks), data);
}
