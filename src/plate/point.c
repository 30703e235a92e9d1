/* A point on a plate, read in any of the three ways people give one: by tape, from the front,
 * in space. */
#include "plate/point.h"

#define REACH_MM 5000.0

static gboolean read_xyz(TapulDocument *document, const TapulNode *list, TapulVec3 *xyz_mm) {
    if (tapul_document_list_length(document, list, "xyz_mm") != 3) {
        tapul_document_fault(document, list, "xyz_mm: three numbers in brackets were expected");
        return FALSE;
    }
    gboolean good = TRUE;
    for (int k = 0; k < 3; k++)
        good = tapul_document_scalar(document, tapul_document_list_item(document, list, k),
                                     "xyz_mm", -REACH_MM, REACH_MM, &(&xyz_mm->x)[k]) &&
               good;
    return good;
}

gboolean tapul_point_read(TapulDocument *document, const TapulNode *node,
                          const TapulPlate *plate, TapulSpot *spot) {
    static const char *const tape_keys[] = {"across_mm", "up_mm", NULL};
    static const char *const front_keys[] = {"x_mm", "y_mm", NULL};
    static const char *const space_keys[] = {"xyz_mm", NULL};
    g_autoptr(GError) error = NULL;
    double first = 0, second = 0;
    TapulVec3 xyz_mm;

    const TapulNode *list = tapul_document_get(document, node, "xyz_mm");
    gboolean by_front = tapul_document_get(document, node, "x_mm") != NULL;
    tapul_document_expect_keys(document, node,
                               list       ? space_keys
                               : by_front ? front_keys
                                          : tape_keys);
    if (list) {
        if (!read_xyz(document, list, &xyz_mm))
            return FALSE;
        if (plate)
            tapul_plate_spot_from_xyz(plate, xyz_mm, spot, &error);
    } else {
        const char *const *keys = by_front ? front_keys : tape_keys;
        gboolean good =
            tapul_document_number(document, node, keys[0], TRUE, -REACH_MM, REACH_MM, &first);
        good = tapul_document_number(document, node, keys[1], TRUE, -REACH_MM, REACH_MM,
                                     &second) &&
               good;
        if (!good)
            return FALSE;
        if (plate && by_front)
            tapul_plate_spot_from_front(plate, first, second, spot, &error);
        else if (plate)
            tapul_plate_spot_from_tape(plate, first, second, spot, &error);
    }
    if (error)
        tapul_document_fault(document, node, "%s", error->message);
    return !error;
}

gboolean tapul_point_read_row(TapulTable *table, int row, const TapulPlate *plate,
                              TapulSpot *spot) {
    int across = tapul_table_column(table, "plate_across_mm"),
        up = tapul_table_column(table, "plate_up_mm");
    int x = tapul_table_column(table, "plate_x_mm"),
        y = tapul_table_column(table, "plate_y_mm"),
        z = tapul_table_column(table, "plate_z_mm");
    g_autoptr(GError) error = NULL;
    TapulVec3 p = {0, 0, 0};

    if (across >= 0 && up >= 0) {
        if (!tapul_table_number(table, row, across, -REACH_MM, REACH_MM, &p.x) ||
            !tapul_table_number(table, row, up, -REACH_MM, REACH_MM, &p.y))
            return FALSE;
        tapul_plate_spot_from_tape(plate, p.x, p.y, spot, &error);
    } else if (x >= 0 && y >= 0) {
        if (!tapul_table_number(table, row, x, -REACH_MM, REACH_MM, &p.x) ||
            !tapul_table_number(table, row, y, -REACH_MM, REACH_MM, &p.y) ||
            (z >= 0 && !tapul_table_number(table, row, z, -REACH_MM, REACH_MM, &p.z)))
            return FALSE;
        if (z >= 0)
            tapul_plate_spot_from_xyz(plate, p, spot, &error);
        else
            tapul_plate_spot_from_front(plate, p.x, p.y, spot, &error);
    } else {
        tapul_table_fault(
            table, row,
            "no plate point: the columns plate_across_mm and plate_up_mm, or plate_x_mm and "
            "plate_y_mm, are needed");
        return FALSE;
    }
    if (error)
        tapul_table_fault(table, row, "%s", error->message);
    return !error;
}
