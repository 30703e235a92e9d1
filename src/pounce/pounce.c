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
    if (pounce->laid)
        g_ptr_array_unref(pounce->laid);
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

static gboolean searches(const TapulCase *question) {
    return question->cuts->len == 0 && !question->pounce.uncut;
}

static gboolean find_pattern(TapulPounce *pounce, const TapulCase *question,
                             const TapulPounceProgress *progress, GError **error) {
    TapulCutOptions options = tapul_cut_options_defaults();
    options.stretch_limit = question->pounce.stretch_limit;
    options.progress = progress ? progress->progress : NULL;
    options.progress_data = progress ? progress->progress_data : NULL;
    pounce->cuts_given = question->cuts->len > 0;
    if (searches(question)) {
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

/* --- Laying beside it --- */

typedef struct {
    const TapulCase *question;
    TapulCaseLayOptions options;
    GError *error;
} Laying;

static gpointer lay(gpointer data) {
    Laying *laying = data;
    return tapul_case_lay(laying->question, &laying->options, &laying->error);
}

/* Pattern and laid prints know nothing of each other, and a search for cuts leaves a processor
 * free. Of the two, the search has more to tell. */
static gboolean part_and_lay(TapulPounce *pounce, const TapulCase *question,
                             const TapulPounceProgress *progress, GError **error) {
    Laying laying = {question, tapul_case_lay_options_defaults(), NULL};
    if (progress && !searches(question)) {
        laying.options.progress = progress->progress;
        laying.options.progress_data = progress->progress_data;
    }
    g_autoptr(GError) why = NULL;
    GThread *thread = g_thread_new("laying", lay, &laying);
    gboolean parted = find_pattern(pounce, question, progress, &why);
    pounce->laid = g_thread_join(thread);
    if (!pounce->laid) {
        g_propagate_error(error, laying.error);
        return FALSE;
    }
    if (!parted)
        g_propagate_prefixed_error(error, g_steal_pointer(&why), "%s: ", question->path);
    return parted;
}

/* --- The papers --- */

static gboolean draw_pieces(TapulPounce *pounce, const TapulCase *question,
                            const TapulPounceProgress *progress, GError **error) {
    const GPtrArray *papers = pounce->pattern->pieces;
    double allowance_mm = question->pounce.allowance_mm;
    for (guint i = 0; i < papers->len; i++) {
        TapulPouncePiece *piece = piece_new(g_ptr_array_index(papers, i), (int)i + 1);
        g_ptr_array_add(pounce->pieces, piece);
        tell(progress, (double)i / papers->len, "drawing papers");
        if (!tapul_pounce_outline(pounce->pattern, piece, allowance_mm, error) ||
            !tapul_pounce_ink(question, pounce->laid, pounce->pattern, piece, allowance_mm,
                              error))
            return FALSE;
    }
    tapul_pounce_marks(question, pounce->pattern, pounce->pieces, allowance_mm);
    return TRUE;
}

/* What follows on pattern and layings. */
static gboolean draw(TapulPounce *pounce, const TapulCase *question,
                     const TapulPounceProgress *progress, GError **error) {
    if (!draw_pieces(pounce, question, progress, error))
        return FALSE;
    if (question->pounce.resist != TAPUL_RESIST_NONE) {
        pounce->resist = tapul_pounce_resist(question, pounce->laid, pounce->pattern,
                                             pounce->pieces, progress, error);
        if (!pounce->resist)
            return FALSE;
    }
    pounce->tiling = tapul_pounce_tiling(&question->pounce, pounce->pieces, error);
    return pounce->tiling != NULL;
}

TapulPounce *tapul_pounce_new(const TapulCase *question, const TapulPounceProgress *progress,
                              GError **error) {
    g_autoptr(TapulPounce) pounce = g_new0(TapulPounce, 1);
    pounce->pieces = g_ptr_array_new_with_free_func(piece_free);
    if (!part_and_lay(pounce, question, progress, error))
        return NULL;
    if (!draw(pounce, question, progress, error)) {
        g_prefix_error(error, "%s: ", question->path);
        return NULL;
    }
    return g_steal_pointer(&pounce);
}
