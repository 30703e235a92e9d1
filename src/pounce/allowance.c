/* Allowances: at each place of a seam how far the paper may go on beyond it, and what it shows
 * there. The paper's edges (outline.c) and the design on them (ink.c) both stand on this. */
#include "pounce/allowance.h"

/* Places along a seam are no further apart than this, and those square to it: far finer than
 * the triangles (5 mm and more) whose map they sample. */
#define STATION_MM 1.0
#define ROW_MM     1.25
/* What is square to a seam is judged over this length to both sides: a seam that goes through a
 * vertex of the mesh may be kinked over less. */
#define SQUARE_REACH_MM 3.0
/* A corner of the seam makes the strip's corner this much deeper at most (a turn of 120
 * degrees). */
#define MITRE_MAX 2.0
/* A place of the strip is nearer to its own seam than to other edges of the paper, by these
 * factors: what is left beside a strip can be cut out with a knife, and two strips at a corner
 * do not touch. */
#define REST_FACTOR   1.1
#define CORNER_FACTOR 1.005
/* Its distance from its own seam may fall short of its depth by a twentieth of a triangle's
 * edge and a little more: by so much is a seam kinked that goes through a vertex beside it. */
#define KINK_MM 0.5
/* A way out of the paper is made even in so many steps; each leaves a hundredth of the error.
 */
#define EVEN_STEPS 4
/* How exactly a limited depth is found; the knife follows no finer. */
#define DEPTH_STEPS 12

/* One side of a seam on its paper, as the seam runs. */
typedef struct {
    const TapulPiece *piece;
    int n;
    int *vertex;         /* [n] */
    TapulVec2 *point_mm; /* [n] */
    double *length_mm;   /* [n] from the start */
} Side;

/* An edge of the paper's outline, and whether it is of the seam in hand. */
typedef struct {
    int from, to;
    TapulVec2 a, b;
    gboolean own;
} Edge;

/* What limits a strip. */
typedef struct {
    Side near, far;     /* the strip's own side, and the neighbour's; far runs the same way */
    GArray *near_edges; /* of Edge: all of the piece */
    GArray *seam_edges; /* of Edge: those of them along the seam */
    GArray *far_edges;  /* of Edge: the neighbour's, of this seam alone */
    int rows;
} Limits;

static void allowance_free(gpointer data) {
    TapulAllowance *strip = data;
    g_free(strip->along);
    g_free(strip->depth_mm);
    g_free(strip->paper_mm);
    g_free(strip->shown);
    g_free(strip);
}

/* --- The sides of a seam --- */

static Side side_new(const TapulPattern *pattern, const TapulSeam *seam, int side) {
    Side made = {.piece = g_ptr_array_index(pattern->pieces, (guint)seam->piece[side]),
                 .n = seam->n};
    made.vertex = g_new(int, seam->n);
    made.point_mm = g_new(TapulVec2, seam->n);
    made.length_mm = g_new0(double, seam->n);
    for (int i = 0; i < seam->n; i++) {
        made.vertex[i] = seam->vertex[side][i];
        made.point_mm[i] = made.piece->development->flat_mm[made.vertex[i]];
        if (i > 0)
            made.length_mm[i] = made.length_mm[i - 1] +
                                tapul_vec2_distance(made.point_mm[i - 1], made.point_mm[i]);
    }
    return made;
}

static void side_clear(Side *side) {
    g_free(side->vertex);
    g_free(side->point_mm);
    g_free(side->length_mm);
}

static TapulVec2 point_at(const Side *side, double along) {
    int i = MIN((int)along, side->n - 2);
    return tapul_vec2_mix(side->point_mm[i], side->point_mm[i + 1], along - i);
}

static TapulVec2 point_at_length(const Side *side, double length_mm) {
    int i = 0;
    while (i < side->n - 2 && side->length_mm[i + 1] < length_mm)
        i++;
    double edge_mm = side->length_mm[i + 1] - side->length_mm[i];
    double share = edge_mm > 0 ? (length_mm - side->length_mm[i]) / edge_mm : 0;
    return tapul_vec2_mix(side->point_mm[i], side->point_mm[i + 1], CLAMP(share, 0, 1));
}

/* Unit, to the right of a direction: out of the paper on its left. */
static TapulVec2 right_of(TapulVec2 direction) {
    double length = tapul_vec2_length(direction);
    return length > 0 ? tapul_vec2(direction.y / length, -direction.x / length)
                      : tapul_vec2(0, 0);
}

/* Square to the seam and out of the paper, longer than 1 in corners so that the strip keeps its
 * width. */
static TapulVec2 outward_at(const Side *side, double along) {
    int i = MIN((int)along, side->n - 2);
    TapulVec2 at = point_at(side, along);
    double at_mm =
        side->length_mm[i] + (along - i) * (side->length_mm[i + 1] - side->length_mm[i]);
    TapulVec2 before = point_at_length(side, at_mm - SQUARE_REACH_MM);
    TapulVec2 after = point_at_length(side, at_mm + SQUARE_REACH_MM);
    TapulVec2 coming = right_of(tapul_vec2_sub(at, before));
    TapulVec2 going = right_of(tapul_vec2_sub(after, at));
    if (tapul_vec2_length(coming) == 0)
        return going;
    if (tapul_vec2_length(going) == 0)
        return coming;
    TapulVec2 sum = tapul_vec2_add(coming, going);
    TapulVec2 square = right_of(tapul_vec2(-sum.y, sum.x));
    double cosine = fmax(tapul_vec2_dot(square, going), 1 / MITRE_MAX);
    return tapul_vec2_scale(square, 1 / cosine);
}

/* --- How deep a strip may be --- */

static gboolean is_of_side(const Side *side, int from, int to) {
    for (int i = 0; i + 1 < side->n; i++)
        if (side->vertex[i] == from && side->vertex[i + 1] == to)
            return TRUE;
    return FALSE;
}

/* All edges of the piece's outline. */
static GArray *outline_edges(const Side *side) {
    GArray *edges = g_array_new(FALSE, FALSE, sizeof(Edge));
    const TapulVec2 *flat_mm = side->piece->development->flat_mm;
    g_autoptr(GPtrArray) loops = tapul_mesh_boundary_loops(side->piece->mesh);
    for (guint l = 0; l < loops->len; l++) {
        const GArray *loop = g_ptr_array_index(loops, l);
        for (guint i = 0; i < loop->len; i++) {
            int from = g_array_index(loop, int, i);
            int to = g_array_index(loop, int, (i + 1) % loop->len);
            Edge edge = {from, to, flat_mm[from], flat_mm[to], is_of_side(side, from, to)};
            g_array_append_val(edges, edge);
        }
    }
    return edges;
}

static GArray *own_edges(const Side *side) {
    GArray *edges = g_array_new(FALSE, FALSE, sizeof(Edge));
    for (int i = 0; i + 1 < side->n; i++) {
        Edge edge = {side->vertex[i], side->vertex[i + 1], side->point_mm[i],
                     side->point_mm[i + 1], TRUE};
        g_array_append_val(edges, edge);
    }
    return edges;
}

static TapulVec2 nearest_on(const Edge *edge, TapulVec2 p, double *share) {
    TapulVec2 along = tapul_vec2_sub(edge->b, edge->a);
    double square = tapul_vec2_dot(along, along);
    double t = square > 0 ? tapul_vec2_dot(tapul_vec2_sub(p, edge->a), along) / square : 0;
    *share = CLAMP(t, 0, 1);
    return tapul_vec2_mix(edge->a, edge->b, *share);
}

/* How far a place has to be away from an edge, at the edge's nearest point. */
static double clearance_mm(const Side *side, const Edge *edge, double share, double depth_mm) {
    if (edge->own)
        return depth_mm - KINK_MM;
    int vertex = share == 0 ? edge->from : share == 1 ? edge->to : -1;
    gboolean corner =
        vertex >= 0 && (vertex == side->vertex[0] || vertex == side->vertex[side->n - 1]);
    return depth_mm * (corner ? CORNER_FACTOR : REST_FACTOR);
}

static gboolean keeps_clear(const Side *side, const GArray *edges, TapulVec2 p,
                            double depth_mm) {
    for (guint i = 0; i < edges->len; i++) {
        const Edge *edge = &g_array_index(edges, Edge, i);
        double share;
        double distance = tapul_vec2_distance(nearest_on(edge, p, &share), p);
        if (distance < clearance_mm(side, edge, share, depth_mm))
            return FALSE;
    }
    return TRUE;
}

/* A station: where it lies on both papers, and which way is out of the one and into the other.
 */
typedef struct {
    TapulVec2 near, outward, far, inward;
} Station;

static TapulVec2 beyond(TapulVec2 from, TapulVec2 way, double depth_mm) {
    return tapul_vec2_add(from, tapul_vec2_scale(way, depth_mm));
}

/* The way made longer or shorter until the full width is what lies between its end and the
 * seam: a kinked seam is not square to it everywhere. */
static TapulVec2 even_way(TapulVec2 from, TapulVec2 way, const GArray *seam_edges,
                          double width_mm) {
    for (int i = 0; i < EVEN_STEPS; i++) {
        TapulVec2 out = beyond(from, way, width_mm);
        double distance_mm = INFINITY, share;
        for (guint k = 0; k < seam_edges->len; k++) {
            TapulVec2 nearest = nearest_on(&g_array_index(seam_edges, Edge, k), out, &share);
            distance_mm = fmin(distance_mm, tapul_vec2_distance(nearest, out));
        }
        way = tapul_vec2_scale(way, fmin(width_mm / distance_mm, MITRE_MAX));
    }
    return way;
}

static Station station_at(const Limits *limits, double along, double width_mm) {
    /* The neighbour's side runs with its paper on the right, so that out of the one is into the
     * other. */
    Station station = {point_at(&limits->near, along), outward_at(&limits->near, along),
                       point_at(&limits->far, along), outward_at(&limits->far, along)};
    station.outward = even_way(station.near, station.outward, limits->seam_edges, width_mm);
    station.inward = even_way(station.far, station.inward, limits->far_edges, width_mm);
    return station;
}

static gboolean may_reach(const Limits *limits, const Station *station, double depth_mm) {
    TapulVec2 out = beyond(station->near, station->outward, depth_mm);
    TapulVec2 in = beyond(station->far, station->inward, depth_mm);
    if (!keeps_clear(&limits->near, limits->near_edges, out, depth_mm) ||
        !keeps_clear(&limits->far, limits->far_edges, in, depth_mm))
        return FALSE;
    for (int row = 1; row < limits->rows; row++) {
        TapulSpot spot;
        TapulVec2 at =
            beyond(station->far, station->inward, depth_mm * row / (limits->rows - 1));
        if (!tapul_development_finder_spot(limits->far.piece->finder, at, &spot))
            return FALSE;
    }
    return TRUE;
}

static double depth_at(const Limits *limits, const Station *station, double width_mm) {
    if (may_reach(limits, station, width_mm))
        return width_mm;
    double good = 0, bad = width_mm;
    for (int i = 0; i < DEPTH_STEPS; i++) {
        double middle = (good + bad) / 2;
        if (may_reach(limits, station, middle))
            good = middle;
        else
            bad = middle;
    }
    /* What is thinner than the last step is nothing. */
    return good > 2 * width_mm / (1 << DEPTH_STEPS) ? good : 0;
}

/* --- The strip --- */

/* Where the stations stand: at every vertex of the seam, and between. */
static GArray *station_places(const Side *side) {
    GArray *places = g_array_new(FALSE, FALSE, sizeof(double));
    for (int i = 0; i + 1 < side->n; i++) {
        int parts = (int)ceil((side->length_mm[i + 1] - side->length_mm[i]) / STATION_MM);
        for (int k = 0; k < MAX(parts, 1); k++) {
            double along = i + (double)k / MAX(parts, 1);
            g_array_append_val(places, along);
        }
    }
    double end = side->n - 1;
    g_array_append_val(places, end);
    return places;
}

static void set_station(TapulAllowance *strip, int s, const Limits *limits, double width_mm) {
    Station station = station_at(limits, strip->along[s], width_mm);
    double depth_mm = depth_at(limits, &station, width_mm);
    strip->depth_mm[s] = depth_mm;
    for (int row = 0; row < strip->rows; row++) {
        double out_mm = depth_mm * row / (strip->rows - 1);
        int i = s * strip->rows + row;
        strip->paper_mm[i] = beyond(station.near, station.outward, out_mm);
        strip->shown[i] = (TapulSpot){.triangle = -1};
        if (out_mm > 0 && !tapul_development_finder_spot(
                              limits->far.piece->finder,
                              beyond(station.far, station.inward, out_mm), &strip->shown[i]))
            strip->shown[i].triangle = -1;
    }
}

static TapulAllowance *allowance_new(const TapulPattern *pattern, int number, double width_mm) {
    const TapulSeam *seam = g_ptr_array_index(pattern->seams, (guint)number);
    Limits limits = {.near = side_new(pattern, seam, 0),
                     .far = side_new(pattern, seam, 1),
                     .rows = (int)ceil(width_mm / ROW_MM) + 1};
    limits.near_edges = outline_edges(&limits.near);
    limits.seam_edges = own_edges(&limits.near);
    limits.far_edges = own_edges(&limits.far);
    g_autoptr(GArray) places = station_places(&limits.near);
    TapulAllowance *strip = g_new0(TapulAllowance, 1);
    *strip = (TapulAllowance){.seam = number,
                              .neighbour = seam->piece[1],
                              .stations = (int)places->len,
                              .rows = limits.rows};
    strip->depth_mm = g_new0(double, strip->stations);
    strip->paper_mm = g_new0(TapulVec2, strip->stations * strip->rows);
    strip->shown = g_new0(TapulSpot, strip->stations * strip->rows);
    strip->along = (double *)(void *)g_array_free(g_steal_pointer(&places), FALSE);
    for (int s = 0; s < strip->stations; s++)
        set_station(strip, s, &limits, width_mm);
    side_clear(&limits.near);
    side_clear(&limits.far);
    g_array_unref(limits.near_edges);
    g_array_unref(limits.seam_edges);
    g_array_unref(limits.far_edges);
    return strip;
}

GPtrArray *tapul_allowances_new(const TapulPattern *pattern, int piece, double width_mm) {
    GPtrArray *strips = g_ptr_array_new_with_free_func(allowance_free);
    for (guint s = 0; width_mm > 0 && s < pattern->seams->len; s++) {
        const TapulSeam *seam = g_ptr_array_index(pattern->seams, s);
        if (seam->piece[0] == piece)
            g_ptr_array_add(strips, allowance_new(pattern, (int)s, width_mm));
    }
    return strips;
}
