/* What is narrower than the finest line that lasts, or than the resist leaves open. From every
 * stretch of the design's edge one looks straight across: inwards to the other edge of the
 * line, outwards to the next line. What is too near makes the stretch thin; thin stretches that
 * follow on one another or face one another are one run, of which a maker is told where and how
 * narrow it is and how long. */
#include "base/groups.h"
#include "pounce/resist_parts.h"

#include <string.h>

/* What is thinner than the finest by less than this passes: no gauge shows it. */
#define SLACK_MM 0.01
/* How narrow a run is: a tenth of it is narrower. Its very narrowest place would be the point
 * that any line ends in. */
#define NARROWER 0.1

/* A stretch of the edge, no longer than the finest, the design on its left. */
typedef struct {
    TapulVec2 a, b;
    int next;      /* the stretch that follows */
    int across[2]; /* what is faced too near, inwards and outwards; -1: nothing */
    double width_mm[2];
} Stretch;

/* Stretches by the squares of a grid that they touch. */
typedef struct {
    TapulVec2 origin_mm;
    double square_mm;
    int columns, rows;
    int *start; /* [rows * columns + 1] into items */
    int *items; /* of stretches */
} Grid;

typedef struct {
    GArray *stretches; /* of Stretch */
    Grid grid;
    double limit_mm[2]; /* inwards and outwards */
} Edges;

#define STRETCH(edges, i) g_array_index((edges)->stretches, Stretch, i)

/* --- The edge in stretches --- */

static void add_ring(GArray *stretches, GEOSContextHandle_t geos, const GEOSGeometry *ring,
                     gboolean hole, double longest_mm) {
    const GEOSCoordSequence *sequence = GEOSGeom_getCoordSeq_r(geos, ring);
    unsigned int n = 0;
    char left = 0;
    guint first = stretches->len;
    GEOSCoordSeq_getSize_r(geos, sequence, &n);
    GEOSCoordSeq_isCCW_r(geos, sequence, &left);
    gboolean turned = (left == 1) == hole;
    for (unsigned int i = 0; i + 1 < n; i++) {
        TapulVec2 a, b;
        unsigned int from = turned ? n - 1 - i : i, to = turned ? from - 1 : from + 1;
        GEOSCoordSeq_getXY_r(geos, sequence, from, &a.x, &a.y);
        GEOSCoordSeq_getXY_r(geos, sequence, to, &b.x, &b.y);
        int parts = (int)ceil(tapul_vec2_distance(a, b) / longest_mm);
        for (int k = 0; k < parts; k++) {
            Stretch stretch = {tapul_vec2_mix(a, b, (double)k / parts),
                               tapul_vec2_mix(a, b, (k + 1.0) / parts),
                               (int)stretches->len + 1,
                               {-1, -1},
                               {INFINITY, INFINITY}};
            g_array_append_val(stretches, stretch);
        }
    }
    if (stretches->len > first)
        g_array_index(stretches, Stretch, stretches->len - 1).next = (int)first;
}

/* holes: the polygons are holes in others. */
static void add_polygons(GArray *stretches, GEOSContextHandle_t geos,
                         const GEOSGeometry *polygons, gboolean holes, double longest_mm) {
    int n = GEOSGetNumGeometries_r(geos, polygons);
    for (int i = 0; i < n; i++) {
        const GEOSGeometry *polygon = GEOSGetGeometryN_r(geos, polygons, i);
        add_ring(stretches, geos, GEOSGetExteriorRing_r(geos, polygon), holes, longest_mm);
        int inner = GEOSGetNumInteriorRings_r(geos, polygon);
        for (int k = 0; k < inner; k++)
            add_ring(stretches, geos, GEOSGetInteriorRingN_r(geos, polygon, k), !holes,
                     longest_mm);
    }
}

/* --- The grid --- */

/* The squares of a box, at the grid's edge those within it. */
static void squares_of(const Grid *grid, TapulBox box, int from[2], int to[2]) {
    from[0] = (int)floor((box.min.x - grid->origin_mm.x) / grid->square_mm);
    from[1] = (int)floor((box.min.y - grid->origin_mm.y) / grid->square_mm);
    to[0] = (int)floor((box.max.x - grid->origin_mm.x) / grid->square_mm);
    to[1] = (int)floor((box.max.y - grid->origin_mm.y) / grid->square_mm);
    for (int k = 0; k < 2; k++) {
        int last = (k == 0 ? grid->columns : grid->rows) - 1;
        from[k] = CLAMP(from[k], 0, last);
        to[k] = CLAMP(to[k], 0, last);
    }
}

static TapulBox box_of(TapulVec2 a, TapulVec2 b) {
    TapulBox box = tapul_box_empty();
    tapul_box_add(&box, a);
    tapul_box_add(&box, b);
    return box;
}

/* Counts (items NULL) or fills in what touches each square. */
static void sort_in(Edges *edges, int *count) {
    Grid *grid = &edges->grid;
    for (guint i = 0; i < edges->stretches->len; i++) {
        const Stretch *stretch = &STRETCH(edges, i);
        int from[2], to[2];
        squares_of(grid, box_of(stretch->a, stretch->b), from, to);
        for (int y = from[1]; y <= to[1]; y++)
            for (int x = from[0]; x <= to[0]; x++) {
                int square = y * grid->columns + x;
                if (grid->items)
                    grid->items[grid->start[square] + count[square]] = (int)i;
                count[square]++;
            }
    }
}

static void grid_fill(Edges *edges, TapulBox box) {
    Grid *grid = &edges->grid;
    grid->origin_mm = box.min;
    grid->square_mm = fmax(edges->limit_mm[0], edges->limit_mm[1]);
    grid->columns = (int)ceil((box.max.x - box.min.x) / grid->square_mm) + 1;
    grid->rows = (int)ceil((box.max.y - box.min.y) / grid->square_mm) + 1;
    gsize n = (gsize)grid->columns * (gsize)grid->rows;
    g_autofree int *count = g_new0(int, n);
    grid->start = g_new0(int, n + 1);
    sort_in(edges, count);
    for (gsize i = 0; i < n; i++)
        grid->start[i + 1] = grid->start[i] + count[i];
    grid->items = g_new(int, MAX(grid->start[n], 1));
    memset(count, 0, n * sizeof *count);
    sort_in(edges, count);
}

/* --- Across --- */

/* How far along a way (unit) from a place a stretch is met from its own side (side 1: from
 * within the design, -1: from without); infinite if it is not. */
static double met_at(const Stretch *stretch, TapulVec2 at, TapulVec2 way, double side) {
    TapulVec2 along = tapul_vec2_sub(stretch->b, stretch->a);
    TapulVec2 to = tapul_vec2_sub(stretch->a, at);
    double across = tapul_vec2_cross(way, along);
    if (across * side <= 0)
        return INFINITY;
    double share = tapul_vec2_cross(to, way) / across;
    double distance_mm = tapul_vec2_cross(to, along) / across;
    return share >= 0 && share <= 1 && distance_mm > 0 ? distance_mm : INFINITY;
}

/* Looks across from the middle of a stretch: side 0 inwards, 1 outwards. */
static void look_across(Edges *edges, guint i, int side) {
    const Grid *grid = &edges->grid;
    Stretch *stretch = &STRETCH(edges, i);
    TapulVec2 along = tapul_vec2_sub(stretch->b, stretch->a);
    double sign = (side == 0 ? 1 : -1) / tapul_vec2_length(along);
    TapulVec2 way = {-along.y * sign, along.x * sign};
    TapulVec2 at = tapul_vec2_mix(stretch->a, stretch->b, 0.5);
    TapulVec2 end = tapul_vec2_add(at, tapul_vec2_scale(way, edges->limit_mm[side]));
    int from[2], to[2];
    squares_of(grid, box_of(at, end), from, to);
    double nearest_mm = edges->limit_mm[side];
    for (int y = from[1]; y <= to[1]; y++)
        for (int x = from[0]; x <= to[0]; x++) {
            int square = y * grid->columns + x;
            for (int k = grid->start[square]; k < grid->start[square + 1]; k++) {
                int other = grid->items[k];
                double mm = met_at(&STRETCH(edges, other), at, way, side == 0 ? 1 : -1);
                if (other != (int)i && mm < nearest_mm) {
                    nearest_mm = mm;
                    stretch->across[side] = other;
                    stretch->width_mm[side] = mm;
                }
            }
        }
}

/* --- Runs --- */

/* A thin stretch of a run. */
typedef struct {
    int run;
    double width_mm, length_mm;
    TapulVec2 at_mm;
} Member;

static int by_run(gconstpointer a, gconstpointer b) {
    const Member *x = a, *y = b;
    if (x->run != y->run)
        return x->run < y->run ? -1 : 1;
    return (x->width_mm > y->width_mm) - (x->width_mm < y->width_mm);
}

/* The thin stretches that lie on the paper, by run and width. */
static GArray *members_of(const Edges *edges, int side, GEOSContextHandle_t geos,
                          const GEOSPreparedGeometry *paper) {
    GArray *members = g_array_new(FALSE, FALSE, sizeof(Member));
    int n = (int)edges->stretches->len;
    g_autofree int *runs = tapul_groups_new(n);
    for (int i = 0; i < n; i++) {
        const Stretch *stretch = &STRETCH(edges, i);
        if (stretch->across[side] < 0)
            continue;
        if (STRETCH(edges, stretch->next).across[side] >= 0)
            tapul_groups_join(runs, i, stretch->next);
        if (STRETCH(edges, stretch->across[side]).across[side] >= 0)
            tapul_groups_join(runs, i, stretch->across[side]);
    }
    for (int i = 0; i < n; i++) {
        const Stretch *stretch = &STRETCH(edges, i);
        TapulVec2 along = tapul_vec2_sub(stretch->b, stretch->a);
        double length_mm = tapul_vec2_length(along);
        double out_mm = (side == 0 ? 1 : -1) * stretch->width_mm[side] / 2 / length_mm;
        Member member = {tapul_group_of(runs, i), stretch->width_mm[side], length_mm,
                         tapul_vec2_add(tapul_vec2_mix(stretch->a, stretch->b, 0.5),
                                        tapul_vec2(-along.y * out_mm, along.x * out_mm))};
        if (stretch->across[side] < 0)
            continue;
        GEOSGeometry *point =
            GEOSGeom_createPointFromXY_r(geos, member.at_mm.x, member.at_mm.y);
        if (GEOSPreparedIntersects_r(geos, paper, point) == 1)
            g_array_append_val(members, member);
        GEOSGeom_destroy_r(geos, point);
    }
    g_array_sort(members, by_run);
    return members;
}

/* How wide so much of a run is at most, its narrowest first. */
static const Member *narrower_part(const GArray *members, guint from, double part_mm) {
    double passed_mm = 0;
    guint i = from;
    while (passed_mm + g_array_index(members, Member, i).length_mm < part_mm)
        passed_mm += g_array_index(members, Member, i++).length_mm;
    return &g_array_index(members, Member, i);
}

/* Adds the runs that are long enough; what is narrower than closes_mm closes. Both sides of a
 * run face one another, so it is half as long as they are together. */
static void add_runs(const GArray *members, TapulTooThin listed, double finest_mm,
                     double closes_mm, GArray *too_thin) {
    for (guint from = 0, to; from < members->len; from = to) {
        double sides_mm = 0;
        const Member *first = &g_array_index(members, Member, from);
        for (to = from;
             to < members->len && g_array_index(members, Member, to).run == first->run; to++)
            sides_mm += g_array_index(members, Member, to).length_mm;
        if (sides_mm / 2 < finest_mm)
            continue;
        const Member *narrow = narrower_part(members, from, NARROWER * sides_mm);
        listed.length_mm = sides_mm / 2;
        listed.width_mm = narrow->width_mm;
        listed.at_mm = narrow->at_mm;
        listed.closes = narrower_part(members, from, sides_mm / 2)->width_mm < closes_mm;
        g_array_append_val(too_thin, listed);
    }
}

/* The edge of the cells' design as a whole. NULL if GEOS gives up. */
static GArray *stretches_of(const GPtrArray *cells, double longest_mm) {
    g_autoptr(TapulShapes) shapes = tapul_shapes_new();
    GEOSContextHandle_t geos = shapes->regions.geos;
    g_autoptr(GArray) parts = g_array_new(FALSE, FALSE, sizeof(TapulCellShape));
    GEOSGeometry *areas, *holes;
    for (guint i = 0; i < cells->len; i++) {
        const TapulResistCell *cell = g_ptr_array_index(cells, i);
        TapulCellShape part = {tapul_shape_clip(shapes, cell->design, cell->box), cell->box};
        if (!part.shape)
            return NULL;
        g_array_append_val(parts, part);
    }
    if (!tapul_cells_join(shapes, parts, &areas, &holes))
        return NULL;
    GArray *stretches = g_array_new(FALSE, FALSE, sizeof(Stretch));
    add_polygons(stretches, geos, areas, FALSE, longest_mm);
    add_polygons(stretches, geos, holes, TRUE, longest_mm);
    return stretches;
}

/* What is to be bitten, lines (side 0) or gaps, lies under the resist where it is narrower than
 * this. */
static double closes_below_mm(const TapulResistPlan *plan, int side) {
    gboolean bitten = (plan->kind == TAPUL_RESIST_LINES) == (side == 0);
    return bitten
               ? 2 * tapul_undercut_mm(plan->total_mm[plan->n_bites], plan->asked->etch_factor)
               : 0;
}

/* Lists the runs of a piece, of whose design the edges are. */
static void list_runs(const TapulResistPlan *plan, const TapulDesign *design, Edges *edges,
                      GArray *too_thin) {
    g_autoptr(TapulShapes) shapes = tapul_shapes_new();
    GEOSContextHandle_t geos = shapes->regions.geos;
    const GEOSPreparedGeometry *paper = GEOSPrepare_r(geos, design->paper);
    for (int side = 0; side < 2; side++) {
        TapulTooThin listed = {.piece = design->piece->number, .gap = side == 1};
        g_autoptr(GArray) members = members_of(edges, side, geos, paper);
        add_runs(members, listed, plan->asked->finest_mm, closes_below_mm(plan, side),
                 too_thin);
    }
    GEOSPreparedGeom_destroy_r(geos, paper);
}

gboolean tapul_thin_runs(const TapulResistPlan *plan, const TapulDesign *design,
                         const GPtrArray *cells, TapulResist *resist) {
    double finest_mm = plan->asked->finest_mm;
    g_autoptr(GArray) stretches = stretches_of(cells, finest_mm);
    if (!stretches)
        return FALSE;
    Edges edges = {.stretches = stretches};
    for (int side = 0; side < 2; side++)
        edges.limit_mm[side] =
            fmax(finest_mm - fmin(SLACK_MM, finest_mm / 2), closes_below_mm(plan, side));
    grid_fill(&edges, design->box);
    int n = (int)stretches->len;
#pragma omp parallel for schedule(dynamic, 1024)
    for (int i = 0; i < n; i++)
        for (int side = 0; side < 2; side++)
            look_across(&edges, (guint)i, side);
    list_runs(plan, design, &edges, resist->too_thin);
    g_free(edges.grid.start);
    g_free(edges.grid.items);
    return TRUE;
}

/* What closes first, then the longest. */
static int worst_first(gconstpointer a, gconstpointer b) {
    const TapulTooThin *x = a, *y = b;
    if (x->closes != y->closes)
        return x->closes ? -1 : 1;
    if (x->length_mm != y->length_mm)
        return x->length_mm < y->length_mm ? 1 : -1;
    if (x->piece != y->piece)
        return x->piece - y->piece;
    return (x->at_mm.x > y->at_mm.x) - (x->at_mm.x < y->at_mm.x);
}

void tapul_thin_sort(TapulResist *resist) {
    GArray *too_thin = resist->too_thin;
    g_array_sort(too_thin, worst_first);
    resist->too_thin_in_all = (int)too_thin->len;
    for (guint i = 0; i < too_thin->len; i++)
        resist->closes_in_all += g_array_index(too_thin, TapulTooThin, i).closes;
    g_array_set_size(too_thin, MIN(too_thin->len, TAPUL_MOST_THIN));
}
