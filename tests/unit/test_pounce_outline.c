/* The papers' edges: outlines, allowances, scores. */
#include "ink/region.h"
#include "pounce/allowance.h"

#include "papers_for_tests.h"

#define ALLOWANCE_MM 5.0

/* A cylinder parted along a ruling of its front. */
static TestPapers *parted_cylinder(void) {
    TestPapers *papers = papers_new_take(test_ground_new(CYLINDER_SURFACE, CYLINDER_MIDDLE_MM));
    papers_add_cut(papers, 2, (const double[][2]){{20, 1}, {20, 299}});
    papers_cut(papers);
    return papers;
}

/* A cap of a sphere with three darts, one of them up the middle. */
static TestPapers *darted_cap(void) {
    TestPapers *papers = papers_new_take(
        test_ground_new("{ kind: sphere, radius_mm: 100, half_angle_deg: 40 }", 64));
    papers_add_cut(papers, 2, (const double[][2]){{0, 1}, {0, 50}});
    papers_add_cut(papers, 2, (const double[][2]){{-63, 64}, {-18, 70}});
    papers_add_cut(papers, 3, (const double[][2]){{40, 113}, {20, 95}, {15, 80}});
    papers_cut(papers);
    return papers;
}

/* A cap parted in three: one cut right across, another that ends on it. */
static TestPapers *parted_cap(void) {
    TestPapers *papers = papers_new_take(
        test_ground_new("{ kind: sphere, radius_mm: 100, half_angle_deg: 40 }", 64));
    papers_add_cut(papers, 2, (const double[][2]){{-62, 56}, {63, 62}});
    papers_add_cut(papers, 2, (const double[][2]){{5, 1}, {2, 57}});
    papers_cut(papers);
    return papers;
}

static GEOSGeometry *polygon_of(TapulRegions *regions, const TapulPath *path) {
    g_autoptr(GPtrArray) rings = tapul_rings_new(path);
    GEOSGeometry *region = tapul_rings_region(regions, rings, FALSE);
    ck_assert(region != NULL);
    return region;
}

static double area_of(GEOSContextHandle_t geos, const GEOSGeometry *geometry) {
    double area = 0;
    ck_assert_int_eq(GEOSArea_r(geos, geometry, &area), 1);
    return area;
}

/* Whether a closed path of lines is a simple ring, kept on the left. */
static void check_simple(TapulRegions *regions, const TapulPath *path) {
    GEOSGeometry *polygon = polygon_of(regions, path);
    double signed_mm2 = tapul_path_area(path);
    ck_assert_double_gt(signed_mm2, 0);
    /* A ring that crosses itself counts some of its area twice or negatively. */
    ck_assert_double_eq_tol(area_of(regions->geos, polygon), signed_mm2, 1e-6 * signed_mm2);
    ck_assert_int_eq(GEOSGeomTypeId_r(regions->geos, polygon), GEOS_POLYGON);
    GEOSGeom_destroy_r(regions->geos, polygon);
}

static void check_edges(TestPapers *papers) {
    g_autoptr(GPtrArray) pieces = papers_pieces(papers, ALLOWANCE_MM);
    TapulRegions regions = tapul_regions_begin();
    for (guint i = 0; i < pieces->len; i++) {
        const TapulPouncePiece *piece = g_ptr_array_index(pieces, i);
        double developed_mm2 = piece->piece->development->developed_area_mm2;
        check_simple(&regions, piece->outline);
        check_simple(&regions, piece->cut);
        ck_assert_double_eq_tol(tapul_path_area(piece->outline), developed_mm2,
                                1e-9 * developed_mm2);
        GEOSGeometry *outline = polygon_of(&regions, piece->outline);
        GEOSGeometry *cut = polygon_of(&regions, piece->cut);
        GEOSGeometry *lost = GEOSDifference_r(regions.geos, outline, cut);
        ck_assert_double_lt(area_of(regions.geos, lost), 1e-6);
        GEOSGeom_destroy_r(regions.geos, lost);
        GEOSGeom_destroy_r(regions.geos, cut);
        GEOSGeom_destroy_r(regions.geos, outline);
    }
    tapul_regions_end(&regions);
}

START_TEST(edges_are_simple_and_hold_the_paper) {
    TestPapers *(*const makers[])(void) = {parted_cylinder, darted_cap, parted_cap};
    for (guint i = 0; i < G_N_ELEMENTS(makers); i++) {
        g_autoptr(TestPapers) papers = makers[i]();
        check_edges(papers);
    }
}
END_TEST

START_TEST(without_an_allowance_the_cut_is_the_outline) {
    g_autoptr(TestPapers) papers = darted_cap();
    g_autoptr(GPtrArray) pieces = papers_pieces(papers, 0);
    const TapulPouncePiece *piece = g_ptr_array_index(pieces, 0);
    ck_assert(tapul_path_is_empty(piece->score));
    ck_assert_uint_eq(piece->cut->points->len, piece->outline->points->len);
    ck_assert_mem_eq(piece->cut->points->data, piece->outline->points->data,
                     piece->cut->points->len * sizeof(TapulVec2));
}
END_TEST

/* On a cylinder parted along a ruling all is known: the strip is a rectangle but for its ends,
 * which lean in by half a per cent of the way. */
START_TEST(allowance_along_a_ruling_is_a_rectangle_on_the_left_side) {
    g_autoptr(TestPapers) papers = parted_cylinder();
    g_autoptr(GPtrArray) pieces = papers_pieces(papers, ALLOWANCE_MM);
    const TapulSeam *seam = g_ptr_array_index(papers->pattern->seams, 0);
    double grown[2], length_mm = 0;
    for (int side = 0; side < 2; side++) {
        const TapulPouncePiece *piece = g_ptr_array_index(pieces, (guint)seam->piece[side]);
        grown[side] = tapul_path_area(piece->cut) - tapul_path_area(piece->outline);
        if (side == 0)
            length_mm = tapul_path_length(piece->score);
    }
    ck_assert_double_eq_tol(length_mm, 300, 0.01);
    ck_assert_double_eq_tol(grown[0], length_mm * ALLOWANCE_MM, 2 * ALLOWANCE_MM);
    ck_assert_double_lt(grown[0], length_mm * ALLOWANCE_MM + 1e-6);
    ck_assert_double_eq(grown[1], 0);
}
END_TEST

/* Distance of a point from the seam on a strip's paper. */
static double seam_distance(const TestPapers *papers, int number, int side, TapulVec2 p) {
    const TapulSeam *seam = g_ptr_array_index(papers->pattern->seams, (guint)number);
    const TapulPiece *piece =
        g_ptr_array_index(papers->pattern->pieces, (guint)seam->piece[side]);
    const TapulVec2 *flat_mm = piece->development->flat_mm;
    double nearest_mm = INFINITY;
    for (int i = 0; i + 1 < seam->n; i++)
        nearest_mm = fmin(nearest_mm, segment_distance(p, flat_mm[seam->vertex[side][i]],
                                                       flat_mm[seam->vertex[side][i + 1]]));
    return nearest_mm;
}

START_TEST(free_allowance_has_its_width) {
    g_autoptr(TestPapers) papers = parted_cap();
    int checked = 0;
    for (guint i = 0; i < papers->pattern->pieces->len; i++) {
        g_autoptr(GPtrArray) strips =
            tapul_allowances_new(papers->pattern, (int)i, ALLOWANCE_MM);
        for (guint k = 0; k < strips->len; k++) {
            const TapulAllowance *strip = g_ptr_array_index(strips, k);
            for (int s = 0; s < strip->stations; s++) {
                if (strip->depth_mm[s] < ALLOWANCE_MM)
                    continue;
                TapulVec2 out = strip->paper_mm[(s + 1) * strip->rows - 1];
                ck_assert_double_eq_tol(seam_distance(papers, strip->seam, 0, out),
                                        ALLOWANCE_MM, 0.01);
                checked++;
            }
        }
    }
    ck_assert_int_gt(checked, 100);
}
END_TEST

START_TEST(allowance_tapers_to_nothing_at_a_dart_tip) {
    g_autoptr(TestPapers) papers = darted_cap();
    g_autoptr(GPtrArray) strips = tapul_allowances_new(papers->pattern, 0, ALLOWANCE_MM);
    ck_assert_uint_eq(strips->len, 3);
    for (guint k = 0; k < strips->len; k++) {
        const TapulAllowance *strip = g_ptr_array_index(strips, k);
        double deepest_mm = 0;
        for (int s = 0; s < strip->stations; s++)
            deepest_mm = fmax(deepest_mm, strip->depth_mm[s]);
        ck_assert_double_eq(strip->depth_mm[strip->stations - 1], 0);
        ck_assert_double_gt(deepest_mm, 1);
        ck_assert_double_le(deepest_mm, ALLOWANCE_MM);
    }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("pounce outline");
    TCase *cases = tcase_create("outline");
    tcase_set_timeout(cases, 120);
    tcase_add_test(cases, edges_are_simple_and_hold_the_paper);
    tcase_add_test(cases, without_an_allowance_the_cut_is_the_outline);
    tcase_add_test(cases, allowance_along_a_ruling_is_a_rectangle_on_the_left_side);
    tcase_add_test(cases, free_allowance_has_its_width);
    tcase_add_test(cases, allowance_tapers_to_nothing_at_a_dart_tip);
    suite_add_tcase(suite, cases);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
