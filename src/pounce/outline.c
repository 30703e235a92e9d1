/* The paper's edges: its outline, where it is cut, and where the neighbour's edge comes to lie
 * on its allowances. First step of drawing a piece (parts.h). */
#include "pounce/allowance.h"
#include "pounce/parts.h"

/* Points nearer than this are one: no printer or knife tells them apart. */
#define SAME_POINT_MM 1e-6

static void add_point(TapulPath *path, TapulVec2 at) {
    guint n = path->points->len;
    if (n == 0)
        tapul_path_move(path, at);
    else if (tapul_vec2_distance(g_array_index(path->points, TapulVec2, n - 1), at) >
             SAME_POINT_MM)
        tapul_path_line(path, at);
}

/* --- Strips by the edges they stand on --- */

typedef struct {
    const TapulAllowance *strip;
    gboolean first; /* the strip's first edge */
} Standing;

static gint64 edge_key(int from, int to) {
    return ((gint64)from << 32) | (gint64)to;
}

/* From each edge of the outline that has an allowance to what stands on it. */
static GHashTable *standing_on_edges(const TapulPattern *pattern, const GPtrArray *strips) {
    GHashTable *standing = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, g_free);
    for (guint i = 0; i < strips->len; i++) {
        const TapulAllowance *strip = g_ptr_array_index(strips, i);
        const TapulSeam *seam = g_ptr_array_index(pattern->seams, (guint)strip->seam);
        const int *vertex = seam->vertex[0];
        for (int k = 0; k + 1 < seam->n; k++) {
            gint64 key = edge_key(vertex[k], vertex[k + 1]);
            Standing here = {strip, k == 0};
            g_hash_table_insert(standing, g_memdup2(&key, sizeof key),
                                g_memdup2(&here, sizeof here));
        }
    }
    return standing;
}

/* The edge of a strip away from its seam. */
static void go_around(TapulPath *cut, const TapulAllowance *strip) {
    for (int s = 0; s < strip->stations; s++)
        add_point(cut, strip->paper_mm[s * strip->rows + strip->rows - 1]);
}

/* The outline, and the cut, which goes around the strips. */
static void walk_outline(const TapulPiece *piece, GHashTable *standing, TapulPath *outline,
                         TapulPath *cut) {
    const TapulVec2 *flat_mm = piece->development->flat_mm;
    g_autoptr(GPtrArray) loops = tapul_mesh_boundary_loops(piece->mesh);
    const GArray *loop = g_ptr_array_index(loops, 0);
    for (guint i = 0; i < loop->len; i++) {
        int from = g_array_index(loop, int, i);
        gint64 key = edge_key(from, g_array_index(loop, int, (i + 1) % loop->len));
        const Standing *here = g_hash_table_lookup(standing, &key);
        add_point(outline, flat_mm[from]);
        if (!here || here->first)
            add_point(cut, flat_mm[from]);
        if (here && here->first)
            go_around(cut, here->strip);
    }
    tapul_path_close(outline);
    tapul_path_close(cut);
}

/* The seam wherever paper goes on beyond it. */
static void add_score(TapulPath *score, const TapulAllowance *strip) {
    for (int s = 0; s + 1 < strip->stations; s++) {
        if (strip->depth_mm[s] == 0 && strip->depth_mm[s + 1] == 0)
            continue;
        if (s == 0 || (strip->depth_mm[s - 1] == 0 && strip->depth_mm[s] == 0))
            tapul_path_move(score, strip->paper_mm[s * strip->rows]);
        tapul_path_line(score, strip->paper_mm[(s + 1) * strip->rows]);
    }
}

gboolean tapul_pounce_outline(const TapulPattern *pattern, TapulPouncePiece *piece,
                              double allowance_mm, GError **error) {
    (void)error;
    g_autoptr(GPtrArray) strips =
        tapul_allowances_new(pattern, piece->number - 1, allowance_mm);
    g_autoptr(GHashTable) standing = standing_on_edges(pattern, strips);
    piece->outline = tapul_path_new();
    piece->cut = tapul_path_new();
    piece->score = tapul_path_new();
    walk_outline(piece->piece, standing, piece->outline, piece->cut);
    for (guint i = 0; i < strips->len; i++)
        add_score(piece->score, g_ptr_array_index(strips, i));
    return TRUE;
}
