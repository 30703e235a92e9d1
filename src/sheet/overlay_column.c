/* The overlay sheet's column: finds the largest scale at which two views and the text fit, and
 * sets them.
 *
 * layout.c offers it the space beside or below the development; overlay_view.c draws the views.
 */
#include "sheet/overlay_column.h"

#include "sheet/columns.h"
#include "sheet/furniture.h"
#include "sheet/plate_lines.h"

#define GAP_EMS 2.5

/* Scales of the views, largest first; a catalogue names no odder ones. */
static const double reductions[] = {1, 1.5, 2, 2.5, 3, 4, 5};

static const char *const view_names[] = {
    "From the front", "From three-quarters, turned 35° and seen from 12° above"};

/* --- Text --- */

static char *laying_figures(const TapulLaidInk *laid) {
    GString *text = g_string_new(NULL);
    g_string_append_printf(
        text, "Ink %.0f\u00a0mm in the print, %.0f\u00a0mm on the metal; stretch %.3f–%.3f. ",
        laid->ink_length_mm, laid->laid_length_mm, laid->stretch_min, laid->stretch_max);
    if (laid->beyond_edge_mm <= 0 && laid->beyond_edge_fills == 0)
        g_string_append(text, "Nothing lies beyond the edge.");
    if (laid->beyond_edge_mm > 0)
        g_string_append_printf(text, "%.1f\u00a0mm of line lie beyond the edge.",
                               laid->beyond_edge_mm);
    if (laid->beyond_edge_fills > 0)
        g_string_append_printf(text, "%s%d area%s cut by the edge.",
                               laid->beyond_edge_mm > 0 ? " " : "", laid->beyond_edge_fills,
                               laid->beyond_edge_fills == 1 ? " is" : "s are");
    if (laid->folded_mm > 0)
        g_string_append_printf(text, " %.1f\u00a0mm are folded over.", laid->folded_mm);
    return g_string_free(text, FALSE);
}

static double ground_block(TapulPage *page, TapulVec2 at, double width_mm,
                           const TapulFormat *format, gconstpointer data) {
    const TapulGround *ground = ((const TapulOverlaySheet *)data)->overlay->ground;
    TapulType type = {.size_mm = format->text_mm, .colour = TAPUL_BLACK};
    g_autofree char *text =
        g_strdup_printf("%s, laid flat at true scale (1\u00a0:\u00a01) by the rule %s.",
                        tapul_plate_name(ground->plate),
                        tapul_development_rule_name(ground->development->rule));
    double y = tapul_set_heading(page, at, width_mm, "The plate", format);
    return tapul_set_paragraph(page, tapul_vec2(at.x, y), width_mm, text, &type);
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
        g_autofree char *figures = laying_figures(laying->laid);
        g_autofree char *title = g_strdup_printf("%s: %s", laying->name, laying->caption);
        y = tapul_set_paragraph(page, tapul_vec2(x, y - (i > 0 ? 0.6 * em : 0)), width_mm,
                                title, &name);
        y = tapul_set_paragraph(page, tapul_vec2(x, y), width_mm, figures, &text);
    }
    return y;
}

static double legend_block(TapulPage *page, TapulVec2 at, double width_mm,
                           const TapulFormat *format, gconstpointer data) {
    const TapulOverlaySheet *sheet = data;
    const TapulOverlay *overlay = sheet->overlay;
    TapulColour under = overlay->etched ? sheet->colours.ground : TAPUL_NO_COLOUR;
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
    y = tapul_set_sample(page, tapul_vec2(x, y), width_mm, print, format);
    if (overlay->found)
        y = tapul_set_sample(page, tapul_vec2(x, y), width_mm, found, format);
    if (overlay->n_pairs > 0)
        y = tapul_set_sample(page, tapul_vec2(x, y), width_mm, pair, format);
    return tapul_plate_legend(page, tapul_vec2(x, y), width_mm, format, overlay->ground,
                              sheet->colours.line, under);
}

static TapulFit set_text(TapulPage *page, TapulBox space, const TapulFormat *format,
                         const TapulOverlaySheet *sheet) {
    static const TapulBlock blocks[] = {ground_block, print_block, legend_block};
    return tapul_set_columns(page, space, format, blocks, (int)G_N_ELEMENTS(blocks), sheet);
}

/* --- Views --- */

/* Where views and text stand: views in a row or one over the other, text below or beside. */
typedef struct {
    gboolean stacked, text_beside;
    double reduction;
    TapulVec2 view_at[2]; /* upper left of each */
    double view_width_mm[2], view_height_mm[2];
    TapulBox text;
    double bottom_mm, width_mm; /* of all of it */
} Placing;

static double caption_height(double width_mm, const TapulFormat *format, const char *text) {
    TapulType type = {.size_mm = format->text_mm, .italic = TRUE};
    return 0.8 * format->text_mm -
           tapul_set_paragraph(NULL, tapul_vec2(0, 0), width_mm, text, &type);
}

static char *view_caption(int view, double reduction) {
    return g_strdup_printf("%s, 1\u00a0:\u00a0%g", view_names[view], reduction);
}

/* FALSE where the views alone do not fit. */
static gboolean place(Placing *p, TapulBox space, const TapulFormat *format,
                      const TapulOverlaySheet *sheet) {
    double gap_mm = GAP_EMS * format->text_mm, room_mm = space.max.x - space.min.x, height[2];
    for (int i = 0; i < 2; i++) {
        TapulBox box = sheet->view[i]->box_mm;
        p->view_width_mm[i] = (box.max.x - box.min.x) / p->reduction;
        p->view_height_mm[i] = (box.max.y - box.min.y) / p->reduction;
        g_autofree char *caption = view_caption(i, p->reduction);
        height[i] = p->view_height_mm[i] + caption_height(p->view_width_mm[i], format, caption);
    }
    double first_width = p->view_width_mm[0], second_width = p->view_width_mm[1];
    double width_mm =
        p->stacked ? fmax(first_width, second_width) : first_width + gap_mm + second_width;
    double views_mm = p->stacked ? height[0] + gap_mm + height[1] : fmax(height[0], height[1]);
    p->view_at[0] = p->view_at[1] = tapul_vec2(space.min.x, space.max.y);
    if (p->stacked)
        p->view_at[1].y -= height[0] + gap_mm;
    else
        p->view_at[1].x += first_width + gap_mm;
    p->text = space;
    if (p->text_beside)
        p->text.min.x += width_mm + gap_mm;
    else
        p->text.max.y -= views_mm + gap_mm;
    if (width_mm > room_mm ||
        p->text.max.x - p->text.min.x < TAPUL_LEAST_COLUMN_EMS * format->text_mm)
        return FALSE;
    TapulFit text = set_text(NULL, p->text, format, sheet);
    p->width_mm = fmax(width_mm, p->text.min.x - space.min.x + text.width_mm);
    p->bottom_mm = fmin(text.bottom_mm, space.max.y - views_mm);
    return p->bottom_mm >= space.min.y;
}

/* The placing with the largest views that fits, and of those the shortest; FALSE where none
 * does. */
static gboolean find_placing(Placing *best, TapulBox space, const TapulFormat *format,
                             const TapulOverlaySheet *sheet) {
    gboolean found = FALSE;
    for (guint i = 0; i < G_N_ELEMENTS(reductions) && !found; i++)
        for (int way = 0; way < 4; way++) {
            Placing placing = {
                .stacked = way & 1, .text_beside = way & 2, .reduction = reductions[i]};
            if (!place(&placing, space, format, sheet))
                continue;
            if (!found || placing.bottom_mm > best->bottom_mm)
                *best = placing;
            found = TRUE;
        }
    return found;
}

static void draw_view(TapulPage *page, const Placing *p, int i, const TapulFormat *format,
                      const TapulOverlaySheet *sheet) {
    double em = format->text_mm;
    TapulVec2 at = {p->view_at[i].x, p->view_at[i].y - p->view_height_mm[i]};
    tapul_overlay_draw_view(page, sheet, i, at, 1 / p->reduction);
    g_autofree char *caption = view_caption(i, p->reduction);
    TapulType type = {.size_mm = em, .italic = TRUE, .colour = TAPUL_BLACK};
    tapul_set_paragraph(page, tapul_vec2(at.x, at.y - 0.8 * em), p->view_width_mm[i], caption,
                        &type);
}

TapulFit tapul_overlay_column(TapulPage *page, TapulBox space, const TapulFormat *format,
                              gpointer data) {
    const TapulOverlaySheet *sheet = data;
    Placing placing = {.bottom_mm = -INFINITY};
    if (!find_placing(&placing, space, format, sheet))
        return (TapulFit){-INFINITY, 0, -INFINITY};
    if (page) {
        for (int i = 0; i < 2; i++)
            draw_view(page, &placing, i, format, sheet);
        set_text(page, placing.text, format, sheet);
    }
    return (TapulFit){placing.bottom_mm, placing.width_mm, 1 / placing.reduction};
}
