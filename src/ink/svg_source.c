/* An SVG made ready to draw: read as a tree, its entities filled in within libxml2's own
 * bounds, what it asks for from outside counted and never fetched, filters and masks counted,
 * motifs signed, and written out again. Stands before the renderer of SVG. */
#include "ink/svg_source.h"

#include "ink/attribute.h"
#include "ink/svg_burden.h"
#include "ink/svg_motif.h"
#include "ink/svg_text.h"
#include "ink/trace.h"
#include "ink/xml.h"

#include <string.h>

void tapul_svg_source_free(TapulSvgSource *source) {
    if (!source)
        return;
    if (source->text)
        g_bytes_unref(source->text);
    g_ptr_array_unref(source->motif_ids);
    g_ptr_array_unref(source->skipped);
    g_free(source);
}

static void skip(TapulSvgSource *source, const char *what, int count) {
    if (count > 0)
        tapul_skipped_add(source->skipped, what, count, tapul_box_empty());
}

static gboolean points_outside(const char *reference) {
    reference += strspn(reference, " \t\r\n'\"");
    return *reference && *reference != '#' && !g_str_has_prefix(reference, "data:");
}

static int count_words(const char *text, const char *word) {
    int count = 0;
    for (const char *at = strstr(text, word); at; at = strstr(at + 1, word))
        count++;
    return count;
}

/* "url(...)" that leads out of the file, in an attribute or a style sheet. */
static int count_outside_urls(const char *text) {
    int count = 0;
    for (const char *at = strstr(text, "url("); at; at = strstr(at + 1, "url("))
        count += points_outside(at + strlen("url("));
    return count;
}

/* Properties set to something in an attribute or a style sheet: "filter:url(#f)" but not
 * "filter:none". */
static int count_property(const char *text, const char *name) {
    int count = 0;
    for (const char *at = strstr(text, name); at; at = strstr(at + 1, name)) {
        const char *value = at + strlen(name);
        value += strspn(value, " \t\r\n");
        gboolean whole_word = at == text || !(g_ascii_isalnum(at[-1]) || at[-1] == '-');
        if (*value != ':' || !whole_word)
            continue;
        value += 1 + strspn(value + 1, " \t\r\n");
        count += g_str_has_prefix(value, "url(");
    }
    return count;
}

static void review_text(TapulSvgSource *source, const char *text) {
    skip(source, "external reference", count_outside_urls(text) + count_words(text, "@import"));
    skip(source, "filter", count_property(text, "filter"));
    skip(source, "mask", count_property(text, "mask"));
}

static void review_attributes(TapulSvgSource *source, const xmlNode *node) {
    for (const xmlAttr *each = node->properties; each; each = each->next) {
        const char *name = (const char *)each->name;
        const char *value = tapul_attribute(node, name);
        if (strcmp(name, "href") == 0) {
            gboolean is_link = strcmp((const char *)node->name, "a") == 0;
            skip(source, "external reference", !is_link && points_outside(value));
        } else if (strcmp(name, "style") == 0) {
            review_text(source, value);
        } else if (g_str_has_prefix(value, "url(")) {
            skip(source, "external reference", count_outside_urls(value));
            skip(source, "filter", strcmp(name, "filter") == 0);
            skip(source, "mask", strcmp(name, "mask") == 0);
        }
    }
}

/* Patterns painted with patterns grow without measure; inside a pattern such a paint is taken
 * out, and counted. */
static void flatten_pattern(TapulSvgSource *source, const xmlNode *node, GHashTable *patterns) {
    for (const xmlAttr *each = node->properties; each; each = each->next) {
        char *value = (char *)(each->children ? each->children->content : NULL);
        for (char *at = value ? strstr(value, "url(#") : NULL; at;
             at = strstr(at + 1, "url(#")) {
            g_autofree char *id = tapul_attribute_reference(at);
            gsize length = strcspn(at, ")");
            if (!g_hash_table_contains(patterns, id))
                continue;
            memset(at, ' ', length + (at[length] == ')'));
            memcpy(at, "none", strlen("none"));
            skip(source, "pattern within a pattern", 1);
        }
    }
    for (const xmlNode *each = node->children; each; each = each->next)
        if (each->type == XML_ELEMENT_NODE)
            flatten_pattern(source, each, patterns);
}

static void for_each_pattern(const xmlNode *node, TapulSvgSource *source, GHashTable *patterns,
                             gboolean flatten) {
    for (; node; node = node->next) {
        if (node->type != XML_ELEMENT_NODE)
            continue;
        gboolean is_pattern = strcmp((const char *)node->name, "pattern") == 0;
        const char *id = is_pattern ? tapul_attribute(node, "id") : NULL;
        if (is_pattern && flatten)
            flatten_pattern(source, node, patterns);
        else if (id)
            g_hash_table_add(patterns, (gpointer)id);
        for_each_pattern(node->children, source, patterns, flatten);
    }
}

static void flatten_patterns(TapulSvgSource *source, const xmlNode *root) {
    g_autoptr(GHashTable) patterns = g_hash_table_new(g_str_hash, g_str_equal);
    for_each_pattern(root, source, patterns, FALSE);
    for_each_pattern(root, source, patterns, TRUE);
}

static double view_width(const xmlNode *root) {
    const char *box = tapul_attribute(root, "viewBox");
    double value = 0;
    for (int i = 0; box && i < 3; i++) {
        char *end = NULL;
        value = g_ascii_strtod(box, &end);
        box = end + strspn(end, " \t\r\n,");
    }
    return fabs(value);
}

static void review(TapulSvgSource *source, const xmlNode *node) {
    for (; node; node = node->next) {
        const char *name = (const char *)node->name;
        if (node->type == XML_PI_NODE && strcmp(name, "xml-stylesheet") == 0)
            skip(source, "external reference", 1);
        if (node->type != XML_ELEMENT_NODE)
            continue;
        review_attributes(source, node);
        if (strcmp(name, "style") == 0) {
            xmlChar *text = xmlNodeGetContent(node);
            review_text(source, text ? (const char *)text : "");
            xmlFree(text);
        }
        skip(source, "external reference", strcmp(name, "include") == 0);
        source->texts += strcmp(name, "text") == 0;
        skip(source, "embedded page", strcmp(name, "foreignObject") == 0);
        review(source, node->children);
    }
}

static GBytes *write_out(xmlDoc *document) {
    xmlChar *text = NULL;
    int length = 0;
    /* Entities are filled in, so nothing of the DTD is wanted any more. */
    xmlDtd *dtd = xmlGetIntSubset(document);
    if (dtd) {
        xmlUnlinkNode((xmlNode *)dtd);
        xmlFreeDtd(dtd);
    }
    xmlDocDumpMemoryEnc(document, &text, &length, "UTF-8");
    return g_bytes_new_with_free_func(text, text ? (gsize)length : 0, (GDestroyNotify)xmlFree,
                                      text);
}

TapulSvgSource *tapul_svg_source_new(const char *text, gsize length, GError **error) {
    g_autoptr(TapulSvgSource) source = g_new0(TapulSvgSource, 1);
    source->motif_ids = g_ptr_array_new_with_free_func(g_free);
    source->skipped = g_ptr_array_new_with_free_func(tapul_skipped_free);
    int outside = 0;
    xmlDoc *document = tapul_xml_read_file_text(text, length, &outside, error);
    if (!document)
        return NULL;
    skip(source, "external reference", outside);
    xmlNode *root = xmlDocGetRootElement(document);
    gboolean is_svg = root && strcmp((const char *)root->name, "svg") == 0;
    if (is_svg && !tapul_svg_check_burden(root, error)) {
        xmlFreeDoc(document);
        return NULL;
    }
    if (is_svg) {
        review(source, document->children);
        flatten_patterns(source, root);
        source->tallest_text = tapul_svg_tallest_text(root);
        source->view_width = view_width(root);
        tapul_svg_sign_motifs(root, source->motif_ids);
        source->text = write_out(document);
    }
    xmlFreeDoc(document);
    if (!source->text) {
        g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_FILE, "is neither SVG nor PDF");
        return NULL;
    }
    return g_steal_pointer(&source);
}
