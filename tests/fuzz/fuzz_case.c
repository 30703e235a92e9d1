/* Fuzz target: the readers of descriptions and tables. The bytes are taken as a plate
 * description and as a table; a description that reads well is built, unless it names a file.
 */
#include "base/document.h"
#include "base/table.h"

#include <tapul/plate.h>

#include <glib/gstdio.h>
#include <stdint.h>
#include <string.h>
#include <unistd.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void read_table(const char *text, gsize length) {
    g_autoptr(TapulTable) table = tapul_table_parse("bytes", text, length, NULL);
    double value;
    for (int row = 0; table && row < tapul_table_n_rows(table); row++) {
        for (int column = 0; column < 4; column++) {
            tapul_table_text(table, row, column);
            if (tapul_table_column(table, "x") == column)
                tapul_table_number(table, row, column, -1, 1, &value);
        }
    }
}

/* Plates are loaded from files: a large sphere's chord error would only cost time. */
static void load_plate(const char *text, gsize length) {
    TapulPlateOptions options = {.chord_error_mm = 1};
    g_autofree char *path =
        g_strdup_printf("%s/tapul-fuzz-%d.yaml", g_get_tmp_dir(), (int)getpid());
    g_autoptr(GError) error = NULL;
    if (g_strstr_len(text, (gssize)length, "mesh") ||
        !g_file_set_contents(path, text, (gssize)length, NULL))
        return;
    g_autoptr(TapulPlate) plate = tapul_plate_load(path, &options, &error);
    g_assert((plate != NULL) == (error == NULL));
    g_unlink(path);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    g_autofree char *text = g_strndup((const char *)data, size);
    read_table(text, size);
    load_plate(text, size);
    return 0;
}
