/* Triangles drawn on a raster: nine samples a pixel, nearest to the viewer wins. Internal to
 * sheet/.
 *
 * Seen frame: mm, x right, y up, z towards the viewer. */
#ifndef TAPUL_SHEET_RASTER_H
#define TAPUL_SHEET_RASTER_H

#include <tapul/mesh.h>

typedef struct {
    double red, green, blue; /* 0 to 1 */
} TapulRgb;

/* The colour of a triangle about a place of it; back: its inner side is seen. Called from
 * several threads. */
typedef TapulRgb (*TapulTriangleColour)(int triangle, TapulVec2 at_mm, gboolean back,
                                        gconstpointer data);

typedef struct {
    int width_px, height_px;
    double pixel_mm;
    TapulBox box_mm; /* what the picture covers */
    guint8 *rgba;    /* not premultiplied, rows from the top, clear where there is no metal */
    float *depth_mm; /* [height_px][width_px] z of the farthest metal seen in the pixel;
                        -INFINITY where some of the pixel is bare */
} TapulRaster;

/* The size of a pixel for a picture of box_mm: wanted_mm, or larger where the picture would
 * have more than most_pixels or be too long for a file. */
double tapul_raster_pixel_mm(TapulBox box_mm, double wanted_mm, double most_pixels);

/* seen_mm[n_vertices] are the mesh's vertices in the seen frame. */
TapulRaster *tapul_raster_new(const TapulMesh *mesh, const TapulVec3 *seen_mm, double pixel_mm,
                              TapulTriangleColour colour, gconstpointer data);
void tapul_raster_free(TapulRaster *raster);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulRaster, tapul_raster_free)

/* Whether a point at depth z_mm is in front of all metal about it, but for tolerance_mm.
 * Outside the picture everything is seen. */
gboolean tapul_raster_sees(const TapulRaster *raster, TapulVec2 at_mm, double z_mm,
                           double tolerance_mm);

#endif
