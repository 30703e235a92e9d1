/* A region mapped one-to-one on the unit square. Each coordinate of the square is a harmonic
 * function on the region, its outline going evenly to the square's sides; as the square is
 * convex this is one-to-one (Rado 1926, Kneser 1926, Choquet 1945), and so is its piecewise
 * linear counterpart with positive weights (Floater 2003, One-to-one piecewise linear mappings
 * over triangulations). The way back is read off at the nodes of a grid and made smooth by
 * bicubic interpolation: that is the map. */
#include "laying/region_mesh.h"

#include <gsl/gsl_spline2d.h>
#include <tapul/sparse.h>

/* The grid's meshes are this many times as wide as the triangles, within these numbers a side:
 * between its nodes nothing of the triangles' corners is left. */
#define NODE_SPACINGS 2.0
#define NODES_MIN     17
#define NODES_MAX     129
/* How far outside its triangle, in weights, a node may be through rounding. */
#define IN_TRIANGLE 1e-9
/* A point of the square this far outside it is on its side. */
#define ON_SQUARE 1e-9
/* Newton's goal, the promise, and how coarsely the start is looked for at first. */
#define INVERSE_GOAL_MM      1e-7
#define INVERSE_TOLERANCE_MM 1e-4
#define INVERSE_MAX_STEPS    60
#define START_STRIDE         4
/* A step further than this in the square trusts the derivatives too far. */
#define LONGEST_STEP 0.05

struct TapulRegion {
    int n_u, n_v;           /* nodes */
    double *u, *v;          /* [n_u], [n_v] */
    double *x, *y;          /* [n_v][n_u] */
    gsl_spline2d *by_uv[2]; /* x and y */
};

void tapul_region_free(TapulRegion *region) {
    if (!region)
        return;
    for (int k = 0; k < 2; k++)
        if (region->by_uv[k])
            gsl_spline2d_free(region->by_uv[k]);
    g_free(region->u);
    g_free(region->v);
    g_free(region->x);
    g_free(region->y);
    g_free(region);
}

/* --- Corners --- */

gboolean tapul_region_is_in_order(const GArray *outline) {
    int expected = -1, found = 0;
    double twice = 0;
    for (guint i = 0; i < outline->len; i++) {
        const TapulRegionPoint *at = &g_array_index(outline, TapulRegionPoint, i);
        const TapulRegionPoint *next =
            &g_array_index(outline, TapulRegionPoint, (i + 1) % outline->len);
        twice += tapul_vec2_cross(at->point, next->point);
        if (at->corner < 0)
            continue;
        if (expected >= 0 && at->corner != expected)
            return FALSE;
        expected = (at->corner + 1) % 4;
        found++;
    }
    return found == 4 && twice > 0;
}

gboolean tapul_region_take_box_corners(GArray *outline) {
    TapulBox box = tapul_box_empty();
    for (guint i = 0; i < outline->len; i++) {
        tapul_box_add(&box, g_array_index(outline, TapulRegionPoint, i).point);
        g_array_index(outline, TapulRegionPoint, i).corner = -1;
    }
    const TapulVec2 corners[] = {
        box.min, {box.max.x, box.min.y}, box.max, {box.min.x, box.max.y}};
    for (int k = 0; k < 4; k++) {
        TapulRegionPoint *nearest = NULL;
        double nearest_mm = INFINITY;
        for (guint i = 0; i < outline->len; i++) {
            TapulRegionPoint *at = &g_array_index(outline, TapulRegionPoint, i);
            double away_mm = tapul_vec2_distance(at->point, corners[k]);
            if (away_mm >= nearest_mm)
                continue;
            nearest = at;
            nearest_mm = away_mm;
        }
        nearest->corner = k;
    }
    return tapul_region_is_in_order(outline);
}

/* --- The harmonic map, region to square --- */

static TapulVec2 mesh_point(const TapulRegionMesh *mesh, int i) {
    return g_array_index(mesh->points, TapulVec2, i);
}

/* Half the cotangent of the angle at corner k of a triangle (Pinkall & Polthier 1993), or 1. */
static double corner_weight(const TapulRegionMesh *mesh, const int *corner, int k,
                            gboolean even) {
    TapulVec2 at = mesh_point(mesh, corner[k]);
    TapulVec2 a = tapul_vec2_sub(mesh_point(mesh, corner[(k + 1) % 3]), at);
    TapulVec2 b = tapul_vec2_sub(mesh_point(mesh, corner[(k + 2) % 3]), at);
    return even ? 1 : tapul_vec2_dot(a, b) / tapul_vec2_cross(a, b) / 2;
}

static TapulSparse *inner_pattern(const TapulRegionMesh *mesh, int n_inner) {
    g_autoptr(GArray) pairs = g_array_new(FALSE, FALSE, sizeof(int[2]));
    for (guint i = 0; i < mesh->corner->len; i++) {
        const int *corner = &g_array_index(mesh->corner, int, i - i % 3);
        int pair[2] = {corner[i % 3] - mesh->n_edge, corner[(i + 1) % 3] - mesh->n_edge};
        if (pair[0] >= 0 && pair[1] >= 0)
            g_array_append_val(pairs, pair);
    }
    return tapul_sparse_new(n_inner, (int)pairs->len, (const int(*)[2])(gpointer)pairs->data);
}

/* Adds one edge's weight to the row of an inner point; the outline's points are known. */
static void add_weight(const TapulRegionMesh *mesh, TapulSparse *matrix, double *known,
                       int from, int to, double weight) {
    int row = from - mesh->n_edge, n = matrix->n;
    if (row < 0)
        return;
    matrix->value[tapul_sparse_index(matrix, row, row)] += weight;
    if (to >= mesh->n_edge) {
        /* Each edge comes once from either end, and the matrix holds it once. */
        if (from < to)
            matrix->value[tapul_sparse_index(matrix, row, to - mesh->n_edge)] -= weight;
        return;
    }
    TapulVec2 square = g_array_index(mesh->square, TapulVec2, to);
    known[row] += weight * square.x;
    known[n + row] += weight * square.y;
}

/* Where all points of the mesh go; FALSE if a triangle is turned over. */
static gboolean solve(const TapulRegionMesh *mesh, gboolean even, TapulVec2 *square) {
    int n = (int)mesh->points->len - mesh->n_edge;
    g_autoptr(TapulSparse) matrix = inner_pattern(mesh, n);
    g_autofree double *known = g_new0(double, 2 * (gsize)n);
    for (guint i = 0; i < mesh->corner->len; i++) {
        const int *corner = &g_array_index(mesh->corner, int, i - i % 3);
        int k = (int)(i % 3), a = corner[(k + 1) % 3], b = corner[(k + 2) % 3];
        double weight = corner_weight(mesh, corner, k, even);
        add_weight(mesh, matrix, known, a, b, weight);
        add_weight(mesh, matrix, known, b, a, weight);
    }
    g_autoptr(TapulFactor) factor = tapul_factor_new(matrix, NULL);
    if (!factor || !tapul_factor_update(factor, matrix))
        return FALSE;
    tapul_factor_solve(factor, 2, known, known);
    for (int i = 0; i < (int)mesh->points->len; i++)
        square[i] = i < mesh->n_edge
                        ? g_array_index(mesh->square, TapulVec2, i)
                        : tapul_vec2(known[i - mesh->n_edge], known[n + i - mesh->n_edge]);
    for (guint i = 0; i < mesh->corner->len; i += 3) {
        const int *corner = &g_array_index(mesh->corner, int, i);
        TapulVec2 a = square[corner[0]];
        if (!(tapul_vec2_cross(tapul_vec2_sub(square[corner[1]], a),
                               tapul_vec2_sub(square[corner[2]], a)) > 0))
            return FALSE;
    }
    return TRUE;
}

/* --- The grid, square to region --- */

static void region_alloc(TapulRegion *region, int n_u, int n_v) {
    region->n_u = n_u;
    region->n_v = n_v;
    region->u = g_new(double, (guint)n_u);
    region->v = g_new(double, (guint)n_v);
    region->x = g_new0(double, (gsize)n_u *(gsize)n_v);
    region->y = g_new0(double, (gsize)n_u *(gsize)n_v);
    for (int i = 0; i < n_u; i++)
        region->u[i] = (double)i / (n_u - 1);
    for (int j = 0; j < n_v; j++)
        region->v[j] = (double)j / (n_v - 1);
}

/* The nodes that lie in a triangle's image get their place in the triangle. */
static void place_nodes(TapulRegion *region, const TapulVec2 square[3],
                        const TapulVec2 point[3]) {
    TapulBox box = tapul_box_empty();
    for (int k = 0; k < 3; k++)
        tapul_box_add(&box, square[k]);
    double twice = tapul_vec2_cross(tapul_vec2_sub(square[1], square[0]),
                                    tapul_vec2_sub(square[2], square[0]));
    int low_i = MAX(0, (int)floor(box.min.x * (region->n_u - 1)));
    int high_i = MIN(region->n_u - 1, (int)ceil(box.max.x * (region->n_u - 1)));
    int low_j = MAX(0, (int)floor(box.min.y * (region->n_v - 1)));
    int high_j = MIN(region->n_v - 1, (int)ceil(box.max.y * (region->n_v - 1)));
    for (int j = low_j; j <= high_j; j++)
        for (int i = low_i; i <= high_i; i++) {
            TapulVec2 node = {region->u[i], region->v[j]}, sum = {0, 0};
            double least = INFINITY;
            for (int k = 0; k < 3; k++) {
                TapulVec2 a = square[(k + 1) % 3], b = square[(k + 2) % 3];
                double weight =
                    tapul_vec2_cross(tapul_vec2_sub(b, a), tapul_vec2_sub(node, a)) / twice;
                least = fmin(least, weight);
                sum = tapul_vec2_add(sum, tapul_vec2_scale(point[k], weight));
            }
            if (least < -IN_TRIANGLE)
                continue;
            region->x[j * region->n_u + i] = sum.x;
            region->y[j * region->n_u + i] = sum.y;
        }
}

static int nodes_for(double length_mm, double spacing_mm) {
    return (int)CLAMP(length_mm / (NODE_SPACINGS * spacing_mm), NODES_MIN, NODES_MAX);
}

/* The longer of two opposite sides, as the outline's points lie on the square's. */
static double side_length(const TapulRegionMesh *mesh, gboolean along_u) {
    double low_mm = 0, high_mm = 0;
    for (int i = 0; i < mesh->n_edge; i++) {
        int next = (i + 1) % mesh->n_edge;
        TapulVec2 a = g_array_index(mesh->square, TapulVec2, i);
        TapulVec2 b = g_array_index(mesh->square, TapulVec2, next);
        double length_mm = tapul_vec2_distance(mesh_point(mesh, i), mesh_point(mesh, next));
        double across = along_u ? (a.y + b.y) / 2 : (a.x + b.x) / 2;
        low_mm += across < ON_SQUARE ? length_mm : 0;
        high_mm += across > 1 - ON_SQUARE ? length_mm : 0;
    }
    return fmax(low_mm, high_mm);
}

static void read_off(TapulRegion *region, const TapulRegionMesh *mesh,
                     const TapulVec2 *square) {
    region_alloc(region, nodes_for(side_length(mesh, TRUE), mesh->spacing_mm),
                 nodes_for(side_length(mesh, FALSE), mesh->spacing_mm));
    for (guint t = 0; t < mesh->corner->len; t += 3) {
        const int *corner = &g_array_index(mesh->corner, int, t);
        TapulVec2 to[3], from[3];
        for (int k = 0; k < 3; k++) {
            to[k] = square[corner[k]];
            from[k] = mesh_point(mesh, corner[k]);
        }
        place_nodes(region, to, from);
    }
    const double *const z[] = {region->x, region->y};
    for (int k = 0; k < 2; k++) {
        region->by_uv[k] =
            gsl_spline2d_alloc(gsl_interp2d_bicubic, (size_t)region->n_u, (size_t)region->n_v);
        gsl_spline2d_init(region->by_uv[k], region->u, region->v, z[k], (size_t)region->n_u,
                          (size_t)region->n_v);
    }
}

TapulRegion *tapul_region_new(const GArray *outline, const char *what, GError **error) {
    g_assert(tapul_region_is_in_order(outline));
    g_autoptr(TapulRegionMesh) mesh = tapul_region_mesh_new(outline);
    g_autofree TapulVec2 *square = mesh ? g_new(TapulVec2, mesh->points->len) : NULL;
    if (!mesh || (!solve(mesh, FALSE, square) && !solve(mesh, TRUE, square))) {
        g_set_error(error, TAPUL_LAYING_ERROR, TAPUL_LAYING_ERROR_VALUE,
                    "%s: its outline is too fine or too narrow to be filled one-to-one", what);
        return NULL;
    }
    TapulRegion *region = g_new0(TapulRegion, 1);
    read_off(region, mesh, square);
    return region;
}

/* --- There and back --- */

static TapulVec2 point_at(const TapulRegion *region, TapulVec2 square) {
    double p[2];
    for (int k = 0; k < 2; k++)
        p[k] = gsl_spline2d_eval(region->by_uv[k], square.x, square.y, NULL, NULL);
    return tapul_vec2(p[0], p[1]);
}

static gboolean clamp_to_square(TapulVec2 *square) {
    if (!(square->x >= -ON_SQUARE && square->x <= 1 + ON_SQUARE && square->y >= -ON_SQUARE &&
          square->y <= 1 + ON_SQUARE))
        return FALSE;
    *square = tapul_vec2(CLAMP(square->x, 0, 1), CLAMP(square->y, 0, 1));
    return TRUE;
}

gboolean tapul_region_point(const TapulRegion *region, TapulVec2 square, TapulVec2 *point) {
    if (!clamp_to_square(&square))
        return FALSE;
    *point = point_at(region, square);
    return TRUE;
}

/* Of every so many nodes, the one nearest. */
static TapulVec2 nearest_node(const TapulRegion *region, TapulVec2 point, int stride) {
    TapulVec2 nearest = {0.5, 0.5};
    double nearest_mm = INFINITY;
    for (int j = 0; j < region->n_v; j += stride)
        for (int i = 0; i < region->n_u; i += stride) {
            int node = j * region->n_u + i;
            double away_mm = hypot(region->x[node] - point.x, region->y[node] - point.y);
            if (away_mm >= nearest_mm)
                continue;
            nearest = tapul_vec2(region->u[i], region->v[j]);
            nearest_mm = away_mm;
        }
    return nearest;
}

static TapulVec2 newton_step(const TapulRegion *region, TapulVec2 at, TapulVec2 gap) {
    TapulVec2 by_u, by_v;
    by_u.x = gsl_spline2d_eval_deriv_x(region->by_uv[0], at.x, at.y, NULL, NULL);
    by_u.y = gsl_spline2d_eval_deriv_x(region->by_uv[1], at.x, at.y, NULL, NULL);
    by_v.x = gsl_spline2d_eval_deriv_y(region->by_uv[0], at.x, at.y, NULL, NULL);
    by_v.y = gsl_spline2d_eval_deriv_y(region->by_uv[1], at.x, at.y, NULL, NULL);
    double determinant = tapul_vec2_cross(by_u, by_v);
    return tapul_vec2(tapul_vec2_cross(gap, by_v) / determinant,
                      tapul_vec2_cross(by_u, gap) / determinant);
}

/* Newton's method, each step halved until it leads nearer. */
static gboolean search_from(const TapulRegion *region, TapulVec2 point, TapulVec2 start,
                            TapulVec2 *square) {
    TapulVec2 best = start, at = start, step = {0, 0};
    double best_mm = INFINITY;
    for (int i = 0; i < INVERSE_MAX_STEPS && best_mm > INVERSE_GOAL_MM; i++) {
        TapulVec2 gap = tapul_vec2_sub(point, point_at(region, at));
        if (tapul_vec2_length(gap) < best_mm) {
            best = at;
            best_mm = tapul_vec2_length(gap);
            step = newton_step(region, best, gap);
            double longer = tapul_vec2_length(step) / LONGEST_STEP;
            step = tapul_vec2_scale(step, 1 / fmax(1, longer));
        } else {
            step = tapul_vec2_scale(step, 0.5);
        }
        at = tapul_vec2_add(best, step);
        at = tapul_vec2(CLAMP(at.x, 0, 1), CLAMP(at.y, 0, 1));
    }
    *square = best;
    return best_mm <= INVERSE_TOLERANCE_MM;
}

/* Near a corner that the outline does not have, the map is far from linear: there the start has
 * to be near. */
gboolean tapul_region_square(const TapulRegion *region, TapulVec2 point, TapulVec2 *square) {
    return search_from(region, point, nearest_node(region, point, START_STRIDE), square) ||
           search_from(region, point, nearest_node(region, point, 1), square);
}
