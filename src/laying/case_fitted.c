/* The layings of a case that fit a print to the plate's own shape: bordered and filled. */
#include "laying/case_internal.h"
#include "plate/point.h"

#include <string.h>

#define REPEAT_MIN_MM 0.1
#define OFFSET_MAX_MM 500.0

static const TapulInk *print_ink(const TapulCaseReading *reading,
                                 const TapulCaseLaying *laying) {
    return ((const TapulPrint *)g_ptr_array_index(reading->made->prints, laying->print))->ink;
}

/* --- Bordered --- */

/* `along` is "edge", which it is without, or a list of points. */
static void read_along(TapulCaseReading *reading, const TapulNode *node,
                       TapulCaseLaying *laying) {
    TapulDocument *document = reading->document;
    TapulBorderOptions *border = &laying->options.border;
    const TapulNode *along = tapul_document_get(document, node, "along");
    const char *word = along ? tapul_node_text(along) : "edge";
    if (word && strcmp(word, "edge") == 0) {
        laying->place = g_strdup("the plate's edge");
        return;
    }
    if (word) {
        tapul_document_fault(
            document, along,
            "along: '%s' is neither edge nor a list of two or more points of the plate", word);
        return;
    }
    int n = tapul_document_list_length(document, along, "along");
    if (n < 2) {
        tapul_document_fault(document, along,
                             "along: the line has %d points, at least 2 are needed", n);
        return;
    }
    TapulSpot *points = g_new0(TapulSpot, n);
    for (int i = 0; i < n; i++)
        tapul_point_read(document, tapul_document_list_item(document, along, i),
                         reading->made->plate, &points[i]);
    border->n_points = n;
    border->points = points;
    laying->place = g_strdup_printf("a line through %d points", n);
}

static gboolean read_limit(TapulCaseReading *reading, const TapulNode *node, const char *key,
                           gboolean along_edge, TapulSpot *spot) {
    const TapulNode *limit = tapul_document_get(reading->document, node, key);
    if (!limit)
        return FALSE;
    if (!along_edge)
        tapul_document_fault(reading->document, limit,
                             "%s: a border along a line runs from its first point to its last",
                             key);
    return tapul_point_read(reading->document, limit, reading->made->plate, spot);
}

void tapul_case_read_border(TapulCaseReading *reading, const TapulNode *node,
                            TapulCaseLaying *laying) {
    TapulDocument *document = reading->document;
    TapulBorderOptions *border = &laying->options.border;
    const TapulInk *ink = print_ink(reading, laying);
    if (ink) {
        border->width_mm = ink->width_mm;
        border->height_mm = ink->height_mm;
    }
    read_along(reading, node, laying);
    gboolean along_edge = border->n_points == 0;
    border->smooth = tapul_document_flag(document, node, "smooth", FALSE);
    if (along_edge && tapul_document_get(document, node, "smooth"))
        tapul_document_fault(document, tapul_document_get(document, node, "smooth"),
                             "smooth: belongs to a border along a line of points");
    border->has_from = read_limit(reading, node, "from", along_edge, &border->from);
    border->has_to = read_limit(reading, node, "to", along_edge, &border->to);
    if (tapul_document_get(document, node, "to") && !tapul_document_get(document, node, "from"))
        tapul_document_fault(document, node,
                             "the key 'from' is missing: where the run to 'to' starts");
    border->offset_mm = NAN;
    tapul_document_number(document, node, "offset_mm", FALSE, along_edge ? 1 : -OFFSET_MAX_MM,
                          OFFSET_MAX_MM, &border->offset_mm);
    tapul_document_number(document, node, "repeat_mm", FALSE, REPEAT_MIN_MM,
                          TAPUL_CASE_LARGEST_PRINT_MM, &border->repeat_mm);
}

/* --- Filled --- */

static int field_index(const TapulPlate *plate, const char *id) {
    for (int i = 0; plate && i < tapul_plate_n_fields(plate); i++)
        if (strcmp(tapul_plate_field(plate, i)->id, id) == 0)
            return i;
    return -1;
}

static void read_field(TapulCaseReading *reading, const TapulNode *node,
                       TapulCaseLaying *laying) {
    const TapulPlate *plate = reading->made->plate;
    const char *id = tapul_document_text(reading->document, node, "field", TRUE);
    if (!id)
        return;
    laying->options.fill.field = field_index(plate, id);
    laying->place = g_strdup_printf("the field %s", id);
    if (!plate || laying->options.fill.field >= 0)
        return;
    g_autoptr(GString) names = g_string_new(NULL);
    for (int i = 0; i < tapul_plate_n_fields(plate); i++)
        g_string_append_printf(names, "%s%s", i > 0 ? ", " : "",
                               tapul_plate_field(plate, i)->id);
    tapul_document_fault(reading->document,
                         tapul_document_get(reading->document, node, "field"),
                         "field: '%s' is none of the plate's fields: %s", id,
                         names->len > 0 ? names->str : "it has none");
}

static void read_frame(TapulCaseReading *reading, const TapulNode *node,
                       TapulCaseLaying *laying) {
    TapulFillOptions *fill = &laying->options.fill;
    const TapulInk *ink = print_ink(reading, laying);
    g_autoptr(GArray) frame = tapul_document_points(reading->document, node, "print_frame_mm",
                                                    FALSE, 4, TAPUL_CASE_LARGEST_PRINT_MM);
    if (!frame && ink) {
        const TapulVec2 page[] = {
            {0, 0}, {ink->width_mm, 0}, {ink->width_mm, ink->height_mm}, {0, ink->height_mm}};
        frame = g_array_new(FALSE, FALSE, sizeof(TapulVec2));
        g_array_append_vals(frame, page, G_N_ELEMENTS(page));
    }
    if (!frame)
        return;
    fill->n_frame = (int)frame->len;
    fill->frame_mm = g_memdup2(frame->data, frame->len * sizeof(TapulVec2));
}

void tapul_case_read_fill(TapulCaseReading *reading, const TapulNode *node,
                          TapulCaseLaying *laying) {
    TapulDocument *document = reading->document;
    TapulFillOptions *fill = &laying->options.fill;
    read_field(reading, node, laying);
    read_frame(reading, node, laying);
    const TapulNode *corners = tapul_document_get(document, node, "field_corners");
    if (!corners)
        return;
    int n = tapul_document_list_length(document, corners, "field_corners");
    if (n != 4)
        tapul_document_fault(
            document, corners,
            "field_corners: %d points where 4 were expected: lower left, lower "
            "right, upper right, upper left",
            n);
    fill->has_corners = n == 4;
    for (int i = 0; i < n && n == 4; i++)
        tapul_point_read(document, tapul_document_list_item(document, corners, i),
                         reading->made->plate, &fill->corners[i]);
}
