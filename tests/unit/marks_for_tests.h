/* Papers with their marks, for tests: a plate is cut, its pieces are marked, and a mark's place
 * is found on the metal by means of its own. */
#ifndef MARKS_FOR_TESTS_H
#define MARKS_FOR_TESTS_H

#include "papers_for_tests.h"

#define ALLOWANCE_MM 5.0
#define CAP          "{ kind: sphere, radius_mm: 100, half_angle_deg: 40 }"

/* --- Plates --- */

static inline TestPapers *whole_cylinder(void) {
    TestPapers *papers = papers_new_take(test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM));
    papers_cut(papers);
    return papers;
}

/* Parted by a line that leans. */
static inline TestPapers *parted_cylinder(void) {
    TestPapers *papers = papers_new_take(test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM));
    papers_add_cut(papers, 2, (const double[][2]){{20, 1}, {35, 299}});
    papers_cut(papers);
    return papers;
}

static inline TestPapers *whole_cap(void) {
    TestPapers *papers = papers_new_take(test_ground_new(CAP, 64));
    papers_cut(papers);
    return papers;
}

/* Parted in three, one of them with a dart. */
static inline TestPapers *parted_cap(void) {
    TestPapers *papers = papers_new_take(test_ground_new(CAP, 64));
    papers_add_cut(papers, 2, (const double[][2]){{-63, 60}, {63, 60}});
    papers_add_cut(papers, 2, (const double[][2]){{5, 1}, {2, 59}});
    papers_add_cut(papers, 2, (const double[][2]){{45, 109}, {20, 85}});
    papers_cut(papers);
    return papers;
}

/* Parted along the ridge, and one of the halves with a dart from there. */
static inline TestPapers *parted_breastplate(void) {
    TestPapers *papers =
        papers_new_take(test_ground_from_file("shapes/peascod-breastplate.yaml", 150));
    papers_add_cut(papers, 4, (const double[][2]){{0, 2}, {0, 100}, {0, 200}, {0, 341}});
    papers_add_cut(papers, 3, (const double[][2]){{0, 180}, {60, 180}, {130, 170}});
    papers_cut(papers);
    return papers;
}

/* --- Marks --- */

static inline void marked_piece_free(gpointer data) {
    TapulPouncePiece *piece = data;
    g_array_unref(piece->notches);
    g_array_unref(piece->crosses);
    g_array_unref(piece->tapes);
    g_free(piece);
}

/* All pieces of a pattern with their marks and nothing else, in the pattern's order or against
 * it. */
static inline GPtrArray *marked_pieces(const TestPapers *papers, double allowance_mm,
                                       gboolean against) {
    GPtrArray *pieces = g_ptr_array_new_with_free_func(marked_piece_free);
    int n = (int)papers->pattern->pieces->len;
    for (int i = 0; i < n; i++) {
        int number = against ? n - i : i + 1;
        TapulPouncePiece *piece = g_new0(TapulPouncePiece, 1);
        piece->number = number;
        piece->piece = g_ptr_array_index(papers->pattern->pieces, number - 1);
        piece->notches = g_array_new(FALSE, FALSE, sizeof(TapulNotch));
        piece->crosses = g_array_new(FALSE, FALSE, sizeof(TapulCross));
        piece->tapes = g_array_new(FALSE, FALSE, sizeof(TapulTapeLength));
        g_ptr_array_add(pieces, piece);
    }
    tapul_pounce_marks(&papers->question, papers->pattern, pieces, allowance_mm);
    return pieces;
}

static inline const TapulPouncePiece *piece_at(const GPtrArray *pieces, guint i) {
    return g_ptr_array_index(pieces, i);
}

/* The edge of a piece's outline nearest to a point: its ends, and the share along it. */
typedef struct {
    int from, to;
    double share, distance_mm;
} NearEdge;

static inline NearEdge nearest_edge(const TapulPiece *piece, TapulVec2 at_mm) {
    NearEdge best = {.distance_mm = INFINITY};
    g_autoptr(GPtrArray) loops = tapul_mesh_boundary_loops(piece->mesh);
    const GArray *loop = g_ptr_array_index(loops, 0);
    for (guint i = 0; i < loop->len; i++) {
        int from = g_array_index(loop, int, i);
        int to = g_array_index(loop, int, (i + 1) % loop->len);
        TapulVec2 a = piece->development->flat_mm[from], b = piece->development->flat_mm[to];
        TapulVec2 along = tapul_vec2_sub(b, a);
        double share =
            tapul_vec2_dot(tapul_vec2_sub(at_mm, a), along) / tapul_vec2_dot(along, along);
        share = CLAMP(share, 0, 1);
        double mm = tapul_vec2_distance(at_mm, tapul_vec2_mix(a, b, share));
        if (mm < best.distance_mm)
            best = (NearEdge){from, to, share, mm};
    }
    return best;
}

/* Where a place of a piece's own paper lies on the metal, on the flat triangles; FALSE in the
 * allowances. On the outline it is found along the edge, whichever side a search would take. */
static inline gboolean metal_of(const TapulPiece *piece, TapulVec2 at_mm, TapulVec3 *metal_mm) {
    NearEdge edge = nearest_edge(piece, at_mm);
    if (edge.distance_mm < 1e-7) {
        *metal_mm = tapul_vec3_mix(piece->mesh->position_mm[edge.from],
                                   piece->mesh->position_mm[edge.to], edge.share);
        return TRUE;
    }
    TapulSpot spot;
    if (!tapul_development_finder_spot(piece->finder, at_mm, &spot))
        return FALSE;
    *metal_mm = tapul_mesh_flat_position_mm(piece->mesh, spot);
    return TRUE;
}

/* The place of a number on a piece's own paper; FALSE where its own metal does not show it. */
static inline gboolean cross_on(const TapulPouncePiece *piece, int name, TapulVec2 *at_mm,
                                TapulVec3 *metal_mm) {
    for (guint i = 0; i < piece->crosses->len; i++) {
        const TapulCross *cross = &g_array_index(piece->crosses, TapulCross, i);
        *at_mm = cross->at_mm;
        if (cross->name == name && metal_of(piece->piece, cross->at_mm, metal_mm))
            return TRUE;
    }
    return FALSE;
}

#endif
