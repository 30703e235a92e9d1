/* The lines that bound what is seen of a plate: its edge, and the contour where the metal turns
 * away.
 *
 * The contour is the zero line of the smooth facing over each triangle (Hertzmann & Zorin 2000,
 * section 3), so that it runs through triangles instead of zigzagging along their edges; over a
 * crease, where the facing jumps, it follows the crease.
 */
#include "sheet/view.h"

/* Lines are asked this often (in pixels of the shaded picture) whether they are hidden. */
#define STEP_PX 3.0
/* The metal runs straight away from the eye along a contour: a pixel's depth there is this
 * uncertain. */
#define CONTOUR_DEPTH_TOLERANCE_MM 1.5

/* --- Lines, cut where hidden --- */

typedef struct {
    const TapulView *view;
    TapulPath *path;
    gboolean drawing;
} Pen;

static void pen_to(Pen *pen, TapulVec3 at) {
    TapulVec2 point = {at.x, at.y};
    if (!tapul_raster_sees(pen->view->shade, point, at.z, CONTOUR_DEPTH_TOLERANCE_MM)) {
        pen->drawing = FALSE;
        return;
    }
    if (pen->drawing)
        tapul_path_line(pen->path, point);
    else
        tapul_path_move(pen->path, point);
    pen->drawing = TRUE;
}

static void draw_line(Pen *pen, TapulVec3 from, TapulVec3 to) {
    double length_mm = hypot(to.x - from.x, to.y - from.y);
    int n = MAX((int)ceil(length_mm / (STEP_PX * pen->view->shade->pixel_mm)), 1);
    for (int i = 1; i <= n; i++)
        pen_to(pen, tapul_vec3_mix(from, to, (double)i / n));
}

TapulPath *tapul_view_edge(const TapulView *view) {
    Pen pen = {view, tapul_path_new(), FALSE};
    g_autoptr(GPtrArray) loops = tapul_mesh_boundary_loops(view->ground->development->mesh);
    for (guint i = 0; i < loops->len; i++) {
        const GArray *loop = loops->pdata[i];
        pen.drawing = FALSE;
        pen_to(&pen, view->seen_mm[g_array_index(loop, int, 0)]);
        for (guint j = 0; j < loop->len; j++)
            draw_line(&pen, view->seen_mm[g_array_index(loop, int, j)],
                      view->seen_mm[g_array_index(loop, int, (j + 1) % loop->len)]);
    }
    return pen.path;
}

/* --- The contour --- */

/* A straight piece of contour; each end lies on an edge of the mesh (or at a vertex), which
 * names it. */
typedef struct {
    gint64 name[2];
    TapulVec3 at[2];
    gboolean used;
} Piece;

typedef struct {
    const TapulView *view;
    const TapulMesh *mesh;
    GArray *pieces;   /* of Piece */
    GHashTable *ends; /* name -> GArray of guint: the pieces that end there */
} Contour;

static gint64 *boxed(gint64 name) {
    return g_memdup2(&name, sizeof name);
}

static void note_end(Contour *contour, gint64 name, guint piece) {
    GArray *at = g_hash_table_lookup(contour->ends, &name);
    if (!at) {
        at = g_array_new(FALSE, FALSE, sizeof(guint));
        g_hash_table_insert(contour->ends, boxed(name), at);
    }
    g_array_append_val(at, piece);
}

static void add_piece(Contour *contour, Piece piece) {
    guint number = contour->pieces->len;
    g_array_append_val(contour->pieces, piece);
    note_end(contour, piece.name[0], number);
    note_end(contour, piece.name[1], number);
}

/* The edge opposite corner k of a triangle, by its two vertices. */
static gint64 edge_name(const TapulMesh *mesh, int triangle, int k) {
    gint64 a = mesh->corner[triangle][(k + 1) % 3], b = mesh->corner[triangle][(k + 2) % 3];
    return (MIN(a, b) + 1) * mesh->n_vertices + MAX(a, b);
}

static double corner_facing(const Contour *contour, int triangle, int k) {
    return tapul_vec3_dot(contour->mesh->normal[triangle][k], contour->view->towards);
}

/* Where the facing is nought on the edge opposite corner k; FALSE where it does not change
 * sign. Zero counts as facing, so that neighbours agree. */
static gboolean crossing(const Contour *contour, int triangle, int k, TapulVec3 *at) {
    int a = (k + 1) % 3, b = (k + 2) % 3;
    double fa = corner_facing(contour, triangle, a), fb = corner_facing(contour, triangle, b);
    if ((fa < 0) == (fb < 0))
        return FALSE;
    const int *corner = contour->mesh->corner[triangle];
    *at = tapul_vec3_mix(contour->view->seen_mm[corner[a]], contour->view->seen_mm[corner[b]],
                         fa / (fa - fb));
    return TRUE;
}

static void add_smooth_piece(Contour *contour, int triangle) {
    Piece piece = {.used = FALSE};
    int n = 0;
    for (int k = 0; k < 3 && n < 2; k++)
        if (crossing(contour, triangle, k, &piece.at[n]))
            piece.name[n++] = edge_name(contour->mesh, triangle, k);
    if (n == 2)
        add_piece(contour, piece);
}

static int corner_of_vertex(const TapulMesh *mesh, int triangle, int vertex) {
    int k = 0;
    while (k < 2 && mesh->corner[triangle][k] != vertex)
        k++;
    return k;
}

/* A crease is contour where one side of it faces the eye and the other does not. Once for each
 * edge. */
static void add_crease_piece(Contour *contour, int triangle, int k) {
    const TapulMesh *mesh = contour->mesh;
    int over = mesh->across[triangle][k];
    if (over < triangle)
        return;
    int a = mesh->corner[triangle][(k + 1) % 3], b = mesh->corner[triangle][(k + 2) % 3];
    double here = corner_facing(contour, triangle, (k + 1) % 3) +
                  corner_facing(contour, triangle, (k + 2) % 3);
    double there = corner_facing(contour, over, corner_of_vertex(mesh, over, a)) +
                   corner_facing(contour, over, corner_of_vertex(mesh, over, b));
    if ((here < 0) == (there < 0))
        return;
    add_piece(contour, (Piece){.name = {a, b},
                               .at = {contour->view->seen_mm[a], contour->view->seen_mm[b]}});
}

/* The next unused piece at a name, and which of its ends is there; FALSE at a line's end. */
static gboolean next_piece(Contour *contour, gint64 name, Piece **piece, int *end) {
    const GArray *at = g_hash_table_lookup(contour->ends, &name);
    for (guint i = 0; at && i < at->len; i++) {
        Piece *candidate = &g_array_index(contour->pieces, Piece, g_array_index(at, guint, i));
        if (candidate->used)
            continue;
        *piece = candidate;
        *end = candidate->name[0] == name ? 0 : 1;
        return TRUE;
    }
    return FALSE;
}

/* Walks from one end of a piece over its neighbours to the line's end, adding what it passes.
 */
static void walk_from(Contour *contour, const Piece *first, int end, GArray *points) {
    gint64 name = first->name[end];
    Piece *piece;
    int near_end;
    g_array_append_val(points, first->at[end]);
    while (next_piece(contour, name, &piece, &near_end)) {
        piece->used = TRUE;
        g_array_append_val(points, piece->at[1 - near_end]);
        name = piece->name[1 - near_end];
    }
}

static void draw_chain(Contour *contour, Piece *first, Pen *pen) {
    g_autoptr(GArray) back = g_array_new(FALSE, FALSE, sizeof(TapulVec3));
    g_autoptr(GArray) on = g_array_new(FALSE, FALSE, sizeof(TapulVec3));
    first->used = TRUE;
    walk_from(contour, first, 0, back);
    walk_from(contour, first, 1, on);
    g_autoptr(GArray) chain = g_array_new(FALSE, FALSE, sizeof(TapulVec3));
    for (guint i = back->len; i > 0; i--)
        g_array_append_val(chain, g_array_index(back, TapulVec3, i - 1));
    g_array_append_vals(chain, on->data, on->len);
    pen->drawing = FALSE;
    pen_to(pen, g_array_index(chain, TapulVec3, 0));
    for (guint i = 1; i < chain->len; i++)
        draw_line(pen, g_array_index(chain, TapulVec3, i - 1),
                  g_array_index(chain, TapulVec3, i));
}

TapulPath *tapul_view_contour(const TapulView *view) {
    Contour contour = {.view = view,
                       .mesh = view->ground->development->mesh,
                       .pieces = g_array_new(FALSE, FALSE, sizeof(Piece)),
                       .ends = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free,
                                                     (GDestroyNotify)g_array_unref)};
    for (int t = 0; t < contour.mesh->n_triangles; t++) {
        add_smooth_piece(&contour, t);
        for (int k = 0; k < 3; k++)
            add_crease_piece(&contour, t, k);
    }
    Pen pen = {view, tapul_path_new(), FALSE};
    for (guint i = 0; i < contour.pieces->len; i++) {
        Piece *piece = &g_array_index(contour.pieces, Piece, i);
        if (!piece->used)
            draw_chain(&contour, piece, &pen);
    }
    g_hash_table_unref(contour.ends);
    g_array_unref(contour.pieces);
    return pen.path;
}
