/* A field of values over a rectangle in mm, y up: ink, depth, scratches. */
#ifndef STUDIO_RASTER_H
#define STUDIO_RASTER_H

#include "vec.h"

#include <cairo.h>
#include <librsvg/rsvg.h>

typedef struct {
    int width_px, height_px;
    double px_per_mm;
    Vec2 corner_mm; /* lower left */
    float *value;   /* [height_px][width_px], rows from the top, in [0, 1] */
} Raster;

/* All zero. */
Raster *raster_new(Vec2 corner_mm, double width_mm, double height_mm, double px_per_mm);
void raster_free(Raster *raster);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(Raster, raster_free)

Raster *raster_copy(const Raster *raster);

/* Between pixels linear; 0 outside. */
double raster_at(const Raster *raster, double x_mm, double y_mm);

/* Draws in mm, y up: what is painted becomes the raster's value by its coverage. */
typedef void (*RasterDraw)(cairo_t *cr, gconstpointer data);
void raster_draw(Raster *raster, RasterDraw draw, gconstpointer data);

/* In which a print's handle has to count its millimetres, whatever screen is about. */
#define RASTER_PRINT_DPI 96

/* A print whose page is its plate mark; motif NULL: all of it. FALSE: it cannot be drawn. */
gboolean raster_draw_print(Raster *raster, RsvgHandle *print, const char *motif,
                           GError **error);

void raster_blur(Raster *raster, double sigma_mm);
/* The largest value within reach, across and up. */
void raster_widen(Raster *raster, Vec2 reach_mm);
/* Fills gaps up to twice reach_mm. */
void raster_close(Raster *raster, Vec2 reach_mm);

/* The larger of two values everywhere; the other raster may be finer or coarser. */
void raster_join(Raster *raster, const Raster *other);
/* Takes away where other is. */
void raster_take_away(Raster *raster, const Raster *other);
/* 0 below low, 1 above high. */
void raster_sharpen_edges(Raster *raster, double low, double high);
/* Moves what is in it, in whole pixels. */
void raster_move(Raster *raster, Vec2 by_mm);

#endif
