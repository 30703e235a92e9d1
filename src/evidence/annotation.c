/* Findings as Web Annotations, so that they can be shown over the print's picture wherever that
 * is kept: W3C, Web Annotation Data Model, Recommendation of 23 February 2017, 4.2.7 (SVG
 * selector) and 5.1 (annotation page).
 *
 * The last step of weigh with a tracing.
 */
#include "evidence/annotation.h"
#include "evidence/verdict_words.h"

static void text_member(JsonBuilder *builder, const char *name, const char *value) {
    json_builder_set_member_name(builder, name);
    json_builder_add_string_value(builder, value);
}

/* --- Where in the print --- */

static void append_number(GString *text, double value) {
    char digits[G_ASCII_DTOSTR_BUF_SIZE];
    g_string_append(text, g_ascii_formatd(digits, sizeof digits, "%.2f", value));
}

/* Of the picture: y down. */
static TapulVec2 picture_point(const TapulInk *ink, TapulVec2 print_mm) {
    return ink->scan ? tapul_scan_pixel(ink->scan, print_mm)
                     : tapul_vec2(print_mm.x, ink->height_mm - print_mm.y);
}

static void append_view_box(GString *svg, const TapulInk *ink) {
    g_string_append(svg, "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 ");
    append_number(svg, ink->scan ? ink->scan->width_px : ink->width_mm);
    g_string_append_c(svg, ' ');
    append_number(svg, ink->scan ? ink->scan->height_px : ink->height_mm);
    g_string_append(svg, "\">");
}

/* The motif's box; on a scan it lies turned as the print lay on the scanner. */
static char *selector(const TapulInk *ink, TapulBox box_mm) {
    GString *svg = g_string_new(NULL);
    const TapulVec2 corners[] = {
        box_mm.min, {box_mm.max.x, box_mm.min.y}, box_mm.max, {box_mm.min.x, box_mm.max.y}};
    append_view_box(svg, ink);
    g_string_append(svg, "<polygon points=\"");
    for (guint i = 0; i < G_N_ELEMENTS(corners); i++) {
        TapulVec2 at = picture_point(ink, corners[i]);
        g_string_append(svg, i > 0 ? " " : "");
        append_number(svg, at.x);
        g_string_append_c(svg, ',');
        append_number(svg, at.y);
    }
    g_string_append(svg, "\"/></svg>");
    return g_string_free(svg, FALSE);
}

/* --- What is said of it --- */

static char *finding_words(const TapulMotif *motif, const TapulMotifFinding *finding) {
    GString *text = g_string_new(NULL);
    g_string_append_printf(text,
                           "%s: %s. %.0f %% of its line is found within %.3g mm, %.0f %% "
                           "where the whole print puts it",
                           motif->id, tapul_motif_fate_name(finding->fate),
                           100 * finding->share, TAPUL_QUOTED_TOLERANCE_MM,
                           100 * finding->share_in_place);
    if (finding->fate != TAPUL_MOTIF_LEFT_OUT && finding->fate != TAPUL_MOTIF_UNDECIDED)
        g_string_append_printf(text,
                               "; moved by %.1f mm, turned by %.1f degrees, resized by %.3f",
                               tapul_vec2_length(finding->moved_mm),
                               finding->turned_rad * 180 / G_PI, finding->resized);
    g_string_append_c(text, '.');
    return g_string_free(text, FALSE);
}

static void add_body(JsonBuilder *builder, const char *value) {
    json_builder_set_member_name(builder, "body");
    json_builder_begin_object(builder);
    text_member(builder, "type", "TextualBody");
    text_member(builder, "value", value);
    text_member(builder, "format", "text/plain");
    text_member(builder, "language", "en");
    text_member(builder, "purpose", "describing");
    json_builder_end_object(builder);
}

static void add_target(JsonBuilder *builder, const char *image, const char *svg) {
    json_builder_set_member_name(builder, "target");
    json_builder_begin_object(builder);
    text_member(builder, "source", image);
    json_builder_set_member_name(builder, "selector");
    json_builder_begin_object(builder);
    text_member(builder, "type", "SvgSelector");
    text_member(builder, "value", svg);
    json_builder_end_object(builder);
    json_builder_end_object(builder);
}

static void add_finding(JsonBuilder *builder, const TapulInk *ink,
                        const TapulMotifFinding *finding, const char *image) {
    const TapulMotif *motif = g_ptr_array_index(ink->motifs, (guint)finding->motif);
    g_autofree char *fragment = g_uri_escape_string(motif->id, NULL, TRUE);
    g_autofree char *id = g_strconcat("#motif-", fragment, NULL);
    g_autofree char *words = finding_words(motif, finding);
    g_autofree char *svg = selector(ink, motif->box_mm);
    json_builder_begin_object(builder);
    text_member(builder, "id", id);
    text_member(builder, "type", "Annotation");
    text_member(builder, "motivation", "describing");
    add_body(builder, words);
    add_target(builder, image, svg);
    json_builder_end_object(builder);
}

/* A file's name as an IRI beside which the page stands. */
static char *file_iri(const char *file) {
    return g_uri_escape_string(file, G_URI_RESERVED_CHARS_ALLOWED_IN_PATH, TRUE);
}

JsonNode *tapul_annotations_new(const TapulCase *question, const TapulPrintEvidence *found,
                                const char *image) {
    const TapulPrint *print = g_ptr_array_index(question->prints, (guint)found->print);
    g_autofree char *iri = image ? g_strdup(image) : file_iri(print->file);
    g_autofree char *label = g_strdup_printf("%s: motifs of %s found on %s", question->title,
                                             print->id, tapul_plate_name(question->plate));
    g_autoptr(JsonBuilder) builder = json_builder_new();
    json_builder_begin_object(builder);
    text_member(builder, "@context", "http://www.w3.org/ns/anno.jsonld");
    text_member(builder, "id", "#page");
    text_member(builder, "type", "AnnotationPage");
    text_member(builder, "label", label);
    json_builder_set_member_name(builder, "items");
    json_builder_begin_array(builder);
    for (guint i = 0; i < found->motifs->len; i++) {
        const TapulMotifFinding *finding = &g_array_index(found->motifs, TapulMotifFinding, i);
        if (finding->fate != TAPUL_MOTIF_LEFT_OUT && finding->fate != TAPUL_MOTIF_UNDECIDED)
            add_finding(builder, print->ink, finding, iri);
    }
    json_builder_end_array(builder);
    json_builder_end_object(builder);
    return json_builder_get_root(builder);
}
