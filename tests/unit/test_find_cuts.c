/* Cuts found by the program: none where none is needed, few and even where the plate is, off
 * what is costly, and paper within the limit. */
#include "cuts_for_tests.h"
#include "plates_for_tests.h"
#include "program_for_tests.h"

#include <stdlib.h>
#include <tapul/case.h>

typedef struct {
    TapulPlate *plate;
    TapulDevelopment *base;
    TapulDevelopmentFinder *finder;
    GArray *cuts;
    TapulPattern *pattern;
} Found;

static void found_clear(Found *found) {
    tapul_pattern_free(found->pattern);
    if (found->cuts)
        g_array_unref(found->cuts);
    tapul_development_finder_free(found->finder);
    tapul_development_free(found->base);
    tapul_plate_free(found->plate);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(Found, found_clear)

static Found find(TapulPlate *plate_taken, const TapulCutOptions *options) {
    g_autoptr(GError) error = NULL;
    TapulDevelopOptions develop_options = tapul_develop_options_defaults();
    Found found = {.plate = plate_taken};
    found.base = tapul_develop(tapul_plate_mesh(found.plate), &develop_options, &error);
    ck_assert_msg(found.base != NULL, "%s", error ? error->message : "");
    tapul_ground_place(found.plate, found.base);
    found.finder = tapul_development_finder_new(found.base);
    found.pattern = tapul_pattern_find(found.base, found.finder, options, &found.cuts, &error);
    ck_assert_msg(found.pattern != NULL, "%s", error ? error->message : "");
    return found;
}

static TapulPlate *shelf_plate(const char *name) {
    g_autofree char *path = source_file("shapes"), *file = g_strconcat(name, ".yaml", NULL);
    g_autofree char *whole = g_build_filename(path, file, NULL);
    g_autoptr(GError) error = NULL;
    TapulPlate *plate = tapul_plate_load(whole, NULL, &error);
    ck_assert_msg(plate != NULL, "%s", error ? error->message : "");
    return plate;
}

/* Cone and cylinder of check-values: they lie flat as they are (sector and rectangle). */
static const char *const developable[] = {
    "{ kind: cone, lower_radius_mm: 95, upper_radius_mm: 65, height_mm: 60, sweep_deg: 360 }",
    "{ kind: cylinder, radius_mm: 50, height_mm: 120, sweep_deg: 360 }",
};

START_TEST(cone_and_cylinder_need_no_cut) {
    TapulCutOptions options = tapul_cut_options_defaults();
    options.stretch_limit = 0.002;
    g_auto(Found) found = find(good_plate(developable[_i], ""), &options);
    ck_assert_uint_eq(found.cuts->len, 0);
    ck_assert_uint_eq(found.pattern->pieces->len, 1);
    ck_assert_double_lt(found.pattern->stretch, 1e-4);
}
END_TEST

static TapulVec2 flat_end(const Found *found, guint i, gboolean last) {
    const TapulCutLine *line = &lines_in(found->cuts)[i];
    return tapul_development_point_mm(found->base, line->spot[last ? line->n - 1 : 0]);
}

static gboolean has_mirror(const Found *found, guint i) {
    TapulVec2 a = flat_end(found, i, FALSE), b = flat_end(found, i, TRUE);
    TapulVec2 c = {-a.x, a.y}, d = {-b.x, b.y};
    for (guint k = 0; k < found->cuts->len; k++) {
        TapulVec2 from = flat_end(found, k, FALSE), to = flat_end(found, k, TRUE);
        if ((tapul_vec2_distance(from, c) < 1 && tapul_vec2_distance(to, d) < 1) ||
            (tapul_vec2_distance(from, d) < 1 && tapul_vec2_distance(to, c) < 1))
            return TRUE;
    }
    return FALSE;
}

/* Quick plates of the shelf, and no more cuts and pieces than were found when this was written
 * and looked at. */
static const struct {
    const char *name;
    guint cuts, pieces;
} shelf[] = {{"burgonet-peak", 0, 1}, {"close-helmet-visor", 4, 1}, {"gorget-front", 4, 4}};

START_TEST(few_even_cuts_keep_paper_within_the_limit) {
    TapulCutOptions options = tapul_cut_options_defaults();
    g_auto(Found) found = find(shelf_plate(shelf[_i].name), &options);
    ck_assert_double_le(found.pattern->stretch, options.stretch_limit);
    ck_assert_uint_le(found.cuts->len, shelf[_i].cuts);
    ck_assert_uint_le(found.pattern->pieces->len, shelf[_i].pieces);
    for (guint i = 0; i < found.cuts->len; i++)
        ck_assert_msg(has_mirror(&found, i), "cut %u has no mirror image", i + 1);
    /* The lines by themselves give the same pieces. */
    g_autoptr(TapulPattern) again = tapul_pattern_new(
        tapul_plate_mesh(found.plate), lines_in(found.cuts), (int)found.cuts->len, NULL);
    ck_assert_ptr_nonnull(again);
    ck_assert_double_eq(again->stretch, found.pattern->stretch);
}
END_TEST

/* A face over the middle of the plate. */
static double face_costs(TapulSpot spot, gpointer data) {
    const Found *whole = data;
    TapulVec3 at = tapul_mesh_flat_position_mm(tapul_plate_mesh(whole->plate), spot);
    return fabs(at.x) < 18 ? 1 : 0;
}

static double cut_through_face_mm(const Found *found) {
    double sum_mm = 0;
    for (guint i = 0; i < found->cuts->len; i++) {
        const TapulCutLine *line = &lines_in(found->cuts)[i];
        for (int k = 1; k < line->n; k++)
            if (face_costs(line->spot[k], (gpointer)found) > 0)
                sum_mm += tapul_vec2_distance(
                    tapul_development_point_mm(found->base, line->spot[k - 1]),
                    tapul_development_point_mm(found->base, line->spot[k]));
    }
    return sum_mm;
}

START_TEST(cuts_keep_off_what_is_costly) {
    TapulCutOptions options = tapul_cut_options_defaults();
    g_auto(Found) plain = find(shelf_plate("gauntlet-cuff"), &options);
    options.costs = face_costs;
    options.costs_data = &plain;
    g_auto(Found) spared = find(shelf_plate("gauntlet-cuff"), &options);
    ck_assert_double_gt(cut_through_face_mm(&plain), 0);
    ck_assert_double_lt(cut_through_face_mm(&spared), cut_through_face_mm(&plain));
}
END_TEST

START_TEST(a_wider_limit_needs_no_more_cuts) {
    guint last = G_MAXUINT;
    for (int percent = 1; percent <= 5; percent += 2) {
        TapulCutOptions options = tapul_cut_options_defaults();
        options.stretch_limit = percent / 100.0;
        g_auto(Found) found = find(shelf_plate("gorget-front"), &options);
        ck_assert_double_le(found.pattern->stretch, options.stretch_limit);
        ck_assert_uint_le(found.cuts->len, last);
        last = found.cuts->len;
    }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("find_cuts");
    TCase *tests = tcase_create("find_cuts");
    suite_add_tcase(suite, tests);
    tcase_set_timeout(tests, 120);
    tcase_add_loop_test(tests, cone_and_cylinder_need_no_cut, 0, G_N_ELEMENTS(developable));
    tcase_add_loop_test(tests, few_even_cuts_keep_paper_within_the_limit, 0,
                        G_N_ELEMENTS(shelf));
    tcase_add_test(tests, cuts_keep_off_what_is_costly);
    tcase_add_test(tests, a_wider_limit_needs_no_more_cuts);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int n_failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return n_failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
