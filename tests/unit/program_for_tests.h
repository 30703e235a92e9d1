/* Runs the program in tests, in a folder of its own, and reads its reports. */
#ifndef TAPUL_TESTS_PROGRAM_FOR_TESTS_H
#define TAPUL_TESTS_PROGRAM_FOR_TESTS_H

#include <check.h>
#include <gio/gio.h>
#include <glib/gstdio.h>
#include <json-glib/json-glib.h>
#include <string.h>

/* A new folder below the system's temporary one, for one test's files. */
static inline char *new_folder(void) {
    char *folder = g_dir_make_tmp("tapul-test-XXXXXX", NULL);
    ck_assert_ptr_nonnull(folder);
    return folder;
}

static inline void remove_folder(const char *folder) {
    GDir *directory = g_dir_open(folder, 0, NULL);
    for (const char *name; directory && (name = g_dir_read_name(directory));) {
        g_autofree char *path = g_build_filename(folder, name, NULL);
        if (g_file_test(path, G_FILE_TEST_IS_DIR))
            remove_folder(path);
        else
            g_unlink(path);
    }
    if (directory)
        g_dir_close(directory);
    g_rmdir(folder);
}

static inline char *write_file(const char *folder, const char *name, const char *text) {
    char *path = g_build_filename(folder, name, NULL);
    ck_assert(g_file_set_contents(path, text, -1, NULL));
    return path;
}

static inline char *source_file(const char *path) {
    return g_build_filename(g_getenv("TAPUL_SOURCE_ROOT"), path, NULL);
}

/* Runs the program with a NULL-ended list of arguments; the texts may be NULL. Returns its exit
 * status. */
static inline int run_program(char **output, char **errors, ...) {
    g_autoptr(GPtrArray) arguments = g_ptr_array_new();
    va_list list;
    char *ignored_output = NULL, *ignored_errors = NULL;
    int wait_status = 0;

    g_ptr_array_add(arguments, (char *)g_getenv("TAPUL_PROGRAM"));
    va_start(list, errors);
    for (char *argument; (argument = va_arg(list, char *));)
        g_ptr_array_add(arguments, argument);
    va_end(list);
    g_ptr_array_add(arguments, NULL);
    ck_assert(g_spawn_sync(NULL, (char **)arguments->pdata, NULL, G_SPAWN_DEFAULT, NULL, NULL,
                           output ? output : &ignored_output, errors ? errors : &ignored_errors,
                           &wait_status, NULL));
    g_free(ignored_output);
    g_free(ignored_errors);
    ck_assert_msg(WIFEXITED(wait_status), "the program was ended by a signal");
    return WEXITSTATUS(wait_status);
}

/* Parses a report; the caller frees it. */
static inline JsonNode *parse_report(const char *text) {
    g_autoptr(GError) error = NULL;
    JsonNode *report = json_from_string(text, &error);
    ck_assert_msg(report != NULL, "%s in: %s", error ? error->message : "", text);
    return report;
}

/* A number by its path of names, e.g. "stretch", "max", NULL. */
static inline double report_number(JsonNode *report, ...) {
    va_list list;
    JsonNode *node = report;
    va_start(list, report);
    for (const char *name; (name = va_arg(list, const char *));) {
        node = json_object_get_member(json_node_get_object(node), name);
        ck_assert_msg(node != NULL, "the report lacks '%s'", name);
    }
    va_end(list);
    return json_node_get_double(node);
}

#endif
