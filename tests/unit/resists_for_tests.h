/* A plate's paper in one piece or more, with marks drawn on it by hand, and its resist. */
#ifndef RESISTS_FOR_TESTS_H
#define RESISTS_FOR_TESTS_H

#include "ink/region.h"
#include "papers_for_tests.h"

typedef struct {
    TestPapers *papers;
    TapulCasePounce *asked; /* what its case says */
    GPtrArray *pieces;      /* of TapulPouncePiece* */
} TestEtching;

/* Takes the ground; a bite of 0.12 mm at an etch factor of 2: an undercut of 0.06 mm. Cuts and
 * what is laid over them are added to papers next, then etching_cut is called. */
static inline TestEtching *etching_new_take(TestGround *ground) {
    TestEtching *etching = g_new0(TestEtching, 1);
    etching->papers = papers_new_take(ground);
    etching->asked = &etching->papers->question.pounce;
    *etching->asked = (TapulCasePounce){.resist = TAPUL_RESIST_GROUND,
                                        .depth_mm = 0.12,
                                        .etch_factor = 2,
                                        .finest_mm = 0.3,
                                        .working_share = 0.5};
    etching->asked->bites = g_array_new(FALSE, FALSE, sizeof(TapulCaseBite));
    etching->pieces = g_ptr_array_new();
    return etching;
}

static inline void etching_cut(TestEtching *etching) {
    g_autoptr(GError) error = NULL;
    TestPapers *papers = etching->papers;
    papers_cut(papers);
    for (guint i = 0; i < papers->pattern->pieces->len; i++) {
        TapulPouncePiece *piece = g_new0(TapulPouncePiece, 1);
        piece->number = (int)i + 1;
        piece->piece = g_ptr_array_index(papers->pattern->pieces, i);
        piece->ink = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_mark_free);
        piece->ink_laying = g_ptr_array_new();
        g_ptr_array_add(etching->pieces, piece);
        double allowance_mm = etching->asked->allowance_mm;
        ck_assert(tapul_pounce_outline(papers->pattern, piece, allowance_mm, &error) &&
                  tapul_pounce_ink(&papers->question, papers->laid, papers->pattern, piece,
                                   allowance_mm, &error));
    }
}

static inline void etching_free(TestEtching *etching) {
    for (guint i = 0; i < etching->pieces->len; i++) {
        TapulPouncePiece *piece = g_ptr_array_index(etching->pieces, i);
        tapul_path_free(piece->outline);
        tapul_path_free(piece->cut);
        tapul_path_free(piece->score);
        g_ptr_array_unref(piece->ink);
        g_ptr_array_unref(piece->ink_laying);
        g_free(piece);
    }
    g_ptr_array_unref(etching->pieces);
    g_array_unref(etching->asked->bites);
    papers_free(etching->papers);
    g_free(etching);
}
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TestEtching, etching_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulResist, tapul_resist_free)

static inline TestEtching *etched_cylinder(void) {
    return etching_new_take(test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM));
}

static inline TapulPouncePiece *etching_piece(const TestEtching *etching, guint i) {
    return g_ptr_array_index(etching->pieces, i);
}

/* Draws on the first paper and keeps the path; round joins, square-cut ends. */
static inline TapulMark *test_draw(TestEtching *etching, TapulMarkKind kind, TapulPath *path,
                                   double width_mm) {
    TapulPouncePiece *piece = etching_piece(etching, 0);
    TapulMark *mark = g_new0(TapulMark, 1);
    *mark = (TapulMark){.kind = kind,
                        .path = path,
                        .width_mm = width_mm,
                        .cap = TAPUL_CAP_BUTT,
                        .join = TAPUL_JOIN_ROUND,
                        .mitre_limit = 10,
                        .motif = -1};
    g_ptr_array_add(piece->ink, mark);
    g_ptr_array_add(piece->ink_laying, GINT_TO_POINTER(0));
    return mark;
}

static inline TapulPath *test_rectangle(double x0, double y0, double x1, double y1) {
    TapulPath *path = test_line(x0, y0, x1, y0);
    tapul_path_line(path, tapul_vec2(x1, y1));
    tapul_path_line(path, tapul_vec2(x0, y1));
    tapul_path_close(path);
    return path;
}

static inline TapulResist *test_resist(const TestEtching *etching) {
    g_autoptr(GError) error = NULL;
    const TestPapers *papers = etching->papers;
    TapulResist *resist = tapul_pounce_resist(&papers->question, papers->laid, papers->pattern,
                                              etching->pieces, NULL, &error);
    ck_assert_msg(resist != NULL, "%s", error ? error->message : "no resist and no error");
    return resist;
}

static inline const TapulBite *test_bite(const TapulResist *resist, guint i) {
    return g_ptr_array_index(resist->bites, i);
}

static inline TapulPath *test_cover(const TapulResist *resist) {
    return g_ptr_array_index(test_bite(resist, 0)->cover, 0);
}

static inline TapulPath *test_bare(const TapulResist *resist, guint bite) {
    return g_ptr_array_index(test_bite(resist, bite)->bare, 0);
}

/* What closed rings cover, even-odd: each ring's area by how many others it lies in. */
static inline double test_covered_mm2(const TapulPath *path) {
    g_autoptr(GPtrArray) rings = tapul_rings_new(path);
    double sum_mm2 = 0;
    for (guint i = 0; i < rings->len; i++) {
        const GArray *ring = g_ptr_array_index(rings, i);
        double twice = 0;
        int depth = 0;
        TapulVec2 first = g_array_index(ring, TapulVec2, 0);
        for (guint k = 0; k < ring->len; k++)
            twice += tapul_vec2_cross(
                tapul_vec2_sub(g_array_index(ring, TapulVec2, k), first),
                tapul_vec2_sub(g_array_index(ring, TapulVec2, (k + 1) % ring->len), first));
        for (guint k = 0; k < rings->len; k++) {
            g_autoptr(GPtrArray) other = g_ptr_array_new();
            g_ptr_array_add(other, g_ptr_array_index(rings, k));
            depth += k != i && tapul_rings_contain(other, TRUE, first);
        }
        sum_mm2 += (depth % 2 == 0 ? 1 : -1) * fabs(twice) / 2;
    }
    return sum_mm2;
}

static inline gboolean test_holds(const TapulPath *path, double x_mm, double y_mm) {
    g_autoptr(GPtrArray) rings = tapul_rings_new(path);
    return tapul_rings_contain(rings, TRUE, tapul_vec2(x_mm, y_mm));
}

#endif
