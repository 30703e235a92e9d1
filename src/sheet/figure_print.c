/* A print as a figure: an impression, black on paper, its plate mark pressed into it.
 *
 * figure.c has drawn nothing but the clip when it comes here. A scan is shown itself where the
 * case shows it so.
 */
#include "sheet/figure_parts.h"

#include "sheet/furniture.h"

/* A little darker and warmer than the page; within the plate mark by a trace of plate tone. */
static const TapulColour paper = {0.968, 0.951, 0.915, 1};
static const TapulColour plate_tone = {0.958, 0.938, 0.898, 1};
/* The pressed line: dark where the paper bends down, light where it comes up beside it. More
 * than 3 : 1 against the paper (WCAG 2). */
static const TapulColour pressed = {0.53, 0.49, 0.43, 1};
static const TapulColour raised = {0.995, 0.990, 0.978, 1};
#define RAISED_MM 0.26 /* width of the light line, on the page */

static gboolean shows_scan(const TapulFigure *figure) {
    const TapulCase *question = figure->comparison->question;
    for (guint i = 0; i < question->layings->len; i++) {
        const TapulCaseLaying *laying = question->layings->pdata[i];
        if (laying->print == figure->print && laying->show != TAPUL_SHOW_INK)
            return TRUE;
    }
    return FALSE;
}

static TapulBox mirrored(TapulBox box, double width_mm) {
    return (TapulBox){{width_mm - box.max.x, box.min.y}, {width_mm - box.min.x, box.max.y}};
}

static void draw_ink(const TapulFigure *figure, TapulPage *page, const TapulPrint *print,
                     double scale, const char *id) {
    const TapulInk *ink = print->ink;
    TapulInking inking = tapul_figure_inking(TAPUL_BLACK, plate_tone, scale);
    TapulAffine mirror = {-1, 0, 0, 1, ink->width_mm, 0};
    TapulBox window = figure->box_mm;
    g_autofree char *name = g_strconcat(id, "-", print->id, NULL);
    if (figure->reversed)
        window = mirrored(window, ink->width_mm);
    tapul_page_begin_group(page, name, print->title ? print->title : print->id,
                           figure->reversed ? &mirror : NULL);
    if (!shows_scan(figure) || !tapul_figure_draw_scan(page, ink, window, scale))
        tapul_figure_draw_marks(page, ink->marks, ink->motifs, name, &inking, window, scale);
    tapul_page_end_group(page);
}

static gboolean lies_within(TapulBox box, TapulBox mark) {
    return box.min.x >= mark.min.x && box.min.y >= mark.min.y && box.max.x <= mark.max.x &&
           box.max.y <= mark.max.y;
}

/* None where the figure ends at the mark or within it: strips that are set side by side would
 * show a line where the paper goes on. */
static void draw_mark(const TapulFigure *figure, TapulPage *page, TapulBox mark, double scale,
                      const char *id) {
    g_autofree char *name = g_strconcat(id, "-plate-mark", NULL);
    double beside_mm = (RAISED_MM + TAPUL_HAIRLINE_MM) / 2 / scale;
    g_autoptr(TapulPath) line = tapul_box_path(mark);
    g_autoptr(TapulPath) light = tapul_box_path(tapul_box_padded(mark, beside_mm));
    if (lies_within(figure->box_mm, mark))
        return;
    tapul_page_begin_group(page, name, "Plate mark", NULL);
    tapul_page_path(page, light, &(TapulPen){.stroke = raised, .width_mm = RAISED_MM / scale});
    tapul_page_path(page, line,
                    &(TapulPen){.stroke = pressed, .width_mm = TAPUL_HAIRLINE_MM / scale});
    tapul_page_end_group(page);
}

void tapul_figure_draw_print(const TapulFigure *figure, TapulPage *page, double scale,
                             const char *id) {
    const TapulPrint *print =
        g_ptr_array_index(figure->comparison->question->prints, figure->print);
    TapulBox mark = {{0, 0}, {print->ink->width_mm, print->ink->height_mm}};
    g_autoptr(TapulPath) sheet = tapul_box_path(figure->box_mm);
    g_autoptr(TapulPath) inside = tapul_box_path(mark);
    tapul_page_path(page, sheet, &(TapulPen){.fill = paper});
    tapul_page_path(page, inside, &(TapulPen){.fill = plate_tone});
    draw_ink(figure, page, print, scale, id);
    draw_mark(figure, page, mark, scale, id);
}
