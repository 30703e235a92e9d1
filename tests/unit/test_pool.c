/* Pools of unrelated prints: what is read of a folder, and the ratio for a print that is the
 * source of a worn tracing and for one that is not. The prints are invented. */
#include "evidence/likelihood.h"
#include "evidence/pool.h"
#include "evidence/rolled_fit.h"
#include "pairs_for_tests.h"

#include <stdlib.h>
#include <string.h>

static TestGround *ground;
static TapulPlacement *placement;
static gsl_rng *random_numbers;
static char *folder;
static TapulCase question;
static TapulPrint asked;

static TapulInk *ink_of(const char *path) {
    g_autoptr(GError) error = NULL;
    TapulInk *ink = tapul_ink_read(path, NULL, &error);
    ck_assert_msg(ink != NULL, "%s", error ? error->message : path);
    return ink;
}

static char *demo_print(const char *name) {
    return g_build_filename(g_getenv("TAPUL_SOURCE_ROOT"), "demo-prints", "prints", name, NULL);
}

static void write_file(const char *name, const char *contents, gssize length) {
    g_autofree char *path = g_build_filename(folder, name, NULL);
    ck_assert(g_file_set_contents(path, contents, length, NULL));
}

static void copy_print(const char *name, const char *as) {
    g_autofree char *path = demo_print(name), *contents = NULL;
    gsize length;
    ck_assert(g_file_get_contents(path, &contents, &length, NULL));
    write_file(as, contents, (gssize)length);
}

/* Loops, waves and scrolls strewn over a sheet of 80 by 110 mm. */
static void write_invented(int number, int lines) {
    g_autofree char *name = g_strdup_printf("invented-%02d.svg", number);
    g_autoptr(GString) svg =
        g_string_new("<svg xmlns='http://www.w3.org/2000/svg' width='80mm' height='110mm' "
                     "viewBox='0 0 80 110'><g fill='none' stroke='black' stroke-width='0.3'>");
    for (int i = 0; i < lines; i++) {
        double x = 6 + 68 * gsl_rng_uniform(random_numbers);
        double y = 6 + 98 * gsl_rng_uniform(random_numbers);
        g_string_append_printf(svg, "<path d='M %.2f %.2f", x, y);
        for (int k = 0; k < 6; k++)
            g_string_append_printf(svg, " %s %.2f %.2f",
                                   k % 2 ? ""
                                   : k   ? ""
                                         : "q",
                                   -8 + 16 * gsl_rng_uniform(random_numbers),
                                   -8 + 16 * gsl_rng_uniform(random_numbers));
        g_string_append(svg, "'/>");
    }
    g_string_append(svg, "</g></svg>");
    write_file(name, svg->str, -1);
}

/* The folder: nine prints of the demonstration, two of which come twice and one (the small
 * motifs) has too little ink to compare; thirteen more; one of few lines; the print in
 * question; a note. */
enum { IN_POOL = 21 };
static void fill_folder(void) {
    static const char *const names[] = {
        "braided-border.svg",  "braided-border.pdf", "canopy-figure.svg", "grotesque-panel.svg",
        "kingfishers.svg",     "mask-drapery.svg",   "river-trophy.svg",  "roped-border.svg",
        "scrolled-frieze.svg", "small-motifs.svg",   "reed-cartouche.svg"};
    for (guint i = 0; i < G_N_ELEMENTS(names); i++)
        copy_print(names[i], names[i]);
    copy_print("kingfishers.svg", "another-name.svg");
    for (int i = 0; i < 13; i++)
        write_invented(i, 260);
    write_invented(13, 10);
    write_file("notes.txt", "not a print", -1);
}

/* The placement of a print, pressed on at the middle; its plate mark's middle is at the pairs'.
 */
static void set_up(void) {
    TestPairsKind kind = {12, FALSE, FALSE, 60, 0.9, 0.05, 0.1};
    ground = test_ground_new(SPHERE_SURFACE, SPHERE_MIDDLE_MM);
    random_numbers = gsl_rng_alloc(gsl_rng_mt19937);
    g_autofree char *path = demo_print("reed-cartouche.svg");
    asked = (TapulPrint){.id = "reeds", .file = g_strdup(path), .ink = ink_of(path)};
    question.prints = g_ptr_array_new();
    g_ptr_array_add(question.prints, &asked);
    g_auto(TestPairs) pairs = test_pairs_new(ground, &kind, random_numbers);
    TapulVec2 off = {asked.ink->width_mm / 2 - PAIRS_MIDDLE_MM,
                     asked.ink->height_mm / 2 - PAIRS_MIDDLE_MM};
    for (int k = 0; k < kind.n; k++)
        pairs.print_mm[k] = tapul_vec2_add(pairs.print_mm[k], off);
    pairs.set.pressing_mm = tapul_vec2_add(pairs.set.pressing_mm, off);
    TapulRolledFit rolled;
    ck_assert(tapul_rolled_start(&pairs.set, FALSE, &rolled));
    placement = tapul_placement_new_take(&rolled.plane, &rolled.fit);
    tapul_rolled_fit_clear(&rolled);
    folder = g_dir_make_tmp("tapul-pool-XXXXXX", NULL);
    fill_folder();
}

static void remove_folder(void) {
    GDir *dir = g_dir_open(folder, 0, NULL);
    for (const char *name; (name = g_dir_read_name(dir));) {
        g_autofree char *path = g_build_filename(folder, name, NULL);
        g_unlink(path);
    }
    g_dir_close(dir);
    g_rmdir(folder);
    g_free(folder);
}

static void tear_down(void) {
    remove_folder();
    g_ptr_array_unref(question.prints);
    g_free(asked.file);
    tapul_ink_free(asked.ink);
    tapul_placement_free(placement);
    gsl_rng_free(random_numbers);
    test_ground_free(ground);
}

static GPtrArray *read_pool(void) {
    g_autoptr(GError) error = NULL;
    GPtrArray *pool = tapul_pool_read(folder, &question, 0, &error);
    ck_assert_msg(pool != NULL, "%s", error ? error->message : "no error told");
    return pool;
}

/* Each drawing once, without the case's own and those of few lines, and all of one area. */
START_TEST(a_folder_is_read_once_each) {
    g_autoptr(GPtrArray) pool = read_pool();
    ck_assert_int_eq((int)pool->len, IN_POOL);
    for (guint i = 0; i < pool->len; i++) {
        const TapulInk *ink = g_ptr_array_index(pool, i);
        ck_assert_double_eq_tol(ink->width_mm * ink->height_mm,
                                asked.ink->width_mm * asked.ink->height_mm, 0.01);
    }
}
END_TEST

START_TEST(what_cannot_be_read_is_told) {
    g_autoptr(GError) none = NULL, broken = NULL;
    ck_assert_ptr_null(tapul_pool_read("/no/such/folder", &question, 0, &none));
    ck_assert(g_error_matches(none, TAPUL_EVIDENCE_ERROR, TAPUL_EVIDENCE_ERROR_POOL));
    ck_assert(g_str_has_prefix(none->message, "/no/such/folder: "));
    write_file("broken.svg", "<svg", -1);
    g_autofree char *path = g_build_filename(folder, "broken.svg", NULL);
    ck_assert_ptr_null(tapul_pool_read(folder, &question, 0, &broken));
    ck_assert_msg(g_str_has_prefix(broken->message, path), "%s", broken->message);
    ck_assert_ptr_null(strchr(broken->message, '\n'));
    g_unlink(path);
}
END_TEST

START_TEST(a_small_pool_has_no_ratio) {
    g_autoptr(GPtrArray) pool = read_pool();
    TapulPoolOptions options = {0.3, 0.1, 0.5, 1, NULL, NULL};
    g_autoptr(TapulInkMap) plate =
        tapul_pool_tracing(asked.ink, asked.ink, asked.ink, placement, &options, 1);
    g_ptr_array_set_size(pool, TAPUL_FEWEST_OF_POOL - 1);
    TapulLikelihoodRatio ratio = tapul_pool_ratio(pool, asked.ink, placement, plate, &options);
    ck_assert(!ratio.has);
    ck_assert_int_eq(ratio.pool, 9);
    ck_assert(g_str_has_prefix(ratio.words, "no ratio: fewer than 10 prints"));
}
END_TEST

/* Three tenths of the ink worn off, a tenth added, traced to half a millimetre: hatching so
 * close that it meets lines anywhere is a hard case, of which weak support is what may be
 * asked. */
START_TEST(the_source_is_told_from_another_print) {
    g_autoptr(GPtrArray) pool = read_pool();
    TapulPoolOptions options = {0.3, 0.1, 0.5, 1, NULL, NULL};
    const TapulInk *other = g_ptr_array_index(pool, pool->len - 1);
    g_autoptr(TapulInkMap) own =
        tapul_pool_tracing(asked.ink, other, asked.ink, placement, &options, 77);
    g_autoptr(TapulInkMap) unrelated =
        tapul_pool_tracing(other, asked.ink, asked.ink, placement, &options, 78);
    /* The print that the second tracing was made of is not of its pool. */
    g_ptr_array_set_size(pool, (int)pool->len - 1);
    TapulLikelihoodRatio source = tapul_pool_ratio(pool, asked.ink, placement, own, &options);
    ck_assert_int_eq(source.pool, IN_POOL - 1);
    ck_assert_double_le(source.misleading_share, 0.01);
    ck_assert_msg(source.value > 2, "score %.3f, ratio %.3g", source.score, source.value);
    g_ptr_array_set_size(pool, 12);
    TapulLikelihoodRatio none =
        tapul_pool_ratio(pool, asked.ink, placement, unrelated, &options);
    ck_assert_msg(none.value < 0.5, "score %.3f, ratio %.3g", none.score, none.value);
    ck_assert_double_ge(none.value, 1 / none.limit);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("pool");
    TCase *cases = tcase_create("pool");
    tcase_set_timeout(cases, 300);
    tcase_add_unchecked_fixture(cases, set_up, tear_down);
    tcase_add_test(cases, a_folder_is_read_once_each);
    tcase_add_test(cases, what_cannot_be_read_is_told);
    tcase_add_test(cases, a_small_pool_has_no_ratio);
    tcase_add_test(cases, the_source_is_told_from_another_print);
    suite_add_tcase(suite, cases);
    SRunner *runner = srunner_create(suite);
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
