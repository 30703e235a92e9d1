/* Papers of a plate cut along given lines, with a design laid on it, for tests of the maker's
 * papers. */
#ifndef PAPERS_FOR_TESTS_H
#define PAPERS_FOR_TESTS_H

#include "pounce/parts.h"

#include "grounds_for_tests.h"

/* A plate as a case has it; the design is laid by hand, in the development. */
typedef struct {
    TestGround *ground;
    TapulCase question; /* its plate, development and finder alone are set */
    GPtrArray *laid;    /* of TapulCaseLaid*: one laying */
    GArray *cuts;       /* of TapulCutLine */
    TapulPattern *pattern;
} TestPapers;

/* A cut through points seen from the front, xy_mm[n][2]. */
static inline void papers_add_cut(TestPapers *papers, int n, const double (*xy_mm)[2]) {
    TapulCutLine line = {n, g_new(TapulSpot, n)};
    for (int i = 0; i < n; i++)
        line.spot[i] = front_spot(papers->ground->plate, xy_mm[i][0], xy_mm[i][1]);
    g_array_append_val(papers->cuts, line);
}

static inline void laid_free(gpointer data) {
    TapulCaseLaid *laid = data;
    tapul_laid_ink_free(laid->ink);
    g_free(laid);
}

/* Takes the ground. Cuts and marks are added next, then papers_cut is called. */
static inline TestPapers *papers_new_take(TestGround *ground) {
    TestPapers *papers = g_new0(TestPapers, 1);
    papers->ground = ground;
    papers->question.plate = ground->plate;
    papers->question.development = ground->development;
    papers->question.finder = ground->finder;
    papers->question.ground = ground->ground;
    papers->cuts = tapul_cut_lines_new();
    papers->laid = g_ptr_array_new_with_free_func(laid_free);
    TapulCaseLaid *laid = g_new0(TapulCaseLaid, 1);
    laid->ink = g_new0(TapulLaidInk, 1);
    laid->ink->marks = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_mark_free);
    g_ptr_array_add(papers->laid, laid);
    return papers;
}

/* Keeps the path. */
static inline TapulMark *papers_add_mark(TestPapers *papers, TapulMarkKind kind,
                                         TapulPath *path) {
    TapulCaseLaid *laid = g_ptr_array_index(papers->laid, 0);
    TapulMark *mark = g_new0(TapulMark, 1);
    mark->kind = kind;
    mark->path = path;
    mark->width_mm = kind == TAPUL_MARK_STROKE ? 0.4 : 0;
    mark->mitre_limit = 10;
    mark->motif = -1;
    g_ptr_array_add(laid->ink->marks, mark);
    return mark;
}

static inline void papers_cut(TestPapers *papers) {
    g_autoptr(GError) error = NULL;
    papers->pattern = tapul_pattern_new(tapul_plate_mesh(papers->ground->plate),
                                        (const TapulCutLine *)(const void *)papers->cuts->data,
                                        (int)papers->cuts->len, &error);
    ck_assert_msg(papers->pattern != NULL, "%s", error ? error->message : "no pattern");
}

static inline void papers_free(TestPapers *papers) {
    tapul_pattern_free(papers->pattern);
    g_array_unref(papers->cuts);
    g_ptr_array_unref(papers->laid);
    test_ground_free(papers->ground);
    g_free(papers);
}
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TestPapers, papers_free)

static inline void test_piece_free(gpointer data) {
    TapulPouncePiece *piece = data;
    tapul_path_free(piece->outline);
    tapul_path_free(piece->cut);
    tapul_path_free(piece->score);
    g_ptr_array_unref(piece->ink);
    g_ptr_array_unref(piece->ink_laying);
    g_free(piece);
}

/* All pieces of a pattern with outline and ink: a GPtrArray of TapulPouncePiece*. */
static inline GPtrArray *test_pieces_new(const TapulCase *question, const GPtrArray *laid,
                                         const TapulPattern *pattern, double allowance_mm) {
    GPtrArray *pieces = g_ptr_array_new_with_free_func(test_piece_free);
    for (guint i = 0; i < pattern->pieces->len; i++) {
        g_autoptr(GError) error = NULL;
        TapulPouncePiece *piece = g_new0(TapulPouncePiece, 1);
        g_ptr_array_add(pieces, piece);
        piece->number = (int)i + 1;
        piece->piece = g_ptr_array_index(pattern->pieces, i);
        piece->ink = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_mark_free);
        piece->ink_laying = g_ptr_array_new();
        ck_assert(tapul_pounce_outline(pattern, piece, allowance_mm, &error));
        ck_assert_msg(tapul_pounce_ink(question, laid, pattern, piece, allowance_mm, &error),
                      "%s", error ? error->message : "no ink");
    }
    return pieces;
}

static inline GPtrArray *papers_pieces(const TestPapers *papers, double allowance_mm) {
    return test_pieces_new(&papers->question, papers->laid, papers->pattern, allowance_mm);
}

/* Where a place of a piece's paper lies in the development of the whole plate; FALSE beyond the
 * piece. */
static inline gboolean paper_to_base(const TapulCase *question, const TapulPiece *piece,
                                     TapulVec2 paper_mm, TapulVec2 *base_mm) {
    TapulSpot spot;
    if (!tapul_development_finder_spot(piece->finder, paper_mm, &spot))
        return FALSE;
    *base_mm = tapul_vec2(0, 0);
    for (int k = 0; k < 3; k++)
        *base_mm = tapul_vec2_add(
            *base_mm, tapul_vec2_scale(
                          tapul_development_point_mm(question->development,
                                                     piece->plate_spot[3 * spot.triangle + k]),
                          spot.weight[k]));
    return TRUE;
}

/* Where a vertex of a piece lies in the development of the whole plate. */
static inline TapulVec2 vertex_base(const TapulCase *question, const TapulPiece *piece,
                                    int vertex) {
    for (int t = 0; t < piece->mesh->n_triangles; t++)
        for (int k = 0; k < 3; k++)
            if (piece->mesh->corner[t][k] == vertex)
                return tapul_development_point_mm(question->development,
                                                  piece->plate_spot[3 * t + k]);
    g_assert_not_reached();
}

/* Distance of a point from a segment. */
static inline double segment_distance(TapulVec2 p, TapulVec2 a, TapulVec2 b) {
    TapulVec2 along = tapul_vec2_sub(b, a);
    double square = tapul_vec2_dot(along, along);
    double t = square > 0 ? tapul_vec2_dot(tapul_vec2_sub(p, a), along) / square : 0;
    return tapul_vec2_distance(p, tapul_vec2_mix(a, b, CLAMP(t, 0, 1)));
}

#endif
