/* What shows that the maker's papers lie right: notches and crosses. */
#include "marks_for_tests.h"

#include <stdlib.h>

typedef TestPapers *(*PapersOf)(void);
static const PapersOf parted[] = {parted_cylinder, parted_cap, parted_breastplate};
static const PapersOf all[] = {whole_cylinder, parted_cylinder, whole_cap, parted_cap,
                               parted_breastplate};

/* --- Notches --- */

/* How far along a side of a seam a notch stands; it must lie on it. */
static double along_seam_mm(const TapulPattern *pattern, const TapulNotch *notch, int side) {
    const TapulSeam *seam = g_ptr_array_index(pattern->seams, (guint)notch->seam);
    const TapulPiece *piece = g_ptr_array_index(pattern->pieces, (guint)seam->piece[side]);
    double before_mm = 0, found_mm = 0, nearest = INFINITY;
    for (int i = 0; i + 1 < seam->n; i++) {
        TapulVec2 a = piece->development->flat_mm[seam->vertex[side][i]];
        TapulVec2 b = piece->development->flat_mm[seam->vertex[side][i + 1]];
        double off = segment_distance(notch->at_mm, a, b);
        if (off < nearest) {
            nearest = off;
            found_mm = before_mm + tapul_vec2_distance(a, notch->at_mm);
        }
        before_mm += tapul_vec2_distance(a, b);
    }
    return nearest < 1e-6 ? found_mm : NAN;
}

static double seam_mm(const TapulPattern *pattern, const TapulSeam *seam, int side) {
    const TapulPiece *piece = g_ptr_array_index(pattern->pieces, (guint)seam->piece[side]);
    double sum = 0;
    for (int i = 0; i + 1 < seam->n; i++)
        sum += tapul_vec2_distance(piece->development->flat_mm[seam->vertex[side][i]],
                                   piece->development->flat_mm[seam->vertex[side][i + 1]]);
    return sum;
}

/* Notches of a seam on one of its sides by label; the count, lengths into at_mm. */
static int notches_of(const TestPapers *papers, const GPtrArray *pieces, int seam, int side,
                      const char *label, double *at_mm) {
    const TapulSeam *whole = g_ptr_array_index(papers->pattern->seams, (guint)seam);
    const TapulPouncePiece *piece = piece_at(pieces, (guint)whole->piece[side]);
    int n = 0;
    for (guint i = 0; i < piece->notches->len; i++) {
        const TapulNotch *notch = &g_array_index(piece->notches, TapulNotch, i);
        if (notch->seam != seam || (label && strcmp(label, notch->label) != 0))
            continue;
        double mm = along_seam_mm(papers->pattern, notch, side);
        if (!isnan(mm)) {
            *at_mm = mm;
            n++;
        }
    }
    return n;
}

START_TEST(notches_stand_at_equal_lengths_on_both_papers) {
    g_autoptr(TestPapers) papers = parted[_i]();
    g_autoptr(GPtrArray) pieces = marked_pieces(papers, ALLOWANCE_MM, FALSE);
    ck_assert_int_gt((int)papers->pattern->seams->len, 0);
    for (guint s = 0; s < papers->pattern->seams->len; s++) {
        const TapulSeam *seam = g_ptr_array_index(papers->pattern->seams, s);
        double length_mm = seam_mm(papers->pattern, seam, 0), last_mm = 0, mm = 0;
        int n = notches_of(papers, pieces, (int)s, 0, NULL, &mm);
        ck_assert_int_ge(n, 1);
        ck_assert_double_le(length_mm / n, 60.1); /* 40 mm and half as much */
        for (int i = 0; i < n; i++) {
            double left_mm = -1, right_mm = -2;
            g_autofree char *label = g_strdup_printf("%c%d", 'a' + (int)s, i + 1);
            ck_assert_int_eq(notches_of(papers, pieces, (int)s, 0, label, &left_mm), 1);
            ck_assert_int_eq(notches_of(papers, pieces, (int)s, 1, label, &right_mm), 1);
            ck_assert_double_eq_tol(left_mm, right_mm, 0.05);
            ck_assert_double_gt(left_mm, last_mm);
            if (length_mm > 12)
                ck_assert(left_mm >= 6 && left_mm <= length_mm - 6);
            last_mm = left_mm;
        }
    }
}
END_TEST

START_TEST(notches_point_out_of_the_paper) {
    g_autoptr(TestPapers) papers = parted[_i]();
    g_autoptr(GPtrArray) pieces = marked_pieces(papers, ALLOWANCE_MM, FALSE);
    for (guint p = 0; p < pieces->len; p++) {
        const TapulPouncePiece *piece = piece_at(pieces, p);
        for (guint i = 0; i < piece->notches->len; i++) {
            const TapulNotch *notch = &g_array_index(piece->notches, TapulNotch, i);
            TapulVec2 out = tapul_vec2_scale(notch->outward, 0.1);
            TapulSpot spot;
            ck_assert_double_eq_tol(tapul_vec2_length(notch->outward), 1, 1e-9);
            ck_assert(tapul_development_finder_spot(piece->piece->finder,
                                                    tapul_vec2_sub(notch->at_mm, out), &spot));
            ck_assert(!tapul_development_finder_spot(piece->piece->finder,
                                                     tapul_vec2_add(notch->at_mm, out), &spot));
        }
    }
}
END_TEST

/* --- Crosses --- */

START_TEST(a_number_is_one_place_of_the_plate) {
    g_autoptr(TestPapers) papers = all[_i]();
    g_autoptr(GPtrArray) pieces = marked_pieces(papers, ALLOWANCE_MM, FALSE);
    g_autoptr(GHashTable) places = g_hash_table_new_full(NULL, NULL, NULL, g_free);
    int on_several = 0;
    for (guint p = 0; p < pieces->len; p++) {
        const TapulPouncePiece *piece = piece_at(pieces, p);
        for (guint i = 0; i < piece->crosses->len; i++) {
            const TapulCross *cross = &g_array_index(piece->crosses, TapulCross, i);
            TapulVec3 metal;
            if (!metal_of(piece->piece, cross->at_mm, &metal))
                continue;
            const TapulVec3 *known = g_hash_table_lookup(places, GINT_TO_POINTER(cross->name));
            if (known) {
                on_several++;
                ck_assert_double_le(tapul_vec3_distance(metal, *known), 1e-6);
            }
            g_hash_table_insert(places, GINT_TO_POINTER(cross->name),
                                g_memdup2(&metal, sizeof metal));
        }
    }
    /* Numbers run from 1 without a gap. */
    for (guint name = 1; name <= g_hash_table_size(places); name++)
        ck_assert(g_hash_table_contains(places, GUINT_TO_POINTER(name)));
    /* Every seam has two places at least, but where they stand too near to each other. */
    if (papers->pattern->seams->len > 0)
        ck_assert_int_ge(on_several, (int)papers->pattern->seams->len);
}
END_TEST

/* How far a point of a piece's paper is from the first seam. */
static double off_seam_mm(const TapulPattern *pattern, int piece, TapulVec2 at_mm) {
    const TapulSeam *seam = g_ptr_array_index(pattern->seams, 0);
    const TapulPiece *paper = g_ptr_array_index(pattern->pieces, (guint)piece);
    const int *vertex = seam->vertex[seam->piece[0] == piece ? 0 : 1];
    double least = INFINITY;
    for (int i = 0; i + 1 < seam->n; i++)
        least = fmin(least, segment_distance(at_mm, paper->development->flat_mm[vertex[i]],
                                             paper->development->flat_mm[vertex[i + 1]]));
    return least;
}

/* What a paper shows beyond its own metal lies as far from the seam as the place itself. */
START_TEST(crosses_in_allowances_stand_where_the_neighbour_has_them) {
    g_autoptr(TestPapers) papers =
        papers_new_take(test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM));
    /* So near to the medial line, and the allowance so wide, that crosses fall into it. */
    papers_add_cut(papers, 2, (const double[][2]){{-14, 1}, {-10, 299}});
    papers_cut(papers);
    g_autoptr(GPtrArray) pieces = marked_pieces(papers, 25, FALSE);
    int beyond = 0;
    for (guint p = 0; p < pieces->len; p++) {
        const TapulPouncePiece *piece = piece_at(pieces, p);
        for (guint i = 0; i < piece->crosses->len; i++) {
            const TapulCross *cross = &g_array_index(piece->crosses, TapulCross, i);
            const TapulPouncePiece *other = piece_at(pieces, 1 - p);
            TapulVec2 there;
            TapulVec3 metal;
            if (metal_of(piece->piece, cross->at_mm, &metal))
                continue;
            ck_assert(cross_on(other, cross->name, &there, &metal));
            ck_assert_double_eq_tol(
                off_seam_mm(papers->pattern, piece->number - 1, cross->at_mm),
                off_seam_mm(papers->pattern, other->number - 1, there), 0.05);
            beyond++;
        }
    }
    ck_assert_int_gt(beyond, 0);
}
END_TEST

/* Crosses well inside a piece. */
static GArray *inner_crosses(const TapulPouncePiece *piece) {
    GArray *inner = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    for (guint i = 0; i < piece->crosses->len; i++) {
        const TapulCross *cross = &g_array_index(piece->crosses, TapulCross, i);
        TapulSpot spot;
        if (tapul_development_finder_spot(piece->piece->finder, cross->at_mm, &spot) &&
            nearest_edge(piece->piece, cross->at_mm).distance_mm >= 6)
            g_array_append_val(inner, cross->at_mm);
    }
    return inner;
}

/* The best three: the least distance of two of them, and how far the third is off their longest
 * side, both as shares of the size; the best is told by the smaller of the two as they are
 * asked for. */
static double best_three(const GArray *points, double size_mm) {
    const TapulVec2 *p = (const TapulVec2 *)(const void *)points->data;
    double best = 0;
    for (guint i = 0; i < points->len; i++)
        for (guint j = 0; j < i; j++)
            for (guint k = 0; k < j; k++) {
                double a = tapul_vec2_distance(p[i], p[j]), b = tapul_vec2_distance(p[j], p[k]),
                       c = tapul_vec2_distance(p[k], p[i]);
                double twice = fabs(
                    tapul_vec2_cross(tapul_vec2_sub(p[j], p[i]), tapul_vec2_sub(p[k], p[i])));
                double height = twice / fmax(a, fmax(b, c));
                best = fmax(best, fmin(fmin(a, fmin(b, c)) / 0.4, height / 0.1) / size_mm);
            }
    return best;
}

START_TEST(each_piece_has_three_crosses_well_apart) {
    g_autoptr(TestPapers) papers = all[_i]();
    g_autoptr(GPtrArray) pieces = marked_pieces(papers, ALLOWANCE_MM, FALSE);
    for (guint p = 0; p < pieces->len; p++) {
        const TapulPouncePiece *piece = piece_at(pieces, p);
        g_autoptr(GArray) inner = inner_crosses(piece);
        TapulBox box = tapul_box_empty();
        for (int v = 0; v < piece->piece->mesh->n_vertices; v++)
            tapul_box_add(&box, piece->piece->development->flat_mm[v]);
        double size_mm = fmax(box.max.x - box.min.x, box.max.y - box.min.y);
        ck_assert_int_ge((int)inner->len, 3);
        ck_assert_msg(best_three(inner, size_mm) >= 0.999, "piece %u: %g", p + 1,
                      best_three(inner, size_mm));
    }
}
END_TEST

START_TEST(the_medial_line_has_crosses_each_hundred) {
    g_autoptr(TestPapers) papers = whole_cylinder();
    g_autoptr(GPtrArray) pieces = marked_pieces(papers, ALLOWANCE_MM, FALSE);
    /* 300 mm high: 10 mm in at both ends, and 93.3 mm apart. */
    const double up_mm[] = {10, 10 + 280.0 / 3, 10 + 560.0 / 3, 290};
    for (guint k = 0; k < G_N_ELEMENTS(up_mm); k++) {
        double nearest = INFINITY;
        for (guint i = 0; i < piece_at(pieces, 0)->crosses->len; i++) {
            const TapulCross *cross =
                &g_array_index(piece_at(pieces, 0)->crosses, TapulCross, i);
            TapulVec3 metal;
            ck_assert(metal_of(piece_at(pieces, 0)->piece, cross->at_mm, &metal));
            nearest = fmin(nearest, hypot(metal.x, metal.y - up_mm[k]));
        }
        ck_assert_double_le(nearest, 0.01);
    }
}
END_TEST

/* As one reads, in rows of 40 mm. */
START_TEST(numbers_run_from_upper_left) {
    g_autoptr(TestPapers) papers = parted_breastplate();
    g_autoptr(GPtrArray) pieces = marked_pieces(papers, ALLOWANCE_MM, FALSE);
    double last_y = INFINITY;
    for (int name = 1;; name++) {
        TapulVec2 at, base = {0, 0};
        TapulVec3 metal;
        gboolean found = FALSE;
        for (guint p = 0; p < pieces->len && !found; p++)
            found = cross_on(piece_at(pieces, p), name, &at, &metal);
        if (!found) {
            ck_assert_int_gt(name, 10);
            break;
        }
        TapulSpot spot;
        tapul_mesh_tree_nearest(tapul_plate_tree(papers->ground->plate), metal, &spot);
        base = tapul_development_point_mm(papers->ground->development, spot);
        ck_assert_double_le(base.y, last_y + 40);
        last_y = fmin(last_y, base.y);
    }
}
END_TEST

START_TEST(marks_do_not_depend_on_the_order_of_pieces) {
    g_autoptr(TestPapers) papers = parted[_i]();
    g_autoptr(GPtrArray) pieces = marked_pieces(papers, ALLOWANCE_MM, FALSE);
    g_autoptr(GPtrArray) against = marked_pieces(papers, ALLOWANCE_MM, TRUE);
    for (guint p = 0; p < pieces->len; p++) {
        const TapulPouncePiece *one = piece_at(pieces, p);
        const TapulPouncePiece *other = piece_at(against, pieces->len - 1 - p);
        ck_assert_int_eq(one->number, other->number);
        ck_assert_int_eq((int)one->notches->len, (int)other->notches->len);
        ck_assert_int_eq((int)one->crosses->len, (int)other->crosses->len);
        ck_assert_int_eq((int)one->tapes->len, (int)other->tapes->len);
        for (guint i = 0; i < one->crosses->len; i++) {
            const TapulCross *a = &g_array_index(one->crosses, TapulCross, i);
            const TapulCross *b = &g_array_index(other->crosses, TapulCross, i);
            ck_assert(a->name == b->name && tapul_vec2_distance(a->at_mm, b->at_mm) == 0);
        }
        for (guint i = 0; i < one->tapes->len; i++) {
            const TapulTapeLength *a = &g_array_index(one->tapes, TapulTapeLength, i);
            const TapulTapeLength *b = &g_array_index(other->tapes, TapulTapeLength, i);
            ck_assert(a->from == b->from && a->to == b->to && a->length_mm == b->length_mm);
        }
    }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("pounce_marks");
    TCase *tests = tcase_create("marks");
    tcase_set_timeout(tests, 60);
    tcase_add_loop_test(tests, notches_stand_at_equal_lengths_on_both_papers, 0,
                        G_N_ELEMENTS(parted));
    tcase_add_loop_test(tests, notches_point_out_of_the_paper, 0, G_N_ELEMENTS(parted));
    tcase_add_loop_test(tests, a_number_is_one_place_of_the_plate, 0, G_N_ELEMENTS(all));
    tcase_add_test(tests, crosses_in_allowances_stand_where_the_neighbour_has_them);
    tcase_add_loop_test(tests, each_piece_has_three_crosses_well_apart, 0, G_N_ELEMENTS(all));
    tcase_add_test(tests, the_medial_line_has_crosses_each_hundred);
    tcase_add_test(tests, numbers_run_from_upper_left);
    tcase_add_loop_test(tests, marks_do_not_depend_on_the_order_of_pieces, 0,
                        G_N_ELEMENTS(parted));
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
