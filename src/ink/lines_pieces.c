/* Connected pieces of the page's map: runs of pixels joined by union-find (A. Rosenfeld, J.
 * Pfaltz, J. ACM 13, 1966, for the two passes; R. Tarjan, J. ACM 22, 1975, for the trees; both
 * from memory). */
#include "ink/lines_pieces.h"

static int row_runs(const TapulMap *map, int y, guint8 bit, gboolean wanted, TapulRun *run) {
    const guint8 *row = map->at + tapul_map_place(map, 0, y);
    int n = 0;
    gboolean was = FALSE;
    for (int x = 0; x <= map->width_px; x++) {
        gboolean is = x < map->width_px && ((row[x] & bit) != 0) == wanted;
        if (is && !was && run)
            run[n].from_px = x;
        if (was && !is) {
            if (run)
                run[n].to_px = x;
            n++;
        }
        was = is;
    }
    return n;
}

static void find_runs(TapulPieces *pieces, const TapulMap *map, guint8 bit, gboolean wanted) {
#pragma omp parallel for schedule(dynamic, 64)
    for (int y = 0; y < map->height_px; y++)
        pieces->row_start[y + 1] = row_runs(map, y, bit, wanted, NULL);
    for (int y = 0; y < map->height_px; y++)
        pieces->row_start[y + 1] += pieces->row_start[y];
    pieces->run = g_new(TapulRun, (gsize)pieces->row_start[map->height_px] + 1);
#pragma omp parallel for schedule(dynamic, 64)
    for (int y = 0; y < map->height_px; y++)
        row_runs(map, y, bit, wanted, pieces->run + pieces->row_start[y]);
}

/* While runs are joined, piece holds the run that stands for them; roots stand for themselves.
 */
static int root_of(TapulRun *run, int i) {
    while (run[i].piece != i) {
        run[i].piece = run[run[i].piece].piece;
        i = run[i].piece;
    }
    return i;
}

/* The earlier run becomes the root, so that pieces are numbered in the order of their first
 * pixels. */
static void join(TapulRun *run, int a, int b) {
    a = root_of(run, a);
    b = root_of(run, b);
    run[MAX(a, b)].piece = MIN(a, b);
}

static void join_rows(TapulPieces *pieces, int y, int reach_px) {
    TapulRun *run = pieces->run;
    int above = pieces->row_start[y - 1], above_end = pieces->row_start[y];
    for (int i = above_end; i < pieces->row_start[y + 1]; i++) {
        while (above < above_end && run[above].to_px + reach_px <= run[i].from_px)
            above++;
        for (int j = above; j < above_end && run[j].from_px < run[i].to_px + reach_px; j++)
            join(run, i, j);
    }
}

static void box_runs(TapulPieces *pieces) {
    pieces->piece = g_new(TapulPiece, (gsize)pieces->n_pieces + 1);
    for (int i = 0; i < pieces->n_pieces; i++)
        pieces->piece[i] = (TapulPiece){G_MAXINT, G_MAXINT, 0, 0};
    for (int y = 0; y < pieces->height_px; y++)
        for (int i = pieces->row_start[y]; i < pieces->row_start[y + 1]; i++) {
            TapulPiece *piece = &pieces->piece[pieces->run[i].piece];
            piece->left_px = MIN(piece->left_px, pieces->run[i].from_px);
            piece->right_px = MAX(piece->right_px, pieces->run[i].to_px);
            piece->top_px = MIN(piece->top_px, y);
            piece->bottom_px = y + 1;
        }
}

TapulPieces *tapul_pieces_new(const TapulMap *map, guint8 bit, gboolean wanted,
                              gboolean diagonal) {
    TapulPieces *pieces = g_new0(TapulPieces, 1);
    pieces->height_px = map->height_px;
    pieces->row_start = g_new0(int, (gsize)map->height_px + 1);
    find_runs(pieces, map, bit, wanted);
    int n_runs = pieces->row_start[map->height_px];
    for (int i = 0; i < n_runs; i++)
        pieces->run[i].piece = i;
    for (int y = 1; y < map->height_px; y++)
        join_rows(pieces, y, diagonal ? 1 : 0);
    /* A root comes before the runs it stands for: one pass numbers all. */
    for (int i = 0; i < n_runs; i++) {
        int parent = pieces->run[i].piece;
        pieces->run[i].piece = parent == i ? pieces->n_pieces++ : pieces->run[parent].piece;
    }
    box_runs(pieces);
    return pieces;
}

void tapul_pieces_free(TapulPieces *pieces) {
    if (!pieces)
        return;
    g_free(pieces->row_start);
    g_free(pieces->run);
    g_free(pieces->piece);
    g_free(pieces);
}
