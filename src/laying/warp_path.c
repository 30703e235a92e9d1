/* Warped pieces strung together as paths, and the public function for any map of the plane. */
#include "laying/warp.h"

/* Step of the differences of a map that gives points only; no more than the tolerance. */
#define STEP_MM 0.05

static void add_piece(TapulPath *path, const TapulWarpPiece *piece) {
    if (piece->straight)
        tapul_path_line(path, piece->p[3]);
    else
        tapul_path_curve(path, piece->p[1], piece->p[2], piece->p[3]);
}

TapulPath *tapul_warp_path(const GArray *pieces, gboolean areas) {
    TapulPath *path = tapul_path_new();
    guint subpath = 0;
    gboolean whole = TRUE; /* no gap in the subpath so far, its start kept */
    for (guint i = 0; i < pieces->len; i++) {
        const TapulWarpPiece *piece = &g_array_index(pieces, TapulWarpPiece, i);
        gboolean new_subpath = piece->subpath != subpath;
        if (new_subpath && areas && i > 0)
            tapul_path_close(path);
        if (new_subpath)
            whole = piece->source_before_mm <= 0;
        else if (!piece->follows)
            whole = FALSE;
        if (new_subpath || (!piece->follows && !areas))
            tapul_path_move(path, piece->p[0]);
        else if (!piece->follows)
            tapul_path_line(path, piece->p[0]);
        add_piece(path, piece);
        if (piece->closes && whole && !areas)
            tapul_path_close(path);
        subpath = piece->subpath;
    }
    if (areas && pieces->len > 0)
        tapul_path_close(path);
    return path;
}

/* --- Any map of the plane --- */

static gboolean plain_point(TapulVec2 from, TapulVec2 *to, gpointer data) {
    const TapulPlainMap *plain = data;
    return plain->map(from, to, plain->data);
}

static gboolean plain_column(const TapulPlainMap *plain, const TapulWarpNode *node,
                             TapulVec2 direction, TapulVec2 *column) {
    double step_mm = plain->step_mm;
    TapulVec2 to;
    if (!plain->map(tapul_vec2_add(node->from, tapul_vec2_scale(direction, step_mm)), &to,
                    plain->data)) {
        step_mm = -step_mm;
        if (!plain->map(tapul_vec2_add(node->from, tapul_vec2_scale(direction, step_mm)), &to,
                        plain->data))
            return FALSE;
    }
    *column = tapul_vec2_scale(tapul_vec2_sub(to, node->to), 1 / step_mm);
    return TRUE;
}

static gboolean plain_node(TapulVec2 from, TapulWarpNode *node, gpointer data) {
    const TapulPlainMap *plain = data;
    *node = (TapulWarpNode){.from = from};
    return plain->map(from, &node->to, plain->data) &&
           plain_column(plain, node, tapul_vec2(1, 0), &node->by_x) &&
           plain_column(plain, node, tapul_vec2(0, 1), &node->by_y);
}

TapulWarpMap tapul_warp_plain(TapulPlainMap *plain, double tolerance_mm) {
    g_assert(tolerance_mm > 0);
    plain->step_mm = fmin(STEP_MM, tolerance_mm);
    return (TapulWarpMap){plain_point, plain_node, plain, tolerance_mm, 0};
}

TapulPath *tapul_path_warp(const TapulPath *path, TapulPlaneMap map, gpointer data,
                           double tolerance_mm, gboolean areas, double *lost_mm) {
    TapulPlainMap plain = {map, data, 0};
    TapulWarpMap warp = tapul_warp_plain(&plain, tolerance_mm);
    double lost = 0;
    g_autoptr(GArray) pieces = tapul_warp_pieces(path, &warp, &lost);
    if (lost_mm)
        *lost_mm += lost;
    return tapul_warp_path(pieces, areas);
}
