/* Fuzz target: the readers of descriptions and tables. The bytes are taken as a plate
 * description, as a table, and as what a case says of the maker's papers; a description that
 * reads well is built, unless it names a file.
 */
#include "base/table.h"
#include "laying/case_internal.h"

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

/* Whatever is written, what is taken lies within the ranges the manual page gives. */
static void check_pounce(const TapulCasePounce *asked) {
    g_assert(asked->stretch_limit >= 0.002 && asked->stretch_limit <= 0.2);
    g_assert(asked->allowance_mm >= 0 && asked->allowance_mm <= 30);
    g_assert(asked->roll_width_mm >= 100 && asked->roll_width_mm <= 2000);
    g_assert(asked->overlap_mm >= 0 && asked->overlap_mm <= 50);
    g_assert(asked->depth_mm >= 0.005 && asked->depth_mm <= 2);
    g_assert(asked->etch_factor >= 0.5 && asked->etch_factor <= 20);
    g_assert(asked->finest_mm >= 0.01 && asked->finest_mm <= 10);
    g_assert(asked->working_share >= 0.05 && asked->working_share <= 1);
    g_assert(asked->resist >= 0 && asked->resist <= 2 && asked->bites->len <= 6);
}

static void read_pounce(const char *text, gsize length) {
    g_autoptr(TapulDocument) document = tapul_document_parse("bytes", text, length, NULL);
    if (!document)
        return;
    TapulCase made = {.prints = g_ptr_array_new()};
    TapulCaseReading reading = {document, tapul_document_root(document), &made};
    tapul_case_pounce_init(&made.pounce);
    tapul_case_read_pounce(&reading);
    check_pounce(&made.pounce);
    tapul_case_pounce_clear(&made.pounce);
    g_ptr_array_unref(made.prints);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    g_autofree char *text = g_strndup((const char *)data, size);
    read_table(text, size);
    load_plate(text, size);
    read_pounce(text, size);
    return 0;
}
