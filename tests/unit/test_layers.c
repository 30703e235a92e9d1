/* Holds the layers: a file may include only from its own layer or lower, and only src/ink may
 * see poppler and librsvg. Reads the #include lines of the tree. */
#include <check.h>
#include <glib.h>
#include <stdlib.h>
#include <string.h>

/* Lowest first; develop and ink stand side by side, photo beside ink, and pounce beside
 * evidence. */
static const struct {
    const char *folder;
    const char *may_see[12];
} layers[] = {
    {"base", {"base", NULL}},
    {"plate", {"base", "plate", NULL}},
    {"develop", {"base", "plate", "develop", NULL}},
    {"ink", {"base", "plate", "ink", NULL}},
    {"photo", {"base", "plate", "develop", "photo", NULL}},
    {"laying", {"base", "plate", "develop", "ink", "photo", "laying", NULL}},
    {"evidence", {"base", "plate", "develop", "ink", "photo", "laying", "evidence", NULL}},
    {"pounce", {"base", "plate", "develop", "ink", "photo", "laying", "pounce", NULL}},
    {"sheet",
     {"base", "plate", "develop", "ink", "photo", "laying", "evidence", "pounce", "sheet",
      NULL}},
    {"cli",
     {"base", "plate", "develop", "ink", "photo", "laying", "evidence", "pounce", "sheet",
      "cli", NULL}},
};

/* The layer that implements each public header. */
static const struct {
    const char *header, *layer;
} headers[] = {
    {"vec.h", "base"},    {"path.h", "base"},         {"sparse.h", "base"},
    {"mesh.h", "plate"},  {"plate.h", "plate"},       {"development.h", "develop"},
    {"ink.h", "ink"},     {"laying.h", "laying"},     {"case.h", "laying"},
    {"page.h", "sheet"},  {"sheets.h", "sheet"},      {"photo.h", "photo"},
    {"lift.h", "laying"}, {"evidence.h", "evidence"}, {"comparison.h", "sheet"},
    {"pattern.h", "develop"}, {"pounce.h", "pounce"},
};

static char *source_path(const char *folder) {
    return g_build_filename(g_getenv("TAPUL_SOURCE_ROOT"), "src", folder, NULL);
}

static const char *layer_of_header(const char *name) {
    for (guint i = 0; i < G_N_ELEMENTS(headers); i++)
        if (strcmp(headers[i].header, name) == 0)
            return headers[i].layer;
    return NULL;
}

static gboolean may_see(guint layer, const char *other) {
    return g_strv_contains((const char *const *)layers[layer].may_see, other);
}

/* Checks one line; returns TRUE if it was an include of the project's own. */
static gboolean check_line(guint layer, const char *file, const char *line) {
    if (!g_str_has_prefix(line, "#include"))
        return FALSE;
    if (strcmp(layers[layer].folder, "ink") != 0)
        ck_assert_msg(!strstr(line, "rsvg") && !strstr(line, "poppler"),
                      "%s sees a renderer: %s", file, line);
    if (strcmp(layers[layer].folder, "sheet") != 0)
        ck_assert_msg(!strstr(line, "pango"), "%s draws text: %s", file, line);
    const char *public = strstr(line, "<tapul/");
    const char *quoted = strchr(line, '"');
    if (public) {
        g_autofree char *name = g_strndup(public + 7, strcspn(public + 7, ">"));
        const char *other = layer_of_header(name);
        ck_assert_msg(other != NULL, "%s includes the unknown public header %s", file, name);
        ck_assert_msg(may_see(layer, other), "%s includes %s from the layer %s", file, name,
                      other);
        return TRUE;
    }
    if (quoted && strchr(quoted, '/')) {
        g_autofree char *folder = g_strndup(quoted + 1, strcspn(quoted + 1, "/"));
        ck_assert_msg(may_see(layer, folder), "%s includes from the layer %s", file, folder);
        return TRUE;
    }
    return FALSE;
}

static int check_file(guint layer, const char *path) {
    g_autofree char *text = NULL;
    int n = 0;
    ck_assert(g_file_get_contents(path, &text, NULL, NULL));
    g_auto(GStrv) lines = g_strsplit(text, "\n", -1);
    for (guint i = 0; lines[i]; i++)
        n += check_line(layer, path, lines[i]);
    return n;
}

START_TEST(files_include_only_from_their_layer_or_lower) {
    g_autofree char *folder = source_path(layers[_i].folder);
    g_autoptr(GDir) directory = g_dir_open(folder, 0, NULL);
    int n = 0;
    ck_assert_msg(directory != NULL, "%s is missing", folder);
    for (const char *name; (name = g_dir_read_name(directory));) {
        if (!g_str_has_suffix(name, ".c") && !g_str_has_suffix(name, ".h"))
            continue;
        g_autofree char *path = g_build_filename(folder, name, NULL);
        n += check_file((guint)_i, path);
    }
    ck_assert_msg(n > 0, "%s includes nothing of the project", folder);
}
END_TEST

START_TEST(every_source_folder_is_a_layer) {
    g_autofree char *folder = source_path("");
    g_autoptr(GDir) directory = g_dir_open(folder, 0, NULL);
    for (const char *name; (name = g_dir_read_name(directory));) {
        gboolean known = strcmp(name, "meson.build") == 0;
        for (guint i = 0; i < G_N_ELEMENTS(layers); i++)
            known = known || strcmp(layers[i].folder, name) == 0;
        ck_assert_msg(known, "src/%s is no layer", name);
    }
}
END_TEST

START_TEST(the_top_level_holds_what_it_should) {
    static const char *const permitted[] = {
        "README.md", "DEVELOPERS.md", "LICENSE",     "meson.build", "src", "include",
        "tests",     "shapes",        "demo-prints", "output",      NULL};
    g_autoptr(GDir) directory = g_dir_open(g_getenv("TAPUL_SOURCE_ROOT"), 0, NULL);
    guint found = 0;
    for (const char *name; (name = g_dir_read_name(directory));) {
        if (name[0] == '.')
            continue;
        ck_assert_msg(g_strv_contains(permitted, name), "%s does not belong at the top", name);
        found++;
    }
    ck_assert_uint_eq(found, G_N_ELEMENTS(permitted) - 1);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("layers");
    TCase *tests = tcase_create("layers");
    tcase_add_loop_test(tests, files_include_only_from_their_layer_or_lower, 0,
                        (int)G_N_ELEMENTS(layers));
    tcase_add_test(tests, every_source_folder_is_a_layer);
    tcase_add_test(tests, the_top_level_holds_what_it_should);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
