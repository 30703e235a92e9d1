/* A rectified photograph carried back to the sheet: each pixel of the sheet is laid by the
 * rule, and shows what the photograph shows of the metal there. */
#include "laying/lift_parts.h"

#include "base/picture.h"
#include "ink/region.h"

#include <string.h>

/* More than this no sheet needs: 30 cm square at 650 dpi. */
#define MOST_PIXELS 60e6

typedef struct {
    const TapulLifted *lifted;
    const TapulRectified *rectified;
    const GPtrArray *rings; /* of the region, or NULL */
} SheetMap;

/* A pixel of the sheet -> of the rectified photograph. */
static gboolean sheet_to_rectified(TapulVec2 to_px, TapulVec2 *from_px, gconstpointer data) {
    const SheetMap *map = data;
    const TapulRectified *rectified = map->rectified;
    TapulVec2 sheet_mm = {to_px.x * map->lifted->pixel_mm,
                          map->lifted->height_mm - to_px.y * map->lifted->pixel_mm};
    TapulVec2 at;
    if (!tapul_laying_developed(map->lifted->laying, sheet_mm, &at) ||
        (map->rings && !tapul_rings_contain(map->rings, FALSE, at)))
        return FALSE;
    *from_px = tapul_vec2((at.x - rectified->box_mm.min.x) / rectified->pixel_mm,
                          (rectified->box_mm.max.y - at.y) / rectified->pixel_mm);
    return TRUE;
}

void tapul_lift_picture(TapulLifted *lifted, const TapulRectified *rectified,
                        const TapulLiftOptions *options) {
    double area_mm2 = lifted->width_mm * lifted->height_mm;
    lifted->pixel_mm = fmax(rectified->pixel_mm, sqrt(area_mm2 / MOST_PIXELS));
    lifted->width_px = (int)ceil(lifted->width_mm / lifted->pixel_mm);
    lifted->height_px = (int)ceil(lifted->height_mm / lifted->pixel_mm);
    g_autoptr(GPtrArray) rings = options->region ? tapul_rings_new(options->region) : NULL;
    SheetMap map = {lifted, rectified, rings};
    TapulPixels source = {rectified->width_px, rectified->height_px, 4, rectified->rgba};
    TapulWarpOptions warp = tapul_warp_options_defaults();
    g_autoptr(TapulPixels) pixels = tapul_pixels_warp(
        &source, lifted->width_px, lifted->height_px, sheet_to_rectified, &map, &warp);
    lifted->rgba = g_steal_pointer(&pixels->data);
}
