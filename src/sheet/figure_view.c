/* The plate as seen, as a figure: shaded metal with what lies on it, hidden parts hidden.
 *
 * A photograph cannot lie on it: a view shows the tracing in its place, or the prints as laid.
 */
#include "sheet/figure_parts.h"

#include "sheet/page_items.h"
#include "sheet/view_ink.h"

/* Of the larger side: so fine is a view shaded that is only asked for points. */
#define COARSE_SHARE (1.0 / 500)
/* A picture this much finer than wanted is drawn as it is. */
#define FINER_SHARE 0.6

static TapulMetal metal_of(TapulShown shown) {
    switch (shown) {
    case TAPUL_SHOWN_ETCHED:
        return TAPUL_METAL_BLACKENED;
    case TAPUL_SHOWN_LAID:
        return TAPUL_METAL_PALE;
    case TAPUL_SHOWN_BARE:
    case TAPUL_SHOWN_FOUND:
        return TAPUL_METAL_BRIGHT;
    }
    g_assert_not_reached();
}

void tapul_figure_shade(const TapulFigure *figure, double scale) {
    TapulView *view = figure->view;
    TapulVec2 size = tapul_vec2_sub(view->box_mm.max, view->box_mm.min);
    double pixel_mm =
        scale > 0 ? tapul_view_pixel_mm(view, scale) : COARSE_SHARE * fmax(size.x, size.y);
    if (view->shade && (scale <= 0 || (view->shade->pixel_mm <= pixel_mm &&
                                       view->shade->pixel_mm >= FINER_SHARE * pixel_mm)))
        return;
    tapul_view_shade(view, pixel_mm, metal_of(figure->shown));
}

void tapul_figure_draw_view(const TapulFigure *figure, TapulPage *page, double scale,
                            const char *id) {
    g_autoptr(GArray) inks = tapul_figure_inks(figure, scale);
    tapul_figure_shade(figure, scale);
    const TapulRaster *shade = figure->view->shade;
    int picture = tapul_page_keep_picture(page, shade->width_px, shade->height_px, shade->rgba);
    tapul_page_draw_picture(page, shade->box_mm, picture);
    for (guint i = 0; i < inks->len; i++) {
        TapulShownInk *ink = &g_array_index(inks, TapulShownInk, i);
        g_autofree char *name = g_strconcat(id, "-", ink->name, NULL);
        ink->inking.picture = picture;
        ink->inking.picture_box_mm = shade->box_mm;
        tapul_page_begin_group(page, name, ink->title, NULL);
        tapul_view_draw_ink(page, figure->view, ink->marks, ink->motifs, name, &ink->inking,
                            scale);
        tapul_page_end_group(page);
    }
    tapul_view_draw_lines(page, figure->view, scale);
}
