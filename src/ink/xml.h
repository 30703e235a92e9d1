/* XML read with nothing fetched and nothing said: the one door to libxml2's parser. Serves the
 * SVG's first reading and the trace. */
#ifndef TAPUL_INK_XML_H
#define TAPUL_INK_XML_H

#include <tapul/ink.h>

#include <libxml/tree.h>

G_BEGIN_DECLS

/* A file of a person: entities are filled in, within libxml2's bounds on their growth, on depth
 * (256) and on the length of a text (10 MB). Entities kept in other files are taken for empty;
 * outside counts them. Errors: TAPUL_INK_ERROR_SYNTAX with the line. */
xmlDoc *tapul_xml_read_file_text(const char *text, gsize length, int *outside, GError **error);
/* A text of our own making: of any length, and without entities. */
xmlDoc *tapul_xml_read_trace(const char *text, gsize length, GError **error);

G_END_DECLS

#endif
