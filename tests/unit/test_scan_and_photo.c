/* The demonstration's scan and photographs against the truth that its studio wrote, which
 * shares no code with the library: what is found from the pictures is compared with what was
 * put in. */
#include "base/document.h"

#include "program_for_tests.h"

#include <math.h>
#include <tapul/case.h>

#define CASE_FOLDER "demo-prints/scan-and-photo/"
#define PRINT       "demo-prints/prints/mask-drapery.svg"

/* What is asked of a synthetic photograph whose points were picked with 0.5 px of error. */
#define MOST_TURN_DEG 0.2
#define MOST_APART_MM 0.5

/* --- The truth --- */

static TapulDocument *truth_new(void) {
    g_autofree char *path = source_file(CASE_FOLDER "truth.yaml");
    GError *error = NULL;
    TapulDocument *truth = tapul_document_load(path, &error);
    ck_assert_msg(truth != NULL, "%s", error ? error->message : "");
    return truth;
}

static const TapulNode *truth_at(TapulDocument *truth, const TapulNode *map, const char *key) {
    const TapulNode *node = tapul_document_get(truth, map, key);
    ck_assert_msg(node != NULL, "truth.yaml: no %s", key);
    return node;
}

static double truth_number(TapulDocument *truth, const TapulNode *map, const char *key) {
    double value = NAN;
    ck_assert(tapul_document_number(truth, map, key, TRUE, -1e6, 1e6, &value));
    return value;
}

static TapulVec2 truth_pair(TapulDocument *truth, const TapulNode *map, const char *key) {
    TapulVec2 value = {NAN, NAN};
    ck_assert(tapul_document_pair(truth, map, key, TRUE, -1e6, 1e6, &value));
    return value;
}

static TapulVec3 truth_triple(TapulDocument *truth, const TapulNode *list) {
    double v[3];
    ck_assert_int_eq(tapul_document_list_length(truth, list, "a triple"), 3);
    for (int i = 0; i < 3; i++)
        ck_assert(tapul_document_scalar(truth, tapul_document_list_item(truth, list, i),
                                        "a number", -1e6, 1e6, &v[i]));
    return tapul_vec3(v[0], v[1], v[2]);
}

/* --- The case's parts --- */

static TapulPlate *plate_new(void) {
    g_autofree char *path = source_file("shapes/besagew.yaml");
    TapulPlateOptions options = tapul_plate_options_defaults();
    TapulPlate *plate = tapul_plate_load(path, &options, NULL);
    ck_assert_ptr_nonnull(plate);
    return plate;
}

static const struct {
    const char *name, *file, *points, *key;
} taken[] = {
    {"front", CASE_FOLDER "front.jpg", CASE_FOLDER "photo-points.csv", "front_px"},
    {"three_quarters", CASE_FOLDER "three-quarters.jpg",
     CASE_FOLDER "three-quarters-points.csv", "three_quarters_px"},
};

static TapulPhoto *photo_new(const TapulPlate *plate, int i) {
    g_autofree char *file = source_file(taken[i].file);
    g_autofree char *points = source_file(taken[i].points);
    TapulCameraOptions options = tapul_camera_options_defaults();
    GError *error = NULL;
    TapulPhoto *photo = tapul_photo_load(file, points, plate, &options, &error);
    ck_assert_msg(photo != NULL, "%s", error ? error->message : "");
    return photo;
}

/* --- Photographs --- */

/* The angle of the turn from one rotation to another: its trace is 1 + 2 cos. */
static double turn_between_deg(TapulDocument *truth, const TapulNode *camera,
                               const double found[3][3]) {
    const TapulNode *rows = truth_at(truth, camera, "rotation");
    double trace = 0;
    for (int i = 0; i < 3; i++) {
        TapulVec3 row = truth_triple(truth, tapul_document_list_item(truth, rows, i));
        trace += row.x * found[i][0] + row.y * found[i][1] + row.z * found[i][2];
    }
    return acos(CLAMP((trace - 1) / 2, -1, 1)) * 180 / G_PI;
}

START_TEST(cameras_are_found_within_a_fifth_of_a_degree) {
    g_autoptr(TapulDocument) truth = truth_new();
    g_autoptr(TapulPlate) plate = plate_new();
    g_autoptr(TapulPhoto) photo = photo_new(plate, _i);
    const TapulNode *cameras = truth_at(truth, tapul_document_root(truth), "cameras");
    const TapulNode *camera = truth_at(truth, cameras, taken[_i].name);
    const TapulCamera *found = &photo->fit.camera;
    TapulVec2 size_px = truth_pair(truth, camera, "size_px");
    ck_assert_int_eq(photo->width_px, (int)size_px.x);
    ck_assert_int_eq(photo->height_px, (int)size_px.y);
    ck_assert_int_eq(photo->fit.set_aside, -1);

    double turn_deg = turn_between_deg(truth, camera, found->rotation);
    double eye_mm = tapul_vec3_distance(found->eye_mm,
                                        truth_triple(truth, truth_at(truth, camera, "eye_mm")));
    printf("%s: turned by %.3f deg, eye off by %.1f mm, focal %.0f for %.0f px, rms %.2f px\n",
           taken[_i].name, turn_deg, eye_mm, found->focal_px,
           truth_number(truth, camera, "focal_px"), photo->fit.rms_px);
    ck_assert_double_le(turn_deg, MOST_TURN_DEG);
    /* What the fit says of itself is to hold what is true, at three standard deviations. */
    ck_assert_double_le(eye_mm, 3 * sqrt(3) * photo->fit.eye_sd_mm);
}
END_TEST

START_TEST(landmarks_are_found_on_the_metal_within_half_a_millimetre) {
    g_autoptr(TapulDocument) truth = truth_new();
    g_autoptr(TapulPlate) plate = plate_new();
    g_autoptr(TapulPhoto) photo = photo_new(plate, _i);
    const TapulNode *list = truth_at(truth, tapul_document_root(truth), "landmarks");
    int n = tapul_document_list_length(truth, list, "landmarks"), seen = 0;
    double most_mm = 0;
    for (int i = 0; i < n; i++) {
        const TapulNode *landmark = tapul_document_list_item(truth, list, i);
        if (!tapul_document_get(truth, landmark, taken[_i].key))
            continue; /* turned away from this camera */
        TapulSpot spot;
        ck_assert(
            tapul_photo_spot(photo, plate, truth_pair(truth, landmark, taken[_i].key), &spot));
        TapulVec3 found_mm = tapul_mesh_smooth_position_mm(tapul_plate_mesh(plate), spot);
        most_mm = fmax(most_mm,
                       tapul_vec3_distance(
                           found_mm, truth_triple(truth, truth_at(truth, landmark, "xyz_mm"))));
        seen++;
    }
    printf("%s: %d landmarks, at most %.3f mm off\n", taken[_i].name, seen, most_mm);
    ck_assert_int_ge(seen, 12);
    ck_assert_double_le(most_mm, MOST_APART_MM);
}
END_TEST

/* --- The case --- */

static TapulCase *case_new(void) {
    g_autofree char *path = source_file(CASE_FOLDER "case.yaml");
    GError *error = NULL;
    TapulCaseOptions options = tapul_case_options_defaults();
    TapulCase *made = tapul_case_load(path, &options, &error);
    ck_assert_msg(made != NULL, "%s", error ? error->message : "");
    return made;
}

/* The case lays the sheet where the studio put it; its rule and the studio's closed form are
 * told from one another by nothing but the way they were reckoned. */
START_TEST(the_sheet_lies_where_it_was_put) {
    const double most_mm = 0.05;
    g_autoptr(TapulDocument) truth = truth_new();
    g_autoptr(TapulCase) question = case_new();
    const TapulCaseLaying *asked = question->layings->pdata[0];
    g_autoptr(TapulLaying) laying = tapul_laying_new(&question->ground, &asked->options, NULL);
    ck_assert_ptr_nonnull(laying);
    const TapulNode *root = tapul_document_root(truth);
    TapulVec2 moved_mm = truth_pair(
        truth, truth_at(truth, truth_at(truth, root, "laying"), "moved"), "print_by_mm");
    const TapulNode *list = truth_at(truth, root, "landmarks");
    for (int i = 0; i < tapul_document_list_length(truth, list, "landmarks"); i++) {
        const TapulNode *landmark = tapul_document_list_item(truth, list, i);
        TapulVec2 print_mm = truth_pair(truth, landmark, "print_mm");
        if (tapul_document_flag(truth, landmark, "moved", FALSE))
            print_mm = tapul_vec2_add(print_mm, moved_mm);
        TapulSpot spot;
        ck_assert(tapul_laying_spot(laying, print_mm, &spot));
        TapulVec3 laid_mm =
            tapul_mesh_smooth_position_mm(tapul_plate_mesh(question->plate), spot);
        ck_assert_double_le(
            tapul_vec3_distance(laid_mm,
                                truth_triple(truth, truth_at(truth, landmark, "xyz_mm"))),
            most_mm);
    }
}
END_TEST

/* --- The scan --- */

/* The dent is 0.3 mm wide; the copper's edge is somewhere in it. */
#define MOST_MARK_APART_MM  0.3
#define MOST_SKEW_APART_DEG 0.1

START_TEST(plate_mark_and_skew_are_found) {
    static const struct {
        const char *key;
        TapulVec2 print_mm;
    } corners[] = {{"mark_lower_left_px", {0, 0}},
                   {"mark_lower_right_px", {80, 0}},
                   {"mark_upper_right_px", {80, 80}},
                   {"mark_upper_left_px", {0, 80}}};
    g_autoptr(TapulDocument) truth = truth_new();
    g_autoptr(TapulCase) question = case_new();
    const TapulNode *put = truth_at(truth, tapul_document_root(truth), "scan");
    const TapulScan *scan = ((TapulPrint *)question->prints->pdata[0])->ink->scan;
    ck_assert_ptr_nonnull(scan);
    ck_assert_str_eq(scan->mark_from, "found");

    double dpi = truth_number(truth, put, "dpi"), most_mm = 0;
    for (guint i = 0; i < G_N_ELEMENTS(corners); i++) {
        TapulVec2 wanted_px = truth_pair(truth, put, corners[i].key);
        TapulVec2 found_px = tapul_scan_pixel(scan, corners[i].print_mm);
        most_mm = fmax(most_mm, tapul_vec2_distance(found_px, wanted_px) * 25.4 / dpi);
    }
    double skew_deg = -scan->skew_rad * 180 / G_PI; /* clockwise, as the truth counts */
    printf("scan: mark at most %.2f mm off, skew %.3f deg, %.1f dpi\n", most_mm, skew_deg,
           scan->dpi);
    ck_assert_double_le(most_mm, MOST_MARK_APART_MM);
    ck_assert_double_eq_tol(skew_deg, truth_number(truth, put, "skew_deg"),
                            MOST_SKEW_APART_DEG);
}
END_TEST

/* --- The tracing over the photograph --- */

static const TapulMotif *motif_named(const TapulInk *ink, const char *id, int *number) {
    for (guint i = 0; i < ink->motifs->len; i++)
        if (g_str_equal(((TapulMotif *)ink->motifs->pdata[i])->id, id)) {
            *number = (int)i;
            return ink->motifs->pdata[i];
        }
    ck_abort_msg("no motif %s", id);
}

static void box_take(TapulBox *box, TapulVec2 point) {
    box->min = tapul_vec2(fmin(box->min.x, point.x), fmin(box->min.y, point.y));
    box->max = tapul_vec2(fmax(box->max.x, point.x), fmax(box->max.y, point.y));
}

/* The box of a found motif on the print, as the case's laying brings it back. */
static TapulBox found_on_print(const TapulCase *question, const TapulLaying *laying,
                               const char *id) {
    int number;
    motif_named(question->found, id, &number);
    TapulBox box = {{INFINITY, INFINITY}, {-INFINITY, -INFINITY}};
    for (guint i = 0; i < question->found->marks->len; i++) {
        const TapulMark *mark = question->found->marks->pdata[i];
        if (mark->motif != number)
            continue;
        TapulPathWalk walk = tapul_path_walk(mark->path);
        for (TapulPathPiece piece; tapul_path_walk_next(&walk, &piece);) {
            TapulSpot spot;
            TapulVec2 print_mm;
            ck_assert(tapul_development_finder_spot(question->finder, piece.p[3], &spot));
            ck_assert(tapul_laying_print(laying, spot, &print_mm));
            box_take(&box, print_mm);
        }
    }
    return box;
}

/* The hand that traced is 0.1 mm unsteady; a pen goes along the middle of a line, the print's
 * box around it. */
#define MOST_HAND_MM 0.4

START_TEST(moved_motif_is_found_where_it_was_moved_to) {
    g_autofree char *print_path = source_file(PRINT);
    g_autoptr(TapulDocument) truth = truth_new();
    g_autoptr(TapulCase) question = case_new();
    const TapulCaseLaying *asked = question->layings->pdata[0];
    g_autoptr(TapulLaying) laying = tapul_laying_new(&question->ground, &asked->options, NULL);
    TapulInkOptions options = tapul_ink_options_defaults();
    g_autoptr(TapulInk) print = tapul_ink_read(print_path, &options, NULL);
    ck_assert(laying && print && question->found);
    ck_assert_double_eq(question->found_lost_mm, 0);

    const TapulNode *put = truth_at(truth, tapul_document_root(truth), "laying");
    const TapulNode *moved = truth_at(truth, put, "moved");
    TapulVec2 by_mm = truth_pair(truth, moved, "print_by_mm");
    const char *id = tapul_document_text(truth, moved, "motif", TRUE);
    int number;
    TapulBox was = motif_named(print, id, &number)->box_mm;
    TapulBox is = found_on_print(question, laying, id);
    TapulVec2 corners[2][2] = {{was.min, is.min}, {was.max, is.max}};
    for (int i = 0; i < 2; i++) {
        ck_assert_double_eq_tol(corners[i][1].x - corners[i][0].x, by_mm.x, MOST_HAND_MM);
        ck_assert_double_eq_tol(corners[i][1].y - corners[i][0].y, by_mm.y, MOST_HAND_MM);
    }
}
END_TEST

/* --- The studio --- */

/* The tables, the tracing and the truth in the tree are what the studio writes; the pictures
 * take minutes and are not made again here. */
START_TEST(studio_writes_the_records_in_the_tree) {
    static const char *const names[] = {"pairs.csv", "photo-points.csv",
                                        "three-quarters-points.csv", "tracing.svg",
                                        "truth.yaml"};
    g_autofree char *cli = g_path_get_dirname(g_getenv("TAPUL_PROGRAM"));
    g_autofree char *studio = g_build_filename(cli, "../../demo-prints/studio/studio", NULL);
    g_autofree char *print = source_file(PRINT);
    g_autofree char *folder = new_folder();
    char *arguments[] = {studio, print, folder, (char *)"records", NULL};
    int wait_status = -1;
    ck_assert(g_spawn_sync(NULL, arguments, NULL, G_SPAWN_DEFAULT, NULL, NULL, NULL, NULL,
                           &wait_status, NULL));
    ck_assert_int_eq(wait_status, 0);
    for (guint i = 0; i < G_N_ELEMENTS(names); i++) {
        g_autofree char *in_tree = g_build_filename(CASE_FOLDER, names[i], NULL);
        g_autofree char *kept_path = source_file(in_tree);
        g_autofree char *made_path = g_build_filename(folder, names[i], NULL);
        g_autofree char *kept = NULL, *made = NULL;
        ck_assert(g_file_get_contents(kept_path, &kept, NULL, NULL));
        ck_assert(g_file_get_contents(made_path, &made, NULL, NULL));
        ck_assert_msg(g_str_equal(kept, made), "%s is not what the studio writes", in_tree);
    }
    remove_folder(folder);
}
END_TEST

/* Near a JPEG's beginning: its description and its comment. */
START_TEST(pictures_say_that_they_are_invented) {
    static const char *const names[] = {"scan.jpg",   "front.jpg",  "three-quarters.jpg",
                                        "lamp-1.jpg", "lamp-2.jpg", "lamp-3.jpg"};
    for (guint i = 0; i < G_N_ELEMENTS(names); i++) {
        g_autofree char *in_tree = g_build_filename(CASE_FOLDER, names[i], NULL);
        g_autofree char *path = source_file(in_tree), *bytes = NULL;
        gsize length;
        ck_assert(g_file_get_contents(path, &bytes, &length, NULL));
        const guint8 *head = (const guint8 *)bytes;
        ck_assert_int_eq(head[2], 0xff);
        ck_assert_int_eq(head[3], 0xfe); /* a comment */
        ck_assert(g_str_has_prefix(bytes + 6, "Invented for the demonstration"));
    }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("scan_and_photo");
    TCase *tests = tcase_create("scan_and_photo");
    tcase_set_timeout(tests, 300);
    tcase_add_loop_test(tests, cameras_are_found_within_a_fifth_of_a_degree, 0,
                        (int)G_N_ELEMENTS(taken));
    tcase_add_loop_test(tests, landmarks_are_found_on_the_metal_within_half_a_millimetre, 0,
                        (int)G_N_ELEMENTS(taken));
    tcase_add_test(tests, the_sheet_lies_where_it_was_put);
    tcase_add_test(tests, plate_mark_and_skew_are_found);
    tcase_add_test(tests, moved_motif_is_found_where_it_was_moved_to);
    tcase_add_test(tests, studio_writes_the_records_in_the_tree);
    tcase_add_test(tests, pictures_say_that_they_are_invented);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
