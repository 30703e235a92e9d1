/* Ink: a print file becomes marks in mm on its plate mark. Tells pictures, SVG and PDF apart,
 * has a page drawn and traced, scales it to the plate mark, and takes its figures. Stands at
 * the head of the flow from a print to the layings. */
#include <tapul/ink.h>

#include "ink/drawing.h"
#include "ink/figures.h"
#include "ink/scan.h"
#include "ink/unpack.h"

#include <gio/gio.h>
#include <string.h>

/* A print as a file: more than any vector print, less than memory. */
#define FILE_BYTES_MAX (256u << 20)
/* Paper shrinks by 1 to 2 % from the copper, and not evenly; more than that is another page
 * (common practice, no source; the header promises it). */
#define ASPECT_TOLERANCE 0.02

G_DEFINE_QUARK(tapul - ink - error - quark, tapul_ink_error)

TapulInkOptions tapul_ink_options_defaults(void) {
    return (TapulInkOptions){.page = 1, .scan = {.sauvola_k = 0.2, .speck_mm = 0.1}};
}

TapulMark *tapul_mark_copy(const TapulMark *mark) {
    TapulMark *copy = g_new(TapulMark, 1);
    *copy = *mark;
    copy->path = tapul_path_copy(mark->path);
    copy->dash_mm = mark->dash_mm ? g_array_copy(mark->dash_mm) : NULL;
    return copy;
}

void tapul_mark_free(TapulMark *mark) {
    if (!mark)
        return;
    tapul_path_free(mark->path);
    if (mark->dash_mm)
        g_array_unref(mark->dash_mm);
    g_free(mark);
}

void tapul_skipped_free(gpointer data) {
    TapulSkipped *skipped = data;
    g_free(skipped->what);
    g_free(skipped);
}

static void add_box(TapulBox *box, TapulBox other) {
    if (tapul_box_is_empty(other))
        return;
    tapul_box_add(box, other.min);
    tapul_box_add(box, other.max);
}

void tapul_skipped_add(GPtrArray *skipped, const char *what, int count, TapulBox box_mm) {
    TapulSkipped *found = NULL;
    for (guint i = 0; i < skipped->len && !found; i++) {
        TapulSkipped *each = g_ptr_array_index(skipped, i);
        found = g_str_equal(each->what, what) ? each : NULL;
    }
    if (!found) {
        found = g_new0(TapulSkipped, 1);
        found->what = g_strdup(what);
        found->box_mm = tapul_box_empty();
        g_ptr_array_add(skipped, found);
    }
    found->count += count;
    add_box(&found->box_mm, box_mm);
}

static void free_scan(TapulScan *scan) {
    if (!scan)
        return;
    g_free(scan->path);
    g_free(scan);
}

void tapul_ink_free(TapulInk *ink) {
    if (!ink)
        return;
    free_scan(ink->scan);
    g_ptr_array_unref(ink->marks);
    if (ink->motifs)
        g_ptr_array_unref(ink->motifs);
    g_ptr_array_unref(ink->skipped);
    g_free(ink);
}

static gboolean is_pdf(const char *data, gsize length) {
    /* Readers accept the header anywhere in the first 1024 bytes (ISO 32000-1, annex H, note
     * 13). */
    return g_strstr_len(data, (gssize)MIN(length, 1024), "%PDF-") != NULL;
}

static gboolean is_gzipped(const char *data, gsize length) {
    return length > 2 && (guchar)data[0] == 0x1f && (guchar)data[1] == 0x8b;
}

/* XML starts with '<', perhaps behind blanks and a byte order mark; in UTF-16 a zero stands
 * beside it (XML 1.0, appendix F). */
static gboolean may_be_xml(const char *data, gsize length) {
    gsize at = length >= 3 && memcmp(data, "\xef\xbb\xbf", 3) == 0 ? 3
               : length >= 2 && memcmp(data, "\xff\xfe", 2) == 0   ? 2
               : length >= 2 && memcmp(data, "\xfe\xff", 2) == 0   ? 2
                                                                   : 0;
    while (at < length && (data[at] == '\0' || g_ascii_isspace(data[at])))
        at++;
    return at < length && data[at] == '<';
}

static TapulDrawing *read_svg(const char *data, gsize length, GError **error) {
    if (may_be_xml(data, length))
        return tapul_drawing_read_svg(data, length, error);
    g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_FILE,
                "is neither SVG nor PDF nor a picture (PNG, JPEG, TIFF)");
    return NULL;
}

static GBytes *load(const char *path, GError **error) {
    g_autoptr(GFile) file = g_file_new_for_path(path);
    g_autoptr(GError) refused = NULL;
    g_autoptr(GFileInfo) info = g_file_query_info(
        file, G_FILE_ATTRIBUTE_STANDARD_SIZE "," G_FILE_ATTRIBUTE_STANDARD_TYPE,
        G_FILE_QUERY_INFO_NONE, NULL, &refused);
    const char *why = info ? NULL
                      : g_error_matches(refused, G_IO_ERROR, G_IO_ERROR_NOT_FOUND)
                          ? "there is no such file"
                          : refused->message;
    if (info && g_file_info_get_file_type(info) != G_FILE_TYPE_REGULAR)
        why = "is not a file";
    else if (info && g_file_info_get_size(info) > FILE_BYTES_MAX)
        why = "is larger than 256 MiB";
    GBytes *bytes = why ? NULL : g_file_load_bytes(file, NULL, NULL, &refused);
    if (!bytes)
        g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_FILE, "%s",
                    why ? why : refused->message);
    return bytes;
}

static TapulDrawing *read_drawing(const char *path, int page, GError **error) {
    g_autoptr(GBytes) bytes = load(path, error);
    gsize length = 0;
    const char *data = bytes ? g_bytes_get_data(bytes, &length) : NULL;
    if (!bytes)
        return NULL;
    if (length == 0) {
        g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_FILE, "is empty");
        return NULL;
    }
    if (is_pdf(data, length))
        return tapul_drawing_read_pdf(bytes, page, error);
    if (page != 1) {
        g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_FILE,
                    "page %d; permitted: 1, the file is no PDF", page);
        return NULL;
    }
    if (!is_gzipped(data, length))
        return read_svg(data, length, error);
    g_autoptr(GBytes) unpacked =
        tapul_unpack(bytes, G_ZLIB_COMPRESSOR_FORMAT_GZIP, FILE_BYTES_MAX, error);
    if (!unpacked)
        return NULL;
    data = g_bytes_get_data(unpacked, &length);
    return read_svg(data, length, error);
}

static void scale_mark(TapulMark *mark, double across, double up) {
    for (guint i = 0; i < mark->path->points->len; i++) {
        TapulVec2 *point = &g_array_index(mark->path->points, TapulVec2, i);
        point->x *= across;
        point->y *= up;
    }
    double mean = sqrt(across * up);
    mark->width_mm *= mean;
    mark->dash_offset_mm *= mean;
    for (guint i = 0; mark->dash_mm && i < mark->dash_mm->len; i++)
        g_array_index(mark->dash_mm, double, i) *= mean;
}

static gboolean scale_to_plate_mark(TapulInk *ink, const TapulInkOptions *options,
                                    GError **error) {
    double width_mm = options->plate_mark_width_mm, height_mm = options->plate_mark_height_mm;
    if (width_mm == 0 && height_mm == 0)
        return TRUE;
    if (!tapul_drawing_check_size(width_mm, height_mm, error)) {
        g_prefix_error(error, "plate mark: ");
        return FALSE;
    }
    double across = width_mm / ink->width_mm, up = height_mm / ink->height_mm;
    if (fabs(across / up - 1) > ASPECT_TOLERANCE) {
        g_set_error(
            error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SIZE,
            "plate mark %g x %g mm has other proportions than the page, %g x %g mm: they "
            "differ by %.1f %%; permitted: %g %%",
            width_mm, height_mm, ink->width_mm, ink->height_mm, 100 * fabs(across / up - 1),
            100 * ASPECT_TOLERANCE);
        return FALSE;
    }
    for (guint i = 0; i < ink->marks->len; i++)
        scale_mark(g_ptr_array_index(ink->marks, i), across, up);
    for (guint i = 0; i < ink->skipped->len; i++) {
        TapulBox *box = &((TapulSkipped *)g_ptr_array_index(ink->skipped, i))->box_mm;
        *box = (TapulBox){{box->min.x * across, box->min.y * up},
                          {box->max.x * across, box->max.y * up}};
    }
    ink->width_mm = width_mm;
    ink->height_mm = height_mm;
    ink->size_assumed = FALSE;
    return TRUE;
}

static gboolean check_not_empty(const TapulInk *ink, GError **error) {
    if (ink->strokes + ink->fills > 0)
        return TRUE;
    g_autoptr(GString) held = g_string_new("holds nothing that can become ink");
    for (guint i = 0; i < ink->skipped->len; i++) {
        const TapulSkipped *each = g_ptr_array_index(ink->skipped, i);
        g_string_append_printf(held, "%s%d %s%s", i == 0 ? ": " : ", ", each->count, each->what,
                               each->count == 1 ? "" : "s");
    }
    g_set_error_literal(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_EMPTY, held->str);
    return FALSE;
}

static TapulInk *ink_from(TapulDrawing *drawing, const TapulInkOptions *options,
                          GError **error) {
    g_autoptr(TapulInk) ink = g_new0(TapulInk, 1);
    ink->width_mm = drawing->page.width_mm;
    ink->height_mm = drawing->page.height_mm;
    ink->size_assumed = drawing->size_assumed;
    ink->marks = g_ptr_array_ref(drawing->trace->marks);
    ink->skipped = g_ptr_array_ref(drawing->trace->skipped);
    if (!scale_to_plate_mark(ink, options, error))
        return NULL;
    tapul_ink_measure(ink);
    tapul_ink_list_motifs(ink, drawing->motif_ids);
    return check_not_empty(ink, error) ? g_steal_pointer(&ink) : NULL;
}

static TapulInk *read_vector(const char *path, const TapulInkOptions *options, GError **error) {
    if (tapul_scan_options_are_set(&options->scan)) {
        g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SCAN,
                    "is no scan, and has its size and lines from itself; permitted: plate mark "
                    "and page");
        return NULL;
    }
    g_autoptr(TapulDrawing) drawing = read_drawing(path, options->page, error);
    return drawing ? ink_from(drawing, options, error) : NULL;
}

TapulInk *tapul_ink_read(const char *path, const TapulInkOptions *options, GError **error) {
    TapulInkOptions defaults = tapul_ink_options_defaults();
    options = options ? options : &defaults;
    if (!*path) {
        g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_FILE,
                    "'': no file is named; a print, SVG, PDF or a scan, was expected");
        return NULL;
    }
    TapulInk *ink = tapul_picture_is_one(path) ? tapul_scan_read(path, options, error)
                                               : read_vector(path, options, error);
    if (!ink)
        g_prefix_error(error, "%s: ", path);
    return ink;
}
