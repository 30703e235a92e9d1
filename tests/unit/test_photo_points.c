/* A photograph's points read from their table, given in each of the three ways, and pixels
 * brought back to the plate. A sphere's cap gives everything in closed form. */
#include "base/picture.h"

#include "camera_for_tests.h"
#include "plates_for_tests.h"
#include "program_for_tests.h"

#define WIDTH_PX  1200
#define HEIGHT_PX 800
#define RADIUS_MM 150.0
/* The centre's height above the cap's lowest point, half angle 60 degrees. */
#define CENTRE_MM (RADIUS_MM * sin(G_PI / 3))
#define CAP       "{ kind: sphere, radius_mm: 150, half_angle_deg: 60 }"

typedef struct {
    char *folder, *picture;
    TapulPlate *plate;
    Pinhole pinhole;
} Scene;

static Scene scene;

/* A blank picture and a plate. The lens: 1.5 px per mm on the metal. */
static void set_up(void) {
    scene.folder = new_folder();
    scene.picture = g_build_filename(scene.folder, "front.png", NULL);
    g_autoptr(TapulPixels) blank = tapul_pixels_new(WIDTH_PX, HEIGHT_PX, 1);
    ck_assert(tapul_pixels_write_png(blank, 300, scene.picture, NULL));
    scene.plate = good_plate(CAP, "");
    scene.pinhole =
        pinhole_new(tapul_vec3(250, 300, 900), tapul_vec3(0, CENTRE_MM, 100), 0.1, 1200, 0);
}

static void tear_down(void) {
    remove_folder(scene.folder);
    g_free(scene.folder);
    g_free(scene.picture);
    tapul_plate_free(scene.plate);
}

static TapulVec2 scene_px(TapulVec3 p) {
    TapulVec2 px = pinhole_px(&scene.pinhole, p);
    return tapul_vec2(px.x - (SENSOR_WIDTH_PX - WIDTH_PX) / 2.0,
                      px.y - (SENSOR_HEIGHT_PX - HEIGHT_PX) / 2.0);
}

/* A point of the sphere by latitude and longitude about the upright axis. */
static TapulVec3 sphere_point(double latitude_rad, double longitude_rad) {
    double level_mm = RADIUS_MM * cos(latitude_rad);
    return tapul_vec3(level_mm * sin(longitude_rad), CENTRE_MM + RADIUS_MM * sin(latitude_rad),
                      level_mm * cos(longitude_rad));
}

/* Nine points well within the cap, none level with another. */
static const double latitude_longitude[][2] = {{-0.5, -0.4}, {-0.55, 0.1}, {-0.45, 0.5},
                                               {0.05, -0.6}, {-0.05, 0.0}, {0.1, 0.65},
                                               {0.5, -0.45}, {0.6, 0.05},  {0.4, 0.5}};
#define N_POINTS ((int)G_N_ELEMENTS(latitude_longitude))

typedef enum { BY_TAPE, FROM_FRONT, IN_SPACE } Way;

/* The table of the nine points, each seen exactly where it is. */
static char *table_text(Way way) {
    static const char *const headings[] = {"plate_across_mm,plate_up_mm",
                                           "plate_x_mm,plate_y_mm",
                                           "plate_x_mm,plate_y_mm,plate_z_mm"};
    GString *text = g_string_new("name,px_x,px_y,");
    g_string_append_printf(text, "%s\n", headings[way]);
    for (int i = 0; i < N_POINTS; i++) {
        double latitude = latitude_longitude[i][0], longitude = latitude_longitude[i][1];
        TapulVec3 p = sphere_point(latitude, longitude);
        TapulVec2 px = scene_px(p);
        g_string_append_printf(text, "point %d,%.9f,%.9f,", i + 1, px.x, px.y);
        if (way == BY_TAPE)
            g_string_append_printf(text, "%.9f,%.9f\n", RADIUS_MM * cos(latitude) * longitude,
                                   RADIUS_MM * (latitude + G_PI / 3));
        else if (way == FROM_FRONT)
            g_string_append_printf(text, "%.9f,%.9f\n", p.x, p.y);
        else
            g_string_append_printf(text, "%.9f,%.9f,%.9f\n", p.x, p.y, p.z);
    }
    return g_string_free(text, FALSE);
}

static TapulPhoto *load(const char *table, GError **error) {
    g_autofree char *path = write_file(scene.folder, "points.csv", table);
    return tapul_photo_load(scene.picture, path, scene.plate, NULL, error);
}

static TapulPhoto *good_photo(Way way) {
    g_autoptr(GError) error = NULL;
    g_autofree char *table = table_text(way);
    TapulPhoto *photo = load(table, &error);
    ck_assert_msg(photo != NULL, "%s", error ? error->message : "no photo and no error");
    return photo;
}

/* --- Points --- */

/* The smooth surface over the cap's triangles lies nearer the sphere than this; a reading is
 * looked up on the flat triangles, up to 0.05 mm beneath, which moves it along the metal where
 * it is read at a slant. */
#define SMOOTH_MM  1e-4
#define READING_MM 0.02

START_TEST(three_ways_of_giving_a_point_give_one_camera) {
    for (Way way = BY_TAPE; way <= IN_SPACE; way++) {
        g_autoptr(TapulPhoto) photo = good_photo(way);
        ck_assert(photo->fitted);
        ck_assert_int_eq(photo->width_px, WIDTH_PX);
        ck_assert_int_eq(photo->height_px, HEIGHT_PX);
        ck_assert_int_eq((int)photo->sights->len, N_POINTS);
        ck_assert_int_eq(photo->fit.set_aside, -1);
        for (int i = 0; i < N_POINTS; i++) {
            const TapulSight *sight = &g_array_index(photo->sights, TapulSight, i);
            TapulVec3 p = sphere_point(latitude_longitude[i][0], latitude_longitude[i][1]);
            ck_assert_double_eq_tol(tapul_vec3_distance(sight->xyz_mm, p), 0, READING_MM);
        }
        /* 1.5 px per mm, and points a little off the sphere. */
        ck_assert_double_lt(photo->fit.rms_px, READING_MM * 1.5);
        ck_assert_double_lt(turn_between_rad(&photo->fit.camera, &scene.pinhole), 0.002);
        ck_assert_double_eq_tol(photo->fit.camera.focal_px, 1200, 6);
    }
}
END_TEST

START_TEST(sights_lie_on_the_smooth_surface) {
    g_autoptr(TapulPhoto) photo = good_photo(BY_TAPE);
    for (int i = 0; i < N_POINTS; i++) {
        const TapulSight *sight = &g_array_index(photo->sights, TapulSight, i);
        TapulVec3 smooth =
            tapul_mesh_smooth_position_mm(tapul_plate_mesh(scene.plate), sight->spot);
        ck_assert_double_eq(tapul_vec3_distance(smooth, sight->xyz_mm), 0);
        ck_assert_double_eq_tol(tapul_vec3_distance(sight->xyz_mm, tapul_vec3(0, CENTRE_MM, 0)),
                                RADIUS_MM, SMOOTH_MM);
    }
}
END_TEST

/* --- Spots --- */

/* A photo of the scene's own camera. */
static void set_exact_camera(TapulPhoto *photo) {
    const TapulVec3 rows[3] = {scene.pinhole.right, scene.pinhole.down, scene.pinhole.forward};
    TapulCamera *camera = &photo->fit.camera;
    camera->focal_px = scene.pinhole.focal_px;
    camera->k1 = 0;
    camera->eye_mm = scene.pinhole.eye_mm;
    for (int i = 0; i < 3; i++) {
        camera->rotation[i][0] = rows[i].x;
        camera->rotation[i][1] = rows[i].y;
        camera->rotation[i][2] = rows[i].z;
    }
}

START_TEST(spot_is_where_the_line_of_sight_meets_the_metal) {
    g_autoptr(TapulPhoto) photo = good_photo(FROM_FRONT);
    g_autoptr(GRand) random = g_rand_new_with_seed(41);
    const TapulMesh *mesh = tapul_plate_mesh(scene.plate);
    double worst_mm = 0, worst_px = 0;
    set_exact_camera(photo);
    for (int trial = 0; trial < 2000; trial++) {
        TapulVec3 p = sphere_point(spread(random, 0.7), spread(random, 0.7));
        TapulVec3 to_eye = tapul_vec3_sub(scene.pinhole.eye_mm, p);
        TapulVec3 outward = tapul_vec3_sub(p, tapul_vec3(0, CENTRE_MM, 0));
        double facing = tapul_vec3_dot(tapul_vec3_unit(to_eye), tapul_vec3_unit(outward));
        if (facing < 0.2) /* near the horizon a line of sight grazes the flat triangles */
            continue;
        TapulVec2 px = scene_px(p), again;
        TapulSpot spot;
        ck_assert(tapul_photo_spot(photo, scene.plate, px, &spot));
        TapulVec3 found = tapul_mesh_smooth_position_mm(mesh, spot);
        ck_assert(tapul_camera_pixel(&photo->fit.camera, found, &again));
        worst_mm = fmax(worst_mm, tapul_vec3_distance(found, p) * facing);
        worst_px = fmax(worst_px, tapul_vec2_distance(px, again));
    }
    printf("spots: on the line of sight within %.2g px, on the sphere within %.2g mm\n",
           worst_px, worst_mm);
    ck_assert_double_le(worst_px, 2e-6);
    ck_assert_double_le(worst_mm, SMOOTH_MM);
}
END_TEST

START_TEST(nothing_is_seen_beside_the_plate_or_from_behind) {
    g_autoptr(TapulPhoto) photo = good_photo(FROM_FRONT);
    TapulSpot spot;
    set_exact_camera(photo);
    ck_assert(!tapul_photo_spot(photo, scene.plate, tapul_vec2(2, 2), &spot));
    ck_assert(!tapul_photo_spot(photo, scene.plate, tapul_vec2(NAN, 2), &spot));
    /* From inside the sphere its cap is seen from the back. */
    photo->fit.camera.eye_mm = tapul_vec3(0, CENTRE_MM, 0);
    photo->fit.camera.rotation[2][0] = photo->fit.camera.rotation[2][1] = 0;
    photo->fit.camera.rotation[2][2] = 1;
    ck_assert(!tapul_photo_spot(photo, scene.plate, tapul_vec2(600, 400), &spot));
}
END_TEST

/* --- Refusals --- */

static char *refusal(const char *table, TapulPhotoError code) {
    GError *error = NULL;
    TapulPhoto *photo = load(table, &error);
    ck_assert_msg(!photo && error, "was read");
    ck_assert_msg(g_error_matches(error, TAPUL_PHOTO_ERROR, (int)code), "code %d: %s",
                  error->code, error->message);
    char *message = g_strdup(error->message);
    g_error_free(error);
    return message;
}

static void expect(const char *message, const char *words) {
    ck_assert_msg(strstr(message, words), "'%s' does not say '%s'", message, words);
}

START_TEST(all_faults_of_a_table_are_told_together) {
    g_autofree char *message = refusal("name,px_x,px_y,plate_x_mm,plate_y_mm\n"
                                       "a,1300,400,0,100\n"
                                       "a,500,-1,0,120\n"
                                       ",500,nan,0,140\n"
                                       "d,x,300,0,160\n"
                                       "e,500,300,900,160\n"
                                       "f,500,300,10,inf\n",
                                       TAPUL_PHOTO_ERROR_FILE);
    expect(message, "points.csv:2: px_x: 1300 is not between 0 and 1200");
    expect(message, "points.csv:3: name: 'a' is the point of line 2 already");
    expect(message, "points.csv:3: px_y: -1 is not between 0 and 800");
    expect(message, "points.csv:4: name: the point has none");
    expect(message, "points.csv:4: px_y: nan is not between");
    expect(message, "points.csv:5: px_x: 'x' is not a number");
    expect(message, "points.csv:6: ");
    expect(message, "points.csv:7: plate_y_mm: inf is not between");
    g_auto(GStrv) lines = g_strsplit(message, "\n", -1);
    ck_assert_uint_eq(g_strv_length(lines), 8);
}
END_TEST

START_TEST(tables_without_their_columns_are_refused) {
    g_autofree char *no_px =
        refusal("name,px_x,plate_x_mm,plate_y_mm\n", TAPUL_PHOTO_ERROR_FILE);
    g_autofree char *no_place = refusal("name,px_x,px_y\na,1,2\n", TAPUL_PHOTO_ERROR_FILE);
    g_autofree char *odd =
        refusal("name,px_x,px_y,plate_x_mm,plate_y_mm,colour\n", TAPUL_PHOTO_ERROR_FILE);
    g_autofree char *empty = refusal("", TAPUL_PHOTO_ERROR_FILE);
    expect(no_px, "points.csv:1: the column 'px_y' is missing");
    expect(no_place, "points.csv:2: no plate point");
    expect(odd, "unknown column 'colour'");
    expect(empty, "points.csv: the table has no heading row");
}
END_TEST

START_TEST(points_that_make_no_camera_name_their_file) {
    g_autofree char *few = refusal("name,px_x,px_y,plate_x_mm,plate_y_mm\na,500,300,0,100\n",
                                   TAPUL_PHOTO_ERROR_POINTS);
    expect(few, "points.csv: 1 points given whose place on the plate is known");
}
END_TEST

START_TEST(missing_files_are_refused) {
    g_autoptr(GError) no_picture = NULL, no_table = NULL;
    g_autofree char *table = table_text(BY_TAPE);
    g_autofree char *points = write_file(scene.folder, "points.csv", table);
    ck_assert_ptr_null(
        tapul_photo_load("/nowhere/front.png", points, scene.plate, NULL, &no_picture));
    ck_assert_ptr_null(
        tapul_photo_load(scene.picture, "/nowhere/points.csv", scene.plate, NULL, &no_table));
    ck_assert(g_error_matches(no_picture, TAPUL_PHOTO_ERROR, TAPUL_PHOTO_ERROR_FILE));
    ck_assert(g_error_matches(no_table, TAPUL_PHOTO_ERROR, TAPUL_PHOTO_ERROR_FILE));
    ck_assert(g_str_has_prefix(no_picture->message, "/nowhere/front.png: "));
    ck_assert(g_str_has_prefix(no_table->message, "/nowhere/points.csv: "));
    /* A table is no picture. */
    ck_assert_ptr_null(tapul_photo_load(points, points, scene.plate, NULL, NULL));
}
END_TEST

/* A distant mirror image fits a camera behind the metal nearly as well; the plate's outside
 * tells it. */
START_TEST(mirror_image_is_refused_though_it_fits) {
    g_autoptr(GString) text = g_string_new("name,px_x,px_y,plate_x_mm,plate_y_mm\n");
    for (int i = 0; i < N_POINTS; i++) {
        TapulVec3 p = sphere_point(latitude_longitude[i][0], latitude_longitude[i][1]);
        TapulVec2 px = scene_px(p);
        g_string_append_printf(text, "%d,%.9f,%.9f,%.9f,%.9f\n", i, WIDTH_PX - px.x, px.y, p.x,
                               p.y);
    }
    g_autofree char *message = refusal(text->str, TAPUL_PHOTO_ERROR_POINTS);
    expect(message, "points.csv: ");
    expect(message, "mirror");
    /* With the focal told the perspective cannot come out the wrong way round. */
    g_autofree char *path = write_file(scene.folder, "points.csv", text->str);
    g_autoptr(GError) error = NULL;
    TapulCameraOptions options = {.focal_px = 1200, .pick_sd_px = 0.5};
    ck_assert_ptr_null(tapul_photo_load(scene.picture, path, scene.plate, &options, &error));
    ck_assert(g_error_matches(error, TAPUL_PHOTO_ERROR, TAPUL_PHOTO_ERROR_POINTS));
    expect(error->message, "9 of the 9 points would be seen from behind the metal");
}
END_TEST

int main(void) {
    Suite *suite = suite_create("photo_points");
    TCase *facts = tcase_create("facts");
    tcase_set_timeout(facts, 120);
    tcase_add_checked_fixture(facts, set_up, tear_down);
    tcase_add_test(facts, three_ways_of_giving_a_point_give_one_camera);
    tcase_add_test(facts, sights_lie_on_the_smooth_surface);
    tcase_add_test(facts, spot_is_where_the_line_of_sight_meets_the_metal);
    tcase_add_test(facts, nothing_is_seen_beside_the_plate_or_from_behind);
    tcase_add_test(facts, all_faults_of_a_table_are_told_together);
    tcase_add_test(facts, tables_without_their_columns_are_refused);
    tcase_add_test(facts, points_that_make_no_camera_name_their_file);
    tcase_add_test(facts, missing_files_are_refused);
    tcase_add_test(facts, mirror_image_is_refused_though_it_fits);
    suite_add_tcase(suite, facts);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
