/* The measuring sheet: a row for each station, readings that lie on the plate, words that keep
 * to the page, an example that the program itself can read, the same file twice. */
#include "plates_for_tests.h"
#include "program_for_tests.h"
#include "sheet/measuring.h"
#include "words_for_tests.h"

#include <tapul/sheets.h>

#define MARGIN_MM 15.0

static TapulPlate *plate_of_tree(const char *name) {
    g_autofree char *path = source_file(name);
    g_autoptr(GError) error = NULL;
    TapulPlate *plate = tapul_plate_load(path, NULL, &error);
    ck_assert_msg(plate != NULL, "%s", error ? error->message : "");
    return plate;
}

static GPtrArray *pages_of(const TapulPlate *plate) {
    g_autoptr(GError) error = NULL;
    GPtrArray *pages = tapul_sheet_measuring(plate, &error);
    ck_assert_msg(pages != NULL, "%s", error ? error->message : "");
    return pages;
}

static gboolean any_page_has(const GPtrArray *pages, const char *text) {
    for (guint i = 0; i < pages->len; i++)
        if (page_has_word(pages->pdata[i], text))
            return TRUE;
    return FALSE;
}

static const char *const shapes[] = {"shapes/peascod-breastplate.yaml",
                                     "shapes/gorget-front.yaml", "shapes/vambrace-cannon.yaml"};

static const char *const solids[] = {
    "{ kind: cylinder, radius_mm: 60, height_mm: 90, sweep_deg: 180 }",
    "{ kind: cylinder, radius_mm: 60, height_mm: 90, sweep_deg: 360 }",
    "{ kind: cone, lower_radius_mm: 95, upper_radius_mm: 65, height_mm: 60, sweep_deg: 200 }",
    "{ kind: sphere, radius_mm: 150, half_angle_deg: 60 }",
    "{ kind: revolved, profile_mm: [[60, 0], [66, 20], [63, 40], [52, 60]], sweep_deg: 200 }",
};

/* --- Levels --- */

/* Stations of half a tube of radius 100, n of them from low_mm at each step_mm. */
static TapulPlate *tube(int n, double low_mm, double step_mm) {
    g_autoptr(GString) surface = g_string_new("{ kind: stations, stations: [");
    for (int k = 0; k < n; k++) {
        g_string_append_printf(surface, "%s{ y_mm: %g, section_mm: [", k > 0 ? ", " : "",
                               low_mm + k * step_mm);
        for (int i = 0; i <= 9; i++)
            g_string_append_printf(surface, "%s[%.3f, %.3f]", i > 0 ? ", " : "",
                                   100 * sin(i * G_PI / 18), 100 * cos(i * G_PI / 18));
        g_string_append(surface, "] }");
    }
    g_string_append(surface, "] }");
    return good_plate(surface->str, "");
}

START_TEST(every_station_has_a_level_at_a_round_height_near_it) {
    g_autoptr(TapulPlate) plate = plate_of_tree(shapes[_i]);
    g_autoptr(GArray) levels = tapul_levels_propose(plate);
    const GArray *stations = tapul_plate_station_heights_mm(plate);
    TapulVec3 low, high;
    tapul_plate_extent_mm(plate, &low, &high);
    for (guint i = 0; i < stations->len; i++) {
        double nearest_mm = INFINITY;
        /* A station past the metal is read at the first round height past it. */
        double y_mm = CLAMP(g_array_index(stations, double, i), low.y - 5, high.y + 5);
        for (guint k = 0; k < levels->len; k++)
            nearest_mm =
                fmin(nearest_mm, fabs(g_array_index(levels, TapulLevel, k).y_mm - y_mm));
        ck_assert_double_le(nearest_mm, 5 + 1e-9);
    }
    for (guint k = 0; k < levels->len; k++) {
        double y_mm = g_array_index(levels, TapulLevel, k).y_mm;
        ck_assert_double_eq_tol(y_mm, 5 * round(y_mm / 5), 1e-9);
        ck_assert(k == 0 || y_mm > g_array_index(levels, TapulLevel, k - 1).y_mm);
    }
}
END_TEST

START_TEST(every_level_has_its_row) {
    g_autoptr(TapulPlate) plate = plate_of_tree(shapes[_i]);
    g_autoptr(GArray) levels = tapul_levels_propose(plate);
    g_autoptr(GPtrArray) pages = pages_of(plate);
    GPtrArray tables = {pages->pdata + 1, pages->len - 1};
    for (guint k = 0; k < levels->len; k++) {
        const TapulLevel *level = &g_array_index(levels, TapulLevel, k);
        g_autofree char *number = g_strdup_printf("L%u%s", k + 1, level->beyond ? "°" : "");
        g_autofree char *height = tapul_level_height_text(level);
        ck_assert_msg(any_page_has(&tables, number), "no row %s", number);
        ck_assert_msg(any_page_has(&tables, height), "no height %s", height);
    }
}
END_TEST

START_TEST(readings_stand_at_equal_lengths_over_the_metal) {
    /* On a tube of radius 100 seven steps of a quarter round: x = 100 sin(i 90 / 7 degrees),
     * rounded to 5 mm or, near the edge, to 1 mm. */
    g_autoptr(TapulPlate) plate = tube(4, 0, 40);
    g_autoptr(GArray) levels = tapul_levels_propose(plate);
    const TapulLevel *level = &g_array_index(levels, TapulLevel, 1);
    static const double x_mm[] = {0, 20, 45, 60, 80, 90, 95, 100};
    ck_assert_int_eq(level->n, TAPUL_LEVEL_READINGS);
    for (int i = 0; i < level->n; i++) {
        ck_assert_double_eq_tol(level->x_mm[i], x_mm[i], i == 7 ? 0.1 : 5.001);
        ck_assert(i == 0 || level->x_mm[i] > level->x_mm[i - 1]);
        /* Where they lie on the type plate: on its circle. */
        ck_assert_double_eq_tol(hypot(level->type_mm[i].x, level->type_mm[i].y), 100, 0.2);
    }
    ck_assert(!level->beyond);
}
END_TEST

START_TEST(a_tube_is_read_round_to_its_back) {
    g_autoptr(TapulPlate) plate = plate_of_tree("shapes/vambrace-cannon.yaml");
    g_autoptr(GArray) levels = tapul_levels_propose(plate);
    for (guint k = 0; k < levels->len; k++) {
        const TapulLevel *level = &g_array_index(levels, TapulLevel, k);
        ck_assert_int_eq(level->n, TAPUL_LEVEL_READINGS);
        ck_assert_double_eq(level->x_mm[0], 0);
        ck_assert_double_eq(level->x_mm[level->n - 1], 0);
        ck_assert_double_gt(level->type_mm[0].y, 0);
        ck_assert_double_lt(level->type_mm[level->n - 1].y, 0);
        for (int i = 0; i < level->n; i++)
            ck_assert_double_ge(level->type_mm[i].x, -0.01);
    }
}
END_TEST

START_TEST(levels_past_a_curved_edge_are_marked) {
    /* The breastplate's lower edge rises from the middle to the sides, and its neck is open. */
    g_autoptr(TapulPlate) plate = plate_of_tree("shapes/peascod-breastplate.yaml");
    g_autoptr(GArray) levels = tapul_levels_propose(plate);
    ck_assert(g_array_index(levels, TapulLevel, 0).beyond);
    ck_assert(g_array_index(levels, TapulLevel, levels->len - 1).beyond);
    ck_assert(!g_array_index(levels, TapulLevel, levels->len / 2).beyond);
    for (guint k = 0; k < levels->len; k++)
        ck_assert_int_ge(g_array_index(levels, TapulLevel, k).n, 5);
}
END_TEST

/* --- Points of the outline --- */

START_TEST(the_points_of_a_plate_alike_on_both_sides_are_those_of_its_right) {
    g_autoptr(TapulPlate) plate =
        good_plate("{ kind: cylinder, radius_mm: 200, height_mm: 120, sweep_deg: 90 }",
                   "outline_mm: [[0, 0], [100, 20], [80, 100], [0, 90], [-80, 100], "
                   "[-100, 20]]\n");
    gboolean half = FALSE;
    g_autoptr(GArray) points = tapul_outline_points(plate, &half);
    ck_assert(half);
    static const double corners_mm[][2] = {{0, 0}, {100, 20}, {80, 100}, {0, 90}};
    ck_assert_uint_ge(points->len, G_N_ELEMENTS(corners_mm));
    for (guint c = 0; c < G_N_ELEMENTS(corners_mm); c++) {
        double nearest_mm = INFINITY;
        TapulVec2 corner = {corners_mm[c][0], corners_mm[c][1]};
        for (guint i = 0; i < points->len; i++) {
            TapulVec2 at = g_array_index(points, TapulOutlinePoint, i).at_mm;
            nearest_mm = fmin(nearest_mm, tapul_vec2_distance(at, corner));
            ck_assert_double_ge(at.x, -0.01);
        }
        ck_assert_double_le(nearest_mm, 0.5);
    }
    ck_assert_int_eq(g_array_index(points, TapulOutlinePoint, 0).kind, TAPUL_OUTLINE_LOWER);
    ck_assert_int_eq(g_array_index(points, TapulOutlinePoint, points->len - 1).kind,
                     TAPUL_OUTLINE_UPPER);
}
END_TEST

START_TEST(a_lopsided_outline_is_measured_all_round) {
    g_autoptr(TapulPlate) plate =
        good_plate("{ kind: cylinder, radius_mm: 200, height_mm: 120, sweep_deg: 90 }",
                   "outline_mm: [[0, 0], [100, 20], [80, 100], [0, 90], [-60, 100], "
                   "[-110, 60]]\n");
    gboolean half = TRUE;
    g_autoptr(GArray) points = tapul_outline_points(plate, &half);
    ck_assert(!half);
    gboolean left = FALSE, right = FALSE;
    for (guint i = 0; i < points->len; i++) {
        double x_mm = g_array_index(points, TapulOutlinePoint, i).at_mm.x;
        left |= x_mm < -50;
        right |= x_mm > 50;
    }
    ck_assert(left && right);
}
END_TEST

/* --- Pages --- */

static void check_pages(const TapulPlate *plate, guint most) {
    g_autoptr(GPtrArray) pages = pages_of(plate);
    ck_assert_uint_ge(pages->len, 2);
    ck_assert_uint_le(pages->len, most);
    for (guint i = 0; i < pages->len; i++) {
        ck_assert_double_eq(tapul_page_width_mm(pages->pdata[i]), 210); /* A4, ISO 216 */
        ck_assert_double_eq(tapul_page_height_mm(pages->pdata[i]), 297);
        check_words_of_page(pages->pdata[i], MARGIN_MM);
    }
}

START_TEST(pages_are_a4_and_their_words_keep_apart) {
    g_autoptr(TapulPlate) plate = plate_of_tree(shapes[_i]);
    check_pages(plate, 3);
}
END_TEST

START_TEST(solids_have_a_sheet_of_two_pages) {
    g_autoptr(TapulPlate) plate = good_plate(solids[_i], "");
    check_pages(plate, 2);
}
END_TEST

START_TEST(odd_plates_keep_to_the_page) {
    g_autoptr(TapulPlate) many = tube(60, -35, 7.5);
    g_autoptr(TapulPlate) low = tube(3, 0, 6);
    g_autoptr(TapulPlate) tall = tube(5, 0, 900);
    check_pages(many, 9);
    check_pages(low, 3);
    check_pages(tall, 3);
}
END_TEST

START_TEST(a_long_name_is_shortened) {
    g_autofree char *name = g_strnfill(3000, 'W');
    g_autofree char *folder = new_folder();
    g_autofree char *text = g_strdup_printf(
        "tapul: plate/1\nname: %s <&> more\n"
        "surface: { kind: cylinder, radius_mm: 60, height_mm: 90, sweep_deg: 180 }\n",
        name);
    g_autofree char *path = write_file(folder, "plate.yaml", text);
    g_autoptr(TapulPlate) plate = tapul_plate_load(path, NULL, NULL);
    ck_assert_ptr_nonnull(plate);
    check_pages(plate, 3);
    remove_folder(folder);
}
END_TEST

START_TEST(lines_to_write_on_stand_seven_millimetres_apart) {
    ck_assert_double_ge(TAPUL_WRITING_MM, 7);
    /* Two lines a row of levels: the rows' own rules tell their height. */
    g_autoptr(TapulPlate) plate = plate_of_tree("shapes/peascod-breastplate.yaml");
    g_autoptr(GPtrArray) pages = pages_of(plate);
    g_autoptr(GArray) words = words_of_page(pages->pdata[1]);
    double last_y = -1;
    int letters = 0;
    for (guint i = 0; i < words->len; i++) {
        const Word *word = &g_array_index(words, Word, i);
        if (strcmp(word->text, "x") != 0 && strcmp(word->text, "z") != 0)
            continue;
        if (letters++ > 0)
            ck_assert_double_ge(fabs(word->y - last_y), 7);
        last_y = word->y;
    }
    ck_assert_int_ge(letters, 18);
}
END_TEST

START_TEST(the_example_is_a_plate) {
    static const char *const kinds[] = {"stations", "cylinder", "cone", "sphere", "revolved"};
    for (guint i = 0; i < G_N_ELEMENTS(kinds) + 1; i++) {
        gboolean closed = i == G_N_ELEMENTS(kinds);
        g_autoptr(TapulPlate) type = i == 0   ? plate_of_tree(shapes[0])
                                     : closed ? plate_of_tree(shapes[2])
                                     : i == 1 ? good_plate(solids[0], "")
                                              : good_plate(solids[i], "");
        TapulMeasuring measuring = {
            .plate = type, .stations = i == 0 || closed, .closed = closed};
        g_autofree char *folder = new_folder();
        g_autofree char *path =
            write_file(folder, "plate.yaml", tapul_measuring_example(&measuring));
        g_autoptr(GError) error = NULL;
        g_autoptr(TapulPlate) plate = tapul_plate_load(path, NULL, &error);
        ck_assert_msg(plate != NULL, "%s", error ? error->message : "");
        ck_assert_str_eq(tapul_plate_kind(plate), closed ? "stations" : kinds[i]);
        ck_assert_int_eq(tapul_plate_has_seam(plate), closed);
        remove_folder(folder);
    }
}
END_TEST

START_TEST(the_same_plate_gives_the_same_file) {
    g_autoptr(TapulPlate) plate = plate_of_tree("shapes/gorget-front.yaml");
    g_autoptr(GPtrArray) first = pages_of(plate), second = pages_of(plate);
    ck_assert_uint_eq(first->len, second->len);
    for (guint i = 0; i < first->len; i++) {
        g_autofree char *a = page_as_svg(first->pdata[i]), *b = page_as_svg(second->pdata[i]);
        ck_assert_str_eq(a, b);
    }
}
END_TEST

/* --- The program --- */

START_TEST(the_program_writes_the_sheet_and_names_it) {
    g_autofree char *folder = new_folder();
    g_autofree char *plate = source_file("shapes/gorget-front.yaml");
    static const char *const names[] = {"form.pdf", "form.svg"};
    for (guint i = 0; i < G_N_ELEMENTS(names); i++) {
        g_autofree char *out = g_build_filename(folder, names[i], NULL), *text = NULL;
        g_autofree char *errors = NULL;
        ck_assert_int_eq(run_program(&text, &errors, "plate", plate, "--measuring-sheet", out,
                                     "--json", NULL),
                         0);
        ck_assert_str_eq(errors, "");
        g_autoptr(JsonNode) report = parse_report(text);
        JsonArray *files = json_object_get_array_member(json_node_get_object(report), "files");
        ck_assert_uint_eq(json_array_get_length(files), 1);
        ck_assert_str_eq(json_array_get_string_element(files, 0), out);
        ck_assert(g_file_test(out, G_FILE_TEST_IS_REGULAR));
    }
    remove_folder(folder);
}
END_TEST

static void check_refusal(int status, const char *expected, const char *input,
                          const char *out) {
    g_autofree char *errors = NULL, *text = NULL;
    ck_assert_int_eq(
        run_program(&text, &errors, "plate", input, "--measuring-sheet", out, NULL), status);
    ck_assert_str_eq(text, "");
    ck_assert_msg(strstr(errors, expected) != NULL, "'%s' does not say '%s'", errors, expected);
    ck_assert_ptr_eq(strchr(errors, '\n'), errors + strlen(errors) - 1);
    ck_assert(!g_file_test(out, G_FILE_TEST_EXISTS));
}

START_TEST(bad_input_is_one_line_and_writes_nothing) {
    g_autofree char *folder = new_folder();
    g_autofree char *out = g_build_filename(folder, "form.pdf", NULL);
    g_autofree char *odd = g_build_filename(folder, "form.txt", NULL);
    g_autofree char *nowhere = g_build_filename(folder, "none", "form.pdf", NULL);
    g_autofree char *plate = source_file("shapes/gorget-front.yaml");
    g_autofree char *scan = write_file(
        folder, "scan.obj", "v 0 0 0\nv 100 0 0\nv 0 100 20\nv 100 100 0\nf 1 2 3\nf 2 4 3\n");
    check_refusal(1, "needs no readings", scan, out);
    check_refusal(2, "form.txt", plate, odd);
    check_refusal(1, "none", plate, nowhere);
    check_refusal(2, "is a folder", folder, out);
    check_refusal(1, "absent.yaml", "absent.yaml", out);
    remove_folder(folder);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("measuring_sheet");
    TCase *tests = tcase_create("measuring_sheet");
    tcase_set_timeout(tests, 120);
    tcase_add_loop_test(tests, every_station_has_a_level_at_a_round_height_near_it, 0,
                        (int)G_N_ELEMENTS(shapes));
    tcase_add_loop_test(tests, every_level_has_its_row, 0, (int)G_N_ELEMENTS(shapes));
    tcase_add_test(tests, readings_stand_at_equal_lengths_over_the_metal);
    tcase_add_test(tests, a_tube_is_read_round_to_its_back);
    tcase_add_test(tests, levels_past_a_curved_edge_are_marked);
    tcase_add_test(tests, the_points_of_a_plate_alike_on_both_sides_are_those_of_its_right);
    tcase_add_test(tests, a_lopsided_outline_is_measured_all_round);
    tcase_add_loop_test(tests, pages_are_a4_and_their_words_keep_apart, 0,
                        (int)G_N_ELEMENTS(shapes));
    tcase_add_loop_test(tests, solids_have_a_sheet_of_two_pages, 0, (int)G_N_ELEMENTS(solids));
    tcase_add_test(tests, odd_plates_keep_to_the_page);
    tcase_add_test(tests, a_long_name_is_shortened);
    tcase_add_test(tests, lines_to_write_on_stand_seven_millimetres_apart);
    tcase_add_test(tests, the_example_is_a_plate);
    tcase_add_test(tests, the_same_plate_gives_the_same_file);
    tcase_add_test(tests, the_program_writes_the_sheet_and_names_it);
    tcase_add_test(tests, bad_input_is_one_line_and_writes_nothing);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
