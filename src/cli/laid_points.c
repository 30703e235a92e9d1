/* Single points of prints, laid on the plate (see laid_points.h). */
#include "cli/laid_points.h"

#include "base/table.h"

#include <string.h>

#define REACH_MM 10000.0

static int print_index(const TapulCase *question, const char *id) {
    for (guint i = 0; i < question->prints->len; i++)
        if (strcmp(((const TapulPrint *)g_ptr_array_index(question->prints, i))->id, id) == 0)
            return (int)i;
    return -1;
}

static const TapulLaying *laying_of(const TapulCase *question, const GPtrArray *laid,
                                    int print) {
    for (guint i = 0; i < question->layings->len; i++)
        if (((const TapulCaseLaying *)g_ptr_array_index(question->layings, i))->print == print)
            return ((const TapulCaseLaid *)g_ptr_array_index(laid, i))->map;
    return NULL;
}

static void append_number(GString *text, double value) {
    char digits[G_ASCII_DTOSTR_BUF_SIZE];
    g_string_append_c(text, ',');
    g_string_append(text, g_ascii_formatd(digits, sizeof digits, "%.6f", value));
}

static void lay_row(const TapulCase *question, const TapulLaying *laying, TapulVec2 point_mm,
                    GString *text) {
    TapulSpot spot;
    append_number(text, point_mm.x);
    append_number(text, point_mm.y);
    if (!tapul_laying_spot(laying, point_mm, &spot)) {
        g_string_append(text, ",,,,,\n");
        return;
    }
    TapulVec3 plate = tapul_mesh_smooth_position_mm(tapul_plate_mesh(question->plate), spot);
    TapulVec2 flat = tapul_development_point_mm(question->development, spot);
    append_number(text, plate.x);
    append_number(text, plate.y);
    append_number(text, plate.z);
    append_number(text, flat.x);
    append_number(text, flat.y);
    g_string_append_c(text, '\n');
}

char *tapul_lay_points(const TapulCase *question, const GPtrArray *laid, const char *path,
                       GError **error) {
    static const char *const columns[] = {"print", "x_mm", "y_mm", NULL};
    g_autoptr(TapulTable) table = tapul_table_load(path, error);
    if (!table)
        return NULL;
    int place[3];
    tapul_table_expect_columns(table, columns);
    for (int k = 0; k < 3; k++) {
        place[k] = tapul_table_column(table, columns[k]);
        if (place[k] < 0)
            tapul_table_fault(table, -1, "the column '%s' is missing", columns[k]);
    }
    if (!tapul_table_check(table, error))
        return NULL;

    g_autoptr(GString) text =
        g_string_new("print,x_mm,y_mm,plate_x_mm,plate_y_mm,plate_z_mm,dev_x_mm,dev_y_mm\n");
    for (int row = 0; row < tapul_table_n_rows(table); row++) {
        const char *id = tapul_table_text(table, row, place[0]);
        int print = print_index(question, id);
        const TapulLaying *laying = print >= 0 ? laying_of(question, laid, print) : NULL;
        TapulVec2 point_mm;
        if (!laying)
            tapul_table_fault(table, row,
                              print < 0 ? "print: '%s' is none of the case's prints"
                                        : "print: '%s' is not laid by the case",
                              id);
        gboolean good =
            tapul_table_number(table, row, place[1], -REACH_MM, REACH_MM, &point_mm.x);
        good =
            tapul_table_number(table, row, place[2], -REACH_MM, REACH_MM, &point_mm.y) && good;
        if (!laying || !good)
            continue;
        tapul_table_append_cell(text, id);
        lay_row(question, laying, point_mm, text);
    }
    if (!tapul_table_check(table, error))
        return NULL;
    return g_string_free(g_steal_pointer(&text), FALSE);
}
