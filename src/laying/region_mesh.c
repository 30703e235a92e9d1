/* Triangles over a region: its outline cut into short pieces, points in rows inside, and their
 * Delaunay triangulation (GEOS). Delaunay's angles make the cotangent weights of region.c
 * positive. */
#include "laying/region_mesh.h"

#include <geos_c.h>

/* As many points as this, more or less, whatever the region's size. */
#define POINTS_WANTED 8000
/* Points inside keep this share of the spacing from the outline, so that the outline's pieces
 * are edges. */
#define OUTLINE_SHARE 0.6
/* A narrow place may ask for finer points, each time by this factor. */
#define FINER     1.6
#define MAX_FINER 4
/* Rounds in which edges between points of one side are halved. */
#define MAX_HALVINGS 8
/* A point of the square is on one of its sides. */
#define ON_SIDE 1e-9

void tapul_region_mesh_free(TapulRegionMesh *mesh) {
    if (!mesh)
        return;
    g_array_unref(mesh->points);
    g_array_unref(mesh->square);
    g_array_unref(mesh->corner);
    g_free(mesh);
}

static const TapulRegionPoint *outline_at(const GArray *outline, guint i) {
    return &g_array_index(outline, TapulRegionPoint, i % outline->len);
}

/* --- The outline, and where it goes --- */

static double side_length(const GArray *outline, guint from, guint to) {
    double sum_mm = 0;
    for (guint i = from; i < to; i++)
        sum_mm += tapul_vec2_distance(outline_at(outline, i)->point,
                                      outline_at(outline, i + 1)->point);
    return sum_mm;
}

static TapulVec2 on_square(int side, double share) {
    const TapulVec2 corners[] = {{0, 0}, {1, 0}, {1, 1}, {0, 1}};
    return tapul_vec2_mix(corners[side], corners[(side + 1) % 4], share);
}

static void cut_side(TapulRegionMesh *mesh, const GArray *outline, int side, guint from,
                     guint to) {
    double whole_mm = side_length(outline, from, to), before_mm = 0;
    for (guint i = from; i < to; i++) {
        TapulVec2 a = outline_at(outline, i)->point, b = outline_at(outline, i + 1)->point;
        double length_mm = tapul_vec2_distance(a, b);
        int n = MAX(1, (int)ceil(length_mm / mesh->spacing_mm));
        for (int k = 0; k < n; k++) {
            TapulVec2 p = tapul_vec2_mix(a, b, (double)k / n);
            TapulVec2 square = on_square(side, (before_mm + length_mm * k / n) / whole_mm);
            g_array_append_val(mesh->points, p);
            g_array_append_val(mesh->square, square);
        }
        before_mm += length_mm;
    }
}

static void cut_outline(TapulRegionMesh *mesh, const GArray *outline) {
    guint at[5];
    for (guint i = 0; i < outline->len; i++)
        if (outline_at(outline, i)->corner >= 0)
            at[outline_at(outline, i)->corner] = i;
    for (int k = 1; k < 4; k++)
        at[k] = at[k] > at[0] ? at[k] : at[k] + outline->len;
    at[4] = at[0] + outline->len;
    for (int side = 0; side < 4; side++)
        cut_side(mesh, outline, side, at[side], at[side + 1]);
    mesh->n_edge = (int)mesh->points->len;
}

/* --- Points inside --- */

static GEOSGeometry *outline_polygon(GEOSContextHandle_t geos, const TapulRegionMesh *mesh) {
    unsigned n = (unsigned)mesh->n_edge;
    GEOSCoordSequence *sequence = GEOSCoordSeq_create_r(geos, n + 1, 2);
    for (unsigned i = 0; i <= n; i++) {
        TapulVec2 p = g_array_index(mesh->points, TapulVec2, i % n);
        GEOSCoordSeq_setXY_r(geos, sequence, i, p.x, p.y);
    }
    return GEOSGeom_createPolygon_r(geos, GEOSGeom_createLinearRing_r(geos, sequence), NULL, 0);
}

static gboolean holds(GEOSContextHandle_t geos, const GEOSPreparedGeometry *area, TapulVec2 p) {
    GEOSGeometry *point = GEOSGeom_createPointFromXY_r(geos, p.x, p.y);
    gboolean inside = GEOSPreparedContains_r(geos, area, point) == 1;
    GEOSGeom_destroy_r(geos, point);
    return inside;
}

/* Rows of points, every other shifted by half: triangles of equal sides. */
static void add_inner_points(GEOSContextHandle_t geos, TapulRegionMesh *mesh,
                             const GEOSGeometry *polygon) {
    double spacing = mesh->spacing_mm, row_mm = spacing * sqrt(3) / 2;
    GEOSGeometry *inner = GEOSBuffer_r(geos, polygon, -OUTLINE_SHARE * spacing, 8);
    if (!inner)
        return;
    const GEOSPreparedGeometry *prepared = GEOSPrepare_r(geos, inner);
    TapulBox box = tapul_box_empty();
    for (int i = 0; i < mesh->n_edge; i++)
        tapul_box_add(&box, g_array_index(mesh->points, TapulVec2, i));
    int rows = (int)((box.max.y - box.min.y) / row_mm);
    int columns = (int)((box.max.x - box.min.x) / spacing) + 1;
    for (int row = 0; row <= rows; row++)
        for (int column = 0; column <= columns; column++) {
            TapulVec2 p = {box.min.x + (column + (row % 2) * 0.5) * spacing,
                           box.min.y + (row + 0.5) * row_mm};
            if (holds(geos, prepared, p))
                g_array_append_val(mesh->points, p);
        }
    GEOSPreparedGeom_destroy_r(geos, prepared);
    GEOSGeom_destroy_r(geos, inner);
}

/* --- Triangles --- */

static guint point_hash(gconstpointer key) {
    const TapulVec2 *p = key;
    return g_double_hash(&p->x) * 31 + g_double_hash(&p->y);
}

static gboolean point_equal(gconstpointer a, gconstpointer b) {
    const TapulVec2 *first = a, *second = b;
    return first->x == second->x && first->y == second->y;
}

static GEOSGeometry *delaunay(GEOSContextHandle_t geos, const GArray *points) {
    GEOSCoordSequence *sequence = GEOSCoordSeq_create_r(geos, points->len, 2);
    for (guint i = 0; i < points->len; i++) {
        TapulVec2 p = g_array_index(points, TapulVec2, i);
        GEOSCoordSeq_setXY_r(geos, sequence, i, p.x, p.y);
    }
    GEOSGeometry *all = GEOSGeom_createLineString_r(geos, sequence);
    GEOSGeometry *triangles = all ? GEOSDelaunayTriangulation_r(geos, all, 0, 0) : NULL;
    if (all)
        GEOSGeom_destroy_r(geos, all);
    return triangles;
}

static gboolean take_triangle(GEOSContextHandle_t geos, TapulRegionMesh *mesh,
                              const GEOSPreparedGeometry *area, GHashTable *index_of,
                              const GEOSGeometry *triangle) {
    const GEOSCoordSequence *sequence =
        GEOSGeom_getCoordSeq_r(geos, GEOSGetExteriorRing_r(geos, triangle));
    TapulVec2 p[3], middle = {0, 0};
    int corner[3];
    for (unsigned k = 0; k < 3; k++) {
        gpointer found;
        GEOSCoordSeq_getXY_r(geos, sequence, k, &p[k].x, &p[k].y);
        if (!g_hash_table_lookup_extended(index_of, &p[k], NULL, &found))
            return FALSE;
        corner[k] = GPOINTER_TO_INT(found);
        middle = tapul_vec2_add(middle, tapul_vec2_scale(p[k], 1.0 / 3));
    }
    if (!holds(geos, area, middle))
        return TRUE;
    if (tapul_vec2_cross(tapul_vec2_sub(p[1], p[0]), tapul_vec2_sub(p[2], p[0])) < 0) {
        int swap = corner[1];
        corner[1] = corner[2];
        corner[2] = swap;
    }
    g_array_append_vals(mesh->corner, corner, 3);
    return TRUE;
}

static gboolean triangulate(GEOSContextHandle_t geos, TapulRegionMesh *mesh,
                            const GEOSGeometry *polygon) {
    g_autoptr(GHashTable) index_of = g_hash_table_new(point_hash, point_equal);
    for (guint i = 0; i < mesh->points->len; i++)
        g_hash_table_insert(index_of, &g_array_index(mesh->points, TapulVec2, i),
                            GINT_TO_POINTER((int)i));
    g_array_set_size(mesh->corner, 0);
    GEOSGeometry *triangles = delaunay(geos, mesh->points);
    const GEOSPreparedGeometry *area = GEOSPrepare_r(geos, polygon);
    gboolean good = triangles != NULL;
    for (int i = 0; good && i < GEOSGetNumGeometries_r(geos, triangles); i++)
        good =
            take_triangle(geos, mesh, area, index_of, GEOSGetGeometryN_r(geos, triangles, i));
    GEOSPreparedGeom_destroy_r(geos, area);
    if (triangles)
        GEOSGeom_destroy_r(geos, triangles);
    return good;
}

/* --- Edges --- */

static gint64 edge_name(int a, int b) {
    return (gint64)MIN(a, b) << 32 | MAX(a, b);
}

static gboolean is_outline_edge(const TapulRegionMesh *mesh, int a, int b) {
    int n = mesh->n_edge;
    return a < n && b < n && ((a + 1) % n == b || (b + 1) % n == a);
}

/* Whether the triangles fill the outline: its pieces are edges of one triangle, all others of
 * two, and every point is used. */
static gboolean fills_outline(const TapulRegionMesh *mesh) {
    g_autoptr(GHashTable) count =
        g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    for (guint i = 0; i < mesh->corner->len; i++) {
        const int *corner = &g_array_index(mesh->corner, int, i - i % 3);
        gint64 name = edge_name(corner[i % 3], corner[(i + 1) % 3]);
        int so_far = GPOINTER_TO_INT(g_hash_table_lookup(count, &name));
        g_hash_table_insert(count, g_memdup2(&name, sizeof name), GINT_TO_POINTER(so_far + 1));
    }
    int outline_edges = 0;
    GHashTableIter iter;
    gpointer key, value;
    g_hash_table_iter_init(&iter, count);
    while (g_hash_table_iter_next(&iter, &key, &value)) {
        gint64 name = *(const gint64 *)key;
        gboolean outline = is_outline_edge(mesh, (int)(name >> 32), (int)(name & G_MAXINT32));
        outline_edges += outline;
        if (GPOINTER_TO_INT(value) != (outline ? 1 : 2))
            return FALSE;
    }
    guint triangles = 2 * mesh->points->len - 2 - (guint)mesh->n_edge;
    return outline_edges == mesh->n_edge && mesh->corner->len == 3 * triangles;
}

static gboolean on_one_side(TapulVec2 a, TapulVec2 b) {
    return (a.x < ON_SIDE && b.x < ON_SIDE) || (a.x > 1 - ON_SIDE && b.x > 1 - ON_SIDE) ||
           (a.y < ON_SIDE && b.y < ON_SIDE) || (a.y > 1 - ON_SIDE && b.y > 1 - ON_SIDE);
}

/* Adds the middles of edges that join two points of one side; FALSE if there are none. */
static gboolean halve_dividing_edges(TapulRegionMesh *mesh) {
    guint before = mesh->points->len;
    for (guint i = 0; i < mesh->corner->len; i++) {
        const int *corner = &g_array_index(mesh->corner, int, i - i % 3);
        int a = corner[i % 3], b = corner[(i + 1) % 3];
        if (a > b || b >= mesh->n_edge || is_outline_edge(mesh, a, b) ||
            !on_one_side(g_array_index(mesh->square, TapulVec2, a),
                         g_array_index(mesh->square, TapulVec2, b)))
            continue;
        TapulVec2 middle = tapul_vec2_mix(g_array_index(mesh->points, TapulVec2, a),
                                          g_array_index(mesh->points, TapulVec2, b), 0.5);
        g_array_append_val(mesh->points, middle);
    }
    return mesh->points->len > before;
}

static TapulRegionMesh *mesh_with_spacing(GEOSContextHandle_t geos, const GArray *outline,
                                          double spacing_mm) {
    g_autoptr(TapulRegionMesh) mesh = g_new0(TapulRegionMesh, 1);
    mesh->points = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    mesh->square = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    mesh->corner = g_array_new(FALSE, FALSE, sizeof(int));
    mesh->spacing_mm = spacing_mm;
    cut_outline(mesh, outline);
    GEOSGeometry *polygon = outline_polygon(geos, mesh);
    add_inner_points(geos, mesh, polygon);
    gboolean good = FALSE;
    for (int i = 0; i < MAX_HALVINGS && !good; i++) {
        if (!triangulate(geos, mesh, polygon) || !fills_outline(mesh))
            break;
        good = !halve_dividing_edges(mesh);
    }
    GEOSGeom_destroy_r(geos, polygon);
    return good ? g_steal_pointer(&mesh) : NULL;
}

TapulRegionMesh *tapul_region_mesh_new(const GArray *outline) {
    double twice_mm2 = 0;
    for (guint i = 0; i < outline->len; i++)
        twice_mm2 +=
            tapul_vec2_cross(outline_at(outline, i)->point, outline_at(outline, i + 1)->point);
    double spacing_mm = sqrt(twice_mm2 / 2 / POINTS_WANTED * 2 / sqrt(3));
    GEOSContextHandle_t geos = GEOS_init_r();
    TapulRegionMesh *mesh = NULL;
    for (int i = 0; i <= MAX_FINER && !mesh; i++) {
        mesh = mesh_with_spacing(geos, outline, spacing_mm);
        spacing_mm /= FINER;
    }
    GEOS_finish_r(geos);
    return mesh;
}
