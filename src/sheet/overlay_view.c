/* One view of the overlay sheet: the shaded plate with the laid prints and the found design on
 * it, hidden parts hidden.
 */
#include "sheet/overlay_column.h"

#include "sheet/furniture.h"
#include "sheet/page_items.h"

#define PICTURE_DPI 150.0
/* A picture of more pixels than this would swell the files without showing more. */
#define MOST_PIXELS      1.5e6
#define TOLERANCE_MM     0.05 /* on the page: under half a hairline */
#define LEAST_WIDTH_MM   0.06 /* on the page */
#define EDGE_WIDTH_MM    0.25
#define CONTOUR_WIDTH_MM 0.18

static void free_paths(TapulPath **paths, guint n) {
    for (guint i = 0; i < n; i++)
        tapul_path_free(paths[i]);
    g_free(paths);
}

static TapulPath **carry(const TapulView *view, const GPtrArray *marks, double tolerance_mm) {
    TapulPath **paths = g_new(TapulPath *, marks->len);
#pragma omp parallel for schedule(dynamic, 16)
    for (guint i = 0; i < marks->len; i++) {
        const TapulMark *mark = marks->pdata[i];
        paths[i] =
            tapul_view_path(view, mark->path, mark->kind == TAPUL_MARK_FILL, tolerance_mm);
    }
    return paths;
}

static void draw_ink(TapulPage *page, const TapulView *view, const GPtrArray *marks,
                     const GPtrArray *motifs, const char *name, const TapulInking *inking,
                     double scale) {
    TapulPath **paths = carry(view, marks, TOLERANCE_MM / scale);
    tapul_inking_draw(page, marks, paths, motifs, name, inking);
    free_paths(paths, marks->len);
}

static void draw_pairs(TapulPage *page, const TapulOverlaySheet *sheet, const TapulView *view,
                       double radius_mm) {
    const TapulOverlay *overlay = sheet->overlay;
    for (int i = 0; i < overlay->n_pairs; i++) {
        TapulVec2 seen;
        if (tapul_view_point(view, overlay->pair_developed_mm[i], &seen))
            tapul_draw_pair(page, seen, radius_mm, sheet->colours.found, sheet->colours.ground);
    }
}

static void draw_all_ink(TapulPage *page, const TapulOverlaySheet *sheet, const TapulView *view,
                         int picture, double scale, const char *id) {
    const TapulOverlay *overlay = sheet->overlay;
    TapulInking inking = {.ink = sheet->colours.print,
                          .ground = sheet->colours.ground,
                          .least_width_mm = LEAST_WIDTH_MM / scale,
                          .picture = picture,
                          .picture_box_mm = view->shade->box_mm};
    for (int i = 0; i < overlay->n_layings; i++) {
        const TapulOverlayLaying *laying = &overlay->layings[i];
        g_autofree char *name = g_strconcat(id, "-", laying->name, NULL);
        draw_ink(page, view, laying->laid->marks, laying->ink ? laying->ink->motifs : NULL,
                 name, &inking, scale);
    }
    if (!overlay->found)
        return;
    g_autofree char *name = g_strconcat(id, "-found", NULL);
    inking.ink = sheet->colours.found;
    inking.found = TRUE;
    inking.dash_mm = 1.0 / scale;
    draw_ink(page, view, overlay->found->marks, overlay->found->motifs, name, &inking, scale);
}

void tapul_overlay_draw_view(TapulPage *page, const TapulOverlaySheet *sheet, int number,
                             TapulVec2 at, double scale) {
    static const char *const id[] = {"front", "three-quarters"};
    static const char *const title[] = {"The plate from the front",
                                        "The plate from three-quarters"};
    TapulView *view = sheet->view[number];
    TapulBox box = view->box_mm;
    double pixel_mm = tapul_raster_pixel_mm(box, 25.4 / PICTURE_DPI / scale, MOST_PIXELS);
    tapul_view_shade(view, pixel_mm,
                     sheet->overlay->etched ? TAPUL_METAL_BLACKENED : TAPUL_METAL_BRIGHT);
    const TapulRaster *shade = view->shade;
    TapulAffine place = {
        scale, 0, 0, scale, at.x - scale * box.min.x, at.y - scale * box.min.y};
    tapul_page_begin_group(page, id[number], title[number], &place);
    int picture = tapul_page_keep_picture(page, shade->width_px, shade->height_px, shade->rgba);
    tapul_page_draw_picture(page, shade->box_mm, picture);
    draw_all_ink(page, sheet, view, picture, scale, id[number]);
    draw_pairs(page, sheet, view, 1.0 / scale);
    TapulPen line = {.stroke = TAPUL_BLACK, .cap = TAPUL_CAP_ROUND, .join = TAPUL_JOIN_ROUND};
    g_autoptr(TapulPath) contour = tapul_view_contour(view);
    g_autoptr(TapulPath) edge = tapul_view_edge(view);
    line.width_mm = CONTOUR_WIDTH_MM / scale;
    tapul_page_path(page, contour, &line);
    line.width_mm = EDGE_WIDTH_MM / scale;
    tapul_page_path(page, edge, &line);
    tapul_page_end_group(page);
}
