/* How tall an SVG's letters are: the renderer's fonts have a limit, and it must not be run
 * into. */
#ifndef TAPUL_INK_SVG_TEXT_H
#define TAPUL_INK_SVG_TEXT_H

#include <glib.h>
#include <libxml/tree.h>

G_BEGIN_DECLS

/* The largest, over all elements of text, of font size times the square of the scale its groups
 * give it: in user units of the root. 0 without text. Attributes, style attributes and style
 * sheets are seen; sizes relative to a parent are taken from the parent's. */
double tapul_svg_tallest_text(const xmlNode *root);

G_END_DECLS

#endif
