/* Reading comma-separated tables with a heading row (RFC 4180), with every fault collected; and
 * writing their cells. */
#ifndef TAPUL_BASE_TABLE_H
#define TAPUL_BASE_TABLE_H

#include <glib.h>

G_BEGIN_DECLS

#define TAPUL_TABLE_ERROR (tapul_table_error_quark())
GQuark tapul_table_error_quark(void);

typedef enum {
    TAPUL_TABLE_ERROR_FILE,   /* missing, unreadable, too large */
    TAPUL_TABLE_ERROR_SYNTAX, /* not a table */
    TAPUL_TABLE_ERROR_VALUE   /* columns or values that are not permitted; all of them, one line
                                 each */
} TapulTableError;

typedef struct TapulTable TapulTable;

TapulTable *tapul_table_load(const char *path, GError **error);
TapulTable *tapul_table_parse(const char *name, const char *text, gsize length, GError **error);
void tapul_table_free(TapulTable *table);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(TapulTable, tapul_table_free)

int tapul_table_n_rows(const TapulTable *table);
/* The line of the file a row starts on. */
int tapul_table_line(const TapulTable *table, int row);
/* A column's place, or -1. */
int tapul_table_column(const TapulTable *table, const char *name);
/* A fault for each heading that is not in the NULL-ended list. */
void tapul_table_expect_columns(TapulTable *table, const char *const *permitted);
/* A cell's text without blanks around it; "" where the row is short. */
const char *tapul_table_text(const TapulTable *table, int row, int column);
/* A cell as a number in [low, high]; else a fault and FALSE. */
gboolean tapul_table_number(TapulTable *table, int row, int column, double low, double high,
                            double *value);

/* Writing: appends a cell to a line, quoted where its text needs it (RFC 4180). */
void tapul_table_append_cell(GString *text, const char *cell);

/* Adds a fault at a row (-1: at the heading). */
void tapul_table_fault(TapulTable *table, int row, const char *format, ...) G_GNUC_PRINTF(3, 4);
/* TRUE if no fault was found; else FALSE with all of them. */
gboolean tapul_table_check(const TapulTable *table, GError **error);

G_END_DECLS

#endif
