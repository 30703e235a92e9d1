/* What is narrower than the finest line that lasts: what an opening (shrinking, then growing by
 * as much; J. Serra 1982) takes away. What hangs together is one run, of which a maker is told
 * where it is narrow, how narrow, and how long it is. */
#include "pounce/resist_parts.h"

/* What is thinner than the finest by less than this passes: no gauge shows it. */
#define SLACK_MM 0.01
/* Grown back by so much more than shrunk, so that no rind of roundings is left. */
#define ROUNDING_MM 0.004
/* Widths are asked at about so many places of a run at most. */
#define MOST_PLACES 100
/* How narrow a run is: a tenth of its edge is nearer to the other side. Its very narrowest
 * place would be the point that any line ends in. */
#define NARROWER 0.1

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

/* A band of an area and an edge: area = length width, edge = 2 (length + width). A net of bands
 * as well, whose edge runs along both sides of all of them. */
static double length_of(double area_mm2, double edge_mm) {
    double half_mm = edge_mm / 4;
    return half_mm + sqrt(fmax(0, half_mm * half_mm - area_mm2));
}

typedef struct {
    const GEOSGeometry *polygon;
    double length_mm, edge_mm;
} Run;

static int longest_run(gconstpointer a, gconstpointer b) {
    const Run *x = a, *y = b;
    return (x->length_mm < y->length_mm) - (x->length_mm > y->length_mm);
}

/* The polygons that are long enough to count, the longest first. */
static GArray *runs_of(TapulShapes *shapes, const GEOSGeometry *all, double finest_mm) {
    GEOSContextHandle_t geos = shapes->regions.geos;
    GArray *runs = g_array_new(FALSE, FALSE, sizeof(Run));
    int n = GEOSGetNumGeometries_r(geos, all);
    for (int i = 0; i < n; i++) {
        Run run = {.polygon = GEOSGetGeometryN_r(geos, all, i)};
        GEOSLength_r(geos, run.polygon, &run.edge_mm);
        run.length_mm = length_of(tapul_shape_area_mm2(shapes, run.polygon), run.edge_mm);
        if (run.length_mm >= finest_mm)
            g_array_append_val(runs, run);
    }
    g_array_sort(runs, longest_run);
    return runs;
}

static void list_run(TapulShapes *shapes, const Run *run, TapulTooThin listed, double finest_mm,
                     GArray *too_thin) {
    double step_mm = fmax(finest_mm / 4, run->edge_mm / MOST_PLACES);
    g_autoptr(GArray) edges = edges_of(shapes->regions.geos, run->polygon);
    g_autoptr(GArray) widths = widths_of(edges, step_mm);
    if (widths->len == 0)
        return;
    Width width = g_array_index(widths, Width, (guint)(NARROWER * widths->len));
    listed.width_mm = width.width_mm;
    listed.at_mm = width.at_mm;
    listed.length_mm = run->length_mm;
    g_array_append_val(too_thin, listed);
}

gboolean tapul_thin_runs(const TapulResistPlan *plan, const TapulPouncePiece *piece,
                         const GPtrArray *cells, TapulResist *resist) {
    double finest_mm = plan->asked->finest_mm;
    for (int i = 0; i < 2; i++) {
        g_autoptr(TapulShapes) shapes = tapul_shapes_new();
        g_autoptr(GPtrArray) parts = g_ptr_array_new();
        TapulTooThin listed = {.piece = piece->number,
                               .gap = (i == 0) == (plan->kind == TAPUL_RESIST_LINES)};
        for (guint c = 0; c < cells->len; c++)
            g_ptr_array_add(parts, ((TapulResistCell *)g_ptr_array_index(cells, c))->thin[i]);
        GEOSGeometry *all = tapul_shape_union(shapes, parts);
        if (!all)
            return FALSE;
        g_autoptr(GArray) runs = runs_of(shapes, all, finest_mm);
        resist->too_thin_in_all += (int)runs->len;
        for (guint k = 0; k < MIN(runs->len, TAPUL_MOST_THIN); k++)
            list_run(shapes, &g_array_index(runs, Run, k), listed, finest_mm, resist->too_thin);
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
    g_array_set_size(too_thin, MIN(too_thin->len, TAPUL_MOST_THIN));
}
