/* Areas over the metal: paper is a little longer or shorter than the metal under it. A grid of
 * cells holds metal area by paper area, exact for each cell as a whole; a shape's metal is then
 * the integral of that scale over it, which Green's theorem turns into one along its rings:
 * with F(x, y) the scale's integral from the left, area = closed integral of F dy. */
#include "pounce/metal_area.h"

/* Cells this wide: stretch changes by less than 1e-3 over one on any paper that lies flat. */
#define CELL_MM 4.0

struct TapulMetalScale {
    TapulVec2 origin_mm;
    int columns, rows;
    double *scale;     /* [rows * columns] */
    double *before_mm; /* [rows * columns] F at the cell's left */
};

/* --- The grid --- */

static int column_at(const TapulMetalScale *scale, double x_mm) {
    return CLAMP((int)floor((x_mm - scale->origin_mm.x) / CELL_MM), 0, scale->columns - 1);
}

static int row_at(const TapulMetalScale *scale, double y_mm) {
    return CLAMP((int)floor((y_mm - scale->origin_mm.y) / CELL_MM), 0, scale->rows - 1);
}

static TapulBox cell_box(const TapulMetalScale *scale, int column, int row) {
    TapulVec2 min =
        tapul_vec2_add(scale->origin_mm, tapul_vec2(column * CELL_MM, row * CELL_MM));
    return (TapulBox){min, tapul_vec2_add(min, tapul_vec2(CELL_MM, CELL_MM))};
}

/* Adds a triangle's paper and metal to the cells that it lies in. */
static void add_triangle(const TapulMetalScale *scale, TapulShapes *shapes,
                         const TapulPiece *piece, int t, double *paper_mm2, double *metal_mm2) {
    TapulVec2 corner[3];
    TapulBox box = tapul_box_empty();
    for (int k = 0; k < 3; k++) {
        corner[k] = piece->development->flat_mm[piece->mesh->corner[t][k]];
        tapul_box_add(&box, corner[k]);
    }
    GEOSGeometry *triangle = tapul_shape_ring(shapes, corner, 3);
    double by_paper =
        tapul_mesh_triangle_area_mm2(piece->mesh, t) / tapul_shape_area_mm2(shapes, triangle);
    for (int row = row_at(scale, box.min.y); row <= row_at(scale, box.max.y); row++)
        for (int column = column_at(scale, box.min.x); column <= column_at(scale, box.max.x);
             column++) {
            GEOSGeometry *part =
                tapul_shape_clip(shapes, triangle, cell_box(scale, column, row));
            double part_mm2 = tapul_shape_area_mm2(shapes, part);
            paper_mm2[row * scale->columns + column] += part_mm2;
            metal_mm2[row * scale->columns + column] += part_mm2 * by_paper;
        }
}

/* Cells without paper have scale 0. */
static void fill_grid(TapulMetalScale *scale, const double *paper_mm2,
                      const double *metal_mm2) {
    for (int row = 0; row < scale->rows; row++) {
        double before_mm = 0;
        for (int i = row * scale->columns; i < (row + 1) * scale->columns; i++) {
            scale->scale[i] = paper_mm2[i] > 0 ? metal_mm2[i] / paper_mm2[i] : 0;
            scale->before_mm[i] = before_mm;
            before_mm += scale->scale[i] * CELL_MM;
        }
    }
}

TapulMetalScale *tapul_metal_scale_new(const TapulPiece *piece) {
    TapulMetalScale *scale = g_new0(TapulMetalScale, 1);
    TapulBox box = tapul_box_empty();
    for (int v = 0; v < piece->mesh->n_vertices; v++)
        tapul_box_add(&box, piece->development->flat_mm[v]);
    scale->origin_mm = box.min;
    scale->columns = (int)ceil((box.max.x - box.min.x) / CELL_MM) + 1;
    scale->rows = (int)ceil((box.max.y - box.min.y) / CELL_MM) + 1;
    gsize n = (gsize)scale->columns * (gsize)scale->rows;
    scale->scale = g_new0(double, n);
    scale->before_mm = g_new0(double, n);
    g_autofree double *paper_mm2 = g_new0(double, n);
    g_autofree double *metal_mm2 = g_new0(double, n);
    g_autoptr(TapulShapes) shapes = tapul_shapes_new();
    for (int t = 0; t < piece->mesh->n_triangles; t++)
        add_triangle(scale, shapes, piece, t, paper_mm2, metal_mm2);
    fill_grid(scale, paper_mm2, metal_mm2);
    return scale;
}

void tapul_metal_scale_free(TapulMetalScale *scale) {
    if (!scale)
        return;
    g_free(scale->scale);
    g_free(scale->before_mm);
    g_free(scale);
}

double tapul_metal_scale_at(const TapulMetalScale *scale, TapulVec2 paper_mm) {
    return scale
        ->scale[row_at(scale, paper_mm.y) * scale->columns + column_at(scale, paper_mm.x)];
}

/* --- The integral --- */

/* How far along from a to b, beyond t, the next grid line is met; 1 if none. */
static double next_line(double origin, double a, double b, double t) {
    double from = (a + (b - a) * t - origin) / CELL_MM, step = b > a ? 1 : -1;
    if (a == b)
        return 1;
    double line = b > a ? floor(from) + 1 : ceil(from) - 1;
    double next = (origin + line * CELL_MM - a) / (b - a);
    /* Rounding may leave t where it was: go on by one line. */
    return fmin(1, next > t ? next : next + step * CELL_MM / (b - a));
}

static double along_edge(const TapulMetalScale *scale, TapulVec2 a, TapulVec2 b) {
    double sum_mm2 = 0;
    for (double t = 0; t < 1;) {
        double next = fmin(next_line(scale->origin_mm.x, a.x, b.x, t),
                           next_line(scale->origin_mm.y, a.y, b.y, t));
        TapulVec2 at = tapul_vec2_mix(a, b, (t + next) / 2);
        int column = column_at(scale, at.x), i = row_at(scale, at.y) * scale->columns + column;
        double f_mm = scale->before_mm[i] +
                      scale->scale[i] * (at.x - scale->origin_mm.x - column * CELL_MM);
        sum_mm2 += f_mm * (b.y - a.y) * (next - t);
        t = next;
    }
    return sum_mm2;
}

static double in_ring(const TapulMetalScale *scale, GEOSContextHandle_t geos,
                      const GEOSGeometry *ring) {
    const GEOSCoordSequence *sequence = GEOSGeom_getCoordSeq_r(geos, ring);
    unsigned int n = 0;
    TapulVec2 before = {0, 0}, at;
    double sum_mm2 = 0;
    GEOSCoordSeq_getSize_r(geos, sequence, &n);
    for (unsigned int i = 0; i < n; i++) {
        GEOSCoordSeq_getXY_r(geos, sequence, i, &at.x, &at.y);
        if (i > 0)
            sum_mm2 += along_edge(scale, before, at);
        before = at;
    }
    return fabs(sum_mm2);
}

double tapul_metal_area_mm2(const TapulMetalScale *scale, GEOSContextHandle_t geos,
                            const GEOSGeometry *shape) {
    double sum_mm2 = 0;
    int n = GEOSGetNumGeometries_r(geos, shape);
    for (int i = 0; i < n; i++) {
        const GEOSGeometry *part = GEOSGetGeometryN_r(geos, shape, i);
        if (GEOSGeomTypeId_r(geos, part) != GEOS_POLYGON || GEOSisEmpty_r(geos, part) != 0)
            continue;
        sum_mm2 += in_ring(scale, geos, GEOSGetExteriorRing_r(geos, part));
        int holes = GEOSGetNumInteriorRings_r(geos, part);
        for (int k = 0; k < holes; k++)
            sum_mm2 -= in_ring(scale, geos, GEOSGetInteriorRingN_r(geos, part, k));
    }
    return sum_mm2;
}
