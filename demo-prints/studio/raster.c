#include "raster.h"

#include <string.h>
#include <vips/vips.h>

Raster *raster_new(Vec2 corner_mm, double width_mm, double height_mm, double px_per_mm) {
    Raster *raster = g_new0(Raster, 1);
    raster->width_px = (int)ceil(width_mm * px_per_mm);
    raster->height_px = (int)ceil(height_mm * px_per_mm);
    raster->px_per_mm = px_per_mm;
    raster->corner_mm = corner_mm;
    raster->value = g_new0(float, (gsize)raster->width_px *(gsize)raster->height_px);
    return raster;
}

void raster_free(Raster *raster) {
    if (!raster)
        return;
    g_free(raster->value);
    g_free(raster);
}

static gsize raster_pixels(const Raster *raster) {
    return (gsize)raster->width_px * (gsize)raster->height_px;
}

Raster *raster_copy(const Raster *raster) {
    Raster *copy = g_memdup2(raster, sizeof *raster);
    copy->value = g_memdup2(raster->value, raster_pixels(raster) * sizeof(float));
    return copy;
}

double raster_at(const Raster *raster, double x_mm, double y_mm) {
    double x = (x_mm - raster->corner_mm.x) * raster->px_per_mm - 0.5;
    double y = raster->height_px - (y_mm - raster->corner_mm.y) * raster->px_per_mm - 0.5;
    if (!(x >= 0 && y >= 0 && x < raster->width_px - 1 && y < raster->height_px - 1))
        return 0;
    int column = (int)x, row = (int)y;
    double across = x - column, down = y - row;
    const float *at = raster->value + (gsize)row * (gsize)raster->width_px + column;
    const float *below = at + raster->width_px;
    return mix(mix((double)at[0], (double)at[1], across),
               mix((double)below[0], (double)below[1], across), down);
}

void raster_draw(Raster *raster, RasterDraw draw, gconstpointer data) {
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_A8, raster->width_px, raster->height_px);
    cairo_t *cr = cairo_create(surface);
    cairo_translate(cr, 0, raster->height_px);
    cairo_scale(cr, raster->px_per_mm, -raster->px_per_mm);
    cairo_translate(cr, -raster->corner_mm.x, -raster->corner_mm.y);
    draw(cr, data);
    cairo_surface_flush(surface);
    const unsigned char *pixels = cairo_image_surface_get_data(surface);
    int stride = cairo_image_surface_get_stride(surface);
    for (int row = 0; row < raster->height_px; row++)
        for (int column = 0; column < raster->width_px; column++)
            raster->value[(gsize)row * (gsize)raster->width_px + (gsize)column] =
                (float)pixels[(gsize)row * (gsize)stride + (gsize)column] / 255;
    cairo_destroy(cr);
    cairo_surface_destroy(surface);
}

typedef struct {
    RsvgHandle *print;
    char *layer; /* NULL: the whole print */
    GError **error;
    gboolean drawn;
} PrintDrawing;

static void draw_print(cairo_t *cr, gconstpointer data) {
    PrintDrawing *drawing = *(PrintDrawing *const *)data;
    gdouble width_px, height_px;
    rsvg_handle_get_intrinsic_size_in_pixels(drawing->print, &width_px, &height_px);
    const double mm_per_px = 25.4 / RASTER_PRINT_DPI;
    RsvgRectangle page = {0, 0, width_px * mm_per_px, height_px * mm_per_px};
    cairo_translate(cr, 0, page.height);
    cairo_scale(cr, 1, -1);
    drawing->drawn =
        drawing->layer ? rsvg_handle_render_layer(drawing->print, cr, drawing->layer, &page,
                                                  drawing->error)
                       : rsvg_handle_render_document(drawing->print, cr, &page, drawing->error);
}

gboolean raster_draw_print(Raster *raster, RsvgHandle *print, const char *motif,
                           GError **error) {
    g_autofree char *layer = motif ? g_strconcat("#", motif, NULL) : NULL;
    PrintDrawing drawing = {print, layer, error, FALSE}, *handed = &drawing;
    raster_draw(raster, draw_print, &handed);
    return drawing.drawn;
}

static void raster_take(Raster *raster, VipsImage *made) {
    gsize size = 0;
    g_autofree float *pixels = vips_image_write_to_memory(made, &size);
    g_assert(pixels && size == raster_pixels(raster) * sizeof(float));
    memcpy(raster->value, pixels, size);
}

static VipsImage *raster_image(const Raster *raster) {
    return vips_image_new_from_memory(raster->value, raster_pixels(raster) * sizeof(float),
                                      raster->width_px, raster->height_px, 1,
                                      VIPS_FORMAT_FLOAT);
}

void raster_blur(Raster *raster, double sigma_mm) {
    VipsImage *image = raster_image(raster), *blurred = NULL;
    if (vips_gaussblur(image, &blurred, sigma_mm * raster->px_per_mm, "precision",
                       VIPS_PRECISION_FLOAT, NULL))
        g_error("%s", vips_error_buffer());
    raster_take(raster, blurred);
    g_object_unref(blurred);
    g_object_unref(image);
}

static int window_px(const Raster *raster, double reach_mm) {
    return 2 * (int)lround(reach_mm * raster->px_per_mm) + 1;
}

static void raster_rank(Raster *raster, Vec2 reach_mm, gboolean largest) {
    int wide_px = window_px(raster, reach_mm.x), high_px = window_px(raster, reach_mm.y);
    VipsImage *image = raster_image(raster), *along = NULL, *ranked = NULL;
    if (vips_rank(image, &along, wide_px, 1, largest ? wide_px - 1 : 0, NULL) ||
        vips_rank(along, &ranked, 1, high_px, largest ? high_px - 1 : 0, NULL))
        g_error("%s", vips_error_buffer());
    raster_take(raster, ranked);
    g_object_unref(ranked);
    g_object_unref(along);
    g_object_unref(image);
}

void raster_widen(Raster *raster, Vec2 reach_mm) {
    raster_rank(raster, reach_mm, TRUE);
}

void raster_close(Raster *raster, Vec2 reach_mm) {
    raster_rank(raster, reach_mm, TRUE);
    raster_rank(raster, reach_mm, FALSE);
}

/* The value of other at a pixel of raster. */
static double other_at(const Raster *raster, const Raster *other, int column, int row) {
    return raster_at(other, raster->corner_mm.x + (column + 0.5) / raster->px_per_mm,
                     raster->corner_mm.y + (raster->height_px - row - 0.5) / raster->px_per_mm);
}

void raster_join(Raster *raster, const Raster *other) {
    float *at = raster->value;
    for (int row = 0; row < raster->height_px; row++)
        for (int column = 0; column < raster->width_px; column++, at++)
            *at = fmaxf(*at, (float)other_at(raster, other, column, row));
}

void raster_take_away(Raster *raster, const Raster *other) {
    float *at = raster->value;
    for (int row = 0; row < raster->height_px; row++)
        for (int column = 0; column < raster->width_px; column++, at++)
            *at *= 1 - (float)other_at(raster, other, column, row);
}

void raster_sharpen_edges(Raster *raster, double low, double high) {
    for (gsize i = 0; i < raster_pixels(raster); i++)
        raster->value[i] = (float)ease(low, high, (double)raster->value[i]);
}

void raster_move(Raster *raster, Vec2 by_mm) {
    int right = (int)lround(by_mm.x * raster->px_per_mm);
    int down = -(int)lround(by_mm.y * raster->px_per_mm);
    g_autofree float *from = raster->value;
    raster->value = g_new0(float, raster_pixels(raster));
    for (int row = MAX(0, down); row < MIN(raster->height_px, raster->height_px + down); row++)
        for (int column = MAX(0, right);
             column < MIN(raster->width_px, raster->width_px + right); column++)
            raster->value[(gsize)row * (gsize)raster->width_px + (gsize)column] =
                from[(gsize)(row - down) * (gsize)raster->width_px + (gsize)(column - right)];
}
