/* The resist against closed forms: bars, rings and dashes on a cylinder, whose paper is true to
 * it, and areas over a sphere's metal. The closed forms are elementary geometry. */
#include "resists_for_tests.h"

#include "pounce/outlines.h"

#include <stdlib.h>
#include <string.h>

#define UNDERCUT_MM 0.06
/* Chords of an arc of half a millimetre's radius lie 0.002 mm within it at most, and edges are
 * simplified by 0.004 mm: of a bar's two round ends that takes less than this. */
#define ROUND_MM2 0.012
/* Of straight edges nothing is taken. */
#define STRAIGHT_MM2 1e-3

/* In one piece; its paper's origin is its middle. */
static TestEtching *whole_cylinder(void) {
    TestEtching *etching = etched_cylinder();
    etching_cut(etching);
    return etching;
}

static TestEtching *whole_sphere(void) {
    TestEtching *etching = etching_new_take(test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM));
    etching_cut(etching);
    return etching;
}

static TapulPath *bar_line(double y_mm) {
    return test_line(-25, y_mm, 25, y_mm);
}

/* A rectangle grown by the undercut with round corners. */
static double grown_mm2(double length_mm, double width_mm) {
    double u = UNDERCUT_MM;
    return (length_mm + 2 * u) * (width_mm + 2 * u) - (4 - G_PI) * u * u;
}

/* --- Outlines --- */

START_TEST(bar_and_its_caps_are_covered_and_the_rest_is_bare) {
    for (int cap = TAPUL_CAP_BUTT; cap <= TAPUL_CAP_SQUARE; cap++) {
        g_autoptr(TestEtching) etching = whole_cylinder();
        test_draw(etching, TAPUL_MARK_STROKE, bar_line(3), 1)->cap = (TapulCap)cap;
        g_autoptr(TapulResist) resist = test_resist(etching);
        const TapulPouncePiece *piece = etching_piece(etching, 0);
        double round_mm = 0.5 + UNDERCUT_MM;
        double wanted_mm2[] = {[TAPUL_CAP_BUTT] = grown_mm2(50, 1),
                               [TAPUL_CAP_ROUND] =
                                   50 * 2 * round_mm + G_PI * round_mm * round_mm,
                               [TAPUL_CAP_SQUARE] = grown_mm2(51, 1)};
        double cover_mm2 = test_covered_mm2(test_cover(resist));
        ck_assert_double_eq_tol(cover_mm2, wanted_mm2[cap], ROUND_MM2);
        ck_assert_double_eq_tol(cover_mm2 + test_covered_mm2(test_bare(resist, 0)),
                                fabs(tapul_path_area(piece->outline)), STRAIGHT_MM2);
    }
}
END_TEST

START_TEST(undercut_is_added_on_each_side) {
    g_autoptr(TestEtching) etching = whole_cylinder();
    test_draw(etching, TAPUL_MARK_STROKE, bar_line(3), 1);
    g_autoptr(TapulResist) resist = test_resist(etching);
    TapulBox box = tapul_path_box(test_cover(resist));
    ck_assert_double_eq_tol(resist->undercut_mm, UNDERCUT_MM, 1e-12);
    ck_assert_double_eq_tol(box.min.y, 2.5 - UNDERCUT_MM, 1e-6);
    ck_assert_double_eq_tol(box.max.y, 3.5 + UNDERCUT_MM, 1e-6);
    ck_assert_double_eq_tol(box.min.x, -25 - UNDERCUT_MM, 1e-6);
    ck_assert_double_eq_tol(box.max.x, 25 + UNDERCUT_MM, 1e-6);
}
END_TEST

START_TEST(bitten_line_is_opened_narrower) {
    g_autoptr(TestEtching) etching = whole_cylinder();
    etching->asked->resist = TAPUL_RESIST_LINES;
    test_draw(etching, TAPUL_MARK_STROKE, bar_line(3), 1);
    test_draw(etching, TAPUL_MARK_STROKE, bar_line(-3), 0.1);
    g_autoptr(TapulResist) resist = test_resist(etching);
    /* The one of 0.1 mm is narrower than two undercuts and vanishes. */
    ck_assert_double_eq_tol(test_covered_mm2(test_bare(resist, 0)),
                            (50 - 2 * UNDERCUT_MM) * (1 - 2 * UNDERCUT_MM), STRAIGHT_MM2);
    /* In the end the wider is as wide as wanted, but for its corners. */
    ck_assert_double_eq_tol(resist->bitten_area_mm2, 50, 0.02);
    ck_assert_double_eq_tol(resist->wanted_area_mm2, 50 + 5, 0.01);
    ck_assert_int_eq(resist->too_thin_in_all, 1);
    ck_assert_int_eq(resist->closes_in_all, 1);
    ck_assert(!g_array_index(resist->too_thin, TapulTooThin, 0).gap);
    ck_assert(g_array_index(resist->too_thin, TapulTooThin, 0).closes);
}
END_TEST

START_TEST(dashes_are_covered_and_their_gaps_bare) {
    g_autoptr(TestEtching) etching = whole_cylinder();
    const double dash_mm[] = {3, 2};
    TapulMark *mark = test_draw(etching, TAPUL_MARK_STROKE, bar_line(0), 1);
    mark->dash_mm = g_array_new(FALSE, FALSE, sizeof(double));
    g_array_append_vals(mark->dash_mm, dash_mm, 2);
    mark->dash_offset_mm = 1; /* dashes of 2, then 3 ... and a last of 1 */
    g_autoptr(TapulResist) resist = test_resist(etching);
    ck_assert_double_eq_tol(test_covered_mm2(test_cover(resist)),
                            grown_mm2(2, 1) + 9 * grown_mm2(3, 1) + grown_mm2(1, 1),
                            STRAIGHT_MM2 * 11);
    ck_assert(test_holds(test_cover(resist), -24, 0));
    ck_assert(!test_holds(test_cover(resist), -22, 0));
    ck_assert(test_holds(test_cover(resist), 24.5, 0));
}
END_TEST

START_TEST(ring_keeps_its_hole) {
    g_autoptr(TestEtching) etching = whole_cylinder();
    TapulPath *path = tapul_path_new();
    double k = 5 * 0.5522847; /* a circle of four cubics (common practice) to 2e-3 mm */
    tapul_path_move(path, tapul_vec2(5, 0));
    tapul_path_curve(path, tapul_vec2(5, k), tapul_vec2(k, 5), tapul_vec2(0, 5));
    tapul_path_curve(path, tapul_vec2(-k, 5), tapul_vec2(-5, k), tapul_vec2(-5, 0));
    tapul_path_curve(path, tapul_vec2(-5, -k), tapul_vec2(-k, -5), tapul_vec2(0, -5));
    tapul_path_curve(path, tapul_vec2(k, -5), tapul_vec2(5, -k), tapul_vec2(5, 0));
    tapul_path_close(path);
    test_draw(etching, TAPUL_MARK_STROKE, path, 1);
    g_autoptr(TapulResist) resist = test_resist(etching);
    /* Chords are within 0.015 mm of a circle of 31.4 mm; both edges move alike. */
    ck_assert_double_eq_tol(test_covered_mm2(test_cover(resist)),
                            2 * G_PI * 5 * (1 + 2 * UNDERCUT_MM), 0.08);
    ck_assert(!test_holds(test_cover(resist), 0, 0));
    ck_assert(test_holds(test_cover(resist), 5, 0));
    ck_assert(test_holds(test_cover(resist), -3.5, 3.5));
}
END_TEST

/* What a bent line of two legs of 20 mm covers, 1 mm wide. */
static double bent_mm2(TapulJoin join, double mitre_limit, double turn_rad) {
    g_autoptr(TapulShapes) shapes = tapul_shapes_new();
    g_autoptr(GPtrArray) parts = g_ptr_array_new();
    g_autoptr(TapulPath) path = test_line(-20, 0, 0, 0);
    tapul_path_line(path, tapul_vec2_turn(tapul_vec2(20, 0), turn_rad));
    TapulMark mark = {.kind = TAPUL_MARK_STROKE,
                      .path = path,
                      .width_mm = 1,
                      .join = join,
                      .mitre_limit = mitre_limit};
    ck_assert(tapul_mark_parts(shapes, &mark, 0, parts));
    return tapul_shape_area_mm2(shapes, tapul_shape_union(shapes, parts));
}

START_TEST(joins_and_mitre_limit_are_those_of_the_pen) {
    /* Both legs overlap within the corner by a kite of h^2 tan(turn / 2), which a mitre adds
     * without; a bevel adds h^2 sin(turn) / 2 only, a round join h^2 turn / 2. */
    for (int i = 1; i < 6; i++) {
        double turn_rad = i * 25 * G_PI / 180, h2 = 0.25;
        double legs_mm2 = 40 - h2 * tan(turn_rad / 2);
        double bevel_mm2 = legs_mm2 + h2 * sin(turn_rad) / 2;
        double ratio = 1 / cos(turn_rad / 2);
        ck_assert_double_eq_tol(bent_mm2(TAPUL_JOIN_MITRE, 10, turn_rad), 40, 1e-6);
        ck_assert_double_eq_tol(bent_mm2(TAPUL_JOIN_BEVEL, 10, turn_rad), bevel_mm2, 1e-6);
        ck_assert_double_eq_tol(bent_mm2(TAPUL_JOIN_ROUND, 10, turn_rad),
                                legs_mm2 + h2 * turn_rad / 2, 2e-3);
        ck_assert_double_eq_tol(bent_mm2(TAPUL_JOIN_MITRE, ratio * 1.001, turn_rad), 40, 1e-6);
        ck_assert_double_eq_tol(bent_mm2(TAPUL_JOIN_MITRE, ratio * 0.999, turn_rad), bevel_mm2,
                                1e-6);
    }
}
END_TEST

/* A long line is drawn in several bands: nothing is lost or added between them. */
START_TEST(long_line_is_as_long_as_its_bands) {
    g_autoptr(TapulShapes) shapes = tapul_shapes_new();
    g_autoptr(GPtrArray) parts = g_ptr_array_new();
    g_autoptr(TapulPath) path = test_line(0, 0, 1, 0);
    for (int i = 1; i < 200; i++)
        tapul_path_line(path, tapul_vec2(1 + i, i % 2 == 0 ? 0 : 0.2));
    TapulMark mark = {.kind = TAPUL_MARK_STROKE,
                      .path = path,
                      .width_mm = 0.1,
                      .join = TAPUL_JOIN_MITRE,
                      .mitre_limit = 10};
    ck_assert(tapul_mark_parts(shapes, &mark, 0, parts));
    ck_assert_uint_gt(parts->len, 200); /* a mitre at each corner and the bands */
    ck_assert_double_eq_tol(tapul_shape_area_mm2(shapes, tapul_shape_union(shapes, parts)),
                            0.1 * tapul_path_length(path), 1e-5);
}
END_TEST

START_TEST(paper_covers_what_was_drawn_before_it_only) {
    g_autoptr(TestEtching) etching = whole_cylinder();
    test_draw(etching, TAPUL_MARK_FILL, test_rectangle(-10, -10, 10, 10), 0);
    test_draw(etching, TAPUL_MARK_FILL, test_rectangle(-5, -5, 5, 5), 0)->paper = TRUE;
    test_draw(etching, TAPUL_MARK_FILL, test_rectangle(-1, -1, 1, 1), 0);
    g_autoptr(TapulResist) resist = test_resist(etching);
    double hole = 10 - 2 * UNDERCUT_MM;
    ck_assert_double_eq_tol(test_covered_mm2(test_cover(resist)),
                            grown_mm2(20, 20) - hole * hole + grown_mm2(2, 2), STRAIGHT_MM2);
    ck_assert(test_holds(test_bare(resist, 0), 3, 0));
    ck_assert(!test_holds(test_bare(resist, 0), 0, 0));
}
END_TEST

/* A bar laid across a seam is opened as one that lies on a single paper: neither paper closes
 * it at the seam, whichever of them has the allowance, and where there is none. */
START_TEST(resist_goes_on_over_a_seam) {
    const double cut_mm[][2] = {{2, 0.001}, {2, 150}, {2, 299.999}};
    for (int i = 0; i < 2; i++) {
        g_autoptr(TestEtching) etching = etched_cylinder();
        etching->asked->resist = TAPUL_RESIST_LINES;
        etching->asked->allowance_mm = i == 0 ? 0 : 5;
        papers_add_cut(etching->papers, 3, cut_mm);
        papers_add_mark(etching->papers, TAPUL_MARK_STROKE, test_line(-25, -9, 25, 11))
            ->width_mm = 1;
        etching_cut(etching);
        g_autoptr(TapulResist) resist = test_resist(etching);
        double length_mm = hypot(50, 20), sum_mm2 = 0;
        ck_assert_uint_eq(etching->pieces->len, 2);
        for (guint k = 0; k < 2; k++) {
            double part_mm2 =
                test_covered_mm2(g_ptr_array_index(test_bite(resist, 0)->bare, k));
            ck_assert_double_gt(part_mm2, 15);
            sum_mm2 += part_mm2;
        }
        /* Carrying curves may move them by 0.01 mm, but lines stay lines here. */
        ck_assert_double_eq_tol(sum_mm2, (length_mm - 2 * UNDERCUT_MM) * (1 - 2 * UNDERCUT_MM),
                                0.01);
        ck_assert_int_eq(resist->too_thin_in_all, 0);
    }
}
END_TEST

/* Areas too go on over a seam without a slit, which the resist would widen. A corner of angle a
 * is bitten round: it loses u^2 (1 / tan (a / 2) - (pi - a) / 2). */
START_TEST(filled_bars_over_a_seam_are_bitten_whole) {
    const double cut_mm[][2] = {{2, 0.001}, {2, 150}, {2, 299.999}};
    const double half_rad = (G_PI_2 - atan2(15, 40)) / 2;
    double corners_mm2 =
        2 * UNDERCUT_MM * UNDERCUT_MM * (1 / tan(half_rad) + tan(half_rad) - G_PI_2);
    g_autoptr(TestEtching) etching = etched_cylinder();
    etching->asked->resist = TAPUL_RESIST_LINES;
    papers_add_cut(etching->papers, 3, cut_mm);
    for (int i = 0; i < 12; i++) {
        double y = 10 * i - 60;
        TapulPath *bar = test_line(-18, y, 22, y + 15);
        tapul_path_line(bar, tapul_vec2(22, y + 16.5));
        tapul_path_line(bar, tapul_vec2(-18, y + 1.5));
        tapul_path_close(bar);
        papers_add_mark(etching->papers, TAPUL_MARK_FILL, bar);
    }
    etching_cut(etching);
    g_autoptr(TapulResist) resist = test_resist(etching);
    ck_assert_double_eq_tol(resist->wanted_area_mm2, 12 * 60, 0.05);
    ck_assert_double_eq_tol(resist->bitten_area_mm2, 12 * (60 - corners_mm2), 0.05);
    ck_assert_int_eq(resist->too_thin_in_all, 0);
}
END_TEST

static TapulPath *circle(double radius_mm) {
    static const TapulVec2 corner[] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
    const double handle = 0.5522847498; /* of a quarter circle (Goldapp 1991) */
    TapulPath *path = tapul_path_new();
    tapul_path_move(path, tapul_vec2(radius_mm, 0));
    for (int i = 0; i < 4; i++) {
        TapulVec2 from = tapul_vec2_scale(corner[i], radius_mm);
        TapulVec2 to = tapul_vec2_scale(corner[(i + 1) % 4], radius_mm);
        tapul_path_curve(path, tapul_vec2_add(from, tapul_vec2_scale(to, handle)),
                         tapul_vec2_add(to, tapul_vec2_scale(from, handle)), to);
    }
    tapul_path_close(path);
    return path;
}

/* A wide curved stroke that meets a seam square on. */
START_TEST(ring_over_a_seam_is_opened_through_it) {
    const double cut_mm[][2] = {{0, 0.001}, {0, 150}, {0, 299.999}};
    g_autoptr(TestEtching) etching = etched_cylinder();
    etching->asked->resist = TAPUL_RESIST_LINES;
    papers_add_cut(etching->papers, 3, cut_mm);
    papers_add_mark(etching->papers, TAPUL_MARK_STROKE, circle(10))->width_mm = 2;
    etching_cut(etching);
    g_autoptr(TapulResist) resist = test_resist(etching);
    ck_assert_double_eq_tol(resist->bitten_area_mm2, 2 * G_PI * 10 * 2, 0.1);
    ck_assert_int_eq(resist->too_thin_in_all, 0);
}
END_TEST

/* --- Too thin --- */

static void check_run(const TapulResist *resist, gboolean gap, double width_mm,
                      double at_y_mm) {
    ck_assert_int_eq(resist->too_thin_in_all, 1);
    TapulTooThin run = g_array_index(resist->too_thin, TapulTooThin, 0);
    ck_assert_int_eq(run.piece, 1);
    ck_assert_int_eq(run.gap, gap);
    ck_assert_double_eq_tol(run.width_mm, width_mm, 1e-3);
    ck_assert_double_eq_tol(run.length_mm, 50, 0.3);
    ck_assert_double_eq_tol(run.at_mm.y, at_y_mm, 0.01);
}

START_TEST(line_below_the_finest_is_listed_and_no_other) {
    g_autoptr(TestEtching) etching = whole_cylinder();
    test_draw(etching, TAPUL_MARK_STROKE, bar_line(20), 0.4);
    test_draw(etching, TAPUL_MARK_STROKE, bar_line(10), 0.3); /* as fine as may be */
    test_draw(etching, TAPUL_MARK_STROKE, bar_line(0), 0.2);
    g_autoptr(TapulResist) resist = test_resist(etching);
    check_run(resist, FALSE, 0.2, 0);
}
END_TEST

START_TEST(bars_too_near_leave_a_gap_that_is_listed) {
    g_autoptr(TestEtching) etching = whole_cylinder();
    test_draw(etching, TAPUL_MARK_STROKE, bar_line(0), 1);
    test_draw(etching, TAPUL_MARK_STROKE, bar_line(1.2), 1);
    test_draw(etching, TAPUL_MARK_STROKE, bar_line(2.6), 1); /* 0.4 mm from the next */
    g_autoptr(TapulResist) resist = test_resist(etching);
    check_run(resist, TRUE, 0.2, 0.6);
}
END_TEST

/* Wanted 0.1 mm wide, less than two undercuts: none of it is bitten. */
START_TEST(gap_narrower_than_two_undercuts_closes) {
    g_autoptr(TestEtching) etching = whole_cylinder();
    test_draw(etching, TAPUL_MARK_STROKE, bar_line(0), 1);
    test_draw(etching, TAPUL_MARK_STROKE, bar_line(1.1), 1);
    g_autoptr(TapulResist) resist = test_resist(etching);
    check_run(resist, TRUE, 0.1, 0.55);
    ck_assert(g_array_index(resist->too_thin, TapulTooThin, 0).closes);
    ck_assert_int_eq(resist->closes_in_all, 1);
    ck_assert_double_eq_tol(resist->wanted_area_mm2 - resist->bitten_area_mm2, 50 * 0.1, 0.1);
}
END_TEST

START_TEST(metal_left_between_bitten_lines_is_a_gap) {
    g_autoptr(TestEtching) etching = whole_cylinder();
    etching->asked->resist = TAPUL_RESIST_LINES;
    test_draw(etching, TAPUL_MARK_STROKE, bar_line(0), 1);
    test_draw(etching, TAPUL_MARK_STROKE, bar_line(1.2), 1);
    g_autoptr(TapulResist) resist = test_resist(etching);
    check_run(resist, TRUE, 0.2, 0.6);
    ck_assert_int_eq(resist->closes_in_all, 0);
}
END_TEST

/* --- Over the metal --- */

/* No mark: all of a sphere's cap is bitten, 2 pi r^2 (1 - cos). Triangles lie within the
 * sphere, by the mesh's chord error (0.05 mm of 150: 3e-4 of the radius). */
START_TEST(all_of_a_sphere_is_its_cap) {
    g_autoptr(TestEtching) etching = whole_sphere();
    g_autoptr(TapulResist) resist = test_resist(etching);
    double cap_mm2 = 2 * G_PI * 150 * 150 * (1 - cos(G_PI / 3));
    double mesh_mm2 = tapul_mesh_area_mm2(tapul_plate_mesh(etching->papers->question.plate));
    ck_assert_double_eq_tol(resist->bitten_area_mm2 / mesh_mm2, 1, 1e-9);
    ck_assert_double_eq_tol(resist->bitten_area_mm2 / cap_mm2, 1, 6e-4);
    ck_assert_double_eq_tol(resist->steel_g, cap_mm2 * 0.12 * 7.85e-3, 6e-4 * resist->steel_g);
}
END_TEST

/* A round cap of half the angle about the pole, bitten, whose area a zone's formula gives,
 * although paper is stretched most unevenly there. */
START_TEST(part_of_a_sphere_is_measured_on_the_metal) {
    g_autoptr(TestEtching) etching = whole_sphere();
    const TapulPouncePiece *piece = etching_piece(etching, 0);
    etching->asked->resist = TAPUL_RESIST_LINES;
    TapulPath *path = tapul_path_new();
    g_autoptr(TapulMeshTree) tree = tapul_mesh_tree_new(piece->piece->mesh);
    double tilt_rad = G_PI / 6, r = 150 * sin(tilt_rad);
    for (int i = 0; i < 720; i++) {
        double turn_rad = i * G_PI / 360;
        TapulSpot spot = front_spot(etching->papers->question.plate, r * cos(turn_rad),
                                    SPHERE_MIDDLE_MM + r * sin(turn_rad));
        TapulVec3 at =
            tapul_mesh_flat_position_mm(etching->papers->question.development->mesh, spot);
        tapul_mesh_tree_nearest(tree, at, &spot);
        TapulVec2 p = tapul_development_point_mm(piece->piece->development, spot);
        if (i == 0)
            tapul_path_move(path, p);
        else
            tapul_path_line(path, p);
    }
    tapul_path_close(path);
    test_draw(etching, TAPUL_MARK_FILL, path, 0);
    g_autoptr(TapulResist) resist = test_resist(etching);
    double zone_mm2 = 2 * G_PI * 150 * 150 * (1 - cos(tilt_rad));
    /* Besides the mesh's own: edges simplified by 0.004 mm at most of 471 mm. */
    ck_assert_double_eq_tol(resist->bitten_area_mm2 / zone_mm2, 1, 6e-4);
}
END_TEST

/* --- Two bites --- */

static void add_bite(TestEtching *etching, double depth_mm, const char *stop_out) {
    TapulCaseBite bite = {depth_mm, g_new0(char *, 2)};
    bite.stop_out[0] = g_strdup(stop_out);
    g_array_append_val(etching->asked->bites, bite);
}

/* Marks of the first paper with motif 0 are "print/bar". */
static void name_motif(TestEtching *etching) {
    static TapulMotif motif = {.id = (char *)"bar"};
    static TapulInk ink;
    static TapulPrint print = {.id = (char *)"print", .ink = &ink};
    static TapulCaseLaying laying = {.print = 0};
    ink.motifs = g_ptr_array_new();
    g_ptr_array_add(ink.motifs, &motif);
    etching->papers->question.prints = g_ptr_array_new();
    g_ptr_array_add(etching->papers->question.prints, &print);
    etching->papers->question.layings = g_ptr_array_new();
    g_ptr_array_add(etching->papers->question.layings, &laying);
}

static void free_bites(TestEtching *etching) {
    for (guint i = 0; i < etching->asked->bites->len; i++)
        g_strfreev(g_array_index(etching->asked->bites, TapulCaseBite, i).stop_out);
    const TapulPrint *print = g_ptr_array_index(etching->papers->question.prints, 0);
    g_ptr_array_unref(print->ink->motifs);
    g_ptr_array_unref(etching->papers->question.prints);
    g_ptr_array_unref(etching->papers->question.layings);
}

START_TEST(two_bites_of_lines_add_up) {
    g_autoptr(TestEtching) etching = whole_cylinder();
    etching->asked->resist = TAPUL_RESIST_LINES;
    name_motif(etching);
    add_bite(etching, 0.1, NULL);
    add_bite(etching, 0.05, "print/bar");
    test_draw(etching, TAPUL_MARK_STROKE, bar_line(5), 1);
    test_draw(etching, TAPUL_MARK_STROKE, bar_line(-5), 1)->motif = 0;
    g_autoptr(TapulResist) resist = test_resist(etching);
    /* The one bar loses 0.15 / 2 to undercut on each side, the other 0.1 / 2. */
    double deep_mm2 = (50 - 0.15) * (1 - 0.15), shallow_mm2 = (50 - 0.1) * (1 - 0.1);
    ck_assert_double_eq_tol(resist->undercut_mm, 0.075, 1e-12);
    ck_assert_double_eq_tol(test_covered_mm2(test_bare(resist, 0)), deep_mm2 + shallow_mm2,
                            STRAIGHT_MM2);
    ck_assert_double_eq_tol(test_covered_mm2(test_bare(resist, 1)), deep_mm2, STRAIGHT_MM2);
    ck_assert_double_eq_tol(test_bite(resist, 0)->bitten_area_mm2, 100, 0.05);
    ck_assert_double_eq_tol(test_bite(resist, 1)->bitten_area_mm2, 50, 0.05);
    ck_assert_double_eq(resist->bitten_area_mm2, test_bite(resist, 0)->bitten_area_mm2);
    ck_assert_double_eq_tol(resist->steel_g, (100 * 0.1 + 50 * 0.05) * 7.85e-3, 1e-4);
    ck_assert_double_eq_tol(
        resist->steel_g, test_bite(resist, 0)->steel_g + test_bite(resist, 1)->steel_g, 1e-12);
    free_bites(etching);
}
END_TEST

/* Of a bitten ground what lies between the named lines is covered with them. */
START_TEST(second_bite_spares_the_ground_of_what_is_stopped_out) {
    g_autoptr(TestEtching) etching = whole_cylinder();
    name_motif(etching);
    add_bite(etching, 0.1, NULL);
    add_bite(etching, 0.05, "print/bar");
    for (int i = 0; i < 2; i++)
        test_draw(etching, TAPUL_MARK_STROKE, bar_line(4 * i), 1)->motif = 0;
    g_autoptr(TapulResist) resist = test_resist(etching);
    ck_assert(test_holds(test_bare(resist, 0), 0, 2));
    ck_assert(!test_holds(test_bare(resist, 1), 0, 2));
    ck_assert(test_holds(test_bare(resist, 1), 0, 12));
    /* 3 mm between them, a little less at the open ends (2.5 mm round: 3 mm across is 0.5 deep
     * at most). */
    ck_assert_double_eq_tol(
        test_bite(resist, 0)->bitten_area_mm2 - test_bite(resist, 1)->bitten_area_mm2, 150, 3);
    /* The bars' inner edges lose to the first bite only, the outer ones to both. */
    ck_assert(test_holds(test_bare(resist, 0), 0, 0.5 + 0.055));
    ck_assert(!test_holds(test_bare(resist, 0), 0, 0.5 + 0.045));
    ck_assert(test_holds(test_bare(resist, 0), 0, -0.5 - 0.080));
    ck_assert(!test_holds(test_bare(resist, 0), 0, -0.5 - 0.070));
    free_bites(etching);
}
END_TEST

/* 600 lines at random, which the second bite spares. Cutting such a tangle into cells
 * leaves rings of two points here and there. */
START_TEST(tangle_is_drawn_in_two_bites) {
    g_autoptr(TestEtching) etching = whole_cylinder();
    g_autoptr(GRand) random = g_rand_new_with_seed(1);
    name_motif(etching);
    add_bite(etching, 0.05, NULL);
    add_bite(etching, 0.05, "print/bar");
    for (int i = 0; i < 600; i++) {
        TapulVec2 at = {g_rand_double_range(random, -65, 65),
                        g_rand_double_range(random, -40, 40)};
        TapulVec2 along = tapul_vec2_turn(tapul_vec2(g_rand_double_range(random, 1, 4), 0),
                                          g_rand_double_range(random, 0, 2 * G_PI));
        test_draw(etching, TAPUL_MARK_STROKE,
                  test_line(at.x, at.y, at.x + along.x, at.y + along.y), 0.2)
            ->motif = 0;
    }
    g_autoptr(TapulResist) resist = test_resist(etching);
    ck_assert_double_gt(test_bite(resist, 0)->bitten_area_mm2,
                        test_bite(resist, 1)->bitten_area_mm2 + 100);
    ck_assert_double_le(resist->bitten_area_mm2, resist->wanted_area_mm2);
    free_bites(etching);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("resist");
    TCase *facts = tcase_create("facts");
    tcase_set_timeout(facts, 60);
    tcase_add_test(facts, bar_and_its_caps_are_covered_and_the_rest_is_bare);
    tcase_add_test(facts, undercut_is_added_on_each_side);
    tcase_add_test(facts, bitten_line_is_opened_narrower);
    tcase_add_test(facts, dashes_are_covered_and_their_gaps_bare);
    tcase_add_test(facts, ring_keeps_its_hole);
    tcase_add_test(facts, joins_and_mitre_limit_are_those_of_the_pen);
    tcase_add_test(facts, long_line_is_as_long_as_its_bands);
    tcase_add_test(facts, paper_covers_what_was_drawn_before_it_only);
    tcase_add_test(facts, resist_goes_on_over_a_seam);
    tcase_add_test(facts, filled_bars_over_a_seam_are_bitten_whole);
    tcase_add_test(facts, ring_over_a_seam_is_opened_through_it);
    tcase_add_test(facts, line_below_the_finest_is_listed_and_no_other);
    tcase_add_test(facts, bars_too_near_leave_a_gap_that_is_listed);
    tcase_add_test(facts, metal_left_between_bitten_lines_is_a_gap);
    tcase_add_test(facts, gap_narrower_than_two_undercuts_closes);
    tcase_add_test(facts, all_of_a_sphere_is_its_cap);
    tcase_add_test(facts, part_of_a_sphere_is_measured_on_the_metal);
    tcase_add_test(facts, two_bites_of_lines_add_up);
    tcase_add_test(facts, second_bite_spares_the_ground_of_what_is_stopped_out);
    tcase_add_test(facts, tangle_is_drawn_in_two_bites);
    suite_add_tcase(suite, facts);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
