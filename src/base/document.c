/* Reading the YAML files people write (see document.h). Built on libyaml's document tree; the
 * files are read by schema, never walked blindly, so that aliases and deep nesting cannot make
 * the reading long. */
#include "base/document.h"

#include <errno.h>
#include <string.h>

#define FILE_SIZE_LIMIT ((gsize)16 << 20)

struct TapulDocument {
    char *name;
    yaml_document_t yaml;
    gboolean loaded;
    GPtrArray *faults; /* of Fault* */
};

typedef struct {
    int line;
    char *message;
} Fault;

G_DEFINE_QUARK(tapul - document - error - quark, tapul_document_error)

static void fault_free(gpointer data) {
    Fault *fault = data;
    g_free(fault->message);
    g_free(fault);
}

TapulDocument *tapul_document_load(const char *path, GError **error) {
    g_autofree char *text = NULL;
    gsize length = 0;
    g_autoptr(GError) cause = NULL;

    if (!g_file_test(path, G_FILE_TEST_IS_REGULAR)) {
        g_set_error(error, TAPUL_DOCUMENT_ERROR, TAPUL_DOCUMENT_ERROR_FILE, "%s: %s", path,
                    g_file_test(path, G_FILE_TEST_EXISTS) ? "not a regular file"
                                                          : "there is no such file");
        return NULL;
    }
    if (!g_file_get_contents(path, &text, &length, &cause)) {
        g_set_error(error, TAPUL_DOCUMENT_ERROR, TAPUL_DOCUMENT_ERROR_FILE,
                    "%s: cannot be read (%s)", path, cause->message);
        return NULL;
    }
    return tapul_document_parse(path, text, length, error);
}

TapulDocument *tapul_document_parse(const char *name, const char *text, gsize length,
                                    GError **error) {
    if (length > FILE_SIZE_LIMIT) {
        g_set_error(error, TAPUL_DOCUMENT_ERROR, TAPUL_DOCUMENT_ERROR_FILE,
                    "%s: %" G_GSIZE_FORMAT
                    " bytes is more than the 16 MiB a description may have",
                    name, length);
        return NULL;
    }
    g_autoptr(TapulDocument) document = g_new0(TapulDocument, 1);
    document->name = g_strdup(name);
    document->faults = g_ptr_array_new_with_free_func(fault_free);

    yaml_parser_t parser;
    yaml_parser_initialize(&parser);
    yaml_parser_set_input_string(&parser, (const unsigned char *)text, length);
    document->loaded = yaml_parser_load(&parser, &document->yaml) != 0;
    if (!document->loaded)
        g_set_error(error, TAPUL_DOCUMENT_ERROR, TAPUL_DOCUMENT_ERROR_SYNTAX,
                    "%s:%zu: not YAML: %s", name, parser.problem_mark.line + 1,
                    parser.problem ? parser.problem : "cannot be parsed");
    yaml_parser_delete(&parser);
    if (!document->loaded)
        return NULL;
    if (!yaml_document_get_root_node(&document->yaml)) {
        g_set_error(error, TAPUL_DOCUMENT_ERROR, TAPUL_DOCUMENT_ERROR_SYNTAX,
                    "%s: the file is empty", name);
        return NULL;
    }
    return g_steal_pointer(&document);
}

void tapul_document_free(TapulDocument *document) {
    if (!document)
        return;
    if (document->loaded)
        yaml_document_delete(&document->yaml);
    g_ptr_array_unref(document->faults);
    g_free(document->name);
    g_free(document);
}

/* libyaml's accessors take no const though they change nothing. */
static yaml_document_t *yaml_of(const TapulDocument *document) {
    return (yaml_document_t *)&document->yaml;
}

const TapulNode *tapul_document_root(const TapulDocument *document) {
    return yaml_document_get_root_node(yaml_of(document));
}

char *tapul_document_resolve(const TapulDocument *document, const char *path) {
    if (g_path_is_absolute(path))
        return g_strdup(path);
    g_autofree char *folder = g_path_get_dirname(document->name);
    return strcmp(folder, ".") == 0 ? g_strdup(path) : g_build_filename(folder, path, NULL);
}

int tapul_node_line(const TapulNode *node) {
    return (int)node->start_mark.line + 1;
}

const char *tapul_node_text(const TapulNode *node) {
    return node && node->type == YAML_SCALAR_NODE ? (const char *)node->data.scalar.value
                                                  : NULL;
}

void tapul_document_fault(TapulDocument *document, const TapulNode *node, const char *format,
                          ...) {
    Fault *fault = g_new0(Fault, 1);
    va_list arguments;

    va_start(arguments, format);
    fault->message = g_strdup_vprintf(format, arguments);
    va_end(arguments);
    fault->line = node ? tapul_node_line(node) : 0;
    g_strdelimit(fault->message, "\r\n", ' ');
    g_ptr_array_add(document->faults, fault);
}

gboolean tapul_document_has_faults(const TapulDocument *document) {
    return document->faults->len > 0;
}

static int compare_faults(gconstpointer a, gconstpointer b) {
    const Fault *first = *(Fault *const *)a, *second = *(Fault *const *)b;
    return first->line - second->line;
}

gboolean tapul_document_check(TapulDocument *document, GError **error) {
    if (document->faults->len == 0)
        return TRUE;
    g_ptr_array_sort(document->faults, compare_faults);
    g_autoptr(GString) lines = g_string_new(NULL);
    for (guint i = 0; i < document->faults->len; i++) {
        const Fault *fault = g_ptr_array_index(document->faults, i);
        if (i > 0)
            g_string_append_c(lines, '\n');
        g_string_append(lines, document->name);
        if (fault->line > 0)
            g_string_append_printf(lines, ":%d", fault->line);
        g_string_append_printf(lines, ": %s", fault->message);
    }
    g_set_error_literal(error, TAPUL_DOCUMENT_ERROR, TAPUL_DOCUMENT_ERROR_VALUE, lines->str);
    return FALSE;
}

/* --- Maps --- */

static const char *kind_of(const TapulNode *node) {
    switch (node->type) {
    case YAML_SCALAR_NODE:
        return "a single value";
    case YAML_SEQUENCE_NODE:
        return "a list";
    case YAML_MAPPING_NODE:
        return "a map";
    default:
        return "nothing";
    }
}

void tapul_document_expect_keys(TapulDocument *document, const TapulNode *map,
                                const char *const *keys) {
    if (!map)
        return;
    if (map->type != YAML_MAPPING_NODE) {
        g_autofree char *wanted = g_strjoinv(", ", (char **)keys);
        tapul_document_fault(document, map, "%s where a map with the keys %s was expected",
                             kind_of(map), wanted);
        return;
    }
    g_autoptr(GHashTable) seen = g_hash_table_new(g_str_hash, g_str_equal);
    for (yaml_node_pair_t *pair = map->data.mapping.pairs.start;
         pair < map->data.mapping.pairs.top; pair++) {
        const TapulNode *key = yaml_document_get_node(yaml_of(document), pair->key);
        const char *word = tapul_node_text(key);
        if (!word) {
            tapul_document_fault(document, key, "%s where a key was expected", kind_of(key));
        } else if (!g_strv_contains(keys, word)) {
            g_autofree char *wanted = g_strjoinv(", ", (char **)keys);
            tapul_document_fault(document, key, "unknown key '%s'; permitted here: %s", word,
                                 wanted);
        } else if (!g_hash_table_add(seen, (gpointer)word)) {
            tapul_document_fault(document, key, "key '%s' is given twice", word);
        }
    }
}

GPtrArray *tapul_document_keys(TapulDocument *document, const TapulNode *map) {
    GPtrArray *keys = g_ptr_array_new();
    g_autoptr(GHashTable) seen = g_hash_table_new(g_str_hash, g_str_equal);
    if (!map || map->type != YAML_MAPPING_NODE)
        return keys;
    for (yaml_node_pair_t *pair = map->data.mapping.pairs.start;
         pair < map->data.mapping.pairs.top; pair++) {
        const TapulNode *key = yaml_document_get_node(yaml_of(document), pair->key);
        const char *word = tapul_node_text(key);
        if (!word)
            tapul_document_fault(document, key, "%s where a key was expected", kind_of(key));
        else if (!g_hash_table_add(seen, (gpointer)word))
            tapul_document_fault(document, key, "key '%s' is given twice", word);
        else
            g_ptr_array_add(keys, (gpointer)word);
    }
    return keys;
}

const TapulNode *tapul_document_get(const TapulDocument *document, const TapulNode *map,
                                    const char *key) {
    if (!map || map->type != YAML_MAPPING_NODE)
        return NULL;
    for (yaml_node_pair_t *pair = map->data.mapping.pairs.start;
         pair < map->data.mapping.pairs.top; pair++) {
        const char *word =
            tapul_node_text(yaml_document_get_node(yaml_of(document), pair->key));
        if (word && strcmp(word, key) == 0)
            return yaml_document_get_node(yaml_of(document), pair->value);
    }
    return NULL;
}

/* The value of a key; its absence is a fault when required. */
static const TapulNode *require(TapulDocument *document, const TapulNode *map, const char *key,
                                gboolean required) {
    const TapulNode *node = tapul_document_get(document, map, key);
    if (!node && required && map->type != YAML_MAPPING_NODE)
        tapul_document_fault(document, map, "%s where a map with the key '%s' was expected",
                             kind_of(map), key);
    else if (!node && required)
        tapul_document_fault(document, map, "the key '%s' is missing", key);
    return node;
}

gboolean tapul_document_scalar(TapulDocument *document, const TapulNode *node, const char *what,
                               double low, double high, double *value) {
    const char *text = tapul_node_text(node);
    if (!text) {
        tapul_document_fault(document, node, "%s: %s where a number was expected", what,
                             kind_of(node));
        return FALSE;
    }
    char *end = NULL;
    double number = g_ascii_strtod(text, &end);
    if (end == text || *end != '\0') {
        tapul_document_fault(document, node, "%s: '%s' is not a number", what, text);
        return FALSE;
    }
    if (!isfinite(number) || number < low || number > high) {
        tapul_document_fault(document, node, "%s: %s is not between %g and %g", what, text, low,
                             high);
        return FALSE;
    }
    *value = number;
    return TRUE;
}

gboolean tapul_document_number(TapulDocument *document, const TapulNode *map, const char *key,
                               gboolean required, double low, double high, double *value) {
    const TapulNode *node = require(document, map, key, required);
    return node && tapul_document_scalar(document, node, key, low, high, value);
}

/* Texts are set on pages: control characters and Unicode's noncharacters have no letters. */
static gboolean is_settable(const char *text) {
    for (const char *c = text; *c; c = g_utf8_next_char(c)) {
        gunichar letter = g_utf8_get_char(c);
        if ((letter & 0xFFFE) == 0xFFFE || (letter >= 0xFDD0 && letter <= 0xFDEF) ||
            letter == 0x7F || (letter < 0x20 && letter != '\t' && letter != '\n'))
            return FALSE;
    }
    return TRUE;
}

const char *tapul_document_text(TapulDocument *document, const TapulNode *map, const char *key,
                                gboolean required) {
    const TapulNode *node = require(document, map, key, required);
    if (!node)
        return NULL;
    const char *text = tapul_node_text(node);
    if (!text)
        tapul_document_fault(document, node, "%s: %s where a text was expected", key,
                             kind_of(node));
    else if (strlen(text) != node->data.scalar.length || !g_utf8_validate(text, -1, NULL))
        tapul_document_fault(document, node, "%s: the text is not UTF-8", key);
    else if (!is_settable(text))
        tapul_document_fault(document, node,
                             "%s: the text holds a character that cannot be written", key);
    else if (*text == '\0')
        tapul_document_fault(document, node, "%s: the text is empty", key);
    else
        return text;
    return NULL;
}

gboolean tapul_document_flag(TapulDocument *document, const TapulNode *map, const char *key,
                             gboolean fallback) {
    static const char *const yes[] = {"true", "True", "TRUE", "yes", "Yes",
                                      "YES",  "on",   "On",   "ON",  NULL};
    static const char *const no[] = {"false", "False", "FALSE", "no",  "No",
                                     "NO",    "off",   "Off",   "OFF", NULL};
    const TapulNode *node = tapul_document_get(document, map, key);
    if (!node)
        return fallback;
    const char *text = tapul_node_text(node);
    if (text && g_strv_contains(yes, text))
        return TRUE;
    if (text && g_strv_contains(no, text))
        return FALSE;
    tapul_document_fault(document, node, "%s: '%s' is neither true nor false", key,
                         text ? text : kind_of(node));
    return fallback;
}

int tapul_document_choice(TapulDocument *document, const TapulNode *map, const char *key,
                          gboolean required, const char *const *words) {
    const char *text = tapul_document_text(document, map, key, required);
    if (!text)
        return -1;
    for (int i = 0; words[i]; i++)
        if (strcmp(words[i], text) == 0)
            return i;
    g_autofree char *wanted = g_strjoinv(", ", (char **)words);
    tapul_document_fault(document, tapul_document_get(document, map, key),
                         "%s: '%s' is none of: %s", key, text, wanted);
    return -1;
}

/* --- Lists --- */

int tapul_document_list_length(TapulDocument *document, const TapulNode *list,
                               const char *what) {
    if (!list)
        return 0;
    if (list->type != YAML_SEQUENCE_NODE) {
        tapul_document_fault(document, list, "%s: %s where a list was expected", what,
                             kind_of(list));
        return 0;
    }
    return (int)(list->data.sequence.items.top - list->data.sequence.items.start);
}

const TapulNode *tapul_document_list_item(const TapulDocument *document, const TapulNode *list,
                                          int i) {
    return yaml_document_get_node(yaml_of(document), list->data.sequence.items.start[i]);
}

static gboolean read_pair(TapulDocument *document, const TapulNode *node, const char *what,
                          double low, double high, TapulVec2 *value) {
    if (node->type != YAML_SEQUENCE_NODE ||
        node->data.sequence.items.top - node->data.sequence.items.start != 2) {
        tapul_document_fault(document, node,
                             "%s: two numbers in brackets were expected, as in [12.5, 80]",
                             what);
        return FALSE;
    }
    const TapulNode *first = tapul_document_list_item(document, node, 0);
    const TapulNode *second = tapul_document_list_item(document, node, 1);
    gboolean good = tapul_document_scalar(document, first, what, low, high, &value->x);
    return tapul_document_scalar(document, second, what, low, high, &value->y) && good;
}

gboolean tapul_document_pair(TapulDocument *document, const TapulNode *map, const char *key,
                             gboolean required, double low, double high, TapulVec2 *value) {
    const TapulNode *node = require(document, map, key, required);
    return node && read_pair(document, node, key, low, high, value);
}

GArray *tapul_document_points(TapulDocument *document, const TapulNode *map, const char *key,
                              gboolean required, guint least, double limit) {
    const TapulNode *node = require(document, map, key, required);
    if (!node)
        return NULL;
    g_autoptr(GArray) points = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
    int n = tapul_document_list_length(document, node, key);
    gboolean good = node->type == YAML_SEQUENCE_NODE;
    for (int i = 0; i < n; i++) {
        TapulVec2 point = {0, 0};
        good = read_pair(document, tapul_document_list_item(document, node, i), key, -limit,
                         limit, &point) &&
               good;
        g_array_append_val(points, point);
    }
    if (good && points->len < least) {
        tapul_document_fault(document, node, "%s: %u points, at least %u are needed", key,
                             points->len, least);
        good = FALSE;
    }
    return good ? g_steal_pointer(&points) : NULL;
}
