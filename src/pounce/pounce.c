/* Makes the maker's papers: the pattern, then piece by piece its edges, design and marks, the
 * resist, and the tiles. The steps stand in files of their own (parts.h). */
#include "pounce/parts.h"

G_DEFINE_QUARK(tapul - pounce - error - quark, tapul_pounce_error)

static void piece_free(gpointer data) {
    TapulPouncePiece *piece = data;
    tapul_path_free(piece->outline);
    tapul_path_free(piece->cut);
    tapul_path_free(piece->score);
    g_array_unref(piece->notches);
    g_array_unref(piece->crosses);
    g_array_unref(piece->tapes);
    g_ptr_array_unref(piece->ink);
    g_ptr_array_unref(piece->ink_laying);
    g_free(piece);
}

static TapulPouncePiece *piece_new(const TapulPiece *paper, int number) {
    TapulPouncePiece *piece = g_new0(TapulPouncePiece, 1);
    piece->number = number;
    piece->piece = paper;
    piece->notches = g_array_new(FALSE, FALSE, sizeof(TapulNotch));
    piece->crosses = g_array_new(FALSE, FALSE, sizeof(TapulCross));
    piece->tapes = g_array_new(FALSE, FALSE, sizeof(TapulTapeLength));
    piece->ink = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_mark_free);
    piece->ink_laying = g_ptr_array_new();
    return piece;
}

void tapul_pounce_free(TapulPounce *pounce) {
    if (!pounce)
        return;
    g_ptr_array_unref(pounce->pieces);
    tapul_pattern_free(pounce->pattern);
    if (pounce->cuts)
        g_array_unref(pounce->cuts);
    tapul_resist_free(pounce->resist);
    tapul_tiling_free(pounce->tiling);
    g_free(pounce);
}

static void tell(const TapulPounceProgress *progress, double fraction, const char *stage) {
    if (progress && progress->progress)
        progress->progress(fraction, stage, progress->progress_data);
}

/* --- The pattern --- */

/* The case's own cuts, as lines. */
static GArray *given_cuts(const TapulCase *question) {
    GArray *lines = tapul_cut_lines_new();
    for (guint i = 0; i < question->cuts->len; i++) {
        const GArray *spots = g_ptr_array_index(question->cuts, i);
        TapulCutLine line = {(int)spots->len,
                             g_memdup2(spots->data, spots->len * sizeof(TapulSpot))};
        g_array_append_val(lines, line);
    }
    return lines;
}

static gboolean find_pattern(TapulPounce *pounce, const TapulCase *question,
                             const TapulPounceProgress *progress, GError **error) {
    TapulCutOptions options = tapul_cut_options_defaults();
    options.stretch_limit = question->pounce.stretch_limit;
    options.progress = progress ? progress->progress : NULL;
    options.progress_data = progress ? progress->progress_data : NULL;
    pounce->cuts_given = question->cuts->len > 0;
    if (!pounce->cuts_given && !question->pounce.uncut) {
        pounce->pattern = tapul_pattern_find(question->development, question->finder, &options,
                                             &pounce->cuts, error);
        return pounce->pattern != NULL;
    }
    pounce->cuts = given_cuts(question);
    pounce->pattern = tapul_pattern_new(tapul_plate_mesh(question->plate),
                                        (const TapulCutLine *)(const void *)pounce->cuts->data,
                                        (int)pounce->cuts->len, error);
    return pounce->pattern != NULL;
}

/* --- The papers --- */

static gboolean draw_pieces(TapulPounce *pounce, const TapulCase *question,
                            const GPtrArray *laid, const TapulPounceProgress *progress,
                            GError **error) {
    const GPtrArray *papers = pounce->pattern->pieces;
    double allowance_mm = question->pounce.allowance_mm;
    for (guint i = 0; i < papers->len; i++) {
        TapulPouncePiece *piece = piece_new(g_ptr_array_index(papers, i), (int)i + 1);
        g_ptr_array_add(pounce->pieces, piece);
        tell(progress, (double)i / papers->len, "drawing papers");
        if (!tapul_pounce_outline(pounce->pattern, piece, allowance_mm, error) ||
            !tapul_pounce_ink(question, laid, pounce->pattern, piece, allowance_mm, error))
            return FALSE;
    }
    tapul_pounce_marks(question, pounce->pattern, pounce->pieces, allowance_mm);
    return TRUE;
}

TapulPounce *tapul_pounce_new(const TapulCase *question, const GPtrArray *laid,
                              const TapulPounceProgress *progress, GError **error) {
    g_autoptr(TapulPounce) pounce = g_new0(TapulPounce, 1);
    pounce->pieces = g_ptr_array_new_with_free_func(piece_free);
    if (!find_pattern(pounce, question, progress, error) ||
        !draw_pieces(pounce, question, laid, progress, error))
        return NULL;
    if (question->pounce.resist != TAPUL_RESIST_NONE) {
        tell(progress, 0.5, "drawing the resist");
        pounce->resist =
            tapul_pounce_resist(question, laid, pounce->pattern, pounce->pieces, error);
        if (!pounce->resist)
            return NULL;
    }
    pounce->tiling = tapul_pounce_tiling(&question->pounce, pounce->pieces, error);
    return pounce->tiling ? g_steal_pointer(&pounce) : NULL;
}
