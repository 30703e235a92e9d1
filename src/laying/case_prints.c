/* The prints of a case, with their scale and named motifs. */
#include "laying/case_internal.h"

#include <string.h>

#define LARGEST_SCAN_PX 60000.0

static void read_motifs(TapulCaseReading *reading, const TapulNode *node, TapulInk *ink) {
    static const char *const keys[] = {"id", "outline_mm", NULL};
    TapulDocument *document = reading->document;
    const TapulNode *list = tapul_document_get(document, node, "motifs");
    int n = tapul_document_list_length(document, list, "motifs");
    for (int i = 0; i < n; i++) {
        const TapulNode *motif = tapul_document_list_item(document, list, i);
        tapul_document_expect_keys(document, motif, keys);
        const char *id = tapul_document_text(document, motif, "id", TRUE);
        g_autoptr(GArray) outline = tapul_document_points(document, motif, "outline_mm", TRUE,
                                                          3, TAPUL_CASE_LARGEST_PRINT_MM);
        if (id && outline && ink)
            tapul_ink_name_motif(ink, id, (const TapulVec2 *)outline->data, (int)outline->len);
    }
}

/* Two places in a scan and how far apart they are in the print. */
static void read_ruler(TapulCaseReading *reading, const TapulNode *node,
                       TapulScanOptions *scan) {
    static const char *const keys[] = {"from_px", "to_px", "length_mm", NULL};
    TapulDocument *document = reading->document;
    const TapulNode *ruler = tapul_document_get(document, node, "ruler");
    if (!ruler)
        return;
    tapul_document_expect_keys(document, ruler, keys);
    tapul_document_pair(document, ruler, "from_px", TRUE, 0, LARGEST_SCAN_PX,
                        &scan->ruler_from_px);
    tapul_document_pair(document, ruler, "to_px", TRUE, 0, LARGEST_SCAN_PX, &scan->ruler_to_px);
    tapul_document_number(document, ruler, "length_mm", TRUE, 0.1, TAPUL_CASE_LARGEST_PRINT_MM,
                          &scan->ruler_mm);
}

static void read_crop(TapulCaseReading *reading, const TapulNode *node,
                      TapulScanOptions *scan) {
    TapulDocument *document = reading->document;
    const TapulNode *list = tapul_document_get(document, node, "crop_px");
    double side[4];
    if (!list)
        return;
    if (tapul_document_list_length(document, list, "crop_px") != 4) {
        tapul_document_fault(document, list,
                             "crop_px: four numbers were expected: left, top, right, bottom");
        return;
    }
    for (int i = 0; i < 4; i++)
        if (!tapul_document_scalar(document, tapul_document_list_item(document, list, i),
                                   "crop_px", 0, LARGEST_SCAN_PX, &side[i]))
            return;
    if (side[0] >= side[2] || side[1] >= side[3])
        tapul_document_fault(document, list,
                             "crop_px: [%g, %g, %g, %g] is no box: left, top, right, bottom",
                             side[0], side[1], side[2], side[3]);
    scan->crop_px = (TapulBox){{side[0], side[1]}, {side[2], side[3]}};
}

/* What only a scan needs; tapul_ink_read refuses it for vector prints. */
static void read_scan_keys(TapulCaseReading *reading, const TapulNode *node,
                           TapulScanOptions *scan) {
    static const char *const ways[] = {"lines", "areas", NULL};
    TapulDocument *document = reading->document;
    tapul_document_number(document, node, "dpi", FALSE, 20, 10000, &scan->dpi);
    read_ruler(reading, node, scan);
    read_crop(reading, node, scan);
    scan->whole = tapul_document_flag(document, node, "whole", FALSE);
    scan->areas_only = tapul_document_choice(document, node, "ink", FALSE, ways) == 1;
}

/* A print that is described, before its file is read. */
typedef struct {
    const TapulNode *node;
    TapulPrint *print; /* the case's */
    TapulInkOptions options;
    GError *error;
} Job;

static void describe_print(TapulCaseReading *reading, const TapulNode *node, GArray *jobs) {
    static const char *const keys[] = {
        "id",      "file",  "title", "credit", "page", "plate_mark_mm", "dpi", "ruler",
        "crop_px", "whole", "ink",   "motifs", NULL};
    TapulDocument *document = reading->document;
    TapulInkOptions options = tapul_ink_options_defaults();
    TapulVec2 plate_mark_mm = {0, 0};
    double page = 1;

    tapul_document_expect_keys(document, node, keys);
    read_scan_keys(reading, node, &options.scan);
    const char *id = tapul_document_text(document, node, "id", TRUE);
    const char *file = tapul_document_text(document, node, "file", TRUE);
    tapul_document_pair(document, node, "plate_mark_mm", FALSE, 1, TAPUL_CASE_LARGEST_PRINT_MM,
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
    print->title = g_strdup(tapul_document_text(document, node, "title", FALSE));
    print->credit = g_strdup(tapul_document_text(document, node, "credit", FALSE));
    g_ptr_array_add(reading->made->prints, print);
    Job job = {node, print, options, NULL};
    g_array_append_val(jobs, job);
}

static void read_ink(Job *job) {
    if (g_file_test(job->print->file, G_FILE_TEST_IS_REGULAR))
        job->print->ink = tapul_ink_read(job->print->file, &job->options, &job->error);
    else
        job->error = g_error_new(G_FILE_ERROR, G_FILE_ERROR_NOENT,
                                 g_file_test(job->print->file, G_FILE_TEST_EXISTS)
                                     ? "%s: this is no file"
                                     : "%s: there is no such file",
                                 job->print->file);
}

static void finish_print(TapulCaseReading *reading, Job *job) {
    if (job->error)
        tapul_document_fault(reading->document,
                             tapul_document_get(reading->document, job->node, "file"),
                             "file: %s", job->error->message);
    g_clear_error(&job->error);
    read_motifs(reading, job->node, job->print->ink);
}

/* Files are read side by side; what they and their motifs lack is told in the case's order.
 *
 * A case may have none: where a design was found and its source is looked for. */
void tapul_case_read_prints(TapulCaseReading *reading) {
    const TapulNode *list = tapul_document_get(reading->document, reading->root, "prints");
    int n = tapul_document_list_length(reading->document, list, "prints");
    g_autoptr(GArray) jobs = g_array_new(FALSE, FALSE, sizeof(Job));
    for (int i = 0; i < n; i++)
        describe_print(reading, tapul_document_list_item(reading->document, list, i), jobs);
#pragma omp parallel for schedule(dynamic) if (jobs->len > 1)
    for (guint i = 0; i < jobs->len; i++)
        read_ink(&g_array_index(jobs, Job, i));
    for (guint i = 0; i < jobs->len; i++)
        finish_print(reading, &g_array_index(jobs, Job, i));
}
