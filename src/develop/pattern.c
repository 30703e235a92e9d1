/* A pattern: the mesh taken apart along cuts, its parts laid flat, and which edges of paper
 * come together where. */
#include <tapul/pattern.h>

#include "develop/held.h"
#include "develop/pattern_parts.h"

#include <string.h>

G_DEFINE_QUARK(tapul - pattern - error - quark, tapul_pattern_error)

static void clear_line(gpointer data) {
    g_free(((TapulCutLine *)data)->spot);
}

GArray *tapul_cut_lines_new(void) {
    GArray *lines = g_array_new(FALSE, FALSE, sizeof(TapulCutLine));
    g_array_set_clear_func(lines, clear_line);
    return lines;
}

static void piece_free(gpointer data) {
    TapulPiece *piece = data;
    tapul_development_finder_free(piece->finder);
    tapul_development_free(piece->development);
    tapul_mesh_free(piece->mesh);
    g_free(piece->plate_spot);
    g_free(piece);
}

void tapul_pattern_free(TapulPattern *pattern) {
    if (!pattern)
        return;
    if (pattern->pieces)
        g_ptr_array_unref(pattern->pieces);
    if (pattern->seams)
        g_ptr_array_unref(pattern->seams);
    g_free(pattern);
}

/* --- Pieces --- */

static TapulSpot *plate_spots(const TapulImprint *imprint, const TapulMeshPart *part) {
    int n = part->mesh->n_triangles;
    TapulSpot *spot = g_new(TapulSpot, 3 * n);
    for (int t = 0; t < n; t++)
        for (int k = 0; k < 3; k++) {
            int from = part->triangle[t];
            spot[3 * t + k].triangle = imprint->parent[from];
            memcpy(spot[3 * t + k].weight, imprint->weight[from][k], sizeof spot->weight);
        }
    return spot;
}

/* Turned so that the plate's own upright, taken as the mean over the piece, points up. */
static void set_upright(TapulDevelopment *development) {
    const TapulMesh *mesh = development->mesh;
    TapulVec2 sum = {0, 0}, middle = {0, 0};
    double mean_y_mm = 0;
    for (int v = 0; v < mesh->n_vertices; v++) {
        mean_y_mm += mesh->position_mm[v].y / mesh->n_vertices;
        middle = tapul_vec2_add(
            middle, tapul_vec2_scale(development->flat_mm[v], 1.0 / mesh->n_vertices));
    }
    for (int v = 0; v < mesh->n_vertices; v++)
        sum = tapul_vec2_add(sum,
                             tapul_vec2_scale(tapul_vec2_sub(development->flat_mm[v], middle),
                                              mesh->position_mm[v].y - mean_y_mm));
    double turn_rad = tapul_vec2_length(sum) > 0 ? G_PI / 2 - atan2(sum.y, sum.x) : 0;
    TapulBox box = tapul_box_empty();
    for (int v = 0; v < mesh->n_vertices; v++) {
        development->flat_mm[v] = tapul_vec2_turn(development->flat_mm[v], turn_rad);
        tapul_box_add(&box, development->flat_mm[v]);
    }
    TapulVec2 centre = tapul_vec2_scale(tapul_vec2_add(box.min, box.max), 0.5);
    for (int v = 0; v < mesh->n_vertices; v++)
        development->flat_mm[v] = tapul_vec2_sub(development->flat_mm[v], centre);
}

/* The part's mesh goes over to the piece. */
static TapulPiece *piece_new(const TapulImprint *imprint, TapulMeshPart *part) {
    TapulPiece *piece = g_new0(TapulPiece, 1);
    piece->plate_spot = plate_spots(imprint, part);
    piece->mesh = g_steal_pointer(&part->mesh);
    return piece;
}

/* --- Laying flat --- */

static gboolean refuse_piece(const TapulPattern *pattern, guint i, const GError *why,
                             GError **error) {
    TapulPiece *piece = g_ptr_array_index(pattern->pieces, i);
    TapulVec3 at = piece->mesh->position_mm[0];
    int vertex;
    if (g_error_matches(why, TAPUL_DEVELOP_ERROR, TAPUL_DEVELOP_ERROR_OVERLAP) &&
        pattern->seams->len > 0 && tapul_piece_overlaps(piece, &vertex)) {
        at = piece->mesh->position_mm[vertex];
        g_set_error(error, TAPUL_PATTERN_ERROR, TAPUL_PATTERN_ERROR_PIECE,
                    "piece %u would lie over itself beside a cut, about (%.0f, %.0f, %.0f) mm: "
                    "carry that cut on, or right across",
                    i + 1, at.x, at.y, at.z);
        return FALSE;
    }
    g_set_error(error, TAPUL_PATTERN_ERROR, TAPUL_PATTERN_ERROR_PIECE,
                "piece %u, about (%.0f, %.0f, %.0f) mm, cannot be laid flat: %s", i + 1, at.x,
                at.y, at.z, why->message);
    return FALSE;
}

/* Pieces are laid flat one after the other, though they know nothing of each other: their
 * systems have to be solved one at a time (base/sparse.c). */
gboolean tapul_pattern_lay_apart(TapulPattern *pattern, GError **error) {
    TapulDevelopOptions options = tapul_develop_options_defaults();
    options.rule = TAPUL_DEVELOP_EVENED;
    gboolean good = TRUE;
    for (guint i = 0; i < pattern->pieces->len; i++) {
        g_autoptr(GError) why = NULL;
        TapulPiece *piece = g_ptr_array_index(pattern->pieces, i);
        piece->development = tapul_develop(piece->mesh, &options, &why);
        if (!piece->development && good)
            good = refuse_piece(pattern, i, why, error);
    }
    return good;
}

double tapul_development_strain(const TapulDevelopment *development) {
    return fmax(development->stretch.max, 1 / development->stretch.min) - 1;
}

/* --- Seams that fit --- */

static double edge_mm(const TapulPattern *pattern, const TapulSeam *seam, int side, int i) {
    const TapulPiece *piece = g_ptr_array_index(pattern->pieces, (guint)seam->piece[side]);
    const TapulVec2 *flat_mm = piece->development->flat_mm;
    return tapul_vec2_distance(flat_mm[seam->vertex[side][i]],
                               flat_mm[seam->vertex[side][i + 1]]);
}

/* Each edge of a piece's seams at the mean of its lengths on both papers. */
static GArray *held_edges(const TapulPattern *pattern, int number) {
    GArray *held = g_array_new(FALSE, FALSE, sizeof(TapulHeldEdge));
    for (guint s = 0; s < pattern->seams->len; s++) {
        const TapulSeam *seam = g_ptr_array_index(pattern->seams, s);
        for (int side = 0; side < 2; side++)
            for (int i = 0; seam->piece[side] == number && i + 1 < seam->n; i++) {
                TapulHeldEdge edge = {
                    seam->vertex[side][i], seam->vertex[side][i + 1],
                    0.5 * (edge_mm(pattern, seam, 0, i) + edge_mm(pattern, seam, 1, i))};
                g_array_append_val(held, edge);
            }
    }
    return held;
}

/* What both papers at a seam have become on average is asked of both. */
static gboolean hold_seams(const TapulPattern *pattern, GError **error) {
    g_autoptr(GPtrArray) held = g_ptr_array_new_with_free_func((GDestroyNotify)g_array_unref);
    for (guint i = 0; i < pattern->pieces->len; i++)
        g_ptr_array_add(held, held_edges(pattern, (int)i));
    for (guint i = 0; i < pattern->pieces->len; i++) {
        g_autoptr(GError) why = NULL;
        const GArray *edges = g_ptr_array_index(held, i);
        const TapulPiece *piece = g_ptr_array_index(pattern->pieces, i);
        if (edges->len > 0 &&
            !tapul_development_hold(piece->development, (int)edges->len,
                                    (const TapulHeldEdge *)(const void *)edges->data, &why))
            return refuse_piece(pattern, i, why, error);
    }
    return TRUE;
}

gboolean tapul_pattern_join(TapulPattern *pattern, GError **error) {
    if (!hold_seams(pattern, error))
        return FALSE;
    for (guint i = 0; i < pattern->pieces->len; i++) {
        TapulPiece *piece = g_ptr_array_index(pattern->pieces, i);
        set_upright(piece->development);
        piece->finder = tapul_development_finder_new(piece->development);
        pattern->stretch = fmax(pattern->stretch, tapul_development_strain(piece->development));
    }
    return TRUE;
}

/* --- The whole --- */

TapulPattern *tapul_pattern_take_apart(const TapulMesh *mesh, const TapulCutLine *cut,
                                       int n_cuts, GError **error) {
    g_autoptr(GError) why = NULL;
    g_autoptr(TapulImprint) imprint =
        tapul_mesh_imprint(mesh, cut, n_cuts, TAPUL_CUT_REACH_MM, NULL, &why);
    g_autoptr(GPtrArray) parts = imprint ? tapul_imprint_parts(imprint, &why) : NULL;
    if (!parts) {
        g_set_error_literal(error, TAPUL_PATTERN_ERROR, TAPUL_PATTERN_ERROR_CUT, why->message);
        return NULL;
    }
    TapulPattern *pattern = g_new0(TapulPattern, 1);
    pattern->pieces = g_ptr_array_new_with_free_func(piece_free);
    pattern->seams = tapul_pattern_seams(imprint, parts);
    for (guint i = 0; i < parts->len; i++)
        g_ptr_array_add(pattern->pieces, piece_new(imprint, g_ptr_array_index(parts, i)));
    return pattern;
}

TapulPattern *tapul_pattern_new(const TapulMesh *mesh, const TapulCutLine *cut, int n_cuts,
                                GError **error) {
    g_autoptr(TapulPattern) pattern = tapul_pattern_take_apart(mesh, cut, n_cuts, error);
    if (!pattern || !tapul_pattern_lay_apart(pattern, error) ||
        !tapul_pattern_join(pattern, error))
        return NULL;
    return g_steal_pointer(&pattern);
}
