/* Reports against stored ones, with tolerances. */
#ifndef TAPUL_TESTS_GOLDEN_FOR_TESTS_H
#define TAPUL_TESTS_GOLDEN_FOR_TESTS_H

#include "program_for_tests.h"

#include <math.h>

/* Figures come of minimisers and of sums over draws, which differ by the last digits from
 * machine to machine, and are then rounded: 1 % or 0.02 of their unit. */
#define SAME_SHARE 0.01
#define SAME_UNITS 0.02

static inline void check_same(JsonNode *node, JsonNode *stored, const char *where);

static inline void check_same_object(JsonObject *object, JsonObject *stored,
                                     const char *where) {
    g_autoptr(GList) names = json_object_get_members(stored);
    ck_assert_msg(json_object_get_size(object) == json_object_get_size(stored),
                  "%s has other members than the stored report", where);
    for (GList *name = names; name; name = name->next) {
        g_autofree char *path = g_strdup_printf("%s.%s", where, (char *)name->data);
        ck_assert_msg(json_object_has_member(object, name->data), "%s is missing", path);
        check_same(json_object_get_member(object, name->data),
                   json_object_get_member(stored, name->data), path);
    }
}

static inline void check_same_array(JsonArray *array, JsonArray *stored, const char *where) {
    ck_assert_msg(json_array_get_length(array) == json_array_get_length(stored),
                  "%s has %u items where %u are stored", where, json_array_get_length(array),
                  json_array_get_length(stored));
    for (guint i = 0; i < json_array_get_length(stored); i++) {
        g_autofree char *path = g_strdup_printf("%s[%u]", where, i);
        check_same(json_array_get_element(array, i), json_array_get_element(stored, i), path);
    }
}

/* Of text the words alone: its figures stand elsewhere in the report. */
static inline char *without_figures(const char *text) {
    g_autoptr(GRegex) figure = g_regex_new("-?\\d+(\\.\\d+)?", 0, 0, NULL);
    return g_regex_replace_literal(figure, text, -1, 0, "#", 0, NULL);
}

static inline void check_same(JsonNode *node, JsonNode *stored, const char *where) {
    ck_assert_msg(json_node_get_node_type(node) == json_node_get_node_type(stored),
                  "%s is of another kind than stored", where);
    if (JSON_NODE_HOLDS_OBJECT(stored)) {
        check_same_object(json_node_get_object(node), json_node_get_object(stored), where);
    } else if (JSON_NODE_HOLDS_ARRAY(stored)) {
        check_same_array(json_node_get_array(node), json_node_get_array(stored), where);
    } else if (JSON_NODE_HOLDS_NULL(stored)) {
        return;
    } else if (json_node_get_value_type(stored) == G_TYPE_STRING) {
        g_autofree char *words = without_figures(json_node_get_string(node));
        g_autofree char *stored_words = without_figures(json_node_get_string(stored));
        ck_assert_msg(g_str_equal(words, stored_words), "%s: '%s' where '%s' is stored", where,
                      words, stored_words);
    } else {
        double value = json_node_get_double(node), kept = json_node_get_double(stored);
        ck_assert_msg(fabs(value - kept) <= fmax(SAME_UNITS, SAME_SHARE * fabs(kept)),
                      "%s is %g where %g is stored", where, value, kept);
    }
}

static inline JsonNode *stored_report(const char *path_in_source) {
    g_autofree char *path = source_file(path_in_source);
    g_autoptr(GError) error = NULL;
    g_autofree char *text = NULL;
    ck_assert_msg(g_file_get_contents(path, &text, NULL, &error), "%s",
                  error ? error->message : "");
    return parse_report(text);
}

/* Names of files hang on the folder they were written to. */
static inline void drop_files(JsonNode *report) {
    json_object_remove_member(json_node_get_object(report), "files");
}

#endif
