/* Step 9 from grey to lines: areas become smooth outlines by libpotrace (P. Selinger, Potrace:
 * a polygon-based tracing algorithm, 2003), each piece on a bitmap of its own, so that pieces
 * go to all processors and one with many holes does not slow the others. */
#include "ink/lines_areas.h"

#include "ink/lines_pieces.h"

#include <potracelib.h>
#include <string.h>

#define BITS_PER_WORD ((int)(8 * sizeof(potrace_word)))

/* The runs of each piece, one after another. */
typedef struct {
    const TapulPieces *pieces;
    int *start;     /* [n_pieces + 1] */
    int *run, *row; /* [runs] */
} PieceRuns;

static PieceRuns runs_by_piece(const TapulPieces *pieces) {
    gsize n_runs = (gsize)pieces->row_start[pieces->height_px];
    PieceRuns by = {pieces, g_new0(int, (gsize)pieces->n_pieces + 2), g_new(int, n_runs + 1),
                    g_new(int, n_runs + 1)};
    for (gsize i = 0; i < n_runs; i++)
        by.start[pieces->run[i].piece + 2]++;
    for (int i = 2; i < pieces->n_pieces + 2; i++)
        by.start[i] += by.start[i - 1];
    for (int y = 0; y < pieces->height_px; y++)
        for (int i = pieces->row_start[y]; i < pieces->row_start[y + 1]; i++) {
            int at = by.start[pieces->run[i].piece + 1]++;
            by.run[at] = i;
            by.row[at] = y;
        }
    return by;
}

static void piece_runs_clear(PieceRuns *by) {
    g_free(by->start);
    g_free(by->run);
    g_free(by->row);
}

static void set_bits(potrace_word *line, int from, int to) {
    for (int x = from; x < to; x++)
        line[x / BITS_PER_WORD] |= (potrace_word)1 << (BITS_PER_WORD - 1 - x % BITS_PER_WORD);
}

/* A piece drawn on its own bitmap; the caller frees its map. potrace's first line is the
 * lowest, in a frame of y up; here it is the first of y down, which turns the outlines' sense
 * and nothing else. */
static potrace_bitmap_t draw_piece(const PieceRuns *by, int i) {
    const TapulPiece *piece = &by->pieces->piece[i];
    potrace_bitmap_t bitmap = {.w = piece->right_px - piece->left_px,
                               .h = piece->bottom_px - piece->top_px};
    bitmap.dy = (bitmap.w + BITS_PER_WORD - 1) / BITS_PER_WORD;
    bitmap.map = g_new0(potrace_word, (gsize)bitmap.dy * (gsize)bitmap.h);
    for (int k = by->start[i]; k < by->start[i + 1]; k++) {
        const TapulRun *run = &by->pieces->run[by->run[k]];
        set_bits(bitmap.map + (gsize)(by->row[k] - piece->top_px) * (gsize)bitmap.dy,
                 run->from_px - piece->left_px, run->to_px - piece->left_px);
    }
    return bitmap;
}

static TapulVec2 moved(potrace_dpoint_t p, TapulVec2 by) {
    return tapul_vec2(p.x + by.x, p.y + by.y);
}

static void append_outline(TapulPath *path, const potrace_curve_t *curve, TapulVec2 by) {
    tapul_path_move(path, moved(curve->c[curve->n - 1][2], by));
    for (int i = 0; i < curve->n; i++) {
        const potrace_dpoint_t *c = curve->c[i];
        if (curve->tag[i] == POTRACE_CORNER) {
            tapul_path_line(path, moved(c[1], by));
            tapul_path_line(path, moved(c[2], by));
        } else
            tapul_path_curve(path, moved(c[0], by), moved(c[1], by), moved(c[2], by));
    }
    tapul_path_close(path);
}

/* NULL: potrace ran out of memory. */
static TapulPath *outline_piece(const PieceRuns *by, int i, const potrace_param_t *parameters) {
    potrace_bitmap_t bitmap = draw_piece(by, i);
    TapulVec2 corner = {by->pieces->piece[i].left_px, by->pieces->piece[i].top_px};
    potrace_state_t *state = potrace_trace(parameters, &bitmap);
    TapulPath *path = NULL;
    if (state && state->status == POTRACE_STATUS_OK) {
        path = tapul_path_new();
        for (const potrace_path_t *each = state->plist; each; each = each->next)
            append_outline(path, &each->curve, corner);
    }
    if (state)
        potrace_state_free(state);
    g_free(bitmap.map);
    return path;
}

static void free_path(gpointer path) {
    tapul_path_free(path);
}

GPtrArray *tapul_areas_outline(const TapulMap *map, guint8 bit) {
    g_autoptr(TapulPieces) pieces = tapul_pieces_new(map, bit, TRUE, TRUE);
    PieceRuns by = runs_by_piece(pieces);
    potrace_param_t *parameters = potrace_param_default();
    /* Specks are gone already; ink that touches by corners is one piece, so that each has one
     * outline. */
    parameters->turdsize = 0;
    parameters->turnpolicy = POTRACE_TURNPOLICY_BLACK;
    GPtrArray *paths = g_ptr_array_new_with_free_func(free_path);
    g_ptr_array_set_size(paths, pieces->n_pieces);
    gboolean whole = TRUE;
#pragma omp parallel for schedule(dynamic) reduction(&& : whole)
    for (int i = 0; i < pieces->n_pieces; i++) {
        paths->pdata[i] = outline_piece(&by, i, parameters);
        whole = whole && paths->pdata[i];
    }
    potrace_param_free(parameters);
    piece_runs_clear(&by);
    if (!whole)
        g_clear_pointer(&paths, g_ptr_array_unref);
    return paths;
}
