/* What a tape shows between crosses of the maker's papers, against closed forms and against the
 * paper. */
#include "marks_for_tests.h"

#include <stdlib.h>

#define CYLINDER_MM 100.0
#define CAP_MM      100.0

/* Shortest way over a cylinder about the y axis: a helix, straight where it is unrolled. */
static double helix_mm(TapulVec3 a, TapulVec3 b) {
    double turn_rad = atan2(a.x, a.z) - atan2(b.x, b.z);
    return hypot(CYLINDER_MM * turn_rad, a.y - b.y);
}

/* Over a sphere: r times the angle at its centre, which lies at y = 100 sin 40 degrees. */
static double great_circle_mm(TapulVec3 a, TapulVec3 b) {
    TapulVec3 centre = {0, CAP_MM * sin(40 * G_PI / 180), 0};
    a = tapul_vec3_sub(a, centre);
    b = tapul_vec3_sub(b, centre);
    return CAP_MM * atan2(tapul_vec3_length(tapul_vec3_cross(a, b)), tapul_vec3_dot(a, b));
}

static void check_tapes(const GPtrArray *pieces, double (*exact_mm)(TapulVec3, TapulVec3)) {
    for (guint p = 0; p < pieces->len; p++) {
        const TapulPouncePiece *piece = piece_at(pieces, p);
        g_autoptr(GHashTable) reached = g_hash_table_new(NULL, NULL);
        ck_assert_int_gt((int)piece->tapes->len, 2);
        for (guint i = 0; i < piece->tapes->len; i++) {
            const TapulTapeLength *tape = &g_array_index(piece->tapes, TapulTapeLength, i);
            TapulVec2 at;
            TapulVec3 a, b;
            ck_assert_int_lt(tape->from, tape->to);
            ck_assert(cross_on(piece, tape->from, &at, &a));
            ck_assert(cross_on(piece, tape->to, &at, &b));
            ck_assert_double_eq_tol(tape->length_mm, exact_mm(a, b), 0.02);
            g_hash_table_add(reached, GINT_TO_POINTER(tape->from));
            g_hash_table_add(reached, GINT_TO_POINTER(tape->to));
        }
        ck_assert_int_le((int)piece->tapes->len, (int)g_hash_table_size(reached) + 2);
        for (guint i = 0; i < piece->crosses->len; i++) {
            const TapulCross *cross = &g_array_index(piece->crosses, TapulCross, i);
            TapulVec3 metal;
            if (metal_of(piece->piece, cross->at_mm, &metal))
                ck_assert(g_hash_table_contains(reached, GINT_TO_POINTER(cross->name)));
        }
    }
}

START_TEST(tapes_on_a_cylinder_are_helices) {
    g_autoptr(TestPapers) papers = _i ? parted_cylinder() : whole_cylinder();
    g_autoptr(GPtrArray) pieces = marked_pieces(papers, ALLOWANCE_MM, FALSE);
    check_tapes(pieces, helix_mm);
}
END_TEST

START_TEST(tapes_on_a_sphere_are_great_circles) {
    g_autoptr(TestPapers) papers = _i ? parted_cap() : whole_cap();
    g_autoptr(GPtrArray) pieces = marked_pieces(papers, ALLOWANCE_MM, FALSE);
    check_tapes(pieces, great_circle_mm);
}
END_TEST

/* The nearest places of two numbers on a piece's own paper: a dart shows one twice. */
static double nearest_places(const TapulPouncePiece *piece, int from, int to, TapulVec2 *a,
                             TapulVec2 *b) {
    double nearest = INFINITY;
    for (guint i = 0; i < piece->crosses->len; i++)
        for (guint j = 0; j < piece->crosses->len; j++) {
            const TapulCross *p = &g_array_index(piece->crosses, TapulCross, i);
            const TapulCross *q = &g_array_index(piece->crosses, TapulCross, j);
            double mm = tapul_vec2_distance(p->at_mm, q->at_mm);
            TapulVec3 metal;
            if (p->name != from || q->name != to || mm >= nearest ||
                !metal_of(piece->piece, p->at_mm, &metal) ||
                !metal_of(piece->piece, q->at_mm, &metal))
                continue;
            nearest = mm;
            *a = p->at_mm;
            *b = q->at_mm;
        }
    return nearest;
}

static gboolean line_is_on_paper(const TapulPiece *piece, TapulVec2 a, TapulVec2 b) {
    for (int k = 1; k < 50; k++) {
        TapulSpot spot;
        if (!tapul_development_finder_spot(piece->finder, tapul_vec2_mix(a, b, k / 50.0),
                                           &spot))
            return FALSE;
    }
    return TRUE;
}

/* Over a ridge and a swelling belly, where no closed form is: within the paper's own stretch of
 * the straight line on it, wherever that line lies on the paper. */
START_TEST(tapes_agree_with_the_paper_within_its_stretch) {
    g_autoptr(TestPapers) papers = parted_breastplate();
    g_autoptr(GPtrArray) pieces = marked_pieces(papers, ALLOWANCE_MM, FALSE);
    double stretch = papers->pattern->stretch;
    int compared = 0;
    for (guint p = 0; p < pieces->len; p++) {
        const TapulPouncePiece *piece = piece_at(pieces, p);
        for (guint i = 0; i < piece->tapes->len; i++) {
            const TapulTapeLength *tape = &g_array_index(piece->tapes, TapulTapeLength, i);
            TapulVec2 a, b;
            TapulVec3 from, to;
            ck_assert(cross_on(piece, tape->from, &a, &from));
            ck_assert(cross_on(piece, tape->to, &b, &to));
            ck_assert_double_ge(tape->length_mm, tapul_vec3_distance(from, to) - 1e-3);
            double paper_mm = nearest_places(piece, tape->from, tape->to, &a, &b);
            if (!line_is_on_paper(piece->piece, a, b))
                continue;
            ck_assert_double_ge(tape->length_mm, paper_mm / (1 + stretch) - 0.02);
            ck_assert_double_le(tape->length_mm, paper_mm * (1 + stretch) + 0.02);
            compared++;
        }
    }
    ck_assert_int_gt(compared, 10);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("pounce_tapes");
    TCase *tests = tcase_create("tapes");
    tcase_set_timeout(tests, 60);
    tcase_add_loop_test(tests, tapes_on_a_cylinder_are_helices, 0, 2);
    tcase_add_loop_test(tests, tapes_on_a_sphere_are_great_circles, 0, 2);
    tcase_add_test(tests, tapes_agree_with_the_paper_within_its_stretch);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
