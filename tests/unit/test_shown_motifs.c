/* Motifs for readers, against closed forms: on a cylinder the development keeps all lengths, on
 * a sphere a rolled print keeps its distances from the anchor. */
#include "figures_for_tests.h"

/* The distance of a place from a motif's ink. */
static double away_from_ink_mm(const GPtrArray *marks, int motif, TapulVec2 at_mm) {
    double least_mm = INFINITY;
    for (guint i = 0; i < marks->len; i++) {
        const TapulMark *mark = marks->pdata[i];
        TapulPathWalk walk = tapul_path_walk(mark->path);
        TapulPathPiece piece;
        if (mark->paper || (motif >= 0 && mark->motif != motif))
            continue;
        while (tapul_path_walk_next(&walk, &piece))
            for (int k = 0; k <= 256; k++)
                least_mm =
                    fmin(least_mm,
                         tapul_vec2_distance(tapul_cubic_point(piece.p, k / 256.0), at_mm));
    }
    return least_mm;
}

static void check_box(TapulBox box, TapulBox expected, double tolerance_mm) {
    ck_assert_double_eq_tol(box.min.x, expected.min.x, tolerance_mm);
    ck_assert_double_eq_tol(box.min.y, expected.min.y, tolerance_mm);
    ck_assert_double_eq_tol(box.max.x, expected.max.x, tolerance_mm);
    ck_assert_double_eq_tol(box.max.y, expected.max.y, tolerance_mm);
}

START_TEST(motifs_are_listed_to_be_read_where_they_are_laid) {
    g_autoptr(TestCase) made = sheet_case();
    g_autoptr(GPtrArray) motifs = tapul_shown_motifs(&made->comparison, -1);
    /* No frame, no speck; the heron and the reeds in one row, the heron left. */
    static const char *const names[] = {"Heron", "Reeds", "Snail"};
    static const TapulBox boxes[] = {
        {{20, 15}, {32, 45}}, {{60, 10}, {64, 40}}, {{40, 10}, {48, 14}}};
    ck_assert_uint_eq(motifs->len, G_N_ELEMENTS(names));
    for (guint i = 0; i < motifs->len; i++) {
        const TapulShownMotif *motif = motifs->pdata[i];
        const TapulCaseLaid *laid = made->laid->pdata[0];
        const TapulPrint *print = made->question->prints->pdata[0];
        TapulVec2 lower = put(boxes[i].max.x, boxes[i].min.y),
                  upper = put(boxes[i].min.x, boxes[i].max.y);
        ck_assert_str_eq(motif->name, names[i]);
        check_box(motif->print_mm, boxes[i], 0.3); /* half a line */
        check_box(motif->developed_mm, (TapulBox){lower, upper}, 0.3);
        ck_assert_double_lt(
            away_from_ink_mm(print->ink->marks, motif->motif, motif->mark_print_mm), 1e-6);
        ck_assert_double_lt(
            away_from_ink_mm(laid->ink->marks, motif->motif, motif->mark_developed_mm), 0.05);
        TapulVec2 there = put(motif->mark_print_mm.x, motif->mark_print_mm.y);
        ck_assert_double_lt(tapul_vec2_distance(there, motif->mark_developed_mm), 0.05);
    }
}
END_TEST

static void add_finding(TapulPrintEvidence *print, TapulMotifFinding finding) {
    g_array_append_val(print->motifs, finding);
}

static TapulMark *moved_mark(const TapulMark *mark, TapulVec2 by_mm) {
    TapulMark *moved = tapul_mark_copy(mark);
    for (guint i = 0; i < moved->path->points->len; i++) {
        TapulVec2 *point = &g_array_index(moved->path->points, TapulVec2, i);
        *point = tapul_vec2_add(*point, by_mm);
    }
    return moved;
}

START_TEST(motifs_are_shown_where_they_were_found) {
    g_autoptr(TestCase) made = sheet_case();
    const TapulCaseLaid *laid = made->laid->pdata[0];
    g_autoptr(GPtrArray) as_laid = tapul_shown_motifs(&made->comparison, 0);
    TapulPrintEvidence print = {.motifs = g_array_new(FALSE, FALSE, sizeof(TapulMotifFinding))};
    TapulEvidence evidence = {.prints = g_ptr_array_new()};
    TapulInk found = {.marks = g_ptr_array_new_with_free_func((GDestroyNotify)tapul_mark_free)};
    TapulVec2 by_mm = {9, 5};
    const TapulShownMotif *heron = as_laid->pdata[0], *reeds = as_laid->pdata[1],
                          *snail = as_laid->pdata[2];
    for (guint i = 0; i < laid->ink->marks->len; i++)
        g_ptr_array_add(found.marks, moved_mark(laid->ink->marks->pdata[i], by_mm));
    TapulBox box = {tapul_vec2_add(heron->developed_mm.min, by_mm),
                    tapul_vec2_add(heron->developed_mm.max, by_mm)};
    add_finding(&print, (TapulMotifFinding){.motif = heron->motif,
                                            .fate = TAPUL_MOTIF_MOVED,
                                            .moved_mm = by_mm,
                                            .resized = 1,
                                            .box_mm = box});
    add_finding(&print, (TapulMotifFinding){.motif = reeds->motif,
                                            .fate = TAPUL_MOTIF_LEFT_OUT,
                                            .box_mm = reeds->developed_mm});
    add_finding(&print, (TapulMotifFinding){.motif = snail->motif,
                                            .fate = TAPUL_MOTIF_UNDECIDED,
                                            .box_mm = {{0, 0}, {1, 1}}});
    g_ptr_array_add(evidence.prints, &print);
    made->comparison.evidence = &evidence;
    made->question->found = &found;

    g_autoptr(GPtrArray) motifs = tapul_shown_motifs(&made->comparison, 0);
    const TapulShownMotif *moved = motifs->pdata[0], *missing = motifs->pdata[1],
                          *unsure = motifs->pdata[2];
    check_box(moved->developed_mm, box, 1e-9);
    ck_assert_double_lt(away_from_ink_mm(found.marks, heron->motif, moved->mark_developed_mm),
                        1e-6);
    ck_assert_double_lt(tapul_vec2_distance(moved->mark_developed_mm,
                                            tapul_vec2_add(heron->mark_developed_mm, by_mm)),
                        0.5);
    ck_assert(tapul_box_is_empty(missing->developed_mm));
    check_box(unsure->developed_mm, snail->developed_mm, 1e-9);
    /* The moved heron widens what is shown of the laying; what was left out does not. */
    TapulBox all = tapul_laid_box_mm(&made->comparison, 0);
    ck_assert_double_eq_tol(all.max.x, fmax(put(3, 0).x, box.max.x), 0.3);

    g_autofree char *moved_words = tapul_motif_fate_words(&made->comparison, moved);
    g_autofree char *missing_words = tapul_motif_fate_words(&made->comparison, missing);
    ck_assert_str_eq(moved_words, "moved 10\u00a0mm");
    ck_assert_str_eq(missing_words, "left out");
    made->question->found = NULL;
    g_ptr_array_unref(found.marks);
    g_ptr_array_unref(evidence.prints);
    g_array_unref(print.motifs);
}
END_TEST

START_TEST(fates_are_told_in_the_words_of_the_case) {
    static const struct {
        TapulMotifFinding finding;
        const char *words;
    } fates[] = {
        {{.fate = TAPUL_MOTIF_KEPT}, "kept"},
        {{.fate = TAPUL_MOTIF_MOVED, .moved_mm = {-6, 8}}, "moved 10\u00a0mm"},
        {{.fate = TAPUL_MOTIF_TURNED, .turned_rad = -12.2 * G_PI / 180}, "turned 12°"},
        {{.fate = TAPUL_MOTIF_RESIZED, .resized = 0.9}, "resized to 90\u00a0%"},
        {{.fate = TAPUL_MOTIF_REVERSED}, "gespiegelt"},
        {{.fate = TAPUL_MOTIF_LEFT_OUT}, "left out"},
        {{.fate = TAPUL_MOTIF_UNDECIDED}, "the tracing does not tell"},
    };
    g_autoptr(TestCase) made = test_case_new(
        sheet_svg, "layings: [{ print: sheet, rule: developed, anchor: { across_mm: 0, up_mm: "
                   "150 } }]\nsheet: { words: { reversed: gespiegelt } }\n");
    for (guint i = 0; i < G_N_ELEMENTS(fates); i++) {
        TapulShownMotif motif = {.finding = &fates[i].finding};
        g_autofree char *words = tapul_motif_fate_words(&made->comparison, &motif);
        ck_assert_str_eq(words, fates[i].words);
    }
    ck_assert_ptr_null(tapul_motif_fate_words(&made->comparison, &(TapulShownMotif){0}));
}
END_TEST

/* --- The demonstration --- */

#define POLEYN_RADIUS_MM 75.0 /* of its plate.yaml */

START_TEST(motifs_pressed_on_a_sphere_keep_their_distance_from_the_anchor) {
    g_autoptr(TestCase) made = test_case_of_demonstration("over-the-metal");
    const TapulCaseLaying *laying = made->question->layings->pdata[0];
    const TapulMesh *mesh = tapul_plate_mesh(made->question->plate);
    TapulVec3 anchor = tapul_mesh_smooth_position_mm(mesh, laying->options.anchor);
    g_autoptr(GPtrArray) motifs = tapul_shown_motifs(&made->comparison, -1);
    ck_assert_uint_gt(motifs->len, 8);
    for (guint i = 0; i < motifs->len; i++) {
        const TapulShownMotif *motif = motifs->pdata[i];
        TapulSpot spot;
        ck_assert(tapul_development_finder_spot(made->question->finder,
                                                motif->mark_developed_mm, &spot));
        double chord_mm =
            tapul_vec3_distance(anchor, tapul_mesh_smooth_position_mm(mesh, spot));
        double over_mm = 2 * POLEYN_RADIUS_MM * asin(chord_mm / 2 / POLEYN_RADIUS_MM);
        ck_assert_double_eq_tol(
            over_mm, tapul_vec2_distance(motif->mark_print_mm, laying->options.print_anchor_mm),
            0.05);
        /* Its box: the places of its ink by the rule, in the development. */
        TapulBox box = tapul_box_empty();
        const TapulPrint *print = made->question->prints->pdata[motif->print];
        const TapulCaseLaid *laid = made->laid->pdata[0];
        for (guint k = 0; k < print->ink->marks->len; k++) {
            const TapulMark *mark = print->ink->marks->pdata[k];
            TapulPathWalk walk = tapul_path_walk(mark->path);
            TapulPathPiece piece;
            while (!mark->paper && mark->motif == motif->motif &&
                   tapul_path_walk_next(&walk, &piece))
                for (int t = 0; t <= 8; t++) {
                    TapulVec2 there;
                    ck_assert(tapul_laying_developed(
                        laid->map, tapul_cubic_point(piece.p, t / 8.0), &there));
                    tapul_box_add(&box, there);
                }
        }
        check_box(motif->developed_mm, box, 0.1);
    }
}
END_TEST

static const char *const demonstration[] = {"backplate", "breastplate",    "cannon",  "cuff",
                                            "gorget",    "over-the-metal", "teaching"};

static void check_listed_once(const TestCase *made) {
    g_autoptr(GHashTable) listed = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    g_autoptr(GPtrArray) motifs = tapul_shown_motifs(&made->comparison, -1);
    for (guint i = 0; i < motifs->len; i++) {
        const TapulShownMotif *motif = motifs->pdata[i];
        const TapulCaseLaying *laying = made->question->layings->pdata[motif->laying];
        ck_assert(laying->options.rule != TAPUL_LAYING_BORDERED);
        ck_assert_int_eq(laying->print, motif->print);
        ck_assert_uint_gt(strlen(motif->name), 0);
        ck_assert_msg(
            g_hash_table_add(listed, g_strdup_printf("%d %d", motif->laying, motif->motif)),
            "%s is listed twice", motif->name);
    }
}

START_TEST(nothing_of_the_demonstration_is_listed_twice) {
    g_autoptr(TestCase) made = test_case_of_demonstration(demonstration[_i]);
    check_listed_once(made);
    for (guint i = 0; i < made->laid->len; i++) {
        TapulBox box = tapul_laid_box_mm(&made->comparison, (int)i);
        ck_assert(!tapul_box_is_empty(box));
        ck_assert_double_lt(box.max.x - box.min.x, 1000);
    }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("shown_motifs");
    TCase *tests = tcase_create("shown_motifs");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, motifs_are_listed_to_be_read_where_they_are_laid);
    tcase_add_test(tests, motifs_are_shown_where_they_were_found);
    tcase_add_test(tests, fates_are_told_in_the_words_of_the_case);
    tcase_add_test(tests, motifs_pressed_on_a_sphere_keep_their_distance_from_the_anchor);
    tcase_add_loop_test(tests, nothing_of_the_demonstration_is_listed_twice, 0,
                        (int)G_N_ELEMENTS(demonstration));
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
