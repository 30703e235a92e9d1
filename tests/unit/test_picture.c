/* Pictures opened: every kind that is read gives the same pixels, upright; whatever is broken,
 * half there or too large is refused in one line. */
#include "picture_files_for_tests.h"

#include <glib/gstdio.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define HOSTILE "/work/shared/data/hostile"

static TapulPixels *small_picture(void) {
    TapulPixels *pixels = tapul_pixels_new(60, 40, 3);
    for (int y = 0; y < 40; y++)
        for (int x = 0; x < 60; x++) {
            guint8 *at = pixels->data + (y * 60 + x) * 3;
            at[0] = (guint8)(4 * x);
            at[1] = (guint8)(6 * y);
            at[2] = x < 20 && y < 10 ? 200 : 40;
        }
    return pixels;
}

static TapulPixels *load(const char *path) {
    g_autoptr(GError) error = NULL;
    TapulPixels *pixels = tapul_pixels_load(path, &error);
    ck_assert_msg(pixels != NULL, "%s", error ? error->message : "");
    return pixels;
}

static void check_refused(const char *path, int code, const char *said) {
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulPixels) pixels = tapul_pixels_load(path, &error);
    ck_assert_msg(pixels == NULL, "%s is read", path);
    ck_assert_msg(error->domain == TAPUL_PICTURE_ERROR && (code < 0 || error->code == code),
                  "%d: %s", error->code, error->message);
    ck_assert_msg(g_str_has_prefix(error->message, path) &&
                      strstr(error->message, said) != NULL,
                  "%s", error->message);
    ck_assert_ptr_null(strchr(error->message, '\n'));
}

/* Mean difference of the lights, in grey levels. */
static double difference(const TapulPixels *a, const TapulPixels *b) {
    double sum = 0;
    gsize n = (gsize)a->width_px * (gsize)a->height_px;
    ck_assert_int_eq(a->width_px, b->width_px);
    ck_assert_int_eq(a->height_px, b->height_px);
    for (gsize i = 0; i < n; i++)
        for (int k = 0; k < 3; k++)
            sum += abs(a->data[i * (gsize)a->bands + (gsize)(a->bands == 1 ? 0 : k)] -
                       b->data[i * (gsize)b->bands + (gsize)(b->bands == 1 ? 0 : k)]);
    return sum / (double)(3 * n);
}

/* --- What is read --- */

/* Grey levels a kind may be off by on the drawn scan, which is nearly grey and nearly of two
 * tones: the palette's and the colour profiles' roundings, JPEG's, the loss of colour, and for
 * one bit that of every tone between. */
static const double most_off[KINDS] = {
    [PNG_GREY] = 12,   [PNG_PALETTE] = 4,   [PNG_ONE_BIT] = 60,
    [JPEG_COLOUR] = 4, [JPEG_GREY] = 12,    [JPEG_CMYK] = 8,
    [TIFF_GREY] = 12,  [TIFF_ONE_BIT] = 60, [TIFF_CMYK] = 8};

START_TEST(every_kind_gives_the_same_pixels) {
    const ScanPlan plan = plain_plan();
    g_autoptr(TapulPixels) pixels = draw_scan(&plan);
    g_autofree char *path = save_as(pixels, (FileKind)_i);
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulPicture) picture = tapul_picture_open(path, &error);
    g_autoptr(TapulPixels) read = load(path);
    ck_assert(tapul_picture_is_one(path));
    g_unlink(path);
    ck_assert_str_eq(picture->kind, file_kinds[_i].kind);
    ck_assert_msg(g_strcmp0(picture->converted, file_kinds[_i].converted) == 0, "%s",
                  picture->converted);
    ck_assert_double_le(difference(pixels, read), most_off[_i]);
}
END_TEST

/* Row r and column c of the file lie, when upright, at x and y (EXIF 2.3, tag 274). */
static void upright_place(int tag, int r, int c, int width, int height, int *x, int *y) {
    gboolean lying = tag >= 5;
    *x = lying ? r : c;
    *y = lying ? c : r;
    if (tag == 2 || tag == 3 || tag == 6 || tag == 7)
        *x = width - 1 - *x;
    if (tag == 3 || tag == 4 || tag == 7 || tag == 8)
        *y = height - 1 - *y;
}

START_TEST(an_orientation_tag_turns_the_picture_upright) {
    g_autoptr(TapulPixels) upright = small_picture();
    gboolean lying = _i >= 5;
    g_autoptr(TapulPixels) turned = tapul_pixels_new(lying ? 40 : 60, lying ? 60 : 40, 3);
    for (int r = 0; r < turned->height_px; r++)
        for (int c = 0; c < turned->width_px; c++) {
            int x, y;
            upright_place(_i, r, c, 60, 40, &x, &y);
            memcpy(turned->data + (r * turned->width_px + c) * 3,
                   upright->data + (y * 60 + x) * 3, 3);
        }
    const char *const names[] = {"turned.tif", "turned.jpg"};
    for (int k = 0; k < 2; k++) {
        g_autofree char *path = scan_path(names[k]);
        g_autoptr(TapulVipsImage) image = vips_of(turned);
        vips_image_set_int(image, VIPS_META_ORIENTATION, _i);
        image->Xres = 300 / 25.4;
        image->Yres = 200 / 25.4;
        ck_assert_int_eq(k == 0 ? vips_tiffsave(image, path, NULL)
                                : vips_jpegsave(image, path, "Q", 100, "subsample_mode",
                                                VIPS_FOREIGN_SUBSAMPLE_OFF, NULL),
                         0);
        g_autoptr(TapulPicture) picture = tapul_picture_open(path, NULL);
        g_autoptr(TapulPixels) read = load(path);
        g_unlink(path);
        ck_assert_double_le(difference(upright, read), k == 0 ? 0 : 1);
        ck_assert_double_eq_tol(picture->dpi_x, lying ? 200 : 300, 1);
        ck_assert_double_eq_tol(picture->dpi_y, lying ? 300 : 200, 1);
    }
}
END_TEST

START_TEST(written_pictures_come_back) {
    g_autoptr(TapulPixels) pixels = tapul_pixels_new(31, 17, _i);
    for (gsize i = 0; i < 31 * 17 * (gsize)_i; i++)
        pixels->data[i] = (guint8)(i % (gsize)_i == 3 ? 255 : i * 7);
    const char *const names[] = {"written.png", "written.tif"};
    for (int k = 0; k < 2; k++) {
        g_autofree char *path = scan_path(names[k]);
        g_autoptr(GError) error = NULL;
        ck_assert((k == 0 ? tapul_pixels_write_png : tapul_pixels_write_tiff)(pixels, 600, path,
                                                                              &error));
        g_autoptr(TapulPicture) picture = tapul_picture_open(path, NULL);
        g_autoptr(TapulPixels) read = load(path);
        g_unlink(path);
        ck_assert_double_eq_tol(picture->dpi_x, 600, 0.1);
        ck_assert_double_le(difference(pixels, read), 0);
    }
    g_autoptr(GError) error = NULL;
    ck_assert(!tapul_pixels_write_png(pixels, 600, "/nowhere/at/all.png", &error));
    ck_assert_int_eq(error->code, TAPUL_PICTURE_ERROR_FILE);
}
END_TEST

START_TEST(a_resolution_no_scanner_has_is_not_believed) {
    static const struct {
        double dpi, believed;
    } cases[] = {{72, 0}, {96, 0}, {300, 300}, {1200, 1200}, {50000, 0}};
    g_autoptr(TapulPixels) pixels = small_picture();
    g_autofree char *path = scan_path("resolution.png");
    for (guint i = 0; i < G_N_ELEMENTS(cases); i++) {
        ck_assert(tapul_pixels_write_png(pixels, cases[i].dpi, path, NULL));
        g_autoptr(TapulPicture) picture = tapul_picture_open(path, NULL);
        ck_assert_double_eq_tol(picture->dpi_x, cases[i].believed, 0.1);
    }
    g_unlink(path);
}
END_TEST

/* --- What is refused --- */

START_TEST(half_a_picture_is_an_error) {
    const ScanPlan plan = plain_plan();
    g_autoptr(TapulPixels) pixels = draw_scan(&plan);
    g_autofree char *path = save_as(pixels, (FileKind)_i), *bytes = NULL;
    gsize length;
    ck_assert(g_file_get_contents(path, &bytes, &length, NULL));
    for (int tenths = 1; tenths < 10; tenths += 4) {
        ck_assert(
            g_file_set_contents(path, bytes, (gssize)(length * (gsize)tenths / 10), NULL));
        check_refused(path, TAPUL_PICTURE_ERROR_DATA, "");
    }
    g_unlink(path);
}
END_TEST

static char *write_bytes(const char *bytes, gsize length) {
    char *path = scan_path("bytes");
    ck_assert(g_file_set_contents(path, bytes, (gssize)length, NULL));
    return path;
}

START_TEST(what_is_no_picture_is_refused) {
    g_autofree char *text = write_bytes("once upon a time", 16),
                    *gif = write_bytes("GIF89a\1\0\1\0", 10);
    g_autofree char *empty = write_bytes("", 0);
    check_refused("/nowhere/at/all.png", TAPUL_PICTURE_ERROR_FILE, "no such file");
    check_refused(g_get_tmp_dir(), TAPUL_PICTURE_ERROR_FILE, "is not a file");
    check_refused("/dev/zero", TAPUL_PICTURE_ERROR_FILE, "is not a file");
    check_refused(text, TAPUL_PICTURE_ERROR_FORMAT, "permitted: PNG, JPEG, TIFF");
    check_refused(gif, TAPUL_PICTURE_ERROR_FORMAT, "permitted: PNG, JPEG, TIFF");
    check_refused(empty, TAPUL_PICTURE_ERROR_FORMAT, "permitted: PNG, JPEG, TIFF");
    ck_assert(!tapul_picture_is_one(text) && !tapul_picture_is_one("/dev/zero"));
    g_unlink(text);
    g_unlink(gif);
    g_unlink(empty);
}
END_TEST

/* A TIFF of one grey strip, or tile, that claims these sizes (TIFF 6.0). */
static char *claiming_tiff(guint32 width, guint32 height, guint32 bits, gboolean tiled,
                           guint32 side) {
    const guint32 tags[][2] = {{256, width},
                               {257, height},
                               {258, bits},
                               {259, 1},
                               {262, 1},
                               {tiled ? 322 : 273, tiled ? side : 8},
                               {tiled ? 323 : 277, tiled ? side : 1},
                               {tiled ? 324 : 278, tiled ? 8 : side},
                               {tiled ? 325 : 279, 16}};
    g_autoptr(GByteArray) bytes = g_byte_array_new();
    const guint8 head[] = {'I', 'I', 42, 0, 24, 0,  0,  0,  1,  2,  3,  4,
                           5,   6,   7,  8, 9,  10, 11, 12, 13, 14, 15, 16};
    g_byte_array_append(bytes, head, sizeof head);
    const guint8 count[] = {G_N_ELEMENTS(tags), 0};
    g_byte_array_append(bytes, count, 2);
    for (guint i = 0; i < G_N_ELEMENTS(tags); i++) {
        /* Type 4: one number of 32 bits. */
        const guint16 kind[2] = {GUINT16_TO_LE(tags[i][0]), GUINT16_TO_LE(4)};
        const guint32 rest[2] = {GUINT32_TO_LE(1), GUINT32_TO_LE(tags[i][1])};
        g_byte_array_append(bytes, (const guint8 *)kind, 4);
        g_byte_array_append(bytes, (const guint8 *)rest, 8);
    }
    const guint8 end[] = {0, 0, 0, 0};
    g_byte_array_append(bytes, end, 4);
    return write_bytes((const char *)bytes->data, bytes->len);
}

START_TEST(huge_claims_are_refused_before_decoding) {
    static const struct {
        guint32 width, height, bits;
        gboolean tiled;
        guint32 side;
        int code;
    } claims[] = {
        {200000, 200000, 8, FALSE, 200000, TAPUL_PICTURE_ERROR_SIZE},
        {59000, 59000, 8, FALSE, 59000, TAPUL_PICTURE_ERROR_SIZE},
        {70000, 10, 8, FALSE, 10, TAPUL_PICTURE_ERROR_SIZE},
        {100, 100, 8, FALSE, 4294967295u, TAPUL_PICTURE_ERROR_DATA},
        {100, 100, 8, TRUE, 1048576, -1},
        {100, 100, 8, TRUE, 16, -1},
        {4294967295u, 4294967295u, 8, FALSE, 1, -1},
        {0, 10, 8, FALSE, 10, -1},
        {10, 0, 8, FALSE, 10, -1},
        {10000, 10000, 16, FALSE, 10000, -1},
    };
    for (guint i = 0; i < G_N_ELEMENTS(claims); i++) {
        g_autofree char *path = claiming_tiff(claims[i].width, claims[i].height, claims[i].bits,
                                              claims[i].tiled, claims[i].side);
        check_refused(path, claims[i].code, "");
        g_unlink(path);
    }
}
END_TEST

/* --- Files of others, made to be hard to read --- */

static gboolean there_is(const char *test, const char *folder) {
    if (g_file_test(folder, G_FILE_TEST_IS_DIR))
        return TRUE;
    printf("SKIP: %s: %s is not there\n", test, folder);
    return FALSE;
}

START_TEST(the_suite_of_pngs_is_read_and_its_broken_ones_are_not) {
    const char *folder = HOSTILE "/png_suite/png";
    int read = 0, refused = 0;
    if (!there_is("the_suite_of_pngs_is_read_and_its_broken_ones_are_not", folder))
        return;
    g_autoptr(GDir) directory = g_dir_open(folder, 0, NULL);
    for (const char *name; (name = g_dir_read_name(directory));) {
        g_autofree char *path = g_build_filename(folder, name, NULL);
        if (name[0] == 'x') {
            check_refused(path, -1, "");
            refused++;
            continue;
        }
        g_autoptr(TapulPixels) pixels = load(path);
        read++;
    }
    ck_assert_int_eq(refused, 14);
    ck_assert_int_gt(read, 100);
}
END_TEST

START_TEST(broken_pictures_are_refused_or_read_whole) {
    /* Those that must not be read: cut short, or with damaged lines. */
    static const char *const broken[] = {"broken.png",
                                         "broken_data_stream.png",
                                         "truncated_image.png",
                                         "truncated_jpeg.jpg",
                                         "crash-0da013a13571cc8eb457a39fee8db18f8a3c7127.tif",
                                         "oom-225817ca0f8c663be7ab4b9e717b02c661e66834.tif",
                                         NULL};
    const char *folder = HOSTILE "/img_pillow";
    if (!there_is("broken_pictures_are_refused_or_read_whole", folder))
        return;
    g_autoptr(GDir) directory = g_dir_open(folder, 0, NULL);
    for (const char *name; (name = g_dir_read_name(directory));) {
        g_autofree char *path = g_build_filename(folder, name, NULL);
        g_autoptr(GError) error = NULL;
        g_autoptr(TapulPixels) pixels = tapul_pixels_load(path, &error);
        ck_assert_msg(!pixels || !g_strv_contains(broken, name), "%s is read", name);
        ck_assert_msg(
            pixels || (g_str_has_prefix(error->message, path) && !strchr(error->message, '\n')),
            "%s", error->message);
    }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("picture");
    TCase *tests = tcase_create("picture");
    tcase_set_timeout(tests, 300);
    tcase_add_loop_test(tests, every_kind_gives_the_same_pixels, 0, KINDS);
    tcase_add_loop_test(tests, an_orientation_tag_turns_the_picture_upright, 1, 9);
    tcase_add_loop_test(tests, written_pictures_come_back, 1, 2);
    tcase_add_loop_test(tests, written_pictures_come_back, 3, 4);
    tcase_add_loop_test(tests, written_pictures_come_back, 4, 5);
    tcase_add_test(tests, a_resolution_no_scanner_has_is_not_believed);
    tcase_add_loop_test(tests, half_a_picture_is_an_error, 0, KINDS);
    tcase_add_test(tests, what_is_no_picture_is_refused);
    tcase_add_test(tests, huge_claims_are_refused_before_decoding);
    tcase_add_test(tests, the_suite_of_pngs_is_read_and_its_broken_ones_are_not);
    tcase_add_test(tests, broken_pictures_are_refused_or_read_whole);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
