/* Bad prints: each is refused with one line that names the file, nothing is fetched, nothing
 * hangs. */
#include "prints_for_tests.h"

#include <gio/gio.h>
#include <stdlib.h>

#define SVG                                                                                    \
    "<svg xmlns='http://www.w3.org/2000/svg' xmlns:xlink='http://www.w3.org/1999/xlink' "
#define LINE "<path d='M0 0H10' stroke='black'/>"

typedef struct {
    const char *text;
    int code;
    const char *said; /* part of the message */
} Refusal;

static const Refusal refusals[] = {
    {"", TAPUL_INK_ERROR_FILE, "is empty"},
    {"<html/>", TAPUL_INK_ERROR_FILE, "neither SVG nor PDF"},
    {"once upon a time", TAPUL_INK_ERROR_FILE, "neither SVG nor PDF"},
    {"tapul: plate/1\nname: a plate", TAPUL_INK_ERROR_FILE, "neither SVG nor PDF"},
    {"\x89PNG\r\n", TAPUL_INK_ERROR_FILE, "neither SVG nor PDF"},
    {SVG "width='9mm' height='9mm'>\n<g>" LINE "</svg>", TAPUL_INK_ERROR_SYNTAX, "line 2"},
    {SVG "width='0' height='9mm'>" LINE "</svg>", TAPUL_INK_ERROR_SIZE, "0 mm wide"},
    {SVG "width='1e9mm' height='9mm'>" LINE "</svg>", TAPUL_INK_ERROR_SIZE,
     "permitted: 0.01 to 20000 mm"},
    {SVG ">" LINE "</svg>", TAPUL_INK_ERROR_SIZE, "no size"},
    {SVG "width='9mm'>" LINE "</svg>", TAPUL_INK_ERROR_SIZE, "no height, and no viewBox"},
    {SVG "viewBox='0 0 0 0'>" LINE "</svg>", TAPUL_INK_ERROR_SIZE, "viewBox is 0 wide"},
    {SVG "width='9mm' height='9mm' viewBox='0 0 9 0'>" LINE "</svg>", TAPUL_INK_ERROR_SIZE,
     "viewBox is 9 wide and 0 high"},
    {SVG "width='9mm' height='9mm'><path d='M4 4L4 4' stroke='black'/></svg>",
     TAPUL_INK_ERROR_EMPTY, "holds nothing that can become ink"},
    {SVG "width='9mm' height='9mm'><path d='M0 0L9e9 9' stroke='red'/></svg>",
     TAPUL_INK_ERROR_SIZE, "permitted"},
    {SVG "width='9mm' height='9mm'/>", TAPUL_INK_ERROR_EMPTY,
     "holds nothing that can become ink"},
    {SVG "width='9mm' height='9mm'><rect width='9' height='9' fill='white'/></svg>",
     TAPUL_INK_ERROR_EMPTY, ""},
    {SVG "width='9mm' height='9mm'><image width='9' height='9' "
         "xlink:href='http://127.0.0.1:1/a.png'/></svg>",
     TAPUL_INK_ERROR_EMPTY, "1 external reference"},
    {"<!DOCTYPE svg [<!ENTITY a 'aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa'>"
     "<!ENTITY b '&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;'><!ENTITY c '&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;'>"
     "<!ENTITY d '&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;'><!ENTITY e '&d;&d;&d;&d;&d;&d;&d;&d;&d;&d;'>"
     "<!ENTITY f '&e;&e;&e;&e;&e;&e;&e;&e;&e;&e;'><!ENTITY g "
     "'&f;&f;&f;&f;&f;&f;&f;&f;&f;&f;'>]>" SVG "width='9mm' height='9mm'><text>&g;</text>" LINE
     "</svg>",
     TAPUL_INK_ERROR_SYNTAX, "entity"},
    {"%PDF-1.4 and then nothing", TAPUL_INK_ERROR_SYNTAX, "not a sound PDF"},
};

START_TEST(bad_prints_are_refused_in_one_line) {
    const Refusal *refusal = &refusals[_i];
    g_autofree char *path = write_print(refusal->text, -1);
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulInk) ink = tapul_ink_read(path, NULL, &error);
    g_unlink(path);
    ck_assert_ptr_null(ink);
    ck_assert_msg(error->domain == TAPUL_INK_ERROR && error->code == refusal->code, "%d: %s",
                  error->code, error->message);
    ck_assert_msg(g_str_has_prefix(error->message, path), "%s", error->message);
    ck_assert_msg(strstr(error->message, refusal->said) != NULL, "%s", error->message);
    ck_assert_ptr_null(strchr(error->message, '\n'));
}
END_TEST

static void check_refused(const char *path, int page, int code, const char *said) {
    TapulInkOptions options = tapul_ink_options_defaults();
    options.page = page;
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(tapul_ink_read(path, &options, &error));
    ck_assert_msg(error->code == code, "%s", error->message);
    ck_assert_msg(strstr(error->message, said) != NULL, "%s", error->message);
}

START_TEST(files_that_are_no_files_are_refused) {
    check_refused("", 1, TAPUL_INK_ERROR_FILE, "no file is named");
    check_refused("/nowhere/at/all.svg", 1, TAPUL_INK_ERROR_FILE, "/nowhere/at/all.svg");
    check_refused(g_get_tmp_dir(), 1, TAPUL_INK_ERROR_FILE, "is not a file");
    check_refused("/dev/zero", 1, TAPUL_INK_ERROR_FILE, "is not a file");
}
END_TEST

START_TEST(pages_out_of_range_and_passwords_are_refused) {
    g_autofree char *ruler = print_path("ruler-mm.pdf"), *locked = print_path("encrypted.pdf");
    g_autofree char *svg = print_path("ruler-mm.svg"),
                    *photograph = print_path("picture-only.svg");
    check_refused(ruler, 2, TAPUL_INK_ERROR_FILE, "page 2; permitted: 1 to 1");
    check_refused(ruler, 0, TAPUL_INK_ERROR_FILE, "permitted: 1 to 1");
    check_refused(svg, 2, TAPUL_INK_ERROR_FILE, "page 2");
    check_refused(locked, 1, TAPUL_INK_ERROR_ENCRYPTED, "password");
    check_refused(photograph, 1, TAPUL_INK_ERROR_EMPTY, "1 picture");
}
END_TEST

START_TEST(other_files_are_never_read) {
    g_autofree char *secret = write_print("secret", -1);
    g_autofree char *text = g_strdup_printf(
        "<?xml version='1.0'?><!DOCTYPE svg [<!ENTITY other SYSTEM '%s'><!ENTITY %% pe SYSTEM "
        "'%s'> %%pe;]>"
        "<?xml-stylesheet href='http://127.0.0.1:1/a.css'?>" SVG
        "width='90mm' height='90mm'><style>@import url(http://127.0.0.1:1/b.css);</style>"
        "<text y='50' font-size='20'>&other;</text><use xlink:href='%s#a'/>" LINE "</svg>",
        secret, secret, secret);
    g_autoptr(GError) error = NULL;
    g_autoptr(TapulInk) ink = read_text(text, &error);
    g_unlink(secret);
    ck_assert_msg(ink != NULL, "%s", error ? error->message : "");
    ck_assert_int_eq(ink->strokes, 1);
    ck_assert_int_eq(ink->fills, 0);
    ck_assert_int_ge(skipped_count(ink, "external reference"), 5);
}
END_TEST

START_TEST(a_bomb_of_zeros_is_refused) {
    g_autoptr(GOutputStream) memory = g_memory_output_stream_new_resizable();
    g_autoptr(GConverter) zip =
        G_CONVERTER(g_zlib_compressor_new(G_ZLIB_COMPRESSOR_FORMAT_GZIP, 1));
    g_autoptr(GOutputStream) stream = g_converter_output_stream_new(memory, zip);
    g_autofree char *zeros = g_malloc0(1 << 20);
    for (int i = 0; i < 257; i++)
        ck_assert(g_output_stream_write_all(stream, zeros, 1 << 20, NULL, NULL, NULL));
    ck_assert(g_output_stream_close(stream, NULL, NULL));
    GMemoryOutputStream *packed = G_MEMORY_OUTPUT_STREAM(memory);
    g_autofree char *path = write_print(g_memory_output_stream_get_data(packed),
                                        (gssize)g_memory_output_stream_get_data_size(packed));
    check_refused(path, 1, TAPUL_INK_ERROR_SIZE, "unpacks to more than");
    g_unlink(path);
}
END_TEST

START_TEST(gzipped_svg_reads_like_plain) {
    g_autofree char *path = print_path("ruler-mm.svg");
    g_autofree char *text = NULL;
    gsize length;
    ck_assert(g_file_get_contents(path, &text, &length, NULL));
    g_autoptr(GConverter) zip =
        G_CONVERTER(g_zlib_compressor_new(G_ZLIB_COMPRESSOR_FORMAT_GZIP, 9));
    char packed[4096];
    gsize read, written;
    ck_assert_int_eq(g_converter_convert(zip, text, length, packed, sizeof packed,
                                         G_CONVERTER_INPUT_AT_END, &read, &written, NULL),
                     G_CONVERTER_FINISHED);
    g_autofree char *packed_path = write_print(packed, (gssize)written);
    g_autoptr(TapulInk) ink = tapul_ink_read(packed_path, NULL, NULL);
    g_unlink(packed_path);
    ck_assert_ptr_nonnull(ink);
    ck_assert_double_eq_tol(ink->ink_length_mm, 155, 0.01);
}
END_TEST

START_TEST(half_a_pdf_is_refused_or_read_but_never_crashes) {
    g_autofree char *path = print_path("kinds.pdf");
    g_autofree char *bytes = NULL;
    gsize length;
    ck_assert(g_file_get_contents(path, &bytes, &length, NULL));
    for (gsize part = 1; part < 12; part++) {
        g_autofree char *half = write_print(bytes, (gssize)(length * part / 12));
        g_autoptr(GError) error = NULL;
        g_autoptr(TapulInk) ink = tapul_ink_read(half, NULL, &error);
        g_unlink(half);
        ck_assert(ink != NULL || error->domain == TAPUL_INK_ERROR);
    }
}
END_TEST

/* librsvg's own hostile files (test-suite of librsvg 2.54, errors/): nested uses, patterns of
 * patterns, a million elements. */
START_TEST(hostile_svgs_come_to_an_end) {
    g_autofree char *folder =
        g_build_filename(g_getenv("TAPUL_SOURCE_ROOT"), "..", "shared", "data", "hostile",
                         "svg_librsvg_loading", "errors", NULL);
    g_autoptr(GDir) dir = g_dir_open(folder, 0, NULL);
    if (!dir) {
        puts("SKIP: hostile_svgs_come_to_an_end: no ../shared/data/hostile");
        return;
    }
    for (const char *name = g_dir_read_name(dir); name; name = g_dir_read_name(dir)) {
        g_autofree char *path = g_build_filename(folder, name, NULL);
        g_autoptr(GError) error = NULL;
        g_autoptr(TapulInk) ink = tapul_ink_read(path, NULL, &error);
        ck_assert(ink != NULL || error->domain == TAPUL_INK_ERROR);
    }
}
END_TEST

/* A closed line from corner to corner of a page of 90 mm, drawn by lots of a fixed seed. */
static char *tangled_print(int corners) {
    GString *text =
        g_string_new(SVG "width='90mm' height='90mm' viewBox='0 0 90 90'><path d='");
    g_autoptr(GRand) lots = g_rand_new_with_seed(7);
    for (int i = 0; i < corners; i++) {
        double x = g_rand_double_range(lots, 1, 89), y = g_rand_double_range(lots, 1, 89);
        g_string_append_printf(text, "%c%.3f %.3f", i == 0 ? 'M' : 'L', x, y);
    }
    g_string_append(text, "Z'/></svg>");
    return g_string_free(text, FALSE);
}

START_TEST(tangles_are_estimated_or_refused) {
    static const struct {
        int corners;
        gboolean read;
    } tangles[] = {{300, TRUE}, {1500, TRUE}, {5000, FALSE}, {20000, FALSE}};
    for (guint i = 0; i < G_N_ELEMENTS(tangles); i++) {
        g_autofree char *text = tangled_print(tangles[i].corners);
        g_autoptr(GError) error = NULL;
        g_autoptr(TapulInk) ink = read_text(text, &error);
        ck_assert_int_eq(ink != NULL, tangles[i].read);
        if (ink)
            ck_assert_int_eq(skipped_count(ink, "tangled fill's exact area"), 1);
        else
            ck_assert_msg(strstr(error->message, "cross themselves too often") != NULL, "%s",
                          error->message);
    }
}
END_TEST

START_TEST(too_tall_letters_are_counted_and_nothing_is_said) {
    g_autofree char *text = g_strdup(SVG "width='90mm' height='90mm' viewBox='0 0 90 90'>" LINE
                                         "<text y='30' font-size='9e7'>H</text></svg>");
    g_autoptr(GError) error = NULL;
    g_log_set_always_fatal(G_LOG_LEVEL_CRITICAL | G_LOG_LEVEL_WARNING | G_LOG_FATAL_MASK);
    g_autoptr(TapulInk) ink = read_text(text, &error);
    ck_assert_msg(ink != NULL, "%s", error ? error->message : "");
    ck_assert_int_eq(skipped_count(ink, "text"), 1);
    ck_assert_int_eq(ink->strokes, 1);
}
END_TEST

START_TEST(ink_is_never_written_onto_devices_and_folders) {
    g_autoptr(TapulInk) ink = read_print("ruler-mm.svg");
    const char *const places[] = {"/dev/full", "/dev/null", g_get_tmp_dir()};
    for (guint i = 0; i < G_N_ELEMENTS(places); i++) {
        g_autoptr(GError) error = NULL;
        ck_assert(!tapul_ink_write_svg(ink, places[i], &error));
        ck_assert_msg(g_str_has_prefix(error->message, places[i]), "%s", error->message);
        ck_assert(!g_file_test(places[i], G_FILE_TEST_IS_REGULAR));
    }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("ink refusals");
    TCase *core = tcase_create("refusing");
    /* Against reading without end; how fast it goes is for the benchmarks. */
    tcase_set_timeout(core, 300);
    tcase_add_loop_test(core, bad_prints_are_refused_in_one_line, 0,
                        (int)G_N_ELEMENTS(refusals));
    tcase_add_test(core, files_that_are_no_files_are_refused);
    tcase_add_test(core, pages_out_of_range_and_passwords_are_refused);
    tcase_add_test(core, other_files_are_never_read);
    tcase_add_test(core, a_bomb_of_zeros_is_refused);
    tcase_add_test(core, gzipped_svg_reads_like_plain);
    tcase_add_test(core, half_a_pdf_is_refused_or_read_but_never_crashes);
    tcase_add_test(core, hostile_svgs_come_to_an_end);
    tcase_add_test(core, tangles_are_estimated_or_refused);
    tcase_add_test(core, too_tall_letters_are_counted_and_nothing_is_said);
    tcase_add_test(core, ink_is_never_written_onto_devices_and_folders);
    suite_add_tcase(suite, core);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
