/* What an SVG would cost its renderer: a small file can ask for hours. */
#ifndef TAPUL_INK_SVG_BURDEN_H
#define TAPUL_INK_SVG_BURDEN_H

#include <tapul/ink.h>

#include <libxml/tree.h>

G_BEGIN_DECLS

/* FALSE if the file holds too many elements, repeats its parts (use) too often, or has paths
 * that cross themselves too often. */
gboolean tapul_svg_check_burden(const xmlNode *root, GError **error);

G_END_DECLS

#endif
