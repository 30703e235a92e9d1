/* A software rasteriser: z-buffer, nine samples a pixel, whatever colour its caller gives each
 * triangle.
 *
 * Shaded views (metal.c) and stretch maps are drawn by it, and views ask its depth what is
 * hidden. Triangles are sorted into strips of rows, and each strip is drawn and resolved by
 * itself, so that the samples never stand in memory all at once.
 */
#include "sheet/raster.h"

#include <string.h>

#define SAMPLES    3  /* a side of the pixel */
#define STRIP_ROWS 16 /* pixel rows of a strip: its samples stay in the processor's cache */
#define MARGIN_PX  2  /* bare pixels around the metal */

/* --- Triangles on the raster --- */

/* a + bx x + by y over the raster's samples */
typedef struct {
    double a, bx, by;
} Plane;

typedef struct {
    TapulVec2
        p[3]; /* samples from the raster's upper left, y down; counter-clockwise by x, y */
    Plane depth;
    gboolean back; /* its inner side is seen */
    int first_strip, last_strip;
} Facet;

static Plane plane_through(const TapulVec2 p[3], double v0, double v1, double v2) {
    TapulVec2 e1 = tapul_vec2_sub(p[1], p[0]), e2 = tapul_vec2_sub(p[2], p[0]);
    double area = tapul_vec2_cross(e1, e2);
    Plane plane = {.bx = ((v1 - v0) * e2.y - (v2 - v0) * e1.y) / area,
                   .by = ((v2 - v0) * e1.x - (v1 - v0) * e2.x) / area};
    plane.a = v0 - plane.bx * p[0].x - plane.by * p[0].y;
    return plane;
}

static double plane_at(const Plane *plane, double x, double y) {
    return plane->a + plane->bx * x + plane->by * y;
}

typedef struct {
    const TapulMesh *mesh;
    const TapulVec3 *seen_mm;
    TapulTriangleColour colour;
    gconstpointer colour_data;
    TapulRaster *raster;
    Facet *facets;   /* [n_triangles] */
    GArray **strips; /* [n_strips] of int: the facets that reach into each */
    int n_strips;
} Job;

/* FALSE for a facet seen edge-on, which covers nothing. */
static gboolean prepare_facet(const Job *job, int triangle, Facet *facet) {
    const TapulRaster *raster = job->raster;
    double sample_mm = raster->pixel_mm / SAMPLES;
    double z[3], low = INFINITY, high = -INFINITY;
    for (int k = 0; k < 3; k++) {
        TapulVec3 at = job->seen_mm[job->mesh->corner[triangle][k]];
        facet->p[k] = (TapulVec2){(at.x - raster->box_mm.min.x) / sample_mm,
                                  (raster->box_mm.max.y - at.y) / sample_mm};
        z[k] = at.z;
        low = fmin(low, facet->p[k].y);
        high = fmax(high, facet->p[k].y);
    }
    double area = tapul_vec2_cross(tapul_vec2_sub(facet->p[1], facet->p[0]),
                                   tapul_vec2_sub(facet->p[2], facet->p[0]));
    if (area == 0)
        return FALSE;
    facet->back = area > 0; /* y runs down here */
    facet->depth = plane_through(facet->p, z[0], z[1], z[2]);
    facet->first_strip = CLAMP((int)(low / (STRIP_ROWS * SAMPLES)), 0, job->n_strips - 1);
    facet->last_strip = CLAMP((int)(high / (STRIP_ROWS * SAMPLES)), 0, job->n_strips - 1);
    return TRUE;
}

static void sort_into_strips(Job *job) {
    for (int i = 0; i < job->n_strips; i++)
        job->strips[i] = g_array_new(FALSE, FALSE, sizeof(int));
    for (int t = 0; t < job->mesh->n_triangles; t++) {
        Facet *facet = &job->facets[t];
        if (!prepare_facet(job, t, facet))
            continue;
        for (int i = facet->first_strip; i <= facet->last_strip; i++)
            g_array_append_val(job->strips[i], t);
    }
}

/* --- One strip --- */

typedef struct {
    int width, height, top; /* samples; top: the first row's place on the raster */
    int *triangle;          /* [height][width]; -1 bare */
    float *depth;
} Strip;

/* Narrows [from, to] to where the row's sample centres lie on the inner side of an edge. */
static void narrow_span(TapulVec2 a, TapulVec2 b, double side, double y, double *from,
                        double *to) {
    double ex = b.x - a.x, ey = b.y - a.y;
    /* inside: side * (ex (y - a.y) - ey (x - a.x)) >= 0 */
    double slope = -side * ey, constant = side * (ex * (y - a.y) + ey * a.x);
    if (slope > 0)
        *from = fmax(*from, -constant / slope);
    else if (slope < 0)
        *to = fmin(*to, -constant / slope);
    else if (constant < 0)
        *to = -INFINITY;
}

static void draw_facet(Strip *strip, const Facet *facet, int triangle) {
    double low = fmin(fmin(facet->p[0].y, facet->p[1].y), facet->p[2].y);
    double high = fmax(fmax(facet->p[0].y, facet->p[1].y), facet->p[2].y);
    int first = MAX((int)ceil(low - 0.5) - strip->top, 0);
    int last = MIN((int)floor(high - 0.5) - strip->top, strip->height - 1);
    double side = facet->back ? 1 : -1;
    for (int row = first; row <= last; row++) {
        double y = row + strip->top + 0.5;
        double from = 0.5, to = strip->width - 0.5;
        for (int k = 0; k < 3; k++)
            narrow_span(facet->p[k], facet->p[(k + 1) % 3], side, y, &from, &to);
        if (!(from <= to))
            continue;
        float *depth = strip->depth + (gsize)row * (gsize)strip->width;
        int *owner = strip->triangle + (gsize)row * (gsize)strip->width;
        for (int x = (int)ceil(from - 0.5); x <= (int)floor(to - 0.5); x++) {
            float z = (float)plane_at(&facet->depth, x + 0.5, y);
            if (z > depth[x]) {
                depth[x] = z;
                owner[x] = triangle;
            }
        }
    }
}

/* Samples from the raster's upper left to mm. */
static TapulVec2 to_mm(const TapulRaster *raster, double x, double y) {
    double sample_mm = raster->pixel_mm / SAMPLES;
    return (TapulVec2){raster->box_mm.min.x + x * sample_mm,
                       raster->box_mm.max.y - y * sample_mm};
}

typedef struct {
    int triangle[SAMPLES * SAMPLES], count[SAMPLES * SAMPLES], n, covered;
    double x[SAMPLES * SAMPLES], y[SAMPLES * SAMPLES]; /* sums of the samples' places */
    float farthest;
} Pixel;

static void add_sample(Pixel *pixel, int triangle, float depth, double x, double y) {
    if (triangle < 0)
        return;
    int i = 0;
    while (i < pixel->n && pixel->triangle[i] != triangle)
        i++;
    if (i == pixel->n) {
        pixel->triangle[pixel->n++] = triangle;
        pixel->count[i] = 0;
        pixel->x[i] = pixel->y[i] = 0;
    }
    pixel->count[i]++;
    pixel->x[i] += x;
    pixel->y[i] += y;
    pixel->covered++;
    pixel->farthest = fminf(pixel->farthest, depth);
}

static void resolve_pixel(const Job *job, const Strip *strip, int column, int row, guint8 *rgba,
                          float *depth) {
    Pixel pixel = {.farthest = INFINITY};
    for (int j = 0; j < SAMPLES; j++)
        for (int i = 0; i < SAMPLES; i++) {
            int x = column * SAMPLES + i, y = row * SAMPLES + j;
            gsize at = (gsize)y * (gsize)strip->width + (gsize)x;
            add_sample(&pixel, strip->triangle[at], strip->depth[at], x + 0.5,
                       strip->top + y + 0.5);
        }
    *depth = pixel.covered == SAMPLES * SAMPLES ? pixel.farthest : -INFINITY;
    if (pixel.covered == 0)
        return;
    TapulRgb sum = {0, 0, 0};
    for (int i = 0; i < pixel.n; i++) {
        double share = (double)pixel.count[i] / pixel.covered;
        int triangle = pixel.triangle[i];
        TapulVec2 at_mm =
            to_mm(job->raster, pixel.x[i] / pixel.count[i], pixel.y[i] / pixel.count[i]);
        TapulRgb colour =
            job->colour(triangle, at_mm, job->facets[triangle].back, job->colour_data);
        sum.red += share * colour.red;
        sum.green += share * colour.green;
        sum.blue += share * colour.blue;
    }
    rgba[0] = (guint8)lround(sum.red * 255);
    rgba[1] = (guint8)lround(sum.green * 255);
    rgba[2] = (guint8)lround(sum.blue * 255);
    rgba[3] = (guint8)lround(255.0 * pixel.covered / (SAMPLES * SAMPLES));
}

static void draw_strip(const Job *job, int number, Strip *strip) {
    TapulRaster *raster = job->raster;
    int first_row = number * STRIP_ROWS;
    int n_rows = MIN(STRIP_ROWS, raster->height_px - first_row);
    gsize n_samples = (gsize)strip->width * (gsize)(n_rows * SAMPLES);
    strip->top = first_row * SAMPLES;
    strip->height = n_rows * SAMPLES;
    memset(strip->triangle, 0xff, n_samples * sizeof(int)); /* -1 */
    for (gsize i = 0; i < n_samples; i++)
        strip->depth[i] = -INFINITY;
    const GArray *facets = job->strips[number];
    for (guint i = 0; i < facets->len; i++) {
        int triangle = g_array_index(facets, int, i);
        draw_facet(strip, &job->facets[triangle], triangle);
    }
    for (int row = 0; row < n_rows; row++)
        for (int column = 0; column < raster->width_px; column++) {
            gsize at = (gsize)(first_row + row) * (gsize)raster->width_px + (gsize)column;
            resolve_pixel(job, strip, column, row, raster->rgba + at * 4,
                          raster->depth_mm + at);
        }
}

static void draw_strips(const Job *job) {
    int width = job->raster->width_px * SAMPLES;
    gsize n_samples = (gsize)width * STRIP_ROWS * SAMPLES;
#pragma omp parallel
    {
        Strip strip = {.width = width,
                       .triangle = g_new(int, n_samples),
                       .depth = g_new(float, n_samples)};
#pragma omp for schedule(dynamic, 2)
        for (int i = 0; i < job->n_strips; i++)
            draw_strip(job, i, &strip);
        g_free(strip.triangle);
        g_free(strip.depth);
    }
}

/* --- The picture --- */

#define MOST_SIDE_PX 16000.0 /* half of cairo's limit */

double tapul_raster_pixel_mm(TapulBox box_mm, double wanted_mm, double most_pixels) {
    double width_mm = box_mm.max.x - box_mm.min.x, height_mm = box_mm.max.y - box_mm.min.y;
    double pixel_mm = fmax(wanted_mm, sqrt(width_mm * height_mm / most_pixels));
    return fmax(pixel_mm, fmax(width_mm, height_mm) / MOST_SIDE_PX);
}

static TapulRaster *new_picture(const TapulMesh *mesh, const TapulVec3 *seen_mm,
                                double pixel_mm) {
    TapulBox box = tapul_box_empty();
    for (int i = 0; i < mesh->n_vertices; i++)
        tapul_box_add(&box, tapul_vec2(seen_mm[i].x, seen_mm[i].y));
    TapulRaster *raster = g_new0(TapulRaster, 1);
    raster->pixel_mm = pixel_mm;
    raster->width_px = (int)ceil((box.max.x - box.min.x) / pixel_mm) + 2 * MARGIN_PX;
    raster->height_px = (int)ceil((box.max.y - box.min.y) / pixel_mm) + 2 * MARGIN_PX;
    raster->box_mm.min.x = box.min.x - MARGIN_PX * pixel_mm;
    raster->box_mm.max.y = box.max.y + MARGIN_PX * pixel_mm;
    raster->box_mm.max.x = raster->box_mm.min.x + raster->width_px * pixel_mm;
    raster->box_mm.min.y = raster->box_mm.max.y - raster->height_px * pixel_mm;
    gsize n_pixels = (gsize)raster->width_px * (gsize)raster->height_px;
    raster->rgba = g_malloc0(n_pixels * 4);
    raster->depth_mm = g_new(float, n_pixels);
    return raster;
}

TapulRaster *tapul_raster_new(const TapulMesh *mesh, const TapulVec3 *seen_mm, double pixel_mm,
                              TapulTriangleColour colour, gconstpointer data) {
    Job job = {.mesh = mesh, .seen_mm = seen_mm, .colour = colour, .colour_data = data};
    job.raster = new_picture(mesh, seen_mm, pixel_mm);
    job.facets = g_new(Facet, mesh->n_triangles);
    job.n_strips = (job.raster->height_px + STRIP_ROWS - 1) / STRIP_ROWS;
    job.strips = g_new(GArray *, job.n_strips);
    sort_into_strips(&job);
    draw_strips(&job);
    for (int i = 0; i < job.n_strips; i++)
        g_array_unref(job.strips[i]);
    g_free(job.strips);
    g_free(job.facets);
    return job.raster;
}

void tapul_raster_free(TapulRaster *raster) {
    if (!raster)
        return;
    g_free(raster->rgba);
    g_free(raster->depth_mm);
    g_free(raster);
}

gboolean tapul_raster_sees(const TapulRaster *raster, TapulVec2 at_mm, double z_mm,
                           double tolerance_mm) {
    /* The four pixels about the point: on one surface the farthest of them is not in front of
     * it. */
    int column = (int)floor((at_mm.x - raster->box_mm.min.x) / raster->pixel_mm - 0.5);
    int row = (int)floor((raster->box_mm.max.y - at_mm.y) / raster->pixel_mm - 0.5);
    if (column < 0 || row < 0 || column + 1 >= raster->width_px || row + 1 >= raster->height_px)
        return TRUE;
    const float *depth = raster->depth_mm + (gsize)row * (gsize)raster->width_px + column;
    float farthest = fminf(fminf(depth[0], depth[1]),
                           fminf(depth[raster->width_px], depth[raster->width_px + 1]));
    return z_mm >= farthest - tolerance_mm;
}
