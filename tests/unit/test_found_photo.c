/* A tracing drawn over a photograph: a camera of closed form looks at a sphere, points of the
 * sphere are drawn where it shows them, and must come back to where they are. */
#include "sphere_photo_for_tests.h"

#include <stdlib.h>
#include <tapul/case.h>

/* The tracing's page, 4 px to the mm. */
#define PX_PER_PAGE_MM 4.0
/* What the tracing's own tolerance and the plate's chord error leave room for. */
#define PLACE_MM 0.05
/* One width stands for a stroke's, within half of the 10 % at which it would be cut. */
#define WIDTH_SHARE 0.06

/* --- The case's files --- */

static const TapulVec2 marks_mm[] = {{-50, -30}, {20, -50}, {60, 30},
                                     {-30, 60},  {5, 5},    {85, -20}};

/* The tracing: each point the start of a stroke a page mm long, to the right; and a line far
 * off the plate, 20 mm long. */
static void write_tracing(const char *folder, double height_px) {
    double width_mm = WIDTH_PX / PX_PER_PAGE_MM, height_mm = height_px / PX_PER_PAGE_MM;
    g_autoptr(GString) text = g_string_new(NULL);
    g_string_append_printf(text,
                           "<svg xmlns='http://www.w3.org/2000/svg' width='%gmm' height='%gmm' "
                           "viewBox='0 0 %g %g'><g fill='none' stroke='black' "
                           "stroke-width='0.8'>",
                           width_mm, height_mm, width_mm, height_mm);
    for (guint i = 0; i < G_N_ELEMENTS(marks_mm); i++) {
        TapulVec2 px = pixel_of(sphere_point(marks_mm[i].x, marks_mm[i].y));
        g_string_append_printf(text, "<path d='M%.5f %.5f h1'/>", px.x / PX_PER_PAGE_MM,
                               px.y / PX_PER_PAGE_MM);
    }
    g_string_append(text, "<path d='M2 5 h20'/></g></svg>");
    g_free(write_file(folder, "tracing.svg", text->str));
}

static char *write_case(const char *folder, const char *photo, const char *found) {
    g_autofree char *text =
        g_strdup_printf("tapul: case/1\ntitle: for a test\nplate: plate.yaml\n%sfound: { file: "
                        "tracing.svg, frame: photo%s }\n",
                        photo, found);
    write_picture(folder, 0, NULL);
    write_sights(folder);
    g_free(write_file(folder, "plate.yaml", SPHERE_PLATE));
    return write_file(folder, "case.yaml", text);
}

/* --- Tests --- */

START_TEST(points_come_back_to_where_they_are) {
    g_autofree char *folder = new_folder();
    g_autofree char *path = write_case(folder, SPHERE_PHOTO, "");
    write_tracing(folder, HEIGHT_PX);
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulCase) question = tapul_case_load(path, NULL, &error);
    ck_assert_msg(question != NULL, "%s", error ? error->message : "no case");
    ck_assert_uint_eq(question->found->marks->len, G_N_ELEMENTS(marks_mm));
    double scale = 0;
    for (guint i = 0; i < G_N_ELEMENTS(marks_mm); i++) {
        const TapulMark *mark = g_ptr_array_index(question->found->marks, i);
        TapulVec3 expected = sphere_point(marks_mm[i].x, marks_mm[i].y);
        TapulSpot spot;
        ck_assert(tapul_development_finder_spot(
            question->finder, g_array_index(mark->path->points, TapulVec2, 0), &spot));
        TapulVec3 at = tapul_mesh_smooth_position_mm(tapul_plate_mesh(question->plate), spot);
        ck_assert_msg(tapul_vec3_distance(at, expected) <= PLACE_MM, "%u: %.4f mm off", i,
                      tapul_vec3_distance(at, expected));
        /* The pen's 0.8 mm of the page, on the metal; square to a stroke to the right. */
        TapulVec2 px = pixel_of(expected);
        TapulVec3 right = tapul_vec3_sub(sphere_at(tapul_vec2(px.x + 0.1, px.y)), expected);
        TapulVec3 below = tapul_vec3_sub(sphere_at(tapul_vec2(px.x, px.y + 0.1)), expected);
        double along_mm = tapul_vec3_length(right);
        double across_mm = tapul_vec3_length(tapul_vec3_cross(right, below)) / along_mm;
        double width_mm = 0.8 * PX_PER_PAGE_MM * across_mm / 0.1;
        ck_assert_double_le(mark->width_mm,
                            width_mm * (question->development->stretch.max + WIDTH_SHARE));
        ck_assert_double_ge(mark->width_mm,
                            width_mm * (question->development->stretch.min - WIDTH_SHARE));
        scale += along_mm / 0.1 * PX_PER_PAGE_MM / G_N_ELEMENTS(marks_mm);
    }
    /* 20 page mm miss the plate: told at the mean scale of the rest. */
    ck_assert_double_eq_tol(question->found_lost_mm, 20 * scale, 0.05 * 20 * scale);
    remove_folder(folder);
}
END_TEST

static void check_refusal(const char *photo, const char *found, double height_px,
                          const char *expected) {
    g_autofree char *folder = new_folder();
    g_autofree char *path = write_case(folder, photo, found);
    write_tracing(folder, height_px);
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulCase) question = tapul_case_load(path, NULL, &error);
    ck_assert_ptr_null(question);
    ck_assert_msg(strstr(error->message, expected) != NULL, "'%s' is not in: %s", expected,
                  error->message);
    ck_assert(g_str_has_prefix(error->message, path));
    ck_assert_ptr_null(strchr(error->message, '\n'));
    remove_folder(folder);
}

START_TEST(page_of_another_aspect_is_refused) {
    check_refusal(SPHERE_PHOTO, "", HEIGHT_PX - 80, "400 x 280 mm");
    check_refusal(SPHERE_PHOTO, "", HEIGHT_PX - 80, "1600 x 1200 px");
}
END_TEST

START_TEST(page_is_the_photograph_to_a_hundredth) {
    g_autofree char *folder = new_folder();
    g_autofree char *path = write_case(folder, SPHERE_PHOTO, ", photo: 1");
    write_tracing(folder, HEIGHT_PX + 8);
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulCase) question = tapul_case_load(path, NULL, &error);
    ck_assert_msg(question != NULL, "%s", error ? error->message : "no case");
    remove_folder(folder);
}
END_TEST

START_TEST(missing_photograph_is_refused) {
    check_refusal("", "", HEIGHT_PX, "neither 'photo' nor 'photos'");
    check_refusal(SPHERE_PHOTO, ", photo: 2", HEIGHT_PX,
                  "photo: 2; permitted: whole numbers from 1 to 1");
    check_refusal(SPHERE_PHOTO, ", photo: 1.5", HEIGHT_PX, "photo: 1.5; permitted");
    check_refusal(SPHERE_PHOTO, ", origin_mm: [0, 0]", HEIGHT_PX, "origin_mm");
}
END_TEST

static Suite *suite(void) {
    Suite *suite = suite_create("found_photo");
    TCase *tests = tcase_create("photo");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, points_come_back_to_where_they_are);
    tcase_add_test(tests, page_of_another_aspect_is_refused);
    tcase_add_test(tests, page_is_the_photograph_to_a_hundredth);
    tcase_add_test(tests, missing_photograph_is_refused);
    suite_add_tcase(suite, tests);
    return suite;
}

int main(void) {
    SRunner *runner = srunner_create(suite());
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
