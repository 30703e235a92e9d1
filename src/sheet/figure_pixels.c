/* The pixels of figures: a part of a laid scan or a rectified photograph, and a scanned print's
 * own, with as many pixels as a page shows.
 *
 * Apart from the other parts because the pages' own pictures are another type of the same name.
 */
#include "base/picture.h"

#include "sheet/figure_parts.h"
#include "sheet/rectified_parts.h"

/* On the page: what a printed page is held to show of a picture (common practice is 300 for
 * large reproductions; figures are small, and files are sent about). */
#define PICTURE_DPI 220.0
#define MOST_PIXELS 4e6

/* --- Pixels of the development --- */

/* The whole pixels that touch the window; FALSE: none. */
static gboolean part_of(const TapulShownPixels *all, double pixel_mm, TapulBox window,
                        TapulRectified *part, int *first_x, int *first_y) {
    double left = (window.min.x - all->box_mm.min.x) / pixel_mm,
           right = (window.max.x - all->box_mm.min.x) / pixel_mm,
           top = (all->box_mm.max.y - window.max.y) / pixel_mm,
           bottom = (all->box_mm.max.y - window.min.y) / pixel_mm;
    *first_x = (int)floor(CLAMP(left, 0, all->width_px));
    *first_y = (int)floor(CLAMP(top, 0, all->height_px));
    part->width_px = (int)ceil(CLAMP(right, 0, all->width_px)) - *first_x;
    part->height_px = (int)ceil(CLAMP(bottom, 0, all->height_px)) - *first_y;
    if (part->width_px <= 0 || part->height_px <= 0)
        return FALSE;
    part->pixel_mm = pixel_mm;
    TapulVec2 upper_left = {all->box_mm.min.x + *first_x * pixel_mm,
                            all->box_mm.max.y - *first_y * pixel_mm};
    part->box_mm = (TapulBox){{upper_left.x, upper_left.y - part->height_px * pixel_mm},
                              {upper_left.x + part->width_px * pixel_mm, upper_left.y}};
    return TRUE;
}

static guint8 *pixels_of_part(const TapulShownPixels *all, const TapulRectified *part,
                              int first_x, int first_y) {
    gsize row = 4 * (gsize)part->width_px;
    guint8 *rgba = g_malloc_n(row, (gsize)part->height_px);
    for (int y = 0; y < part->height_px; y++) {
        gsize from = (gsize)(first_y + y) * (gsize)all->width_px + (gsize)first_x;
        memcpy(rgba + (gsize)y * row, all->rgba + 4 * from, row);
    }
    return rgba;
}

void tapul_figure_draw_pixels(TapulPage *page, TapulShownPixels pixels, TapulBox window,
                              double scale) {
    TapulRectified part = {0};
    int first_x, first_y, width_px, height_px;
    double pixel_mm = (pixels.box_mm.max.x - pixels.box_mm.min.x) / pixels.width_px;
    if (!part_of(&pixels, pixel_mm, window, &part, &first_x, &first_y))
        return;
    part.rgba = pixels_of_part(&pixels, &part, first_x, first_y);
    g_autofree guint8 *reduced =
        tapul_rectified_reduced(&part, PICTURE_DPI * scale, MOST_PIXELS, &width_px, &height_px);
    tapul_page_picture(page, part.box_mm, width_px, height_px, reduced);
    g_free(part.rgba);
}

/* --- A scanned print --- */

typedef struct {
    const TapulScan *scan;
    TapulVec2 upper_left_mm; /* print frame */
    TapulVec2 pixel_mm;
} Way;

static gboolean scan_place(TapulVec2 to_px, TapulVec2 *from_px, gconstpointer data) {
    const Way *way = data;
    *from_px = tapul_scan_pixel(way->scan,
                                tapul_vec2(way->upper_left_mm.x + to_px.x * way->pixel_mm.x,
                                           way->upper_left_mm.y - to_px.y * way->pixel_mm.y));
    return TRUE;
}

/* The pixels that the page can use of a side: no more than the scan has. */
static int side_px(double side_mm, double scan_px_per_mm, double scale) {
    double px_per_mm = fmin(scan_px_per_mm, PICTURE_DPI * scale / 25.4);
    return MAX((int)lround(side_mm * px_per_mm), 1);
}

gboolean tapul_figure_draw_scan(TapulPage *page, const TapulInk *ink, TapulBox window,
                                double scale) {
    TapulBox mark = {{0, 0}, {ink->width_mm, ink->height_mm}};
    TapulBox box = tapul_box_common(mark, window);
    g_autoptr(TapulPixels) pixels = NULL;
    if (ink->scan && !tapul_box_is_empty(box))
        pixels = tapul_pixels_load(ink->scan->path, NULL);
    if (!pixels || pixels->width_px != ink->scan->width_px ||
        pixels->height_px != ink->scan->height_px)
        return FALSE;
    TapulVec2 size = tapul_vec2_sub(box.max, box.min);
    int width_px = side_px(size.x, tapul_vec2_length(ink->scan->px_by_x), scale);
    int height_px = side_px(size.y, tapul_vec2_length(ink->scan->px_by_y), scale);
    Way way = {ink->scan, {box.min.x, box.max.y}, {size.x / width_px, size.y / height_px}};
    TapulWarpOptions how = tapul_warp_options_defaults();
    g_autoptr(TapulPixels) drawn =
        tapul_pixels_warp(pixels, width_px, height_px, scan_place, &way, &how);
    tapul_page_picture(page, box, width_px, height_px, drawn->data);
    return TRUE;
}
