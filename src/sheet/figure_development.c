/* A part of the plate laid flat as a figure: metal, its own lines, and what lies on it.
 *
 * figure.c has drawn nothing but the clip when it comes here. Beyond the plate's edge the page
 * is seen.
 */
#include "sheet/figure_parts.h"

#include "sheet/furniture.h"
#include "sheet/plate_lines.h"
#include "sheet/rectified_parts.h"
#include "sheet/thin.h"

#define THINNED_MM 0.01 /* on the page: the edge is the boldest line */
/* The plate's lines against those of the sheets at true scale: figures are small. */
#define LINES_SHARE 0.7

static const TapulRectified *photograph_of(const TapulFigure *figure) {
    return figure->shown == TAPUL_SHOWN_FOUND ? figure->comparison->rectified : NULL;
}

static void draw_photograph(const TapulFigure *figure, TapulPage *page, double scale,
                            const char *id) {
    const TapulRectified *seen = photograph_of(figure);
    TapulShownPixels pixels = {seen->box_mm, seen->width_px, seen->height_px, seen->rgba};
    g_autofree char *name = g_strconcat(id, "-photograph", NULL);
    tapul_page_begin_group(page, name, "The plate as photographed", NULL);
    tapul_figure_draw_pixels(page, pixels, figure->box_mm, scale);
    tapul_draw_unseen(page, seen, scale);
    tapul_page_end_group(page);
}

static void draw_pictures(const TapulFigure *figure, TapulPage *page, const GArray *inks,
                          double scale, const char *id) {
    for (guint i = 0; i < inks->len; i++) {
        const TapulShownInk *ink = &g_array_index(inks, TapulShownInk, i);
        const TapulLaidPicture *picture = ink->picture;
        g_autofree char *name = g_strconcat(id, "-", ink->name, "-picture", NULL);
        if (!picture)
            continue;
        TapulShownPixels pixels = {picture->box_mm, picture->width_px, picture->height_px,
                                   picture->rgba};
        tapul_page_begin_group(page, name, "The scan laid as a picture", NULL);
        tapul_figure_draw_pixels(page, pixels, figure->box_mm, scale);
        tapul_page_end_group(page);
    }
}

/* Not clipped to the edge: laid ink is cut there, and a PDF would hold that clip again for
 * every mark. */
static void draw_inks(const TapulFigure *figure, TapulPage *page, const GArray *inks,
                      double scale, const char *id) {
    for (guint i = 0; i < inks->len; i++) {
        const TapulShownInk *ink = &g_array_index(inks, TapulShownInk, i);
        g_autofree char *name = g_strconcat(id, "-", ink->name, NULL);
        if (ink->picture_alone)
            continue;
        tapul_page_begin_group(page, name, ink->title, NULL);
        tapul_figure_draw_marks(page, ink->marks, ink->motifs, name, &ink->inking,
                                figure->box_mm, scale);
        tapul_page_end_group(page);
    }
}

void tapul_figure_draw_development(const TapulFigure *figure, TapulPage *page, double scale,
                                   const char *id) {
    g_autoptr(TapulPath) edge = tapul_path_thinned(figure->edge, THINNED_MM / scale);
    g_autoptr(GArray) inks = tapul_figure_inks(figure, scale);
    g_autofree char *name = g_strconcat(id, "-plate", NULL);
    gboolean photograph = photograph_of(figure) != NULL;
    tapul_page_path(page, edge, &(TapulPen){.fill = tapul_shown_ground(figure->shown)});
    tapul_page_begin_clip(page, edge);
    if (photograph)
        draw_photograph(figure, page, scale, id);
    draw_pictures(figure, page, inks, scale, id);
    tapul_page_end_clip(page);
    tapul_page_begin_group(page, name, "The plate's own lines", NULL);
    tapul_plate_lines_at(page, &figure->comparison->question->ground, edge,
                         tapul_shown_line(figure->shown), scale / LINES_SHARE, FALSE);
    tapul_page_end_group(page);
    if (!photograph)
        draw_inks(figure, page, inks, scale, id);
}
