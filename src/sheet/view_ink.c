/* Ink carried from the development to a view, and the lines that bound the metal there.
 *
 * The overlay sheet's views and the comparison's figures draw with it.
 */
#include "sheet/view_ink.h"

#include "sheet/thin.h"

#define PICTURE_DPI 150.0
/* A picture of more pixels than this would swell the files without showing more. */
#define MOST_PIXELS      1.5e6
#define TOLERANCE_MM     0.03 /* on the page: a quarter of a hairline */
#define THINNED_MM       0.02 /* on the page: lines narrower than a hairline keep their width */
#define EDGE_WIDTH_MM    0.25
#define CONTOUR_WIDTH_MM 0.18

double tapul_view_pixel_mm(const TapulView *view, double scale) {
    return tapul_raster_pixel_mm(view->box_mm, 25.4 / PICTURE_DPI / scale, MOST_PIXELS);
}

static void free_paths(TapulPath **paths, guint n) {
    for (guint i = 0; i < n; i++)
        tapul_path_free(paths[i]);
    g_free(paths);
}

static TapulPath **carry(const TapulView *view, const GPtrArray *marks, double scale) {
    TapulPath **paths = g_new(TapulPath *, marks->len);
#pragma omp parallel for schedule(dynamic, 16)
    for (guint i = 0; i < marks->len; i++) {
        const TapulMark *mark = marks->pdata[i];
        g_autoptr(TapulPath) thinned = tapul_path_thinned(mark->path, THINNED_MM / scale);
        paths[i] =
            tapul_view_path(view, thinned, mark->kind == TAPUL_MARK_FILL, TOLERANCE_MM / scale);
    }
    return paths;
}

void tapul_view_draw_ink(TapulPage *page, const TapulView *view, const GPtrArray *marks,
                         const GPtrArray *motifs, const char *name, const TapulInking *inking,
                         double scale) {
    TapulPath **paths = carry(view, marks, scale);
    tapul_inking_draw(page, marks, paths, motifs, name, inking);
    free_paths(paths, marks->len);
}

void tapul_view_draw_lines(TapulPage *page, const TapulView *view, double scale) {
    TapulPen line = {.stroke = TAPUL_BLACK, .cap = TAPUL_CAP_ROUND, .join = TAPUL_JOIN_ROUND};
    g_autoptr(TapulPath) contour = tapul_view_contour(view);
    g_autoptr(TapulPath) edge = tapul_view_edge(view);
    line.width_mm = CONTOUR_WIDTH_MM / scale;
    tapul_page_path(page, contour, &line);
    line.width_mm = EDGE_WIDTH_MM / scale;
    tapul_page_path(page, edge, &line);
}
