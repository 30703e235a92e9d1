/* Completes a PDF of cairo's with libqpdf: its catalogue (ISO 32000-1, 7.7.2 and 14.9.2), the
 * words that stand for its figures (14.9.3) and where they lie. Streams are left as cairo
 * packed them. */
#include "sheet/page_parts.h"
#include "sheet/page_pdf.h"

#include <qpdf/qpdf-c.h>

#define POINTS_PER_MM (72 / 25.4) /* ISO 32000-1, 8.3.2.1 */
/* Of coordinates in points: a three-hundredth of a mm. */
#define DECIMALS 2

/* Of all pages, in order; a GArray of TapulPlacedPart. */
static GArray *placed_parts(TapulPage *const *pages, int n_pages) {
    GArray *all = g_array_new(FALSE, FALSE, sizeof(TapulPlacedPart));
    for (int i = 0; i < n_pages; i++) {
        g_autoptr(GArray) parts = tapul_page_placed_parts(pages[i]);
        if (parts->len > 0)
            g_array_append_vals(all, parts->data, parts->len);
    }
    return all;
}

/* The attributes of layout (14.8.5.4): an illustration's or table's box. */
static qpdf_oh layout_of(qpdf_data pdf, TapulBox box_mm) {
    double corners_mm[] = {box_mm.min.x, box_mm.min.y, box_mm.max.x, box_mm.max.y};
    qpdf_oh layout = qpdf_oh_parse(pdf, "<< /O /Layout >>"), box = qpdf_oh_new_array(pdf);
    for (guint i = 0; i < G_N_ELEMENTS(corners_mm); i++)
        qpdf_oh_append_item(
            pdf, box,
            qpdf_oh_new_real_from_double(pdf, corners_mm[i] * POINTS_PER_MM, DECIMALS));
    qpdf_oh_replace_key(pdf, layout, "/BBox", box);
    return layout;
}

static void describe(qpdf_data pdf, qpdf_oh element, const TapulPlacedPart *part) {
    if (part->alternative)
        qpdf_oh_replace_key(pdf, element, "/Alt",
                            qpdf_oh_new_unicode_string(pdf, part->alternative));
    if (!tapul_box_is_empty(part->box_mm))
        qpdf_oh_replace_key(pdf, element, "/A", layout_of(pdf, part->box_mm));
}

static gboolean is_placed(qpdf_data pdf, qpdf_oh element) {
    qpdf_oh kind = qpdf_oh_get_key(pdf, element, "/S");
    return qpdf_oh_is_name_and_equals(pdf, kind, "/Figure") ||
           qpdf_oh_is_name_and_equals(pdf, kind, "/Table");
}

/* Describes the figures and tables among an element and what lies below it, which cairo has
 * written in the order of the pages' parts; returns how many of the parts were taken. */
static guint describe_below(qpdf_data pdf, qpdf_oh element, const GArray *parts, guint taken) {
    if (!qpdf_oh_is_dictionary(pdf, element))
        return taken; /* a number: marked content of a page */
    if (is_placed(pdf, element)) {
        g_assert(taken < parts->len);
        describe(pdf, element, &g_array_index(parts, TapulPlacedPart, taken++));
    }
    qpdf_oh below = qpdf_oh_get_key(pdf, element, "/K");
    if (!qpdf_oh_is_array(pdf, below))
        return describe_below(pdf, below, parts, taken);
    int n = qpdf_oh_get_array_n_items(pdf, below);
    for (int i = 0; i < n; i++)
        taken = describe_below(pdf, qpdf_oh_get_array_item(pdf, below, i), parts, taken);
    return taken;
}

static void complete(qpdf_data pdf, TapulPage *const *pages, int n_pages) {
    qpdf_oh catalogue = qpdf_get_root(pdf);
    if (*pages[0]->language)
        qpdf_oh_replace_key(pdf, catalogue, "/Lang",
                            qpdf_oh_new_unicode_string(pdf, pages[0]->language));
    if (*pages[0]->title)
        qpdf_oh_replace_key(pdf, catalogue, "/ViewerPreferences",
                            qpdf_oh_parse(pdf, "<< /DisplayDocTitle true >>"));
    qpdf_oh structure = qpdf_oh_get_key(pdf, catalogue, "/StructTreeRoot");
    if (!qpdf_oh_is_dictionary(pdf, structure))
        return;
    qpdf_oh_replace_key(pdf, catalogue, "/MarkInfo", qpdf_oh_parse(pdf, "<< /Marked true >>"));
    g_autoptr(GArray) parts = placed_parts(pages, n_pages);
    guint taken = describe_below(pdf, structure, parts, 0);
    g_assert(taken == parts->len);
}

static void write_to_memory(qpdf_data pdf) {
    qpdf_init_write_memory(pdf);
    qpdf_set_object_stream_mode(pdf, qpdf_o_preserve);
    qpdf_set_stream_data_mode(pdf, qpdf_s_preserve);
    /* Made of the contents alone, so that the same page gives the same bytes. */
    qpdf_set_deterministic_ID(pdf, QPDF_TRUE);
    qpdf_write(pdf);
}

gboolean tapul_pdf_complete(GByteArray *bytes, TapulPage *const *pages, int n_pages,
                            const char *path, GError **error) {
    qpdf_data pdf = qpdf_init();
    qpdf_silence_errors(pdf);
    qpdf_set_suppress_warnings(pdf, QPDF_TRUE);
    qpdf_read_memory(pdf, path, (const char *)bytes->data, bytes->len, NULL);
    if (!qpdf_has_error(pdf))
        complete(pdf, pages, n_pages);
    if (!qpdf_has_error(pdf))
        write_to_memory(pdf);
    gboolean completed = !qpdf_has_error(pdf);
    if (completed) {
        g_byte_array_set_size(bytes, 0);
        g_byte_array_append(bytes, qpdf_get_buffer(pdf), (guint)qpdf_get_buffer_length(pdf));
    } else {
        g_set_error(error, G_FILE_ERROR, G_FILE_ERROR_FAILED,
                    "%s: the page cannot be completed: %s", path,
                    qpdf_get_error_full_text(pdf, qpdf_get_error(pdf)));
    }
    qpdf_cleanup(&pdf);
    return completed;
}
