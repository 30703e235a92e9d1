/* One view of the overlay sheet: the shaded plate with the laid prints and the found design on
 * it, hidden parts hidden.
 */
#include "sheet/overlay_parts.h"

#include "sheet/furniture.h"
#include "sheet/page_items.h"
#include "sheet/view_ink.h"

/* Radius of a pair's mark on the metal. */
#define PAIR_MM 1.1
/* Smaller marks, on the page, could not be told from the ink: they are left out. */
#define LEAST_PAIR_MM    0.35
#define LEAST_FOUND_MM   0.1 /* on the page: dashes must be seen */

static void draw_pairs(TapulPage *page, const TapulOverlaySheet *sheet, const TapulView *view,
                       double scale, const char *view_id) {
    const TapulOverlay *overlay = sheet->overlay;
    g_autofree char *id = g_strconcat(view_id, "-pairs", NULL);
    if (overlay->n_pairs == 0 || PAIR_MM * scale < LEAST_PAIR_MM)
        return;
    tapul_page_begin_group(page, id, "Pairs picked on print and plate", NULL);
    for (int i = 0; i < overlay->n_pairs; i++) {
        TapulVec2 seen;
        if (tapul_view_point(view, overlay->pair_developed_mm[i], &seen))
            tapul_draw_pair(page, seen, PAIR_MM, sheet->colours.found, sheet->colours.ground);
    }
    tapul_page_end_group(page);
}

static void draw_all_ink(TapulPage *page, const TapulOverlaySheet *sheet, const TapulView *view,
                         int picture, double scale, const char *id) {
    const TapulOverlay *overlay = sheet->overlay;
    TapulInking inking = {.ink = sheet->colours.print,
                          .ground = sheet->colours.ground,
                          .least_width_mm = TAPUL_LEAST_INK_MM / scale,
                          .picture = picture,
                          .picture_box_mm = view->shade->box_mm};
    for (int i = 0; i < overlay->n_layings; i++) {
        const TapulOverlayLaying *laying = &overlay->layings[i];
        g_autofree char *name = g_strconcat(id, "-", laying->name, NULL);
        tapul_view_draw_ink(page, view, laying->laid->marks,
                            laying->ink ? laying->ink->motifs : NULL, name, &inking, scale);
    }
    if (!overlay->found)
        return;
    g_autofree char *name = g_strconcat(id, "-found", NULL);
    inking.ink = sheet->colours.found;
    inking.found = TRUE;
    inking.least_width_mm = LEAST_FOUND_MM / scale;
    inking.dash_mm = 1.0 / scale;
    tapul_view_draw_ink(page, view, overlay->found->marks, overlay->found->motifs, name,
                        &inking, scale);
}

void tapul_overlay_draw_view(TapulPage *page, int number, TapulVec2 at, double scale,
                             gconstpointer data) {
    const TapulOverlaySheet *sheet = data;
    static const char *const id[] = {"front", "three-quarters"};
    static const char *const title[] = {"The plate from the front",
                                        "The plate from three-quarters"};
    TapulView *view = sheet->view[number];
    TapulBox box = view->box_mm;
    tapul_view_shade(view, tapul_view_pixel_mm(view, scale),
                     sheet->overlay->etched ? TAPUL_METAL_BLACKENED : TAPUL_METAL_BRIGHT);
    const TapulRaster *shade = view->shade;
    TapulAffine place = {
        scale, 0, 0, scale, at.x - scale * box.min.x, at.y - scale * box.min.y};
    tapul_page_begin_group(page, id[number], title[number], &place);
    int picture = tapul_page_keep_picture(page, shade->width_px, shade->height_px, shade->rgba);
    tapul_page_draw_picture(page, shade->box_mm, picture);
    draw_all_ink(page, sheet, view, picture, scale, id[number]);
    draw_pairs(page, sheet, view, scale, id[number]);
    tapul_view_draw_lines(page, view, scale);
    tapul_page_end_group(page);
}
