/* XML read with nothing fetched and nothing said. libxml2 would load entities from other files
 * and print what it thinks of the text; neither may be. Stands under the SVG's first reading
 * and the trace. */
#include "ink/xml.h"

#include <libxml/SAX2.h>
#include <libxml/parser.h>
#include <libxml/xmlerror.h>

/* Kept entities are declared as empty ones: then there is nothing to load. */
static void declare_entity(void *context, const xmlChar *name, int type,
                           const xmlChar *public_id, const xmlChar *system_id,
                           xmlChar *content) {
    xmlParserCtxt *parser = context;
    int *outside = parser->_private;
    if (!outside)
        return;
    gboolean is_parameter = type == XML_EXTERNAL_PARAMETER_ENTITY;
    if (!is_parameter && type != XML_EXTERNAL_GENERAL_PARSED_ENTITY) {
        xmlSAX2EntityDecl(context, name, type, public_id, system_id, content);
        return;
    }
    xmlChar nothing[] = "";
    (*outside)++;
    xmlSAX2EntityDecl(context, name,
                      is_parameter ? XML_INTERNAL_PARAMETER_ENTITY
                                   : XML_INTERNAL_GENERAL_ENTITY,
                      NULL, NULL, nothing);
}

static void keep_quiet(void *context, xmlError *complaint) {
    (void)context;
    (void)complaint;
}

static void report(const xmlParserCtxt *parser, GError **error) {
    g_autofree char *message =
        g_strdup(parser->lastError.message ? parser->lastError.message : "not XML");
    g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SYNTAX, "line %d: %s",
                parser->lastError.line, g_strchomp(message));
}

static xmlDoc *read_quietly(const char *text, gsize length, int options, int *outside,
                            GError **error) {
    xmlParserCtxt *parser = length <= G_MAXINT ? xmlNewParserCtxt() : NULL;
    if (!parser) {
        g_set_error(error, TAPUL_INK_ERROR, TAPUL_INK_ERROR_SYNTAX,
                    "%" G_GSIZE_FORMAT " bytes of text; permitted: %d", length, G_MAXINT);
        return NULL;
    }
    parser->_private = outside;
    parser->sax->entityDecl = declare_entity;
    xmlStructuredErrorFunc former = xmlStructuredError;
    void *former_context = xmlStructuredErrorContext;
    xmlSetStructuredErrorFunc(NULL, keep_quiet);
    xmlDoc *document = xmlCtxtReadMemory(parser, text, (int)length, NULL, NULL,
                                         options | XML_PARSE_NONET | XML_PARSE_NOCDATA);
    xmlSetStructuredErrorFunc(former_context, former);
    if (!document)
        report(parser, error);
    xmlFreeParserCtxt(parser);
    return document;
}

xmlDoc *tapul_xml_read_file_text(const char *text, gsize length, int *outside, GError **error) {
    *outside = 0;
    return read_quietly(text, length, XML_PARSE_NOENT, outside, error);
}

xmlDoc *tapul_xml_read_trace(const char *text, gsize length, GError **error) {
    return read_quietly(text, length, XML_PARSE_HUGE, NULL, error);
}
