/* Dots on a bitten ground: never too near to each other or to the design, as even as blue noise
 * is, and the same on both papers at a seam. */
#include "resists_for_tests.h"

#include <stdlib.h>

#define DOT_MM     0.5
#define SPACING_MM 2.0
#define CLEAR_MM   0.6
/* Dots are spaced in space: on a cylinder of 100 mm a chord of 2 mm is 3.3e-5 mm shorter than
 * its arc, and paper is true to it. */
#define PAPER_MM 1e-3

/* A cylinder with a bar across its middle, dotted; cut in two from top to bottom or not. */
static TestEtching *dotted_cylinder(gboolean cut) {
    const double cut_mm[][2] = {{30, 0.001}, {30, 150}, {30, 299.999}};
    TestEtching *etching = etched_cylinder();
    etching->asked->dot_mm = DOT_MM;
    etching->asked->dot_spacing_mm = SPACING_MM;
    etching->asked->dot_clear_mm = CLEAR_MM;
    if (cut)
        papers_add_cut(etching->papers, 3, cut_mm);
    papers_add_mark(etching->papers, TAPUL_MARK_STROKE, test_line(-60, 0, 60, 0))->width_mm = 4;
    etching_cut(etching);
    return etching;
}

static const GArray *dots_of(const TapulResist *resist, guint piece) {
    return g_ptr_array_index(resist->dot_mm, piece);
}

static double nearest_mm(const GArray *dots, TapulVec2 at, guint but) {
    double nearest = INFINITY;
    for (guint i = 0; i < dots->len; i++)
        if (i != but)
            nearest = fmin(nearest, tapul_vec2_distance(g_array_index(dots, TapulVec2, i), at));
    return nearest;
}

START_TEST(no_two_dots_are_nearer_than_the_spacing) {
    g_autoptr(TestEtching) etching = dotted_cylinder(FALSE);
    g_autoptr(TapulResist) resist = test_resist(etching);
    const GArray *dots = dots_of(resist, 0);
    ck_assert_int_eq(resist->dots, (int)dots->len);
    ck_assert_double_eq_tol(resist->dot_diameter_mm, DOT_MM + 0.12, 1e-12);
    for (guint i = 0; i < dots->len; i++)
        ck_assert_double_gt(nearest_mm(dots, g_array_index(dots, TapulVec2, i), i),
                            SPACING_MM - PAPER_MM);
}
END_TEST

START_TEST(dots_keep_clear_of_design_and_edge) {
    g_autoptr(TestEtching) etching = dotted_cylinder(FALSE);
    g_autoptr(TapulResist) resist = test_resist(etching);
    const GArray *dots = dots_of(resist, 0);
    TapulBox paper = tapul_path_box(etching_piece(etching, 0)->outline);
    double clear_mm = CLEAR_MM + DOT_MM / 2 - PAPER_MM, nearest_y_mm = INFINITY;
    for (guint i = 0; i < dots->len; i++) {
        TapulVec2 at = g_array_index(dots, TapulVec2, i);
        double x_mm = fmax(0, fabs(at.x) - 60), y_mm = fmax(0, fabs(at.y) - 2);
        ck_assert_double_gt(hypot(x_mm, y_mm), clear_mm);
        ck_assert(at.x > paper.min.x + clear_mm && at.x < paper.max.x - clear_mm);
        ck_assert(at.y > paper.min.y + clear_mm && at.y < paper.max.y - clear_mm);
        if (fabs(at.x) < 60)
            nearest_y_mm = fmin(nearest_y_mm, y_mm);
    }
    /* And no further than they must: some come as near as they may. */
    ck_assert_double_lt(nearest_y_mm, clear_mm + 0.3);
}
END_TEST

START_TEST(no_hole_is_left) {
    g_autoptr(TestEtching) etching = dotted_cylinder(FALSE);
    g_autoptr(TapulResist) resist = test_resist(etching);
    g_autoptr(GRand) random = g_rand_new_with_seed(7);
    for (int i = 0; i < 3000; i++) {
        TapulVec2 at = {g_rand_double_range(random, -140, 140),
                        g_rand_double_range(random, -140, 140)};
        if (fabs(at.y) < 2 + CLEAR_MM + DOT_MM / 2 && fabs(at.x) < 61)
            continue;
        ck_assert_double_lt(nearest_mm(dots_of(resist, 0), at, G_MAXUINT), 2 * SPACING_MM);
    }
}
END_TEST

/* Of dots thrown at random (Poisson) the count in a window has a variance as large as its mean,
 * and the mean distance to the nearest is half of 1 / sqrt(density): R = 1, up to 2.149 for a
 * triangular lattice (Clark & Evans, Ecology 35, 1954, from memory). */
START_TEST(dots_are_more_even_than_chance) {
    g_autoptr(TestEtching) etching = dotted_cylinder(FALSE);
    g_autoptr(TapulResist) resist = test_resist(etching);
    const GArray *dots = dots_of(resist, 0);
    int count[2][27][13] = {{{0}}}, windows = 2 * 27 * 13;
    double sum = 0, squares = 0, nearest_sum_mm = 0, inside = 0;
    for (guint i = 0; i < dots->len; i++) {
        TapulVec2 at = g_array_index(dots, TapulVec2, i);
        double y_mm = fabs(at.y) - 10; /* windows of 10 mm, 10 to 140 mm off the bar */
        if (fabs(at.x) >= 135 || y_mm < 0 || y_mm >= 130)
            continue;
        count[at.y > 0][(int)((at.x + 135) / 10)][(int)(y_mm / 10)]++;
        nearest_sum_mm += nearest_mm(dots, at, i);
        inside++;
    }
    for (int i = 0; i < windows; i++) {
        double n = (&count[0][0][0])[i];
        sum += n;
        squares += n * n;
    }
    double mean = sum / windows, variance = squares / windows - mean * mean;
    double r = nearest_sum_mm / inside * 2 * sqrt(mean / 100);
    ck_assert_double_gt(inside, 10000);
    ck_assert_double_lt(variance / mean, 0.2);
    ck_assert_double_gt(r, 1.3);
}
END_TEST

/* Power at waves much longer than the spacing: 1 a dot for dots at random, near 0 for blue
 * noise (R. Ulichney, Digital Halftoning, 1987, from memory). Sums over a box of whole waves,
 * in which the box itself has no power. */
START_TEST(dots_have_no_long_waves) {
    g_autoptr(TestEtching) etching = dotted_cylinder(FALSE);
    g_autoptr(TapulResist) resist = test_resist(etching);
    const GArray *dots = dots_of(resist, 0);
    double power = 0;
    int waves = 0, n = 0;
    for (int kx = -12; kx <= 12; kx++)
        for (int ky = 0; ky <= 12; ky++) {
            double c = 0, s = 0;
            if (ky == 0 && kx <= 0)
                continue;
            n = 0;
            for (guint i = 0; i < dots->len; i++) {
                TapulVec2 at = g_array_index(dots, TapulVec2, i);
                if (fabs(at.x) >= 64 || at.y < 10 || at.y >= 138)
                    continue;
                double phase_rad = 2 * G_PI * (kx * at.x + ky * at.y) / 128;
                c += cos(phase_rad);
                s += sin(phase_rad);
                n++;
            }
            power += (c * c + s * s) / n;
            waves++;
        }
    ck_assert_int_gt(n, 2000);
    ck_assert_double_lt(power / waves, 0.25);
}
END_TEST

START_TEST(dots_stand_on_the_metal) {
    g_autoptr(TestEtching) etching = dotted_cylinder(FALSE);
    g_autoptr(TapulResist) dotted = test_resist(etching);
    etching->asked->dot_mm = 0;
    g_autoptr(TapulResist) plain = test_resist(etching);
    ck_assert_int_eq(plain->dots, 0);
    ck_assert_double_eq_tol(plain->bitten_area_mm2 - dotted->bitten_area_mm2,
                            dotted->dots * G_PI / 4 * DOT_MM * DOT_MM, 1e-6);
}
END_TEST

/* Over a seam the dots are those of the whole; one that reaches over it is on both papers. */
START_TEST(dots_agree_over_a_seam) {
    g_autoptr(TestEtching) whole = dotted_cylinder(FALSE);
    g_autoptr(TestEtching) cut = dotted_cylinder(TRUE);
    g_autoptr(TapulResist) one = test_resist(whole);
    g_autoptr(TapulResist) two = test_resist(cut);
    int beyond = 0;
    ck_assert_uint_eq(cut->pieces->len, 2);
    for (guint k = 0; k < 2; k++) {
        g_autoptr(GPtrArray) rings = tapul_rings_new(etching_piece(cut, k)->outline);
        for (guint i = 0; i < dots_of(two, k)->len; i++)
            beyond += !tapul_rings_contain(rings, FALSE,
                                           g_array_index(dots_of(two, k), TapulVec2, i));
    }
    ck_assert_int_eq((int)(dots_of(two, 0)->len + dots_of(two, 1)->len), two->dots + beyond);
    ck_assert_int_eq(two->dots, one->dots);
    /* 300 mm of seam, of 7 dots in 20 mm2 a strip of 0.31 mm to both sides: some 50. */
    ck_assert_int_gt(beyond, 15);
}
END_TEST

START_TEST(dots_do_not_change_from_run_to_run) {
    g_autoptr(TestEtching) etching = dotted_cylinder(FALSE);
    g_autoptr(TapulResist) one = test_resist(etching);
    g_autoptr(TapulResist) two = test_resist(etching);
    ck_assert_uint_eq(dots_of(one, 0)->len, dots_of(two, 0)->len);
    ck_assert_mem_eq(dots_of(one, 0)->data, dots_of(two, 0)->data,
                     dots_of(one, 0)->len * sizeof(TapulVec2));
}
END_TEST

int main(void) {
    Suite *suite = suite_create("dots");
    TCase *facts = tcase_create("facts");
    tcase_set_timeout(facts, 60);
    tcase_add_test(facts, no_two_dots_are_nearer_than_the_spacing);
    tcase_add_test(facts, dots_keep_clear_of_design_and_edge);
    tcase_add_test(facts, no_hole_is_left);
    tcase_add_test(facts, dots_are_more_even_than_chance);
    tcase_add_test(facts, dots_have_no_long_waves);
    tcase_add_test(facts, dots_stand_on_the_metal);
    tcase_add_test(facts, dots_agree_over_a_seam);
    tcase_add_test(facts, dots_do_not_change_from_run_to_run);
    suite_add_tcase(suite, facts);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
