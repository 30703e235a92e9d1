/* Which groups of an SVG are motifs, and the signs that carry their names through the drawing.
 */
#ifndef TAPUL_INK_SVG_MOTIF_H
#define TAPUL_INK_SVG_MOTIF_H

#include <glib.h>
#include <libxml/tree.h>

G_BEGIN_DECLS

/* The outermost groups with an id are motifs; a single one that holds everything drawn is a
 * wrapper, and its own outermost named groups, if it has any, take its place. Puts a sign
 * before and behind each, and appends the ids. */
void tapul_svg_sign_motifs(xmlNode *root, GPtrArray *motif_ids);

G_END_DECLS

#endif
