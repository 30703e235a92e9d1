/* Trims a surface's half to its outline: the zero contour of 'how far inside' over the unit
 * square, by marching squares (Lorensen & Cline 1987, in the plane) with the crossings found by
 * bisection, and the outline's corners put in by Newton's method. Works in the square, so that
 * metal which turns away from the viewer is trimmed too. */
#include "plate/trim.h"

/* Cells along each side of the square. */
#define N_CELLS 128
#define N_NODES (N_CELLS + 1)
/* A frame of outside nodes around the square, lying on its edge, closes every contour on the
 * edge itself. */
#define N_FRAMED (N_NODES + 2)
/* Outline corners that turn by less are left to the spacing. */
#define CORNER_TURN_RAD (12 * G_PI / 180)
#define BISECTIONS      44

typedef struct {
    const TapulSurface *surface;
    const GArray *outline_mm;
    int side;
    double *inside_mm; /* [N_NODES * N_NODES] */
} Region;

double tapul_trim_distance_mm(const GArray *outline_mm, TapulVec2 point) {
    double nearest = INFINITY;
    gboolean inside = FALSE;
    for (guint i = 0, j = outline_mm->len - 1; i < outline_mm->len; j = i++) {
        TapulVec2 a = g_array_index(outline_mm, TapulVec2, j),
                  b = g_array_index(outline_mm, TapulVec2, i);
        TapulVec2 edge = tapul_vec2_sub(b, a), offset = tapul_vec2_sub(point, a);
        double t = tapul_vec2_dot(offset, edge) / fmax(tapul_vec2_dot(edge, edge), 1e-300);
        nearest =
            fmin(nearest, tapul_vec2_distance(point, tapul_vec2_mix(a, b, CLAMP(t, 0.0, 1.0))));
        if ((a.y > point.y) != (b.y > point.y) &&
            point.x < a.x + (point.y - a.y) / (b.y - a.y) * edge.x)
            inside = !inside;
    }
    return inside ? nearest : -nearest;
}

static TapulVec2 front_of(const Region *region, TapulVec2 uv) {
    TapulVec3 p = region->surface->evaluate(region->surface, region->side, uv.x, uv.y);
    return tapul_vec2(p.x, p.y);
}

static double inside_of(const Region *region, TapulVec2 uv) {
    double inside = 1;
    if (region->surface->inside_mm)
        inside = region->surface->inside_mm(region->surface, uv.x, uv.y);
    if (region->outline_mm)
        inside = fmin(inside, tapul_trim_distance_mm(region->outline_mm, front_of(region, uv)));
    return inside;
}

static TapulVec2 node_uv(int i, int j) {
    return tapul_vec2(CLAMP(i, 0, N_CELLS) / (double)N_CELLS,
                      CLAMP(j, 0, N_CELLS) / (double)N_CELLS);
}

static gboolean on_frame(int i, int j) {
    return i < 0 || j < 0 || i > N_CELLS || j > N_CELLS;
}

static gboolean node_inside(const Region *region, int i, int j) {
    return !on_frame(i, j) && region->inside_mm[j * N_NODES + i] > 0;
}

/* Where the edge from an inside node to an outside one leaves the region. */
static TapulVec2 crossing(const Region *region, int inner_i, int inner_j, int outer_i,
                          int outer_j) {
    TapulVec2 inner = node_uv(inner_i, inner_j), outer = node_uv(outer_i, outer_j);
    if (on_frame(outer_i, outer_j))
        return inner;
    for (int step = 0; step < BISECTIONS; step++) {
        TapulVec2 middle = tapul_vec2_mix(inner, outer, 0.5);
        *(inside_of(region, middle) > 0 ? &inner : &outer) = middle;
    }
    return inner;
}

/* The cell's corners, counter-clockwise from its lower left. */
static const int corner_step[4][2] = {{0, 0}, {1, 0}, {1, 1}, {0, 1}};

/* A name for the grid edge that side k of cell (i, j) is: shared by the two cells beside it. */
static gint64 edge_name(int i, int j, int k) {
    int row = k == 2 ? j + 1 : j, column = k == 1 ? i + 1 : i;
    gboolean upright = k == 1 || k == 3;
    return (((gint64)(row + 1) * (N_FRAMED + 1)) + column + 1) * 2 + upright;
}

typedef struct {
    gint64 next; /* the edge the contour goes on to */
    TapulVec2 at;
    gboolean used;
} Link;

static void link_edges(const Region *region, GHashTable *links, int i, int j, int from,
                       int to) {
    /* The contour enters through side `from`: with the region on its left, that side runs from
     * an inside corner to an outside one. */
    const int *inner = corner_step[from], *outer = corner_step[(from + 1) % 4];
    Link *link = g_new0(Link, 1);
    gint64 *name = g_new(gint64, 1);
    *name = edge_name(i, j, from);
    link->next = edge_name(i, j, to);
    link->at = crossing(region, i + inner[0], j + inner[1], i + outer[0], j + outer[1]);
    g_hash_table_insert(links, name, link);
}

/* Links the contour's pieces within one cell. */
static void trace_cell(const Region *region, GHashTable *links, int i, int j) {
    gboolean in[4];
    int n_inside = 0;
    for (int k = 0; k < 4; k++) {
        in[k] = node_inside(region, i + corner_step[k][0], j + corner_step[k][1]);
        n_inside += in[k];
    }
    if (n_inside == 0 || n_inside == 4)
        return;
    gboolean joined = FALSE; /* of the two diagonal pieces of a saddle */
    if (n_inside == 2 && in[0] == in[2])
        joined =
            inside_of(region, tapul_vec2_mix(node_uv(i, j), node_uv(i + 1, j + 1), 0.5)) > 0;
    for (int k = 0; k < 4; k++) {
        if (!in[k] || in[(k + 1) % 4])
            continue;
        /* Region on the left: leave through the side that runs from outside to inside. */
        int leave = -1;
        for (int step = 1; step < 4 && leave < 0; step++) {
            int q = joined ? (k + step) % 4 : (k + 4 - step) % 4;
            if (!in[q] && in[(q + 1) % 4])
                leave = q;
        }
        link_edges(region, links, i, j, k, leave);
    }
}

static void append_distinct(GArray *loop, TapulVec2 uv) {
    TapulTrimPoint point = {uv, FALSE};
    if (loop->len > 0 &&
        tapul_vec2_distance(g_array_index(loop, TapulTrimPoint, loop->len - 1).uv, uv) < 1e-9)
        return;
    g_array_append_val(loop, point);
}

/* Follows the links into loops; the loops' number in *n_loops, the longest returned. */
static GArray *longest_loop(GHashTable *links, int *n_loops) {
    GHashTableIter iterator;
    gpointer name, value;
    GArray *longest = NULL;

    *n_loops = 0;
    g_hash_table_iter_init(&iterator, links);
    while (g_hash_table_iter_next(&iterator, &name, &value)) {
        g_autoptr(GArray) loop = g_array_new(FALSE, FALSE, sizeof(TapulTrimPoint));
        for (Link *link = value; link && !link->used;
             link = g_hash_table_lookup(links, &link->next)) {
            link->used = TRUE;
            append_distinct(loop, link->at);
        }
        if (loop->len > 2 &&
            tapul_vec2_distance(g_array_index(loop, TapulTrimPoint, 0).uv,
                                g_array_index(loop, TapulTrimPoint, loop->len - 1).uv) < 1e-9)
            g_array_set_size(loop, loop->len - 1);
        if (loop->len < 3)
            continue;
        (*n_loops)++;
        if (!longest || loop->len > longest->len) {
            g_clear_pointer(&longest, g_array_unref);
            longest = g_steal_pointer(&loop);
        }
    }
    return longest;
}

/* Which edges of the square a point lies on, as bits. */
static int square_edges(TapulVec2 uv) {
    return (uv.x <= 0) | (uv.x >= 1) << 1 | (uv.y <= 0) << 2 | (uv.y >= 1) << 3;
}

/* Marks the points where the loop turns from one edge of the square to another, or to the
 * outline. */
static void mark_square_corners(GArray *loop) {
    guint n = loop->len;
    for (guint i = 0; i < n; i++) {
        TapulTrimPoint *point = &g_array_index(loop, TapulTrimPoint, i);
        int here = square_edges(point->uv);
        int before =
            here & square_edges(g_array_index(loop, TapulTrimPoint, (i + n - 1) % n).uv);
        int after = here & square_edges(g_array_index(loop, TapulTrimPoint, (i + 1) % n).uv);
        point->corner = before != after;
    }
}

/* The point (u, v) near a start that is seen at `front`, by Newton's method; FALSE if it leaves
 * the cell's neighbourhood. */
static gboolean solve_front(const Region *region, TapulVec2 front, TapulVec2 *uv) {
    const double step = 1e-5;
    TapulVec2 start = *uv;
    for (int i = 0; i < 30; i++) {
        TapulVec2 miss = tapul_vec2_sub(front, front_of(region, *uv));
        if (tapul_vec2_length(miss) < 1e-9)
            return TRUE;
        double du = uv->x < 0.5 ? step : -step, dv = uv->y < 0.5 ? step : -step;
        TapulVec2 here = front_of(region, *uv);
        TapulVec2 by_u = tapul_vec2_scale(
            tapul_vec2_sub(front_of(region, tapul_vec2(uv->x + du, uv->y)), here), 1 / du);
        TapulVec2 by_v = tapul_vec2_scale(
            tapul_vec2_sub(front_of(region, tapul_vec2(uv->x, uv->y + dv)), here), 1 / dv);
        double area = tapul_vec2_cross(by_u, by_v);
        if (fabs(area) < 1e-12)
            return FALSE;
        uv->x = CLAMP(uv->x + tapul_vec2_cross(miss, by_v) / area, 0.0, 1.0);
        uv->y = CLAMP(uv->y + tapul_vec2_cross(by_u, miss) / area, 0.0, 1.0);
        if (tapul_vec2_distance(*uv, start) > 3.0 / N_CELLS)
            return FALSE;
    }
    return tapul_vec2_distance(front, front_of(region, *uv)) < 1e-6;
}

/* Puts a corner into the loop at its nearest segment, or marks the point that is already there.
 */
static void insert_corner(GArray *loop, TapulVec2 uv) {
    double nearest = INFINITY;
    guint place = 0;
    for (guint i = 0; i < loop->len; i++) {
        TapulVec2 a = g_array_index(loop, TapulTrimPoint, i).uv;
        TapulVec2 b = g_array_index(loop, TapulTrimPoint, (i + 1) % loop->len).uv;
        TapulVec2 edge = tapul_vec2_sub(b, a);
        double t = tapul_vec2_dot(tapul_vec2_sub(uv, a), edge) /
                   fmax(tapul_vec2_dot(edge, edge), 1e-300);
        double distance = tapul_vec2_distance(uv, tapul_vec2_mix(a, b, CLAMP(t, 0.0, 1.0)));
        if (distance < nearest) {
            nearest = distance;
            place = i;
        }
    }
    if (nearest > 2.0 / N_CELLS)
        return; /* the outline's corner is hidden behind the square's edge */
    for (guint k = 0; k < 2; k++) {
        TapulTrimPoint *end = &g_array_index(loop, TapulTrimPoint, (place + k) % loop->len);
        if (tapul_vec2_distance(end->uv, uv) < 1e-6) {
            end->corner = TRUE;
            return;
        }
    }
    TapulTrimPoint point = {uv, TRUE};
    g_array_insert_val(loop, place + 1, point);
}

static double turn_at(const GArray *outline, guint i) {
    guint n = outline->len;
    TapulVec2 here = g_array_index(outline, TapulVec2, i);
    TapulVec2 in = tapul_vec2_sub(here, g_array_index(outline, TapulVec2, (i + n - 1) % n));
    TapulVec2 out = tapul_vec2_sub(g_array_index(outline, TapulVec2, (i + 1) % n), here);
    return fabs(atan2(tapul_vec2_cross(in, out), tapul_vec2_dot(in, out)));
}

/* Finds where on the square each sharp corner of the outline lies, and puts it into the loop.
 */
static void insert_outline_corners(const Region *region, GArray *loop) {
    for (guint k = 0; k < region->outline_mm->len; k++) {
        if (turn_at(region->outline_mm, k) < CORNER_TURN_RAD)
            continue;
        TapulVec2 front = g_array_index(region->outline_mm, TapulVec2, k);
        double nearest = INFINITY;
        TapulVec2 uv = {0, 0};
        /* The loop passes by every corner that matters: start from its nearest point. */
        for (guint i = 0; i < loop->len; i++) {
            TapulVec2 candidate = g_array_index(loop, TapulTrimPoint, i).uv;
            double distance = tapul_vec2_distance(front_of(region, candidate), front);
            if (distance < nearest) {
                nearest = distance;
                uv = candidate;
            }
        }
        if (solve_front(region, front, &uv))
            insert_corner(loop, uv);
    }
}

GArray *tapul_trim_loop(const TapulSurface *surface, int side, const GArray *outline_mm,
                        char **fault) {
    g_autofree double *inside = g_new(double, N_NODES *N_NODES);
    Region region = {surface, outline_mm, side, inside};
    g_autoptr(GHashTable) links =
        g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, g_free);
    int n_loops;

    for (int j = 0; j < N_NODES; j++)
        for (int i = 0; i < N_NODES; i++)
            inside[j * N_NODES + i] = inside_of(&region, node_uv(i, j));
    for (int j = -1; j < N_NODES; j++)
        for (int i = -1; i < N_NODES; i++)
            trace_cell(&region, links, i, j);

    g_autoptr(GArray) loop = longest_loop(links, &n_loops);
    if (n_loops > 1) {
        *fault = g_strdup_printf(
            "the outline leaves %d pieces or holes on the %s side; one piece is wanted",
            n_loops, side > 0 ? "right" : "left");
        return NULL;
    }
    if (!loop)
        return NULL;
    mark_square_corners(loop);
    if (outline_mm)
        insert_outline_corners(&region, loop);
    return g_steal_pointer(&loop);
}
