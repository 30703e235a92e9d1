/* Reading comma-separated tables with a heading row (see table.h): pairs of points and lists of
 * them. */
#include "base/table.h"

#include <math.h>
#include <string.h>

#define FILE_SIZE_LIMIT ((gsize)64 << 20)

struct TapulTable {
    char *name;
    GPtrArray *rows; /* of GPtrArray of char*; the heading first */
    GArray *lines;   /* of int */
    GString *faults;
};

G_DEFINE_QUARK(tapul - table - error - quark, tapul_table_error)

TapulTable *tapul_table_load(const char *path, GError **error) {
    g_autofree char *text = NULL;
    gsize length = 0;
    g_autoptr(GError) cause = NULL;
    if (g_file_test(path, G_FILE_TEST_EXISTS) && !g_file_test(path, G_FILE_TEST_IS_REGULAR)) {
        g_set_error(error, TAPUL_TABLE_ERROR, TAPUL_TABLE_ERROR_FILE, "%s: not a regular file",
                    path);
        return NULL;
    }
    if (!g_file_get_contents(path, &text, &length, &cause)) {
        g_set_error(error, TAPUL_TABLE_ERROR, TAPUL_TABLE_ERROR_FILE, "%s: %s", path,
                    g_error_matches(cause, G_FILE_ERROR, G_FILE_ERROR_NOENT)
                        ? "there is no such file"
                        : "cannot be read");
        return NULL;
    }
    return tapul_table_parse(path, text, length, error);
}

/* Reads one cell from *cursor up to a comma or line end; quoted cells may hold both. FALSE if a
 * quote is not closed.
 */
static gboolean read_cell(const char **cursor, int *line, GString *cell) {
    const char *p = *cursor;
    gboolean quoted = *p == '"';
    if (quoted)
        p++;
    for (;; p++) {
        if (*p == '\0' && quoted)
            return FALSE;
        if (quoted && *p == '"' && p[1] == '"') {
            g_string_append_c(cell, *p++);
            continue;
        }
        if (quoted && *p == '"') {
            quoted = FALSE;
            continue;
        }
        if (!quoted && (*p == ',' || *p == '\n' || *p == '\r' || *p == '\0'))
            break;
        *line += *p == '\n';
        g_string_append_c(cell, *p);
    }
    *cursor = p;
    return TRUE;
}

static gboolean is_blank(const GPtrArray *row) {
    return row->len == 1 && *(const char *)g_ptr_array_index(row, 0) == '\0';
}

static gboolean read_rows(TapulTable *table, const char *cursor, GError **error) {
    int line = 1;
    while (*cursor) {
        g_autoptr(GPtrArray) row = g_ptr_array_new_with_free_func(g_free);
        int first_line = line;
        for (;;) {
            g_autoptr(GString) cell = g_string_new(NULL);
            if (!read_cell(&cursor, &line, cell)) {
                g_set_error(error, TAPUL_TABLE_ERROR, TAPUL_TABLE_ERROR_SYNTAX,
                            "%s:%d: a quote is not closed", table->name, first_line);
                return FALSE;
            }
            g_ptr_array_add(row, g_strdup(g_strstrip(cell->str)));
            if (*cursor != ',')
                break;
            cursor++;
        }
        cursor += *cursor == '\r';
        line += *cursor == '\n';
        cursor += *cursor == '\n';
        if (is_blank(row))
            continue;
        g_ptr_array_add(table->rows, g_steal_pointer(&row));
        g_array_append_val(table->lines, first_line);
    }
    return TRUE;
}

/* A row with more cells than the heading has been shifted by a stray comma, or holds notes. */
static gboolean check_widths(const TapulTable *table, GError **error) {
    for (guint i = 1; i < table->rows->len; i++) {
        guint columns = ((GPtrArray *)g_ptr_array_index(table->rows, 0))->len;
        guint cells = ((GPtrArray *)g_ptr_array_index(table->rows, i))->len;
        if (cells <= columns)
            continue;
        g_set_error(error, TAPUL_TABLE_ERROR, TAPUL_TABLE_ERROR_SYNTAX,
                    "%s:%d: %u cells in a row, the heading has %u", table->name,
                    g_array_index(table->lines, int, i), cells, columns);
        return FALSE;
    }
    return TRUE;
}

/* What spreadsheets write where the comma is the decimal mark: one heading cell with semicolons
 * in it. */
static gboolean has_semicolons(const GPtrArray *heading) {
    return heading->len == 1 && strchr(g_ptr_array_index(heading, 0), ';');
}

TapulTable *tapul_table_parse(const char *name, const char *text, gsize length,
                              GError **error) {
    if (length > FILE_SIZE_LIMIT || memchr(text, '\0', length) ||
        !g_utf8_validate(text, (gssize)length, NULL)) {
        g_set_error(error, TAPUL_TABLE_ERROR, TAPUL_TABLE_ERROR_SYNTAX,
                    "%s: not a text table in UTF-8 of at most 64 MiB", name);
        return NULL;
    }
    g_autoptr(TapulTable) table = g_new0(TapulTable, 1);
    table->name = g_strdup(name);
    table->rows = g_ptr_array_new_with_free_func((GDestroyNotify)g_ptr_array_unref);
    table->lines = g_array_new(FALSE, FALSE, sizeof(int));
    table->faults = g_string_new(NULL);
    g_autofree char *copy = g_strndup(text, length);
    const char *start = g_str_has_prefix(copy, "\xEF\xBB\xBF") ? copy + 3 : copy;
    if (!read_rows(table, start, error))
        return NULL;
    if (table->rows->len > 0 && has_semicolons(g_ptr_array_index(table->rows, 0))) {
        g_set_error(error, TAPUL_TABLE_ERROR, TAPUL_TABLE_ERROR_SYNTAX,
                    "%s: the columns are parted by semicolons; save the table with commas "
                    "between columns, "
                    "and points in numbers",
                    name);
        return NULL;
    }
    if (!check_widths(table, error))
        return NULL;
    if (table->rows->len == 0) {
        g_set_error(error, TAPUL_TABLE_ERROR, TAPUL_TABLE_ERROR_SYNTAX,
                    "%s: the table has no heading row", name);
        return NULL;
    }
    return g_steal_pointer(&table);
}

void tapul_table_free(TapulTable *table) {
    if (!table)
        return;
    g_ptr_array_unref(table->rows);
    g_array_unref(table->lines);
    g_string_free(table->faults, TRUE);
    g_free(table->name);
    g_free(table);
}

int tapul_table_n_rows(const TapulTable *table) {
    return (int)table->rows->len - 1;
}

int tapul_table_line(const TapulTable *table, int row) {
    return g_array_index(table->lines, int, row + 1);
}

int tapul_table_column(const TapulTable *table, const char *name) {
    const GPtrArray *heading = g_ptr_array_index(table->rows, 0);
    for (guint i = 0; i < heading->len; i++)
        if (strcmp(g_ptr_array_index(heading, i), name) == 0)
            return (int)i;
    return -1;
}

void tapul_table_expect_columns(TapulTable *table, const char *const *permitted) {
    const GPtrArray *heading = g_ptr_array_index(table->rows, 0);
    for (guint i = 0; i < heading->len; i++) {
        const char *name = g_ptr_array_index(heading, i);
        if (g_strv_contains(permitted, name))
            continue;
        g_autofree char *wanted = g_strjoinv(", ", (char **)permitted);
        tapul_table_fault(table, -1, "unknown column '%s'; permitted: %s", name, wanted);
    }
}

const char *tapul_table_text(const TapulTable *table, int row, int column) {
    const GPtrArray *cells = g_ptr_array_index(table->rows, row + 1);
    return column >= 0 && column < (int)cells->len ? g_ptr_array_index(cells, column) : "";
}

gboolean tapul_table_number(TapulTable *table, int row, int column, double low, double high,
                            double *value) {
    const char *text = tapul_table_text(table, row, column);
    const char *name =
        g_ptr_array_index((GPtrArray *)g_ptr_array_index(table->rows, 0), column);
    char *end = NULL;
    double number = g_ascii_strtod(text, &end);
    if (end == text || *end != '\0') {
        tapul_table_fault(table, row, "%s: '%s' is not a number", name, text);
        return FALSE;
    }
    if (!(number >= low && number <= high)) {
        tapul_table_fault(table, row, "%s: %s is not between %g and %g", name, text, low, high);
        return FALSE;
    }
    *value = number;
    return TRUE;
}

void tapul_table_fault(TapulTable *table, int row, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    g_autofree char *message = g_strdup_vprintf(format, arguments);
    va_end(arguments);
    g_strdelimit(message, "\r\n", ' ');
    g_string_append_printf(table->faults, "%s%s:%d: %s", table->faults->len > 0 ? "\n" : "",
                           table->name, tapul_table_line(table, row), message);
}

gboolean tapul_table_check(const TapulTable *table, GError **error) {
    if (table->faults->len == 0)
        return TRUE;
    g_set_error_literal(error, TAPUL_TABLE_ERROR, TAPUL_TABLE_ERROR_VALUE, table->faults->str);
    return FALSE;
}

void tapul_table_append_cell(GString *text, const char *cell) {
    if (!strpbrk(cell, ",\"\n\r")) {
        g_string_append(text, cell);
        return;
    }
    g_auto(GStrv) parts = g_strsplit(cell, "\"", -1);
    g_autofree char *doubled = g_strjoinv("\"\"", parts);
    g_string_append_printf(text, "\"%s\"", doubled);
}
