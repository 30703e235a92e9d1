#include "sheet/figure.h"

struct TapulFigure {
    TapulBox box_mm;
};

TapulFigure *tapul_figure_print(const TapulComparison *comparison, int print,
                                gboolean reversed) {
    (void)reversed;
    const TapulPrint *source = g_ptr_array_index(comparison->question->prints, print);
    TapulFigure *figure = g_new0(TapulFigure, 1);
    figure->box_mm.max = tapul_vec2(source->ink->width_mm, source->ink->height_mm);
    return figure;
}

TapulFigure *tapul_figure_development(const TapulComparison *comparison, TapulBox box_mm,
                                      TapulShown shown, int laying) {
    (void)comparison, (void)shown, (void)laying;
    TapulFigure *figure = g_new0(TapulFigure, 1);
    figure->box_mm = box_mm;
    return figure;
}

TapulFigure *tapul_figure_view(const TapulComparison *comparison, double turn_rad,
                               double tilt_rad, TapulShown shown, int laying) {
    (void)comparison, (void)turn_rad, (void)tilt_rad, (void)shown, (void)laying;
    TapulFigure *figure = g_new0(TapulFigure, 1);
    figure->box_mm.max = tapul_vec2(300, 400);
    return figure;
}

void tapul_figure_free(TapulFigure *figure) {
    g_free(figure);
}

TapulBox tapul_figure_box_mm(const TapulFigure *figure) {
    return figure->box_mm;
}

void tapul_figure_crop(TapulFigure *figure, TapulBox box_mm) {
    figure->box_mm = box_mm;
}

void tapul_figure_draw(const TapulFigure *figure, TapulPage *page, TapulVec2 at, double scale,
                       const char *id, const char *title) {
    (void)figure, (void)page, (void)at, (void)scale, (void)id, (void)title;
}

gboolean tapul_figure_of_plate(const TapulFigure *figure, TapulVec2 developed_mm,
                               TapulVec2 *own_mm) {
    (void)figure;
    *own_mm = developed_mm;
    return TRUE;
}

GPtrArray *tapul_shown_motifs(const TapulComparison *comparison, int laying) {
    (void)comparison, (void)laying;
    return g_ptr_array_new();
}

char *tapul_motif_fate_words(const TapulComparison *comparison, const TapulShownMotif *motif) {
    (void)comparison, (void)motif;
    return NULL;
}

TapulBox tapul_laid_box_mm(const TapulComparison *comparison, int laying) {
    const TapulCaseLaid *laid = g_ptr_array_index(comparison->laid, laying);
    (void)laid;
    return (TapulBox){{0, 0}, {100, 100}};
}
