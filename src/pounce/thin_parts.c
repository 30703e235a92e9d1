/* What is narrower than the finest line that lasts: what an opening (shrinking, then growing by
 * as much; J. Serra 1982) takes away. What hangs together is one run, of which a maker is told
 * where it is narrowest, how narrow, and how long it is. */
#include "pounce/resist_parts.h"

/* What is thinner than the finest by less than this passes: no gauge shows it. */
#define SLACK_MM 0.01
/* Grown back by so much more than shrunk, so that no rind of roundings is left. */
#define ROUNDING_MM 0.004
/* Widths are asked at most at so many places of a run. */
#define MOST_PLACES 200

GEOSGeometry *tapul_thin_parts(TapulShapes *shapes, const GEOSGeometry *shape,
                               double finest_mm) {
    double half_mm = (finest_mm - fmin(SLACK_MM, finest_mm / 2)) / 2;
    GEOSGeometry *core = tapul_shape_grow(shapes, shape, -half_mm);
    GEOSGeometry *thick = tapul_shape_grow(shapes, core, half_mm + ROUNDING_MM);
    return tapul_shape_minus(shapes, shape, thick);
}

/* --- The edge of a run --- */

/* Edges of a run's rings, the run on the left. */
typedef struct {
    TapulVec2 a, b;
} Edge;

static void add_ring(GEOSContextHandle_t geos, const GEOSGeometry *ring, gboolean hole,
                     GArray *edges) {
    const GEOSCoordSequence *sequence = GEOSGeom_getCoordSeq_r(geos, ring);
    unsigned int n = 0;
    char left = 0;
    GEOSCoordSeq_getSize_r(geos, sequence, &n);
    GEOSCoordSeq_isCCW_r(geos, sequence, &left);
    gboolean turned = (left == 1) == hole;
    for (unsigned int i = 0; i + 1 < n; i++) {
        Edge edge;
        GEOSCoordSeq_getXY_r(geos, sequence, i, &edge.a.x, &edge.a.y);
        GEOSCoordSeq_getXY_r(geos, sequence, i + 1, &edge.b.x, &edge.b.y);
        if (turned)
            edge = (Edge){edge.b, edge.a};
        g_array_append_val(edges, edge);
    }
}

static GArray *edges_of(GEOSContextHandle_t geos, const GEOSGeometry *polygon) {
    GArray *edges = g_array_new(FALSE, FALSE, sizeof(Edge));
    add_ring(geos, GEOSGetExteriorRing_r(geos, polygon), FALSE, edges);
    int holes = GEOSGetNumInteriorRings_r(geos, polygon);
    for (int i = 0; i < holes; i++)
        add_ring(geos, GEOSGetInteriorRingN_r(geos, polygon, i), TRUE, edges);
    return edges;
}

/* How far it is from a place of the edge straight across to the other side. */
static double width_at(const GArray *edges, TapulVec2 at, TapulVec2 inward) {
    double nearest_mm = INFINITY;
    for (guint i = 0; i < edges->len; i++) {
        const Edge *edge = &g_array_index(edges, Edge, i);
        TapulVec2 along = tapul_vec2_sub(edge->b, edge->a), to = tapul_vec2_sub(edge->a, at);
        double across = tapul_vec2_cross(inward, along);
        double t = tapul_vec2_cross(inward, to) / across;
        double distance_mm = tapul_vec2_cross(to, along) / across;
        /* The side met from within runs the other way. */
        if (across > 0 && -t >= 0 && -t <= 1 && distance_mm > 0)
            nearest_mm = fmin(nearest_mm, distance_mm);
    }
    return nearest_mm;
}

/* --- Runs --- */

typedef struct {
    double width_mm;
    TapulVec2 at_mm;
} Width;

static int by_width(gconstpointer a, gconstpointer b) {
    double x = ((const Width *)a)->width_mm, y = ((const Width *)b)->width_mm;
    return (x > y) - (x < y);
}

/* Widths at places evenly spread over the edge, the narrowest first. */
static GArray *widths_of(const GArray *edges, double step_mm) {
    GArray *widths = g_array_new(FALSE, FALSE, sizeof(Width));
    double left_mm = step_mm / 2;
    for (guint i = 0; i < edges->len; i++) {
        const Edge *edge = &g_array_index(edges, Edge, i);
        double length_mm = tapul_vec2_distance(edge->a, edge->b);
        TapulVec2 along = tapul_vec2_scale(tapul_vec2_sub(edge->b, edge->a), 1 / length_mm);
        TapulVec2 inward = {-along.y, along.x};
        for (; left_mm < length_mm; left_mm += step_mm) {
            TapulVec2 at = tapul_vec2_add(edge->a, tapul_vec2_scale(along, left_mm));
            double width_mm = width_at(edges, at, inward);
            Width width = {width_mm,
                           tapul_vec2_add(at, tapul_vec2_scale(inward, width_mm / 2))};
            if (isfinite(width_mm))
                g_array_append_val(widths, width);
        }
        left_mm -= length_mm;
    }
    g_array_sort(widths, by_width);
    return widths;
}

/* Length and mean width of a band of an area and an edge: area = length width, edge = 2 (length
 * + width); of a net, whose many ends and holes hide its length, area by width. */
static double length_of(double area_mm2, double edge_mm, double width_mm) {
    double half_mm = edge_mm / 4;
    double root = half_mm * half_mm - area_mm2;
    return root > 0 ? half_mm + sqrt(root) : area_mm2 / width_mm;
}

static gboolean measure(const TapulResistPlan *plan, TapulShapes *shapes,
                        const GEOSGeometry *polygon, TapulTooThin *run) {
    GEOSContextHandle_t geos = shapes->regions.geos;
    double finest_mm = plan->asked->finest_mm, edge_mm = 0;
    double area_mm2 = tapul_shape_area_mm2(shapes, polygon);
    GEOSLength_r(geos, polygon, &edge_mm);
    run->length_mm = length_of(area_mm2, edge_mm, finest_mm);
    if (run->length_mm < finest_mm)
        return FALSE;
    double step_mm = fmax(finest_mm / 4, edge_mm / MOST_PLACES);
    g_autoptr(GArray) edges = edges_of(geos, polygon);
    g_autoptr(GArray) widths = widths_of(edges, step_mm);
    if (widths->len == 0)
        return FALSE;
    /* The narrowest that is kept up over a stretch as long as the finest, seen from both
     * sides: the rounded end of a line is no narrow place. */
    guint stretch = (guint)ceil(2 * finest_mm / step_mm);
    Width width = g_array_index(widths, Width, MIN(stretch, widths->len) - 1);
    run->width_mm = width.width_mm;
    run->at_mm = width.at_mm;
    return TRUE;
}

gboolean tapul_thin_runs(const TapulResistPlan *plan, const TapulPouncePiece *piece,
                         const GPtrArray *cells, GArray *too_thin) {
    for (int i = 0; i < 2; i++) {
        g_autoptr(TapulShapes) shapes = tapul_shapes_new();
        GEOSContextHandle_t geos = shapes->regions.geos;
        g_autoptr(GPtrArray) parts = g_ptr_array_new();
        for (guint c = 0; c < cells->len; c++)
            g_ptr_array_add(parts, ((TapulResistCell *)g_ptr_array_index(cells, c))->thin[i]);
        GEOSGeometry *all = tapul_shape_union(shapes, parts);
        int n = all ? GEOSGetNumGeometries_r(geos, all) : -1;
        if (n < 0)
            return FALSE;
        for (int k = 0; k < n; k++) {
            TapulTooThin run = {.piece = piece->number,
                                .gap = (i == 0) == (plan->kind == TAPUL_RESIST_LINES)};
            const GEOSGeometry *polygon = GEOSGetGeometryN_r(geos, all, k);
            if (GEOSisEmpty_r(geos, polygon) == 0 && measure(plan, shapes, polygon, &run))
                g_array_append_val(too_thin, run);
        }
    }
    return TRUE;
}

static int longest_first(gconstpointer a, gconstpointer b) {
    const TapulTooThin *x = a, *y = b;
    if (x->length_mm != y->length_mm)
        return x->length_mm < y->length_mm ? 1 : -1;
    if (x->piece != y->piece)
        return x->piece - y->piece;
    return (x->at_mm.x > y->at_mm.x) - (x->at_mm.x < y->at_mm.x);
}

void tapul_thin_sort(GArray *too_thin) {
    g_array_sort(too_thin, longest_first);
}
