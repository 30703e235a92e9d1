/* The prints of a case, with their scale and named motifs. */
#include "laying/case_internal.h"

#include <string.h>

#define LARGEST_PRINT_MM 3000.0

static void read_motifs(TapulCaseReading *reading, const TapulNode *node, TapulInk *ink) {
    static const char *const keys[] = {"id", "outline_mm", NULL};
    TapulDocument *document = reading->document;
    const TapulNode *list = tapul_document_get(document, node, "motifs");
    int n = tapul_document_list_length(document, list, "motifs");
    for (int i = 0; i < n; i++) {
        const TapulNode *motif = tapul_document_list_item(document, list, i);
        tapul_document_expect_keys(document, motif, keys);
        const char *id = tapul_document_text(document, motif, "id", TRUE);
        g_autoptr(GArray) outline =
            tapul_document_points(document, motif, "outline_mm", TRUE, 3, LARGEST_PRINT_MM);
        if (id && outline && ink)
            tapul_ink_name_motif(ink, id, (const TapulVec2 *)outline->data, (int)outline->len);
    }
}

/* The scale of a scan belongs to scans; a vector page has a size of its own. */
static void refuse_scan_keys(TapulCaseReading *reading, const TapulNode *node) {
    static const char *const keys[] = {"dpi", "ruler"};
    for (guint i = 0; i < G_N_ELEMENTS(keys); i++) {
        const TapulNode *value = tapul_document_get(reading->document, node, keys[i]);
        if (value)
            tapul_document_fault(
                reading->document, value,
                "%s: this version reads vector prints, which have a size of their own; use "
                "plate_mark_mm to change it",
                keys[i]);
    }
}

static void read_print(TapulCaseReading *reading, const TapulNode *node) {
    static const char *const keys[] = {"id",  "file",  "page",   "plate_mark_mm",
                                       "dpi", "ruler", "motifs", NULL};
    TapulDocument *document = reading->document;
    TapulInkOptions options = tapul_ink_options_defaults();
    TapulVec2 plate_mark_mm = {0, 0};
    double page = 1;
    g_autoptr(GError) error = NULL;

    tapul_document_expect_keys(document, node, keys);
    refuse_scan_keys(reading, node);
    const char *id = tapul_document_text(document, node, "id", TRUE);
    const char *file = tapul_document_text(document, node, "file", TRUE);
    tapul_document_pair(document, node, "plate_mark_mm", FALSE, 1, LARGEST_PRINT_MM,
                        &plate_mark_mm);
    if (tapul_document_number(document, node, "page", FALSE, 1, 100000, &page) &&
        page != floor(page))
        tapul_document_fault(document, tapul_document_get(document, node, "page"),
                             "page: %g is not a whole number", page);
    if (!id || !file)
        return;
    if (tapul_case_print_index(reading->made, id) >= 0)
        tapul_document_fault(document, tapul_document_get(document, node, "id"),
                             "id: the print '%s' is named twice", id);
    options.plate_mark_width_mm = plate_mark_mm.x;
    options.plate_mark_height_mm = plate_mark_mm.y;
    options.page = (int)page;

    TapulPrint *print = g_new0(TapulPrint, 1);
    print->id = g_strdup(id);
    print->file = tapul_document_resolve(document, file);
    print->ink = tapul_ink_read(print->file, &options, &error);
    g_ptr_array_add(reading->made->prints, print);
    if (error)
        tapul_document_fault(document, tapul_document_get(document, node, "file"), "file: %s",
                             error->message);
    read_motifs(reading, node, print->ink);
}

void tapul_case_read_prints(TapulCaseReading *reading) {
    const TapulNode *list = tapul_document_get(reading->document, reading->root, "prints");
    int n = tapul_document_list_length(reading->document, list, "prints");
    if (!list)
        tapul_document_fault(reading->document, reading->root, "the key 'prints' is missing");
    else if (n == 0)
        tapul_document_fault(reading->document, list, "prints: at least one print is needed");
    for (int i = 0; i < n; i++)
        read_print(reading, tapul_document_list_item(reading->document, list, i));
}
