/* Makes a first triangulation of a trimmed half: its loop spaced by the sizing, then a
 * constrained Delaunay triangulation of the polygon (GEOS) in the unit square; patch_refine.c
 * does the rest. */
#include "plate/patch.h"

#include "plate/trim.h"

#include <geos_c.h>

static TapulVec3 surface_at(const TapulPatch *patch, TapulVec2 uv) {
    return patch->surface->evaluate(patch->surface, patch->side, uv.x, uv.y);
}

static TapulPatch *patch_alloc(const TapulSurface *surface, int side) {
    TapulPatch *patch = g_new0(TapulPatch, 1);
    patch->surface = surface;
    patch->side = side;
    patch->vertices = g_array_new(FALSE, FALSE, sizeof(TapulPatchVertex));
    patch->triangles = g_array_new(FALSE, FALSE, sizeof(TapulPatchTriangle));
    return patch;
}

void tapul_patch_free(TapulPatch *patch) {
    if (!patch)
        return;
    g_array_unref(patch->vertices);
    g_array_unref(patch->triangles);
    g_free(patch);
}

static int add_vertex(TapulPatch *patch, TapulVec2 uv, gboolean fixed) {
    TapulPatchVertex vertex = {uv, surface_at(patch, uv), fixed};
    g_array_append_val(patch->vertices, vertex);
    return (int)patch->vertices->len - 1;
}

/* Spaces the stretch of loop between two corners anew: as many equal shares of (length / wanted
 * edge) as fit. */
static void space_stretch(TapulPatch *patch, const GArray *loop, guint from, guint to,
                          const TapulSizing *sizing) {
    guint n = loop->len, count = (to + n - from) % n;
    if (count == 0)
        count = n;
    g_autofree double *shares = g_new0(double, count + 1);
    for (guint i = 0; i < count; i++) {
        TapulVec2 a = g_array_index(loop, TapulTrimPoint, (from + i) % n).uv;
        TapulVec2 b = g_array_index(loop, TapulTrimPoint, (from + i + 1) % n).uv;
        double edge = tapul_sizing_edge_mm(sizing, patch->side, tapul_vec2_mix(a, b, 0.5));
        shares[i + 1] =
            shares[i] + tapul_vec3_distance(surface_at(patch, a), surface_at(patch, b)) / edge;
    }
    int pieces = MAX(1, (int)lround(shares[count]));
    guint i = 0;
    for (int k = 0; k < pieces; k++) {
        double wanted = shares[count] * k / pieces;
        while (i + 1 < count && shares[i + 1] < wanted)
            i++;
        double step = shares[i + 1] - shares[i];
        TapulVec2 a = g_array_index(loop, TapulTrimPoint, (from + i) % n).uv;
        TapulVec2 b = g_array_index(loop, TapulTrimPoint, (from + i + 1) % n).uv;
        add_vertex(patch,
                   k == 0 ? a
                          : tapul_vec2_mix(a, b, step > 0 ? (wanted - shares[i]) / step : 0),
                   TRUE);
    }
}

static void space_loop(TapulPatch *patch, const GArray *loop, const TapulSizing *sizing) {
    guint first = 0;
    while (first < loop->len && !g_array_index(loop, TapulTrimPoint, first).corner)
        first++;
    if (first == loop->len) {
        space_stretch(patch, loop, 0, 0, sizing);
        return;
    }
    guint from = first;
    do {
        guint to = (from + 1) % loop->len;
        while (!g_array_index(loop, TapulTrimPoint, to).corner)
            to = (to + 1) % loop->len;
        space_stretch(patch, loop, from, to, sizing);
        from = to;
    } while (from != first);
}

/* --- The polygon's triangulation --- */

static guint uv_hash(gconstpointer key) {
    const TapulVec2 *uv = key;
    return g_double_hash(&uv->x) * 31 + g_double_hash(&uv->y);
}

static gboolean uv_equal(gconstpointer a, gconstpointer b) {
    const TapulVec2 *first = a, *second = b;
    return first->x == second->x && first->y == second->y;
}

static GEOSGeometry *loop_polygon(GEOSContextHandle_t geos, const GArray *vertices) {
    guint n = vertices->len;
    GEOSCoordSequence *sequence = GEOSCoordSeq_create_r(geos, n + 1, 2);
    for (guint i = 0; i <= n; i++) {
        TapulVec2 uv = g_array_index(vertices, TapulPatchVertex, i % n).uv;
        GEOSCoordSeq_setXY_r(geos, sequence, i, uv.x, uv.y);
    }
    return GEOSGeom_createPolygon_r(geos, GEOSGeom_createLinearRing_r(geos, sequence), NULL, 0);
}

static gboolean add_triangle(GEOSContextHandle_t geos, TapulPatch *patch,
                             const GEOSGeometry *geometry, GHashTable *index_of) {
    const GEOSCoordSequence *sequence =
        GEOSGeom_getCoordSeq_r(geos, GEOSGetExteriorRing_r(geos, geometry));
    TapulPatchTriangle triangle = {{0, 0, 0}, {-1, -1, -1}};
    TapulVec2 uv[3];
    for (unsigned k = 0; k < 3; k++) {
        GEOSCoordSeq_getXY_r(geos, sequence, k, &uv[k].x, &uv[k].y);
        gpointer found;
        if (!g_hash_table_lookup_extended(index_of, &uv[k], NULL, &found))
            return FALSE;
        triangle.corner[k] = GPOINTER_TO_INT(found);
    }
    if (tapul_vec2_cross(tapul_vec2_sub(uv[1], uv[0]), tapul_vec2_sub(uv[2], uv[0])) < 0) {
        int swap = triangle.corner[1];
        triangle.corner[1] = triangle.corner[2];
        triangle.corner[2] = swap;
    }
    g_array_append_val(patch->triangles, triangle);
    return TRUE;
}

static gboolean triangulate_polygon(TapulPatch *patch) {
    GEOSContextHandle_t geos = GEOS_init_r();
    GEOSGeometry *polygon = loop_polygon(geos, patch->vertices);
    GEOSGeometry *pieces =
        polygon ? GEOSConstrainedDelaunayTriangulation_r(geos, polygon) : NULL;
    g_autoptr(GHashTable) index_of = g_hash_table_new(uv_hash, uv_equal);
    gboolean good = pieces != NULL;

    for (guint i = 0; i < patch->vertices->len; i++)
        g_hash_table_insert(index_of, &g_array_index(patch->vertices, TapulPatchVertex, i).uv,
                            GINT_TO_POINTER((int)i));
    for (int i = 0; good && i < GEOSGetNumGeometries_r(geos, pieces); i++)
        good = add_triangle(geos, patch, GEOSGetGeometryN_r(geos, pieces, i), index_of);
    if (pieces)
        GEOSGeom_destroy_r(geos, pieces);
    if (polygon)
        GEOSGeom_destroy_r(geos, polygon);
    GEOS_finish_r(geos);
    return good && patch->triangles->len == patch->vertices->len - 2;
}

/* Fills in each triangle's neighbours from the pairs of vertices that edges are. */
static void connect_triangles(TapulPatch *patch) {
    g_autoptr(GHashTable) half_edge =
        g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    for (guint t = 0; t < patch->triangles->len; t++) {
        TapulPatchTriangle *triangle = &g_array_index(patch->triangles, TapulPatchTriangle, t);
        for (int k = 0; k < 3; k++) {
            gint64 a = triangle->corner[(k + 1) % 3], b = triangle->corner[(k + 2) % 3];
            gint64 name = MIN(a, b) << 32 | MAX(a, b);
            gpointer other = g_hash_table_lookup(half_edge, &name);
            if (other) {
                int place = GPOINTER_TO_INT(other) - 1;
                triangle->across[k] = place / 3;
                g_array_index(patch->triangles, TapulPatchTriangle, place / 3)
                    .across[place % 3] = (int)t;
            } else {
                gint64 *key = g_new(gint64, 1);
                *key = name;
                g_hash_table_insert(half_edge, key, GINT_TO_POINTER((int)t * 3 + k + 1));
            }
        }
    }
}

TapulPatch *tapul_patch_new(const TapulSurface *surface, int side, const GArray *loop,
                            const TapulSizing *sizing, char **fault) {
    g_autoptr(TapulPatch) patch = patch_alloc(surface, side);
    space_loop(patch, loop, sizing);
    if (patch->vertices->len < 3 || !triangulate_polygon(patch)) {
        *fault = g_strdup("the outline is too fine or too narrow to be made into triangles");
        return NULL;
    }
    connect_triangles(patch);
    tapul_patch_refine(patch, sizing);
    return g_steal_pointer(&patch);
}

/* --- Grids --- */

static void add_grid_triangle(TapulPatch *patch, int a, int b, int c) {
    TapulPatchTriangle triangle = {{a, b, c}, {-1, -1, -1}};
    if (a != b && b != c && c != a)
        g_array_append_val(patch->triangles, triangle);
}

TapulPatch *tapul_patch_grid(const TapulSurface *surface, int side, int n_across, int n_up) {
    TapulPatch *patch = patch_alloc(surface, side);
    g_autofree int *index = g_new0(int, (n_across + 1) * (n_up + 1));

    for (int j = 0; j <= n_up; j++) {
        TapulVec3 start = surface_at(patch, tapul_vec2(0, j / (double)n_up));
        TapulVec3 end = surface_at(patch, tapul_vec2(1, j / (double)n_up));
        TapulVec3 middle = surface_at(patch, tapul_vec2(0.5, j / (double)n_up));
        gboolean point = tapul_vec3_distance(start, middle) < 1e-9 &&
                         tapul_vec3_distance(end, middle) < 1e-9;
        for (int i = 0; i <= n_across; i++) {
            gboolean edge = i == 0 || j == 0 || i == n_across || j == n_up;
            index[j * (n_across + 1) + i] =
                point && i > 0
                    ? index[j * (n_across + 1)]
                    : add_vertex(patch, tapul_vec2(i / (double)n_across, j / (double)n_up),
                                 edge);
        }
    }
    for (int j = 0; j < n_up; j++) {
        for (int i = 0; i < n_across; i++) {
            const int *low = &index[j * (n_across + 1) + i], *high = low + n_across + 1;
            add_grid_triangle(patch, low[0], low[1], high[1]);
            add_grid_triangle(patch, low[0], high[1], high[0]);
        }
    }
    return patch;
}
