/* How far a plate is from lying flat, and what cuts do to that: see find_cuts.h. */
#include "develop/find_cuts.h"

#include "develop/conformal.h"

#include <string.h>

/* Nodes over the plate: strips of a twentieth of its width are still three nodes wide. */
#define GRID_NODES 1800.0
/* The stretch that a unit of tension comes to: a third on a round piece, a half on a long one
 * (from the best maps of a spherical cap and a strip); learnt anew from every pattern. */
#define FIRST_BEARING 0.36
#define LEAST_BEARING 0.2
#define MOST_BEARING  1.2
/* Mirrored points that are further than this from the metal show that a plate is not even. */
#define EVEN_WITHIN_MM 1.0
#define EVEN_SAMPLES   200
/* A line is followed in steps of this length, its end found to LINE_END_MM. */
#define LINE_STEP_MM 2.0
#define LINE_END_MM  0.05

/* --- The grid --- */

TapulVec2 tapul_tension_place(const TapulTension *tension, int node) {
    TapulVec2 steps = {node % tension->columns, node / tension->columns};
    return tapul_vec2_add(tension->corner_mm, tapul_vec2_scale(steps, tension->step_mm));
}

int tapul_tension_node(const TapulTension *tension, TapulVec2 point_mm) {
    TapulVec2 steps =
        tapul_vec2_scale(tapul_vec2_sub(point_mm, tension->corner_mm), 1 / tension->step_mm);
    int column = CLAMP((int)lround(steps.x), 0, tension->columns - 1);
    return column + tension->columns * CLAMP((int)lround(steps.y), 0, tension->rows - 1);
}

static void lay_grid(TapulTension *tension) {
    const TapulDevelopment *base = tension->base;
    TapulBox box = tapul_box_empty();
    for (int v = 0; v < base->mesh->n_vertices; v++)
        tapul_box_add(&box, base->flat_mm[v]);
    double step_mm = sqrt(base->developed_area_mm2 / GRID_NODES);
    int left = (int)ceil(-box.min.x / step_mm) + 1, right = (int)ceil(box.max.x / step_mm) + 1;
    tension->step_mm = step_mm;
    tension->corner_mm = tapul_vec2(-left * step_mm, box.min.y - step_mm);
    tension->columns = left + right + 1;
    tension->rows = (int)ceil((box.max.y - box.min.y) / step_mm) + 3;
    tension->n = tension->columns * tension->rows;
}

static TapulEdges *grid_edges(const TapulTension *tension) {
    TapulEdges *edges = g_new0(TapulEdges, 1);
    edges->n_vertices = tension->n;
    edges->edge = g_malloc_n(2 * (gsize)tension->n, sizeof *edges->edge);
    edges->weight = g_new(double, 2 * tension->n);
    for (int i = 0; i < tension->n; i++)
        for (int up = 0; up < 2; up++) {
            if (up ? i + tension->columns >= tension->n : (i + 1) % tension->columns == 0)
                continue;
            edges->edge[edges->n_edges][0] = i;
            edges->edge[edges->n_edges][1] = i + (up ? tension->columns : 1);
            edges->weight[edges->n_edges++] = 1;
        }
    return edges;
}

/* Nodes off the metal, or nearer to its edge than half a step: the edge then lies on average
 * where the nodes say it is. */
static void find_outside(TapulTension *tension) {
    static const TapulVec2 around[] = {{0, 0}, {1, 0}, {-1, 0}, {0, 1}, {0, -1}};
    for (int i = 0; i < tension->n; i++)
        for (guint k = 0; k < G_N_ELEMENTS(around) && !tension->outside[i]; k++) {
            TapulSpot spot;
            TapulVec2 at = tapul_vec2_add(tapul_tension_place(tension, i),
                                          tapul_vec2_scale(around[k], tension->step_mm / 2));
            tension->outside[i] = !tapul_development_finder_spot(tension->finder, at, &spot);
        }
}

/* The curvature at each inner vertex of the mesh, shared among the four nodes about it. */
static void gather_bend(TapulTension *tension) {
    const TapulDevelopment *base = tension->base;
    g_autoptr(TapulRest) rest = tapul_rest_new(base->mesh);
    g_autofree double *angle_rad = tapul_rest_angle_sums_rad(rest);
    g_autofree gboolean *on_edge = tapul_mesh_vertices_on_edge(base->mesh);
    for (int v = 0; v < base->mesh->n_vertices; v++) {
        if (on_edge[v])
            continue;
        TapulVec2 at = tapul_vec2_scale(tapul_vec2_sub(base->flat_mm[v], tension->corner_mm),
                                        1 / tension->step_mm);
        int column = (int)floor(at.x), row = (int)floor(at.y);
        double x = at.x - column, y = at.y - row, bend_rad = angle_rad[v] - 2 * G_PI;
        double *node = &tension->bend_rad[column + tension->columns * row];
        node[0] += (1 - x) * (1 - y) * bend_rad;
        node[1] += x * (1 - y) * bend_rad;
        node[tension->columns] += (1 - x) * y * bend_rad;
        node[tension->columns + 1] += x * y * bend_rad;
    }
}

/* Whether the plate is its own mirror image about its medial plane, as far as samples tell. */
static gboolean is_symmetric(const TapulTension *tension) {
    const TapulMesh *mesh = tension->base->mesh;
    int step = MAX(1, tension->n / EVEN_SAMPLES), off = 0, seen = 0;
    for (int i = 0; i < tension->n; i += step) {
        TapulVec2 at = tapul_tension_place(tension, i);
        TapulSpot spot, mirrored;
        if (tension->outside[i] || !tapul_development_finder_spot(tension->finder, at, &spot))
            continue;
        seen++;
        if (!tapul_development_finder_spot(tension->finder, tapul_vec2(-at.x, at.y),
                                           &mirrored)) {
            off++;
            continue;
        }
        TapulVec3 here = tapul_mesh_flat_position_mm(mesh, spot);
        TapulVec3 there = tapul_mesh_flat_position_mm(mesh, mirrored);
        off +=
            tapul_vec3_distance(here, tapul_vec3(-there.x, there.y, there.z)) > EVEN_WITHIN_MM;
    }
    /* A few samples near the edge may miss. */
    return seen > 0 && off * 20 <= seen;
}

TapulTension *tapul_tension_new(const TapulDevelopment *base,
                                const TapulDevelopmentFinder *finder) {
    TapulTension *tension = g_new0(TapulTension, 1);
    tension->base = base;
    tension->finder = finder;
    lay_grid(tension);
    tension->laplacian = tapul_laplacian_new_take(grid_edges(tension));
    tension->bend_rad = g_new0(double, tension->n);
    tension->outside = g_new0(gboolean, tension->n);
    tension->fixed = g_new(gboolean, tension->n);
    tension->u = g_new0(double, tension->n);
    tension->bearing = g_new(double, tension->n);
    for (int i = 0; i < tension->n; i++)
        tension->bearing[i] = FIRST_BEARING;
    find_outside(tension);
    gather_bend(tension);
    tension->symmetric = is_symmetric(tension);
    return tension;
}

void tapul_tension_free(TapulTension *tension) {
    if (!tension)
        return;
    tapul_laplacian_free(tension->laplacian);
    g_free(tension->bend_rad);
    g_free(tension->outside);
    g_free(tension->fixed);
    g_free(tension->u);
    g_free(tension->bearing);
    g_free(tension);
}

/* --- Looking --- */

/* The nodes nearest to a cut, each a neighbour of the last straight on or aslant: no path over
 * the grid's edges leads through them. */
static void fix_cut(TapulTension *tension, TapulFlatCut cut) {
    TapulVec2 along = tapul_vec2_sub(cut.to, cut.from);
    int n = (int)ceil(fmax(fabs(along.x), fabs(along.y)) / tension->step_mm);
    for (int i = 0; i <= n; i++)
        tension->fixed[tapul_tension_node(
            tension, tapul_vec2_mix(cut.from, cut.to, (double)i / MAX(n, 1)))] = TRUE;
}

/* What the metal at a node adds to the load: the power lets the worst places count most, and
 * others still a little. */
static double load_of(double share_of_aim) {
    double square = share_of_aim * share_of_aim;
    return share_of_aim > 1 ? square * square * square - 1 : 0;
}

TapulLook tapul_tension_look(TapulTension *tension, const TapulFlatCut *cut, int n_cuts,
                             double aim) {
    gsize n = (gsize)tension->n;
    TapulLook look = {0, 0, 0};
    memcpy(tension->fixed, tension->outside, n * sizeof *tension->fixed);
    for (int i = 0; i < n_cuts; i++)
        fix_cut(tension, cut[i]);
    if (!tapul_laplacian_fix(tension->laplacian, tension->fixed))
        return (TapulLook){INFINITY, 0, INFINITY};
    memset(tension->u, 0, n * sizeof *tension->u);
    tapul_laplacian_fill(tension->laplacian, tension->fixed, 1, tension->bend_rad, tension->u);
    for (int i = 0; i < tension->n; i++) {
        double foreseen = fabs(tension->u[i]) * tension->bearing[i];
        look.load += load_of(foreseen / aim);
        if (foreseen > look.most) {
            look.most = foreseen;
            look.worst = i;
        }
    }
    return look;
}

/* --- Learning --- */

/* The piece at each node, -1 where none is. */
static int *pieces_at_nodes(const TapulTension *tension, const TapulPattern *pattern) {
    int *piece_at = g_new(int, tension->n);
    memset(piece_at, 0xff, sizeof(int) * (gsize)tension->n);
    for (guint p = 0; p < pattern->pieces->len; p++) {
        const TapulPiece *piece = g_ptr_array_index(pattern->pieces, p);
        for (int t = 0; t < piece->mesh->n_triangles; t++) {
            TapulVec2 middle = {0, 0};
            for (int k = 0; k < 3; k++)
                middle = tapul_vec2_add(
                    middle, tapul_vec2_scale(tapul_development_point_mm(
                                                 tension->base, piece->plate_spot[3 * t + k]),
                                             1.0 / 3));
            piece_at[tapul_tension_node(tension, middle)] = (int)p;
        }
    }
    return piece_at;
}

void tapul_tension_learn(TapulTension *tension, const TapulPattern *pattern,
                         const double *strain, double limit) {
    g_autofree int *piece_at = pieces_at_nodes(tension, pattern);
    g_autofree double *most = g_new0(double, pattern->pieces->len);
    for (int i = 0; i < tension->n; i++)
        if (piece_at[i] >= 0)
            most[piece_at[i]] = fmax(most[piece_at[i]], fabs(tension->u[i]));
    for (int i = 0; i < tension->n; i++) {
        int p = piece_at[i];
        if (p < 0 || strain[p] < 0)
            continue;
        double bearing = CLAMP(strain[p] / fmax(most[p], 1e-9), LEAST_BEARING, MOST_BEARING);
        tension->bearing[i] = strain[p] > limit ? fmax(bearing, tension->bearing[i]) : bearing;
    }
}

/* --- Lines in the plane --- */

static double side_of(TapulVec2 from, TapulVec2 to, TapulVec2 point) {
    return tapul_vec2_cross(tapul_vec2_sub(to, from), tapul_vec2_sub(point, from));
}

static gboolean lines_cross(TapulVec2 a, TapulVec2 b, TapulVec2 c, TapulVec2 d) {
    return side_of(a, b, c) * side_of(a, b, d) < 0 && side_of(c, d, a) * side_of(c, d, b) < 0;
}

gboolean tapul_tension_is_free(const TapulTension *tension, TapulVec2 from, TapulVec2 to,
                               const TapulFlatCut *cut, int n_cuts) {
    TapulSpot spot;
    if (!tapul_development_finder_spot(tension->finder, to, &spot))
        return FALSE;
    for (int i = 0; i < n_cuts; i++)
        if (lines_cross(from, to, cut[i].from, cut[i].to))
            return FALSE;
    return TRUE;
}

TapulVec2 tapul_tension_reach(const TapulTension *tension, TapulVec2 from, TapulVec2 direction,
                              const TapulFlatCut *cut, int n_cuts) {
    TapulVec2 at = from;
    double step_mm = LINE_STEP_MM;
    while (step_mm > LINE_END_MM) {
        TapulVec2 next = tapul_vec2_add(at, tapul_vec2_scale(direction, step_mm));
        if (tapul_tension_is_free(tension, at, next, cut, n_cuts))
            at = next;
        else
            step_mm /= 2;
    }
    return at;
}
