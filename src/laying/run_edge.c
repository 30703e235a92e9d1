/* The plate's edge as a border follows it. A border of some width cannot turn in a sharp
 * corner: the edge is rounded off first by the morphological opening of the plate with a disc
 * (Serra 1982), in the development: what a disc rolled about inside the plate can reach. There
 * its boundary leaves the edge and runs on an arc; elsewhere it is the edge itself. */
#include "laying/run_base.h"

#include <geos_c.h>

/* The disc is this much larger than the border asks, ... */
#define RADIUS_MARGIN 1.15
/* ... and its arcs have this many sides in a quarter: off by 0.0003 of the radius. */
#define QUARTER_SIDES 32
/* The opened boundary is on the edge within this: it cuts the corners that a smooth edge's
 * polygon has by up to 0.04 mm. */
#define ON_EDGE_MM 0.05
/* Where edge and arc meet they may be that much aside, which must not make a bend: there points
 * keep apart by this share of the disc's radius, and no more than so much. */
#define MEETING_SHARE  0.25
#define MEETING_MAX_MM 5.0
/* Points nearer than this share of the disc's radius to the one before add more rounding than
 * shape, unless the edge turns inward in a corner there, of this much or more. */
#define APART_SHARE 0.12
#define CORNER_RAD  0.15
/* Two vertices of a seam are at one place. */
#define SEAM_MM 1e-6

/* --- The opened plate --- */

typedef struct {
    GEOSContextHandle_t geos;
    const TapulDevelopment *development;
    const GArray *loop; /* of int */
} Edge;

static TapulVec2 loop_point(const Edge *edge, guint i) {
    return edge->development->flat_mm[g_array_index(edge->loop, int, i % edge->loop->len)];
}

static GEOSGeometry *edge_ring(const Edge *edge) {
    guint n = edge->loop->len;
    GEOSCoordSequence *sequence = GEOSCoordSeq_create_r(edge->geos, n + 1, 2);
    for (guint i = 0; i <= n; i++) {
        TapulVec2 p = loop_point(edge, i);
        GEOSCoordSeq_setXY_r(edge->geos, sequence, i, p.x, p.y);
    }
    return GEOSGeom_createLinearRing_r(edge->geos, sequence);
}

static GEOSGeometry *largest_part(const Edge *edge, GEOSGeometry *area) {
    const GEOSGeometry *largest = NULL;
    double largest_mm2 = 0;
    int n = area ? GEOSGetNumGeometries_r(edge->geos, area) : 0;
    for (int i = 0; i < n; i++) {
        const GEOSGeometry *part = GEOSGetGeometryN_r(edge->geos, area, i);
        double mm2 = 0;
        if (!GEOSArea_r(edge->geos, part, &mm2) || mm2 <= largest_mm2)
            continue;
        largest = part;
        largest_mm2 = mm2;
    }
    GEOSGeometry *ring =
        largest ? GEOSGeom_clone_r(edge->geos, GEOSGetExteriorRing_r(edge->geos, largest))
                : NULL;
    if (area)
        GEOSGeom_destroy_r(edge->geos, area);
    return ring;
}

/* The boundary of the opened plate, or NULL where the disc goes nowhere. */
static GEOSGeometry *opened_ring(const Edge *edge, double radius_mm) {
    GEOSGeometry *plate = GEOSGeom_createPolygon_r(edge->geos, edge_ring(edge), NULL, 0);
    GEOSGeometry *inner = GEOSBuffer_r(edge->geos, plate, -radius_mm, QUARTER_SIDES);
    GEOSGeometry *opened =
        inner ? GEOSBuffer_r(edge->geos, inner, radius_mm, QUARTER_SIDES) : NULL;
    GEOSGeom_destroy_r(edge->geos, plate);
    if (inner)
        GEOSGeom_destroy_r(edge->geos, inner);
    return largest_part(edge, opened);
}

/* --- Its points, in order --- */

typedef struct {
    double place_mm; /* along the opened ring */
    TapulRunBase base;
    gboolean corner; /* the edge turns to the right */
} Placed;

static gint by_place(gconstpointer a, gconstpointer b) {
    const Placed *first = a, *second = b;
    return (first->place_mm > second->place_mm) - (first->place_mm < second->place_mm);
}

static TapulSpot vertex_spot(const TapulMesh *mesh, int vertex) {
    for (int t = 0; t < mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++)
            if (mesh->corner[t][k] == vertex) {
                TapulSpot spot = {t, {0, 0, 0}};
                spot.weight[k] = 1;
                return spot;
            }
    g_assert_not_reached();
}

/* How far a point lies from a line, and where along the line the nearest point is. */
static double distance_to(const Edge *edge, const GEOSGeometry *line, TapulVec2 point,
                          double *place_mm) {
    GEOSGeometry *geometry = GEOSGeom_createPointFromXY_r(edge->geos, point.x, point.y);
    double distance_mm = INFINITY;
    GEOSDistance_r(edge->geos, line, geometry, &distance_mm);
    if (place_mm)
        *place_mm = GEOSProject_r(edge->geos, line, geometry);
    GEOSGeom_destroy_r(edge->geos, geometry);
    return distance_mm;
}

static double turn_at(const Edge *edge, guint i) {
    TapulVec2 at = loop_point(edge, i);
    TapulVec2 in = tapul_vec2_sub(at, loop_point(edge, i + edge->loop->len - 1));
    TapulVec2 out = tapul_vec2_sub(loop_point(edge, i + 1), at);
    return atan2(tapul_vec2_cross(in, out), tapul_vec2_dot(in, out));
}

/* The edge's own vertices where the ring keeps to it. */
static void place_edge(const Edge *edge, const GEOSGeometry *ring, GArray *placed) {
    for (guint i = 0; i < edge->loop->len; i++) {
        Placed point = {0};
        if (distance_to(edge, ring, loop_point(edge, i), &point.place_mm) > ON_EDGE_MM)
            continue;
        point.corner = turn_at(edge, i) < -CORNER_RAD;
        point.base.spot =
            vertex_spot(edge->development->mesh, g_array_index(edge->loop, int, i));
        g_array_append_val(placed, point);
    }
}

/* The ring's vertices where it left the edge. */
static void place_arcs(const Edge *edge, const TapulDevelopmentFinder *finder,
                       const GEOSGeometry *ring, GArray *placed) {
    GEOSGeometry *line = edge_ring(edge);
    const GEOSCoordSequence *sequence = GEOSGeom_getCoordSeq_r(edge->geos, ring);
    unsigned n = 0;
    GEOSCoordSeq_getSize_r(edge->geos, sequence, &n);
    TapulVec2 last = {0, 0};
    Placed point = {.base.off_edge = TRUE};
    for (unsigned i = 0; i + 1 < n; i++) {
        TapulVec2 p;
        GEOSCoordSeq_getXY_r(edge->geos, sequence, i, &p.x, &p.y);
        point.place_mm += i > 0 ? tapul_vec2_distance(last, p) : 0;
        last = p;
        if (distance_to(edge, line, p, NULL) > ON_EDGE_MM &&
            tapul_development_finder_spot(finder, p, &point.base.spot))
            g_array_append_val(placed, point);
    }
    GEOSGeom_destroy_r(edge->geos, line);
}

static gboolean is_clockwise(const Edge *edge, const GEOSGeometry *ring) {
    char left = 1;
    GEOSCoordSeq_isCCW_r(edge->geos, GEOSGeom_getCoordSeq_r(edge->geos, ring), &left);
    return left == 0;
}

static gboolean is_near_edge(const GArray *placed, double place_mm, double ring_mm,
                             double apart_mm) {
    for (guint k = 0; k < placed->len; k++) {
        const Placed *other = &g_array_index(placed, Placed, k);
        double away_mm = fabs(other->place_mm - place_mm);
        if (!other->base.off_edge && fmin(away_mm, ring_mm - away_mm) < apart_mm)
            return TRUE;
    }
    return FALSE;
}

/* Takes out the arcs' points that are too near to the edge's, and all that crowd. */
static GArray *thinned(const GArray *placed, double ring_mm, double radius_mm) {
    double meeting_mm = fmin(MEETING_SHARE * radius_mm, MEETING_MAX_MM), last_mm = -INFINITY;
    double apart_mm = fmin(APART_SHARE * radius_mm, MEETING_MAX_MM);
    GArray *kept = g_array_new(FALSE, FALSE, sizeof(Placed));
    for (guint i = 0; i < placed->len; i++) {
        const Placed *point = &g_array_index(placed, Placed, i);
        if ((point->place_mm - last_mm < apart_mm && !point->corner) ||
            (point->base.off_edge &&
             is_near_edge(placed, point->place_mm, ring_mm, meeting_mm)))
            continue;
        g_array_append_val(kept, *point);
        last_mm = point->place_mm;
    }
    return kept;
}

static GArray *bases_of(GArray *placed, double ring_mm, double radius_mm, gboolean backward) {
    g_array_sort(placed, by_place);
    g_autoptr(GArray) kept = thinned(placed, ring_mm, radius_mm);
    GArray *bases = g_array_new(FALSE, FALSE, sizeof(TapulRunBase));
    for (guint i = 0; i < kept->len; i++) {
        guint k = backward ? kept->len - 1 - i : i;
        g_array_append_val(bases, g_array_index(kept, Placed, k).base);
    }
    return bases;
}

static double widest_reach_mm(const Edge *edge) {
    GEOSGeometry *plate = GEOSGeom_createPolygon_r(edge->geos, edge_ring(edge), NULL, 0);
    GEOSGeometry *radius = GEOSMaximumInscribedCircle_r(edge->geos, plate, 0.1);
    double radius_mm = 0;
    if (radius) {
        GEOSLength_r(edge->geos, radius, &radius_mm);
        GEOSGeom_destroy_r(edge->geos, radius);
    }
    GEOSGeom_destroy_r(edge->geos, plate);
    return radius_mm;
}

GArray *tapul_run_edge(const TapulGround *ground, double reach_mm, GError **error) {
    g_autoptr(GPtrArray) loops = tapul_mesh_boundary_loops(ground->development->mesh);
    Edge edge = {GEOS_init_r(), ground->development, g_ptr_array_index(loops, 0)};
    /* The development is larger than the metal by its stretch, and so must the disc be. */
    double larger = RADIUS_MARGIN * fmax(1, ground->development->stretch.p999);
    GArray *bases = NULL;
    double radius_mm = reach_mm * larger;
    GEOSGeometry *ring = opened_ring(&edge, radius_mm);
    if (ring) {
        g_autoptr(GArray) placed = g_array_new(FALSE, FALSE, sizeof(Placed));
        place_edge(&edge, ring, placed);
        place_arcs(&edge, ground->finder, ring, placed);
        double ring_mm = 0;
        GEOSLength_r(edge.geos, ring, &ring_mm);
        bases = bases_of(placed, ring_mm, radius_mm, is_clockwise(&edge, ring));
        GEOSGeom_destroy_r(edge.geos, ring);
    } else {
        g_set_error(
            error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_VALUE,
            "the border reaches %.1f mm in from the plate's edge, but no metal is further "
            "than %.1f mm from it: expected a smaller offset_mm or scale",
            reach_mm, widest_reach_mm(&edge) / larger);
    }
    GEOS_finish_r(edge.geos);
    return bases;
}

/* --- The ends of a tube --- */

/* For each vertex of the loop, whether another one is at the same place: it is on the seam. */
static gboolean *find_seam(const TapulMesh *mesh, const GArray *loop) {
    gboolean *on_seam = g_new0(gboolean, loop->len);
    for (guint i = 0; i < loop->len; i++)
        for (guint j = 0; j < i; j++) {
            TapulVec3 a = mesh->position_mm[g_array_index(loop, int, i)];
            TapulVec3 b = mesh->position_mm[g_array_index(loop, int, j)];
            if (tapul_vec3_distance(a, b) < SEAM_MM)
                on_seam[i] = on_seam[j] = TRUE;
        }
    return on_seam;
}

static void add_end(GPtrArray *ends, const TapulMesh *mesh, const GArray *loop,
                    const gboolean *on_seam, guint first) {
    GArray *bases = g_array_new(FALSE, FALSE, sizeof(TapulRunBase));
    guint i = first;
    do {
        TapulRunBase base = {vertex_spot(mesh, g_array_index(loop, int, i)), FALSE};
        g_array_append_val(bases, base);
        i = (i + 1) % loop->len;
    } while (!on_seam[i]);
    TapulRunBase last = {vertex_spot(mesh, g_array_index(loop, int, i)), FALSE};
    g_array_append_val(bases, last);
    g_ptr_array_add(ends, bases);
}

GPtrArray *tapul_run_ends(const TapulGround *ground) {
    const TapulMesh *mesh = ground->development->mesh;
    g_autoptr(GPtrArray) loops = tapul_mesh_boundary_loops(mesh);
    const GArray *loop = g_ptr_array_index(loops, 0);
    g_autofree gboolean *on_seam = find_seam(mesh, loop);
    GPtrArray *ends = g_ptr_array_new_with_free_func((GDestroyNotify)g_array_unref);
    for (guint i = 0; i < loop->len; i++)
        if (on_seam[i] && !on_seam[(i + 1) % loop->len])
            add_end(ends, mesh, loop, on_seam, i);
    return ends;
}
