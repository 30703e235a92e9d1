/* Clips and regions: what a print shows only a part of is cut to that part. */
#include "ink/clip.h"
#include "ink/cut.h"
#include "ink/region.h"

#include "prints_for_tests.h"

#include <stdlib.h>

static TapulPath *circle(double x, double y, double r) {
    /* Four cubics: 2.7e-4 of the radius off at most. */
    const double k = r * 4 * (sqrt(2) - 1) / 3;
    TapulPath *path = tapul_path_new();
    tapul_path_move(path, tapul_vec2(x + r, y));
    tapul_path_curve(path, tapul_vec2(x + r, y + k), tapul_vec2(x + k, y + r),
                     tapul_vec2(x, y + r));
    tapul_path_curve(path, tapul_vec2(x - k, y + r), tapul_vec2(x - r, y + k),
                     tapul_vec2(x - r, y));
    tapul_path_curve(path, tapul_vec2(x - r, y - k), tapul_vec2(x - k, y - r),
                     tapul_vec2(x, y - r));
    tapul_path_curve(path, tapul_vec2(x + k, y - r), tapul_vec2(x + r, y - k),
                     tapul_vec2(x + r, y));
    tapul_path_close(path);
    return path;
}

static TapulPath *box_path(double x, double y, double width, double height) {
    TapulPath *path = tapul_path_new();
    tapul_path_move(path, tapul_vec2(x, y));
    tapul_path_line(path, tapul_vec2(x + width, y));
    tapul_path_line(path, tapul_vec2(x + width, y + height));
    tapul_path_line(path, tapul_vec2(x, y + height));
    tapul_path_close(path);
    return path;
}

static double runs_length(const GPtrArray *runs) {
    double length = 0;
    for (guint i = 0; i < runs->len; i++)
        length += tapul_path_length(((TapulRun *)g_ptr_array_index(runs, i))->path);
    return length;
}

START_TEST(a_print_is_cut_by_its_clips) {
    g_autoptr(TapulInk) ink = read_print("clips.svg");
    /* A chord through the middle of a circle of radius 20; a rectangle that holds all; half a
     * circle of radius 10. */
    ck_assert_double_eq_tol(motif_named(ink, "chord")->length_mm, 40, 0.01);
    ck_assert_double_eq_tol(motif_named(ink, "whole")->length_mm, 90, 0.01);
    ck_assert_double_eq_tol(motif_named(ink, "arc")->length_mm, 10 * G_PI, 3e-4 * 10 * G_PI);
    for (guint i = 0; i < ink->marks->len; i++) {
        const TapulMark *mark = mark_at(ink, i);
        if (mark->motif == 2)
            ck_assert_int_gt(count_verbs(mark->path, TAPUL_VERB_CURVE), 0);
    }
    /* Half a disc of radius 8: its area, and half the girth of its outline. */
    ck_assert_double_eq_tol(motif_named(ink, "segment")->length_mm, (8 * G_PI + 16) / 2, 0.01);
    double strokes_mm2 = ink->ink_length_mm * 0.2;
    ck_assert_double_eq_tol(ink->ink_area_mm2 - strokes_mm2, 32 * G_PI, 0.05);
}
END_TEST

START_TEST(cut_curves_stay_on_their_curve) {
    g_autoptr(TapulPath) path = circle(0, 0, 10);
    g_autoptr(TapulPath) edge = box_path(3, -20, 20, 40);
    g_autoptr(GPtrArray) rings = tapul_rings_new(edge);
    g_autoptr(GPtrArray) runs = tapul_cut_path(path, rings, FALSE, FALSE);
    /* One run, over the circle's start: joined, not two. */
    ck_assert_uint_eq(runs->len, 1);
    ck_assert_double_eq_tol(runs_length(runs), 2 * 10 * acos(0.3), 0.01);
    TapulPathWalk walk = tapul_path_walk(((TapulRun *)g_ptr_array_index(runs, 0))->path);
    TapulPathPiece piece;
    while (tapul_path_walk_next(&walk, &piece)) {
        ck_assert_int_eq(piece.verb, TAPUL_VERB_CURVE);
        for (int i = 0; i <= 10; i++)
            ck_assert_double_eq_tol(tapul_vec2_length(tapul_cubic_point(piece.p, i / 10.0)), 10,
                                    3e-3);
    }
}
END_TEST

START_TEST(inside_and_outside_add_up) {
    g_autoptr(TapulPath) path = circle(0, 0, 10);
    g_autoptr(GRand) random = g_rand_new_with_seed(7);
    for (int i = 0; i < 200; i++) {
        double x = g_rand_double_range(random, -12, 12),
               y = g_rand_double_range(random, -12, 12);
        double r = g_rand_double_range(random, 0.5, 15);
        g_autoptr(TapulPath) edge = circle(x, y, r);
        g_autoptr(TapulPath) beyond = circle(x, y, r);
        g_autoptr(TapulPath) frame = box_path(-50, -50, 100, 100);
        g_array_append_vals(beyond->verbs, frame->verbs->data, frame->verbs->len);
        g_array_append_vals(beyond->points, frame->points->data, frame->points->len);
        g_autoptr(GPtrArray) in = tapul_rings_new(edge), out = tapul_rings_new(beyond);
        g_autoptr(GPtrArray) kept = tapul_cut_path(path, in, TRUE, FALSE);
        g_autoptr(GPtrArray) rest = tapul_cut_path(path, out, TRUE, FALSE);
        ck_assert_double_eq_tol(runs_length(kept) + runs_length(rest), tapul_path_length(path),
                                1e-4);
    }
}
END_TEST

START_TEST(dashes_keep_their_phase_when_cut) {
    g_autoptr(TapulInk) ink = read_elements(
        "<clipPath id='c'><rect x='20' y='0' width='10' height='100'/><rect x='50' y='0' "
        "width='10' "
        "height='100'/></clipPath><g clip-path='url(#c)'><path d='M5 50H95' stroke='black' "
        "stroke-dasharray='3 1' stroke-dashoffset='1'/></g>");
    ck_assert_int_eq(ink->strokes, 2);
    ck_assert_double_eq_tol(mark_at(ink, 0)->dash_offset_mm, 1 + 15, 1e-3);
    ck_assert_double_eq_tol(mark_at(ink, 1)->dash_offset_mm, 1 + 45, 1e-3);
    ck_assert_double_eq_tol(ink->ink_length_mm, 20, 1e-3);
}
END_TEST

START_TEST(clips_within_clips_cut_twice) {
    g_autoptr(TapulInk) ink =
        read_elements("<clipPath id='a'><rect x='20' y='0' width='40' "
                      "height='100'/></clipPath><clipPath id='b'><circle cx='60' "
                      "cy='50' r='20'/></clipPath><g clip-path='url(#a)'><g "
                      "clip-path='url(#b)'><path d='M0 50H100' stroke='black'/>"
                      "<rect x='0' y='49' width='100' height='2'/></g></g>");
    ck_assert_double_eq_tol(ink->ink_length_mm, 20, 0.01);
    ck_assert_double_eq_tol(ink->ink_area_mm2, 20 + 40, 0.1);
}
END_TEST

START_TEST(what_a_clip_hides_is_gone) {
    g_autoptr(TapulInk) ink =
        read_elements("<clipPath id='a'><circle cx='20' cy='20' r='5'/></clipPath><path d='M0 "
                      "90H10' stroke='black'/>"
                      "<g clip-path='url(#a)'><path d='M50 50H60' stroke='black'/><circle "
                      "cx='80' cy='80' r='3'/></g>");
    ck_assert_uint_eq(ink->marks->len, 1);
}
END_TEST

START_TEST(regions_follow_the_winding) {
    TapulRegions regions = tapul_regions_begin();
    gboolean estimated;
    g_autoptr(TapulPath) disc = circle(3, 4, 5);
    ck_assert_double_eq_tol(tapul_filled_area_mm2(&regions, disc, FALSE, &estimated), 25 * G_PI,
                            25 * G_PI * 6e-4);
    g_autoptr(TapulPath) two = circle(0, 0, 5);
    g_autoptr(TapulPath) inner = box_path(-1, -1, 2, 2);
    g_array_append_vals(two->verbs, inner->verbs->data, inner->verbs->len);
    g_array_append_vals(two->points, inner->points->data, inner->points->len);
    double both = tapul_filled_area_mm2(&regions, two, FALSE, &estimated),
           holed = tapul_filled_area_mm2(&regions, two, TRUE, &estimated);
    ck_assert_double_eq_tol(both - holed, 4, 1e-6);
    g_autoptr(GPtrArray) rings = tapul_rings_new(two);
    ck_assert(tapul_rings_contain(rings, FALSE, tapul_vec2(0, 0)));
    ck_assert(!tapul_rings_contain(rings, TRUE, tapul_vec2(0, 0)));
    ck_assert(tapul_rings_contain(rings, TRUE, tapul_vec2(3, 0)));
    g_autoptr(TapulPath) line = tapul_path_new();
    tapul_path_move(line, tapul_vec2(0, 0));
    tapul_path_line(line, tapul_vec2(5, 5));
    ck_assert_double_eq(tapul_filled_area_mm2(&regions, line, FALSE, &estimated), 0);
    tapul_regions_end(&regions);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("clips");
    TCase *core = tcase_create("cutting");
    tcase_set_timeout(core, 60);
    tcase_add_test(core, a_print_is_cut_by_its_clips);
    tcase_add_test(core, cut_curves_stay_on_their_curve);
    tcase_add_test(core, inside_and_outside_add_up);
    tcase_add_test(core, dashes_keep_their_phase_when_cut);
    tcase_add_test(core, clips_within_clips_cut_twice);
    tcase_add_test(core, what_a_clip_hides_is_gone);
    tcase_add_test(core, regions_follow_the_winding);
    suite_add_tcase(suite, core);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
