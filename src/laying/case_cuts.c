/* The cuts a case gives: lines of points of its plate, along which the plate is opened, or kept
 * for the maker's papers. */
#include "laying/case_internal.h"
#include "plate/imprint.h"
#include "plate/point.h"

#include <string.h>

#define MOST_CUTS 60

static const TapulNode *cuts_node(const TapulCaseReading *reading) {
    const TapulNode *development =
        tapul_document_get(reading->document, reading->root, "development");
    return tapul_document_get(reading->document, development, "cuts");
}

gboolean tapul_case_has_cuts(const TapulCaseReading *reading) {
    const TapulNode *cuts = cuts_node(reading);
    return cuts && cuts->type == YAML_SEQUENCE_NODE &&
           cuts->data.sequence.items.top > cuts->data.sequence.items.start;
}

/* A line's points on the plate as it is now; NULL where there is a fault, which is told. */
static GArray *read_line(TapulCaseReading *reading, const TapulNode *list) {
    TapulDocument *document = reading->document;
    int n = tapul_document_list_length(document, list, "cuts");
    g_autoptr(GArray) spots = g_array_new(FALSE, FALSE, sizeof(TapulSpot));
    gboolean good = n >= 2, is_list = list && list->type == YAML_SEQUENCE_NODE;
    if (n < 2 && is_list)
        tapul_document_fault(document, list, "cuts: a cut has at least two points");
    for (int i = 0; i < n; i++) {
        TapulSpot spot = {.triangle = -1};
        good = tapul_point_read(document, tapul_document_list_item(document, list, i),
                                reading->made->plate, &spot) &&
               good;
        g_array_append_val(spots, spot);
    }
    return good && reading->made->plate ? g_steal_pointer(&spots) : NULL;
}

/* All lines from the first-th on, into the case. FALSE where one has a fault. */
static gboolean read_lines(TapulCaseReading *reading, int first) {
    TapulDocument *document = reading->document;
    const TapulNode *cuts = cuts_node(reading);
    int n = tapul_document_list_length(document, cuts, "cuts");
    gboolean good = n <= MOST_CUTS;
    if (!good)
        tapul_document_fault(document, cuts, "cuts: %d are more than the %d permitted", n,
                             MOST_CUTS);
    g_ptr_array_set_size(reading->made->cuts, 0);
    for (int i = first; i < MIN(n, MOST_CUTS); i++) {
        GArray *spots = read_line(reading, tapul_document_list_item(document, cuts, i));
        good = good && spots;
        if (spots)
            g_ptr_array_add(reading->made->cuts, spots);
    }
    return good;
}

/* The case's lines; their points stay its own. */
static TapulCutLine *lines_of(const TapulCase *made) {
    TapulCutLine *line = g_new(TapulCutLine, made->cuts->len);
    for (guint i = 0; i < made->cuts->len; i++) {
        const GArray *spots = g_ptr_array_index(made->cuts, i);
        line[i] = (TapulCutLine){(int)spots->len, (TapulSpot *)(void *)spots->data};
    }
    return line;
}

/* Tells what is wrong with the cuts, at the line of the one at fault (counted from `first`). */
static gboolean fault(TapulCaseReading *reading, int first, int at_fault, const GError *error) {
    const TapulNode *cuts = cuts_node(reading);
    const TapulNode *at =
        at_fault < 0 ? cuts
                     : tapul_document_list_item(reading->document, cuts, first + at_fault);
    tapul_document_fault(reading->document, at, "cuts: %s", error->message);
    return FALSE;
}

/* Where the case's first n lines run, before the plate is opened along them. */
static void keep_opening(TapulCase *made, int n) {
    const TapulMesh *mesh = tapul_plate_mesh(made->plate);
    g_ptr_array_set_size(made->opening_mm, 0);
    for (int i = 0; i < n; i++) {
        const GArray *spots = g_ptr_array_index(made->cuts, (guint)i);
        GArray *line_mm = g_array_new(FALSE, FALSE, sizeof(TapulVec3));
        for (guint k = 0; k < spots->len; k++) {
            TapulVec3 at_mm =
                tapul_mesh_smooth_position_mm(mesh, g_array_index(spots, TapulSpot, k));
            g_array_append_val(line_mm, at_mm);
        }
        g_ptr_array_add(made->opening_mm, line_mm);
    }
}

static gboolean open_plate(TapulCaseReading *reading) {
    TapulCase *made = reading->made;
    g_autoptr(GError) error = NULL;
    g_autofree TapulCutLine *line = lines_of(made);
    int at_fault;
    keep_opening(made, (int)made->cuts->len);
    if (!tapul_plate_open(made->plate, line, (int)made->cuts->len, &at_fault, &error))
        return fault(reading, 0, at_fault, error);
    g_ptr_array_set_size(made->cuts, 0);
    return TRUE;
}

/* Opens the plate along as few of the first cuts as make it a disc, and keeps the others. */
static gboolean open_partly(TapulCaseReading *reading) {
    TapulCase *made = reading->made;
    g_autofree TapulCutLine *line = lines_of(made);
    for (int n = 1; n < (int)made->cuts->len; n++) {
        keep_opening(made, n);
        if (tapul_plate_open(made->plate, line, n, NULL, NULL))
            return read_lines(reading, n);
    }
    return open_plate(reading);
}

/* Cuts that are kept must be such as can be drawn. */
static gboolean check_kept(TapulCaseReading *reading) {
    TapulCase *made = reading->made;
    g_autoptr(GError) error = NULL;
    g_autofree TapulCutLine *line = lines_of(made);
    int n = (int)made->cuts->len, at_fault = -1;
    int all = tapul_document_list_length(reading->document, cuts_node(reading), "cuts");
    g_autoptr(TapulImprint) imprint = tapul_mesh_imprint(tapul_plate_mesh(made->plate), line, n,
                                                         TAPUL_CUT_REACH_MM, &at_fault, &error);
    return imprint || fault(reading, all - n, at_fault, error);
}

gboolean tapul_case_read_cuts(TapulCaseReading *reading, gboolean leave) {
    TapulCase *made = reading->made;
    if (!read_lines(reading, 0))
        return FALSE;
    if (made->cuts->len == 0 || !made->plate)
        return TRUE;
    if (!leave)
        return open_plate(reading);
    if (!tapul_mesh_check_disc(tapul_plate_mesh(made->plate), NULL) && !open_partly(reading))
        return FALSE;
    return made->cuts->len == 0 || check_kept(reading);
}
